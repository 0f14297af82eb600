"""The set-up said anew, all of it or one thing; and the unit of bare numbers for a sitting."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from ccassist.guide.modes import Words
from ccassist.guide.set_up_mode import SetUp
from ccassist.guide.setup import fixed
from ccassist.values.units import UNITS, units_of
from ccassist.vocabulary import term

if TYPE_CHECKING:
    from ccassist.guide.session import Session


def change(session: Session, rest: str) -> None:
    """All of the set-up anew, or one thing of it; or the unit of bare numbers."""
    word, _, unit = rest.partition(" ")
    if word in ("unit", "units"):
        _change_unit(session, unit.strip())
        return
    session.drop_typed()
    one = _one_of_the_set_up(session, rest)
    if rest and not one:
        session.say(f'No "{rest}" in this set-up; there is: {", ".join(_changeable(session))}')
        return
    session.hinted = dict(session.said)
    if one:
        anew = (one, "instrument") if one == "method" else (one,)
        session.said = {name: texts for name, texts in session.said.items() if name not in anew}
    else:
        session.said = fixed(session.target)
        if session.hinted.get("picked"):
            session.said["picked"] = session.hinted["picked"]
    session.mode = SetUp()
    session.did(f"change of the set-up{f', {one}' if one else ''}")
    session.say("Enter keeps what it was, - says nothing of it")


def _change_unit(session: Session, said: str) -> None:
    """The unit of bare numbers, for this sitting; in the file every value has its own."""
    kinds = [kind for kind in dict.fromkeys(term(f.term).kind for f in session.fields()) if units_of(kind)]
    some = ", ".join(unit for kind in kinds for unit in _of_each_size(units_of(kind)))

    def done(unit: str) -> None:
        kind = next((kind for kind in kinds if unit in units_of(kind)), None)
        if kind is None:
            session.say(f'No reading here is in "{unit}"; units: {some}')
            return
        session.units[kind] = unit
        session.did(f"bare numbers read as {unit}")
        session.say(f"Bare numbers are read as {unit} now; any other unit may stand behind its number")

    if said:
        done(said)
    else:
        session.mode = Words(f"Unit of a bare number, such as: {some}", done, session.mode)


def _of_each_size(units: Sequence[str]) -> list[str]:
    """One spelling of each unit, the commonest."""
    named: dict[str, str] = {}
    for text in units:
        named.setdefault(UNITS[text][1], text)
    return list(named.values())


def _changeable(session: Session) -> list[str]:
    """What of the set-up may be said anew by itself."""
    return [name for name in session.said if name not in (*fixed(session.target), "finer", "picked")]


def _one_of_the_set_up(session: Session, word: str) -> str:
    """The one that a word begins, such as "temp" for the temperature; "" where none or several do."""
    found = [name for name in _changeable(session) if word and name.startswith(word.casefold().replace(" ", "_"))]
    return found[0] if len(found) == 1 else ""
