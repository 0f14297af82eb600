"""Text comes out of the papers in the order in which the page is read; nothing is fetched to make them.

The page maker offers no tags, so that order is all that a reading aid has.
"""

from __future__ import annotations

import re
import socket
from functools import cache
from itertools import pairwise

import pytest

from ccassist.bench.cautions import cautions
from ccassist.paper.blank import blank_bytes, forms_named
from ccassist.paper.blank_boxes import Print
from ccassist.paper.documents import boost_bytes, order_bytes, worksheet_bytes
from ccassist.report.data import bare
from ccassist.report.order import CAUTIONS, order_of, piston_order_of
from ccassist.report.worksheet import COLUMNS
from ccassist.values.display import formatter
from tests.paper.made_sheets import NAMES, example
from tests.paper.read_back import Printed, check_file, squeezed
from tests.paper.test_long_jobs import PAPERS, printed, story
from tests.paper.test_numbers_on_the_page import printed as worksheet

SECTIONS = {
    "worksheet": (
        *("Each cylinder", "Wanted", "Cautions", "signature", "To look at", "Between cylinders", "What the ± means"),
        *("Section at top dead centre", "Sums, to be added again by hand", "Every other value with its ±", "Readings"),
        *("Stated values, as written", "Algebra", "Uncertainty budget", "Cautions"),
    ),
    "order": (
        *(
            "Piston order: DRAFT",
            "compression height",
            "NOT CHECKED",
            "FRONT",
            "TO BE HELD",
            "ONLY KNOWN",
            "Who decides",
        ),
        *("Remarks", "How the numbers were found", "The sum, to be added again", "What one common piston gives"),
        *("What a mistake would come to", "To confirm with the maker", "Cautions", "accepted by the maker"),
    ),
    "boost": (
        *("Static, dynamic and boosted", "as built", "against intake closing", "Boost by static ratio"),
        *("Every cylinder", "Knock, as a comparison", "The baseline", "Effective ratio", "The charge, and what is"),
        *("Stated", "Assumed, because nothing is stated", "Pressures, absolute", "Worked out from it"),
        "End of compression",
    ),
    "combine": (
        *("Combinations of parts", "Nearest misses", "breaks:", "What was asked", "Wanted", "Refused"),
        *("The same rows: what else follows", "Not looked at here", "Cautions"),
    ),
}


def in_order(paper: Printed, *pieces: str, start: int = 0) -> None:
    """Each stands after the one before it."""
    place = start
    for piece in pieces:
        found = paper.body.find(squeezed(piece), place)
        assert found >= 0, f"{piece!r} does not stand where it is read"
        place = found + len(squeezed(piece))


@cache
def order_sheet() -> Printed:
    """The sheet of the example."""
    return printed("order", "A4", "metric", long=False)


@pytest.mark.parametrize("paper", PAPERS)
def test_sections_follow_one_another(paper: str) -> None:
    in_order(printed(paper, "A4", "metric", long=False), *SECTIONS[paper])


@pytest.mark.parametrize("name", NAMES)
def test_title_language_fonts_and_headings(name: str) -> None:
    job = example(name).survey.job
    check_file(worksheet(name, "metric"), f"{job.name}: compression worksheet")


def test_titles_of_the_other_papers() -> None:
    check_file(order_sheet(), "Brackwater triple, long-stroke: piston order, revision A")
    check_file(
        printed("boost", "A4", "metric", long=False), "Oddmere four, 1.0 bar planned: static, dynamic and boosted"
    )


@pytest.mark.parametrize("name", NAMES)
def test_rows_of_the_results_are_read_along_the_line(name: str) -> None:
    paper, survey = worksheet(name, "metric"), example(name).survey
    keys = [key for key in ("chamber_volume", "deck_clearance", "static_ratio") if key in survey.cylinders[0].values]
    first = survey.cylinders[0]
    cells = [bare(first.values[key], formatter("metric")) for key in keys]
    in_order(paper, "Each cylinder", *(COLUMNS[key] for key in keys), "1", *cells, "Cautions")


@pytest.mark.parametrize("name", NAMES)
def test_readings_are_read_one_after_another(name: str) -> None:
    paper = worksheet(name, "metric")
    start = re.search(r"Readings(?=[A-Z])", paper.body)
    assert start
    for one in example(name).survey.reduced:
        raw = [q.raw for r in one.cell.readings for found in r.fields.values() for q in found]
        in_order(paper, *raw, start=start.start())


def test_mistakes_and_questions_of_an_order() -> None:
    order = order_of(example("three-pistons").survey)
    told = piston_order_of(order).mistakes
    mistakes = [text for one in told for text in (one.ratio_text, one.squish_text, one.crown_text)]
    in_order(order_sheet(), "What a mistake would come to", *mistakes)
    in_order(order_sheet(), "To confirm with the maker", *(c.wrong for c in order.checks), *cautions(CAUTIONS))


def test_tables_are_drawn_downward_and_along() -> None:
    """Each cell lies right of the one before it, or below its row."""
    for paper in PAPERS:
        cells = printed(paper, "A4", "metric", long=False).cells
        for one, then in pairwise(cells):
            if one[0] == then[0]:
                along = then[1] >= one[3] - 0.1 and abs(then[4] - one[4]) < 0.1
                assert along or then[4] <= one[2] + 0.1


def test_nothing_is_fetched(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise AssertionError("a paper asked the network")

    told, engine = story(False), example("three-pistons").survey
    for name in ("socket", "create_connection", "getaddrinfo"):
        monkeypatch.setattr(socket, name, refuse)
    assert worksheet_bytes(engine)[1] > 1
    assert order_bytes(order_of(engine))[1] > 1
    assert boost_bytes(told, system="metric")[1] > 1
    assert blank_bytes(forms_named(["bore"]), Print())[1] > 1
