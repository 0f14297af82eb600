"""The page for the customer and the file as data: what it says, in whose units, and what it never shows a customer."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest

from ccassist.report.blocks import Beside, Block, DotPlot, Facts, Heading, OnePage, Report, Table, Text, Tiles
from ccassist.report.worksheet import said_in, worksheet_report
from ccassist.values.display import METRIC, formatter
from ccassist.values.verdict import band_text, parse_band
from tests.paper.made_sheets import surveyed
from tests.paper.pages_jobs import heads, whole

ALIKE = whole(4).split("[cylinder.1]")[0].replace(
    "[engine]\ncylinders = 4\n",
    '[engine]\ncylinders = 4\nchamber_volume = "47.3 +/- 0.2 cc, measured"\n'
    'crown_volume = "dish 3.1 +/- 0.3 cc, assumed"\ndeck_clearance = "flush +/- 0.02 mm, measured"\n',
)  # fmt: skip
JOBS = {"one": whole(1), "eight": whole(8), "alike": ALIKE, "heads": heads(4)}


def report_of(name: str, system: str = "metric") -> Report:
    return worksheet_report(said_in(surveyed(JOBS[name]), system), formatter(system))


def blocks(report: Report) -> Iterator[Block]:
    """Every block, those within others too."""
    waiting = list(report.answer)
    while waiting:
        block = waiting.pop(0)
        yield block
        if isinstance(block, OnePage):
            waiting += [*block.blocks, *block.spare]
        elif isinstance(block, Beside):
            waiting += [one for column in block.columns for one in column]


def texts(report: Report) -> Iterator[str]:
    """Every text that is printed."""
    for block in blocks(report):
        if isinstance(block, Heading | Text):
            yield block.words
        elif isinstance(block, Table):
            yield from (text for row in (block.head, *block.rows) for text in row)
        elif isinstance(block, Tiles):
            yield from (text for tile in block.tiles for text in (tile.title, tile.figure, *tile.words))
        elif isinstance(block, Facts):
            yield from (text for fact in block.facts for text in fact)
        elif isinstance(block, DotPlot):
            yield from (block.title, block.axis, *(dot.name for dot in block.dots))


def table(report: Report, title: str) -> Table:
    """The table under a heading."""
    found = list(blocks(report))
    place = found.index(Heading(title, 2))
    return next(one for one in found[place:] if isinstance(one, Table))


class TestBeforeACustomer:
    @pytest.mark.parametrize("system", ["metric", "imperial"])
    @pytest.mark.parametrize("name", JOBS)
    def test_no_key_no_line_no_path(self, name: str, system: str) -> None:
        for text in texts(report_of(name, system)):
            assert not re.search(r"\b[a-z]+_[a-z_]+\b|\bline \d|\.toml:|\(part\.|\bseries \d", text), text

    @pytest.mark.parametrize("name", JOBS)
    def test_no_unit_of_the_other_system(self, name: str) -> None:
        assert not [t for t in texts(report_of(name, "imperial")) if re.search(r"\d mm\b|, mm\b|\bdegC", t)]
        assert not [t for t in texts(report_of(name, "metric")) if re.search(r"\d (in|thou)\b|, (in|thou)$", t)]


class TestEachCylinder:
    def test_those_alike_share_a_row_and_nothing_is_to_be_opened(self) -> None:
        found = table(report_of("alike"), "Each cylinder")
        assert [row[0] for row in found.rows] == ["1 to 4"]
        assert not any("open first" in head for head in found.head)

    def test_signs_stand_in_words_in_the_head_or_in_each_cell(self) -> None:
        mixed, alike = (table(report_of(name), "Each cylinder") for name in ("eight", "alike"))
        crown = mixed.head.index("crown, cc")
        assert {row[crown].split()[0] for row in mixed.rows} == {"dish", "dome"}
        assert {row[mixed.head.index("deck, mm")].split()[-1] for row in mixed.rows} == {"below", "proud"}
        assert "crown (dish), cc" in alike.head

    def test_what_lies_outside_is_strong(self) -> None:
        """The first cylinder of eight cannot be told from 9.0, every other lies outside 9.0 to 9.4."""
        found = table(report_of("eight"), "Each cylinder")
        ratio = found.head.index("ratio")
        assert [row for row, column in found.strong if column == ratio] == list(range(1, 8))


class TestWanted:
    def test_a_figure_of_the_whole_engine_is_not_missing(self) -> None:
        """Displacement of eight: 8 × π/4 × 86.3² × 79.1 mm³ = 3701.5 cc (plain arithmetic)."""
        said = {row[0]: row[2] for row in table(report_of("eight"), "Wanted").rows}
        assert said["displacement"] == "inside"

    def test_each_verdict_names_its_cylinders(self) -> None:
        said = {row[0]: row[2] for row in table(report_of("eight"), "Wanted").rows}
        assert said["static compression ratio"] == "cannot tell at this ±: 1; outside: 2 to 8"

    @pytest.mark.parametrize(("raw", "key", "shown"), [
        ("40 to 45 thou", "squish", "1.016 to 1.143 mm"),
        ("0.905 to 1.2 mm", "squish", "0.905 to 1.200 mm"),
        ("at least 58 cc", "chamber_volume", "at least 58.00 cc"),
        ("at most 0.2 mm proud", "deck_clearance", "at most 0.20 mm proud of the deck"),
        ("9.5", "static_ratio", "9.50"),
    ])  # fmt: skip
    def test_it_is_said_in_the_units_shown(self, raw: str, key: str, shown: str) -> None:
        assert band_text(parse_band(raw, key), METRIC) == shown


class TestHeads:
    def test_bare_heads_have_a_page_of_their_own(self) -> None:
        report = report_of("heads")
        assert report.title == "Chamber worksheet"
        assert table(report, "Each cylinder").head == ("cyl", "chamber, cc", "smaller by, cc", "open first, cc")
        assert not [text for text in texts(report) if "not worked out" in text or "ratio" in text]

    def test_the_largest_is_left_alone(self) -> None:
        """The fourth chamber was filled 0.39 cc more than the first: 0.09 cc is opened first, short by 0.3 cc."""
        rows = table(report_of("heads"), "Each cylinder").rows
        assert rows[-1][2:] == ("largest", "leave")
        assert rows[0][2].startswith("0.39 ± ")
        assert rows[0][3] == "0.09"


def test_an_engine_without_all_its_parts_says_what_the_ratio_waits_for() -> None:
    text = whole(2).replace('gasket_thickness = "1.20 +/- 0.03 mm, maker\'s figure"\n', "")
    said = " ".join(texts(worksheet_report(surveyed(text), METRIC)))
    assert "Static compression ratio and squish gap: not worked out, still to be measured or given: " in said
    assert "compressed gasket thickness" in said


def test_nothing_measured_still_gives_a_page() -> None:
    said = list(texts(worksheet_report(surveyed("format = 1\n[engine]\ncylinders = 3\n"), METRIC)))
    assert "Unnamed job" in said
    assert any(text.startswith("Static compression ratio: not worked out") for text in said)


def test_readings_stand_behind_it_where_a_page_holds_them() -> None:
    report = report_of("heads")
    found = [block for block in blocks(report) if isinstance(block, Table) and block.head[1] == "read, cc"]
    assert found[0].rows[0][1] == "47.230, 47.330, 47.280"
    assert len(found[0].rows) == 4
