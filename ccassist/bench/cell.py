"""Readings of one thing made the same way, as numbers; and what comes of them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import field, replace
from functools import cached_property

from ccassist.bench.repeats import UNKNOWN, Scatter
from ccassist.bench.step import Method, SameWay, Step, Way, one_mean, same_way
from ccassist.values.findings import Finding
from ccassist.values.measured import Value
from ccassist.values.number import Number, nominal
from ccassist.values.numerics import Curve, root
from ccassist.values.quantity import Quantity
from ccassist.values.uncertainty import Cause, half_width
from ccassist.vocabulary import Kind, term
from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import Shape


@record
class Reading:
    """One row: field name -> quantities (several for refills)."""

    fields: Mapping[str, tuple[Quantity, ...]]
    method: Method
    set_aside: str = ""
    remark: str = ""
    line: int | None = None
    place: str = ""

    @cached_property
    def said(self) -> str:
        """The row as it was read, in words: each field and its texts."""
        return ", ".join(f"{name} {' and '.join(q.raw for q in found)}" for name, found in self.fields.items())

    def one(self, name: str) -> float:
        """The SI value of a field that holds one quantity."""
        return self.fields[name][0].value


@record
class SetUp:
    """What was said of how some readings of a cell were set up, and which: by their places."""

    settings: Mapping[str, tuple[Quantity, ...]]
    choices: Mapping[str, str]
    rows: frozenset[str]
    line: int | None
    place: str


@record
class Cell:
    """All readings of one step on one cylinder (or part), in one state, made the same way.

    settings : field name -> quantities; choices : name -> word said.
    instrument, fluid, by, date, state, part : as the series says.
    set_ups : where they were not all set up alike, each set-up; ``settings`` and ``choices`` are then the first's.
    """

    step: Step  # the bench step
    cylinders: tuple[int, ...]  # the cylinders for which it holds
    readings: tuple[Reading, ...]  # every row, those set aside too
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
    set_ups: tuple[SetUp, ...] = ()
    dry: str = ""  # the place of the first fill of the space, "" where that is the first of these

    @cached_property
    def counted(self) -> tuple[Reading, ...]:
        """The rows that enter the mean."""
        return tuple(r for r in self.readings if not r.set_aside)

    @property
    def parts(self) -> tuple[Cell, ...]:
        """Its readings by how they were set up, each with what was said of it."""
        return tuple(self._part(one) for one in self.set_ups) or (self,)

    def _part(self, one: SetUp) -> Cell:
        warmth = {"temperature": self.settings["temperature"]} if "temperature" in self.settings else {}
        return replace(
            self,
            readings=tuple(row for row in self.readings if row.place in one.rows),
            settings={**one.settings, **warmth},
            choices=one.choices,
            line=one.line,
            place=one.place,
            set_ups=(),
            dry=self.readings[0].place,
        )

    @property
    def set_up(self) -> SetUp:
        """How all of its readings were set up."""
        rows = frozenset(row.place for row in self.readings)
        return SetUp(settings=self.settings, choices=self.choices, rows=rows, line=self.line, place=self.place)

    @property
    def one_mean(self) -> SameWay:
        """What other readings must agree in to make one mean with these."""
        return one_mean(self.step, self.same_way)

    @property
    def method(self) -> Method:
        """How its rows were read, all alike."""
        return self.readings[0].method

    @cached_property
    def same_way(self) -> SameWay:
        """What other readings must agree in to be repeats of these."""
        settings = {name: [q.raw for q in found] for name, found in self.settings.items()}
        return same_way(self.step, self.method, self, settings)

    @property
    def way(self) -> Way:
        """How it was read: what was read so scatters alike."""
        return self.same_way.way

    @property
    def key(self) -> str:
        """The term that one of its rows finds."""
        return self.step.finds(self.method)

    @property
    def kind(self) -> Kind:
        """What one of its rows finds: a volume, an area or a length."""
        return term(self.key).kind

    @property
    def name(self) -> str:
        """What tells it from every other cell made the same way."""
        return "|".join((self.place, self.where, self.state, self.date))

    @property
    def quantities(self) -> Iterator[Quantity]:
        """Every quantity read in the rows that enter the mean."""
        return (q for row in self.counted for found in row.fields.values() for q in found)

    @cached_property
    def written_step(self) -> float:
        """The smallest step in which what its instrument reads was written, SI; 0 where none is known."""
        reads = self.method.reads
        return min((q.step for q in self.quantities if q.step > 0 and term(q.key).kind is reads), default=0.0)

    @property
    def weighed(self) -> bool:
        """Whether its fills were weighed: the bottle, before and after."""
        return self.kind is Kind.VOLUME and self.method.reads is Kind.MASS

    @property
    def by_scale(self) -> bool:
        """Whether its fills were read on a scale of volume, which a calibration may correct."""
        return self.kind is Kind.VOLUME and self.method.reads is Kind.VOLUME

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


@record(kw_only=False)
class Line:
    """One line of a reduction, to be printed and re-added: words, term, SI number, whether it is a result."""

    words: str
    key: str
    number: Number
    total: bool = False


@record
class Reduction:
    """What a cell gives: values by term, the sum line by line, each row's result, and what was noticed.

    ``scatter`` is that of one of its readings.  ``profile`` is the top of a chamber that was filled level by level,
    None of anything else.
    """

    cell: Cell
    values: Mapping[str, Value]
    lines: tuple[Line, ...] = ()
    rows: tuple[float | None, ...] = ()
    findings: tuple[Finding, ...] = ()
    scatter: Scatter = UNKNOWN
    profile: Profile | None = None


@record
class Run:
    """One fill from the lowest level to the face.

    ``depths`` [m] from 0 at the face downwards; ``volumes`` [m³] from the face to each, from 0.
    """

    depths: tuple[Number, ...]
    volumes: tuple[Number, ...]

    @property
    def deepest(self) -> float:
        """Its deepest level [m]."""
        return nominal(self.depths[-1])

    def volume(self, depth: float) -> Number:
        """Volume from the face to a depth [m³]."""
        return self.curve.value(depth)

    def area(self, depth: float) -> Number:
        """Open area at a depth [m²]."""
        return self.curve.slope(depth)

    def straight(self, depth: float) -> float:
        """Volume to a depth were the wall straight up between the levels [m³]: what the curve is held against."""
        i = self.curve.interval(depth)
        (x, x_end), (y, y_end) = (map(nominal, ends[i : i + 2]) for ends in (self.depths, self.volumes))
        return y + (y_end - y) * (depth - x) / (x_end - x)

    @cached_property
    def curve(self) -> Curve[Number]:
        """Volume [m³] against depth [m]."""
        return Curve(self.depths, self.volumes)


@record
class Profile:
    """The top of a chamber as fills in stages show it: volume against depth below the face, and area against depth.

    Between the levels the volume follows a curve that never falls, exact through every reading; its slope is the open
    area at that depth.  Nothing is said of what lies deeper than the deepest level that every run reached. ``where`` is
    the chamber in words, ``state`` that of the head when it was filled.
    """

    where: str
    state: str
    runs: tuple[Run, ...]
    _made: dict[float, Number] = field(default_factory=dict, compare=False)

    @property
    def deepest(self) -> float:
        """The depth that every run reached [m]."""
        return min(run.deepest for run in self.runs)

    def volume(self, depth: Number) -> Number:
        """Volume from the face to a depth [m³]; the depth, from 0 to the deepest, may be in doubt itself."""
        at = nominal(depth)
        if at not in self._made:
            self._made[at] = self._volume(at)
        return self._made[at] + nominal(self.area(at)) * (depth - at)

    def _volume(self, at: float) -> Number:
        curved = sum(run.volume(at) for run in self.runs) / len(self.runs)
        straight = sum(run.straight(at) for run in self.runs) / len(self.runs)
        half = abs(nominal(curved) - straight) / 2
        return curved + half_width(half, self._between) if half > 0 else curved

    @property
    def _between(self) -> Cause:
        return Cause(
            f"{self.where}: the wall between the levels",
            "staged_volume",
            shape=Shape.RECTANGULAR,
            source="common practice, no source: half of what the curve adds to a straight line",
            remedy="more levels near the depth of the cut",
        )

    def area(self, depth: float) -> Number:
        """Open area at a depth [m²]: the slope of the volume."""
        return sum(run.area(depth) for run in self.runs) / len(self.runs)

    def depth_for(self, volume: float) -> float:
        """The depth down to which a volume [m³] lies; that of the deepest level for more.

        The volume never falls with depth, so that there is one place; that of none is the face.
        """

        def short(depth: float) -> float:
            return sum(nominal(run.volume(depth)) for run in self.runs) / len(self.runs) - volume

        if short(self.deepest) <= 0:
            return self.deepest
        return root(short, 0.0, self.deepest) if volume > 0 else 0.0

    def cut_for(self, volume: Number) -> Number:
        """The cut [m] that takes a volume [m³], with the ± of both: depth + (volume − that to the depth) ÷ area.

        The volume lies from nothing to that of the deepest level.
        """
        at = self.depth_for(nominal(volume))
        return at + (volume - self.volume(at)) / nominal(self.area(at))
