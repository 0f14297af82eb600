"""Two terms from two targets, found together: the piston order is such a question.

Where one of the targets hangs on one of the unknowns alone, that one is solved
first and its answer, doubt and correlations included, goes into the second
question.  Where both targets hang on both, they are closed in on at once.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from ccassist.engine.model import RESULTS, Choices, Model
from ccassist.solve.newton import starts, zero
from ccassist.solve.pair_case import PairCase, pair_case
from ccassist.solve.question import Question, dependents, fault, stopped_by
from ccassist.solve.remarks import cannot_be, unusual
from ccassist.solve.scan import impossible, slopes
from ccassist.solve.target import Answer, agrees, solve_for
from ccassist.values.display import show
from ccassist.values.findings import Finding, InputError, NotPossible, error
from ccassist.values.number import Number, nominal
from ccassist.vocabulary import term

_SAME = 1e-6  # of the usual span: roots closer than this are one


@dataclass(frozen=True, kw_only=True)
class Solution:
    """One pair of unknowns that meets both targets.

    Attributes
    ----------
    numbers : unknown -> SI number with its uncertainty; correlations are kept.
    checks : target -> what the model gives with both put in, SI.
    values : every term of the engine so made, SI.
    slopes : target -> change of it per unit of each of its inputs, SI.
    turns : the two answers one after the other; empty where they were found at once.
    model : the relations that hold there.
    """

    numbers: Mapping[str, Number]
    checks: Mapping[str, float]
    values: Mapping[str, float]
    slopes: Mapping[str, Mapping[str, float]]
    turns: tuple[Answer, ...]
    model: Model


@dataclass(frozen=True, kw_only=True)
class Together:
    """Both unknowns, from both targets.

    Attributes
    ----------
    unknowns : term keys, in the order asked.
    targets : term key -> SI value wanted.
    solutions : every possible pair, the likeliest first.
    dropped : why other pairs cannot be, in words.
    route : "in turn" or "at once".
    findings : what is unusual in the engine so made.
    """

    unknowns: tuple[str, str]
    targets: Mapping[str, Number]
    solutions: tuple[Solution, ...]
    dropped: tuple[str, ...]
    route: str
    findings: tuple[Finding, ...]

    @property
    def best(self) -> Solution:
        """The likeliest pair."""
        return self.solutions[0]

    @property
    def moved(self) -> list[str]:
        """The other results that the two unknowns move, by key."""
        moved = {key for unknown in self.unknowns for key in dependents(self.best.model, unknown)}
        return [key for key in RESULTS if key in moved and key not in self.targets]


def solve_together(
    known: Mapping[str, Number],
    choices: Choices,
    *,
    unknowns: tuple[str, str],
    targets: Mapping[str, Number],
    algebra: bool = True,
    system: str = "metric",
) -> Together:
    """The values of two terms that together bring two others to what is wanted.

    Parameters
    ----------
    known : term key -> SI number of one cylinder, floats or uncertain numbers.
    choices : what the builder counts, and the seal of the crown fill.
    unknowns : two term keys.
    targets : two term keys -> SI values wanted.
    algebra : False to leave the formulas out (SymPy is not loaded).
    system : "metric" or "imperial", for the words of errors and findings.

    Raises
    ------
    InputError : the question is not sound, such as targets that both hang on the same unknown.
    NotPossible : no possible engine meets both; the message says why.
    """
    case = pair_case(known, choices, unknowns, targets, system)
    moved = {target: tuple(unknown for unknown in unknowns if case.moves(unknown, target)) for target in targets}
    _check_sound(case, moved)
    first = next((target for target, by in moved.items() if len(by) == 1), None)
    if first is None:
        solutions, dropped = _at_once(case)
    else:
        solutions, dropped = _in_turn(case, moved[first][0], first, algebra)
    if not solutions:
        raise NotPossible(_nothing(case, dropped))
    ranked = tuple(sorted(solutions, key=lambda one: _unlikely(case, one)))
    return Together(
        unknowns=unknowns,
        targets=targets,
        solutions=ranked,
        dropped=dropped,
        route="at once" if first is None else "in turn",
        findings=_findings(case, ranked[0]),
    )


def _check_sound(case: PairCase, moved: Mapping[str, tuple[str, ...]]) -> None:
    """Each target must be moved by an unknown, each unknown move a target, and not both hang on one alone."""
    for target, by in moved.items():
        if not by:
            asked = [_asked(case, unknown, target) for unknown in case.unknowns]
            raise InputError(fault(next((one for one in asked if stopped_by(one)), asked[0])))
    for unknown in case.unknowns:
        if not any(unknown in by for by in moved.values()):
            stopped = [one for target in case.targets if stopped_by(one := _asked(case, unknown, target))]
            if stopped:
                raise InputError(fault(stopped[0]))
            names = " and the ".join(term(key).name for key in case.targets)
            raise InputError(
                error(
                    "no-influence",
                    f"the {names} hang on the {term(case.other(unknown)).name} alone, not on the {term(unknown).name}",
                    right="name a target that the other unknown moves, or solve for one",
                )
            )


def _asked(case: PairCase, unknown: str, target: str) -> Question:
    """One unknown and one target, the other unknown anywhere usual."""
    other = case.other(unknown)
    return case.question(unknown, target, starts(other, case.present.get(other))[0])


def _in_turn(case: PairCase, unknown: str, target: str, algebra: bool) -> tuple[list[Solution], tuple[str, ...]]:
    """The target that hangs on one unknown alone first; then the other, with each answer put in."""
    other = case.other(unknown)
    rest = next(key for key in case.targets if key != target)
    first = solve_for(
        case.known, case.choices, unknown=unknown, target=target, value=case.targets[target], algebra=algebra,
        system=case.system,
    )  # fmt: skip
    found: list[Solution] = []
    dropped = [drop.reason for drop in first.dropped]
    for root in first.roots:
        with_it = {**case.known, unknown: root.number}
        try:
            second = solve_for(
                with_it, case.choices, unknown=other, target=rest, value=case.targets[rest], algebra=algebra,
                system=case.system,
            )  # fmt: skip
        except NotPossible as reason:
            put_in = show(unknown, root.nominal, system=case.system)
            dropped.append(f"with the {term(unknown).name} {put_in} for the {term(target).name}, {reason}")
            continue
        dropped += [drop.reason for drop in second.dropped]
        for one in second.roots:
            found += _checked(case, {unknown: root.number, other: one.number}, dropped, (first, second))
    return found, tuple(dict.fromkeys(dropped))


def _at_once(case: PairCase) -> tuple[list[Solution], tuple[str, ...]]:
    """Both closed in on together, from starts all over the usual ranges."""
    first, second = case.unknowns
    spans = [term(key).plausible for key in case.unknowns]
    scales = [high - low for low, high in spans]

    def miss(place: tuple[float, float]) -> tuple[float, float] | None:
        values = case.values(dict(zip(case.unknowns, place, strict=True)))
        if values is None:
            return None
        one, two = ((values[1][key] - nominal(value)) / _size(key, value) for key, value in case.targets.items())
        return one, two

    found: list[Solution] = []
    dropped: list[str] = []
    seen: list[tuple[float, float]] = []
    for start in starts(first, case.present.get(first)):
        for other in starts(second, case.present.get(second)):
            place = zero(miss, (start, other), (scales[0], scales[1]))
            if place is None or any(_near(place, old, scales) for old in seen):
                continue
            seen.append(place)
            found += _checked(case, dict(zip(case.unknowns, place, strict=True)), dropped, ())
    return found, tuple(dict.fromkeys(dropped))


def _checked(
    case: PairCase, numbers: Mapping[str, Number], dropped: list[str], turns: tuple[Answer, ...]
) -> list[Solution]:
    """The pair as a solution, once both put in give both targets back and the engine can be."""
    plain = {key: nominal(number) for key, number in numbers.items()}
    there = case.values(plain)
    if there is None:
        return []
    model, values = there
    if not all(agrees(key, values[key], nominal(value)) for key, value in case.targets.items()):
        return []
    for unknown in case.unknowns:
        target = next(iter(case.targets))
        bad = impossible(case.question(unknown, target, plain[case.other(unknown)]), model, values)
        if bad:
            dropped.append(cannot_be(bad, values[bad], case.system))
            return []
    inputs = {**{key: nominal(value) for key, value in case.known.items()}, **plain}
    leaning = {target: slopes(model, inputs, target) for target in case.targets}
    if not turns:
        doubtful = case.with_doubt(model, plain, leaning)
        if doubtful is None:
            dropped.append("the two targets move alike there, so they do not tell the two unknowns apart")
            return []
        numbers = doubtful
    checks = {key: values[key] for key in case.targets}
    return [Solution(numbers=numbers, checks=checks, values=values, slopes=leaning, turns=turns, model=model)]


def _size(key: str, value: Number) -> float:
    """What a miss of a target is measured by: the value, or its usual span where that is next to nothing."""
    low, high = term(key).plausible
    return max(abs(nominal(value)), 1e-3 * (high - low))


def _near(place: tuple[float, float], other: tuple[float, float], scales: list[float]) -> bool:
    return all(abs(a - b) <= _SAME * scale for a, b, scale in zip(place, other, scales, strict=True))


def _unlikely(case: PairCase, one: Solution) -> tuple[int, float]:
    """How many unknowns are out of their usual range, then how far both are from now or the usual middle."""
    outside, far = 0, 0.0
    for key, number in one.numbers.items():
        low, high = term(key).plausible
        outside += not low <= nominal(number) <= high
        far += abs(nominal(number) - case.present.get(key, (low + high) / 2)) / (high - low)
    return outside, far


def _findings(case: PairCase, best: Solution) -> tuple[Finding, ...]:
    found: dict[Finding, None] = {}
    for unknown in case.unknowns:
        for target in case.targets:
            question = case.question(unknown, target, best.numbers[case.other(unknown)])
            for finding in (*unusual(question, best.model, best.values, case.system), *question.remarks(best.model)):
                found.setdefault(finding)
    for turn in best.turns:
        found.update(dict.fromkeys(turn.findings))
    met = {f"the {term(key).name} " for key in case.targets}
    return tuple(f for f in found if f.code != "unusual" or not any(f.wrong.startswith(name) for name in met))


def _nothing(case: PairCase, dropped: tuple[str, ...]) -> str:
    unknowns = " and ".join(term(key).name for key in case.unknowns)
    wanted = " and the ".join(
        f"{term(key).name} to {show(key, nominal(value), system=case.system)}" for key, value in case.targets.items()
    )
    why = "".join(f"; {reason}" for reason in dropped) or "; no trial over their usual ranges comes to both"
    return f"no {unknowns} together bring the {wanted}{why}"
