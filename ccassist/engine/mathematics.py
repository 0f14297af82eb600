"""The five kinds of mathematics a relation can be done in.

A relation takes its π, square root and arcsine as the keyword ``m``; handing
it another of these lets the same function serve plain floats, uncertain
numbers, arrays, algebra, and the printed hand sum.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from typing import Any, Protocol

from ccassist.values.number import N


class Function(Protocol):
    """A function that gives a number of the kind that it is given."""

    def __call__(self, number: N, /) -> N: ...


@dataclass(frozen=True)
class Mathematics:
    """The few functions that relations need besides + − × ÷ and powers; angles in rad.

    ``pi`` is told to the type checker as the float it mostly is; to algebra and to the hand sum it is a symbol.
    """

    pi: float
    sqrt: Function
    sin: Function
    cos: Function
    asin: Function


def _kind(*, pi: Any, sqrt: Any, sin: Any, cos: Any, asin: Any) -> Mathematics:
    """Functions of a library, whose own types know only its own numbers."""
    return Mathematics(pi=pi, sqrt=sqrt, sin=sin, cos=cos, asin=asin)


FLOATS = _kind(pi=math.pi, sqrt=math.sqrt, sin=math.sin, cos=math.cos, asin=math.asin)


@cache
def uncertain() -> Mathematics:
    """For numbers of the ``uncertainties`` library."""
    from uncertainties import umath

    return _kind(pi=math.pi, sqrt=umath.sqrt, sin=umath.sin, cos=umath.cos, asin=umath.asin)


@cache
def arrays() -> Mathematics:
    """For NumPy arrays."""
    import numpy as np

    return _kind(pi=math.pi, sqrt=np.sqrt, sin=np.sin, cos=np.cos, asin=np.arcsin)


@cache
def algebra() -> Mathematics:
    """For SymPy expressions."""
    import sympy

    return _kind(pi=sympy.pi, sqrt=sympy.sqrt, sin=sympy.sin, cos=sympy.cos, asin=sympy.asin)


@cache
def printed() -> Mathematics:
    """For the hand sum as text (see :mod:`ccassist.engine.handsum`)."""
    from ccassist.engine.handsum import Hand, applied

    return _kind(pi=Hand("π"), sqrt=applied("√"), sin=applied("sin"), cos=applied("cos"), asin=applied("asin"))
