"""The least squish that is usual for an engine of a size, a speed and a kind of rod: common practice, no source.

Small bores have short, light rods; large ones grow with their bore; aluminium rods stretch and grow more.  What a
fast engine needs beyond that grows with its mean piston speed.  It is a figure to ask the makers about, never one to
build to.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from ccassist.values.measured import Value

# Bore up to [m] -> usual least [m]; above the last a share of the bore.
_BY_BORE = ((0.055, 0.45e-3), (0.075, 0.65e-3), (0.115, 0.9e-3))
_SHARE = 0.008
RODS = {"steel": 1.0, "titanium": 1.0, "aluminium": 1.6}
FAST = 25.0  # m/s mean piston speed; beyond it the least grows in proportion


@dataclass(frozen=True, kw_only=True)
class LeastSquish:
    """The usual least, m, and for what it is usual, in words."""

    gap: float
    words: str


def least_squish(values: Mapping[str, Value], rods: str = "") -> LeastSquish:
    """The usual least for a cylinder; ``rods`` : what they are made of, steel where not said.

    >>> round(least_squish({}).gap * 1e3, 2), least_squish({}, "aluminium").words
    (0.9, 'aluminium rods')
    """
    material = rods.casefold() if rods.casefold() in RODS else "steel"
    bore, speed = values.get("bore"), values.get("mean_piston_speed")
    gap, words = _BY_BORE[-1][1], f"{material} rods"
    if bore is not None:
        gap = next((least for most, least in _BY_BORE if bore.nominal <= most), _SHARE * bore.nominal)
        size = "small bores and " if bore.nominal <= _BY_BORE[1][0] else ""
        words = f"{'large bores and ' if bore.nominal > _BY_BORE[-1][0] else size}{words}"
    if speed is not None and speed.nominal > FAST:
        gap, words = gap * speed.nominal / FAST, f"{words} at this piston speed"
    return LeastSquish(gap=gap * RODS[material], words=words)
