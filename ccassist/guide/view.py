"""What the guide shows, as data: a card for the step, lines, a question.  No terminal here."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from ccassist.bench.steps import STEPS
from ccassist.job.sections import STATED

# Key: (its word, what may follow it, what it does).  "?" is another way to say k.
ACTIONS: Mapping[str, tuple[str, str, str]] = {
    "u": ("undo", "", "take back what was done last: a value, a reading, a remark, a setting aside, an answer"),
    "a": ("aside", "[number]", "set a reading aside, with its reason (the last, or the one numbered; a ? lists them)"),
    "i": ("in", "[number]", "count a reading in again that was set aside"),
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
SIGN = "/"  # before a key it is nothing else, whatever is asked
# Where words or names are asked for, a letter is a word; said at each such question.
KEYED = f"a key has {SIGN} here: {SIGN}b, {SIGN}f"
AS_WORDS = "Not taken: words are asked for here, and these look like a key"
IN_SHORT = "Keys: " + ", ".join(f"{key} {word}" for key, (word, _, _) in ACTIONS.items())
ON_ONE_LINE = "Several values, or several readings, may stand on one line with a comma and a space between: 46.2, 46.3"


def keys_in_words() -> tuple[str, ...]:
    """Every key with what it does, a line each, and how to type several values."""
    lines = [f"{key} {rest}".rstrip() + f" ({word}): {does}" for key, (word, rest, does) in ACTIONS.items()]
    words = (
        f"Where words or names are asked for a letter is a word; a key has {SIGN} before it: {SIGN}u, {SIGN}j deck 3"
    )
    return ("Each key is followed by Enter:", *lines, words, ON_ONE_LINE)


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
    begun : the values of a reading under way.
    free : words or a name are asked for: a letter is a word, and a key has its sign before it.
    listed : names are asked for, and "?" lists those that are known.
    """

    words: str
    unit: str = ""
    usual: str = ""
    example: str = ""
    default: str = ""
    empty: str = ""
    options: tuple[str, ...] = ()
    begun: str = ""
    free: bool = False
    listed: bool = False


class Called(NamedTuple):
    """The action that a typed line calls, with what follows its key; "" where the line is an answer.

    ``odd`` : what to say of a line that can be neither.
    """

    key: str = ""
    rest: str = ""
    odd: str = ""


def key_in(text: str, asked: Question) -> Called:
    """Whether a line is a key: with its sign anywhere, without it only where it can be nothing else."""
    signed = text.startswith(SIGN)
    first, _, rest = text.removeprefix(SIGN).partition(" ")
    key, rest = first.lower() if rest else ALIASES.get(first.lower(), first.lower()), rest.strip()
    known = key in ACTIONS and (not rest or bool(ACTIONS[key][1]))
    if signed:
        return Called(key, rest) if known else Called(odd=f'No key "{text}"; {SIGN}k lists the keys')
    if asked.free and text != "?":
        lost = (key == "j" and rest.split(" ")[0] in (*STEPS, *STATED, "wanted")) or (key, rest) == ("x", "all")
        return Called(odd=f"{AS_WORDS}: {SIGN}{text} is the key") if lost else Called()
    if not known or (asked.listed and text == "?"):
        return Called()
    meant = [option for option in asked.options if option.casefold().startswith(text.casefold())]
    if meant:
        does = f"{SIGN}{text} for the key ({ACTIONS[key][0]})"
        return Called(odd=f'"{text}" may be a key or "{meant[0]}": type {does}, or the number of the answer')
    return Called(key, rest)


@dataclass(frozen=True, kw_only=True)
class Effect:
    """What was done to a reading: "recorded", "timed", "set aside" ...; undone: "taken back", "not timed" ..."""

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
