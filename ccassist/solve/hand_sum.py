"""How an answer is come by, as written lines: the equations, rearranged, and the numbers put in.

The sums are in hand units (mm, mm², cc; or in, in², in³), as the trade works, and each line adds up as printed.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from functools import cached_property

from ccassist.engine.mathematics import FLOATS, Hand, number, printed
from ccassist.solve.algebra import Equation, Formula, Rewriter, equations, reading_order, rearrange, written
from ccassist.solve.solver import Answer
from ccassist.values.display import METRIC, Formatter
from ccassist.vocabulary import Kind, term
from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import POWER, SYSTEMS, System, by_hand, conversion, in_unit

# Units of the hand sum with the decimals written; a sum with speeds in it goes by metres and seconds.
_HAND: dict[str, dict[Kind, tuple[str, int]]] = {
    **{system: by_hand(system) for system in SYSTEMS},
    "motion": {Kind.LENGTH: ("m", 6), Kind.SPEED: ("m/s", 3)},
}
_MOTION = (Kind.SPEED, Kind.TURNS)
_FINER = 6  # decimals that may be added where a small difference of large numbers needs them


@record
class Derivation:
    """One turn of an answer, each line as it would be written down."""

    lead: str  # what follows from what, in words
    given: tuple[str, ...]  # the equations as they stand, from the target down
    steps: tuple[str, ...] = ()  # the same rearranged, the last one giving the unknown; none without a closed form
    formula: str = ""  # the unknown in one line; "" without a closed form
    entries: tuple[str, ...] = ()  # what is put in, each with its name
    sums: tuple[str, ...] = ()  # the numbers put in
    trial: str = ""  # how it was found, where no formula gave it; "" where one did


def workings(answer: Answer, fmt: Formatter = METRIC) -> tuple[Derivation, ...]:
    """How the likeliest answer is come by, one turn after another, or all closed in on at once."""
    question, turns = answer.question, answer.best.turns
    if len(question.unknowns) == 1:
        return (_working(answer, fmt),)
    if not turns:
        every = "both" if len(question.unknowns) == 2 else "all"
        return (
            Derivation(
                lead=f"{every.capitalize()} targets hang on {every} unknowns:",
                given=tuple(_equations_of_all(answer)),
                trial=f"They were found by trial, closing in on {every} targets at once.",
            ),
        )
    found = []
    for turn, before in zip(turns, (None, *turns), strict=False):
        unknown = term(turn.question.unknowns[0]).name
        if before is None:
            opening = f"First the {unknown}: of the two only it moves the {term(turn.question.target).name}."
        else:
            key = before.question.unknown
            opening = f"Then, with the {term(key).name} {fmt.number(key, answer.best.numbers[key])}, the {unknown}."
        first, *more = workings(turn, fmt)
        found += [replace(first, lead=f"{opening} {first.lead}"), *more]
    return tuple(found)


def _working(answer: Answer, fmt: Formatter) -> Derivation:
    question, best = answer.question, answer.best
    order = reading_order(best.model, question.target)
    told = Derivation(
        lead=f"The {term(question.target).name} follows from the {term(question.unknown).name} by:",
        given=_telling(equations(best.model, question.unknown, question.target), order),
    )
    if best.formula is None:
        closed = rearrange(best.model, question.unknown, question.target) is not None
        why = "It" if closed else "No closed form is worked out for it: it"
        return replace(told, trial=f"{why} was found by trial, closing in on the target from both sides.")
    told = replace(told, steps=_telling(best.formula.steps, order), formula=best.formula.text)
    hand = _fine_enough(answer, best.formula, fmt)
    if hand is None:
        return told
    sums = (hand.sum(line) for line in best.formula.steps if _says_something(line))
    return replace(told, entries=tuple(map(hand.entry, hand.entries())), sums=tuple(sums))


def _equations_of_all(answer: Answer) -> Iterator[str]:
    """The equations from the targets down to the unknowns, each once."""
    found: dict[str, Equation] = {}
    order: dict[str, None] = {}
    for target in answer.question.targets:
        order.update(dict.fromkeys(reading_order(answer.best.model, target)))
        for unknown in answer.question.unknowns:
            found.update((line.key, line) for line in equations(answer.best.model, unknown, target))
    return (written(found[key], tuple(order)) for key in order if key in found)


def _telling(lines: Iterable[Equation], order: tuple[str, ...]) -> tuple[str, ...]:
    """The lines as written, without one that only says that Vb is Vb."""
    texts = (written(line, order) for line in lines)
    return tuple(text for text in texts if len(set(text.split(" = "))) > 1)


def _says_something(line: Equation) -> bool:
    """False for a line such as "S = T", which only gives a number another name."""
    return not line.expression.is_Symbol


@record(kw_only=False)
class _HandSum:
    """The steps of a formula done with the numbers as they are written down."""

    formula: Formula
    values: Mapping[str, float]
    fmt: Formatter
    finer: int = 0

    @cached_property
    def units(self) -> str:
        """Which units the sum is in."""
        kinds = [term(name).kind for line in self.formula.steps for name in (line.key, *line.needs())]
        return "motion" if any(kind in _MOTION for kind in kinds) else self.fmt.system

    def unit(self, key: str) -> tuple[str, int]:
        """The hand unit of a term and the decimals written."""
        unit, decimals = _HAND[self.units].get(term(key).kind, ("", 4))
        return unit, decimals + self.finer

    def power(self, key: str) -> int:
        """The power of a length in mm that a term is; 0 where no thousand stands between lengths and volumes."""
        return POWER.get(term(key).kind, 0) if self.units == System.METRIC else 0

    def entries(self) -> list[str]:
        """The terms put in, in reading order."""
        worked_out = {line.key for line in self.formula.steps}
        needed = {name for line in self.formula.steps for name in line.needs()} - worked_out
        return [key for key in self.formula.order if key in needed]

    @cached_property
    def figures(self) -> dict[str, float]:
        """Every term of the sum in its hand unit, rounded as written; later steps use what earlier ones wrote."""
        found = {key: self._rounded(key, in_unit(self.values[key], self.unit(key)[0])) for key in self.entries()}
        for line in self.formula.steps:  # in centimetres, in which no factor is needed
            made: float = Rewriter(lambda key: found[key] / 10 ** self.power(key), FLOATS)(line.expression)
            found[line.key] = self._rounded(line.key, made * 10 ** self.power(line.key))
        return found

    def text(self, key: str) -> str:
        """A figure as written, without trailing zeros."""
        text = f"{self.figures[key]:.{self.unit(key)[1]}f}".rstrip("0").rstrip(".")
        return "0" if text in ("-0", "") else text

    def entry(self, key: str) -> str:
        """A term, its number and its name."""
        return f"{term(key).symbol} = {self._signed(key)}  ({term(key).name})"

    def sum(self, line: Equation) -> str:
        """A step with its numbers, such as "Vc = 505.383 ÷ (8.8 − 1) = 64.793 cc"."""
        put_in: Hand = Rewriter(self._written, printed(), self.formula.order)(line.expression)
        result = f"{term(line.key).symbol} = {put_in.in_cc.text} = {self._signed(line.key)}"
        shown = self.fmt.unit(line.key)
        if term(line.key).kind is Kind.VOLUME and self.unit(line.key)[0] == "in³" != shown:
            result += f" = {self.figures[line.key] * conversion('in³').scale / conversion(shown).scale:.3f} {shown}"
        return result.replace("-", "−")

    def _written(self, key: str) -> Hand:
        return number(self.text(key), self.power(key))

    def _signed(self, key: str) -> str:
        unit = self.unit(key)[0] or ("rev/s" if term(key).kind is Kind.TURNS else "")
        return f"{self.text(key)} {unit}".rstrip().replace("-", "−")

    def _rounded(self, key: str, figure: float) -> float:
        return round(figure, self.unit(key)[1])


def _fine_enough(answer: Answer, formula: Formula, fmt: Formatter) -> _HandSum | None:
    """The hand sum with as many decimals as bring it to the answer; None where none do."""
    unknown = answer.question.unknown
    values = {**answer.best.values, answer.question.target: answer.best.check}
    for finer in range(_FINER + 1):
        hand = _HandSum(formula, values, fmt, finer)
        unit, decimals = hand.unit(unknown)
        try:
            off = abs(hand.figures[unknown] - in_unit(values[unknown], unit))
        except (ValueError, ZeroDivisionError):
            continue
        if off <= 10.0 ** (finer - decimals):
            return hand
    return None
