"""Every paper of a job as long as they come, and of the examples: nothing clipped, crossed or overlapped; in order."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from io import BytesIO

import pytest
from reportlab.pdfgen.canvas import Canvas

from ccassist.paper.documents import boost_bytes, order_bytes, worksheet_bytes
from ccassist.paper.reports import report_bytes
from ccassist.paper.ruled import Look, Row, Ruled
from ccassist.paper.sheet import printable, register
from ccassist.plan.boost.story import BoostStory, boost_story
from ccassist.plan.combine.candidates import aims_of, candidates
from ccassist.plan.combine.search import combine
from ccassist.report.combine import combinations_of, combine_report
from ccassist.report.order import order_of
from ccassist.values.display import formatter
from tests.paper.letters import drawn_in
from tests.paper.long_job import (
    BOOSTED,
    CAM,
    CHOICES,
    CYLINDERS,
    HEAD,
    NAME,
    ORDER,
    PISTONS,
    REMARK,
    STATES,
    WORDS,
    long_survey,
)
from tests.paper.made_sheets import example
from tests.paper.read_back import Printed, check_boxes, check_file, made, squeezed

WAYS = [("A4", "metric"), ("Letter", "imperial")]  # both sizes and both units, but not each with each
PAPERS = ("worksheet", "order", "boost", "combine")
# The long worksheet and boost take their time: what else differs by size and units is looked at on the examples.
CASES = [*(("order", *way) for way in WAYS), *(("combine", *way) for way in WAYS)]
CASES += [(paper, *WAYS[0]) for paper in ("worksheet", "boost")]
EXAMPLES = ("worksheet", "order", "combine")  # that of boost is looked at in test_boost_pages


@cache
def story(long: bool) -> BoostStory:
    """The boost of a job, once for all pages."""
    return boost_story(long_survey(CAM, BOOSTED) if long else example("turbo-four").survey)


def _combined(page: str, system: str, long: bool) -> Callable[[], tuple[bytes, int]]:
    """Of the long job with lists of parts: those ranked, or the nearest misses."""
    engine = long_survey(CAM, CHOICES)
    aims = aims_of(engine.wanted, ["static_ratio=8.4"] if long else [], [] if long else ["squish=9 to 9.2 mm"])
    found = combine(candidates(engine), aims, top=200)
    fmt = formatter(system)
    report = combine_report(combinations_of(found, fmt), aims, engine, fmt)
    return lambda: report_bytes(report, engine, page=page, fmt=fmt)


@cache
def printed(paper: str, page: str, system: str, *, long: bool = True) -> Printed:
    """A paper of the long job, or of an example; of the combinations those ranked, or the nearest misses."""
    return made(_paper(paper, page, system, long))


def _paper(paper: str, page: str, system: str, long: bool) -> Callable[[], tuple[bytes, int]]:
    """How it is made, with all that it is made of at hand."""
    if paper == "boost":
        told = story(long)
        return lambda: boost_bytes(told, page=page, system=system)
    if paper == "combine":
        return _combined(page, system, long)
    if paper == "order":
        order = order_of(long_survey(ORDER) if long else example("three-pistons").survey, system)
        return lambda: order_bytes(order, page=page)
    engine = long_survey() if long else example("v8-heads").survey
    return lambda: worksheet_bytes(engine, page=page, system=system, everything=True)


class TestLongJobs:
    @pytest.mark.parametrize(("paper", "page", "system"), CASES)
    def test_nothing_is_clipped_crossed_or_overlapped(self, paper: str, page: str, system: str) -> None:
        check_boxes(printed(paper, page, system))

    @pytest.mark.parametrize("paper", PAPERS)
    def test_title_language_fonts_and_headings(self, paper: str) -> None:
        title = {
            "worksheet": f"{NAME}: compression worksheet",
            "order": f"{NAME}: piston order, revision {WORDS.strip()}",
            "boost": f"{NAME}: static, dynamic and boosted",
            "combine": f"{NAME}: combinations of parts",
        }
        check_file(printed(paper, "A4", "metric"), title[paper])

    def test_the_job_is_as_long_as_it_says(self) -> None:
        engine = long_survey()
        assert len(engine.cylinders) == CYLINDERS == 16
        assert sum(len(one.cell.readings) for one in engine.reduced) >= 500
        assert len({one.cell.state for one in engine.reduced if one.cell.state}) == STATES == 12
        assert len(engine.findings) >= 30
        assert min(len(HEAD), len(PISTONS)) >= 40
        assert len(REMARK) == 1999

    def test_every_reading_finding_state_and_remark_is_on_the_worksheet(self) -> None:
        said, engine = printed("worksheet", "A4", "metric").body, long_survey()
        for state in {one.cell.state for one in engine.reduced if one.cell.state}:
            assert squeezed(state) in said
        assert said.count(squeezed("set aside: bubble under the plate, far corner")) == CYLINDERS * 2
        for finding in engine.findings:
            assert squeezed(finding.wrong) in said
        ends = said.count("endofit")
        assert ends >= 4  # of the job, of the part, of a series and of a reading

    def test_letters_print_as_themselves_or_by_their_code(self) -> None:
        for paper in PAPERS:
            for text in drawn_in(printed(paper, "A4", "metric").data):
                assert squeezed("Двигатель Κινητήρας <U+767A><U+52D5><U+6A5F>") in squeezed(text)
                assert "Characters that the typeface lacks are printed by their code" in text
        assert squeezed(printable(NAME)) in printed("worksheet", "A4", "metric").body


class TestExamples:
    @pytest.mark.parametrize(("page", "system"), WAYS)
    @pytest.mark.parametrize("paper", EXAMPLES)
    def test_nothing_is_clipped_crossed_or_overlapped(self, paper: str, page: str, system: str) -> None:
        check_boxes(printed(paper, page, system, long=False))


def test_a_crossing_is_seen() -> None:
    """The check itself can fail: a text wider than its column."""
    register()

    def paper() -> tuple[bytes, int]:
        stream = BytesIO()
        canvas = Canvas(stream, initialFontName="Fira")
        look = Look(widths=(40.0, 60.0), words=(0, 1), size=8.7, above=2.0, below=2.0)
        table = Ruled(Row(cells=(("far too wide for it",), ("next",))), [], look)
        table.wrapOn(canvas, 200, 100)
        table.drawOn(canvas, 100, 500)
        canvas.showPage()
        canvas.save()
        return stream.getvalue(), 1

    assert made(paper).crossing()
