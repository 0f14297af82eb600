"""Python may give a quantity of Pint wherever it may give a text, and asks for one; nothing else loads Pint."""

from __future__ import annotations

import pint
import pytest
from pint import Quantity

import ccassist
from ccassist.solve.request import wish_of
from ccassist.values.pint_bridge import as_text
from ccassist.values.quantity import parse
from ccassist.vocabulary import TERMS, Kind, Meant, term
from tests.each import each

JOB = """
format = 1
[job]
units = "metric"
[engine]
cylinders = 1
bore = "74.10 +/- 0.02 mm, measured"
stroke = "68.30 +/- 0.02 mm, measured"
chamber_volume = "31.2 +/- 0.3 cc, measured"
gasket_volume = "4.9 +/- 0.2 cc, maker's figure"
deck_clearance = "0.15 +/- 0.02 mm below deck, measured"
crown_volume = "dish 2.6 +/- 0.3 cc, maker's figure"
gasket_thickness = "1.10 +/- 0.03 mm, maker's figure"
[counted]
crevice = "not counted"
"""
REGISTRY = pint.UnitRegistry()
# A unit of each kind as Pint spells it, with one that is not SI.
SOME = {
    Kind.LENGTH: "inch",
    Kind.AREA: "inch ** 2",
    Kind.VOLUME: "inch ** 3",
    Kind.ANGLE: "degree",
    Kind.MASS: "ounce",
    Kind.TIME: "minute",
    Kind.PRESSURE: "psi",
    Kind.SPEED: "foot / minute",
    Kind.ACCELERATION: "foot / second ** 2",
    Kind.TURNS: "rpm",
    Kind.DENSITY: "pound / foot ** 3",
    Kind.RATIO: "percent",
    Kind.COUNT: "dimensionless",
}


@pytest.fixture(scope="module")
def engine() -> ccassist.Survey:
    return ccassist.survey(ccassist.parse_job(JOB).job)


@each("key", [key for key, one in TERMS.items() if one.kind is not Kind.TEMPERATURE])
def test_every_term_takes_a_quantity_in_any_unit_of_its_kind(key: str) -> None:
    wanted = term(key)
    unit, low, high = SOME[wanted.kind], *wanted.plausible
    middle = low + (high - low) / 3
    si = REGISTRY.Quantity(round(middle) if wanted.kind is Kind.COUNT else middle, wanted.kind.si or "dimensionless")
    assert parse(si.to(unit), key).value == pytest.approx(si.magnitude, rel=1e-12)


def test_it_is_the_quantity_that_the_text_says() -> None:
    """NIST SP 811 (2008), B.8: 1 in³ = 16.387064 cm³ exactly."""
    assert parse(REGISTRY("2.8254 inch ** 3"), "chamber_volume").value == pytest.approx(
        2.8254 * 16.387064e-6, rel=1e-12
    )
    assert parse(REGISTRY("2.8254 inch ** 3"), "chamber_volume").value == pytest.approx(
        parse("2.8254 in3", "chamber_volume").value, rel=1e-12
    )


def test_a_thermometer_and_a_difference() -> None:
    """°C has a zero of its own: 20 °C is 293.15 K, and a rise by 20 °C is 20 K (SP 811, B.9)."""
    degrees, step = Quantity(20.0, "degC"), Quantity(20.0, "delta_degC")
    assert parse(degrees, "temperature").value == pytest.approx(293.15)
    assert parse(step, "charge_heating").value == pytest.approx(20.0)
    assert parse(Quantity(20.0, "kelvin"), "charge_heating").value == 20.0
    for given, key in ((degrees, "charge_heating"), (step, "temperature")):
        with pytest.raises(ccassist.InputError, match="and this is none"):
            parse(given, key)


def test_a_measurement_keeps_its_standard_uncertainty() -> None:
    read = parse(Quantity(31.2, "cm ** 3").plus_minus(0.2), "chamber_volume")
    assert (read.value, read.standard) == (pytest.approx(31.2e-6), pytest.approx(0.2e-6))


@pytest.mark.parametrize(
    ("given", "key", "says"),
    [
        (REGISTRY("31 mm"), "chamber_volume", "the chamber volume is a volume, and this is none; give it in cc, ml"),
        (REGISTRY("31 dimensionless"), "bore", "is a length, and this is none"),
        (REGISTRY("0.5 dimensionless"), "intake_closing", "is a angle, and this is none"),
        (REGISTRY("9 degree"), "static_ratio", "has no unit"),
        (REGISTRY("100 hertz"), "engine_speed", "is a rotational speed, and this is none"),
        (REGISTRY("4.5 dimensionless"), "pieces", "is a whole number"),
        (REGISTRY("7 m"), "bore", "no bore can be that"),
        (REGISTRY.Quantity(float("nan"), "mm"), "bore", "is no number"),
        (31.0, "bore", "neither a text nor a quantity of Pint"),
    ],
)
def test_refused(given: object, key: str, says: str) -> None:
    with pytest.raises(ccassist.InputError, match=says):
        parse(given, key)  # type: ignore[arg-type]


WAYS = {"number": 40e-6, "text": "40 cc", "quantity": Quantity(40.0, "cm ** 3"), "litres": Quantity(0.04, "liter")}


def test_a_target_is_the_same_however_it_is_given(engine: ccassist.Survey) -> None:
    found = [
        ccassist.solved(engine, "crown_volume", {"clearance_volume": value}).cylinders[0] for value in WAYS.values()
    ]
    first, *others = (one.numbers["crown_volume"][0].nominal_value for one in found)
    assert others == pytest.approx([first] * 3, rel=1e-9)


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize(("name", "sign"), [("dish", 1), ("dome", -1), ("valve reliefs", 1), ("pop up", -1)])
def test_a_name_that_says_the_sign_gives_it_to_every_way_of_writing(name: str, sign: int, way: str) -> None:
    """A dome of 40 cc takes as much of space; taken for a dish it would ruin a set of pistons."""
    assert wish_of("chamber_volume", {name: WAYS[way]}, "metric").targets["crown_volume"] == pytest.approx(sign * 40e-6)


@pytest.mark.parametrize("value", [-4e-6, Quantity(-4.0, "cm ** 3")])
def test_a_name_that_says_the_sign_takes_no_second_one(value: object) -> None:
    with pytest.raises(ccassist.InputError, match="says the sign already"):
        wish_of("chamber_volume", {"dome": value}, "metric")  # type: ignore[dict-item]


def test_a_target_with_an_uncertainty_is_refused(engine: ccassist.Survey) -> None:
    with pytest.raises(ccassist.InputError, match="one value, without ±"):
        ccassist.solved(engine, "crown_volume", {"clearance_volume": Quantity(40.0, "cm ** 3").plus_minus(0.2)})


def test_a_value_is_given_as_a_quantity_with_its_uncertainty(engine: ccassist.Survey) -> None:
    value = engine.cylinders[0].values["chamber_volume"]
    given = value.quantity()
    assert isinstance(given, pint.Quantity)
    assert given.to("cm ** 3").magnitude.nominal_value == pytest.approx(31.2)
    assert given.to("cm ** 3").magnitude.std_dev == pytest.approx(value.number.std_dev * 1e6)
    twice = (given + given).to("cm ** 3").magnitude
    assert twice.std_dev == pytest.approx(2 * value.number.std_dev * 1e6)  # one cause, not two


@pytest.mark.parametrize("key", ["crown_volume", "static_ratio", "deck_clearance"])
def test_what_is_given_is_taken_back(engine: ccassist.Survey, key: str) -> None:
    value = engine.cylinders[0].values[key]
    read = parse(value.quantity(), key)
    assert read.value == pytest.approx(value.nominal)
    assert read.standard == pytest.approx(value.number.std_dev)


@each("key", [key for key, one in TERMS.items() if one.kind is not Kind.TEMPERATURE])
@each("share", [0.0, 0.3, 1.0])
def test_a_quantity_as_text_is_read_as_the_same(key: str, share: float) -> None:
    wanted = term(key)
    low, high = wanted.plausible
    value = low + share * (high - low)
    given = REGISTRY.Quantity(round(value) if wanted.kind is Kind.COUNT else value, wanted.kind.si or "dimensionless")
    read = parse(as_text(given, Meant(term=wanted)), key)
    assert read.value == pytest.approx(given.magnitude, rel=1e-9)


@pytest.mark.parametrize("deviation", [0.2, 0.0137, 3.0])
def test_its_uncertainty_too(deviation: float) -> None:
    given = Quantity(46.3, "cm ** 3").plus_minus(deviation)
    read = parse(as_text(given, Meant(term=term("chamber_volume"))), "chamber_volume")
    assert (read.value, read.standard) == pytest.approx((46.3e-6, deviation * 1e-6), rel=1e-3)


def test_the_quick_ratio_takes_texts_numbers_and_quantities() -> None:
    texts = {"bore": "74.1 mm", "stroke": "68.3 mm", "chamber": "31.2 cc", "gasket": "1.1 mm", "below": "0.15 mm"}
    millimetres = {key: Quantity(float(text.split()[0]), "mm") for key, text in texts.items() if key != "chamber"}
    several = [
        {**texts, "dome": "2.6 cc"},
        {**{key: float(text.split()[0]) for key, text in texts.items()}, "dome": 2.6},
        {**millimetres, "chamber": Quantity(31.2e-6, "m ** 3"), "dome": Quantity(2.6, "milliliter")},
        {**millimetres, "chamber": Quantity(31.2, "milliliter"), "crown": Quantity(-2.6, "cm ** 3")},
    ]
    found = [ccassist.ratio(**said).cylinder.values["static_ratio"].nominal for said in several]  # type: ignore[arg-type]
    assert found == pytest.approx([found[0]] * 4, rel=1e-9)
