"""``ccassist solve``: any value from any target that depends on it, or two from two."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from ccassist.analysis.results import survey_of
from ccassist.cli.screen import list_findings, say, say_json, table, unsure, wrapped
from ccassist.solve.wish import Wish, wished
from ccassist.values.display import Formatter, formatter
from ccassist.values.findings import clean
from ccassist.values.measured import computed
from ccassist.vocabulary import term

if TYPE_CHECKING:
    from ccassist.plan.boost.solve import Solved
    from ccassist.plan.solved.found import Found
    from ccassist.values.measured import Result

CONFIRM = "A planning figure: confirm with the maker and the machinist before metal is cut."


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
    fmt = formatter(system or survey.job.system)
    wish = wished(unknowns, targets, fmt.system)
    from ccassist.plan.solved.found import find

    asked = find(survey, wish, cylinder=cylinder, fmt=fmt)
    if as_json:
        say_json([one.to_dict() for one in asked])
    else:
        _print(asked, wish, fmt)
    return 0 if any(one.answer for one in asked) else 1


def told(asked: Sequence[Found], fmt: Formatter, *, findings: bool = True) -> list[str]:
    """The algebra of the answer for all alike (or of the only one) as lines; why there is none where none has any.

    ``findings`` : False where the caller lists the findings elsewhere.
    """
    from ccassist.solve.words import lines

    best = next((one for one in reversed(asked) if one.answer is not None), None)
    if best is None or best.answer is None:
        return [f"Not possible: {clean(reason, 900)}." for reason in dict.fromkeys(one.reason for one in asked)]
    whose = "Means of all cylinders." if best.cylinder is None else f"Cylinder {best.cylinder}."
    return [whose, "", *lines(best.answer, fmt, findings=findings)]


def _print(asked: Sequence[Found], wish: Wish, fmt: Formatter) -> None:
    from ccassist.plan.solved.found import into_texts

    say_lines(told(asked, fmt, findings=False))
    if not any(one.answer for one in asked):
        return
    if len(asked) > 1:
        say()
        table(["cyl", *(term(key).name for key in wish.unknowns)], [_row(one, wish, fmt) for one in asked])
        for one in asked:
            if one.answer is None:
                whose = "All alike" if one.cylinder is None else f"Cylinder {one.cylinder}"
                wrapped(f"{whose}, no answer: {clean(one.reason, 600)}.", rest="  ")
    unsure(results_of(asked), fmt)
    noticed = dict.fromkeys(f for one in asked if one.answer for f in one.answer.findings)
    if noticed:
        say()
        list_findings(noticed)
    print_into(into_texts(asked, wish, fmt))
    say()
    say(CONFIRM)


def _row(one: Found, wish: Wish, fmt: Formatter) -> list[str]:
    texts = (" or ".join(fmt.number(key, number) for number in one.numbers.get(key, ())) for key in wish.unknowns)
    return ["all alike" if one.cylinder is None else str(one.cylinder), *(text or "no answer" for text in texts)]


def results_of(asked: Sequence[Found | Solved]) -> list[Result]:
    """The answers with the cylinders that they are for."""
    return [
        ("all alike" if one.cylinder is None else f"cylinder {one.cylinder}", computed(key, number))
        for one in asked
        for key, numbers in one.numbers.items()
        for number in numbers
    ]


def say_lines(lines: Sequence[str]) -> None:
    """Lines, each folded under its own indent; an empty one parts."""
    for line in lines:
        wrapped(line, rest=" " * (len(line) - len(line.lstrip()) + 2)) if line else say()


def print_into(texts: Sequence[str]) -> None:
    """How an answer is put into the job file, step by step."""
    if not texts:
        return
    say()
    if len(texts) == 1 and "cannot" in texts[0]:
        wrapped(f"{texts[0]}.", rest="  ")
        return
    say("To put it into the job file, once it is made so:")
    for text in texts:
        wrapped(text, first="  ", rest="      ")
