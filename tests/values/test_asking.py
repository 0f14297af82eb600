"""How quantities are asked for."""

from __future__ import annotations

import pytest

from ccassist.bench.steps import STEPS
from ccassist.job.vocabulary import GIVEN_TERMS, WANTED_TERMS
from ccassist.values.asking import example, usual, with_unit
from ccassist.values.findings import InputError
from ccassist.values.quantity import parse
from ccassist.values.verdict import parse_band
from ccassist.vocabulary import TERMS, term
from ccassist.vocabulary.units import SYSTEMS
from tests.each import each

ASKED = {f.term for s in STEPS.values() for f in (*s.fields.values(), *s.settings)} | {*GIVEN_TERMS, *WANTED_TERMS}


@each("system", SYSTEMS)
@each("key", sorted(ASKED | {key for key, one in TERMS.items() if one.examples}))
def test_every_example_is_understood_and_usual(key: str, system: str) -> None:
    band = parse_band(example(key, system), key, system=system)
    low, high = term(key).plausible
    assert low <= band.aim <= high


@each("system", SYSTEMS)
@each("key", sorted(TERMS))
def test_the_usual_range_names_the_unit_of_bare_numbers(key: str, system: str) -> None:
    assert term(key).shown(system) in usual(key, system)
    assert "e+" not in usual(key, system)


def test_the_usual_range_says_signs_in_words() -> None:
    assert usual("dial_reading") == "1 mm proud of the deck to 2 mm below deck"
    assert usual("engine_speed") == "240 to 21000 rpm"


@pytest.mark.parametrize(
    ("typed", "key", "system", "kept"),
    [
        ("46.15", "burette_reading", "metric", "46.15 cc"),
        ("46,15", "burette_reading", "metric", "46,15 cc"),
        ("46.15 ml", "burette_reading", "metric", "46.15 ml"),
        ("3.941", "bore", "imperial", "3.941 in"),
        ("83.40 +/- 0.01, measured", "bore", "metric", "83.40 mm +/- 0.01, measured"),
        ("83.40(1)", "bore", "metric", "83.40(1) mm"),
        ("3 13/32", "bore", "imperial", "3 13/32 in"),
        ("8 below", "dial_reading", "imperial", "8 thou below"),
        ("below 8", "dial_reading", "imperial", "below 8 thou"),
        ("0.2below", "dial_reading", "metric", "0.2 mm below"),
        ("flush", "dial_reading", "metric", "flush"),
        ("2", "fulls", "metric", "2"),
        ("68", "temperature", "imperial", "68 °F"),
    ],
)
def test_a_bare_number_gets_its_unit_written_out(typed: str, key: str, system: str, kept: str) -> None:
    sight = term(key).shown(system)
    assert with_unit(typed, key, system=system, sight=sight) == kept
    assert parse(kept, key).value == parse(typed, key, sight=sight).value


@pytest.mark.parametrize(("typed", "key"), [("46.15 mm", "burette_reading"), ("0.2", "dial_reading"), ("", "bore")])
def test_what_is_not_understood_is_refused_as_it_stands(typed: str, key: str) -> None:
    with pytest.raises(InputError, match="; "):
        with_unit(typed, key)
