"""How what is stated and not measured is asked for, one thing after another."""

from __future__ import annotations

import re
from functools import partial
from typing import TYPE_CHECKING

from ccassist.guide.modes import NONE, Sure, chosen, in_question, quantity_of
from ccassist.guide.statements import (
    LEFT,
    LEFT_TO,
    WANTED,
    Statement,
    as_stated,
    instead_of,
    is_stated,
    left_in,
    statements,
)
from ccassist.guide.view import Card, Question
from ccassist.guide.walk import left_out
from ccassist.job.records import Job
from ccassist.job.sections import STATED, Section
from ccassist.values.findings import InputError, capital
from ccassist.values.units import shown_unit
from ccassist.vocabulary import term

if TYPE_CHECKING:
    from ccassist.guide.session import Session

TARGETS = "What is wanted"
NOT_YET = "not known yet"
KEYS_HERE = (
    "Keys: Enter or s leaves it as it is, x not asked again (x all: nothing of this section), b back, "
    "u undo, h what it is, j jump, l list, k keys, f finish"
)


def card_of(job: Job, section: str) -> Card:
    """What a section of statements is about, how many it asks for, and the keys."""
    asked = [one for one in statements(job) if one.section == section]
    stated = STATED.get(section)
    meaning = stated.meaning if stated is not None else TARGETS
    done = sum(is_stated(job, one) for one in asked)
    return Card(
        title=capital(re.split("[:;,]", meaning, maxsplit=1)[0]),
        place=f"{len(asked)} question{'' if len(asked) == 1 else 's'}" + (f", {done} answered" if done else ""),
        why=" ".join(_about(stated)) if stated is not None else "What the engine is to come to.",
        keys=KEYS_HERE,
    )


def _about(section: Section) -> list[str]:
    """What a section is, and how something in it is left to somebody."""
    leave = [f'Answer "{LEFT_TO}" to leave a thing to them.'] if section.left_in else []
    return [f"{capital(section.meaning)}.", *leave]


class Stating:
    """Asks for one statement after another; Enter passes one over for today.

    ``before`` is the statement asked before this one in this sitting.
    """

    def __init__(self, one: Statement, before: Stating | None = None) -> None:
        self.one, self.before = one, before
        self.typed = ""

    @property
    def passing(self) -> bool:
        """Where it comes from belongs to the quantity typed before."""
        return bool(self.typed)

    def question(self, session: Session) -> Question:
        """The thing to be stated; or where it comes from."""
        if self.typed:
            from ccassist.values.quantity import ORIGINS

            return Question(words="Where does that come from?", options=ORIGINS, empty=self._usual_origin(session))
        one, words = self.one, f"{self._number(session)}: {self.one.words}"
        stands = as_stated(session.job, one)
        empty = f"stays {stands}" if stands else NOT_YET
        if not one.quantity:
            return Question(words=words, options=one.options, empty=empty, free=not one.options)
        shown = self._shown(session)
        return Question(words=words, unit=shown.unit, usual=shown.usual, example=shown.example, empty=empty)

    def _number(self, session: Session) -> str:
        """Which question of its section this is, such as "Cam, 2 of 8"."""
        places = [one.place for one in statements(session.job) if one.section == self.one.section]
        name = capital(self.one.section.rpartition(".")[2])
        number = places.index(self.one.place) + 1 if self.one.place in places else len(places) + 1
        return f"{name}, {number} of {max(number, len(places))}"

    def _shown(self, session: Session) -> Question:
        from ccassist.bench.step import Field

        one = self.one
        return quantity_of(Field(name=one.key, term=one.key, words=one.words), session.job.system)

    def _usual_origin(self, session: Session) -> str:
        """What was said last in this section; assumed where nothing was."""
        from ccassist.values.quantity import ORIGINS

        section, said = session.origin
        return said if section == self.one.section else ORIGINS[-1]

    def answer(self, session: Session, text: str) -> None:
        """Keep it in the file, or say what is wrong with it."""
        if self.typed:
            self._origin(session, text)
        elif text in ("", NONE):
            if not is_stated(session.job, self.one) and self.one.place not in session.passed:
                session.passed.add(self.one.place)
                session.did(f"{self.one.place} passed over for today")
            session.advance()
        elif text.casefold() in (LEFT_TO, LEFT_TO.removeprefix("the ")) and left_in(self.one):
            self.keep(session, LEFT_TO, section=left_in(self.one))
        elif self.one.options:
            said = chosen(self.one.options, text)
            if said is None:
                session.say(f"Say one of the numbers, or {' or '.join(self.one.options)}")
            else:
                self.keep(session, said)
        elif self.one.quantity:
            self._quantity(session, text)
        else:
            self.keep(session, text)

    def _quantity(self, session: Session, text: str) -> None:
        from ccassist.values.asking import band_with_unit, with_unit
        from ccassist.values.quantity import doubtful, parse

        key = self.one.key
        sight = shown_unit(term(key), session.job.system)  # the prompt prints it
        try:
            if self.one.section == WANTED:
                self.keep(session, band_with_unit(text, key, sight=sight))
                return
            whole = with_unit(text, key, sight=sight)
            read = parse(whole, key)
        except InputError as fault:
            if instead_of(self.one) and fault.findings[0].code == "wrong-basis":
                self.keep(session, text, key=instead_of(self.one))
            else:
                session.say(*(f.text() for f in fault.findings))
            return
        unusual = doubtful(read)
        if unusual is None:
            self._sure(session, whole, bool(read.origin))
        else:
            session.say(unusual.text())
            session.mode = Sure(unusual, lambda: self._sure(session, whole, bool(read.origin)), self)

    def _sure(self, session: Session, whole: str, with_origin: bool) -> None:
        """A quantity that is meant: keep it, or ask where it comes from."""
        if self.one.decided or with_origin:
            self.keep(session, whole)
        else:
            self.typed = whole

    def _origin(self, session: Session, text: str) -> None:
        from ccassist.values.quantity import ORIGINS

        said = chosen(ORIGINS, text) if text else self._usual_origin(session)
        if said is None:
            session.say(f"Say one of the numbers, or {' or '.join(ORIGINS)}")
        else:
            session.origin = (self.one.section, said)
            self.keep(session, f"{self.typed}, {said}")

    def keep(self, session: Session, text: str, *, section: str = "", key: str = "", sure: bool = False) -> None:
        """Save it, and say what it was before; then on to the next.  ``sure`` : what it makes doubtful was asked."""
        from ccassist.analysis.questions import new_questions
        from ccassist.guide.saving import guard

        section, key, was = section or self.one.section, key or self.one.key, as_stated(session.job, self.one)
        try:
            after = session.file.with_statement(section.split("."), key, text)
            if not sure and (asked := new_questions(session.job, after)):
                session.say(*in_question(asked))
                meant = partial(self.keep, session, text, section=section, key=key, sure=True)
                session.mode = Sure(asked[0], meant, self)
                return
            session.file.state(section.split("."), key, text)
            if was.startswith(LEFT) and text != LEFT_TO:
                session.file.take_out((*left_in(self.one).split("."), self.one.key))
        except InputError as fault:
            guard(session, fault)
            return
        changed = f", was: {was}" if was not in ("", text) else ""
        session.say(f'Kept: [{section}] {key} = "{text}"{changed}', *self._without_doubt(text, key, session))
        session.stated.append(self.one.place)
        session.sure = False  # what was asked was this statement
        session.did(f'[{section}] {key} = "{text}"{changed}')
        session.advance()

    def _without_doubt(self, text: str, key: str, session: Session) -> list[str]:
        """What is taken for the ± of a quantity stated without one, which is a guess."""
        if not self.one.quantity or self.one.decided or self.one.section == WANTED:
            return []
        from ccassist.values.quantity import parse
        from ccassist.values.statement import taken_words

        said = taken_words(parse(text, key, system=session.job.system))
        return [said] if said else []

    def back(self, session: Session) -> None:
        """To the one asked before, else to the one that stands before it; what was said stays until it is said anew."""
        if self.typed:
            self.typed = ""
            return
        asked = statements(session.job)
        at = next((i for i, one in enumerate(asked) if one.place == self.one.place), 0)
        if self.before is not None:
            turn_to(session, self.before)
        elif at > 0:
            turn_to(session, Stating(asked[at - 1]))
        else:
            session.say("This is the first of these; j goes to a bench step")

    def leave_out(self, session: Session, rest: str) -> None:
        """Not to be asked again: this one, or all of its section."""
        if rest not in ("", "all"):
            session.say("x: this one is not asked again; x all: nothing of this section is")
            return
        entry = self.one.section if rest else self.one.place
        session.file.set_value(("job", "leave_out"), ", ".join([*left_out(session.job), entry]))
        session.say(f"Not asked again: {entry}. It stands under leave_out in [job]: remove it there to be asked.")
        session.did(f"not asked again: {entry}")
        session.advance()

    def how(self, session: Session) -> None:
        """What is meant, and what is usual, once more."""
        section = STATED.get(self.one.section)
        session.say(*(_about(section) if section else []), self.one.words)
        if self.one.quantity:
            shown = self._shown(session)
            session.say(f"Usual: {shown.usual}; such as {shown.example}.")


def ask(session: Session, one: Statement) -> None:
    """Ask for a statement after the one that is asked now."""
    turn_to(session, Stating(one, session.mode if isinstance(session.mode, Stating) else None))


def turn_to(session: Session, mode: Stating) -> None:
    """Ask in this way; where that opens another section, say first what it is about."""
    mode.typed = ""
    if not isinstance(session.mode, Stating) or session.mode.one.section != mode.one.section:
        session.put_card(card_of(session.job, mode.one.section))
    if mode.one.quantity and term(mode.one.key).caution:
        session.warn([f"Mind: {term(mode.one.key).caution}."])
    session.mode = mode
