"""Boosted figures as nodes of the one solver's graph, and what one thing must be for them.

The unknown may be of the geometry (static ratio, intake closing), of the
charge (boost, charge temperature, cooler, altitude) or of the burn (octane,
burn phasing); or parts, which move a boosted figure through the static ratio
alone.  All figures are planning figures.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import replace
from functools import cached_property
from math import isfinite

from ccassist.boost.cautions import refusals, unsound
from ccassist.boost.figures import FIGURES, OCTANE, Stand, draws_doubt, figure, measured_difference
from ccassist.boost.knock_compare import minded, octane_difference
from ccassist.engine.mathematics import FLOATS, Mathematics, Relation
from ccassist.engine.model import Choices
from ccassist.solve.scan import TargetRange
from ccassist.solve.solver import Answer, solve
from ccassist.values.display import METRIC, Formatter, fixed
from ccassist.values.findings import Finding, InputError, NotPossible, error, note, warning
from ccassist.values.number import Number, nominal
from ccassist.vocabulary import Kind, term
from ccassist.vocabulary.record import record

RATIO = "static_ratio"
TARGETS = FIGURES
UNKNOWNS = (
    RATIO,
    "intake_closing",
    "boost_gauge",
    "manifold_pressure",
    "charge_temperature",
    "cooler_effectiveness",
    "altitude",
    "octane_number",
    "burn_phasing",
)


@record
class BoostAnswer:
    """What the unknown must be.

    unknown, target, value : what was asked, SI.
    numbers : every answer, the nearest to what it is now first; uncertain numbers linked to all inputs.
    """

    unknown: str
    target: str
    value: float
    numbers: tuple[Number, ...]
    checks: tuple[float, ...]  # the target got back by working each answer through the whole chain again, SI
    made: Stand  # the engine with the first answer
    reach: TargetRange | None = None  # what the target can be; None for an octane number, which answers for any
    findings: tuple[Finding, ...] = ()  # what to mind

    @cached_property
    def figures(self) -> dict[str, Number]:
        """The other figures of that engine, SI; no octane difference, which only goes with its interval.

        Source: as :func:`solve_boost`.
        """
        found: dict[str, Number] = {}
        for key in TARGETS:
            if key not in (self.unknown, self.target, OCTANE):
                with suppress(NotPossible):
                    found[key] = figure(key, self.made)
        return found

    @property
    def number(self) -> Number:
        """The first answer, SI.

        Source: as :func:`solve_boost`.
        """
        return self.numbers[0]


def solve_boost(
    stand: Stand, *, unknown: str, target: str, value: Number, baseline: Stand | None = None, fmt: Formatter = METRIC
) -> BoostAnswer:
    """The value of one unknown that brings a figure to what is wanted.

    stand : the engine as it is; its own value of the unknown is set aside.
    unknown, target : one of UNKNOWNS, one of TARGETS.
    value : of the target, SI; 0 for an octane difference means as hard on the fuel as the baseline.
    baseline : an engine known to run clean; only the octane difference needs it.
    fmt : of the words.

    Raises InputError: the question is not sound, or a comparison of knock is refused; NotPossible: no possible value
    meets it; the message says what can be reached.

    Source: that of each figure.

    >>> from ccassist.boost.example_engine import STAND
    >>> round(solve_boost(STAND, unknown='static_ratio', target='end_pressure', value=25e5).number, 2)
    9.43
    """
    _check(stand, unknown, target, baseline)
    now = stand.now(unknown)
    known, figures = {} if now is None else {unknown: now}, {target: node(stand, unknown, target, baseline)}
    try:
        answer = solve(
            known, Choices(), unknowns=(unknown,), targets={target: value}, figures=figures, algebra=False, fmt=fmt
        )
    except InputError as fault:
        right = _way_out(stand, unknown)
        raise InputError([replace(f, right=right) if f.code == "no-influence" else f for f in fault.findings]) from None
    return _told(answer, stand, baseline)


def solve_parts(
    stand: Stand,
    known: Mapping[str, Number],
    choices: Choices,
    *,
    unknowns: Sequence[str],
    target: str,
    targets: Mapping[str, Number],
    baseline: Stand | None = None,
    algebra: bool = True,
    fmt: Formatter = METRIC,
) -> tuple[BoostAnswer, Answer]:
    """The static ratio that brings a figure to what is wanted, and the parts that make that ratio.

    stand, baseline, fmt : as in :func:`solve_boost`.
    known, choices : of the cylinder, term key -> SI number.
    unknowns : parts, by term key.
    target : the boosted one of the targets.
    targets : term key -> SI value, as many as unknowns; the others are of the engine's own relations, such as squish.
    algebra : False to leave formulas out.

    Raises InputError, NotPossible: as :func:`solve_boost`.

    Source: as :func:`solve_boost`.

    >>> from ccassist.boost.example_engine import ENGINE
    >>> ratio, parts = solve_parts(ENGINE.stand, ENGINE.known, ENGINE.choices, unknowns=("crown_volume",),
    ...     target="end_pressure", targets={"end_pressure": 25e5}, algebra=False)
    >>> round(ratio.number, 2), round(parts.number * 1e6, 1)
    (9.43, 7.5)
    """
    _check(stand, RATIO, target, baseline)
    figures = {target: node(stand, RATIO, target, baseline)}
    answer = solve(known, choices, unknowns=unknowns, targets=targets, figures=figures, algebra=algebra, fmt=fmt)
    assert answer.upper is not None  # the figure was reached through the ratio
    return _told(answer.upper, stand, baseline), answer


def node(stand: Stand, unknown: str, target: str, baseline: Stand | None) -> Relation:
    """A boosted figure by one number of the engine, as a node that can be put beside the engine's own relations.

    ``unknown``, ``target`` : term keys; the node takes the one and gives the other, SI.  On plain numbers it raises
    :class:`~ccassist.values.findings.NotPossible` where there is no such engine; else what it gives is linked to
    everything uncertain in the engine and the baseline.

    >>> from ccassist.boost.example_engine import STAND
    >>> round(node(STAND, 'static_ratio', 'trapped_ratio', None)({'static_ratio': 9.0}), 3)
    7.693
    """

    sure = stand.plain()

    def worked_out(number: Number, *, m: Mathematics = FLOATS) -> Number:
        if target == OCTANE and baseline is not None:
            own = stand if m is not FLOATS else sure
            return _octane(own, own.but(**{unknown: number}), baseline, unknown, number, m)
        if m is not FLOATS:
            linked: Number = figure(target, stand.but(**{unknown: number}), baseline)
            return linked
        made = sure.but(**{unknown: number}).plain()  # what is assumed anew is in doubt
        if not (isfinite(nominal(made.compressed.end.pressure)) and nominal(made.geometry.trapped_ratio) > 1):
            raise NotPossible("nothing is compressed")
        return nominal(figure(target, made, baseline))

    return Relation(name=f"boosted {target}", gives=target, needs=(unknown,), function=worked_out)


def _octane(stand: Stand, made: Stand, baseline: Stand, unknown: str, number: Number, m: Mathematics) -> Number:
    """The octane difference of an engine so made; what a better fuel gives is taken off, exactly by the delay."""
    better: Number = 0.0
    if unknown == "octane_number":
        made, better = stand, number - baseline.case.operating.octane
    if m is not FLOATS:
        drawn = draws_doubt(made.case, baseline.case, unknown)
        linked: Number = measured_difference(made, baseline, but=unknown) + drawn - better
        return linked
    wrong = unsound(made.case)
    if wrong:
        raise NotPossible(wrong)
    return octane_difference(baseline.case, made.case) - better


def _check(stand: Stand, unknown: str, target: str, baseline: Stand | None) -> None:
    """Raises InputError where it cannot be asked."""
    if unknown not in UNKNOWNS or target not in TARGETS or unknown == target:
        wrong = f"the {term(unknown).name} cannot be found from the {term(target).name}"
        raise InputError(error("boost-question", wrong, right=f"unknowns: {', '.join(UNKNOWNS)}"))
    if target != OCTANE:
        return
    refused = refusals(None if baseline is None else baseline.case, stand.case)
    if refused:
        raise InputError(refused)


def _told(answer: Answer, stand: Stand, baseline: Stand | None) -> BoostAnswer:
    """The answer with the engine so made, its other figures and what to mind."""
    unknown, target = answer.question.unknown, answer.question.target
    fuel = unknown == "octane_number"
    made = stand if fuel else stand.but(**{unknown: answer.best.nominal})
    findings = minded(baseline.case, made.case) if target == OCTANE and baseline is not None else ()
    return BoostAnswer(
        unknown=unknown,
        target=target,
        value=answer.question.value,
        numbers=answer.numbers[unknown],
        checks=tuple(root.check for root in answer.roots),
        made=made,
        reach=None if fuel else answer.reach,
        findings=(*findings, *_cooler(stand, unknown, answer.best.nominal)),
    )


def _cooler(stand: Stand, unknown: str, temperature: float) -> tuple[Finding, ...]:
    """What the cooler would have to do for a charge temperature."""
    hot = stand.compressed.charge.compressor_temperature
    if unknown != "charge_temperature" or hot is None:
        return ()
    coolant = nominal(stand.conditions["coolant_temperature"])
    share = (nominal(hot) - temperature) / (nominal(hot) - coolant)
    if 0 <= share < 1:
        return (note("cooler", f"a cooler of effectiveness {fixed(share, 2)} brings the charge there"),)
    wrong = "no cooler brings the charge there: it would be colder than its coolant, or hotter than without one"
    return (warning("cooler", wrong, right="change something else as well"),)


def _way_out(stand: Stand, unknown: str) -> str:
    """What to do where an unknown moves nothing."""
    stated = "charge_temperature" in stand.conditions.values and term(unknown).kind is not Kind.ANGLE
    return "the charge temperature is stated as such: leave it out to have it worked out" if stated else ""
