"""``ccassist record``: one reading, checked, saved and said back."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from ccassist.cli import record
from ccassist.job.file import load
from ccassist.job.recording import TypedReading
from ccassist.job.records import Series
from ccassist.job.write import JobFile

ENGINE = """\
format = 1  # kept
[engine]
cylinders = 2
bore = "83.40 +/- 0.01 mm, measured"
stroke = "91.70 +/- 0.02 mm, measured"
deck_clearance = "0.20 +/- 0.01 mm below deck, measured"
crown_volume = "dish 8.0 +/- 0.2 cc, measured"
[counted]
crevice = "not counted"
[part.gasket]
kind = "gasket"
gasket_bore = "84.9 +/- 0.1 mm, measured"
gasket_thickness = "1.30 +/- 0.02 mm, measured"
[part.head]
kind = "head"
"""
BURETTE = {"instrument": "burette 50 ml class B", "settings": ["hole=not filled", "plug=fitted"]}


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """An engine without readings."""
    path = tmp_path / "engine.toml"
    path.write_text(ENGINE, encoding="utf-8")
    return path


def run(file: Path, step: str, *readings: str, **more: object) -> int:
    """The command with everything left out that is not said."""
    return record.run(file, TypedReading(step=step, fields=list(readings), **more))  # type: ignore[arg-type]


def last(file: Path) -> Series:
    """The last series of the file."""
    return load(file).job.series[-1]


class TestRecording:
    """What goes into the file, and what is said back."""

    def test_running_mean_and_spread(self, file: Path, capsys: pytest.CaptureFixture[str]) -> None:
        for end in ("46.20", "46.30", "46.40"):
            assert run(file, "chamber", "start=0", f"end={end}", cylinder=1, **BURETTE) == 0
        out = capsys.readouterr().out
        assert "Recorded: head chamber by fluid, cylinder 1:" in out
        assert "3 fills of cylinder 1: mean 46.30 cc, spread 0.20 cc" in out
        assert "Static ratio of cylinder 1: " in out
        series = last(file)
        assert [row.fields["end"] for row in series.rows] == [("46.20 cc",), ("46.30 cc",), ("46.40 cc",)]
        assert file.read_text(encoding="utf-8").startswith(ENGINE)

    def test_a_fluid_is_named_with_its_cautions_the_first_time_only(
        self, file: Path, capsys: pytest.CaptureFixture[str]
    ) -> None:
        for number, said in ((1, True), (2, False)):
            assert run(file, "chamber", "start=0", "end=46", cylinder=number, fluid="white spirit", **BURETTE) == 0
            out = capsys.readouterr().out
            assert ("White spirit is flammable (flash point 23 to 60 °C)." in out) is said
            assert ("CAUTION: Alcohol, white spirit and paraffin burn" in out) is said
            assert ("Read the bottom of the meniscus" in out) is said

    def test_no_line_is_wider_than_a_terminal(self, file: Path, capsys: pytest.CaptureFixture[str]) -> None:
        for end in ("46.20", "46.30", "44.10"):
            assert run(file, "chamber", "start=0", f"end={end}", cylinder=1, fluid="isopropanol 99 %", **BURETTE) == 0
        assert max(len(line) for line in capsys.readouterr().out.splitlines()) < 80

    def test_refills_on_one_line(self, file: Path) -> None:
        assert run(file, "chamber", "start=0; 2", "end=50; 14.3", cylinder=1, **BURETTE) == 0
        assert last(file).rows[0].fields == {"start": ("0 cc", "2 cc"), "end": ("50 cc", "14.3 cc")}

    def test_everything_that_may_be_said(self, file: Path) -> None:
        settings = ["drop=12.70mm", "drop=12.71 mm", "seal=grease", "hole=not filled", "temperature=20"]
        more = {"state": "as delivered", "instrument": "60cc syringe", "fluid": "water", "by": "Ida", "remark": "calm"}
        assert (
            run(file, "crown", "full=1", "each=60", "rest=12", cylinder=2, settings=settings, set_aside="leak", **more)
            == 0
        )
        series = last(file)
        assert series.settings == {"drop": ("12.70mm", "12.71 mm"), "temperature": ("20 °C",)}
        assert (series.choices["seal"], series.state, series.by) == ("grease", "as delivered", "Ida")
        assert (series.rows[0].set_aside, series.rows[0].remark) == ("leak", "calm")

    def test_a_part_and_a_position(self, file: Path) -> None:
        assert run(file, "gasket", "thickness=1.31", part="gasket", instrument="micrometer") == 0
        assert last(file).cylinders == (1, 2)
        assert run(file, "chamber", "start=0", "end=46", part="head", position=2, **BURETTE) == 0
        assert last(file).cylinders == (2,)

    def test_an_unusual_value_must_be_meant(self, file: Path, capsys: pytest.CaptureFixture[str]) -> None:
        assert run(file, "deck", "crown=3 below", cylinder=1, instrument="dial indicator") == 2
        assert "an unusual dial reading" in capsys.readouterr().err
        assert file.read_text(encoding="utf-8") == ENGINE
        assert (
            run(file, "deck", "crown=3 below", cylinder=1, instrument="dial indicator", sure=True, remark="so it is")
            == 0
        )
        assert last(file).rows[0].remark == "so it is; said to be sure"

    def test_control_codes_in_a_remark_do_not_reach_the_terminal(
        self, file: Path, capsys: pytest.CaptureFixture[str]
    ) -> None:
        assert run(file, "chamber", "start=0", "end=46", cylinder=1, remark="\x1b[2J", **BURETTE) == 0
        assert "\x1b" not in capsys.readouterr().out
        assert last(file).rows[0].remark == "\x1b[2J"

    def test_an_unnamed_instrument_is_pointed_out(self, file: Path, capsys: pytest.CaptureFixture[str]) -> None:
        assert run(file, "bore", "bore=83.40", cylinder=1) == 0
        assert "no instrument is named" in capsys.readouterr().out

    @pytest.mark.parametrize(("said", "kept"), [("2026-10-12", "2026-10-12"), ("", "")])
    def test_the_day_of_a_fill_only_where_it_is_said(self, file: Path, said: str, kept: str) -> None:
        assert run(file, "chamber", "start=0", "end=46", cylinder=1, date=said, **BURETTE) == 0
        assert last(file).date == kept

    def test_a_day_of_its_own_is_a_series_of_its_own(self, file: Path) -> None:
        for day in ("2026-10-12", "2026-10-12", "2026-10-13"):
            assert run(file, "chamber", "start=0", "end=46", cylinder=1, date=day, **BURETTE) == 0
        series = load(file).job.series
        assert [(one.date, len(one.rows)) for one in series] == [("2026-10-12", 2), ("2026-10-13", 1)]

    @pytest.mark.parametrize(("said", "kept"), [("2026-10-12", "2026-10-12"), ("", date.today().isoformat())])
    def test_the_day_of_a_calibration_is_today_where_none_is_said(self, file: Path, said: str, kept: str) -> None:
        more = {"instrument": "syringe 60 ml", "fluid": "water", "settings": ["scale=scale 0.1 g"], "date": said}
        assert run(file, "calibrate", "to=20 ml", "before=0 g", "after=19.8 g", **more) == 0
        assert last(file).date == kept


class TestRefusing:
    """One clear line a fault, 2, and the file as it was."""

    @pytest.mark.parametrize(
        ("step", "readings", "more", "words"),
        [
            ("chambr", ["start=0"], {"cylinder": 1}, 'did you mean "chamber"'),
            ("chamber", ["strat=0", "end=46"], {"cylinder": 1}, 'did you mean "start"'),
            ("chamber", ["start=0"], {"cylinder": 1}, "end"),
            ("chamber", ["start=0", "end=46"], {}, "--cylinder 1, or --part NAME"),
            ("chamber", ["start=0", "end=46"], {"cylinder": 3}, "1 to 2"),
            ("chamber", ["start=0", "end=46"], {"part": "haed"}, 'did you mean "head"'),
            ("chamber", ["start=0", "end=46"], {"cylinder": 1, "position": 1}, "instead of the cylinder"),
            ("chamber", ["start=0", "end=46"], {"cylinder": 1, "instrument": "birette"}, "no such instrument"),
            ("chamber", ["start=0", "end=46 mm"], {"cylinder": 1}, "length"),
            ("chamber", ["start=0,1", "end=46,150"], {"cylinder": 1}, "could be a decimal comma or a thousand"),
            ("chamber", ["start=0", "end=46"], {"cylinder": 1, "settings": ["hole=filled"]}, "its size is not given"),
            ("chamber", ["start=0", "end=46"], {"cylinder": 1, "settings": ["hoel=filled"]}, 'did you mean "hole"'),
            ("crown", ["start=0", "end=46"], {"cylinder": 1, "settings": ["seal=grease"]}, "lowered is not given"),
            ("deck", ["crown=0.2"], {"cylinder": 1}, "the sign is not said"),
            ("bore", ["bore=9**9**9 mm"], {"cylinder": 1}, "9"),
            ("bore", ["bore=83.4 mm"], {"cylinder": 1, "date": "12.10.2026"}, "--date 2026-10-12"),
            ("bore", ["bore=83.4 mm"], {"cylinder": 1, "date": "2026-13-40"}, "not a day"),
        ],
    )
    def test_refused(
        self,
        file: Path,
        capsys: pytest.CaptureFixture[str],
        step: str,
        readings: list[str],
        more: dict[str, object],
        words: str,
    ) -> None:
        assert run(file, step, *readings, **more) == 2
        captured = capsys.readouterr()
        assert words in captured.err
        assert captured.err.count("\n") == 1
        assert captured.out == ""
        assert file.read_text(encoding="utf-8") == ENGINE

    def test_someone_else_is_writing(self, file: Path, capsys: pytest.CaptureFixture[str]) -> None:
        with JobFile.open(file):
            assert run(file, "bore", "bore=83.40", cylinder=1) == 2
        assert "has this file open for writing" in capsys.readouterr().err
        assert file.read_text(encoding="utf-8") == ENGINE

    def test_no_such_file(self, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
        assert run(tmp_path / "none.toml", "bore", "bore=83.40", cylinder=1) == 2
        assert "no such file" in capsys.readouterr().err
        assert list(tmp_path.iterdir()) == []
