"""A table or form that is taken into the wrong job, or once more: refused before anything is kept."""

from __future__ import annotations

from io import BytesIO

import pytest
from pypdf import PdfReader, PdfWriter

from ccassist.bench.forms import FORMS, Box
from ccassist.paper.blank import blank_bytes
from ccassist.paper.blank_boxes import Print
from tests.sound_job import SOUND, Shop

HEAD = "step,cylinder,state,instrument,fluid,temperature,plug,hole,start,end\n"
LINE = "chamber,{},seats cut,burette 50 ml class B,water,20,fitted,not filled,{} ml,{} ml\n"
THREE = [LINE.format(1, "0.20", "46.25"), LINE.format(2, "0.10", "46.25"), LINE.format(2, "0.15", "46.35")]
KEY = "chamber-burette"


@pytest.fixture
def bench(shop: Shop) -> Shop:
    (shop.folder / "job.toml").write_text(SOUND, encoding="utf-8")
    return shop


def table(shop: Shop, name: str, lines: list[str]) -> str:
    (shop.folder / name).write_text(HEAD + "".join(lines), encoding="utf-8")
    return name


def form(shop: Shop, printed_for: str = "", *, written: str = "", end: str = "46.25") -> str:
    """A filled form, printed for a job or for any."""
    data, _ = blank_bytes([FORMS[KEY]], Print(cylinders=2, job=printed_for), total=False)
    said: dict[str, str] = {"h/state": "seats cut", "h/instrument": "burette 50 ml class B", "h/fluid": "water"}
    said |= {"h/temperature": "20", "c/plug/fitted": "/Yes", "c/hole/not filled": "/Yes", "h/date": "2026-11-20"}
    said |= {"r/1/1/start": "0.20", "r/1/1/end": end}
    said |= {"h/job": written} if written else {}
    writer = PdfWriter(clone_from=PdfReader(BytesIO(data)))
    edition = FORMS[KEY].edition
    for page in writer.pages:
        boxes = {Box(page=1, form=KEY, edition=edition, system="metric", what=(n,)).name: t for n, t in said.items()}
        writer.update_page_form_field_values(page, boxes)
    writer.write(shop.folder / "form.pdf")
    return "form.pdf"


def readings(shop: Shop) -> str:
    return (shop.folder / "job.toml").read_text(encoding="utf-8")


class TestTables:
    def test_a_table_under_another_name_is_refused_until_it_is_said_to_be_another(self, bench: Shop) -> None:
        assert bench.run("record", "job.toml", "--from", table(bench, "monday.csv", THREE)) == 0
        before = readings(bench)
        copy = table(bench, "monday (1).csv", THREE)
        assert bench.run("record", "job.toml", "--from", copy) == 2
        assert "monday (1).csv: its readings stand in the job already, in this order, from monday.csv" in bench.err
        assert "add --again" in bench.err
        assert readings(bench) == before
        assert bench.run("record", "job.toml", "--from", copy, "--again") == 0
        assert readings(bench).count('end = "46.25 ml"') == before.count('end = "46.25 ml"') + 2

    @pytest.mark.parametrize(
        "lines", [THREE[:1], THREE[1:], [THREE[0], THREE[2]], [*THREE, LINE.format(1, "0.00", "46.10")]]
    )
    def test_so_is_a_part_of_it_or_one_that_went_on_growing(self, bench: Shop, lines: list[str]) -> None:
        assert bench.run("record", "job.toml", "--from", table(bench, "monday.csv", THREE)) == 0
        assert bench.run("record", "job.toml", "--from", table(bench, "copy.csv", lines)) == 2

    @pytest.mark.parametrize("lines", [THREE[::-1], [LINE.format(1, "0.20", "46.30"), THREE[1]]])
    def test_other_readings_are_taken(self, bench: Shop, lines: list[str]) -> None:
        assert bench.run("record", "job.toml", "--from", table(bench, "monday.csv", THREE)) == 0
        assert bench.run("record", "job.toml", "--from", table(bench, "tuesday.csv", lines)) == 0

    def test_the_same_file_goes_on_as_ever(self, bench: Shop) -> None:
        assert bench.run("record", "job.toml", "--from", table(bench, "monday.csv", THREE[:2])) == 0
        assert bench.run("record", "job.toml", "--from", table(bench, "monday.csv", THREE)) == 0
        assert "Bench job: 1 reading recorded, 2 there already." in bench.out

    def test_readings_that_do_not_fit_their_sisters_are_questioned(self, bench: Shop) -> None:
        """A refill of 20 cc that was forgotten: what the guide asks of a typed reading."""
        before = readings(bench)
        odd = table(bench, "odd.csv", [*THREE, LINE.format(2, "0.10", "26.25")])
        assert bench.run("record", "job.toml", "--from", odd) == 2
        assert "odd.csv, line 5" in bench.err
        assert "--sure" in bench.err
        assert readings(bench) == before
        assert bench.run("record", "job.toml", "--from", odd, "--sure") == 0
        assert readings(bench).count("said to be sure") == 1


class TestForms:
    def test_one_printed_for_another_job_is_refused_until_it_is_said_to_belong_here(self, bench: Shop) -> None:
        before = readings(bench)
        assert bench.run("record", "job.toml", "--from", form(bench, "Zweite Ölmühle, Nº 2")) == 2
        assert 'the form says job "Zweite Ölmühle, Nº 2", and this is "Bench job"' in " ".join(bench.err.split())
        assert readings(bench) == before
        assert bench.run("record", "job.toml", "--from", "form.pdf", "--other-job") == 0
        assert 'end = "46.25 cc"' in readings(bench)

    @pytest.mark.parametrize(("printed", "written"), [("Bench job", ""), ("", ""), ("", "bench"), ("", "Bench  JOB")])
    def test_this_job_s_own_or_a_generic_one_is_taken_and_the_job_named(
        self, bench: Shop, printed: str, written: str
    ) -> None:
        assert bench.run("record", "job.toml", "--from", form(bench, printed, written=written)) == 0
        assert "Bench job: 1 reading recorded." in bench.out

    @pytest.mark.parametrize(("printed", "written"), [("Bench", ""), ("Bench job 2", ""), ("", "the other one")])
    def test_a_name_that_is_nearly_this_one_is_another(self, bench: Shop, printed: str, written: str) -> None:
        assert bench.run("record", "job.toml", "--from", form(bench, printed, written=written)) == 2
        assert "--other-job" in bench.err

    def test_a_form_s_readings_are_questioned_like_typed_ones(self, bench: Shop) -> None:
        before = readings(bench)
        assert bench.run("record", "job.toml", "--from", form(bench, end="26.25")) == 2
        assert "page 1 (chamber-burette), cylinder 1, reading 1" in " ".join(bench.err.split())
        assert readings(bench) == before
        assert bench.run("record", "job.toml", "--from", "form.pdf", "--sure") == 0


def test_what_belongs_to_a_source_is_refused_without_one(bench: Shop) -> None:
    for option in ("--again", "--other-job"):
        assert bench.run("record", "job.toml", "chamber", "start=0", "end=46", "--cylinder", "1", option) == 2
        assert f"{option} would do nothing" in bench.err
