"""Heads from no file to the worksheet, by the page alone, script off."""

from __future__ import annotations

from pathlib import Path

from tests.phone.page import Shop


def test_heads_from_no_file_to_the_first_fills(tmp_path: Path) -> None:
    shop = Shop(tmp_path / "heads.toml")
    phone = shop.device()
    assert "What is it for?" in phone.page
    phone.tap("say", text="2")
    phone.type(answer="2")
    phone.tap("say", text="1")
    phone.type(answer="syringe 60 ml")
    assert "<svg" in phone.page
    assert "Caution" in phone.page
    phone.get("/read")
    phone.type(start="0.1", end="46.2")
    assert [(row["start"], row["end"], row["time"]) for row in shop.rows] == [("0.1 cc", "46.2 cc", "12:00")]
    assert shop.printed[1:] == ["12:00  chamber cylinder 1, recorded: start 0.1 cc, end 46.2 cc"]
    assert not shop.faults
