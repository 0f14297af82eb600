"""The house holds its shape: rooms in one order, no arrow upward, no circle, nothing loose at the top.

Every import counts: at the top of a module, inside a function, for the type checker.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from functools import cache
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

import ccassist

PACKAGE = Path(ccassist.__file__).parent
ROOMS = (
    "vocabulary",
    "values",
    "engine",
    "bench",
    "job",
    "analysis",
    "solve",
    "boost",
    "plan",
    "report",
    "guide",
    "paper",
    "phone",
    "cli",
)
LOOSE = {"__init__", "__main__"}  # the door, and `python -m ccassist`


def _name(path: Path) -> str:
    """The dotted name of a module; a room's own name for its ``__init__``."""
    parts = ("ccassist", *path.relative_to(PACKAGE).with_suffix("").parts)
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


MODULES = {_name(path): path for path in sorted(PACKAGE.rglob("*.py"))}


def _imported(tree: ast.AST) -> Iterator[str]:
    """Modules of the package that a module's text imports, wherever the import stands."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names if alias.name.split(".")[0] == "ccassist")
        elif isinstance(node, ast.ImportFrom) and (node.module or "").split(".")[0] == "ccassist":
            for alias in node.names:
                inner = f"{node.module}.{alias.name}"
                yield inner if inner in MODULES else str(node.module)


@cache
def arrows() -> dict[str, set[str]]:
    """Which modules each module imports, itself and the front door left out."""
    found = {name: set(_imported(ast.parse(path.read_text(encoding="utf-8")))) for name, path in MODULES.items()}
    return {name: {to for to in targets if to not in (name, "ccassist")} for name, targets in found.items()}


def _room(module: str) -> str:
    return module.split(".")[1] if "." in module else ""


def test_nothing_lies_loose() -> None:
    assert {path.stem for path in PACKAGE.glob("*.py")} == LOOSE
    assert {_room(name) for name in MODULES} - {"", *LOOSE} <= set(ROOMS)


def test_no_arrow_points_upward() -> None:
    upward = sorted(
        f"{name} -> {target}"
        for name, targets in arrows().items()
        if _room(name) in ROOMS
        for target in targets
        if ROOMS.index(_room(target)) > ROOMS.index(_room(name))
    )
    assert upward == []


def test_no_circle_of_modules() -> None:
    """A topological order of all modules exists; the circle is named where it does not."""
    try:
        tuple(TopologicalSorter(arrows()).static_order())
    except CycleError as fault:
        raise AssertionError(" -> ".join(fault.args[1])) from None


def test_every_kind_of_import_counts() -> None:
    """At the top, inside a function, for the type checker; a name of a module as well as a module."""
    text = """
import ccassist.cli.app
def late():
    from ccassist.engine import relations
if TYPE_CHECKING:
    from ccassist.values.findings import Finding
"""
    assert set(_imported(ast.parse(text))) == {
        "ccassist.cli.app",
        "ccassist.engine.relations",
        "ccassist.values.findings",
    }


def test_a_circle_is_seen() -> None:
    """The check of circles fails where two modules import each other."""
    with pytest.raises(CycleError):
        tuple(TopologicalSorter({"a": {"b"}, "b": {"a"}}).static_order())


def test_the_rooms_stand_in_the_guide_for_contributors() -> None:
    """DEVELOPERS.md names the rooms in their order."""
    text = (PACKAGE.parent / "DEVELOPERS.md").read_text(encoding="utf-8")
    assert " < ".join(room for room in ROOMS if room in {_room(name) for name in MODULES}) in text


def test_the_map_of_a_room_names_files_that_are_there() -> None:
    """Of each room whose ``__init__`` names its files."""
    lost = {}
    for door in PACKAGE.rglob("__init__.py"):
        told = ast.get_docstring(ast.parse(door.read_text(encoding="utf-8"))) or ""
        there = {path.name for path in door.parent.rglob("*.py")}
        if missing := set(re.findall(r"\b[a-z_]+\.py\b", told)) - there:
            lost[str(door.relative_to(PACKAGE))] = missing
    assert lost == {}


def test_the_contributors_guide_names_files_that_are_there() -> None:
    text = (PACKAGE.parent / "DEVELOPERS.md").read_text(encoding="utf-8")
    there = {path.name for top in ("ccassist", "tests") for path in (PACKAGE.parent / top).rglob("*.py")}
    named = set(re.findall(r"`(?:[\w./]*/)?(\w+\.py)`", text))
    assert named - there == set()


# Faces of libraries that may change without notice: each names the library, which has an upper bound.
PRIVATE = {"_startPage": "reportlab", "_captured_signals": "uvicorn"}


def test_private_faces_of_libraries_are_few_and_bounded() -> None:
    """A name with an underscore that nothing here defines is a library's own; its next release may not have it."""
    defined, used = set[str](), set[str]()
    for path in PACKAGE.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef):
                defined.add(node.name)
            elif isinstance(node, ast.Attribute):
                (defined if isinstance(node.ctx, ast.Store) else used).add(node.attr)
            elif isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store):
                defined.add(node.id)
            elif isinstance(node, ast.ImportFrom) and not (node.module or "").startswith("ccassist"):
                used |= {alias.name for alias in node.names}
                used |= set((node.module or "").split("."))
    faces = {name for name in used - defined if name.startswith("_") and not name.startswith("__")}
    assert faces == set(PRIVATE)
    bounds = (PACKAGE.parent / "pyproject.toml").read_text(encoding="utf-8")
    assert all(re.search(rf'"{library}>=[^"]*,<\d', bounds) for library in PRIVATE.values())
