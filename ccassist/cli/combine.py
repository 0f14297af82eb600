"""``ccassist combine``: every combination of the parts on offer."""

from __future__ import annotations

import sys
import time
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ccassist.analysis.results import Survey, survey_of
from ccassist.bench.cautions import cautions
from ccassist.cli.screen import say, say_json, table, unsure, wrapped
from ccassist.job.outputs import check_output, same_place
from ccassist.plan.combine import words
from ccassist.plan.combine.aims import Aim, aims_of, reason_text
from ccassist.plan.combine.candidates import candidates
from ccassist.values.display import Formatter, formatter
from ccassist.values.findings import InputError, clean, error
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record

if TYPE_CHECKING:
    from ccassist.plan.combine.search import Combination, Combined

MOST_ROWS = 1000
PATIENCE = 2.0  # s before a progress bar is shown


@record
class Asked:
    """What the command was asked: targets, limits, rows to show, files to write."""

    to: Sequence[str] = ()
    within: Sequence[str] = ()
    top: int = 20
    csv: Path | None = None
    pdf: Path | None = None
    page: str = "A4"
    force: bool = False


def run(file: Path, asked: Asked, *, system: str | None, as_json: bool) -> int:
    """Print the ranked combinations; 1 where none is left."""
    _check(file, asked)
    survey = survey_of(file)
    fmt = formatter(system or survey.job.system)
    aims = aims_of(survey.wanted, asked.to, asked.within, fmt=fmt)
    offered = candidates(survey)
    from ccassist.plan.combine.search import combine

    with Bar() as bar:
        found = combine(offered, aims, top=asked.top, progress=bar.move)
    if asked.csv:
        from ccassist.job.disk import write_text
        from ccassist.plan.combine.data import as_csv

        write_text(asked.csv, as_csv(found, fmt))
    pages = _write_pages(found, aims, survey, asked, fmt)
    if as_json:
        from ccassist.plan.combine.data import to_dict

        say_json(to_dict(found, aims, fmt))
    else:
        _print(found, aims, survey, fmt)
        if asked.csv:
            say(f"Wrote {clean(str(asked.csv), 300)}, {len(found.best)} rows.")
        if asked.pdf:
            say(f"Wrote {clean(str(asked.pdf), 300)}, {pages} page{'s' if pages > 1 else ''} {asked.page}.")
    return 0 if found.best else 1


def _check(file: Path, asked: Asked) -> None:
    if not 1 <= asked.top <= MOST_ROWS:
        right = f"from 1 to {MOST_ROWS}"
        raise InputError(
            error("not-whole", "so many rows cannot be shown", read=str(asked.top), place="--top", right=right)
        )
    from ccassist.plan.combine.data import is_combinations

    for path, place, head in ((asked.csv, "--csv", is_combinations), (asked.pdf, "--pdf", None)):
        if path:
            check_output(path, place, file, force=asked.force, head=head)
    if asked.csv and asked.pdf and same_place(asked.csv, asked.pdf):
        wrong, right = "this is the file of --csv", "give another name"
        raise InputError(error("same-file", wrong, read=str(asked.pdf), right=right, place="--pdf"))


def _write_pages(found: Combined, aims: Sequence[Aim], survey: Survey, asked: Asked, fmt: Formatter) -> int:
    if not asked.pdf:
        return 0
    from ccassist.paper.combine_pages import write_combinations

    return write_combinations(found, aims, survey, asked.pdf, page=asked.page, fmt=fmt)


class Bar:
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

    def __enter__(self) -> Bar:
        return self

    def __exit__(self, *fault: object) -> None:
        if self._bar is not None:
            self._bar.stop()


def _print(found: Combined, aims: Sequence[Aim], survey: Survey, fmt: Formatter) -> None:
    say(words.count_text(found))
    for reason, number in found.refused.items():
        wrapped(f"{number}  {clean(reason_text(reason, aims), 200)}", first="  ", rest="      ")
    if not found.best:
        _print_none(found, aims, survey, fmt)
        return
    wrapped(words.ranked_text(aims))
    for text in words.fixed_texts(found.best, survey, fmt):
        wrapped(text)
    say()
    _print_rows(found.best, words.varied(found.best, survey), words.FIRST, fmt)
    say()
    _print_rows(found.best, (), words.THEN, fmt, weights=True)
    for text, rows in words.remarks(found.best, aims, fmt).items():
        wrapped(f"LOOK  {words.remark_text(text, rows)}", rest="      ")
    unsure(words.results_of(found.best), fmt)
    _print_cautions()


def _print_none(found: Combined, aims: Sequence[Aim], survey: Survey, fmt: Formatter) -> None:
    """Nothing is left: what removed most, and what came nearest."""
    say(words.NONE_LEFT)
    wrapped(words.most_text(found, aims))
    if not found.nearest:
        return
    say()
    say("Nearest misses, none of which is what was asked for:")
    _print_rows(found.nearest, words.varied(found.nearest, survey), words.FIRST, fmt)
    for number, row in enumerate(found.nearest, 1):
        breaks = "; ".join(words.break_text(rule, aims, fmt) for rule in words.broken(row, aims))
        wrapped(f"{number} breaks: {breaks}.", first="  ", rest="    ")
    _print_cautions()


def _print_cautions() -> None:
    say()
    say("Not looked at here; answer each before parts are bought:")
    for question in words.NOT_LOOKED_AT:
        wrapped(question, first="  - ", rest="    ")
    for caution in cautions(words.CAUTIONS):
        wrapped(caution)


def _print_rows(
    rows: Sequence[Combination], kinds: Sequence[str], keys: Sequence[str], fmt: Formatter, *, weights: bool = False
) -> None:
    having, weighed = words.columns(rows, keys), words.weighed(rows) if weights else ()
    lines = []
    for number, row in enumerate(rows, 1):
        names = {part.kind: clean(part.name, 16) for part in row.parts}
        heavy = [words.weight_cell(row, kind, fmt) for kind in weighed]
        lines.append([str(number), *[names[kind] for kind in kinds], *words.cells(row, having, fmt), *heavy])
    table(["", *kinds, *[term(key).name for key in having], *map(words.weight_heading, weighed)], lines)
