"""The filled worksheet of a job as one PDF: the page for the customer, then, where asked for, everything behind it."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from reportlab.platypus import Flowable, Spacer

from ccassist.analysis.cylinder import Cylinder
from ccassist.analysis.results import Survey
from ccassist.bench.cautions import cautions
from ccassist.job.disk import write_bytes
from ccassist.paper.boost_pages import boost_section
from ccassist.paper.furniture import (
    Floating,
    Signatures,
    heading,
    labelled,
    prose,
)
from ccassist.paper.page import MM, STRONG, TEXT, register
from ccassist.paper.pages import render
from ccassist.paper.readings import calibrations, readings
from ccassist.paper.reports import drawn
from ccassist.paper.scenes import Drawing
from ccassist.paper.sheet import Sheet
from ccassist.paper.values import every_value
from ccassist.report.blocks import Heading
from ccassist.report.budget import budgets
from ccassist.report.section import lacking
from ccassist.report.section_scenes import Views, detail_scene, section_scene
from ccassist.report.workings import algebra, hand_sums
from ccassist.report.worksheet import in_units, worksheet_report
from ccassist.values.findings import InputError, error, listed
from ccassist.vocabulary import term
from ccassist.vocabulary.units import SYSTEMS

# The algebra, the cautions and the sign-off.

ALWAYS = ("contact", "crown", "metal", "planning", "knock")


def algebra_section(sheet: Sheet, told: Sequence[str]) -> list[Flowable]:
    """What was solved, where that is handed over; then the relations behind the result, with their sources."""
    lines = [_told(sheet, line) for line in told]
    story = [*heading(sheet, "Algebra"), *lines, *([Spacer(1, 6)] if lines else [])]
    return [*story, *drawn(sheet, list(algebra(sheet.survey.cylinders)), sheet.width)]


def _told(sheet: Sheet, line: str) -> Flowable:
    """One line of an answer; a line that announces others stays with them."""
    if not line.strip():
        return Spacer(1, 5)
    lead = line.endswith(":")
    return prose(sheet.words(line), STRONG if lead else TEXT, after=1.5, keep=lead)


def cautions_section(sheet: Sheet) -> list[Flowable]:
    """The cautions of the steps used, then those that hold for every engine."""
    steps = dict.fromkeys(one.cell.step for one in sheet.survey.reduced) if sheet.survey.reduced else {}
    keys = dict.fromkeys([*(key for step in steps for key in step.warned()), *ALWAYS])
    return [*heading(sheet, "Cautions"), *(labelled("•", text, indent=12) for text in cautions(tuple(keys)))]


def signed(sheet: Sheet, title: str, box: Signatures) -> list[Flowable]:
    """Boxes under their heading, kept on one page."""
    return [*heading(sheet, title, room=box.height + 40), Spacer(1, 2), box]


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
    report = worksheet_report(survey, sheet.fmt, everything=everything)
    sheet.running = report.title
    story = drawn(sheet, report.answer, sheet.width)
    if everything:
        chosen = _to_draw(survey)
        sums = [Heading("Sums, to be added again by hand"), *hand_sums(survey.cylinders, sheet.fmt)]
        budget = [Heading("Uncertainty budget"), *budgets(survey, sheet.fmt, chosen)]
        story += [
            *drawn(sheet, report.support, sheet.width),
            *_section(sheet, chosen),
            *drawn(sheet, sums, sheet.width),
            *every_value(sheet),
            *readings(sheet),
            *calibrations(sheet),
            *algebra_section(sheet, algebra),
            *drawn(sheet, budget, sheet.width),
            *boost_section(sheet),
            *cautions_section(sheet),
        ]
    elif algebra:
        story += [*heading(sheet, "Algebra"), *(_told(sheet, line) for line in algebra)]
    return render(sheet, story, what=report.title[:1].lower() + report.title[1:], subject=report.subject)


def _to_draw(survey: Survey) -> Cylinder | None:
    """The cylinder with the smallest clearance volume among those that lack nothing, since it is the first to knock."""
    whole = [c for c in survey.cylinders if not lacking(c) and "clearance_volume" in c.values]
    return min(whole, key=lambda c: c.values["clearance_volume"].nominal, default=None)


def _section(sheet: Sheet, cylinder: Cylinder | None) -> list[Flowable]:
    """The drawing, or why there is none."""
    if cylinder is None:
        missing = dict.fromkeys(key for c in sheet.survey.cylinders for key in lacking(c))
        return [
            *heading(sheet, "Section at top dead centre"),
            prose(f"No section is drawn: not given: {listed([term(key).name for key in missing])}."),
        ]
    many = sum(not lacking(c) for c in sheet.survey.cylinders) > 1
    why = f"Cylinder {cylinder.number}" + (", the one with the smallest clearance volume." if many else ".")
    words = f"{why} Drawn from the numbers; what is known only as a volume is drawn as an equal volume."
    views = Views(cylinder=cylinder, fmt=sheet.fmt, width=sheet.width / MM)
    main = Drawing(section_scene(views))
    return [
        *heading(sheet, "Section at top dead centre", room=main.height + 75),
        prose(words),
        main,
        Floating("Detail A", Spacer(1, 10), Drawing(detail_scene(views)), Spacer(1, 8)),
    ]
