"""Every kind of page holds to what held_pages looks at: both page sizes, both systems of units, one and many cylinders.

Few documents: each kind once on A4 with the metric system and once on Letter with the imperial one. The papers of
order, boost, combinations and cam are looked at where they are printed (test_long_jobs.py, test_cam_pages.py).
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from io import BytesIO

import pytest
from reportlab.pdfgen.canvas import Canvas

from ccassist.analysis.results import Survey
from ccassist.cli.layout import text_lines
from ccassist.paper.documents import worksheet_bytes
from ccassist.paper.reports import fitting, report_bytes
from ccassist.paper.sheet import STRONG, TEXT, register
from ccassist.plan.balance import balance
from ccassist.plan.machining.changes import machine
from ccassist.plan.machining.work import MachineAsked
from ccassist.report.balance import balance_report
from ccassist.report.blocks import Heading, Report, Table, Text
from ccassist.report.calibration import calibration_report
from ccassist.report.machining import machining_of, machining_report
from ccassist.values.display import Formatter, formatter
from tests.paper.held_pages import faults
from tests.paper.letters import pages_of
from tests.paper.made_sheets import surveyed
from tests.paper.pages_jobs import heads, whole
from tests.sound_job import TUBE

WAYS = [("A4", "metric"), ("Letter", "imperial")]
JOBS = {
    "a tube": whole(1, TUBE),
    "one": whole(1),
    "eight": whole(8),
    "sixteen": whole(16),
    "a head": heads(1),
    "sixteen heads": heads(16),
}
each_way = pytest.mark.parametrize(("page", "system"), WAYS, ids="-".join)


@cache
def engine(name: str) -> Survey:
    """A job as measured."""
    return surveyed(JOBS.get(name) or whole(1, TUBE))


@cache
def worksheet(name: str, page: str, system: str) -> bytes:
    """Its worksheet."""
    return worksheet_bytes(engine(name), page=page, system=system)[0]


@each_way
@pytest.mark.parametrize("name", JOBS)
def test_worksheets(name: str, page: str, system: str) -> None:
    assert faults(worksheet(name, page, system)) == []


@each_way
@pytest.mark.parametrize("name", JOBS)
def test_the_first_page_holds_all_that_a_customer_signs(name: str, page: str, system: str) -> None:
    pages = pages_of(worksheet(name, page, system))
    assert len(pages) <= 2
    for words in ("Each cylinder" if "teen" in name else "chamber", "Wanted", "Cautions", "signature"):
        assert words in pages[0].text


@each_way
@pytest.mark.parametrize("name", ["one", "eight"])
def test_all_that_stands_behind_a_worksheet(name: str, page: str, system: str) -> None:
    data, _ = worksheet_bytes(engine(name), page=page, system=system, everything=True)
    assert faults(data) == []


def _balanced(survey: Survey, fmt: Formatter) -> Report:
    return balance_report(balance(survey), survey, fmt)


def _machined(survey: Survey, fmt: Formatter) -> Report:
    plan = machine(survey, MachineAsked(gasket_thickness="1.0 mm", deck="0.1 mm").work(survey.job.bare))
    return machining_report(plan, machining_of(plan, fmt), fmt)


def _calibrated(survey: Survey, fmt: Formatter) -> Report:
    return calibration_report(list(survey.calibrations.values()), survey.findings, fmt)


@each_way
@pytest.mark.parametrize(
    ("make", "name"), [(_balanced, "sixteen"), (_machined, "one"), (_machined, "sixteen"), (_calibrated, "a tube")]
)
def test_a_report(make: Callable[[Survey, Formatter], Report], name: str, page: str, system: str) -> None:
    fmt, survey = formatter(system), engine(name)
    report = make(survey, fmt)
    assert report.answer
    data, _ = report_bytes(report, survey, page=page, fmt=fmt)
    assert faults(data) == []


@each_way
def test_no_place_of_the_job_file_stands_before_a_customer(page: str, system: str) -> None:
    """What makes most of a ± is told with its part or its cylinder, not with its section and key."""
    fmt, survey = formatter(system), engine("one")
    told = 'the bore (engine.bore), the gasket (part."thin, one".gasket_bore) and (cylinder.2.crown_volume), as (a.b)'
    told += " (state charge_heating under [charge])"
    place = "job.toml, line 3, engine.bore: "
    report = Report(title="A report", subject="What is told", answer=(Text(told, place=place, typed="typed"),))
    said = pages_of(report_bytes(report, survey, page=page, fmt=fmt)[0])[0].text
    assert "the bore, the gasket (thin, one) and (cylinder 2), as (a.b)" in " ".join(said.split())
    assert "(state charge heating)" in " ".join(said.split())
    assert not any(words in said for words in ("engine", "line 3", "typed"))
    assert place in text_lines(Text(told, place=place), 200)[0]


def test_the_last_paragraphs_stand_together_with_their_headings() -> None:
    """Wherever the text before them ends, the last page holds more than a heading and a line."""
    fmt, survey = formatter("metric"), engine("one")
    for lines in range(34, 40):
        told = (
            *(Text(f"line {n}") for n in range(lines)),
            Heading("First"),
            Text("one"),
            Heading("Second"),
            Text("two"),
        )
        assert faults(report_bytes(Report(title="A", subject="B", answer=told), survey, fmt=fmt)[0]) == []


def test_no_column_stands_alone_below_a_table_that_is_too_wide() -> None:
    head = ("row", *(f"peak figure {n}" for n in range(7)))
    parts = fitting(Table(head=head, rows=(("1", *["26565.2 ± 7.5 m/s² more"] * 7),), names=(0,)), 500.0)
    assert len(parts) > 1
    widths = [len(part.head) for part in parts]
    assert max(widths) - min(widths) <= 1


class TestTheLookItself:
    """It sees each fault on a page that was drawn to have it."""

    @staticmethod
    def seen(*lines: tuple[float, float, str], font: str = TEXT, size: float = 9.0, more: bool = False) -> str:
        """The faults of a page with these lines: from the left, from the foot, the words."""
        register()
        stream = BytesIO()
        canvas = Canvas(stream, pagesize=(595.0, 842.0), initialFontName=TEXT)
        for _ in range(1 + more):
            for x, y, words in lines:
                canvas.setFont(font, size)
                canvas.drawString(x, y, words)
            canvas.showPage()
        canvas.save()
        return " ".join(faults(stream.getvalue()))

    def test_a_sound_page(self) -> None:
        assert self.seen((80, 500, "the ratio is 9.12 ± 0.05"), (80, 488, "and no more")) == ""

    def test_a_text_beyond_the_margin(self) -> None:
        assert "leaves the frame" in self.seen((20, 500, "far left"))

    def test_words_over_each_other(self) -> None:
        assert "lie over each other" in self.seen((80, 500, "ratio"), (84, 504, "deck"))

    def test_a_heading_at_the_foot(self) -> None:
        assert "stands last" in self.seen((80, 500, "Readings"), font=STRONG, size=13.0)

    def test_a_page_of_a_line(self) -> None:
        assert "holds only" in self.seen((80, 500, "signature"), more=True)

    @pytest.mark.parametrize(("one", "other"), [("the gap is 1.10", "± 0.05 mm"), ("the gap is 1.10", "mm"),
                                                ("the gap is 1.10 ±", "0.05 mm")])  # fmt: skip
    def test_a_figure_that_goes_on_below(self, one: str, other: str) -> None:
        assert "goes on as" in self.seen((80, 500, one), (80, 488, other))
