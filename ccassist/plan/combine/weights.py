"""How much heavier or lighter the parts of a combination are than the engine's own."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from ccassist.job.choices import WEIGHTS
from ccassist.plan.combine.candidates import Candidates, Option
from ccassist.values.measured import Number, Value, computed


def weight_changes(offered: Candidates, parts: Sequence[Option]) -> Mapping[str, Value]:
    """Kind of part -> its change of weight [kg], where both weights are given; the engine's own part changes nothing.

    The engine's own weight is what its option states (one that states nothing
    else), or what the engine states.
    """
    found = {}
    for axis, part in zip(offered.axes, parts, strict=True):
        own, key = _own_weight(offered, axis), WEIGHTS.get(part.kind)
        if key is None or own is None:
            continue
        if not part.states:
            found[part.kind] = 0.0
        elif key in part.values:
            found[part.kind] = part.values[key].number - own
    return {kind: computed("weight_change", number) for kind, number in found.items()}


def _own_weight(offered: Candidates, axis: Sequence[Option]) -> Number | None:
    key = WEIGHTS.get(axis[0].kind, "")
    stated = [option.values[key].number for option in axis if not option.states and key in option.values]
    return stated[0] if stated else offered.engine.get(key)
