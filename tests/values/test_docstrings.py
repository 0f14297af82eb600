"""Every public function of the physics says its units and its source, and nine in ten show an example that runs.

Functions and methods whose annotations hold a number that is reckoned with (float, ``Number`` or ``N``) are looked at;
whether an example runs is the doctest's business.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.each import each

PACKAGE = Path(__file__).parents[2] / "ccassist"
ROOMS = ("engine", "boost")
QUANTITY = re.compile(r"\b(?:N|Number|float)\b")
UNITS = re.compile(
    r"m³|m²|/s\b|/mol\b|\[(?:m|kg|rad|deg|s|Pa|K|J)\b|\b(?:SI|rad|k?Pa|K|J/kg|octane|count|ratios?|shares?|per)\b"
    r"|\bwithout (?:a )?unit\b|\bunits? (?:of|they)\b|\bany one unit\b|\bits own unit\b",
    re.IGNORECASE,
)
SOURCE = re.compile(r"\bSource: \S")
EXAMPLES = 0.9
NO_PHYSICS = {"plain", "is_grid"}  # they look at what kind of number it is


def functions(room: str) -> Iterator[tuple[str, str, ast.FunctionDef]]:
    """Place, docstring and tree of each public function that takes or gives a quantity."""
    for path in sorted((PACKAGE / room).glob("*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        for node in tree.body:
            for one in node.body if isinstance(node, ast.ClassDef) else [node]:
                if not isinstance(one, ast.FunctionDef) or one.name.startswith("_") or one.name in NO_PHYSICS:
                    continue
                arguments = [*one.args.args, *one.args.kwonlyargs]
                slots = [a.annotation for a in arguments if a.annotation] + ([one.returns] if one.returns else [])
                if any(QUANTITY.search(ast.unparse(slot)) for slot in slots):
                    yield f"{room}/{path.name}: {one.name}", ast.get_docstring(one) or "", one


ALL = [found for room in ROOMS for found in functions(room)]


@each(("place", "doc"), [one[:2] for one in ALL])
def test_units_and_source_are_said(place: str, doc: str) -> None:
    assert UNITS.search(doc), f"{place} says no units"
    assert SOURCE.search(doc), f"{place} names no source"


@pytest.mark.parametrize("room", ROOMS)
def test_nine_in_ten_show_an_example(room: str) -> None:
    found = list(functions(room))
    without = [place for place, doc, _ in found if ">>>" not in doc]
    assert len(found) > 20
    assert len(without) <= (1 - EXAMPLES) * len(found), without
