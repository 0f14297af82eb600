"""``ccassist boost --for … --to …``: what a part, the charge or the burn must be for a boosted target."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

from ccassist.boost.cautions import beside
from ccassist.boost.equivalents import CRITERIA
from ccassist.boost.figures import OCTANE
from ccassist.cli.screen import list_findings, say, say_json, table, wrapped
from ccassist.cli.solve import CONFIRM, Wish, wished
from ccassist.display import show, show_number
from ccassist.findings import Finding, InputError, clean, errors
from ccassist.job.file import load_sound
from ccassist.measured import Number, expand
from ccassist.plan.boost.solve import RATIO, Solved, beyond, solve_story
from ccassist.plan.boost.story import BoostStory, boost_story
from ccassist.results import sound_survey
from ccassist.terms import term


def run(file: Path, *, unknowns: Sequence[str], targets: Sequence[str], system: str | None, as_json: bool) -> int:
    """Print the answer of every cylinder; 1 where it is not possible in any."""
    story, shown = story_of(file, system)
    wish = wished(unknowns, targets, shown)
    found = solve_story(story, wish.unknowns, wish.targets, system=shown)
    if as_json:
        say_json({"cylinders": [_to_dict(one, shown) for one in found], "cautions": list(_cautions(wish))})
    else:
        _print(story, wish, found, shown)
    return 0 if any(not one.reason for one in found) else 1


def story_of(file: Path, system: str | None) -> tuple[BoostStory, str]:
    """The story of a job without its comparison of knock, and the units to show.

    Raises
    ------
    InputError : with every fault of the file, the cam card and the charge.
    """
    survey = sound_survey(load_sound(file).job)
    shown = system or survey.job.system
    story = boost_story(survey, system=shown, with_knock=False)
    faults = errors(story.findings)
    if faults:
        raise InputError(faults)
    return story, shown


def _cautions(wish: Wish) -> tuple[str, ...]:
    """What must stand beside the figures asked about."""
    groups = ["trapped", "charge", "compression"]
    groups += ["equivalents"] if any(key in CRITERIA or key == "root_equivalent" for key in wish.targets) else []
    groups += ["knock"] if OCTANE in wish.targets else []
    return tuple(dict.fromkeys(text for group in (*groups, "all") for text in beside(group)))


def _print(story: BoostStory, wish: Wish, found: Sequence[Solved], system: str) -> None:
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
    for caution in _cautions(wish):
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


def _to_dict(one: Solved, system: str) -> dict[str, Any]:
    first = one.first
    if first is None:
        return {"cylinder": one.cylinder, "possible": False, "reason": one.reason}
    return {
        "cylinder": one.cylinder,
        "possible": True,
        "target": {"term": first.target, "value": first.value},
        "answers": {key: [_number(key, n, system) for n in numbers] for key, numbers in one.numbers.items()},
        "static_ratio_needed": _number(RATIO, first.number, system) if first.unknown == RATIO else None,
        "checks": list(one.checks),
        "reach": None if first.reach is None else [first.reach.low, first.reach.high],
        "figures": {key: None if beyond(key, n) else _number(key, n, system) for key, n in first.figures.items()},
        "findings": [finding.to_dict() for finding in one.findings],
    }


def _number(key: str, number: Number, system: str) -> dict[str, Any]:
    stated = expand(number)
    known = stated.expanded == stated.expanded  # not a number: not known yet
    return {
        "value": stated.value,
        "expanded_uncertainty": stated.expanded if known else None,
        "text": show_number(key, number, system=system),
    }
