"""What is printed on the terminal: plain lines and aligned tables, text from files made safe."""

from __future__ import annotations

import shutil
import sys
from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING

from ccassist.report.blocks import MARKS
from ccassist.values.findings import CcassistError, Finding, InputError, clean, grouped

if TYPE_CHECKING:
    from ccassist.values.display import Formatter
    from ccassist.values.measured import Result


WIDTH = 80  # of a terminal
MOST_SHOWN = 200  # findings printed; plain data have them all


class Bold(str):
    """A line that a terminal shows bold: it is cleaned like any other, and only then made so."""

    __slots__ = ()


def say(text: str = "", *, error: bool = False) -> None:
    """One line; characters that the terminal cannot show are replaced, never fatal, and none of them steers it."""
    start, end = ("\x1b[1m", "\x1b[0m") if isinstance(text, Bold) else ("", "")
    stream = sys.stderr if error else sys.stdout
    encoding = stream.encoding or "utf-8"
    if not text.isprintable():
        text = "\n".join(clean(line, len(line)) for line in text.split("\n"))
    print(start + text.encode(encoding, "replace").decode(encoding) + end, file=stream)


def say_json(data: object) -> None:
    """Data as JSON; characters that could steer a terminal are escaped, as JSON may."""
    import json

    text = json.dumps(data, ensure_ascii=False, indent=2, allow_nan=False)
    say("".join(c if c.isprintable() or c == "\n" else json.dumps(c)[1:-1] for c in text))


def complain(fault: CcassistError) -> int:
    """Print a fault, one line a finding; returns the exit code."""
    lines = [f.text() for f in grouped(fault.findings)] if isinstance(fault, InputError) else [clean(str(fault), 2000)]
    for line in lines[:MOST_SHOWN]:
        say(line, error=True)
    if len(lines) > MOST_SHOWN:
        say(_more(len(lines)), error=True)
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
    found = sorted(grouped(findings), key=lambda f: (-f.level, f.line or 0))
    for finding in found[:MOST_SHOWN]:
        wrapped(finding.text(), first=f"{MARKS[finding.level]:<6}", rest=" " * 6)
    if len(found) > MOST_SHOWN:
        say(_more(len(found)))


def _more(count: int) -> str:
    """What is said instead of the findings that nobody would read on."""
    return f"And {count - MOST_SHOWN} more; put these right first."


def filled(text: str, *, first: str = "", rest: str = "", width: int = 79) -> list[str]:
    """The lines of a paragraph, filled to the width."""
    import textwrap

    lines = textwrap.wrap(
        text,
        width,
        initial_indent=first,
        subsequent_indent=rest,
        break_on_hyphens=False,
        break_long_words=False,  # a command can be copied
    )
    return lines or [first]


def wrapped(text: str, *, first: str = "", rest: str = "", width: int = 79) -> None:
    """A paragraph, filled to the width."""
    for line in filled(text, first=first, rest=rest, width=width):
        say(line)


def unsure(results: Iterable[Result], fmt: Formatter) -> None:
    """Why 95 % may not be said of results that are shown with it; nothing where it may."""
    from ccassist.values.measured import unsure_texts

    told = unsure_texts(results, fmt)
    if told:
        say()
    for text in told:
        wrapped(clean(text, 1000), rest="  ")


def table(head: Sequence[str], rows: Sequence[Sequence[str]], *, gap: str = "  ") -> None:
    """Columns aligned right (words left), each as wide as its widest cell; closer together where they would not fit.

    Where that is not enough either, the columns that are left follow below, each row with its first cell again.
    """
    everything = [list(head), *[list(row) for row in rows]]
    widths = [max(len(row[i]) for row in everything) for i in range(len(head))]
    gap = gap if sum(widths) + len(gap) * (len(widths) - 1) < WIDTH else " "
    for number, columns in enumerate(_parts(widths, len(gap))):
        if number:
            say()
        for row in everything:
            say(gap.join(row[i].rjust(widths[i]) for i in columns).rstrip())


def _parts(widths: Sequence[int], gap: int) -> Iterator[list[int]]:
    """The columns of a table by what fits beside the first of them."""
    part = [0]
    for column in range(1, len(widths)):
        if len(part) > 1 and sum(widths[i] + gap for i in part) + widths[column] >= WIDTH:
            yield part
            part = [0]
        part.append(column)
    yield part


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
