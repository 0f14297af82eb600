"""A relation written out as a person would write it at the bench.

Calling a relation with :class:`Hand` texts instead of numbers gives its
formula, in the relation's own order: ``π ÷ 4 × B²``.  With numbers for
texts it gives the sum to be re-added by hand.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

_SUM, _TIMES, _MINUS, _POWER, _ATOM = range(5)
_RAISED = str.maketrans("0123456789.-", "⁰¹²³⁴⁵⁶⁷⁸⁹·⁻")


@dataclass(frozen=True, eq=False)
class Hand:
    """A piece of written arithmetic and how tightly it binds."""

    text: str
    binds: int = _ATOM

    def _in(self, need: int) -> str:
        return self.text if self.binds >= need else f"({self.text})"

    def __add__(self, other: object) -> Hand:
        right = _hand(other)
        if right.text.startswith("−"):
            return Hand(f"{self._in(_SUM)} − {right.text[1:]}", _SUM)
        return Hand(f"{self._in(_SUM)} + {right._in(_SUM)}", _SUM)

    def __radd__(self, other: object) -> Hand:
        return self if other == 0 else _hand(other) + self

    def __sub__(self, other: object) -> Hand:
        return Hand(f"{self._in(_SUM)} − {_hand(other)._in(_TIMES)}", _SUM)

    def __rsub__(self, other: object) -> Hand:
        return _hand(other) - self

    def __mul__(self, other: object) -> Hand:
        return Hand(f"{self._in(_TIMES)} × {_hand(other)._in(_TIMES)}", _TIMES)

    def __rmul__(self, other: object) -> Hand:
        return _hand(other) * self

    def __truediv__(self, other: object) -> Hand:
        return Hand(f"{self._in(_TIMES)} ÷ {_hand(other)._in(_POWER)}", _TIMES)

    def __rtruediv__(self, other: object) -> Hand:
        return _hand(other) / self

    def __neg__(self) -> Hand:
        return Hand(f"−{self._in(_TIMES)}", _MINUS)

    def __pow__(self, power: int) -> Hand:
        return Hand(f"{self._in(_ATOM)}{str(power).translate(_RAISED)}", _POWER)


def _hand(value: object) -> Hand:
    if isinstance(value, Hand):
        return value
    text = f"{value:g}" if isinstance(value, int | float) else str(value)
    return Hand(f"−{text[1:]}", _MINUS) if text.startswith("-") else Hand(text)


def applied(name: str) -> Callable[[object], Hand]:
    """A function such as √ or asin, as it is written."""
    return lambda inside: Hand(f"{name}({_hand(inside).text})")


def number(text: str) -> Hand:
    """A printed number; a negative one is bracketed where arithmetic needs it."""
    plain = text.replace("-", "−")
    return Hand(plain, _SUM) if plain.startswith("−") else Hand(plain)
