"""No test of this folder, and no row of its tables, without a source."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

import pytest


def unsourced(items: Iterable[pytest.Item]) -> list[str]:
    """Which of these name no source of ``sources.py``."""
    return [item.nodeid for item in items if item.get_closest_marker("source") is None]


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Refused before anything runs, with the mark that is lacking."""
    here = Path(__file__).parent
    missing = unsourced(item for item in items if item.path.parent == here)
    if missing:
        raise pytest.UsageError(
            "without a source, @cites(...) of tests/references/sources.py: " + ", ".join(missing[:20])
        )
