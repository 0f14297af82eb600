"""How well a value is known of which no ± is said: the usual tool, a maker's usual tolerance, a guess.

A term that says nothing of its own takes the widths of its kind.  All of it is common practice, no source.
"""

from __future__ import annotations

from math import radians

from ccassist.vocabulary.term import Kind, Silent, Term, Width

MM, CC = 1e-3, 1e-6
MAKER = "maker's figure"
Size = float | tuple[float, float]


def silent(measured: Size, maker: Size, assumed: Size, *, scale: float = 1.0) -> Silent:
    """The three widths: each a number, × ``scale`` in SI, or a number and a share of the value, the larger."""

    def width(size: Size) -> Width:
        least, share = size if isinstance(size, tuple) else (size, 0.0)
        return Width(least * scale, share)

    return Silent(measured=width(measured), maker=width(maker), assumed=width(assumed))


def mm(measured: Size, maker: Size, assumed: Size) -> Silent:
    """Widths in millimetres."""
    return silent(measured, maker, assumed, scale=MM)


def cc(measured: Size, maker: Size, assumed: Size) -> Silent:
    """Widths in cubic centimetres."""
    return silent(measured, maker, assumed, scale=CC)


# A fill of fluid, and the volume that it finds.
FILL = cc((0.5, 0.01), (1.0, 0.025), (1.0, 0.10))

BY_KIND: dict[Kind, Silent] = {
    Kind.LENGTH: mm(0.05, 0.10, (0.3, 0.02)),
    Kind.AREA: silent((0.0, 0.01), (0.0, 0.02), (0.0, 0.06)),
    Kind.VOLUME: cc((0.02, 0.03), (0.05, 0.05), (0.1, 0.20)),
    Kind.ANGLE: silent(1.0, 2.0, 5.0, scale=radians(1)),
    Kind.MASS: silent((1e-3, 0.001), (2e-3, 0.01), (2e-3, 0.10)),
    Kind.TIME: silent((1.0, 0.02), (1.0, 0.05), (1.0, 0.2)),
    Kind.TEMPERATURE: silent(2.0, 5.0, 15.0),
    Kind.PRESSURE: silent((500.0, 0.02), (1000.0, 0.03), (2000.0, 0.10)),
    Kind.SPEED: silent((0.0, 0.01), (0.0, 0.02), (0.0, 0.05)),
    Kind.TURNS: silent((0.0, 0.01), (0.0, 0.02), (0.0, 0.05)),
    Kind.DENSITY: silent((0.0, 0.002), (0.0, 0.005), (0.0, 0.03)),
    Kind.RATIO: silent((0.0, 0.01), (0.0, 0.03), (0.0, 0.10)),
    Kind.COUNT: silent(0.0, 0.0, 0.0),  # what is counted is exact
}


def silent_of(term: Term) -> Silent:
    """The widths of a term: its own, or those of its kind."""
    return term.silent or BY_KIND[term.kind]


def silent_width(term: Term, origin: str, value: float) -> float:
    """Half-width of a value of which no ± is said, SI; where nobody says its origin, as a maker's figure.

    >>> from ccassist.vocabulary import term
    >>> round(silent_width(term("chamber_volume"), "assumed", 46e-6) * 1e6, 6)
    4.6
    """
    known = silent_of(term)
    width = {"measured": known.measured, "assumed": known.assumed}.get(origin, known.maker)
    return width.at(value)
