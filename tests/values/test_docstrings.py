"""Every public function of the physics says its units and its source, and nine in ten show an example that runs.

Functions and methods whose annotations hold a number of a kind that is reckoned with (float, ``Number``, ``N``, or a
record made of such) are looked at; whether an example runs is the doctest's business.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[2] / "ccassist"
ROOMS = ("engine",)  # boost follows when its docstrings are written
QUANTITY = re.compile(r"\b(?:N|Number|float|Mixture|Gas|State|Conditions|Geometry|Case|Stand)\b")
UNITS = re.compile(
    r"\[(?:m|m²|m³|m³/kg|kg|rad|rad/s|m/s|m/s²|m/rad|1/s|Pa|K|J|J/K|J/\(kg K\)|s|SI)\]|\bSI\b|\b[Rr]atios?\b|\bcount\b"
    r"|\bwithout (?:a )?unit\b|\bin (?:the unit of|any one unit|its own unit)\b"
)
SOURCE = re.compile(r"\bSource: \S")
EXAMPLES = 0.9


def functions(room: str) -> Iterator[tuple[str, str, ast.FunctionDef]]:
    """Place, docstring and tree of each public function that takes or gives a quantity."""
    for path in sorted((PACKAGE / room).glob("*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        for node in tree.body:
            for one in node.body if isinstance(node, ast.ClassDef) else [node]:
                if not isinstance(one, ast.FunctionDef) or one.name.startswith("_"):
                    continue
                arguments = [*one.args.args, *one.args.kwonlyargs]
                slots = [a.annotation for a in arguments if a.annotation] + ([one.returns] if one.returns else [])
                if any(QUANTITY.search(ast.unparse(slot)) for slot in slots):
                    yield f"{room}/{path.name}: {one.name}", ast.get_docstring(one) or "", one


ALL = [found for room in ROOMS for found in functions(room)]


@pytest.mark.parametrize(("place", "doc"), [one[:2] for one in ALL], ids=[one[0] for one in ALL])
def test_units_and_source_are_said(place: str, doc: str) -> None:
    assert UNITS.search(doc), f"{place} says no units"
    assert SOURCE.search(doc), f"{place} names no source"


@pytest.mark.parametrize("room", ROOMS)
def test_nine_in_ten_show_an_example(room: str) -> None:
    found = list(functions(room))
    without = [place for place, doc, _ in found if ">>>" not in doc]
    assert len(found) > 20
    assert len(without) <= (1 - EXAMPLES) * len(found), without
