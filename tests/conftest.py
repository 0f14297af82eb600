"""What every test may ask for."""

from __future__ import annotations

import gc
import os
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import settings

from tests.sound_job import Shop

# A machine that is busy is no fault of what is tested: only results fail a test, never the clock.  What is drawn at
# random is drawn the same each time, so that what passed passes; --hypothesis-profile=search looks further.
settings.register_profile("search", deadline=None, print_blob=True)
settings.register_profile("the same", deadline=None, derandomize=True)
settings.load_profile("the same")


# Ten thousand tests and all they import stay to the end: looking for garbage among them again and again is idle.
gc.set_threshold(100_000, 20, 20)


def pytest_collection_finish() -> None:
    """What was collected is no garbage."""
    gc.freeze()


@pytest.fixture(scope="session", autouse=True)
def _compiled_once(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Where nothing compiled is to be kept beside the source, processes of the tests keep it in a folder of theirs."""
    with pytest.MonkeyPatch.context() as patch:
        if os.environ.get("PYTHONDONTWRITEBYTECODE"):
            patch.delenv("PYTHONDONTWRITEBYTECODE")
            patch.setenv("PYTHONPYCACHEPREFIX", str(tmp_path_factory.mktemp("compiled")))
        yield


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Shop:
    """The command, run in-process in an empty folder."""
    return Shop(tmp_path, monkeypatch, capsys)


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """What was left out, and why, once."""
    skipped = Counter(report.longrepr[2] for report in terminalreporter.stats.get("skipped", ()))
    for why, count in skipped.items():
        terminalreporter.write_line(f"NOT RUN, {count} tests: {why.removeprefix('Skipped: ')}")
