"""What to do about it: ``balance``, ``machine``, ``tolerance``, ``combine``, ``alternatives``, ``order``, ``cam``.

Each imports its own work, so that a run loads no other's.
"""

from __future__ import annotations

import math
import sys
import time
from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ccassist.cli.screen import Showing, say
from ccassist.values.display import formatter
from ccassist.values.findings import InputError, clean, error, errors, placed
from ccassist.vocabulary.record import record

if TYPE_CHECKING:
    from ccassist.plan.machining.work import MachineAsked

MOST_ANGLES = 400
FINEST, WIDEST = math.radians(0.1), math.radians(90.0)  # of the table of a cam


def balance(file: Path, showing: Showing) -> int:
    """Print how to make every cylinder alike."""
    from ccassist.plan.balance import balance as planned
    from ccassist.report.balance import balance_report

    survey, fmt = showing.of(file)
    plan = planned(survey)
    report = balance_report(plan, survey, fmt)
    showing.tell(lambda: report, plan.to_dict)
    showing.print(report, survey, fmt)
    return 0


def machine(file: Path, showing: Showing, asked: MachineAsked) -> int:
    """Print every cylinder before and after; 0 where it can be done."""
    from ccassist.analysis.results import in_units, sound_survey
    from ccassist.job.file import load_sound
    from ccassist.plan.machining.changes import machine as machined
    from ccassist.report.data import to_json
    from ccassist.report.machining import machining_of, machining_report

    showing.check(file)
    job = in_units(load_sound(file).job, showing.system)
    survey = sound_survey(job)
    plan = machined(survey, asked.work(job.bare))
    fmt = formatter(job.system)
    told = machining_of(plan, fmt)
    report = machining_report(plan, told, fmt)
    showing.tell(lambda: report, lambda: to_json(told, fmt))
    showing.print(report, survey, fmt)
    return 0


def tolerance(
    file: Path,
    showing: Showing,
    *,
    of: str | None = None,
    holds: Sequence[str] = (),
    band: str | None = None,
    cylinder: int | None = None,
) -> int:
    """Print the band to expect, or the tolerance to ask for; 1 where nothing can be asked for.

    Raises InputError: it is not one term whose band is asked about, or as :func:`ccassist.plan.tolerance.wished`.
    """
    from ccassist.plan.tolerance import wished
    from ccassist.report.data import to_json
    from ccassist.report.tolerance import told_of, tolerance_report, tolerances_of
    from ccassist.solve.request import read_pair
    from ccassist.values.asking import named

    survey, fmt = showing.of(file)
    aim = read_pair(band, "--band") if band is not None else None
    target = named(of, "--of").term if of is not None else aim.term if aim is not None else None
    if target is None or (aim is not None and aim.key != target.key):
        right = "--of static_ratio, or --band 'static_ratio=9.5 to 9.7'"
        raise InputError(error("no-target", "say of which one term the band is", right=right))
    asked = wished(target.key, holds, None if aim is None else aim.value, fmt)
    found, noted = tolerances_of(survey, asked, cylinder=cylinder, fmt=fmt)
    report = tolerance_report(found, noted, survey, fmt)
    showing.tell(lambda: report, lambda: to_json(told_of(found, noted), fmt))
    showing.print(report, survey, fmt)
    return 0 if found.possible else 1


MOST_ROWS = 1000
PATIENCE = 2.0  # s before a progress bar is shown


@record
class CombineAsked:
    """What the command was asked: targets, limits, rows to show, the table to write, rows to keep."""

    to: Sequence[str] = ()
    within: Sequence[str] = ()
    top: int = 20
    csv: Path | None = None
    keep: Sequence[int] = ()


def combine(file: Path, asked: CombineAsked, showing: Showing) -> int:
    """Print the ranked combinations; 1 where none is left."""
    from ccassist.plan.combine.candidates import aims_of, candidates
    from ccassist.plan.combine.search import combine as combined
    from ccassist.plan.combine.search import with_octane
    from ccassist.report.combine import as_csv, combinations_of, combine_report
    from ccassist.report.data import to_json

    _check(file, asked, showing)
    survey, fmt = showing.of(file)
    aims = aims_of(survey.wanted, asked.to, asked.within, fmt=fmt)
    offered = candidates(survey)
    with ProgressBar() as bar:
        found = combined(offered, aims, top=asked.top, progress=bar.move)
    cannot_be: dict[int, tuple[str, ...]] = {}
    if any(row.open for row in found.best):
        from ccassist.plan.alternatives import with_pistons

        found, worked = with_pistons(survey, found)
        cannot_be = {number: (*one.refused, *one.faults) for number, one in worked.items()}
    found = with_octane(offered, found)
    told = combinations_of(found, fmt, cannot_be)
    report = combine_report(told, aims, survey, fmt)
    if asked.csv:
        from ccassist.job.disk import write_text

        write_text(asked.csv, as_csv(told, fmt))
    showing.tell(lambda: report, lambda: to_json(told, fmt), kept=int(asked.csv is not None))
    if asked.csv:
        say(f"Wrote {clean(str(asked.csv), 300)}, {len(found.best)} rows.", error=showing.as_json)
    if asked.keep:
        from ccassist.plan.alternatives import keep

        for name in keep(survey, found, asked.keep, file):
            kept = f'Kept as [alternative."{clean(name, 200)}"]; ccassist alternatives sets them side by side.'
            say(kept, error=showing.as_json)
    showing.print(report, survey, fmt)
    return 0 if found.best else 1


def _check(file: Path, asked: CombineAsked, showing: Showing) -> None:
    if not 1 <= asked.top <= MOST_ROWS:
        right = f"from 1 to {MOST_ROWS}"
        raise InputError(
            error("not-whole", "so many rows cannot be shown", read=str(asked.top), place="--top", right=right)
        )
    from ccassist.job.disk import check_output, same_place
    from ccassist.report.combine import is_combinations

    if asked.csv:
        check_output(asked.csv, "--csv", file, force=showing.force, head=is_combinations)
    if asked.csv and showing.out and same_place(asked.csv, showing.out):
        wrong, right = "this is the file of --csv", "give another name"
        raise InputError(error("same-file", wrong, read=str(showing.out), right=right, place="--out"))


class ProgressBar:
    """A progress bar on the error stream, only on a terminal and only once it takes long."""

    def __init__(self) -> None:
        self._start, self._wanted = time.monotonic(), sys.stderr.isatty()
        self._bar: Any = None
        self._task: Any = None

    @property
    def shown(self) -> bool:
        """Whether it is on the screen."""
        return self._bar is not None

    def move(self, done: int, count: int) -> None:
        """How far the work is."""
        if not self._wanted or (self._bar is None and time.monotonic() - self._start < PATIENCE):
            return
        if self._bar is None:
            from rich.console import Console
            from rich.progress import Progress

            self._bar = Progress(console=Console(stderr=True), transient=True)
            self._task = self._bar.add_task("combinations", total=count)
            self._bar.start()
        self._bar.update(self._task, completed=done)

    def __enter__(self) -> ProgressBar:
        return self

    def __exit__(self, *fault: object) -> None:
        if self._bar is not None:
            self._bar.stop()


def alternatives(file: Path, showing: Showing, names: Sequence[str] = (), *, by: str | None = None) -> int:
    """Print whole builds side by side, the least by a term first where one is named; 1 where none of them can be."""
    from ccassist.plan.alternatives import builds_of, evaluated, in_order, with_octane
    from ccassist.report.alternatives import alternatives_of, alternatives_report
    from ccassist.report.data import to_json
    from ccassist.values.asking import named

    survey, fmt = showing.of(file)
    found = with_octane(survey, [evaluated(survey, build) for build in builds_of(survey, names)])
    told = alternatives_of(in_order(found, named(by, "--by").term.key) if by else found, fmt)
    report = alternatives_report(told, survey, fmt)
    showing.tell(lambda: report, lambda: to_json(told, fmt))
    showing.print(report, survey, fmt)
    return 0 if any(one.fits for one in told.builds) else 1


def order(file: Path, showing: Showing, *, final: bool = False, on_screen: bool = True) -> int:
    """Print the piston to be ordered, and write its sheet where asked; 1 where it is to be final and cannot be."""
    from ccassist.report.data import to_json
    from ccassist.report.order import order_of, piston_order_of
    from ccassist.report.order_sheet import order_report

    survey, fmt = showing.of(file)
    made = order_of(survey, fmt.system)
    told = piston_order_of(made)
    refused = final and not made.final
    if on_screen:
        written = showing.out is not None and final == made.final
        report = partial(order_report, made, told, clean(str(file), 200), written=written)
        showing.tell(report, lambda: to_json(told, fmt), kept=int(refused and showing.out is None))
    if refused:
        reasons = {"what does not fit": told.does_not_fit, "what stands open": made.points}
        wrong = " and ".join(words for words, there in reasons.items() if there)
        say(f"Not final: {wrong} must be settled first; nothing was written.", error=True)
        return 1
    if showing.out is not None:
        from ccassist.paper.documents import write_order

        pages = write_order(made, showing.out, page=showing.page, final=final)
        showing.wrote(pages, f", {'FINAL' if final else 'DRAFT'}")
    return 0 if told.ordered else 1


def cam(file: Path, showing: Showing, *, around: str = "30 deg", every: str = "5 deg") -> int:
    """Print the cam card and the valves over the pistons; 1 where a minimum fails or statements contradict."""
    from ccassist.plan.valves.cam import cam_of
    from ccassist.report.cam import cam_report, cam_told
    from ccassist.report.data import to_json

    angles = _angles(around, every)
    survey, fmt = showing.of(file)
    found = cam_of(survey, fmt.system)
    report = cam_report(found, angles, fmt)
    showing.tell(lambda: report, lambda: to_json(cam_told(found, angles), fmt))
    showing.print(report, survey, fmt)
    return 1 if errors(found.findings) or found.fails else 0


def _angles(around: str, every: str) -> list[float]:
    """The crank angles of the table."""
    from ccassist.plan.valves.cam import angles_about
    from ccassist.values.quantity import read_amount
    from ccassist.vocabulary import Kind

    with placed("--around"):
        reach = read_amount(around, Kind.ANGLE, name="angle about top dead centre")
    with placed("--every"):
        step = read_amount(every, Kind.ANGLE, name="step of the table")
    if not FINEST <= step <= WIDEST:
        raise InputError(
            error("bad-step", "no step of a table", read=every, right="say 0.1 to 90 deg", place="--every")
        )
    if not 0 <= reach <= WIDEST or reach / step > MOST_ANGLES / 2:
        wrong = f"the table would not end, or have more than {MOST_ANGLES} rows"
        raise InputError(
            error("bad-span", wrong, read=around, right="say up to 90 deg, or a larger --every", place="--around")
        )
    return angles_about(reach, step)
