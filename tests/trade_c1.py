"""Trade example C1 (common practice, recomputed), as written on the bench sheet; shared by tests."""

from __future__ import annotations

from ccassist.values.quantity import parse

C1_TEXT = {
    "bore": "79.30 mm",
    "stroke": "81.70 mm",
    "rod_length": "138.60 mm",
    "block_deck_height": "211.30 mm",
    "compression_height": "31.65 mm",
    "gasket_bore": "80.9 mm",
    "gasket_thickness": "1.25 mm",
    "land_diameter": "78.62 mm",
    "land_height": "6.8 mm",
    "chamber_volume": "38.60 cc",
}
CROWN = "dish 4.491 cc"


def si(texts: dict[str, str]) -> dict[str, float]:
    """Texts by term as SI numbers."""
    return {key: parse(text, key).value for key, text in texts.items()}
