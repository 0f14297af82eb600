"""The bench steps, in the trade's order."""

from ccassist.bench.step import Step
from ccassist.bench.steps.crown import ASSEMBLY, CROWN, CROWN_ON_BENCH
from ccassist.bench.steps.fills import CALIBRATE, CHAMBER, STAGES
from ccassist.bench.steps.lengths import BORE, DECK, EXHAUST_LIFTS, GASKET, INTAKE_LIFTS, LAND, OPENING, STROKE

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
        INTAKE_LIFTS,
        EXHAUST_LIFTS,
    )
}

__all__ = ["STEPS"]
