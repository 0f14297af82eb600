"""What the guide shows, as data: a card for the step, lines, a question.  No terminal here."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

# Key: (its word, what may follow it, what it does).
ACTIONS: Mapping[str, tuple[str, str, str]] = {
    "u": ("undo", "", "take the last value back"),
    "a": ("aside", "[number]", "set a reading aside, with its reason (the last, or the one numbered)"),
    "r": ("remark", "[words]", "remark on the last reading"),
    "t": ("timed", "", "timed readings: the level falls after the fill"),
    "s": ("skip", "", "skip this for today"),
    "x": ("leave out", "[all]", "it does not apply here, and is not asked for again (all: on no cylinder)"),
    "b": ("back", "", "back to the question or the place before"),
    "j": ("jump", "step place", "go elsewhere, such as: j deck 3"),
    "c": ("change", "", "change the set-up (instrument, fluid, state ...)"),
    "h": ("how", "", "how it is done, once more"),
    "l": ("list", "", "list what is done and what is left"),
    "f": ("finish", "", "finish for today"),
}
IN_SHORT = "Keys: " + ", ".join(f"{key} {word}" for key, (word, _, _) in ACTIONS.items())


@dataclass(frozen=True, kw_only=True)
class Card:
    """The step in full; without procedure where it was shown a moment ago."""

    title: str
    place: str
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
    """

    words: str
    unit: str = ""
    usual: str = ""
    example: str = ""
    default: str = ""
    empty: str = ""
    options: tuple[str, ...] = ()
    free: bool = False


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
