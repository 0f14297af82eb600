"""What every test may ask for."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import settings

from tests.sound_job import Shop

# A machine that is busy is no fault of what is tested: only results fail a test, never the clock.
settings.register_profile("no clock", deadline=None)
settings.load_profile("no clock")


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Shop:
    """The command, run in-process in an empty folder."""
    return Shop(tmp_path, monkeypatch, capsys)
