"""What shows beside the sister cylinders: where each limit begins, and which reading is pointed at.

The limits are common practice, no source; the chance of what clean readings show is held in test_trouble.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import pytest
from scipy.stats import t as student

from ccassist.bench.cell import Cell, Reading
from ccassist.bench.fluids import FLUIDS
from ccassist.bench.instruments import INSTRUMENTS
from ccassist.bench.kit import Kit
from ccassist.bench.other_cylinders import _reason
from ccassist.bench.reductions import reduce_cell
from ccassist.bench.repeats import RARE
from ccassist.bench.steps import STEPS
from ccassist.values.findings import Finding
from tests.bench.test_trouble import DIAL, MM, amount, dialled, filled, found, sisters, weighed
from tests.each import each


def said(code: str, cells: Sequence[Cell], banks: Sequence[Sequence[int]] = ((1, 2, 3, 4, 5, 6),)) -> list[Finding]:
    """The findings of one kind."""
    return [finding for finding in found(cells, banks) if finding.code == code]


def chambers(*volumes: float) -> list[Cell]:
    """Chambers [cc], two fills each."""
    return [filled(n, (volume, volume)) for n, volume in enumerate(volumes, start=1)]


@pytest.mark.parametrize(
    ("volumes", "odd"),
    [
        ((40.0, 40.1, 40.2, 50.1), [4]),
        ((40.0, 40.1, 40.2, 50.35), [4]),  # the rest lie 0.2 apart; the jump within 0.3 of 10
        ((40.0, 40.1, 40.2, 50.45), []),
        ((40.0, 41.2, 42.4, 51.8), [4]),  # the rest lie 2.4 apart, under a quarter of the refill: a jump of 10.6
        ((40.0, 41.3, 42.6, 51.3), []),  # 2.6 apart: they do not agree
        ((40.0, 40.1, 40.2, 30.1), [4]),  # less, too
        ((40.0, 40.1), []),
        ((40.0, 50.0), []),  # of two nobody can say which
        ((40.0, 40.0, 50.0), [3]),
    ],
)
def test_a_sister_is_off_by_a_refill_only_beside_others_that_agree(volumes: Sequence[float], odd: list[int]) -> None:
    findings = said("sister-refill", chambers(*volumes))
    assert [f.place for f in findings] == [f"cylinder {n}" for n in odd]
    assert [f.line for f in findings] == [100 * n + 1 for n in odd]  # its last fill
    assert all("10.00 cc" in f.wrong for f in findings)


@pytest.mark.parametrize(
    ("volumes", "odd"),
    [
        ((40.0, 40.4, 40.2, 4.02), [4]),
        ((40.0, 49.0, 44.0, 4.4), [4]),  # 9 apart, under a quarter of the usual 44
        ((38.0, 50.0, 44.0, 4.4), []),
        ((80.0, 84.0, 82.0, 8.8), [4]),  # within 5 % and half of what they lie apart: 0.0744 of itself
        ((80.0, 84.0, 82.0, 8.85), []),
        ((1.0, 1.0, 1.0, 0.1), []),  # too little to be a slip
        ((40.0, 40.1, 40.2, 40.2 / 16.387), [4]),
    ],
)
def test_a_sister_in_another_unit_only_beside_others_that_agree(volumes: Sequence[float], odd: list[int]) -> None:
    findings = said("sister-slip", chambers(*volumes))
    assert [f.place for f in findings] == [f"cylinder {n}" for n in odd]
    assert [f.line for f in findings] == [100 * n + 1 for n in odd]


@pytest.mark.parametrize(("deck", "odd"), [(0.04, 0), (0.05, 0), (0.06, 1), (0.30, 1)])
def test_a_deck_with_its_sign_the_other_way_lies_more_than_a_tenth_of_a_millimetre_off(deck: float, odd: int) -> None:
    cells = [dialled(n, [(mm, mm)] * 2) for n, mm in enumerate((deck, deck, -deck, deck), start=1)]
    assert [f.place for f in said("sister-slip", cells)] == ["cylinder 3"] * odd


def test_sisters_in_two_states_are_not_set_beside_each_other() -> None:
    cells = chambers(40.0, 40.1, 40.2, 50.1)
    assert said("sister-refill", [*cells[:3], replace(cells[3], state="opened")]) == []
    assert said("sister-refill", [replace(cell, state="opened") for cell in cells])


@pytest.mark.parametrize(
    ("low", "of", "shows"),
    [
        ((0.0, 0.0, 0.0), (0.8, 0.8, 0.8), True),
        ((0.0, 0.0, 0.0), (-0.8, -0.8, -0.8), False),  # reads high: no trickle was lost
        ((0.8, 0.8, 0.8), (0.8, 0.8, 0.8), False),  # large ones as much: not a trickle
        ((0.0, 0.0, 0.0), (0.02, 0.02, 0.02), False),  # within the scatter
    ],
)
def test_a_trickle_is_swallowed_only_of_small_fills(low: Sequence[float], of: Sequence[float], shows: bool) -> None:
    """46 g and 12 g of water are 46.13 and 12.03 ml; so much [g] less by the scale."""
    cells = []
    for n, (large, small) in enumerate(zip(low, of, strict=True), start=1):
        cells += [filled(n, (46.15, 46.15, 46.15)), weighed(n, [46.00 - large + g for g in (0, 0.01, 0)])]
        few = filled(n, (12.05, 12.05, 12.05), first_line=1000 + 10 * n, step="crown-bench")
        cells += [few, weighed(n, [12.00 - small + g for g in (0, 0.01, 0)], step="crown-bench")]
    findings = said("auto-zero", cells)
    assert bool(findings) is shows
    assert [f.place for f in findings] == ["cylinder 1"] * shows


@pytest.mark.parametrize(("small", "shows"), [(12.0, True), (20.0, True), (26.0, False)])
def test_a_small_fill_is_at_most_half_of_the_largest(small: float, shows: bool) -> None:
    """Beside 46 ml, each read 0.8 g low."""
    cells = []
    for n in (1, 2, 3):
        cells += [filled(n, (46.15, 46.15, 46.15)), weighed(n, (46.00, 46.01, 46.00))]
        few = [small + ml for ml in (0.05, 0.05, 0.1)]
        cells.append(filled(n, few, first_line=1000 + 10 * n, step="crown-bench"))
        cells.append(weighed(n, [small - 0.8 + g for g in (0, 0.01, 0)], step="crown-bench"))
    assert bool(said("auto-zero", cells)) is shows


def test_one_route_alone_or_one_cylinder_shows_no_offset() -> None:
    by_both = [cell for n in (1, 2) for cell in (filled(n, (46.0, 46.0, 46.0)), weighed(n, (45.0, 45.0, 45.0)))]
    (finding,) = said("constant-offset", by_both)
    assert finding.place == "cylinder 1, cylinder 2"
    assert finding.wrong.startswith("by burette 50 ml class B (line 100)")  # it reads more
    assert said("constant-offset", by_both[:2]) == []
    assert said("constant-offset", by_both[::2]) == []
    uneven = [*by_both[:2], filled(2, (46.0, 46.0, 46.0)), weighed(2, (46.9, 46.9, 46.9))]
    assert said("constant-offset", uneven) == []
    wide = [*by_both[:2], filled(2, (46.0, 46.0, 46.0)), weighed(2, (42.9, 42.9, 42.9))]  # 0.9 and 3.0 cc, not the same
    assert said("constant-offset", wide) == []


def rows_of(step: str, method: str, *rows: dict[str, float]) -> Cell:
    """Lengths of a step [mm], read to 0.01 mm."""
    way = next(one for one in STEPS[step].methods if one.key == method)
    terms = {field.name: field.term for field in way.fields}
    readings = tuple(
        Reading(
            fields={name: (amount(terms[name], mm * MM, 0.01 * MM),) for name, mm in row.items()},
            method=way,
            line=10 * n,
        )
        for n, row in enumerate(rows, start=1)
    )
    return Cell(step=STEPS[step], cylinders=(1,), readings=readings, instrument=DIAL, line=9)


def tapering() -> tuple[str, str, tuple[str, str], list[str]]:
    """A step and a way of reading whose ends show taper, and all its fields."""
    return next(
        (step.key, way.key, way.tapers, [field.name for field in way.fields])
        for step in STEPS.values()
        for way in step.methods
        if way.tapers
    )


@pytest.mark.parametrize(("taper", "side"), [(0.03, ""), (0.04, "near the top"), (-0.03, ""), (-0.04, "low down")])
def test_a_bore_tapers_from_three_hundredths_on(taper: float, side: str) -> None:
    step, way, (top, low), names = tapering()
    row = {**dict.fromkeys(names, 84.0), top: 84.0 + taper, low: 84.0}
    findings = said("taper", [rows_of(step, way, row, row, row)])
    assert [f.wrong.split("wider ")[1].startswith(side) for f in findings] == [True] * bool(side)
    assert [f.line for f in findings] == [30] * bool(side)


@pytest.mark.parametrize(("lower", "tilted"), [(0.05, False), (0.06, True), (0.2, True)])
def test_a_deck_is_tilted_from_five_hundredths_on(lower: float, tilted: bool) -> None:
    step, way, names = next((s.key, w.key, w.even) for s in STEPS.values() for w in s.methods if w.even)
    for corner in names:
        row = {**dict.fromkeys(names, 220.0), corner: 220.0 - lower}
        findings = said("deck-tilted", [rows_of(step, way, row, row)])
        assert [f.wrong.startswith(f"the {corner.replace('_', ' ')} corner is ") for f in findings] == [True] * tilted
        assert [f.line for f in findings] == [20] * tilted


@pytest.mark.parametrize(("rock", "rocks"), [(0.1, 0), (3.0, 2), (-3.0, 2)])
def test_a_piston_that_would_rock_too_far_is_asked_about_row_by_row(rock: float, rocks: int) -> None:
    step, way, (one, other), names = next(
        (s.key, w.key, w.rocks, [f.name for f in w.fields]) for s in STEPS.values() for w in s.methods if w.rocks
    )
    row = {**dict.fromkeys(names, 0.5), one: 0.5 + rock, other: 0.5}
    findings = said("piston-rocks", [rows_of(step, way, row, row)])
    assert [f.line for f in findings] == [10, 20][:rocks]
    assert all(f.asks for f in findings)


def test_a_deck_is_judged_state_by_state_and_at_its_last_reading() -> None:
    cells = [dialled(n, [(mm, mm)] * 3) for n, mm in enumerate((0.20, 0.20, 0.32, 0.20), start=1)]
    (finding,) = said("one-deck-out", cells)
    assert (finding.place, finding.line, finding.asks) == ("cylinder 3", 3032, False)
    assert said("one-deck-out", [*cells[:2], replace(cells[2], state="decked"), cells[3]]) == []


@pytest.mark.parametrize(("apart", "asks"), [(0.15, False), (0.9, True)])
def test_a_piston_far_out_is_asked_about(apart: float, asks: bool) -> None:
    cells = [dialled(n, [(mm, mm)] * 3) for n, mm in enumerate((1.0, 1.0, 1.0 + apart, 1.0), start=1)]
    (finding,) = said("one-deck-out", cells)
    assert finding.asks is asks


@pytest.mark.parametrize(("apart", "said_of_it"), [(0.9, False), (1.1, True)])
def test_banks_differ_by_more_than_their_own_scatter(apart: float, said_of_it: bool) -> None:
    """0.24, 0.20, 0.28 and again, so much lower: s of 0.04 mm with four degrees, t s √(1/3 + 1/3)."""
    far = float(student.ppf(1 - RARE / 2, 4)) * 0.04 * math.sqrt(2 / 3)
    decks = [1.24, 1.20, 1.28, *(mm + apart * far for mm in (1.24, 1.20, 1.28))]
    cells = [dialled(n, [(mm, mm)] * 3) for n, mm in enumerate(decks, start=1)]
    assert bool(said("bank-offset", cells, [(1, 2, 3), (4, 5, 6)])) is said_of_it
    assert said("bank-offset", cells, [(1, 2, 3, 4, 5, 6)]) == []


@pytest.mark.parametrize(("banks", "said_of_it"), [([(1, 2), (3, 4)], True), ([(1, 2), (3,)], False)])
def test_a_bank_of_two_shows_its_height_and_one_piston_does_not(
    banks: Sequence[Sequence[int]], said_of_it: bool
) -> None:
    cells = [dialled(n, [(mm, mm)] * 3) for n, mm in enumerate((0.20, 0.20, 0.27, 0.27), start=1)]
    assert bool(said("bank-offset", cells, banks)) is said_of_it


def test_the_clean_ones_say_nothing_of_this() -> None:
    assert found(sisters()) == []


def decks(*depths: float) -> list[Cell]:
    return [dialled(n, [(mm, mm)] * 3) for n, mm in enumerate(depths, start=1)]


@each(
    ("depths", "banks", "code", "line", "place", "side"),
    [
        ((0.30, 0.30, 0.20, 0.20), [(1, 2), (3, 4)], "bank-offset", 3010, "banks", "on cylinders 1, 2 the pistons"),
        ((0.20, 0.20, 0.30, 0.30), [(1, 2), (3, 4)], "bank-offset", 3030, "banks", "on cylinders 3, 4 the pistons"),
        ((0.20, 0.30, 0.40, 0.50), [(1, 2, 3, 4)], "deck-slope", 3010, "cylinders 1 to 4", "steadily lower"),
        ((0.50, 0.40, 0.30, 0.20), [(1, 2, 3, 4)], "deck-slope", 3010, "cylinders 1 to 4", "steadily higher"),
        (
            (0.20, 0.20, 0.35, 0.20),
            [(1, 2, 3, 4)],
            "one-deck-out",
            3032,
            "cylinder 3",
            "lower than its neighbours",
        ),
        ((0.30, 0.30, 0.15, 0.30), [(1, 2, 3, 4)], "one-deck-out", 3032, "cylinder 3", "higher than its neighbours"),
    ],
)
def test_what_a_deck_shows_is_said_of_the_lower_at_its_line(
    depths: Sequence[float], banks: Sequence[Sequence[int]], code: str, line: int, place: str, side: str
) -> None:
    (finding,) = said(code, decks(*depths), banks)
    assert (finding.line, finding.place) == (line, place)
    assert side in finding.wrong


@each(
    ("tilt", "code", "words"),
    [
        (0.04, "", ""),
        (0.06, "front-rear", "front further below deck"),
        (-0.06, "front-rear", "rear further below deck"),
    ],
)
def test_front_and_rear_agree_to_five_hundredths(tilt: float, code: str, words: str) -> None:
    cells = [dialled(1, [(0.3 + tilt, 0.3)] * 3)]
    found_ = said("front-rear", cells)
    assert [(f.line, words in f.wrong, f.asks) for f in found_] == ([(3012, True, False)] if code else [])


@each(("tilt", "asks"), [(0.2, False), (2.0, True)])
def test_a_tilt_beyond_any_rock_is_asked_about(tilt: float, asks: bool) -> None:
    (finding,) = said("front-rear", [dialled(1, [(0.3 + tilt, 0.3)] * 3)])
    assert finding.asks is asks


@each(
    ("more", "hole", "why"),
    [
        (0.226, True, "about what the plate's hole holds"),  # 6 mm wide and 8 mm tall: 0.226 cc (cylinder)
        (0.29, True, "about what the plate's hole holds"),  # within three tenths of it
        (0.31, True, "a plate hole or film"),
        (0.226, False, "a plate hole or film"),
    ],
)
def test_an_offset_as_large_as_the_plates_hole_is_likeliest_that(more: float, hole: bool, why: str) -> None:
    sized = {"hole_diameter": (amount("hole_diameter", 6e-3, 1e-6),)}
    sized |= {"plate_thickness": (amount("plate_thickness", 8e-3, 1e-6),)} if hole else {}
    grams = [46.0 / 1.00284] * 3
    cells = [
        replace(one, settings=sized) if one.instrument != "scale 0.01 g" else one
        for n in (1, 2)
        for one in (filled(n, [46.0 + more] * 3), weighed(n, grams))
    ]
    kit = Kit(instruments=INSTRUMENTS, fluids=FLUIDS)
    reduced = [reduce_cell(cell, kit) for cell in cells]
    assert why in _reason(reduced[0], reduced[1], more * 1e-6)
    assert "scale that swallows" not in _reason(reduced[1], reduced[0], 1e-6)
