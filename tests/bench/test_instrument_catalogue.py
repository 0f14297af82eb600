"""Finding instruments, what they may be out, and a user's own.

Consistency, no physics: permissible errors stand beside their standards in tests/references.
"""

from __future__ import annotations

import math
from contextlib import nullcontext
from itertools import pairwise

import pytest

from ccassist.bench.instruments import INSTRUMENTS, Limit, find, nearest, own_instrument, permissible
from ccassist.bench.instruments.rows import KNOWN
from ccassist.values.findings import InputError
from ccassist.vocabulary import Kind
from tests.each import each

ML, MM = 1e-6, 1e-3


@pytest.mark.parametrize(
    ("written", "key"),
    [
        ("Burette 50 ml class B", "burette 50 ml class B"),
        ("burette 50ml", "burette 50 ml class B"),
        ("50 cc buret, Class A", "burette 50 ml class A"),
        ("burette 50 ml class AS", "burette 50 ml class A"),
        ("60cc syringe", "syringe 60 ml"),
        ("Scale 0,1 g", "scale 0.1 g"),
        ("kitchen scale", "kitchen scale 1 g"),
        ("VERNIER  CALLIPER", "vernier caliper"),
        ("dial gauge", "dial indicator"),
        ("feeler gages", "feeler gauge"),
        ("graduated cylinder 100 ml class A", "measuring cylinder 100 ml class A"),
        ("bottle", "unmarked bottle"),
        ("burette 25 ml 0.05 class A", "burette 25 ml by 0.05 class A"),
        ("pipette 25 ml", "pipette 25 ml class B"),
    ],
)
def test_found_as_people_write_it(written, key):
    found = find(written)
    assert found is not None
    assert found.key == key


def test_not_found_but_suggested():
    assert find("burette 55 ml class B") is None
    assert find("") is None
    assert find("0.1") is None
    assert nearest("burete 50 ml class B") == "burette 50 ml class B"
    assert nearest("mikrometer") == "micrometer"
    assert nearest("qqqqqq") is None


@pytest.mark.parametrize(
    "key",
    [
        "burette 50 ml class B",
        "syringe 60 ml",
        "kitchen scale 1 g",
        "scale 0.1 g",
        "vernier caliper",
        "micrometer",
        "bore gauge",
        "dial indicator",
        "depth gauge",
        "feeler gauge",
        "steel rule",
        "measuring cylinder 100 ml class A",
        "pipette 25 ml class A",
        "unmarked bottle",
    ],
)
def test_the_common_ones_are_there(key):
    assert INSTRUMENTS[key].key == key


@each("key", INSTRUMENTS)
def test_every_instrument_is_complete(key):
    tool = INSTRUMENTS[key]
    assert find(key) is tool
    assert tool.key == key
    assert tool.source
    assert tool.advice
    assert tool.known in KNOWN
    assert tool.resolution >= 0
    assert [limit.up_to for limit in tool.limits] == sorted(limit.up_to for limit in tool.limits)
    assert (tool.repeatability is not None) == (tool.kind is Kind.LENGTH)
    assert tool.fills == (tool.kind is Kind.VOLUME)
    assert (tool.expansion == 0) == (tool.kind is Kind.MASS or key in {"beaker", "unmarked bottle"})


@each("key", [key for key, tool in INSTRUMENTS.items() if tool.limits])
def test_permissible_error_never_shrinks_with_the_amount(key):
    tool = INSTRUMENTS[key]
    errors = [permissible(tool, share * tool.capacity) for share in (0.01, 0.3, 0.5, 0.51, 0.9, 1.0)]
    assert all(later >= earlier * (1 - 1e-9) > 0 for earlier, later in pairwise(errors))
    assert errors[-1] < 0.5 * tool.capacity


def test_sign_of_the_amount_does_not_matter():
    assert permissible(INSTRUMENTS["dial indicator"], -0.2 * MM) == permissible(INSTRUMENTS["dial indicator"], 0.2 * MM)


def test_what_is_not_known_is_not_a_number():
    assert math.isnan(permissible(INSTRUMENTS["unmarked bottle"], 40 * ML))
    assert math.isnan(permissible(INSTRUMENTS["burette 50 ml class B"], 51 * ML))
    assert math.isnan(permissible(INSTRUMENTS["burette 50 ml class B"], math.nan))


def test_a_reading_just_over_the_last_mark_still_counts():
    tool = INSTRUMENTS["burette 50 ml class B"]
    assert tool.holds(50.05 * ML)
    assert permissible(tool, 50.05 * ML) == pytest.approx(0.1 * ML)
    assert not tool.holds(50.2 * ML)


def test_own_instrument_keeps_what_it_does_not_say():
    own = own_instrument("syringe C", like="60cc syringe", resolution=0.25 * ML, limit=0.1 * ML, share=0.01)
    assert (own.key, own.known, own.capacity) == ("syringe C", "own figure", 60 * ML)
    assert own.expansion == INSTRUMENTS["syringe 60 ml"].expansion
    assert own.resolution == 0.25 * ML
    assert permissible(own, 40 * ML) == pytest.approx(0.5 * ML)  # 0.1 + 1 % of 40


def test_own_instrument_with_its_like_limits_keeps_their_source():
    own = own_instrument("lab burette", like="burette 50 ml class A", resolution=0.02 * ML)
    assert own.limits == (Limit(up_to=50 * ML, fixed=0.05 * ML),)
    assert own.source == "ISO 385:2005, Table 1"
    assert own.known == "seen"


def test_own_instrument_like_nothing_knows_only_what_is_said():
    own = own_instrument("old jug", capacity=500 * ML)
    assert math.isnan(permissible(own, 100 * ML))
    gauge = own_instrument("plug gauge", kind=Kind.LENGTH, limit=0.002 * MM, repeatability=0.001 * MM)
    assert gauge.repeatability == 0.001 * MM
    assert permissible(gauge, 86 * MM) == 0.002 * MM


def test_own_instrument_says_all_that_is_wrong():
    with pytest.raises(InputError, match="did you mean") as caught:
        own_instrument("mine", like="burete 50 ml", resolution=-1.0, limit=math.nan)
    assert len(caught.value.findings) == 3
    with pytest.raises(InputError, match="holds more than its like"):
        own_instrument("big", like="burette 50 ml", capacity=200 * ML)
    with pytest.raises(InputError, match="share is more than the whole"):
        own_instrument("odd", like="burette 50 ml", share=2.0)
    with pytest.raises(InputError, match="must hold something"):
        own_instrument("none", like="burette 50 ml", capacity=0.0)


def test_what_has_one_mark_has_no_steps() -> None:
    """Pipettes and flasks (ISO 648, ISO 1042: one mark); whatever else is of glass is read to half a division."""
    glass = [tool for key, tool in INSTRUMENTS.items() if " class " in key]
    one_mark = {tool.key for tool in glass if tool.key.startswith(("pipette", "flask"))}
    assert {tool.key for tool in glass if tool.resolution == 0} == one_mark != set()


def test_rows_that_differ_between_copies_of_the_table_say_so() -> None:
    """Of ISO 385, Table 1: class B of 1 ml, and of 10 ml by 0.02."""
    said = {key for key, tool in INSTRUMENTS.items() if "differs between copies" in tool.source}
    assert said == {"burette 1 ml class B", "burette 10 ml by 0.02 class B"}


@pytest.mark.parametrize("key", [key for key, tool in INSTRUMENTS.items() if tool.kind is Kind.LENGTH])
def test_length_tools_are_made_in_round_ranges_with_errors_that_grow(key: str) -> None:
    """Beyond 5 mm a range ends at whole fives of mm, or whole half inches (common practice, no source)."""
    limits = INSTRUMENTS[key].limits
    for limit in limits:
        size = limit.up_to / MM
        assert size <= 5 or any(abs(size / unit - round(size / unit)) < 1e-6 for unit in (5, 12.7))
    errors = [permissible(INSTRUMENTS[key], limit.up_to) for limit in limits]
    assert errors == sorted(errors)
    assert all(0.02 <= error / INSTRUMENTS[key].resolution <= 20 for error in errors if INSTRUMENTS[key].resolution)


@each("key", [key for key, tool in INSTRUMENTS.items() if tool.expansion])
def test_the_doubt_of_an_expansion_is_less_than_itself(key: str) -> None:
    """Of plastics, three times the linear figure of handbooks, 80 to 150e-6 a kelvin (from memory), lies in it."""
    tool = INSTRUMENTS[key]
    half = math.sqrt(3) * tool.expansion_uncertainty
    assert 0 < half < tool.expansion
    if "syringe" in key:
        assert tool.expansion - half <= 3 * 80e-6 < 3 * 150e-6 <= tool.expansion + half < 2 * 3 * 150e-6


@each(
    ("given", "fault"),
    [
        ({"limit": 0.0}, ""), ({"resolution": 0.0}, ""), ({"repeatability": 0.0}, ""), ({"share": 1.0}, ""),
        ({"capacity": 50 * ML}, ""), ({"capacity": 51 * ML}, "holds more"), ({"capacity": 51 * ML, "limit": ML}, ""),
        ({"capacity": 51 * ML, "share": 0.1}, ""), ({"share": 1.01}, "share is more"),
        ({"limit": -ML}, "nought or more"),
        ({"resolution": math.inf}, "nought or more"), ({"capacity": 0.0}, "must hold"),
    ],
)  # fmt: skip
def test_what_an_own_instrument_may_say(given: dict[str, float], fault: str) -> None:
    """Like a burette of 50 ml: none of its figures under nought, no share over one, and no more than its like holds."""
    with pytest.raises(InputError, match=fault) if fault else nullcontext():
        own_instrument("mine", like="burette 50 ml", **given)


def test_a_vessel_of_which_nothing_is_known_may_be_of_anything() -> None:
    """From no expansion to 450e-6 a kelvin, what handbooks give at most of a plastic: a rectangle."""
    jug = own_instrument("jug")
    assert (jug.expansion, jug.expansion_uncertainty) == pytest.approx((225e-6, 450e-6 / math.sqrt(12)))
    bar = own_instrument("bar", kind=Kind.LENGTH)
    assert (bar.expansion, bar.expansion_uncertainty, bar.resolution) == (0.0, 0.0, 0.0)


def test_what_is_filled_from_holds_what_a_hand_holds() -> None:
    """Nothing over two litres is lifted over a head, nor does anything hold under half a millilitre (no source)."""
    held = {key: tool.capacity / ML for key, tool in INSTRUMENTS.items() if tool.kind is Kind.VOLUME}
    assert held
    assert {key: ml for key, ml in held.items() if not 0.5 <= ml <= 2000.001} == {}
    assert held["unmarked bottle"] == pytest.approx(2000)  # the largest: what it holds limits nothing
