"""The piston order sheet read back: nothing missing, nothing overflowing, sums that add, draft or final."""

from __future__ import annotations

import json
import re
from decimal import Decimal
from functools import cache
from io import BytesIO
from pathlib import Path
from typing import Any

import pdfplumber
import pypdf
import pytest
from typer.testing import CliRunner

from ccassist.analysis.results import survey
from ccassist.cli.shell import app
from ccassist.job.file import load, parse_job
from ccassist.paper.order import order_bytes
from ccassist.plan.piston.order import Order, order_of, to_dict
from ccassist.values.findings import InputError
from tests.paper.letters import over_one_another, pages_of
from tests.paper.read_back import Printed, squeezed

EXAMPLE = Path(__file__).parents[2] / "examples" / "three-pistons.toml"
TEXT = EXAMPLE.read_text(encoding="utf-8")
WAYS = [("A4", "metric"), ("Letter", "imperial"), ("Letter", "metric")]
DOME = TEXT.replace('"8.8 to 9.2"', '"11.6 to 12.4"').replace(
    'shape = "dish inside a squish band"\nsquish_band = "9.0 mm"\ndish_corner = "1.0 mm"',
    'shape = "dome with sloped sides"\ndome_diameter = "60 mm"\ndome_top = "40 mm"',
)
BALL = TEXT.replace('"dish inside a squish band"', '"ball-cut dish"').replace('dish_corner = "1.0 mm"\n', "")
UNSHAPED = TEXT[: TEXT.index("[order.crown]")] + TEXT[TEXT.index("[order.to_decide]") :]
LITTLE = 'format = 1\n[engine]\ncylinders = 2\nbore = "80 mm, measured"\n'
JOBS = {"example": TEXT, "dome": DOME, "ball": BALL, "unshaped": UNSHAPED, "little": LITTLE}


class Sheet:
    """An order and its sheet, read back."""

    def __init__(self, text: str, page: str, system: str, *, final: bool = False) -> None:
        self.order: Order = order_of(survey(parse_job(text, "three-pistons.toml").job), system)
        self.data, self.count = order_bytes(self.order, page=page, final=final)
        self.pages = pages_of(self.data)
        texts = [page.text for page in self.pages]
        # Furniture stands between the halves of what flows over a page: only the body is joined.
        self.body = squeezed("".join("\n".join(text.split("\n")[2:-1]) for text in texts))
        self.text = "\n".join(text for text in texts)


@cache
def sheet(name: str, page: str, system: str) -> Sheet:
    """The sheet of an invented job."""
    return Sheet(JOBS[name], page, system)


ALL = [pytest.param(name, *way, id=f"{name}-{way[0]}-{way[1]}") for name in JOBS for way in WAYS]


def every_text(data: Any, key: str = "") -> list[str]:
    """Whatever the JSON prints as text."""
    if isinstance(data, dict):
        return [text for name, value in data.items() for text in every_text(value, name)]
    if isinstance(data, list):
        return [text for value in data for text in every_text(value, key)]
    return [data] if isinstance(data, str) and (key == "text" or key.endswith("_text")) and data else []


class TestEverySheet:
    @pytest.mark.parametrize(("name", "page", "system"), ALL)
    def test_every_number_of_the_json_stands_on_it(self, name: str, page: str, system: str) -> None:
        made = sheet(name, page, system)
        texts = every_text(json.loads(json.dumps(to_dict(made.order))))
        assert texts
        said = Printed(made.data).body
        assert [text for text in texts if squeezed(text) not in said] == []

    @pytest.mark.parametrize(("name", "page", "system"), ALL)
    def test_nothing_leaves_the_margins(self, name: str, page: str, system: str) -> None:
        for one in sheet(name, page, system).pages:
            for word in one.words:
                assert 40 <= word["x0"] <= word["x1"] <= one.width - 40, word["text"]
                assert 10 <= word["top"] <= word["bottom"] <= one.height - 5, word["text"]

    @pytest.mark.parametrize(("name", "page", "system"), ALL)
    def test_no_words_are_cut_short(self, name: str, page: str, system: str) -> None:
        words = [word["text"] for one in sheet(name, page, system).pages for word in one.words]
        assert [word for word in words if "…" in word] == []

    @pytest.mark.parametrize(("name", "page", "system"), ALL)
    def test_no_words_stand_on_one_another(self, name: str, page: str, system: str) -> None:
        for one in sheet(name, page, system).pages:
            assert over_one_another(one.words, across=0.8, down=2.5) == []

    @pytest.mark.parametrize(("name", "page", "system"), ALL)
    def test_every_open_point_is_printed_and_every_page_says_draft(self, name: str, page: str, system: str) -> None:
        made = sheet(name, page, system)
        for point in made.order.open:
            assert squeezed(point) in made.body
        texts = [page.text for page in made.pages]
        assert all("DRAFT" in text.split("\n")[0] for text in texts)
        assert all(f"page {n} of {made.count}" in text for n, text in enumerate(texts, 1))


class TestTheExample:
    def test_the_crown_is_said_in_words_that_cannot_be_turned_round(self) -> None:
        made = sheet("example", "A4", "metric")
        assert re.search(r"DISH: adds \d\.\d+ cc of space", made.text)
        assert "space that the crown ADDS" in made.text
        assert "DOME: takes" in sheet("dome", "A4", "metric").text
        assert "space that the crown TAKES" in sheet("dome", "A4", "metric").text

    def test_the_ratio_follows_from_the_printed_volumes(self) -> None:
        text = sheet("example", "A4", "metric").text
        found = re.findall(r"\((\d+\.\d+) \+ (\d+\.\d+)\) ÷ (\d+\.\d+) = (\d+\.\d+)", text)
        assert len(found) == 3
        for swept, clearance, again, ratio in found:
            assert clearance == again
            exact = (Decimal(swept) + Decimal(clearance)) / Decimal(clearance)
            assert round(exact, len(ratio.partition(".")[2])) == Decimal(ratio)

    def test_the_parts_of_the_crown_add_exactly_as_printed(self) -> None:
        text = sheet("example", "A4", "metric").text
        parts = [
            re.search(rf"{name}: adds (\d+\.\d+) cc", text)
            for name in ("dish", "intake pockets", "exhaust pockets", "net")
        ]
        *some, net = [Decimal(part[1]) for part in parts if part]
        assert len(some) == 3
        assert sum(some) == net

    def test_it_can_be_printed_as_final(self) -> None:
        made = Sheet(TEXT, "A4", "metric", final=True)
        assert "DRAFT" not in made.text
        assert "Piston order: FINAL" in made.text

    def test_the_same_order_gives_the_same_bytes(self) -> None:
        assert sheet("example", "A4", "metric").data == Sheet(f"{TEXT}\n# worked out anew\n", "A4", "metric").data

    def test_title_language_and_embedded_fonts(self) -> None:
        reader = pypdf.PdfReader(BytesIO(sheet("example", "A4", "metric").data))
        assert reader.metadata is not None
        assert reader.metadata.title == "Brackwater triple, long-stroke: Piston order, revision A"
        assert reader.trailer["/Root"]["/Lang"] == "en"
        for page in reader.pages:
            for font in page["/Resources"]["/Font"].values():
                face = font.get_object()
                if "FiraSans" in face["/BaseFont"]:
                    assert "/FontFile2" in face["/FontDescriptor"].get_object()
                else:
                    assert face["/BaseFont"] == "/Helvetica"  # the page maker names it, and sets nothing in it

    def test_it_is_drawn_to_scale(self) -> None:
        """The compression height, 31.15 mm at 1:1, is 88.3 points from the datum to the pin's axis."""
        made = sheet("example", "A4", "metric")
        assert "Scale 1:1" in made.text
        with pdfplumber.open(BytesIO(made.data)) as document:
            lengths = [abs(line["bottom"] - line["top"]) for line in document.pages[0].lines]
        assert any(abs(length - 31.15 / 25.4 * 72) < 0.1 for length in lengths)


class TestDraftOrFinal:
    def test_a_final_sheet_of_an_open_order_is_refused(self) -> None:
        order = order_of(survey(parse_job(LITTLE).job))
        with pytest.raises(InputError, match="points stand open"):
            order_bytes(order, final=True)

    def test_the_command_lists_what_is_open_and_writes_nothing(self, tmp_path: Path) -> None:
        job, out = tmp_path / "open.toml", tmp_path / "out.pdf"
        job.write_text(TEXT.replace('fuel = "98 octane petrol"\n', ""), encoding="utf-8")
        run = CliRunner().invoke(app, ["order", str(job), "--out", str(out), "--final"])
        assert run.exit_code == 1
        assert "missing, for the tuner to say: fuel" in run.output
        assert "".join(f"ccassist guide {job}".split()) in "".join(run.output.split())  # a long path is broken anywhere
        assert not out.exists()

    def test_the_command_writes_a_draft_and_a_final_sheet(self, tmp_path: Path) -> None:
        out = tmp_path / "out.pdf"
        for final in ([], ["--final"]):
            run = CliRunner().invoke(app, ["order", str(EXAMPLE), "--out", str(out), "--page", "Letter", *final])
            assert run.exit_code == 0, run.output
            assert ("FINAL" if final else "DRAFT") in run.output
            assert ("DRAFT" in pypdf.PdfReader(out).pages[0].extract_text()) == (not final)

    def test_json_is_whole(self) -> None:
        run = CliRunner().invoke(app, ["order", str(EXAMPLE), "--json"])
        data = json.loads(run.output)
        assert data["final"] is True
        assert data["ordered"]["crown_volume"]["value"] > 0
        assert {field["key"] for field in data["fields"]} >= {"bore", "compression_height", "crown_volume", "fuel"}

    def test_an_order_never_replaces_its_job(self, tmp_path: Path) -> None:
        job = tmp_path / "job.toml"
        job.write_text(TEXT, encoding="utf-8")
        with pytest.raises(InputError, match="replace the job file"):
            CliRunner().invoke(
                app, ["order", str(job), "--out", str(job)], catch_exceptions=False, standalone_mode=False
            )
        assert job.read_text(encoding="utf-8") == TEXT


MARKUP = '<b>bold</b> & <img src="x"/> </para>'
LONG = "endless " * 200


class TestHostileText:
    @pytest.fixture(scope="class")
    @classmethod
    def made(cls) -> Sheet:
        """Markup, control codes and long texts wherever the order takes words."""
        text = TEXT
        for key in ("maker", "revision", "signed_by", "use", "rings", "fuel", "remarks", "place"):
            said = json.dumps(f"{MARKUP} \x1b[31m {LONG if key in ('use', 'remarks', 'place') else ''}")
            text = re.sub(rf"^{key} = .*$", lambda _, key=key, said=said: f"{key} = {said}", text, flags=re.MULTILINE)
        return Sheet(text.replace('alloy = "the maker"', f"alloy = {json.dumps(MARKUP + LONG)}"), "A4", "metric")

    def test_markup_prints_as_text(self, made: Sheet) -> None:
        assert made.body.count(squeezed("<b>bold</b>")) >= 8
        assert "\x1b" not in made.text
        assert "<U+001B>" in made.text

    def test_long_texts_flow_whole(self, made: Sheet) -> None:
        assert made.body.count("endless") >= 4 * 200

    def test_nothing_leaves_the_margins(self, made: Sheet) -> None:
        for page in made.pages:
            for word in page.words:
                assert 40 <= word["x0"] <= word["x1"] <= page.width - 40, word["text"]
                assert 10 <= word["top"] <= word["bottom"] <= page.height - 5, word["text"]

    def test_letters_that_the_typeface_lacks_never_make_a_box_higher_than_the_page(self) -> None:
        """Each is printed as eight characters: what is cut short or noted goes by what is printed."""
        strange = chr(0x5E9) * 85
        text = re.sub(
            r'^(maker|revision|signed_by|date|use|fuel) = ".*"$', rf'\1 = "{strange}"', TEXT, flags=re.MULTILINE
        )
        text = re.sub(r'^name = ".*"$', f'name = "{strange}"', text, count=1, flags=re.MULTILINE)
        made = Sheet(text, "Letter", "metric")
        assert made.body.count("<U+05E9>") > 85


def test_the_example_is_sound() -> None:
    """No finding at all but what the sheet itself asks."""
    assert not [f for f in load(EXAMPLE).findings if f.level]
