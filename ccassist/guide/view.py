"""What the guide shows, as data: a card for the step, lines, a question.  No terminal here."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

# Key: (its word, what may follow it, what it does).  "?" is another way to say k.
ACTIONS: Mapping[str, tuple[str, str, str]] = {
    "u": ("undo", "", "take the last value back"),
    "a": ("aside", "[number]", "set a reading aside, with its reason (the last, or the one numbered; a ? lists them)"),
    "r": ("remark", "[words]", "remark on the last reading"),
    "t": ("timed", "", "timed readings: the level falls after the fill"),
    "s": ("skip", "", "skip this for today"),
    "x": ("leave out", "[all]", "it does not apply here, and is not asked for again (all: on no cylinder)"),
    "b": ("back", "", "back to the question or the place before"),
    "j": ("jump", "step place", "go elsewhere, such as: j deck 3"),
    "c": ("change", "[what]", "change the set-up, or one thing of it, or the unit of bare numbers: c state, c unit"),
    "h": ("how", "", "how it is done, once more"),
    "l": ("list", "", "list what is done and what is left"),
    "k": ("keys", "", "what each key does"),
    "f": ("finish", "", "finish for today; so do Ctrl-C and the end of the input"),
}
ALIASES: Mapping[str, str] = {"?": "k", "help": "k", "quit": "f", "exit": "f"}
IN_SHORT = "Keys: " + ", ".join(f"{key} {word}" for key, (word, _, _) in ACTIONS.items())
ON_ONE_LINE = "Several values, or several readings, may stand on one line with a comma and a space between: 46.2, 46.3"


def keys_in_words() -> tuple[str, ...]:
    """Every key with what it does, a line each, and how to type several values."""
    lines = [f"{key} {rest}".rstrip() + f" ({word}): {does}" for key, (word, rest, does) in ACTIONS.items()]
    return ("Each key is followed by Enter:", *lines, ON_ONE_LINE)


@dataclass(frozen=True, kw_only=True)
class Card:
    """The step in full; without procedure where it was shown a moment ago.

    ``progress`` says how far the job has come, ``keys`` the keys in short.
    """

    title: str
    place: str
    progress: str = ""
    keys: str = ""
    why: str = ""
    tools: tuple[str, ...] = ()
    procedure: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Question:
    """What is asked now.

    Attributes
    ----------
    words : the question.
    unit : the unit that a bare number takes.
    usual, example : the plausible range and how to write it, "" where not a quantity.
    default : what an empty line takes; ``empty`` says in words what it does.
    options : answers that may be given by number.
    free : any text is an answer, one-key actions are not looked for.
    listed : names are asked for, and "?" lists those that are known.
    """

    words: str
    unit: str = ""
    usual: str = ""
    example: str = ""
    default: str = ""
    empty: str = ""
    options: tuple[str, ...] = ()
    free: bool = False
    listed: bool = False


@dataclass(frozen=True, kw_only=True)
class Effect:
    """What was done to the file: "recorded", "taken back", "set aside", "remarked", "left out"."""

    what: str
    step: str
    where: str
    row: Mapping[str, tuple[str, ...]] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True)
class Shown:
    """One screen: the card where it changed, what is said, what was done, what is asked.

    ``screens`` names the answers to be shown and the papers to be printed, by their commands.
    """

    card: Card | None
    lines: tuple[str, ...]
    question: Question
    effects: tuple[Effect, ...] = ()
    screens: tuple[str, ...] = ()
    finished: bool = False
