"""The papers that are asked for by name: worksheet, order sheet, boost pages."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from reportlab.platypus import Flowable

from ccassist.analysis.results import Survey
from ccassist.job.disk import write_bytes
from ccassist.paper.pages import render
from ccassist.paper.reports import drawn, report_bytes
from ccassist.paper.sheet import MM, Sheet, check_page, register
from ccassist.plan.boost.story import BoostStory, boost_story
from ccassist.report.blocks import Heading, Report
from ccassist.report.boost import boost_report
from ccassist.report.boost_told import boost_of
from ccassist.report.order import Order, piston_order_of
from ccassist.report.order_sheet import order_sheet
from ccassist.report.worksheet import said_in, worksheet_report
from ccassist.report.worksheet_support import algebra_blocks, caution_blocks, support
from ccassist.values.display import Formatter, formatter
from ccassist.values.findings import InputError, error
from ccassist.vocabulary.units import SYSTEMS


def write_order(order: Order, path: str | Path, *, page: str = "A4", final: bool = False) -> int:
    """Write the order sheet as a PDF, atomically; returns its number of pages.

    Raises InputError: unknown page size, a final sheet of an order with open points, or the file cannot be written.
    """
    data, pages = order_bytes(order, page=page, final=final)
    write_bytes(Path(path), data)
    return pages


def order_bytes(order: Order, *, page: str = "A4", final: bool = False) -> tuple[bytes, int]:
    """The order sheet's PDF and its number of pages; the same order gives the same bytes.

    It is a draft unless it is asked to be final, and says so on every page.

    Raises InputError: unknown page size, or a final sheet of an order with open points.
    """
    if final and not order.final:
        raise InputError(error("not-final", "it does not fit, or points stand open: it can only be printed as a draft"))
    check_page(page)
    report = order_sheet(order, piston_order_of(order), final=final, page=page)
    return report_bytes(report, order.spec.planned, page=page, fmt=order.fmt)


def asked(survey: Survey) -> bool:
    """Whether a job states anything that these pages are about."""
    return "cam" in survey.stated or "charge" in survey.stated


def write_boost(survey: Survey, path: str | Path, *, page: str = "A4", system: str | None = None) -> int:
    """Write the boost pages as a PDF, atomically; returns their number.

    Raises InputError: unknown page size, or the file cannot be written.
    """
    data, pages = boost_bytes(boost_story(survey, system=system), page=page, system=system)
    write_bytes(Path(path), data)
    return pages


def boost_bytes(story: BoostStory, *, page: str = "A4", system: str | None = None) -> tuple[bytes, int]:
    """The PDF and its number of pages; the same story gives the same bytes.

    ``system`` : "metric" or "imperial"; the job's own where None.

    Raises InputError: unknown page size.
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

    survey : the engine as measured.
    path : the PDF to write or replace.
    page : "A4" or "Letter".
    system : "metric" or "imperial"; the job's own where None.
    algebra : lines of an answer that was solved for, printed behind the page for the customer.
    everything : with the sums, every value, all readings, the algebra, the budget and the cautions in full.

    Raises InputError: unknown page size or units, or the file cannot be written.
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

    Raises InputError: unknown page size or units.
    """
    shown = system or survey.job.system
    if shown not in SYSTEMS:
        raise InputError(
            error("unknown-units", "unknown units", read=shown, right="say metric or imperial", place="--units")
        )
    register()
    survey = said_in(survey, shown)
    sheet = Sheet(survey=survey, system=shown, page=page)
    behind = tuple(support(survey, sheet.fmt, algebra)) if everything else tuple(algebra_blocks((), algebra))
    report = worksheet_report(survey, sheet.fmt, support=behind, everything=everything)
    sheet.running = report.title
    story = drawn(sheet, [*report.answer, *report.support], sheet.width)
    if everything:
        story += [*boost_section(sheet), *drawn(sheet, list(caution_blocks(survey)), sheet.width)]
    return render(sheet, story, what=report.title[:1].lower() + report.title[1:], subject=report.subject)
