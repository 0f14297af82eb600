"""The register of sources: every row can be found by a reader, is used, and a check without one is refused."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.each import each
from tests.references.conftest import Noting, short_of, without_source
from tests.references.sources import KNOWN, SOURCES, cites, digits_met, promise

pytestmark = promise()
THIS = Path(__file__)


@each("key", SOURCES)
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


def test_fewer_digits_than_are_claimed_fail() -> None:
    """Two are claimed of the first, five of the second, no number of the third: half a unit of the last one."""
    assert [digits_met(key) for key in ("sarkar", "tanaka", "gum")] == [2, 5, None]
    assert short_of(("sarkar", "tanaka", "gum"), [(1.0, 1.0), (1.04, 1.0)]) == ["tanaka"]
    assert short_of(("sarkar", "tanaka", "gum"), [(1.06, 1.0)]) == ["sarkar", "tanaka"]
    assert short_of(("sarkar", "tanaka"), [(1.00004, 1.0)]) == short_of(("sarkar",), []) == []
    noting = type("Noted", (Noting,), {"found": []})
    assert [noting(1.0), {"a": noting(2.0, abs=0.01)}] == [1.0, {"a": 2.001}]
    assert noting((1.0, 3.0)) != (1.0, 2.0)
    assert noting.found == [(1.0, 1.0), (2.001, 2.0)]


def test_an_unknown_source_is_refused() -> None:
    with pytest.raises(KeyError):
        cites("a seller's page")


@pytest.mark.parametrize("mark", [None, cites("practice"), promise()])
def test_a_row_without_a_source_fails(mark: pytest.MarkDecorator | None, request: pytest.FixtureRequest) -> None:
    bare = pytest.Function.from_parent(request.session, name="row", callobj=lambda: None)
    if mark is not None:
        bare.add_marker(mark)
    assert without_source(bare) == (mark is None)
