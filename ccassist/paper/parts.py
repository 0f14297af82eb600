"""What the space at top dead centre is made of: the sums that add exactly as printed."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from itertools import pairwise
from math import radians

from reportlab.platypus import Flowable

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
from ccassist.analysis.sums import printed as printed_text
from ccassist.engine.mathematics import Hand, Relation, number
from ccassist.paper.furniture import Cell, Entry, Floating, Line, heading, prose, subheading, table
from ccassist.paper.page import SLANT, STRONG
from ccassist.paper.sheet import GREY, SMALL, Sheet
from ccassist.report.columns import bare
from ccassist.values.display import Formatter, fixed
from ccassist.values.findings import runs
from ccassist.values.measured import Value
from ccassist.vocabulary import Kind, term
from ccassist.vocabulary.enumerations import System
from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import SYSTEMS, by_hand, conversion, in_unit

# Relations written out with their numbers put in, as a person would work them at the bench.
#
# Each number is given to as few digits as give the printed result again.

# Units of a sum with a speed in it; those of one row belong together.
_SPEED = {
    System.METRIC: {Kind.LENGTH: "m", Kind.SPEED: "m/s"},
    System.IMPERIAL: {Kind.LENGTH: "ft", Kind.SPEED: "ft/min", Kind.TURNS: "rpm"},
}
_SUMMED = (TOTAL, "bdc_volume", RATIO)
AREA_DIGITS, MOST_DIGITS = 7, 11


@record
class Working:
    """One relation worked out: numbers put in, result and its unit, and the same as shown elsewhere if that differs."""

    put_in: str
    result: str
    unit: str
    shown: str = ""

    @property
    def text(self) -> str:
        """The line after the formula."""
        unit = f" {self.unit}" if self.unit else ""
        return f"{self.put_in} = {self.result}{unit}" + (f" = {self.shown}" if self.shown else "")


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
        return {kind: _as_shown(kind, unit, fmt) for kind, (unit, _) in by_hand(fmt.system).items()}
    return {Kind.VOLUME: "cc"}


def _as_shown(kind: Kind, unit: str, fmt: Formatter) -> str:
    """A unit as it is spelled where the kind is shown, if that is the same unit: cc for cm³."""
    shown = kind.shown[SYSTEMS.index(fmt.system)]
    return shown if conversion(shown) == conversion(unit) else unit


def significant(value: float, digits: int) -> str:
    """A number to so many significant digits, without idle zeros.

    >>> significant(8.650500, 7), significant(0.02, 7), significant(-1200.0, 3)
    ('8.6505', '0.02', '-1200')
    """
    return _trimmed(f"{float(f'{value:.{digits - 1}e}'):.12f}")


def _trimmed(text: str) -> str:
    short = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if short in ("", "-0", "-") else short


def work(relation: Relation, cylinder: Cylinder, decimals: int, fmt: Formatter) -> Working:
    """A relation with a cylinder's numbers put in; ``decimals`` is that of the printed volumes."""
    if relation.gives in _SUMMED:
        return _work_as_summed(relation, cylinder, decimals, fmt)
    units = {**units_for(relation, fmt), Kind.ANGLE: "deg"}
    numbers = [in_unit(cylinder.values[key].nominal, units.get(term(key).kind, "")) for key in relation.needs]
    angles = [term(key).kind is Kind.ANGLE for key in relation.needs]
    unit = units.get(term(relation.gives).kind, "")
    shown = cylinder.values[relation.gives]

    def result(values: list[float]) -> str:
        put_in = (radians(value) if angle else value for value, angle in zip(values, angles, strict=True))
        found = relation(dict(zip(relation.needs, put_in, strict=True)))
        return _result(found, term(relation.gives).kind, unit, decimals)

    wanted, texts = result(numbers), [""]
    for digits in range(4, MOST_DIGITS + 1):
        texts = [significant(n, digits) for n in numbers]
        if result([float(text) for text in texts]) == wanted:
            break
    written = [f"{text}°" if angle else text for text, angle in zip(texts, angles, strict=True)]
    put_in = relation.written(*map(number, written))
    return Working(put_in=put_in, result=wanted.replace("-", "−"), unit=unit, shown=_shown(shown, unit, decimals, fmt))


def _result(value: float, kind: Kind, unit: str, decimals: int) -> str:
    """The result of a hand sum: volumes to the decimals of the sum, the rest to as many as the next step needs."""
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


def _work_as_summed(relation: Relation, cylinder: Cylinder, decimals: int, fmt: Formatter) -> Working:
    """The volumes as they were printed, added exactly."""
    added = addition(cylinder, decimals, fmt)
    exact = {key: as_printed(cylinder.values[key], decimals, fmt) for key in relation.needs}
    if added is not None and TOTAL in exact:
        exact[TOTAL] = added.total
    result: Decimal = relation(exact)
    if relation.gives == RATIO:
        result = ratio_as_printed(cylinder, exact[TOTAL], decimals, fmt)
    texts = [printed_text(exact[key]) if exact[key] else "0" for key in relation.needs]
    put_in = relation.written(*map(number, texts))
    return Working(put_in=put_in, result=printed_text(result), unit="" if relation.gives == RATIO else "cc")


def worked(
    relation: Relation, cylinders: Sequence[Cylinder], decimals: int, fmt: Formatter
) -> list[tuple[list[int], Working]]:
    """The workings of a relation, cylinders with the same numbers together."""
    groups: dict[Working, list[int]] = {}
    for cylinder in cylinders:
        if relation in cylinder.model.chain:
            groups.setdefault(work(relation, cylinder, decimals, fmt), []).append(cylinder.number)
    return [(numbers, working) for working, numbers in groups.items()]


def relations_met(cylinders: Sequence[Cylinder]) -> list[Relation]:
    """Every relation used for any cylinder, in working order."""
    return list(dict.fromkeys(step for cylinder in cylinders for step in cylinder.model.chain))


ACROSS = 8  # cylinders side by side in a sum
LONGEST_WHOLE = 6  # rows of one relation that are kept on one page


def _sums(sheet: Sheet) -> list[tuple[Cylinder, Addition]]:
    cylinders = sheet.survey.cylinders
    decimals = guarded(cylinders, sheet.fmt)
    found = ((c, addition(c, decimals, sheet.fmt)) for c in cylinders)
    return [(c, a) for c, a in found if a is not None]


def _keys(sums: Sequence[tuple[Cylinder, Addition]]) -> list[str]:
    """The parts met, without those that are nothing for every cylinder."""
    met = dict.fromkeys(key for _, a in sums for key in a.parts)
    return [key for key in met if any(a.parts.get(key) and key not in c.model.fixed for c, a in sums)]


def _part(key: str, one: Addition, cylinder: Cylinder) -> str:
    """One part as it enters the sum; signed where the trade could mistake it or where it is taken out."""
    if key not in one.parts:
        return "–"
    return printed(one.parts[key], signed=term(key).sign is not None or parts_of(cylinder)[key] < 0)


def parts_table(sheet: Sheet) -> list[Flowable]:
    """The sum of each cylinder in a row."""
    sums = _sums(sheet)
    if not sums:
        return []
    keys = _keys(sums)
    each = (sheet.width - 50) / (len(keys) + 1)
    rows: list[list[Entry]] = [
        [str(c.number), *(_part(key, a, c) for key in keys), Cell(Line(printed(a.total), STRONG))] for c, a in sums
    ]
    head: list[Entry] = [
        "cylinder",
        *(Cell(Line(term(key).name, STRONG)) for key in keys),
        Cell(Line(f"= {term(TOTAL).name}", STRONG)),
    ]
    made = Floating(
        "What the clearance volume is made of",
        *subheading("What the clearance volume is made of, cc"),
        table(head, rows, [50.0, *([each] * (len(keys) + 1))]),
        prose(_words(sheet, keys), SLANT, SMALL, shade=GREY),
    )
    return [made]


def _words(sheet: Sheet, keys: Sequence[str]) -> str:
    signs = [f"{term(k).name} + {s.plus[0]}, − {s.minus[0]}" for k in keys if (s := term(k).sign) is not None]
    meaning = f" Signs: {'; '.join(signs)}." if signs else ""
    return f"Each row adds exactly as printed; the headline is this sum, rounded.{meaning}"


# -- the hand sums ---------------------------------------------------------------------
def hand_sums(sheet: Sheet) -> list[Flowable]:
    """Every sum and every relation with its numbers put in."""
    cylinders = sheet.survey.cylinders
    relations = relations_met(cylinders)
    proper = [r for r in relations if not is_identity(r)]
    story = heading(sheet, "Sums, to be added again by hand")
    story += _columns(sheet)
    if not proper:
        return [*story, prose("Nothing is computed yet: too little is given.")]
    units = "centimetres (cm, cm², cc)" if sheet.system == System.METRIC else "inches (in, in², in³)"
    story.append(
        prose(
            f"Below, each equation once, then the numbers put in: in {units} where lengths and volumes meet. "
            "Numbers have as many digits as give the printed result again."
        )
    )
    story.append(_workings(sheet, proper))
    same = [f"{term(r.gives).name} = {term(r.needs[0]).name}" for r in relations if is_identity(r)]
    return [*story, *([prose(f"Taken over as they are: {'; '.join(same)}.")] if same else [])]


def _columns(sheet: Sheet) -> list[Flowable]:
    """The sum of volumes, one cylinder a column, total and headline below."""
    sums, story = _sums(sheet), []
    keys = _keys(sums)
    for start in range(0, len(sums), ACROSS):
        block = sums[start : start + ACROSS]
        rows: list[list[Entry]] = [[term(key).name, *(_part(key, a, c) for c, a in block)] for key in keys]
        rows.append([f"{term(TOTAL).name}, added", *(printed(a.total) for _, a in block)])
        rows.append(["headline, rounded", *(_headline(c, sheet.fmt) for c, _ in block)])
        label = 118.0
        each = min(66.0, (sheet.width - label) / len(block))
        story.append(
            table(
                ["volumes, cc", *(f"cyl. {c.number}" for c, _ in block)],
                rows,
                [label, *([each] * len(block))],
                breaks=(len(keys), len(keys) + 1),
                strong=(len(keys),),
                whole=[(0, len(keys) + 1)],
            )
        )
    return story


def _headline(cylinder: Cylinder, fmt: Formatter) -> Cell:
    value = cylinder.values[TOTAL]
    number, _, spread = bare(value, fmt).partition(" ± ")
    below = f"± {spread}" if spread else "exact"
    return Cell(Line(number), Line(below, shade=GREY))


def _workings(sheet: Sheet, relations: Sequence[Relation]) -> Flowable:
    """Each relation in symbols, then with numbers, cylinders with the same numbers together."""
    cylinders = sheet.survey.cylinders
    decimals = guarded(cylinders, sheet.fmt)
    rows: list[list[Entry]] = []
    titles: list[int] = []
    for relation in relations:
        titles.append(len(rows))
        rows.append(["", formula(relation), term(relation.gives).name, ""])
        rows += [
            _worked(numbers, working, len(cylinders))
            for numbers, working in worked(relation, cylinders, decimals, sheet.fmt)
        ]
    widths = [sheet.width * share for share in (0.1, 0.52, 0.165, 0.215)]
    return table(
        ["cylinder", "equation, numbers put in", "result", "that is"],
        rows,
        widths,
        words=(0, 1, 2, 3),
        breaks=titles[1:],
        strong=titles,
        spans=dict.fromkeys(titles, (2, 3)),
        whole=[(n, end - 1 if end - n <= LONGEST_WHOLE else n + 1) for n, end in pairwise([*titles, len(rows)])],
    )


def _worked(numbers: Sequence[int], working: Working, everyone: int) -> list[Entry]:
    who = "all" if len(numbers) == everyone > 1 else runs(numbers)
    unit = f" {working.unit}" if working.unit else ""
    return [who, working.put_in, f"= {working.result}{unit}", f"= {working.shown}" if working.shown else ""]
