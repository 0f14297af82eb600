"""What can be done in the guide and what it shows, as data: a front makes a terminal's lines or a page of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from enum import Enum

from ccassist.vocabulary.record import record


class Action(Enum):
    """What may be done at any point; what is said with it is a text apart."""

    SAY = "say"
    UNDO = "undo"
    ASIDE = "aside"
    COUNT_IN = "in"
    REMARK = "remark"
    TIMED = "timed"
    SKIP = "skip"
    LEAVE_OUT = "leave out"
    BACK = "back"
    JUMP = "jump"
    CHANGE = "change"
    HOW = "how"
    LIST = "list"
    KEYS = "keys"
    FINISH = "finish"
    AGAIN = "again"


@record(kw_only=False)
class Call:
    """An action that a sentence names, with what is said with it: a front writes its key, or a button."""

    action: Action
    text: str = ""


# A sentence; where it names actions, its parts: nowhere in it stands a key.
Text = str | tuple[str | Action | Call, ...]

_ASIDE = ("set a reading aside, with its reason (the last, or the one numbered; ",)
_CHANGES = ("change the set-up, or one thing of it, or the unit of bare numbers: ",)
# Action -> what may be said with it, and what it does.
ACTIONS: Mapping[Action, tuple[str, Text]] = {
    Action.UNDO: ("", "take back what was done last: a value, a reading, a remark, a setting aside, an answer"),
    Action.ASIDE: ("[number]", (*_ASIDE, Call(Action.ASIDE, "?"), " lists them)")),
    Action.COUNT_IN: ("[number]", "count a reading in again that was set aside"),
    Action.REMARK: ("[words]", "remark on the last reading"),
    Action.TIMED: ("", "timed readings: the level falls after the fill"),
    Action.SKIP: ("", "skip this for today"),
    Action.LEAVE_OUT: ("[all]", "it does not apply here, and is not asked for again (all: on no cylinder)"),
    Action.BACK: ("", "back to the question or the place before"),
    Action.JUMP: ("step place", ("go elsewhere, such as: ", Call(Action.JUMP, "deck 3"))),
    Action.CHANGE: ("[what]", (*_CHANGES, Call(Action.CHANGE, "state"), ", ", Call(Action.CHANGE, "unit"))),
    Action.HOW: ("", "how it is done, once more"),
    Action.LIST: ("", "list what is done and what is left"),
    Action.KEYS: ("", "what each key does"),
    Action.FINISH: ("", "finish for today"),
}
ON_ONE_LINE = "Several values, or readings, may stand on one line: a space, a comma and a space, or a tab between them"


@record
class Card:
    """What is asked for now, a step or a section: in full, or without procedure where it was shown a moment ago.

    ``progress`` says how far the job has come, ``keys`` what may be done here.
    """

    title: str
    place: str
    progress: str = ""
    keys: Text = ""
    why: str = ""
    tools: tuple[str, ...] = ()
    procedure: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()


@record
class Blank:
    """One value of a reading, as a form shows it.

    name, label : its key in the job file, and the same as a heading.
    usual, example : the plausible range and how to write it.
    """

    name: str
    label: str
    words: str  # what to read
    unit: str  # the unit that a bare number takes
    usual: str
    example: str
    signs: tuple[str, ...] = ()  # the words of its sign, plus and minus; none where it has none
    before: str = ""  # the value of the reading before, which an empty answer takes where that is usual
    typed: tuple[str, ...] = ()  # what was typed of it already
    many: bool = False
    optional: bool = False


@record
class Question:
    """What is asked now.

    usual, example : the plausible range and how to write it, "" where not a quantity.
    free : words or a name are asked for; ``letters`` : a first letter is an answer, whatever it does elsewhere.
    """

    words: str  # the question
    unit: str = ""  # the unit that a bare number takes
    usual: str = ""
    example: str = ""
    default: str = ""  # what an empty answer takes; ``empty`` says in words what it does
    empty: Text = ""
    options: tuple[str, ...] = ()  # answers that may be given by number
    begun: str = ""  # the values of a reading under way
    free: bool = False
    letters: bool = False
    names: tuple[str, ...] = ()  # where a name is asked for, every one that is known; "?" lists them
    blanks: tuple[Blank, ...] = ()  # where a reading is asked for, all its values


@record
class Effect:
    """What was done to a reading: "recorded", "timed", "set aside" ...; undone: "taken back", "not timed" ..."""

    what: str
    step: str
    where: str
    row: Mapping[str, tuple[str, ...]] = field(default_factory=dict)


@record
class Result:
    """One thing that the readings say by now.

    value, expanded : SI, signed as the term is; None where there is none, NaN for a ± not known yet.
    called, large : what it is in a word or two and its number, where it is worth large figures.
    """

    what: str  # "mean", "term", "ratio", "repeat", "others", "before", "calibration", "noticed" or "progress"
    text: Text  # all of it in a sentence
    key: str = ""  # the term, "" where it is about none
    where: str = ""  # of which cylinder or part
    value: float | None = None
    expanded: float | None = None
    called: str = ""
    large: str = ""


Line = Text | Result


@record
class Shown:
    """One screen: the card where it changed, what is said, what was done, what is asked and may be done.

    ``screens`` names the answers to be shown and the papers to be printed, by their commands; ``opens`` another job
    that is to be opened in place of this one.
    """

    card: Card | None
    lines: tuple[Line, ...]
    question: Question
    actions: tuple[Action, ...] = ()
    effects: tuple[Effect, ...] = ()
    screens: tuple[str, ...] = ()
    finished: bool = False
    opens: str = ""

    @property
    def results(self) -> tuple[Result, ...]:
        """What the readings say, apart from everything else said."""
        return tuple(line for line in self.lines if isinstance(line, Result))
