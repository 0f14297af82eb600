"""``ccassist solve`` on the screen."""

from __future__ import annotations

from pathlib import Path

from typer.testing import CliRunner

from ccassist.cli.app import app

TURBO = Path(__file__).parents[2] / "examples" / "turbo-four.toml"
REMARK = "the gasket's opening would be smaller than the bore"


def test_each_finding_is_said_once() -> None:
    """The algebra leaves the findings to the list under it."""
    words = ["solve", str(TURBO), "--for", "bore", "--to", "static_ratio=9.5", "--cylinder", "1"]
    done = CliRunner().invoke(app, words)
    assert done.exit_code == 0
    screen = " ".join(done.stdout.split())
    assert screen.count(REMARK) == 1
    assert f"LOOK {REMARK}" in screen
