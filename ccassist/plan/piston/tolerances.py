"""What the piston maker must hold: as the order states it, or as the wanted bands ask for it.

Worked out, a tolerance keeps every wanted band with everything at its limit at
once: what the maker holds, and what was measured, at their worst the same way.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ccassist.analysis.results import Survey
from ccassist.plan.tolerance.asked import asked_of_the_maker
from ccassist.plan.tolerance.expected import stand
from ccassist.values.band import Band
from ccassist.values.display import places
from ccassist.values.findings import InputError
from ccassist.values.measured import Cause, Number, half_width
from ccassist.values.units import conversion, shown_unit
from ccassist.vocabulary import term

if TYPE_CHECKING:
    from ccassist.plan.piston.specification import Place

HEIGHT_TERMS = ("squish", "deck_clearance")  # what a compression height is worked out from
_STATED = {"compression_height": "height_tolerance", "crown_volume": "crown_tolerance"}
_NOTHING = "nothing asks for one; want a range of the {}, or state {} under [order]"
_ASKS = {"compression_height": "gap", "crown_volume": "ratio"}


@dataclass(frozen=True, kw_only=True)
class Tolerance:
    """Half-width to be held, SI (None where there is none), where it comes from, and why there is none."""

    size: float | None = None
    how: str = ""
    reason: str = ""


def tolerances(survey: Survey, places: Sequence[Place], values: Mapping[str, float]) -> dict[str, Tolerance]:
    """The tolerance of each number ordered (term -> SI value).

    What the order states stands.  Of what is left open the compression height
    comes first: it keeps every band that hangs on it, and takes no more than
    its equal part of one that the crown volume moves too.  The crown volume
    then has what is left, with the height as held.
    """
    order, found = survey.stated.get("order", {}), {}
    for key in values:
        stated = order.get(_STATED[key])
        if stated is not None:
            found[key] = Tolerance(size=stated.nominal, how=f"{stated.origin} in the order")
    for key in [key for key in _STATED if key in values and key not in found]:
        case = _Case(survey=survey, places=places, values=values, held=found)
        found[key] = case.asked(key)
    return found


@dataclass(frozen=True, kw_only=True)
class _Case:
    """The numbers ordered (SI), what is held already, the cylinders and the bands wanted."""

    survey: Survey
    places: Sequence[Place]
    values: Mapping[str, float]
    held: Mapping[str, Tolerance]

    def asked(self, key: str) -> Tolerance:
        """The closest of what each band asks for in each cylinder."""
        sizes: dict[float, str] = {}
        for place in self.places:
            for band in self._bands(place, key):
                size, reason = self._one(place, band, key)
                if reason:
                    where = f"cylinder {place.number}: " if len(self.places) > 1 else ""
                    return Tolerance(reason=f"{where}{reason}")
                sizes.setdefault(size, band.key)
        if not sizes or math.isinf(min(sizes)):
            return Tolerance(reason=_NOTHING.format(_ASKS[key], _STATED[key]))
        least = min(sizes)
        how = f"asked for by the {term(sizes[least]).name} wanted"
        return Tolerance(size=_as_printed(key, least, self.survey.job.system), how=how)

    def _bands(self, place: Place, key: str) -> Iterator[Band]:
        """The bands wanted that the number moves in this cylinder."""
        for band in self.survey.wanted.values():
            if band.low < band.high and key in place.moves(band.key, self.values):
                yield band

    def _one(self, place: Place, band: Band, key: str) -> tuple[float, str]:
        """What one band asks for in one cylinder, SI; else why nothing can be asked."""
        known: dict[str, Number] = {**place.known, **self.values}
        for other, tolerance in self.held.items():
            if tolerance.size:
                known[other] = self.values[other] + half_width(tolerance.size, _as_held(other))
        moving = place.moves(band.key, self.values)
        open_ones = [one for one in self.values if one in moving and one not in self.held]
        try:
            stood = stand(known, place.choices, target=band.key, holds=dict.fromkeys(open_ones, 0.0))
        except InputError as fault:
            return math.nan, fault.findings[0].wrong
        asked = asked_of_the_maker(stood, band, system=self.survey.job.system)
        return (math.nan, asked.reason) if asked.reason else (asked.shared[key], "")


def _as_held(key: str) -> Cause:
    """The maker's tolerance on a number that is held already, as a cause of doubt."""
    return Cause(
        name=f"{term(key).name} as held by the maker", key=key, shape="rectangular", source="tolerance of the order",
        remedy="ask for a closer tolerance of it",
    )  # fmt: skip


def _as_printed(key: str, size: float, system: str) -> float:
    """A half-width rounded down to what is printed of it, so that the number on the sheet keeps the band."""
    unit = shown_unit(term(key), system)
    scale = conversion(unit).scale
    step = 10.0 ** -max(places(unit, size / scale), min(1, places(unit, None))) * scale
    return (math.floor(size / step + 1e-9) * step) or size
