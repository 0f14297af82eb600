"""``ccassist solve`` with two unknowns and two targets."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from ccassist.analysis.results import Survey
from ccassist.cli.screen import list_findings, say, say_json, table, unsure, wrapped
from ccassist.cli.solve import print_unanswered, results_of
from ccassist.cli.targets import CONFIRM, print_into
from ccassist.plan.solved.wish import Wish, who
from ccassist.values.display import formatter
from ccassist.values.findings import clean
from ccassist.vocabulary import term

if TYPE_CHECKING:
    from ccassist.plan.solved.found import Found
    from ccassist.solve.together import Together


def run(survey: Survey, wish: Wish, *, cylinder: int | None, system: str, as_json: bool) -> int:
    """Print both answers of every cylinder and the algebra; 1 where they are not possible."""
    from ccassist.plan.solved.found import find_two

    asked = find_two(survey, wish, cylinder=cylinder, system=system)
    if as_json:
        say_json([one.to_dict(system) for one in asked])
    else:
        _print(asked, wish, system)
    return 0 if any(one.answer for one in asked) else 1


def told(asked: Sequence[Found[Together]], system: str, *, findings: bool = True) -> list[str]:
    """The algebra of both answers for all alike (or of the only cylinder) as lines.

    ``findings`` : False where the caller lists the findings elsewhere.
    """
    from ccassist.solve.words import pair_lines

    best = next((one for one in reversed(asked) if one.answer is not None), None)
    if best is None or best.answer is None:
        return [f"Not possible: {clean(reason, 900)}." for reason in dict.fromkeys(one.reason for one in asked)]
    whose = "Means of all cylinders." if best.cylinder is None else f"Cylinder {best.cylinder}."
    noticed = best.answer.findings if findings else ()
    remarks = [f"{finding.level.name.capitalize()}: {finding.text()}" for finding in noticed]
    return [whose, "", *pair_lines(best.answer, system=system), *remarks]


def _print(asked: Sequence[Found[Together]], wish: Wish, system: str) -> None:
    from ccassist.plan.solved.found import into_texts

    for line in told(asked, system, findings=False):
        wrapped(line, rest=" " * (len(line) - len(line.lstrip()) + 2)) if line else say()
    if not any(one.answer for one in asked):
        return
    if len(asked) > 1:
        say()
        table(["cyl", *(term(key).name for key in wish.unknowns)], [_row(one, wish, system) for one in asked])
        print_unanswered(asked)
    unsure(results_of(asked), formatter(system))
    noticed = dict.fromkeys(f for one in asked if one.answer for f in one.answer.findings)
    if noticed:
        say()
        list_findings(noticed)
    print_into(into_texts(asked, wish, system))
    say()
    say(CONFIRM)


def _row(one: Found[Together], wish: Wish, system: str) -> list[str]:
    from ccassist.solve.words import pair_text

    whose = who(one.cylinder)
    if one.answer is None:
        return [whose, *("no answer" for _ in wish.unknowns)]
    return [whose, *(pair_text(one.answer, key, system) for key in wish.unknowns)]
