"""The libraries of the page are this room's alone, loaded by its command only; and some of their parts are not used."""

from __future__ import annotations

import ast
from functools import cache
from pathlib import Path

import ccassist

PACKAGE = Path(ccassist.__file__).parent
ITS_OWN = {"starlette", "uvicorn", "jinja2", "segno"}


@cache
def imports(path: Path) -> set[str]:
    """What a module's text imports, by dotted name."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            found |= {str(node.module), *(f"{node.module}.{alias.name}" for alias in node.names)}
    return found


def test_only_the_phone_room_knows_its_libraries_and_only_its_command_the_room() -> None:
    others = [path for path in PACKAGE.rglob("*.py") if path.parent.name != "phone"]
    assert len(others) > 200
    assert not [path for path in others if ITS_OWN & {name.split(".")[0] for name in imports(path)}]
    users = [path.name for path in others if any(name.startswith("ccassist.phone") for name in imports(path))]
    assert users == ["phone.py"]


def test_no_form_parser_no_url_made_of_a_header_and_no_file_by_its_path() -> None:
    for path in (PACKAGE / "phone").glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            assert not (isinstance(node, ast.Attribute) and node.attr in ("url", "base_url", "url_for")), path
            assert not (
                isinstance(node, ast.Attribute) and node.attr == "form" and path.name in ("app.py", "door.py")
            ), path
        assert not {"starlette.responses.FileResponse", "starlette.staticfiles"} & imports(path)


def test_templates_escape_whatever_is_not_a_drawing() -> None:
    for path in (PACKAGE / "phone/templates").glob("*.html"):
        for part in path.read_text(encoding="utf-8").split("|safe")[:-1]:
            assert part.endswith(("view.picture", "one.svg")), path
        assert "autoescape" not in path.read_text(encoding="utf-8")
