"""Gross slips that have a size of their own: a refill, a unit, a decimal point, a sign.

These are looked for before anything else; most differences that look like an
engine are one of them (common practice, no source).
"""

from __future__ import annotations

from ccassist.bench.alike import CLOSE
from ccassist.values.units import conversion
from ccassist.vocabulary import term


def refill_in(jump: float, sizes: tuple[float, ...], near: float = 0.0) -> float | None:
    """The refill that a jump (m³, either way) amounts to, or None.

    ``near`` [m³] is how far apart the rest lie; never more than a tenth of the refill.
    """
    return next((s for s in sizes if abs(abs(jump) - s) <= min(s / 10, max(CLOSE, near))), None)


def unit_slip(ratio: float, key: str, near: float) -> str:
    """What slip makes a value so many times the usual one, in words; "" for none.

    Parameters
    ----------
    ratio : the odd value over the usual one.
    key : the term.
    near : how close the ratio must come, as a share of itself.
    """
    wanted = term(key)
    for words, factor in _factors(wanted.kind.value, key):
        for times in (factor, 1 / factor):
            if abs(ratio - times) <= near * abs(times):
                return words
    if wanted.sign is not None and abs(ratio + 1) <= near:
        return "the sign is the other way about"
    return ""


def _factors(kind: str, key: str) -> list[tuple[str, float]]:
    point = ("the decimal point is one place out", 10.0)
    if kind == "volume":
        inches = conversion("in3").scale / conversion("cc").scale
        return [("cubic inches and cc are mixed up", inches), point]
    if kind == "length":
        inch, thou = conversion("in").scale / conversion("mm").scale, conversion("thou").scale / conversion("um").scale
        found = [("inches and mm are mixed up", inch), point]
        if key in ("deck_clearance", "dial_reading"):
            found.append(("thou and hundredths of a mm are mixed up", thou / 10))
        return found
    return []
