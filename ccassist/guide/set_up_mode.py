"""The questions of a set-up: confirmed as before, or asked one after another."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ccassist.guide import setup
from ccassist.guide.modes import NONE, Sure, chosen, quantity_of, take
from ccassist.guide.view import Question
from ccassist.vocabulary import Kind

if TYPE_CHECKING:
    from ccassist.guide.session import Session

OFFERED = ("not now", "calibrate it first")


class Confirm:
    """Is the set-up still what it was?  Asked once a step and sitting."""

    passing = False

    def question(self, session: Session) -> Question:
        """The same, or changed."""
        return Question(words="Set-up as before?", empty="the same; c changes it")

    def answer(self, session: Session, text: str) -> None:
        """Enter takes it."""
        if text:
            session.say(
                f"Not taken yet: {text}. First Enter, if the set-up is still this, or c to change it.",
                f"Set-up: {setup.in_words(session.said) or 'nothing said'}",
            )
        else:
            session.set_up()


class Offer:
    """Whether an improvised burette is to be calibrated first; asked once a sitting."""

    passing = False

    def __init__(self, name: str, before: SetUp) -> None:
        self.name, self.before = name, before

    def question(self, session: Session) -> Question:
        """Now, or not now."""
        words = f"{self.name} is not calibrated. Calibrate it first, by weighing what it delivers?"
        return Question(words=words, options=OFFERED, empty="not now, go on")

    def answer(self, session: Session, text: str) -> None:
        """Enter goes on without it."""
        said = chosen(OFFERED, text) if text else OFFERED[0]
        if said is None:
            session.say("1 goes on without, 2 calibrates it first")
            return
        session.mode = self.before
        session.offered.add(self.name)
        if said == OFFERED[0]:
            session.say("Later: j calibrate")
            session.set_up()
        else:
            session.calibrate(self.name)


class SetUp:
    """The questions of a set-up, one after another."""

    passing = False

    def __init__(self) -> None:
        self.offered: tuple[str, ...] = ()
        self.answered = 0

    def question(self, session: Session) -> Question:
        """The next question not answered."""
        ask = self._ask(session)
        default = " ; ".join(session.hinted.get(ask.name, ()))
        empty = default or (ask.unsaid if ask.optional else "")
        if ask.field is not None:
            shown = quantity_of(ask.field, session.job.system, session.units)
            many = "; several readings with ; between them" if ask.field.many else ""
            return Question(
                words=ask.words + many,
                unit=shown.unit,
                usual=shown.usual,
                example=shown.example,
                default=default,
                empty=empty,
            )
        return Question(
            words=ask.words,
            options=self.offered or ask.options or self._wordy(session, ask),
            default=default,
            empty=empty,
            free=not ask.options,
            listed=bool(ask.catalogue),
        )

    def answer(self, session: Session, text: str) -> None:
        """Take it, or say why not."""
        ask = self._ask(session)
        if text in ("", NONE):
            value = session.hinted.get(ask.name, ()) if not text else ()
            if ask.wordy:
                self._said(session, ask, next(iter(value), ""))
            elif value or ask.optional:
                self._keep(session, ask.name, value)
            else:
                session.say("This one is needed")
        elif ask.options:
            self._one_of(session, ask.name, ask.options, text)
        elif ask.catalogue:
            self._look_up(session, ask, text)
        elif ask.field is not None:
            take(session, ask.field, text, lambda texts: self._keep(session, ask.name, texts))
        else:
            self._in_words(session, ask, text)

    def _wordy(self, session: Session, ask: setup.Ask) -> tuple[str, ...]:
        """The states or names that may be said by number."""
        from ccassist.guide.wordy import known_names, known_states

        if not ask.wordy:
            return ()
        return known_states(session, ask.examples) if ask.name == "state" else known_names(session)

    def _in_words(self, session: Session, ask: setup.Ask, text: str) -> None:
        """A state or a name: by its number, or in words that are no number and no reading."""
        from ccassist.guide.wordy import no_words

        known = self._wordy(session, ask)
        if text.isdecimal():
            said = chosen(known, text)
            wrong = (
                ""
                if said
                else f"No number {text} here: say it in words" + (", or by one of the numbers" if known else "")
            )
        else:
            said = next((one for one in known if one.casefold() == text.casefold()), text)
            wrong = no_words(session, text)
        if wrong or not said:
            session.say(wrong)
        else:
            self._said(session, ask, said)

    def _said(self, session: Session, ask: setup.Ask, said: str) -> None:
        """Keep a state or a name; one that hides earlier readings is asked about first."""
        from ccassist.guide.wordy import doubt_of_name, doubt_of_state

        known = self._wordy(session, ask)
        doubt = doubt_of_state(session, said, known) if ask.name == "state" else doubt_of_name(session, said)
        value = (said,) if said else ()
        if doubt is None:
            self._keep(session, ask.name, value)
        else:
            session.say(doubt.text())
            session.mode = Sure(doubt, lambda: self._keep(session, ask.name, value), self, words=True)

    def _ask(self, session: Session) -> setup.Ask:
        ask = setup.next_ask(session.target, session.said)
        assert ask is not None
        return ask

    def _keep(self, session: Session, name: str, value: tuple[str, ...]) -> None:
        self.offered = ()
        session.said[name] = value
        session.mode, session.sure = self, False  # what was asked was this answer
        session.did(f"{name.replace('_', ' ')} {' and '.join(value) or 'not said'}", answer=True)
        self.answered += 1
        if name == "method":
            self._drop_unfit(session)
        session.advise(name)
        if name == "instrument" and value and session.may_calibrate(value[0]):
            session.mode = Offer(value[0], self)
        else:
            session.set_up()

    def _drop_unfit(self, session: Session) -> None:
        """The instrument used before is offered again only where it reads what the method asks for."""
        from ccassist.guide import catalogue

        fit = catalogue.instrument_names(session.job, setup.kinds_read(session.method))
        unfit = [name for name in session.hinted.get("instrument", ()) if name not in fit]
        session.hinted = {name: v for name, v in session.hinted.items() if name != "instrument" or not unfit}

    def _one_of(self, session: Session, name: str, options: tuple[str, ...], text: str) -> None:
        found = chosen(options, text)
        if found is None:
            session.say(f"Answer with a number from 1 to {len(options)}, or with the words")
        elif name == "finer":
            picked = setup.finer_named(session.step, found)
            self._keep(session, "picked", (*session.said.get("picked", ()), picked))
        else:
            self._keep(session, name, (found,))

    def _look_up(self, session: Session, ask: setup.Ask, text: str) -> None:
        """A whole name, a number of the list offered, or part of a name."""
        from ccassist.guide import catalogue

        name, known = ask.name, self._known(session, ask)
        if text == "?":
            own = f"your own goes into {_a(ask.catalogue)} section of the file"
            session.say(f"Known: {catalogue.overview(known)}. Type a name or part of it; {own}.")
            return
        picked = chosen(self.offered, text) if text.isdecimal() else None
        whole = picked or catalogue.exact(text, ask.catalogue, session.job)
        if whole:
            self._keep(session, name, (whole,))
            return
        found = catalogue.holding(text, known)
        if len(found) == 1 and any(c.isalpha() for c in text):  # a number alone may be a reading typed too early
            session.say(f"Taken as: {found[0]}")
            self._keep(session, name, (found[0],))
        elif found:
            self.offered = tuple(found[: catalogue.MOST])
            more = f" (of {len(found)}; type more of the name)" if len(found) > catalogue.MOST else ""
            session.say(f"Which one? Its number{more}")
        else:
            near = catalogue.nearest(text, known)
            hint = f'; perhaps "{near}"' if near else ""
            session.say(
                f"No such {ask.catalogue}{hint}. ? lists those known; "
                f"your own goes into {_a(ask.catalogue)} section of the file; Enter leaves it unsaid"
            )

    def _known(self, session: Session, ask: setup.Ask) -> list[str]:
        """The names that would do; against what an instrument is calibrated, it is no other of its kind."""
        from ccassist.guide import catalogue

        if ask.catalogue == "fluid":
            return catalogue.fluid_names(session.job)
        kinds = setup.kinds_read(session.method)
        if ask.kinds:
            kinds = ask.kinds
        elif ask.name != "instrument":
            kinds = tuple(kind for kind in kinds if kind is not Kind.VOLUME)
        return catalogue.instrument_names(session.job, kinds)


def _a(section: str) -> str:
    """The section of the job file with its article."""
    return f"{'an' if section[0] in 'aeiou' else 'a'} [{section}]"
