"""The piston order sheet read back: a first page complete in itself, nothing missing or clipped, sums that add."""

from __future__ import annotations

import json
import re
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from ccassist.analysis.results import survey
from ccassist.cli.app import app
from ccassist.cli.layout import report_lines
from ccassist.job.file import parse_job
from ccassist.paper.documents import order_bytes
from ccassist.report.findings import on_paper
from ccassist.report.order import Order, order_of, piston_order_of
from ccassist.report.order_sheet import order_report
from ccassist.values.findings import InputError
from tests.order_job import DISH, changed, pocket
from tests.paper.read_back import Printed, check_boxes, check_file, squeezed
from tests.paper.read_back import made as printed_of

WAYS = [("A4", "metric"), ("Letter", "imperial")]
PLACED = """[order.pocket.intake]
pockets = 2
pocket_diameter = "33.0 mm"
pocket_depth = "1.6 mm below the flat"
pocket_tilt = "9 deg"
pocket_along_pin = "17.5 mm toward the front"
pocket_across_pin = "16.0 mm to the right"
"""
DOME = """[order.crown]
shape = "dome with sloped sides"
dome_diameter = "62.0 mm"
dome_top = "40.0 mm"
"""
JOBS = {
    "dish": changed(),
    "dish with pockets": changed(crown=DISH, more=pocket(diameter=30, depth=0.9, tilt=4, offset=18)),
    "dome with pockets": changed('static_ratio = "11.0 to 12.2"', crown=DOME, more=PLACED),
    "flat": changed('static_ratio = "9.4 to 9.9"', crown='[order.crown]\nshape = "flat"\n'),
    "unshaped": changed(crown=""),
    "eight": changed("pieces = 8").replace("cylinders = 2", "cylinders = 8"),
    "little": 'format = 1\n[engine]\ncylinders = 2\nbore = "80 mm, measured"\n',
}
FINAL = ("dish", "eight")


def order(text: str, system: str = "metric") -> Order:
    """From the text of a job to its order."""
    return order_of(survey(parse_job(text, "petrel.toml").job), system)


@cache
def sheet(name: str, page: str = "A4", system: str = "metric", *, final: bool = False) -> tuple[Order, Printed]:
    """An order and its sheet, read back."""
    made = order(JOBS[name], system)
    return made, printed_of(lambda: order_bytes(made, page=page, final=final))


ALL = [pytest.param(name, *way, id=f"{name}-{way[0]}-{way[1]}") for name in JOBS for way in WAYS]


def every_text(data: Any, key: str = "") -> list[str]:
    """Whatever the JSON prints as text."""
    if isinstance(data, dict):
        return [text for name, value in data.items() for text in every_text(value, name)]
    if isinstance(data, list):
        return [text for value in data for text in every_text(value, key)]
    return [data] if isinstance(data, str) and (key == "text" or key.endswith("_text")) and data else []


@pytest.mark.parametrize(("name", "page", "system"), ALL)
def test_every_number_of_the_json_stands_on_it(name: str, page: str, system: str) -> None:
    made, printed = sheet(name, page, system)
    told = json.loads(json.dumps(made.to_dict()))
    for one in told["cylinders"]:  # of these the tables show the ± or the worst, whichever says more
        one["values"].pop("clearance_volume", None)
        one["values"].pop("deck_clearance", None)
    told["fields"] = [one for one in told["fields"] if one["group"] != "What is wanted"]  # these stand with their ±
    texts = every_text(told)
    assert texts
    assert [text for text in texts if re.sub("ofspace$|(mm|thou)$", "", squeezed(text)) not in printed.body] == []


@pytest.mark.parametrize(("name", "page", "system"), ALL)
def test_nothing_is_clipped_crossed_or_overlapped(name: str, page: str, system: str) -> None:
    check_boxes(sheet(name, page, system)[1])


@pytest.mark.parametrize(("name", "page", "system"), ALL)
def test_every_open_point_is_on_the_first_page_and_every_page_says_draft(name: str, page: str, system: str) -> None:
    made, printed = sheet(name, page, system)
    first = squeezed(printed.texts[0])
    for point in made.open:
        assert squeezed(on_paper(point)) in first
    assert len(printed.texts) <= 4
    assert all("DRAFT" in one.text.split("\n")[0] for one in printed.pages)


@pytest.mark.parametrize(("page", "system"), WAYS)
@pytest.mark.parametrize("name", FINAL)
def test_a_final_first_page_is_complete_in_itself(name: str, page: str, system: str) -> None:
    """Job, the numbers with tolerances and verdict, the drawing, what is held and what is known, who decides."""
    made, printed = sheet(name, page, system, final=True)
    first = squeezed(printed.texts[0])
    assert len(printed.texts) <= 3
    keys = ("compression_height", "crown_volume", "bore", "stroke", "rod_length", "block_deck_height", "pin_diameter")
    wanted = [made.row(key) for key in (*keys, "land_height", "top_ring_width", "wall_clearance", "use", "rev_limit")]
    for row in wanted:
        assert row is not None
        assert squeezed(row.text) in first, row.name
    for words in ("Petrel twin", "FRONT", "DISH: adds", "at worst", ": kept", "NOT CHECKED", "Who decides", "Ines"):
        assert squeezed(words) in first
    assert "DRAFT" not in printed.body
    assert squeezed("accepted by the maker") in squeezed(printed.texts[-1])
    assert len(printed.texts[-1].split("\n")) > 8  # never the signatures alone


def test_inches_are_wholly_inches() -> None:
    body = " ".join(sheet("dish with pockets", "Letter", "imperial")[1].texts)
    assert re.findall(r"\d mm\b|\dmm\b|m/s\b", body) == []


def test_cylinders_that_are_alike_share_a_row() -> None:
    text = " ".join(sheet("eight")[1].texts)
    assert "1 to 8" in text
    assert not re.search(r"\b(1, 2|7, 8)\b", text)


class TestSums:
    def test_the_parts_add_exactly_as_printed_and_give_the_ratio(self) -> None:
        text = sheet("dish with pockets")[1].texts
        rows = re.findall(r"^1, 2 ((?:[+−]?\d+\.\d+ ?){8})$", "\n".join(text), re.MULTILINE)
        (row,) = rows
        *parts, total, swept, ratio = [Decimal(part.replace("−", "-")) for part in row.split()]
        assert len(parts) == 5
        assert sum(parts) == total
        exact = (swept + total) / total
        assert round(exact, len(str(ratio).partition(".")[2])) == ratio

    def test_the_parts_of_the_crown_add_exactly_as_printed(self) -> None:
        told = piston_order_of(sheet("dish with pockets")[0])
        *some, net = [Decimal(one.text.split()[1]) for one in told.crown.adds.values()]
        assert len(some) == 2
        assert sum(some) == net


class TestOnTheScreen:
    @pytest.mark.parametrize("width", [60, 80])
    @pytest.mark.parametrize("name", JOBS)
    def test_the_answer_fits_a_window(self, name: str, width: int) -> None:
        made = sheet(name)[0]
        report = order_report(made, piston_order_of(made), "petrel.toml")
        lines = report_lines(report, width=width)
        assert len(lines) < (24 if width == 80 else 40)
        assert max(map(len, lines)) < width
        assert max(map(len, report_lines(report, everything=True, width=width))) < width
        said = " ".join(" ".join(lines).split())
        for one in piston_order_of(made).ordered.values():
            assert one.text in said
        assert ("FINAL can be printed" in said) == made.final
        if made.open:
            assert made.open[0][:60] in said
            assert len(made.open) == 1 or f"And {len(made.open) - 1} more" in said

    def test_what_next(self) -> None:
        for name, words in (("dish", "--final --out order.pdf"), ("little", "ccassist guide petrel.toml")):
            made = sheet(name)[0]
            report = order_report(made, piston_order_of(made), "petrel.toml")
            assert words in " ".join(" ".join(report_lines(report)).split())


class TestDraftOrFinal:
    def test_a_final_sheet_of_an_open_order_is_refused(self) -> None:
        with pytest.raises(InputError, match="points stand open"):
            order_bytes(order(JOBS["little"]), final=True)

    def test_the_command(self, tmp_path: Path) -> None:
        job, out = tmp_path / "order.toml", tmp_path / "out.pdf"
        job.write_text(changed("-fuel"), encoding="utf-8")
        run = CliRunner().invoke(app, ["order", str(job), "--out", str(out), "--final"])
        assert run.exit_code == 1
        assert "missing, for the tuner to say: fuel" in " ".join(run.output.split())
        assert not out.exists()
        job.write_text(changed(), encoding="utf-8")
        for final in ([], ["--final"]):
            run = CliRunner().invoke(app, ["order", str(job), "--out", str(out), "--page", "Letter", *final])
            assert run.exit_code == 0, run.output
            assert ("FINAL." if final else "DRAFT.") in run.output.splitlines()[-1]
        data = json.loads(CliRunner().invoke(app, ["order", str(job), "--json"]).stdout)
        assert data["format"] == 1
        assert data["final"] is True
        assert data["ordered"]["crown_volume"]["value"] > 0
        assert {field["key"] for field in data["fields"]} >= {"bore", "compression_height", "crown_volume", "fuel"}

    def test_title_language_fonts_and_bytes(self) -> None:
        made, printed = sheet("dish")
        check_file(printed, "Petrel twin: piston order, revision A")
        assert order_bytes(made)[0] == printed.data


class TestFields:
    def test_the_place_of_the_pockets_is_not_missing_where_each_says_its_own(self) -> None:
        said = pocket() + 'place = "front"\n'
        for more, missing in ((PLACED, False), (said, False), (pocket(), True)):
            row = order(changed(more=more)).row("valve_pockets")
            assert (row is not None and bool(row.open)) == missing

    def test_what_is_wanted_is_not_missing_because_it_cannot_be_worked_out(self) -> None:
        made = order(changed("-chamber_volume"))
        assert not any("static compression ratio" in point for point in made.points if point.startswith("missing"))
        assert any("chamber volume" in point for point in made.points if point.startswith("missing"))

    def test_what_makers_ask_in_general_is_printed_only_where_it_is_given(self) -> None:
        more = {
            "contact": "Ines, at the workshop",
            "rotation": "clockwise, seen from the front",
            "liner": "cast iron, honed 300",
            "bore_gauged": "with a torque plate",
            "chamber_mould": "a mould in clay",
            "gas_ports": "none",
        }
        lines = [f'{key} = "{text}"' for key, text in more.items()] + ['second_land_height = "3.9 mm"']
        text = changed().replace("[order]\n", "[order]\n" + "\n".join(lines) + "\n", 1)
        body = Printed(order_bytes(order(text))[0]).body
        for said in (*more.values(), "3.90 mm"):
            assert squeezed(said) in body or said.startswith("Ines")
        assert "clockwise" not in sheet("dish")[1].body
        assert order(text).final


MARKUP = '<b>bold</b> & <img src="x"/> </para>'
LONG = "endless " * 200


def test_hostile_and_long_texts_print_as_text_and_flow_whole() -> None:
    """Markup, control codes, letters that the typeface lacks and long texts wherever the order takes words."""
    strange = chr(0x5E9) * 85
    texts = dict.fromkeys(("revision", "signed_by", "rings", "fuel"), f"{MARKUP} \x1b[31m")
    texts |= {"use": LONG + MARKUP, "remarks": LONG, "alloy": LONG, "maker": strange}
    text = changed(*(f"-{key}" for key in texts))
    lines = "\n".join(f"{key} = {json.dumps(said)}" for key, said in texts.items())
    made = order(text.replace("[order]\n", f"[order]\n{lines}\n", 1))
    printed = printed_of(lambda: order_bytes(made))
    assert printed.body.count(squeezed("<b>bold</b>")) >= 4
    assert "\x1b" not in "".join(printed.texts)
    assert printed.body.count("endless") >= 3 * 200
    assert printed.body.count("<U+05E9>") > 5
    check_boxes(printed)
