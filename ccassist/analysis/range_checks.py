"""Everything computed, against the possible and the usual range that its term declares: one function for all.

What cannot be is an error that names what it was computed from; what is unusual is questioned.  What is computed
from something that was remarked is not remarked again: of a chain of results the first one tells, and of what is
stated the statement.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING

from ccassist.analysis.wording import listed
from ccassist.values.band import Band
from ccassist.values.display import show
from ccassist.values.findings import Finding, error, question
from ccassist.values.measured import Value
from ccassist.vocabulary import term

if TYPE_CHECKING:
    from ccassist.analysis.cylinder import Cylinder, MeasuredEngine

RIGHT = "look for a wrong unit, point or sign first"
MOST_NAMED = 4  # inputs; where a result has more, what it is computed from directly is named
HAIR = 1e-9  # of the larger end: arithmetic, not a value


def range_findings(survey: MeasuredEngine) -> list[Finding]:
    """What is impossible or unusual among the results of each cylinder, and of the whole engine."""
    found: list[Finding] = []
    for cylinder in survey.cylinders:
        found += _of_cylinder(cylinder, survey)
    for key, value in survey.whole.items():
        one = out_of_range(key, value.nominal, survey.job.system)
        found += [one] if one is not None and not found else []
    return found


def out_of_range(key: str, value: float, system: str, origin: str = "") -> Finding | None:
    """The finding about a value of a term outside what can be, or outside what is usual; ``origin`` : from what."""
    wanted = term(key)
    shown = show(key, value, system=system)
    if _outside(value, wanted.possible):
        return error("impossible-result", f"no {wanted.name} can be {shown}{origin}", right=RIGHT)
    if _outside(value, wanted.plausible):
        low, high = (show(key, end, system=system) for end in wanted.plausible)
        wrong = f"an unusual {wanted.name}, {shown}{origin}; most are {low} to {high}"
        return question("unusual-result", wrong, right=RIGHT)
    return None


def _outside(value: float, ends: tuple[float, float]) -> bool:
    hair = HAIR * max(abs(ends[0]), abs(ends[1]))
    return not ends[0] - hair <= value <= ends[1] + hair


def _of_cylinder(cylinder: Cylinder, survey: MeasuredEngine) -> Iterator[Finding]:
    remarked: set[str] = set()
    asked = {
        key for key, value in cylinder.values.items() if value.raw and _outside(value.nominal, term(key).plausible)
    }
    for step in cylinder.model.chain:
        value = cylinder.values.get(step.gives)
        if value is None or value.origin != "computed":
            continue
        if remarked & set(step.needs):
            remarked.add(step.gives)
            continue
        origin = _origin(step.gives, step.needs, cylinder, survey.job.system)
        one = out_of_range(step.gives, value.nominal, survey.job.system, origin)
        if one is not None:
            remarked.add(step.gives)
        if one is not None and not (one.asks and asked & {*cylinder.model.inputs_of(step.gives)}):
            line = line_of(cylinder, cylinder.model.inputs_of(step.gives), survey)
            yield one.at(place=f"cylinder {cylinder.number}", line=line)


def _origin(key: str, needs: Sequence[str], cylinder: Cylinder, system: str) -> str:
    """What a result was computed from, in words."""
    inputs = [name for name in cylinder.model.inputs_of(key) if _counts(cylinder.values.get(name))]
    direct = [name for name in needs if _counts(cylinder.values.get(name))]
    named = inputs if 0 < len(inputs) <= MOST_NAMED else direct
    said = [f"{term(name).name} {show(name, cylinder.values[name].nominal, system=system)}" for name in named]
    return f" (from {listed(said)})" if said else ""


def _counts(value: Value | None) -> bool:
    return value is not None and value.origin != "not counted"


def line_of(cylinder: Cylinder, keys: Iterable[str], survey: MeasuredEngine) -> int | None:
    """The latest line of the file on which any of some values of a cylinder rests."""
    asked = set(keys)
    lines = [value.line for key, value in cylinder.values.items() if key in asked]
    for one in survey.reduced:
        if asked & set(one.values) and cylinder.uses(one):
            lines += [row.line or one.cell.line for row in one.cell.counted]
    return max((line for line in lines if line is not None), default=None)


def unusual_wanted(band: Band, system: str) -> Finding | None:
    """The question about what is wanted of a term, where an end of it is what hardly any engine has."""
    ends = [end for end in (band.low, band.high) if math.isfinite(end)]
    if not any(_outside(end, term(band.key).plausible) for end in ends):
        return None
    most = " to ".join(show(band.key, end, system=system) for end in term(band.key).plausible)
    wrong = f"an unusual {term(band.key).name} is wanted: most are {most}"
    return question("unusual-wanted", wrong, read=band.raw, right=RIGHT)
