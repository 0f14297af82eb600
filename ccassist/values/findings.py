"""What was found wrong, doubtful or worth saying, with its place; and the errors.

A stage never raises for the user's slips: it returns findings, so that all of them can be shown together.
``CcassistError`` carries findings to the edge.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import fields, replace
from enum import IntEnum

from ccassist.vocabulary.record import record, together


class Level(IntEnum):
    """How serious a finding is."""

    NOTE = 0
    WARNING = 1
    ERROR = 2


@record
class Finding:
    """One thing found.

    level : note, warning or error.
    code : stable kebab-case name.
    wrong : what is wrong, in words.
    read : the text that was read, as written (data: never interpreted).
    right : what would be right, or what to do.
    place : where in the job, such as "engine.bore".
    file, line : where in the file, when it came from one.
    asks : whether it is worth asking before what brings it is taken (:mod:`ccassist.analysis.results`).
    together : the cylinders, where it speaks of several at once.
    """

    level: Level
    code: str
    wrong: str
    read: str = ""
    right: str = ""
    place: str = ""
    file: str = ""
    line: int | None = None
    asks: bool = False
    together: tuple[int, ...] = ()

    def at(self, *, file: str | None = None, line: int | None = None, place: str | None = None) -> Finding:
        """The same finding, placed; what is already known stays."""
        return replace(self, file=self.file or file or "", line=self.line or line, place=self.place or place or "")

    def text(self) -> str:
        """One clear line: where, what was read, what is wrong, what would be right."""
        line = f"line {self.line}" if self.line else ""
        where = ", ".join(part for part in (clean(self.file, 200), line, clean(self.place, 120)) if part)
        read = f'read "{clean(self.read, 60)}": ' if self.read else ""
        right = f"; {self.right}" if self.right else ""
        return f"{where}{': ' if where else ''}{read}{clean(self.wrong, 400)}{clean(right, 400)}"

    def to_dict(self) -> dict[str, object]:
        """Plain data for JSON."""
        return {**{one.name: getattr(self, one.name) for one in fields(self)}, "level": self.level.name.lower()}


class CcassistError(Exception):
    """Base of all errors the tool raises on purpose.

    ``code`` names the kind, ``findings`` say why, each with a code of its own; ``exit_code`` is the command's.
    """

    code = "ccassist"
    exit_code = 2
    findings: tuple[Finding, ...] = ()

    def to_dict(self) -> dict[str, object]:
        """Plain data for JSON."""
        return {"code": self.code, "findings": [f.to_dict() for f in self.findings]}


class InputError(CcassistError):
    """The user's input cannot be used; ``findings`` say why, line by line.

    >>> raise InputError(error("no-file", "no such file", place="heads.toml"))
    Traceback (most recent call last):
    ccassist.values.findings.InputError: heads.toml: no such file
    """

    code = "input"

    def __init__(self, findings: Finding | Iterable[Finding]) -> None:
        self.findings = (findings,) if isinstance(findings, Finding) else tuple(findings)
        super().__init__("\n".join(f.text() for f in self.findings))


class NotPossible(CcassistError):
    """The question is sound but its answer is "not possible"; the message says why.

    >>> fault = NotPossible("no dish is so deep")
    >>> fault.code, [finding.wrong for finding in fault.findings]
    ('not-possible', ['no dish is so deep'])
    """

    code = "not-possible"
    exit_code = 1

    def __init__(self, why: str) -> None:
        self.findings = (error(self.code, why),)
        super().__init__(why)


def error(code: str, wrong: str, **more: object) -> Finding:
    """A finding that stops the work."""
    return Finding(level=Level.ERROR, code=code, wrong=wrong, **more)  # type: ignore[arg-type]


def warning(code: str, wrong: str, **more: object) -> Finding:
    """A finding the user should look at."""
    return Finding(level=Level.WARNING, code=code, wrong=wrong, **more)  # type: ignore[arg-type]


def question(code: str, wrong: str, **more: object) -> Finding:
    """A warning that is asked before what brings it is taken: an "are you sure?"."""
    return warning(code, wrong, asks=True, **more)


def note(code: str, wrong: str, **more: object) -> Finding:
    """A finding worth saying."""
    return Finding(level=Level.NOTE, code=code, wrong=wrong, **more)  # type: ignore[arg-type]


def errors(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Only those that stop the work."""
    return tuple(f for f in findings if f.level is Level.ERROR)


@contextmanager
def placed(place: str) -> Iterator[None]:
    """What is refused inside is said with its place, such as the option that it was read from.

    >>> with placed("--to"):
    ...     raise InputError(error("not-a-number", "no number", read="x"))
    Traceback (most recent call last):
    ccassist.values.findings.InputError: --to: read "x": no number
    """
    try:
        yield
    except InputError as refused:
        raise InputError([finding.at(place=place) for finding in refused.findings]) from None


_ONE_OF_SEVERAL = r"(?P<what>cylinder|series) (?P<number>[0-9]+)(?P<rest>(?:[.,].*)?)"
_PLURAL = {"cylinder": "cylinders", "series": "series"}
_FIGURE = r"[0-9]+(?:[.,][0-9]+)?"


def grouped(findings: Iterable[Finding]) -> list[Finding]:
    """Findings that say the same of several cylinders, or series, as one; figures that differ are the first's.

    >>> odd = [warning("tight", "the gap is tight", place=f"cylinder {n}", line=n) for n in (1, 2, 3, 5)]
    >>> [finding.text() for finding in grouped(odd)]
    ['line 1, cylinders 1 to 3, 5: the gap is tight']
    """
    return [_as_one(members) for members in together((_alike(one), one) for one in findings).values()]


def _alike(finding: Finding) -> object:
    """What findings that are said together have in common."""
    place = re.fullmatch(_ONE_OF_SEVERAL, finding.place)
    if place is None:
        return finding
    words = re.sub(_FIGURE, "#", finding.wrong), finding.read, finding.right
    return finding.level, finding.code, finding.file, finding.asks, place["what"], place["rest"], words


def _as_one(members: Sequence[Finding]) -> Finding:
    first = members[0]
    places = [re.fullmatch(_ONE_OF_SEVERAL, f.place) for f in members]
    numbers = sorted({int(place["number"]) for place in places if place is not None})
    place = places[0]
    if place is None or len(numbers) < 2:
        return first
    whose = f"{_PLURAL[place['what']]} {runs(numbers)}{place['rest']}"
    together = tuple(numbers) if place["what"] == "cylinder" else ()
    same = len({f.wrong for f in members}) == 1
    wrong = first.wrong if same else f"{first.wrong} ({first.place}; the others alike)"
    return replace(first, place=whose, wrong=wrong, together=together)


def runs(numbers: Sequence[int]) -> str:
    """Numbers with runs drawn together.

    >>> runs([1, 2, 3, 5])
    '1 to 3, 5'
    """
    found: list[list[int]] = []
    for n in sorted(numbers):
        if found and n == found[-1][-1] + 1:
            found[-1].append(n)
        else:
            found.append([n])
    return ", ".join(f"{r[0]} to {r[-1]}" if len(r) > 2 else ", ".join(map(str, r)) for r in found)


def clean(text: str, limit: int = 200) -> str:
    """Text from outside made safe for one line of a terminal or page.

    Control characters, escape codes and direction marks become visible code points; over-long text is cut with an
    ellipsis, between words where there are any.

    >>> clean("a" + chr(27) + "[31mb")
    'a<U+001B>[31mb'
    >>> clean("held to 0.0125 mm", 12)
    'held to…'
    """
    cut = text if len(text) <= limit else _cut(text, limit - 1) + "…"
    return "".join(c if c.isprintable() else f"<U+{ord(c):04X}>" for c in cut)


def _cut(text: str, limit: int) -> str:
    """Its first characters, so that no word or figure is torn; of what has no spaces near, as many as fit."""
    head, space, torn = text[:limit].rpartition(" ")
    return head.rstrip(" ,;:") if space and len(torn) <= limit // 3 and not text[limit].isspace() else text[:limit]


def capital(text: str) -> str:
    """Words as the beginning of a sentence: the first letter large, all others as they are.

    >>> capital("static ratio of C. Nilsen's engine")
    "Static ratio of C. Nilsen's engine"
    """
    return text[:1].upper() + text[1:]


# Names and numbers joined as in a sentence.


def listed(items: Sequence[str]) -> str:
    """Words joined as in a sentence.

    >>> listed(["bore", "stroke", "rod"])
    'bore, stroke and rod'
    """
    return items[0] if len(items) == 1 else f"{', '.join(items[:-1])} and {items[-1]}" if items else ""


def whose(numbers: Sequence[int]) -> str:
    """Cylinders by their numbers.

    >>> whose([3]), whose([1, 2, 3])
    ('cylinder 3', 'cylinders 1 to 3')
    """
    return f"cylinder{'s' if len(numbers) > 1 else ''} {runs(numbers)}"
