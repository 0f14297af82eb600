"""What a sitting waits for, a record each; and the turn that is being taken."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import field

from ccassist.guide.asks import Ask, Said
from ccassist.guide.view import Action, Card, Effect, Line
from ccassist.values.quantity import Quantity
from ccassist.vocabulary.record import record

Read = tuple[Quantity, ...]  # one value of a reading; several where it was refilled, none where there is nothing to say


@record
class Turn:
    """What is being done, and what is said of it; shown until the next thing is done.

    ``text`` is what was said with it, ``line`` all of it where ``text`` is a part,
    ``sure`` holds the doubts about it that were answered by "yes".
    """

    action: Action = Action.AGAIN
    text: str = ""
    line: str = ""
    now: datetime.datetime = datetime.datetime.min
    sure: tuple[str, ...] = ()
    card: Card | None = None
    lines: tuple[Line, ...] = ()
    effects: tuple[Effect, ...] = ()
    screens: tuple[str, ...] = ()


@record
class Starting:
    """A question of a new job: which of the jobs beside it, what it is for, how many cylinders."""

    ask: Ask
    system: str = "metric"


@record
class SetUpAsked:
    """The questions of a set-up.

    ``offered`` names may be said by number; ``rest`` : what could wait until the first reading is asked too;
    ``anew`` : it is being changed, and ``was`` that before; ``one`` : the only thing that is.
    """

    offered: tuple[str, ...] = ()
    rest: bool = False
    anew: bool = False
    one: str = ""
    was: Said = field(default_factory=dict)


@record
class Scope:
    """Whether a set-up that was changed from ``was`` holds for the readings before, too."""

    was: Said


@record
class ReadingAsked:
    """The values of one reading; or whole readings in one text."""


@record
class Stating:
    """A thing to be stated; ``earlier`` were asked before it in this sitting, the latest last."""

    ask: Ask
    earlier: tuple[Ask, ...] = ()


@record
class PutBack:
    """What an older copy of the file dropped: back into it, or not?"""

    before: At


@record
class AllDone:
    """Nothing is left to be asked; ``last`` is the statement asked last, to go back to."""

    last: Stating | None = None


# These belong only to something begun before them, and change nothing until they are answered.
@record
class Timed:
    """Readings taken after the fill, for the reading at a place of the file."""

    place: str
    typed: Mapping[str, Read]
    before: At


@record
class Points:
    """Lists of a reading of which a point is missing or wrong; ``gaps`` : values not read, by list and number."""

    typed: Mapping[str, Read]
    gaps: tuple[tuple[str, int], ...] = ()
    before: At


@record
class OriginAsked:
    """Where a stated quantity comes from; ``typed`` is the quantity with its unit."""

    typed: str
    before: Stating


@record
class Words:
    """What an action still wants to be told, such as a reason; ``text`` is what was said with it."""

    action: Action
    text: str
    words: str
    before: At


@record
class Sure:
    """A doubt about an answer: is it meant?

    lists : the lists in it, which are kept: "no" asks which point is wrong.
    """

    text: str  # the answer; on "yes" it is taken where it was given, ``sure`` of these doubts
    sure: tuple[str, ...]
    named: str  # the same as it is said where it is dropped
    words: bool = False  # it is words or a name: only "no" asks again
    lists: Mapping[str, Read] = field(default_factory=dict)
    before: At  # what it was an answer to


@record
class Unsaved:
    """What was typed and could not be saved: kept until it can."""

    turn: Turn
    before: At


Passing = Timed | Points | OriginAsked | Words | Sure | Unsaved
At = Starting | SetUpAsked | Scope | ReadingAsked | Stating | PutBack | AllDone | Passing
