"""An older copy of the file saved over it under the guide: nothing is lost, nothing doubled."""

from __future__ import annotations

import tempfile
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ccassist.guide import told
from ccassist.job.file import load
from ccassist.job.lost import lost, put_back
from ccassist.values.findings import errors
from tests.guide.sitting import HEADS, Sitting
from tests.guide.test_session import SET_UP


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Sitting]:
    """Two fills of a chamber saved."""
    found = Sitting(tmp_path / "heads.toml")
    found.type(*SET_UP, "0.1, 46.2, 0.2, 46.4")
    yield found
    found.file.close()


def text(sitting: Sitting) -> str:
    return sitting.path.read_text(encoding="utf-8")


def ends(sitting: Sitting) -> list[object]:
    """What stands in the file."""
    return [row["end"] for row in sitting.rows]


def test_what_is_missing_is_named_and_put_back(bench: Sitting) -> None:
    older = text(bench)
    bench.type("0.3, 46.6, 0.4, 46.8")
    bench.path.write_text(older, encoding="utf-8")
    bench.type("0.5, 46.9")
    assert "cylinder 1: start 0.3 cc, end 46.6 cc" in bench.said
    assert "start 0.4 cc, end 46.8 cc" in bench.said
    assert "start 0.2" not in bench.said
    assert bench.shown.question.options == ("put back what is missing", "leave the file as it is now")
    shown = bench.type("")
    assert shown.question.words.endswith("burette at the start")
    assert Counter(ends(bench)) == Counter(["46.2 cc", "46.4 cc", "46.6 cc", "46.8 cc", "46.9 cc"])
    bench.type("u")
    assert ends(bench) == ["46.2 cc", "46.4 cc", "46.9 cc"]


def test_it_may_be_left_as_it_is(bench: Sitting) -> None:
    older = text(bench)
    bench.type("0.3, 46.6")
    bench.path.write_text(older, encoding="utf-8")
    bench.type("0.5, 46.9", "s", "2", "0.4, 46.8")
    assert ends(bench) == ["46.2 cc", "46.4 cc", "46.9 cc", "46.8 cc"]


@pytest.mark.parametrize(
    ("done", "words"),
    [
        (("a 1", "saw a bubble"), "set_aside saw a bubble; of chamber, cylinder 1: start 0.1 cc"),
        (("r plate slipped",), "remark plate slipped; of chamber, cylinder 1: start 0.2 cc"),
        (("t", "60", "46.5", "90"), "settle 46.5 cc"),
        (("j gasket thickness", "micrometer", "", "", "1.30"), "[part.gasket] kind"),
        (("j gasket thickness", "", "", "", "1.30, maker's figure"), "gasket_thickness"),
        (("j chamber 2", "0.1, 46.0"), "cylinder 2: start 0.1 cc"),
    ],
)
def test_whatever_was_saved_since(bench: Sitting, done: tuple[str, ...], words: str) -> None:
    older = text(bench)
    bench.type(*done)
    whole = load(bench.path).job
    bench.path.write_text("# mine\n" + older, encoding="utf-8")
    bench.type("f")
    assert words in bench.said
    assert "put back" in bench.said
    now = load(bench.path)
    assert not errors(now.findings)
    assert text(bench).startswith("# mine\n")
    plain = [(s.step, s.cylinders, s.part, [(r.fields, r.remark, r.set_aside) for r in s.rows]) for s in now.job.series]
    assert plain == [
        (s.step, s.cylinders, s.part, [(r.fields, r.remark, r.set_aside) for r in s.rows]) for s in whole.series
    ]
    assert {name: part.given.keys() for name, part in now.job.parts.items()} == {
        name: part.given.keys() for name, part in whole.parts.items()
    }


def test_what_was_edited_by_hand_is_not_missing(bench: Sitting) -> None:
    edited = text(bench).replace("46.4 cc", "46.5 cc").replace('by = "Ida"\ndate', 'by = "Ned"\ndate')
    bench.path.write_text(edited + "# mine\n", encoding="utf-8")
    bench.type("0.3, 46.6")
    assert "missing" not in bench.said
    assert ends(bench) == ["46.2 cc", "46.5 cc", "46.6 cc"]


def test_a_reading_taken_back_does_not_return(bench: Sitting) -> None:
    bench.type("0.3, 46.6", "u")
    older = text(bench)
    bench.type("0.4, 46.8")
    bench.path.write_text(older, encoding="utf-8")
    bench.type("0.5, 46.9", "1")
    assert sorted(map(str, ends(bench))) == ["46.2 cc", "46.4 cc", "46.8 cc", "46.9 cc"]


def test_of_two_readings_alike_the_one_remarked_on_has_it_again(bench: Sitting) -> None:
    bench.type("0.2, 46.4", "a 2", "leak")
    older = text(bench)
    bench.type("r dry")
    bench.path.write_text(older, encoding="utf-8")
    bench.type("0.5, 46.9", "")
    assert [(row.get("set_aside"), row.get("remark")) for row in bench.rows[1:3]] == [("leak", None), (None, "dry")]


MOVES = st.sampled_from(
    [("0.1, 46.2",), ("0.3, 46.6, 0.2, 46.4",), ("a 1", "leak"), ("r dry",), ("i",), ("j chamber 1",), ("j chamber 2",)]
)


@settings(max_examples=60, deadline=None)
@given(first=st.lists(MOVES, min_size=1, max_size=4), then=st.lists(MOVES, min_size=1, max_size=6))
def test_any_older_copy_and_everything_back(first: list[tuple[str, ...]], then: list[tuple[str, ...]]) -> None:
    """Whatever was done since the copy was made: put back, all readings stand once, and nothing is missing any more."""
    with tempfile.TemporaryDirectory() as folder, pytest.MonkeyPatch.context() as patch:
        patch.setattr(told, "told", lambda *_: ())
        sitting = Sitting(Path(folder) / "heads.toml", HEADS)
        sitting.type(*SET_UP, *(line for move in first for line in move))
        older = text(sitting)
        sitting.type(*(line for move in then for line in move))
        whole, before = text(sitting), Counter(map(str, sitting.rows))
        gone = lost(whole, older)
        back = put_back(older, gone)
        assert not lost(whole, back)
        sitting.path.write_text(back, encoding="utf-8")
        if "i" not in [
            line for move in then for line in move
        ]:  # what was counted in again is no loss of the older copy
            assert Counter(map(str, sitting.rows)) == before
        sitting.file.close()
