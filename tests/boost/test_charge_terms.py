"""The vocabulary of the charge: written as people write it, and refused where two meanings are easily mixed.

Factors of units: NIST SP 811 (2008), B.8.
"""

from __future__ import annotations

from math import radians

import pytest

from ccassist.values.findings import InputError
from ccassist.values.quantity import parse
from ccassist.vocabulary import TERMS, find
from ccassist.vocabulary.charge_terms import CHARGE
from tests.each import each

# NIST SP 811 (2008) app. B.8: 1 psi 6894.757 Pa, 1 inHg 3386.389 Pa, 1 ft 0.3048 m, 0 °F 255.372 K
WRITTEN = [
    ("boost_gauge", "14.5 psi", 14.5 * 6894.757),
    ("boost_gauge", "1.0 bar", 1e5),
    ("barometer", "28.50 inHg", 28.5 * 3386.389),
    ("barometer", "965 hPa", 96500.0),
    ("altitude", "5000 ft", 1524.0),
    ("altitude", "12 m below sea level", -12.0),
    ("intake_air_temperature", "77 °F", 298.15),
    ("compressor_efficiency", "75 %", 0.75),
    ("cooler_effectiveness", "0.8", 0.8),
    ("charge_heating", "20 K", 20.0),
    ("charge_heating", "5 K cooler", -5.0),
    ("mixture_strength", "0.88", 0.88),
    ("burn_phasing", "8 deg after TDC", radians(8)),
    ("spark_advance", "12 deg before TDC", radians(12)),
    ("octane_number", "98", 98.0),
]


@pytest.mark.parametrize(("key", "text", "number"), WRITTEN)
def test_as_written(key: str, text: str, number: float) -> None:
    assert parse(text, key).value == pytest.approx(number, rel=2e-6)


REFUSED = [
    ("boost_gauge", "101 bar", "no boost"),
    ("barometer", "14.7 bar", "no barometer"),
    ("charge_heating", "20 °C", "difference of temperatures"),
    ("compressor_efficiency", "75", "no compressor efficiency"),
    ("mixture_strength", "14.7", "no mixture strength"),
]


@pytest.mark.parametrize(("key", "text", "words"), REFUSED)
def test_refused(key: str, text: str, words: str) -> None:
    with pytest.raises(InputError, match=words):
        parse(text, key)


@each("declared", CHARGE)
def test_declarations_are_sound(declared: object) -> None:
    term = TERMS[declared.key]  # type: ignore[attr-defined]
    assert term is declared, "the key is used twice"
    assert term.possible[0] <= term.plausible[0] < term.plausible[1] <= term.possible[1]
    assert [other.key for other in CHARGE if other.symbol == term.symbol] == [term.key]


@pytest.mark.parametrize(
    ("word", "key"),
    [
        ("lambda", "mixture_strength"),
        ("CA50", "burn_phasing"),
        ("RON", "octane_number"),
        ("gauge boost", "boost_gauge"),
    ],
)
def test_trade_words_are_found(word: str, key: str) -> None:
    found = find(word)
    assert found is not None
    assert found.key == key
