"""Every way of measuring that is tried."""

from __future__ import annotations

from .engines import crown, crown_on_bench, deck, drop, gasket, lone_deck, makers_gasket, ratio, stroke
from .fills import burette_b, calibrated, chambers, hands, scale_of, syringe_60, unread
from .written import Make

SCALE_01, SCALE_1 = scale_of(0.1, "scale 0.1 g"), scale_of(1.0, "kitchen scale 1 g")
HANDS = (0.5, 1.0, 1.5)  # times the scatter that is declared
FRONT_REAR, THRUST_AWAY = ("front", "rear"), ("thrust", "away")

METHODS: dict[str, Make] = {
    "burette, 3 fills × 4": chambers(burette_b),
    "burette, 3 fills × 2": chambers(burette_b, count=2),
    "burette, 3 fills × 8": chambers(burette_b, count=8),
    "burette with a refill": chambers(burette_b, about=70),
    "full syringes and a rest": chambers(syringe_60, about=66),
    "weighing, 0.1 g scale": chambers(SCALE_01),
    "weighing, 1 g scale": chambers(SCALE_1),
    "tube, calibrated by weighing": calibrated,
    "declared scatter, 1 fill × 4": chambers(burette_b, fills=1, declared=True),
    "declared scatter, 2 fills × 2": chambers(burette_b, fills=2, count=2, declared=True),
    "burette, 2 fills × 2": chambers(burette_b, fills=2, count=2),
    "crown in bore, grease": crown("grease"),
    "crown in bore, ring": crown("ring"),
    "crown on bench": crown_on_bench,
    "deck, pin axis": deck(FRONT_REAR, 0.01),
    "deck, both sides": deck(THRUST_AWAY, 0.08),
    "deck, pin axis, two cylinders": deck(FRONT_REAR, 0.01, count=2),
    "deck, both sides, two of them": deck(THRUST_AWAY, 0.08, count=2),
    "deck, one cylinder": deck(FRONT_REAR, 0.01, count=1),
    "gasket, digital micrometer": gasket(0.001, 0.004),
    "gasket, even, micrometer": gasket(0.01, 0.001),
    "gasket, uneven, micrometer": gasket(0.01, 0.006),
    "gasket, maker's limits": makers_gasket,
    "ratio, by burette": ratio(burette_b),
    "ratio, by weighing": ratio(SCALE_01),
    "weighing, temperature unread": unread(SCALE_01, 10, 30),
    "weighing, unread and warm": unread(SCALE_01, 28, 34),
    **{f"stroke listed twice, hand × {k:g}": stroke(2, k) for k in HANDS},
    "drop read once, hand × 1": drop(1, 1.0),
    "drop read once, hand × 1.5": drop(1, 1.5),
    "drop read once, hand up to × 1.5": drop(1, None),
    **{f"drop read twice, hand × {k:g}": drop(2, k) for k in HANDS},
    "drop read twice, vernier": drop(2, 1.0, "depth gauge"),
    **{f"deck read 3 times, hand × {k:g}": lone_deck(3, k) for k in HANDS},
    **{f"two fills, hand × {k:g}": hands(2, k) for k in HANDS},
    **{f"two fills × 2, hand × {k:g}": hands(2, k, count=2) for k in HANDS},
    **{f"four fills, hand × {k:g}": hands(4, k) for k in HANDS},
}
