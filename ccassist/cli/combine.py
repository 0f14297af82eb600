"""``ccassist combine``: every combination of the parts on offer."""

from __future__ import annotations

import sys
import time
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from ccassist.cli.screen import Showing, say
from ccassist.job.disk import check_output, same_place
from ccassist.plan.combine.candidates import aims_of, candidates
from ccassist.report.combine import as_csv, combinations_of, combine_report, is_combinations
from ccassist.report.data import to_json
from ccassist.values.findings import InputError, clean, error
from ccassist.vocabulary.record import record

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


def run(file: Path, asked: CombineAsked, showing: Showing) -> int:
    """Print the ranked combinations; 1 where none is left."""
    _check(file, asked, showing)
    survey, fmt = showing.of(file)
    aims = aims_of(survey.wanted, asked.to, asked.within, fmt=fmt)
    offered = candidates(survey)
    from ccassist.plan.combine.search import combine, with_octane

    with ProgressBar() as bar:
        found = combine(offered, aims, top=asked.top, progress=bar.move)
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
