"""Burettes, measuring cylinders, one-mark pipettes and flasks: compact tables of the standards.

All of them are stated at 20 °C.  The error holds at any point and between any
two points of a scale, so it is charged once a delivery.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import sqrt

from ccassist.bench.instruments.instrument import Instrument, Limit
from ccassist.vocabulary import Kind

ML = 1e-6

# Class A is taken as borosilicate 3.3, with room for 5.0; class B is anything
# from that to soda-lime (ISO 4787:2010: 9.9e-6 and 27e-6, seen as quoted).
EXPANSION = {"A": (9.9e-6, 3e-6), "B": ((9.9e-6 + 27e-6) / 2, (27e-6 - 9.9e-6) / sqrt(12))}

# fmt: off
# capacity, division, permissible error of class A, of class B [ml]
BURETTES: tuple[tuple[float, float, float, float], ...] = (  # ISO 385:2005, Table 1
    (1, 0.01, 0.006, 0.02), (2, 0.01, 0.01, 0.02), (5, 0.02, 0.01, 0.02), (10, 0.02, 0.02, 0.05),
    (10, 0.05, 0.03, 0.05), (25, 0.05, 0.03, 0.05), (25, 0.1, 0.05, 0.1), (50, 0.1, 0.05, 0.1), (100, 0.2, 0.1, 0.2),
)
FINER = {(10, 0.02), (25, 0.05)}  # the less usual division of its size: named by it
SHAKY = {(1, 0.01), (10, 0.02)}  # of class B: rows that differ between copies of the table
CYLINDERS: tuple[tuple[float, float, float, float], ...] = (  # ISO 4788:2005, Table 1
    (5, 0.1, 0.05, 0.1), (10, 0.2, 0.1, 0.2), (25, 0.5, 0.25, 0.5), (50, 1, 0.5, 1), (100, 1, 0.5, 1),
    (250, 2, 1, 2), (500, 5, 2.5, 5), (1000, 10, 5, 10), (2000, 20, 10, 20),
)
PIPETTES: tuple[tuple[float, float, float], ...] = (  # ISO 648:2008: capacity, A, B [ml]
    (0.5, 0.005, 0.010), (1, 0.008, 0.015), (2, 0.010, 0.020), (5, 0.015, 0.030), (10, 0.020, 0.040),
    (20, 0.030, 0.060), (25, 0.030, 0.060), (50, 0.050, 0.100), (100, 0.080, 0.150),
)
FLASKS: tuple[tuple[float, float, float], ...] = (  # ISO 1042:1998: capacity, A, B [ml]
    (10, 0.025, 0.05), (20, 0.040, 0.08), (25, 0.040, 0.08), (50, 0.060, 0.12), (100, 0.100, 0.20),
    (200, 0.150, 0.30), (250, 0.150, 0.30), (500, 0.250, 0.50), (1000, 0.400, 0.80), (2000, 0.600, 1.20),
)
# fmt: on

_DOUBTFUL = "; this row differs between copies of the table, the wider figure is taken"
_BURETTE = "Read the bottom of the meniscus at eye level; tip clear of air; wait half a minute for the walls to drain."

_CYLINDER = "Made to contain: what clings to the wall when poured is not in its scale."
_PIPETTE = "One mark, one volume: let it run out by itself against the wall, do not blow."
_FLASK = "Made to contain: weigh it dry and full to find a fluid's density."


def glassware() -> Iterator[Instrument]:
    """Every member of the glass families, classes A and B."""
    yield from _burettes()
    yield from _cylinders()
    yield from _one_mark("pipette", PIPETTES, "ISO 648:2008", _PIPETTE)
    yield from _one_mark("flask", FLASKS, "ISO 1042:1998", _FLASK)


def _burettes() -> Iterator[Instrument]:
    source = "ISO 385:2005, Table 1"
    for capacity, division, a, b in BURETTES:
        fine = f" by {division:g}" if (capacity, division) in FINER else ""
        for grade, error in (("A", a), ("B", b)):
            shaky = _DOUBTFUL if grade == "B" and (capacity, division) in SHAKY else ""
            size, step = f"{capacity:g} ml{fine}", division / 2
            yield _glass("burette", size, grade, capacity, error, step, source + shaky, "seen", _BURETTE)


def _cylinders() -> Iterator[Instrument]:
    kind, source = "measuring cylinder", "ISO 4788:2005, Table 1"
    for capacity, division, a, b in CYLINDERS:
        for grade, error in (("A", a), ("B", b)):
            size, step = f"{capacity:g} ml", division / 2
            yield _glass(kind, size, grade, capacity, error, step, source, "memory", _CYLINDER)


def _one_mark(
    kind: str, table: tuple[tuple[float, float, float], ...], source: str, advice: str
) -> Iterator[Instrument]:
    for capacity, a, b in table:
        for grade, error in (("A", a), ("B", b)):
            yield _glass(kind, f"{capacity:g} ml", grade, capacity, error, 0.0, source, "seen", advice)


def _glass(
    kind: str, size: str, grade: str, capacity: float, error: float, step: float, source: str, known: str, advice: str
) -> Instrument:
    expansion, doubt = EXPANSION[grade]
    # The class not said is the wider one; class AS has the errors of class A.
    others: tuple[str, ...] = (f"{kind} {size}",) if grade == "B" else (f"{kind} {size} class AS",)
    if kind == "measuring cylinder":
        others += tuple(name.replace("measuring", "graduated") for name in (*others, f"{kind} {size} class {grade}"))
    return Instrument(
        key=f"{kind} {size} class {grade}",
        name=f"{kind} {size}, class {grade}",
        kind=Kind.VOLUME,
        resolution=step * ML,
        limits=(Limit(up_to=capacity * ML, fixed=error * ML),),
        capacity=capacity * ML,
        expansion=expansion,
        expansion_doubt=doubt,
        source=source,
        known=known,
        synonyms=others,
        advice=advice,
        rises=True if kind == "burette" else None,  # nought at the top
    )
