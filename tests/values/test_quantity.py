"""Quantities as people write them: good cases, sign words, refusals, bands."""

from __future__ import annotations

import math

import pytest

from ccassist.values.findings import InputError
from ccassist.values.quantity import LONGEST, doubtful, parse, read_amount
from ccassist.values.verdict import parse_band
from ccassist.vocabulary import TERMS, Kind
from ccassist.vocabulary.units import in_unit
from tests.each import each

MM, CC, IN = 1e-3, 1e-6, 25.4e-3


def close(value: float) -> object:
    return pytest.approx(value, rel=1e-12, abs=1e-18)


# -- what is understood ---------------------------------------------------------------------------------

GOOD = [
    ("bore", "87.02 mm", 87.02 * MM),
    ("bore", "87.02mm", 87.02 * MM),
    ("bore", "8.702 cm", 87.02 * MM),
    ("bore", "0.08702 m", 87.02 * MM),
    ("bore", "3.4260 in", 3.426 * IN),
    ("bore", '3.4260"', 3.426 * IN),
    ("bore", "3.426 inches", 3.426 * IN),
    ("bore", "3426 thou", 3.426 * IN),
    ("bore", "3 7/16 in", 3.4375 * IN),
    ("bore", "3-7/16 in", 3.4375 * IN),
    ("bore", "55/16 in", 3.4375 * IN),
    ("bore", '55 / 16 "', 3.4375 * IN),
    ("bore", "+87.02 mm", 87.02 * MM),
    ("bore", "8.702e1 mm", 87.02 * MM),
    ("bore", "87020 um", 87.02 * MM),
    ("bore", "87.02", 87.02 * MM),
    ("bore", "87,02 mm", 87.02 * MM),
    ("bore", "  87.02   mm  ", 87.02 * MM),
    ("bore", "87.02\u00a0mm", 87.02 * MM),
    ("gasket_thickness", "40 thou", 0.040 * IN),
    ("gasket_thickness", ".040 in", 0.040 * IN),
    ("gasket_thickness", "0,250 in", 0.250 * IN),
    ("chamber_volume", "43.2 cc", 43.2 * CC),
    ("chamber_volume", "43.2 ml", 43.2 * CC),
    ("chamber_volume", "43.2 mL", 43.2 * CC),
    ("chamber_volume", "43.2 cm3", 43.2 * CC),
    ("chamber_volume", "43.2 cm³", 43.2 * CC),
    ("chamber_volume", "2.64 in3", 2.64 * 16.387064 * CC),
    ("chamber_volume", "2.64 cu in", 2.64 * 16.387064 * CC),
    ("chamber_volume", "0.0432 l", 43.2 * CC),
    ("chamber_area", "46 cm2", 46e-4),
    ("chamber_area", "7.13 sq in", 7.13 * 25.4e-3**2),
    ("dispenser_mass", "412.6 g", 0.4126),
    ("dispenser_mass", "14.5 oz", 14.5 * 0.028349523125),
    ("dispenser_mass", "0.4126 kg", 0.4126),
    ("air_pressure", "1.013 bar", 101300.0),
    ("air_pressure", "101.3 kPa", 101300.0),
    ("air_pressure", "1013 hPa", 101300.0),
    ("air_pressure", "14.7 psi", 14.7 * 6894.757293168362),
    ("air_pressure", "29.92 inHg", 29.92 * 3386.388640341),
    ("temperature", "20 degC", 293.15),
    ("temperature", "20 °C", 293.15),
    ("temperature", "68 degF", 293.15),
    ("temperature", "68°F", 293.15),
    ("temperature", "-5 degC", 268.15),
    ("temperature", "−5 °C", 268.15),
    ("elapsed", "2 min", 120.0),
    ("engine_speed", "6000 rpm", 100.0),
    ("static_ratio", "9.5", 9.5),
    ("static_ratio", "9.5:1", 9.5),
    ("static_ratio", "9.5 : 1", 9.5),
    ("cylinders", "4", 4.0),
]


@each(("key", "text", "si"), GOOD)
def test_amounts(key: str, text: str, si: float) -> None:
    read = parse(text, key)
    assert read.value == close(si)
    assert (read.key, read.raw, read.spread, read.standard, read.origin) == (key, text, None, None, "")


@pytest.mark.parametrize(("text", "degrees"), [("12.5 deg", 12.5), ("12.5°", 12.5), ("12.5 degrees", 12.5)])
def test_angles(text: str, degrees: float) -> None:
    assert read_amount(text, Kind.ANGLE) == close(math.radians(degrees))


@pytest.mark.parametrize(
    ("key", "system", "unit"),
    [("bore", "metric", "mm"), ("bore", "imperial", "in"), ("gasket_thickness", "imperial", "thou"),
     ("deck_clearance", "imperial", "thou"), ("temperature", "imperial", "°F"), ("chamber_volume", "imperial", "cc")],
)  # fmt: skip
def test_a_bare_number_takes_the_shown_unit(key: str, system: str, unit: str) -> None:
    word = " below" if TERMS[key].sign else ""
    sight = unit if unit == "thou" else ""
    read, said = parse(f"50{word}", key, system=system, sight=sight), parse(f"50 {unit}{word}", key)
    assert (read.unit, read.value) == (unit, said.value)


SPREADS = [
    ("87.02 +/- 0.01 mm", 0.01 * MM),
    ("87.02 ± 0.01 mm", 0.01 * MM),
    ("87.02 +- 0.01 mm", 0.01 * MM),
    ("87.02±0.01mm", 0.01 * MM),
    ("87.02 mm ± 0.01", 0.01 * MM),
    ("87.02 mm ± 0.01 mm", 0.01 * MM),
    ("87.02 mm +/- 10 um", 0.01 * MM),
    ("87.02 mm +/- 1 thou", 0.001 * IN),
    ("87,02 +/- 0,01 mm", 0.01 * MM),
    ("87.02 ± 1e-2 mm", 0.01 * MM),
    ("87.02 ± 0 mm", 0.0),
]


@pytest.mark.parametrize(("text", "half_width"), SPREADS)
def test_plus_or_minus_is_a_half_width(text: str, half_width: float) -> None:
    read = parse(text, "bore")
    assert (read.value, read.spread, read.standard) == (close(87.02 * MM), close(half_width), None)


@pytest.mark.parametrize(
    ("text", "standard"), [("87.02(1) mm", 0.01 * MM), ("87.020(12) mm", 0.012 * MM), ("87(2) mm", 2 * MM)]
)
def test_last_digits_in_brackets_are_a_standard_uncertainty(text: str, standard: float) -> None:
    """GUM 7.2.2, the concise notation."""
    read = parse(text, "bore")
    assert (read.standard, read.spread) == (close(standard), None)


@pytest.mark.parametrize(
    ("text", "step"), [("87.02 mm", 0.01 * MM), ("87.020 mm", 0.001 * MM), ("87 mm", MM), ("3.426 in", 0.001 * IN),
                       ("8.702e1 mm", 0.01 * MM), ("3 7/16 in", 0.0)],
)  # fmt: skip
def test_size_of_the_last_digit(text: str, step: float) -> None:
    assert parse(text, "bore").step == close(step)


ORIGINS = [
    ("87.02 mm, measured", "measured"),
    ("87.02 mm measured", "measured"),
    ("87.02 +/- 0.01 mm, Measured", "measured"),
    ("87.02 mm, maker's figure", "maker's figure"),
    ("87.02 mm, maker’s figure", "maker's figure"),
    ("87.02 mm, makers figure", "maker's figure"),
    ("87.02(1) mm, assumed", "assumed"),
    ("87.02 mm", ""),
]


@pytest.mark.parametrize(("text", "origin"), ORIGINS)
def test_origin(text: str, origin: str) -> None:
    assert parse(text, "bore").origin == origin


# -- sign in words --------------------------------------------------------------------------------------

SIGNED = [
    ("deck_clearance", "0.20 mm below deck", 0.20 * MM),
    ("deck_clearance", "below deck 0.20 mm", 0.20 * MM),
    ("deck_clearance", "0.20 below", 0.20 * MM),
    ("deck_clearance", "8 thou down the hole", 0.008 * IN),
    ("deck_clearance", "0.008 in in the hole", 0.008 * IN),
    ("deck_clearance", "0.20 mm proud", -0.20 * MM),
    ("deck_clearance", "0.20 mm proud of the deck", -0.20 * MM),
    ("deck_clearance", "0.20 mm above deck", -0.20 * MM),
    ("deck_clearance", "8 thou out of the hole", -0.008 * IN),
    ("deck_clearance", "0.20 +/- 0.01 mm below deck, measured", 0.20 * MM),
    ("deck_clearance", "flush", 0.0),
    ("deck_clearance", "zero deck", 0.0),
    ("deck_clearance", "0 mm", 0.0),
    ("crown_volume", "dish 12.4 cc", 12.4 * CC),
    ("crown_volume", "12.4 cc dish", 12.4 * CC),
    ("crown_volume", "DISH 12.4 cc", 12.4 * CC),
    ("crown_volume", "reliefs 5.5 cc", 5.5 * CC),
    ("crown_volume", "dish, adds 8.7 cc of space", 8.7 * CC),
    ("crown_volume", "adds 8.7 cc of space", 8.7 * CC),
    ("crown_volume", "dome 4.2 cc", -4.2 * CC),
    ("crown_volume", "4.2 cc pop-up", -4.2 * CC),
    ("crown_volume", "raised crown 4.2 cc", -4.2 * CC),
    ("crown_volume", "dome, takes 4.2 cc of space", -4.2 * CC),
    ("crown_volume", "flat", 0.0),
    ("crown_volume", "Flat top", 0.0),
    ("pin_offset", "0.8 mm toward the thrust side", -0.8 * MM),
    ("pin_offset", "0.8 mm towards the thrust side", -0.8 * MM),
    ("pin_offset", "0.8 mm away from the thrust side", 0.8 * MM),
    ("pin_offset", "centred", 0.0),
    ("extra_volume", "adds 1.5 cc", 1.5 * CC),
    ("extra_volume", "takes 1.5 cc of space", -1.5 * CC),
    ("squish", "1.0 mm", 1.0 * MM),
    ("squish", "1.0 mm gap", 1.0 * MM),
    ("squish", "0.1 mm overlap", -0.1 * MM),
]


@each(("key", "text", "si"), SIGNED)
def test_sign_words(key: str, text: str, si: float) -> None:
    assert parse(text, key).value == close(si)


@each("key", [key for key, term in TERMS.items() if term.sign])
@each("side", ["plus", "minus"])
def test_every_sign_word_of_every_term(key: str, side: str) -> None:
    sign, (low, _) = TERMS[key].sign, TERMS[key].possible
    assert sign is not None
    unit = TERMS[key].shown()
    amount = 0.3 if low <= 0 else 2 * in_unit(low, unit)
    for word in getattr(sign, side):
        if low > 0 and side == "minus":  # the word is understood, and no such value is possible
            with pytest.raises(InputError, match="can be that"):
                parse(f"{amount} {unit} {word}", key)
            continue
        value = parse(f"{amount} {unit} {word}", key).value
        assert (value > 0) == (side == "plus")
        assert value == parse(f"{word} {amount} {unit}", key).value


@each("key", [key for key, term in TERMS.items() if term.sign])
def test_nothing_by_its_word(key: str) -> None:
    sign = TERMS[key].sign
    assert sign is not None
    if not TERMS[key].possible[0] <= 0 <= TERMS[key].possible[1]:  # understood, and refused: a centreline at TDC
        for word in sign.zero:
            with pytest.raises(InputError, match="can be that"):
                parse(word, key)
        return
    assert [parse(word, key).value for word in sign.zero] == [0.0] * len(sign.zero)


# -- what is refused ------------------------------------------------------------------------------------

REFUSED = [
    ("deck_clearance", "0.20 mm", "unsigned"),
    ("deck_clearance", "+0.20 mm", "unsigned"),
    ("deck_clearance", "-0.20 mm", "unsigned"),
    ("deck_clearance", "-0.20 mm below deck", "sign-twice"),
    ("deck_clearance", "0.20 mm below deck above deck", "not-understood"),
    ("deck_clearance", "0.20 mm sideways", "not-understood"),
    ("crown_volume", "8.7 cc", "unsigned"),
    ("crown_volume", "dish dome 8.7 cc", "not-understood"),
    ("bore", "", "not-a-number"),
    ("bore", "big", "not-a-number"),
    ("bore", "nan mm", "not-a-number"),
    ("bore", "inf mm", "not-a-number"),
    ("bore", "infinity", "not-a-number"),
    ("bore", "5/0 in", "not-a-number"),
    ("bore", "½ in", "not-a-number"),
    ("bore", "87.02 cc", "wrong-unit"),
    ("bore", "87.02 kg", "wrong-unit"),
    ("chamber_volume", "43 mm", "wrong-unit"),
    ("bore", "87.02 furlong", "unknown-unit"),
    ("bore", "87.02 mm or so", "not-understood"),
    ("bore", "about 87.02 mm", "not-understood"),
    ("bore", "87.02 mm 87.03 mm", "not-understood"),
    ("bore", "87.02.03 mm", "not-understood"),
    ("bore", "1/2/3 in", "not-understood"),
    ("bore", "83,400 mm", "ambiguous-comma"),
    ("bore", "1,234 mm", "ambiguous-comma"),
    ("bore", "-87.02 mm", "impossible"),
    ("bore", "0 mm", "impossible"),
    ("bore", "2 m", "impossible"),
    ("bore", "1e400 mm", "not-finite"),
    ("bore", "1e-400 mm", "not-finite"),
    ("bore", "87.02 mm ± 1 cc", "wrong-spread"),
    ("bore", "87.02 ± 1e999 mm", "not-finite"),
    ("bore", "87.02 ± -0.01 mm", "not-understood"),
    ("bore", "9" * LONGEST + " mm", "too-long"),
    ("cylinders", "4.5", "not-whole"),
    ("static_ratio", "0.9", "impossible"),
]


@each(("key", "text", "code"), REFUSED)
def test_refusals_have_a_code_and_one_clear_line(key: str, text: str, code: str) -> None:
    with pytest.raises(InputError, match=r"\S") as caught:
        parse(text, key)
    (finding,) = caught.value.findings
    assert finding.code == code
    assert (finding.read, bool(finding.wrong)) == (text, True)
    assert "\n" not in finding.text()


def test_a_refusal_shows_what_would_be_right() -> None:
    with pytest.raises(InputError, match=r'write "0\.20 mm below deck" or "0\.20 mm proud of the deck"'):
        parse("0.20 mm", "deck_clearance")


def test_a_comma_between_three_digits_is_asked_again() -> None:
    with pytest.raises(InputError, match=r"write 83\.400 or 83400"):
        parse("83,400 mm", "bore")


def test_the_limit_itself_is_possible_in_any_unit() -> None:
    """100 °C is the highest temperature; in °F it is 212, though not to the last bit of a float."""
    assert parse("212 °F", "temperature").value == pytest.approx(373.15, rel=1e-14)
    with pytest.raises(InputError, match="no temperature can be that"):
        parse("212.1 °F", "temperature")


@pytest.mark.parametrize(("text", "asked"), [("83.4 mm", False), ("350 mm", True), ("19 mm", True)])
def test_are_you_sure(text: str, asked: bool) -> None:
    found = doubtful(parse(text, "bore"))
    assert (found is not None) == asked
    if found:
        assert (found.right, found.read) == ("are you sure?", text)


# -- what is wanted -------------------------------------------------------------------------------------

INF = math.inf
BANDS = [
    ("static_ratio", "8.8", 8.8, 8.8, 8.8),
    ("static_ratio", "8.8 +/- 0.1", 8.7, 8.9, 8.8),
    ("static_ratio", "8.7 to 8.9", 8.7, 8.9, 8.8),
    ("static_ratio", "8.7:1 to 8.9:1", 8.7, 8.9, 8.8),
    ("static_ratio", "at most 9.5", -INF, 9.5, 9.5),
    ("chamber_volume", "at least 58 cc", 58 * CC, INF, 58 * CC),
    ("chamber_volume", "At Least 58", 58 * CC, INF, 58 * CC),
    ("squish", "0.9 to 1.1 mm", 0.9 * MM, 1.1 * MM, 1.0 * MM),
    ("squish", "0.9 to 1.1 mm gap", 0.9 * MM, 1.1 * MM, 1.0 * MM),
    ("squish", "35 thou to 45", 0.035 * IN, 0.045 * IN, 0.040 * IN),
    ("squish", "35 to 45 thou", 0.035 * IN, 0.045 * IN, 0.040 * IN),
    ("deck_clearance", "0.1 to 0.3 mm below deck", 0.1 * MM, 0.3 * MM, 0.2 * MM),
    ("deck_clearance", "below 0.1 to 0.3 mm", 0.1 * MM, 0.3 * MM, 0.2 * MM),
    ("deck_clearance", "0.1 mm proud to 0.3 mm below", -0.1 * MM, 0.3 * MM, 0.1 * MM),
    ("deck_clearance", "0.20 ± 0.05 mm proud", -0.25 * MM, -0.15 * MM, -0.20 * MM),
    ("crown_volume", "dish 5 to 10 cc", 5 * CC, 10 * CC, 7.5 * CC),
    ("crown_volume", "dish 0.3 to 0.5 in3", 0.3 * 16.387064 * CC, 0.5 * 16.387064 * CC, 0.4 * 16.387064 * CC),
    # The amount as said rises while the value falls:
    ("deck_clearance", "0.1 to 0.3 mm proud", -0.3 * MM, -0.1 * MM, -0.2 * MM),
    ("crown_volume", "dome 10 to 12 cc", -12 * CC, -10 * CC, -11 * CC),
    ("deck_clearance", "at most 0.2 mm proud", -0.2 * MM, INF, -0.2 * MM),
    ("deck_clearance", "at least 0.2 mm proud", -INF, -0.2 * MM, -0.2 * MM),
    ("deck_clearance", "at most 0 mm proud", 0.0, INF, 0.0),
    ("deck_clearance", "at most 0.2 mm below deck", -INF, 0.2 * MM, 0.2 * MM),
    ("deck_clearance", "at most 0.2 mm out of the hole", -0.2 * MM, INF, -0.2 * MM),
    ("deck_clearance", "at most 0.2 mm in the hole", -INF, 0.2 * MM, 0.2 * MM),
    ("crown_volume", "at most 12 cc pop-up", -12 * CC, INF, -12 * CC),
    ("squish", "at most 0.1 mm overlap", -0.1 * MM, INF, -0.1 * MM),
    ("squish", "at least 0.9 mm", 0.9 * MM, INF, 0.9 * MM),
]  # fmt: skip


@each(("key", "text", "low", "high", "aim"), BANDS)
def test_bands(key: str, text: str, low: float, high: float, aim: float) -> None:
    band = parse_band(text, key)
    assert (band.low, band.high, band.aim) == (close(low), close(high), close(aim))
    assert (band.key, band.raw) == (key, text)


@pytest.mark.parametrize(
    ("key", "text", "code"),
    [
        ("static_ratio", "8.9 to 8.7", "wrong-order"),
        ("squish", "45 thou to 1 mm", "wrong-order"),
        ("static_ratio", "8.7 to", "not-understood"),
        ("static_ratio", "to 8.9", "not-understood"),
        ("static_ratio", "at least", "not-a-number"),
        ("static_ratio", "at least 8 to 9", "not-understood"),
        ("deck_clearance", "0.1 to 0.3 mm", "unsigned"),
        ("deck_clearance", "below 0.1 to 0.3 mm proud", "not-understood"),
        ("static_ratio", "8 to nan", "not-a-number"),
        ("static_ratio", "a" + " " * 100_000 + "b", "too-long"),
        ("static_ratio", "1 to " * 20_000, "too-long"),
    ],
)
def test_bands_refused(key: str, text: str, code: str) -> None:
    with pytest.raises(InputError, match=r"\S") as caught:
        parse_band(text, key)
    assert caught.value.findings[0].code == code


@pytest.mark.parametrize(
    ("key", "text"),
    [
        ("deck_clearance", "0.025 thou below deck"),
        ("pin_offset", "0.02 thou toward the thrust side"),
        ("lash", "0.012 thou"),
        ("chamber_volume", "46.2 +/- 30 cc, measured"),
        ("bore", "83.40 +/- 2 mm"),
        ("crown_volume", "dish 8.0 +/- 7 cc"),
        ("stroke", "91.70 +/- 10 mm, assumed"),
    ],
)
def test_a_slip_of_thou_or_of_the_width_is_asked(key: str, text: str) -> None:
    """Inches with the word thou, and a ± with its point lost: common practice, no source."""
    found = doubtful(parse(text, key, system="metric"))
    assert found is not None
    assert found.code == "unusual"


@pytest.mark.parametrize(
    ("key", "text"),
    [
        ("deck_clearance", "25 thou below deck"),
        ("deck_clearance", "0.2 +/- 0.5 mm below deck, assumed"),
        ("height_tolerance", "0.25 thou"),
        ("chamber_volume", "46.2 +/- 5 cc, assumed"),
        ("crown_volume", "flat +/- 2 cc"),
        ("static_ratio", "9.0 +/- 1"),
        ("chamber_volume", "0.8 +/- 0.3 cc"),
    ],
)
def test_what_is_no_slip_is_not_asked(key: str, text: str) -> None:
    assert doubtful(parse(text, key, system="metric")) is None


@pytest.mark.parametrize("said", ["messured", "guessed", "makers fig", "estimate", "by Ida"])
@pytest.mark.parametrize(("key", "text"), [("bore", "83.4 mm"), ("crown_volume", "dish 8.7 cc")])
def test_an_origin_that_is_none_is_answered_with_those_there_are(key: str, text: str, said: str) -> None:
    with pytest.raises(InputError, match=rf"\"{said}\" does not say where .* measured, maker's figure or assumed"):
        parse(f"{text}, {said}", key)
