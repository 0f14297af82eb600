"""The rearranged formula for an unknown: with rewrite.py the only place for SymPy.

The relations themselves, called with SymPy's mathematics, give the algebra. Only what lies between the unknown and the
target is worked through; all else, such as the swept volume, stays a symbol of its own, as it would on paper. Where
everything the unknown does passes through one term (the gasket's area, then its volume, then the clearance volume) the
work stops there for a line. SymPy is given no text to parse.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import reduce
from operator import mul
from typing import Any

import sympy

from ccassist.engine.mathematics import FLOATS, Hand, Mathematics, algebra, printed
from ccassist.engine.model import Model
from ccassist.solve.question import dependents
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record

# A SymPy expression done again in other mathematics: numbers of any kind, or written text.
#
# Only what occurs in relations is understood: sums, products, whole powers, square roots, sine, cosine, arcsine and π.

Expression = Any  # a SymPy expression
_HALF = sympy.Rational(1, 2)


@record(kw_only=False)
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


@record
class Equation:
    """One line of algebra: the term that stands alone on the left, and what it equals."""

    key: str
    expression: Expression

    def needs(self) -> tuple[str, ...]:
        """The term keys on the right."""
        return tuple(sorted(symbol.name for symbol in self.expression.free_symbols))


@record
class Formula:
    """An unknown in terms of the target and of what is known."""

    given: tuple[Equation, ...]  # the equations as they stand, from the target down to the unknown
    steps: tuple[Equation, ...]  # the same rearranged, the last one giving the unknown
    order: tuple[str, ...]  # term keys in the order in which a reader meets them

    @property
    def expression(self) -> Expression:
        """The unknown as one SymPy expression of the target and the known terms."""
        composed: Expression = self.steps[0].expression
        for before, step in zip(self.steps, self.steps[1:], strict=False):
            composed = step.expression.xreplace({symbol(before.key): composed})
        return composed

    @property
    def text(self) -> str:
        """The formula on one line, such as "Vp = Vs ÷ (CR − 1) − Vch − Vg − Vd − Vcr"."""
        return written(Equation(key=self.steps[-1].key, expression=self.expression), self.order)

    def computed(self, values: Mapping[str, Any], m: Mathematics = FLOATS) -> Any:
        """The unknown (SI) from numbers of any kind: floats, uncertain numbers, arrays."""
        found = dict(values)
        for step in self.steps:
            found[step.key] = Rewriter(found.__getitem__, m)(step.expression)
        return found[self.steps[-1].key]


def written(line: Equation, order: tuple[str, ...]) -> str:
    """A line as a person would write it at the bench, its terms in the reading order given."""
    right: Hand = Rewriter(lambda key: Hand(term(key).symbol), printed(), order)(line.expression)
    return f"{term(line.key).symbol} = {right.text}"


def symbol(key: str) -> Expression:
    """The symbol of a term; positive only where no such quantity can be otherwise."""
    low = term(key).possible[0]
    if low > 0:
        return sympy.Symbol(key, positive=True)
    return sympy.Symbol(key, nonnegative=True) if low == 0 else sympy.Symbol(key, real=True)


def equations(model: Model, unknown: str, target: str) -> tuple[Equation, ...]:
    """The equations as they stand, from the target down to the unknown."""
    wanted = {target}
    moved = {unknown, *dependents(model, unknown)}
    lines = []
    for step in reversed(model.chain):
        if step.gives in wanted and step.gives in moved and step.gives != unknown:
            wanted |= set(step.needs)
            lines.append(Equation(key=step.gives, expression=_expression(model, step.gives)))
    return tuple(lines)


def rearrange(model: Model, unknown: str, target: str) -> tuple[Formula, ...] | None:
    """The formulas for the unknown, one for each sign a root may take; None where there is no closed form.

    model : the relations of the cylinder; the unknown must not be computed in it.
    unknown, target : term keys.
    """
    given = equations(model, unknown, target)
    ways: list[tuple[Equation, ...]] = [()]
    for upper, lower, expression in _links(given, unknown):
        roots = isolate(symbol(upper), expression, symbol(lower))
        if roots is None:
            return None
        ways = [(*way, Equation(key=lower, expression=root)) for way in ways for root in roots]
    order = reading_order(model, target)
    return tuple(Formula(given=given, steps=way, order=order) for way in ways)


def reading_order(model: Model, target: str) -> tuple[str, ...]:
    """The terms in the order in which one meets them, working down from the target."""
    met: dict[str, None] = {}

    def walk(key: str) -> None:
        met.setdefault(key)
        step = model.relation_of(key)
        for need in step.needs if step else ():
            walk(need)

    walk(target)
    return tuple(met)


def isolate(given: Expression, expression: Expression, wanted: Expression) -> list[Expression] | None:
    """Each expression of ``wanted`` that makes ``expression`` equal to ``given``; None where none is simple.

    >>> x, y = sympy.symbols("x y")
    >>> isolate(y, 2 * x + 1, x)
    [y/2 - 1/2]
    """
    if expression == wanted:
        return [given]
    top, bottom = sympy.fraction(expression)
    if len(sympy.Add.make_args(top - bottom)) < len(sympy.Add.make_args(top)):
        return isolate(given - 1, (top - bottom) / bottom, wanted)  # (a + b) ÷ b is a ÷ b + 1
    if expression.is_Add or expression.is_Mul:
        rest, part = expression.as_independent(wanted, as_Add=expression.is_Add)
        if part != expression and not (expression.is_Mul and part.is_Mul):
            return isolate(given - rest if expression.is_Add else given / rest, part, wanted)
    if expression.is_Pow and not expression.exp.has(wanted):
        return _without_power(given, expression.base, expression.exp, wanted)
    return _polynomial(given, expression, wanted)


def _expression(model: Model, key: str) -> Expression:
    """A term by its own relation, what a choice makes nothing left out."""
    step = model.relation_of(key)
    assert step is not None  # the key comes from the chain
    absent = {need for need in step.needs if set(model.inputs_of(need)) <= set(model.fixed)}
    return step({need: sympy.Integer(0) if need in absent else symbol(need) for need in step.needs}, algebra())


def _links(given: tuple[Equation, ...], unknown: str) -> list[tuple[str, str, Expression]]:
    """(upper term, lower term, the upper as an expression of the lower alone), from the target down.

    Of several terms on the way the one worked out last is written out, until a single one carries all that the unknown
    does.
    """
    expressions = {line.key: line.expression for line in given}
    links = []
    upper = given[0].key
    while upper != unknown:
        expression = expressions[upper]
        while len(on_way := _on_way(expression, given, unknown)) > 1:
            latest = next(line.key for line in given if line.key in on_way)
            expression = expression.xreplace({symbol(latest): expressions[latest]})
        (lower,) = on_way
        links.append((upper, lower, expression))
        upper = lower
    return links


def _on_way(expression: Expression, given: tuple[Equation, ...], unknown: str) -> set[str]:
    moved = {unknown, *(line.key for line in given)}
    return {found.name for found in expression.free_symbols if found.name in moved}


def _without_power(
    given: Expression, base: Expression, power: Expression, wanted: Expression
) -> list[Expression] | None:
    if power == -1:
        return isolate(1 / given, base, wanted)
    if power == sympy.Rational(1, 2):
        return isolate(given**2, base, wanted)  # a false root of the squaring fails the check by substitution
    if power != 2:
        return None
    root = sympy.sqrt(given)
    if base.is_nonnegative:
        return isolate(root, base, wanted)
    ways = [isolate(root, base, wanted), isolate(-root, base, wanted)]
    return None if None in ways else [one for way in ways for one in way or ()]


def _polynomial(given: Expression, expression: Expression, wanted: Expression) -> list[Expression] | None:
    """Roots where the equation comes to at most a square; a cubic's closed form is of no use at the bench."""
    top, bottom = expression.as_numer_denom()
    equation = given * bottom - top
    if not equation.is_polynomial(wanted) or sympy.expand(equation.diff(wanted, 3)) != 0:
        return None
    free, linear, square = (
        sympy.factor_terms(equation.diff(wanted, power).subs(wanted, 0)) if power else equation.subs(wanted, 0)
        for power in (0, 1, 2)
    )
    linear, square = (0 if sympy.expand(part) == 0 else part for part in (linear, square / 2))
    if square == 0:
        return None if linear == 0 else [_ratio(free, linear)]
    if linear == 0:
        return isolate(_ratio(free, square), wanted**2, wanted)
    root = sympy.sqrt(linear**2 - 4 * square * free)
    return [(-linear + root) / (2 * square), (-linear - root) / (2 * square)]


def _ratio(free: Expression, leading: Expression) -> Expression:
    """−free ÷ leading, with the minus taken into the bracket that it makes plainer."""
    leading = sympy.factor_terms(leading)
    for factor in sympy.Mul.make_args(leading):
        if factor.is_Add and any(part.could_extract_minus_sign() for part in factor.args):
            return sympy.factor_terms(free) / (leading / factor * -factor)
    return sympy.factor_terms(-free) / leading
