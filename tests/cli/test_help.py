"""The help of every command: an example, the trade's words for what an option takes; and all in the README."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from typer.main import get_command
from typer.testing import CliRunner

from ccassist.cli.app import ASKING, DECLARED, app
from ccassist.cli.app import COMMANDS as SHELL_COMMANDS

COMMANDS = sorted(get_command(app).commands)  # type: ignore[attr-defined]
ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")


@pytest.mark.parametrize("command", COMMANDS)
def test_it_has_an_example_and_no_word_of_a_programmer(command: str) -> None:
    done = CliRunner().invoke(app, [command, "--help"])
    assert done.exit_code == 0
    assert f": ccassist {command} " in " ".join(done.stdout.split())
    for word in ("<str>", "<path>", "<int>", "<float>", "TEXT", "INTEGER", "--no-"):
        assert word not in done.stdout


@pytest.mark.parametrize("command", [one for one in COMMANDS if one not in ASKING])
def test_its_example_is_of_a_shipped_file(command: str) -> None:
    """But for those that write into a job of the reader's own; that each runs is tests/test_example_commands.py."""
    told = get_command(app).commands[command].epilog  # type: ignore[attr-defined]
    assert all((ROOT / name).exists() for name in re.findall(r"\S+\.toml", told))
    assert "examples/" in told or command == "ratio"


@pytest.mark.parametrize("command", COMMANDS)
def test_the_readme_names_it(command: str) -> None:
    assert f"ccassist {command}" in README.replace("\n", " ") or f"| `{command} FILE" in README


def test_every_command_that_is_declared_stands_in_the_table() -> None:
    assert len(list(get_command(app).commands.values())) == len(COMMANDS)  # type: ignore[attr-defined]
    assert sorted(DECLARED) == COMMANDS


def test_alone_it_says_which_command_serves_which_wish() -> None:
    done = CliRunner().invoke(app, [])
    lines = done.stderr.splitlines()
    assert done.exit_code == 2
    assert len(lines) < 24  # a window
    assert max(map(len, lines)) <= 60
    assert [line.split()[0] for line in lines[1:]] == list(SHELL_COMMANDS)


@pytest.mark.parametrize("width", ["60", "80", "100"])
def test_no_summary_is_cut(width: str) -> None:
    done = CliRunner().invoke(app, ["--help"], env={"COLUMNS": width})
    assert "..." not in done.stdout.partition("Commands:")[2]
    told = " ".join(done.stdout.split())
    assert all(wish in told for _, wish in SHELL_COMMANDS.values())
