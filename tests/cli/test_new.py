"""``ccassist new``: asks, writes, and never overwrites."""

from __future__ import annotations

from pathlib import Path

import pytest

from ccassist.cli import new
from ccassist.job.file import load


def run(file: Path, **more: object) -> int:
    """The command with everything left out that is not said."""
    options: dict[str, object] = dict.fromkeys(("name", "cylinders", "bore", "stroke", "rod", "units", "job_for"))
    return new.run(file, **{**options, "wanted": [], "ask": False, **more})  # type: ignore[arg-type]


@pytest.fixture
def answers(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """What will be typed, line by line; then the end of the input."""
    lines: list[str] = []

    def typed(_: str = "") -> str:
        if not lines:
            raise EOFError
        return lines.pop(0)

    monkeypatch.setattr("builtins.input", typed)
    return lines


class TestOptions:
    """Everything given on the command line."""

    def test_what_is_given_stands_in_the_file(self, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
        file = tmp_path / "engine.toml"
        code = run(
            file,
            name="Long-stroke triple",
            cylinders=3,
            bore="80,3",
            stroke="85.5 mm, measured",
            rod="137,80",
            wanted=["static_ratio=9.5 to 9.7", "squish=at least 0.9 mm"],
            job_for="pistons",
        )
        assert code == 0
        said = capsys.readouterr().out
        assert said.startswith(f"Started {file}. Next: ccassist guide {file}\n")
        assert "for what is wanted and for the order: ccassist order" in said
        loaded = load(file)
        assert loaded.findings == ()
        job = loaded.job
        assert (job.name, job.cylinders, job.system) == ("Long-stroke triple", 3, "metric")
        assert {key: given.texts[0] for key, given in job.engine.items()} == {
            "bore": "80,3 mm",
            "stroke": "85.5 mm, measured",
            "rod_length": "137,80 mm",
        }
        assert set(job.wanted) == {"static_ratio", "squish"}

    def test_imperial_bare_numbers(self, tmp_path: Path) -> None:
        assert run(tmp_path / "e.toml", cylinders=8, bore="3.941", units="imperial") == 0
        assert load(tmp_path / "e.toml").job.engine["bore"].texts == ("3.941 in",)

    @pytest.mark.parametrize(
        ("more", "words"),
        [
            ({}, "the number of cylinders (or chambers) is not given; --cylinders 4"),
            ({"cylinders": 0}, "a whole number from 1 to"),
            ({"cylinders": 4, "bore": "wide"}, "no number for the bore"),
            ({"cylinders": 4, "bore": "46 cc"}, "volume"),
            ({"cylinders": 4, "wanted": ["static_ratoi=9"]}, 'did you mean "static_ratio"'),
            ({"cylinders": 4, "wanted": ["static_ratio"]}, "no value is said"),
            ({"cylinders": 4, "wanted": ["static_ratio=high"]}, "no number"),
            (
                {"cylinders": 4, "job_for": "boats"},
                "say ratio, heads, pistons, turbo, or several, such as: pistons, turbo",
            ),
            ({"cylinders": 4, "job_for": "turbo, boats"}, 'read "boats"'),
            ({"cylinders": 4, "job_for": ","}, 'read ","'),
        ],
    )
    def test_what_cannot_be_used_is_one_clear_line_and_no_file(
        self, tmp_path: Path, capsys: pytest.CaptureFixture[str], more: dict[str, object], words: str
    ) -> None:
        assert run(tmp_path / "e.toml", **more) == 2
        captured = capsys.readouterr()
        assert words in captured.err
        assert captured.err.count("\n") == 1
        assert captured.out == ""
        assert list(tmp_path.iterdir()) == []

    def test_a_file_that_is_there_is_never_overwritten(
        self, tmp_path: Path, capsys: pytest.CaptureFixture[str]
    ) -> None:
        file = tmp_path / "e.toml"
        file.write_text("mine", encoding="utf-8")
        assert run(file, cylinders=4) == 2
        assert capsys.readouterr().err.count("\n") == 1
        assert file.read_text(encoding="utf-8") == "mine"

    def test_a_link_that_points_nowhere_is_not_written_through(self, tmp_path: Path) -> None:
        (tmp_path / "e.toml").symlink_to(tmp_path / "elsewhere.toml")
        assert run(tmp_path / "e.toml", cylinders=4) == 2
        assert not (tmp_path / "elsewhere.toml").exists()

    def test_no_such_folder(self, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
        assert run(tmp_path / "none" / "e.toml", cylinders=4) == 2
        assert "not saved: No such file or directory" in capsys.readouterr().err

    def test_nothing_is_asked_without_a_terminal(self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.setattr("builtins.input", lambda *_: pytest.fail("asked"))
        assert run(tmp_path / "e.toml", cylinders=1) == 0


class TestQuestions:
    """What is not given is asked for."""

    def test_a_whole_conversation(self, tmp_path: Path, answers: list[str], capsys: pytest.CaptureFixture[str]) -> None:
        answers += ["Twin", "turbo", "imperial", "two", "2", "3.4", "", "5.81 in, maker's figure", "9", "counted", ""]
        assert run(tmp_path / "e.toml", ask=True) == 0
        job = load(tmp_path / "e.toml").job
        assert (job.name, job.system, job.cylinders) == ("Twin", "imperial", 2)
        assert {key: given.texts[0] for key, given in job.engine.items()} == {
            "bore": "3.4 in",
            "rod_length": "5.81 in, maker's figure",
        }
        assert job.counted == {"crevice": "counted"}
        captured = capsys.readouterr()
        assert 'read "two": a whole number' in captured.err
        assert "finished inside diameter of the cylinder" in captured.out

    def test_enter_is_not_known_yet(self, tmp_path: Path, answers: list[str]) -> None:
        answers += ["", "", "", "", "4", "", "", "", "", "", ""]
        assert run(tmp_path / "e.toml", ask=True) == 0
        job = load(tmp_path / "e.toml").job
        assert (job.cylinders, job.engine, job.wanted, job.counted) == (4, {}, {}, {})

    def test_heads_are_not_asked_for_a_bore(self, tmp_path: Path, answers: list[str]) -> None:
        answers += ["", "heads", "", "2", "at least 62 cc"]
        assert run(tmp_path / "e.toml", ask=True) == 0
        assert load(tmp_path / "e.toml").job.wanted["chamber_volume"].texts == ("at least 62 cc",)

    def test_what_was_given_is_not_asked_again(self, tmp_path: Path, answers: list[str]) -> None:
        answers += ["80 mm"]
        code = run(
            tmp_path / "e.toml",
            ask=True,
            name="x",
            cylinders=1,
            bore="80 mm",
            rod="130 mm",
            units="metric",
            wanted=["static_ratio=9"],
            job_for="heads",
        )
        assert code == 0
        assert answers == ["80 mm"]

    def test_the_end_of_the_input_writes_nothing(
        self, tmp_path: Path, answers: list[str], capsys: pytest.CaptureFixture[str]
    ) -> None:
        answers += ["Twin"]
        assert run(tmp_path / "e.toml", ask=True) == 2
        assert "Nothing was written." in capsys.readouterr().err
        assert list(tmp_path.iterdir()) == []
