"""Odd options of the commands: each with its exact line and exit code, and no file touched that was not named.

The wording is the tool's own promise, so no outside source is named.
"""

from __future__ import annotations

import os
import tomllib
from pathlib import Path
from typing import Any

import pytest

from ccassist.bench.steps import STEPS
from tests.boost_job import JOB as BOOST
from tests.sound_job import SOUND, Shop

MIX = (
    SOUND + '\n[choice.gasket.thin]\ngasket_thickness = "1.0 mm"\n[choice.gasket.thick]\ngasket_thickness = "1.6 mm"\n'
)
AREA = SOUND.replace('kind = "head"\n', 'kind = "head"\nchamber_area = "52 +/- 1 cm², measured"\n')
JOBS = {"job.toml": SOUND, "boost.toml": BOOST, "mix.toml": MIX}
TABLE: dict[str, Any] = tomllib.loads(Path(__file__).with_name("bad_options.toml").read_text(encoding="utf-8"))
WRITERS = {
    "order": ("order", "job.toml", "--out"),
    "blank forms": ("worksheet", "job.toml", "--blank", "--step", "deck", "--out"),
    "blank forms of no job": ("worksheet", "--blank", "--step", "deck", "--out"),
    "readings": ("readings", "job.toml", "--csv"),
    "worksheet": ("worksheet", "job.toml", "--out"),
    "combine to a table": ("combine", "mix.toml", "--csv"),
    "combine to pages": ("combine", "mix.toml", "--out"),
    "boost": ("boost", "boost.toml", "--out"),
    "levers": ("boost", "boost.toml", "--levers", "--out"),
    "boosted target": ("boost", "boost.toml", "--for", "boost_gauge", "--to", "end_pressure=25 bar", "--out"),
    "cam": ("cam", "boost.toml", "--out"),
}


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Shop:
    """A folder with jobs, links to them, a folder and a pipe."""
    made = Shop(tmp_path, monkeypatch, capsys)
    made.write(AREA, "area.toml")
    for name, text in JOBS.items():
        made.write(text, name)
        (tmp_path / f"link to {name}.pdf").symlink_to(name)
        os.link(tmp_path / name, tmp_path / f"twin of {name}.pdf")
    (tmp_path / "folder").mkdir()
    os.mkfifo(tmp_path / "pipe")
    return made


def untouched(shop: Shop) -> bool:
    """Whether all is as the fixture made it, but for files that are new."""
    names = [*JOBS, *(f"link to {name}.pdf" for name in JOBS), *(f"twin of {name}.pdf" for name in JOBS)]
    texts = [(shop.folder / name).read_text(encoding="utf-8") for name in names]
    if (shop.folder / "area.toml").read_text(encoding="utf-8") != AREA:
        return False
    kinds = (shop.folder / "folder").is_dir() and (shop.folder / "pipe").is_fifo()
    return (
        kinds
        and texts == [*JOBS.values()] * 3
        and not (shop.folder / "x.toml").exists()
        and not list(shop.folder.glob(".*.part"))
    )


def place_of(command: tuple[str, ...]) -> str:
    """The option that names the output."""
    return command[-1]


@pytest.mark.parametrize("command", WRITERS.values(), ids=WRITERS)
def test_no_output_replaces_a_job(command: tuple[str, ...], shop: Shop) -> None:
    for job in JOBS:
        own = job in command
        for name in (job, f"./{job}", f"folder/../{job}", f"link to {job}.pdf", f"twin of {job}.pdf"):
            if name.startswith("twin") and not own:
                continue  # another file of any name: nothing says that it is a job
            assert shop.run(*command, name) == 2
            shown = str(Path(name))
            wrong = f"this would replace {'the' if own else 'a'} job file; give another name"
            assert shop.err == f'{place_of(command)}: read "{shown}": {wrong}\n'
            assert untouched(shop)


FOLDER = ("folder", "folder: not saved: this is a folder")
NOT_WRITTEN = (
    FOLDER,
    ("pipe", "pipe: not saved: this is not an ordinary file"),
    ("", ".: not saved: this is a folder"),
    ("nowhere/x.pdf", "nowhere/x.pdf: not saved: No such file or directory"),
    ("pipe/x.pdf", "pipe/x.pdf: not saved: Not a directory"),
    ("\x1b[2J/x.pdf", "<U+001B>[2J/x.pdf: not saved: No such file or directory"),
    ("x" * 300, f"{'x' * 199}…: not saved: File name too long"),
)
# The same layer writes for all of them: each command is asked once, one of them everything.
ASKED = [(WRITERS["order"], *one) for one in NOT_WRITTEN]
ASKED += [(command, *FOLDER) for name, command in WRITERS.items() if name != "order"]


@pytest.mark.parametrize(("command", "name", "line"), ASKED)
def test_an_output_that_cannot_be_written_is_said_in_a_line(
    command: tuple[str, ...], name: str, line: str, shop: Shop
) -> None:
    assert shop.run(*command, name) == 2
    assert shop.err == f"{line}\n"
    assert untouched(shop)


def test_one_file_for_two_outputs(shop: Shop) -> None:
    assert shop.run("combine", "mix.toml", "--csv", "a.out", "--out", "./a.out") == 2
    assert shop.err == '--out: read "a.out": this is the file of --csv; give another name\n'
    assert not (shop.folder / "a.out").exists()


# -- the table ------------------------------------------------------------------------------------------


def filled(text: str) -> str:
    """A text of the table with its long pieces put in."""
    return text.replace("{NINES}", "9" * 5000).replace("{STEPS}", ", ".join(STEPS))


def test_the_table_is_long() -> None:
    assert sum(len(command["says"]) for command in TABLE["command"]) + len(TABLE["line"]) >= 300


@pytest.mark.parametrize("command", [pytest.param(command, id=command["name"]) for command in TABLE["command"]])
def test_an_odd_text_of_an_option_gets_its_line(command: dict[str, Any], shop: Shop) -> None:
    for text, line in command["says"].items():
        words = [word.replace("{}", filled(text)) for word in command["run"]]
        code = shop.run(*words)
        assert (code, shop.out, shop.err) == (command.get("code", 2), "", f"{filled(line)}\n"), text
        assert filled(line).isprintable()
    assert untouched(shop)


@pytest.mark.parametrize("case", [pytest.param(case, id=ascii(" ".join(case["run"]))) for case in TABLE["line"]])
def test_an_odd_command_line_gets_its_line(case: dict[str, Any], shop: Shop) -> None:
    code = shop.run(*case["run"])
    assert (code, shop.out, shop.err) == (case.get("code", 2), "", f"{filled(case['says'])}\n")
    assert untouched(shop)
