"""An output replaces what the tool made itself, and nothing else unless it is told to."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader, PdfWriter
from reportlab.pdfgen.canvas import Canvas

from tests.example_commands import COMMANDS as DECLARED_COMMANDS
from tests.sound_job import SOUND, Shop

FOREIGN_TABLE = "date,hours\n2026-11-02,7\n"
COMMANDS = {
    "worksheet": ("worksheet", "job.toml", "--out", "out.pdf"),
    "order": ("order", "job.toml", "--out", "out.pdf"),
    "cam": ("cam", "job.toml", "--out", "out.pdf"),
    "boost": ("boost", "job.toml", "--out", "out.pdf"),
    "levers": ("boost", "job.toml", "--levers", "--out", "out.pdf"),
    "boost answer": ("boost", "job.toml", "--for", "boost_gauge", "--to", "end_pressure=20 bar", "--out", "out.pdf"),
    "forms": ("worksheet", "job.toml", "--blank", "--step", "bore", "--out", "out.pdf"),
    "combinations": ("combine", "job.toml", "--out", "out.pdf"),
    "combinations, by its other name": ("combine", "job.toml", "--pdf", "out.pdf"),
    "builds": ("alternatives", "job.toml", "--out", "out.pdf"),
    "balance": ("balance", "job.toml", "--out", "out.pdf"),
    "machining": ("machine", "job.toml", "--gasket-thickness", "1.0 mm", "--out", "out.pdf"),
    "tolerance": ("tolerance", "job.toml", "--of", "static_ratio", "--holds", "stroke=0.1 mm", "--out", "out.pdf"),
    "comparison": ("compare", "job.toml", "--out", "out.pdf"),
    "solved": ("solve", "job.toml", "--for", "crown_volume", "--to", "static_ratio=9.2", "--out", "out.pdf"),
    "ratio": (
        "ratio",
        "bore=80",
        "stroke=72.5",
        "chamber=38.5",
        "gasket=1.1",
        "below=0.3",
        "dish=5",
        "--out",
        "out.pdf",
    ),
    "table of combinations": ("combine", "job.toml", "--csv", "out.csv"),
    "readings": ("readings", "job.toml", "--csv", "out.csv"),
}
WRITING = ("worksheet", "forms", "readings")  # in turn, of what this small job has an answer for


@pytest.fixture
def bench(shop: Shop) -> Shop:
    (shop.folder / "job.toml").write_text(SOUND, encoding="utf-8")
    return shop


def foreign(path: Path) -> bytes:
    """Somebody else's file of the same kind."""
    if path.suffix == ".csv":
        path.write_text(FOREIGN_TABLE, encoding="utf-8")
    else:
        canvas = Canvas(str(path))
        canvas.setCreator("a drawing office")
        canvas.drawString(100, 100, "ccassist")
        canvas.save()
    return path.read_bytes()


@pytest.mark.parametrize("command", COMMANDS.values(), ids=COMMANDS)
def test_somebody_else_s_file_stays(bench: Shop, command: tuple[str, ...]) -> None:
    path = bench.folder / command[-1]
    before = foreign(path)
    assert bench.run(*command) == 2
    assert "is not a" in bench.err
    assert "add --force" in bench.err
    assert path.read_bytes() == before


@pytest.mark.parametrize("name", ["notes.txt", "empty but for a blank", "picture.png"])
def test_whatever_it_is(bench: Shop, name: str) -> None:
    (bench.folder / name).write_bytes(b"\x89PNG " if name.endswith("png") else b" ")
    for command in ("worksheet", "readings"):
        option = "--out" if command == "worksheet" else "--csv"
        assert bench.run(command, "job.toml", option, name) == 2
        assert "add --force" in bench.err


@pytest.mark.parametrize("command", COMMANDS.values(), ids=COMMANDS)
def test_what_is_asked_for_is_written_or_said_to_be_missing(bench: Shop, command: tuple[str, ...]) -> None:
    """No file without a word, whatever the job has an answer for; every command that has a page is tried."""
    code = bench.run(*command)
    assert (bench.folder / command[-1]).exists() is ("Wrote out." in bench.out)
    assert bench.out if code == 0 else bench.err
    assert (code == 0) is ("Wrote out." in bench.out)


def test_every_command_that_has_a_page_is_tried() -> None:
    paged = {name for name, one in DECLARED_COMMANDS.items() if any("--out" in option.opts for option in one.params)}
    assert paged == {words[0] for words in COMMANDS.values() if "--out" in words}


@pytest.mark.parametrize("name", WRITING)
def test_its_own_is_replaced_and_another_where_told_to(bench: Shop, name: str) -> None:
    command = COMMANDS[name]
    for _ in range(2):
        assert bench.run(*command) == 0
    before = foreign(bench.folder / command[-1])
    assert bench.run(*command, "--force") == 0
    assert (bench.folder / command[-1]).read_bytes() != before
    assert bench.run(*command) == 0


def test_an_empty_file_holds_nothing_to_lose(bench: Shop) -> None:
    (bench.folder / "out.pdf").touch()
    assert bench.run(*COMMANDS["worksheet"]) == 0


def test_a_form_in_which_something_was_written_is_not_replaced(bench: Shop) -> None:
    """The forms' own file, filled on a tablet and saved in its place: its readings stand nowhere else."""
    command, path = COMMANDS["forms"], bench.folder / "out.pdf"
    assert bench.run(*command) == 0
    assert bench.run(*command) == 0  # nothing is written in it, but the job's own name as it was printed
    writer = PdfWriter(clone_from=PdfReader(BytesIO(path.read_bytes())))
    box = next(name for name in writer.get_fields() or {} if "/r/1/" in name)
    for page in writer.pages:
        writer.update_page_form_field_values(page, {box: "83.41"})
    writer.write(path)
    before = path.read_bytes()
    assert bench.run(*command) == 2
    assert "add --force" in bench.err
    assert path.read_bytes() == before


def test_no_force_replaces_a_job_file(bench: Shop) -> None:
    assert bench.run("worksheet", "job.toml", "--out", "job.toml", "--force") == 2
    assert (bench.folder / "job.toml").read_text(encoding="utf-8") == SOUND
