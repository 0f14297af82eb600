"""What was found wrong, to be looked at or worth saying, and what the ± of an answer rests on."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import Any

from ccassist.job.vocabulary import SECTIONS
from ccassist.report.blocks import MARKS, Report, Text
from ccassist.values.display import percent
from ccassist.values.findings import Finding, Level, clean, grouped
from ccassist.values.measured import WITHHELD, Result, ground_of, withheld
from ccassist.values.uncertainty import budget
from ccassist.vocabulary import TERMS, term
from ccassist.vocabulary.record import record

MOST_SHOWN = 200  # findings printed; plain data have them all
FIRST = 12  # of them that may stand in an answer
CLEAN = "Nothing wrong was found, and nothing to look at."


@record
class Checked:
    """What is told of a job file: how many findings of each sort, and all of them."""

    wrong: int
    look: int
    notes: int
    findings: Sequence[dict[str, Any]]


def checked(findings: Sequence[Finding]) -> Checked:
    """The findings of a file, each by itself."""
    wrong, look, notes = (sum(f.level is level for f in findings) for level in reversed(Level))
    return Checked(wrong=wrong, look=look, notes=notes, findings=[f.to_dict() for f in findings])


def check_report(findings: Sequence[Finding]) -> Report:
    """The count, then the findings, the gravest first."""
    first, *others = [Text(counted(findings), strong=True), *finding_texts(findings)]
    return Report(
        title="Check",
        subject="What is wrong in the job file, or to be looked at",
        answer=(first, *others[:1], *(replace(one, spare=True) for one in others[1:FIRST])),
        support=tuple(others[FIRST:]),
    )


def counted(findings: Iterable[Finding]) -> str:
    """How many there are of each sort, what is alike of several cylinders counted once; as a sentence."""
    found = grouped(findings)
    wrong, look, notes = (sum(f.level is level for f in found) for level in reversed(Level))
    noted = f"{notes} note{'s' if notes > 1 else ''}"
    if not wrong and not look:
        return f"{CLEAN[:-1]}; {noted}." if notes else CLEAN
    return f"{wrong} wrong, {look} to look at{f', {noted}' if notes else ''}."


def finding_texts(findings: Iterable[Finding]) -> list[Text]:
    """Each by its mark, the gravest first; of very many the first, and how many more there are."""
    found = sorted(grouped(findings), key=lambda f: (-f.level, f.line or 0))
    more = [Text(f"And {len(found) - MOST_SHOWN} more; put these right first.")] if len(found) > MOST_SHOWN else []
    return [*map(finding_text, found[:MOST_SHOWN]), *more]


def first_of(found: Sequence[Text]) -> list[Text]:
    """As much of what was found as stands in an answer: the first, and how many more there are."""
    return [*found[:1], *([Text(f"And {len(found) - 1} more to look at.")] if len(found) > 1 else [])]


def finding_text(one: Finding) -> Text:
    """A finding by its mark; where it stands in the file apart, but for the cylinders that it is of."""
    words = replace(one, file="", line=None, place=one.place if whole_cylinders(one.place) else "").text()
    return Text(words, MARKS[one.level], place=one.text().removesuffix(words))


def whole_cylinders(place: str) -> bool:
    """Whether a place is no key of the file but cylinders in words."""
    return place.startswith("cylinder") and "." not in place


# What speaks of the job file, to whoever edits it: keys, sections and places in the words of findings and causes. It is
# taken out here and nowhere else: `finding_text` tells the place apart, `without_place` leaves of it the part or the
# cylinder, and `on_paper`, which the pages ask of every text, leaves nothing but the trade's names.

PLACE = re.compile(rf' \((?:part\.("[^"]*"|[^.()]+)|cylinder\.(\d+)|{"|".join(SECTIONS)})\.[^()]*\)')


def without_place(words: str) -> str:
    """A cause or finding without its key of the job file, which whoever works on the job finds with ``check``.

    >>> without_place("gasket bore (part.shim.gasket_bore): stated ±")
    'gasket bore (shim): stated ±'
    >>> without_place("stroke (engine.stroke): stated ±")
    'stroke: stated ±'
    >>> without_place("chamber volume (cylinder.2.chamber_volume): stated ±")
    'chamber volume (cylinder 2): stated ±'
    """

    def whose(found: re.Match[str]) -> str:
        part, cylinder = found.groups()
        return f" ({part.strip(chr(34))})" if part else f" (cylinder {cylinder})" if cylinder else ""

    return PLACE.sub(whose, words)


_KEY = re.compile(r"\b[a-z]+(?:_[a-z]+)+\b")
_SECTION = re.compile(r",? (?:under|in) \[[^\]]*\](?!:)| (?:under|in) \[[^\]]*\]:")


def on_paper(words: str) -> str:
    """As a customer reads it: each value by its name, and no section of the job file.

    >>> on_paper("heating, 27 % (state charge_heating), under [charge]; a b_c (part.shim.gasket_bore)")
    'heating, 27 % (state charge heating); a b_c (shim)'
    """
    said = _SECTION.sub("", without_place(words))
    return _KEY.sub(lambda key: TERMS[key[0]].name if key[0] in TERMS else key[0], said)


# What the ± of an answer rests on, in a line: what 95 % waits for, or what makes most of it.


def ground_lines(results: Sequence[Result]) -> Iterator[Text]:
    """What to do first where 95 % cannot be said of the results; else what makes most of the ± of the first."""
    unsure = withheld(results)
    for _, value in unsure[:1]:
        yield Text(f"{WITHHELD} first {clean(ground_of(value.number).guesses[0].cause.remedy, 200)}.")
    if unsure or not results:
        return
    whose, value = results[0]
    name = f"the ± of {f'{whose}, ' if whose else 'the '}{term(value.key).name}"
    made = budget(value.number)
    if not made:
        yield Text(f"Nothing makes {name}: every figure is taken as exact.")
    elif waits := [row.cause for row in made if math.isnan(row.standard)]:
        first = f": first {clean(waits[0].remedy, 200)}" if waits[0].remedy else ""
        yield Text(f"Not known yet is {name}{first}.")
    else:
        yield Text(f"Largest cause of {name}: {clean(made[0].cause.name, 160)}, {percent(made[0].share)}.")
