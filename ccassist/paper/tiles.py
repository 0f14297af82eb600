"""Boxes at the head of the page: whose engine, and the large figures."""

from __future__ import annotations

from reportlab.platypus import Flowable

from ccassist.analysis.results import Survey
from ccassist.analysis.worth import JUDGED
from ccassist.paper.furniture import Line, labelled
from ccassist.paper.page import SLANT, STRONG
from ccassist.paper.sheet import GREY, Sheet
from ccassist.report.columns import bare, sign_words
from ccassist.values.display import Formatter
from ccassist.values.findings import Finding, Level
from ccassist.values.measured import Value
from ccassist.values.verdict import Band, Verdict, decide

# Values as they stand in a table: the number with its ±, and apart from it the words of its sign.

NOT_GIVEN = "not given"


def pieces(value: Value | None, fmt: Formatter, band: Band | None = None) -> tuple[str, list[Line]]:
    """The number with its ±, and the words beside it: its sign, a ± not known yet, the verdict."""
    if value is None:
        return "", [Line(NOT_GIVEN, SLANT, shade=GREY)]
    words = [Line(text, shade=GREY) for text in (sign_words(value, fmt),) if text]
    if band is not None:
        said = decide(value, band)
        words.append(Line(said.value, STRONG if said is Verdict.OUTSIDE else SLANT))
    return bare(value, fmt), words


def given(survey: Survey, key: str) -> list[tuple[int, Value]]:
    """A term's values with their cylinder numbers, for the cylinders that have it."""
    return [(c.number, c.values[key]) for c in survey.cylinders if key in c.values]


def headline_key(survey: Survey) -> str | None:
    """What the job comes to: the ratio, else the clearance volume, else the chamber volume."""
    return next((key for key in JUDGED if given(survey, key)), None)


# What to look at, in words, with what to do about it.


def told(sheet: Sheet, finding: Finding) -> Flowable:
    """One finding by itself."""
    return labelled(mark(finding.level), sheet.words(finding.text()))


def mark(level: Level) -> str:
    """The word that stands beside a finding."""
    return "LOOK" if level > Level.NOTE else "note"
