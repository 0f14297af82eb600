"""What a relation is, the list into which each is entered, and the five kinds of mathematics it can be done in.

A relation takes its π, square root and arcsine as the keyword ``m``; handing it another of these lets the same function
serve plain floats, uncertain numbers, arrays, algebra, and the printed hand sum.  Calling a relation with :class:`Hand`
texts instead of numbers gives its formula, in the relation's own order: ``π ÷ 4 × B²``; with numbers for texts the sum
to be re-added by hand.
"""

from __future__ import annotations

import inspect
import math
import re
from collections.abc import Callable, Mapping
from dataclasses import field
from functools import cache, cached_property
from typing import Any, Protocol, TypeVar

from ccassist.values.number import N, Number, is_array, is_uncertain, standard
from ccassist.vocabulary.record import record


class Function(Protocol):
    """A function that gives a number of the kind that it is given."""

    def __call__(self, number: N, /) -> N: ...


@record(kw_only=False)
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
    """For numbers of the ``uncertainties`` library.

    >>> uncertain().sqrt(4.0)
    2.0
    """
    from uncertainties import umath

    return _kind(pi=math.pi, sqrt=umath.sqrt, sin=umath.sin, cos=umath.cos, asin=umath.asin)


@cache
def arrays() -> Mathematics:
    """For NumPy arrays.

    >>> float(arrays().sqrt(4.0))
    2.0
    """
    import numpy as np

    return _kind(pi=math.pi, sqrt=np.sqrt, sin=np.sin, cos=np.cos, asin=np.arcsin)


@cache
def algebra() -> Mathematics:
    """For SymPy expressions.

    >>> algebra().sqrt(algebra().pi**2)
    pi
    """
    import sympy

    return _kind(pi=sympy.pi, sqrt=sympy.sqrt, sin=sympy.sin, cos=sympy.cos, asin=sympy.asin)


@cache
def printed() -> Mathematics:
    """For the hand sum as text, of :class:`Hand`.

    >>> printed().sqrt(Hand("x")).text
    '√(x)'
    """
    return _kind(pi=Hand("π"), sqrt=applied("√"), sin=applied("sin"), cos=applied("cos"), asin=applied("asin"))


_SUM, _TIMES, _MINUS, _POWER, _ATOM = range(5)
CUBIC = 3  # the power of a length that is a volume
_RAISED = str.maketrans("0123456789.-", "⁰¹²³⁴⁵⁶⁷⁸⁹·⁻")


@record(kw_only=False)
class Hand:
    """A piece of written arithmetic, how tightly it binds, and the power of a length in mm that it is.

    Volumes are in cc and have no such power: a product of lengths that is added to one, or stands alone, is divided
    by a thousand first (:attr:`in_cc`), and a volume that is divided by a length or an area is in mm³ first.
    """

    text: str
    binds: int = _ATOM
    power: int = 0

    def _in(self, need: int) -> str:
        return self.text if self.binds >= need else f"({self.text})"

    @property
    def in_cc(self) -> Hand:
        """The same, a product in mm³ turned into cc."""
        return Hand(f"{self._in(_TIMES)} ÷ 1000", _TIMES) if self.power == CUBIC else self

    def _alike(self, other: Hand) -> tuple[Hand, Hand]:
        """The two in the same unit."""
        return (self, other) if self.power == other.power else (self.in_cc, other.in_cc)

    def __add__(self, other: object) -> Hand:
        left, right = self._alike(_hand(other))
        if right.text.startswith("−"):
            return Hand(f"{left._in(_SUM)} − {right.text[1:]}", _SUM, left.power)
        return Hand(f"{left._in(_SUM)} + {right._in(_SUM)}", _SUM, left.power)

    def __radd__(self, other: object) -> Hand:
        return self if other == 0 else _hand(other) + self

    def __sub__(self, other: object) -> Hand:
        left, right = self._alike(_hand(other))
        return Hand(f"{left._in(_SUM)} − {right._in(_TIMES)}", _SUM, left.power)

    def __rsub__(self, other: object) -> Hand:
        return _hand(other) - self

    def __mul__(self, other: object) -> Hand:
        right = _hand(other)
        return Hand(f"{self._in(_TIMES)} × {right._in(_TIMES)}", _TIMES, self.power + right.power)

    def __rmul__(self, other: object) -> Hand:
        return _hand(other) * self

    def __truediv__(self, other: object) -> Hand:
        right = _hand(other)
        left = self if self.power or right.power <= 0 else Hand(f"{self._in(_TIMES)} × 1000", _TIMES, CUBIC)
        return Hand(f"{left._in(_TIMES)} ÷ {right._in(_POWER)}", _TIMES, left.power - right.power)

    def __rtruediv__(self, other: object) -> Hand:
        return _hand(other) / self

    def __neg__(self) -> Hand:
        return Hand(f"−{self._in(_TIMES)}", _MINUS, self.power)

    def __pow__(self, power: int) -> Hand:
        return Hand(f"{self._in(_ATOM)}{str(power).translate(_RAISED)}", _POWER, self.power * power)


def _hand(value: object) -> Hand:
    if isinstance(value, Hand):
        return value
    text = f"{value:g}" if isinstance(value, int | float) else str(value)
    return Hand(f"−{text[1:]}", _MINUS) if text.startswith("-") else Hand(text)


def applied(name: str) -> Callable[[object], Hand]:
    """A function such as √ or asin, as it is written.

    >>> applied("sin")(Hand("θ")).text
    'sin(θ)'
    """

    def written(inside: object) -> Hand:
        within = _hand(inside)
        return Hand(f"{name}({within.text})", power=within.power // 2)  # only roots are taken of what has a power

    return written


def number(text: str, power: int = 0) -> Hand:
    """A printed number; a negative one is bracketed where arithmetic needs it.

    ``power`` : of a length in mm that it is, 0 where no sum in mm and cc is written.

    >>> (number("2.5") * number("-3")).text
    '2.5 × (−3)'
    """
    plain = text.replace("-", "−")
    return Hand(plain, _SUM if plain.startswith("−") else _ATOM, power)


F = TypeVar("F", bound=Callable[..., Number])


@record(kw_only=False)
class Relation:
    """One equation: what it gives, what it needs, what it says and where it is from."""

    name: str
    gives: str
    needs: tuple[str, ...]
    function: Callable[..., Any] = field(compare=False)

    @cached_property
    def needed(self) -> frozenset[str]:
        """What it needs, in no order."""
        return frozenset(self.needs)

    @cached_property
    def title(self) -> str:
        """What it says, in words: the first line of its docstring."""
        return (inspect.getdoc(self.function) or "").split("\n")[0].rstrip(".")

    @cached_property
    def source(self) -> str:
        """Where it is from, as its docstring says."""
        found = re.search(r"Source:\s+(.+?)(?:\n\n|\n>>>|$)", inspect.getdoc(self.function) or "", re.DOTALL)
        return " ".join(found[1].split()) if found else ""

    def __call__(self, values: Mapping[str, N], m: Mathematics = FLOATS) -> N:
        """Evaluate on a mapping of term key to number; extra entries are ignored."""
        found: N = self.function(*[values[key] for key in self.needs], m=m)
        return found

    def written(self, *parts: Hand) -> str:
        """The relation written out, with a text for each of its needs.

        >>> from ccassist.engine.model import RELATIONS
        >>> RELATIONS["gasket_volume"].written(Hand("A"), Hand("h"))
        'A × h'
        """
        return self(dict(zip(self.needs, parts, strict=True)), printed()).in_cc.text


RELATIONS: dict[str, Relation] = {}


def relation(gives: str) -> Callable[[F], F]:
    """Enter a function among the relations; its docstring must name a source."""

    def enter(function: F) -> F:
        code = function.__code__
        RELATIONS[function.__name__] = Relation(
            name=function.__name__,
            gives=gives,
            needs=code.co_varnames[: code.co_argcount],
            function=function,
        )
        return function

    return enter


# Small mathematics for floats, arrays and uncertain numbers alike.

Array = Any  # of NumPy, told to the type checker as anything: its own types know no protocol of ours


def is_grid(number: Number) -> bool:
    """Whether it is an array of several, not one number of NumPy's.

    >>> is_grid(1.0)
    False
    """
    return bool(getattr(number, "ndim", 0))


def chosen(where: Array, one: Array, other: Array) -> Array:
    """The one where it holds, element by element, else the other; arrays of plain numbers.

    >>> import numpy as np
    >>> chosen(np.array([True, False]), np.array([1.0, 2.0]), 0.0).tolist()
    [1.0, 0.0]
    """
    import numpy as np

    return np.where(where, one, other)


def plain(number: Number) -> Array:
    """The number without its uncertainty, in its own unit, to choose between branches; arrays and floats as they are.

    >>> from uncertainties import ufloat
    >>> plain(ufloat(2.0, 0.1)), plain(3.0)
    (2.0, 3.0)
    """
    return getattr(number, "nominal_value", number)


def mathematics_of(*numbers: Number) -> Mathematics:
    """The kind of mathematics that these numbers need.

    >>> mathematics_of(1.0, 2.0) is FLOATS
    True
    """
    if any(map(is_uncertain, numbers)):
        return uncertain()
    return arrays() if any(map(is_array, numbers)) else FLOATS


def log(number: Number) -> Number:
    """Natural logarithm of a number without unit, element by element.

    Source: definition.

    >>> log(1.0)
    0.0
    """
    if isinstance(number, int | float):
        return math.log(number)
    found: Number
    if is_array(number):
        import numpy as np

        found = np.log(number)  # type: ignore[call-overload]
    else:
        from uncertainties import umath

        found = umath.log(number)
    return found


def within(number: Array, low: Array, high: Array) -> Array:
    """The number, or the end of low to high that it has passed, element by element; all in one unit.

    >>> within(5.0, 0.0, 2.0)
    2.0
    """
    if any(map(is_array, (number, low, high))):
        import numpy as np

        return np.clip(number, low, high)
    return min(max(number, low), high)


def step_of(number: Number) -> float:
    """How far a number is moved to see what it does: its standard uncertainty, else little; any one unit.

    Source: JCGM 100:2008, 5.1.3 note 2.

    >>> step_of(2.0)
    2e-05
    """
    here, spread = abs(plain(number)), standard(number)
    return spread if math.isfinite(spread) and spread > here * 1e-9 else max(here, 1e-9) * 1e-5
