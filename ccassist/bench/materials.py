"""What heads and blocks are made of: cubic expansion with its standard uncertainty [1/K], and density [kg/m³]."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Material:
    """One metal: cubic expansion and its standard uncertainty [1/K], with the source of the figure.

    ``density`` [kg/m³] of casting alloys is from memory, good to some per cent: for a cross-check by weight.
    """

    name: str
    expansion: float
    doubt: float
    density: float
    source: str


MATERIALS: dict[str, Material] = {
    "aluminium": Material(
        name="aluminium",
        expansion=67e-6,
        doubt=3e-6,
        density=2700.0,
        source="handbook linear 21 to 24 per million and kelvin, × 3",
    ),
    "iron": Material(
        name="grey cast iron",
        expansion=32.4e-6,
        doubt=2e-6,
        density=7200.0,
        source="handbook linear 10.8, × 3",
    ),
}
