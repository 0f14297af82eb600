"""Blank forms: everything of the step stands on them, nothing overlaps, and the printed sets are those of today."""

from __future__ import annotations

import re
from functools import cache
from io import BytesIO
from pathlib import Path
from typing import Any

import pdfplumber
import pytest
from pypdf import PdfReader

from ccassist.bench.cautions import cautions
from ccassist.bench.forms import FORMS, Form, box_named, columns
from ccassist.paper.blank import LEAST, blank_bytes, forms_named, stated_named
from ccassist.paper.blank_boxes import Print
from ccassist.paper.sheet import BOTTOM, LEFT, MM, PAGES, RIGHT
from ccassist.vocabulary import term
from tests.paper.letters import drawn_in, over_one_another, pages_of
from tests.paper.read_back import squeezed

WORKSHEETS = Path(__file__).parents[2] / "worksheets"
SETS = [(page, system) for page in PAGES for system in ("metric", "imperial")]
BOTH = [SETS[0], SETS[3]]  # each size and each system once


@cache
def printed(page: str, system: str) -> bytes:
    """All forms as the tool prints them without a job."""
    return blank_bytes(forms_named([]), Print(page=page, system=system), stated=stated_named([]))[0]


@cache
def places() -> dict[str, list[int]]:
    """On which pages of the printed set each form stands, its back after its front."""
    found: dict[str, list[int]] = {}
    for number, text in enumerate(drawn_in(printed("A4", "metric"))):
        (said,) = re.findall(r"form (\S+) · .+?page", text.splitlines()[-1])
        found.setdefault(said, []).append(number)
    return found


def boxes_on(form: Form) -> list[list[Any]]:
    """The form fields of each of its pages."""
    pages = widgets(printed("A4", "metric"))
    return [pages[number] for number in places()[form.key]]


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


@pytest.mark.parametrize(("page", "system"), BOTH)
def test_boxes_stay_on_the_page_and_apart(page: str, system: str) -> None:
    wide, high = PAGES[page]
    for boxes in widgets(printed(page, system)):  # a back has none
        for name, left, bottom, right, top in boxes:
            assert LEFT - 1 <= left < right <= wide - RIGHT + 1, name
            assert BOTTOM - 8 <= bottom < top <= high, name
        framed = [{"text": n, "x0": x0, "x1": x1, "top": -y1, "bottom": -y0} for n, x0, y0, x1, y1 in boxes]
        assert over_one_another(framed, across=0.5, down=0.5) == []


@pytest.mark.parametrize(("page", "system"), BOTH)
def test_words_stay_on_the_page_and_off_each_other(page: str, system: str) -> None:
    for sheet in pages_of(printed(page, system)):
        assert all(w["x0"] >= LEFT - 1 and w["x1"] <= sheet.width - RIGHT + 1 for w in sheet.words)
        assert over_one_another(sheet.words, across=0.5, down=3.0) == []


@pytest.mark.parametrize(("page", "system"), BOTH)
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
    text = read_as_one(form)
    step = form.step
    said = (form.title, step.why, *cautions(step.warned()), *(c.words for c in form.choices))
    for line in (*said, *form.to_do("metric"), *form.lay_out("metric")):
        assert squeezed(line) in text, line
    units = {term(f.term).shown() for m in form.methods for f in columns(m)} - {""}
    assert all(unit in text for unit in units)
    assert f"form{form.key}·{form.edition}·metric" in text


def read_as_one(form: Form) -> str:
    """All that a form says, front and back, without its spaces."""
    drawn = drawn_in(printed("A4", "metric"))
    return squeezed("".join(drawn[number] for number in places()[form.key]))


@pytest.mark.parametrize("form", [form for form in FORMS.values() if len(form.methods) == 1], ids=lambda form: form.key)
def test_each_form_speaks_only_of_its_own_way(form: Form) -> None:
    own, step = form.to_do("metric"), form.step
    strange = [line for line in step.to_do() if line not in own]
    assert [line for line in strange if squeezed(line) in read_as_one(form)] == []
    along = form.methods[0].along
    assert ("Refilled?" in read_as_one(form)) == (along and not form.points)
    assert ("meniscus" in read_as_one(form)) <= (along or step.key in ("stages", "calibrate"))


@pytest.mark.parametrize("key", ["opening", "ellipse", "outline", "cut-out"])
def test_each_way_of_reading_an_opening_has_its_own_formula(key: str) -> None:
    """Circle, ellipse, shoelace and the ratio of masses: no page has another's."""
    formulas = {"opening": "π÷4×Bg²", "ellipse": "π÷4×Lg×Wg", "outline": "nexty−ybefore", "cut-out": "massofthesquare÷"}
    form = FORMS["gasket" if key == "opening" else f"gasket-{key}"]
    assert {name for name, words in formulas.items() if words in read_as_one(form)} == {key}


@pytest.mark.parametrize(("system", "factor"), [("metric", "mm³ ÷ 1000 = cc"), ("imperial", "in³ × 16.387 = cc")])
def test_each_page_has_the_factors_of_its_own_units(system: str, factor: str) -> None:
    """1 in³ = 16.387 064 cm³: NIST SP 811 (2008), appendix B.8."""
    other = {"metric": "16.387", "imperial": "mm³"}[system]
    texts = drawn_in(printed("A4", system))
    assert sum(factor in text for text in texts) > 10
    assert not any(other in text for text in texts)


@pytest.mark.parametrize("form", FORMS.values(), ids=lambda form: form.key)
def test_every_form_has_a_box_for_every_reading_and_none_that_it_does_not_know(form: Form) -> None:
    boxes, first = boxes_on(form), places()[form.key][0] + 1
    assert len(boxes) <= 2  # the second is its back, without boxes
    names = [name for page in boxes for name, *_ in page]
    found = [box for name in names if (box := box_named(name))]
    assert len(found) == len(names)
    assert {(b.page, b.form, b.edition, b.system) for b in found} == {(first, form.key, form.edition, "metric")}
    assert [b.what for b in found if not form.has(b.what)] == []
    asked = {f.name for m in form.methods for f in (m.fields if form.points else columns(m))}
    assert {b.what[-1] for b in found if b.what[0] == ("p" if form.points else "r")} == asked


@pytest.mark.parametrize("form", FORMS.values(), ids=lambda form: form.key)
def test_each_form_has_a_box_for_what_it_comes_to(form: Form) -> None:
    names = {name.split("/", 4)[4] for name, *_ in boxes_on(form)[0]}
    no_mean = form.step.curve is not None or not form.step.part or (form.points and form.step.fills)
    assert no_mean or any("mean" in name.split("/") for name in names if name.startswith("x/"))


def test_every_word_is_black_so_that_a_copy_keeps_it() -> None:
    with pdfplumber.open(BytesIO(printed("A4", "metric"))) as document:
        for page in (document.pages[0], document.pages[16], document.pages[-1]):
            shades = {str(char["non_stroking_color"]) for char in page.chars if char["text"].strip()}
            assert shades <= {"0", "0.0", "(0,)", "(0.0,)", "[0]", "[0.0]"}


def test_sixteen_cylinders_go_on_over_the_page_and_lose_none() -> None:
    form = FORMS["chamber-burette"]
    data, pages = blank_bytes([form], Print(cylinders=16), total=False)
    assert pages == 3  # front, back, and the rest of the rows
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
    for system, lines in {
        "metric": ("20 °C 1.0029", "25 °C 1.0040"),
        "imperial": ("68 °F 1.0029", "77 °F 1.0040"),
    }.items():
        text = drawn_in(printed("A4", system))[-1]
        assert all(line in text for line in lines)


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


@pytest.mark.parametrize(("page", "system"), BOTH)
def test_no_words_over_a_box_are_cut(page: str, system: str) -> None:
    text = "".join(sheet.text for sheet in pages_of(printed(page, system)))
    assert "…" not in text.replace("seats cut, …)", "")


@pytest.mark.parametrize("form", FORMS.values(), ids=lambda form: form.key)
def test_a_form_is_read_from_the_top(form: Form) -> None:
    """Each mark before its words, the foot of the page last."""
    drawn = drawn_in(printed("A4", "metric"))
    step, place, text = form.step, 0, squeezed(drawn[places()[form.key][-1]])
    steps = [piece for n, line in enumerate(form.to_do("metric"), 1) for piece in (str(n), line)]
    laid = (form.title, "Lay out", *form.lay_out("metric"))
    for piece in (*laid, *steps, *cautions(step.warned()), f"form {form.key}"):
        place = text.find(squeezed(piece), place)
        assert place >= 0, piece
    assert text.endswith(f"page{places()[form.key][-1] + 1}of{len(drawn)}")
