"""No test of this folder, and no row of its tables, without a source."""

from __future__ import annotations

import pytest


def without_source(item: pytest.Item) -> bool:
    """Whether it names none of ``sources.py``."""
    return item.get_closest_marker("source") is None


def pytest_runtest_setup(item: pytest.Item) -> None:
    """It fails before it runs, with the mark that is lacking."""
    if without_source(item):
        pytest.fail(
            "names no source: @cites(...) of tests/references/sources.py, for the test or the row", pytrace=False
        )
