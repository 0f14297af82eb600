"""Order and boost on the screen: within the window, what to do next, papers printed from the guide by themselves."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from ccassist.cli import boost, guide, plans
from ccassist.cli.screen import Showing

EXAMPLES = Path(__file__).parents[2] / "examples"
WIDTH = 79


@pytest.fixture
def triple(tmp_path: Path) -> Path:
    """The job for pistons, its block read twice and a millimetre apart: no ± is known."""
    text = (EXAMPLES / "three-pistons.toml").read_text(encoding="utf-8")
    measured = next(line for line in text.splitlines() if line.startswith("block_deck_height"))
    twice = (
        '\n[[series]]\nstep = "stack"\npart = "block"\nreadings = [{ block = "211.91 mm" }, { block = "212.91 mm" }]\n'
    )
    path = tmp_path / "triple.toml"
    path.write_text(text.replace(measured, "") + twice, encoding="utf-8")
    return path


def boosted(tmp_path: Path, **changes: str) -> Path:
    """The boosted example with some words of it changed."""
    text = (EXAMPLES / "turbo-four.toml").read_text(encoding="utf-8")
    for old, new in changes.items():
        text = text.replace(old, new)
    path = tmp_path / "four.toml"
    path.write_text(text, encoding="utf-8")
    return path


def squeezed(text: str) -> str:
    """A text without its blanks: a long path is broken over lines wherever it may be."""
    return "".join(text.split())


def on_screen(path: Path) -> None:
    plans.order(path, Showing())


def test_the_order_stays_within_the_window(triple: Path, capsys: pytest.CaptureFixture[str]) -> None:
    on_screen(triple)
    on_screen(EXAMPLES / "three-pistons.toml")
    lines = [line for line in capsys.readouterr().out.splitlines() if ".toml" not in line]  # the path may be long
    assert max(len(line) for line in lines) <= WIDTH


def test_a_spread_not_known_is_said_with_the_way_out(triple: Path, capsys: pytest.CaptureFixture[str]) -> None:
    on_screen(triple)
    shown = " ".join(capsys.readouterr().out.split())
    assert "± ?" in shown
    assert "take the repeats that show asks for" in shown


def test_an_open_order_says_how_to_go_on(triple: Path, capsys: pytest.CaptureFixture[str]) -> None:
    triple.write_text(triple.read_text(encoding="utf-8").replace('revision = "A"\n', ""), encoding="utf-8")
    on_screen(triple)
    shown = " ".join(capsys.readouterr().out.split())
    assert "5 open" in shown
    assert squeezed(f"ccassist guide {triple}") in squeezed(shown)


def test_a_settled_order_says_how_to_print_it_as_final(capsys: pytest.CaptureFixture[str]) -> None:
    on_screen(EXAMPLES / "three-pistons.toml")
    assert "--final --out order.pdf" in " ".join(capsys.readouterr().out.split())


def test_a_ratio_outside_what_is_wanted_names_the_way_to_it(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = boosted(tmp_path, **{'static_ratio = "8.4 to 8.6"': 'static_ratio = "9.4 to 9.6"'})
    boost.run(path, Showing(everything=True))
    said = squeezed(capsys.readouterr().out)
    assert squeezed(f"ccassist boost {path} --for crown_volume --to octane_difference=0") in said
    assert squeezed(f"ccassist boost {path} --levers") in said
    assert squeezed(f"ccassist solve {path} --for crown_volume --to static_ratio=9.5") in said


@pytest.mark.parametrize(("paper", "file"), [("order sheet", "triple-order.pdf"), ("boost pages", "four-boost.pdf")])
def test_a_paper_of_the_guide_is_printed_without_the_screen_again(
    tmp_path: Path, triple: Path, capsys: pytest.CaptureFixture[str], paper: str, file: str
) -> None:
    path = triple if "order" in paper else boosted(tmp_path)
    guide._screen(paper, path)
    (line,) = capsys.readouterr().out.splitlines()
    assert line.startswith("Wrote ")
    assert (tmp_path / file).read_bytes().startswith(b"%PDF")


def first_ratio(shown: str) -> float:
    """The static ratio of cylinder 1 from the first table."""
    found = re.search(r"^\s+1\s+(\d+\.\d+) ±", shown, re.MULTILINE)
    assert found is not None
    return float(found[1])


def test_boost_takes_the_pistons_to_be_ordered_where_there_are_none_yet(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The ratio is that of the order, and said to be of pistons that are not made yet."""
    text = (EXAMPLES / "three-pistons.toml").read_text(encoding="utf-8")
    path = tmp_path / "new.toml"
    without = [line for line in text.splitlines() if not line.startswith(("compression_height", "crown_volume"))]
    more = '[cam]\nintake_closing = "50 deg, measured"\n[charge]\nboost_gauge = "0.5 bar"\n\n[[series]]\nstep = "bore"'
    body = "\n".join(without).replace("[job]", '[job]\nfor = "pistons, turbo"')
    path.write_text(body.replace('[[series]]\nstep = "bore"', more, 1), encoding="utf-8")
    on_screen(path)
    ordered = first_ratio(capsys.readouterr().out)
    boost.run(path, Showing(everything=True))
    shown = capsys.readouterr().out
    assert first_ratio(shown) == pytest.approx(ordered, abs=0.006)  # of two or of three decimals
    assert "the pistons are those to be ordered, not measured ones" in " ".join(shown.split())
    path.write_text(
        path.read_text(encoding="utf-8").replace('for = "pistons, turbo"', 'for = "turbo"'), encoding="utf-8"
    )
    boost.run(path, Showing(everything=True))
    assert "not known" in capsys.readouterr().out


def test_without_the_closing_it_is_said_where_to_take_it_from(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = boosted(tmp_path, **{'intake_closing = "46 +/- 1 deg after BDC, measured"\n': ""})
    boost.run(path, Showing(everything=True))
    shown = " ".join(capsys.readouterr().out.split())
    assert "Not given: intake closing; degree it, or take it from the cam card" in shown
