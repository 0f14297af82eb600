"""What stands behind a piston order: how its numbers were found, the sum, mistakes, questions, cautions."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ccassist.analysis.cylinder import Cylinder
from ccassist.analysis.motion import flutter_text
from ccassist.analysis.sums import (
    RATIO,
    SWEPT,
    TOTAL,
    Addition,
    as_printed,
    guarded,
    printed,
    ratio_as_printed,
)
from ccassist.report.blocks import ITEM, LOOK, Block, Heading, Table, Text
from ccassist.report.data import column, rows_merged
from ccassist.report.order import Order, PistonOrder, ResultTold
from ccassist.report.workings import additions, part_text
from ccassist.values.display import Formatter
from ccassist.values.findings import Level, capital, whose
from ccassist.values.measured import unsure_texts
from ccassist.vocabulary import term
from ccassist.vocabulary.record import together
from ccassist.vocabulary.units import Origin

# What is told of each cylinder, by the words of a narrow column; and what of it at its worst too.
_CALLED = {RATIO: "static ratio", "squish": "squish gap", "deck_clearance": "deck", TOTAL: "clearance volume"}
_AT_WORST = (RATIO, "squish")


def in_cylinders(told: PistonOrder, order: Order, keys: Sequence[str] = _AT_WORST) -> Iterator[Table]:
    """What the one piston gives in every cylinder, those of which the same is said in one row."""
    heads, columns = ["cyl"], []
    for key in keys:
        found = [one.values.get(key) for one in told.cylinders]
        if not any(found):
            continue
        head, cells = column(key, _CALLED[key], [None if one is None else one.value for one in found], order.fmt)
        heads.append(head)
        columns.append(cells)
        if key in _AT_WORST:
            heads.append("at worst")
            columns.append([_worst(key, one, order.fmt) for one in found])
    if columns:
        rows = zip((one.cylinder for one in told.cylinders), zip(*columns, strict=True), strict=True)
        yield Table(head=tuple(heads), rows=rows_merged(rows), long=True)


def _worst(key: str, one: ResultTold | None, fmt: Formatter) -> str:
    """From one end to the other, without the unit and the words that the head says."""
    if one is None or one.worst_low is None or not one.worst_text:
        return "not known"
    usual = f" {fmt.unit(key)}{sign.says_plus.partition('{}')[2] if (sign := term(key).sign) else ''}"
    return one.worst_text.removesuffix(usual) if one.worst_low > 0 else one.worst_text


def wanted_texts(told: PistonOrder) -> Iterator[str]:
    """Which of the ranges that are wanted are kept at their worst, and in which cylinders one is not."""
    said: dict[str, list[str]] = {}
    for key in dict.fromkeys(key for c in told.cylinders for key in c.values):
        found = {c.cylinder: c.values[key] for c in told.cylinders if key in c.values}
        wanted = next(iter(found.values())).wanted_text
        if wanted:
            said.setdefault(_kept_words(found), []).append(f"{term(key).name} wanted {wanted}")
    yield from (f"{capital(', '.join(what))}: {words}." for words, what in said.items())


def _kept_words(found: dict[int, ResultTold]) -> str:
    kept = {True: "kept at the worst", False: "NOT KEPT at the worst", None: "not known at the worst"}
    said = together((kept[one.kept], number) for number, one in found.items())
    if len(said) == 1:
        return next(iter(said))
    return "; ".join(f"{words} in {whose(who)}" for words, who in said.items())


def how_found(order: Order, told: PistonOrder) -> Iterator[Block]:
    """How the numbers were found."""
    yield Heading("How the numbers were found")
    yield Text(told.convention)
    for one in told.ordered.values():
        found = (
            f"{one.how}: {order.fmt.value(one.worked_out)}, rounded for the order"
            if one.origin == Origin.WORKED_OUT
            else f"{one.origin}, {one.how}"
        )
        held = f"tolerance {one.tolerance_from}" if one.tolerance else f"no tolerance: {one.tolerance_from}"
        yield Text(f"{capital(one.name)}: {found}; {held}.")
    yield from _crown_parts(told)


def behind(order: Order, told: PistonOrder) -> Iterator[Block]:
    """The sum, mistakes, questions and cautions."""
    yield from _sum(order, told)
    if told.motion_text:
        yield Text(told.motion_text)
        width = order.spec.order.get("top_ring_width")
        yield from [Text(flutter_text(width, order.fmt))] if width and width.nominal else []
    yield from _mistakes(order, told)
    yield Heading("To confirm with the maker")
    barred = {one.wrong for one in order.judged.outcomes}
    left = [one for one in order.checks if one.wrong not in barred]
    yield from (
        Text(f"{one.wrong}; {one.right}.", LOOK if one.level > Level.NOTE else "ask", small=True) for one in left
    )
    yield Heading("Cautions")
    yield from (Text(text, ITEM, small=True) for text in told.cautions)


def _crown_parts(told: PistonOrder) -> Iterator[Text]:
    if told.crown.adds:
        parts = "; ".join(f"{name}: {one.text}" for name, one in told.crown.adds.items())
        yield Text(f"What the crown is made of: {parts}.")


def _sum(order: Order, told: PistonOrder) -> Iterator[Block]:
    """The sum to be added again, and the ratio from it."""
    yield Heading("The sum, to be added again")
    found, fmt = order.spec.planned.cylinders, order.fmt
    decimals = guarded(found, fmt)
    sums, keys = additions(found, decimals, fmt)
    if not sums:
        lacking = dict.fromkeys(key for c in found for key in c.model.lacking.get(TOTAL, ()))
        yield Text(f"It cannot be added yet: not given: {', '.join(term(k).name for k in lacking) or 'a part of it'}.")
        return
    rows: list[tuple[int, tuple[str, ...]]] = []
    for cylinder, made in sums:
        parts = [part_text(key, made.parts.get(key), cylinder) for key in keys]
        rows.append((cylinder.number, (*parts, printed(made.total), *_divided(cylinder, made, decimals, fmt))))
    last = ("swept volume", "ratio") if RATIO in sums[0][0].values else ()
    head = ("cyl.", *(term(key).name for key in keys), f"= {term(TOTAL).name}", *last)
    yield Table(head=head, rows=rows_merged(rows))
    signs_text = "; ".join(f"{term(k).name} + {s.plus[0]}, − {s.minus[0]}" for k in keys if (s := term(k).sign))
    how = "the ratio is (swept + clearance) ÷ clearance, of the volumes as printed. " if last else ""
    yield Text(f"In cc; each row adds exactly as printed; {how}Signs: {signs_text}. {told.counted}", small=True)
    yield from _ratios(order, told)


def _divided(cylinder: Cylinder, made: Addition, decimals: int, fmt: Formatter) -> Iterator[str]:
    """The swept volume, and the ratio from the volumes as printed."""
    if RATIO in cylinder.values:
        yield printed(as_printed(cylinder.values[SWEPT], decimals, fmt))
        yield printed(ratio_as_printed(cylinder, made.total, decimals, fmt))


def _ratios(order: Order, told: PistonOrder) -> Iterator[Block]:
    """What one common piston gives in each cylinder, each with its ± and at its worst."""
    yield Heading("What one common piston gives in each cylinder", 2)
    yield from in_cylinders(told, order, tuple(_CALLED))
    yield from map(Text, wanted_texts(told))
    results = [(f"cylinder {c.cylinder}", r.value) for c in told.cylinders for k, r in c.values.items() if k != TOTAL]
    yield from map(Text, unsure_texts(results, order.fmt))
    yield Text("The ± holds the tolerances of this order and all that was measured.", small=True)


def _mistakes(order: Order, told: PistonOrder) -> Iterator[Block]:
    """What the usual mistakes would come to, on this very engine."""
    if not told.mistakes or order.first is None:
        return
    yield Heading("What a mistake would come to")
    planned = order.fmt.show(RATIO, order.first.values[RATIO].nominal)
    yield Text(
        f"On cylinder {told.mistakes_in_cylinder}, which has the highest ratio ({planned} as ordered). If a number on "
        "this sheet leads to one of these, something has been misread."
    )
    rows = [(one.words, one.ratio_text, one.squish_text or "not known", one.crown_text) for one in told.mistakes]
    head = ("mistake", "ratio", "squish gap", "crown that would be cut")
    yield Table(
        head=head, rows=tuple(rows), names=(0, 2, 3), strong=tuple((n, 1) for n in range(len(rows))), close=True
    )
