"""TERM=VALUE is read in one place: the same slip gets the same line wherever it is made."""

from __future__ import annotations

import pytest

from ccassist.solve.request import check_once, read_pair, wish_of, wished
from ccassist.values.findings import InputError

PLACES = ("--to", "--within", "--holds", "--band", "--skim-to", "--wanted")


def said(*args: str, **more: bool) -> str:
    with pytest.raises(InputError) as caught:
        read_pair(*args, **more)  # type: ignore[arg-type]
    return caught.value.findings[0].text()


@pytest.mark.parametrize("place", PLACES)
def test_one_line_for_each_slip_whatever_the_option(place: str) -> None:
    assert said("squish", place, single=True) == f"{place}: read \"squish\": no value is said; {place} 'squish=1.2 mm'"
    assert said("sqush=1 mm", place) == f'{place}: read "sqush": no such term; did you mean "squish"?'
    assert said("dish=dome 3 cc", place).startswith(f'{place}: read "dome 3 cc": "dish" says the sign already')


def test_an_example_that_is_suggested_can_be_typed() -> None:
    for key in ("squish", "crown_volume", "trapped_ratio", "end_pressure"):
        text = said(key, "--to", single=True).split("'")[1]
        assert wished(["bore"], [text], "metric").targets.keys() == {key}


def test_a_target_is_one_number_and_its_example_too() -> None:
    with pytest.raises(InputError, match=r"--to 'squish=1\.2 mm'$"):
        wished(["bore"], ["squish"], "metric")


def test_a_limit_is_a_size_and_may_be_left_out_where_it_is_asked_for() -> None:
    assert said("crown_volume", "--holds", limit=True).endswith("--holds 'crown_volume=0.5 cc'")
    assert read_pair("dish", "--holds", limit=True, bare=True).value == ""
    assert read_pair("dish = 0.5 cc", "--holds", limit=True).value == "0.5 cc"


def test_one_term_is_said_once_under_whatever_name() -> None:
    texts = ["crown_volume=dish 8 cc", "dish=9 cc"]
    with pytest.raises(InputError, match="this term is said already"):
        check_once([read_pair(text, "--to") for text in texts], texts, "--to")


def test_from_python_as_from_the_command_line() -> None:
    typed = wished(["compression_height", "crown_volume"], ["squish=1 mm", "static_ratio=9.5"], "metric")
    assert wish_of(["compression_height", "crown_volume"], {"squish": "1 mm", "static_ratio": 9.5}, "metric") == typed
    with pytest.raises(InputError, match="1 to find and 2 to reach"):
        wish_of("crown_volume", {"squish": "1 mm", "static_ratio": 9.5}, "metric")
