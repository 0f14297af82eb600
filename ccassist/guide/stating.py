"""What is stated and not measured: targets, cam, charge, the piston order; asked one after another.

Which statements a job asks for follows from what it is for; the sections
that hold them are declared in :mod:`ccassist.job.sections`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ccassist.findings import InputError
from ccassist.guide.modes import NONE, Sure, chosen, quantity_of
from ccassist.guide.view import Card, Question
from ccassist.guide.walk import left_out
from ccassist.job.records import Job
from ccassist.job.sections import STATED, Section
from ccassist.job.vocabulary import PLAIN, purposes_of
from ccassist.terms import term

if TYPE_CHECKING:
    from ccassist.guide.session import Session

WANTED = "wanted"
# What a job is for -> what is asked once the bench is done: things wanted, then whole sections.
ASKED: Mapping[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "heads": (("chamber_volume",), ()),
    "pistons": (("static_ratio", "squish"), ("order", "order.crown")),
    "turbo": (("static_ratio", "squish"), ("cam", "charge", "baseline")),
}
TARGETS = "What is wanted"
# What one section says another need not ask for, where a job has both.
_SAID_IN: Mapping[str, str] = {"order fuel": "charge", "order boost": "charge"}
_SPEEDS = ("engine_speed", "rev_limit")  # said for the whole engine, neither is asked for again
NOT_YET = "not known yet"
LEFT_TO = "the maker"
_LEFT = "left to "
KEYS_HERE = (
    "Keys: Enter or s leaves it as it is, x not asked again (x all: nothing of this section), b back, "
    "u the last one anew, h what it is, j jump, l list, k keys, f finish"
)


@dataclass(frozen=True, kw_only=True)
class Statement:
    """One thing to be stated.

    ``section`` and ``key`` say where it stands; ``options`` are the words for it,
    where it is a quantity ``decided`` says that nobody asks where it comes from.
    """

    section: str
    key: str
    words: str
    quantity: bool = False
    decided: bool = False
    options: tuple[str, ...] = ()

    @property
    def place(self) -> str:
        """Its name, such as "cam intake_closing"."""
        return f"{self.section} {self.key}"


def statements(job: Job) -> tuple[Statement, ...]:
    """Everything that a job asks to be stated, each once, in the order asked."""
    found: dict[tuple[str, str], Statement] = {}
    for purpose in purposes_of(job.about):
        wanted, sections = ASKED.get(purpose, ((), ()))
        asked = [*(_wanted(key, purpose) for key in wanted), *(one for name in sections for one in _of_section(name))]
        for one in asked:
            if _called_for(job, one):
                found.setdefault((one.section, one.key), one)
    return tuple(found.values())


def _wanted(key: str, purpose: str) -> Statement:
    band = "a range (it gives the maker's tolerance)" if purpose == "pistons" else "a range"
    words = f"{_capital(term(key).name)}: one value, {band}, at least … or at most …"
    return Statement(section=WANTED, key=key, words=words, quantity=True, decided=True)


def _of_section(name: str) -> Iterator[Statement]:
    section = STATED[name]
    for key in section.guide or section.samples or section.keys:
        if key in section.terms:
            meant = term(key)
            decided = key in section.chosen or key in section.asked or key in PLAIN
            words = section.asks.get(key, f"{_capital(meant.name)}: {meant.meaning}")
            yield Statement(section=name, key=key, words=words, quantity=True, decided=decided)
        elif key in section.words:
            words = section.asks.get(key, _capital(key.replace("_", " ")))
            yield Statement(section=name, key=key, words=words, options=section.words[key])
        elif key in section.texts:
            yield Statement(section=name, key=key, words=section.asks.get(key, _capital(section.texts[key])))


def _called_for(job: Job, one: Statement) -> bool:
    """Whether what it depends on, such as the shape for the diameter of a dish, is said so; nothing twice."""
    if any(_SAID_IN.get(one.place) in ASKED[purpose][1] for purpose in purposes_of(job.about) if purpose in ASKED):
        return False
    if one.section == WANTED or one.key not in STATED[one.section].only_with:
        return True
    other, words = STATED[one.section].only_with[one.key]
    return job.said.get(one.section, {}).get(other) in words


def is_left_out(job: Job, one: Statement) -> bool:
    """Whether the file says not to ask for it, or for nothing of its section."""
    return bool({one.place, one.section} & set(left_out(job)))


def is_stated(job: Job, one: Statement) -> bool:
    """Whether the file says it already."""
    if one.key in _SPEEDS and one.section != "baseline" and "engine_speed" in job.engine:
        return True
    return bool(as_stated(job, one))


def as_stated(job: Job, one: Statement) -> str:
    """What the file says of it, as written, or who is to decide it; "" where it says nothing."""
    there = job.wanted if one.section == WANTED else job.stated.get(one.section, {})
    given = next((there[key] for key in (one.key, _instead(one)) if key in there), None)
    said = job.said.get(one.section, {}).get(one.key, "")
    left_to = job.said.get(_left_in(one), {}).get(one.key, "")
    return "; ".join(given.texts) if given is not None else said or (f"{_LEFT}{left_to}" if left_to else "")


def _instead(one: Statement) -> str:
    """The key that may be stated in its stead, "" where there is none."""
    section = STATED.get(one.section)
    return section.instead.get(one.key, "") if section is not None else ""


def _left_in(one: Statement) -> str:
    """The section that says who decides it, where it may be left to somebody; else ""."""
    section = STATED.get(one.section)
    found = STATED.get(section.left_in) if section is not None else None
    return found.name if found is not None and one.key in found.texts else ""


def left(job: Job, passed: set[str]) -> list[Statement]:
    """What is still to be stated, but for what was passed over today."""
    return [one for one in statements(job) if not (is_stated(job, one) or is_left_out(job, one) or one.place in passed)]


def next_left(job: Job, passed: set[str], after: Statement | None) -> Statement | None:
    """The next one still to be stated after another, round to the first; None where nothing is left."""
    unsaid = left(job, passed)
    order = [one.place for one in statements(job)]
    at = order.index(after.place) if after is not None and after.place in order else -1
    return next((one for one in unsaid if order.index(one.place) > at), unsaid[0] if unsaid else None)


def card_of(job: Job, section: str) -> Card:
    """What a section of statements is about, how many it asks for, and the keys."""
    asked = [one for one in statements(job) if one.section == section]
    stated = STATED.get(section)
    meaning = stated.meaning if stated is not None else TARGETS
    done = sum(is_stated(job, one) for one in asked)
    return Card(
        title=_capital(re.split("[:;,]", meaning, maxsplit=1)[0]),
        place=f"{len(asked)} question{'' if len(asked) == 1 else 's'}" + (f", {done} answered" if done else ""),
        why=" ".join(_about(stated)) if stated is not None else "What the engine is to come to.",
        keys=KEYS_HERE,
    )


def _about(section: Section) -> list[str]:
    """What a section is, and how something in it is left to somebody."""
    leave = [f'Answer "{LEFT_TO}" to leave a thing to them.'] if section.left_in else []
    return [f"{_capital(section.meaning)}.", *leave]


class Stating:
    """Asks for one statement after another; Enter passes one over for today.

    ``before`` is the statement asked before this one in this sitting.
    """

    def __init__(self, one: Statement, before: Stating | None = None) -> None:
        self.one, self.before = one, before
        self.typed = ""

    def question(self, session: Session) -> Question:
        """The thing to be stated; or where it comes from."""
        if self.typed:
            from ccassist.quantity import ORIGINS

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
        name = _capital(self.one.section.rpartition(".")[2])
        number = places.index(self.one.place) + 1 if self.one.place in places else len(places) + 1
        return f"{name}, {number} of {max(number, len(places))}"

    def _shown(self, session: Session) -> Question:
        from ccassist.bench.step import Field

        one = self.one
        return quantity_of(Field(name=one.key, term=one.key, words=one.words), session.job.system)

    def _usual_origin(self, session: Session) -> str:
        """What was said last in this section; assumed where nothing was."""
        from ccassist.quantity import ORIGINS

        section, said = session.origin
        return said if section == self.one.section else ORIGINS[-1]

    def answer(self, session: Session, text: str) -> None:
        """Keep it in the file, or say what is wrong with it."""
        if self.typed:
            self._origin(session, text)
        elif text in ("", NONE):
            if not is_stated(session.job, self.one):
                session.passed.add(self.one.place)
            session.advance()
        elif text.casefold() in (LEFT_TO, LEFT_TO.removeprefix("the ")) and _left_in(self.one):
            self.keep(session, LEFT_TO, section=_left_in(self.one))
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
        from ccassist.asking import band_with_unit, with_unit
        from ccassist.quantity import doubtful, parse

        system, key = session.job.system, self.one.key
        try:
            if self.one.section == WANTED:
                self.keep(session, band_with_unit(text, key, system=system))
                return
            whole = with_unit(text, key, system=system)
            read = parse(whole, key, system=system)
        except InputError as fault:
            if _instead(self.one) and fault.findings[0].code == "wrong-basis":
                self.keep(session, text, key=_instead(self.one))
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
        from ccassist.quantity import ORIGINS

        said = chosen(ORIGINS, text) if text else self._usual_origin(session)
        if said is None:
            session.say(f"Say one of the numbers, or {' or '.join(ORIGINS)}")
        else:
            session.origin = (self.one.section, said)
            self.keep(session, f"{self.typed}, {said}")

    def keep(self, session: Session, text: str, *, section: str = "", key: str = "") -> None:
        """Save it, and say what it was before; then on to the next."""
        from ccassist.guide.saving import guard

        section, key, was = section or self.one.section, key or self.one.key, as_stated(session.job, self.one)
        try:
            session.file.state(section.split("."), key, text)
            if was.startswith(_LEFT) and text != LEFT_TO:
                session.file.take_out((*_left_in(self.one).split("."), self.one.key))
        except InputError as fault:
            guard(session, fault)
            return
        changed = f", was: {was}" if was not in ("", text) else ""
        session.say(f'Kept: [{section}] {key} = "{text}"{changed}')
        session.stated.append(self.one.place)
        session.advance()

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


def find_statement(job: Job, words: str) -> Statement | None:
    """The statement meant by its section, its key (or a beginning of it) or both; the first not stated of several."""
    section, _, key = words.partition(" ")
    asked = statements(job)
    near = [one for one in asked if one.section == section and one.key.startswith(key.strip())]
    near = near or [one for one in asked if one.key == words]
    return next((one for one in near if not is_stated(job, one)), near[0] if near else None)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
