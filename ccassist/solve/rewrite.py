"""A SymPy expression done again in other mathematics: numbers of any kind, or written text.

Only what occurs in relations is understood: sums, products, whole powers,
square roots, sine, cosine, arcsine and π.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import reduce
from operator import mul
from typing import Any

import sympy

from ccassist.engine.mathematics import Mathematics

Expression = Any  # a SymPy expression
_HALF = sympy.Rational(1, 2)


@dataclass(frozen=True)
class Rewriter:
    """What stands for each term key, the mathematics, and the keys in reading order."""

    leaf: Callable[[str], Any]
    m: Mathematics
    order: tuple[str, ...] = ()

    def __call__(self, expression: Expression) -> Any:
        """The expression's value, or its text, in the mathematics given."""
        if expression.is_Symbol:
            return self.leaf(expression.name)
        if expression is sympy.pi:
            return self.m.pi
        if expression.is_Integer:
            return int(expression)
        if expression.is_Function:
            return getattr(self.m, expression.func.__name__)(self(expression.args[0]))
        return self._sum(expression) if expression.is_Add else self._product(expression)

    def _sum(self, expression: Expression) -> Any:
        """In reading order, what is added before what is taken away, bare numbers last."""
        parts = sorted(expression.args, key=lambda part: (negative(part), part.is_Number, self._places(part)))
        first, *others = parts
        result = self(first)
        for part in others:
            result = result - self(-part) if negative(part) else result + self(part)
        return result

    def _product(self, expression: Expression) -> Any:
        """A product or quotient; factors under square roots share one root."""
        if negative(expression):
            return -self(-expression)
        above: list[Any] = []
        below: list[Any] = []
        rooted = sympy.Integer(1)
        for factor in sorted(sympy.Mul.make_args(expression), key=self._rank):
            base, power = factor.as_base_exp()
            if factor.is_Rational:
                above += [int(factor.p)] if factor.p != 1 else []
                below += [int(factor.q)] if factor.q != 1 else []
            elif power.is_Integer:
                value = self(base)
                (above if power > 0 else below).append(value if abs(power) == 1 else value ** abs(int(power)))
            elif abs(power) == _HALF:
                rooted *= base ** (2 * power)
            else:
                raise ValueError("a power that no relation has")
        if rooted != 1:
            above.append(self.m.sqrt(self(rooted)))
        return self._quotient(above, below)

    def _quotient(self, above: list[Any], below: list[Any]) -> Any:
        """above ÷ below; π ÷ 4 stays together in front, as the trade writes it."""
        if above and above[0] is self.m.pi and below and isinstance(below[0], int):
            above, below = [self.m.pi / below[0], *above[1:]], below[1:]
        top = reduce(mul, above) if above else 1
        return top / reduce(mul, below) if below else top

    def _places(self, part: Expression) -> list[int]:
        return sorted(
            self.order.index(found.name) if found.name in self.order else len(self.order) for found in part.free_symbols
        )

    def _rank(self, factor: Expression) -> tuple[int, list[int]]:
        """Numbers, then π, then symbols in reading order, then brackets."""
        base = factor.as_base_exp()[0]
        kind = 0 if base.is_Number else 1 if base is sympy.pi else 3 if base.is_Add else 2
        return (kind, self._places(base))


def negative(part: Expression) -> bool:
    """Whether a term of a sum is taken away."""
    return bool(part.as_coeff_Mul()[0] < 0)
