"""What is told of an answer: the value, its formula and check first, within one window; every step with --all."""

from __future__ import annotations

import json
import math
from dataclasses import replace

import pytest

from ccassist.analysis.results import survey
from ccassist.cli.layout import HEIGHT, report_lines
from ccassist.job.file import parse_job
from ccassist.report.blocks import Text
from ccassist.report.data import column
from ccassist.report.solve import Solutions, levers_of, solution_report, solved, worked_lines
from ccassist.solve.solver import Answer, solve
from ccassist.values.display import METRIC, Formatter, formatter
from ccassist.values.measured import computed
from ccassist.values.uncertainty import Cause, doubt
from ccassist.values.verdict import parse_band
from ccassist.vocabulary import TERMS
from ccassist.vocabulary.units import System
from tests.solve.solve_engines import C1, C1_DISHED, COUNTED
from tests.sound_job import SOUND, Shop

ENGINE = survey(parse_job(SOUND, "job.toml").job)


def told(answer: Answer, fmt: Formatter = METRIC) -> str:
    return "\n".join(worked_lines(answer, fmt))


def asked(unknowns: str, targets: str) -> Solutions:
    pairs = dict(pair.split("=") for pair in targets.split(","))
    return solved(ENGINE, unknowns.split(","), pairs)


ASKED = [
    ("crown_volume", "static_ratio=9.5"),
    ("bore", "static_ratio=9.5"),
    ("gasket_thickness", "squish=1 mm"),
    ("chamber_volume,gasket_thickness", "static_ratio=9.5,squish=1 mm"),
]


@pytest.mark.parametrize("system", ["metric", "imperial"])
@pytest.mark.parametrize("width", [60, 80])
@pytest.mark.parametrize(("unknowns", "targets"), ASKED)
def test_it_fits_a_window_and_nothing_breaks(unknowns: str, targets: str, width: int, system: str) -> None:
    report = solution_report(asked(unknowns, targets), ENGINE, formatter(system))
    lines = report_lines(report, width=width)
    assert len(lines) < HEIGHT + 5 * (width < 80)
    assert max(map(len, (*lines, *report_lines(report, width=width, everything=True)))) < width
    assert not any(line.endswith("±") for line in lines)


@pytest.mark.parametrize(("unknowns", "targets"), ASKED)
def test_value_formula_and_check_stand_in_the_answer(unknowns: str, targets: str) -> None:
    report = solution_report(asked(unknowns, targets), ENGINE, METRIC)
    words = [block.words for block in report.answer if isinstance(block, Text)]
    assert any("ut back, it gives" in one or "put back, they give" in one for one in words)
    assert any((" = " in one and one[-1] != ".") or "found by trial" in one for one in words)


def test_cylinders_of_which_the_same_is_said_share_a_line() -> None:
    head = '[part.head]\nkind = "head"\nchamber_volume = "46.1 +/- 0.2 cc, measured"\n'
    engine = survey(parse_job(SOUND.partition("[part.head]")[0] + head).job)
    report = solution_report(solved(engine, "crown_volume", {"static_ratio": "9.1"}), engine, METRIC)
    assert any(line.startswith("Net crown volume, every cylinder: dish, adds 7.29") for line in report_lines(report))


@pytest.mark.parametrize("width", [60, 80])
@pytest.mark.parametrize("unknown", ["crown_volume", "gasket_thickness"])
def test_eight_unlike_cylinders_leave_room_for_the_mean_the_formula_and_the_check(unknown: str, width: int) -> None:
    chambers = "".join(f'[cylinder.{n}]\nchamber_volume = "{46 + n / 5:.1f} +/- 0.2 cc, measured"\n'
                       for n in range(1, 9))  # fmt: skip
    text = SOUND.replace("cylinders = 2", "cylinders = 8").partition("[part.head]")[0] + chambers
    engine = survey(parse_job(text).job)
    lines = report_lines(solution_report(solved(engine, unknown, {"static_ratio": "9.1"}), engine, METRIC), width=width)
    words = " ".join(" ".join(lines).split())
    assert len(lines) < HEIGHT
    assert max(map(len, lines)) < width
    for part in (
        ", all alike: ",
        " = Vs ÷ " if unknown == "crown_volume" else "hg = (Vs ÷ ",
        "Put back, it gives",
        " goes ",
    ):
        assert part in words


def test_each_finding_is_said_once(shop: Shop) -> None:
    shop.write(SOUND)
    assert shop.run("solve", "job.toml", "--for", "bore", "--to", "static_ratio=9.9", "--cylinder", "1") == 0
    assert shop.lines.count("the gasket's opening would be smaller than the bore") == 1


def test_where_there_is_no_answer_the_reason_stands_alone(shop: Shop) -> None:
    shop.write(SOUND)
    assert shop.run("solve", "job.toml", "--for", "stroke", "--to", "static_ratio=80") == 1
    assert "Not possible: no stroke brings the static compression ratio to 80" in shop.lines
    assert len(shop.out.splitlines()) < HEIGHT


def test_plain_data_holds_the_same(shop: Shop) -> None:
    shop.write(SOUND)
    both = ("--for", "chamber_volume", "--for", "gasket_thickness", "--to", "static_ratio=9.5", "--to", "squish=1 mm")
    for words, unknowns in ((both[:2] + both[4:6], 1), (both, 2)):
        assert shop.run("solve", "job.toml", *words, "--json") == 0
        data = json.loads(shop.out)
        assert data["format"] == 1
        assert [one["cylinder"] for one in data["cylinders"]] == [1, 2, None]
        assert data["targets"]["static_ratio"] == 9.5
        best = data["cylinders"][0]["ways"][0]
        assert len(best["values"]) == len(best["formulas"]) == unknowns
        assert best["checks"]["static_ratio"] == pytest.approx(9.5, rel=1e-9)
        assert best["values"]["chamber_volume"]["text"].endswith(" cc")


# The words of one answer.


def test_signs_are_said_in_words() -> None:
    low = solve(C1_DISHED, COUNTED, unknowns=("compression_height",), targets={"static_ratio": 10.0})
    assert "Deck clearance 1.06 mm proud of the deck" in told(low)
    assert any("deck clearance would be 1.06 mm proud of the deck" in f.wrong for f in low.findings)
    dome = solve(C1, COUNTED, unknowns=("crown_volume",), targets={"static_ratio": 10.5})
    assert "Net crown volume: dome, takes 4.11 cc of space" in told(dome)


def test_the_spread_is_stated_and_what_is_not_known_yet() -> None:
    for standard, shown in ((0.3e-6, "4.49 ± 0.59 cc"), (math.nan, "4.49 cc (± not known yet)")):
        known = {**C1, "chamber_volume": C1["chamber_volume"] + doubt(standard, Cause(name="burette"))}
        answer = solve(known, COUNTED, unknowns=("crown_volume",), targets={"static_ratio": 8.9})
        assert f"dish, adds {shown} of space" in told(answer)


def test_it_gives_the_target_back_with_a_digit_more() -> None:
    answer = solve(C1, COUNTED, unknowns=("crown_volume",), targets={"static_ratio": 8.9})
    assert "Put back, it gives the static compression ratio 8.900." in told(answer)


@pytest.mark.parametrize(("wanted", "said"), [("0.01 to 0.02 mm", True), ("0.01 to 9 mm", False)])
def test_what_else_the_job_wants_and_does_not_get_is_said(wanted: str, said: bool) -> None:
    engine = replace(ENGINE, wanted={"squish": parse_band(wanted, "squish", system="metric")})
    report = solution_report(solved(engine, "crown_volume", {"static_ratio": "9.5"}), engine, METRIC)
    words = [block.words for block in report.answer if isinstance(block, Text)]
    assert any(f"then; the job wants {wanted}" in one for one in words) is said


def test_no_word_of_sign_says_the_name_again() -> None:
    """Whatever the term: "squish gap 1.00 mm", never "squish gap 1.00 mm gap"; nor a name with nothing in brackets."""
    for key, one in TERMS.items():
        for value in (abs(one.possible[0]), abs(one.possible[1])) if one.sign else ():
            assert not METRIC.show(key, value).endswith(f" {one.name.split()[-1]}"), key
            assert "()" not in column(key, one.name, [computed(key, value)], METRIC)[0]


def test_levers_give_the_change_for_a_small_step() -> None:
    """C1: 1 cm³ moves the ratio by (CR−1)²/Vs = 0.155 (common practice, recomputed)."""
    answer = solve(C1, COUNTED, unknowns=("crown_volume",), targets={"static_ratio": 8.9})
    rows = list(levers_of(answer.sensitivity("static_ratio"), "static_ratio", METRIC))
    assert ("chamber volume", "1 cc", "−0.1547") in rows
    assert ("compression height", "0.1 mm", "+0.0764") in rows
    other = solve(C1_DISHED, COUNTED, unknowns=("chamber_volume",), targets={"static_ratio": 8.9})
    signed = levers_of(other.sensitivity("static_ratio"), "static_ratio", METRIC)
    assert ("net crown volume (dish)", "1 cc", "−0.1547") in signed
    inches = levers_of(answer.sensitivity("static_ratio"), "static_ratio", Formatter(System.IMPERIAL))
    assert any(row[:2] == ("stroke", "5 thou") for row in inches)


def test_both_answers_are_given_where_both_can_be() -> None:
    answer = solve(C1, COUNTED, unknowns=("pin_offset",), targets={"squish": 1.452e-3})
    assert "Pin offset: 0.85 mm" in told(answer)
    assert "toward the thrust side" in told(answer)
    assert "away from the thrust side" in told(answer)
