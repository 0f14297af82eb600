"""What stands in a job file, as frozen records that know their line.

Texts are kept as written; nothing is converted here, so that reading a file needs no unit library.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from functools import cached_property

from ccassist.job.pieces import Lines
from ccassist.values.quantity import UNSAID
from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import SYSTEMS, Origin


@record
class Given:
    """A value stated in the file: one text, or several repeats.

    ``key`` is the term, ``texts`` the raw texts, ``origin`` as stated (``UNSAID`` if not), ``instrument`` the name of
    what it was measured with ("" if not said).
    """

    key: str
    texts: tuple[str, ...]
    place: str
    line: int | None = None
    origin: Origin = Origin.UNSAID
    instrument: str = ""
    note: str = ""


@record
class Part:
    """A named part, the cylinders it serves (in the order of its positions) and its values."""

    name: str
    kind: str
    cylinders: tuple[int, ...]
    states: tuple[str, ...] = ()
    given: Mapping[str, Given] = field(default_factory=dict)
    note: str = ""
    line: int | None = None


@record
class Row:
    """One reading of a series: field name -> raw texts (several for refills)."""

    fields: Mapping[str, tuple[str, ...]]
    place: str
    line: int | None = None
    set_aside: str = ""
    remark: str = ""
    time: str = ""
    box: str = ""

    @property
    def counts(self) -> bool:
        """Whether it enters the mean; one set aside stays in the file with its reason."""
        return not self.set_aside


@record
class Listed:
    """A list of readings that belong together, such as lifts against crank angle, and what they were read with."""

    rows: tuple[Row, ...]
    place: str
    line: int | None = None
    instrument: str = ""
    note: str = ""


@record
class Series:
    """Readings of one thing, made the same way, in one state of its part."""

    step: str
    cylinders: tuple[int, ...]
    part: str
    state: str
    rows: tuple[Row, ...]
    place: str
    line: int | None = None
    instrument: str = ""
    fluid: str = ""
    by: str = ""
    date: str = ""
    remark: str = ""
    settings: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    choices: Mapping[str, str] = field(default_factory=dict)

    @cached_property
    def counted(self) -> tuple[Row, ...]:
        """The rows that enter the mean."""
        return tuple(row for row in self.rows if row.counts)


@record
class Alternative:
    """A whole build: what it states, which terms it leaves open, what must be bought or cut, and its line."""

    given: Mapping[str, Given]
    open: tuple[str, ...] = ()
    buy: str = ""
    line: int | None = None


@record
class Job:
    """A whole job file.

    ``system`` is the one things are shown in; ``lines`` says where each thing stands;
    ``offered`` holds the parts that might be fitted: kind, name, what it states, and ``sets`` what they belong to;
    ``alternatives`` whole builds by name.
    ``stated``, ``said`` and ``listed`` hold the values, the words and the lists of readings of the
    sections of :mod:`ccassist.job.sections`, by the section's name; ``set_ups`` what was told of a set-up, by its
    step, that is not said to the end.
    """

    file: str
    name: str
    system: str
    cylinders: int
    about: Mapping[str, str] = field(default_factory=dict)
    engine: Mapping[str, Given] = field(default_factory=dict)
    counted: Mapping[str, str] = field(default_factory=dict)
    wanted: Mapping[str, Given] = field(default_factory=dict)
    parts: Mapping[str, Part] = field(default_factory=dict)
    per_cylinder: Mapping[int, Mapping[str, Given]] = field(default_factory=dict)
    offered: Mapping[str, Mapping[str, Mapping[str, Given]]] = field(default_factory=dict)
    sets: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    alternatives: Mapping[str, Alternative] = field(default_factory=dict)
    stated: Mapping[str, Mapping[str, Given]] = field(default_factory=dict)
    said: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    listed: Mapping[str, Mapping[str, Listed]] = field(default_factory=dict)
    instruments: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    fluids: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    set_ups: Mapping[str, Mapping[str, tuple[str, ...]]] = field(default_factory=dict)
    series: tuple[Series, ...] = ()
    lines: Lines = field(default_factory=Lines, repr=False, compare=False)

    @property
    def bare(self) -> str:
        """The system whose units bare numbers take; :data:`UNSAID` where the file does not say one."""
        if "units" not in self.about:
            return UNSAID
        return self.about["units"] if self.about["units"] in SYSTEMS else self.system

    def line_at(self, place: str) -> int | None:
        """The line of a place as findings say it, such as "series 1.instrument"; None where it has none."""
        return self.lines.at(place)

    def part_of(self, kind: str, cylinder: int) -> Part | None:
        """The part of that kind which serves a cylinder."""
        return next((p for p in self.parts.values() if p.kind == kind and cylinder in p.cylinders), None)
