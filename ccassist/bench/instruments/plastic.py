"""Plastic syringes, beakers and bottles."""

from __future__ import annotations

from collections.abc import Iterator
from math import sqrt

from ccassist.bench.instruments.instrument import Instrument, Limit
from ccassist.vocabulary import Kind

ML = 1e-6

# capacity, division [ml]; divisions differ between makes (common practice, no source): declare your own
SYRINGES = ((1, 0.01), (2, 0.1), (3, 0.1), (5, 0.2), (10, 0.5), (20, 1), (30, 1), (50, 1), (60, 1), (100, 2))

# ISO 7886-1:2017, clause 8, Table 1: half of capacity downwards, capacity share + share of what is expelled;
# upwards, one share of what is expelled.  The two meet at half capacity.
SMALL, LARGE = (0.015, 0.02, 0.05), (0.015, 0.01, 0.04)
BREAK = 5  # ml, where the larger family begins (from memory)

# Polypropylene: handbook figures lie between 240e-6 and 450e-6 and are partly
# exchanged with another plastic's; ± 50 %.
POLYPROPYLENE, POLYPROPYLENE_DOUBT = 345e-6, 0.5 * 345e-6 / sqrt(3)

_ONE_WAY = (
    "Press the plunger in one direction only, to the same stop each time; do not use the last few per cent; "
    "no air, no needle. Weighing a few fills makes it several times better."
)


def plastics() -> Iterator[Instrument]:
    """Syringes, a beaker and an unmarked bottle."""
    for capacity, division in SYRINGES:
        yield _syringe(capacity, division)
    yield Instrument(
        key="beaker",
        name="beaker, by its marks",
        kind=Kind.VOLUME,
        resolution=5 * ML,
        limits=(Limit(up_to=1000 * ML, share=0.10),),
        capacity=1000 * ML,
        synonyms=("jug",),
        source="ISO 3819, marks ± 10 %",
        known="memory",
        advice="Its marks are for orientation: gross-error check only.",
    )
    yield Instrument(
        key="unmarked bottle",
        name="bottle or tube without a known scale",
        kind=Kind.VOLUME,
        resolution=0.0,
        limits=(),
        capacity=2000 * ML,
        source="nothing is known of its scale",
        known="common practice",
        synonyms=("bottle", "marked bottle", "squeeze bottle", "tube"),
        advice="Calibrate it first, or weigh it before and after the fill.",
    )


def _syringe(capacity: float, division: float) -> Instrument:
    of_capacity, of_expelled, upper = SMALL if capacity < BREAK else LARGE
    return Instrument(
        key=f"syringe {capacity:g} ml",
        name=f"plastic syringe, {capacity:g} ml",
        kind=Kind.VOLUME,
        resolution=division / 2 * ML,
        limits=(
            Limit(up_to=capacity / 2 * ML, fixed=of_capacity * capacity * ML, share=of_expelled),
            Limit(up_to=capacity * ML, share=upper),
        ),
        capacity=capacity * ML,
        expansion=POLYPROPYLENE,
        expansion_doubt=POLYPROPYLENE_DOUBT,
        source="ISO 7886-1:2017, clause 8, Table 1",
        known="seen" if capacity in {1, 10} else "memory",
        synonyms=(f"plastic syringe {capacity:g} ml", f"catheter-tip syringe {capacity:g} ml"),
        advice=_ONE_WAY,
    )
