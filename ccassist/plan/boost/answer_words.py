"""The answer to a boosted target in words, on the screen and on paper alike."""

from __future__ import annotations

from ccassist.plan.boost.answers import Boosted
from ccassist.plan.boost.solve import PARTS, RATIO, Solved, beyond
from ccassist.plan.solved.into_file import joined
from ccassist.plan.solved.wish import Wish
from ccassist.values.display import show, show_number
from ccassist.values.findings import clean
from ccassist.values.measured import Number
from ccassist.vocabulary import term


def told_of(made: Boosted) -> Solved | None:
    """The cylinder that is told in full: the one whose ratio may be the highest, where it has an answer."""
    solved = [one for one in made.cylinders if not one.reason]
    return next((one for one in solved if one.cylinder == made.story.worst), solved[0] if solved else None)


def refused_texts(made: Boosted) -> list[str]:
    """Why there is no answer, each reason once; by cylinder where another has one."""
    if not made.possible:
        return [f"Not possible: {clean(reason, 600)}." for reason in dict.fromkeys(o.reason for o in made.cylinders)]
    lacking = [one for one in made.cylinders if one.reason]
    return [f"Cylinder {one.cylinder}, not possible: {clean(one.reason, 600)}." for one in lacking]


def answer_lines(one: Solved, system: str) -> list[str]:
    """How the answer is found, the answer, the check, and what comes with it; "" parts them."""
    first = one.first
    assert first is not None
    said = [] if first.unknown != RATIO else [*_by_ratio(one, system), *_part_lines(one, system)]
    for place, number in enumerate(() if one.part or one.pair else first.numbers):
        answer = f"{term(first.unknown).name} {show_number(first.unknown, number, system=system)}"
        said.append(f"{'or' if place else 'Answer'}: {answer}")
    check = show(first.target, one.checks[0], system=system)
    said.append(f"Check: worked through the whole chain again, the {term(first.target).name} is {check}")
    for key, figure in first.figures.items():
        said.append(f"With it: {term(key).name} {figure_text(key, figure, system)}")
    if first.reach is not None:
        ends = [
            f"{show(first.target, end, system=system)} ({show(first.unknown, at, system=system)})"
            for end, at in ((first.reach.low, first.reach.low_at), (first.reach.high, first.reach.high_at))
        ]
        said.append(f"Over every possible {term(first.unknown).name} it goes from {ends[0]} to {ends[1]}")
    return said


def _by_ratio(one: Solved, system: str) -> list[str]:
    first = one.first
    assert first is not None
    target = show(first.target, first.value, system=system)
    return [
        f"The {term(first.target).name} comes to {target} at a static compression ratio of "
        f"{show_number(RATIO, first.number, system=system)}, found by trial through the whole chain."
    ]


def _part_lines(one: Solved, system: str) -> list[str]:
    """The algebra of the part or parts from the static ratio."""
    from ccassist.solve.pair_words import pair_lines
    from ccassist.solve.words import lines

    told = lines(one.part, system=system, findings=False) if one.part else []
    told = pair_lines(one.pair, system=system) if one.pair else told
    return ["", *told, ""] if told else []


def figure_text(key: str, number: Number, system: str) -> str:
    """A figure as shown; an equivalent above 14:1 is no ratio to build."""
    return "above 14:1" if beyond(key, number) else show_number(key, number, system=system)


def row(one: Solved, wish: Wish, system: str) -> list[str]:
    """One cylinder and its answers."""
    texts = [
        " or ".join(show_number(key, number, system=system) for number in one.numbers.get(key, ()))
        for key in wish.unknowns
    ]
    return [str(one.cylinder), *(text or "not possible" for text in texts)]


def into_texts(made: Boosted, system: str) -> list[str]:
    """What to do to the job file, in order; of what serves the whole engine that of the cylinder told in full."""
    solved = [one for one in made.cylinders if one.into is not None]
    first = told_of(made)
    if not solved or first is None or first.into is None:
        return []
    if len(solved) == 1 or set(made.wish.unknowns) <= set(PARTS):
        return joined(one.into for one in solved if one.into is not None).texts(system)
    return first.into.for_all_by(first.cylinder).texts(system)


def basis_text(made: Boosted) -> str:
    """The lift at which intake closing was read."""
    return f"Trapped ratio and intake closing hold {made.story.lift_basis}."
