"""Of which quantities the cylinders of one engine, and the repeats of one reading, should be alike, and how nearly.

A slip of the finger is looked for only beyond these amounts.  Common practice, no source: as cast, chambers and
crowns of one set lie within a few per cent; cut surfaces and ground parts within a tenth or two of a millimetre.
"""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType

from ccassist.vocabulary.make import CC, MM


@dataclass(frozen=True, kw_only=True)
class Alike:
    """How far apart is worth a question: more than ``least`` (SI), and more than this ``share`` of what is usual."""

    least: float
    share: float = 0.0


_VOLUME = Alike(least=1 * CC, share=0.08)
_AREA = Alike(least=1e-4, share=0.08)

# In the order of the work: what is read or stated before what is computed from it.
ALIKE = MappingProxyType(
    {
        "chamber_volume": _VOLUME,
        "crown_volume": _VOLUME,
        "crown_and_deck_volume": _VOLUME,
        "gasket_volume": _VOLUME,
        "assembly_volume": _VOLUME,
        "fill_volume": _VOLUME,
        "staged_volume": _VOLUME,
        "chamber_area": _AREA,
        "gasket_area": _AREA,
        "bore": Alike(least=0.25 * MM),
        "stroke": Alike(least=0.25 * MM),
        "rod_length": Alike(least=0.25 * MM),
        "block_deck_height": Alike(least=0.25 * MM),
        "compression_height": Alike(least=0.25 * MM),
        "deck_clearance": Alike(least=0.2 * MM),
        "gasket_thickness": Alike(least=0.2 * MM),
        "gasket_bore": Alike(least=1 * MM),
        "land_diameter": Alike(least=0.25 * MM),
        "land_height": Alike(least=0.5 * MM),
        "squish_step": Alike(least=0.2 * MM),
        "clearance_volume": _VOLUME,
        "static_ratio": Alike(least=0.3, share=0.08),
    }
)
# Computed from the others: an odd one says only what is said of them already, unless it is alone.
FOLLOWS = ("crown_and_deck_volume", "gasket_volume", "clearance_volume", "static_ratio")
