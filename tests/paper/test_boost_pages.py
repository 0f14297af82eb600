"""Boost pages: the numbers of the JSON, words, cautions, and that what is drawn lies where the scales say.

What the numbers themselves are worth is checked in the rooms that make them.
"""

from __future__ import annotations

import math
import re
from functools import cache
from io import BytesIO
from itertools import combinations
from pathlib import Path
from typing import Any

import pdfplumber
import pypdf
import pytest
from boost_job import BASELINE, CAM, CHARGE, ENGINE, JOB, replaced, surveyed
from sound_job import Shop

from ccassist.boost.cautions import BESIDE, CAUTIONS, beside
from ccassist.findings import InputError
from ccassist.job.file import load
from ccassist.paper.boost_curve import ClosingCurve
from ccassist.paper.boost_map import OCTANE, Panel, panels
from ccassist.paper.boost_pages import asked, boost_bytes
from ccassist.paper.fonts import register
from ccassist.paper.plot import inside, overlap, words_box
from ccassist.paper.sheet import STRONG, Sheet
from ccassist.paper.worksheet import worksheet_bytes
from ccassist.plan.boost_data import to_dict
from ccassist.plan.boost_field import boost_field
from ccassist.plan.boost_story import BoostStory, boost_story
from ccassist.plan.boost_words import stated_text
from ccassist.results import survey
from ccassist.terms import term
from ccassist.units import conversion

EXAMPLE = Path(__file__).parents[2] / "examples" / "turbo-four.toml"
NO_BASELINE = ENGINE + CAM + CHARGE
MARGIN = 14 / 25.4 * 72
WAYS = [("A4", "metric"), ("Letter", "imperial")]


@cache
def story(text: str) -> BoostStory:
    """The whole story of a job, once; the example where no text is given."""
    return boost_story(surveyed(text) if text else survey(load(EXAMPLE).job))


@cache
def printed(text: str, page: str = "A4", system: str = "metric") -> bytes:
    """Its pages."""
    return boost_bytes(story(text), page=page, system=system)[0]


@cache
def pages(text: str, page: str = "A4", system: str = "metric") -> tuple[str, ...]:
    """The text of each page."""
    with pdfplumber.open(BytesIO(printed(text, page, system))) as document:
        return tuple(one.extract_text() or "" for one in document.pages)


def flowing(text: str, page: str = "A4", system: str = "metric") -> str:
    """All words in one line, however they were broken."""
    return " ".join(" ".join(pages(text, page, system)).split())


def squeezed(text: str) -> str:
    """Without any space: a table breaks a text wherever its column ends."""
    return "".join(text.split())


def cells(text: str, system: str = "metric") -> str:
    """Every cell of every table, whole."""
    found = []
    with pdfplumber.open(BytesIO(printed(text, "A4", system))) as document:
        for page in document.pages:
            words = page.extract_words(use_text_flow=True)
            found += [word["text"] for word in words]
    return squeezed("".join(found))


# -- the numbers ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("text", ["", JOB])
@pytest.mark.parametrize("system", ["metric", "imperial"])
def test_every_number_of_the_json_stands_on_the_page(text: str, system: str) -> None:
    found, said = to_dict(story(text), system), cells(text, system)
    assert not [one for one in _texts(found) if squeezed(one) not in said]
    knock = found["knock"]
    assert squeezed(f"Asks {abs(knock['octane_difference']):.1f} octane more of the fuel") in said
    for end in ("low", "high"):
        assert f"{abs(knock[end]):.1f}{'more' if knock[end] >= 0 else 'less'}" in said
    for part in ("shared", "unshared", "measured"):
        assert f"±{knock[part]:.1f}octane" in said
    natural = knock["natural_ratio"]["harder_than_baseline_by"]
    assert squeezed("by {value:.1f} ({low:.1f} to {high:.1f} by the shared unknowns)".format(**natural)) in said
    assert f"{100 * knock['share_of_draws_harder']:.0f}in100" in said


def _texts(found: Any) -> list[str]:
    """Every printed value in it, and every word said of a value, of a convention, or by the file."""
    if isinstance(found, list):
        return [text for one in found for text in _texts(one)]
    if not isinstance(found, dict):
        return []
    own = [found[key] for key in ("text", "holds_equal", "misleads_when", "lift_basis") if found.get(key)]
    if {"name", "text"} <= set(found) and found.get("value") is not None:
        own = [_as_printed(found)]
    return [*own, *(text for one in found.values() for text in _texts(one))]


def _as_printed(value: dict[str, Any]) -> str:
    """Its amount: an exact ratio is printed as short as it is, a sign of "harder" in words."""
    text = str(value["text"])
    if not value["expanded_uncertainty"] and re.fullmatch(r"[\d.]+", text):
        return f"{float(value['value']):g}"
    return text.lstrip("-−") if "less the baseline" in value["how"] else text


@pytest.mark.parametrize("text", ["", JOB])
def test_every_figure_of_the_charge_says_whether_it_is_stated_or_assumed(text: str) -> None:
    said, told = cells(text), story(text)
    stated, assumed = said.index(squeezed("figure value origin")), said.index(squeezed("Assumed, because nothing"))
    for values, start in ((told.chosen, stated), (told.assumed, assumed)):
        for one in values:
            row = f"{term(one.key).name} {stated_text(one, 'metric')} {one.origin}"
            assert said.index(squeezed(row)) > start, row
    assert squeezed("spark best torque stated" if text else "spark held back from knock stated") in said
    assert squeezed("reference of the pressure ratio 101.325 kPa fixed") in said


# -- words and cautions ---------------------------------------------------------------------------------


@pytest.mark.parametrize("text", ["", JOB, NO_BASELINE, ENGINE + CAM])
def test_planning_is_said_and_nothing_is_promised(text: str) -> None:
    said = flowing(text)
    assert "planning figures, each named by its meaning" in said
    assert not re.search(r"\b(un)?safe", said, re.IGNORECASE)
    assert not re.search(r"\beffective\b", said, re.IGNORECASE)
    assert not re.search(r"threshold|required octane", said, re.IGNORECASE)


def test_each_caution_stands_on_the_page_of_its_figures() -> None:
    beneath = {
        "trapped": "trapped ratio: volume at intake closing",
        "charge": "reference of the pressure ratio",
        "compression": "exponent of equal",
        "equivalents": "What the ratio is worth without boost",
        "knock": "what makes the interval",
    }
    for text in ("", JOB):
        whole = [" ".join(page.split()) for page in pages(text)]
        for figures, head in beneath.items():
            page = next(page for page in whole if head in page)
            for caution in beside(figures):
                assert caution in page, (figures, caution)
        (drawn,) = [page for page in whole if "Boost by static ratio" in page]
        assert all(caution in drawn for caution in (*beside("compression"), *beside("knock")))
        assert all(CAUTIONS[key] in " ".join(whole) for keys in BESIDE.values() for key in keys)


def test_the_lift_stands_with_the_trapped_ratio() -> None:
    said = flowing(JOB)
    assert "Intake closing 55.0 ± 2.0 deg after BDC, at 1.00 mm lift of the valve." in said
    assert "Trapped ratio of cylinder 2 against intake closing, at 1.00 mm lift of the valve" in said


def test_above_fourteen_a_figure_is_only_harder_than_the_baseline() -> None:
    high = replaced(JOB, ("1.0 bar", "2.0 bar"), ("45.0 +/- 0.3", "36.0 +/- 0.3"))
    found = to_dict(story(high), "metric")
    said = cells(high)
    beyond = [line for one in found["cylinders"] for line in one["equivalents"] if line["above_14"]]
    assert beyond
    for line in beyond:
        assert squeezed(f"harder than the baseline by {line['harder_than_baseline_by']['text']} in ratio") in said or (
            line not in found["cylinders"][found["highest_ratio"] - 1]["equivalents"]
        )
    worst = next(one for one in story(high).cylinders if one.number == story(high).worst)
    assert worst.build is not None
    for one in worst.build.equivalents:
        if one.beyond:
            assert f"{one.number.nominal_value:.2f}" not in said


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (NO_BASELINE, "none is named; add a [baseline]"),
        (replaced(JOB, ('octane_number = "95"', 'octane_number = "95"\nethanol_share = "30 %"')), "of ethanol"),
    ],
)
def test_without_a_comparison_it_says_why_and_draws_no_map_of_it(text: str, words: str) -> None:
    said = flowing(text)
    assert words in said
    assert "octane more of the fuel" not in said
    assert "Octane difference from the baseline" not in said
    assert "No map of knock" in said
    assert "End-of-compression pressure, bar" in said
    assert [panel.key for panel in drawn_panels(text)] == ["end_pressure", "end_temperature"]


def test_without_charge_there_is_the_static_and_trapped_story() -> None:
    said = flowing(ENGINE + CAM)
    assert "No [charge] is given, so this is the story without boost" in said
    assert "against intake closing" in said
    assert "end pressure" not in said
    assert "Knock" not in said


def test_without_closing_it_is_asked() -> None:
    said = flowing(ENGINE + CHARGE)
    assert "Not given: intake closing." in said
    assert "Not compared: the trapped ratio is not known." in said
    assert "intake closing is not given, so no ratio but the static one is known" in said


def test_texts_of_the_file_are_only_text() -> None:
    said = flowing(replaced(JOB, ("the same engine as it was", "<b>\\u001b[31m & {x}")))
    assert "<b><U+001B>[31m & {x} run last year" in said


# -- the pages ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("page", "system"), WAYS)
@pytest.mark.parametrize("text", ["", JOB, NO_BASELINE])
def test_nothing_leaves_the_margins_or_lies_over_anything_else(text: str, page: str, system: str) -> None:
    with pdfplumber.open(BytesIO(printed(text, page, system))) as document:
        for number, one in enumerate(document.pages, 1):
            words = one.extract_words()
            assert f"page {number} of {len(document.pages)}" in (one.extract_text() or "")
            for word in words:
                assert word["x0"] >= MARGIN, word["text"]
                assert word["x1"] <= one.width - MARGIN, word["text"]
                assert 20 <= word["top"] < word["bottom"] <= one.height - 12, word["text"]
            for a, b in combinations(words, 2):
                across = min(a["x1"], b["x1"]) - max(a["x0"], b["x0"])
                down = min(a["bottom"], b["bottom"]) - max(a["top"], b["top"])
                assert not (across > 0.6 and down > 0.35 * (a["bottom"] - a["top"])), (a["text"], b["text"])


def test_the_same_story_gives_the_same_bytes() -> None:
    again = boost_bytes(boost_story(surveyed(JOB)), page="A4", system="metric")[0]
    assert again == printed(JOB)


def test_they_stand_in_the_worksheet_only_where_asked() -> None:
    titles = {}
    for text in (ENGINE, ENGINE + CAM):
        engine = surveyed(text)
        reader = pypdf.PdfReader(BytesIO(worksheet_bytes(engine)[0]))
        titles[asked(engine)] = [entry.title for entry in reader.outline]
    assert "Static, trapped and boosted" not in titles[False]
    assert "Static, trapped and boosted" in titles[True]
    assert [title for title in titles[True] if title in titles[False]] == titles[False]


def test_the_command_writes_them(shop: Shop) -> None:
    shop.write(JOB)
    assert shop.run("boost", "job.toml", "--out", "boost.pdf", "--page", "Letter") == 0, shop.err
    reader = pypdf.PdfReader("boost.pdf")
    assert f"Wrote boost.pdf, {len(reader.pages)} pages Letter." in shop.lines
    assert float(reader.pages[0].mediabox.width) == pytest.approx(612)
    assert shop.run("boost", "job.toml", "--out", "job.toml") == 2
    assert "would replace the job file" in shop.err


def test_an_unknown_page_size_is_refused() -> None:
    with pytest.raises(InputError, match="no such page size"):
        boost_bytes(story(JOB), page="A9", system="metric")


# -- the pictures ---------------------------------------------------------------------------------------


def drawn_panels(text: str, system: str = "metric") -> tuple[Panel, ...]:
    """The maps before they are drawn."""
    register()
    found = boost_field(story(text))
    assert found is not None
    return panels(Sheet(survey=story(text).survey, system=system), found)


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
    for one in to_dict(story(JOB), "metric")["curve"]:
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
