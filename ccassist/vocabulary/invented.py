"""The engines of prompts, help, error messages and docstring examples: invented, so that nobody's engine is shown.

One for metric shops and one for imperial ones, each as a builder would write it.  Every example of a bore, a stroke, a
height and what goes with them is read here; the engines of ``examples/`` are invented in the same way, file by file.
Whoever changes one keeps it whole: the heights add up to the deck clearance, the gasket clears the bore.
"""

from __future__ import annotations

METRIC: dict[str, str] = {
    "bore": "83.40 mm",
    "stroke": "91.70 mm",
    "rod_length": "148.90 mm",
    "block_deck_height": "226.30 mm",
    "compression_height": "31.35 mm",
    "deck_clearance": "0.20 mm below deck",
    "chamber_volume": "46.3 cc",
    "gasket_bore": "84.9 mm",
    "gasket_thickness": "1.30 mm",
    "gasket_area": "56.6 cm²",
    "gasket_volume": "7.4 cc",
    "gasket_long": "87.3 mm",
    "gasket_short": "84.6 mm",
    "crown_volume": "dish 11.3 cc",
    "land_diameter": "82.70 mm",
    "land_height": "7.0 mm",
    "crevice_volume": "0.6 cc",
    "clearance_volume": "67 cc",
    "displacement": "at most 2005 cc",
    "pin_diameter": "21 mm",
    "pin_length": "57 mm",
    "rod_width": "22.35 mm",
    "dish_diameter": "67 mm",
}
IMPERIAL: dict[str, str] = {
    "bore": "3.941 in",
    "stroke": "3.414 in",
    "rod_length": "5.813 in",
    "block_deck_height": "8.993 in",
    "compression_height": "1.466 in",
    "deck_clearance": "7 thou below deck",
    "chamber_volume": "66.7 cc",
    "gasket_bore": "4.006 in",
    "gasket_thickness": "33 thou",
    "gasket_area": "12.6 in²",
    "gasket_volume": "6.8 cc",
    "gasket_long": "4.110 in",
    "gasket_short": "3.985 in",
    "crown_volume": "reliefs 4.3 cc",
    "land_diameter": "3.907 in",
    "land_height": "0.280 in",
    "crevice_volume": "1.0 cc",
    "clearance_volume": "80 cc",
    "displacement": "at most 335 in³",
    "pin_diameter": "0.873 in",
    "pin_length": "2.430 in",
    "rod_width": "0.861 in",
    "dish_diameter": "2.850 in",
}
