"""Every cylinder beside its sisters: what should be alike in one engine and is not.

A cylinder's sisters are those on the same part in the same state, where at least two of these are known; else all
cylinders in the same state: a head that was opened is not set against one as received.  Where one quantity is
questioned, what is computed from it is not questioned again.
"""

from __future__ import annotations

import contextlib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from ccassist.bench.odd import SWAPPED, Signed, exchanged, is_odd, terms_of
from ccassist.bench.steps import STEPS
from ccassist.values.display import show
from ccassist.values.findings import Finding, InputError, question
from ccassist.values.measured import Value
from ccassist.values.quantity import parse
from ccassist.vocabulary import term
from ccassist.vocabulary.alike import ALIKE, FOLLOWS

if TYPE_CHECKING:
    from ccassist.analysis.cylinder import MeasuredEngine
    from ccassist.bench.cell import Reduced

NOT_COMPARED = ("chosen", "not counted")
SAID_ALREADY = ("sister-refill", "sister-slip", "one-deck-out", "refill-jump", "unit-slip")
RIGHT = "look at what was read and typed; a part that really is so stays as it is"
_PART_OF = {key: step.part for step in STEPS.values() for key in step.gives}
_PART_OF |= {"crown_volume": "pistons", "crown_and_deck_volume": "pistons"}


def sister_findings(survey: MeasuredEngine, said: Iterable[Finding] = ()) -> list[Finding]:
    """The questions about cylinders that do not fit their sisters; ``said`` : what the readings themselves told."""
    doubted = {f.place for f in said if f.asks or f.code in SAID_ALREADY}
    found: list[Finding] = []
    for key in ALIKE:
        values = _values(survey, key)
        new = [f for n in values if (f := _odd(n, key, values, survey)) is not None]
        if key in FOLLOWS and found:
            continue
        found += [f for f in new if f.place not in doubted]
    return [f.at(file=survey.job.file) for f in dict.fromkeys(found)]


def _values(survey: MeasuredEngine, key: str) -> dict[int, Value]:
    """What each cylinder has of a term, by its number."""
    found = {c.number: c.values[key] for c in survey.cylinders if key in c.values and not c.contradiction}
    return {n: value for n, value in found.items() if value.origin not in NOT_COMPARED}


def _odd(number: int, key: str, values: Mapping[int, Value], survey: MeasuredEngine) -> Finding | None:
    """The question about one cylinder's value, None where it fits."""
    sisters = _sisters(number, key, values, survey)
    value, others = values[number].nominal, [values[n].nominal for n in sisters]
    if not others:
        return None
    swap = next((s for read in _read(number, key, survey) if (s := exchanged(value, others, ALIKE[key], read))), "")
    if not (swap and ALIKE[key].share) and not is_odd(value, others, ALIKE[key]):
        return None
    said, name = _shown(key, value, survey), term(key).name
    line = _line(number, key, values[number], survey)
    if len(others) == 1:
        other = sisters[0]
        if (_line(other, key, values[other], survey) or 0, other) > (line or 0, number):
            return None  # of two the later is asked about
        beside = " and ".join(_shown(key, values[n].nominal, survey) for n in sorted((number, other)))
        wrong = f"their {name}s differ: {beside}{_or_swapped(swap)}"
        place = f"cylinders {min(number, other)}, {max(number, other)}"
        return question("sisters-differ", wrong, right=RIGHT, place=place, line=line)
    span = [_shown(key, v, survey) for v in sorted({min(others), max(others)})]
    wrong = f"its {name} is {said}, where its sisters have {' to '.join(dict.fromkeys(span))}{_or_swapped(swap)}"
    return question("odd-sister", wrong, right=RIGHT, place=f"cylinder {number}", line=line)


def _or_swapped(swap: str) -> str:
    return f"; {SWAPPED}: {swap}" if swap else ""


def _shown(key: str, value: float, survey: MeasuredEngine) -> str:
    return show(key, value, system=survey.job.system)


def _sisters(number: int, key: str, values: Mapping[int, Value], survey: MeasuredEngine) -> list[int]:
    """The cylinders that one is set against."""
    own = _state(number, key, survey)
    alike = [n for n in values if n != number and _state(n, key, survey) == own]
    part = survey.job.part_of(_PART_OF.get(key, ""), number)
    near = [n for n in alike if part is not None and n in part.cylinders]
    return near if len(near) > 1 else alike


def _state(number: int, key: str, survey: MeasuredEngine) -> str:
    """The state of the part in which a cylinder's value was read; "" where it was not read."""
    return next((one.cell.state for one in _readings(number, key, survey)), "")


def _readings(number: int, key: str, survey: MeasuredEngine) -> Iterator[Reduced]:
    """The reductions that a cylinder's value rests on."""
    cylinder = survey.cylinders[number - 1]
    kind = _PART_OF.get(key, "")
    for one in reversed(survey.reduced):
        given = key in one.values or not set(one.values) & set(ALIKE)
        if given and number in one.cell.cylinders and one.cell.step.part == kind and cylinder.uses(one):
            yield one


def _read(number: int, key: str, survey: MeasuredEngine) -> Iterator[Sequence[Signed]]:
    """What was typed for a cylinder's value, reading by reading; of a statement its text."""
    value = survey.cylinders[number - 1].values[key]
    for raw in value.raw:
        with contextlib.suppress(InputError):
            yield ((parse(raw, key, system=survey.job.bare), 1),)
    for one in _readings(number, key, survey):
        yield from (terms_of(row) for row in one.cell.counted)


def _line(number: int, key: str, value: Value, survey: MeasuredEngine) -> int | None:
    """Where it stands in the file."""
    if value.line is not None:
        return value.line
    return next((one.cell.counted[-1].line or one.cell.line for one in _readings(number, key, survey)), None)
