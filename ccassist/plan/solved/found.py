"""One unknown from one target, or two from two, for every cylinder and for all alike."""

from __future__ import annotations

from dataclasses import replace

from ccassist.analysis.cylinder import known_of_all
from ccassist.analysis.results import Survey
from ccassist.analysis.which_counts import basis_notes
from ccassist.bench.steps import STEPS
from ccassist.engine.model import lacking_for
from ccassist.job.sections import STATED
from ccassist.job.vocabulary import ENGINE_TERMS, GIVEN_TERMS
from ccassist.plan.solved.into_file import IntoFile, into_file
from ccassist.solve.solver import Answer, solve
from ccassist.solve.wish import Wish
from ccassist.values.display import Formatter
from ccassist.values.findings import Finding, InputError, NotPossible, error
from ccassist.values.number import Number
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record


@record
class Found:
    """The answer for one cylinder (number), or for all alike (None); or why there is none.

    ``into`` : how the likeliest answer is put into the job file, None of a mean.
    """

    cylinder: int | None
    answer: Answer | None
    reason: str = ""
    into: IntoFile | None = None

    @property
    def numbers(self) -> dict[str, tuple[Number, ...]]:
        """The answers by unknown, SI, the likeliest first; nothing where there is none."""
        return {} if self.answer is None else self.answer.numbers


def find(survey: Survey, wish: Wish, *, cylinder: int | None = None, fmt: Formatter) -> tuple[Found, ...]:
    """The answers for each cylinder, each by what it has, and for all alike where there are several.

    Raises
    ------
    InputError : the cylinder is not there, or the question is not sound for any.
    """
    # The lift for which the answer holds, where it hangs on intake closing.
    notes = basis_notes(survey.job, survey.stated.get("cam", {}), (*wish.unknowns, *wish.targets), fmt)
    found: list[Found] = []
    unsound: list[InputError] = []
    algebra = True  # the same for every cylinder: worked out once, for the last that has an answer, which is printed
    for number, known in reversed(cases(survey, cylinder)):
        choices = survey.cylinders[(number or 1) - 1].choices
        try:
            answer = solve(known, choices, unknowns=wish.unknowns, targets=wish.targets, algebra=algebra, fmt=fmt)
        except NotPossible as fault:
            found.append(Found(cylinder=number, answer=None, reason=str(fault)))
            continue
        except InputError as fault:
            unsound.append(_with_way_out(fault, survey, number, wish))
            reason = "; ".join(finding.text() for finding in unsound[-1].findings)
            found.append(Found(cylinder=number, answer=None, reason=reason))
            continue
        answer, algebra = replace(answer, findings=(*answer.findings, *notes)), False
        into = None if number is None else into_file(survey, number, answer.best.plain, wish.targets)
        found.append(Found(cylinder=number, answer=answer, into=into))
    if len(unsound) == len(found):
        raise unsound[-1]
    return tuple(reversed(found))


def cases(survey: Survey, cylinder: int | None) -> list[tuple[int | None, dict[str, Number]]]:
    """The known numbers of the cylinders asked for, and their means (None) where there are several.

    Raises
    ------
    InputError : there is no such cylinder.
    """
    check_cylinder(survey, cylinder)
    chosen = [c for c in survey.cylinders if cylinder in (None, c.number)]
    count = float(survey.job.cylinders)
    known: list[tuple[int | None, dict[str, Number]]] = [(c.number, {**c.known, "cylinders": count}) for c in chosen]
    if len(chosen) > 1:
        known.append((None, {**known_of_all(chosen, [c.known for c in chosen]), "cylinders": count}))
    return known


def check_cylinder(survey: Survey, cylinder: int | None) -> None:
    """Nothing where there is such a cylinder, or none is named.

    Raises
    ------
    InputError : there is no such cylinder.
    """
    if cylinder is not None and not 1 <= cylinder <= len(survey.cylinders):
        right = f"there are cylinders 1 to {len(survey.cylinders)}"
        raise InputError(error("unknown-cylinder", right, read=str(cylinder), place="--cylinder"))


# -- how a cylinder that lacks something comes to an answer ------------------------------


_FILLED = {"crown_volume": "crown"}  # what a fill is worked up to, by step


def _with_way_out(fault: InputError, survey: Survey, number: int | None, wish: Wish) -> InputError:
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
