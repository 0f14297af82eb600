"""Figures that do not fit move to the head of the next page, and what follows them fills the page."""

from __future__ import annotations

from io import BytesIO

import pypdf
import pytest
from reportlab.platypus import Flowable, Spacer

from ccassist.paper.furniture import LEAST, Floating, Settle, prose, table
from ccassist.paper.page import register
from ccassist.paper.pages import render
from ccassist.paper.sheet import Sheet
from tests.paper.made_sheets import surveyed

JOB = 'format = 1\n[job]\nname = "Bench"\ndate = 2026-05-04\n[engine]\ncylinders = 1\nbore = "86 mm, measured"\n'
MOVED = "The figure: at the head of the next page."
REST = 200.0  # points left below what stands first


@pytest.fixture
def sheet() -> Sheet:
    register()
    return Sheet(survey=surveyed(JOB), system="metric")


def pages(sheet: Sheet, *story: Flowable) -> list[str]:
    """The text of each page."""
    data, _ = render(sheet, list(story), what="", subject="")
    return [" ".join(page.extract_text().split()) for page in pypdf.PdfReader(BytesIO(data)).pages]


def figure(high: float) -> Floating:
    """As tall as this and its caption."""
    return Floating("The figure", prose("Caption."), Spacer(1, high))


def test_one_that_fits_keeps_its_place(sheet: Sheet) -> None:
    (only,) = pages(sheet, Spacer(1, sheet.height - REST), figure(REST - 60), prose("After."))
    assert only.index("Caption.") < only.index("After.")
    assert MOVED not in only


def test_one_that_does_not_fit_moves_and_the_page_is_filled(sheet: Sheet) -> None:
    first, second = pages(
        sheet, Spacer(1, sheet.height - REST), figure(REST), prose("After."), *[prose("More.") for _ in range(15)]
    )
    assert first.index(MOVED) < first.index("After.") < first.index("More.")
    assert second.startswith("Caption.")
    assert "More." in second


def test_a_small_rest_is_not_worth_filling(sheet: Sheet) -> None:
    first, second = pages(sheet, Spacer(1, sheet.height - LEAST + 10), figure(REST), prose("After."))
    assert MOVED not in first
    assert "After." not in first
    assert second.index("Caption.") < second.index("After.")


def test_none_moves_past_what_must_come_last(sheet: Sheet) -> None:
    first, second = pages(sheet, Spacer(1, sheet.height - REST), figure(REST), prose("After."), Settle(), prose("End."))
    assert "After." in first
    assert second.index("Caption.") < second.index("End.")


def test_the_end_of_a_paper_brings_what_still_waits(sheet: Sheet) -> None:
    first, second = pages(sheet, Spacer(1, sheet.height - REST), figure(REST), prose("After."))
    assert "After." in first
    assert "Caption." in second


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
