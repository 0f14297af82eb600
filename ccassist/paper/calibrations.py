"""What was calibrated: its steps, the line through them and the ± over its range, so that each correction re-adds."""

from __future__ import annotations

from reportlab.platypus import Flowable

from ccassist.analysis import calibration_words as told
from ccassist.bench.calibration import Calibration
from ccassist.paper.furniture import Entry, heading, labelled, prose, subheading, table
from ccassist.paper.sheet import SMALL, Sheet

SHARE = 0.11  # of the width, each column
ROOM = 130.0  # points: what stands above the steps, and a few of them


def calibrations(sheet: Sheet) -> list[Flowable]:
    """A section of its own where any scale was calibrated, else nothing."""
    found = sheet.survey.calibrations
    if not found:
        return []
    story = heading(sheet, "Calibrations")
    for made in found.values():
        story += _calibration(sheet, made)
    return story


def _calibration(sheet: Sheet, made: Calibration) -> list[Flowable]:
    said = (*told.line_in_words(made, sheet.system), *told.doubts(made, sheet.system))
    return [
        *subheading(sheet.words(told.title(made)), room=ROOM),
        prose(sheet.words(told.how_made(made)), size=SMALL, after=2),
        prose(told.UNIT, size=SMALL, after=2),
        _steps(sheet, made),
        *(prose(sheet.words(text), size=SMALL, before=2, after=1) for text in _set_aside(made)),
        *(prose(text, size=SMALL, before=2, after=1) for text in said),
        table(told.REACH_HEAD, told.reach_rows(made, sheet.system), _widths(sheet, told.REACH_HEAD), words=()),
        prose(sheet.words(told.common(made, sheet.system)), size=SMALL, before=2, after=2),
        *(labelled("•", sheet.words(text), indent=12, size=SMALL) for text in told.advice(made)),
    ]


def _steps(sheet: Sheet, made: Calibration) -> Flowable:
    """Each step with its readings as written."""
    rows = told.step_rows(made, sheet.system)
    read = [sheet.words(step.reading.said) for step in made.steps]
    widths = [*_widths(sheet, told.STEP_HEAD), sheet.width * (1 - SHARE * len(told.STEP_HEAD))]
    lines: list[list[Entry]] = [[*row, text] for row, text in zip(rows, read, strict=True)]
    return table([*told.STEP_HEAD, "as read"], lines, widths, words=(0, len(told.STEP_HEAD)))


def _set_aside(made: Calibration) -> list[str]:
    """Readings that do not count, and why."""
    rows = [row for cell in made.cells for row in cell.readings if row.set_aside]
    return [f"Set aside: {row.said}; {row.set_aside}." for row in rows]


def _widths(sheet: Sheet, head: tuple[str, ...]) -> list[float]:
    return [sheet.width * SHARE for _ in head]
