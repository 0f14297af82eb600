"""Bad job files: each gets its exact lines, exit code 2, an untouched file, and nothing that looks like a result.

The table stands in ``bad_jobs.toml``; its wording is the tool's own promise, so no outside source is named.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tomllib
from pathlib import Path
from typing import Any

import pytest

from ccassist.bench.steps import STEPS
from ccassist.job import vocabulary as words
from ccassist.job.file import load
from ccassist.values.findings import InputError
from ccassist.values.quantity import parse
from tests.each import each
from tests.sound_job import SOUND, Shop, changed

TABLE: dict[str, Any] = tomllib.loads(Path(__file__).with_name("bad_jobs.toml").read_text(encoding="utf-8"))


def some(keys: tuple[str, ...]) -> str:
    """Known keys as a finding lists them."""
    return ", ".join(keys[:12]) + (", …" if len(keys) > 12 else "")


LISTS = {
    "{STEPS}": ", ".join(STEPS),
    "{STEP_WORDS}": " or ".join(STEPS),
    "{KINDS}": " or ".join(words.PART_KINDS),
    "{SECTIONS}": some(tuple(words.SECTIONS)),
    "{ENGINE}": some(("cylinders", *words.GIVEN_TERMS)),
    "{SERIES}, …": some((*words.SERIES_KEYS, "and the settings of the step")),
}


def expected(case: dict[str, Any]) -> list[str]:
    """The lines of a case; lists that grow with the tool stand as placeholders."""
    lines = []
    for line in case["says"]:
        for name, listed in LISTS.items():
            line = line.replace(name, listed)
        lines.append(line)
    return lines


def stamp(path: Path) -> tuple[bytes, int]:
    """A file's bytes and time of change."""
    return path.read_bytes(), path.stat().st_mtime_ns


def test_the_sound_job_is_sound(shop: Shop) -> None:
    """Else the changes below would prove nothing."""
    shop.write(SOUND)
    assert (shop.run("check", "job.toml"), shop.out) == (0, "Nothing wrong was found, and nothing to look at.\n")
    assert shop.run("show", "job.toml") == 0


def test_the_table_is_long() -> None:
    assert len(TABLE["case"]) >= 200
    assert len({case["name"] for case in TABLE["case"]}) == len(TABLE["case"])


@each("case", TABLE["case"])
def test_show_says_what_is_wrong_and_check_the_same(case: dict[str, Any], shop: Shop) -> None:
    path = shop.write(changed(*case["change"]))
    before = stamp(path)
    assert shop.run("show", "job.toml") == 2
    assert shop.out == ""
    assert shop.err.splitlines() == expected(case)
    assert all(line.isprintable() for line in shop.err.splitlines())
    assert stamp(path) == before

    assert shop.run("check", "job.toml", "--json") == 2
    found = json.loads(shop.out)["findings"]
    wrong = [f for f in found if f["level"] == "error"]
    assert len({(f["line"], f["wrong"], f["read"]) for f in wrong}) == len(case["says"])
    assert {f["level"] for f in found} <= {"error", "warning"}  # notes on half a result would mislead
    for finding in wrong:
        assert finding["file"] == "job.toml"
        assert finding["line"] or finding["code"] == "no-format"
        assert finding["wrong"]
    assert (shop.err, stamp(path)) == ("", before)


@each("case", TABLE["quantity"])
def test_quantities(case: dict[str, str]) -> None:
    with pytest.raises(InputError, match=r"\S") as caught:
        parse(case["text"], case["term"], system=case["units"])
    assert str(caught.value) == case["says"]


def test_all_faults_of_a_file_come_together(shop: Shop) -> None:
    shop.write(
        changed(("stroke =", "stoke ="), ("dish 8.7", "8.7"), ("cylinder = 2", "cylinder = 5"), ('"water"', "7"))
    )
    assert shop.run("show", "job.toml") == 2
    assert [line.split(":")[0] for line in shop.err.splitlines()] == [
        "job.toml, line 10, engine.stoke",
        "job.toml, line 43, series 2.cylinder",
    ]  # the form first; what the texts mean is looked at once the form is right
    shop.write(changed(("dish 8.7", "8.7"), ('"water"', "7"), ("46.75 ml", "46.75 mm")))
    assert shop.run("show", "job.toml") == 2
    assert [line.split(":")[0] for line in shop.err.splitlines()] == [
        "job.toml, line 31, series 1.fluid",
        "job.toml, line 52, series 2, reading 2.end",
        "job.toml, line 12, engine.crown_volume",
    ]


def test_check_lists_the_gravest_first_and_counts(shop: Shop) -> None:
    shop.write(changed(("8.7 +/- 0.3 cc, measured", "8.7 +/- 0.3 cc"), ("83.40 +/-", "83.40 foo +/-")))
    assert shop.run("check", "job.toml") == 2
    assert shop.out.splitlines()[0] == "1 wrong, 1 to look at."
    assert shop.out.splitlines()[1].startswith("WRONG job.toml, line 9, engine.bore: ")
    assert "LOOK  job.toml, line 12, engine.crown_volume: " in shop.out
    assert max(map(len, shop.out.splitlines())) <= 79


# -- more than a job file holds -------------------------------------------------------------------------

BORE = '\n[[series]]\nstep = "bore"\ncylinder = 1\ninstrument = "bore gauge"\nreadings = [\n'
ROW = '    { bore = "83.40 mm" },\n'
TOO_MUCH = {
    "lines": (SOUND + "\n" * 150_001, "job.toml: more than 150000 lines: not a job file"),
    "readings of a block": (
        SOUND + BORE + ROW * 2001 + "]\n",
        "job.toml, line 60, series 3.readings: 2001 entries, and 2000 are the most; put them into several job files",
    ),
    "readings in all": (
        SOUND + (BORE + ROW * 1000 + "]\n") * 10,
        "job.toml, line 26, series: 10006 readings in all, and 10000 are the most; put them into several job files",
    ),
    "blocks of readings": (
        SOUND + '[[series]]\nstep = "bore"\n' * 10_001,
        "job.toml, line 26, series: 10003 entries, and 10000 are the most; put them into several job files",
    ),
    "readings of a value": (
        changed(('bore = "83.40 +/- 0.01 mm, measured"', "bore = [\n" + '"83.40 mm",\n' * 2001 + "]")),
        "job.toml, line 9, engine.bore: 2001 entries, and 2000 are the most; put them into several job files",
    ),
    "parts": (
        SOUND + "".join(f"[part.{n}]\n" for n in range(1000)),
        "job.toml, line 17, part: 1002 entries, and 1000 are the most; put them into several job files",
    ),
    "gaskets to choose from": (
        SOUND + "".join(f"[choice.gasket.{n}]\n" for n in range(1001)),
        "job.toml, line 55, choice.gasket: 1001 entries, and 1000 are the most; put them into several job files",
    ),
}


@pytest.mark.parametrize(("text", "line"), TOO_MUCH.values(), ids=TOO_MUCH)
def test_more_than_a_job_file_holds(text: str, line: str, shop: Shop) -> None:
    path = shop.write(text)
    before = stamp(path)
    assert shop.run("show", "job.toml") == 2
    assert (shop.out, shop.err) == ("", f"{line}\n")
    assert stamp(path) == before


def test_of_thousands_of_faults_the_first_are_said(shop: Shop) -> None:
    shop.write(SOUND + "".join(f"[part.p{n}]\n" + "".join(f"k{m} = 1\n" for m in range(18)) for n in range(900)))
    assert shop.run("show", "job.toml") == 2
    lines = shop.err.splitlines()
    assert (len(lines), lines[-1]) == (201, "And 301 more; put these right first.")
    assert shop.run("check", "job.toml", "--json") == 2
    found = json.loads(shop.out)["findings"]
    assert (len(found), found[-1]["wrong"]) == (501, "more than 500 faults")
    assert shop.run("check", "job.toml", "--all") == 2
    assert "And 301 more; put these right first." in shop.out.splitlines()


def test_of_thousands_of_unreadable_readings_the_first_are_said(shop: Shop) -> None:
    shop.write(SOUND + BORE + ROW.replace("mm", "foo") * 900 + "]\n")
    assert shop.run("show", "job.toml") == 2
    assert shop.err.splitlines()[-1] == "And 700 more; put these right first."


def test_a_reading_is_not_saved_into_a_file_that_is_full(shop: Shop) -> None:
    path = shop.write(SOUND + BORE + ROW * 2000 + "]\n")
    before = stamp(path)
    words = ("record", "job.toml", "bore", "bore=83.41 mm", "--cylinder", "1", "--instrument", "bore gauge")
    assert shop.run(*words) == 2
    assert shop.err == (
        "job.toml: a reading cannot be added to this file as it stands (2001 entries, and 2000 are the most); not "
        "saved: bore = 83.41 mm; write readings in [[series]] blocks; ccassist check FILE\n"
    )
    assert stamp(path) == before
    assert shop.run("check", "job.toml") == 0


# -- files that are no job file at all ------------------------------------------------------------------

NOT_FILES = [
    ("empty", b"", ["job.toml: the file does not say its format", "job.toml, engine: the number of cylinders"]),
    ("a comment", b"# nothing yet\n", ["job.toml: the file does not say", "job.toml, engine: the number of cylinders"]),
    ("latin-1", SOUND.replace("Bench", "Bänch").encode("latin-1"), ["job.toml, line 4: not UTF-8 text (byte 28 of"]),
    ("utf-16", SOUND.encode("utf-16"), ["job.toml, line 1: not UTF-8 text (byte 1 of the file); save it as UTF-8"]),
    ("binary", bytes(range(256)), ["job.toml, line 2: not UTF-8 text (byte 129 of the file); save it as UTF-8"]),
    ("a picture", b"\x89PNG\r\n\x1a\n" + b"\0" * 99, ["job.toml, line 1: not UTF-8 text"]),
    ("zeroes", b"\0" * 999, ['job.toml, line 1: read "<U+0000><U+0000>']),
    ("prose", b"Dear Ida,\nthe heads are done.\n", ['job.toml, line 1: read "Dear Ida,": a name without =']),
    ("JSON", b'{"format": 1}', ['job.toml, line 1: read "{"format": 1}": neither a name nor a heading']),
    ("a list only", b"[1, 2]", ['job.toml, line 1: read "[1, 2]": the heading is not closed']),
    ("old line ends", SOUND.replace("\n", "\r").encode(), ['job.toml, line 1: read "format = 1<U+000D>']),
    ("20 MB", b"# pad\n" * (20 * 2**20 // 6), ["job.toml: larger than 4 MB: not a job file"]),
    ("one long line", b'remark = "' + b"x" * 200_000 + b'"', ["job.toml, line 1: read", "10000 characters: not a job"]),
    ("a number of 100,000 digits", b"format = 1" + b"0" * 100_000, ["line 1: ", "10000 characters: not a job file"]),
    ("a number of 5,000 digits", b"\nformat = " + b"1" * 5000, ["job.toml, line 2: a number of thousands of digits"]),
    ("a hexadecimal of 5,000", b"format = 0x" + b"f" * 5000, ['line 1, format: read "a number of many digits"']),
    ("5,000 brackets deep", b"\n\nformat = " + b"[" * 5000, ["job.toml, line 3: brackets inside brackets, too deep"]),
    ("5,000 braces deep", b"a = " + b"{a=" * 3000, ["job.toml, line 1: brackets inside brackets, too deep"]),
    ("5,000 brackets on their lines", b"a = " + b"[\n" * 5000, ["job.toml: brackets inside brackets, too deep"]),
    ("a key of 4,000 parts", b"engine" + b".a" * 4000 + b" = 1\n", ['line 1, engine.a: read "a": unknown key']),
    ("a heading of 4,000 parts", b"[engine" + b".a" * 4000 + b"]\n", ['line 1, engine.a: read "a": unknown key']),
    ("200 brackets deep", b"[engine]\nbore = " + b"[" * 200 + b"]" * 200, ['line 2, engine.bore 1: read "[[[[…]]]]"']),
]  # fmt: skip


@pytest.mark.parametrize(("data", "parts"), [pytest.param(data, parts, id=name) for name, data, parts in NOT_FILES])
def test_not_a_job_file(data: bytes, parts: list[str], shop: Shop) -> None:
    path = shop.write(data)
    before = stamp(path)
    for command in ("show", "check"):
        assert shop.run(command, "job.toml") == 2
        said = shop.lines if command == "check" else shop.err
        assert all(part in said for part in parts), said
        assert "\x1b" not in said
        assert "\0" not in said
    assert stamp(path) == before


def test_a_byte_order_mark_and_windows_line_ends_are_no_fault(shop: Shop) -> None:
    shop.write(b"\xef\xbb\xbf" + SOUND.replace("\n", "\r\n").encode())
    assert (shop.run("check", "job.toml"), shop.out) == (0, "Nothing wrong was found, and nothing to look at.\n")
    shop.write(b"\xef\xbb\xbf" + changed(("46.75 ml", "46.75 mm")).replace("\n", "\r\n").encode())
    assert shop.run("show", "job.toml") == 2
    assert shop.err.startswith("job.toml, line 52, series 2, reading 2.end: ")


def test_missing_folder_fifo_device(shop: Shop, tmp_path: Path) -> None:
    (tmp_path / "folder").mkdir()
    os.mkfifo(tmp_path / "pipe")
    for name, said in (
        ("nothing.toml", "nothing.toml: no such file; start one with: ccassist new FILE\n"),
        ("folder", "folder: this is a folder, not a job file\n"),
        ("pipe", "pipe: this is not an ordinary file\n"),
        ("/dev/zero", "/dev/zero: this is not an ordinary file\n"),
        ("job.toml/x", "job.toml/x: "),
        ("x" * 5000, "cannot be read: File name too long"),
        ("\x1b[31mred", "<U+001B>[31mred: no such file"),
    ):
        assert shop.run("show", name) == 2
        assert said in shop.err
        assert (shop.out, shop.err.count("\n"), "\x1b" in shop.err) == ("", 1, False)


def test_a_name_that_no_command_line_can_hold() -> None:
    with pytest.raises(InputError, match=r"bad<U\+0000>name: cannot be read: embedded null byte"):
        load("bad\x00name")


@pytest.mark.skipif(os.geteuid() == 0, reason="root may read everything")
def test_unreadable(shop: Shop) -> None:
    path = shop.write(SOUND)
    path.chmod(0)
    assert shop.run("show", "job.toml") == 2
    assert shop.err == "job.toml: cannot be read: Permission denied\n"


def test_forty_eight_cylinders(shop: Shop) -> None:
    shop.write(changed(("cylinders = 2", "cylinders = 48")))
    assert shop.run("check", "job.toml") == 0
    assert shop.run("show", "job.toml") == 0
    assert "cylinders 3 to 48" in shop.lines


# -- the real command -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (changed(("83.40 +/-", "83.40 foo +/-")).encode(), b'job.toml, line 9, engine.bore: read "83.40 foo'),
        (b"a = " + b"[" * 9000, b"job.toml, line 1: brackets inside brackets"),
        (b"\xff\xfe\x00", b"job.toml, line 1: not UTF-8 text (byte 1 of the file)"),
        (
            changed(("Bench job", "\\u001b[31m"), ('"chamber"', '"\\u001b]0;x\\u0007"')).encode(),
            b"<U+001B>]0;x<U+0007>",
        ),
    ],
    ids=["unknown unit", "brackets", "bytes", "escapes"],
)
@pytest.mark.parametrize("encoding", ["utf-8", "ascii"])
def test_as_a_process(data: bytes, said: bytes, encoding: str, tmp_path: Path) -> None:
    """Also where the terminal cannot show ± and °."""
    path = tmp_path / "job.toml"
    path.write_bytes(data)
    before = stamp(path)
    command = [sys.executable, "-m", "ccassist", "show", "job.toml"]
    environment = {**os.environ, "PYTHONIOENCODING": encoding}
    ran = subprocess.run(command, cwd=tmp_path, env=environment, capture_output=True, timeout=60, check=False)
    assert (ran.returncode, ran.stdout) == (2, b"")
    assert said in ran.stderr
    assert b"Traceback" not in ran.stderr
    assert b"\x1b" not in ran.stderr
    assert stamp(path) == before
