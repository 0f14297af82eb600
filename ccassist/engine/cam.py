"""The cam card: what the valve events, durations and centrelines say of each other, and the lift of the lobes.

All angles in rad.  Opening and closing as the trade counts them: intake opening before and exhaust closing after top
dead centre, intake closing after and exhaust opening before bottom dead centre.  Crank angles, except the lobe
separation, which is in cam angle.  Dead centres are taken as half a turn apart, as every cam card does.  All figures of
one card belong to one lift: nothing here turns events at one lift into events at another.

Source: common practice, no source; the identities are those of a symmetrical lobe, recomputed.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise
from math import pi
from typing import cast

from ccassist.engine.mathematics import FLOATS, Mathematics
from ccassist.values.number import N
from ccassist.values.numerics import Curve, reduced
from ccassist.vocabulary.record import record

EVENTS = ("intake_opening", "intake_closing", "exhaust_opening", "exhaust_closing")


@record(kw_only=False)
class Identity:
    """Terms that add up to nothing but a constant: the sum of factor × term is ``total`` [rad]."""

    says: str
    factors: Mapping[str, float]
    total: float = 0.0

    def gives(self, key: str, values: Mapping[str, N]) -> N:
        """The one term, from all the others [rad].

        Source: common practice, no source; a symmetrical lobe.

        >>> round(IDENTITIES[0].gives("intake_duration", {"intake_opening": 0.25, "intake_closing": 0.75}) - pi, 9)
        1.0
        """
        return self.left({name: value for name, value in values.items() if name != key}) / self.factors[key]

    def left(self, values: Mapping[str, N]) -> N:
        """What the terms known leave of the total to the others [rad].

        Source: common practice, no source; a symmetrical lobe.

        >>> round(IDENTITIES[0].left({"intake_duration": 4.0}) - pi, 9)
        -4.0
        """
        left: N | float = self.total
        for name, factor in self.factors.items():
            if name in values:
                left = left - factor * values[name]
        return cast(N, left)


def _of(valve: str, near: str, far: str) -> tuple[Identity, ...]:
    """One lobe: ``near`` is its event by top dead centre, ``far`` the one by bottom dead centre."""
    duration, centre = f"{valve}_duration", f"{valve}_centreline"
    by_top, by_bottom = near.replace("_", " "), far.replace("_", " ")
    return (
        Identity(f"duration = {by_top} + 180 deg + {by_bottom}", {duration: 1, near: -1, far: -1}, pi),
        Identity(f"centreline = half of ({by_bottom} + 180 deg − {by_top})", {centre: 2, far: -1, near: 1}, pi),
        Identity(f"{by_top} = half the duration − centreline", {near: 1, duration: -0.5, centre: 1}),
        Identity(f"{by_bottom} = half the duration + centreline − 180 deg", {far: 1, duration: -0.5, centre: -1}, -pi),
    )


IDENTITIES: tuple[Identity, ...] = (
    *_of("intake", "intake_opening", "intake_closing"),
    *_of("exhaust", "exhaust_closing", "exhaust_opening"),
    Identity("lobe separation = half of (intake + exhaust centreline)",
             {"lobe_separation": 2, "intake_centreline": -1, "exhaust_centreline": -1}),
    Identity("advance = half of (exhaust − intake centreline)",
             {"cam_advance": 2, "exhaust_centreline": -1, "intake_centreline": 1}),
    Identity("intake centreline = lobe separation − advance",
             {"intake_centreline": 1, "lobe_separation": -1, "cam_advance": 1}),
    Identity("exhaust centreline = lobe separation + advance",
             {"exhaust_centreline": 1, "lobe_separation": -1, "cam_advance": -1}),
    Identity("overlap = intake opening + exhaust closing",
             {"valve_overlap": 1, "intake_opening": -1, "exhaust_closing": -1}),
    Identity("overlap = half of both durations − twice the lobe separation",
             {"valve_overlap": 1, "intake_duration": -0.5, "exhaust_duration": -0.5, "lobe_separation": 2}),
)  # fmt: skip
CARD = tuple(dict.fromkeys(key for identity in IDENTITIES for key in identity.factors))
_NOTHING = 1e-9  # the factors are halves, ones and twos: anything so small is rounding

# Of figures stated several ways these count first: what was read on the engine before what is printed on a card.
COUNTS_FIRST = (
    *EVENTS,
    *(f"{valve}_{what}" for what in ("duration", "centreline") for valve in ("intake", "exhaust")),
    "lobe_separation",
    "cam_advance",
    "valve_overlap",
)

# What advancing a cam by one degree does to each figure of its lobe, in the figure's own counting.
ADVANCING: dict[str, int] = {
    "intake_opening": 1,
    "intake_closing": -1,
    "intake_centreline": -1,
    "exhaust_opening": 1,
    "exhaust_closing": -1,
    "exhaust_centreline": 1,
}


def complete(known: Mapping[str, N]) -> tuple[dict[str, N], dict[str, str]]:
    """Every figure of the card that follows from those known [rad], and for each that was worked out, by what.

    Source: the identities of the card, solved together where one alone does not do.

    >>> from math import degrees, radians
    >>> card, how = complete({"intake_duration": radians(268), "intake_centreline": radians(110)})
    >>> round(degrees(card["intake_closing"]), 9), how["intake_closing"]
    (64.0, 'intake closing = half the duration + centreline − 180 deg')
    """
    values, how = dict(known), {}
    found = True
    while found:
        found = False
        for identity in IDENTITIES:
            unknown = [key for key in identity.factors if key not in values]
            if len(unknown) == 1:
                values[unknown[0]] = identity.gives(unknown[0], values)
                how[unknown[0]] = identity.says
                found = True
    left = _together(values)
    return {**values, **left}, {**how, **dict.fromkeys(left, "the equations of the card solved together")}


def counting(stated: Mapping[str, N], better: Mapping[str, int] | None = None) -> dict[str, N]:
    """Of all that is stated [rad], the figures that count: those that do not follow from the ones before them.

    ``better`` : a figure of a lower rank comes before all of a higher one, whatever it is, such as one that was
    measured before one of which nobody says where it is from. Source: read before printed; common practice, no source.

    >>> list(counting({"lobe_separation": 1.92, "intake_centreline": 1.88, "exhaust_centreline": 1.96}))
    ['intake_centreline', 'exhaust_centreline']
    """
    taken: dict[str, N] = {}
    ranks = better or {}
    for key in sorted(COUNTS_FIRST, key=lambda one: ranks.get(one, 0)):
        if key in stated and key not in complete(dict.fromkeys(taken, 0.0))[0]:  # whatever they are
            taken[key] = stated[key]
    return taken


def _together(values: Mapping[str, N]) -> dict[str, N]:
    """What only several equations together fix, of the figures still unknown."""
    unknown = [key for key in CARD if key not in values]
    rows = [([identity.factors.get(key, 0.0) for key in unknown], identity.left(values)) for identity in IDENTITIES]
    return {
        unknown[fixed[0]]: total
        for factors, total in reduced(rows, _NOTHING)
        if len(fixed := [i for i, factor in enumerate(factors) if abs(factor) > _NOTHING]) == 1
    }


def advanced(key: str, value: N, by: N) -> N:
    """A figure of the card after the cam is advanced by an angle [rad]; a negative one retards it.

    Source: common practice, no source; a symmetrical lobe.

    >>> round(advanced("intake_closing", 1.10, 0.05), 9)
    1.05
    """
    return value + ADVANCING[key] * by


def lobe_lift(lobe_height: N, base_circle: N) -> N:
    """Lobe lift: over the nose − base circle.

    [m], [m] -> [m].  Holds while the heel opposite the nose is base circle. Source: geometry; common practice, no
    source.

    >>> round(lobe_lift(0.040, 0.033) * 1e3, 9)
    7.0
    """
    return lobe_height - base_circle


def valve_lift(lobe_lift: N, rocker_ratio: N, lash: N) -> N:
    """Valve lift: lobe lift × rocker ratio − lash.

    [m], ratio, [m] -> [m].  Source: common practice, no source.

    >>> round(valve_lift(0.0070, 1.5, 0.0002) * 1e3, 9)
    10.3
    """
    return lobe_lift * rocker_ratio - lash


# Valve lift [m] against crank angle [rad]: through readings, without overshoot, or assumed where there are none.

FULLNESS = 1.5  # exponent of the assumed curve; common practice, no source: fuller near the seat than most lobes


def through(angles: Sequence[float], lifts: Sequence[float]) -> Curve[float]:
    """Lift [m] against crank angle [rad] through readings; nothing is said beyond the first and the last.

    Source: :class:`ccassist.values.numerics.Curve`, which never overshoots.

    Raises ValueError: fewer than two readings, or angles that do not rise.

    >>> through((0.0, 1.0, 2.0), (0.0, 0.0, 1.0)).value(0.5)
    0.0
    """
    if len(angles) < 2 or len(angles) != len(lifts) or any(after <= before for before, after in pairwise(angles)):
        raise ValueError("a curve needs two readings or more, at angles that rise")
    return Curve(tuple(angles), tuple(lifts))


def assumed_half(half_duration: N, event_lift: N, most: N, *, m: Mathematics = FLOATS) -> N:
    """Half the width of the assumed curve at the seat, from half the duration at a lift [rad].

    Half duration [rad], lift of the events at the valve [m], largest lift [m] -> [rad].  Source: the assumed curve
    turned round.

    >>> round(assumed_half(1.8, 0.00125, 0.010), 6)  # an eighth of the lift, to the power of 2/3, is a quarter
    2.078461
    """
    return half_duration / m.sqrt(1 - (event_lift / most) ** (1 / FULLNESS))


def assumed_lift(angle: N, centre: N, half: N, most: N) -> N:
    """An assumed smooth lift, for planning only: most × (1 − ((θ − centre) ÷ half)²)^1.5 inside the width.

    Angle, centre and half width [rad], largest lift [m] -> [m].  Source: an assumption, not a lobe: nobody's cam is
    exactly so.

    >>> round(assumed_lift(0.0, 0.0, 2.0, 0.010), 6)
    0.01
    """
    return most * (1 - ((angle - centre) / half) ** 2) ** FULLNESS
