"""Every way of measuring that is tried."""

from __future__ import annotations

from dataclasses import dataclass

from .engines import crown, crown_on_bench, deck, gasket, makers_gasket, ratio
from .fills import burette_b, calibrated, chambers, scale_of, syringe_60
from .written import Make


@dataclass(frozen=True, kw_only=True)
class Method:
    """A way of measuring; ``generous`` says why its intervals are wider than need be, "" where they should not be.

    ``weighed``: the fills are weighed.
    """

    make: Make
    generous: str = ""
    weighed: bool = False


SMOOTH = "its class says nothing of two loads: both are charged"
ALIKE = "the scale's error is charged alike to every step of the calibration"
STEPS = "the readings scatter over steps, yet rounding is charged once in full"
SCALE_01, SCALE_1 = scale_of(0.1, "scale 0.1 g"), scale_of(1.0, "kitchen scale 1 g")
SMOOTH_01 = scale_of(0.1, "scale 0.1 g", smooth=True)
FRONT_REAR, THRUST_AWAY = ("front", "rear"), ("thrust", "away")

METHODS: dict[str, Method] = {
    "burette, 3 fills × 4": Method(make=chambers(burette_b)),
    "burette, 3 fills × 2": Method(make=chambers(burette_b, count=2)),
    "burette, 3 fills × 8": Method(make=chambers(burette_b, count=8)),
    "burette with a refill": Method(make=chambers(burette_b, about=70), generous=STEPS),
    "full syringes and a rest": Method(make=chambers(syringe_60, about=66), generous=STEPS),
    "weighing, 0.1 g scale": Method(make=chambers(SCALE_01), weighed=True),
    "weighing, 1 g scale": Method(make=chambers(SCALE_1), weighed=True),
    "weighing, smooth 0.1 g scale": Method(make=chambers(SMOOTH_01), generous=SMOOTH, weighed=True),
    "tube, calibrated by weighing": Method(make=calibrated, generous=ALIKE),
    "declared scatter, 1 fill × 4": Method(make=chambers(burette_b, fills=1, declared=True)),
    "declared scatter, 2 fills × 2": Method(make=chambers(burette_b, fills=2, count=2, declared=True)),
    "burette, 2 fills × 2": Method(make=chambers(burette_b, fills=2, count=2)),
    "crown in bore, grease": Method(make=crown("grease")),
    "crown in bore, ring": Method(make=crown("ring")),
    "crown on bench": Method(make=crown_on_bench),
    "deck, pin axis": Method(make=deck(FRONT_REAR, 0.01)),
    "deck, both sides": Method(make=deck(THRUST_AWAY, 0.08), generous=STEPS),
    "deck, one cylinder": Method(make=deck(FRONT_REAR, 0.01, count=1)),
    "gasket, digital micrometer": Method(make=gasket(0.001, 0.004)),
    "gasket, even, micrometer": Method(make=gasket(0.01, 0.001)),
    "gasket, uneven, micrometer": Method(make=gasket(0.01, 0.006), generous=STEPS),
    "gasket, maker's limits": Method(make=makers_gasket),
    "ratio, by burette": Method(make=ratio(burette_b)),
    "ratio, by weighing": Method(make=ratio(SCALE_01), weighed=True),
}
