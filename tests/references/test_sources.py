"""The register of sources: every row can be found by a reader, is used, and a check without one is refused."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.references.conftest import without_source
from tests.references.sources import KNOWN, SOURCES, cites, promise

pytestmark = promise()
THIS = Path(__file__)


@pytest.mark.parametrize("key", SOURCES)
def test_a_reader_can_find_it(key: str) -> None:
    """Author and title with edition, page, clause or year; or a library and its data; or that it is from memory."""
    text, checks, digits, known = SOURCES[key]
    assert known in KNOWN
    assert checks
    assert digits
    assert len(text) > 20
    assert known != "seen" or re.search(r"\d", text), text
    assert "|" not in text + checks + digits


def test_every_source_is_used() -> None:
    said = "".join(path.read_text(encoding="utf-8") for path in THIS.parent.glob("test_*.py") if path != THIS)
    used = {key for inside in re.findall(r"cites\(([^)]*)\)", said) for key in re.findall(r'"([^"]+)"', inside)}
    assert used == set(SOURCES)


def test_an_unknown_source_is_refused() -> None:
    with pytest.raises(KeyError):
        cites("a seller's page")


@pytest.mark.parametrize("mark", [None, cites("practice"), promise()])
def test_a_row_without_a_source_fails(mark: pytest.MarkDecorator | None, request: pytest.FixtureRequest) -> None:
    bare = pytest.Function.from_parent(request.session, name="row", callobj=lambda: None)
    if mark is not None:
        bare.add_marker(mark)
    assert without_source(bare) == (mark is None)
