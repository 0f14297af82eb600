"""The whole piston order, ready to be shown: specification, fields, mistakes, checks, and what still stands open."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Any

from ccassist.analysis.cylinder import Cylinder
from ccassist.analysis.results import Survey
from ccassist.plan.piston.checks import to_confirm
from ccassist.plan.piston.fields import Row, rows
from ccassist.plan.piston.fits.judged import Judged, judged
from ccassist.plan.piston.mistakes import Mistake, mistakes
from ccassist.plan.piston.specification import RATIO, Specification, specify
from ccassist.plan.piston.unsettled import open_points
from ccassist.values.display import show_span
from ccassist.values.findings import Finding

CAUTIONS = ("crown", "contact", "metal", "planning", "knock")
CONVENTION = (
    "Crown volume is net of dish, dome and pockets, from the crown flat; it adds space where it is a dish. "
    "Compression height is from the pin axis to the crown flat. Deck clearance is + below the deck."
)


@dataclass(frozen=True, kw_only=True)
class Order:
    """A piston order.

    Attributes
    ----------
    spec : the piston and what it gives.
    system : units shown.
    rows : every field.
    mistakes : what the usual mistakes would come to, on the cylinder with the highest ratio.
    checks : what to confirm with the maker.
    points : what is not settled yet.
    judged : what does not fit, what of it is accepted, what could not be looked at.
    """

    spec: Specification
    system: str
    rows: tuple[Row, ...]
    mistakes: tuple[Mistake, ...]
    checks: tuple[Finding, ...]
    points: tuple[str, ...]
    judged: Judged

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

    def to_dict(self) -> dict[str, Any]:
        """Plain data, SI, each number with its printed text."""
        from ccassist.plan.piston.data import to_dict

        return to_dict(self)


def order_of(survey: Survey, system: str | None = None) -> Order:
    """The piston order of a job, in the units asked for (else the job's own)."""
    shown = system or survey.job.system
    spec = specify(survey)
    made, found = rows(spec, shown), judged(spec, shown)
    order = Order(
        spec=spec,
        system=shown,
        rows=made,
        mistakes=(),
        checks=to_confirm(spec, shown, found),
        points=open_points(spec, made),
        judged=found,
    )
    free = spec.order.get("free_thickness")
    if order.first is None:
        return order
    return replace(order, mistakes=mistakes(order.first, free_thickness=free.nominal if free else None))


def worst_text(spec: Specification, cylinder: int, system: str, key: str = RATIO) -> str:
    """A term from its lowest to its highest with every limit reached at once, "" where it is not known."""
    worst = spec.worst.get(cylinder, {}).get(key)
    if worst is None or math.isnan(worst.low) or not spec.held:
        return ""
    return show_span(key, worst.low, worst.high, system=system)


def counted(order: Order) -> str:
    """What was counted in the sum, in words."""
    choices = order.spec.planned.cylinders[0].choices
    said = [
        f"{name} {'counted' if on else 'not counted'}"
        for name, on in (("top-land crevice", choices.crevice), ("bore chamfer", choices.chamfer))
    ]
    return f"Counted: chamber, compressed gasket, deck, net crown; {', '.join(said)}."
