"""Which piston and rod go to which hole, against every permutation worked out by hand sums."""

from __future__ import annotations

import json
import math
from itertools import permutations, product

import pytest

import ccassist.plan.balance as plan
from ccassist.analysis.results import Survey, sound_survey
from ccassist.job.file import parse_job
from ccassist.plan.assign import HoleFilled
from ccassist.plan.balance import Fitted, Swap, best_swap
from ccassist.values.number import nominal

CHAMBERS = (46.1, 46.9, 46.4)
CROWNS = (8.2, 9.1, 8.6)
HEIGHTS = (31.35, 31.41, 31.38)
RODS = (148.90, 148.94, 148.87)
DECKS = (0.20, 0.24, 0.21)
BORES = (83.40, 83.40, 83.40)
AREA = math.pi / 4 * 83.40**2


def text_of(*, bores=BORES, counted="not counted", **each: tuple[float, ...] | None) -> str:
    """A job of three cylinders; each measured where there is one of each."""
    given = {"compression_height": HEIGHTS, "rod_length": RODS, "crown_volume": CROWNS, **each}
    text = f"""format = 1
[engine]
cylinders = 3
stroke = "91.70 mm, measured"
gasket_volume = "7.9 +/- 0.5 cc, maker's figure"
land_diameter = "82.70 mm, measured"
land_height = "7.0 mm, measured"
[counted]
crevice = "{counted}"
"""
    for n in range(3):
        text += f'[cylinder.{n + 1}]\nchamber_volume = "{CHAMBERS[n]} +/- 0.1 cc, measured"\n'
        text += f'bore = "{bores[n]} mm, measured"\ndeck_clearance = "{DECKS[n]} +/- 0.01 mm below deck, measured"\n'
        for key, unit in (("compression_height", "mm"), ("rod_length", "mm"), ("crown_volume", "cc")):
            values = given[key]
            if values is not None:
                sign = "dish " if key == "crown_volume" else ""
                text += f'{key} = "{sign}{values[n]} +/- 0.02 {unit}, measured"\n'
    if given["crown_volume"] is None:
        text = text.replace("[counted]", 'crown_volume = "dish 8.5 +/- 0.2 cc, measured"\n[counted]')
    return text


def survey(**changes) -> Survey:
    return sound_survey(parse_job(text_of(**changes)).job)


def swap(**changes) -> Swap:
    found = best_swap(survey(**changes).cylinders)
    assert found is not None
    return found


def ratio(hole: int, piston: int, rod: int, bores=BORES) -> float:
    """By hand: a longer piston or rod lifts the crown by as much over the bore's area."""
    area = math.pi / 4 * bores[hole] ** 2 / 1000
    deck = DECKS[hole] + HEIGHTS[hole] - HEIGHTS[piston] + RODS[hole] - RODS[rod]
    clearance = CHAMBERS[hole] + 7.9 + area * deck + CROWNS[piston]
    return 1 + area * 91.7 / clearance


def spread(values: list[float]) -> float:
    return max(values) - min(values)


def placed(found: Swap) -> list[tuple[int, int, int]]:
    return [(m.hole - 1, m.piston - 1, m.rod - 1) for m in found.moves]


@pytest.mark.parametrize("bores", [BORES, (83.40, 83.52, 83.45)])
def test_pistons_and_rods_against_every_permutation(bores) -> None:
    """Common practice, no source: the sum is hand-made; with bores alike and not."""
    found = swap(bores=bores)
    best = min(
        spread([ratio(h, p, r, bores) for h, p, r in zip(range(3), pistons, rods, strict=True)])
        for pistons in permutations(range(3))
        for rods in permutations(range(3))
    )
    assert found.key == "static_ratio"
    assert found.proved
    assert nominal(found.after.difference) == pytest.approx(best, rel=1e-9)
    assert spread([ratio(*cell, bores) for cell in placed(found)]) == pytest.approx(best, rel=1e-9)
    assert nominal(found.before.difference) == pytest.approx(spread([ratio(n, n, n, bores) for n in range(3)]))


def test_pistons_alone_take_crown_and_height_with_them() -> None:
    """One rod length for all: each hole keeps its rod."""
    found = swap(rod_length=None)
    best = min(spread([ratio(h, p, h) for h, p in enumerate(pistons)]) for pistons in permutations(range(3)))
    assert (found.pistons, found.rods) == (("compression_height", "crown_volume"), ())
    assert nominal(found.after.difference) == pytest.approx(best, rel=1e-9)


def test_rods_alone() -> None:
    """Crowns by one figure and no compression heights: only rods can be told apart."""
    found = swap(crown_volume=None, compression_height=None)
    assert (found.pistons, found.rods) == ((), ("rod_length",))
    area = AREA / 1000

    def by_hand(hole: int, rod: int) -> float:
        clearance = CHAMBERS[hole] + 7.9 + area * (DECKS[hole] + RODS[hole] - RODS[rod]) + 8.5
        return 1 + area * 91.7 / clearance

    best = min(spread([by_hand(h, r) for h, r in enumerate(rods)]) for rods in permutations(range(3)))
    assert nominal(found.after.difference) == pytest.approx(best, rel=1e-9)


def test_what_is_known_by_one_figure_tells_nothing() -> None:
    assert best_swap(survey(crown_volume=None, compression_height=None, rod_length=None).cylinders) is None


def test_one_fill_for_all_pistons_tells_nothing_between_them() -> None:
    """The net crowns then differ only by the deck clearances of the holes."""
    text = text_of(crown_volume=(0, 0, 0), compression_height=None, rod_length=None)
    text = text.replace('crown_volume = "dish 0 +/- 0.02 cc, measured"\n', "")
    fill = """[part.set]
kind = "pistons"
[[series]]
step = "crown"
part = "set"
instrument = "burette 50 ml class B"
fluid = "water"
temperature = "20 degC"
hole = "not filled"
seal = "grease"
drop = "5.00 mm"
gauge = "dial indicator"
readings = [ { start = "0.1 ml", end = "39.1 ml" }, { start = "0.1 ml", end = "39.2 ml" } ]
"""
    cylinders = sound_survey(parse_job(text + fill).job).cylinders
    assert len({c.values["crown_volume"].nominal for c in cylinders}) == 3
    assert best_swap(cylinders) is None


def test_a_piston_brought_over_the_deck_where_the_crevice_is_not_counted() -> None:
    """Then the annulus beside the land counts too, as for every engine: the same relations choose (by hand)."""
    heights = (31.35, 31.65, 31.38)
    found = swap(compression_height=heights)
    fitted = Fitted(survey(compression_height=heights).cylinders, found.pistons, found.rods, found.key)
    proud = 0
    for hole, piston, rod in product(range(3), repeat=3):
        deck = DECKS[hole] + heights[hole] - heights[piston] + RODS[hole] - RODS[rod]
        area = AREA if deck >= 0 else math.pi / 4 * 82.70**2
        by_hand = 1 + AREA * 0.0917 / (CHAMBERS[hole] + 7.9 + area / 1000 * deck + CROWNS[piston])
        assert fitted.value(hole, piston, rod) == pytest.approx(by_hand, rel=1e-9)
        assert nominal(fitted.number(HoleFilled(0.0, hole, piston, rod))) == pytest.approx(by_hand, rel=1e-9)
        proud += deck < 0
    assert 0 < proud < 27


def test_the_doubt_of_what_is_left_keeps_what_is_shared_out() -> None:
    """The gasket's ± 0.5 cc is in no difference: a chamber's 0.1, a deck's 0.06 and a crown's 0.02 cc are."""
    found = swap(rod_length=None)
    one = math.hypot(0.1, 0.01 * AREA / 1000, 0.02, 2 * 0.02 * AREA / 1000) * 2**0.5
    per_cc = (ratio(0, 0, 0) - 1) ** 2 / (AREA * 0.0917)
    assert 0 < found.after.expanded < 1.3 * one * per_cc


def test_the_plan_as_data() -> None:
    data = plan.balance(survey()).to_dict()
    assert json.loads(json.dumps(data, allow_nan=False)) == data
    assert data["swap"]["rod_of_hole"] == {str(m.hole): m.rod for m in swap().moves}
    assert data["swap"]["proved_best"] is True
    assert data["spread"]["least_that_can_be_shown"] == data["spread"]["expanded_uncertainty"] > 0
