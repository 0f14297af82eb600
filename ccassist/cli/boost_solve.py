"""``ccassist boost --for … --to …``: what a part, the charge or the burn must be for a boosted target."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path

from ccassist.cli.screen import list_findings, say, say_json, table, wrapped
from ccassist.cli.targets import CONFIRM, parted
from ccassist.display import show, show_number
from ccassist.findings import Finding, clean
from ccassist.measured import Number
from ccassist.plan.boost.answers import Boosted, boosted_for
from ccassist.plan.boost.solve import RATIO, Solved, beyond
from ccassist.plan.solved.wish import Wish, wished
from ccassist.results import survey_of
from ccassist.terms import term


def run(file: Path, *, unknowns: Sequence[str], targets: Sequence[str], system: str | None, as_json: bool) -> int:
    """Print the answer of every cylinder; 1 where it is not possible in any."""
    survey = survey_of(file)
    shown = system or survey.job.system
    found = boosted_for(survey, wished(unknowns, parted(targets), shown), shown)
    if as_json:
        say_json(found.to_dict(shown))
    else:
        _print(found, shown)
    return 0 if found.possible else 1


def _print(made: Boosted, system: str) -> None:
    story, wish, found = made.story, made.wish, made.cylinders
    say(clean(story.survey.job.name or story.survey.job.file, 79))
    solved = [one for one in found if not one.reason]
    if not solved:
        for reason in dict.fromkeys(one.reason for one in found):
            wrapped(f"Not possible: {clean(reason, 600)}.", rest="  ")
        return
    told = next((one for one in solved if one.cylinder == story.worst), solved[0])
    _print_one(told, wish, system)
    if len(found) > 1:
        say()
        table(["cyl", *(term(key).name for key in wish.unknowns)], [_row(one, wish, system) for one in found])
        for one in found:
            if one.reason:
                wrapped(f"Cylinder {one.cylinder}, not possible: {clean(one.reason, 600)}.", rest="  ")
    say()
    wrapped(f"Trapped ratio and intake closing hold {story.lift_basis}.")
    _print_findings(f for one in solved for f in one.findings)
    for caution in made.cautions:
        wrapped(caution, first="  ! ", rest="    ")
    say(CONFIRM)


def _print_findings(findings: Iterable[Finding]) -> None:
    noticed = dict.fromkeys(findings)
    if noticed:
        say()
        list_findings(noticed)
    say()


def _print_one(one: Solved, wish: Wish, system: str) -> None:
    """One cylinder: how the answer is found, the answer, the check, and what comes with it."""
    first = one.first
    assert first is not None
    say(f"Cylinder {one.cylinder}.")
    say()
    target = show(first.target, first.value, system=system)
    if first.unknown == RATIO:
        wrapped(
            f"The {term(first.target).name} comes to {target} at a static compression ratio of "
            f"{show_number(RATIO, first.number, system=system)}, found by trial through the whole chain.",
            rest="  ",
        )
        _print_parts(one, system)
    for place, number in enumerate(() if one.part or one.pair else first.numbers):
        answer = f"{term(first.unknown).name} {show_number(first.unknown, number, system=system)}"
        wrapped(f"{'or' if place else 'Answer'}: {answer}", rest="  ")
    check = show(first.target, one.checks[0], system=system)
    wrapped(f"Check: worked through the whole chain again, the {term(first.target).name} is {check}", rest="  ")
    for key, figure in first.figures.items():
        wrapped(f"With it: {term(key).name} {figure_text(key, figure, system)}", rest="  ")
    if first.reach is not None:
        ends = [
            f"{show(first.target, end, system=system)} at {show(first.unknown, at, system=system)}"
            for end, at in ((first.reach.low, first.reach.low_at), (first.reach.high, first.reach.high_at))
        ]
        wrapped(f"Over every possible {term(first.unknown).name} it goes from {ends[0]} to {ends[1]}", rest="  ")


def _print_parts(one: Solved, system: str) -> None:
    """The algebra of the part or parts from the static ratio."""
    from ccassist.solve.pair_words import pair_lines
    from ccassist.solve.words import lines

    told = lines(one.part, system=system, findings=False) if one.part else []
    told = pair_lines(one.pair, system=system) if one.pair else told
    for line in ["", *told, ""] if told else []:
        wrapped(line, rest=" " * (len(line) - len(line.lstrip()) + 2)) if line else say()


def figure_text(key: str, number: Number, system: str) -> str:
    """A figure as shown; an equivalent above 14:1 is no ratio to build."""
    return "above 14:1" if beyond(key, number) else show_number(key, number, system=system)


def _row(one: Solved, wish: Wish, system: str) -> list[str]:
    texts = [
        " or ".join(show_number(key, number, system=system) for number in one.numbers.get(key, ()))
        for key in wish.unknowns
    ]
    return [str(one.cylinder), *(text or "not possible" for text in texts)]
