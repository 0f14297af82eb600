"""A ratio from a few dimensions: against the same engine as a job, a sum written out here, and what is refused.

Textbook ratios go through the command in tests/references/test_textbook_ratios.py; no general textbook lists chamber,
gasket, deck and crown.
"""

from __future__ import annotations

from math import cos, pi, radians, sin, sqrt

import pytest

from ccassist.job.template import new_file
from ccassist.plan.quick import KEYS, NEEDED, start_of
from ccassist.report.ratio import QuickRatio, ratio
from ccassist.values.findings import InputError, NotPossible
from ccassist.values.measured import Value

CC = 1e-6
BARE = {"gasket": "0 mm", "deck": "flush", "crown": "flat"}  # the chamber is all of the clearance
WHOLE = {"bore": "83.4", "stroke": "91.3", "chamber": "47.6", "gasket": "1.14", "below": "0.23", "dish": "6.4"}
LINE = [f"{key}={text}" for key, text in WHOLE.items()]


def of(made: QuickRatio, key: str) -> float:
    return made.cylinder.values[key].nominal


def test_closing_makes_the_trapped_ratio() -> None:
    """Closing 60° after BDC, a rod of 200 mm: the height that is left follows from the slider-crank (Pythagoras)."""
    rod, half = 0.2, 0.05
    left = rod + half - (half * cos(radians(240)) + sqrt(rod**2 - (half * sin(radians(240))) ** 2))
    made = ratio(bore="80", stroke="100", chamber="53.855874", rod="200", closing="60 deg after bdc", **BARE)
    assert of(made, "trapped_ratio") == pytest.approx(1 + pi / 4 * 0.08**2 * left / (53.855874 * CC), abs=1e-9)


def test_the_parts_add_up() -> None:
    made = ratio(**WHOLE, gasket_bore="84.6 mm", crevice="0.9", chamfer="0.2")
    swept = pi / 4 * 8.34**2 * 9.13
    clearance = 47.6 + pi / 4 * 8.46**2 * 0.114 + pi / 4 * 8.34**2 * 0.023 + 6.4 + 0.9 + 0.2
    assert of(made, "static_ratio") == pytest.approx(1 + swept / clearance, abs=1e-9)


def test_the_example_of_the_help() -> None:
    assert f"{of(ratio(**WHOLE), 'static_ratio'):.2f}" == "9.11"


class TestSigns:
    """The keys say the sign; deck and crown want a word."""

    def deck(self, **said: str) -> float:
        rest = {key: text for key, text in WHOLE.items() if key != "below"}
        return of(ratio(**rest, **said), "deck_clearance")

    def crown(self, **said: str) -> float:
        rest = {key: text for key, text in WHOLE.items() if key != "dish"}
        return of(ratio(**rest, **said), "crown_volume") / CC

    def test_the_deck(self) -> None:
        assert self.deck(below="0.2") == self.deck(deck="0.2below") == self.deck(deck="0.2 mm below") == 0.0002
        assert self.deck(proud="0.2") == self.deck(deck="0.2 proud") == -0.0002
        assert self.deck(deck="flush") == 0

    def test_the_crown_adds_up(self) -> None:
        assert self.crown(dish="8", reliefs="1.5") == pytest.approx(9.5)
        assert self.crown(dome="5", reliefs="1.5") == pytest.approx(-3.5)
        assert self.crown(dish="3", dome="3") == pytest.approx(0, abs=1e-12)
        assert self.crown(crown="dome 4.2") == pytest.approx(-4.2)
        assert self.crown(crown="flat") == 0

    @pytest.mark.parametrize(
        "said", [{"deck": "0.2"}, {"below": "0.2 proud"}, {"proud": "0.2 below"}, {"below": "0.2", "proud": "0.1"}]
    )
    def test_what_is_not_said_or_said_twice_is_refused(self, said: dict[str, str]) -> None:
        with pytest.raises(InputError, match="deck"):
            self.deck(**said)

    @pytest.mark.parametrize(
        "said", [{"crown": "6"}, {"dish": "6 dome"}, {"dome": "dish 6"}, {"crown": "flat", "dish": "1"}]
    )
    def test_a_contrary_crown_is_refused(self, said: dict[str, str]) -> None:
        with pytest.raises(InputError, match=r"crown|sign"):
            self.crown(**said)

    def test_spreads_of_one_crown_are_joined(self) -> None:
        """Two independent half-widths, 0.3 and 0.4, make 0.5 (JCGM 100:2008, 5.1.2)."""
        made = ratio(**{k: v for k, v in WHOLE.items() if k != "dish"}, dish="8 +/- 0.3", reliefs="1.5 +/- 0.4")
        alone = ratio(**{k: v for k, v in WHOLE.items() if k != "dish"}, dish="9.5 +/- 0.5")
        assert made.cylinder.values["crown_volume"].expanded == pytest.approx(
            alone.cylinder.values["crown_volume"].expanded
        )


class TestOneCrownOfSeveral:
    """What is said of a joined crown is no surer than the weakest of its parts."""

    def crown(self, **said: str) -> Value:
        rest = {key: text for key, text in WHOLE.items() if key != "dish"}
        return ratio(**rest, **said).cylinder.values["crown_volume"]

    def test_an_origin_all_have_is_kept(self) -> None:
        assert self.crown(dish="8 +/- 0.3 cc, measured", reliefs="1.5 +/- 0.4 cc, measured").origin == "measured"
        assert self.crown(dish="8 cc, maker's figure", reliefs="1.5 cc, maker's figure").origin == "maker's figure"

    def test_the_weakest_origin_counts(self) -> None:
        assert self.crown(dish="8 +/- 0.3 cc, measured", reliefs="1.5 +/- 0.4 cc, assumed").origin == "assumed"
        assert not self.crown(dish="8 +/- 0.3 cc, measured", reliefs="1.5 +/- 0.4 cc").to_dict()["confidence"]

    def test_a_part_without_a_spread_brings_the_usual_one_and_is_a_guess(self) -> None:
        """The dish's ± alone would be 0.1 cc; the reliefs may be out by as much as reliefs alone.

        An assumed ± is a limit, 95 % of which hold 95 % of a rectangle (JCGM 100:2008, 4.3.7).
        """
        alone = self.crown(reliefs="1.5 cc, measured").expanded
        both = self.crown(dish="8 +/- 0.1 cc, measured", reliefs="1.5 cc, measured")
        assert both.expanded / 0.95 >= alone
        assert both.to_dict()["confidence"] is None


@pytest.mark.parametrize("left", NEEDED)
def test_whatever_is_left_out_is_found(left: str) -> None:
    """Each of what the ratio needs, left out, comes back from the ratio that it gave."""
    made = ratio(**WHOLE, gasket_bore="84.6")
    aim = f"{of(made, 'static_ratio'):.10f}"
    rest = {key: text for key, text in WHOLE.items() if key not in NEEDED[left]}
    found = ratio(**rest, gasket_bore="84.6", ratio=aim).answer
    assert found is not None
    assert any(number.nominal_value == pytest.approx(of(made, left), rel=1e-6) for number in found.numbers[left])


def test_origins_and_spreads_reach_the_ratio() -> None:
    """Nothing is sure of a job of bare numbers; with origins and ± 95 % may be said."""
    assert ratio(**WHOLE).to_dict()["values"]["static_ratio"]["confidence"] is None
    said = {
        "bore": "83.4 +/- 0.01 mm, measured",
        "stroke": "91.3 +/- 0.02 mm, measured",
        "chamber": "47.6 +/- 0.3 cc, measured",
        "gasket": "1.14 +/- 0.03 mm, measured",
        "below": "0.23 +/- 0.02 mm, measured",
        "dish": "6.4 +/- 0.2 cc, measured",
        "gasket_bore": "84.6 +/- 0.2 mm, measured",
    }
    made = ratio(**said)
    assert made.to_dict()["values"]["static_ratio"]["confidence"] == 0.95
    assert not [f for f in made.noticed if f.code == "guesses"]


def test_what_nobody_said_is_said_to_be_taken() -> None:
    assert [text.partition(":")[0] for text in ratio(**WHOLE).taken] == ["gasket bore", "not counted"]
    assert ratio(**WHOLE, gasket_bore="84.6", crevice="1", chamfer="0.2").taken == ()


@pytest.mark.parametrize("left", NEEDED)
def test_what_is_missing_is_named_in_one_line(left: str) -> None:
    rest = {key: text for key, text in WHOLE.items() if key not in NEEDED[left]}
    with pytest.raises(InputError, match=f"not given: {' or '.join(NEEDED[left])}; ") as refused:
        ratio(**rest)
    assert len(refused.value.findings) == 1


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({**WHOLE, "bor": "3"}, 'did you mean "bore"'),
        ({**WHOLE, "ratio": "9.5"}, "nothing is left out"),
        ({"bore": "83.4", "stroke": "91.3", "ratio": "9.5"}, "leave out one only"),
        ({**WHOLE, "stroke": "9,130"}, "stroke"),
        ({**WHOLE, "gasket": "1.14 cc"}, "gasket"),
        ({**WHOLE, "chamber": "__import__"}, "chamber"),
        ({**WHOLE, "rod": "40"}, "rod|crank|impossible|possible"),
    ],
)
def test_refusals(said: dict[str, str], words: str) -> None:
    with pytest.raises(InputError, match=words):
        ratio(**said)


@pytest.mark.parametrize("text", ["0.8", "1", "101", "9 to 10", "at least 9", "nine", "9 cc"])
def test_a_ratio_that_cannot_be_read_is_refused_under_its_own_name(text: str) -> None:
    with pytest.raises(InputError, match=r"^ratio: "):
        ratio(**{k: v for k, v in WHOLE.items() if k != "dish"}, ratio=text)


@pytest.mark.parametrize(
    "said", [{"chamber": "5", "gasket": "0", "dish": "0", "dome": "80"}, {"chamber": "0", "dish": "0", "dome": "30"}]
)
def test_no_ratio_of_a_clearance_below_nothing(said: dict[str, str]) -> None:
    with pytest.raises(InputError, match="no clearance volume can be"):
        ratio(**{**WHOLE, **said})


@pytest.mark.parametrize(
    ("said", "read", "right"),
    [
        ({"below": "0.23 proud"}, "0.23 proud", 'write "deck" with'),
        ({"below": "-0.23"}, "-0.23", "leave the - out"),
        ({"dish": "dome 6"}, "dome 6", 'write "crown" with'),
        ({"dish": "6 mm"}, "6 mm", "cc"),
    ],
)
def test_a_fault_names_what_was_typed_and_keys_of_this_command(said: dict[str, str], read: str, right: str) -> None:
    with pytest.raises(InputError) as refused:
        ratio(**{**WHOLE, **said})
    (one,) = refused.value.findings
    assert (one.place, one.read) == (next(iter(said)), read)
    assert right in one.right
    assert "_" not in one.text()


@pytest.mark.parametrize(("one", "other"), [("rod", "closing"), ("closing", "rod")])
def test_half_of_what_the_dynamic_ratio_needs_is_said_to_be_unused(one: str, other: str) -> None:
    taken = ratio(**WHOLE, **{one: {"rod": "151.3", "closing": "62"}[one]}).taken
    assert any(f"not worked out, {other}= is not given" in text for text in taken)


def test_a_ratio_that_no_engine_has_is_refused() -> None:
    with pytest.raises((NotPossible, InputError), match="ratio"):
        ratio(bore="83.4", stroke="91.3", chamber="47.6", gasket="1.14", dish="6.4", ratio="0.8")


@pytest.mark.parametrize("key", KEYS)
def test_every_key_is_read(key: str) -> None:
    """Every key reaches its term, and a text that is none is refused under its own name."""
    rest = {k: v for k, v in WHOLE.items() if KEYS[k].term.key != KEYS[key].term.key}
    with pytest.raises(InputError, match=f"^{key}: "):
        ratio(**rest, **{key: "no number"})


@pytest.mark.parametrize(
    ("name", "key"),
    [
        ("head cc", "chamber"),
        ("rod_length", "rod"),
        ("valve_reliefs", "reliefs"),
        ("ivc", "closing"),
        ("domed", "dome"),
    ],
)
def test_what_else_the_trade_calls_it_leads_to_the_key(name: str, key: str) -> None:
    with pytest.raises(InputError, match=f'did you mean "{key}"'):
        ratio(**WHOLE, **{name: "6"})


@pytest.mark.parametrize("word", ["dished 6.4", "dish 6.4", "valve reliefs 6.4", "pockets 6.4", "adds 6.4"])
def test_words_for_a_dish_are_understood(word: str) -> None:
    rest = {key: text for key, text in WHOLE.items() if key != "dish"}
    assert of(ratio(**rest, crown=word), "static_ratio") == pytest.approx(of(ratio(**WHOLE), "static_ratio"))


def test_both_ends_of_what_can_be_say_their_side() -> None:
    with pytest.raises(InputError, match="between 90 deg before BDC and 150 deg after BDC"):
        ratio(**WHOLE, rod="151.3", closing="300")


@pytest.mark.parametrize(("opening", "doubted"), [("84.9", False), ("91.5", False), ("93", True), ("120", True)])
def test_an_opening_far_wider_than_the_bore_is_questioned(opening: str, doubted: bool) -> None:
    found = [f for f in ratio(**WHOLE, gasket_bore=opening).noticed if f.code == "opening-wide"]
    assert bool(found) is doubted
    assert all(f.asks for f in found)


def test_a_job_of_it_is_for_a_turbo_only_where_closing_is_said() -> None:
    assert start_of(WHOLE, "metric").job_for == ""
    assert start_of({**WHOLE, "closing": "62"}, "metric").job_for == "turbo"
    assert 'for = "' not in [line[:7] for line in new_file(start_of(WHOLE, "metric")).splitlines()]
