"""No test of this folder, no row of its tables, without a source; none that meets fewer digits than are claimed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sized
from typing import Any

import pytest

from tests.references.sources import digits_met


def without_source(item: pytest.Item) -> bool:
    """Whether it names none of ``sources.py``."""
    return item.get_closest_marker("source") is None


def pytest_runtest_setup(item: pytest.Item) -> None:
    """It fails before it runs, with the mark that is lacking."""
    if without_source(item):
        pytest.fail(
            "names no source: @cites(...) of tests/references/sources.py, for the test or the row", pytrace=False
        )


class Noting:
    """:func:`pytest.approx`, that notes how far off what agrees is, as a share of what was expected."""

    found: list[tuple[float, float]]

    def __init__(self, expected: Any, *given: Any, **more: Any) -> None:
        self.expected, self.within = expected, approx(expected, *given, **more)

    def __eq__(self, other: object) -> bool:
        agrees = bool(self.within == other)
        if agrees:
            self.found += _pairs(other, self.expected)
        return agrees

    __hash__ = None  # type: ignore[assignment]

    def __repr__(self) -> str:
        return repr(self.within)


approx = pytest.approx


def _pairs(read: Any, expected: Any) -> Iterator[tuple[float, float]]:
    if isinstance(expected, dict):
        yield from (pair for key in expected for pair in _pairs(read[key], expected[key]))
    elif isinstance(expected, Sized):
        yield from (pair for one, other in zip(read, expected, strict=True) for pair in _pairs(one, other))
    elif expected is not None and expected != 0:
        yield float(read), float(expected)


@pytest.fixture(autouse=True)
def _digits(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """What a test compares meets the digits that the register claims of each source it names."""
    mark = request.node.get_closest_marker("source")
    monkeypatch.setattr(pytest, "approx", noting := type("Noted", (Noting,), {"found": []}))
    yield
    assert not short_of(mark.kwargs["keys"] if mark else (), noting.found), "fewer digits than the register claims"


def short_of(keys: Iterable[str], found: Iterable[tuple[float, float]]) -> list[str]:
    """The sources of which the register claims more digits than what was read and what was expected have in common."""
    off = max((abs(read / expected - 1) for read, expected in found), default=0.0)
    return [key for key in keys if (digits := digits_met(key)) is not None and off > 0.5 * 10.0 ** (1 - digits)]
