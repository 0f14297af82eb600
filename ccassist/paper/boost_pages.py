"""The boost pages: the answer, its maps and its curve, then all that supports it; alone, or in the worksheet."""

from __future__ import annotations

from pathlib import Path

from reportlab.platypus import Flowable

from ccassist.analysis.results import Survey
from ccassist.job.disk import write_bytes
from ccassist.paper.page import MM
from ccassist.paper.reports import drawn, report_bytes
from ccassist.paper.sheet import Sheet
from ccassist.plan.boost.story import BoostStory, boost_story
from ccassist.report.blocks import Heading, Report
from ccassist.report.boost import boost_report
from ccassist.report.boost_told import boost_of
from ccassist.values.display import Formatter, formatter


def asked(survey: Survey) -> bool:
    """Whether a job states anything that these pages are about."""
    return "cam" in survey.stated or "charge" in survey.stated


def write_boost(survey: Survey, path: str | Path, *, page: str = "A4", system: str | None = None) -> int:
    """Write the boost pages as a PDF, atomically; returns their number.

    Raises
    ------
    InputError : unknown page size, or the file cannot be written.
    """
    data, pages = boost_bytes(boost_story(survey, system=system), page=page, system=system)
    write_bytes(Path(path), data)
    return pages


def boost_bytes(story: BoostStory, *, page: str = "A4", system: str | None = None) -> tuple[bytes, int]:
    """The PDF and its number of pages; the same story gives the same bytes.

    ``system`` : "metric" or "imperial"; the job's own where None.

    Raises
    ------
    InputError : unknown page size.
    """
    fmt = formatter(system or story.survey.job.system)
    width = Sheet(survey=story.survey, system=fmt.system, page=page).width
    return report_bytes(_report(story, fmt, width), story.survey, page=page, fmt=fmt)


def boost_section(sheet: Sheet) -> list[Flowable]:
    """The boost pages of a worksheet; none where the job states nothing of cam or charge."""
    if not asked(sheet.survey):
        return []
    report = _report(boost_story(sheet.survey, system=sheet.system), sheet.fmt, sheet.width)
    return drawn(sheet, (Heading(report.title), *report.answer, *report.support), sheet.width)


def _report(story: BoostStory, fmt: Formatter, width: float) -> Report:
    return boost_report(story, boost_of(story, fmt), fmt, pictures=width / MM)
