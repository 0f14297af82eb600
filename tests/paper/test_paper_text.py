"""Text from a job file prints as text, whole, whatever it says."""

from __future__ import annotations

import json
from io import BytesIO

import pypdf
import pytest

from ccassist.paper.ruled import table
from ccassist.paper.sheet import STRONG, TEXT, Sheet, broken, cut, lacks, markup, measure, printable, register
from ccassist.values.findings import runs
from tests.paper.made_sheets import Made, made_from, surveyed

MARKUP = '<b>bold</b> & <img src="file:///etc/passwd"/> <para> </font> ]]> &amp; <a href="x">'
CODES = "red\x1b[31m bell\x07 turn\u202eback nul\u0001"
LETTERS = "Кириллица Ελληνικά Žluťoučký"
LACKING = "漢字かな"
LONG = "endless " * 400 + "x" * 1800


def job(**texts: str) -> str:
    """A job with hostile texts in every place that takes words."""
    said = {key: json.dumps(text) for key, text in texts.items()}
    name, long, words = said["name"], said["long"], said["words"]
    row = '{ start = "0.0 ml", end = "46.1 ml"'
    return f"""
format = 1
[job]
name = {name}
customer = {long}
by = {words}
date = {words}
remark = {long}
[engine]
cylinders = 1
bore = {{ value = "83.40 +/- 0.01 mm", origin = "measured", note = {long} }}
stroke = {{ value = "91.70 +/- 0.01 mm", origin = "measured", note = {words} }}
[wanted]
chamber_volume = "45 to 47 cc"
[part.{words}]
kind = "head"
note = {long}
[instrument.{words}]
like = "burette 50 ml class B"
note = {words}
[[series]]
step = "chamber"
cylinder = 1
state = {long}
instrument = {words}
fluid = "water"
by = {words}
remark = {long}
readings = [
    {row}, remark = {words} }},
    {row}, remark = {long} }},
    {row}, set_aside = {long} }},
    {row}, set_aside = {words} }},
    {{ start = {json.dumps(["0.0 ml"] * 120)}, end = {json.dumps(["0.4 ml"] * 120)} }},
]
"""


@pytest.fixture(scope="module")
def hostile() -> Made:
    """A worksheet of a job full of markup, control codes and long texts."""
    return made_from(
        surveyed(job(name=f"{LETTERS} {MARKUP}", words=f"{MARKUP} {CODES} {LACKING}", long=f"{MARKUP} {LONG}"))
    )


def squeezed(text: str) -> str:
    return "".join(text.split())


def test_markup_prints_as_text_wherever_it_stands(hostile: Made) -> None:
    # Job name; customer, remark of the job, of the series and of a reading, set aside, notes of a value and of a part,
    # state: eight long ones; by, date, instrument, read by, remark, set aside, notes: at least six short ones.
    assert squeezed(hostile.text).count(squeezed(MARKUP)) >= 15


def test_control_codes_and_marks_of_direction_print_by_their_code(hostile: Made) -> None:
    assert "red<U+001B>[31m" in hostile.flowing
    assert "bell<U+0007>" in hostile.flowing
    assert "turn<U+202E>back" in hostile.flowing
    assert not any((ord(c) < 32 and c != "\n") or 0x202A <= ord(c) <= 0x202E for c in hostile.text)


def test_long_texts_flow_whole_over_the_pages(hostile: Made) -> None:
    inner = [line for text in hostile.texts for line in text.split("\n")[1:-2]]
    # Customer, job remark, note of the bore, of the part, state, series remark, reading remark, set aside.
    assert " ".join(inner).count("endless") >= 8 * 400
    assert sum(line.count("x") for line in inner if set(line) == {"x"} and len(line) > 5) >= 8 * 1500


def test_rows_that_no_page_holds_together_go_on_over_the_page() -> None:
    register()
    rows = [
        [" ".join(["twelve-lines-of-a-cell-that-is-as-wide"] * 12), "x"] for n in range(8)
    ]  # a sixth of a page each
    few = table(["a", "b"], rows, [200, 200], groups=[0, 3])
    assert few.split(400, 300) == []  # all of it goes to the next page
    many = table(["a", "b"], rows, [200, 200], groups=[0])
    first, second = many.split(400, 700)
    assert first.wrap(400, 700)[1] <= 700
    assert second.wrap(400, 700)[1] <= 700


def test_many_refills_of_one_reading_are_all_printed(hostile: Made) -> None:
    assert hostile.flowing.count("0.4 ml") == 120


def test_letters_that_the_typeface_holds_are_printed(hostile: Made) -> None:
    assert LETTERS in hostile.flowing


def test_characters_that_it_lacks_print_by_code_with_a_note_on_the_page(hostile: Made) -> None:
    for c in LACKING:
        assert f"<U+{ord(c):04X}>" in hostile.text
    for text in hostile.texts:
        assert "Characters that the typeface lacks are printed by their code, as <U+…>." in text
    plain = made_from(surveyed(job(name="Bench", words="plain", long="plain too")))
    assert "typeface lacks" not in plain.text


def test_nothing_of_it_leaves_the_margins(hostile: Made) -> None:
    for page in hostile.pages:
        for word in page.words:
            assert 40 <= word["x0"] <= word["x1"] <= page.width - 40, word["text"]
            assert 20 <= word["top"] <= word["bottom"] <= page.height - 5, word["text"]


def test_no_picture_link_or_action_gets_into_the_file(hostile: Made) -> None:
    document = pypdf.PdfReader(BytesIO(hostile.data))
    for page in document.pages:
        assert not page.images
        assert "/Annots" not in page
    assert "/OpenAction" not in document.trailer["/Root"]


def test_printable_text() -> None:
    assert printable("a\tb\nc\u00a0d\u3000e") == "a b c d e"
    assert printable("½ ± −") == "½ ± −"
    assert printable("\U0001f527") == "<U+1F527>"
    assert not lacks("bore × stroke\n")
    assert lacks("漢")


def test_markup_is_escaped() -> None:
    assert markup(MARKUP).count("<") == 0


def test_digits_are_equally_wide_so_that_columns_line_up() -> None:
    register()
    for font in (TEXT, STRONG):
        assert len({round(measure(d, font, 10), 6) for d in "0123456789"}) == 1


def test_lines_are_broken_to_the_width() -> None:
    register()
    lines = broken("one two three " + "w" * 60, TEXT, 9, 80)
    assert "".join(lines).replace(" ", "") == "onetwothree" + "w" * 60
    assert all(measure(line, TEXT, 9) <= 80 for line in lines)
    assert broken("", TEXT, 9, 80) == [""]
    shortened = cut("w" * 100, TEXT, 9, 80)
    assert shortened.endswith("…")
    assert measure(shortened, TEXT, 9) <= 80


def test_what_is_cut_short_goes_by_what_is_printed() -> None:
    sheet = Sheet(survey=surveyed("format = 1\n[engine]\ncylinders = 1\n"), system="metric")
    assert sheet.short("short", 20) == "short"
    assert sheet.short("x" * 30, 20) == "x" * 19 + "…"
    assert sheet.short("漢" * 30, 20) == "<U+6F22><U+6F22>…"


@pytest.mark.parametrize(("numbers", "words"), [([4], "4"), ([2, 1], "1, 2"), ([1, 2, 3, 5, 7, 8], "1 to 3, 5, 7, 8")])
def test_runs_of_cylinders(numbers: list[int], words: str) -> None:
    assert runs(numbers) == words
