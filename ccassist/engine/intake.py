"""Relations of the closing intake valve: where the piston stands when the charge is shut in.

Kept beside :mod:`ccassist.engine.relations` because they stand on the
slider-crank, which itself uses those relations.
"""

from __future__ import annotations

from ccassist.engine import slider_crank
from ccassist.engine.mathematics import FLOATS, Mathematics
from ccassist.engine.relation import relation
from ccassist.values.number import N


@relation(gives="closing_drop")
def closing_drop_centred(stroke: N, rod_length: N, intake_closing: N, *, m: Mathematics = FLOATS) -> N:
    """Piston below top dead centre at intake closing: r (1 + cos IVC) + L − √(L² − (r sin IVC)²), r = S/2.

    [m], [m], rad after bottom dead centre -> [m], the whole stroke at
    bottom.  Source: Heywood (1988) eq. 2.4 to 2.5 (from memory), the crank
    counted from bottom; trade example C9.

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

    [m], [m], [m], rad after true bottom dead centre -> [m].  The offset's
    sign matters here: bottom is not half a turn after top.
    Source: slider-crank geometry with offset, derived.
    """
    closing = slider_crank.bdc_angle(stroke, rod_length, pin_offset, m=m) + intake_closing
    highest = m.sqrt((rod_length + stroke / 2) ** 2 - pin_offset**2)
    return highest - slider_crank.pin_height(closing, stroke, rod_length, pin_offset, m=m)
