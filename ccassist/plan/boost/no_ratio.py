"""An engine that has no static ratio yet: where its ratio is looked for, and what its volumes must then add up to.

Bore, stroke, rod and closing are enough to ask for the ratio; chamber and
crown follow later.
"""

from __future__ import annotations

from collections.abc import Mapping

from ccassist.analysis.cylinder import Cylinder
from ccassist.analysis.sums import PARTS, coefficients
from ccassist.boost.solve_boost import RATIO
from ccassist.engine.model import RELATIONS
from ccassist.plan.boost.build import Build, geometry_of
from ccassist.plan.boost.story import BoostStory
from ccassist.values.measured import Value, computed
from ccassist.values.number import Number
from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import Origin

_START = 9.0  # where the search begins; the answer does not hang on it
_SUM = RELATIONS["clearance_volume"]
_OVER_PISTON = ("deck_volume", "crown_volume")  # known together once a fill over the piston is


def to_build(story: BoostStory, cylinder: Cylinder) -> Build | None:
    """An engine whose ratio alone is not known, at one to start from; None where anything else is lacking too."""
    lacking = next(one.lacking for one in story.cylinders if one.number == cylinder.number)
    geometry = geometry_of(cylinder, story.closing, _START) if lacking == (RATIO,) else None
    return None if geometry is None else Build(geometry=geometry)


@record
class Volumes:
    """What a static ratio asks of the volumes above the piston at top dead centre.

    Attributes
    ----------
    total : what they must add up to.
    known : those that are known already, by term, signed as they count in the sum.
    left : what is left for the others; None where nothing is known, or nothing left open.
    others : terms of those.
    """

    total: Value
    known: Mapping[str, Value]
    left: Value | None
    others: tuple[str, ...]


def volumes_for(cylinder: Cylinder, ratio: Number) -> Volumes | None:
    """What the volumes must add up to for a ratio: swept volume ÷ (ratio − 1); None without a swept volume."""
    swept = cylinder.values.get("swept_volume")
    if swept is None:
        return None
    total = swept.number / (ratio - 1)
    signs, values = coefficients(_SUM), cylinder.values
    known = {key: computed(key, sign * values[key].number) for key, sign in signs.items() if key in values}
    over = values.get("crown_and_deck_volume")
    if over is not None and not set(_OVER_PISTON) <= known.keys():
        known = {key: one for key, one in known.items() if key not in _OVER_PISTON} | {over.key: over}
    others = tuple(key for key in signs if key not in known and not (over and key in _OVER_PISTON))
    left = total - sum((one.number for one in known.values()), start=0.0)
    shown = {key: one for key, one in known.items() if key not in values or values[key].origin != Origin.NOT_COUNTED}
    return Volumes(
        total=computed(_SUM.gives, total, "swept volume ÷ (static ratio − 1)"),
        known=shown,
        left=computed(_SUM.gives, left, "what is known taken off") if shown and others else None,
        others=others,
    )


def volume_names(keys: tuple[str, ...]) -> list[str]:
    """Terms of the sum in short words."""
    return [PARTS[key] for key in keys]
