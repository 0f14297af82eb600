"""The answer as lines of text: the algebra, the numbers put in, and what comes of it.

The sums are in hand units (cm, cm², cm³; or in, in², in³), in which lengths
and volumes go together without a factor, and each line adds up as printed.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cached_property

from ccassist.engine.mathematics import FLOATS, Hand, number, printed
from ccassist.solve.algebra import Equation, Formula, Rewriter, equations, reading_order, rearrange, written
from ccassist.solve.remarks import reach_text
from ccassist.solve.solver import Answer, Root
from ccassist.values.display import METRIC, Formatter, places
from ccassist.vocabulary import Kind, term
from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import SYSTEMS, by_hand, conversion, in_unit

# Units of the hand sum with the decimals written; a sum with speeds in it goes by metres and seconds.
_HAND: dict[str, dict[Kind, tuple[str, int]]] = {
    **{system: by_hand(system) for system in SYSTEMS},
    "motion": {Kind.LENGTH: ("m", 6), Kind.SPEED: ("m/s", 3)},
}
_MOTION = (Kind.SPEED, Kind.TURNS)
_FINER = 6  # decimals that may be added where a small difference of large numbers needs them


def lines(answer: Answer, fmt: Formatter = METRIC, *, findings: bool = True) -> list[str]:
    """Everything there is to say, in order; an empty line parts the sections.

    ``findings`` : False where the caller lists the answer's findings elsewhere.
    """
    levers = (levers_of(target, answer.sensitivity(target), fmt) for target in answer.question.targets)
    return parted([*_way(answer, fmt), conclusion(answer, fmt, findings=findings), *levers])


def _way(answer: Answer, fmt: Formatter) -> list[list[str]]:
    """The algebra of each answer, with the numbers put in; or the equations closed in on."""
    if len(answer.question.unknowns) == 1:
        return [algebra(answer), sums(answer, fmt)]
    turns = answer.best.turns
    if not turns:
        told = _indented(_equations_of_all(answer))
        every = "both" if len(answer.question.unknowns) == 2 else "all"
        way = f"They were found by trial, closing in on {every} targets at once."
        return [[f"{every.capitalize()} targets hang on {every} unknowns:", *told, way]]
    sections: list[list[str]] = []
    for turn, before in zip(turns, (None, *turns), strict=False):
        unknown = term(turn.question.unknowns[0]).name
        if before is None:
            opening = f"First the {unknown}: of the two only it moves the {term(turn.question.target).name}."
        else:
            key = before.question.unknown
            put_in = fmt.number(key, answer.best.numbers[key])
            opening = f"Then, with the {term(key).name} {put_in}, the {unknown}."
        first, *more = _way(turn, fmt)
        sections += [[opening, *first], *more]
    return sections


def _equations_of_all(answer: Answer) -> list[str]:
    """The equations from the targets down to the unknowns, each once."""
    found: dict[str, Equation] = {}
    order: dict[str, None] = {}
    for target in answer.question.targets:
        order.update(dict.fromkeys(reading_order(answer.best.model, target)))
        for unknown in answer.question.unknowns:
            found.update((line.key, line) for line in equations(answer.best.model, unknown, target))
    return [written(found[key], tuple(order)) for key in order if key in found]


def parted(sections: Iterable[list[str]]) -> list[str]:
    """Sections one after the other with an empty line between them; empty ones are left out.

    >>> parted([["a"], [], ["b", "c"]])
    ['a', '', 'b', 'c']
    """
    flat: list[str] = []
    for section in filter(None, sections):
        flat += ["", *section] if flat else section
    return flat


def algebra(answer: Answer) -> list[str]:
    """The equations as they stand, then rearranged for the unknown."""
    question, best = answer.question, answer.best
    given = equations(best.model, question.unknown, question.target)
    order = reading_order(best.model, question.target)
    title = f"The {term(question.target).name} follows from the {term(question.unknown).name} by:"
    told = [title, *_indented(_told(given, order))]
    if best.formula is None:
        closed = rearrange(best.model, question.unknown, question.target) is not None
        why = "It" if closed else "No closed form is worked out for it: it"
        return [*told, f"{why} was found by trial, closing in on the target from both sides."]
    steps = _told(best.formula.steps, order)
    told += ["Rearranged, step by step:", *_indented(steps)]
    if len(steps) > 1:
        told += ["In one line:", *_indented([best.formula.text])]
    return told


def sums(answer: Answer, fmt: Formatter = METRIC) -> list[str]:
    """The numbers put into the rearranged formula, each line as one would re-add it; none without a formula."""
    formula = answer.best.formula
    if formula is None:
        return []
    hand = _fine_enough(answer, formula, fmt)
    if hand is None:
        return []
    told = ["With:", *_indented(hand.entry(key) for key in hand.entries())]
    told += ["The numbers put in:", *_indented(hand.sum(line) for line in formula.steps if _says_something(line))]
    return told


def conclusion(answer: Answer, fmt: Formatter = METRIC, *, findings: bool = True) -> list[str]:
    """The answer ± U with its sign in words, the check, what else moves, and what can be reached."""
    question, best = answer.question, answer.best
    told = [f"Answer: {_root_text(best, fmt)}"]
    told += [f"or: {_root_text(root, fmt)}" for root in answer.roots[1:]]
    told += [f"not: {reason}" for reason in answer.dropped]
    finer = {key: places(fmt.unit(key), None) + 1 for key in question.targets}
    checks = [f"the {term(k).name} {fmt.show(k, best.checks[k], decimals=more)}" for k, more in finer.items()]
    one = len(question.unknowns) == 1
    told.append(f"Check: {'put back, it gives' if one else 'both put back, they give'} {' and '.join(checks)}")
    told += [f"With {'it' if one else 'them'}: {term(k).name} {fmt.show(k, best.values[k])}" for k in answer.moved]
    reach = answer.usual or answer.reach
    if reach is not None:
        any_one = f"{'a usual' if answer.usual else 'any possible'} {term(question.unknown).name}"
        goes = reach_text(question.target, reach, fmt)
        told.append(f"With {any_one} the {term(question.target).name} goes {goes}")
    noticed = answer.findings if findings else ()
    return [*told, *(f"{finding.level.name.capitalize()}: {finding.text()}" for finding in noticed)]


def _root_text(root: Root, fmt: Formatter) -> str:
    return "; ".join(f"{term(key).name} {fmt.number(key, number)}" for key, number in root.numbers.items())


def levers_of(key: str, sensitivity: Iterable[tuple[str, float]], fmt: Formatter = METRIC) -> list[str]:
    """What moves a target: lines from (input term, change of the target per unit of it, SI).

    >>> levers_of("static_ratio", [("bore", 250.0)])
    ['What else moves the static compression ratio:', '  +0.0250 for 0.1 mm more bore']
    """
    decimals = places(fmt.unit(key), None) + 2
    told = []
    for other, slope in sensitivity:
        steps = term(other).kind.steps
        if not steps or slope == 0:
            continue
        number, unit = steps[SYSTEMS.index(fmt.system)]
        change = fmt.show(key, slope * number * conversion(unit).scale, words=False, decimals=decimals)
        sign = term(other).sign if term(other).kind is not Kind.ANGLE else None
        which = f" ({sign.plus[0]})" if sign else ""
        told.append(
            f"{change if change.startswith('−') else f'+{change}'} for {number:g} {unit} more {term(other).name}{which}"
        )
    return [f"What else moves the {term(key).name}:", *_indented(told)] if told else []


@record(kw_only=False)
class _HandSum:
    """The steps of a formula done with the numbers as they are written down."""

    formula: Formula
    values: Mapping[str, float]
    fmt: Formatter
    finer: int = 0

    def unit(self, key: str) -> tuple[str, int]:
        """The hand unit of a term and the decimals written."""
        kinds = [term(name).kind for line in self.formula.steps for name in (line.key, *line.needs())]
        table = _HAND["motion" if any(kind in _MOTION for kind in kinds) else self.fmt.system]
        unit, decimals = table.get(term(key).kind, ("", 4))
        return unit, decimals + self.finer

    def entries(self) -> list[str]:
        """The terms put in, in reading order."""
        worked_out = {line.key for line in self.formula.steps}
        needed = {name for line in self.formula.steps for name in line.needs()} - worked_out
        return [key for key in self.formula.order if key in needed]

    @cached_property
    def figures(self) -> dict[str, float]:
        """Every term of the sum in its hand unit, rounded as written; later steps use what earlier ones wrote."""
        found = {key: self._rounded(key, in_unit(self.values[key], self.unit(key)[0])) for key in self.entries()}
        for line in self.formula.steps:
            found[line.key] = self._rounded(line.key, Rewriter(found.__getitem__, FLOATS)(line.expression))
        return found

    def text(self, key: str) -> str:
        """A figure as written, without trailing zeros."""
        text = f"{self.figures[key]:.{self.unit(key)[1]}f}".rstrip("0").rstrip(".")
        return "0" if text in ("-0", "") else text

    def entry(self, key: str) -> str:
        """A term, its number and its name."""
        return f"{term(key).symbol} = {self._signed(key)}  ({term(key).name})"

    def sum(self, line: Equation) -> str:
        """A step with its numbers, such as "Vc = 505.383 ÷ (8.8 − 1) = 64.793 cm³"."""
        put_in: Hand = Rewriter(lambda key: number(self.text(key)), printed(), self.formula.order)(line.expression)
        result = f"{term(line.key).symbol} = {put_in.text} = {self._signed(line.key)}"
        shown = self.fmt.unit(line.key)
        if term(line.key).kind is Kind.VOLUME and self.unit(line.key)[0] == "in³" != shown:
            result += f" = {self.figures[line.key] * conversion('in³').scale / conversion(shown).scale:.3f} {shown}"
        return result.replace("-", "−")

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


def _told(lines: Iterable[Equation], order: tuple[str, ...]) -> list[str]:
    """The lines as written, without one that only says that Vb is Vb."""
    texts = [written(line, order) for line in lines]
    return [text for text in texts if len(set(text.split(" = "))) > 1]


def _says_something(line: Equation) -> bool:
    """False for a line such as "S = T", which only gives a number another name."""
    return not line.expression.is_Symbol


def _indented(texts: Iterable[str]) -> list[str]:
    return [f"  {text}" for text in texts]
