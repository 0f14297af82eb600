"""A fill read the other way along a scale is questioned: invented readings, the tool's own rule."""

from __future__ import annotations

from pathlib import Path

import pytest

from ccassist.analysis.results import new_questions, survey
from ccassist.job.file import parse_job
from ccassist.job.recording import TypedReading, record_reading
from ccassist.values.findings import Finding

HEAD = 'format = 1\n[engine]\ncylinders = 2\n[part.head]\nkind = "head"\n'


def series(rows: list[tuple[str, str]], tool: str, cylinder: int = 1, more: str = "") -> str:
    """A block of fills."""
    read = "".join(f'    {{ start = "{a} ml", end = "{b} ml" }},\n' for a, b in rows)
    return (
        f'[[series]]\nstep = "chamber"\ncylinder = {cylinder}\nplug = "fitted"\nhole = "not filled"\n'
        f'instrument = "{tool}"\nfluid = "water"\n{more}readings = [\n{read}]\n'
    )


def asked(text: str, code: str) -> list[Finding]:
    """The questions of a code in a job."""
    return [f for f in survey(parse_job(text).job).findings if f.code == code and f.asks]


UP, DOWN = ("0.1", "38.2"), ("38.2", "0.1")


@pytest.mark.parametrize(
    ("tool", "rows", "lines"),
    [
        ("burette 50 ml class B", [UP, UP], []),
        ("burette 50 ml class B", [DOWN], [0]),  # ISO 385: nought at the top, so the reading grows (from memory)
        ("burette 50 ml class B", [UP, DOWN, UP], [1]),
        ("unmarked bottle", [DOWN, DOWN], []),
        ("unmarked bottle", [DOWN, UP], [1]),
        ("unmarked bottle", [UP, UP, DOWN], [2]),
        ("syringe 60 ml", [DOWN, DOWN, UP], [2]),
    ],
)
def test_the_other_way_is_asked_about(tool: str, rows: list[tuple[str, str]], lines: list[int]) -> None:
    text = HEAD + series(rows, tool)
    first = text[: text.index("    {")].count("\n") + 1
    found = asked(text, "other-way")
    assert [f.line for f in found] == [first + n for n in lines]
    assert all("changed over" in f.right and f.place == "cylinder 1" for f in found)


def test_the_fills_before_may_be_those_of_another_chamber() -> None:
    text = HEAD + series([DOWN, DOWN], "unmarked bottle") + series([UP], "unmarked bottle", 2)
    assert [f.place for f in asked(text, "other-way")] == ["cylinder 2"]


def test_what_is_set_aside_leads_no_way() -> None:
    rows = series([UP, DOWN], "unmarked bottle").replace('"38.2 ml" }', '"38.2 ml", set_aside = "changed over" }')
    assert asked(HEAD + rows, "other-way") == []


def test_recorded_it_is_refused_unless_it_is_sure(tmp_path: Path) -> None:
    path = tmp_path / "heads.toml"
    path.write_text(HEAD + series([UP], "burette 50 ml class B"), encoding="utf-8")
    before = path.read_text(encoding="utf-8")
    reading = TypedReading(
        step="chamber",
        fields=["start=38.2", "end=0.1"],
        cylinder=1,
        instrument="burette 50 ml class B",
        fluid="water",
        settings=["hole=not filled", "plug=fitted"],
    )
    with pytest.raises(Exception, match=r"other way than its scale.*--sure"):
        record_reading(path, reading, new_questions)
    assert path.read_text(encoding="utf-8") == before


class TestState:
    """Readings in no state after readings in one."""

    def test_they_are_asked_about(self) -> None:
        text = HEAD + series([UP], "unmarked bottle", 1, 'state = "as received"\n') + series([UP], "unmarked bottle", 2)
        (found,) = asked(text, "state-not-said")
        assert found.place == "cylinder 2"
        assert "as received" in found.right

    @pytest.mark.parametrize("states", [("", ""), ("", "as received"), ("as received", "seats cut")])
    def test_others_are_not(self, states: tuple[str, str]) -> None:
        text = HEAD
        for number, state in enumerate(states, start=1):
            text += series([UP], "unmarked bottle", number, f'state = "{state}"\n' if state else "")
        assert asked(text, "state-not-said") == []

    def test_recorded_it_is_refused(self, tmp_path: Path) -> None:
        path = tmp_path / "heads.toml"
        path.write_text(HEAD + series([UP], "unmarked bottle", 1, 'state = "as received"\n'), encoding="utf-8")
        reading = TypedReading(
            step="chamber", fields=["start=0.1", "end=38.2"], cylinder=2, instrument="unmarked bottle"
        )
        with pytest.raises(Exception, match=r"no state is said.*--sure"):
            record_reading(path, reading, new_questions)


class TestAStateWithASlip:
    """A state that is an earlier one with a slip of spelling would hide its readings: asked.  No outside source."""

    @pytest.mark.parametrize(
        "later", ["Seats cut", "SEATS CUT", "seats-cut", "seat cut", "seats cutt", "saets cut", "seatscut"]
    )
    def test_it_is_asked_about(self, later: str) -> None:
        text = HEAD + series([UP], "unmarked bottle", 1, 'state = "seats cut"\n')
        (found,) = asked(text + series([UP], "unmarked bottle", 1, f'state = "{later}"\n'), "state-misspelt")
        assert found.read == later
        assert '"seats cut"' in found.right

    @pytest.mark.parametrize(
        "later", ["seats cut", " seats cut", "seats  cut ", "opened", "seats cut 2", "as received"]
    )
    def test_the_same_and_others_are_not(self, later: str) -> None:
        text = HEAD + series([UP], "unmarked bottle", 1, 'state = "seats cut"\n')
        assert asked(text + series([UP], "unmarked bottle", 1, f'state = "{later}"\n'), "state-misspelt") == []

    def test_another_figure_is_another_state(self) -> None:
        text = HEAD + series([UP], "unmarked bottle", 1, 'state = "skimmed 0.25 mm"\n')
        text += series([UP], "unmarked bottle", 1, 'state = "skimmed 0.35 mm"\n')
        assert asked(text, "state-misspelt") == []

    @pytest.mark.parametrize("blank", ["", " ", "\\t"])
    def test_a_blank_one_is_none(self, blank: str) -> None:
        text = HEAD + series([UP], "unmarked bottle", 1, 'state = "seats cut"\n')
        text += series([UP], "unmarked bottle", 1, f'state = "{blank}"\n')
        assert len(asked(text, "state-not-said")) == 1
