"""One unknown from one target, or two from two, for every cylinder and for all alike."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from ccassist.analysis.cylinder import known_of_all
from ccassist.analysis.results import Survey
from ccassist.analysis.which_counts import basis_notes
from ccassist.bench.steps import STEPS
from ccassist.engine.model import lacking_for
from ccassist.job.sections import STATED
from ccassist.job.vocabulary import ENGINE_TERMS, GIVEN_TERMS
from ccassist.plan.solved.into_file import CLOSING, IntoFile, into_file, joined
from ccassist.solve.solver import Answer, Root, solve
from ccassist.solve.wish import Wish, wish_of
from ccassist.values.display import Formatter, formatter
from ccassist.values.findings import Finding, InputError, NotPossible, error
from ccassist.values.measured import number_to_dict
from ccassist.values.number import Number
from ccassist.values.pint_bridge import Written
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record


@record
class Found:
    """The answer for one cylinder (number), or for all alike (None); or why there is none.

    ``fmt`` : of the words; ``into`` : how the likeliest answer is put into the job file, None of a mean.
    """

    cylinder: int | None
    answer: Answer | None
    reason: str = ""
    fmt: Formatter
    into: IntoFile | None = None

    @property
    def numbers(self) -> dict[str, tuple[Number, ...]]:
        """The answers by unknown, SI, the likeliest first; nothing where there is none."""
        return {} if self.answer is None else self.answer.numbers

    def to_dict(self, system: str | None = None) -> dict[str, Any]:
        """Plain data, SI; a ± that is not known yet is null.  ``system`` : units of the texts."""
        answer, fmt = self.answer, self.fmt if system is None else formatter(system)
        if answer is None:
            return {"cylinder": self.cylinder, "possible": False, "reason": self.reason}
        return {
            "cylinder": self.cylinder,
            "possible": True,
            **(_one(answer, fmt) if len(answer.question.unknowns) == 1 else _several(answer, fmt)),
            "moved": {key: fmt.show(key, answer.best.values[key]) for key in answer.moved},
            "findings": [f.to_dict() for f in answer.findings],
            "into_file": None if self.into is None else self.into.to_dict(fmt),
        }


def solved(
    survey: Survey,
    unknowns: str | Sequence[str],
    targets: Mapping[str, Written],
    *,
    cylinder: int | None = None,
    system: str | None = None,
) -> tuple[Found, ...]:
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
    shown = system or survey.job.system
    return find(survey, wish_of(unknowns, targets, shown), cylinder=cylinder, fmt=formatter(shown))


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
            found.append(Found(cylinder=number, answer=None, reason=str(fault), fmt=fmt))
            continue
        except InputError as fault:
            unsound.append(_with_way_out(fault, survey, number, wish))
            reason = "; ".join(finding.text() for finding in unsound[-1].findings)
            found.append(Found(cylinder=number, answer=None, reason=reason, fmt=fmt))
            continue
        answer, algebra = replace(answer, findings=(*answer.findings, *notes)), False
        into = None if number is None else into_file(survey, number, answer.best.plain, wish.targets)
        found.append(Found(cylinder=number, answer=answer, fmt=fmt, into=into))
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


def into_texts(asked: Sequence[Found], wish: Wish, fmt: Formatter) -> list[str]:
    """What to do to the job file, in order; of what serves the whole engine that of one cylinder alone."""
    each = [(one.cylinder, one.into) for one in asked if one.into is not None]
    whole = {*ENGINE_TERMS, CLOSING} & set(wish.unknowns)
    if whole and len(each) > 1:
        number, into = each[0]
        return into.for_all_by(number or 1).texts(fmt)
    return joined(into for _, into in each).texts(fmt) if each else []


def _one(answer: Answer, fmt: Formatter) -> dict[str, Any]:
    """Plain data of one unknown."""
    question, reach = answer.question, answer.reach
    assert reach is not None  # of one unknown it is always looked for
    return {
        "unknown": question.unknown,
        "target": question.target,
        "route": answer.route,
        "roots": [
            {
                **number_to_dict(question.unknown, root.number, fmt),
                "check": root.check,
                "formula": root.formula.text if root.formula else None,
            }
            for root in answer.roots
        ],
        "reach": [reach.low, reach.high],
        "change_of_target_per_unit": dict(answer.sensitivity(question.target)),
    }


def _several(answer: Answer, fmt: Formatter) -> dict[str, Any]:
    """Plain data of several unknowns found together."""
    return {
        "unknowns": list(answer.question.unknowns),
        "targets": list(answer.question.targets),
        "route": answer.route,
        "solutions": [_solution(root, fmt) for root in answer.roots],
        "dropped": list(answer.dropped),
    }


def _solution(root: Root, fmt: Formatter) -> dict[str, Any]:
    formulas = {turn.question.unknown: turn.best.formula.text for turn in root.turns if turn.best.formula is not None}
    return {
        "answers": {
            key: {**number_to_dict(key, number, fmt), "formula": formulas.get(key)}
            for key, number in root.numbers.items()
        },
        "checks": dict(root.checks),
        "change_of_target_per_unit": {key: dict(slopes) for key, slopes in root.slopes.items()},
    }


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
