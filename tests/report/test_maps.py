"""The pictures of the boost pages: what is drawn lies where the scales say, and words keep clear of it."""

from __future__ import annotations

import math
from functools import cache
from itertools import combinations

import pytest

from ccassist.plan.boost.field import boost_field
from ccassist.plan.boost.story import BoostStory, boost_story
from ccassist.report.axes import inside, overlap, words_box
from ccassist.report.curves import ClosingCurve
from ccassist.report.maps import OCTANE, Panel, maps_scene, panels
from ccassist.report.scene import Disc, Lettering, Stroke
from ccassist.values.display import formatter
from ccassist.vocabulary.units import conversion
from tests.boost_job import BASELINE, CAM, ENGINE, JOB, replaced
from tests.report.scenes import faults
from tests.sound_survey import surveyed

WIDE = 177.0


@cache
def story(text: str) -> BoostStory:
    """The whole story of a job, once."""
    return boost_story(surveyed(text))


def drawn_panels(system: str = "metric") -> tuple[Panel, ...]:
    """The maps of the job."""
    found = boost_field(story(JOB))
    assert found is not None
    return panels(found, story(JOB).survey.wanted.get("static_ratio"), formatter(system), WIDE)


def at(panel: Panel, x: float, y: float) -> float:
    """The field at a place of the page, in proportion between the points of the grid about it."""
    boosts, ratios = panel.field.map.boosts, panel.field.map.ratios
    i, j = x / panel.axes.wide * (len(boosts) - 1), y / panel.axes.high * (len(ratios) - 1)
    a, b = min(int(i), len(boosts) - 2), min(int(j), len(ratios) - 2)
    s, t = i - a, j - b
    near, far = ((1 - t) * panel.values[n][b] + t * panel.values[n][b + 1] for n in (a, a + 1))
    return float((1 - s) * near + s * far)


@pytest.mark.parametrize("system", ["metric", "imperial"])
def test_the_labels_of_the_lines_say_what_the_field_is_there(system: str) -> None:
    units = {"end_pressure": ("bar", "psi"), "end_temperature": ("°C", "°F"), OCTANE: ("", "")}
    for panel in drawn_panels(system):
        unit = conversion(units[panel.key][system == "imperial"])
        assert len(panel.labels) >= 3
        spread = max(max(row) for row in panel.values) - min(min(row) for row in panel.values)
        for label in panel.labels:
            assert (label.contour.text[0] == "+") is (panel.key == OCTANE and label.contour.level > 0)
            said = float(label.contour.text.replace("−", "-")) * unit.scale + unit.zero
            assert at(panel, *label.middle) == pytest.approx(said, abs=2e-3 * spread)


def test_labels_keep_clear_of_one_another_and_of_the_marks() -> None:
    for panel in drawn_panels():
        boxes = [words_box(label.middle, label.contour.text) for label in panel.labels]
        boxes += [words_box(middle, words, True) for words, middle in panel.named]
        assert len(panel.named) == len(panel.marks) == 2
        assert all(inside(box, panel.axes.box) for box in boxes)
        assert not [1 for one, other in combinations(boxes, 2) if overlap(one, other, 0)]


@pytest.mark.parametrize("system", ["metric", "imperial"])
def test_the_maps_keep_within_their_frame(system: str) -> None:
    told = ["The map is of cylinder 2, the one with the highest ratio.", "Lines: round values."]
    found = drawn_panels(system)
    assert not faults(maps_scene(found, told, WIDE))
    assert not faults(maps_scene(found[:2], told, WIDE))


def test_the_marks_lie_at_boost_and_ratio_and_differ_in_shape() -> None:
    for panel in drawn_panels():
        (base, _, where), (own, _, here) = panel.marks
        assert (base, own) == ("baseline", "this engine")
        boosts, ratios = panel.field.map.boosts, panel.field.map.ratios
        static = story(JOB).worst_one
        assert static is not None
        assert static.static_ratio is not None
        for point, boost, ratio in ((here, 1e5, static.static_ratio.nominal), (where, 0.6e5, 9.0)):
            assert boosts[0] + point[0] / panel.axes.wide * (boosts[-1] - boosts[0]) == pytest.approx(boost)
            assert ratios[0] + point[1] / panel.axes.high * (ratios[-1] - ratios[0]) == pytest.approx(ratio)
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
    for panel in drawn_panels():
        (_, _, where), (_, _, here) = panel.marks
        assert at(panel, *here) == pytest.approx(own[panel.key], rel=1e-3)
        if panel.key == OCTANE:
            assert at(panel, *where) == pytest.approx(0.0, abs=0.01)


def test_lines_of_octane_end_where_the_delay_formula_does() -> None:
    """It is stated for 80 to 110 octane; the baseline runs on 95, as the engine does."""
    panel = drawn_panels()[-1]
    assert panel.key == OCTANE
    assert all(80 - 95 <= one.level <= 110 - 95 for one in panel.contours)
    assert {one.level for one in panel.contours if one.dash} <= {80 - 95, 110 - 95}
    assert any(one.dash for one in panel.contours)
    (nothing,) = [one for one in panel.contours if one.level == 0]
    assert nothing.width == max(one.width for one in panel.contours)


def curve_of(text: str, system: str = "metric") -> ClosingCurve:
    """The curve before it is drawn."""
    return ClosingCurve(story=story(text), fmt=formatter(system), width=WIDE)


def test_the_curve_runs_through_the_numbers_of_the_json() -> None:
    points = {round(math.degrees(x), 6): y for x, y in curve_of(JOB).points}
    for one in story(JOB).curve:
        angle = round(math.degrees(one.intake_closing), 6)
        assert points[angle] == pytest.approx(one.trapped_ratio.nominal, rel=1e-9)


@pytest.mark.parametrize(("closing", "last"), [("125 +/- 2 deg after BDC", 135.0), ("20 +/- 2 deg before BDC", 100.0)])
def test_an_unusual_closing_widens_the_curve(closing: str, last: float) -> None:
    points = curve_of(replaced(ENGINE + CAM, ("55 +/- 2 deg after BDC", closing))).points
    ends = [math.degrees(x) for x, _ in (points[0], points[-1])]
    assert ends == pytest.approx([min(0.0, -30.0 if "before" in closing else 0.0), last])


def test_the_dot_and_its_doubt_lie_where_the_scale_says() -> None:
    """The closing 55 ± 2 degrees after bottom dead centre, between the labels of the ticks."""
    items = curve_of(ENGINE + CAM).scene().items
    ticks = {float(one.text): one.at[0] for one in items if isinstance(one, Lettering) and one.text.isdigit()}
    scale = (ticks[100.0] - ticks[20.0]) / 80
    (middle,) = {one.at[0] for one in items if isinstance(one, Disc) and one.fill == "black"}
    assert middle == pytest.approx(ticks[20.0] + 35 * scale)
    level = [one.points for one in items if isinstance(one, Stroke) and one.points[0][1] == one.points[-1][1]]
    assert any(points[-1][0] - points[0][0] == pytest.approx(4 * scale) for points in level)


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
    assert not faults(drawn.scene())
    boxes = [box for box, _ in drawn.told]
    assert all(inside(box, drawn.axes.box) for box in boxes)
    assert not [1 for one, other in combinations(boxes, 2) if overlap(one, other)]
    for x, y in (drawn.axes.at(*point) for point in drawn.points):
        assert not [1 for box in boxes if overlap(box, (x, y, x, y))]


def test_phasing_is_a_strip_with_the_ratio_at_both_ends() -> None:
    """Both ends of the phasing are as the cam card and the phasing have them: 55 less 20, and 55 plus 10 degrees."""
    phased = curve_of(ENGINE + CAM + 'intake_phase_advance = "20 deg"\nintake_phase_retard = "10 deg"\n')
    said = " ".join(line.text for _, lines in phased.told for line in lines)
    for words in ("hatched: range of the intake cam's", "fully advanced, 35.0 deg", "fully retarded, 65.0 deg"):
        assert words in said
    assert phased.range is not None
    assert curve_of(ENGINE + CAM).range is None


def test_a_baseline_alone_brings_no_map() -> None:
    assert boost_field(story(ENGINE + CAM + BASELINE)) is None
