"""The piston order, told: the whole of it, and the record of what is said, which the JSON is."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from ccassist.analysis.cylinder import Cylinder
from ccassist.analysis.motion import motion_of, motion_text
from ccassist.analysis.results import Survey
from ccassist.bench.cautions import cautions
from ccassist.plan.piston.checks import Mistake, mistakes, open_points, to_confirm, told
from ccassist.plan.piston.crown import hollow_texts
from ccassist.plan.piston.fields import SheetRow, ordered_text, rows, said_tolerance
from ccassist.plan.piston.fits import Judged, Outcome, judged
from ccassist.plan.piston.fits_head import kept
from ccassist.plan.piston.specification import HEIGHT_TERMS, RATIO, Ordered, Specification, specify
from ccassist.report.data import to_json
from ccassist.report.workings import AreasOfSums
from ccassist.values.display import Formatter, formatter
from ccassist.values.findings import Finding
from ccassist.values.measured import Value
from ccassist.values.verdict import band_text, decide
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record

CAUTIONS = ("crown", "contact", "metal", "planning", "knock")
CONVENTION = (
    "Crown volume is net of dish, dome and pockets, from the crown flat; it adds space where it is a dish. "
    "Compression height is from the pin axis to the crown flat. Deck clearance is + below the deck."
)
SHOWN = (RATIO, *HEIGHT_TERMS)


@record
class Order:
    """A piston order."""

    spec: Specification  # the piston and what it gives
    system: str  # units shown
    rows: tuple[SheetRow, ...]  # every field
    mistakes: tuple[Mistake, ...]  # what the usual mistakes would come to, on the cylinder with the highest ratio
    checks: tuple[Finding, ...]  # what to confirm with the maker
    points: tuple[str, ...]  # what is not settled yet
    judged: Judged  # what does not fit, what of it is accepted, what could not be looked at

    @property
    def fmt(self) -> Formatter:
        """What makes every printed number of it."""
        return formatter(self.system)

    @property
    def first(self) -> Cylinder | None:
        """The cylinder with the highest ratio, the first to knock; None where no ratio can be worked out."""
        known = [c for c in self.spec.planned.cylinders if RATIO in c.values]
        return max(known, key=lambda c: c.values[RATIO].nominal, default=None)

    @property
    def open(self) -> tuple[str, ...]:
        """Why it cannot be final: what does not fit, then what is not settled; empty where it can."""
        return (*dict.fromkeys(one.text for one in self.judged.faults), *self.points)

    @property
    def final(self) -> bool:
        """Whether nothing stands open."""
        return not self.open

    def row(self, key: str) -> SheetRow | None:
        """A field by its key; None where it is neither needed nor given."""
        return next((row for row in self.rows if row.entry.key == key), None)

    def to_dict(self) -> dict[str, Any]:
        """Plain data, SI, each number with its printed text."""
        return to_json(piston_order_of(self), self.fmt)


def order_of(survey: Survey, system: str | None = None) -> Order:
    """The piston order of a job, in the units asked for (else the job's own)."""
    fmt = formatter(system or survey.job.system)
    spec = specify(survey)
    made, found = rows(spec, AreasOfSums(fmt.system)), judged(spec, fmt)
    order = Order(
        spec=spec,
        system=fmt.system,
        rows=made,
        mistakes=(),
        checks=to_confirm(spec, fmt, found),
        points=open_points(spec, made),
        judged=found,
    )
    free = spec.order.get("free_thickness")
    if order.first is None:
        return order
    return replace(order, mistakes=mistakes(order.first, free_thickness=free.nominal if free else None))


# The record of what is told.


@record
class NumberTold:
    """A number to be ordered: as ordered [SI] and printed, as worked out, the tolerance with where it comes from."""

    name: str
    value: float
    text: str
    worked_out: Value
    tolerance: float | None
    tolerance_text: str
    tolerance_from: str
    origin: str
    how: str


@record
class Size:
    """A length or a volume [SI] and as printed."""

    value: float | None
    text: str


@record
class CrownShape:
    """The crown to be cut: its sizes, which of them was worked out, what its parts add (less than nothing: take)."""

    shape: str
    sizes: Mapping[str, Size]
    worked_out: str
    adds: Mapping[str, Size]
    net: float | None
    faults: Sequence[str]


@record
class ResultTold:
    """A term of one cylinder with the ordered piston in it.

    ``worst_low``, ``worst_high`` : with every limit reached at once, the same way; ``worst_text`` as printed, "" where
    that is not known.  ``wanted_text`` : the range wanted, "" without one; ``verdict`` by the ±, ``kept`` at the worst.
    """

    value: Value
    worst_low: float | None
    worst_high: float | None
    worst_text: str
    wanted_text: str
    verdict: str | None
    kept: bool | None


@record
class InCylinder:
    """What one cylinder has with the ordered piston in it."""

    cylinder: int
    values: Mapping[str, ResultTold]


@record
class Slip:
    """A mistake, and what it would come to."""

    key: str
    words: str
    ratio: float | None
    ratio_text: str
    squish: float | None
    squish_text: str
    crown_volume: float
    crown_text: str


@record
class PistonOrder:
    """All that is told of a piston order."""

    final: bool
    open: Sequence[str]
    does_not_fit: Sequence[Outcome]
    accepted: Sequence[Outcome]
    not_checked: Sequence[str]
    convention: str
    counted: str
    ordered: Mapping[str, NumberTold]
    crown: CrownShape
    cylinders: Sequence[InCylinder]
    motion: Mapping[str, Value]
    motion_text: str
    fields: Sequence[dict[str, Any]]
    mistakes_in_cylinder: int | None
    mistakes: Sequence[Slip]
    to_confirm: Sequence[Mapping[str, Any]]
    cautions: Sequence[str]


def piston_order_of(order: Order) -> PistonOrder:
    """What is told of an order."""
    spec, fmt = order.spec, order.fmt
    first, limit = spec.planned.cylinders[0].values, spec.order.get("rev_limit")
    return PistonOrder(
        final=order.final,
        open=order.open,
        does_not_fit=order.judged.faults,
        accepted=order.judged.accepted,
        not_checked=(*order.judged.unseen, *order.judged.idle),
        convention=CONVENTION,
        counted=_counted(spec),
        ordered={key: _number(one, fmt) for key, one in spec.ordered().items()},
        crown=_crown(spec, fmt),
        cylinders=[
            InCylinder(
                cylinder=c.number,
                values={key: _result(c, key, spec, fmt) for key in (*SHOWN, "clearance_volume") if key in c.values},
            )
            for c in spec.planned.cylinders
        ],
        motion=motion_of(first, limit),
        motion_text=motion_text(first, fmt, limit),
        fields=[_field(row) for row in order.rows],
        mistakes_in_cylinder=order.first.number if order.first else None,
        mistakes=[_slip(one, fmt) for one in order.mistakes],
        to_confirm=[one.to_dict() for one in order.checks],
        cautions=cautions(CAUTIONS),
    )


def _counted(spec: Specification) -> str:
    """What was counted in the sum, in words."""
    said = spec.planned.cylinders[0].choices.said
    return (
        "Counted: chamber, compressed gasket, deck, net crown; "
        f"top-land crevice {said['crevice']}, bore chamfer {said['chamfer']}."
    )


def _number(one: Ordered, fmt: Formatter) -> NumberTold:
    return NumberTold(
        name=term(one.key).name,
        value=one.value,
        text=ordered_text(one, fmt),
        worked_out=Value(key=one.key, number=one.found, origin=one.origin),
        tolerance=one.tolerance.size,
        tolerance_text=said_tolerance(one.key, one.tolerance.size, fmt),
        tolerance_from=one.tolerance.how or one.tolerance.reason,
        origin=one.origin,
        how=one.how,
    )


def _crown(spec: Specification, fmt: Formatter) -> CrownShape:
    shape = spec.shape
    return CrownShape(
        shape=shape.shape,
        sizes={key: Size(value=size, text=fmt.show(key, size)) for key, size in shape.sizes.items()},
        worked_out=shape.solved,
        adds={
            name: Size(value=shape.hollow.get(name, shape.net), text=text)
            for name, text in hollow_texts(shape, fmt).items()
        },
        net=shape.net,
        faults=shape.faults,
    )


def _result(cylinder: Cylinder, key: str, spec: Specification, fmt: Formatter) -> ResultTold:
    value, band = cylinder.values[key], spec.survey.wanted.get(key)
    worst = spec.worst.get(cylinder.number, {}).get(key) if spec.held else None
    if worst is not None and math.isnan(worst.low):
        worst = None
    return ResultTold(
        value=value,
        worst_low=worst.low if worst else None,
        worst_high=worst.high if worst else None,
        worst_text=("" if worst is None else fmt.span(key, worst.low, worst.high)),
        wanted_text=band_text(band, fmt) if band else "",
        verdict=decide(value, band).value if band else None,
        kept=kept(worst, band) if worst and band else None,
    )


def _field(row: SheetRow) -> dict[str, Any]:
    """One field of the order: numbers behind it in SI, None for words; ``open`` says why it is not settled."""
    return {
        "key": row.entry.key,
        "group": row.entry.group,
        "name": row.name,
        "text": row.text,
        "low": row.low,
        "high": row.high,
        "tolerance": row.size,
        "tolerance_text": row.tolerance,
        "origin": row.origin,
        "decided_by": row.who,
        "needed": row.entry.needed,
        "open": row.open,
    }


def _slip(one: Mistake, fmt: Formatter) -> Slip:
    return Slip(
        key=one.key,
        words=told(one, fmt),
        ratio=one.ratio,
        squish=one.squish,
        crown_volume=one.crown,
        ratio_text="" if one.ratio is None else fmt.show("static_ratio", one.ratio),
        squish_text="" if one.squish is None else fmt.show("squish", one.squish),
        crown_text=fmt.show("crown_volume", one.crown, decimals=1),
    )
