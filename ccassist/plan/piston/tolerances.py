"""What the piston maker must hold: as the order states it, or as the wanted bands ask for it."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ccassist.band import Band
from ccassist.findings import InputError
from ccassist.measured import Cause, Number, half_width
from ccassist.plan.tolerance.asked import asked_of_the_maker
from ccassist.plan.tolerance.expected import stand
from ccassist.results import Survey
from ccassist.terms import term

if TYPE_CHECKING:
    from ccassist.plan.piston.specification import Place

HEIGHT_TERMS = ("squish", "deck_clearance")  # what a compression height is worked out from
_STATED = {"compression_height": "height_tolerance", "crown_volume": "crown_tolerance"}
_STEPS = {"compression_height": 5e-6, "crown_volume": 5e-8}  # what is asked for is rounded down to these, SI


@dataclass(frozen=True, kw_only=True)
class Tolerance:
    """Half-width to be held, SI (None where there is none), where it comes from, and why there is none."""

    size: float | None = None
    how: str = ""
    reason: str = ""


def tolerances(survey: Survey, places: Sequence[Place], values: Mapping[str, float]) -> dict[str, Tolerance]:
    """The tolerance of each number ordered (term -> SI value).

    The compression height is held for the band of the gap wanted, where one is;
    then the crown volume for the band of the ratio, with the height as held.
    """
    order, found = survey.stated.get("order", {}), {}
    for key in values:
        stated = order.get(_STATED[key])
        if stated is not None:
            found[key] = Tolerance(size=stated.nominal, how=f"{stated.origin} in the order")
    if "compression_height" in values and "compression_height" not in found:
        gap = next((survey.wanted[key] for key in HEIGHT_TERMS if key in survey.wanted), None)
        if gap is not None and gap.low < gap.high:
            found["compression_height"] = _asked("compression_height", gap, places, values, {}, survey.job.system)
    ratio = survey.wanted.get("static_ratio")
    if "crown_volume" in values and "crown_volume" not in found and ratio is not None and ratio.low < ratio.high:
        known = found.get("compression_height", Tolerance()).size
        held = {} if known is None else {"compression_height": known}
        found["crown_volume"] = _asked("crown_volume", ratio, places, values, held, survey.job.system)
    none = "nothing asks for one; want a range of the {}, or state {} under [order]"
    asks = {"compression_height": "gap", "crown_volume": "ratio"}
    return {key: found.get(key, Tolerance(reason=none.format(asks[key], _STATED[key]))) for key in values}


def _asked(
    key: str,
    band: Band,
    places: Sequence[Place],
    values: Mapping[str, float],
    held: Mapping[str, float],
    system: str,
) -> Tolerance:
    """The closest of what each cylinder asks for."""
    sizes = []
    for place in places:
        known: dict[str, Number] = {**place.known, **values}
        for other, size in held.items():
            held_to = Cause(name=f"{term(other).name} as held", key=other, shape="rectangular")
            known[other] = values[other] + half_width(size, held_to)
        try:
            asked = asked_of_the_maker(
                stand(known, place.choices, target=band.key, holds={key: 0.0}), band, system=system
            )
        except InputError as fault:
            return Tolerance(reason=fault.findings[0].wrong)
        if asked.reason:
            return Tolerance(reason=f"cylinder {place.number}: {asked.reason}")
        sizes.append(asked.alone[key])
    step = _STEPS[key]
    size = min(sizes)
    if math.isinf(size):
        return Tolerance(reason=f"the {term(band.key).name} does not hang on it")
    rounded = math.floor(size / step + 1e-9) * step
    return Tolerance(size=rounded or size, how=f"asked for by the {term(band.key).name} wanted")
