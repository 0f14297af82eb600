"""What every number here can do, whatever kind it is: a plain one, one with its uncertainty, an array, an expression.

The physics is written once for all of them (:class:`Number`).  A function that takes and gives one kind says so by the
type variable :data:`N`: floats in, a float out; anything else in, a :class:`Number` out.
"""

from __future__ import annotations

from typing import Any, Protocol, Self, TypeVar


class Number(Protocol):
    """A number that can be reckoned with: float, uncertain number, array, SymPy expression or printed text."""

    def __add__(self, other: Any, /) -> Self: ...
    def __radd__(self, other: Any, /) -> Self: ...
    def __sub__(self, other: Any, /) -> Self: ...
    def __rsub__(self, other: Any, /) -> Self: ...
    def __mul__(self, other: Any, /) -> Self: ...
    def __rmul__(self, other: Any, /) -> Self: ...
    def __truediv__(self, other: Any, /) -> Self: ...
    def __rtruediv__(self, other: Any, /) -> Self: ...
    def __pow__(self, power: Any, /) -> Self: ...
    def __neg__(self) -> Self: ...


N = TypeVar("N", bound=Number)


def nominal(number: Number) -> float:
    """The plain number, whatever kind it is, in its own unit.

    >>> nominal(1.5)
    1.5
    """
    plain: Any = getattr(number, "nominal_value", number)
    return float(plain)


def standard(number: Number) -> float:
    """Standard uncertainty in the number's own unit, 0 for a plain number; NaN where it is not known yet.

    >>> standard(1.5)
    0.0
    """
    return float(getattr(number, "std_dev", 0.0))


def is_uncertain(number: object) -> bool:
    """Whether it is an uncertain number, told without loading ``uncertainties``."""
    return hasattr(number, "nominal_value")


def is_array(number: object) -> bool:
    """Whether it is a NumPy array, told without loading NumPy."""
    return hasattr(number, "ndim") and not isinstance(number, float)
