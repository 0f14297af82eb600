"""The bench steps, in the trade's order."""

from ccassist.bench.step import Step
from ccassist.bench.steps.fills import ASSEMBLY, CALIBRATE, CHAMBER, CROWN, CROWN_ON_BENCH, STAGES
from ccassist.bench.steps.lengths import BORE, DECK, GASKET, LAND, OPENING, STROKE

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
