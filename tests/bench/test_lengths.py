"""What a mean length rests on: rounding of every reading in it, and of a list the same.

JCGM 100:2008, F.2.2.1: a step is a rectangle as wide; of n readings taken apart in one mean it counts 1/√n.
"""

from __future__ import annotations

import math

import pytest

from ccassist.bench.cell import Cell
from ccassist.bench.fluids import FLUIDS
from ccassist.bench.instruments import INSTRUMENTS
from ccassist.bench.kit import Kit
from ccassist.bench.pooled import repeats_of
from ccassist.bench.reductions import reduce_cell
from ccassist.bench.trouble import judged
from ccassist.values.uncertainty import budget
from tests.bench.test_trouble import DIAL, MM, dialled, in_words

STEP = 0.005  # mm: half a division of the dial


def shares(cells: list[Cell], words: str) -> list[float]:
    """Standard uncertainties [mm] of the first one's deck clearance, of causes named so."""
    kit = Kit(instruments=INSTRUMENTS, fluids=FLUIDS)
    kit.scatter = judged(repeats_of(cells, kit), in_words).scatter
    (value,) = reduce_cell(cells[0], kit).values.values()
    return [row.standard / MM for row in budget(value.number) if words in row.cause.name]


def test_front_and_rear_are_rounded_each_by_itself_and_repeats_alike_together() -> None:
    """Three cylinders read three times alike: only the rounding is left, of two readings in a mean."""
    assert INSTRUMENTS[DIAL].resolution == STEP * MM
    cells = [dialled(n, [(0.20, 0.21)] * 3) for n in (1, 2, 3)]
    assert shares(cells, "reading dial") == [pytest.approx(STEP / math.sqrt(12) / math.sqrt(2))]
    assert shares(cells, "repeat scatter") == []


def test_repeats_that_scatter_bear_their_scatter_and_no_rounding() -> None:
    """Means of front and rear 0.20, 0.22, 0.24 mm: s is 0.02 mm, over √3."""
    cells = [dialled(n, [(0.20, 0.20), (0.22, 0.22), (0.24, 0.24)]) for n in (1, 2, 3)]
    assert shares(cells, "repeat scatter") == [pytest.approx(0.02 / math.sqrt(3))]
    assert shares(cells, "reading dial") == []
