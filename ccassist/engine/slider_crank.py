"""The slider-crank with pin or block offset: where the piston is, how fast, and what it encloses.

Plain functions in the manner of the relations: SI in and out, no branches, the keyword ``m`` is the mathematics they
are done in, and shapes follow NumPy broadcasting.  ``stroke`` is twice the crank throw r; the true travel stands in
:func:`ccassist.engine.relations.piston_travel_offset`.

Sign of ``pin_offset``: pin offset and block offset add into one distance d of the pin line from the crank axis,
positive to the side the crank pin swings to just after top dead centre, which is away from the thrust side.

Angles are in rad.  "From vertical" counts from the throw standing parallel to the bore; every other crank angle counts
from *true* top dead centre, where the piston is highest.  With offset the two differ, and bottom dead centre is not
half a turn from top dead centre.

Source: without offset Heywood, Internal Combustion Engine Fundamentals (1988), eq. 2.4 to 2.11 (from memory); with
offset the same closed form derived from the geometry.  A crank that cannot turn (rod not longer than S/2 + |d|) raises
ValueError in floats and gives NaN in arrays.
"""

from __future__ import annotations

from dataclasses import fields, replace

from ccassist.engine import relations
from ccassist.engine.mathematics import FLOATS, Mathematics, mathematics_of, plain, relation
from ccassist.values.number import N, Number
from ccassist.vocabulary.record import record


def turns(stroke: float, rod_length: float, pin_offset: float = 0.0) -> bool:
    """Whether the crank can turn: the rod is longer than half the stroke and the offset together.

    All [m]; floats.  Source: slider-crank geometry.

    >>> turns(0.0917, 0.1489, 0.010), turns(0.0917, 0.0489, 0.010)
    (True, False)
    """
    return rod_length > stroke / 2 + abs(pin_offset)


def tdc_angle(stroke: N, rod_length: N, pin_offset: N, *, m: Mathematics = FLOATS) -> N:
    """Crank from vertical at true top dead centre: asin(d ÷ (L + S/2)).

    All [m] -> [rad], of the sign of the offset.  Throw and rod are in line, one beyond the other. Source: slider-crank
    geometry with offset, derived.

    >>> round(tdc_angle(0.0917, 0.1489, 0.010), 6)
    0.05137
    """
    return m.asin(pin_offset / (rod_length + stroke / 2))


def bdc_angle(stroke: N, rod_length: N, pin_offset: N, *, m: Mathematics = FLOATS) -> N:
    """Crank from vertical at true bottom dead centre: π + asin(d ÷ (L − S/2)).

    All [m] -> [rad].  Throw and rod are in line, one folded over the other. Source: slider-crank geometry with offset,
    derived.

    >>> round(bdc_angle(0.0917, 0.1489, 0.0), 6)
    3.141593
    """
    return m.pi + m.asin(pin_offset / (rod_length - stroke / 2))


def downstroke_angle(stroke: N, rod_length: N, pin_offset: N, *, m: Mathematics = FLOATS) -> N:
    """Crank angle from true top to true bottom dead centre: half a turn only without offset.

    All [m] -> [rad].  Add it to an angle after bottom dead centre to count from top dead centre. Source: slider-crank
    geometry with offset, derived.

    >>> from math import degrees
    >>> round(degrees(downstroke_angle(0.0917, 0.1489, 0.001)), 3)
    180.262
    """
    return bdc_angle(stroke, rod_length, pin_offset, m=m) - tdc_angle(stroke, rod_length, pin_offset, m=m)


def pin_height(from_vertical: N, stroke: N, rod_length: N, pin_offset: N, *, m: Mathematics = FLOATS) -> N:
    """Pin above the crank axis, along the bore: r cos θ + √(L² − (r sin θ − d)²).

    Crank from vertical [rad], then [m] -> [m], positive toward the head. Source: Heywood (1988) eq. 2.5 (from memory),
    the offset added to what lies across.

    >>> round(pin_height(0.0, 0.0917, 0.1489, 0.0), 6)
    0.19475
    """
    _, along, _, upright = _sides(from_vertical, stroke, rod_length, pin_offset, m)
    return along + upright


def _sides(from_vertical: N, stroke: N, rod_length: N, pin_offset: N, m: Mathematics) -> tuple[N, N, N, N]:
    """Of the throw what lies across the bore, r sin θ, and along it, r cos θ; of the rod likewise, a and w."""
    throw = stroke / 2
    side = throw * m.sin(from_vertical)
    across = side - pin_offset
    return side, throw * m.cos(from_vertical), across, m.sqrt(rod_length**2 - across**2)


def piston_drop(crank_angle: N, stroke: N, rod_length: N, pin_offset: N, *, m: Mathematics = FLOATS) -> N:
    """Piston below true top dead centre.

    Crank angle after true top dead centre [rad], then [m] -> [m], never negative.  Source: as :func:`pin_height`.

    >>> from math import radians
    >>> round(piston_drop(radians(90), 0.0917, 0.1489, 0.0) * 1e3, 7)
    53.0849461
    """
    return piston_motion(crank_angle, stroke, rod_length, pin_offset, m=m)[0]


def piston_motion(crank_angle: N, stroke: N, rod_length: N, pin_offset: N, *, m: Mathematics = FLOATS) -> tuple[N, N]:
    """Piston below true top dead centre, and how fast it goes down per radian: r sin θ + r cos θ · a ÷ w.

    Crank angle after true top dead centre [rad], then [m] -> [m], [m/rad].  Source: as :func:`piston_drop`
    and :func:`piston_velocity`.

    >>> drop, velocity = piston_motion(1.25, 0.0917, 0.1489, 0.0)
    >>> round(drop * 1e3, 4), round(velocity * 1e3, 4)
    (37.8916, 47.9285)
    """
    top = tdc_angle(stroke, rod_length, pin_offset, m=m)
    highest = pin_height(top, stroke, rod_length, pin_offset, m=m)
    side, along, across, upright = _sides(top + crank_angle, stroke, rod_length, pin_offset, m)
    return highest - (along + upright), side + along * across / upright


def piston_velocity(
    crank_angle: N, angular_speed: N, stroke: N, rod_length: N, pin_offset: N, *, m: Mathematics = FLOATS
) -> N:
    """Piston velocity: ω (r sin θ + r cos θ · a ÷ w), a = r sin θ − d, w = √(L² − a²).

    Crank angle after true top dead centre [rad], angular speed ω [rad/s], then [m] -> [m/s],
    positive downward, away from the head.
    Source: Heywood (1988) eq. 2.11 (from memory), with offset the derivative of :func:`pin_height`.

    >>> round(piston_velocity(1.25, 100.0, 0.0917, 0.1489, 0.0), 4)
    4.7928
    """
    return angular_speed * piston_motion(crank_angle, stroke, rod_length, pin_offset, m=m)[1]


def piston_acceleration(
    crank_angle: N, angular_speed: N, stroke: N, rod_length: N, pin_offset: N, *, m: Mathematics = FLOATS
) -> N:
    """Piston acceleration at steady speed: ω² (r cos θ + ((r cos θ)² − a r sin θ) ÷ w + (r cos θ)² a² ÷ w³).

    a = r sin θ − d, w = √(L² − a²).  Crank angle after true top dead centre [rad], angular speed ω [rad/s], then [m] ->
    [m/s²], positive downward: positive at top dead centre. Source: the derivative of :func:`piston_velocity`.

    >>> round(piston_acceleration(0.0, 100.0, 0.0917, 0.1489, 0.0), 3)  # ω² r (1 + r ÷ L)
    599.684
    """
    angle = tdc_angle(stroke, rod_length, pin_offset, m=m) + crank_angle
    side, along, across, upright = _sides(angle, stroke, rod_length, pin_offset, m)
    return angular_speed**2 * (along + (along**2 - across * side) / upright + along**2 * across**2 / upright**3)


def cylinder_volume(
    crank_angle: N, bore: N, clearance_volume: N, stroke: N, rod_length: N, pin_offset: N, *, m: Mathematics = FLOATS
) -> N:
    """Volume above the top ring at a crank angle: clearance + bore area × piston drop.

    Crank angle after true top dead centre [rad], bore [m], clearance volume [m³], then [m] -> [m³]. Source: Heywood
    (1988) eq. 2.4 (from memory).

    >>> round(cylinder_volume(0.0, 0.0834, 50e-6, 0.0917, 0.1489, 0.0) * 1e6, 6)
    50.0
    """
    drop = piston_drop(crank_angle, stroke, rod_length, pin_offset, m=m)
    return clearance_volume + relations.swept_volume(bore, drop, m=m)


def volume_ratio(
    crank_angle: N, static_ratio: N, stroke: N, rod_length: N, pin_offset: N, *, m: Mathematics = FLOATS
) -> N:
    """Cylinder volume over clearance volume at a crank angle: 1 + (CR − 1) × drop ÷ travel.

    Crank angle after true top dead centre [rad], static ratio, then [m] -> ratio: 1 at top, the static ratio at bottom
    dead centre.  At intake closing it is the trapped ratio. Source: as :func:`cylinder_volume`, over the clearance
    volume.

    >>> from math import radians
    >>> round(volume_ratio(radians(180 + 55), 9.5, 0.0917, 0.1489, 0.0), 9)
    8.133983894
    """
    drop = piston_drop(crank_angle, stroke, rod_length, pin_offset, m=m)
    travel = relations.piston_travel_offset(stroke, rod_length, pin_offset, m=m)
    return relations.trapped_ratio(static_ratio, drop, travel, m=m)


# Relations of the closing intake valve: where the piston stands when the charge is shut in.  They stand here because
# they use the slider-crank, which itself uses the other relations.


@relation(gives="closing_drop")
def closing_drop_centred(stroke: N, rod_length: N, intake_closing: N, *, m: Mathematics = FLOATS) -> N:
    """Piston below top dead centre at intake closing: r (1 + cos IVC) + L − √(L² − (r sin IVC)²), r = S/2.

    [m], [m], rad after bottom dead centre -> [m], the whole stroke at bottom.  Source: Heywood (1988) eq. 2.4 to 2.5
    (from memory), the crank counted from bottom; trade example C9.

    >>> from math import radians
    >>> round(closing_drop_centred(0.0917, 0.1489, radians(55)) * 1e3, 4)
    76.9631
    """
    throw = stroke / 2
    upright = m.sqrt(rod_length**2 - (throw * m.sin(intake_closing)) ** 2)
    return throw * (1 + m.cos(intake_closing)) + rod_length - upright


@relation(gives="closing_drop")
def closing_drop_offset(stroke: N, rod_length: N, pin_offset: N, intake_closing: N, *, m: Mathematics = FLOATS) -> N:
    """Piston below top dead centre at intake closing, with offset: highest pin less pin at closing.

    [m], [m], [m], rad after true bottom dead centre -> [m].  The offset's sign matters here: bottom is not half a turn
    after top. Source: slider-crank geometry with offset, derived.

    >>> round(closing_drop_offset(0.0917, 0.1489, 0.001, 0.0) * 1e3, 4)  # at bottom, the whole travel
    91.7023
    """
    closing = bdc_angle(stroke, rod_length, pin_offset, m=m) + intake_closing
    highest = m.sqrt((rod_length + stroke / 2) ** 2 - pin_offset**2)
    return highest - pin_height(closing, stroke, rod_length, pin_offset, m=m)


# Trapped ratio: what is left of the static ratio once the intake has closed.  Geometry alone, exact with pin or block
# offset; it is only as good as the lift at which closing was read, which counts from true bottom dead centre.


@record
class Geometry:
    """What the trapped ratio hangs on; floats, arrays or uncertain numbers.

    stroke, rod_length, pin_offset : m; offset as everywhere here.
    """

    static_ratio: Number  # volume at bottom over volume at top dead centre
    stroke: Number
    rod_length: Number
    intake_closing: Number  # rad after true bottom dead centre
    pin_offset: Number = 0.0

    @property
    def trapped_ratio(self) -> Number:
        """Volume at intake closing over clearance volume.

        Ratio.  Source: slider-crank geometry.

        >>> from math import radians
        >>> Geometry(static_ratio=9.5, stroke=0.0917, rod_length=0.1489, intake_closing=0.0).trapped_ratio
        9.5
        """
        crank = self.stroke, self.rod_length, self.pin_offset
        m = mathematics_of(self.static_ratio, self.intake_closing, *crank)
        closing = downstroke_angle(*crank, m=m) + self.intake_closing
        return volume_ratio(closing, self.static_ratio, *crank, m=m)

    def with_static_ratio(self, static_ratio: Number) -> Geometry:
        """The same crank and closing with another static ratio.

        Source: definition; all else as it is.

        >>> made = Geometry(static_ratio=9.0, stroke=0.0917, rod_length=0.1489, intake_closing=1.0)
        >>> made.with_static_ratio(10.0).static_ratio
        10.0
        """
        return replace(self, static_ratio=static_ratio)

    def plain(self) -> Geometry:
        """The same without uncertainty, SI.

        >>> made = Geometry(static_ratio=9.0, stroke=0.0917, rod_length=0.1489, intake_closing=1.0)
        >>> made.plain() == made
        True
        """
        return Geometry(**{field.name: plain(getattr(self, field.name)) for field in fields(self)})

    def closing_at(self, intake_closing: Number) -> Geometry:
        """The same engine with another intake closing, rad after bottom dead centre.

        Source: definition; all else as it is.

        >>> made = Geometry(static_ratio=9.0, stroke=0.0917, rod_length=0.1489, intake_closing=1.0)
        >>> round(made.closing_at(0.0).trapped_ratio, 6)
        9.0
        """
        return replace(self, intake_closing=intake_closing)
