"""What the guide is waiting for: each mode asks one kind of question and takes its answer."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Protocol

from ccassist.bench.step import Field
from ccassist.guide.view import ON_ONE_LINE, Question
from ccassist.values.asking import example, usual, with_unit
from ccassist.values.findings import Finding, InputError, capital, error
from ccassist.values.quantity import doubtful, parse
from ccassist.values.units import shown_unit
from ccassist.vocabulary import Kind, term

if TYPE_CHECKING:
    from ccassist.guide.session import Session


ONLY_READ = "Readings are taken here; a figure of the maker's, or assumed, is stated in the file or before any reading"
NONE = "-"  # nothing to say, where an empty line means something else
# Between several values on one line; the comma of "46,2" has no space behind it, "1.30 mm, measured" no number.
BETWEEN = re.compile(r",\s+(?=[-+.\d])")
SEVERAL = re.compile(r"\d[\s,]+\d")  # what looks like several values where one was expected


class Mode(Protocol):
    """One thing waited for."""

    @property
    def passing(self) -> bool:
        """Whether it only belongs to something begun before it, such as a doubt about what was typed."""

    def question(self, session: Session) -> Question:
        """What is asked."""

    def answer(self, session: Session, text: str) -> None:
        """Take an answer."""


class Reading:
    """The values of one reading, field by field; or whole readings on one line."""

    passing = False

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
        return replace(shown, words=words, empty=empty, begun=said_of(session.typed))

    def answer(self, session: Session, text: str) -> None:
        """Take one value, or whole readings from one line: each is taken whole or not at all."""
        values = BETWEEN.split(text)
        if len(values) == 1:
            self._take(session, text)
            return
        wanted = [f for f in session.fields() if f.name not in session.typed]
        if session.typed and len(values) > len(wanted):
            session.say(
                f"Not taken: {text}. A reading is begun ({said_of(session.typed)}) and {_still(len(wanted))}: "
                "type that alone, or u drops what is begun"
            )
            return
        taken = False
        while values and isinstance(session.mode, Reading):
            wanted = [f for f in session.fields() if f.name not in session.typed]
            part, rest = values[: len(wanted)], values[len(wanted) :]
            if not take_all(session, wanted, part):
                break
            taken, values = True, rest
        if values:
            what = "The rest of the line was not taken" if taken else "Not taken, all of it is asked again"
            session.say(f"{what}: {', '.join(values)}")

    def _take(self, session: Session, text: str) -> None:
        """Take a value; the last one completes the reading and saves it."""
        from ccassist.guide.given import is_given, keep_given, not_read

        field = session.next_field()
        if text and is_given(session, field, text):
            take(session, field, text, lambda texts: keep_given(session, field, texts[0]))
        elif text and not_read(session, field, text):
            session.say(f"Not taken: {text}. {ONLY_READ}")
        elif text and not (text == NONE and field.optional):
            take(session, field, text, lambda texts: session.put({field.name: texts}))
        elif not text and self._enough(session):
            session.advance()
        elif field.optional:
            session.put({field.name: ()})
        elif not text and self._as_before(session, field):
            session.put({field.name: (self._as_before(session, field),)})
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


def said_of(typed: Mapping[str, tuple[str, ...]]) -> str:
    """Values by name, such as "start 0.1 cc, end 50.2 cc"."""
    return ", ".join(f"{name} {'; '.join(texts)}" for name, texts in typed.items() if texts)


def _still(count: int) -> str:
    return "one value of it is missing" if count == 1 else f"{count} values of it are missing"


class Timed:
    """Readings taken after the fill, put to a reading that is already saved."""

    passing = True

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
    """An unusual value: is it meant?  ``words`` : it is words or a name, which are not typed anew here: keys work."""

    passing = True

    def __init__(self, finding: Finding, yes: Callable[[], None], before: Mode, *, words: bool = False) -> None:
        self.finding, self.yes, self.before, self.words = finding, yes, before, words

    def question(self, session: Session) -> Question:
        """Yes, or type it again."""
        anew = "no asks again" if self.words else "or type it again"
        return Question(words=f"Are you sure? yes keeps it; {anew}", empty="ask again")

    def answer(self, session: Session, text: str) -> None:
        """Yes keeps it; anything else is the value typed anew."""
        if text.lower() in ("y", "yes"):
            session.mode, session.sure = self.before, True
            self.yes()
            return
        if self.words and text and text.lower() not in ("n", "no"):
            session.say(f'"{text}" is neither yes nor no')
            return
        self.drop(session)
        if text and text.lower() not in ("n", "no"):
            session.mode.answer(session, text)

    def drop(self, session: Session) -> None:
        """What is doubted was not meant: the sitting as it was before it was typed."""
        from ccassist.guide.undoing import restore

        if isinstance(self.before, Timed):
            session.mode = self.before
        else:
            restore(session, session.before)


class Words:
    """Free words: a reason, a remark, a place to go to."""

    passing = True

    def __init__(self, words: str, done: Callable[[str], None], before: Mode, *, wordy: bool = False) -> None:
        self.words, self.done, self.before, self.wordy = words, done, before, wordy

    def question(self, session: Session) -> Question:
        """In words."""
        return Question(words=self.words, empty="leave it", free=True)

    def answer(self, session: Session, text: str) -> None:
        """Enter leaves everything as it was; where words are asked for, a number or a reading is none."""
        from ccassist.guide.wordy import no_words

        wrong = no_words(session, text) if self.wordy and text else ""
        if wrong:
            session.say(wrong)
            return
        session.mode = self.before
        if text:
            self.done(text)


class Retry:
    """A reading that could not be saved: kept until it can."""

    passing = True

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


def sight_of(session: Session, field: Field) -> str:
    """The unit that the prompt of a field prints, which bare numbers take."""
    wanted = term(field.term)
    return session.units.get(wanted.kind, "") or shown_unit(wanted, session.job.system)


def read(session: Session, field: Field, text: str) -> tuple[tuple[str, ...], Finding | None]:
    """A typed quantity with its unit, several where the field takes them; and what is unusual about it.

    Raises
    ------
    InputError : it cannot be read.
    """
    parts = [part.strip() for part in text.split(";") if part.strip()] if field.many else [text]
    texts = tuple(with_unit(part, field.term, sight=sight_of(session, field)) for part in parts)
    if not texts:
        raise InputError(error("missing-value", "nothing was read", read=text, right="type what you read"))
    return texts, next((f for t in texts if (f := doubtful(parse(t, field.term)))), None)


def in_question(asked: Sequence[Finding]) -> list[str]:
    """Questions about what is not in the file yet, so without a line of it."""
    return [replace(f, file="", line=None).text() for f in asked]


def take(session: Session, field: Field, text: str, keep: Callable[[tuple[str, ...]], None]) -> None:
    """Read a typed quantity; keep it, ask "are you sure?", or say what is wrong."""
    try:
        texts, unusual = read(session, field, text)
    except InputError as fault:
        session.say(*(f.text() for f in fault.findings), *([ON_ONE_LINE] if SEVERAL.search(text) else []))
        return
    if unusual is not None:
        session.say(unusual.text())
        session.mode = Sure(unusual, lambda: keep(texts), session.mode)
    else:
        keep(texts)


def take_all(session: Session, fields: Sequence[Field], parts: Sequence[str]) -> bool:
    """The values of one reading from one line: all of them or none; False, with what is wrong, where none are taken.

    What is left for the next question may only be what need not be said.
    """
    if any(not f.optional for f in fields[len(parts) :]):
        return False
    from ccassist.guide.given import not_read

    typed: dict[str, tuple[str, ...]] = {}
    doubts: list[Finding] = []
    try:
        for field, text in zip(fields, parts, strict=False):
            if not_read(session, field, text):
                session.say(ONLY_READ)
                return False
            none = text == NONE and field.optional
            typed[field.name], unusual = ((), None) if none else read(session, field, text)
            doubts += [unusual] if unusual is not None else []
    except InputError as fault:
        session.say(*(f.text() for f in fault.findings))
        return False
    if doubts:
        session.say(*(f.text() for f in doubts), f"Read: {said_of(typed)}")
        session.mode = Sure(doubts[0], lambda: session.put(typed), session.mode)
    else:
        session.put(typed)
    return True


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
