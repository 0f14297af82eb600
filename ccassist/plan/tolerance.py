"""What band to expect in every cylinder, and what to ask of the maker for a band that is wanted."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import replace

from ccassist.analysis.results import Survey
from ccassist.plan.expected import Expected, HeldCylinder, Span, expect, held_to, reach, stand, worst_case
from ccassist.plan.solved import check_cylinder
from ccassist.solve.request import Pair, check_once, read_pair
from ccassist.values.asking import named
from ccassist.values.display import METRIC, Formatter, formatter
from ccassist.values.findings import InputError, error, listed, placed
from ccassist.values.number import Number, nominal
from ccassist.values.quantity import UNSAID, read_amount
from ccassist.values.statement import width_text
from ccassist.values.uncertainty import effects_of, limit_of
from ccassist.values.verdict import Band, parse_band
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import conversion

# What would do it where a range cannot be kept: which measurement, or which tolerance, closer by how much.

# The closest that a maker of pistons usually holds, half-widths, SI (common practice, no source).
CLOSEST = {"compression_height": 0.02e-3, "crown_volume": 0.1e-6}
_WAYS = 2  # that are told of those that would do by themselves
_LEAST = 0.1  # of a ±: nobody makes one ten times closer by trying harder


def would_do(number: Number, known: Mapping[str, Number], over: float, fmt: Formatter, held: Sequence[str] = ()) -> str:
    """What closer measuring, or holding, brings a number back by ``over`` at its worst, in words.

    number : what a range is wanted of, SI.
    known : the terms that it is worked out from, SI.
    over : by how much less it must move, SI.
    held : terms that a maker holds; the others are measured.
    """
    parts = parts_by_term(number, known)
    alone = [key for key, size in parts.items() if over <= (1 - _LEAST) * size]
    ways = [_closer(key, known, over / parts[key], fmt, held) for key in alone[:_WAYS]]
    if ways:
        return f"what would do it: {', or '.join(ways)}"
    for count in range(2, len(parts) + 1):
        several = list(parts)[:count]
        share = over / math.fsum(parts[key] for key in several)
        if share <= 1 - _LEAST:
            return f"what would do it: {listed([_closer(key, known, share, fmt, held) for key in several])}, together"
    return "no closer measuring does it alone"


def parts_by_term(number: Number, known: Mapping[str, Number]) -> dict[str, float]:
    """How far the ± of each term moves a number at its worst, SI, the largest first."""
    whose = {variable: key for key, one in known.items() for variable in effects_of(one)}
    sizes: dict[str, float] = {}
    for variable, slope in effects_of(number).items():
        key = whose.get(variable, "")
        sizes[key] = sizes.get(key, 0.0) + abs(slope) * limit_of(variable)
    sizes.pop("", None)
    return dict(sorted(sizes.items(), key=lambda one: -one[1]))


def _closer(key: str, known: Mapping[str, Number], share: float, fmt: Formatter, held: Sequence[str]) -> str:
    """One term with the ± that it would need, rounded down, and the one that it has."""
    span, unit = reach(known[key]), fmt.unit(key)
    now = (span.high - span.low) / 2
    scale = conversion(unit).scale
    digits = 1 - math.floor(math.log10((1 - share) * now / scale))
    needed = math.floor((1 - share) * now / scale * 10.0**digits + 1e-9) / 10.0**digits * scale
    how = "held" if key in held else "known"
    return f"the {term(key).name} {how} to ± {width_text(needed, unit)} instead of ± {width_text(now, unit)}"


# Which tolerance must be asked of each held term, so that a target never leaves a wanted band.

_TRIES = 40
_ROUNDING = 1e-9  # of the room: what rounding may make of a corner that lies just on the band's end


@record
class MakerLimits:
    """What must be asked of the maker for one cylinder.

    alone : term -> half-width with which the band is kept at its worst where that term alone is in doubt besides, SI.
    """

    room: float  # from the nominal to the nearer end of the band, SI
    measured: float  # how far all else that is in doubt moves it at its worst, toward that end, SI
    alone: Mapping[str, float]
    shared: Mapping[str, float]  # term -> half-width where all held terms take equal parts of what is left, SI
    reason: str = ""  # why nothing can be asked, in words; "" where something can


def asked_of_the_maker(
    stood: HeldCylinder, band: Band, *, stated: Mapping[str, float] | None = None, fmt: Formatter = METRIC
) -> MakerLimits:
    """The limits to ask of each held term for a band of the target: with every limit reached at once it is kept.

    stood : the cylinder with the terms to be held put in; how close they are held now does not matter.
    band : what is wanted of the target, SI.
    stated : held term -> half-width that it has already, SI; what it takes of the band the others do not get.
    system : "metric" or "imperial", for the words.
    """
    fast = dict(stated or {})
    bare = held_to(stood, {**dict.fromkeys(stood.limits, 0.0), **fast})
    value, span = nominal(bare.number), worst_case(bare)
    room, left = min(value - band.low, band.high - value), _left(span, band)
    reason = _refusal(bare, value, room, left, fmt)
    if reason:
        return MakerLimits(room=room, measured=room - left, alone={}, shared={}, reason=reason)
    slopes = {
        key: abs(float(effects_of(bare.number).get(effect, 0.0)))
        for key, effect in bare.limits.items()
        if key not in fast
    }
    limits = {key: left / slope if slope > 0 else math.inf for key, slope in slopes.items()}
    shares = {key: limit / len(limits) for key, limit in limits.items()}
    alone = {key: _kept(bare, {key: limit}, fast, band)[key] for key, limit in limits.items()}
    return MakerLimits(room=room, measured=room - left, alone=alone, shared=_kept(bare, shares, fast, band))


def _left(span: Span, band: Band) -> float:
    """What a span leaves of a band at its narrower side, SI; NaN where the span is not known."""
    return math.nan if math.isnan(span.low) else min(span.low - band.low, band.high - span.high)


def _kept(stood: HeldCylinder, limits: Mapping[str, float], fast: Mapping[str, float], band: Band) -> dict[str, float]:
    """Limits found in a straight line, drawn in until every corner of them and of the fast ones lies in the band."""
    finite = {key: limit for key, limit in limits.items() if math.isfinite(limit)}
    room = min(nominal(stood.number) - band.low, band.high - nominal(stood.number))
    factor = 1.0
    for _ in range(_TRIES):
        drawn_in = {key: factor * size for key, size in finite.items()}
        left = _left(worst_case(stood, {**fast, **drawn_in}), band)
        if left >= -_ROUNDING * room or not finite:
            break
        factor *= 0.5 if math.isnan(left) else max(0.5, 1 + 2 * left / room)
    return {**limits, **{key: factor * size for key, size in finite.items()}}


def _refusal(bare: HeldCylinder, value: float, room: float, left: float, fmt: Formatter) -> str:
    """Why nothing can be asked; what takes the room is named by its largest part."""
    target = bare.target
    name, shown = term(target).name, fmt.show(target, value, None)
    if room <= 0:
        return f"the {name} stands at {shown}, outside the band: solve for a term that brings it to the middle first"
    if math.isnan(left):
        return f"the measurement's own ± of the {name} is not known yet: take repeat readings first"
    if left > _ROUNDING * room:
        return ""
    eaten, end = (fmt.show(target, size, None, words=False, decimals=3) for size in (room - left, room))
    slopes = {key: abs(float(effects_of(bare.number).get(effect, 0.0))) for key, effect in bare.limits.items()}
    over = math.fsum(CLOSEST.get(key, 0.0) * slope for key, slope in slopes.items()) - left
    wider = fmt.show(target, over, None, words=False, decimals=3)
    return (
        f"what is in doubt already takes the band: at its worst it moves the {name} by {eaten}, and from {shown} there "
        f"is only {end} to the nearer end; {would_do(bare.number, bare.known, over, fmt, tuple(bare.limits))}, "
        f"or a band wider by {wider} at that end"
    )


# What is asked of a tolerance: the target, what is held and how close, and the band wanted.


@record
class ToleranceAsked:
    """The target, the held terms with their limits (SI; None where only asked about), and the band wanted."""

    target: str
    holds: Mapping[str, float | None]
    band: Band | None = None
    by_job: bool = False  # whether the band is what the job wants, and was not asked about by itself

    @property
    def stated(self) -> dict[str, float]:
        """The limits that are stated while others are asked about, SI: those are used, and not asked for anew."""
        if all(limit is not None for limit in self.holds.values()):
            return {}
        return {key: limit for key, limit in self.holds.items() if limit is not None}


def wished(of: str, holds: Sequence[str], band: str | None, fmt: Formatter) -> ToleranceAsked:
    """The wish in texts: the target, each held term with its limit or, where it is only asked about, alone; the band.

    Raises InputError: a term is not known, a limit cannot be read, or there is neither a limit nor a band.
    """
    target = named(of, "--of").term
    with placed("--band"):
        wanted = None if band is None else parse_band(band.strip(), target.key, system=fmt.system)
    alone, instead = band is not None, ", or a --band to ask for"
    pairs = [read_pair(text, "--holds", limit=True, bare=alone, or_else=instead) for text in holds]
    limits = {pair.key: _limit(pair) if pair.value else None for pair in pairs}
    check_once(pairs, holds, "--holds")
    return ToleranceAsked(target=target.key, holds=limits, band=wanted)


def _limit(pair: Pair) -> float:
    """How close a term is held, SI."""
    held, amount = pair.term, re.sub(r"^(±|\+/-)\s*", "", pair.value)
    try:
        size = read_amount(amount, held.kind, name=f"limit of the {held.name}", system=UNSAID)
        if size > held.possible[1] - held.possible[0]:
            raise InputError(error("impossible", f"no {held.name} can be held so badly", read=amount))
        return size
    except InputError as refused:
        right = f"write the limit with its unit, such as '{held.key}={f'0.5 {held.shown()}'.strip()}'"
        raise InputError([replace(f, place="--holds", right=right) for f in refused.findings]) from None


@record
class CylinderBands:
    """One cylinder: the band to expect where every limit is given, and what to ask for the band wanted."""

    cylinder: int
    expected: Expected | None
    asked: MakerLimits | None


@record
class Bands:
    """What was asked, and the answer of every cylinder."""

    wish: ToleranceAsked
    cylinders: tuple[CylinderBands, ...]

    @property
    def possible(self) -> bool:
        """Whether anything can be asked of the maker, or nothing was to be."""
        return (
            not self.wish.band
            or self.wish.by_job
            or any(not (one.asked and one.asked.reason) for one in self.cylinders)
        )


def tolerance_of(
    survey: Survey, wish: ToleranceAsked, *, cylinder: int | None = None, system: str | None = None
) -> Bands:
    """The band to expect in every cylinder, or in one; and what to ask where a band is wanted.

    Raises InputError: no such cylinder, or the target does not depend on a held term.
    """
    check_cylinder(survey, cylinder)
    given = all(limit is not None for limit in wish.holds.values())
    limits = {key: limit or 0.0 for key, limit in wish.holds.items()}
    found = []
    for one in survey.cylinders:
        if cylinder in (None, one.number):
            inputs = {**one.known, "cylinders": float(survey.job.cylinders)}
            stood = stand(inputs, one.choices, target=wish.target, holds=limits)
            fmt = formatter(system or survey.job.system)
            asked = asked_of_the_maker(stood, wish.band, stated=wish.stated, fmt=fmt) if wish.band else None
            found.append(CylinderBands(cylinder=one.number, expected=expect(stood) if given else None, asked=asked))
    return Bands(wish=wish, cylinders=tuple(found))


def within(span: Span, band: Band) -> bool:
    """Whether a band to expect lies inside the one wanted."""
    return band.low <= span.low and span.high <= band.high
