"""Undo: the last thing done, whatever it was, and nothing else; a reading set aside can be counted in again."""

from __future__ import annotations

import tempfile
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from ccassist.guide import told
from ccassist.guide.state import State, as_one
from ccassist.guide.waiting import Passing
from ccassist.job import amend
from tests.guide.sitting import Sitting
from tests.guide.test_session import SET_UP

TURBO = """\
format = 1
# notes of the shop
[job]
for = "turbo"
by = "Ida"
leave_out = "bore, stack, deck, crown, crown-bench, gasket, land"
[engine]
cylinders = 2
"""


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Sitting]:
    """Two chambers by burette, the first one's set-up said."""
    found = Sitting(tmp_path / "heads.toml")
    found.type(*SET_UP)
    yield found
    found.file.close()


def text(sitting: Sitting) -> str:
    """The file as it stands."""
    return sitting.path.read_text(encoding="utf-8")


@pytest.mark.parametrize(
    "lines",
    [
        ("0.1, 46.2",),
        ("0.1", "46.2"),
        ("a 1", "saw a bubble"),
        ("r wet plug",),
        ("r", "wet plug"),
        ("t", "60", "46.05; 46.1", "90; 120"),
        ("x",),
        ("x all",),
        ("0, 46.3, 0, 46.4", "u"),
    ],
)
def test_whatever_was_done_is_taken_back_to_the_letter(bench: Sitting, lines: tuple[str, ...]) -> None:
    bench.type("0, 46, 0, 46.1")
    before = text(bench)
    bench.type(*lines)
    assert text(bench) != before
    shown = bench.type("/u")
    assert text(bench) == before
    assert "Taken back: " in bench.said
    assert shown.question.words


def test_a_figure_of_the_makers_is_taken_back(bench: Sitting) -> None:
    bench.type("j gasket thickness", "micrometer")
    before = text(bench)
    bench.type("1.30 mm, maker's figure")
    assert text(bench) != before
    bench.type("/u")
    assert text(bench) == before


def test_setting_aside_is_taken_back_and_the_readings_stay(bench: Sitting) -> None:
    bench.type("0, 46, 0, 46.1, 0, 47", "a 3", "saw a bubble", "u")
    assert [row.get("set_aside") for row in bench.rows] == [None, None, None]
    assert "3 fills of cylinder 1: mean" in bench.said
    bench.type("u")
    assert len(bench.rows) == 2


def test_at_a_doubt_the_doubted_value_goes_and_no_saved_reading(bench: Sitting) -> None:
    bench.type("c instrument", "-", "0, 46")  # without a tool, whose scale would end before it
    before = text(bench)
    bench.type("300")
    assert bench.shown.question.words.startswith("Are you sure?")
    shown = bench.type("u")
    assert "Not recorded: 300" in bench.said
    assert text(bench) == before
    assert shown.question.words.endswith("burette at the start")
    bench.type("0", "300", "u")
    assert bench.shown.question.begun == "start 0 cc"
    bench.type("46.2")
    assert [row["end"] for row in bench.rows] == ["46 cc", "46.2 cc"]


@pytest.mark.parametrize("begun", [("a",), ("a 1",), ("r",), ("j",), ("c unit",), ("t",), ("t", "60")])
def test_what_is_only_begun_is_dropped(bench: Sitting, begun: tuple[str, ...]) -> None:
    bench.type("0, 46")
    before, asked = text(bench), bench.shown.question
    bench.type(*begun)
    assert bench.type("/u").question == asked
    assert text(bench) == before
    assert len(bench.state.history) > 0
    bench.type("u")
    assert bench.rows == []


def test_a_remark_waiting_for_the_next_reading_is_taken_back(bench: Sitting) -> None:
    bench.type("r wet plug", "u", "0, 46")
    assert "remark" not in bench.rows[0]


def test_an_answer_of_the_set_up_is_taken_back_and_no_reading(bench: Sitting) -> None:
    bench.type("0, 46, 0, 46, 0, 46", "j deck 1", "3", "dial indicator", "/u")
    assert bench.shown.question.words.startswith("Which tool")
    assert len(bench.rows) == 3


def test_what_was_skipped_is_asked_again(bench: Sitting) -> None:
    bench.type("s")
    assert bench.state.target.cylinder == 2
    bench.type("/u")
    assert bench.state.target.cylinder == 1
    assert not bench.state.skipped


class TestCountedIn:
    """A reading set aside that counts again."""

    @pytest.mark.parametrize("key", ["i", "i 1"])
    def test_it_counts_again(self, bench: Sitting, key: str) -> None:
        bench.type("0, 46, 0, 47")
        before = text(bench)
        bench.type("a 1", "saw a bubble", "f")
        bench.file.close()
        again = Sitting(bench.path, None)
        again.type(key)
        assert "Reading 1 counts again" in again.said
        assert "2 fills of cylinder 1: mean 46.50 cc" in again.said
        assert text(again) == before
        again.type("u")
        assert again.rows[0]["set_aside"] == "saw a bubble"
        again.file.close()

    def test_what_counts_is_said_to(self, bench: Sitting) -> None:
        bench.type("0, 46", "i")
        assert "Reading 1 counts: start 0 cc, end 46 cc" in bench.said
        bench.type("i 7")
        assert "no such reading" in bench.said

    @pytest.mark.parametrize(
        "row",
        [
            '{ start = "0 ml", end = "46 ml", set_aside = "bubble" },',
            '{ set_aside = "bubble", start = "0 ml", end = "46 ml" }',
            '{start="0 ml",set_aside="a } , \\"b\\"",end="46 ml"}, # mine',
            "{ start = '0 ml', end = '46 ml', set_aside = 'bubble' },",
        ],
    )
    def test_in_whatever_way_the_row_is_written(self, row: str) -> None:
        head = '[[series]]\nstep = "chamber"\ncylinder = 1\nreadings = [\n'
        found = amend.count_in(f"{head}    {row}\n]\n", "series 1, reading 1")
        assert "set_aside" not in found
        assert "0 ml" in found
        assert "46 ml" in found


MOVES = st.sampled_from(
    [
        *[
            ("0.1, 46.2",),
            ("0", "46.3"),
            ("0.2",),
            ("0, 46, 0.1, 46.4",),
            ("0.1, 5O.2",),
            ("300",),
            ("yes",),
            ("0; 1", "3"),
        ],
        *[("a", "bubble"), ("a 1", "leak"), ("a",), ("i",), ("i 1",), ("r", "wet"), ("r dry",), ("r",), ("u",)],
        *[("t", "60", "46.2; 46.3", "90; 120"), ("t", "60"), ("c unit in3",), ("c state", "seats cut", "yes"), ("c",)],
        *[
            ("/s",),
            ("/x",),
            ("/x all",),
            ("",),
            ("/b",),
            ("/j chamber 1", ""),
            ("/j chamber 2", ""),
            ("-",),
            ("1",),
            ("2",),
        ],
        *[
            ("8.5",),
            ("64 deg",),
            ("/j cam intake_closing", "64", "1"),
            ("/j wanted static_ratio", "9"),
            ("/j baseline",),
        ],
    ]
)


def done_since(before: State, after: State) -> int:
    """How many things were done, whatever values of a reading became one thing."""
    was, now = (Counter((one.words, str(one.effect)) for one in state.history) for state in (before, after))
    return (now - was).total()


@settings(max_examples=20, deadline=None)
@given(moves=st.lists(MOVES, min_size=4, max_size=20))
def test_undo_is_the_inverse_of_any_line(moves: list[tuple[str, ...]]) -> None:
    """After every line: what it did, taken back, gives the file and the sitting as they were; then it is done again."""
    with tempfile.TemporaryDirectory() as folder, pytest.MonkeyPatch.context() as patch:
        patch.setattr(told, "told", lambda *_: ())
        sitting = Sitting(Path(folder) / "turbo.toml", TURBO)
        first = text(sitting)
        sitting.type(*SET_UP[:-1], "")
        for line in (line for move in moves for line in move):
            was, before, passing = text(sitting), sitting.state, isinstance(sitting.state.at, Passing)
            sitting.type(line)
            if line in ("u", "/b") or passing:
                continue
            for _ in range(done_since(before, sitting.state)):
                sitting.type("/u")
            if isinstance(sitting.state.at, Passing):
                sitting.type("/u")
            whole = sitting.state.typed == before.typed  # values of a reading are one thing once it is complete
            assert text(sitting) == (was if whole else as_one(before).text)
            assert known(sitting.state) == known(before)
            sitting.type(line)
        for _ in range(len(sitting.state.history) + 2):
            sitting.type("/u")
        assert text(sitting) == first
        sitting.file.close()


def known(state: State) -> tuple[object, ...]:
    """What a sitting holds besides its file."""
    return state.noted, state.skipped, state.passed, state.units


@settings(max_examples=20, deadline=None)
@example(moves=[("/x",), ("0", "46.3"), ("0.1, 46.2",)])  # a reading begun at another place than its set-up was told
@given(moves=st.lists(MOVES, min_size=4, max_size=20))
def test_every_undo_goes_one_save_back(moves: list[tuple[str, ...]]) -> None:
    """The files seen on the way there are those seen on the way back."""
    with tempfile.TemporaryDirectory() as folder, pytest.MonkeyPatch.context() as patch:
        patch.setattr(told, "told", lambda *_: ())
        sitting = Sitting(Path(folder) / "heads.toml", TURBO)
        sitting.type(*SET_UP[:-1], "")
        seen = [text(sitting)]
        for line in (line for move in moves for line in move if line not in ("u", "/b")):
            sitting.type(line)
            if text(sitting) != seen[-1] and not sitting.state.typed:  # which are one thing once it is complete
                seen.append(text(sitting))
        back = [text(sitting)]
        while sitting.state.history:
            sitting.type("/u")
            back.append(text(sitting))
        on_the_way = iter(back)
        assert all(one in on_the_way for one in reversed(seen))
        assert back[-1] == TURBO
        sitting.file.close()
