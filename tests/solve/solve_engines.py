"""Invented engines for the tests of solving, and the ratio in straight-line code."""

from __future__ import annotations

import math
from typing import Any

from hypothesis import strategies as st

from ccassist.engine.model import Choices, build
from tests.trade_c1 import C1_TEXT, CROWN, si

COUNTED = Choices(crevice=True, chamfer=True, seal="")
UNCOUNTED = Choices(crevice=False, chamfer=False, seal="")

# Trade example C1 (common practice, recomputed), at a speed and in number.
C1 = si({**C1_TEXT, "engine_speed": "6000 rpm", "cylinders": "4"})
C1_DISHED = {**C1, **si({"crown_volume": CROWN})}

# Every target with every input that it depends on (the offset is there in half of the engines).
STACK = ("block_deck_height", "stroke", "rod_length", "compression_height")
INPUTS = {
    "static_ratio": (
        "bore", *STACK, "chamber_volume", "gasket_bore", "gasket_thickness", "crown_volume", "land_diameter",
        "land_height", "chamfer_volume", "extra_volume",
    ),
    "trapped_ratio": (
        "intake_closing", "stroke", "rod_length", "crown_volume", "gasket_thickness", "chamber_volume",
        "compression_height", "bore",
    ),
    "clearance_volume": ("bore", *STACK, "chamber_volume", "gasket_bore", "crown_volume", "land_height"),
    "deck_clearance": STACK,
    "squish": (*STACK, "gasket_thickness", "squish_step"),
    "swept_volume": ("bore", "stroke"),
    "displacement": ("bore", "stroke", "cylinders"),
    "bdc_volume": ("bore", "stroke", "chamber_volume", "extra_volume"),
    "mean_piston_speed": ("stroke", "engine_speed"),
    "rod_ratio": ("rod_length", "stroke"),
    "bore_stroke_ratio": ("bore", "stroke"),
    "crevice_volume": ("bore", "land_diameter", "land_height"),
}  # fmt: skip
PAIRS = [(target, unknown) for target, unknowns in INPUTS.items() for unknown in unknowns]


@st.composite
def engines(draw: st.DrawFn, offset: bool | None = None) -> dict[str, float]:
    """Any petrol engine that can be built: its inputs in SI."""

    def between(low: float, high: float) -> float:
        return draw(st.floats(low, high))

    bore, stroke = between(0.05, 0.12), between(0.045, 0.12)
    rod = stroke * between(1.4, 2.2)
    height, deck = between(0.025, 0.045), between(-0.0006, 0.0015)
    crown, extra, chamfer = between(-15e-6, 15e-6), between(-2e-6, 4e-6), between(0.0, 0.4e-6)
    gasket_bore, gasket = bore + between(0.0002, 0.003), between(0.0005, 0.002)
    land, land_height = bore - between(0.0004, 0.0012), between(0.003, 0.010)
    rest = math.pi / 4 * (gasket_bore**2 * gasket + bore**2 * deck + (bore**2 - land**2) * land_height)
    clearance = math.pi / 4 * bore**2 * stroke / (between(7.0, 14.0) - 1)
    chamber = max(clearance - rest - crown - extra - chamfer, 5e-6)
    engine = {
        "bore": bore, "stroke": stroke, "rod_length": rod, "compression_height": height,
        "block_deck_height": stroke / 2 + rod + height + deck, "gasket_bore": gasket_bore,
        "gasket_thickness": gasket, "land_diameter": land, "land_height": land_height, "chamber_volume": chamber,
        "crown_volume": crown, "extra_volume": extra, "chamfer_volume": chamfer, "squish_step": between(0.0, 0.002),
        "engine_speed": between(20.0, 150.0), "cylinders": float(draw(st.integers(1, 12))),
        "intake_closing": between(0.3, 1.4),
    }  # fmt: skip
    if draw(st.booleans()) if offset is None else offset:
        engine["pin_offset"] = draw(st.sampled_from((-1, 1))) * between(0.0003, 0.0025)
    return engine


def evaluated(engine: dict[str, float], choices: Choices = COUNTED) -> dict[str, float]:
    """All terms of an engine, the displacement too."""
    values = build(engine, choices).evaluate(engine)
    return {**values, "displacement": engine["cylinders"] * values["swept_volume"]}


def straight_ratio(engine: dict[str, Any]) -> float:
    """The static ratio in straight-line code: nothing of the tool's relations is used."""
    quarter = math.pi / 4
    throw, rod, offset = engine["stroke"] / 2, engine["rod_length"], engine.get("pin_offset", 0.0)
    top = math.sqrt((rod + throw) ** 2 - offset**2)
    bottom = math.sqrt((rod - throw) ** 2 - offset**2)
    deck = engine["block_deck_height"] - top - engine["compression_height"]
    swept = quarter * engine["bore"] ** 2 * (top - bottom)
    clearance = (
        engine["chamber_volume"]
        + quarter * engine["gasket_bore"] ** 2 * engine["gasket_thickness"]
        + quarter * engine["bore"] ** 2 * deck
        + engine["crown_volume"]
        + quarter * (engine["bore"] ** 2 - engine["land_diameter"] ** 2) * engine["land_height"]
        + engine.get("chamfer_volume", 0.0)
        + engine.get("extra_volume", 0.0)
    )
    return (swept + clearance) / clearance
