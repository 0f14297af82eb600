"""Pages of the levers and of the answer to a boosted target: what the screen says, with the cautions, well set."""

from __future__ import annotations

import json
from functools import cache

import pypdf
import pytest

from ccassist.bench.cautions import cautions
from ccassist.boost.levers import GENERAL
from ccassist.paper.boost_pages import CONFIRM, answer_bytes, lever_bytes
from ccassist.plan.boost import words
from ccassist.plan.boost.solve import Boosted, Levers, boosted, levers_of
from ccassist.report.solve import worked_lines
from ccassist.values.display import formatter
from ccassist.values.findings import InputError
from tests.boost_job import CAM, CHARGE, ENGINE, JOB, surveyed
from tests.paper.read_back import Printed, check_boxes, check_file, made, squeezed
from tests.sound_job import Shop

ASKED = {
    "part": ("crown_volume", {"pressure_equivalent": "13"}),
    "charge": ("boost_gauge", {"end_pressure": "25 bar"}),
    "impossible": ("boost_gauge", {"end_pressure": "400 bar"}),
}
JOBS = {"compared": JOB, "alone": ENGINE + CAM + CHARGE}
WAYS = [("A4", "metric"), ("Letter", "imperial")]


@cache
def levers(job: str, system: str) -> Levers:
    """What each lever does in a job."""
    return levers_of(surveyed(JOBS[job]), system)


@cache
def answer(asked: str, system: str) -> Boosted:
    """What was asked of the job with a baseline."""
    unknown, targets = ASKED[asked]
    return boosted(surveyed(JOB), unknown, targets, system=system)


@cache
def lever_page(job: str, page: str, system: str) -> Printed:
    return made(lambda: lever_bytes(levers(job, system), page=page, system=system))


@cache
def answer_page(asked: str, page: str, system: str) -> Printed:
    return made(lambda: answer_bytes(answer(asked, system), page=page, system=system))


@pytest.mark.parametrize(("page", "system"), WAYS)
@pytest.mark.parametrize("job", JOBS)
def test_every_lever_stands_with_its_changes_its_price_and_its_units(job: str, page: str, system: str) -> None:
    found, paper = levers(job, system), lever_page(job, page, system)
    body, told = paper.body, words.lever_rows(found, formatter(system))
    assert len(told) >= 8
    assert squeezed("".join("".join(row) for row in told)) in body
    said = [*(words.price_text(one) for one in found.effects), *words.lever_notes(found, formatter(system)), *GENERAL]
    for text in said:
        assert squeezed(text)[1:] in body, text
    for key in words.lever_keys(found):
        unit = words.unit_of(key, formatter(system))
        assert not unit or f",{unit}" in body
    check_boxes(paper)
    check_file(paper, f"{found.story.survey.job.name}: what each lever does")


@pytest.mark.parametrize("job", JOBS)
def test_no_word_of_a_head_is_cut(job: str) -> None:
    """Each word of the head stands whole in one line."""
    words = {word["text"] for page in lever_page(job, "A4", "metric").pages for word in page.words}
    assert {"pressure,", "temperature,", "equivalent", "squish"} <= words


@pytest.mark.parametrize(("page", "system"), WAYS)
@pytest.mark.parametrize("asked", ["part", "charge"])
def test_the_answer_of_every_cylinder_and_how_it_is_found(asked: str, page: str, system: str) -> None:
    found, paper = answer(asked, system), answer_page(asked, page, system)
    rows = [words.answer_row(one, found.wish, formatter(system)) for one in found.cylinders]
    assert len(rows) == 2
    assert squeezed("".join("".join(row) for row in rows)) in paper.body
    told = words.told_of(found)
    assert told is not None
    start = paper.body.index(squeezed(f"Cylinder {told.cylinder}, how it is found"))
    worked = worked_lines(told.parts, formatter(system))
    for line in words.answer_lines(told, worked, formatter(system)):
        if line.strip():
            start = paper.body.index(squeezed(line), start)
    assert squeezed(words.basis_text(found)) in paper.body
    check_boxes(paper)
    check_file(paper, f"{found.story.survey.job.name}: answer to a boosted target")


def test_what_cannot_be_says_why_and_gives_no_number() -> None:
    found, body = answer("impossible", "metric"), answer_page("impossible", "A4", "metric").body
    assert not found.possible
    assert "Notpossible:" in body
    assert "howitisfound" not in body
    assert "Cautions" in body


def test_cautions_stand_on_all_of_them() -> None:
    papers = [
        *((lever_page(job, "A4", "metric"), levers(job, "metric").cautions) for job in JOBS),
        *((answer_page(asked, "A4", "metric"), answer(asked, "metric").cautions) for asked in ASKED),
    ]
    for paper, own in papers:
        place = paper.body.rindex("Cautions")
        for text in (*own, *cautions(CONFIRM)):
            assert squeezed(text) in paper.body[place:], text


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


def test_an_unknown_page_size_is_refused() -> None:
    with pytest.raises(InputError, match="no such page size"):
        lever_bytes(levers("alone", "metric"), page="A9", system="metric")
    with pytest.raises(InputError, match="no such page size"):
        answer_bytes(answer("charge", "metric"), page="A9", system="metric")
