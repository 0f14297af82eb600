"""``ccassist solve``: any value from any target that depends on it, or two from two."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ccassist.analysis.results import survey_of
from ccassist.cli.screen import list_findings, say, say_json, table, unsure, wrapped
from ccassist.cli.targets import CONFIRM, parted, print_into
from ccassist.plan.solved.wish import Wish, who, wished
from ccassist.values.display import formatter, show_number
from ccassist.values.findings import clean
from ccassist.values.measured import computed
from ccassist.vocabulary import term

if TYPE_CHECKING:
    from ccassist.plan.solved.found import Found
    from ccassist.solve.target import Answer
    from ccassist.values.measured import Result


def run(
    file: Path,
    *,
    unknowns: Sequence[str],
    targets: Sequence[str],
    cylinder: int | None,
    system: str | None,
    as_json: bool,
) -> int:
    """Print the answer of every cylinder and the algebra; 1 where it is not possible."""
    survey = survey_of(file)
    shown = system or survey.job.system
    wish = wished(unknowns, parted(targets), shown)
    if len(wish.unknowns) == 2:
        from ccassist.cli import solve_two

        return solve_two.run(survey, wish, cylinder=cylinder, system=shown, as_json=as_json)
    from ccassist.plan.solved.found import find_one

    asked = find_one(survey, wish, cylinder=cylinder, system=system)
    if as_json:
        say_json([one.to_dict(shown) for one in asked])
    else:
        _print(asked, wish, shown)
    return 0 if any(one.answer for one in asked) else 1


def _print(asked: Sequence[Found[Answer]], wish: Wish, system: str) -> None:
    solved = [one for one in asked if one.answer is not None]
    if not solved:
        for reason in dict.fromkeys(one.reason for one in asked):
            wrapped(f"Not possible: {clean(reason, 600)}.", rest="  ")
        return
    from ccassist.plan.solved.found import into_texts

    for line in told(asked, system, findings=False):
        wrapped(line, rest=" " * (len(line) - len(line.lstrip()) + 2)) if line else say()
    if len(asked) > 1:
        say()
        question = next(one.answer for one in solved if one.answer).question
        rows = [[who(one.cylinder), _answer_text(one, question.unknown, system)] for one in asked]
        table(["cyl", term(question.unknown).name], rows)
        print_unanswered(asked)
    unsure(results_of(solved), formatter(system))
    noticed = [f for one in solved if one.answer for f in one.answer.findings]
    if noticed:
        say()
        list_findings(dict.fromkeys(noticed))
    print_into(into_texts(asked, wish, system))
    say()
    say(CONFIRM)


def results_of(solved: Sequence[Found[Any]]) -> list[Result]:
    """The answers with the cylinders that they are for."""
    return [
        ("all alike" if one.cylinder is None else f"cylinder {one.cylinder}", computed(key, number))
        for one in solved
        for key, numbers in one.numbers.items()
        for number in numbers
    ]


def _answer_text(one: Found[Answer], unknown: str, system: str) -> str:
    if one.answer is None:
        return "no answer"
    return " or ".join(show_number(unknown, root.number, system=system) for root in one.answer.roots)


def print_unanswered(asked: Sequence[Found[Any]]) -> None:
    """Why some have no answer, and what leads to one."""
    for one in asked:
        if one.answer is None:
            whose = "All alike" if one.cylinder is None else f"Cylinder {one.cylinder}"
            wrapped(f"{whose}, no answer: {clean(one.reason, 600)}.", rest="  ")


def told(asked: Sequence[Found[Answer]], system: str, *, findings: bool = True) -> list[str]:
    """The algebra of the answer for all alike (or of the only one) as lines.

    ``findings`` : False where the caller lists the findings elsewhere.
    """
    from ccassist.solve.words import lines

    best = next((one for one in reversed(asked) if one.answer is not None), None)
    if best is None or best.answer is None:
        return [one.reason for one in asked]
    whose = "Means of all cylinders." if best.cylinder is None else f"Cylinder {best.cylinder}."
    return [whose, "", *lines(best.answer, system=system, findings=findings)]
