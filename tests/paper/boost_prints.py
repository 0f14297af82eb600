"""Boost pages of the example and of changed jobs, made once each and read back."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from ccassist.analysis.results import survey
from ccassist.job.file import load
from ccassist.paper.documents import boost_bytes
from ccassist.plan.boost.story import BoostStory, boost_story
from tests.boost_job import CAM, CHARGE, ENGINE
from tests.paper.letters import pages_of
from tests.sound_survey import surveyed

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
    return tuple(one.text for one in pages_of(printed(text, page, system)))


def flowing(text: str, page: str = "A4", system: str = "metric") -> str:
    """All words in one line, however they were broken."""
    return " ".join(" ".join(pages(text, page, system)).split())


def squeezed(text: str) -> str:
    """Without any space: a table breaks a text wherever its column ends."""
    return "".join(text.split())


def cells(text: str, system: str = "metric") -> str:
    """Every cell of every table, whole."""
    found = []
    for page in pages_of(printed(text, "A4", system)):
        found += page.words_as_drawn
    return squeezed("".join(found))
