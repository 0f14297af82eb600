"""Two answers found together, as lines of text."""

from __future__ import annotations

from ccassist.engine.model import Model
from ccassist.solve.algebra import Line, equations, reading_order, written
from ccassist.solve.together import Solution, Together
from ccassist.solve.words import algebra, levers_of, parted, sums
from ccassist.values.display import places, show, show_number
from ccassist.values.units import shown_unit
from ccassist.vocabulary import term


def pair_lines(found: Together, *, system: str = "metric") -> list[str]:
    """Everything there is to say, in order; an empty line parts the sections."""
    return parted([*_way(found, system), _conclusion(found, system), *_levers(found, system)])


def _way(found: Together, system: str) -> list[list[str]]:
    """The algebra of each answer, with the numbers put in; or the equations closed in on."""
    if not found.best.turns:
        lines = ["Both targets hang on both unknowns:"]
        lines += [f"  {text}" for text in _equations(found.best.model, found)]
        return [[*lines, "They were found by trial, closing in on both targets at once."]]
    first, second = found.best.turns
    unknown = first.question.unknown
    opening = f"First the {term(unknown).name}: of the two only it moves the {term(first.question.target).name}."
    put_in = show_number(unknown, found.best.numbers[unknown], system=system)
    then = f"Then, with the {term(unknown).name} {put_in}, the {term(second.question.unknown).name}."
    return [
        [opening, *algebra(first)],
        sums(first, system=system),
        [then, *algebra(second)],
        sums(second, system=system),
    ]


def _equations(model: Model, found: Together) -> list[str]:
    """The equations from both targets down to both unknowns, each once."""
    lines: dict[str, Line] = {}
    order: dict[str, None] = {}
    for target in found.targets:
        order.update(dict.fromkeys(reading_order(model, target)))
        for unknown in found.unknowns:
            lines.update((line.key, line) for line in equations(model, unknown, target))
    return [written(lines[key], tuple(order)) for key in order if key in lines]


def _conclusion(found: Together, system: str) -> list[str]:
    """Both answers ± U with their signs in words, the check of both, and what else moves."""
    told = [f"Answer: {_pair(found, found.best, system)}"]
    told += [f"or: {_pair(found, other, system)}" for other in found.solutions[1:]]
    told += [f"not: {reason}" for reason in found.dropped]
    checks = []
    for key in found.targets:
        finer = places(shown_unit(term(key), system), None) + 1
        checks.append(f"the {term(key).name} {show(key, found.best.checks[key], system=system, decimals=finer)}")
    told.append(f"Check: both put back, they give {' and '.join(checks)}")
    return [
        *told,
        *(f"With them: {term(key).name} {show(key, found.best.values[key], system=system)}" for key in found.moved),
    ]


def _pair(found: Together, one: Solution, system: str) -> str:
    return "; ".join(f"{term(key).name} {show_number(key, one.numbers[key], system=system)}" for key in found.unknowns)


def _levers(found: Together, system: str) -> list[list[str]]:
    """What else moves each target, the unknowns themselves left out."""
    return [
        levers_of(key, [(k, v) for k, v in found.best.slopes[key].items() if k not in found.unknowns], system=system)
        for key in found.targets
    ]


def pair_text(found: Together, key: str, system: str) -> str:
    """One unknown of every possible pair, the likeliest first."""
    return " or ".join(show_number(key, one.numbers[key], system=system) for one in found.solutions)
