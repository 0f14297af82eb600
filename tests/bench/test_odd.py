"""One of several that should be alike: off by more than the amount, the share and six deviations, or mistyped."""

from __future__ import annotations

import random
from statistics import median

import pytest

from ccassist.analysis.results import survey
from ccassist.bench.signatures import exchanged, is_odd
from ccassist.job.file import parse_job
from ccassist.values.findings import Finding
from ccassist.values.quantity import parse
from ccassist.vocabulary import term

CHAMBER = term("chamber_volume").alike_within
CC = 1e-6


def cc(*values: float) -> list[float]:
    return [value * CC for value in values]


class TestRule:
    """Every one of the three limits counts; the largest decides."""

    @pytest.mark.parametrize(
        ("value", "others", "odd"),
        [
            (24.0, (42.0, 42.1, 41.9), True),
            (45.5, (42.0, 42.1, 41.9), True),  # 8.3 %
            (45.2, (42.0, 42.1, 41.9), False),  # 7.6 %
            (9.9, (9.0, 9.0, 9.0), False),  # 10 %, but under 1 cc
            (10.1, (9.0, 9.0, 9.0), True),
            (48.0, (38.0, 42.0, 40.0, 44.0), False),  # sisters that scatter by themselves
            (0.0, (42.0, 42.1), True),
            (1.4, (0.6, 0.9, 0.0), False),  # a flat head
        ],
    )
    def test_chambers(self, value: float, others: tuple[float, ...], odd: bool) -> None:
        assert is_odd(value * CC, cc(*others), CHAMBER) is odd

    def test_no_rule_flags_what_is_within_each_limit(self) -> None:
        """Beside the definition, written out another way: an odd one fails all three limits by itself."""
        chance = random.Random(5)
        for _ in range(300):
            value, *others = (chance.gauss(40, chance.choice((0.2, 2, 6))) for _ in range(chance.randint(2, 8)))
            usual = median(others)
            off, scatter = abs(value - usual), median(abs(o - usual) for o in others)
            expected = off > 1 and off / usual > 0.08 and off > 6 * scatter
            assert is_odd(value * CC, cc(*others), CHAMBER) is expected


class TestDigits:
    """Two digits in each other's place."""

    @pytest.mark.parametrize(
        ("typed", "others", "for_"),
        [
            ("24.0 cc", (42.0, 42.1), "24.0 cc for 42.0 cc"),
            ("64.1 cc", (46.1,), "64.1 cc for 46.1 cc"),
            ("41,6 cc", (46.1,), "41,6 cc for 46,1 cc"),
            ("82.7 cc", (87.2, 87.0), "82.7 cc for 87.2 cc"),  # 5.2 %
            ("44.6 cc", (46.4,), ""),  # 3.9 %
            ("36.0 cc", (42.0,), ""),
            ("33.0 cc", (42.0,), ""),
        ],
    )
    def test_it_says_which(self, typed: str, others: tuple[float, ...], for_: str) -> None:
        read = parse(typed, "chamber_volume")
        assert exchanged(read.value, cc(*others), CHAMBER, [(read, 1)]) == for_

    def test_at_the_end_of_a_fill(self) -> None:
        read = [(parse("0.3 ml", "burette_reading"), -1), (parse("24.4 ml", "burette_reading"), 1)]
        assert exchanged(24.1 * CC, cc(42.0, 42.2), CHAMBER, read) == "24.4 ml for 42.4 ml"

    def test_at_its_start(self) -> None:
        read = [(parse("20.1 ml", "burette_reading"), -1), (parse("46.1 ml", "burette_reading"), 1)]
        assert exchanged(26.0 * CC, cc(43.9, 44.1), CHAMBER, read) == "20.1 ml for 02.1 ml"

    @pytest.mark.parametrize(
        ("before", "after", "for_"),
        [
            ("446.8 g", "422.8 g", "446.8 g for 464.8 g"),
            ("464.8 g", "404.7 g", "464.8 g for 446.8 g"),
            ("446.8 g", "411.7 g", ""),
        ],
    )
    def test_of_a_weighing(self, before: str, after: str, for_: str) -> None:
        read = [(parse(before, "dispenser_mass"), 1), (parse(after, "dispenser_mass"), -1)]
        held = (read[0][0].value - read[1][0].value) / 998.2  # water
        assert exchanged(held, cc(42.0, 42.2), CHAMBER, read) == for_


HEAD = """format = 1
[job]
name = "invented"
units = "metric"
[engine]
cylinders = 6
"""


def fills(cylinder: int, *ends: str, head: str = "", state: str = "") -> str:
    rows = "".join(f'  {{ start = "0 ml", end = "{end} ml" }},\n' for end in ends)
    place = f'part = "{head}"\nposition = {cylinder}\n' if head else f"cylinder = {cylinder}\n"
    state = f'state = "{state}"\n' if state else ""
    how = 'instrument = "burette 100 ml class B"\nhole = "not filled"\nplug = "fitted"\n'
    return f'[[series]]\nstep = "chamber"\n{place}{state}{how}readings = [\n{rows}]\n'


def asked(text: str) -> list[Finding]:
    return [f for f in survey(parse_job(HEAD + text).job).findings if f.asks]


class TestSisters:
    """The cylinders of one engine, by whatever way a value came."""

    def test_one_of_four(self) -> None:
        (one,) = asked("".join(fills(n, end) for n, end in enumerate(("42.0", "42.1", "41.9", "24.0"), 1)))
        assert one.place == "cylinder 4"
        assert "where its sisters have 41.90 cc to 42.10 cc" in one.wrong
        assert "24.0 ml for 42.0 ml" in one.wrong

    def test_a_real_odd_chamber_is_a_question(self) -> None:
        (one,) = asked("".join(fills(n, end) for n, end in enumerate(("27.3", "27.5", "14.0", "27.1"), 1)))
        assert one.place == "cylinder 3"
        assert one.level == 1

    def test_of_two_nobody_can_say_which(self) -> None:
        (one,) = asked(fills(1, "42.0") + fills(2, "31.0"))
        assert one.place == "cylinders 1, 2"
        assert "42.00 cc and 31.00 cc" in one.wrong

    def test_of_three_two_agree(self) -> None:
        assert [f.place for f in asked(fills(1, "31.0") + fills(2, "42.0") + fills(3, "42.3"))] == ["cylinder 1"]

    def test_two_heads_each_by_itself(self) -> None:
        heads = "".join(
            f'[part.{name}]\nkind = "head"\ncylinders = {list(numbers)}\n'
            for name, numbers in (("left", (1, 2, 3)), ("right", (4, 5, 6)))
        )
        left = [fills(n, end, head="left") for n, end in enumerate(("42.0", "42.1", "41.9"), 1)]
        right = [fills(n, end, head="right") for n, end in enumerate(("46.4", "46.6", "46.5"), 1)]
        assert asked(heads + "".join(left + right)) == []  # heads of two castings
        right[1] = fills(2, "43.0", head="right")
        assert [f.place for f in asked(heads + "".join(left + right))] == []  # 7.4 %
        right[1] = fills(2, "42.1", head="right")
        assert [f.place for f in asked(heads + "".join(left + right))] == ["cylinder 5"]

    def test_states_are_not_set_against_each_other(self) -> None:
        heads = "".join(
            f'[part.{name}]\nkind = "head"\ncylinders = {list(numbers)}\n'
            for name, numbers in (("left", (1, 2)), ("right", (3, 4)))
        )
        opened = [fills(n, end, head="left", state="opened") for n, end in enumerate(("47.0", "47.2"), 1)]
        before = [fills(n, end, head="right", state="as received") for n, end in enumerate(("42.0", "42.2"), 1)]
        assert asked(heads + "".join(opened + before)) == []

    def test_stated_values_too(self) -> None:
        stated = "".join(
            f'[cylinder.{n}]\nchamber_volume = "{v} +/- 0.3 cc, measured"\n'
            for n, v in enumerate((42.0, 42.1, 41.9, 24.0), 1)
        )
        (one,) = asked(stated)
        assert "two digits may have changed places: 24.0 cc for 42.0 cc" in one.wrong

    def test_what_follows_is_not_questioned_again(self) -> None:
        more = 'bore = "81.3 +/- 0.02 mm, measured"\nstroke = "73.7 +/- 0.05 mm, measured"\ngasket_volume = '
        more += '"6.1 +/- 0.1 cc, measured"\ncrown_volume = "dish 3.1 +/- 0.2 cc, measured"\ndeck_clearance = '
        more += '"0.31 +/- 0.02 mm below deck, measured"\n'
        found = asked(more + "".join(fills(n, e) for n, e in enumerate(("42.0", "42.1", "41.9", "24.0"), 1)))
        assert [f.code for f in found] == ["odd-sister"]

    def test_fills_of_one_chamber(self) -> None:
        (one,) = asked(fills(1, "46.1", "64.1"))
        assert one.place == "cylinder 1"
        assert "64.1 ml for 46.1 ml" in one.wrong
        assert asked(fills(1, "46.1", "46.9")) == []
