"""What is said where the program itself is at fault."""

from __future__ import annotations

from pathlib import Path

import pytest

from ccassist.cli.screen import own_fault
from ccassist.job import disk


def test_it_never_says_that_nothing_was_changed_after_something_was_saved(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(disk, "_saved", {})
    own_fault(RuntimeError("odd"))
    assert "Nothing was changed." in capsys.readouterr().err
    disk.write_text(tmp_path / "heads.toml", "format = 1\n")
    own_fault(RuntimeError("odd"))
    said = capsys.readouterr().err
    assert "Nothing was changed" not in said
    assert f"stands in {tmp_path / 'heads.toml'}" in said
