"""Hostile, damaged and odd tables of readings: each with its line, nothing lost, nothing that steers a terminal.

The wording is the tool's own promise, so no outside source is named.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ccassist.job.file import parse_job
from ccassist.job.recording import Taken
from ccassist.job.tables import columns, read_csv
from ccassist.job.write import append_reading
from ccassist.values.findings import InputError
from tests.sound_job import SOUND, Shop

HEAD = "step,cylinder,instrument,fluid,plug,hole,start,end,box\n"
ONE = "chamber,1,burette 50 ml class B,water,fitted,not filled,0.10,46.15 ml,\n"
FEW = settings(deadline=None, max_examples=100)


def taken(folder: Path, data: bytes | str, job: str = SOUND) -> Taken:
    """The readings of a table."""
    path = folder / "table.csv"
    path.write_bytes(data if isinstance(data, bytes) else data.encode())
    return read_csv(path, parse_job(job).job)


CASES = {
    "zero bytes": (HEAD + ONE.replace("water", "wa\0ter"), ": zero bytes in the text; save it as UTF-8 text"),
    "UTF-16": ((HEAD + ONE).encode("utf-16"), ", line 1: not UTF-8 text (byte 1 of the file); save it as UTF-8"),
    "UTF-16 without its mark": ((HEAD + ONE).encode("utf-16-le"), ": zero bytes in the text; save it as UTF-8 text"),
    "a cell of 200,000": (
        HEAD + ONE.replace("water", "w" * 200_000),
        ", line 2: the table cannot be read: field larger than field limit (131072)",
    ),
    "a cell that never ends": (
        HEAD + ONE.replace("water", '"' + "w\n" * 100_000),
        ", line 65538: the table cannot be read: field larger than field limit (131072)",
    ),
    "100,000 columns": (
        "step," + "x," * 99_999 + "y\n",
        f", line 1: 100001 columns, but there are only {len(columns())} to choose from",
    ),
    "a column without a name": ("step,,end\n", ", line 1: column 2 has no name; name it or take it out"),
    "more than 5,000 lines": (HEAD + "\n" * 5001 + ONE, ": more than 5000 lines"),
    "more than 1 MB": (HEAD + "\n" * (2**20), ": larger than 1 MB: not a table"),
    "a quote in the middle": (
        HEAD + '"cham"ber,1\n',
        ", line 2: the table cannot be read: ',' expected after '\"'",
    ),
    "a formula": (
        HEAD + ONE.replace("0.10", "=1+1"),
        ', line 2, start: read "=1+1": "= +1" is not understood after the burette reading; write e.g. "62.5 cc"',
    ),
    "an escape": (
        HEAD + ONE.replace("46.15 ml", "46.15 \x1b[31mml"),
        ', line 2, end: read "46.15 <U+001B>[31mml": "<U+001B>[31mml" is not understood after the burette reading; '
        'write e.g. "62.5 cc"',
    ),
    "an odd digit": (HEAD + ONE.replace("r,1", "r,٣"), ', line 2: read "٣": the cylinder is a whole number'),
    "two readings of one box": (
        HEAD + ONE.replace(",\n", ",a\n") + ONE.replace("46.15", "46.25").replace(",\n", ",a\n"),
        ', line 3: read "a": two readings of one box; give each a box of its own',
    ),
}


@pytest.mark.parametrize(("data", "line"), [pytest.param(*case, id=name) for name, case in CASES.items()])
def test_each_gets_its_line(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, data: bytes | str, line: str) -> None:
    monkeypatch.chdir(tmp_path)
    with pytest.raises(InputError, match=r"\S") as fault:
        taken(Path(), data)
    assert [f.text() for f in fault.value.findings] == [f"table.csv{line}"]


def test_what_a_spreadsheet_adds_is_no_fault(tmp_path: Path) -> None:
    """A byte order mark, other line ends, empty columns and lines at the end."""
    text = "\ufeff" + (HEAD.strip() + ",,,\n" + ONE.strip() + ",,\n" + "," * 20 + "\n").replace("\n", "\r\n")
    assert len(taken(tmp_path, text).new) == 1


@pytest.mark.parametrize("mark", ["\x0b", "\x0c", "\x1c", "\x85", "\u2028"])
def test_only_line_ends_end_a_line(tmp_path: Path, mark: str) -> None:
    head = HEAD.replace("box", "remark")
    found = taken(tmp_path, head + ONE.replace(",\n", f",seen{mark}twice\n") + ONE.replace("46.15", "46.35"))
    assert [reading.where for reading in found.new] == ["line 2", "line 3"]
    assert found.new[0].row["remark"] == "seen twice"


def test_the_same_box_said_twice_counts_once_and_a_second_of_it_is_known_again(tmp_path: Path) -> None:
    line = ONE.replace(",\n", ",a\n")
    assert (len(taken(tmp_path, HEAD + line + line).new), taken(tmp_path, HEAD + line + line).known) == (1, 1)
    job = SOUND
    for end in ("46.15 ml", "46.25 ml"):  # two of one box, as a job may hold them after blocks were put together
        (reading,) = taken(tmp_path, HEAD + line.replace("46.15 ml", end)).new
        job = append_reading(job, reading.header, reading.row)
    assert taken(tmp_path, HEAD + line.replace("46.15", "46.25"), job).known == 1


def test_escapes_in_free_words_never_reach_the_terminal(shop: Shop) -> None:
    shop.write(SOUND)
    head = HEAD.replace("box", "set_aside,remark,by,box")
    words = "\x1b[2J,\x1b]0;x\x07,\x9b31m,\u202e"
    (shop.folder / "table.csv").write_text(head + ONE.replace(",\n", f",{words}\n"), encoding="utf-8")
    assert shop.run("record", "job.toml", "--from", "table.csv") == 0
    assert shop.out.startswith("line 2: start 0.10 cc, end 46.15 ml, set_aside <U+001B>[2J\n")
    for command in ("readings", "check", "show"):
        shop.run(command, "job.toml")
        assert all(line.isprintable() for line in (shop.out + shop.err).splitlines())


@pytest.mark.parametrize(
    ("source", "line"),
    [
        ("none.csv", "none.csv: no such file\n"),
        ("none.pdf", "none.pdf: no such file\n"),
        (".csv", ".csv: this is not a PDF\n"),
        ("folder.csv", "folder.csv: this is a folder, not a table\n"),
        ("folder.pdf", "folder.pdf: not a file\n"),
        ("job.toml", "job.toml: this is not a PDF\n"),
    ],
)
def test_what_is_no_table_and_no_form(shop: Shop, source: str, line: str) -> None:
    shop.write(SOUND)
    shop.write("x", ".csv")
    for name in ("folder.csv", "folder.pdf"):
        (shop.folder / name).mkdir()
    assert shop.run("record", "job.toml", "--from", source) == 2
    assert (shop.out, shop.err) == ("", line)
    assert (shop.folder / "job.toml").read_text(encoding="utf-8") == SOUND


CELLS = st.one_of(
    st.text(st.characters(codec="utf-8"), max_size=8),
    st.sampled_from(
        ["chamber", "deck", "bore", "1", "0.1", "46,15 ml", "1; 2", "water", '"', '""', "\r", "bore gauge"]
    ),
)


@given(st.lists(st.sampled_from(columns()), max_size=6), st.lists(st.lists(CELLS, max_size=7), max_size=4),
       st.sampled_from(",;\t"))  # fmt: skip
@FEW
def test_any_cells_are_read_or_refused_in_words(
    tmp_path_factory: pytest.TempPathFactory, names: list[str], rows: list[list[str]], mark: str
) -> None:
    lines, text = ["read"], "\n".join(mark.join(row) for row in [["step", *names], *rows])
    try:
        taken(tmp_path_factory.getbasetemp(), text)
    except InputError as fault:
        lines = [f.text() for f in fault.findings]
    assert lines
    assert all(line.isprintable() and len(line) < 1500 for line in lines)
