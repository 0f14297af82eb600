"""Forms filled in a PDF viewer and read back: every box lands where it belongs, once."""

from __future__ import annotations

from functools import cache
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader, PdfWriter

from ccassist.analysis.results import survey
from ccassist.bench.forms import FORMS, Box
from ccassist.job.file import parse_job
from ccassist.job.from_form import read_form
from ccassist.job.recording import Taken
from ccassist.job.write import append_reading
from ccassist.paper.blank import blank_bytes
from ccassist.paper.blank_boxes import Print
from ccassist.values.findings import InputError, errors

JOB = """format = 1
[job]
units = "metric"
[engine]
cylinders = 4
[part.head]
kind = "head"
states = ["as received", "seats cut"]
[part.gasket]
kind = "gasket"
"""
HEAD = {"h/instrument": "burette 50 ml class B", "h/fluid": "white spirit", "h/by": "Ida", "h/date": "2026-11-20"}
SAID = {"c/plug/fitted": True, "c/hole/not filled": True}


@cache
def blank(key: str, system: str) -> bytes:
    """A form to be filled."""
    return blank_bytes([FORMS[key]], Print(system=system, cylinders=4), total=False)[0]


def filled(path: Path, key: str, boxes: dict[str, object], *, system: str = "metric", page: int = 1) -> Path:
    """A form of which these boxes are filled, as a viewer saves it."""
    form = FORMS[key]
    reader = PdfReader(BytesIO(blank(key, system)))
    writer = PdfWriter(clone_from=reader)
    named = {
        Box(page=page, form=key, edition=form.edition, system=system, what=(name,)).name: (
            "/Yes" if text is True else text
        )
        for name, text in boxes.items()
    }
    assert set(named) <= set(reader.get_fields() or {})
    for one in writer.pages:
        writer.update_page_form_field_values(one, named)
    writer.write(path)
    return path


def added(text: str, found: Taken) -> str:
    """The job with what the form brought."""
    for reading in found.new:
        text = append_reading(text, reading.header, reading.row)
    return text


def test_chambers_come_with_their_header_and_their_boxes(tmp_path: Path) -> None:
    boxes = {**HEAD, **SAID, "h/state": "seats cut", "h/temperature": "19"}
    boxes.update({"r/1/1/start": "0.10", "r/1/1/end": "46.15", "r/3/2/start": "0,2; 0", "r/3/2/end": "40; 6,4 ml"})
    job = parse_job(JOB).job
    found = read_form(filled(tmp_path / "form.pdf", "chamber-burette", boxes), job)
    after = parse_job(added(JOB, found))
    assert not errors(after.findings)
    first, second = after.job.series
    assert (first.cylinders, first.state) == ((1,), "seats cut")
    assert (first.instrument, first.fluid) == ("burette 50 ml class B", "white spirit")
    assert (first.by, first.date) == ("Ida", "2026-11-20")
    assert first.choices == {"plug": "fitted", "hole": "not filled"}
    assert first.settings == {"temperature": ("19 °C",)}
    assert first.rows[0].fields == {"start": ("0.10 cc",), "end": ("46.15 cc",)}
    assert first.rows[0].box == "chamber-burette 1/1"
    assert second.cylinders == (3,)
    assert second.rows[0].fields["end"] == ("40 cc", "6,4 ml")
    assert not errors(survey(after.job).findings)


def test_read_twice_and_filled_further_nothing_counts_twice(tmp_path: Path) -> None:
    boxes = {**HEAD, **SAID, "r/1/1/start": "0.10", "r/1/1/end": "46.15", "r/1/2/start": "0.10", "r/1/2/end": "46.15"}
    text = added(JOB, read_form(filled(tmp_path / "a.pdf", "chamber-burette", boxes), parse_job(JOB).job))
    again = read_form(tmp_path / "a.pdf", parse_job(text).job)
    assert (again.new, again.known) == ([], 2)
    more = {**boxes, "r/2/1/start": "0", "r/2/1/end": "46.60"}
    further = read_form(filled(tmp_path / "b.pdf", "chamber-burette", more), parse_job(text).job)
    assert [r.row["box"] for r in further.new] == ["chamber-burette 2/1"]
    assert further.known == 2


def test_a_box_that_was_changed_is_refused_not_doubled(tmp_path: Path) -> None:
    boxes = {**HEAD, **SAID, "r/1/1/start": "0.10", "r/1/1/end": "46.15"}
    text = added(JOB, read_form(filled(tmp_path / "a.pdf", "chamber-burette", boxes), parse_job(JOB).job))
    changed = filled(tmp_path / "b.pdf", "chamber-burette", {**boxes, "r/1/1/end": "46.25"})
    with pytest.raises(InputError, match=r"cylinder 1, reading 1.*read before as start 0\.10 cc, end 46\.15 cc"):
        read_form(changed, parse_job(text).job)


def test_a_reading_only_begun_is_left_out_and_said(tmp_path: Path) -> None:
    boxes = {**HEAD, **SAID, "r/1/1/start": "0.10", "r/2/1/start": "0.10", "r/2/1/end": "46.15"}
    found = read_form(filled(tmp_path / "form.pdf", "chamber-burette", boxes), parse_job(JOB).job)
    assert [r.header["cylinder"] for r in found.new] == [2]
    assert "cylinder 1, reading 1" in found.left[0].text()
    assert "burette at the end not filled in" in found.left[0].text()


def test_every_unusable_box_is_said_and_nothing_kept(tmp_path: Path) -> None:
    boxes = {**HEAD, **SAID, "r/1/1/start": "0.10", "r/1/1/end": "forty six", "r/2/1/start": "1", "r/2/1/end": "12 mm"}
    with pytest.raises(InputError) as fault:
        read_form(filled(tmp_path / "form.pdf", "chamber-burette", boxes), parse_job(JOB).job)
    lines = [f.text() for f in fault.value.findings]
    assert len(lines) == 2
    assert all("form.pdf, page 1 (chamber-burette), cylinder" in line for line in lines)


@pytest.mark.parametrize(
    ("signs", "typed", "kept"),
    [
        (("plus",), "0.20", "0.20 mm below"),
        (("minus",), "0.13", "0.13 mm above"),
        ((), "0.20 below deck", "0.20 mm below deck"),
        (("plus",), "0.20 below deck", "0.20 mm below deck"),
    ],
)
def test_the_ticked_sign_goes_with_the_number(tmp_path: Path, signs: tuple[str, ...], typed: str, kept: str) -> None:
    boxes: dict[str, object] = {"h/instrument": "dial indicator"}
    for name in ("front", "rear"):
        boxes[f"r/2/1/{name}"] = typed
        boxes.update({f"s/2/1/{name}/{sign}": True for sign in signs})
    found = read_form(filled(tmp_path / "form.pdf", "deck-pin-axis", boxes), parse_job(JOB).job)
    value = found.new[0].row["front"][0]
    assert value.split()[0] == kept.split()[0]
    assert ("below" in value) == ("below" in kept)
    assert not errors(survey(parse_job(added(JOB, found)).job).findings)


@pytest.mark.parametrize(
    ("signs", "typed", "words"),
    [
        (("plus", "minus"), "0.20", "both signs are ticked"),
        (("minus",), "0.20 below deck", "is ticked"),
        ((), "0.20", "below deck"),
    ],
)
def test_a_sign_is_never_guessed(tmp_path: Path, signs: tuple[str, ...], typed: str, words: str) -> None:
    boxes: dict[str, object] = {"h/instrument": "dial indicator"}
    for name in ("front", "rear"):
        boxes[f"r/2/1/{name}"] = typed
        boxes.update({f"s/2/1/{name}/{sign}": True for sign in signs})
    with pytest.raises(InputError, match=words):
        read_form(filled(tmp_path / "form.pdf", "deck-pin-axis", boxes), parse_job(JOB).job)


def test_two_words_ticked_for_one_question(tmp_path: Path) -> None:
    boxes = {**HEAD, **SAID, "c/plug/not fitted": True, "r/1/1/start": "0.10", "r/1/1/end": "46.15"}
    with pytest.raises(InputError, match=r"two boxes are ticked: is the running plug fitted\?"):
        read_form(filled(tmp_path / "form.pdf", "chamber-burette", boxes), parse_job(JOB).job)


def test_lines_say_their_cylinder(tmp_path: Path) -> None:
    boxes = {
        **HEAD,
        **SAID,
        "h/instrument": "syringe 60 ml",
        "n/1": "4",
        "r/1/1/full": "1",
        "r/1/1/each": "40",
        "r/1/1/rest": "6.1",
    }
    found = read_form(filled(tmp_path / "form.pdf", "chamber-syringes", boxes), parse_job(JOB).job)
    assert found.new[0].header["cylinder"] == 4
    without = {k: v for k, v in boxes.items() if k != "n/1"}
    with pytest.raises(InputError, match="line 1: the line does not say which cylinder"):
        read_form(filled(tmp_path / "none.pdf", "chamber-syringes", without), parse_job(JOB).job)


def test_the_only_gasket_need_not_be_named(tmp_path: Path) -> None:
    boxes = {
        "h/instrument": "micrometer",
        "r/1/1/opening": "88.0",
        "r/1/1/thickness": "1.30",
        "r/2/1/thickness": "1.31",
    }
    found = read_form(filled(tmp_path / "form.pdf", "gasket", boxes), parse_job(JOB).job)
    assert {r.header["part"] for r in found.new} == {"gasket"}
    assert [set(r.row) - {"box"} for r in found.new] == [{"opening"}, {"thickness"}, {"thickness"}]
    assert not errors(survey(parse_job(added(JOB, found)).job).findings)


def test_an_outline_is_one_reading(tmp_path: Path) -> None:
    points = [(0, 0), (80, 0), (80, 60), (0, 60)]
    boxes = {"h/instrument": "vernier"}
    for n, (x, y) in enumerate(points, 1):
        boxes.update({f"p/{n}/x": str(x), f"p/{n}/y": str(y)})
    found = read_form(filled(tmp_path / "form.pdf", "gasket-outline", boxes), parse_job(JOB).job)
    assert found.new[0].row["x"] == ("0 mm", "80 mm", "80 mm", "0 mm")


def test_stages_and_chamber_openings_say_their_cylinder(tmp_path: Path) -> None:
    stages = {"h/instrument": "burette 50 ml class B", "c/hole/not filled": "yes", "c/gauge": "depth micrometer"}
    for n, (depth, start, end) in enumerate([(3, 0, 30), (1, 30, 39), (0, 39, 43.5)], 1):
        stages.update({f"p/{n}/depth": str(depth), f"p/{n}/start": str(start), f"p/{n}/end": str(end)})
    with pytest.raises(InputError, match="the page does not say which cylinder"):
        read_form(filled(tmp_path / "unsaid.pdf", "stages", stages), parse_job(JOB).job)
    found = read_form(filled(tmp_path / "form.pdf", "stages", {**stages, "n/1": "2"}), parse_job(JOB).job)
    assert found.new[0].header["cylinder"] == 2
    assert found.new[0].row["depth"] == ("3 mm", "1 mm", "0 mm")
    assert not errors(survey(parse_job(added(JOB, found)).job).findings)
    outline = {"n/1": "1"}
    for n, (x, y) in enumerate([(0, 0), (80, 0), (80, 60), (0, 60)], 1):
        outline.update({f"p/{n}/x": str(x), f"p/{n}/y": str(y)})
    found = read_form(filled(tmp_path / "outline.pdf", "opening-outline", outline), parse_job(JOB).job)
    assert found.new[0].header["cylinder"] == 1


def test_the_leak_check_goes_to_its_fill(tmp_path: Path) -> None:
    boxes = {
        **HEAD,
        **SAID,
        "r/2/1/start": "0",
        "r/2/1/end": "46.6",
        "l/row": "2",
        "l/repeat": "1",
        "l/fill_time": "80",
    }
    boxes.update({"l/settle_at/1": "110", "l/settle/1": "46.7", "l/settle_at/2": "140", "l/settle/2": "46.8"})
    found = read_form(filled(tmp_path / "form.pdf", "chamber-burette", boxes), parse_job(JOB).job)
    assert found.new[0].row["settle"] == ("46.7 cc", "46.8 cc")
    assert found.new[0].row["fill_time"] == ("80 s",)
    lost = {**boxes, "l/row": "3"}
    with pytest.raises(InputError, match="names no reading"):
        read_form(filled(tmp_path / "lost.pdf", "chamber-burette", lost), parse_job(JOB).job)


def test_imperial_boxes_are_in_their_own_unit(tmp_path: Path) -> None:
    boxes: dict[str, object] = {"h/instrument": "dial indicator", "r/1/1/crown": "8", "s/1/1/crown/plus": True}
    found = read_form(filled(tmp_path / "form.pdf", "deck-centre", boxes, system="imperial"), parse_job(JOB).job)
    assert "thou" in found.new[0].row["crown"][0]


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "this is not a PDF"),
        (b"hello", "this is not a PDF"),
        (b"%PDF-1.7\n garbage", "damaged or locked"),
        (b"%PDF-1.4\n" + b"1 0 obj << /Kids [1 0 R] >> endobj\ntrailer << /Root 1 0 R >>", "damaged or locked|no form"),
    ],
)
def test_what_is_no_form_is_refused_in_a_line(tmp_path: Path, data: bytes, words: str) -> None:
    path = tmp_path / "odd.pdf"
    path.write_bytes(data)
    with pytest.raises(InputError, match=words):
        read_form(path, parse_job(JOB).job)


def test_another_pdf_is_refused(tmp_path: Path) -> None:
    writer = PdfWriter()
    writer.add_blank_page(100, 100)
    writer.write(tmp_path / "letter.pdf")
    with pytest.raises(InputError, match="no form of this tool"):
        read_form(tmp_path / "letter.pdf", parse_job(JOB).job)


def test_a_form_of_another_edition_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    boxes = {**HEAD, **SAID, "r/1/1/start": "0.10", "r/1/1/end": "46.15"}
    path = filled(tmp_path / "form.pdf", "chamber-burette", boxes)
    monkeypatch.setitem(FORMS["chamber-burette"].__dict__, "edition", "0000")
    with pytest.raises(InputError, match=r"another edition.*print it anew"):
        read_form(path, parse_job(JOB).job)
