"""What every test may ask for."""

from __future__ import annotations

from pathlib import Path

import pytest
from sound_job import Shop


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Shop:
    """The command, run in-process in an empty folder."""
    return Shop(tmp_path, monkeypatch, capsys)
