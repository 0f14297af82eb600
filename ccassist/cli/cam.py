"""``ccassist cam``: the cam card, the lifts, and the valves against the pistons."""

from __future__ import annotations

import math
from pathlib import Path

from ccassist.analysis.results import survey_of
from ccassist.cli.screen import say, say_json, show_report
from ccassist.job.disk import check_output
from ccassist.plan.valves.cam import angles_about, cam_of
from ccassist.report.cam import cam_report, cam_told
from ccassist.report.data import to_json
from ccassist.values.display import formatter
from ccassist.values.findings import InputError, clean, error, errors, placed
from ccassist.values.quantity import read_amount
from ccassist.vocabulary import Kind
from ccassist.vocabulary.record import record

_ROWS = 400
_FINEST, _WIDEST = math.radians(0.1), math.radians(90.0)


@record
class Shown:
    """What is to be shown: reach and step of the table, the file to write, its page, what supports the answer too."""

    around: str = "30 deg"
    every: str = "5 deg"
    out: Path | None = None
    page: str = "A4"
    everything: bool = False
    force: bool = False


def run(file: Path, shown: Shown, *, system: str | None, as_json: bool = False) -> int:
    """Print the answer, on pages too where asked; 1 where an asked minimum fails or statements contradict."""
    out = shown.out
    if out is not None:
        check_output(out, "--out", file, force=shown.force)
    angles = _angles(shown.around, shown.every)
    survey = survey_of(file)
    fmt = formatter(system or survey.job.system)
    cam = cam_of(survey, fmt.system)
    report = cam_report(cam, angles, fmt)
    if as_json:
        say_json(to_json(cam_told(cam, angles), fmt))
    else:
        show_report(report, everything=shown.everything, kept=int(out is not None))
    if out is not None:
        from ccassist.paper.reports import write_report

        pages = write_report(report, survey, out, page=shown.page, fmt=fmt)
        say(f"Wrote {clean(str(out), 300)}, {pages} page{'s' if pages > 1 else ''} {shown.page}.", error=as_json)
    return 1 if errors(cam.findings) or cam.fails else 0


def _angles(around: str, every: str) -> list[float]:
    """The crank angles of the table."""
    with placed("--around"):
        reach = read_amount(around, Kind.ANGLE, name="angle about top dead centre")
    with placed("--every"):
        step = read_amount(every, Kind.ANGLE, name="step of the table")
    if not _FINEST <= step <= _WIDEST:
        raise InputError(
            error("bad-step", "no step of a table", read=every, right="say 0.1 to 90 deg", place="--every")
        )
    if not 0 <= reach <= _WIDEST or reach / step > _ROWS / 2:
        wrong = f"the table would not end, or have more than {_ROWS} rows"
        raise InputError(
            error("bad-span", wrong, read=around, right="say up to 90 deg, or a larger --every", place="--around")
        )
    return angles_about(reach, step)
