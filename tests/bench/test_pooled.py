"""Readings made one way: the steps they were read to, when they agree, and what is known of them together.

Rounding to a step is a rectangle as wide (JCGM 100:2008, F.2.2.1); apparent kilograms of water: Z of ISO 8655-6 at
20 °C, 1.0029 ml/g (from memory).  How far apart readings may lie before they are looked at: common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import pytest
from scipy.stats import studentized_range

from ccassist.bench.cell import Cell
from ccassist.bench.fluids import FLUIDS
from ccassist.bench.instruments import INSTRUMENTS
from ccassist.bench.kit import Kit
from ccassist.bench.lengths import Several
from ccassist.bench.pooled import Repeats, beside, joined, of_several, refills, repeats_of, scatters, usual_hand
from ccassist.bench.repeats import RARE, UNKNOWN, Declared, Scatter, Source, most_scattered
from ccassist.bench.step import Way
from ccassist.values.quantity import parse
from ccassist.vocabulary import term
from ccassist.vocabulary.units import Origin
from tests.bench.test_trouble import BURETTE, CC, DIAL, MM, dialled, filled, weighed

KIT = Kit(instruments=INSTRUMENTS, fluids=FLUIDS)
WAY = Way("chamber", "burette", "mine")


def read(*values: float, grain: float = 0.05, key: str = "chamber_volume", usual: Scatter = UNKNOWN) -> Repeats:
    """Readings of one thing, in cc or mm."""
    unit = CC if key == "chamber_volume" else MM
    return Repeats(
        way=WAY, name="one", key=key, where="cylinder 1", values=tuple(v * unit for v in values), grain=grain * unit,
        rounding=grain * unit / math.sqrt(12), usual=usual,
    )  # fmt: skip


def known(standard: float) -> Declared:
    return Declared(standard=standard)


@pytest.mark.parametrize(
    ("figures", "together"),
    [((), None), ((None,), None), ((None, 0.1), None), ((0.1, None), None), ((0.1, 0.3, 0.2), 0.3), ((0.1,), 0.1)],
)
def test_one_figure_for_all_is_the_largest_and_none_where_one_lacks(
    figures: Sequence[float | None], together: float | None
) -> None:
    found = joined([None if one is None else known(one) for one in figures])
    assert (found.standard if found else None) == together


@pytest.mark.parametrize("span", [0.0, 1.0, 1.9, 2.0, 2.1, 3.0])
def test_two_steps_of_the_scale_show_nothing(span: float) -> None:
    """The same for a scale of any step, and whatever the usual scatter."""
    fine = Scatter(standard=1e-12, dof=8.0, source=Source.POOLED)
    for grain in (0.01, 0.05, 1.0):
        one = read(40.0, 40.0 + span * grain, grain=grain, usual=fine)
        assert one.span == pytest.approx(span * grain * CC)
        assert one.within_steps is (span <= 2)
        assert one.agree(one.values) is (span <= 2)


def test_how_far_apart_is_wide_where_no_scatter_is_known() -> None:
    """2 cc or 0.1 mm, or six steps of a coarser scale."""
    assert [read(1, 2, grain=g).wide / CC for g in (0.05, 0.3, 1.0)] == pytest.approx([2, 2, 6])
    assert [read(1, 2, grain=g, key="stroke").wide / MM for g in (0.01, 0.05)] == pytest.approx([0.1, 0.3])
    for apart, agrees in ((1.9, True), (2.0, True), (2.1, False)):
        one = read(0, apart)
        assert one.agree(one.values) is agrees


@pytest.mark.parametrize(
    ("groups", "least", "worst"),
    [
        (((1.0, 1.0), (2.0, 2.0)), 0.0, (-1, 1.0)),  # nothing scatters
        (((1.0, 2.0), (2.0, 2.0), (3.0, 3.0)), 0.0, (0, 0.0)),  # beside others without any
        (((1.0, 2.0),), 0.0, (-1, 1.0)),  # beside none
    ],
)
def test_where_the_others_do_not_scatter_at_all(
    groups: Sequence[Sequence[float]], least: float, worst: tuple[int, float]
) -> None:
    found = most_scattered(groups, least)
    assert found[1] == pytest.approx(worst[1])
    assert worst[0] in (found[0], -1)


def test_what_is_usual_of_a_hand_is_half_of_what_is_known_of_the_reading() -> None:
    """A stroke measured, nobody says with what: half of its ± of 95 %, over 1.96."""
    half = term("stroke").silent_width(Origin.MEASURED, 0.08)
    assert usual_hand("stroke", [0.08, 0.08], 1e-5).standard == pytest.approx(half / 1.96 / 2, rel=1e-3)


@pytest.mark.parametrize(("count", "dof"), [(2, 4.0), (3, 8.0), (5, 16.0)])
def test_against_the_usual_scatter_it_is_the_studentized_range(count: int, dof: float) -> None:
    """One in two hundred clean series lies farther apart: SciPy's studentized range."""
    usual = Scatter(standard=0.1 * CC, dof=dof, source=Source.POOLED)
    limit = 0.1 * float(studentized_range.ppf(1 - RARE, count, dof))
    for part, agrees in ((0.98, True), (1.02, False)):
        one = read(*[40.0] * (count - 1), 40 + part * limit, grain=0.001, usual=usual)
        assert one.agree(one.values) is agrees


def grain_of(cell: Cell) -> tuple[float, float]:
    (one,) = repeats_of([cell], KIT)
    return one.grain, one.rounding * math.sqrt(12) / one.grain


def test_the_step_of_the_scale_in_what_a_row_finds() -> None:
    """A burette's start and end; a scale's grams as ml of water, twice; the two of a dial as one."""
    assert INSTRUMENTS[BURETTE].resolution == 0.05 * CC
    fill = replace(filled(1, (40.0, 40.1)), fluid="water")
    assert grain_of(fill) == pytest.approx((0.05 * CC, math.sqrt(2)))
    assert grain_of(weighed(1, (40.0, 40.1))) == pytest.approx((0.01 * 1.0029 * CC, math.sqrt(2)), rel=2e-4)
    assert grain_of(dialled(1, [(0.2, 0.21)])) == pytest.approx((0.01 * MM, 1))


def test_the_coarser_of_what_the_tool_shows_and_what_was_written_counts() -> None:
    cell = filled(1, (40.0, 40.1))
    coarse = [
        replace(row, fields={name: (replace(q[0], step=0.1 * CC),) for name, q in row.fields.items()})
        for row in cell.readings
    ]
    assert grain_of(replace(cell, readings=tuple(coarse)))[0] == pytest.approx(0.1 * CC)
    assert grain_of(replace(cell, instrument=""))[0] == pytest.approx(0.05 * CC)


def several(*texts: str, tool: str) -> Several:
    drops = tuple(parse(text, "crown_drop") for text in texts)
    return Several(quantities=drops, key="crown_drop", where="drop", instrument=tool, way=WAY, name="drop")


@pytest.mark.parametrize(("tool", "grain"), [("dial indicator", 0.005), ("stick", 0.1), ("", 0.1), ("unknown", 0.1)])
def test_a_list_is_read_to_its_tools_step_or_as_it_was_written_where_that_has_none(tool: str, grain: float) -> None:
    stick = replace(INSTRUMENTS[DIAL], key="stick", resolution=0.0, repeatability=None)
    found = of_several(several("6.0 mm", "6.1 mm", tool=tool), Kit(instruments={**INSTRUMENTS, "stick": stick}))
    assert found.grain == pytest.approx(grain * MM)
    assert found.rounding == pytest.approx(grain * MM / math.sqrt(12))
    assert found.values == pytest.approx((6.0 * MM, 6.1 * MM))
    assert found.texts == ("6.0 mm", "6.1 mm")
    assert found.line_of(1) is None


def test_a_reading_is_numbered_among_all_those_set_aside_too() -> None:
    cell = filled(1, (40.0, 44.0, 40.1))
    rows = (cell.readings[0], replace(cell.readings[1], set_aside="spilt"), cell.readings[2])
    (one,) = repeats_of([replace(cell, readings=rows)], KIT)
    assert [one.number(i) for i in range(2)] == [1, 3]
    assert [one.line_of(i) for i in range(2)] == [100, 102]
    assert one.values == pytest.approx((40.0 * CC, 40.1 * CC))
    assert (one.fills, one.noun, read(1, 2, key="stroke").noun) == (True, "fill", "reading")


def test_each_is_set_against_the_scatter_of_the_others_never_its_own() -> None:
    """s of 0.1 and 0.3 cc apart by two readings each: √((0.1² + 0.3²)/2)/√2 with two degrees."""
    series = [replace(read(40, 40 + apart, grain=0.001), name=str(apart)) for apart in (0.1, 0.3, 5.0)]
    usual = beside(series, [True, True, False])[2].usual
    assert usual.standard == pytest.approx(math.sqrt((0.1**2 + 0.3**2) / 2 / 2) * CC)
    assert (usual.dof, usual.source) == (2, Source.POOLED)
    first = beside(series, [True, True, False])[0].usual
    assert math.isnan(first.standard)  # one other lends a single degree
    coarse = [replace(one, rounding=CC) for one in series]
    assert beside(coarse, [True, True, False])[2].usual.standard == CC


def test_what_stands_apart_leaves_the_pool_and_has_its_own_scatter() -> None:
    series = [replace(read(40, 40.1, 40.2, grain=0.001), name=str(i)) for i in range(3)]
    series.append(replace(read(40, 47, grain=0.001), name="odd"))
    found = scatters(series, {3})
    assert (found[WAY].standard, found[WAY].dof) == (pytest.approx(0.1 * CC), 6)
    assert found[WAY, "odd"].beyond
    assert math.isnan(found[WAY, "odd"].standard)
    together = scatters(series, ())
    assert together[WAY].standard == pytest.approx(math.sqrt((3 * 2 * 0.1**2 + 7**2 / 2) / 7) * CC)


def test_refills_go_wrong_by_round_amounts_or_what_the_tool_holds() -> None:
    assert refills(filled(1, (40.0,)), KIT) == pytest.approx((10 * CC, 25 * CC, 50 * CC))
    big = replace(filled(1, (40.0,)), instrument="burette 100 ml class B")
    assert refills(big, KIT) == pytest.approx((10 * CC, 25 * CC, 50 * CC, 100 * CC))
    assert refills(dialled(1, [(0.2, 0.2)]), KIT) == ()
    for tool, own in (("measuring cylinder 500 ml class B", (500 * CC,)), ("beaker", ()), ("syringe 10 ml", ())):
        found = refills(replace(filled(1, (40.0,)), instrument=tool), KIT)  # a litre and more is no refill
        assert found == pytest.approx((10 * CC, 25 * CC, 50 * CC, *own))
