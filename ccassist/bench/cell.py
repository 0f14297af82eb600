"""Readings of one thing made the same way, as numbers; and what comes of them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from ccassist.bench.repeats import UNKNOWN, Scatter
from ccassist.bench.step import Method, Step
from ccassist.values.findings import Finding
from ccassist.values.measured import Number, Value
from ccassist.values.quantity import Quantity

if TYPE_CHECKING:
    from ccassist.bench.profile import Profile

Way = tuple[str, ...]  # what makes readings "made the same way"


@dataclass(frozen=True, kw_only=True)
class Reading:
    """One row: field name -> quantities (several for refills)."""

    fields: Mapping[str, tuple[Quantity, ...]]
    method: Method
    set_aside: str = ""
    remark: str = ""
    line: int | None = None
    place: str = ""

    @property
    def said(self) -> str:
        """The row as it was read, in words: each field and its texts."""
        return ", ".join(f"{name} {' and '.join(q.raw for q in found)}" for name, found in self.fields.items())

    def one(self, name: str) -> float:
        """The SI value of a field that holds one quantity."""
        return self.fields[name][0].value


@dataclass(frozen=True, kw_only=True)
class Cell:
    """All readings of one step on one cylinder (or part), in one state, made the same way.

    Attributes
    ----------
    step : the bench step.
    cylinders : the cylinders for which it holds.
    readings : every row, those set aside too.
    settings : field name -> quantities; choices : name -> word said.
    instrument, fluid, by, date, state, part : as the series says.
    """

    step: Step
    cylinders: tuple[int, ...]
    readings: tuple[Reading, ...]
    state: str = ""
    part: str = ""
    instrument: str = ""
    fluid: str = ""
    by: str = ""
    date: str = ""
    settings: Mapping[str, tuple[Quantity, ...]] = field(default_factory=dict)
    choices: Mapping[str, str] = field(default_factory=dict)
    line: int | None = None
    place: str = ""

    @property
    def counted(self) -> tuple[Reading, ...]:
        """The rows that enter the mean."""
        return tuple(r for r in self.readings if not r.set_aside)

    @property
    def way(self) -> Way:
        """What makes two series "made the same way": step, method, instrument, fluid where it is filled, and person."""
        method = self.readings[0].method.key if self.readings else ""
        return (self.step.key, method, self.instrument, self.fluid if self.step.fills else "", self.by)

    @property
    def name(self) -> str:
        """What tells it from every other cell made the same way."""
        return "|".join((self.place, self.where, self.state, self.date))

    @property
    def quantities(self) -> Iterator[Quantity]:
        """Every quantity read in the rows that enter the mean."""
        return (q for row in self.counted for found in row.fields.values() for q in found)

    @property
    def weighed(self) -> bool:
        """Whether its fills were weighed: the dispenser, before and after."""
        return any(row.method.key == "weighing" for row in self.readings)

    @property
    def tool(self) -> str:
        """The instrument in words, also where none is named."""
        return self.instrument or "an unnamed instrument"

    @property
    def where(self) -> str:
        """The thing measured, in words."""
        if len(self.cylinders) == 1:
            return f"cylinder {self.cylinders[0]}"
        if not self.step.part:
            return self.instrument
        return self.part or "all cylinders"


@dataclass(frozen=True, kw_only=True)
class Line:
    """One line of a reduction, to be printed and re-added: words, term, SI number, whether it is a result."""

    words: str
    key: str
    number: Number
    total: bool = False


@dataclass(frozen=True, kw_only=True)
class Reduced:
    """What a cell gives: values by term, the sum line by line, each row's result, and what was noticed.

    ``scatter`` is that of one of its readings.  ``profile`` is the top of a
    chamber that was filled level by level, None of anything else.
    """

    cell: Cell
    values: Mapping[str, Value]
    lines: tuple[Line, ...] = ()
    rows: tuple[float | None, ...] = ()
    findings: tuple[Finding, ...] = ()
    scatter: Scatter = UNKNOWN
    profile: Profile | None = None
