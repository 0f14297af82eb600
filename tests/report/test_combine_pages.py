"""Combinations on paper: pages read back as text, long tables, fonts, the same bytes twice."""

from __future__ import annotations

import json
import re
from io import BytesIO
from pathlib import Path

import pypdf
import pytest

from ccassist.analysis.results import sound_survey
from ccassist.cli import plans as command
from ccassist.cli.screen import Showing
from ccassist.job.file import parse_job
from ccassist.paper.reports import report_bytes
from ccassist.plan.combine.candidates import aims_of, candidates
from ccassist.plan.combine.search import combine
from ccassist.report.combine import combinations_of, combine_report
from ccassist.report.data import to_json
from ccassist.values.display import formatter
from ccassist.values.findings import InputError
from tests.paper.letters import pages_of
from tests.paper.read_back import Printed, squeezed

ENGINE = """format = 1
[job]
name = "Mixed <b>four</b>"
[engine]
cylinders = 1
bore = "83.40 mm, measured"
stroke = "91.70 mm, measured"
rod_length = "148.90 mm, measured"
compression_height = "31.35 mm, measured"
deck_clearance = "0.20 +/- 0.02 mm below deck, measured"
chamber_volume = "46.3 +/- 0.3 cc, measured"
gasket_bore = "84.9 mm, measured"
gasket_thickness = "1.30 mm, measured"
crown_volume = "dish 8.7 +/- 0.5 cc, measured"
piston_weight = "452 +/- 1 g, measured"
[counted]
crevice = "not counted"
[cam]
intake_closing = "55 deg after BDC, measured"
event_lift = "1.00 mm"
lift_read_at = "the valve"
"""
ODD = '<img src="x"/> & \x1b[31m漢'


def text_of(gaskets: int = 3, name: str = "light") -> str:
    text = ENGINE + f'[choice.pistons.own]\n[choice.pistons.{json.dumps(name)}]\npiston_weight = "410 g, measured"\n'
    text += 'crown_volume = "dish 6.0 cc, measured"\n'
    for n in range(gaskets):
        text += f'[choice.gasket."G{n}"]\ngasket_thickness = "{0.7 + n / 100:.2f} mm, measured"\n'
    return text


def made(text: str, *, to=(), within=(), top: int = 1000, page: str = "A4", system: str = "metric") -> bytes:
    return both(text, to, within, top=top, page=page, system=system)[0]


def both(text: str, to, within, *, top: int = 1000, page: str = "A4", system: str = "metric"):
    """The pages, and the plain data of the same combinations."""
    engine, fmt = sound_survey(parse_job(text).job), formatter(system)
    aims = aims_of(engine.wanted, to, within)
    told = combinations_of(combine(candidates(engine), aims, top=top), fmt)
    return report_bytes(combine_report(told, aims, engine, fmt), engine, page=page, fmt=fmt)[0], to_json(told, fmt)


def texts(data: bytes) -> list[str]:
    return [page.text for page in pages_of(data)]


def flowing(data: bytes) -> str:
    return " ".join(" ".join(texts(data)).split())


def test_what_was_asked_refused_and_ranked_can_be_searched() -> None:
    """Four of six keep to the band: 0.70, 0.71 and 0.72 mm of gasket over 0.20 below the deck (by hand)."""
    data = flowing(made(text_of(), to=["static_ratio=9.5"], within=["squish=0.905 to 1.2 mm"]))
    for said in (
        "6 combinations, 2 refused, 4 left.",
        "gasket: G0, G1, G2",
        "static compression ratio 9.50: ranks the rows",
        "squish gap 0.905 to 1.200 mm: kept to",
        "2 squish gap outside what is wanted: 0.905 to 1.200 mm",
        "The nearest to static compression ratio 9.50 first.",
        "Trapped ratio: geometry alone, at intake closing 55",
        "42.0 ± 1.",
        "lighter",
        "Not looked at here",
        "Cold gaps close",
    ):
        assert said in data, said


def test_the_rows_stand_in_their_order() -> None:
    engine = sound_survey(parse_job(text_of()).job)
    found = combine(candidates(engine), aims_of({}, ["static_ratio=9.5"]))
    data = flowing(made(text_of(), to=["static_ratio=9.5"]))
    ranked = data[: data.index("What was asked")]
    last = 0
    for number, row in enumerate(found.best, 1):
        ratio = f"{row.values['static_ratio'].nominal:.3f}"
        place = ranked.find(f"{number} {row.parts[0].name} {row.parts[1].name} {ratio}")
        assert place > last, number
        last = place


FIGURE = re.compile(r"\d[\d.]*(?: ± [\d.]+)?")


@pytest.mark.parametrize(("to", "within"), [(["static_ratio=9.5"], []), ([], ["squish=2.0 to 2.2 mm"]),
                                            (["rod_ratio=1.7"], ["swept_volume=500 to 520 cc"])])  # fmt: skip
@pytest.mark.parametrize("system", ["metric", "imperial"])
def test_every_number_of_the_json_stands_on_the_page(to: list[str], within: list[str], system: str) -> None:
    """Names, figures with their ±, changes of weight, reasons; the distance only ranks the rows and is not printed."""
    pages, data = both(text_of(), to, within, system=system)
    said = Printed(pages).body
    rows = data["rows"] or data["nearest_misses"]
    assert rows
    for count in (f"{data['combinations']} combinations", f"{data['left']} left"):
        assert squeezed(count) in said
    for one in data["refused"]:
        assert squeezed(f"{one['combinations']} {one['text']}") in said
    for row in rows:
        values = [*row["values"].values(), *row["weight_changes"].values()]
        texts = [found[0] for value in values if (found := FIGURE.search(value["text"]))]  # the head has the unit
        texts += [*row["parts"].values(), *row["remarks"]] if "remarks" in row else [b["text"] for b in row["breaks"]]
        assert [text for text in texts if squeezed(text) not in said] == []


def test_a_long_table_flows_with_its_head_on_every_page() -> None:
    pages = texts(made(text_of(gaskets=100)))
    assert len(pages) > 5
    for number, text in enumerate(pages, 1):
        assert f"page {number} of {len(pages)}" in text
        assert "Combinations of parts" in text
    ranked = [text for text in pages if "own G" in text or "light G" in text]
    assert len(ranked) > 2
    assert all("pistons gasket" in text for text in ranked)


def test_where_none_is_left_the_nearest_misses_are_printed() -> None:
    data = flowing(made(text_of(), within=["squish=2.0 to 2.2 mm"]))
    for said in (
        "6 combinations, 6 refused, 0 left.",
        "What removed most: squish gap outside what is wanted: 2.00 to 2.20 mm (6 of 6).",
        "Nearest misses, none of which is what was asked for",
        "1 breaks: squish gap outside what is wanted: 2.00 to 2.20 mm, by 1.08 mm.",
    ):
        assert said in data, said


def test_the_same_combinations_give_the_same_bytes_with_fonts_inside() -> None:
    first, second = (made(f"{text_of()}\n# {n}\n", to=["static_ratio=9.5"]) for n in range(2))
    assert first == second
    faces = [
        face.get_object()
        for page in pypdf.PdfReader(BytesIO(first)).pages
        for face in page["/Resources"]["/Font"].values()
    ]
    used = [face for face in faces if face["/BaseFont"] != "/Helvetica"]  # the page maker's default, with no text in it
    assert used
    for face in used:
        assert "/FontFile2" in face["/FontDescriptor"].get_object()
    named = {face["/BaseFont"].rpartition("+")[2] for face in used}  # without the mark of a part of a font
    assert {char.fontname for page in pages_of(first) for char in page.chars} == named


def test_names_are_text_whatever_they_say() -> None:
    data = flowing(made(text_of(name=ODD)))
    assert 'img src="x"/> &' in data
    assert "Mixed <b>four</b>" in data
    assert "\x1b" not in data


@pytest.mark.parametrize(("page", "size"), [("A4", (595.3, 841.9)), ("Letter", (612, 792))])
def test_page_sizes_and_units(page: str, size: tuple[float, float]) -> None:
    """ISO 216 and ANSI Y14.1 sizes in points (from memory)."""
    data = made(text_of(), page=page, system="imperial")
    box = pypdf.PdfReader(BytesIO(data)).pages[0].mediabox
    assert (float(box.width), float(box.height)) == pytest.approx(size, abs=0.1)
    assert "thou" in flowing(data)


def test_the_command_writes_the_pages(tmp_path: Path, capsys) -> None:
    path = tmp_path / "mixed.toml"
    path.write_text(text_of(), encoding="utf-8")
    showing = Showing(out=tmp_path / "mixed.pdf", page="Letter")
    assert command.combine(path, command.CombineAsked(), showing) == 0
    assert "mixed.pdf, 2 pages Letter." in " ".join(capsys.readouterr().out.split())
    assert (tmp_path / "mixed.pdf").read_bytes().startswith(b"%PDF")
    with pytest.raises(InputError, match="no such page size"):
        command.combine(path, command.CombineAsked(), Showing(out=tmp_path / "x.pdf", page="A9"))
    with pytest.raises(InputError, match="would replace the job file"):
        command.combine(path, command.CombineAsked(), Showing(out=path))
