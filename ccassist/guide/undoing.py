"""Undo: the exact inverse of what was done last in this sitting, whatever it was.

Before a line is taken, the sitting is remembered as it stands: the text of
the file, and everything that a typed line can change.  What was done keeps
the moment before it; taking it back puts that moment back.  Going elsewhere
is not something done: b goes back.
"""

from __future__ import annotations

import copy
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from ccassist.guide.view import Effect

if TYPE_CHECKING:
    from ccassist.guide.session import Session

# What a typed line can change in a sitting, besides the file.
STATE = ("_task", "mode", "said", "hinted", "noted", "skipped", "visited", "passed", "stated", "origin")
SET_UP = ("units", "_tools", "_return", "_begun", "_setups")
HALF = ("typed", "sure")  # the values of a reading under way


@dataclass(frozen=True, kw_only=True)
class Moment:
    """A sitting as it stood: the text of its file, and the rest by the session's own names."""

    text: str
    rest: Mapping[str, object]


@dataclass(frozen=True, kw_only=True)
class Deed:
    """One thing done.

    Attributes
    ----------
    words : what it was, as it is said when it is taken back.
    before : the moment before it.
    effect : what it did to a reading, if anything.
    half : one value of a reading that is not complete yet; answer : one answer of a set-up.
    """

    words: str
    before: Moment
    effect: Effect | None = None
    half: bool = False
    answer: bool = False


def moment(session: Session) -> Moment:
    """The sitting as it stands."""
    rest = {name: _copied(getattr(session, name)) for name in (*STATE, *SET_UP, *HALF)}
    return Moment(text=session.file.text, rest=rest)


def _copied(value: object) -> object:
    """What is changed in place is copied, modes too; the rest stays as it is."""
    if isinstance(value, dict):
        return {key: _copied(one) for key, one in value.items()}
    if isinstance(value, (list, set)):
        return type(value)(value)
    if not hasattr(value, "question"):
        return value
    made = copy.copy(value)
    vars(made).update({name: list(one) for name, one in vars(made).items() if isinstance(one, list)})
    return made


def without_half(before: Moment) -> Moment:
    """The same with no reading begun."""
    return replace(before, rest={**before.rest, "typed": {}, "sure": False})


def undo(session: Session) -> None:
    """Take back the last thing done; what is doubted or only begun is dropped, and nothing else.

    Raises
    ------
    InputError : the file cannot be put back; nothing is taken back then.
    """
    from ccassist.guide.modes import Sure

    if session.mode.passing:
        say_dropped(session)
        if isinstance(session.mode, Sure):
            session.mode.drop(session)
        else:
            restore(session, session.before)
        return
    if not session.deeds:
        session.say("Nothing of this sitting to take back; a sets an older reading aside, with its reason")
        return
    deed = session.deeds[-1]
    if deed.before.text != session.file.text:
        session.file.put_back(deed.before.text)
    session.deeds.pop()
    if deed.effect is not None and deed.effect.what == "recorded":
        session.recorded.pop()
    restore(session, deed.before, half=deed.half)
    session.say(f"Taken back: {deed.words}")
    if deed.effect is not None:
        session.taken_back(deed.effect)


def say_dropped(session: Session) -> None:
    """What was typed and comes to nothing."""
    from ccassist.guide.modes import Reading, Sure, said_of

    reading = isinstance(session.mode, Sure) and isinstance(session.mode.before, Reading)
    whole = reading and all(f.name in session.typed for f in session.fields())
    what = said_of(session.typed) if whole else session.line
    session.say(f"{'Not recorded' if reading else 'Dropped'}: {what}")


def restore(session: Session, before: Moment, *, half: bool = True) -> None:
    """The sitting as it was; ``half`` : the values of a reading under way too, which otherwise stay."""
    from ccassist.guide.stating import Stating, turn_to

    place, was = session.target if session.started else None, session.mode
    for name in (*STATE, *SET_UP, *(HALF if half else ())):
        setattr(session, name, _copied(before.rest[name]))
    session.refresh()
    if isinstance(session.mode, Stating):
        mode, session.mode = session.mode, was
        turn_to(session, mode)
    elif session.started and session.target != place:
        session.show_card(full=False)


def rebased(deeds: Iterable[Deed], old: str, new: str) -> list[Deed]:
    """What can still be taken back after the file was changed by something else: what did not touch it since."""
    kept: list[Deed] = []
    for deed in reversed(list(deeds)):
        if deed.before.text != old:
            break
        kept.append(replace(deed, before=replace(deed.before, text=new)))
    return kept[::-1]
