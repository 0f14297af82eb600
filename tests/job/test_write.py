"""Readings appended as text, and the job file held open for writing."""

from __future__ import annotations

import errno
import os
import signal
import subprocess
import sys
import time
import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ccassist.job import disk, lock, write
from ccassist.job.file import parse_job
from ccassist.job.write import JobFile, append_reading
from ccassist.values.findings import InputError, errors

START = """\
# A head on the bench.
format = 1

[job]
name = "Plain head"  # kept

[engine]
cylinders = 4
"""
HEADER = {"step": "chamber", "cylinder": 1, "instrument": "burette 50 ml class B", "hole": "not filled", "by": "Ida"}
ROW = {"start": "0.10 ml", "end": "46.15 ml"}


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A job file without readings."""
    file = tmp_path / "head.toml"
    file.write_text(START, encoding="utf-8")
    return file


def readings(text: str) -> list[list[dict[str, object]]]:
    """The rows of every block."""
    return [block["readings"] for block in tomllib.loads(text)["series"]]


class TestAppending:
    """Where a reading goes."""

    def test_a_first_reading_makes_a_block_in_the_layout_of_the_examples(self) -> None:
        assert append_reading(START, HEADER, ROW) == START + (
            "\n[[series]]\n"
            'step = "chamber"\n'
            "cylinder = 1\n"
            'instrument = "burette 50 ml class B"\n'
            'hole = "not filled"\n'
            'by = "Ida"\n'
            "readings = [\n"
            '    { start = "0.10 ml", end = "46.15 ml" },\n'
            "]\n"
        )

    def test_the_same_series_goes_on_in_its_list(self) -> None:
        text = append_reading(append_reading(START, HEADER, ROW), HEADER, {**ROW, "remark": "calm"})
        assert readings(text) == [[ROW, {**ROW, "remark": "calm"}]]

    def test_another_header_makes_another_block(self) -> None:
        text = append_reading(append_reading(START, HEADER, ROW), {**HEADER, "cylinder": 2}, ROW)
        assert readings(text) == [[ROW], [ROW]]

    def test_a_block_written_by_hand_in_another_order_goes_on(self) -> None:
        by_hand = START + (
            '\n[[series]]  # first\nby = "Ida"\nhole = "not filled"\nstep = "chamber"\ncylinder = 1\n'
            'instrument = "burette 50 ml class B"\n# calm day\nreadings = [\n'
            '    { start = "0 ml", end = "46 ml" },  # good\n]\n'
        )
        text = append_reading(by_hand, HEADER, ROW)
        assert text == by_hand[:-2] + '    { start = "0.10 ml", end = "46.15 ml" },\n]\n'

    @pytest.mark.parametrize(
        "end",
        [
            'readings = [ { start = "0 ml", end = "46 ml" } ]\n',
            'readings = [\n    { start = "0 ml", end = "46 ml" }\n]\n',
            "readings = [\n    { start = '0 ml', end = '46 ml' },\n]\n",
            'readings = [\n    { start = "0 ml", end = "46 ml" },\n]\nremark = "x"\n',
            'readings = [\n    { start = "0 ml", end = "46 ml", remark = """x\n# y""" },\n]\n',
            'readings = [\n    { start = "0 ml", end = "46 ml" },\n]\n\n[fluid.mix]\ndensity = "0.8 g/cc"\n',
        ],
    )
    def test_any_other_layout_is_left_alone_and_a_new_block_made(self, end: str) -> None:
        by_hand = START + '\n[[series]]\nstep = "chamber"\ncylinder = 1\n' + end
        header = {"step": "chamber", "cylinder": 1}
        text = append_reading(by_hand, header, ROW)
        assert text.startswith(by_hand)
        assert readings(text) == [*readings(by_hand), [ROW]]

    def test_what_stands_in_a_long_string_is_not_taken_for_a_block(self) -> None:
        decoy = START + '\n[fluid.mix]\nnote = """\n[[series]]\nstep = "chamber"\nreadings = [\n]\n"""\n'
        text = append_reading(decoy, {"step": "chamber", "cylinder": 1}, ROW)
        assert text.startswith(decoy)
        assert tomllib.loads(text)["fluid"]["mix"]["note"].startswith("[[series]]")
        assert readings(text) == [[ROW]]

    def test_line_endings_are_kept(self) -> None:
        text = append_reading(START.replace("\n", "\r\n"), HEADER, ROW)
        text = append_reading(text, HEADER, ROW)
        assert "\n" not in text.replace("\r\n", "")
        assert readings(text) == [[ROW, ROW]]

    def test_a_file_without_a_last_newline(self) -> None:
        text = append_reading(START.rstrip("\n") + "  # the end", HEADER, ROW)
        assert text.startswith(START.rstrip("\n") + "  # the end\n\n[[series]]\n")

    def test_what_is_empty_is_left_out_and_a_list_of_one_is_that_one(self) -> None:
        text = append_reading(START, {**HEADER, "fluid": "", "drop": ["12 mm"]}, {"start": ["0 ml"], "remark": ""})
        assert tomllib.loads(text)["series"][0] == {**HEADER, "drop": "12 mm", "readings": [{"start": "0 ml"}]}

    def test_a_reading_without_a_value_is_refused(self) -> None:
        with pytest.raises(InputError, match="a reading without a value"):
            append_reading(START, HEADER, {"start": "", "end": []})

    def test_half_a_character_is_refused(self) -> None:
        with pytest.raises(InputError, match="not text that a file can keep"):
            append_reading(START, HEADER, {**ROW, "remark": "\udce9"})


NASTY = st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=40)
SAID = NASTY.filter(lambda text: bool(text.strip()))


class TestRoundTrip:
    """Whatever is put in is read back."""

    @given(rows=st.lists(st.tuples(SAID, SAID, NASTY), min_size=1, max_size=5), state=SAID, windows=st.booleans())
    def test_every_reading_is_read_back_exactly(
        self, rows: list[tuple[str, str, str]], state: str, windows: bool
    ) -> None:
        text = START.replace("\n", "\r\n") if windows else START
        header = {"step": "chamber", "cylinder": 1, "state": state}
        for start, end, remark in rows:
            text = append_reading(text, header, {"start": start, "end": end, "remark": remark})
        loaded = parse_job(text)
        assert not errors(loaded.findings)
        (series,) = loaded.job.series
        assert series.state == " ".join(state.split())
        assert [(*row.fields["start"], *row.fields["end"], row.remark) for row in series.rows] == rows

    @given(texts=st.lists(st.tuples(SAID, SAID), min_size=2, max_size=4), name=SAID)
    def test_refills_and_odd_part_names(self, texts: list[tuple[str, str]], name: str) -> None:
        part = write.amend.add_part(START, name, "head")
        row = {"start": [a for a, _ in texts], "end": [b for _, b in texts]}
        text = append_reading(part, {"step": "chamber", "cylinder": 2, "part": name}, row)
        (series,) = parse_job(text).job.series
        assert series.part == name
        assert series.rows[0].fields == {key: tuple(value) for key, value in row.items()}


class TestJobFile:
    """A file held open for writing."""

    def test_a_reading_is_on_the_disk_when_the_call_returns(self, path: Path) -> None:
        with JobFile.open(path) as job_file:
            job_file.add_reading(HEADER, ROW)
            assert readings(path.read_text(encoding="utf-8")) == [[ROW]]
            assert job_file.job().series[0].rows[0].fields["end"] == ("46.15 ml",)

    def test_the_file_is_not_read_again_for_each_reading(self, path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        with JobFile.open(path) as job_file:
            job_file.add_reading(HEADER, ROW)
            monkeypatch.setattr(write, "parse_job", lambda *_: pytest.fail("parsed"))
            monkeypatch.setattr(write, "prove", lambda *_: pytest.fail("parsed"))
            for _ in range(3):
                job_file.add_reading(HEADER, ROW)
        assert readings(path.read_text(encoding="utf-8")) == [[ROW] * 4]

    def test_a_change_by_someone_else_is_noticed_and_the_reading_repeated(self, path: Path) -> None:
        with JobFile.open(path) as job_file:
            changed = START + "# by hand\n"
            path.write_text(changed, encoding="utf-8")
            with pytest.raises(
                InputError, match=r"changed by something else meanwhile; not saved: start = 0\.10 ml, end = 46\.15 ml"
            ):
                job_file.add_reading(HEADER, ROW)
            assert path.read_text(encoding="utf-8") == changed
            job_file.reload()
            job_file.add_reading(HEADER, ROW)
        assert path.read_text(encoding="utf-8").startswith(changed)

    def test_a_file_taken_away_is_noticed(self, path: Path) -> None:
        with JobFile.open(path) as job_file:
            path.unlink()
            with pytest.raises(InputError, match="changed by something else"):
                job_file.add_reading(HEADER, ROW)

    def test_a_full_disk_loses_neither_the_file_nor_the_words(
        self, path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        def full(_: int) -> None:
            raise OSError(errno.ENOSPC, "No space left on device")

        with JobFile.open(path) as job_file:
            with monkeypatch.context() as patch:
                patch.setattr(os, "fsync", full)
                with pytest.raises(InputError, match=r"No space left on device; not saved: start = 0\.10 ml"):
                    job_file.add_reading(HEADER, ROW)
            assert path.read_text(encoding="utf-8") == START
            job_file.add_reading(HEADER, ROW)
        assert readings(path.read_text(encoding="utf-8")) == [[ROW]]

    def test_a_folder_that_cannot_be_synced_does_not_make_a_reading_count_twice(
        self, path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        def no_folders(_: Path) -> None:
            raise OSError(errno.EINVAL, "Invalid argument")

        monkeypatch.setattr(disk, "_sync_folder", no_folders)
        with JobFile.open(path) as job_file:
            job_file.add_reading(HEADER, ROW)
            job_file.add_reading(HEADER, ROW)
        assert readings(path.read_text(encoding="utf-8")) == [[ROW, ROW]]

    @pytest.mark.parametrize(
        "by_hand",
        ["series = []\n" + START, START + "\n[engine.series]\n]", START.replace("cylinders = 4", 'cylinders = "4')],
    )
    def test_a_file_that_cannot_be_appended_to_stays_as_it_is(self, path: Path, by_hand: str) -> None:
        path.write_text(by_hand, encoding="utf-8")
        with (
            JobFile.open(path) as job_file,
            pytest.raises(InputError, match=r"cannot be added to this file.*not saved: start"),
        ):
            job_file.add_reading(HEADER, ROW)
        assert path.read_text(encoding="utf-8") == by_hand

    def test_a_byte_order_mark_stays(self, path: Path) -> None:
        path.write_bytes(b"\xef\xbb\xbf" + START.encode())
        with JobFile.open(path) as job_file:
            job_file.add_reading(HEADER, ROW)
        assert path.read_bytes().startswith(b"\xef\xbb\xbf" + START.encode())

    def test_no_such_file_leaves_nothing_behind(self, tmp_path: Path) -> None:
        with pytest.raises(InputError, match="no such file"):
            JobFile.open(tmp_path / "none.toml")
        assert list(tmp_path.iterdir()) == []


@pytest.mark.skipif(sys.platform == "win32", reason="locks of this kind are there on POSIX only")
class TestLock:
    """Two writers."""

    def test_the_second_is_refused_and_told_who_is_first(self, path: Path) -> None:
        with (
            JobFile.open(path),
            pytest.raises(InputError, match=rf"\(process {os.getpid()}\) has this file open for writing"),
        ):
            JobFile.open(path)
        with JobFile.open(path) as again:
            again.add_reading(HEADER, ROW)

    def test_a_link_to_the_file_is_the_same_file(self, path: Path, tmp_path: Path) -> None:
        link = tmp_path / "link.toml"
        link.symlink_to(path)
        with JobFile.open(link) as job_file:
            with pytest.raises(InputError, match="has this file open"):
                JobFile.open(path)
            job_file.add_reading(HEADER, ROW)
        assert link.is_symlink()
        assert readings(path.read_text(encoding="utf-8")) == [[ROW]]

    def test_nothing_is_left_beside_the_file(self, path: Path, tmp_path: Path) -> None:
        with JobFile.open(path) as job_file:
            job_file.add_reading(HEADER, ROW)
        assert [p.name for p in tmp_path.iterdir()] == ["head.toml"]

    def test_a_holder_that_was_killed_blocks_no_one(self, path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.setattr(lock, "WAIT", 0.0)
        code = (
            "import sys, time; from ccassist.job.write import JobFile; "
            f"f = JobFile.open({str(path)!r}); print('held', flush=True); time.sleep(60)"
        )
        with subprocess.Popen([sys.executable, "-c", code], stdout=subprocess.PIPE, text=True) as holder:
            assert holder.stdout is not None
            assert holder.stdout.readline() == "held\n"
            with pytest.raises(InputError, match=rf"\(process {holder.pid}\) has this file open"):
                JobFile.open(path)
            holder.send_signal(signal.SIGKILL)
            holder.wait(timeout=10)
        time.sleep(0.01)
        assert path.with_name(".head.toml.lock").exists()  # left by the crash
        with JobFile.open(path) as job_file:
            job_file.add_reading(HEADER, ROW)

    def test_a_text_is_saved_only_over_the_one_that_it_was_made_of(self, path: Path) -> None:
        """Whoever made a text of an older one, such as a page left open, does not undo what came since."""
        with JobFile.open(path) as job_file:
            was = job_file.text
            job_file.add_reading(HEADER, ROW)
            with pytest.raises(InputError, match="changed by something else"):
                job_file.save(was + "# mine\n", was)
            job_file.save(job_file.text + "# mine\n", job_file.text)
        assert path.read_text(encoding="utf-8").endswith("]\n# mine\n")
