"""What the readings of one job share: instruments, fluids, temperatures, scatter.

Each effect that is common to several readings (the scale of a burette, the hole of a plate, the density of a fluid)
becomes one uncertain number here, once, so that it is charged fully to absolute figures and not at all to differences
between sister chambers.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Hashable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, TypeVar

from ccassist.bench.calibrated import Calibration
from ccassist.bench.cell import Cell
from ccassist.bench.densities import REFERENCE
from ccassist.bench.fluids import Fluid
from ccassist.bench.instruments import Instrument, permissible
from ccassist.bench.repeats import UNKNOWN, Scatter, Source
from ccassist.values.display import formatter
from ccassist.values.number import Number, standard
from ccassist.values.quantity import Quantity
from ccassist.values.statement import has_doubt, number_of, usual_tool
from ccassist.values.uncertainty import UNREAD as NOT_READ
from ccassist.values.uncertainty import Cause, budget, doubt, half_width
from ccassist.vocabulary import Kind, term
from ccassist.vocabulary.units import Origin, Shape

T = TypeVar("T")

# Of the variance of a permissible error: the part that differs from place to place of the scale.  DIN 878 (from memory)
# permits a dial of 0.01 mm that may be out by 0.008 mm, going one way, an error of 0.005 mm, end to end, within a tenth
# of a millimetre: a tenth.  The same comes of an offset anywhere within the limit and waves anywhere within what it
# leaves: (L²/27) ÷ (L²/3 + L²/27).
UNEVEN = 0.1
PLACE = 20  # steps of the scale, the tenth of a millimetre of that dial: farther apart, its unevenness is unrelated
MORE_REPEATS = "more repeats"  # the remedy by which the scatter of repeats is known among all causes
REFUTED = "the readings refute what was declared"  # the source of a scatter that is not stated for that
_SOURCES = {
    Source.POOLED: "scatter pooled over all readings made this way",
    Source.DECLARED: "declared repeatability",
    Source.JOINED: "declared repeatability and the scatter of the readings",
    Source.CALIBRATION: "scatter of its steps when it was calibrated",
    Source.REFUTED: REFUTED,
}
COMMON_PRACTICE = "common practice, no source"
THERMOMETER = 1.0  # K, either way: household thermometer (common practice)
UNREAD = term("temperature").silent.assumed.least  # K, either way: a bench where none was read


def bounded(name: str, key: str, remedy: str, source: str = COMMON_PRACTICE) -> Cause:
    """A component of which only the limits are known, nothing within them preferred."""
    return Cause(name, key, shape=Shape.RECTANGULAR, source=source, remedy=remedy)


@dataclass(kw_only=True)
class Kit:
    """Instruments and fluids of a job by name, and the shared effects made so far."""

    instruments: Mapping[str, Instrument] = field(default_factory=dict)
    fluids: Mapping[str, Fluid] = field(default_factory=dict)
    scatter: Mapping[Hashable, Scatter] = field(default_factory=dict)
    calibrations: Mapping[str, Calibration] = field(default_factory=dict)
    refused: set[str] = field(default_factory=set)
    air_pressure: float | None = None
    system: str = "metric"  # units of the words
    _effects: dict[Hashable, Any] = field(default_factory=dict)
    _loads: dict[str, list[tuple[float, Number]]] = field(default_factory=dict)

    def shared(self, key: Hashable, make: Callable[[], T]) -> T:
        """The effect of that key, made on first use."""
        if key not in self._effects:
            self._effects[key] = make()
        made: T = self._effects[key]
        return made

    def scale_error(self, name: str, key: str, amounts: Sequence[float], use: str = "", *, read: str = "") -> Number:
        """Error of the summed deliveries (or of one reading), SI: charged once for each, fully correlated.

        A limit between any two points of a scale says nothing of how the error
        is made up.  What there is of offset and gain is the same wherever the
        scale is used, and cancels between sisters; its unevenness differs from
        place to place, and cancels only as far as they use the same place (see
        :data:`UNEVEN`).  ``use`` keeps apart two uses of one scale that share no
        stretch of it.  ``read`` : the term of the amounts, where it is not
        ``key``; where no instrument is named, the usual tool for it serves.
        """
        if name not in self.instruments:
            return self._usual_error(read or key, amounts, use)
        tool = self.instruments[name]
        limits = [permissible(tool, abs(a)) for a in amounts]
        if math.isnan(math.fsum(limits)):  # no limit is known for so much, so neither is the ±
            return doubt(math.nan, Cause(f"{name}: error not known for this amount", key))
        cause = self.shared(("scale's cause", name, key, use), lambda: _scale_cause(tool, name, key, use))
        even = self.shared(("scale", name, key, use), lambda: half_width(1.0, cause))
        number = math.sqrt(1 - UNEVEN) * math.fsum(limits) * even
        for limit, amount in zip(limits, amounts, strict=True):
            number = number + math.sqrt(UNEVEN) * limit * self._uneven(cause, (name, key, use), abs(amount))
        return number

    def _usual_error(self, read: str, amounts: Sequence[float], use: str) -> Number:
        """Error of the usual tool, SI: one for all that was read of a term without saying with what."""
        tools = [usual_tool(read, amount, formatter(self.system)) for amount in amounts]
        even = self.shared(("usual tool", read, use), lambda: half_width(1.0, tools[0][1]))
        return math.fsum(limit for limit, _ in tools) * even

    def _uneven(self, cause: Cause, scale: tuple[str, str, str], amount: float) -> Number:
        """Unevenness of a scale at one place, as a fraction of its limit; near places share it the more the nearer.

        Effects of their own stand at every so many steps; what lies between two of them has a part in both, scaled to
        one standard uncertainty everywhere.
        """
        size = PLACE * self.instruments[scale[0]].resolution
        below, part = divmod(amount / size, 1) if size > 0 else (0.0, 0.0)
        found: Number = 0.0
        for place, weight in ((below, 1 - part), (below + 1, part)):
            if weight > 0:
                own = self.shared(("uneven", *scale, place), lambda: half_width(1.0, cause))
                found = found + weight / math.hypot(part, 1 - part) * own
        return found

    def load_error(self, name: str, key: str, load: float, near: float, shown: str, *, read: str) -> Number:
        """Error of a weighing scale at one load, SI; loads within ``near`` of each other err alike.

        For two loads that were each put on an empty scale, such as a cut-out and its square: neither is known from the
        other.  What is weighed as a difference, a bottle before and after, is one delivery: :meth:`scale_error`.
        ``shown`` is the load in words, ``read`` its term.
        """
        if name not in self.instruments:
            return self._usual_error(read, [load], shown)
        tool = self.instruments[name]
        limit = permissible(tool, load)
        cause = bounded(
            f"{name}: permissible error near {shown}",
            key,
            "check the scale with a known mass, or use a finer one",
            source=tool.source,
        )
        if math.isnan(limit):
            return doubt(math.nan, cause)
        effects = self._loads.setdefault(name, [])
        known = next((effect for at, effect in effects if abs(at - load) <= near), None)
        if known is None:
            known = half_width(1.0, cause)
            effects.append((load, known))
        return limit * known

    def step_of(self, name: str, step: float) -> float:
        """The smallest step of an instrument, SI; ``step`` where it says none."""
        return self.instruments[name].resolution if name in self.instruments else step

    def rounding(self, name: str, key: str, where: str, step: float, points: Sequence[int] = (1,)) -> Number:
        """Reading to the nearest step (JCGM 100:2008, F.2.2.1), of a result that is the sum of several readings.

        ``points`` : of each reading, at how many points of the scale it was repeated (:func:`repeats.points_apart`):
        only there is it rounded anew, so that repeats at one point enter the mean as one.  ``step`` [SI] is used where
        no instrument says its own.
        """
        size = self.step_of(name, step)
        cause = Cause(
            f"{where}: reading {name or 'to the last digit'}",
            key,
            source="resolution, JCGM 100:2008 F.2.2.1",
            remedy="read finer steps",
            shape={1: Shape.RECTANGULAR, 2: Shape.TRIANGULAR}.get(sum(points), Shape.NORMAL),
        )
        return doubt(size * math.sqrt(math.fsum(1 / n for n in points) / 12), cause) if size > 0 else 0.0

    def repeat_effect(
        self, found: Scatter, way: Hashable, repeats: int, key: str, made: str, rounding: Number = 0.0
    ) -> Number:
        """Scatter of a mean of several repeats, or its rounding: the larger of the two.

        Repeats all alike are rounded alike: however many there are, the mean is in doubt by the whole of its rounding,
        once.  Only where the scale was read at points apart is it divided by the root of their number
        (:meth:`rounding`).  And repeats that scatter over steps are each rounded by chance: the scatter seen is
        that of the thing *and* of the rounding, and both charged would count the rounding twice.  So the larger counts.
        Source: ISO 14253-2:2011 and ISO 22514-7:2021 (of resolution and repeatability the larger; both from memory).  A
        declared repeatability, or what a calibration left over, was not seen in these readings: the rounding stands
        beside it.
        """
        alone, seen = standard(rounding), found.standard / math.sqrt(repeats)
        shows = found.source is Source.POOLED
        cause = Cause(
            made,
            key,
            dof=found.dof,
            pool=found.pool or str(way),
            source=_SOURCES.get(found.source, "not known yet"),
            remedy=MORE_REPEATS,
            rounding=alone if shows else 0.0,
        )
        if shows and alone > 0:
            return rounding if alone >= seen else doubt(seen, cause)
        return doubt(seen, cause) + rounding

    def mean_scatter(self, cell: Cell, key: str, made: str, rounding: Number) -> Number:
        """Scatter of the mean of a cell's counted rows, SI of the term ``key``; ``made`` says how they were read."""
        found, repeats = self.scatter_of(cell.way, cell.name), len(cell.counted)
        return self.repeat_effect(found, cell.way, repeats, key, f"{cell.where}: repeat scatter, {made}", rounding)

    def calibration_of(self, cell: Cell) -> Calibration | None:
        """The calibration of the scale by which a cell's fills were read; None where they were weighed."""
        return self.calibrations.get(cell.instrument) if cell.by_scale else None

    def scatter_of(self, way: Hashable, name: str = "") -> Scatter:
        """The scatter pooled over all readings made one way; its own, of a thing whose readings stand apart."""
        return self.scatter.get((way, name), self.scatter.get(way, UNKNOWN))

    def stated(self, quantity: Quantity, key: Hashable, words: str, instrument: str = "") -> Number:
        """A quantity stated once, SI, with the ± it carries; the same statement gives the same number."""
        return self.shared(("stated", key), lambda: self._stated(quantity, words, instrument))

    def listed(self, quantity: Quantity, key: Hashable, words: str, instrument: str) -> Number:
        """One of many readings of a list, SI: all of them made with one tool, the usual one where none is named.

        An angle is read on the degree wheel, whose doubt is stated by itself.
        """
        if has_doubt(quantity):
            return self.stated(quantity, key, words, instrument)
        angle = term(quantity.key).kind is Kind.ANGLE
        error = 0.0 if angle else self.scale_error(instrument, quantity.key, [quantity.value])
        return quantity.value + error + self.rounding(instrument, quantity.key, words, quantity.step)

    def guesses(self) -> list[Cause]:
        """Every cause made so far that is without ground, in the order of the job."""
        found: dict[Cause, None] = {}
        for number in self._effects.values():
            found |= dict.fromkeys(row.cause for row in budget(number) if row.cause.guess)
        return list(found)

    def setting(self, quantity: Quantity, key: Hashable, words: str, instrument: str = "") -> Number:
        """A quantity set down with readings, SI, as :meth:`stated`: measured, where nothing else is said of it."""
        if has_doubt(quantity):
            return self.shared(("stated", key), lambda: number_of(quantity, words, at_the_bench=True))
        read = quantity if quantity.origin else replace(quantity, origin=Origin.MEASURED)
        return self.stated(read, key, words, instrument)

    def _stated(self, quantity: Quantity, words: str, instrument: str) -> Number:
        if has_doubt(quantity) or instrument not in self.instruments:
            return number_of(quantity, words)
        error = self.scale_error(instrument, quantity.key, [quantity.value])
        return quantity.value + error + self.rounding(instrument, quantity.key, words, quantity.step)

    def temperature(self, cell_settings: Mapping[str, tuple[Quantity, ...]]) -> Number:
        """Temperature of fluid and parts [K]; 20 °C assumed where none was read."""
        read = cell_settings.get("temperature")
        value = math.fsum(q.value for q in read) / len(read) if read else REFERENCE
        known = "read" if read else "assumed"
        cause = Cause(
            f"temperature {known}",
            "temperature",
            shape=Shape.RECTANGULAR,
            source="household thermometer, common practice, no source",
            remedy="read the fluid's temperature",
            guess="" if read else NOT_READ,
            subject="temperature of the fluid",
        )
        limit = THERMOMETER if read else UNREAD
        return self.shared(("temperature", round(value, 6), known), lambda: value + half_width(limit, cause))


def _scale_cause(tool: Instrument, name: str, key: str, use: str) -> Cause:
    return bounded(
        f"{name}: permissible error of its scale{use and ' '}{use}",
        key,
        "calibrate it, or use a better one",
        source=tool.source,
    )
