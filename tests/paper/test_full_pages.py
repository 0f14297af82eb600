"""What stands on every page, and rows that stay together."""

from __future__ import annotations

from io import BytesIO

import pypdf
import pytest
from reportlab.platypus import Flowable, Spacer

from ccassist.paper.furniture import prose
from ccassist.paper.pages import render
from ccassist.paper.ruled import table
from ccassist.paper.sheet import Sheet, register
from tests.paper.made_sheets import surveyed

JOB = 'format = 1\n[job]\nname = "Bench"\ndate = 2026-05-04\n[engine]\ncylinders = 1\nbore = "86 mm, measured"\n'


@pytest.fixture
def sheet() -> Sheet:
    register()
    return Sheet(survey=surveyed(JOB), system="metric")


def pages(sheet: Sheet, *story: Flowable) -> list[str]:
    """The text of each page."""
    data, _ = render(sheet, list(story), what="", subject="")
    return [" ".join(page.extract_text().split()) for page in pypdf.PdfReader(BytesIO(data)).pages]


def test_every_page_bears_the_date_of_the_job(sheet: Sheet) -> None:
    for text in pages(sheet, Spacer(1, sheet.height), prose("After.")):
        assert "2026-05-04" in text


def test_no_row_of_a_table_stands_alone_at_the_head_of_a_page(sheet: Sheet) -> None:
    """Room for the head and four rows of five, by the height of the table itself."""
    made = table(["head"], [[f"row{n}"] for n in range(5)], [80.0])
    _, high = made.wrap(80.0, 1e6)
    first, second = pages(sheet, Spacer(1, sheet.height - high + 8), made)
    assert "row1" in first
    assert "row2" not in first
    assert second.index("row2") < second.index("row4")


def test_no_empty_page_follows_a_full_one(sheet: Sheet) -> None:
    lines = [prose("Line.") for _ in range(400)]
    assert all("Line." in text for text in pages(sheet, *lines))
    for high in range(8):  # whatever is left of the page
        assert len(pages(sheet, Spacer(1, sheet.height - 16 - high / 2), prose("Last."))) == 1
