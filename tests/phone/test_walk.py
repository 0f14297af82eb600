"""Heads from no file to the worksheet, by the page alone, script off."""

from __future__ import annotations

from pathlib import Path

from tests.phone.page import Shop
from tests.phone.test_posts import HEADS


def test_heads_from_no_file_to_the_worksheet(tmp_path: Path) -> None:
    shop = Shop(tmp_path / "heads.toml")
    phone = shop.device()
    assert "What is it for?" in phone.page
    phone.tap("say", text="2")
    phone.type(answer="2")
    phone.tap("say", text="1")
    phone.type(answer="burette 50 ml class B")
    assert "<svg" in phone.page
    assert "Caution" in phone.page
    phone.get(phone.page.partition('href="/how')[2].partition('"')[0].join(["/how", ""]))
    assert "2 of 2" in phone.page
    phone.get("/read")
    phone.type(start="0.1", end="46.2")
    assert [(row["start"], row["end"], row["time"]) for row in shop.rows] == [("0.1 cc", "46.2 cc", "12:00")]
    assert shop.printed[1:] == ["12:00  chamber cylinder 1, recorded: start 0.1 cc, end 46.2 cc"]
    while "v.end" not in phone.page:
        phone.tap("empty" if 'value="empty"' in phone.page else "say")  # what could wait until the first reading
        assert "Saved 12:00" in phone.page
    for end in ("46.3", "46.25"):
        phone.type(start="0.1", end=end)
    phone.tap("empty")
    assert "ylinder 2" in phone.page
    phone.get("/read")
    for end in ("46.6", "46.7", "46.65"):
        phone.type(start="0.1", end=end)
    assert len(shop.rows) == 6
    assert "3 of 3" in phone.page
    got = phone.get("/paper/worksheet.pdf")
    assert got.status == 200
    assert got.body.startswith(b"%PDF")
    assert not shop.faults


def test_a_paper_that_cannot_be_made_says_why_on_a_page(tmp_path: Path) -> None:
    shop = Shop(tmp_path / "heads.toml", HEADS.replace("46.20 cc", "-46.20 cc"))
    phone = shop.device()
    for name, status in (("worksheet", 409), ("none", 409)):
        got = phone.get(f"/paper/{name}.pdf")
        assert (got.status, got.headers["content-type"].partition(";")[0]) == (status, "text/html")
        assert 'href="/"' in phone.page
    assert "worksheet" in phone.page  # which there are
    assert phone.get("/nowhere").status == 404
    assert not shop.faults


def test_a_field_says_what_its_tool_has(tmp_path: Path) -> None:
    shop = Shop(tmp_path / "heads.toml", HEADS.replace("burette 50 ml class B", "syringe 60 ml"))
    phone = shop.device()
    phone.get("/read")
    assert "plunger mark at the end</label>" in phone.page
    assert "burette at the" not in phone.page
