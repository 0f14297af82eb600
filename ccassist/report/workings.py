"""Hand sums: what the space at top dead centre is made of, and each equation with its numbers put in.

Sums add exactly as printed; each number of an equation is given to as few
digits as give the printed result again, as a person would work it at the bench.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal
from itertools import chain
from math import radians

from ccassist.analysis.cylinder import Cylinder
from ccassist.analysis.sums import (
    RATIO,
    TOTAL,
    Addition,
    addition,
    as_printed,
    guarded,
    parts_of,
    printed,
    ratio_as_printed,
)
from ccassist.engine.mathematics import Hand, Relation, number
from ccassist.report.blocks import Block, Sum, Table, Text
from ccassist.values.display import Formatter, fixed
from ccassist.values.findings import listed, runs
from ccassist.values.measured import Value
from ccassist.vocabulary import Kind, Term, term
from ccassist.vocabulary.record import record, together
from ccassist.vocabulary.units import POWER, SYSTEMS, System, by_hand, in_unit

# Units of a sum with a speed in it; those of one row belong together.
_SPEED = {
    System.METRIC: {Kind.LENGTH: "m", Kind.SPEED: "m/s"},
    System.IMPERIAL: {Kind.LENGTH: "ft", Kind.SPEED: "ft/min", Kind.TURNS: "rpm"},
}


@record
class AreasOfSums(Formatter):
    """A formatter of tables beside which sums stand: an area is said in the unit in which it is put in there."""

    def unit(self, wanted: Term | str) -> str:
        """Of an area that of the sums."""
        one = term(wanted) if isinstance(wanted, str) else wanted
        return by_hand(self.system)[Kind.AREA][0] if one.kind is Kind.AREA else one.shown(self.system)


_SUMMED = (TOTAL, "bdc_volume", RATIO)
AREA_DIGITS, MOST_DIGITS = 7, 11
SYMBOL_COLUMNS = 3


@record
class HandWork:
    """One relation worked out: numbers put in, result and its unit, and the same as shown elsewhere if that differs."""

    put_in: str
    result: str
    unit: str
    shown: str = ""


def formula(relation: Relation) -> str:
    """The relation in symbols: ``Vg = Ag × hg``.

    >>> from ccassist.engine.model import RELATIONS
    >>> formula(RELATIONS["gasket_volume"])
    'Vg = Ag × hg'
    """
    symbols = [Hand(term(key).symbol) for key in relation.needs]
    return f"{term(relation.gives).symbol} = {relation.written(*symbols)}"


def is_identity(relation: Relation) -> bool:
    """Whether it only passes one term on."""
    return len(relation.needs) == 1 and relation.written(Hand("x")) == "x"


def units_for(relation: Relation, fmt: Formatter) -> dict[Kind, str]:
    """Units in which a relation is worked by hand."""
    kinds = {term(key).kind for key in (*relation.needs, relation.gives)}
    if Kind.SPEED in kinds:
        return _SPEED[fmt.system]
    if kinds <= {Kind.LENGTH, Kind.RATIO}:
        return {Kind.LENGTH: Kind.LENGTH.shown[SYSTEMS.index(fmt.system)]}
    if kinds & {Kind.LENGTH, Kind.AREA}:
        return {kind: unit for kind, (unit, _) in by_hand(fmt.system).items()}
    return {Kind.VOLUME: "cc"}


def significant(value: float, digits: int) -> str:
    """A number to so many significant digits, without idle zeros.

    >>> significant(8.650500, 7), significant(0.02, 7), significant(-1200.0, 3)
    ('8.6505', '0.02', '-1200')
    """
    return _trimmed(f"{Decimal(f'{value:.{digits - 1}e}'):f}")


def _trimmed(text: str) -> str:
    short = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if short in ("", "-0", "-") else short


def work(relation: Relation, cylinder: Cylinder, decimals: int, fmt: Formatter) -> HandWork:
    """A relation with a cylinder's numbers put in; ``decimals`` is that of the printed volumes."""
    if relation.gives in _SUMMED:
        return _work_as_summed(relation, cylinder, decimals, fmt)
    units = {**units_for(relation, fmt), Kind.ANGLE: "deg"}
    numbers = [in_unit(cylinder.values[key].nominal, units.get(term(key).kind, "")) for key in relation.needs]
    angles = [term(key).kind is Kind.ANGLE for key in relation.needs]
    unit = units.get(term(relation.gives).kind, "")
    shown = cylinder.values[relation.gives]

    in_mm = units.get(Kind.VOLUME) == "cc" and units.get(Kind.LENGTH) == "mm"
    powers = [POWER.get(term(key).kind, 0) * in_mm for key in relation.needs]

    def result(values: list[float]) -> str:
        put_in = (
            radians(value) if angle else value / 10**power
            for value, angle, power in zip(values, angles, powers, strict=True)
        )  # in centimetres, in which no factor is needed
        found = relation(dict(zip(relation.needs, put_in, strict=True)))
        return _result(found * 10 ** (POWER.get(term(relation.gives).kind, 0) * in_mm), relation, unit, decimals)

    wanted, texts = result(numbers), [""]
    for digits in range(4, MOST_DIGITS + 1):
        texts = [significant(n, digits) for n in numbers]
        if result([float(text) for text in texts]) == wanted:
            break
    written = [f"{text}°" if angle else text for text, angle in zip(texts, angles, strict=True)]
    put_in = relation.written(*map(number, written, powers))
    return HandWork(put_in=put_in, result=wanted.replace("-", "−"), unit=unit, shown=_shown(shown, unit, decimals, fmt))


def _result(value: float, relation: Relation, unit: str, decimals: int) -> str:
    """The result of a hand sum: volumes to the decimals of the sum, the rest to as many as the next step needs."""
    kind = term(relation.gives).kind
    if kind is Kind.AREA:
        return significant(value, AREA_DIGITS)
    if kind is Kind.VOLUME:
        text = fixed(value, decimals + (2 if unit == "in³" else 0))
        return text.lstrip("-") if float(text) == 0 else text
    return _trimmed(f"{value:.5f}")


def _shown(value: Value, unit: str, decimals: int, fmt: Formatter) -> str:
    """The result in the unit in which it is shown elsewhere, with its sign in words; "" where that says nothing new."""
    wanted = term(value.key)
    if unit == fmt.unit(wanted) and wanted.sign is None:
        return ""
    if wanted.kind is Kind.VOLUME:
        return fmt.show(value.key, value.nominal, decimals=decimals)
    return fmt.show(value.key, value.nominal)


def _work_as_summed(relation: Relation, cylinder: Cylinder, decimals: int, fmt: Formatter) -> HandWork:
    """The volumes as they were printed, added exactly."""
    added = addition(cylinder, decimals, fmt)
    exact = {key: as_printed(cylinder.values[key], decimals, fmt) for key in relation.needs}
    if added is not None and TOTAL in exact:
        exact[TOTAL] = added.total
    result: Decimal = relation(exact)
    if relation.gives == RATIO:
        result = ratio_as_printed(cylinder, exact[TOTAL], decimals, fmt)
    texts = [printed(exact[key]) if exact[key] else "0" for key in relation.needs]
    put_in = relation.written(*map(number, texts))
    return HandWork(put_in=put_in, result=printed(result), unit="" if relation.gives == RATIO else "cc")


def worked(
    relation: Relation, cylinders: Sequence[Cylinder], decimals: int, fmt: Formatter
) -> list[tuple[list[int], HandWork]]:
    """The workings of a relation, cylinders with the same numbers together."""
    done = (c for c in cylinders if relation in c.model.chain)
    groups = together((work(relation, c, decimals, fmt), c.number) for c in done)
    return [(numbers, working) for working, numbers in groups.items()]


def relations_met(cylinders: Sequence[Cylinder]) -> list[Relation]:
    """Every relation used for any cylinder, in working order."""
    return list(dict.fromkeys(step for cylinder in cylinders for step in cylinder.model.chain))


# -- as blocks of a report ---------------------------------------------------------------
def hand_sums(cylinders: Sequence[Cylinder], fmt: Formatter) -> Iterator[Block]:
    """Every sum, and every relation with its numbers put in; nothing of bare heads."""
    added = added_up(cylinders, fmt)
    if added is not None:
        yield added
    proper = [relation for relation in relations_met(cylinders) if not is_identity(relation)]
    if not proper:
        return
    units = (
        "mm, mm² and cc (1 cc is 1000 mm³)"
        if fmt.system == System.METRIC
        else "inches (in, in², in³) where lengths and volumes meet"
    )
    yield Text(
        f"Below, each equation once, then the numbers put in: in {units}. "
        "Numbers have as many digits as give the printed result again."
    )
    yield _workings(cylinders, proper, fmt)
    same = [relation for relation in relations_met(cylinders) if is_identity(relation)]
    if same:
        names = "; ".join(f"{term(one.gives).name} = {term(one.needs[0]).name}" for one in same)
        yield Text(f"Taken over as they are: {names}.")


def additions(
    cylinders: Sequence[Cylinder], decimals: int, fmt: Formatter
) -> tuple[list[tuple[Cylinder, Addition]], list[str]]:
    """The sums of the cylinders that have one, and the terms that are something in any of them."""
    sums = [(c, found) for c in cylinders if (found := addition(c, decimals, fmt)) is not None]
    met = dict.fromkeys(key for _, one in sums for key in one.parts)
    return sums, [key for key in met if any(one.parts.get(key) and key not in c.model.fixed for c, one in sums)]


def added_up(cylinders: Sequence[Cylinder], fmt: Formatter) -> Sum | None:
    """The clearance volumes part by part, cylinders with the same sum in one column; None where none is a sum."""
    sums, keys = additions(cylinders, guarded(cylinders, fmt), fmt)
    columns: dict[tuple[str, ...], list[int]] = {}
    for cylinder, one in sums:
        headline, _, spread = fmt.value(cylinder.values[TOTAL], words=False).removesuffix(" cc").partition(" ± ")
        amounts = [part_text(key, one.parts.get(key), cylinder) for key in keys]
        columns.setdefault((*amounts, printed(one.total), headline, spread or "–"), []).append(cylinder.number)
    if not columns:
        return None
    names = [*(term(key).name for key in keys), f"{term(TOTAL).name}, added", "headline, rounded", "its ±"]
    rows = tuple((name, *cells) for name, cells in zip(names, zip(*columns, strict=True), strict=True))
    heads = tuple(f"cyl. {runs(who)}" for who in columns.values())
    return Sum(head=("volumes, cc", *heads), rows=rows[: len(keys)], totals=rows[len(keys) :])


def counting(cylinders: Sequence[Cylinder]) -> Iterator[str]:
    """What is counted, by the builder's choice, and what enters as nothing."""
    groups: dict[str, list[int]] = {}
    for c in cylinders:
        relation = c.model.relation_of(TOTAL)
        if relation is None:
            continue
        said = [f"the {name} is {words}" for name, words in c.choices.said.items()]
        nothing_of = {key: c.model.fixed[key] for key in relation.needs if key in c.model.fixed}
        nothing = [f"{term(key).name} ({why})" for key, why in nothing_of.items() if why != "not counted"]
        words = f"{listed(said)}." + (f" Entered as nothing: {listed(nothing)}." if nothing else "")
        groups.setdefault(words, []).append(c.number)
    for words, who in groups.items():
        yield f"Counting{'' if len(groups) == 1 else f', cylinders {runs(who)}'}: {words}"


def part_text(key: str, amount: Decimal | None, cylinder: Cylinder) -> str:
    """One part as it enters the sum; signed where the trade could mistake it or where it is taken out."""
    if amount is None:
        return "–"
    return printed(amount, signed=term(key).sign is not None or parts_of(cylinder)[key] < 0)


def _workings(cylinders: Sequence[Cylinder], relations: Sequence[Relation], fmt: Formatter) -> Table:
    """Each relation in symbols, then with numbers, cylinders with the same numbers together."""
    decimals = guarded(cylinders, fmt)
    groups: list[list[tuple[str, ...]]] = []
    for relation in relations:
        found = worked(relation, cylinders, decimals, fmt)
        lines = [_worked(numbers, working, len(cylinders)) for numbers, working in found]
        groups.append([("", formula(relation), term(relation.gives).name, ""), *lines])
    starts = [sum(map(len, groups[:n])) for n in range(len(groups))]
    return Table(
        head=("cylinder", "equation, numbers put in", "result", "that is"),
        rows=tuple(chain.from_iterable(groups)),
        names=(0, 1, 2, 3),
        groups=tuple(starts),
        strong=tuple((start, column) for start in starts for column in (1, 2)),
    )


def _worked(numbers: Sequence[int], working: HandWork, everyone: int) -> tuple[str, ...]:
    who = "all" if len(numbers) == everyone > 1 else runs(numbers)
    unit = f" {working.unit}" if working.unit else ""
    return who, working.put_in, f"= {working.result}{unit}", f"= {working.shown}" if working.shown else ""


def algebra(cylinders: Sequence[Cylinder]) -> Iterator[Block]:
    """The relations behind the results with their sources, and what their symbols stand for."""
    met = [relation for relation in relations_met(cylinders) if not is_identity(relation)]
    if not met:
        yield Text("Too little is given for any relation to apply.")
        return
    rows = tuple((term(one.gives).name, formula(one), one.source) for one in met)
    strong = tuple((row, 1) for row in range(len(rows)))
    yield Table(head=("gives", "relation", "source"), rows=rows, names=(0, 1, 2), strong=strong)
    used = dict.fromkeys(key for one in met for key in (one.gives, *one.needs))
    pairs = sorted({(term(key).symbol, term(key).name) for key in used}, key=lambda pair: (pair[0].lower(), pair))
    deep = -(-len(pairs) // SYMBOL_COLUMNS)
    pairs += [("", "")] * (deep * SYMBOL_COLUMNS - len(pairs))
    yield Table(
        head=("symbol", "term") * SYMBOL_COLUMNS,
        rows=tuple(tuple(chain.from_iterable(pairs[row::deep])) for row in range(deep)),
        names=tuple(range(2 * SYMBOL_COLUMNS)),
        strong=tuple((row, column) for row in range(deep) for column in range(0, 2 * SYMBOL_COLUMNS, 2)),
    )
