"""Any unknowns from as many targets that depend on them: the one solver.

Where a target hangs on one of the unknowns alone, that one is found first and its answer, uncertainty and correlations
included, goes into the rest of the question.  What is left and hangs together is closed in on at once.  A target that
no algebra leads to, such as a boosted figure, is reached through the one term that it takes from the engine: what that
must be is found by trial, and the unknowns from it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from ccassist.engine.mathematics import Relation
from ccassist.engine.model import RESULTS, Choices, Model
from ccassist.solve.question import Place, Problem, dependents, no_such_engine
from ccassist.solve.remarks import (
    ask,
    cannot_be,
    check_depends,
    check_values,
    no_answer,
    no_influence,
    remarks,
    rough,
    usual_reach,
)
from ccassist.solve.scan import Scan, TargetRange, impossible, roots, roots_together, scan, size_of, spans
from ccassist.values.display import METRIC, Formatter
from ccassist.values.findings import Finding, InputError, NotPossible
from ccassist.values.number import Number, is_uncertain, nominal
from ccassist.values.numerics import uncertain_roots
from ccassist.values.uncertainty import Cause, doubt
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record

if TYPE_CHECKING:
    from ccassist.solve.algebra import Formula

AGREEMENT = 1e-9  # of the target: how closely the check by substitution must give it back
_FIGURE_AGREES = 1e-7  # the same of a figure worked out by a procedure


@record
class Root:
    """One value of each unknown with which the targets are met.

    numbers : unknown -> SI number; a float, or an uncertain number that keeps its correlation with all that is known.
    slopes : target -> change of it per unit of each of its inputs, SI, the unknowns among them.
    turns : the answers one after the other; empty where there is one unknown, or where they were found at once.
    """

    numbers: Mapping[str, Number]
    values: Mapping[str, float]  # every term of the engine so made, SI
    checks: Mapping[str, float]  # target -> what is got back by putting the answer into the model, SI
    slopes: Mapping[str, Mapping[str, float]]
    model: Model  # the relations that hold there
    formula: Formula | None = None  # the rearranged formula of one unknown, or None where no closed form is worked out
    turns: tuple[Answer, ...] = ()

    @property
    def number(self) -> Number:
        """Of the one unknown, SI."""
        return next(iter(self.numbers.values()))

    @property
    def nominal(self) -> float:
        """Its plain SI number."""
        return nominal(self.number)

    @property
    def check(self) -> float:
        """Of the one target, SI."""
        return next(iter(self.checks.values()))

    @property
    def plain(self) -> dict[str, float]:
        """Unknown -> plain SI number."""
        return {key: nominal(number) for key, number in self.numbers.items()}


@record
class Answer:
    """The unknowns that bring the targets to their values."""

    question: Problem  # what was asked, and the known numbers
    roots: tuple[Root, ...]  # every possible answer, the likeliest first
    dropped: tuple[str, ...]  # why other roots cannot be, in words
    route: str  # "algebra" or "numeric" (no closed form: found by bracketing); of several "in turn" or "at once"
    reach: TargetRange | None = None  # of one unknown, the range of the target over all its possible values
    usual: TargetRange | None = None  # the same over its plausible values; None where no engine can be there
    findings: tuple[Finding, ...] = ()  # what is unusual in the engine so made, and what was kept as it is
    upper: Answer | None = None  # what the term must be through which a figure was reached

    @property
    def best(self) -> Root:
        """The likeliest answer."""
        return self.roots[0]

    @property
    def number(self) -> Number:
        """The likeliest answer of the one unknown, SI, with its uncertainty."""
        return self.best.number

    @property
    def numbers(self) -> dict[str, tuple[Number, ...]]:
        """Unknown -> its answers, SI, the likeliest first."""
        return {key: tuple(root.numbers[key] for root in self.roots) for key in self.question.unknowns}

    def sensitivity(self, target: str) -> list[tuple[str, float]]:
        """(term key, change of a target per unit of it, SI) for every input but the unknowns."""
        return [(key, slope) for key, slope in self.best.slopes[target].items() if key not in self.question.unknowns]

    @property
    def moved(self) -> list[str]:
        """The other results that the unknowns move, by key."""
        unknowns = self.question.unknowns
        moved = [key for one in unknowns for key in dependents(self.best.model, one)]
        keys = moved if len(unknowns) == 1 else RESULTS
        return [key for key in keys if key in moved and key in RESULTS and key not in self.question.targets]


def solve(
    known: Mapping[str, Number],
    choices: Choices,
    *,
    unknowns: Sequence[str],
    targets: Mapping[str, Number],
    figures: Mapping[str, Relation] | None = None,
    algebra: bool = True,
    fmt: Formatter = METRIC,
) -> Answer:
    """The values of one or more terms that bring as many others to what is wanted.

    known : term key -> SI number of one cylinder, floats or uncertain numbers; the unknowns and the targets may be
        among them or not.
    choices : what the builder counts, and the seal of the crown fill.
    unknowns : term keys.
    targets : as many term keys -> SI value wanted; exact unless it is an uncertain number.
    figures : of targets that are worked out by a procedure, the node that does it; what it needs is the unknown itself,
        or one term of the engine.
    algebra : False to leave formulas out and go by bracketing (SymPy is not loaded).
    fmt : for the words of errors and findings.

    Raises InputError: the question is not sound (see :func:`~ccassist.solve.remarks.ask`). NotPossible : no possible
    engine meets the targets; the message says what can be reached.

    >>> (height,) = solve({"stroke": 0.08, "rod_length": 0.14, "block_deck_height": 0.212}, Choices(),
    ...     unknowns=("compression_height",), targets={"deck_clearance": 0.0}, algebra=False).roots
    >>> round(height.number, 6)
    0.032
    """
    question = ask(known, choices, unknowns=unknowns, targets=targets, figures=figures)
    return _Solver(algebra=algebra, fmt=fmt).solved(question)


def agrees(question: Problem, target: str, got: float) -> bool:
    """Whether a target got back by substitution, SI, is the one wanted.

    >>> wanted = {"swept_volume": 4e-4}
    >>> question = Problem(known={"stroke": 0.08}, choices=Choices(), unknowns=("bore",), targets=wanted)
    >>> agrees(question, "swept_volume", 4e-4), agrees(question, "swept_volume", 4.1e-4)
    (True, False)
    """
    wanted = nominal(question.targets[target])
    if target in question.figures:
        return abs(got - wanted) <= _FIGURE_AGREES * max(abs(wanted), 1.0)
    return abs(got - wanted) <= AGREEMENT * size_of(target, wanted)


Trial = tuple[float | None, "Formula | None"]


@record
class _Solver:
    """How it is gone about: by algebra where there is any, and what the words are shown by."""

    algebra: bool
    fmt: Formatter

    def solved(self, question: Problem) -> Answer:
        """The answer of a sound question."""
        through = next((one for one in question.figures.values() if not {*one.needs} & {*question.unknowns}), None)
        if through is not None and through.gives in question.targets:
            return self.through(question, through)
        return self.one(question) if len(question.unknowns) == 1 else self.several(question)

    def through(self, question: Problem, figure: Relation) -> Answer:
        """A figure by what it takes from the engine: first what that must be, then the unknowns from it."""
        (joint,) = figure.needs
        now = question.values(question.present) if len(question.present) == len(question.unknowns) else None
        upper = self.one(
            Problem(
                known={},
                choices=question.choices,
                unknowns=(joint,),
                targets={figure.gives: question.targets[figure.gives]},
                present={} if now is None else {joint: now[joint]},
                figures={figure.gives: figure},
            )
        )
        others = {key: value for key, value in question.targets.items() if key != figure.gives}
        known = {key: number for key, number in question.known.items() if key != joint}
        below = replace(question, known=known, targets={**others, joint: upper.number}, figures={})
        found = self.solved(below)
        roots = tuple(replace(one, checks={**one.checks, figure.gives: figure(one.values)}) for one in found.roots)
        return replace(found, roots=roots, upper=upper)

    def one(self, question: Problem) -> Answer:
        """One unknown from one target."""
        check_depends(question)
        scanned = scan(question)
        reach = scanned.reach()
        if reach is None:
            raise InputError(no_such_engine(question.unknown))
        if scanned.flat(AGREEMENT * size_of(question.target, reach.high)):
            raise InputError(no_influence(question, "what it gives in one place it takes in another"))
        check_values(question)
        route, trials = self.trials(question, scanned)
        found, dropped = self.sorted_out(question, trials)
        if not found:
            raise NotPossible(no_answer(question, dropped, scanned, self.fmt))
        best = found[0]
        return Answer(
            question=question,
            roots=tuple(found),
            dropped=dropped,
            route=route,
            reach=reach,
            usual=usual_reach(question, scanned),
            findings=tuple(
                remarks(
                    question,
                    best.model,
                    best.values,
                    self.fmt,
                    rough(question, best.number, best.check, best.slopes[question.target][question.unknown]),
                )
            ),
        )

    def trials(self, question: Problem, scanned: Scan) -> tuple[str, list[Trial]]:
        """Candidates for the unknown: from the algebra where every case has a closed form, else from the scan."""
        formulas = _formulas(question) if self.algebra and not question.figures else None
        if formulas is None:
            return "numeric", [(trial, None) for trial in roots(question, scanned)]
        trials: list[Trial] = []
        for formula, model in formulas:
            try:
                trials.append((formula.computed({**question.settled(model), question.target: question.value}), formula))
            except (ValueError, ZeroDivisionError, OverflowError):
                trials.append((None, formula))
        return "algebra", trials

    def sorted_out(self, question: Problem, trials: Iterable[Trial]) -> tuple[list[Root], tuple[str, ...]]:
        """Possible roots, the likeliest first, and why others cannot be; what fails the check is no root."""
        found: list[Root] = []
        dropped: dict[str, None] = {}
        for trial, formula in trials:
            root = None if trial is None else self.checked(question, {question.unknown: trial}, dropped)
            if root is not None and all(
                not math.isclose(root.nominal, one.nominal, rel_tol=AGREEMENT) for one in found
            ):
                found.append(replace(root, formula=formula))
            elif trial is None:
                dropped["no real number meets it"] = None
        ranked = sorted(found, key=lambda one: _unlikely(question, one))
        likely = [one for one in ranked if _unlikely(question, one)[0] <= _unlikely(question, ranked[0])[0]]
        for one in ranked[len(likely) :]:
            dropped[f"{self.fmt.show(question.unknown, one.nominal)}, which no usual engine has"] = None
        return likely, tuple(dropped)

    def several(self, question: Problem) -> Answer:
        """Several unknowns from as many targets."""
        alone = _hangs_alone(question)
        found, dropped = self.at_once(question) if alone is None else self.in_turn(question, *alone)
        if not found:
            raise NotPossible(no_answer(question, dropped, None, self.fmt))
        ranked = tuple(sorted(found, key=lambda one: _unlikely(question, one)))
        best = ranked[0]
        findings = [*remarks(question, best.model, best.values, self.fmt)]
        findings += [finding for turn in best.turns for finding in turn.findings]
        met = tuple(f"the {term(key).name} " for key in question.targets)
        return Answer(
            question=question,
            roots=ranked,
            dropped=tuple(dict.fromkeys(dropped)),
            route="at once" if alone is None else "in turn",
            findings=tuple(
                one for one in dict.fromkeys(findings) if one.code != "unusual" or not one.wrong.startswith(met)
            ),
        )

    def in_turn(self, question: Problem, unknown: str, target: str) -> tuple[list[Root], list[str]]:
        """The target that hangs on one unknown alone first; then the others, with each answer put in."""
        first = self.one(question.alone(unknown, target))
        found: list[Root] = []
        dropped: dict[str, None] = dict.fromkeys(first.dropped)
        for root in first.roots:
            try:
                rest = self.solved(_without(question, unknown, target, root.number))
            except NotPossible as reason:
                put_in = self.fmt.show(unknown, root.nominal)
                dropped[f"with the {term(unknown).name} {put_in} for the {term(target).name}, {reason}"] = None
                continue
            dropped |= dict.fromkeys(rest.dropped)
            for one in rest.roots:
                made = self.checked(question, {**root.plain, **one.plain}, dropped, {**root.numbers, **one.numbers})
                found += [] if made is None else [replace(made, turns=(first, *(one.turns or (rest,))))]
        return found, list(dropped)

    def at_once(self, question: Problem) -> tuple[list[Root], list[str]]:
        """All closed in on together."""
        dropped: dict[str, None] = {}
        made = (self.checked(question, place, dropped) for place in roots_together(question))
        return [one for one in made if one is not None], list(dropped)

    def checked(
        self, question: Problem, place: Place, dropped: dict[str, None], numbers: Mapping[str, Number] | None = None
    ) -> Root | None:
        """A root, once what is put in gives every target back and the engine can be; else the reason goes to dropped.

        ``numbers`` : the unknowns with their uncertainty where that is known already.
        """
        worked = question.worked(place)
        if worked is None:
            if len(place) == 1:
                dropped["no real number meets it"] = None
            return None
        model, values = worked
        if not all(agrees(question, target, values[target]) for target in question.targets):
            return None  # a root of relations that do not hold there
        bad = impossible(question, model, values)
        if bad:
            dropped[cannot_be(bad, values[bad], self.fmt)] = None
            return None
        slopes = question.slopes(place, model)
        numbers = numbers or _uncertain(question, place, model, slopes)
        if numbers is None:
            dropped["the two targets move alike there, so they do not tell the two unknowns apart"] = None
            return None
        checks = {key: values[key] for key in question.targets}
        return Root(numbers=numbers, values=values, checks=checks, slopes=slopes, model=model)


def _formulas(question: Problem) -> list[tuple[Formula, Model]] | None:
    from ccassist.solve.algebra import rearrange

    found: list[tuple[Formula, Model]] = []
    for model in question.models():
        ways = rearrange(model, question.unknown, question.target)
        if ways is None:
            return None
        found += [(way, model) for way in ways]
    return found


def _hangs_alone(question: Problem) -> tuple[str, str] | None:
    """An unknown and the first target that hangs on it alone; None where none does."""
    for target in question.targets:
        moving = [one for one in question.unknowns if question.moves(one, target)]
        if len(moving) == 1:
            return moving[0], target
    return None


def _without(question: Problem, unknown: str, target: str, number: Number) -> Problem:
    """The rest of a question with one unknown found."""
    return replace(
        question,
        known={**question.known, unknown: number},
        unknowns=tuple(key for key in question.unknowns if key != unknown),
        targets={key: value for key, value in question.targets.items() if key != target},
    )


def _uncertain(
    question: Problem, place: Place, model: Model, slopes: Mapping[str, Mapping[str, float]]
) -> dict[str, Number] | None:
    """The unknowns with the uncertainty that the known inputs and the targets bring; None where they are not fixed.

    Implicit differentiation: what the targets miss as uncertain numbers, over the slopes, so that every correlation is
    kept (JCGM 100:2008, 5.1.2).
    """
    misses = question.missed(place, model)
    unknowns = question.unknowns
    scales = spans(unknowns)
    steep = [[slopes[target].get(key, 0.0) * scales[key] for key in unknowns] for target in question.targets]
    found = uncertain_roots([place[key] / scales[key] for key in unknowns], misses, steep)
    if found is None and len(unknowns) > 1:
        return None
    if not any(map(is_uncertain, misses)):
        return dict(place)
    if found is None:
        nothing = doubt(math.nan, Cause("the target does not move here", question.unknown))
        return {question.unknown: place[question.unknown] + nothing}
    return {key: root * scales[key] for key, root in zip(unknowns, found, strict=True)}


def _unlikely(question: Problem, root: Root) -> tuple[int, float]:
    """How many unknowns leave what is usual, where they are in it now, then how far all are from now, or its middle."""
    outside, far = 0, 0.0
    for key, number in root.plain.items():
        low, high = term(key).plausible
        now = question.present.get(key, (low + high) / 2)
        outside += low <= now <= high and not low <= number <= high
        far += abs(number - now) / (high - low)
    return outside, far
