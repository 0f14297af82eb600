"""Which relations are picked, and that nothing is counted twice or forgotten.

The expected volumes are added by hand from the geometry of one invented
cylinder (common practice, no source): a fill made over the lowered piston
holds bore area × (drop + deck clearance), the net crown, the chamfer, and the
crevice where the ring was the seal.
"""

from __future__ import annotations

from itertools import product
from math import pi, sqrt

import pytest

from ccassist.engine.model import RESULTS, Choices, Model, build
from ccassist.engine.relations import clearance_volume_over_fill

MM, CC = 1e-3, 1e-6

BORE, LAND, HIGH, DROP = 83.4 * MM, 82.6 * MM, 8.0 * MM, 15.0 * MM
AREA, CROWN_AREA = pi / 4 * BORE**2, pi / 4 * LAND**2
ANNULUS = AREA - CROWN_AREA
CREVICE = ANNULUS * HIGH
CROWN, CHAMFER, CHAMBER, GASKET, EXTRA = 2.1 * CC, 0.2 * CC, 36.0 * CC, 8.9 * CC, 0.4 * CC
DECKS = pytest.mark.parametrize("deck", [0.4 * MM, 0.0, -0.65 * MM], ids=["below", "flush", "proud"])
COMBINATIONS = pytest.mark.parametrize(
    ("seal", "crevice", "chamfer"), list(product(["ring", "grease"], [True, False], [True, False]))
)


def filled(seal: str, deck: float) -> float:
    """What a fill over the lowered piston takes."""
    return AREA * (DROP + deck) + CROWN + CHAMFER + (CREVICE if seal == "ring" else 0.0)


def by_hand(deck: float, *, crevice: bool, chamfer: bool) -> float:
    """The clearance volume: a proud piston takes its own area, and a counted crevice the annulus over all its height.

    Counted, the crevice reaches up to the crown, so bore area × clearance and
    annulus × height meet; not counted, the annulus beside a proud crown is still open.
    """
    over_crown = AREA * deck if crevice or deck >= 0 else CROWN_AREA * deck
    counted = (CREVICE if crevice else 0.0) + (CHAMFER if chamfer else 0.0)
    return CHAMBER + GASKET + over_crown + CROWN + counted + EXTRA


def known(seal: str, deck: float, *without: str) -> dict[str, float]:
    everything = {
        "bore": BORE, "stroke": 71.3 * MM, "rod_length": 123.7 * MM, "crown_drop": DROP, "deck_clearance": deck,
        "crown_fill": filled(seal, deck), "chamfer_volume": CHAMFER, "chamber_volume": CHAMBER,
        "gasket_volume": GASKET, "extra_volume": EXTRA, "land_diameter": LAND, "land_height": HIGH,
    }  # fmt: skip
    return {key: value for key, value in everything.items() if key not in without}


def clearance(values: dict[str, float], choices: Choices) -> float:
    return build(values, choices).evaluate(values)["clearance_volume"]


# -- crevice and chamfer: never both, never neither ---------------------------------------------------


@DECKS
@COMBINATIONS
def test_filled_with_the_deck_clearance_known(deck: float, seal: str, crevice: bool, chamfer: bool) -> None:
    got = clearance(known(seal, deck), Choices(seal=seal, crevice=crevice, chamfer=chamfer))
    assert got / CC == pytest.approx(by_hand(deck, crevice=crevice, chamfer=chamfer) / CC, abs=1e-9)


@pytest.mark.parametrize("deck", [0.4 * MM, 0.0], ids=["below", "flush"])
@COMBINATIONS
def test_filled_with_the_deck_clearance_unknown(deck: float, seal: str, crevice: bool, chamfer: bool) -> None:
    values = known(seal, deck, "deck_clearance")
    got = clearance(values, Choices(seal=seal, crevice=crevice, chamfer=chamfer))
    assert got / CC == pytest.approx(by_hand(deck, crevice=crevice, chamfer=chamfer) / CC, abs=1e-9)


@pytest.mark.parametrize("seal", ["ring", "grease"])
def test_filled_with_a_proud_piston_of_unknown_height(seal: str) -> None:
    """Counted it is exact; not counted, only the annulus beside the proud crown cannot be known."""
    values = known(seal, -0.65 * MM, "deck_clearance")
    counted = clearance(values, Choices(seal=seal))
    assert counted == pytest.approx(by_hand(-0.65 * MM, crevice=True, chamfer=True))
    uncounted = clearance(values, Choices(seal=seal, crevice=False))
    beside = ANNULUS * 0.65 * MM
    assert by_hand(-0.65 * MM, crevice=False, chamfer=True) - uncounted == pytest.approx(beside)


@DECKS
@pytest.mark.parametrize("chamfer", [True, False])
@pytest.mark.parametrize("crevice", [True, False])
def test_crown_given_by_itself(deck: float, crevice: bool, chamfer: bool) -> None:
    values = known("grease", deck, "crown_fill", "crown_drop") | {"crown_volume": CROWN}
    got = clearance(values, Choices(crevice=crevice, chamfer=chamfer))
    assert got / CC == pytest.approx(by_hand(deck, crevice=crevice, chamfer=chamfer) / CC, abs=1e-9)


@DECKS
@pytest.mark.parametrize("seal", ["ring", "grease"])
@pytest.mark.parametrize("crevice", [True, False])
def test_net_crown_of_a_fill_is_the_crown_alone(deck: float, seal: str, crevice: bool) -> None:
    """Whatever is counted, the crown is the crown."""
    values = known(seal, deck)
    got = build(values, Choices(seal=seal, crevice=crevice)).evaluate(values)["crown_volume"]
    assert got / CC == pytest.approx(CROWN / CC, abs=1e-9)


@DECKS
def test_counting_the_crevice_adds_it_once(deck: float) -> None:
    """Below deck the whole crevice; proud, less by the annulus that stands open beside the crown anyway."""
    values = known("grease", deck)
    added = clearance(values, Choices(seal="grease")) - clearance(values, Choices(seal="grease", crevice=False))
    assert added == pytest.approx(CREVICE + ANNULUS * min(deck, 0.0))


@pytest.mark.parametrize("seal", ["ring", "grease"])
def test_chamfer_counted_or_not_differs_by_the_chamfer(seal: str) -> None:
    values = known(seal, 0.4 * MM)
    both = [clearance(values, Choices(seal=seal, chamfer=chamfer)) for chamfer in (True, False)]
    assert both[0] - both[1] == pytest.approx(CHAMFER)


# -- the land not measured ------------------------------------------------------------------------------

NO_LAND = ("land_diameter", "land_height")


@DECKS
@pytest.mark.parametrize("without", [(), ("deck_clearance",)], ids=["deck known", "deck unknown"])
def test_ring_sealed_fill_holds_an_unmeasured_crevice(deck: float, without: tuple[str, ...]) -> None:
    """Counted and ring-sealed: the crevice is in the fill already, its size need not be known."""
    values = known("ring", deck, *NO_LAND, *without)
    model = build(values, Choices(seal="ring"))
    got = model.evaluate(values)
    assert got["clearance_volume"] == pytest.approx(by_hand(deck, crevice=True, chamfer=True))
    assert model.fixed["crevice_counted"] == "inside the ring-sealed fill"
    assert "crown_volume" not in got  # crown and crevice cannot be told apart


@pytest.mark.parametrize("deck", [0.4 * MM, 0.0], ids=["below", "flush"])
def test_greased_fill_without_land_can_leave_the_crevice_out(deck: float) -> None:
    got = clearance(known("grease", deck, *NO_LAND), Choices(seal="grease", crevice=False))
    assert got == pytest.approx(by_hand(deck, crevice=False, chamfer=True))


@pytest.mark.parametrize(
    ("seal", "crevice", "crown"),
    [("grease", True, None), ("ring", False, None), ("ring", True, CROWN), ("", True, CROWN)],
    ids=["greased, counted", "ring-sealed, not counted", "crown given beside a ring-sealed fill", "crown given"],
)
def test_an_unmeasured_crevice_is_never_taken_for_nothing(seal: str, crevice: bool, crown: float | None) -> None:
    values = known(seal, 0.4 * MM, *NO_LAND)
    if crown is not None:
        values["crown_volume"] = crown
    model = build(values, Choices(seal=seal, crevice=crevice))
    assert "clearance_volume" not in model.evaluate(values)
    assert model.lacking["static_ratio"] == NO_LAND


# -- offset -----------------------------------------------------------------------------------------------

STACK = {"block_deck_height": 0.2263, "stroke": 0.0917, "rod_length": 0.1489, "compression_height": 0.03135}


def test_without_offset_the_centred_relations_are_picked() -> None:
    model = build(STACK, Choices())
    assert [model.relation_of(k).name for k in ("piston_travel", "deck_clearance")] == [  # type: ignore[union-attr]
        "piston_travel_centred", "deck_clearance_centred",
    ]  # fmt: skip
    assert model.evaluate(STACK)["deck_clearance"] == pytest.approx(0.0002)


@pytest.mark.parametrize("offset", [0.010, -0.010])
def test_offset_lengthens_the_travel_and_lowers_the_piston(offset: float) -> None:
    values = {**STACK, "pin_offset": offset}
    got = build(values, Choices()).evaluate(values)
    highest, lowest = sqrt(0.19475**2 - 0.01**2), sqrt(0.10305**2 - 0.01**2)
    assert got["piston_travel"] == pytest.approx(highest - lowest, rel=1e-14)
    assert got["deck_clearance"] == pytest.approx(0.2263 - highest - 0.03135, rel=1e-12)


def test_no_offset_stated_as_nothing_is_centred() -> None:
    model = build({**STACK, "pin_offset": 0.0}, Choices())
    assert model.relation_of("piston_travel").needs == ("stroke",)  # type: ignore[union-attr]


# -- the model as such ------------------------------------------------------------------------------------


def test_a_measured_term_wins_over_its_relation() -> None:
    values = {**STACK, "deck_clearance": 0.00035}
    model = build(values, Choices())
    assert model.relation_of("deck_clearance") is None
    assert model.evaluate(values)["deck_clearance"] == 0.00035


def test_evaluated_with_more_than_it_was_built_for_the_known_value_still_wins() -> None:
    model = build(STACK, Choices())
    assert model.evaluate({**STACK, "deck_clearance": 0.001})["deck_clearance"] == 0.001


def test_inputs_of_a_result() -> None:
    values = known("grease", 0.4 * MM)
    model = build(values, Choices(seal="grease"))
    assert set(model.inputs_of("swept_volume")) == {"bore", "stroke"}
    inputs = model.inputs_of("static_ratio")
    assert {"bore", "stroke", "chamber_volume", "gasket_volume", "crown_fill", "land_height"} <= set(inputs)
    assert len(inputs) == len(set(inputs))
    assert model.inputs_of("bore") == ("bore",)


@pytest.mark.parametrize(
    ("result", "without", "asked"),
    [
        ("swept_volume", "bore", ("bore",)),
        ("swept_volume", "stroke", ("stroke",)),
        ("static_ratio", "chamber_volume", ("chamber_volume",)),
        ("static_ratio", "crown_fill", ("crown_volume",)),
        ("static_ratio", "gasket_volume", ("gasket_bore", "gasket_thickness")),
        ("rod_ratio", "rod_length", ("rod_length",)),
        ("mean_piston_speed", "", ("engine_speed",)),
        ("squish", "deck_clearance", ("deck_clearance", "gasket_thickness")),
    ],
)
def test_what_is_lacking_is_named(result: str, without: str, asked: tuple[str, ...]) -> None:
    model = build(known("grease", 0.4 * MM, without), Choices(seal="grease"))
    assert model.lacking[result] == asked


def test_nothing_known_lacks_everything_and_gives_nothing() -> None:
    model = build({}, Choices())
    assert set(model.lacking) == set(RESULTS) - {"displacement", "trapped_ratio"}
    assert set(model.evaluate({}).values()) == {0.0}


@pytest.mark.parametrize(
    ("choices", "key", "reason"),
    [
        (Choices(crevice=False), "crevice_counted", "not counted"),
        (Choices(chamfer=False), "chamfer_counted", "not counted"),
        (Choices(seal="grease"), "crevice_in_fill", "kept out by the grease"),
        (Choices(), "extra_volume", "none named"),
        (Choices(), "chamfer_volume", "no chamfer named"),
        (Choices(), "squish_step", "no step named"),
    ],
)
def test_what_is_nothing_says_why(choices: Choices, key: str, reason: str) -> None:
    assert build({}, choices).fixed[key] == reason


def test_squish_is_deck_gasket_and_step() -> None:
    values = {"deck_clearance": -0.2 * MM, "gasket_thickness": 1.3 * MM, "squish_step": 0.1 * MM}
    assert build(values, Choices()).evaluate(values)["squish"] == pytest.approx(1.2 * MM)


def test_a_model_without_relations() -> None:
    assert Model(chain=()).evaluate({"bore": 1.0}) == {"bore": 1.0}


def test_what_a_fill_held_of_crevice_and_chamfer_is_not_counted_twice() -> None:
    """40 + 9 + 12 + (3 less 1) + (0.5 less 0.2) + 2 cc, by hand (common practice, no source)."""
    parts = {
        "chamber_volume": 40.0, "gasket_volume": 9.0, "crown_and_deck_volume": 12.0, "crevice_counted": 3.0,
        "crevice_in_fill": 1.0, "chamfer_counted": 0.5, "chamfer_in_fill": 0.2, "extra_volume": 2.0,
    }  # fmt: skip
    assert clearance_volume_over_fill(**parts) == pytest.approx(65.3)
