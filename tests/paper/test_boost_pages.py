"""Boost pages: the numbers of the JSON, words, cautions, and that nothing lies over anything else.

What the numbers themselves are worth is checked in the rooms that make them.
"""

from __future__ import annotations

import re
from io import BytesIO
from typing import Any

import pypdf
import pytest

from ccassist.boost.cautions import BESIDE, CAUTIONS, beside
from ccassist.paper.boost_pages import asked, boost_bytes
from ccassist.paper.worksheet import worksheet_bytes
from ccassist.plan.boost.story import boost_story, to_dict
from ccassist.plan.boost.words import stated_text
from ccassist.values.display import METRIC, formatter
from ccassist.values.findings import InputError
from ccassist.vocabulary import term
from tests.boost_job import CAM, CHARGE, ENGINE, JOB, replaced, surveyed
from tests.paper.boost_prints import (
    MARGIN,
    NO_BASELINE,
    WAYS,
    cells,
    flowing,
    pages,
    printed,
    squeezed,
    story,
)
from tests.paper.letters import over_one_another, pages_of
from tests.sound_job import Shop

# -- the numbers ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("text", ["", JOB])
@pytest.mark.parametrize("system", ["metric", "imperial"])
def test_every_number_of_the_json_stands_on_the_page(text: str, system: str) -> None:
    found, said = to_dict(story(text), formatter(system)), cells(text, system)
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
            row = f"{term(one.key).name} {stated_text(one, METRIC)} {one.origin}"
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
        (drawn,) = [page for page in whole if "Boost by static ratio Cylinder" in page]
        assert all(caution in drawn for caution in (*beside("compression"), *beside("knock")))
        assert all(CAUTIONS[key] in " ".join(whole) for keys in BESIDE.values() for key in keys)


def test_the_lift_stands_with_the_trapped_ratio() -> None:
    said = flowing(JOB)
    assert "Intake closing 55.0 ± 2.0 deg after BDC, at 1.00 mm lift of the valve." in said
    assert "Trapped ratio of cylinder 2 against intake closing, at 1.00 mm lift of the valve" in said


def test_phasing_is_not_in_the_figures_under_boost_and_that_is_said() -> None:
    assert "All figures under boost hold for the closing as read, not over the phasing." in flowing("")
    assert "not over the phasing" not in flowing(JOB)


def test_above_fourteen_a_figure_is_only_harder_than_the_baseline() -> None:
    high = replaced(JOB, ("1.0 bar", "2.0 bar"), ("45.0 +/- 0.3", "36.0 +/- 0.3"))
    found = to_dict(story(high), METRIC)
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
    found = pages_of(printed(text, page, system))
    for number, one in enumerate(found, 1):
        assert f"page {number} of {len(found)}" in one.text
        for word in one.words:
            assert word["x0"] >= MARGIN, word["text"]
            assert word["x1"] <= one.width - MARGIN, word["text"]
            assert 20 <= word["top"] < word["bottom"] <= one.height - 12, word["text"]
        assert over_one_another(one.words) == []


def test_the_same_story_gives_the_same_bytes() -> None:
    again = boost_bytes(boost_story(surveyed(f"{JOB}\n# worked out anew\n")), page="A4", system="metric")[0]
    assert again == printed(JOB)


def test_they_stand_in_the_worksheet_only_where_asked() -> None:
    titles = {}
    for text in (ENGINE, ENGINE + CAM):
        engine = surveyed(text)
        reader = pypdf.PdfReader(BytesIO(worksheet_bytes(engine, everything=True)[0]))
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
