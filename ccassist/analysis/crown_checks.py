"""A crown volume stated in the order against the shape drawn there: the sign that ruins a set of pistons."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ccassist.values.display import show
from ccassist.values.findings import Finding, error

if TYPE_CHECKING:
    from ccassist.analysis.cylinder import MeasuredEngine

_RIGHT = "what the crown does to the space must be the same in both: state the other volume, or draw the other shape"


def crown_findings(survey: MeasuredEngine) -> list[Finding]:
    """An error where a dish volume stands over a drawn dome, or a dome volume over a drawn dish.

    Pockets may outweigh a dome, but nothing makes a dish take space.
    """
    value = survey.stated.get("order", {}).get("crown_volume")
    shape = survey.job.said.get("order.crown", {}).get("shape", "")
    if value is None or not shape:
        return []
    pocketed = any(survey.stated.get(f"order.pocket.{kind}") for kind in ("intake", "exhaust"))
    dished, domed = "dish" in shape, "dome" in shape
    if (dished and value.nominal < 0) or (domed and value.nominal > 0 and not pocketed):
        wrong = f"the sign is the other way round: {show('crown_volume', value.nominal, system=survey.job.system)}, "
        wrong += f"but under [order.crown] a {shape} is drawn"
        read = value.raw[0] if value.raw else ""
        return [error("crown-sign", wrong, read=read, right=_RIGHT, place="order.crown_volume", line=value.line)]
    return []
