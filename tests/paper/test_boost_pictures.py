"""The pictures of the boost pages: what is drawn lies where the scales say, and words keep clear of it."""

from __future__ import annotations

import math
import re
from io import BytesIO
from itertools import combinations

import pdfplumber
import pytest

from ccassist.paper.boost_drawings import OCTANE, ClosingCurve, Panel
from ccassist.paper.page import STRONG, register
from ccassist.paper.plot import inside, overlap, words_box
from ccassist.paper.sheet import Sheet
from ccassist.plan.boost.field import boost_field
from ccassist.plan.boost.story import to_dict
from ccassist.values.display import METRIC
from ccassist.vocabulary.units import conversion
from tests.boost_job import BASELINE, CAM, ENGINE, JOB, replaced
from tests.paper.boost_prints import (
    drawn_panels,
    flowing,
    printed,
    story,
)


def at(panel: Panel, x: float, y: float) -> float:
    """The field at a place of the page, in proportion between the points of the grid about it."""
    boosts, ratios = panel.field.map.boosts, panel.field.map.ratios
    i, j = x / panel.frame.wide * (len(boosts) - 1), y / panel.frame.high * (len(ratios) - 1)
    a, b = min(int(i), len(boosts) - 2), min(int(j), len(ratios) - 2)
    s, t = i - a, j - b
    near, far = ((1 - t) * panel.values[n][b] + t * panel.values[n][b + 1] for n in (a, a + 1))
    return float((1 - s) * near + s * far)


@pytest.mark.parametrize("system", ["metric", "imperial"])
@pytest.mark.parametrize("text", ["", JOB])
def test_the_labels_of_the_lines_say_what_the_field_is_there(text: str, system: str) -> None:
    units = {"end_pressure": ("bar", "psi"), "end_temperature": ("°C", "°F"), OCTANE: ("", "")}
    for panel in drawn_panels(text, system):
        unit = conversion(units[panel.key][system == "imperial"])
        assert len(panel.labels) >= 3
        spread = max(max(row) for row in panel.values) - min(min(row) for row in panel.values)
        for label in panel.labels:
            assert (label.contour.text[0] == "+") is (panel.key == OCTANE and label.contour.level > 0)
            said = float(label.contour.text.replace("−", "-")) * unit.scale + unit.zero
            assert at(panel, *label.middle) == pytest.approx(said, abs=2e-3 * spread)


def test_labels_keep_clear_of_one_another_and_of_the_marks() -> None:
    for text in ("", JOB):
        for panel in drawn_panels(text):
            boxes = [words_box(label.middle, label.contour.text) for label in panel.labels]
            boxes += [words_box(middle, words, STRONG) for words, middle in panel.named]
            assert len(panel.named) == len(panel.marks) == 2
            assert all(inside(box, panel.frame.box) for box in boxes)
            assert not [1 for one, other in combinations(boxes, 2) if overlap(one, other, 0)]


def test_the_marks_lie_at_boost_and_ratio_and_differ_in_shape() -> None:
    for panel in drawn_panels(JOB):
        (base, _, where), (own, _, here) = panel.marks
        assert (base, own) == ("baseline", "this engine")
        boosts, ratios = panel.field.map.boosts, panel.field.map.ratios
        static = story(JOB).worst_one
        assert static is not None
        assert static.static_ratio is not None
        for point, boost, ratio in ((here, 1e5, static.static_ratio.nominal), (where, 0.6e5, 9.0)):
            assert boosts[0] + point[0] / panel.frame.wide * (boosts[-1] - boosts[0]) == pytest.approx(boost)
            assert ratios[0] + point[1] / panel.frame.high * (ratios[-1] - ratios[0]) == pytest.approx(ratio)
        assert panel.marks[0][1] is not panel.marks[1][1]


def test_the_map_at_the_marks_is_what_the_tables_say() -> None:
    """At this engine's mark its own figures, and nothing at the baseline's where both are run alike."""
    told = story(JOB)
    worst = told.worst_one
    assert worst is not None
    assert worst.build is not None
    assert told.knock is not None
    assert told.knock.difference is not None
    own = {key: value.nominal for key, value in worst.build.values.items()} | {OCTANE: told.knock.difference.octane}
    for panel in drawn_panels(JOB):
        (_, _, where), (_, _, here) = panel.marks
        assert at(panel, *here) == pytest.approx(own[panel.key], rel=1e-3)
        if panel.key == OCTANE:
            assert at(panel, *where) == pytest.approx(0.0, abs=0.01)


def test_lines_of_octane_end_where_the_delay_formula_does() -> None:
    """It is stated for 80 to 110 octane; the baseline of the example runs on 98."""
    panel = drawn_panels("")[-1]
    assert panel.key == OCTANE
    assert all(80 - 98 <= one.level <= 110 - 98 for one in panel.contours)
    assert {one.level for one in panel.contours if one.dash} == {80 - 98, 110 - 98}
    (nothing,) = [one for one in panel.contours if one.level == 0]
    assert nothing.width == max(one.width for one in panel.contours)


def curve_of(text: str) -> ClosingCurve:
    """The curve before it is drawn."""
    register()
    told = story(text)
    worst, closing = told.worst_one, told.card.intake_closing
    assert worst is not None
    assert closing is not None
    return ClosingCurve(Sheet(survey=told.survey, system="metric"), told)


def test_the_curve_runs_through_the_numbers_of_the_json() -> None:
    points = {round(math.degrees(x), 6): y for x, y in curve_of(JOB).points}
    for one in to_dict(story(JOB), METRIC)["curve"]:
        angle = round(math.degrees(one["intake_closing"]), 6)
        assert points[angle] == pytest.approx(one["trapped_ratio"]["value"], rel=1e-9)


@pytest.mark.parametrize(("closing", "last"), [("125 +/- 2 deg after BDC", 135.0), ("20 +/- 2 deg before BDC", 100.0)])
def test_an_unusual_closing_widens_the_curve(closing: str, last: float) -> None:
    points = curve_of(replaced(ENGINE + CAM, ("55 +/- 2 deg after BDC", closing))).points
    ends = [math.degrees(x) for x, _ in (points[0], points[-1])]
    assert ends == pytest.approx([min(0.0, -30.0 if "before" in closing else 0.0), last])


def test_the_dot_and_its_doubt_lie_where_the_scale_says() -> None:
    """The closing 55 ± 2 degrees after bottom dead centre, between the labels of the ticks."""
    with pdfplumber.open(BytesIO(printed(ENGINE + CAM))) as document:
        page = document.pages[0]
        top = page.search("against intake closing", regex=False)[0]["bottom"]
        foot = page.search("intake closing, deg after BDC", regex=False)[0]["bottom"]
        box = page.crop((0, top, page.width, foot))
        ticks = {float(w["text"]): (w["x0"] + w["x1"]) / 2 for w in box.extract_words() if w["text"].isdigit()}
        dots = [c for c in box.curves if c["fill"] and c["non_stroking_color"] in (0, (0,), [0], (0.0,))]
        whisker = [w for w in box.lines if abs(w["top"] - w["bottom"]) < 0.01 and 5 < w["x1"] - w["x0"] < 60]
    scale = (ticks[100.0] - ticks[20.0]) / 80
    (middle,) = {round((c["x0"] + c["x1"]) / 2, 1) for c in dots if c["x1"] - c["x0"] < 10}
    assert middle == pytest.approx(ticks[20.0] + 35 * scale, abs=0.6)
    assert any(w["x1"] - w["x0"] == pytest.approx(4 * scale, abs=0.6) for w in whisker)


@pytest.mark.parametrize(
    ("closing", "phasing"),
    [("55", (0, 0)), ("98", (0, 0)), ("10", (35, 30)), ("46", (20, 0)), ("60", (0, 30)), ("2", (0, 0))],
)
def test_words_on_the_curve_keep_clear_of_it_and_of_each_other(closing: str, phasing: tuple[int, int]) -> None:
    text = replaced(ENGINE + CAM, ("55 +/- 2", f"{closing} +/- 2"))
    for way, angle in zip(("advance", "retard"), phasing, strict=True):
        text += f'intake_phase_{way} = "{angle} deg"\n' if angle else ""
    drawn = curve_of(text)
    assert len(drawn.told) == (3 if any(phasing) else 2)
    boxes = [one.box for one in drawn.told]
    assert all(inside(box, drawn.frame.box) for box in boxes)
    assert not [1 for one, other in combinations(boxes, 2) if overlap(one, other)]
    for x, y in (drawn.frame.at(*point) for point in drawn.points):
        assert not [1 for box in boxes if overlap(box, (x, y, x, y))]


def test_phasing_is_a_strip_with_the_ratio_at_both_ends() -> None:
    said = flowing("")
    assert "grey: range of the intake cam's phasing" in said
    assert re.search(r"fully advanced, 26.0 deg after BDC: 8.\d+ ± ", said)
    assert "range of the intake cam" not in flowing(ENGINE + CAM)


def test_a_baseline_alone_brings_no_map() -> None:
    assert boost_field(story(ENGINE + CAM + BASELINE)) is None
