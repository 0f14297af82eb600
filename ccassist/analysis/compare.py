"""Are these two the same?  Differences with everything that the two share cancelled.

Two cylinders filled from one burette share its error, two heads share the plate: such causes are the same uncertain
numbers on both sides and vanish in the difference.  A pair named beforehand is judged by Student's t; a pair that was
picked after looking, by the studentized range for as many as there were to pick from; several rows looked at together,
by Bonferroni's method (:func:`ccassist.values.verdict.apart`).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import combinations

from ccassist.analysis.cylinder import Cylinder
from ccassist.analysis.results import Survey
from ccassist.engine.mathematics import uncertain
from ccassist.engine.model import build
from ccassist.values.findings import InputError, error, whose
from ccassist.values.number import Number, nominal
from ccassist.values.verdict import Verdict, apart, of_difference
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record


@record
class Contrast:
    """One thing less another.

    first, second : the two, in words.
    """

    key: str  # the term compared
    first: str
    second: str
    difference: Number  # first less second, SI, with shared causes cancelled
    count: int = 2  # of how many the two were picked after looking; 2 where they were named beforehand
    rows: int = 1  # how many such differences are looked at together

    @property
    def expanded(self) -> float:
        """Expanded uncertainty of the difference at 95 %, SI; NaN where it is not known."""
        return apart(self.difference, self.count, self.rows)

    @property
    def verdict(self) -> Verdict:
        """Whether a difference is shown."""
        return of_difference(self.difference, self.expanded)

    @property
    def larger(self) -> str:
        """The larger of the two, in words."""
        return self.first if nominal(self.difference) > 0 else self.second


def default_key(survey: Survey) -> str:
    """The term compared where none is named: the clearance volume, or the chamber where there is none."""
    known = any("clearance_volume" in c.values for c in survey.cylinders)
    return "clearance_volume" if known else "chamber_volume"


def between_cylinders(survey: Survey, key: str, first: int, second: int) -> Contrast:
    """Two cylinders named beforehand.

    Raises InputError: no such cylinder, twice the same one, or one without that term.
    """
    if first == second:
        wrong = "a cylinder is the same as itself"
        raise InputError(error("same-cylinder", wrong, read=f"{first},{second}", place="--cylinders"))
    numbers = [_number(_cylinder(survey, n), key) for n in (first, second)]
    return Contrast(key=key, first=f"cylinder {first}", second=f"cylinder {second}", difference=numbers[0] - numbers[1])


def all_pairs(survey: Survey, key: str) -> list[Contrast]:
    """Every cylinder against every other, the largest difference first.

    Raises InputError: fewer than two cylinders have that term.
    """
    having = [(c.number, c.values[key].number) for c in survey.cylinders if key in c.values]
    if len(having) < 2:
        raise InputError(error("nothing-to-compare", f"the {term(key).name} is known of fewer than two cylinders"))
    having.sort(key=lambda pair: nominal(pair[1]))
    found = [
        Contrast(key=key, first=f"cylinder {n}", second=f"cylinder {m}", difference=large - small, count=len(having))
        for (m, small), (n, large) in combinations(having, 2)
    ]
    return sorted(found, key=lambda c: -abs(nominal(c.difference)))


def largest_against_smallest(survey: Survey, key: str) -> Contrast:
    """The largest against the smallest, picked after looking. Raises InputError: as :func:`all_pairs`."""
    return all_pairs(survey, key)[0]


def between_parts(survey: Survey, key: str, first: str, second: str) -> Contrast:
    """Two parts, such as two heads, by the means of their cylinders.

    Raises InputError: no such part, both serve the same cylinders, or a cylinder of one is without that term.
    """
    numbers = [served(survey, name) for name in (first, second)]
    if set(numbers[0]) == set(numbers[1]):
        wrong = "both serve the same cylinders"
        raise InputError(error("same-part", wrong, read=f"{first},{second}", place="--parts"))
    means = [_mean([_number(_cylinder(survey, n), key) for n in those]) for those in numbers]
    return Contrast(key=key, first=first, second=second, difference=means[0] - means[1])


def between_states(survey: Survey, key: str, older: str, newer: str, only: Iterable[int] = ()) -> list[Contrast]:
    """Before and after work: each cylinder measured in both states, and their mean where there are several.

    Everything but the readings of the state is as it is now, so that the difference is what the work did.  Each row is
    judged as one of so many that are looked at.

    survey, key : the engine, and the term.
    older, newer : the two states, as the job says them.
    only : cylinders; all where none is named.

    Raises InputError: no such state, or nothing measured in both.
    """
    _check_states(survey, older, newer)
    chosen = [_cylinder(survey, n) for n in only] or list(survey.cylinders)
    found = []
    for cylinder in chosen:
        before, after = (_in_state(survey, cylinder, key, state) for state in (older, newer))
        if before is not None and after is not None:
            found.append((cylinder.number, after - before))
    if not found:
        wrong = f'no cylinder has a {term(key).name} in both "{older}" and "{newer}"'
        raise InputError(error("not-in-both", wrong, place="--states"))
    lines = [_before_and_after(key, f"cylinder {n}", older, newer, change) for n, change in found]
    if len(found) > 1:
        mean = f"mean of {whose([n for n, _ in found])}"
        lines.append(_before_and_after(key, mean, older, newer, _mean([change for _, change in found])))
    return [replace(line, rows=len(lines)) for line in lines]


def _before_and_after(key: str, whose: str, older: str, newer: str, change: Number) -> Contrast:
    return Contrast(key=key, first=f"{whose}, {newer}", second=older, difference=change)


def _check_states(survey: Survey, *wanted: str) -> None:
    known = list(dict.fromkeys(one.cell.state for one in survey.reduced if one.cell.state))
    if len(set(wanted)) < len(wanted):
        wrong = "a state is the same as itself"
        raise InputError(error("same-state", wrong, read=",".join(wanted), place="--states"))
    for state in wanted:
        if state not in known:
            right = f"states of this job: {', '.join(known)}" if known else "no series of this job names a state"
            raise InputError(error("unknown-state", "no such state", read=state, place="--states", right=right))


def _in_state(survey: Survey, cylinder: Cylinder, key: str, state: str) -> Number | None:
    """A cylinder's term with the readings of one state put in; None where it was not measured then."""
    made = [one for one in survey.reduced if one.cell.state == state and cylinder.number in one.cell.cylinders]
    if not made:
        return None
    known, choices = dict(cylinder.known), cylinder.choices
    for one in made:
        if "crown_volume" in one.values:
            known = {k: n for k, n in known.items() if k not in ("crown_fill", "crown_drop")}
        if "crown_fill" in one.values:
            known.pop("crown_volume", None)
            choices = replace(choices, seal=one.cell.choices.get("seal", ""))
        known.update({k: value.number for k, value in one.values.items()})
    model = build({k: nominal(n) for k, n in known.items()}, choices)
    return model.evaluate(known, uncertain()).get(key)


def _cylinder(survey: Survey, number: int) -> Cylinder:
    if not 1 <= number <= len(survey.cylinders):
        right = f"there are cylinders 1 to {len(survey.cylinders)}"
        read, place = str(number), "--cylinders"
        raise InputError(error("unknown-cylinder", "no such cylinder", read=read, right=right, place=place))
    return survey.cylinders[number - 1]


def served(survey: Survey, name: str, place: str = "--parts") -> list[int]:
    """The cylinders that a part serves. Raises InputError: no such part."""
    part = survey.job.parts.get(name)
    if part is None:
        known = ", ".join(survey.job.parts) or "none"
        raise InputError(error("unknown-part", "no such part", read=name, place=place, right=f"parts: {known}"))
    return list(part.cylinders)


def _number(cylinder: Cylinder, key: str) -> Number:
    if key not in cylinder.values:
        wrong = f"its {term(key).name} is not given"
        raise InputError(error("not-given", wrong, place=f"cylinder {cylinder.number}"))
    return cylinder.values[key].number


def _mean(numbers: Sequence[Number]) -> Number:
    return sum(numbers) / len(numbers)
