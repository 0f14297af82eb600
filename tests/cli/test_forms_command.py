"""Blank forms on the command line, and a filled one taken back."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from pypdf import PdfReader, PdfWriter

from tests.sound_job import SOUND, Shop


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Shop:
    """A folder with a job in it."""
    made = Shop(tmp_path, monkeypatch, capsys)
    made.write(SOUND)
    return made


def fill(path: Path, texts: dict[str, str]) -> None:
    """Fill boxes by the end of their names, as a viewer would."""
    writer = PdfWriter(clone_from=PdfReader(path))
    names = {n: t for n in PdfReader(path).get_fields() or {} for end, t in texts.items() if n.endswith(end)}
    assert len(names) == len(texts)
    for page in writer.pages:
        writer.update_page_form_field_values(page, names)
    writer.write(path)


def test_from_the_blank_form_to_the_job(shop: Shop) -> None:
    assert shop.run("worksheet", "job.toml", "--blank", "--step", "chamber-burette", "--out", "form.pdf") == 0
    assert "Wrote form.pdf, 2 pages A4, metric." in shop.out
    boxes = {
        "/r/2/1/start": "0.10",
        "/r/2/1/end": "46.60",
        "/h/instrument": "burette 50 ml class B",
        "/h/fluid": "water",
    }
    boxes.update({"/h/state": "seats cut", "/c/plug/fitted": "/Yes", "/c/hole/not filled": "/Yes", "/r/1/1/start": "0"})
    fill(shop.folder / "form.pdf", boxes)
    assert shop.run("record", "job.toml", "--from", "form.pdf") == 0
    assert "1 reading recorded, 1 only begun and left out." in shop.out
    kept = (shop.folder / "job.toml").read_text(encoding="utf-8")
    assert '{ start = "0.10 cc", end = "46.60 cc", box = "chamber-burette 2/1" },' in kept
    assert shop.run("record", "job.toml", "--from", "form.pdf") == 0
    assert "0 readings recorded, 1 there already, 1 only begun and left out." in shop.out
    assert (shop.folder / "job.toml").read_text(encoding="utf-8") == kept


def test_an_unusual_reading_of_a_form_is_asked_about(shop: Shop) -> None:
    assert shop.run("worksheet", "job.toml", "--blank", "--step", "chamber-burette", "--out", "form.pdf") == 0
    boxes = {"/r/2/1/start": "0.10", "/r/2/1/end": "446.60", "/h/instrument": "shop burette", "/h/fluid": "water"}
    boxes.update({"/c/plug/fitted": "/Yes", "/c/hole/not filled": "/Yes"})
    fill(shop.folder / "form.pdf", boxes)
    assert shop.run("record", "job.toml", "--from", "form.pdf") == 2
    assert (shop.folder / "job.toml").read_text(encoding="utf-8") == SOUND


@pytest.mark.parametrize(
    ("words", "line"),
    [
        (
            ("worksheet", "--blank", "--step", "chambre"),
            '--step: read "chambre": no such bench step; did you mean "chamber"?',
        ),
        (("worksheet", "--blank", "--page", "A3"), '--page: read "A3": no such page size; say A4 or Letter'),
        (("worksheet",), "no job file is named"),
        (("worksheet", "job.toml", "--blank", "--out", "job.toml"), "would replace the job file; give another name"),
        (("record", "job.toml", "--from", "job.toml"), "job.toml: this is not a PDF"),
        (("record", "job.toml", "--from", "none.pdf"), "none.pdf: no such file"),
        (("record", "job.toml", "chamber", "--from", "form.pdf"), "a form or table says itself what was measured"),
        (("record", "job.toml"), "the bench step is not said"),
        (("record", "job.toml", "chamber", "--cylinder", "1"), "a reading without values"),
    ],
)
def test_what_cannot_be_done_is_said_in_a_line(shop: Shop, words: tuple[str, ...], line: str) -> None:
    assert shop.run(*words) == 2
    assert line in shop.err
    assert len(shop.err.strip().split("\n")) == 1
    assert (shop.folder / "job.toml").read_text(encoding="utf-8") == SOUND


def test_a_form_without_a_job_is_for_eight_cylinders(shop: Shop) -> None:
    assert shop.run("worksheet", "--blank", "--step", "deck", "--units", "imperial", "--page", "Letter") == 0
    assert "Wrote bench-forms.pdf, 3 pages Letter, imperial." in shop.out
    names = PdfReader(shop.folder / "bench-forms.pdf").get_fields() or {}
    assert sum(name.endswith("/front") and "/r/" in name for name in names) == 16


CARD = {
    "/v/cam/intake_closing": "52",
    "/s/cam/intake_closing/plus": "/Yes",
    "/v/cam/event_lift": "1.00",
    "/w/cam/lift_read_at/the valve": "/Yes",
    "/v/valve.intake/valve_drop": "1,2",
    "/s/valve.intake/valve_drop/plus": "/Yes",
}


def test_a_cam_card_is_taken_back_under_its_headings(shop: Shop) -> None:
    assert shop.run("worksheet", "job.toml", "--blank", "--step", "cam-card", "--out", "card.pdf") == 0
    fill(shop.folder / "card.pdf", CARD)
    assert shop.run("record", "job.toml", "--from", "card.pdf") == 0
    kept = tomllib.loads((shop.folder / "job.toml").read_text(encoding="utf-8"))
    cam = {"lift_read_at": "the valve", "intake_closing": "52 deg after bdc", "event_lift": "1.00 mm"}
    assert kept["cam"] == cam
    assert kept["valve"]["intake"]["valve_drop"] == "1,2 mm recessed"
    assert shop.run("record", "job.toml", "--from", "card.pdf") == 0  # a second time it is all there
    assert tomllib.loads((shop.folder / "job.toml").read_text(encoding="utf-8")) == kept


@pytest.mark.parametrize(
    ("boxes", "says"),
    [
        ({"/s/cam/intake_closing/minus": "/Yes"}, "both signs are ticked"),
        ({"/w/cam/lift_read_at/the tappet": "/Yes"}, "two boxes of one question are ticked"),
        ({"/v/cam/intake_opening": "soon"}, "cam.intake_opening"),
    ],
)
def test_a_cam_card_that_says_two_things_is_refused_whole(shop: Shop, boxes: dict[str, str], says: str) -> None:
    assert shop.run("worksheet", "job.toml", "--blank", "--step", "cam-card", "--out", "card.pdf") == 0
    fill(shop.folder / "card.pdf", {**CARD, **boxes})
    assert shop.run("record", "job.toml", "--from", "card.pdf") == 2
    assert says in shop.err
    assert (shop.folder / "job.toml").read_text(encoding="utf-8") == SOUND


def test_a_piston_to_be_copied_that_the_file_contradicts_is_refused(shop: Shop) -> None:
    shop.write(SOUND + '\n[order]\npin_diameter = "21.00 mm"\n')
    assert shop.run("worksheet", "job.toml", "--blank", "--step", "piston-to-copy", "--out", "piston.pdf") == 0
    crown = {"/v/order/crown_volume": "8,7", "/s/order/crown_volume/plus": "/Yes"}
    fill(shop.folder / "piston.pdf", {"/v/order/pin_diameter": "22.00", **crown})
    assert shop.run("record", "job.toml", "--from", "piston.pdf") == 2
    assert 'the file says "21.00 mm"' in shop.err
