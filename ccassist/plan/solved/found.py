"""One unknown from one target, or two from two, for every cylinder and for all alike."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Generic, TypeVar

from ccassist.analysis.results import Survey
from ccassist.analysis.which_counts import basis_notes
from ccassist.bench.steps import STEPS
from ccassist.engine.model import Choices, lacking_for
from ccassist.job.sections import STATED
from ccassist.job.vocabulary import ENGINE_TERMS, GIVEN_TERMS
from ccassist.plan.solved.into_file import CLOSING, IntoFile, into_file, joined
from ccassist.plan.solved.wish import Wish, cases, wish_of
from ccassist.solve.target import Answer, Root, solve_for
from ccassist.solve.together import Solution, Together, solve_together
from ccassist.values.display import formatter, show
from ccassist.values.findings import Finding, InputError, NotPossible
from ccassist.values.measured import number_to_dict
from ccassist.values.number import Number, nominal
from ccassist.values.pint_bridge import Written
from ccassist.vocabulary import term

# How a cylinder that lacks something comes to an answer: which bench step gives it, or where it is stated.

_FILLED = {"crown_volume": "crown"}  # what a fill is worked up to, by step


def with_way_out(fault: InputError, survey: Survey, number: int | None, wish: Wish) -> InputError:
    """The fault of one cylinder; where something is not given it says how it is had."""
    said = [
        _led(finding, survey, number, wish) if finding.code == "not-given" else finding for finding in fault.findings
    ]
    return InputError(said)


def _led(finding: Finding, survey: Survey, number: int | None, wish: Wish) -> Finding:
    if number is None:
        return replace(finding, right="complete the cylinders that lack it")
    values = survey.cylinders[number - 1].values
    there = {*values, *wish.unknowns}
    missing = dict.fromkeys(key for target in wish.targets for key in lacking_for(target, there) if key not in there)
    ways = [way for key in missing if key not in wish.targets and (way := _way(key, survey.job.file, number))]
    return replace(finding, right="; ".join(ways)) if ways else finding


def _way(key: str, file: str, number: int) -> str:
    """The step that reads a term of a cylinder, and the section that states it; "" where neither is there."""
    step = _FILLED.get(key) or next((name for name, one in STEPS.items() if key in one.gives), "")
    section = next(
        (one.name for one in STATED.values() if key in one.terms and one.name not in ("charge", "baseline")), ""
    )
    if key in GIVEN_TERMS:
        section = "engine" if key in ENGINE_TERMS else f"cylinder.{number}"
    ways = [f"ccassist guide {file or 'FILE'} --step {step} --cylinder {number}"] if step else []
    ways += [f"state {key} under [{section}]"] if section else []
    return f"{term(key).name}: {' or '.join(ways)}" if ways else ""


A = TypeVar("A", bound=Answer | Together)


@dataclass(frozen=True, kw_only=True)
class Found(Generic[A]):
    """The answer for one cylinder (number), or for all alike (None); or why there is none.

    ``system`` : units of the words; ``into`` : how the likeliest answer is put into the job file, None of a mean.
    """

    cylinder: int | None
    answer: A | None
    reason: str = ""
    system: str = "metric"
    into: IntoFile | None = None

    @property
    def numbers(self) -> dict[str, tuple[Number, ...]]:
        """The answers by unknown, SI, the likeliest first; nothing where there is none."""
        if self.answer is None:
            return {}
        if isinstance(self.answer, Answer):
            return {self.answer.question.unknown: tuple(root.number for root in self.answer.roots)}
        return {key: tuple(one.numbers[key] for one in self.answer.solutions) for key in self.answer.unknowns}

    def to_dict(self, system: str | None = None) -> dict[str, Any]:
        """Plain data, SI; a ± that is not known yet is null.  ``system`` : units of the texts."""
        answer, shown = self.answer, system or self.system
        if answer is None:
            return {"cylinder": self.cylinder, "possible": False, "reason": self.reason}
        return {
            "cylinder": self.cylinder,
            "possible": True,
            **(_one(answer, shown) if isinstance(answer, Answer) else _two(answer, shown)),
            "moved": {key: show(key, answer.best.values[key], system=shown) for key in answer.moved},
            "findings": [f.to_dict() for f in answer.findings],
            "into_file": None if self.into is None else self.into.to_dict(shown),
        }


def solved(
    survey: Survey,
    unknowns: str | Sequence[str],
    targets: Mapping[str, Written],
    *,
    cylinder: int | None = None,
    system: str | None = None,
) -> tuple[Found[Answer], ...] | tuple[Found[Together], ...]:
    """What one term, or two together, must be: for each cylinder, and for all alike where there are several.

    Parameters
    ----------
    survey : the engine as measured.
    unknowns : one term, or two.
    targets : as many terms with the value each is to reach: as people write it, an SI number, or a quantity of Pint.
    cylinder : only this one.
    system : "metric" or "imperial", for bare numbers and for the words; else the job's own.

    Raises
    ------
    InputError : the question is not sound, or there is no such cylinder.
    """
    wish = wish_of(unknowns, targets, system or survey.job.system)
    find = find_two if len(wish.unknowns) == 2 else find_one
    return find(survey, wish, cylinder=cylinder, system=system)


def find_one(
    survey: Survey, wish: Wish, *, cylinder: int | None = None, system: str | None = None
) -> tuple[Found[Answer], ...]:
    """The answers for each cylinder, and for all alike where there are several.

    Raises
    ------
    InputError : the cylinder is not there, or the question is not sound.
    """
    (unknown,), ((target, value),) = wish.unknowns, wish.targets.items()
    shown = system or survey.job.system

    def ask(known: Mapping[str, Number], choices: Choices, algebra: bool) -> Answer:
        found = solve_for(known, choices, unknown=unknown, target=target, value=value, algebra=algebra, system=shown)
        return replace(found, findings=(*found.findings, *_notes(survey, wish, shown)))

    return _each(survey, ask, wish, cylinder, shown)


def find_two(
    survey: Survey, wish: Wish, *, cylinder: int | None = None, system: str | None = None
) -> tuple[Found[Together], ...]:
    """Both answers for each cylinder, and for all alike where there are several.

    Raises
    ------
    InputError : as :func:`find_one`.
    """
    first, second = wish.unknowns
    shown = system or survey.job.system

    def ask(known: Mapping[str, Number], choices: Choices, algebra: bool) -> Together:
        both, targets = (first, second), wish.targets
        found = solve_together(known, choices, unknowns=both, targets=targets, algebra=algebra, system=shown)
        return replace(found, findings=(*found.findings, *_notes(survey, wish, shown)))

    return _each(survey, ask, wish, cylinder, shown)


def _notes(survey: Survey, wish: Wish, system: str) -> tuple[Finding, ...]:
    """The lift for which the answer holds, where it hangs on intake closing."""
    return basis_notes(survey.job, survey.stated.get("cam", {}), (*wish.unknowns, *wish.targets), formatter(system))


def _each(
    survey: Survey,
    ask: Callable[[Mapping[str, Number], Choices, bool], A],
    wish: Wish,
    cylinder: int | None,
    system: str,
) -> tuple[Found[A], ...]:
    """Each by what it has; raises InputError where the question is not sound for any."""
    found: list[Found[A]] = []
    unsound: list[InputError] = []
    algebra = True  # the same for every cylinder: worked out once, for the last that has an answer, which is printed
    for number, numbers in reversed(cases(survey, cylinder)):
        choices = survey.cylinders[(number or 1) - 1].choices
        try:
            one = Found(cylinder=number, answer=ask(numbers, choices, algebra), system=system)
            found.append(replace(one, into=_into(survey, one, wish)))
            algebra = False
        except NotPossible as fault:
            found.append(Found(cylinder=number, answer=None, reason=str(fault), system=system))
        except InputError as fault:
            unsound.append(with_way_out(fault, survey, number, wish))
            found.append(Found(cylinder=number, answer=None, reason=_reason(unsound[-1]), system=system))
    if len(unsound) == len(found):
        raise unsound[-1]
    return tuple(reversed(found))


def _into(survey: Survey, one: Found[Any], wish: Wish) -> IntoFile | None:
    if one.cylinder is None:
        return None
    numbers = {key: nominal(answers[0]) for key, answers in one.numbers.items()}
    return into_file(survey, one.cylinder, numbers, wish.targets)


def into_texts(asked: Sequence[Found[Any]], wish: Wish, system: str) -> list[str]:
    """What to do to the job file, in order; of what serves the whole engine that of one cylinder alone."""
    each = [(one.cylinder, one.into) for one in asked if one.into is not None]
    whole = {*ENGINE_TERMS, CLOSING} & set(wish.unknowns)
    if whole and len(each) > 1:
        number, into = each[0]
        return into.for_all_by(number or 1).texts(system)
    return joined(into for _, into in each).texts(system) if each else []


def _reason(fault: InputError) -> str:
    return "; ".join(finding.text() for finding in fault.findings)


def _one(answer: Answer, system: str) -> dict[str, Any]:
    return {
        "unknown": answer.question.unknown,
        "target": answer.question.target,
        "route": answer.route,
        "roots": [_root(root, answer.question.unknown, system) for root in answer.roots],
        "reach": [answer.reach.low, answer.reach.high],
        "change_of_target_per_unit": dict(answer.sensitivity),
    }


def _root(root: Root, unknown: str, system: str) -> dict[str, Any]:
    formula = root.formula.text if root.formula else None
    return {**number_to_dict(unknown, root.number, system), "check": root.check, "formula": formula}


def _two(found: Together, system: str) -> dict[str, Any]:
    return {
        "unknowns": list(found.unknowns),
        "targets": list(found.targets),
        "route": found.route,
        "solutions": [_solution(solution, found, system) for solution in found.solutions],
        "dropped": list(found.dropped),
    }


def _solution(one: Solution, found: Together, system: str) -> dict[str, Any]:
    formulas = {turn.question.unknown: turn.best.formula.text for turn in one.turns if turn.best.formula is not None}
    return {
        "answers": {
            key: {**number_to_dict(key, one.numbers[key], system), "formula": formulas.get(key)}
            for key in found.unknowns
        },
        "checks": dict(one.checks),
        "change_of_target_per_unit": {key: dict(slopes) for key, slopes in one.slopes.items()},
    }
