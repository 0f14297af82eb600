"""A reading by the names of its values: whole or not at all, and never two."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.guide.sitting import HEADS, Sitting
from tests.guide.test_session import SET_UP


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Sitting]:
    """A fill of a chamber saved."""
    found = Sitting(tmp_path / "heads.toml")
    found.type(*SET_UP, "0.1, 46.2")
    yield found
    found.file.close()


def test_in_any_order(bench: Sitting) -> None:
    bench.type("end=46,3, start = 0.2")
    assert (bench.rows[-1]["start"], bench.rows[-1]["end"]) == ("0.2 cc", "46,3 cc")


def test_what_hardly_ever_changes_may_be_left_out(syringe: Sitting) -> None:
    syringe.type("0, 60, 46.2")
    before = len(syringe.rows)
    syringe.type("full=0, rest=46.4")
    assert len(syringe.rows) == before + 1
    assert syringe.rows[-1]["each"] == "60 cc"


@pytest.mark.parametrize("line", ["start=0.1", "end=46.2", "start=0.1, end=", "start=0.1, end=46.2 46.3", "brim=3"])
def test_less_than_a_whole_one_is_nothing(bench: Sitting, line: str) -> None:
    before = bench.text
    bench.type(line)
    assert bench.text == before
    assert not bench.state.typed
    assert "Not taken" in bench.said


def test_it_completes_one_that_is_begun(bench: Sitting) -> None:
    bench.type("0.1", "end=46.2")
    assert (bench.rows[-1]["start"], bench.rows[-1]["end"]) == ("0.1 cc", "46.2 cc")


def test_two_lists_of_which_one_is_shorter(bench: Sitting) -> None:
    before = bench.text
    bench.type("start=0; 0.1, end=50")
    assert bench.text == before
    assert not bench.state.typed
    assert "needs its other" in bench.said


def test_a_doubted_one_is_kept_on_yes(bench: Sitting) -> None:
    count = len(bench.rows)
    bench.type("start=0.1, end=9.2")
    assert len(bench.rows) == count
    bench.type("yes")
    assert bench.rows[-1]["end"] == "9.2 cc"


def test_tools_and_fluids_are_offered_by_number_what_the_job_used_and_its_own_first(tmp_path: Path) -> None:
    """The commonest few; of the rest, which the question holds too, none is twice and none reads anything else."""
    own = '[instrument."oil squirt"]\nlike = "unmarked bottle"\n[[series]]\nstep = "chamber"\ncylinder = 1\n'
    used = 'instrument = "pipette 50 ml class B"\nfluid = "white spirit"\nreadings = [{ end = "46 cc" }]\n'
    new = Sitting(tmp_path / "new.toml").type("1").question
    assert "water" not in new.options
    assert new.options[:1] == ("burette 50 ml class B",)
    bench = Sitting(tmp_path / "used.toml", HEADS.replace("crown, ", "").replace(" deck,", " ") + own + used)
    bench.open("crown")
    tools = bench.type("1").question
    assert tools.options[:3] == ("pipette 50 ml class B", "oil squirt", "burette 50 ml class B")
    assert len(tools.options) == 6
    assert set(tools.options) < set(tools.names)
    assert "bore gauge" not in tools.names
    bench.type("1")
    assert bench.state.said["instrument"] == ("pipette 50 ml class B",)


@pytest.mark.parametrize(("step", "first"), [("bore", "micrometer"), ("deck", "dial indicator")])
def test_of_the_common_tools_what_a_step_lays_out_is_offered_first(tmp_path: Path, step: str, first: str) -> None:
    bench = Sitting(tmp_path / "block.toml", HEADS.replace("bore, stack, deck,", ""))
    shown = bench.open(step)
    while not shown.question.names:
        shown = bench.type("1")
    assert shown.question.options[0] == first
