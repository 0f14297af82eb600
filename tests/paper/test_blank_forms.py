"""Blank forms: everything of the step stands on them, nothing overlaps, and the printed sets are those of today."""

from __future__ import annotations

from functools import cache
from io import BytesIO
from pathlib import Path
from typing import Any

import pdfplumber
import pytest
from pypdf import PdfReader

from ccassist.bench.cautions import cautions
from ccassist.bench.forms import FORMS, Form, columns
from ccassist.paper.forms.blank import LEAST, blank_bytes, forms_named
from ccassist.paper.forms.boxes import Print
from ccassist.paper.page import MM
from ccassist.paper.sheet import BOTTOM, LEFT, PAGES, RIGHT
from ccassist.vocabulary import term
from tests.paper.letters import over_one_another, pages_of

WORKSHEETS = Path(__file__).parents[2] / "worksheets"
SETS = [(page, system) for page in PAGES for system in ("metric", "imperial")]


@cache
def printed(page: str, system: str) -> bytes:
    """All forms as the tool prints them without a job."""
    return blank_bytes(forms_named([]), Print(page=page, system=system))[0]


@cache
def form_alone(key: str) -> bytes:
    """One form, page 1 of 1."""
    return blank_bytes([FORMS[key]], Print(), total=False)[0]


@cache
def read_by_pypdf(data: bytes) -> tuple[str, ...]:
    """The text of every page in the order in which it is drawn."""
    return tuple(page.extract_text() or "" for page in PdfReader(BytesIO(data)).pages)


@cache
def widgets(data: bytes) -> list[list[Any]]:
    """The form fields of every page, each as (name, left, bottom, right, top)."""
    pages = []
    for page in PdfReader(BytesIO(data)).pages:
        boxes = [a.get_object() for a in page.get("/Annots", [])]
        pages.append([(str(b["/T"]), *(float(x) for x in b["/Rect"])) for b in boxes])
    return pages


@pytest.mark.parametrize(("page", "system"), SETS)
def test_the_sets_in_the_folder_are_those_of_today(page: str, system: str) -> None:
    kept, now = (WORKSHEETS / f"bench-forms-{page}-{system}.pdf").read_bytes(), printed(page, system)
    if kept != now:  # another release of a library may write the same page in other bytes
        assert read_by_pypdf(kept) == read_by_pypdf(now)
        assert {name for boxes in widgets(kept) for name, *_ in boxes} == {
            name for boxes in widgets(now) for name, *_ in boxes
        }


@pytest.mark.parametrize(("page", "system"), SETS)
def test_boxes_stay_on_the_page_and_apart(page: str, system: str) -> None:
    wide, high = PAGES[page]
    for boxes in widgets(printed(page, system)):
        assert boxes
        for name, left, bottom, right, top in boxes:
            assert LEFT - 1 <= left < right <= wide - RIGHT + 1, name
            assert BOTTOM - 8 <= bottom < top <= high, name
        framed = [{"text": n, "x0": x0, "x1": x1, "top": -y1, "bottom": -y0} for n, x0, y0, x1, y1 in boxes]
        assert over_one_another(framed, across=0.5, down=0.5) == []


@pytest.mark.parametrize(("page", "system"), SETS)
def test_words_stay_on_the_page_and_off_each_other(page: str, system: str) -> None:
    for sheet in pages_of(printed(page, system)):
        assert all(w["x0"] >= LEFT - 1 and w["x1"] <= sheet.width - RIGHT + 1 for w in sheet.words)
        assert over_one_another(sheet.words, across=0.5, down=3.0) == []


@pytest.mark.parametrize(("page", "system"), SETS)
def test_no_box_strikes_the_line_above_it(page: str, system: str) -> None:
    """The edge of a box lies below every word that begins above it."""
    data = printed(page, system)
    for sheet, boxes in zip(pages_of(data), widgets(data), strict=True):
        for _, left, _, right, high in boxes:
            edge = sheet.height - high
            struck = [word for word in sheet.words if word["top"] < edge < word["bottom"]]
            assert [w["text"] for w in struck if min(w["x1"], right) - max(w["x0"], left) >= 0.5] == []


def test_boxes_of_readings_are_large_enough_for_a_pencil() -> None:
    for boxes in widgets(printed("Letter", "metric")):
        for name, left, bottom, right, top in boxes:
            if name.split("/")[4] == "r":
                assert top - bottom >= LEAST - 6, name
                assert right - left >= 9 * MM, name


@pytest.mark.parametrize("form", FORMS.values(), ids=lambda form: form.key)
def test_a_page_holds_the_whole_step(form: Form) -> None:
    text = " ".join(" ".join(pages_of(form_alone(form.key))[0].text.split()).split("-"))
    step = form.step
    for line in (form.title, step.why, *step.procedure, *cautions(step.cautions), *(c.words for c in form.choices)):
        assert " ".join(line.replace("-", " ").split()) in text, line
    for method in form.methods:
        for line in method.how:
            assert " ".join(line.replace("-", " ").split()) in text, line
    units = {term(f.term).shown() for m in form.methods for f in columns(m)} - {""}
    assert all(unit in text for unit in units)
    assert f"form {form.key.replace('-', ' ')} · {form.edition} · metric" in text
    assert "page 1 of 1" in text


def test_sixteen_cylinders_go_on_over_the_page_and_lose_none() -> None:
    form = FORMS["chamber-burette"]
    data, pages = blank_bytes([form], Print(cylinders=16), total=False)
    assert pages == 2
    rows = {name.split("/")[5] for boxes in widgets(data) for name, *_ in boxes if name.split("/")[4] == "r"}
    assert rows == {str(n) for n in range(1, 17)}


def test_the_job_s_name_is_printed_as_text_whatever_its_letters() -> None:
    data, _ = blank_bytes([FORMS["bore"]], Print(job="Мотор <b>1</b> 漢\x1b[31m"), total=False)
    with pdfplumber.open(BytesIO(data)) as document:
        text = document.pages[0].extract_text() or ""
        assert document.metadata["Title"] == "Bench forms for Мотор <b>1</b> 漢<U+001B>[31m"
    assert "Мотор <b>1</b> <U+6F22><U+001B>[31m" in text


def test_the_same_call_gives_the_same_bytes() -> None:
    assert blank_bytes([FORMS["deck-centre"]], Print()) == blank_bytes([FORMS["deck-centre"]], Print())


def test_the_table_of_water_is_that_of_the_standard() -> None:
    """Z of ISO 8655-6 (2002) table A.1 at 101.3 kPa: 20 °C 1.0029, 25 °C 1.0040 (from memory)."""
    text = pages_of(printed("A4", "metric"))[-1].text
    assert "20 °C 1.0029" in text
    assert "25 °C 1.0040" in text


@pytest.mark.parametrize(("page", "system"), SETS)
def test_title_language_outline_and_fonts(page: str, system: str) -> None:
    """What is printed is set in fonts of the file; only the boxes to be filled name a font that every reader has."""
    reader = PdfReader(BytesIO(printed(page, system)))
    root = reader.trailer["/Root"]
    assert reader.metadata is not None
    assert (reader.metadata.title, root["/Lang"]) == ("Bench forms", "en")
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    places = [reader.get_destination_page_number(entry) for entry in reader.outline]
    assert places == list(range(len(reader.pages)))
    fonts = [font.get_object() for p in reader.pages for font in p["/Resources"]["/Font"].values()]
    assert all("/FontFile2" in font["/FontDescriptor"] for font in fonts)
    assert {f.get_object()["/BaseFont"] for f in root["/AcroForm"]["/DR"]["/Font"].values()} == {"/Helvetica"}


@pytest.mark.parametrize(("page", "system"), SETS)
def test_no_words_over_a_box_are_cut(page: str, system: str) -> None:
    text = "".join(sheet.text for sheet in pages_of(printed(page, system)))
    assert "…" not in text.replace("seats cut, …)", "")


@pytest.mark.parametrize("form", FORMS.values(), ids=lambda form: form.key)
def test_a_form_is_read_from_the_top(form: Form) -> None:
    """Each mark before its words, the foot of the page last."""
    text = "".join(read_by_pypdf(form_alone(form.key))[0].split())
    step, place = form.step, 0
    steps = [piece for n, line in enumerate(step.procedure, 1) for piece in (str(n), line)]
    for piece in (form.title, step.why, "Lay out", *step.tools, *steps, *cautions(step.cautions), f"form {form.key}"):
        place = text.find("".join(piece.split()), place)
        assert place >= 0, piece
    assert text.endswith("page1of1")
