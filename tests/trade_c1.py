"""Trade example C1 (common practice, recomputed), as written on the bench sheet; shared by tests."""

from __future__ import annotations

from ccassist.quantity import parse

C1_TEXT = {
    "bore": "86.50 mm",
    "stroke": "86.00 mm",
    "rod_length": "150.00 mm",
    "block_deck_height": "224.00 mm",
    "compression_height": "30.80 mm",
    "gasket_bore": "88.0 mm",
    "gasket_thickness": "1.30 mm",
    "land_diameter": "85.80 mm",
    "land_height": "7.0 mm",
    "chamber_volume": "46.30 cc",
}
CROWN = "dish 8.748 cc"


def si(texts: dict[str, str]) -> dict[str, float]:
    """Texts by term as SI numbers."""
    return {key: parse(text, key).value for key, text in texts.items()}
