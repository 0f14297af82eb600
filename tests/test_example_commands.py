"""Every example command of the README, the help and the example files runs, and says what it was asked for."""

from __future__ import annotations

import io
import shlex
import shutil

import pytest

from tests.example_commands import COMMANDS, ROOT, commands, engine
from tests.sound_job import Shop

FOUND = commands()


async def _ended(*_: object, **__: object) -> None:
    """A server that is ended at once."""


def test_they_are_found_in_all_three_places() -> None:
    text = "\n".join(FOUND)
    assert len(FOUND) >= 35
    for name in sorted(path.name for path in (ROOT / "examples").glob("*.toml")):
        assert f"examples/{name}" in text
    for command in COMMANDS:
        assert f"ccassist {command} " in text


@pytest.mark.parametrize("command", FOUND)
def test_it_runs(shop: Shop, monkeypatch: pytest.MonkeyPatch, command: str) -> None:
    shutil.copytree(ROOT / "examples", shop.folder / "examples")
    words = shlex.split(command)[1:]
    monkeypatch.setattr("sys.stdin", io.StringIO(""))  # the guide is left at once
    if words[0] == "phone":
        monkeypatch.setattr("uvicorn.Server.serve", _ended)
    for word in words:
        if (word.endswith(".toml") and not word.startswith("examples/") and words[0] != "new") or word == "FILE":
            shop.write(engine(), word)
    assert shop.run(*words) == 0, shop.err
    assert shop.out.strip()
