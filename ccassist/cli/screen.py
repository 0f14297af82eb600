"""What is printed on the terminal: lines, paragraphs and tables, text from files made safe, a window at a time."""

from __future__ import annotations

import os
import shutil
import sys
from collections.abc import Callable, Iterable
from io import StringIO
from pathlib import Path
from typing import TYPE_CHECKING

from ccassist.cli.paragraph import HEIGHT, LEAST_WIDTH, WIDTH, Bold, filled
from ccassist.values.display import Formatter, formatter
from ccassist.values.findings import CcassistError, Finding, InputError, clean, grouped
from ccassist.vocabulary.record import record

if TYPE_CHECKING:
    from ccassist.analysis.results import Survey
    from ccassist.report.blocks import Report

TURN = "-- Enter: more; q Enter: no more --"


class Window:
    """A terminal's window, filled line by line: when it is full, Enter shows more.

    ``room`` : its lines; 0 where nothing waits: in a pipe, and where questions are asked.
    """

    def __init__(self) -> None:
        self.room = self.used = 0
        self.left = False  # whoever reads has seen enough

    def open(self) -> None:
        """From here on what is said is shown a window at a time, if there is one and somebody to turn over."""
        if sys.stdin.isatty() and sys.stdout.isatty():
            self.room = max(LEAST, shutil.get_terminal_size((WIDTH, HEIGHT)).lines)

    def take(self, line: str) -> bool:
        """Make room for a line; False where nobody wants to see it."""
        if not self.room or self.left:
            return not self.left
        high = -(-max(1, len(line)) // shutil.get_terminal_size((WIDTH, HEIGHT)).columns)
        if self.used and self.used + high >= self.room:
            self.used = 0
            try:
                self.left = input(TURN).strip().lower().startswith("q")
            except EOFError:
                self.left = True
        self.used += high
        return not self.left


window = Window()


def bold_shown() -> bool:
    """Whether standard output is a terminal that shows bold, and nobody wants it plain."""
    return sys.stdout.isatty() and "NO_COLOR" not in os.environ and os.environ.get("TERM") != "dumb"


def window_width() -> int:
    """Columns to print in: the window's on a terminal, the usual ones into a file or a pipe."""
    caught = isinstance(sys.stdout, StringIO)  # of a command whose screen the guide shows in pieces
    shown_on = sys.__stdout__ if caught else sys.stdout
    on_terminal = shown_on is not None and shown_on.isatty()
    columns = shutil.get_terminal_size((WIDTH, HEIGHT)).columns if on_terminal else WIDTH
    return max(LEAST_WIDTH, min(columns, WIDTH))


def say(text: str = "", *, error: bool = False) -> None:
    """One line; characters that the terminal cannot show are replaced, never fatal, and none of them steers it."""
    bold = isinstance(text, Bold) and not error and bold_shown()
    start, end = ("\x1b[1m", "\x1b[0m") if bold else ("", "")
    stream = sys.stderr if error else sys.stdout
    encoding = stream.encoding or "utf-8"
    if not text.isprintable():
        text = "\n".join(clean(line, len(line)) for line in text.split("\n"))
    if error or window.take(text):
        print(start + text.encode(encoding, "replace").decode(encoding) + end, file=stream)


def say_json(data: object) -> None:
    """Data as JSON; characters that could steer a terminal are escaped, as JSON may."""
    import json

    for line in json.dumps(data, ensure_ascii=False, indent=2, allow_nan=False).split("\n"):
        say("".join(c if c.isprintable() else json.dumps(c)[1:-1] for c in line))


def complain(fault: CcassistError) -> int:
    """Print a fault, one line a finding, on a terminal no more than a window of them; returns the exit code."""
    from ccassist.report.findings import FIRST, MOST_SHOWN

    found = grouped(fault.findings) if isinstance(fault, InputError) else []
    lines = [f.text() for f in found] or [clean(str(fault), 2000)]
    most = FIRST if sys.stderr.isatty() else MOST_SHOWN
    for line in lines[:most]:
        say(line, error=True)
    if len(lines) > most:
        say(f"And {len(lines) - most} more; put these right first.", error=True)
    return fault.exit_code


def own_fault(fault: Exception) -> int:
    """Say that the program itself is at fault, in two lines, and what it had saved before."""
    from ccassist.job.disk import saved

    files = ", ".join(clean(name, 200) for name in saved())
    left = f"What was saved before it stands in {files}." if files else "Nothing was changed."
    say(f"A fault in ccassist itself ({type(fault).__name__}: {clean(str(fault), 200)}). {left}", error=True)
    say("Please report it, with the job file if you can; CCASSIST_TRACEBACK=1 shows where it happened.", error=True)
    return 70


def list_findings(findings: Iterable[Finding]) -> None:
    """Findings, the gravest first, wrapped under their mark; what is alike of several cylinders once."""
    from ccassist.cli.layout import text_lines
    from ccassist.report.findings import finding_texts

    for text in finding_texts(findings):
        for line in text_lines(text, window_width()):
            say(line)


def wrapped(text: str, *, rest: str = "") -> None:
    """A paragraph, filled to the width."""
    for line in filled(text, rest=rest, width=window_width() - 1):
        say(line)


# Long screens in pieces that fit the window of a terminal, so that nothing runs off its top unread.

MORE = "-- Enter shows the rest --"
LEAST = 8  # lines of a window below which nothing is gained


class Pages:
    """Collects paragraphs, then shows them piece by piece."""

    def __init__(self) -> None:
        self.waiting: list[list[str]] = []

    def add(self, lines: list[str]) -> None:
        """A paragraph, kept together; an empty line where there is none."""
        self.waiting.append(lines or [""])

    def forget(self) -> None:
        """Nothing of it is to be shown any more."""
        self.waiting = []

    def flush(self) -> str | None:
        """Show everything that waits; what was typed instead of Enter, with the rest left unshown."""
        pieces = self._pieces(max(LEAST, shutil.get_terminal_size((79, 24)).lines - 2))
        self.forget()
        for number, piece in enumerate(pieces):
            if number:
                typed = input(MORE)
                if typed.strip():
                    return typed
            for line in piece:
                say(line)
        return None

    def _pieces(self, room: int) -> list[list[str]]:
        """Lines by the piece; a paragraph is only broken where it is longer than the window."""
        pieces: list[list[str]] = [[]]
        for paragraph in self.waiting:
            if len(pieces[-1]) + len(paragraph) > room:
                pieces.append([])
            if not pieces[-1] and len(pieces) > 1 and paragraph == [""]:
                continue  # no piece begins with an empty line
            pieces[-1] += paragraph[:room]
            for at in range(room, len(paragraph), room):
                pieces.append(paragraph[at : at + room])
        return [piece for piece in pieces if piece]


# A report on the terminal: the answer within one window, what supports it when asked for.


def show_report(report: Report, *, everything: bool, kept: int = 0) -> None:
    """Print it; all of it where ``everything`` is asked for, else leaving ``kept`` lines of the window free."""
    from ccassist.cli.layout import report_lines

    for line in report_lines(report, everything=everything, width=window_width(), height=HEIGHT - kept):
        say(line)


@record
class Showing:
    """How an answer is shown: in which units, as plain data, all of it; printed where, on which page."""

    system: str | None = None
    as_json: bool = False
    everything: bool = False
    out: Path | None = None
    page: str = "A4"
    force: bool = False

    def of(self, file: Path) -> tuple[Survey, Formatter]:
        """The job's survey and what prints its numbers; what would be written over is looked at first."""
        from ccassist.analysis.results import survey_of

        self.check(file)
        survey = survey_of(file, self.system)
        return survey, formatter(self.system or survey.job.system)

    def check(self, file: Path | None = None) -> None:
        """That what stands where the pages are to go may be replaced, and is not the job ``file``."""
        if self.out is not None:
            from ccassist.job.disk import check_output

            check_output(self.out, "--out", file, force=self.force)

    def tell(self, report: Callable[[], Report], data: Callable[[], object], *, kept: int = 0) -> None:
        """On the screen, ``kept`` lines of the window free for what is said after it; or as plain data."""
        if self.as_json:
            say_json(data())
        else:
            show_report(report(), everything=self.everything, kept=kept + int(self.out is not None))

    def print(self, report: Report, survey: Survey, fmt: Formatter) -> None:
        """On pages too, where that is asked for."""
        if self.out is not None:
            from ccassist.paper.reports import write_report

            self.wrote(write_report(report, survey, self.out, page=self.page, fmt=fmt))

    def wrote(self, pages: int, remark: str = "") -> None:
        """Say what was written; beside plain data not on the same stream."""
        name, several = clean(str(self.out), 300), "s" if pages != 1 else ""
        say(f"Wrote {name}, {pages} page{several} {self.page}{remark}.", error=self.as_json)
