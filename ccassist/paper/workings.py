"""Relations written out with their numbers put in, as a person would work them at the bench.

Each number is given to as few digits as give the printed result again.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from math import radians

from ccassist.analysis.cylinder import Cylinder
from ccassist.analysis.sums import RATIO, TOTAL, addition, as_printed, ratio_as_printed
from ccassist.analysis.sums import printed as printed_text
from ccassist.engine.handsum import Hand, number
from ccassist.engine.mathematics import FLOATS, printed
from ccassist.engine.relations import Relation
from ccassist.values.display import fixed, show
from ccassist.values.measured import Value
from ccassist.values.quantity import in_unit
from ccassist.values.units import shown_unit
from ccassist.vocabulary import Kind, term

# Units in which a hand sum comes out right without factors: those of one row belong together.
_HAND = {
    "metric": {Kind.LENGTH: "cm", Kind.AREA: "cm²", Kind.VOLUME: "cc"},
    "imperial": {Kind.LENGTH: "in", Kind.AREA: "in²", Kind.VOLUME: "in³"},
}
_LENGTHS = {"metric": "mm", "imperial": "in"}
_SPEED = {
    "metric": {Kind.LENGTH: "m", Kind.SPEED: "m/s"},
    "imperial": {Kind.LENGTH: "ft", Kind.SPEED: "ft/min", Kind.TURNS: "rpm"},
}
_SUMMED = (TOTAL, "bdc_volume", RATIO)
AREA_DIGITS, MOST_DIGITS = 7, 11


@dataclass(frozen=True, kw_only=True)
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

    >>> from ccassist.engine.relations import RELATIONS
    >>> formula(RELATIONS["gasket_volume"])
    'Vg = Ag × hg'
    """
    symbols = [Hand(term(key).symbol) for key in relation.needs]
    return f"{term(relation.gives).symbol} = {relation.function(*symbols, m=printed()).text}"


def is_identity(relation: Relation) -> bool:
    """Whether it only passes one term on."""
    return len(relation.needs) == 1 and relation.function(Hand("x"), m=printed()).text == "x"


def units_for(relation: Relation, system: str) -> dict[Kind, str]:
    """Units in which a relation is worked by hand."""
    kinds = {term(key).kind for key in (*relation.needs, relation.gives)}
    if Kind.SPEED in kinds:
        return _SPEED[system]
    if kinds <= {Kind.LENGTH, Kind.RATIO}:
        return {Kind.LENGTH: _LENGTHS[system]}
    if kinds & {Kind.LENGTH, Kind.AREA}:
        return _HAND[system]
    return {Kind.VOLUME: "cc"}


def significant(value: float, digits: int) -> str:
    """A number to so many significant digits, without idle zeros.

    >>> significant(8.650500, 7), significant(0.02, 7), significant(-1200.0, 3)
    ('8.6505', '0.02', '-1200')
    """
    return _trimmed(f"{float(f'{value:.{digits - 1}e}'):.12f}")


def _trimmed(text: str) -> str:
    short = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if short in ("", "-0", "-") else short


def work(relation: Relation, cylinder: Cylinder, decimals: int, system: str) -> Working:
    """A relation with a cylinder's numbers put in; ``decimals`` is that of the printed volumes."""
    if relation.gives in _SUMMED:
        return _work_as_summed(relation, cylinder, decimals, system)
    units = {**units_for(relation, system), Kind.ANGLE: "deg"}
    numbers = [in_unit(cylinder.values[key].nominal, units.get(term(key).kind, "")) for key in relation.needs]
    angles = [term(key).kind is Kind.ANGLE for key in relation.needs]
    unit = units.get(term(relation.gives).kind, "")
    shown = cylinder.values[relation.gives]

    def result(values: list[float]) -> str:
        put_in = (radians(value) if angle else value for value, angle in zip(values, angles, strict=True))
        return _result(relation.function(*put_in, m=FLOATS), term(relation.gives).kind, unit, decimals)

    wanted, texts = result(numbers), [""]
    for digits in range(4, MOST_DIGITS + 1):
        texts = [significant(n, digits) for n in numbers]
        if result([float(text) for text in texts]) == wanted:
            break
    written = [f"{text}°" if angle else text for text, angle in zip(texts, angles, strict=True)]
    put_in = relation.function(*(number(text) for text in written), m=printed()).text
    return Working(
        put_in=put_in, result=wanted.replace("-", "−"), unit=unit, shown=_shown(shown, unit, decimals, system)
    )


def _result(value: float, kind: Kind, unit: str, decimals: int) -> str:
    """The result of a hand sum: volumes to the decimals of the sum, the rest to as many as the next step needs."""
    if kind is Kind.AREA:
        return significant(value, AREA_DIGITS)
    if kind is Kind.VOLUME:
        text = fixed(value, decimals + (2 if unit == "in³" else 0))
        return text.lstrip("-") if float(text) == 0 else text
    return _trimmed(f"{value:.5f}")


def _shown(value: Value, unit: str, decimals: int, system: str) -> str:
    """The result in the unit in which it is shown elsewhere, with its sign in words; "" where that says nothing new."""
    wanted = term(value.key)
    if unit == shown_unit(wanted, system) and wanted.sign is None:
        return ""
    if wanted.kind is Kind.VOLUME:
        return show(value.key, value.nominal, system=system, decimals=decimals)
    return show(value.key, value.nominal, system=system)


def _work_as_summed(relation: Relation, cylinder: Cylinder, decimals: int, system: str) -> Working:
    """The volumes as they were printed, added exactly."""
    added = addition(cylinder, decimals, system)
    exact = {key: as_printed(cylinder.values[key], decimals, system) for key in relation.needs}
    if added is not None and TOTAL in exact:
        exact[TOTAL] = added.total
    result: Decimal = relation(exact)
    if relation.gives == RATIO:
        result = ratio_as_printed(cylinder, exact[TOTAL], decimals, system)
    texts = [printed_text(exact[key]) if exact[key] else "0" for key in relation.needs]
    put_in = relation.function(*(number(text) for text in texts), m=printed()).text
    return Working(put_in=put_in, result=printed_text(result), unit="" if relation.gives == RATIO else "cc")


def worked(
    relation: Relation, cylinders: Sequence[Cylinder], decimals: int, system: str
) -> list[tuple[list[int], Working]]:
    """The workings of a relation, cylinders with the same numbers together."""
    groups: dict[Working, list[int]] = {}
    for cylinder in cylinders:
        if relation in cylinder.model.chain:
            groups.setdefault(work(relation, cylinder, decimals, system), []).append(cylinder.number)
    return [(numbers, working) for working, numbers in groups.items()]


def relations_met(cylinders: Sequence[Cylinder]) -> list[Relation]:
    """Every relation used for any cylinder, in working order."""
    return list(dict.fromkeys(step for cylinder in cylinders for step in cylinder.model.chain))
