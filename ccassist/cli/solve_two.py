"""``ccassist solve`` with two unknowns and two targets."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from ccassist.cli.screen import list_findings, say, say_json, table, wrapped
from ccassist.cli.solve import CONFIRM, Wish, cases
from ccassist.closing import basis_notes
from ccassist.display import show, show_number
from ccassist.findings import NotPossible, clean
from ccassist.measured import Number, expand
from ccassist.results import Survey
from ccassist.terms import term

if TYPE_CHECKING:
    from ccassist.solve.together import Solution, Together


@dataclass(frozen=True, kw_only=True)
class Pair:
    """Both answers for one cylinder (number), or for all alike (None); or why there are none."""

    cylinder: int | None
    found: Together | None
    reason: str = ""


def pairs(survey: Survey, wish: Wish, *, cylinder: int | None, system: str) -> list[Pair]:
    """Both answers for each cylinder, and for all alike where there are several.

    Raises
    ------
    InputError : the cylinder is not there, or the question is not sound.
    """
    known = cases(survey, cylinder)
    # The algebra is the same for every cylinder: it is worked out once, for the one that is printed.
    return [_pair(survey, who, numbers, wish, system, algebra=who == known[-1][0]) for who, numbers in known]


def _pair(
    survey: Survey, who: int | None, known: Mapping[str, Number], wish: Wish, system: str, *, algebra: bool
) -> Pair:
    from ccassist.solve.together import solve_together

    choices = survey.cylinders[(who or 1) - 1].choices
    first, second = wish.unknowns
    try:
        found = solve_together(
            known, choices, unknowns=(first, second), targets=wish.targets, algebra=algebra, system=system
        )
    except NotPossible as fault:
        return Pair(cylinder=who, found=None, reason=str(fault))
    noted = basis_notes(survey.job, survey.stated.get("cam", {}), (*wish.unknowns, *wish.targets), system)
    return Pair(cylinder=who, found=replace(found, findings=(*found.findings, *noted)))


def run(survey: Survey, wish: Wish, *, cylinder: int | None, system: str, as_json: bool) -> int:
    """Print both answers of every cylinder and the algebra; 1 where they are not possible."""
    asked = pairs(survey, wish, cylinder=cylinder, system=system)
    if as_json:
        say_json([_to_dict(one, system) for one in asked])
    else:
        _print(asked, wish, system)
    return 0 if any(one.found for one in asked) else 1


def told(asked: Sequence[Pair], system: str, *, findings: bool = True) -> list[str]:
    """The algebra of both answers for all alike (or of the only cylinder) as lines.

    ``findings`` : False where the caller lists the findings elsewhere.
    """
    from ccassist.solve.pair_words import pair_lines

    best = next((one for one in reversed(asked) if one.found is not None), None)
    if best is None or best.found is None:
        return [f"Not possible: {clean(reason, 900)}." for reason in dict.fromkeys(one.reason for one in asked)]
    who = "Means of all cylinders." if best.cylinder is None else f"Cylinder {best.cylinder}."
    noticed = best.found.findings if findings else ()
    remarks = [f"{finding.level.name.capitalize()}: {finding.text()}" for finding in noticed]
    return [who, "", *pair_lines(best.found, system=system), *remarks]


def _print(asked: Sequence[Pair], wish: Wish, system: str) -> None:
    for line in told(asked, system, findings=False):
        wrapped(line, rest=" " * (len(line) - len(line.lstrip()) + 2)) if line else say()
    if not any(one.found for one in asked):
        return
    if len(asked) > 1:
        say()
        table(["cyl", *(term(key).name for key in wish.unknowns)], [_row(one, wish, system) for one in asked])
        for one in asked:
            if one.found is None:
                wrapped(f"Cylinder {one.cylinder}, not possible: {clean(one.reason, 600)}.", rest="  ")
    noticed = dict.fromkeys(f for one in asked if one.found for f in one.found.findings)
    if noticed:
        say()
        list_findings(noticed)
    say()
    say(CONFIRM)


def _row(one: Pair, wish: Wish, system: str) -> list[str]:
    from ccassist.solve.pair_words import pair_text

    who = "all alike" if one.cylinder is None else str(one.cylinder)
    if one.found is None:
        return [who, *("not possible" for _ in wish.unknowns)]
    return [who, *(pair_text(one.found, key, system) for key in wish.unknowns)]


def _to_dict(one: Pair, system: str) -> dict[str, object]:
    if one.found is None:
        return {"cylinder": one.cylinder, "possible": False, "reason": one.reason}
    found = one.found
    return {
        "cylinder": one.cylinder,
        "possible": True,
        "unknowns": list(found.unknowns),
        "targets": list(found.targets),
        "route": found.route,
        "solutions": [_solution(solution, found, system) for solution in found.solutions],
        "dropped": list(found.dropped),
        "moved": {key: show(key, found.best.values[key], system=system) for key in found.moved},
        "findings": [f.to_dict() for f in found.findings],
    }


def _solution(one: Solution, found: Together, system: str) -> dict[str, object]:
    formulas = {turn.question.unknown: turn.best.formula.text for turn in one.turns if turn.best.formula is not None}
    answers = {}
    for key in found.unknowns:
        stated = expand(one.numbers[key])
        unknown_yet = math.isnan(stated.expanded)
        answers[key] = {
            "value": stated.value,
            "expanded_uncertainty": None if unknown_yet else stated.expanded,
            "formula": formulas.get(key),
            "text": show_number(key, one.numbers[key], system=system),
        }
    return {
        "answers": answers,
        "checks": dict(one.checks),
        "change_of_target_per_unit": {key: dict(slopes) for key, slopes in one.slopes.items()},
    }
