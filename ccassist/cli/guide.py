"""``ccassist guide``: the terminal front of the guided walk; plain lines in and out."""

from __future__ import annotations

import os
import shutil
import sys
from pathlib import Path

from ccassist.cli.screen import complain, say, wrapped
from ccassist.findings import CcassistError, clean, errors
from ccassist.guide.session import Session
from ccassist.guide.view import ACTIONS, IN_SHORT, Card, Question, Shown
from ccassist.job.write import JobFile


def run(file: Path, *, step: str | None, cylinder: int | None, plain: bool) -> int:
    """Walk through the bench steps until everything is done or the user finishes."""
    try:
        with JobFile.open(file) as job_file:
            front = Front(plain=plain)
            session = Session(job_file)
            shown = session.open(step or "", cylinder)
            front.welcome(job_file)
            _walk(session, shown, front, file)
    except CcassistError as fault:
        return complain(fault)
    return 0


def _walk(session: Session, shown: Shown, front: Front, file: Path) -> None:
    """Show, ask, enter; the end of the input and Ctrl-C finish for today."""
    while True:
        front.show(shown)
        for name in shown.screens:
            say()
            _screen(name, file)
        if shown.finished:
            return
        try:
            shown = session.enter(front.ask(shown.question))
        except (EOFError, KeyboardInterrupt):
            say()
            shown = session.finish()


def _screen(name: str, file: Path) -> None:
    """An answer shown, or a paper printed, by its command; what is wrong with it is said, and the walk goes on."""
    from ccassist.cli import balance, boost, order, show, worksheet

    try:
        if name == "show":
            show.run(file, system=None, as_json=False, with_budget=False)
        elif name == "balance":
            balance.run(file, system=None, as_json=False)
        elif name == "boost":
            boost.run(file, system=None, as_json=False, with_curve=False)
        elif name == "order":
            order.run(file, system=None, as_json=False, final=False, out=None, page="A4")
        elif name == "order sheet":
            sheet = file.with_name(f"{file.stem}-order.pdf")
            order.run(file, system=None, as_json=False, final=False, out=sheet, page="A4")
        else:
            worksheet.run(file, out=None, page="A4", system=None, unknowns=[], targets=[])
    except CcassistError as fault:
        complain(fault)


class Front:
    """How screens look: wrapped to the window, headings bold where the terminal can; or, plain, line after line."""

    def __init__(self, *, plain: bool) -> None:
        self.plain = plain
        self.told: set[str] = set()
        self.width = 79 if plain else max(40, min(shutil.get_terminal_size((79, 24)).columns - 1, 100))
        self.bold = (
            not plain and sys.stdout.isatty() and "NO_COLOR" not in os.environ and os.environ.get("TERM") != "dumb"
        )

    def welcome(self, job_file: JobFile) -> None:
        """The keys, once; and whether the file has faults."""
        self.line("Type what you read and press Enter: it is saved at once. Keys, each followed by Enter:")
        for key, (word, rest, does) in ACTIONS.items():
            keys = f"{key} {rest}".rstrip()
            self.line(f"{keys}: {word}: {does}" if self.plain else f"  {keys:<14}{word}: {does}", hang=16)
        wrong = len(errors(job_file.loaded().findings))
        if wrong:
            self.line(
                f"This file has {wrong} fault{'s' if wrong > 1 else ''}; what is wrong is not used. "
                f"To see all: ccassist check {job_file.path}"
            )

    def show(self, shown: Shown) -> None:
        """One screen."""
        if shown.card is not None:
            self.card(shown.card)
        if shown.effects and not self.plain:
            say()
        for line in shown.lines:
            self.line(line)

    def card(self, card: Card) -> None:
        """The step: title, why, tools, procedure in numbered lines, cautions."""
        say()
        self.heading(f"{card.title}: {card.place}")
        if not card.procedure:
            self.line(IN_SHORT)
            return
        self.line(card.why)
        self.line("To hand: " + "; ".join(card.tools) + ".")
        for number, line in enumerate(card.procedure, start=1):
            self.line(f"{number}. {line}", hang=3)
        for caution in card.cautions:
            self.line(f"CAUTION: {caution}", hang=9)
        say()

    def heading(self, text: str) -> None:
        """A title with a rule under it; plain, the words alone."""
        text = clean(text, 200)
        say(f"\x1b[1m{text}\x1b[0m" if self.bold else text)
        if not self.plain:
            say("-" * min(len(text), self.width))

    def line(self, text: str, *, hang: int = 2) -> None:
        """A paragraph, wrapped; plain, one line."""
        text = clean(text, 1000)
        if self.plain:
            say(text)
        else:
            wrapped(text, rest=" " * hang, width=self.width)

    def _is_new(self, question: Question) -> bool:
        """Whether a quantity is asked for the first time in this sitting: what is usual is said once."""
        asked = question.words.rpartition(": ")[2]
        new = bool(question.usual) and asked not in self.told
        self.told.add(asked)
        return new

    def ask(self, question: Question) -> str:
        """Put a question and read the answer."""
        for number, option in enumerate(question.options, start=1):
            self.line(f"  {number}  {option}", hang=5)
        usual = f" (usual {question.usual}; such as {question.example})" if self._is_new(question) else ""
        unit = f" [{question.unit}]" if question.unit else ""
        empty = f" (Enter: {question.empty})" if question.empty else ""
        self.line(clean(f"{question.words}{unit}{usual}{empty}", 500), hang=4)
        text = input("> ")
        return text.encode("utf-8", "replace").decode("utf-8")  # half characters from an odd terminal
