"""A drawing as data: how it is measured, what its figures hold, and how it comes out as SVG and in letters."""

from __future__ import annotations

import math
from xml.etree import ElementTree

import pytest

from ccassist.cli.layout import PLAIN, Letters, bar_lines, dot_lines
from ccassist.phone.pieces import svg
from ccassist.report.blocks import Bars, DotPlot, ShareBar, Sum
from ccassist.report.figures import bars_scene, before_after, budget_bars, dot_plot, dots_scene
from ccassist.report.scene import HATCHES, Area, Clip, Lettering, Scene, hatch_lines, measure, moved, rectangle
from ccassist.values.display import formatter
from ccassist.values.measured import Value, computed
from ccassist.values.uncertainty import Cause, doubt
from ccassist.values.verdict import parse_band
from ccassist.vocabulary.units import System
from tests.report.scenes import faults


def chamber(cc: float, spread: float) -> Value:
    """A chamber with a standard uncertainty, cc."""
    effect = doubt(spread * 1e-6, Cause(name="burette (part.chamber.x): its scale", dof=math.inf))
    return computed("chamber_volume", cc * 1e-6 + effect)


def plot(cylinders: int, system: System = System.METRIC) -> DotPlot:
    """Chambers against what is wanted, each having been a little larger."""
    values = [
        (f"cylinder {n}", chamber(47.9 + 0.1 * n, 0.1), chamber(47.3 + 0.13 * n, 0.11)) for n in range(1, cylinders + 1)
    ]
    return before_after(values, formatter(system), parse_band("47.2 to 47.9 cc", "chamber_volume"))


@pytest.mark.parametrize("system", System)
@pytest.mark.parametrize("cylinders", [1, 8])
def test_figures_stay_within_their_frame(cylinders: int, system: System) -> None:
    bars = budget_bars(chamber(47.3, 0.1).number, "What makes the ±")
    assert bars is not None
    for width in (120.0, 177.0):
        assert not faults(dots_scene(plot(cylinders, system), width))
        assert not faults(bars_scene(bars, width))


def test_the_checker_finds_what_it_is_for() -> None:
    over = Scene(50, 20, (Lettering((5, 5), "one"), Lettering((6, 5), "other")))
    assert len(faults(over)) == 1
    assert len(faults(Scene(5, 20, (Lettering((1, 5), "too long for it"),)))) == 1


def test_a_band_without_an_end_and_an_unknown_spread_are_drawn() -> None:
    values = [("cylinder 1", computed("squish", 0.0009 + doubt(math.nan, Cause(name="one reading", dof=1))))]
    made = dot_plot(values, formatter(System.METRIC), parse_band("at least 0.9 mm", "squish"))
    assert not faults(dots_scene(made, 177.0))
    assert "cannot tell" in "\n".join(dot_lines(made, 80))


def test_shares_of_a_budget_add_to_the_whole_and_name_no_key() -> None:
    number = chamber(47.3, 0.3).number + doubt(0.1e-6, Cause(name="temperature", dof=math.inf))
    made = budget_bars(number, "What makes the ±")
    assert made is not None
    assert [one.name for one in made.bars] == ["burette (chamber): its scale", "temperature"]
    assert [one.share for one in made.bars] == pytest.approx([0.9, 0.1])  # 0.3² and 0.1² of their sum
    assert [one.figure for one in made.bars] == ["90.0 %", "10.0 %"]


def test_svg_is_well_formed_and_says_texts_as_they_are() -> None:
    nasty = '<script>"&' + chr(27) + "]"
    scene = Scene(
        60, 30, (Clip((1, 1, 30, 20), (Area(rectangle((0, 0, 40, 25)), "crossed"), Lettering((3, 3), nasty))),)
    )
    root = ElementTree.fromstring(svg(scene, title=nasty))
    spaces = {"s": "http://www.w3.org/2000/svg"}
    texts = [one.text for one in root.iterfind(".//s:text", spaces)]
    assert texts == [nasty.replace(chr(27), " ")]
    assert root.get("width") == "60mm"
    named = {one.get("id") for one in root.iterfind(".//s:clipPath", spaces)}
    used = {one.get("clip-path") for one in root.iterfind(".//s:g", spaces)}
    assert used == {f"url(#{name})" for name in named}
    assert len(used) == 1


@pytest.mark.parametrize("name", HATCHES)
def test_a_hatch_fills_its_shape_and_nothing_else(name: str) -> None:
    """The length of its lines times their distance is about the area, once for each way: here of a shape with a bay."""
    corners = (
        (0.0, 0.0),
        (60.0, 0.0),
        (60.0, 40.0),
        (40.0, 40.0),
        (40.0, 10.0),
        (20.0, 10.0),
        (20.0, 40.0),
        (0.0, 40.0),
    )
    step, ways = HATCHES[name]
    lines = list(hatch_lines(corners, name))
    area = sum(math.dist(*line) for line in lines) * step / math.sqrt(2)
    assert area == pytest.approx(len(ways) * (60 * 40 - 20 * 30), rel=0.02)
    for start, end in lines:
        x, y = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
        assert not (20 < x < 40 and y > 10)
    box = (10.0, 5.0, 50.0, 30.0)
    seen = hatch_lines(corners, name, box)
    assert all(box[n] - 1e-9 <= point[n] <= box[n + 2] + 1e-9 for line in seen for point in line for n in (0, 1))


def test_what_is_moved_keeps_its_shape() -> None:
    items = dots_scene(plot(3), 120).items
    back = moved(moved([Clip((0, 0, 9, 9), items)], 7, 5), -7, -5)
    (window,) = back
    assert isinstance(window, Clip)
    assert [type(one) for one in window.items] == [type(one) for one in items]
    assert window.box == pytest.approx((0, 0, 9, 9))


def test_words_are_measured_wide_enough_for_paper() -> None:
    pytest.importorskip("reportlab")
    from ccassist.paper.sheet import STRONG, TEXT, register
    from ccassist.paper.sheet import measure as true

    register()
    for text in ("8.512 ± 0.057", "squish gap, mm; DISH: adds 8.7 cc of space", "MWm@ Top ring 1:2.5 − + ÷ 30°"):
        for bold, font in ((False, TEXT), (True, STRONG)):
            assert true(text, font, 3.0) <= measure(text, bold, 3.0) <= 1.05 * true(text, font, 3.0)


@pytest.mark.parametrize("width", [60, 80])
def test_figures_in_letters_fit_the_window(width: int) -> None:
    lines = dot_lines(plot(8), width)
    assert max(map(len, lines)) < width
    assert sum(Letters().dot in line for line in lines) == 9  # eight, and the legend
    bars = Bars(
        "What makes the ±",
        (ShareBar("burette: permissible error of its scale", 0.98, "98.0 %"), ShareBar("x", 0, "0 %")),
    )
    assert max(map(len, bar_lines(bars, width))) < width


def test_a_terminal_without_such_letters_gets_plain_ones(monkeypatch: pytest.MonkeyPatch) -> None:
    class Old:
        encoding = "ascii"

    monkeypatch.setattr("sys.stdout", Old())
    lines = dot_lines(plot(2), 80)
    assert PLAIN.dot in lines[0]
    assert Letters().dot not in "".join(lines)


def test_a_sum_keeps_its_columns_under_one_another() -> None:
    from ccassist.cli.layout import report_lines
    from ccassist.report.blocks import Report

    heads = ("volumes, cc", *(f"cyl. {n}" for n in range(1, 9)))
    made = Sum(head=heads, rows=(("chamber", *["47.605"] * 8),), totals=(("added", *["47.605"] * 8),))
    for width in (60, 80):
        lines = report_lines(Report(title="", subject="", answer=(made,)), everything=True, width=width)
        assert max(map(len, lines)) < width
        assert " ".join(lines).count("47.605") == 16
