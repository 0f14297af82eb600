"""What the guide is waiting for: each mode asks one kind of question and takes its answer."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Protocol

from ccassist.asking import example, usual, with_unit
from ccassist.bench.step import Field
from ccassist.findings import Finding, InputError, capital
from ccassist.guide.view import ON_ONE_LINE, Question
from ccassist.quantity import doubtful, parse
from ccassist.terms import Kind, term
from ccassist.units import shown_unit

if TYPE_CHECKING:
    from ccassist.guide.session import Session


NONE = "-"  # nothing to say, where an empty line means something else
# Between several values on one line; the comma of "46,2" has no space behind it, "1.30 mm, measured" no number.
BETWEEN = re.compile(r",\s+(?=[-+.\d])")
SEVERAL = re.compile(r"\d[\s,]+\d")  # what looks like several values where one was expected


class Mode(Protocol):
    """One thing waited for."""

    def question(self, session: Session) -> Question:
        """What is asked."""

    def answer(self, session: Session, text: str) -> None:
        """Take an answer."""


class Reading:
    """The values of one reading, field by field."""

    def question(self, session: Session) -> Question:
        """The next value."""
        field = session.next_field()
        shown = quantity_of(field, session.job.system, session.units)
        noun = "step" if not session.step.part else "fill" if session.step.fills else "reading"
        number = len(session.task.rows) + 1
        words = f"{capital(session.target.where)}, {noun} {number}: {field.words}"
        empty = "none" if field.optional else ""
        if self._as_before(session, field):
            empty = f"{self._as_before(session, field)}, as before"
        if self._enough(session):
            empty = f"go on; or take one more{', - for none' if field.optional else ''}"
        return Question(words=words, unit=shown.unit, usual=shown.usual, example=shown.example, empty=empty)

    def answer(self, session: Session, text: str) -> None:
        """Take one value, or several from one line; those behind one that cannot be taken are not taken either."""
        values = BETWEEN.split(text)
        while values:
            before = (len(session.recorded), len(session.typed))
            self._take(session, values.pop(0))
            moved = (len(session.recorded), len(session.typed)) != before
            if values and not (moved and isinstance(session.mode, Reading)):
                session.say(f"The rest of the line was not taken: {', '.join(values)}")
                return

    def _take(self, session: Session, text: str) -> None:
        """Take a value; the last one completes the reading and saves it."""
        from ccassist.guide.given import is_given, keep_given

        field = session.next_field()
        if text and is_given(session, field, text):
            take(session, field, text, lambda texts: keep_given(session, field, texts[0]))
        elif text and not (text == NONE and field.optional):
            take(session, field, text, lambda texts: session.put(field.name, texts))
        elif not text and self._enough(session):
            session.advance()
        elif field.optional:
            session.put(field.name, ())
        elif not text and self._as_before(session, field):
            session.put(field.name, (self._as_before(session, field),))
        else:
            session.say("Type what you read; s skips this for today, l lists what is left, f finishes")

    def _as_before(self, session: Session, field: Field) -> str:
        """What an empty line takes where a value hardly ever changes: that of the reading before."""
        rows = session.task.rows
        found = rows[-1].fields.get(field.name, ()) if rows and field.steady else ()
        return found[0] if len(found) == 1 else ""

    def _enough(self, session: Session) -> bool:
        """Whether another reading would be one more than asked for, and none is begun."""
        return not session.typed and session.task.counted >= session.task.asked


class Timed:
    """Readings taken after the fill, put to a reading that is already saved."""

    def __init__(self, place: str, fields: tuple[Field, ...], row: Mapping[str, tuple[str, ...]]) -> None:
        self.place, self.fields, self.row = place, fields, row
        self.typed: dict[str, tuple[str, ...]] = {}

    def question(self, session: Session) -> Question:
        """The next of them."""
        field = self._next()
        shown = quantity_of(field, session.job.system, session.units)
        many = "; with ; between them" if field.many else ""
        return Question(
            words=capital(field.words) + many,
            unit=shown.unit,
            usual=shown.usual,
            example=shown.example,
            empty="leave it",
        )

    def answer(self, session: Session, text: str) -> None:
        """Take it; the last one saves all."""
        if not text:
            session.say("No timed readings put to it")
            session.mode = Reading()
            return
        take(session, self._next(), text, lambda texts: self._put(session, texts))

    def _next(self) -> Field:
        return next(f for f in self.fields if f.name not in self.typed)

    def _put(self, session: Session, texts: tuple[str, ...]) -> None:
        session.mode = self
        self.typed[self._next().name] = texts
        if len(self.typed) == len(self.fields):
            session.mode = Reading()
            session.put_timed(self.place, self.row, self.typed)


class Sure:
    """An unusual value: is it meant?"""

    def __init__(self, finding: Finding, yes: Callable[[], None], before: Mode) -> None:
        self.finding, self.yes, self.before = finding, yes, before

    def question(self, session: Session) -> Question:
        """Yes, or type it again."""
        return Question(words="Are you sure? yes keeps it; or type it again", empty="ask again")

    def answer(self, session: Session, text: str) -> None:
        """Yes keeps it; anything else is the value typed anew."""
        session.mode = self.before
        if text.lower() in ("y", "yes"):
            session.sure = True
            self.yes()
        elif text and text.lower() not in ("n", "no"):
            self.before.answer(session, text)


class Words:
    """Free words: a reason, a remark, a place to go to."""

    def __init__(self, words: str, done: Callable[[str], None], before: Mode) -> None:
        self.words, self.done, self.before = words, done, before

    def question(self, session: Session) -> Question:
        """In words."""
        return Question(words=self.words, empty="leave it", free=True)

    def answer(self, session: Session, text: str) -> None:
        """Enter leaves everything as it was."""
        session.mode = self.before
        if text:
            self.done(text)


class Retry:
    """A reading that could not be saved: kept until it can."""

    def __init__(self, again: Callable[[], None]) -> None:
        self.again = again

    def question(self, session: Session) -> Question:
        """Once more."""
        return Question(words="The reading is NOT saved yet: write it down", empty="try to save it again")

    def answer(self, session: Session, text: str) -> None:
        """Enter tries again."""
        if text:
            session.say("Enter tries to save it again; f finishes without it")
        else:
            self.again()


def take(session: Session, field: Field, text: str, keep: Callable[[tuple[str, ...]], None]) -> None:
    """Read a typed quantity; keep it, ask "are you sure?", or say what is wrong."""
    system, bare = session.job.system, session.units.get(term(field.term).kind, "")
    parts = [part.strip() for part in text.split(";") if part.strip()] if field.many else [text]
    try:
        texts = tuple(with_unit(part, field.term, system=system, bare=bare) for part in parts)
        unusual = next((f for t in texts if (f := doubtful(parse(t, field.term, system=system)))), None)
    except InputError as fault:
        session.say(*(f.text() for f in fault.findings), *([ON_ONE_LINE] if SEVERAL.search(text) else []))
        return
    if not texts:
        session.say("Type what you read")
    elif unusual is not None:
        session.say(unusual.text())
        session.mode = Sure(unusual, lambda: keep(texts), session.mode)
    else:
        keep(texts)


def chosen(options: tuple[str, ...], text: str) -> str | None:
    """One of the options by its number, its words, or a beginning of them that fits no other."""
    if text.isascii() and text.isdecimal():
        number = int(text[:4])
        return options[number - 1] if 1 <= number <= len(options) else None
    said = text.casefold()
    same = [option for option in options if option.casefold() == said]
    begin = same or [option for option in options if option.casefold().startswith(said)]
    return begin[0] if len(begin) == 1 else None


def quantity_of(field: Field, system: str, units: Mapping[Kind, str] | None = None) -> Question:
    """Unit, usual range and example of a field; ``units`` : those chosen for bare numbers, by kind."""
    wanted = term(field.term)
    unit = (units or {}).get(wanted.kind, "") or shown_unit(wanted, system)
    return Question(
        words=field.words,
        unit=unit,
        usual=usual(field.term, system, unit),
        example=field.example or example(field.term, system),
    )
