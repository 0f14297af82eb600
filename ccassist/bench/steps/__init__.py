"""The bench steps, in the trade's order."""

from ccassist.bench.step import Step
from ccassist.bench.steps.assembly import ASSEMBLY
from ccassist.bench.steps.bottom_end import BORE, STROKE
from ccassist.bench.steps.calibration import CALIBRATE
from ccassist.bench.steps.chamber import CHAMBER
from ccassist.bench.steps.crown import CROWN, CROWN_ON_BENCH
from ccassist.bench.steps.deck import DECK
from ccassist.bench.steps.gasket import GASKET
from ccassist.bench.steps.land import LAND
from ccassist.bench.steps.opening import OPENING
from ccassist.bench.steps.stages import STAGES

STEPS: dict[str, Step] = {
    step.key: step
    for step in (
        BORE,
        STROKE,
        CALIBRATE,
        CHAMBER,
        OPENING,
        STAGES,
        DECK,
        CROWN,
        CROWN_ON_BENCH,
        GASKET,
        LAND,
        ASSEMBLY,
    )
}

__all__ = ["STEPS"]
