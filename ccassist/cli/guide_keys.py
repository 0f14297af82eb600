"""The keys of the guide on a terminal: what a typed line does, and how a sentence names what may be done."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import NamedTuple

from ccassist.bench.steps import STEPS
from ccassist.guide.view import ACTIONS, ON_ONE_LINE, Action, Call, Line, Question, Result, Shown
from ccassist.job.sections import STATED

KEYS: Mapping[str, Action] = {
    "u": Action.UNDO,
    "a": Action.ASIDE,
    "i": Action.COUNT_IN,
    "r": Action.REMARK,
    "t": Action.TIMED,
    "s": Action.SKIP,
    "x": Action.LEAVE_OUT,
    "b": Action.BACK,
    "j": Action.JUMP,
    "c": Action.CHANGE,
    "h": Action.HOW,
    "l": Action.LIST,
    "k": Action.KEYS,
    "f": Action.FINISH,
}
WRITTEN = {**{action: key for key, action in KEYS.items()}, Action.SAY: "Enter"}
ALIASES: Mapping[str, str] = {"?": "k", "help": "k", "quit": "f", "exit": "f"}
SIGN = "/"  # before a key it is nothing else, whatever is asked
# Where words or names are asked for, a letter is a word; said at each such question.
KEYED = f"a key has {SIGN} here: {SIGN}b, {SIGN}f"
AS_WORDS = "Not taken: words are asked for here, and these look like a key"
SIGNED = f"Where words or names are asked for a letter is a word; a key has {SIGN} before it: {SIGN}u, {SIGN}j deck 3"
ENDS = "; so do Ctrl-C and the end of the input"


class Typed(NamedTuple):
    """What a typed line does; ``odd`` : what to say of a line that can be neither an answer nor a key."""

    action: Action
    text: str = ""
    odd: str = ""


def typed(line: str, asked: Question) -> Typed:
    """Whether a line is a key: with its sign anywhere, without it only where it can be nothing else."""
    text = line.strip()
    answer, signed = Typed(Action.SAY, text), text.startswith(SIGN)
    first, _, rest = text.removeprefix(SIGN).partition(" ")
    key, rest = first.lower() if rest else ALIASES.get(first.lower(), first.lower()), rest.strip()
    action = KEYS.get(key, Action.SAY)
    known = action is not Action.SAY and (not rest or bool(ACTIONS[action][0]))
    if signed:
        return Typed(action, rest) if known else Typed(Action.AGAIN, odd=f'No key "{text}"; {SIGN}k lists the keys')
    if asked.free and text != "?":
        lost = (key == "j" and rest.split(" ")[0] in (*STEPS, *STATED, "wanted")) or (key, rest) == ("x", "all")
        return Typed(Action.AGAIN, odd=f"{AS_WORDS}: {SIGN}{text} is the key") if lost else answer
    if not known or (asked.listed and text == "?"):
        return answer
    meant = [option for option in asked.options if option.casefold().startswith(text.casefold())]
    if meant:
        does = f"{SIGN}{text} for the key ({action.value})"
        odd = f'"{text}" may be a key or "{meant[0]}": type {does}, or the number of the answer'
        return Typed(Action.AGAIN, odd=odd)
    return Typed(action, rest)


def written(line: Line) -> str:
    """A sentence with the keys of what it names."""
    if isinstance(line, Result):
        line = line.text
    return line if isinstance(line, str) else "".join(_part(part) for part in line)


def _part(part: str | Action | Call) -> str:
    if isinstance(part, str):
        return part
    return WRITTEN[part] if isinstance(part, Action) else f"{WRITTEN[part.action]} {part.text}".rstrip()


def keyed(shown: Shown, typed: Typed) -> Shown:
    """A screen with its keys written, after a typed line; an odd one is only told, and what is asked stays."""
    asked = replace(shown.question, empty=written(shown.question.empty))
    if typed.odd:
        return Shown(card=None, lines=(typed.odd,), question=asked, actions=shown.actions)
    card = replace(shown.card, keys=written(shown.card.keys)) if shown.card is not None else None
    lines = [written(line) for line in shown.lines]
    if typed.action is Action.KEYS and lines:
        lines = ["Each key is followed by Enter:", *lines[:-1], lines[-1] + ENDS, SIGNED, ON_ONE_LINE]
    return replace(shown, card=card, lines=tuple(lines), question=asked)
