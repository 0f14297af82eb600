"""What one thing must be for a boosted engine to meet a target; and why it cannot be, in words.

The unknown may be of the geometry (static ratio, intake closing), of the
charge (boost, charge temperature, cooler, altitude) or of the burn (octane,
burn phasing).  Every root in its possible range is looked for on plain
numbers; the doubt of all that is known comes in through the slope there
(JCGM 100:2008, 5.1.2), so that correlations are kept.  All figures are
planning figures.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import isfinite
from typing import Any

from ccassist.boost.cautions import refusals, unsound
from ccassist.boost.equivalents import CRITERIA
from ccassist.boost.figures import FIGURES, OCTANE, Stand, draws_doubt, figure, lack, lack_plain, measured_difference
from ccassist.boost.numbers import is_uncertain, plain, roots
from ccassist.solve.scan import Reach
from ccassist.values.findings import Finding, InputError, NotPossible, error, note, warning
from ccassist.vocabulary import Kind, term

TARGETS = FIGURES
UNKNOWNS = (
    "static_ratio",
    "intake_closing",
    "boost_gauge",
    "manifold_pressure",
    "charge_temperature",
    "cooler_effectiveness",
    "altitude",
    "octane_number",
    "burn_phasing",
)
_SPANS: Mapping[str, tuple[float, float]] = {"static_ratio": (3.0, 40.0), "manifold_pressure": (0.5e5, 7e5)}
_USUAL, _OUTSIDE = 12, 8  # samples over the usual range, and over the possible one
_AGREES = 1e-7  # of the target: how closely it must be given back
_NUDGE = 1e-4  # of the usual span, for the slope


@dataclass(frozen=True, kw_only=True)
class BoostAnswer:
    """What the unknown must be.

    Attributes
    ----------
    unknown, target, value : what was asked, SI.
    numbers : every answer, the nearest to what it is now first; uncertain numbers linked to all inputs.
    checks : the target got back by working each answer through the whole chain again, SI.
    made : the engine with the first answer.
    reach : what the target can be; None for an octane number, which answers for any.
    figures : the other figures of that engine, SI; no octane difference, which only goes with its interval.
    findings : what to mind.
    """

    unknown: str
    target: str
    value: float
    numbers: tuple[Any, ...]
    checks: tuple[float, ...]
    made: Stand
    reach: Reach | None = None
    figures: Mapping[str, Any] = field(default_factory=dict)
    findings: tuple[Finding, ...] = ()

    @property
    def number(self) -> Any:
        """The first answer, SI."""
        return self.numbers[0]


@dataclass(frozen=True, kw_only=True)
class _Question:
    stand: Stand
    unknown: str
    target: str
    value: Any
    baseline: Stand | None
    system: str

    def at(self, trial: float) -> Stand:
        return self.stand.but(**{self.unknown: trial})

    def lack(self, trial: float) -> float:
        return lack_plain(self.target, self.at(trial), float(plain(self.value)), self.baseline)

    def figure(self, trial: float) -> float:
        return float(plain(figure(self.target, self.at(trial).plain(), self.baseline)))

    def slope(self, trial: float) -> float:
        """Of the lack, per unit of the unknown."""
        low, high = term(self.unknown).plausible
        step = _NUDGE * (high - low)
        return (self.lack(trial + step) - self.lack(trial - step)) / (2 * step)

    def sound(self, trial: float) -> bool:
        """Whether an engine can be so."""
        try:
            made = self.at(trial).plain()
            if self.target == OCTANE:
                return not unsound(made.case)
            return isfinite(plain(made.compressed.end.pressure)) and plain(made.geometry.trapped_ratio) > 1
        except (ValueError, ZeroDivisionError, OverflowError, NotPossible):
            return False


def solve_boost(
    stand: Stand, *, unknown: str, target: str, value: Any, baseline: Stand | None = None, system: str = "metric"
) -> BoostAnswer:
    """The value of one unknown that brings a figure to what is wanted.

    Parameters
    ----------
    stand : the engine as it is; its own value of the unknown is set aside.
    unknown, target : one of UNKNOWNS, one of TARGETS.
    value : of the target, SI; 0 for an octane difference means as hard on the fuel as the baseline.
    baseline : an engine known to run clean; only the octane difference needs it.
    system : units of the words.

    Raises
    ------
    InputError : the question is not sound, or a comparison of knock is refused.
    NotPossible : no possible value meets it; the message says what can be reached.
    """
    asked = _Question(stand=stand, unknown=unknown, target=target, value=value, baseline=baseline, system=system)
    _check(asked)
    if unknown == "octane_number":
        return _octane(asked)
    samples = [trial for trial in _samples(unknown, plain(stand.now(unknown))) if asked.sound(trial)]
    seen = [(trial, asked.lack(trial)) for trial in samples]
    if len(seen) < 2 or _flat(asked, seen):
        raise InputError(_no_influence(asked))
    found = roots(asked.lack, seen)
    reach = _reach(asked, seen)
    if not found:
        raise NotPossible(_never(asked, reach))
    return _answered(asked, sorted(found, key=lambda root: _far(asked, root)), reach)


def _check(asked: _Question) -> None:
    """Raises InputError where it cannot be asked."""
    if asked.unknown not in UNKNOWNS or asked.target not in TARGETS or asked.unknown == asked.target:
        wrong = f"the {term(asked.unknown).name} cannot be found from the {term(asked.target).name}"
        raise InputError(error("boost-question", wrong, right=f"unknowns: {', '.join(UNKNOWNS)}"))
    if asked.target != OCTANE:
        return
    if asked.stand.habit is None or (asked.baseline is not None and asked.baseline.habit is None):
        wrong = "a comparison of knock needs engine speed, burn phasing and octane number"
        raise InputError(error("knock-lacks", wrong, right="state them in [charge]"))
    refused = refusals(None if asked.baseline is None else asked.baseline.case, asked.stand.case)
    if refused:
        raise InputError(refused)


def _samples(unknown: str, now: Any) -> list[float]:
    """Values to look at: over the usual range, over the possible one, and what it is now."""
    low, high = _SPANS.get(unknown, term(unknown).possible)
    first, last = term(unknown).plausible
    even = [first + (last - first) * part / _USUAL for part in range(_USUAL + 1)]
    wide = [low + (high - low) * part / _OUTSIDE for part in range(_OUTSIDE + 1)]
    return sorted({one for one in (*even, *wide, *([] if now is None else [now])) if low <= one <= high})


def _flat(asked: _Question, seen: list[tuple[float, float]]) -> bool:
    lacks = [missing for _, missing in seen]
    return max(lacks) - min(lacks) <= 1e-9 * max(1.0, *map(abs, lacks))


def _reach(asked: _Question, seen: list[tuple[float, float]]) -> Reach:
    """By the samples of least and most lack; an equivalent's lack runs with it while geometry stays as it is."""
    ends = seen if asked.unknown == "intake_closing" and asked.target in CRITERIA else _extremes(seen)
    known = []
    for trial, _ in ends:
        try:
            known.append((asked.figure(trial), trial))
        except NotPossible:
            continue
    (low, low_at), (high, high_at) = min(known), max(known)
    return Reach(low=low, high=high, low_at=low_at, high_at=high_at)


def _extremes(seen: list[tuple[float, float]]) -> list[tuple[float, float]]:
    rising = sorted(seen, key=lambda one: one[1])
    return [*rising[:2], *rising[-2:]]


def _far(asked: _Question, root: float) -> tuple[bool, float]:
    """Unlikeliness: outside the usual range, then how far from what it is now."""
    low, high = term(asked.unknown).plausible
    now = plain(asked.stand.now(asked.unknown))
    return not low <= root <= high, abs(root - ((low + high) / 2 if now is None else now))


def _answered(asked: _Question, found: list[float], reach: Reach) -> BoostAnswer:
    checks = tuple(asked.figure(root) for root in found)
    size = max(abs(float(plain(asked.value))), 1.0 if asked.target == OCTANE else 1e-3)
    good = [k for k, check in enumerate(checks) if abs(check - plain(asked.value)) <= _AGREES * size]
    if not good:
        raise NotPossible(_never(asked, reach))
    made = asked.at(found[good[0]])
    doubted = [_with_doubt(asked, found[k]) for k in good]
    return BoostAnswer(
        unknown=asked.unknown,
        target=asked.target,
        value=float(plain(asked.value)),
        numbers=tuple(number for number, _ in doubted),
        checks=tuple(checks[k] for k in good),
        made=made,
        reach=reach,
        figures=_others(asked, made),
        findings=(*doubted[0][1], *_cooler(asked, found[good[0]])),
    )


def _with_doubt(asked: _Question, root: float) -> tuple[Any, tuple[Finding, ...]]:
    """The root with the doubt of the known and of the target, through the slope; and what to mind of a comparison."""
    slope = asked.slope(root)
    if asked.target == OCTANE:
        assert asked.baseline is not None  # checked
        here = asked.at(root)
        carried = measured_difference(here, asked.baseline, but=asked.unknown)
        drawn, findings = draws_doubt(here.case, asked.baseline.case, asked.unknown, 1 / slope)
        return root - (carried - plain(carried)) / slope + drawn, findings
    missing = lack(asked.target, asked.at(root), asked.value, asked.baseline)
    return (root - (missing - missing.nominal_value) / slope if is_uncertain(missing) else root), ()


def _cooler(asked: _Question, temperature: float) -> tuple[Finding, ...]:
    """What the cooler would have to do for a charge temperature."""
    hot = asked.stand.compressed.charge.compressor_temperature
    if asked.unknown != "charge_temperature" or hot is None:
        return ()
    coolant = plain(asked.stand.conditions["coolant_temperature"])
    share = (plain(hot) - temperature) / (plain(hot) - coolant)
    if 0 <= share < 1:
        return (note("cooler", f"a cooler of effectiveness {share:.2f} brings the charge there"),)
    wrong = "no cooler brings the charge there: it would be colder than its coolant, or hotter than without one"
    return (warning("cooler", wrong, right="change something else as well"),)


def _octane(asked: _Question) -> BoostAnswer:
    """The fuel that makes up for the difference: the baseline's octane and the difference, exactly by the delay."""
    if asked.target != OCTANE or asked.baseline is None or asked.baseline.habit is None:
        raise InputError(_no_influence(asked))
    carried = measured_difference(asked.stand, asked.baseline, but="")
    drawn, findings = draws_doubt(asked.stand.case, asked.baseline.case, asked.unknown, 1.0)
    wanted = asked.baseline.habit.octane + carried - asked.value + drawn
    return BoostAnswer(
        unknown=asked.unknown,
        target=asked.target,
        value=float(plain(asked.value)),
        numbers=(wanted,),
        checks=(float(plain(carried)) - (float(plain(wanted)) - asked.baseline.habit.octane),),
        made=asked.stand,
        figures=_others(asked, asked.stand),
        findings=findings,
    )


def _others(asked: _Question, made: Stand) -> dict[str, Any]:
    """The other figures of the engine so made."""
    found: dict[str, Any] = {}
    for key in TARGETS:
        if key in (asked.target, asked.unknown, OCTANE):
            continue
        try:
            found[key] = figure(key, made)
        except NotPossible:
            continue
    return found


def _no_influence(asked: _Question) -> Finding:
    wrong = f"the {term(asked.target).name} does not depend on the {term(asked.unknown).name} here"
    stated = "charge_temperature" in asked.stand.conditions.values and term(asked.unknown).kind is not Kind.ANGLE
    right = "the charge temperature is stated as such: leave it out to have it worked out" if stated else ""
    return error("no-influence", wrong, right=right)


def _never(asked: _Question, reach: Reach) -> str:
    """That nothing possible does it, and what can be reached."""
    from ccassist.values.display import show

    def said(key: str, number: float) -> str:
        return show(key, number, system=asked.system)

    unknown, target = asked.unknown, asked.target
    return (
        f"no {term(unknown).name} brings the {term(target).name} to {said(target, float(plain(asked.value)))}; within "
        f"what can be it goes from {said(target, reach.low)} ({term(unknown).name} {said(unknown, reach.low_at)}) to "
        f"{said(target, reach.high)} ({term(unknown).name} {said(unknown, reach.high_at)})"
    )


__all__ = ["TARGETS", "UNKNOWNS", "BoostAnswer", "solve_boost"]
