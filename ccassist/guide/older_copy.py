"""An older copy saved over the file: what it drops is named, and put back where that is wanted."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ccassist.guide.modes import Mode, chosen
from ccassist.guide.view import Question
from ccassist.values.findings import InputError

if TYPE_CHECKING:
    from ccassist.guide.session import Session

BACK = ("put back what is missing", "leave the file as it is now")
MOST_NAMED = 12


def note_missing(session: Session, was: str) -> None:
    """Note what the file held and, as it has just been read again, holds no more."""
    from ccassist.job.lost import lost

    gone = lost(was, session.file.text)
    if gone:
        session.missing.append(gone)


def offer_back(session: Session) -> None:
    """Name what is missing, and ask what to do about it."""
    if not session.missing:
        return
    said = [line for gone in session.missing for line in gone.words]
    more = [f"  and {len(said) - MOST_NAMED} more"] if len(said) > MOST_NAMED else []
    session.say("What was saved before is missing in it now, as in an older copy:")
    session.say(*(f"  {line}" for line in said[:MOST_NAMED]), *more)
    session.mode = PutBack(session.mode)


def put_back(session: Session) -> None:
    """Put it all back, in one save.

    Raises
    ------
    InputError : it cannot be saved, or the file is written in a way that cannot be edited.
    """
    from ccassist.job import lost

    text = session.file.text
    for gone in session.missing:
        text = lost.put_back(text, gone)
    session.file.put_back(text)
    session.missing.clear()
    session.refresh()
    session.did("putting back of what was missing")
    session.say("Put back; it stands in the file again.")


class PutBack:
    """What an older copy dropped: back into the file, or not?"""

    passing = False

    def __init__(self, before: Mode) -> None:
        self.before = before

    def question(self, session: Session) -> Question:
        """Back, or as it is."""
        return Question(words="What is to be done about it?", options=BACK, empty=BACK[0])

    def answer(self, session: Session, text: str) -> None:
        """Enter puts it back."""
        from ccassist.guide.saving import guard

        said = chosen(BACK, text) if text else BACK[0]
        if said is None:
            session.say("1 puts it back, 2 leaves the file as it is now")
            return
        session.mode = self.before
        if said == BACK[1]:
            session.missing.clear()
            session.say("Left as it is.")
            return
        try:
            put_back(session)
        except InputError as fault:
            session.mode = self
            guard(session, fault)
