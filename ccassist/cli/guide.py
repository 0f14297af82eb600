"""``ccassist guide``: the terminal front of the guided walk; plain lines in and out, with its keys."""

from __future__ import annotations

import contextlib
import datetime
import io
import os
import re
import select
import shutil
import sys
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import NamedTuple

from ccassist.bench.steps import STEPS
from ccassist.cli.paragraph import Bold, filled
from ccassist.cli.screen import Pages, Showing, complain, say
from ccassist.guide.keeping import post
from ccassist.guide.state import State
from ccassist.guide.step import begin
from ccassist.guide.view import ACTIONS, ON_ONE_LINE, Action, Call, Card, Line, Question, Result, Shown
from ccassist.guide.words import faults_of
from ccassist.job.disk import read_text
from ccassist.job.sections import STATED
from ccassist.job.write import JobFile
from ccassist.values.findings import CcassistError, InputError, clean
from ccassist.vocabulary.units import SYSTEMS

KEYS: Mapping[str, Action] = {
    "u": Action.UNDO,
    "a": Action.ASIDE,
    "i": Action.COUNT_IN,
    "r": Action.REMARK,
    "t": Action.TIMED,
    "s": Action.SKIP,
    "x": Action.LEAVE_OUT,
    "b": Action.BACK,
    "j": Action.JUMP,
    "c": Action.CHANGE,
    "h": Action.HOW,
    "l": Action.LIST,
    "k": Action.KEYS,
    "f": Action.FINISH,
}
WRITTEN = {action: key for key, action in KEYS.items()}
NOT_AT_THE_START = (Action.REMARK, Action.ASIDE, Action.TIMED, Action.CHANGE)  # while nothing can be read yet
ALIASES: Mapping[str, str] = {"?": "k", "help": "k", "quit": "f", "exit": "f"}
SIGN = "/"  # before a key it is nothing else, whatever is asked
AS_WORDS = "Not taken: words are asked for here, and these look like a key"
SIGNED = f"With {SIGN} before it a key is a key whatever is asked, such as {SIGN}j deck 3"
VALUE = r"[-+.,]?\d"  # as a value begins
MOST_BESIDE = 9  # jobs of a folder offered
ENDS = "; so do Ctrl-C and the end of the input"


class Typed(NamedTuple):
    """What a typed line does; ``odd`` : what to say of a line that can be neither an answer nor a key."""

    action: Action
    text: str = ""
    odd: str = ""


def typed(line: str, asked: Question) -> Typed:
    """Whether a line is a key: with its sign anywhere, without it only where it can be nothing else."""
    text = line.strip()
    answer, signed = Typed(Action.SAY, text), text.startswith(SIGN)
    first, _, rest = text.removeprefix(SIGN).partition(" ")
    key, rest = first.lower() if rest else ALIASES.get(first.lower(), first.lower()), rest.strip()
    action = KEYS.get(key, Action.SAY)
    known = action is not Action.SAY and (not rest or bool(ACTIONS[action][0]))
    if signed:
        return Typed(action, rest) if known else Typed(Action.AGAIN, odd=f'No key "{text}"; {SIGN}k lists the keys')
    meant = [option for option in asked.options if option.casefold().startswith(text.casefold())]
    lettered = asked.letters and (meant or action in NOT_AT_THE_START)
    if not known or (asked.names and text == "?") or lettered:
        return answer
    if asked.free and (rest or first.isupper()):
        lost = (key == "j" and rest.split(" ")[0] in (*STEPS, *STATED, "wanted")) or (key, rest) == ("x", "all")
        return Typed(Action.AGAIN, odd=f"{AS_WORDS}: {SIGN}{text} is the key") if lost else answer
    if meant and not asked.free:
        does = f"{SIGN}{text} for the key ({action.value})"
        odd = f'"{text}" may be a key or "{meant[0]}": type {does}, or the number of the answer'
        return Typed(Action.AGAIN, odd=odd)
    return Typed(action, rest)


def written(line: Line, asked: Question) -> str:
    """A sentence with the keys of what it names, as they are typed while that is asked."""
    if isinstance(line, Result):
        line = line.text
    return line if isinstance(line, str) else "".join(_part(part, asked) for part in line)


def _part(part: str | Action | Call, asked: Question) -> str:
    """A key with its sign where it would be something else without it."""
    if isinstance(part, str):
        return part
    action, text = (part, "") if isinstance(part, Action) else (part.action, part.text)
    if action is Action.SAY:
        return f"Enter {text}".rstrip()
    key, whole = WRITTEN[action], f"{WRITTEN[action]} {text}".rstrip()
    bare = all(typed(line, asked).action is action for line in (key, whole))
    return whole if bare else f"{SIGN}{whole}"


def keyed(shown: Shown, typed: Typed) -> Shown:
    """A screen with its keys written, after a typed line; an odd one is only told, and what is asked stays."""
    asked = replace(shown.question, empty=written(shown.question.empty, shown.question))
    if typed.odd:
        return Shown(card=None, lines=(typed.odd,), question=asked, actions=shown.actions)
    card = replace(shown.card, keys=written(shown.card.keys, asked)) if shown.card is not None else None
    lines = [written(line, asked) for line in shown.lines]
    if typed.action is Action.KEYS and lines:
        lines = ["Each key is followed by Enter:", *lines[:-1], lines[-1] + ENDS, SIGNED, ON_ONE_LINE]
    return replace(shown, card=card, lines=tuple(lines), question=asked)


def run(
    file: Path,
    *,
    step: str | None,
    cylinder: int | None,
    look: Look | None = None,
    units: str = "",
    take_over: bool = False,
) -> int:
    """Walk through the bench steps until everything is done or the user finishes; a file that is not there is made."""
    beside = [] if os.path.lexists(file) else jobs_in(file.parent)
    try:
        while True:
            with JobFile.open(file, take_over=take_over, new=True) as job_file:
                front = Front(look or Look())
                state, shown = begin(
                    job_file.text,
                    str(file),
                    step=step or "",
                    cylinder=cylinder,
                    beside=beside,
                    system=units or SYSTEMS[0],
                )
                front.welcome(state, shown)
                other = _walk(state, shown, front, job_file)
            if not other:
                return 0
            file, beside = file.parent / other, []
    except CcassistError as fault:
        return complain(fault)


def jobs_in(folder: Path) -> list[str]:
    """The names of the job files in a folder, the one changed last first."""
    found = [path for path in folder.glob("*.toml") if path.is_file() and _is_job(path)]
    return [path.name for path in sorted(found, key=lambda path: -path.stat().st_mtime)][:MOST_BESIDE]


def _is_job(path: Path) -> bool:
    """Whether a file says that it is a job, as its first line of no comment does."""
    try:
        text = read_text(path)
    except InputError:
        return False
    return re.search(r"^format[ \t]*=", text, re.MULTILINE) is not None and "cylinders" in text


def _walk(state: State, shown: Shown, front: Front, file: JobFile) -> str:
    """Show, ask, do; the end of the input and Ctrl-C finish for today.  The job to be opened instead, or ""."""
    line = Typed(Action.AGAIN)
    while True:
        try:
            screen = keyed(shown, line)
            front.show(screen, shown.results)
            for name in screen.screens:
                front.put([])
                front.printed(partial(_screen, name, file.path))
            if screen.finished:
                front.flush()
                return screen.opens
            line = typed(front.ask(screen.question), screen.question)
        except (EOFError, KeyboardInterrupt):
            front.forget()
            say()
            line = Typed(Action.FINISH)
        state, shown = post(state, line.action, line.text, file, now=datetime.datetime.now())


def _screen(name: str, file: Path) -> None:
    """An answer shown, or a paper printed, by its command; what is wrong with it is said, and the walk goes on."""
    from ccassist.cli import boost, engine, plans

    try:
        if name == "show":
            engine.show(file, Showing())
        elif name == "balance":
            plans.balance(file, Showing())
        elif name == "boost":
            boost.run(file, Showing())
        elif name == "order":
            plans.order(file, Showing())
        elif name == "order sheet":
            plans.order(file, Showing(out=file.with_name(f"{file.stem}-order.pdf")), on_screen=False)
        elif name == "boost pages":
            boost.run(file, Showing(out=file.with_name(f"{file.stem}-boost.pdf")), on_screen=False)
        else:
            engine.worksheet(file, Showing())
    except CcassistError as fault:
        complain(fault)


# Figures of five rows, drawn for this: what stands in them is a full block.
_LARGE = {
    **dict(zip("0123456789", (
        "███|█ █|█ █|█ █|███", " █ |██ | █ | █ |███", "███|  █|███|█  |███", "███|  █|███|  █|███",
        "█ █|█ █|███|  █|  █", "███|█  |███|  █|███", "███|█  |███|█ █|███", "███|  █|  █|  █|  █",
        "███|█ █|███|█ █|███", "███|█ █|███|  █|███",
    ), strict=True)),
    ".": " | | | |█", ",": " | | | |█", " ": " | | | | ",
}  # fmt: skip


def large(text: str, width: int) -> list[str]:
    """A number in large figures, each twice as wide where there is room; as it is where there is none.

    >>> print("\\n".join(large("1.7", 30)).replace("█", "#"))
      ##            ######
    ####                ##
      ##                ##
      ##                ##
    ######    ##        ##
    """
    figures = [_LARGE[c].split("|") for c in text if c in _LARGE]
    rows = ["  ".join(figure[row] for figure in figures) for row in range(5)]
    if len(rows[0]) > width:
        return [text]
    wide = 2 * len(rows[0]) <= width
    return ["".join(2 * c for c in row) if wide else row for row in rows]


class Look(NamedTuple):
    """How it is to look: one line after another; figures large; a bell at each reading saved."""

    plain: bool = False
    big: bool = False
    bell: bool = False


class Front:
    """How screens look: wrapped to the window, headings bold where the terminal can; or, plain, line after line.

    On a terminal what is longer than the window is shown in pieces, so that nothing runs off its top.
    """

    def __init__(self, look: Look) -> None:
        plain = self.plain = look.plain
        self.look = look
        self.told: set[str] = set()
        self.waiting: list[str] = []  # pasted lines that are still to be answers
        window = shutil.get_terminal_size((79, 24))
        self.width = 79 if plain else max(40, min(window.columns - 1, 100))
        ends = sys.stdin.isatty(), sys.stdout.isatty()
        self.echo = not ends[0]
        self.pages = Pages() if all(ends) and not plain else None
        self.bold = not plain and ends[1] and "NO_COLOR" not in os.environ and os.environ.get("TERM") != "dumb"

    def put(self, lines: list[str]) -> None:
        """Lines that belong together: a paragraph, or an empty line."""
        if self.pages is not None:
            self.pages.add(lines)
            return
        for line in lines or [""]:
            say(line)

    def flush(self) -> str | None:
        """Show what is still to be shown; what was typed instead of Enter between two pieces."""
        return self.pages.flush() if self.pages is not None else None

    def forget(self) -> None:
        """What was still to be shown is not wanted any more."""
        if self.pages is not None:
            self.pages.forget()

    def printed(self, command: Callable[[], None]) -> None:
        """What a command prints, in pieces too."""
        if self.pages is None:
            command()
            return
        caught = io.StringIO()
        with contextlib.redirect_stdout(caught), contextlib.redirect_stderr(caught):
            command()
        for line in caught.getvalue().splitlines():
            self.put([line])

    def welcome(self, state: State, shown: Shown) -> None:
        """How it goes, in short, where nothing was read yet; and whether the file has faults."""
        if not any(series.rows for series in state.job.series):
            how = (Action.HOW, " says how, ") if Action.HOW in shown.actions else ()
            keys = (Action.KEYS, " lists the keys, ", *how, Action.FINISH, " finishes.")
            self.line(f"Type what you read, then Enter: it is saved at once. {written(keys, shown.question)}")
        for text in faults_of(state):
            self.line(text)

    def show(self, shown: Shown, results: Sequence[Result] = ()) -> None:
        """One screen, but for its question; ``results`` : those of its lines that say what readings come to."""
        if shown.card is not None:
            self.card(shown.card)
        if shown.effects and not self.plain:
            self.put([])
        for line in shown.lines:
            self.line(written(line, shown.question))
        if any(effect.what == "recorded" for effect in shown.effects):
            self.recorded(results)

    def recorded(self, results: Sequence[Result]) -> None:
        """A reading that is saved: the bell, and figures large enough to be read from two metres."""
        if self.look.bell:
            sys.stdout.write("\a")
            sys.stdout.flush()
        for one in results if self.look.big and not self.plain else ():
            if one.large:
                self.put([])
                self.line(one.called)
                self.put(large(one.large, self.width))

    def card(self, card: Card) -> None:
        """The step: title and progress; why, where it is new; tools, procedure in numbered lines, cautions.

        One line of a step that was seen before.
        """
        self.put([])
        if not (card.why or card.keys or card.procedure):
            done = f": {card.progress.removeprefix('Bench: ')}" if card.progress else ""
            self.heading(f"{card.title}, {card.place}{done}")
            return
        self.heading(f"{card.title}: {card.place}")
        for line in (card.progress, card.why, card.keys):
            if line:
                self.line(str(line))
        if not card.procedure:
            return
        self.line("To hand: " + "; ".join(card.tools) + ".")
        for number, line in enumerate(card.procedure, start=1):
            self.line(f"{number}. {line}", hang=3)
        for caution in card.cautions:
            self.line(f"CAUTION: {caution}", hang=9)
        self.put([])

    def heading(self, text: str) -> None:
        """A title with a rule under it; plain, the words alone."""
        text = clean(text, 200)
        title = Bold(text) if self.bold else text
        self.put([title] if self.plain or self.bold else [title, "-" * min(len(text), self.width)])

    def line(self, text: str, *, hang: int = 2) -> None:
        """A paragraph, wrapped; plain, one line."""
        self.put(self._wrapped(clean(text, 1000), hang))

    def _wrapped(self, text: str, hang: int) -> list[str]:
        return [text] if self.plain else filled(text, rest=" " * hang, width=self.width)

    def _is_new(self, question: Question) -> bool:
        """Whether a quantity is asked for the first time in this sitting: what is usual is said once."""
        asked = question.words.rpartition(": ")[2]
        new = bool(question.usual) and asked not in self.told
        self.told.add(asked)
        return new

    def _pasted(self, first: str) -> str:
        """A line with those pasted behind it, where they are values as it is; others wait for their own question."""
        lines = [first]
        while re.match(VALUE, lines[-1]) and select.select([sys.stdin], [], [], 0.05)[0]:
            line = input()
            if not re.match(VALUE, line):
                self.waiting.append(line)
                break
            lines.append(line)
        return "\n".join(lines)

    def ask(self, question: Question) -> str:
        """Put a question and read the answer.

        A key with its sign is taken before the question was seen; an answer is not, as nobody can know what it
        would answer.
        """
        options = enumerate(question.options, start=1)
        lines = [line for number, option in options for line in self._wrapped(f"  {number}  {clean(option, 500)}", 5)]
        usual = f" (usual {question.usual}; such as {question.example})" if self._is_new(question) else ""
        unit = f" [{question.unit}]" if question.unit else ""
        notes = [question.begun] if question.begun else []
        notes += [f"Enter: {question.empty}"] if question.empty else []
        empty = f" ({'; '.join(notes)})" if notes else ""
        lines += self._wrapped(clean(f"{question.words}{unit}{usual}{empty}", 500), 4)
        self.put(lines)
        text = self.flush()
        if text is not None and not text.strip().startswith(SIGN):
            say(f"Not taken, as it was typed before the question: {clean(text, 200)}")
            for line in lines:
                say(line)
            text = None
        if text is None:
            text = self.waiting.pop(0) if self.waiting else input("> ")
            if self.echo:
                say(clean(text, 500))
            if question.blanks and not self.echo:
                text = self._pasted(text)
        return text.encode("utf-8", "replace").decode("utf-8")  # half characters from an odd terminal
