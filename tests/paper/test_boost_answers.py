"""Pages of the levers and of the answer to a boosted target: what the screen says, well set, with the cautions."""

from __future__ import annotations

import json

import pypdf
import pytest

from ccassist.analysis.results import Survey
from ccassist.bench.cautions import cautions
from ccassist.paper.reports import report_bytes
from ccassist.plan.boost.solve import boosted_for, levers_of
from ccassist.report.blocks import Report
from ccassist.report.findings import on_paper
from ccassist.report.levers import CONFIRM, lever_report, levers_told, target_report, target_told
from ccassist.solve.request import wished
from ccassist.values.display import Formatter, formatter
from tests.boost_job import JOB
from tests.paper.held_pages import faults
from tests.paper.read_back import check_file, made, squeezed
from tests.sound_job import Shop
from tests.sound_survey import surveyed

ASKED = {
    "levers": ("What each lever does", "", ""),
    "part": ("What must change", "crown_volume", "pressure_equivalent=13"),
    "charge": ("What must change", "boost_gauge", "end_pressure=25 bar"),
    "impossible": ("What must change", "boost_gauge", "end_pressure=400 bar"),
}


def report(asked: str, survey: Survey, fmt: Formatter) -> Report:
    _, unknown, target = ASKED[asked]
    if not unknown:
        found = levers_of(survey, fmt.system)
        return lever_report(found, levers_told(found, fmt), fmt)
    answer = boosted_for(survey, wished([unknown], [target], fmt.system), fmt)
    return target_report(answer, target_told(answer, fmt), fmt)


@pytest.mark.parametrize(("page", "system"), [("A4", "metric"), ("Letter", "imperial")])
@pytest.mark.parametrize("asked", ASKED)
def test_everything_told_stands_on_well_set_pages(asked: str, page: str, system: str) -> None:
    survey, fmt = surveyed(JOB), formatter(system)
    told = report(asked, survey, fmt)
    paper = made(lambda: report_bytes(told, survey, page=page, fmt=fmt))
    for block in (*told.answer, *told.support):
        for words in (on_paper(getattr(block, "words", "")), *("".join(row) for row in getattr(block, "rows", ()))):
            assert squeezed(words) in paper.body, words
    place = paper.body.rindex("Cautions")
    assert all(squeezed(text) in paper.body[place:] for text in cautions(CONFIRM)[1:])
    assert faults(paper.data) == []
    assert asked == "impossible" or paper.crossing() == []
    check_file(paper, f"{survey.job.name}: {ASKED[asked][0][0].lower()}{ASKED[asked][0][1:]}")


@pytest.mark.parametrize("asked", [("--levers",), ("--for", "boost_gauge", "--to", "end_pressure=25 bar")])
def test_the_command_writes_them_and_the_json_stays(shop: Shop, asked: tuple[str, ...]) -> None:
    shop.write(JOB)
    assert shop.run("boost", "job.toml", *asked, "--json") == 0, shop.err
    data = json.loads(shop.out)
    assert shop.run("boost", "job.toml", *asked, "--json", "--out", "a.pdf", "--page", "Letter") == 0, shop.err
    assert json.loads(shop.out) == data
    reader = pypdf.PdfReader("a.pdf")
    assert float(reader.pages[0].mediabox.width) == pytest.approx(612)
    assert "Wrote a.pdf, " in shop.err
    assert shop.run("boost", "job.toml", *asked, "--out", "job.toml") == 2
    assert "would replace the job file" in shop.err
    assert shop.run("boost", "job.toml", *asked, "--curve", "--out", "a.pdf") == 2
    assert "--curve would do nothing beside" in shop.err
