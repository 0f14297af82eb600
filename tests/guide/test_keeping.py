"""The guide and the disk: full, changed by hand, an older copy saved over the file; a front without a memory."""

from __future__ import annotations

import errno
import os
import tempfile
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ccassist.guide import told
from ccassist.guide.keeping import READ_AGAIN, from_json, post, to_json
from ccassist.guide.step import begin
from ccassist.guide.view import Action, Shown
from ccassist.job.file import load
from ccassist.job.lost import lost, put_back
from ccassist.job.write import JobFile
from ccassist.values.findings import errors
from tests.guide.sitting import HEADS, NOON, Sitting
from tests.guide.test_session import SET_UP


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Sitting]:
    """Two fills of a chamber saved."""
    found = Sitting(tmp_path / "heads.toml")
    found.type(*SET_UP, "0.1, 46.2, 0.2, 46.4")
    yield found
    found.file.close()


@pytest.fixture
def fresh(tmp_path: Path) -> Iterator[Sitting]:
    """At the first fill of a chamber."""
    found = Sitting(tmp_path / "heads.toml")
    found.type(*SET_UP)
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


class TestPage:
    """A front that holds nothing between two posts: it opens the file for each, and reads the sitting from its text."""

    def post(self, kept: str, path: Path, text: str, action: Action = Action.SAY) -> tuple[str, Shown]:
        with JobFile.open(path) as file:
            state, shown = post(from_json(kept), action, text, file, now=NOON)
        return to_json(state), shown

    @pytest.fixture
    def kept(self, bench: Sitting) -> str:
        bench.file.close()
        return to_json(begin(text(bench), str(bench.path))[0])

    def test_a_reading_is_on_the_disk_when_the_post_is_answered(self, kept: str, bench: Sitting) -> None:
        kept, _ = self.post(kept, bench.path, "")
        kept, shown = self.post(kept, bench.path, "0.3, 46.6")
        assert [effect.what for effect in shown.effects] == ["recorded"]
        assert ends(bench) == ["46.2 cc", "46.4 cc", "46.6 cc"]
        self.post(kept, bench.path, "", Action.UNDO)
        assert ends(bench) == ["46.2 cc", "46.4 cc"]

    def test_what_another_front_wrote_meanwhile_stays(self, kept: str, bench: Sitting) -> None:
        kept, _ = self.post(kept, bench.path, "")
        self.post(kept, bench.path, "0.3, 46.6")
        kept, shown = self.post(kept, bench.path, "0.4, 46.8")  # its own sitting knows nothing of the one before
        assert shown.lines[0] == READ_AGAIN
        assert ends(bench) == ["46.2 cc", "46.4 cc", "46.6 cc", "46.8 cc"]
        self.post(kept, bench.path, "", Action.UNDO)
        assert ends(bench) == ["46.2 cc", "46.4 cc", "46.6 cc"]


class TestFaultsOfTheDisk:
    """A reading that cannot be saved is kept."""

    def test_a_full_disk_is_tried_again(self, fresh: Sitting, monkeypatch: pytest.MonkeyPatch) -> None:
        def full(_: int) -> None:
            raise OSError(errno.ENOSPC, "No space left on device")

        fresh.type("0")
        with monkeypatch.context() as patch:
            patch.setattr(os, "fsync", full)
            shown = fresh.type("46")
            assert shown.question.words.startswith("The reading is NOT saved yet")
            assert "No space left on device; not saved: start = 0 cc, end = 46 cc" in fresh.said
            assert fresh.type("", "u", "j deck 1").effects == ()
        shown = fresh.type("")
        assert [effect.what for effect in shown.effects] == ["recorded"]
        assert [row["end"] for row in fresh.rows] == ["46 cc"]

    def test_a_file_changed_by_hand_is_read_again(self, fresh: Sitting) -> None:
        fresh.type("0", "46", "0")
        changed = fresh.path.read_text(encoding="utf-8").replace('by = "Ida"\nleave', 'by = "Ned"\nleave')
        fresh.path.write_text(changed, encoding="utf-8")
        fresh.type("47", "")
        assert fresh.path.read_text(encoding="utf-8").startswith(changed[:-2])
        assert [row["end"] for row in fresh.rows] == ["46 cc", "47 cc"]

    def test_a_file_broken_by_hand_is_waited_for(self, fresh: Sitting) -> None:
        fresh.type("0")
        good = fresh.path.read_text(encoding="utf-8")
        fresh.path.write_text(good + "\n[[series\n", encoding="utf-8")
        fresh.type("46", "", "")
        assert 'read "[[series"' in fresh.said
        fresh.path.write_text(good, encoding="utf-8")
        fresh.type("")
        assert [row["end"] for row in fresh.rows] == ["46 cc"]

    def test_an_action_on_a_changed_file_is_not_done_blindly(self, fresh: Sitting) -> None:
        fresh.type("0", "46")
        fresh.path.write_text(fresh.path.read_text(encoding="utf-8") + "# by hand\n", encoding="utf-8")
        fresh.type("u")
        assert "changed by something else" in fresh.said
        assert len(fresh.rows) == 1
        fresh.type("u")
        assert "Nothing of this sitting to take back" in fresh.said


MOVES = st.sampled_from(
    [("0.1, 46.2",), ("0.3, 46.6, 0.2, 46.4",), ("a 1", "leak"), ("r dry",), ("i",), ("j chamber 1",), ("j chamber 2",)]
)


@settings(max_examples=35, deadline=None)
@given(first=st.lists(MOVES, min_size=1, max_size=4), then=st.lists(MOVES, min_size=1, max_size=6))
def test_any_older_copy_and_everything_back(first: list[tuple[str, ...]], then: list[tuple[str, ...]]) -> None:
    """Whatever was done since the copy was made: put back, all readings stand once, and nothing is missing any more."""
    with tempfile.TemporaryDirectory() as folder, pytest.MonkeyPatch.context() as patch:
        patch.setattr(told, "told", lambda *_: ())
        sitting = Sitting(Path(folder) / "heads.toml", HEADS)
        sitting.type(*SET_UP, *(line for move in first for line in move))
        older = text(sitting)
        sitting.type(*(line for move in then for line in move))
        whole, before = text(sitting), Counter(str(sorted(row.items())) for row in sitting.rows)
        gone = lost(whole, older)
        back = put_back(older, gone)
        assert not lost(whole, back)
        sitting.path.write_text(back, encoding="utf-8")
        if "i" not in [
            line for move in then for line in move
        ]:  # what was counted in again is no loss of the older copy
            assert Counter(str(sorted(row.items())) for row in sitting.rows) == before
        sitting.file.close()
