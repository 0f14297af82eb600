"""``ccassist ratio`` as typed at a shell: the ratio first, all in one window, several values as a table."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

import ccassist
from ccassist.cli.layout import HEIGHT, report_lines
from ccassist.report.ratio import ratio, ratio_report, ratios
from ccassist.values.display import formatter
from ccassist.values.findings import InputError
from tests.plan.test_quick import LINE, WHOLE, of
from tests.sound_job import Shop


def test_the_ratio_stands_first_and_all_in_one_window(shop: Shop) -> None:
    code = shop.run("ratio", *LINE)
    out, err = shop.out, shop.err
    assert (code, err) == (0, "")
    lines = out.splitlines()
    assert lines[0] == "Static compression ratio 9.11 ± 0.24"
    assert len(lines) <= 24
    assert max(map(len, lines)) <= 80
    assert "No 95 %" in out


@pytest.mark.parametrize("width", [60, 80])
@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize(
    "more",
    [
        {"rod": "151.3 mm", "closing": "62", "crevice": "1 cc", "chamfer": "0.2 cc", "below": "2.9 mm", "dish": "40"},
        {"gasket": "1.1 mm|1.4 mm|9 mm", "dish": "2 cc|6 cc|90 cc"},
        {"dish": "", "ratio": "9.5"},
        {"dish": "", "ratio": "9|30|90"},
    ],
)
def test_the_answer_fits_a_window_and_nothing_breaks(more: dict[str, str], units: str, width: int) -> None:
    bare = {"bore": "83.4 mm", "stroke": "91.3 mm", "gasket": "1.14 mm", "below": "0.23 mm", "chamber": "47.6 cc"}
    said = {key: text.split("|") for key, text in {**bare, "dish": "6.4", **more}.items() if text}
    report = ratio_report(ratios(said, units), formatter(units))
    lines = report_lines(report, width=width)
    assert len(lines) < HEIGHT + 4 * (width < 80)
    for line in (*lines, *report_lines(report, width=width, everything=True)):
        assert len(line) < width
        assert not line.endswith("±")


def test_several_values_make_a_table(shop: Shop) -> None:
    code = shop.run("ratio", *(one for one in LINE if "gasket" not in one), "gasket=1.0", "gasket=1,4")
    out = shop.out
    assert code == 0
    assert [line.split()[:2] for line in out.splitlines()[1:4]] == [
        ["gasket", "ratio"],
        ["1.0", f"{of(ratio(**{**WHOLE, 'gasket': '1.0'}), 'static_ratio'):.2f}"],
        ["1,4", f"{of(ratio(**{**WHOLE, 'gasket': '1.4'}), 'static_ratio'):.2f}"],
    ]


def test_too_many_combinations_are_refused() -> None:
    with pytest.raises(InputError, match="25 combinations"):
        ratios({**{k: [v] for k, v in WHOLE.items()}, "gasket": [f"1.{n:02}" for n in range(25)]}, "metric")


def test_one_left_out_is_answered_first_with_formula_and_reach(shop: Shop) -> None:
    code = shop.run("ratio", *(one for one in LINE if "dish" not in one), "ratio=9.5")
    out = shop.out
    assert code == 0
    assert out.startswith("For a ratio of 9.5: net crown volume dish, adds 3.6 ")
    assert "Vp = Vs ÷ (CR − 1) − Vch − Vg − Vd" in out
    assert "goes from" in out


def test_an_answer_that_cannot_be_built_is_doubted_at_once(shop: Shop) -> None:
    assert shop.run("ratio", *(one for one in LINE if "below" not in one), "ratio=30") == 0
    lines = shop.out.splitlines()
    assert "proud of the deck" in lines[0]
    assert lines[1].startswith("LOOK")
    assert "OVERLAP" in shop.out


@pytest.mark.parametrize("said", [{"below": "2.9"}, {"gasket": "9"}, {"chamber": "7"}])
def test_whatever_is_doubtful_stands_under_the_ratio(shop: Shop, said: dict[str, str]) -> None:
    assert shop.run("ratio", *(f"{key}={text}" for key, text in {**WHOLE, **said}.items())) == 0
    assert shop.out.splitlines()[1].startswith("LOOK")


def test_an_unusual_ratio_asked_for_is_doubted_at_once(shop: Shop) -> None:
    assert shop.run("ratio", *(one for one in LINE if "dish" not in one), "ratio=40") == 0
    assert "LOOK  an unusual static compression ratio, 40.00" in shop.out.partition("\n\n")[0]


def test_a_table_says_which_case_is_doubtful_and_what_varies(shop: Shop) -> None:
    """And that no ± is vouched for, though what each rests on is not the same."""
    said = [one for one in LINE if not one.startswith(("below", "dish"))]
    assert shop.run("ratio", *said, "proud=0.2", "proud=1.3", "dish=6", "dish=90") == 0
    lines = shop.out.splitlines()
    assert " ".join(lines[0].split()).startswith("proud dish static ratio squish")
    assert "proud=1.3, dish=6: piston and head may touch" in shop.lines
    assert "95 %" in shop.out
    assert max(map(len, lines)) <= 80


def test_a_table_doubts_each_answer(shop: Shop) -> None:
    rest = (one for one in LINE if "below" not in one)
    assert shop.run("ratio", *rest, "ratio=9.5", "ratio=12") == 0
    assert "LOOK  ratio=12: " in shop.out
    assert "OVERLAP" in shop.out


UNREACHABLE = [
    ("below", "ratio", ["9.5", "400"]),  # no ratio at all is that
    ("stroke", "ratio", ["9.5", "90"]),  # no stroke that an engine has gives it
    ("dish", "dome", ["6", "60"]),  # the parts leave no clearance
]


@pytest.mark.parametrize(("left", "key", "texts"), UNREACHABLE)
def test_a_case_that_cannot_be_does_not_stop_the_others(shop: Shop, left: str, key: str, texts: list[str]) -> None:
    rest = [one for one in LINE if not one.startswith(left)]
    assert shop.run("ratio", *rest, *(f"{key}={text}" for text in texts)) == 0
    table, _, below = shop.out.partition("\n\n")
    assert [line.split()[0] for line in table.splitlines()[-2:]] == texts
    assert "not possible" in table.splitlines()[-1]
    assert f"{key}={texts[1]}: " in below
    assert shop.run("ratio", *rest, *(f"{key}={text}" for text in texts), "--json") == 0
    good, bad = json.loads(shop.out)["cases"]
    assert (good["reason"], bad["values"]) == ("", {})
    assert bad["reason"]


@pytest.mark.parametrize(("left", "key", "texts"), UNREACHABLE)
def test_where_none_can_be_it_is_refused(shop: Shop, left: str, key: str, texts: list[str]) -> None:
    rest = [one for one in LINE if not one.startswith(left)]
    assert shop.run("ratio", *rest, f"{key}={texts[1]}", f"{key}={texts[1]}0") in (1, 2)
    assert shop.out == ""
    assert "cannot be" in shop.err or "can be" in shop.err or "no stroke" in shop.err


def test_a_text_that_is_not_understood_stops_all(shop: Shop) -> None:
    assert shop.run("ratio", *LINE, "gasket=thick") == 2
    assert (shop.out, len(shop.err.splitlines())) == ("", 1)


@pytest.mark.parametrize(
    "more",
    [
        ("--cylinders", "0"),
        ("--cylinders", "-3"),
        ("--cylinders", "99"),
        ("bore=84",),
        ("--save", "there.toml"),
        ("--save", "."),
    ],
)
def test_what_cannot_be_saved_is_refused_before_anything(shop: Shop, more: tuple[str, ...]) -> None:
    Path("there.toml").write_text("mine")
    assert shop.run("ratio", *LINE, "--save", "new.toml", *more) == 2
    assert shop.out == ""
    assert len(shop.err.splitlines()) == 1
    assert not Path("new.toml").exists()
    assert Path("there.toml").read_text() == "mine"


def test_plain_data(shop: Shop) -> None:
    code = shop.run("ratio", *LINE, "--json")
    out = shop.out
    data = json.loads(out)
    assert code == 0
    assert data["cases"][0]["values"]["static_ratio"]["value"] == pytest.approx(of(ratio(**WHOLE), "static_ratio"))
    assert data["cases"][0]["given"]["dish"] == "6.4"


def test_it_becomes_a_job_that_says_the_same(shop: Shop) -> None:
    more = ("rod=151.3", "closing=62 after bdc", "--save", "four.toml", "--cylinders", "4")
    code = shop.run("ratio", *LINE, *more)
    out = shop.out
    assert code == 0
    assert "ccassist guide four.toml" in out
    engine = ccassist.survey_of("four.toml")
    same = ratio(**WHOLE, rod="151.3", closing="62 after bdc")
    assert len(engine.cylinders) == 4
    for key in ("static_ratio", "trapped_ratio"):
        assert engine.cylinders[3].values[key].nominal == pytest.approx(of(same, key), rel=1e-12)
    assert shop.run("ratio", *LINE, "--save", "four.toml") == 2


def test_imperial_bare_numbers_that_may_be_thou_are_refused(shop: Shop) -> None:
    said = ("bore=3.28", "stroke=3.6", "chamber=47.6", "gasket=0.04", "deck=flush", "crown=flat")
    code = shop.run("ratio", *said, "--units", "imperial")
    out, err = shop.out, shop.err
    assert (code, out) == (2, "")
    assert 'gasket: read "0.04"' in err
    assert "40 thou" in err


@pytest.mark.parametrize("pair", ["bore", "bore=", "=83.4", "83.4"])
def test_what_is_no_pair_is_refused(shop: Shop, pair: str) -> None:
    code = shop.run("ratio", pair)
    out, err = shop.out, shop.err
    assert (code, out) == (2, "")
    assert len(err.splitlines()) == 1


def test_nothing_said_and_no_terminal(shop: Shop) -> None:
    code = shop.run("ratio")
    err = shop.err
    assert code == 2
    assert "bore=83.4" in err


def test_asked_on_a_terminal(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    """Enter skips; what cannot be understood is asked again; the one thing skipped is found from a ratio."""
    typed = iter(["83.4", "x", "91.3", "47.6", "1.14", "", "0.23 below", "", "", "", "9.5"])
    monkeypatch.setattr("builtins.input", lambda _: next(typed))
    monkeypatch.setattr("sys.stdin.isatty", lambda: True)
    code = shop.run("ratio")
    out = shop.out
    assert code == 0
    assert "For a ratio of 9.5: net crown volume dish, adds 3.6 " in out
