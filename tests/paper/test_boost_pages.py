"""Boost pages: all that is told, the headline and the maps first, and that nothing lies over anything else.

What the numbers themselves are worth is checked in the rooms that make them.
"""

from __future__ import annotations

from io import BytesIO

import pypdf
import pytest

from ccassist.paper.documents import asked, boost_bytes, worksheet_bytes
from ccassist.plan.boost.story import boost_story
from ccassist.report.boost import boost_report
from ccassist.report.boost_told import boost_of
from ccassist.report.findings import on_paper
from ccassist.values.display import formatter
from ccassist.values.findings import InputError
from tests.boost_job import CAM, ENGINE, JOB
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
from tests.sound_survey import surveyed

LEAST = 25  # words on the last page


@pytest.mark.parametrize(("text", "system"), [("", "imperial"), (JOB, "metric")])
def test_everything_told_stands_on_the_pages(text: str, system: str) -> None:
    fmt, said = formatter(system), cells(text, system)
    report = boost_report(story(text), boost_of(story(text), fmt), fmt)
    for block in (*report.answer, *report.support):
        for words in (on_paper(getattr(block, "words", "")), *("".join(row) for row in getattr(block, "rows", ()))):
            assert squeezed(words) in said, words


def test_headline_and_maps_come_before_the_tables() -> None:
    for text in ("", JOB):
        said = flowing(text)
        order = ("of the fuel than the baseline", "no harder in 95 of 100", "Boost by static ratio", "Every cylinder")
        places = [said.index(words) for words in order]
        assert places == sorted(places)
        first = " ".join(pages(text)[0].split())
        assert all(words in first for words in (*order[:2], "against intake closing"))


def test_without_a_comparison_there_is_no_map_of_it() -> None:
    said = flowing(NO_BASELINE)
    assert "No map of knock" in said
    assert "End-of-compression pressure, bar" in said
    assert "Octane difference from the baseline" not in said


@pytest.mark.parametrize(("text", "page", "system"), [("", *WAYS[1]), (JOB, *WAYS[0]), (NO_BASELINE, *WAYS[0])])
def test_nothing_leaves_the_margins_or_lies_over_anything_else(text: str, page: str, system: str) -> None:
    found = pages_of(printed(text, page, system))
    for number, one in enumerate(found, 1):
        assert f"page {number} of {len(found)}" in one.text
        for word in one.words:
            assert word["x0"] >= MARGIN, word["text"]
            assert word["x1"] <= one.width - MARGIN, word["text"]
            assert 20 <= word["top"] < word["bottom"] <= one.height - 12, word["text"]
        assert over_one_another(one.words) == []
    assert len(found[-1].words) > LEAST


def test_the_same_story_gives_the_same_bytes() -> None:
    again = boost_bytes(boost_story(surveyed(f"{NO_BASELINE}\n# worked out anew\n")), page="A4", system="metric")[0]
    assert again == printed(NO_BASELINE)


def test_they_stand_in_the_worksheet_only_where_asked() -> None:
    titles = {}
    for text in (ENGINE, ENGINE + CAM):
        engine = surveyed(text)
        reader = pypdf.PdfReader(BytesIO(worksheet_bytes(engine, everything=True)[0]))
        titles[asked(engine)] = [entry.title for entry in reader.outline]
    assert "Static, dynamic and boosted" not in titles[False]
    assert "Static, dynamic and boosted" in titles[True]
    assert [title for title in titles[True] if title in titles[False]] == titles[False]


def test_an_unknown_page_size_is_refused() -> None:
    with pytest.raises(InputError, match="no such page size"):
        boost_bytes(story(JOB), page="A9", system="metric")
