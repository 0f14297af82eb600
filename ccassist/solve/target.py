"""Solve for any one term from any target that depends on it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ccassist.engine.model import RESULTS, Choices, Model
from ccassist.solve.question import Question, ask, cancels_out, check_target, dependents, no_such_engine
from ccassist.solve.remarks import cannot_be, not_possible, rough, unusual
from ccassist.solve.scan import Reach, Scan, impossible, roots, scan, slopes
from ccassist.values.findings import Finding, InputError, NotPossible
from ccassist.values.number import Number, is_uncertain, nominal
from ccassist.values.numerics import uncertain_root
from ccassist.values.uncertainty import Cause, doubt
from ccassist.vocabulary import term

if TYPE_CHECKING:
    from ccassist.solve.algebra import Formula

AGREEMENT = 1e-9  # of the target: how closely the check by substitution must give it back
_NEAR_NOTHING = 1e-3  # of the usual span: a target below this is judged against it


@dataclass(frozen=True, kw_only=True)
class Root:
    """One value of the unknown that meets the target.

    Attributes
    ----------
    number : SI; a float, or an uncertain number that keeps its correlation with all that is known.
    values : every term of the engine so made, SI.
    check : the target got back by putting the answer into the model, SI.
    slopes : change of the target per unit of each of its inputs, SI, the unknown among them.
    formula : the rearranged formula, or None where no closed form is worked out.
    model : the relations that hold there.
    """

    number: Number
    values: Mapping[str, float]
    check: float
    slopes: Mapping[str, float]
    formula: Formula | None
    model: Model

    @property
    def nominal(self) -> float:
        """The plain SI number."""
        return nominal(self.number)


@dataclass(frozen=True, kw_only=True)
class Dropped:
    """A root that cannot be: its SI value (None where it is no real number) and the reason in words."""

    value: float | None
    reason: str


@dataclass(frozen=True, kw_only=True)
class Answer:
    """The unknown that brings the target to its value.

    Attributes
    ----------
    question : what was asked, and the known numbers.
    value : the target as set, SI.
    roots : every possible answer, the likeliest first.
    dropped : roots that cannot be, with the reason.
    route : "algebra" or "numeric" (no closed form: found by bracketing).
    reach : range of the target over all possible values of the unknown.
    usual : the same over its plausible values; None where no engine can be there.
    findings : what is unusual in the engine so made, and what was kept as it is.
    """

    question: Question
    value: Number
    roots: tuple[Root, ...]
    dropped: tuple[Dropped, ...]
    route: str
    reach: Reach
    usual: Reach | None
    findings: tuple[Finding, ...]

    @property
    def best(self) -> Root:
        """The likeliest answer."""
        return self.roots[0]

    @property
    def number(self) -> Number:
        """The likeliest answer, SI, with its uncertainty."""
        return self.best.number

    @property
    def sensitivity(self) -> list[tuple[str, float]]:
        """(term key, change of the target per unit of it, SI) for every input but the unknown."""
        return [(key, slope) for key, slope in self.best.slopes.items() if key != self.question.unknown]

    @property
    def moved(self) -> list[str]:
        """The other results that the unknown moves, by key."""
        moved = dependents(self.best.model, self.question.unknown)
        return [key for key in moved if key in RESULTS and key != self.question.target]


def solve_for(
    known: Mapping[str, Number],
    choices: Choices,
    *,
    unknown: str,
    target: str,
    value: Number,
    algebra: bool = True,
    system: str = "metric",
) -> Answer:
    """The value of one term that brings another to what is wanted.

    Parameters
    ----------
    known : term key -> SI number of one cylinder, floats or uncertain numbers;
        the unknown and the target may be among them or not.
    choices : what the builder counts, and the seal of the crown fill.
    unknown, target : term keys.
    value : the target wanted, SI; exact unless it is an uncertain number.
    algebra : False to leave the formula out and go by bracketing (SymPy is not loaded).
    system : "metric" or "imperial", for the words of errors and findings.

    Raises
    ------
    InputError : the question is not sound (see :func:`~ccassist.solve.question.ask`).
    NotPossible : no possible engine meets the target; the message says what can be reached.
    """
    question = ask(known, choices, unknown=unknown, target=target)
    check_target(target, nominal(value))
    scanned = scan(question)
    reach = scanned.reach()
    if reach is None:
        raise InputError(no_such_engine(unknown))
    if scanned.flat(_tolerance(target, reach.high)):
        raise InputError(cancels_out(question))
    route, trials = _trials(question, nominal(value), scanned, algebra)
    found, dropped = _sorted_out(question, value, trials, system)
    if not found:
        reasons = [drop.reason for drop in dropped]
        raise NotPossible(not_possible(question, nominal(value), reasons, scanned, system))
    return Answer(
        question=question,
        value=value,
        roots=found,
        dropped=dropped,
        route=route,
        reach=reach,
        usual=scanned.reach(term(unknown).plausible),
        findings=_remarks(question, found[0], system),
    )


def _remarks(question: Question, root: Root, system: str) -> tuple[Finding, ...]:
    """What the likeliest answer makes unusual, what is rough about it, and what was kept as it is."""
    return (
        *unusual(question, root.model, root.values, system),
        *rough(question, root.number, root.check, root.slopes[question.unknown]),
        *question.remarks(root.model),
    )


def agrees(target: str, got: float, wanted: float) -> bool:
    """Whether a target got back by substitution is the one wanted, both SI."""
    return abs(got - wanted) <= _tolerance(target, wanted)


def _tolerance(target: str, value: float) -> float:
    low, high = term(target).plausible
    return AGREEMENT * max(abs(value), _NEAR_NOTHING * (high - low))


Trial = tuple[float | None, "Formula | None"]


def _trials(question: Question, value: float, scanned: Scan, algebra: bool) -> tuple[str, list[Trial]]:
    """Candidates for the unknown: from the algebra where every case has a closed form, else from the scan."""
    formulas = _formulas(question) if algebra else None
    if formulas is None:
        return "numeric", [(trial, None) for trial in roots(question, value, scanned)]
    trials: list[Trial] = []
    for formula, model in formulas:
        try:
            trials.append((formula.computed({**question.settled(model), question.target: value}), formula))
        except (ValueError, ZeroDivisionError, OverflowError):
            trials.append((None, formula))
    return "algebra", trials


def _formulas(question: Question) -> list[tuple[Formula, Model]] | None:
    from ccassist.solve.algebra import rearrange

    found: list[tuple[Formula, Model]] = []
    for model in question.models():
        ways = rearrange(model, question.unknown, question.target)
        if ways is None:
            return None
        found += [(way, model) for way in ways]
    return found


def _sorted_out(
    question: Question, value: Number, trials: Iterable[Trial], system: str
) -> tuple[tuple[Root, ...], tuple[Dropped, ...]]:
    """Possible roots, the likeliest first, and impossible ones with the reason; what fails the check is no root."""
    found: list[Root] = []
    dropped: dict[Dropped, None] = {}
    for trial, formula in trials:
        model = None if trial is None else question.model(trial)
        values = None if trial is None else question.values(trial, model)
        if trial is None or model is None or values is None:
            dropped.setdefault(Dropped(value=trial, reason="no real number meets it"))
        elif not agrees(question.target, values[question.target], nominal(value)):
            continue  # a root of relations that do not hold there
        elif bad := impossible(question, model, values):
            dropped.setdefault(Dropped(value=trial, reason=cannot_be(bad, values[bad], system)))
        elif all(not math.isclose(trial, root.nominal, rel_tol=AGREEMENT) for root in found):
            found.append(_root(question, value, trial, model, values, formula))
    return tuple(sorted(found, key=lambda root: _unlikely(question, root.nominal))), tuple(dropped)


def _root(
    question: Question, value: Number, trial: float, model: Model, values: Mapping[str, float], formula: Formula | None
) -> Root:
    leaning = slopes(model, {**question.plain, question.unknown: trial}, question.target)
    return Root(
        number=_with_doubt(question, value, trial, model, leaning[question.unknown]),
        values=values,
        check=values[question.target],
        slopes=leaning,
        formula=formula,
        model=model,
    )


def _with_doubt(question: Question, value: Number, trial: float, model: Model, slope: float) -> Number:
    """The root with the doubt that the known inputs and the target bring (implicit differentiation).

    The target's own uncertain number at the root, over the slope: the same
    variables, so that correlations are kept, for closed and numeric roots alike.
    """
    miss = question.uncertain_at(trial, model) - value
    if slope == 0 and is_uncertain(miss):
        return trial + doubt(math.nan, Cause(name="the target does not move here", key=question.unknown))
    return uncertain_root(trial, miss, slope)


def _unlikely(question: Question, trial: float) -> tuple[bool, float]:
    low, high = term(question.unknown).plausible
    near = (low + high) / 2 if question.present is None else question.present
    return not low <= trial <= high, abs(trial - near)
