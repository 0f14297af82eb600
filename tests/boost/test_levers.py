"""Levers: each against a direct working of the whole chain, and slopes by hand; published ones in tests/references."""

from __future__ import annotations

from dataclasses import replace
from math import radians

import pytest

from ccassist.boost.conditions import standard_pressure
from ccassist.boost.equivalents import compressed, equivalents
from ccassist.boost.figures import OCTANE, Stand
from ccassist.boost.knock_compare import octane_difference
from ccassist.boost.levers import GENERAL, LEVERS, SHOWN, Engine, LeverEffect, effects
from ccassist.engine.model import Choices, build
from ccassist.engine.slider_crank import Geometry
from tests.boost.test_solve_boost import CLEAN, HABIT, engine
from tests.trade_c1 import C1_TEXT, CROWN, si

KNOWN = {**si({**C1_TEXT, "crown_volume": CROWN}), "chamber_area": 46e-4}
CHOICES = Choices()


def stand(known: dict[str, float], **changes: float) -> Stand:
    """The engine of trade example C1 (common practice, recomputed) at 1 bar, with changes of charge or burn."""
    ratio = build(known, CHOICES).evaluate(known)["static_ratio"]
    geometry = Geometry(static_ratio=ratio, stroke=0.0817, rod_length=0.1386, intake_closing=radians(55))
    return replace(engine(8.5, 1.0), geometry=geometry).but(**changes)


TODAY = Engine(known=KNOWN, choices=CHOICES, stand=stand(KNOWN))


@pytest.fixture(scope="module")
def moved() -> dict[str, LeverEffect]:
    return {effect.lever.key: effect for effect in effects(TODAY, CLEAN)}


def plain(made: Stand) -> dict[str, float]:
    """The figures of an engine by the records of the room."""
    end = compressed(made.geometry, made.conditions).end
    (equal,) = (e.number for e in equivalents(made.geometry, made.conditions) if e.convention.key.startswith("press"))
    return {
        "static_ratio": made.geometry.static_ratio,
        "trapped_ratio": made.geometry.trapped_ratio,
        "end_pressure": end.pressure,
        "end_temperature": end.temperature,
        "pressure_equivalent": equal,
        OCTANE: octane_difference(CLEAN.case, made.case),
    }


def otherwise() -> dict[str, Stand]:
    """Each lever's engine, made by hand."""
    now = TODAY.stand
    outer = 101325 * standard_pressure(500.0) / standard_pressure(0.0)
    return {
        "crown_volume": stand({**KNOWN, "crown_volume": KNOWN["crown_volume"] + 1e-6}),
        "gasket_thickness": stand({**KNOWN, "gasket_thickness": 1.35e-3}),
        "face_cut": stand({**KNOWN, "chamber_volume": 38.60e-6 - 0.46e-6}),
        "intake_closing": replace(now, geometry=now.geometry.closing_at(radians(56))),
        "manifold_pressure": stand(KNOWN, boost_gauge=1.1e5),
        "charge_temperature": stand(KNOWN, charge_temperature=now.compressed.charge.charge_temperature - 10),
        "cooler_effectiveness": stand(KNOWN, cooler_effectiveness=0.85),
        "burn_phasing": replace(now, habit=replace(HABIT, burn_centre=radians(9))),
        "altitude": stand(KNOWN, barometer=outer),
    }


@pytest.mark.parametrize("key", otherwise())
def test_each_lever_is_the_whole_chain_worked_again(key: str, moved: dict[str, LeverEffect]) -> None:
    before, after = plain(TODAY.stand), plain(otherwise()[key])
    for figure, number in before.items():
        size = 1e-6 * max(1.0, abs(number))
        assert moved[key].changes[figure] == pytest.approx(after[figure] - number, abs=size), figure


def test_ratio_and_squish_by_hand(moved: dict[str, LeverEffect]) -> None:
    """−(CR − 1)²/Vs per cc of space; a gasket adds its opening times its growth, and opens the squish by it."""
    per_cc = -(7.9**2) / 403.514
    assert moved["crown_volume"].changes["static_ratio"] == pytest.approx(per_cc, rel=0.02)
    assert moved["gasket_thickness"].changes["static_ratio"] == pytest.approx(per_cc * 0.5140, rel=0.02)
    assert moved["face_cut"].changes["static_ratio"] == pytest.approx(-per_cc * 0.46, rel=0.02)
    squish = {key: effect.changes["squish"] for key, effect in moved.items()}
    assert squish.pop("gasket_thickness") == pytest.approx(1e-4, rel=1e-9)
    assert set(squish.values()) == {0.0}


def test_a_step_is_as_large_as_its_name_says_in_either_system() -> None:
    """Factors exact by definition: NIST SP 811 (2008) B.8, 0.0254 m an inch, 6894.757 Pa a psi, 5/9 K a degree F."""
    inches = {"gasket_thickness": 127e-6, "face_cut": 127e-6, "manifold_pressure": 6894.757, "altitude": 304.8,
              "charge_temperature": 100 / 9}  # fmt: skip
    for lever in LEVERS:
        shared = lever.name("metric") == lever.name("imperial")
        assert shared is (lever.key not in inches)
        expected = lever.size("metric") if shared else inches[lever.key]
        assert lever.size("imperial") == pytest.approx(expected, rel=1e-6)
    made = {one.lever.key: one.changes for one in effects(TODAY, None, "imperial")}
    assert made["gasket_thickness"]["squish"] == pytest.approx(127e-6, rel=1e-9)


def test_a_skim_that_reaches_the_squish_pad() -> None:
    known = {**KNOWN, "squish_step": 5e-5}
    deep = effects(Engine(known=known, choices=CHOICES, stand=stand(known)))
    (cut,) = (effect for effect in deep if effect.lever.key == "face_cut")
    assert cut.changes["squish"] == pytest.approx(-5e-5, rel=1e-9)


def test_directions(moved: dict[str, LeverEffect]) -> None:
    """Common practice: what eases knock, and what does not touch the motored figures."""
    easier = ("crown_volume", "gasket_thickness", "intake_closing", "charge_temperature", "burn_phasing", "altitude")
    assert all(moved[key].changes[OCTANE] < 0 for key in easier)
    for key in ("burn_phasing", "octane_number"):
        rest = {figure: change for figure, change in moved[key].changes.items() if figure != OCTANE}
        assert set(rest.values()) == {0.0}
    assert moved["octane_number"].changes[OCTANE] == -1.0


def test_without_a_baseline_no_octane_figure() -> None:
    found = effects(TODAY)
    assert all(OCTANE not in effect.changes for effect in found)
    assert all(set(effect.changes) <= set(SHOWN) for effect in found)


def test_what_cannot_be_pulled_says_why() -> None:
    bare = {key: number for key, number in KNOWN.items() if key not in ("chamber_area", "gasket_thickness")}
    bare["gasket_volume"] = 7.9e-6
    quiet = stand(bare).but(charge_temperature=320.0)
    reasons = {e.lever.key: e.reason for e in effects(Engine(known=bare, choices=CHOICES, stand=quiet))}
    assert "opening" in reasons["face_cut"]
    assert "gasket" in reasons["gasket_thickness"]
    assert "stated as such" in reasons["cooler_effectiveness"]
    assert all(reasons[key] == "" for key in ("octane_number", "burn_phasing", "crown_volume"))


def test_every_lever_has_its_price_in_words(moved: dict[str, LeverEffect]) -> None:
    assert list(moved) == [lever.key for lever in LEVERS]
    assert all(effect.lever.trade_offs for effect in moved.values())
    said = " ".join([*GENERAL, *(words for lever in LEVERS for words in lever.trade_offs)])
    assert "squish" in said
    assert " safe" not in said
