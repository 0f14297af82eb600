"""Everything computed, against the possible and the usual range that its term declares: one function for all.

What cannot be is an error that names what it was computed from; what is unusual is questioned.  What is computed from
something that was remarked is not remarked again: of a chain of results the first one tells, and of what is stated the
statement.
"""

from __future__ import annotations

import contextlib
import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from statistics import median
from typing import TYPE_CHECKING

from ccassist.bench.signatures import SWAPPED, Signed, exchanged, far_off, is_odd, terms_of
from ccassist.bench.steps import STEPS
from ccassist.values.display import Formatter
from ccassist.values.findings import Finding, InputError, error, listed, question, whose
from ccassist.values.measured import Value
from ccassist.values.quantity import parse
from ccassist.values.verdict import Band
from ccassist.vocabulary import ALIKE, FOLLOWS, term
from ccassist.vocabulary.record import together
from ccassist.vocabulary.units import Origin

if TYPE_CHECKING:
    from ccassist.analysis.cylinder import Cylinder, MeasuredEngine
    from ccassist.bench.cell import Reduction


_SLIP_FIRST = "look for a wrong unit, point or sign first"
BY_LAYER = ("gasket_bore", "gasket_short", "gasket_area")  # each layer has its own questions
SPACES = ("chamber_volume", "crown_volume")  # odd sizes of one are right with those of the other
MOST_NAMED = 4  # inputs; where a result has more, what it is computed from directly is named
ROUNDING = 1e-9  # of the larger end: arithmetic, not a value


def range_findings(survey: MeasuredEngine) -> list[Finding]:
    """What is impossible or unusual among the results of each cylinder, and of the whole engine."""
    found: list[Finding] = []
    for cylinder in survey.cylinders:
        found += _of_cylinder(cylinder, survey)
    for key, value in survey.whole.items():
        one = out_of_range(key, value.nominal, survey.fmt)
        found += [one] if one is not None and not found else []
    return found


def out_of_range(key: str, value: float, fmt: Formatter, origin: str = "") -> Finding | None:
    """The finding about a value of a term outside what can be, or outside what is usual; ``origin`` : from what."""
    wanted = term(key)
    shown = fmt.show(key, value)
    if _outside(value, wanted.possible):
        return error("impossible-result", f"no {wanted.name} can be {shown}{origin}", right=_SLIP_FIRST)
    if _outside(value, wanted.plausible):
        low, high = (fmt.show(key, end) for end in wanted.plausible)
        wrong = f"an unusual {wanted.name}, {shown}{origin}; most are {low} to {high}"
        return question("unusual-result", wrong, right=_SLIP_FIRST)
    return None


def _outside(value: float, ends: tuple[float, float]) -> bool:
    hair = ROUNDING * max(abs(ends[0]), abs(ends[1]))
    return not ends[0] - hair <= value <= ends[1] + hair


def _of_cylinder(cylinder: Cylinder, survey: MeasuredEngine) -> Iterator[Finding]:
    refused: set[str] = set()
    remarked: set[str] = set()
    asked = {
        key for key, value in cylinder.values.items() if value.raw and _outside(value.nominal, term(key).plausible)
    }
    for step in cylinder.model.chain:
        value = cylinder.values.get(step.gives)
        if value is None or value.origin != Origin.COMPUTED:
            continue
        if refused & set(step.needs):
            refused.add(step.gives)
            continue
        origin = _origin(step.gives, step.needs, cylinder, survey.fmt)
        one = out_of_range(step.gives, value.nominal, survey.fmt, origin)
        doubted = bool(remarked & set(step.needs))
        if one is not None or doubted:
            remarked.add(step.gives)
        if one is not None and not one.asks:  # what cannot be is said, whatever was asked of what it comes from
            refused.add(step.gives)
        elif doubted or asked & {*cylinder.model.inputs_of(step.gives)}:
            continue
        if one is not None:
            line = line_of(cylinder, cylinder.model.inputs_of(step.gives), survey)
            yield one.at(place=f"cylinder {cylinder.number}", line=line)


def beside_findings(survey: MeasuredEngine) -> list[Finding]:
    """The questions about values that are unusual beside another of the same cylinder; the gasket has its own."""
    sound = (cylinder for cylinder in survey.cylinders if not cylinder.contradiction)
    judged = ((_beside(key, value, one, survey), one.number) for one in sound for key, value in one.values.items())
    found = together((finding, number) for finding, number in judged if finding is not None)
    return [f.at(place=whose(numbers)) for f, numbers in found.items()]


def _beside(key: str, value: Value, cylinder: Cylinder, survey: MeasuredEngine) -> Finding | None:
    """The question about one value, None where it is usual; of what is worked out, and of nothing at all, none."""
    share = term(key).usual_share
    other = cylinder.values.get(share[0]) if share is not None else None
    worked_out = value.origin in (Origin.COMPUTED, Origin.NOT_COUNTED)
    if share is None or other is None or key in BY_LAYER or worked_out or not value.nominal:
        return None
    ratio = cylinder.values.get("static_ratio") if key in SPACES else None
    if ratio is not None and not _outside(ratio.nominal, term("static_ratio").plausible):
        return None  # a bowl under a flat head: the other holds the space
    if _outside(value.nominal, term(key).plausible) or _outside(other.nominal, term(other.key).plausible):
        return None  # asked already
    usual = tuple(end * other.nominal for end in share[1])
    if _outside(value.nominal, (usual[0], usual[1])) and not _impossible_by(key, cylinder):
        shown = survey.fmt.show
        low, high = (shown(key, end) for end in usual)
        beside = f"beside a {term(other.key).name} of {shown(other.key, other.nominal)} most are {low} to {high}"
        wrong = f"an unusual {term(key).name} for this engine, {shown(key, value.nominal)}: {beside}"
        return question("unusual-beside", wrong, right=_SLIP_FIRST, line=line_of(cylinder, [key], survey))
    return None


def _impossible_by(key: str, cylinder: Cylinder) -> bool:
    """Whether something that a value brings about cannot be: that is said already."""
    wrong = (k for k, value in cylinder.values.items() if _outside(value.nominal, term(k).possible))
    return any(key in cylinder.model.inputs_of(k) for k in wrong)


def _origin(key: str, needs: Sequence[str], cylinder: Cylinder, fmt: Formatter) -> str:
    """What a result was computed from, in words."""
    inputs = [name for name in cylinder.model.inputs_of(key) if _counts(cylinder.values.get(name))]
    direct = [name for name in needs if _counts(cylinder.values.get(name))]
    named = inputs if 0 < len(inputs) <= MOST_NAMED else direct
    said = [f"{term(name).name} {fmt.show(name, cylinder.values[name].nominal)}" for name in named]
    return f" (from {listed(said)})" if said else ""


def _counts(value: Value | None) -> bool:
    return value is not None and value.origin != Origin.NOT_COUNTED


def line_of(cylinder: Cylinder, keys: Iterable[str], survey: MeasuredEngine) -> int | None:
    """The latest line of the file on which any of some values of a cylinder rests."""
    asked = set(keys)
    lines = [value.line for key, value in cylinder.values.items() if key in asked]
    for one in survey.reduced:
        if asked & set(one.values) and cylinder.uses(one):
            lines += [row.line or one.cell.line for row in one.cell.counted]
    return max((line for line in lines if line is not None), default=None)


def unusual_wanted(band: Band, fmt: Formatter) -> Finding | None:
    """The question about what is wanted of a term, where an end of it is what hardly any engine has."""
    ends = [end for end in (band.low, band.high) if math.isfinite(end)]
    if not any(_outside(end, term(band.key).plausible) for end in ends):
        return None
    most = " to ".join(fmt.show(band.key, end) for end in term(band.key).plausible)
    wrong = f"an unusual {term(band.key).name} is wanted: most are {most}"
    return question("unusual-wanted", wrong, read=band.raw, right=_SLIP_FIRST)


# Every cylinder beside its sisters: what should be alike in one engine and is not.
#
# A cylinder's sisters are those on the same part in the same state, where at least two of these are known; else all
# cylinders in the same state: a head that was opened is not set against one as received.  Where one quantity is
# questioned, what is computed from it is not questioned again.

NOT_COMPARED = (Origin.CHOSEN, Origin.NOT_COUNTED)
SAID_ALREADY = ("sister-refill", "sister-slip", "one-deck-out", "refill-jump", "unit-slip")
_LOOK_AGAIN = "look at what was read and typed; a part that really is so stays as it is"
_PART_OF = {key: step.part for step in STEPS.values() for key in step.gives}
_PART_OF |= {"crown_volume": "pistons", "crown_and_deck_volume": "pistons"}


def sister_findings(survey: MeasuredEngine, said: Iterable[Finding] = ()) -> list[Finding]:
    """The questions about cylinders that do not fit their sisters; ``said`` : what the readings themselves told."""
    doubted = {f.place for f in said if f.asks or f.code in SAID_ALREADY}
    found: list[Finding] = []
    for key in ALIKE:
        values = _values(survey, key)
        states = {n: _state(n, key, survey) for n in values}
        new = [f for n in values if (f := _odd(n, key, values, states, survey)) is not None]
        if key in FOLLOWS and found:
            continue
        found += [f for f in new if f.place not in doubted]
    return [f.at(file=survey.job.file) for f in dict.fromkeys(found)]


def _values(survey: MeasuredEngine, key: str) -> dict[int, Value]:
    """What each cylinder has of a term, by its number."""
    found = {c.number: c.values[key] for c in survey.cylinders if key in c.values and not c.contradiction}
    return {n: value for n, value in found.items() if value.origin not in NOT_COMPARED}


def _odd(
    number: int, key: str, values: Mapping[int, Value], states: Mapping[int, str], survey: MeasuredEngine
) -> Finding | None:
    """The question about one cylinder's value, None where it fits."""
    sisters = _sisters(number, key, states, survey)
    value, others = values[number].nominal, [values[n].nominal for n in sisters]
    if not others:
        return None
    alike = term(key).alike_within
    read = _read(number, key, survey) if far_off(value, median(others), alike) else ()
    swap = next((s for one in read if (s := exchanged(value, others, alike, one))), "")
    if not (swap and alike.share) and not is_odd(value, others, alike):
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
        return question("sisters-differ", wrong, right=_LOOK_AGAIN, place=place, line=line)
    span = [_shown(key, v, survey) for v in sorted({min(others), max(others)})]
    wrong = f"its {name} is {said}, where its sisters have {' to '.join(dict.fromkeys(span))}{_or_swapped(swap)}"
    return question("odd-sister", wrong, right=_LOOK_AGAIN, place=f"cylinder {number}", line=line)


def _or_swapped(swap: str) -> str:
    return f"; {SWAPPED}: {swap}" if swap else ""


def _shown(key: str, value: float, survey: MeasuredEngine) -> str:
    return survey.fmt.show(key, value)


def _sisters(number: int, key: str, states: Mapping[int, str], survey: MeasuredEngine) -> list[int]:
    """The cylinders that one is set against; ``states`` : the state in which each was read."""
    alike = [n for n, state in states.items() if n != number and state == states[number]]
    part = survey.job.part_of(_PART_OF.get(key, ""), number)
    near = [n for n in alike if part is not None and n in part.cylinders]
    return near if len(near) > 1 else alike


def _state(number: int, key: str, survey: MeasuredEngine) -> str:
    """The state of the part in which a cylinder's value was read; "" where it was not read."""
    return next((one.cell.state for one in _readings(number, key, survey)), "")


def _readings(number: int, key: str, survey: MeasuredEngine) -> Iterator[Reduction]:
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
