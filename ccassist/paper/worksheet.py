"""The filled worksheet of a job as one PDF: summary first, then everything behind it."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from reportlab.platypus import Flowable, Spacer

from ccassist.analysis.cylinder import Cylinder
from ccassist.analysis.results import Survey
from ccassist.analysis.wording import listed
from ccassist.job.disk import write_bytes
from ccassist.paper.boost_pages import boost_section
from ccassist.paper.budget import budgets
from ccassist.paper.calibrations import calibrations
from ccassist.paper.chart import charts
from ccassist.paper.closing import algebra_section, cautions_section, sign_off
from ccassist.paper.floating import Floating, Settle
from ccassist.paper.fonts import register
from ccassist.paper.furniture import heading, prose
from ccassist.paper.pages import render
from ccassist.paper.parts import hand_sums
from ccassist.paper.readings import readings
from ccassist.paper.section import DetailView, MainView
from ccassist.paper.shapes import lacking
from ccassist.paper.sheet import Sheet
from ccassist.paper.summary import summary
from ccassist.paper.values import every_value
from ccassist.values.findings import InputError, error
from ccassist.values.units import SYSTEMS
from ccassist.vocabulary import term


def write_worksheet(
    survey: Survey, path: str | Path, *, page: str = "A4", system: str | None = None, algebra: Sequence[str] = ()
) -> int:
    """Write the worksheet of a survey as a PDF, atomically; returns its number of pages.

    Parameters
    ----------
    survey : the engine as measured.
    path : the PDF to write or replace.
    page : "A4" or "Letter".
    system : "metric" or "imperial"; the job's own where None.
    algebra : lines of an answer that was solved for, printed above the relations.

    Raises
    ------
    InputError : unknown page size or units, or the file cannot be written.
    """
    data, pages = worksheet_bytes(survey, page=page, system=system, algebra=algebra)
    write_bytes(Path(path), data)
    return pages


def worksheet_bytes(
    survey: Survey, *, page: str = "A4", system: str | None = None, algebra: Sequence[str] = ()
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
    sheet = Sheet(survey=survey, system=shown, page=page)
    drawn = _to_draw(survey)
    story = [
        *summary(sheet),
        *charts(sheet),
        *_section(sheet, drawn),
        *hand_sums(sheet),
        *every_value(sheet),
        *readings(sheet),
        *calibrations(sheet),
        *algebra_section(sheet, algebra),
        *budgets(sheet, drawn),
        *boost_section(sheet),
        *cautions_section(sheet),
        Settle(),
        *sign_off(sheet),
    ]
    subject = "Compression ratio and chamber volumes, measured"
    return render(sheet, story, what="compression worksheet", subject=subject)


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
    main = MainView(sheet, cylinder)
    return [
        *heading(sheet, "Section at top dead centre", room=main.height + 75),
        prose(words),
        main,
        Floating("Detail A", Spacer(1, 10), DetailView(sheet, cylinder), Spacer(1, 8)),
    ]
