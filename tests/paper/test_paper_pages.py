"""Pages: sizes, margins, furniture, fonts, and that nothing lies over anything else."""

from __future__ import annotations

import math
from io import BytesIO
from pathlib import Path

import pypdf
import pytest

from ccassist.paper.documents import worksheet_bytes, write_worksheet
from ccassist.values.findings import InputError
from tests.paper.held_pages import faults
from tests.paper.made_sheets import Made, example, made_from, surveyed

# ISO 216 (A4) and ANSI/ASME Y14.1 (Letter, 8.5 × 11 in), in points of 1/72 in.
SIZES = {"A4": (210 / 25.4 * 72, 297 / 25.4 * 72), "Letter": (8.5 * 72, 11 * 72)}
SMALL = 'format = 1\n[job]\nname = "Bench"\n[engine]\ncylinders = 1\nchamber_volume = "46 +/- 0.3 cc, measured"\n'


@pytest.mark.parametrize("page", SIZES)
def test_pages_have_the_size_asked_for(page: str) -> None:
    for one in example("three-pistons", page, "metric" if page == "A4" else "imperial").pages:
        assert (one.width, one.height) == pytest.approx(SIZES[page], abs=0.1)


def test_every_page_says_which_of_how_many(sheet: Made) -> None:
    assert sheet.count == len(sheet.texts)
    for number, text in enumerate(sheet.texts, start=1):
        assert f"page {number} of {sheet.count}" in text
        assert sheet.survey.job.name in text
        assert sheet.survey.job.about.get("date", "") in text
        assert Path(sheet.survey.job.file).name in text


def test_pages_hold(sheet: Made) -> None:
    assert faults(sheet.data) == []


def test_type_is_large_enough_for_arms_length(sheet: Made) -> None:
    for page in sheet.pages:
        assert min(math.ceil(word["bottom"] - word["top"] - 0.001) for word in page.words) >= 8


def test_all_fonts_are_embedded() -> None:
    document = pypdf.PdfReader(BytesIO(example("turbo-four", "A4", "metric").data))
    found = {
        font.get_object()["/BaseFont"]: font.get_object()
        for page in document.pages
        for font in page["/Resources"]["/Font"].values()
    }
    used = {name: font for name, font in found.items() if "Fira" in name}
    assert len(used) >= 3
    for font in used.values():
        assert "/FontFile2" in font["/FontDescriptor"]
    # The only other one is the page maker's unused default, which every reader has.
    assert set(found) - set(used) <= {"/Helvetica"}


def test_title_author_language_and_outline_stand_in_the_file() -> None:
    document = pypdf.PdfReader(BytesIO(example("v8-heads", "A4", "metric").data))
    assert document.metadata is not None
    assert document.metadata.title == "Tarnhollow V8, heads: compression worksheet"
    assert document.metadata.author == "Ida"
    assert document.metadata.subject
    assert document.trailer["/Root"]["/Lang"] == "en"
    titles = {entry.title: document.get_destination_page_number(entry) for entry in document.outline}
    assert list(titles) == [
        "Tarnhollow V8, heads",
        "To look at",
        "Section at top dead centre",
        "Sums, to be added again by hand",
        "Every other value with its ±",
        "Readings",
        "Calibrations",
        "Algebra",
        "Uncertainty budget",
        "How it was measured",
        "Cautions",
    ]
    for title, page in titles.items():
        assert title in document.pages[page].extract_text()


def test_the_same_job_gives_the_same_bytes() -> None:
    first = example("three-pistons", "A4", "metric")
    assert worksheet_bytes(first.survey, page="A4", system="metric", everything=True)[0] == first.data


def test_a_worksheet_is_written_whole_or_not_at_all(tmp_path: Path) -> None:
    path = tmp_path / "out.pdf"
    pages = write_worksheet(surveyed(SMALL), path)
    assert len(pypdf.PdfReader(path).pages) == pages
    assert [p.name for p in tmp_path.iterdir()] == ["out.pdf"]
    with pytest.raises(InputError, match="No such file or directory"):
        write_worksheet(surveyed(SMALL), tmp_path / "nowhere" / "out.pdf")


def test_an_unknown_page_size_or_system_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="no such page size; say A4 or Letter"):
        write_worksheet(surveyed(SMALL), tmp_path / "x.pdf", page="A5")
    with pytest.raises(InputError, match="unknown units; say metric or imperial"):
        write_worksheet(surveyed(SMALL), tmp_path / "x.pdf", system="cubits")
    assert not list(tmp_path.iterdir())


def test_long_tables_repeat_their_heads() -> None:
    rows = ",\n".join('{ start = "0.0 ml", end = "46.1 ml" }' for _ in range(200))
    text = f'{SMALL}[[series]]\nstep = "chamber"\ncylinder = 1\ninstrument = "burette 50 ml class B"\nfluid = "water"\n'
    found = made_from(surveyed(f"{text}readings = [\n{rows}\n]\n"))
    heads = [t for t in found.texts if "as read result, cc" in t]
    assert len(heads) >= 3
    assert found.text.count("46.1 ml") == 200
