"""What is kept as files and made from the declarations is what one command makes of them today."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests import remake

WORKSHEETS = remake.ROOT / "worksheets"


def test_the_reference_page_is_that_of_today() -> None:
    """Changed on purpose: ``python -m tests.remake``.  The forms are compared in tests/paper/test_blank_forms.py."""
    page = remake.ROOT / "examples" / "job-file.md"
    assert page.read_bytes() == remake.MADE["examples/job-file.md"]()


def test_the_table_of_sources_is_that_of_today() -> None:
    page = (remake.ROOT / "DEVELOPERS.md").read_bytes()
    assert page == remake.MADE["DEVELOPERS.md"]()
    assert page.count(remake.SOURCES_START.encode()) == page.count(remake.SOURCES_END.encode()) == 1


def test_the_command_makes_every_printed_sheet() -> None:
    there = {str(path.relative_to(remake.ROOT)) for path in WORKSHEETS.iterdir()}
    assert there == {name for name in remake.MADE if name.startswith("worksheets/")}


def test_it_writes_what_differs_and_leaves_the_rest(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(remake, "ROOT", tmp_path)
    monkeypatch.setattr(remake, "MADE", {"old.md": lambda: b"old", "new.md": lambda: b"new", remake.PICTURE: bytes})
    monkeypatch.setattr(remake, "find_spec", lambda name: None)
    (tmp_path / "old.md").write_bytes(b"old")
    (tmp_path / "new.md").write_bytes(b"before")
    assert remake.main() == 0
    assert (tmp_path / "new.md").read_bytes() == b"new"
    said = capsys.readouterr().out.splitlines()
    assert said[:2] == ["old.md: as it was", "new.md: made again"]
    assert "left as it is, pymupdf is not installed" in said[2]
