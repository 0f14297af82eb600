"""The filled worksheet of a job as one PDF: the page for the customer, then, where asked for, everything behind it."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from ccassist.analysis.results import Survey
from ccassist.job.disk import write_bytes
from ccassist.paper.boost_pages import boost_section
from ccassist.paper.page import register
from ccassist.paper.pages import render
from ccassist.paper.reports import drawn
from ccassist.paper.sheet import Sheet
from ccassist.report.worksheet import in_units, worksheet_report
from ccassist.report.worksheet_support import algebra_blocks, caution_blocks, support
from ccassist.values.findings import InputError, error
from ccassist.vocabulary.units import SYSTEMS


def write_worksheet(
    survey: Survey,
    path: str | Path,
    *,
    page: str = "A4",
    system: str | None = None,
    algebra: Sequence[str] = (),
    everything: bool = False,
) -> int:
    """Write the worksheet of a survey as a PDF, atomically; returns its number of pages.

    Parameters
    ----------
    survey : the engine as measured.
    path : the PDF to write or replace.
    page : "A4" or "Letter".
    system : "metric" or "imperial"; the job's own where None.
    algebra : lines of an answer that was solved for, printed behind the page for the customer.
    everything : with the sums, every value, all readings, the algebra, the budget and the cautions in full.

    Raises
    ------
    InputError : unknown page size or units, or the file cannot be written.
    """
    data, pages = worksheet_bytes(survey, page=page, system=system, algebra=algebra, everything=everything)
    write_bytes(Path(path), data)
    return pages


def worksheet_bytes(
    survey: Survey,
    *,
    page: str = "A4",
    system: str | None = None,
    algebra: Sequence[str] = (),
    everything: bool = False,
) -> tuple[bytes, int]:
    """The worksheet's PDF and its number of pages; the same survey gives the same bytes.

    Raises
    ------
    InputError : unknown page size or units.
    """
    shown = system or survey.job.system
    if shown not in SYSTEMS:
        raise InputError(
            error("unknown-units", "unknown units", read=shown, right="say metric or imperial", place="--units")
        )
    register()
    survey = in_units(survey, shown)
    sheet = Sheet(survey=survey, system=shown, page=page)
    behind = tuple(support(survey, sheet.fmt, algebra)) if everything else tuple(algebra_blocks((), algebra))
    report = worksheet_report(survey, sheet.fmt, support=behind, everything=everything)
    sheet.running = report.title
    story = drawn(sheet, [*report.answer, *report.support], sheet.width)
    if everything:
        story += [*boost_section(sheet), *drawn(sheet, list(caution_blocks(survey)), sheet.width)]
    return render(sheet, story, what=report.title[:1].lower() + report.title[1:], subject=report.subject)
