"""What was declared, joined with what is read, and refuted by it; a setting, a list and a fill alike.

Source of Student's t and Fisher's F: SciPy.  The weights (a declared figure
counts four degrees beside readings, eight alone) are common practice, no source.
"""

from __future__ import annotations

import math
import random
from collections.abc import Sequence

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import f as fisher
from scipy.stats import norm as normal
from scipy.stats import t as student

from ccassist.analysis.results import Survey, survey
from ccassist.bench.repeats import Declared, scatter_of
from ccassist.job.file import parse_job
from ccassist.values.findings import Finding, Level
from ccassist.values.statistics import student as student_factor
from ccassist.values.uncertainty import budget, expand
from tests import sound_survey
from tests.sound_job import Shop

MM, CC = 1e-3, 1e-6
KNOWN = Declared(standard=0.1)
HEAD = 'format = 1\n[job]\nname = "Bench"\nunits = "metric"\n'
PISTON = '[[series]]\nstep = "crown"\nfluid = "water"\nhole = "not filled"\nseal = "grease"\ninstrument = "mine"\n'
MINE = '[instrument.mine]\nlike = "burette 100 ml class A"\nrepeatability = "0.08 ml"\n'


def surveyed(text: str, cylinders: int = 1, engine: str = "") -> Survey:
    """A job of some cylinders; not one error in it."""
    return sound_survey.surveyed(f"{HEAD}[engine]\ncylinders = {cylinders}\n{engine}\n{text}")


def said(found: Survey, code: str) -> list[Finding]:
    """The findings of one code."""
    return [f for f in found.findings if f.code == code]


# -- the rule -----------------------------------------------------------------------------------------


def apart(ratio: float, dof: int) -> list[list[float]]:
    """Pairs with so many degrees in all whose pooled variance is so many times that of what is declared."""
    half = KNOWN.standard * math.sqrt(ratio / 2)
    return [[5.0 + n - half, 5.0 + n + half] for n in range(dof)]


@pytest.mark.parametrize("dof", [1, 2, 3])
def test_just_within_fishers_f_readings_are_joined_and_just_beyond_there_is_no_scatter(dof: int) -> None:
    limit = float(fisher.ppf(0.99, dof, 8))
    within, beyond = scatter_of(apart(0.999 * limit, dof), KNOWN), scatter_of(apart(1.001 * limit, dof), KNOWN)
    assert within.source == "joined"
    assert within.dof == 4 + dof
    assert within.standard == pytest.approx(0.1 * math.sqrt((4 + 0.999 * limit * dof) / (4 + dof)))
    assert beyond.source == "refuted"
    assert math.isnan(beyond.standard)


@given(st.lists(st.floats(-0.1, 0.1), min_size=2, max_size=4))
def test_fewer_than_four_degrees_never_make_the_declared_figure_smaller(values: Sequence[float]) -> None:
    found = scatter_of([values], KNOWN)
    assert found.standard >= 0.1
    assert found.standard == pytest.approx(
        max(0.1, math.sqrt((4 * 0.01 + (len(values) - 1) * np.var(values, ddof=1)) / (3 + len(values))))
    )


def test_with_four_degrees_the_readings_speak_alone_and_are_still_held_against_it() -> None:
    limit = float(fisher.ppf(0.99, 4, 8))
    for ratio, beyond in ((0.01, False), (0.99 * limit, False), (1.01 * limit, True)):
        found = scatter_of(apart(ratio, 4), KNOWN)
        assert (found.source, found.dof, found.beyond) == ("pooled", 4, beyond)
        assert found.standard == pytest.approx(0.1 * math.sqrt(ratio))


def test_without_readings_the_declared_figure_stands_alone() -> None:
    found = scatter_of([[5.0]], KNOWN)
    assert (found.standard, found.dof, found.source) == (0.1, 8, "declared")


def test_where_nothing_is_declared_three_degrees_say_nothing() -> None:
    found = scatter_of(apart(1.0, 3), None)
    assert (found.source, found.more) == ("unknown", 1)


def test_a_step_of_the_scale_refutes_nothing() -> None:
    """With a repeatability declared as next to none: neighbours may be one value rounded, two steps apart they are not.

    A step scatters readings by step ÷ √12 (JCGM 100:2008, F.2.2.1).
    """
    steady = Declared(standard=1e-6, step=0.1)
    assert scatter_of([[5.0, 5.1]], steady).source == "joined"
    assert scatter_of([[5.0, 5.2]], steady).source == "refuted"


def test_readings_typed_in_whole_millimetres_are_refuted_like_others(shop: Shop) -> None:
    """84 and 86 mm without a tool: however few digits are typed, no hand reads one stroke so."""
    (shop.folder / "job.toml").write_text(
        'format = 1\n[job]\nunits = "metric"\n[engine]\ncylinders = 1\nbore = "83.4 +/- 0.02 mm, measured"\n'
        'stroke = { readings = ["84 mm", "86 mm"] }\n',
        encoding="utf-8",
    )
    assert shop.run("show", "job.toml") == 0
    assert "± not known yet" in " ".join(shop.out.split())
    assert "95 %" not in shop.out


def hand_of(times: float, dof: int, draws: int = 4000) -> tuple[float, float]:
    """A hand that scatters so many times what is declared: share of ± that hold nought, share of series refuted."""
    rng = random.Random(f"{times} {dof}")
    held = stated = 0
    for _ in range(draws):
        values = [rng.gauss(0, times * KNOWN.standard) for _ in range(dof + 1)]
        found = scatter_of([values], KNOWN)
        if not math.isnan(found.standard):
            stated += 1
            expanded = student_factor(found.dof) * found.standard / math.sqrt(len(values))
            held += abs(sum(values) / len(values)) <= expanded
    return held / stated, 1 - stated / draws


@pytest.mark.parametrize("dof", [1, 2, 3])
def test_hands_up_to_half_as_unsteady_again_hold_their_interval(dof: int) -> None:
    """93 %, give or take three standard deviations of a count; a steady hand is refuted less than once in a hundred."""
    for times, most in ((0.5, 0.001), (1.0, 0.01), (1.5, 0.04)):
        coverage, refuted = hand_of(times, dof)
        assert coverage >= 0.93 - 3 * math.sqrt(0.93 * 0.07 / 4000)
        assert refuted <= most


def test_one_reading_alone_holds_for_the_hands_that_are_as_declared() -> None:
    """t with eight degrees: P(|z| ≤ 2.306 ÷ times); by a hand half as unsteady again 87.6 %.  Source: scipy.stats."""
    for times in (0.5, 1.0, 1.5):
        coverage, _ = hand_of(times, 0)
        expected = float(2 * normal.cdf(float(student.ppf(0.975, 8)) / times) - 1)
        assert coverage == pytest.approx(expected, abs=3 * math.sqrt(max(1e-6, expected * (1 - expected)) / 4000))


# -- what is stated -----------------------------------------------------------------------------------


def stroke(*readings: str, tool: str = "vernier caliper") -> Survey:
    """A stroke stated as readings."""
    listed = ", ".join(f'"{r}"' for r in readings)
    return surveyed("", engine=f'stroke = {{ readings = [{listed}], instrument = "{tool}" }}\nbore = "77.30 mm"')


def test_a_stated_list_that_cannot_be_has_no_plus_or_minus_and_says_so() -> None:
    found = stroke("84 mm", "86 mm")
    assert math.isnan(found.cylinders[0].values["stroke"].expanded)
    (finding,) = said(found, "refuted")
    assert "the readings refute the declared repeatability of vernier caliper" in finding.wrong
    assert "84 mm, 86 mm" in finding.wrong
    assert finding.level is Level.WARNING
    assert finding.line == 7
    assert not said(found, "needs-repeats")


def test_a_stated_list_that_can_be_is_joined_with_what_its_tool_declares() -> None:
    """0.02 mm declared, readings 0.06 apart: u² of the mean is (4 × 0.02² + 0.06²/2) ÷ 5 ÷ 2, five degrees."""
    number = stroke("84.02 mm", "84.08 mm").cylinders[0].values["stroke"].number
    (row,) = [share for share in budget(number) if "scatter" in share.cause.name]
    assert row.standard == pytest.approx(MM * math.sqrt((4 * 0.02**2 + 0.06**2 / 2) / 5 / 2))
    assert row.cause.dof == 5


def test_one_stated_reading_has_the_scatter_of_its_tool() -> None:
    (row,) = [s for s in budget(stroke("84.02 mm").cylinders[0].values["stroke"].number) if "scatter" in s.cause.name]
    assert (row.standard, row.cause.dof) == (pytest.approx(0.02 * MM), 8)


def test_lists_read_with_one_tool_are_pooled() -> None:
    """Four strokes, each read twice and 0.02 mm apart: s = 0.02/√2, four degrees, whatever is declared."""
    lines = "\n".join(
        f'[cylinder.{n}]\nstroke = {{ readings = ["84.0{n} mm", "84.0{n + 2} mm"], instrument = "vernier caliper" }}'
        for n in range(1, 5)
    )
    number = surveyed(lines, cylinders=4).cylinders[0].values["stroke"].number
    (row,) = [s for s in budget(number) if "scatter" in s.cause.name]
    assert (row.standard, row.cause.dof) == (pytest.approx(0.02 / math.sqrt(2) / math.sqrt(2) * MM), 4)


# -- settings -----------------------------------------------------------------------------------------


def crown(cylinder: int, drops: Sequence[float], *, gauge: str = '\ngauge = "dial indicator"', fill: float = 46) -> str:
    """A crown filled twice [cc] at a drop [mm] read several times."""
    listed = ", ".join(f'"{d:.3f} mm"' for d in drops)
    rows = ", ".join(f'{{ start = "0 ml", end = "{fill + k:.2f} ml" }}' for k in (0, 0.05))
    return f"{PISTON}cylinder = {cylinder}\ndrop = [{listed}]{gauge}\nreadings = [{rows}]\n"


BORE = 'bore = "77.30 +/- 0.01 mm, measured"\ndeck_clearance = "0.30 +/- 0.01 mm below deck, measured"'


def test_a_drop_read_twice_two_millimetres_apart_is_refuted_not_averaged() -> None:
    found = surveyed(MINE + crown(1, (6.0, 8.0)), engine=BORE)
    assert math.isnan(found.cylinders[0].values["crown_volume"].expanded)
    (finding,) = said(found, "refuted")
    assert "6.000 mm, 8.000 mm" in finding.wrong
    assert finding.place == "cylinder 1: drop of the piston"


def test_drops_read_with_one_tool_are_pooled_over_the_cylinders() -> None:
    """Four pairs 0.010 mm apart: s = 0.010/√2 mm with four degrees."""
    blocks = "".join(crown(n, (6.0 + n / 10, 6.01 + n / 10)) for n in range(1, 5))
    found = surveyed(MINE + blocks, cylinders=4, engine=BORE)
    (row,) = [
        s for s in budget(found.cylinders[0].values["crown_drop"].number) if "scatter" in s.cause.name
    ]  # fmt: skip
    assert (row.standard, row.cause.dof) == (pytest.approx(0.010 / 2 * MM), 4)


def test_one_drop_that_was_misread_has_no_part_in_the_others() -> None:
    blocks = "".join(crown(n, (6.0, 8.0) if n == 3 else (6.0 + n / 10, 6.01 + n / 10)) for n in range(1, 7))
    found = surveyed(MINE + blocks, cylinders=6, engine=BORE)
    wide = [math.isnan(c.values["crown_volume"].expanded) for c in found.cylinders]
    assert wide == [False, False, True, False, False, False]
    (finding,) = said(found, "refuted")
    assert finding.place == "cylinder 3: drop of the piston"


def test_what_read_a_drop_is_charged_and_unsaid_the_coarser_tool_is() -> None:
    said_of = ("", '\ngauge = "depth gauge"', '\ngauge = "dial indicator"')
    by = [surveyed(MINE + crown(1, (6.0, 6.0), gauge=words), engine=BORE) for words in said_of]
    unsaid, vernier, dial = (expand(one.cylinders[0].values["crown_drop"].number).expanded for one in by)
    assert unsaid == vernier > 2 * dial
    assert [len(said(one, "no-gauge")) for one in by] == [1, 0, 0]


def test_a_depth_read_with_what_reads_none_is_refused() -> None:
    loaded = parse_job(f"{HEAD}[engine]\ncylinders = 1\n{BORE}\n{MINE}" + crown(1, (6.0,), gauge='\ngauge = "mine"'))
    found = [f for f in survey(loaded.job).findings if f.code == "wrong-instrument"]
    assert [f.level for f in found] == [Level.ERROR]


# -- fills --------------------------------------------------------------------------------------------


def chambers(*fills: Sequence[float], tool: str = "mine") -> Survey:
    """Chambers filled by burette [cc]."""
    about = f'step = "chamber"\nfluid = "water"\nhole = "not filled"\nplug = "fitted"\ninstrument = "{tool}"'
    blocks = "".join(
        f"[[series]]\n{about}\ncylinder = {n}\nreadings = ["
        + ", ".join(f'{{ start = "0 ml", end = "{v:.2f} ml" }}' for v in volumes)
        + "]\n"
        for n, volumes in enumerate(fills, start=1)
    )
    return surveyed(MINE + blocks, cylinders=len(fills))


def test_fills_that_refute_a_declared_repeatability_have_no_plus_or_minus() -> None:
    found = chambers((46.1, 44.1))
    assert math.isnan(found.cylinders[0].values["chamber_volume"].expanded)
    (finding,) = said(found, "refuted")
    assert "the readings refute the declared repeatability of mine, 0.08 cc" in finding.wrong


def test_of_several_that_refute_it_the_widest_stands_first_and_its_line_is_named() -> None:
    found = chambers((46.1, 45.4), (46.0, 44.9), (46.2, 45.6))
    (finding,) = said(found, "refuted")
    assert finding.place == "cylinder 2, cylinder 1, cylinder 3"
    assert finding.line == found.reduced[1].cell.readings[0].line


def test_a_declared_repeatability_far_too_good_is_looked_at_where_the_readings_speak_for_themselves() -> None:
    found = chambers((46.1, 47.0, 46.5, 46.0, 46.9))
    assert not math.isnan(found.cylinders[0].values["chamber_volume"].expanded)
    (finding,) = said(found, "refuted")
    assert "their own counts" in finding.wrong


def test_a_bubble_widens_nothing_but_its_own_chamber() -> None:
    """±s of the others as though that chamber had never been filled; its own is not stated."""
    clean = [(46.10, 46.12, 46.08), (45.90, 45.94, 45.92), (46.30, 46.26, 46.28), (46.00, 46.04, 46.05)]
    burette = "burette 50 ml class A"
    alone = chambers(*clean, tool=burette)
    beside = chambers(*clean, (46.20, 45.40, 46.18), tool=burette)
    for n in range(4):
        wanted, got = (s.cylinders[n].values["chamber_volume"].expanded for s in (alone, beside))
        assert got == pytest.approx(wanted)
    assert math.isnan(beside.cylinders[4].values["chamber_volume"].expanded)
    (finding,) = [f for f in beside.findings if f.place == "cylinder 5"]
    assert finding.code == "one-low"
    assert "no ± is stated" in finding.wrong


# -- a bubble in a lone chamber -----------------------------------------------------------------------


def test_one_bubble_in_a_lone_chamber_is_remarked() -> None:
    """G = 1.785; two-sided 1 % critical value for five, ISO 5725-2:1994, Table 5 (from memory): 1.764."""
    found = chambers((46.10, 46.12, 46.08, 46.14, 45.30), tool="burette 50 ml class A")
    (finding,) = said(found, "stands-apart")
    assert "fill 5 is 0.81 cc less than the other 4, which agree (Grubbs' test)" in finding.wrong
    assert "a bubble" in finding.wrong
    assert finding.level is Level.WARNING


def test_five_clean_fills_of_a_lone_chamber_are_left_alone() -> None:
    """G = 1.46, under the 5 % critical value of 1.715."""
    assert not said(chambers((46.10, 46.12, 46.08, 46.14, 45.98), tool="burette 50 ml class A"), "stands-apart")


def test_single_fills_say_once_that_they_cannot_show_a_bubble() -> None:
    (finding,) = said(chambers((46.1,), (46.0,)), "one-fill")
    assert finding.place == "cylinder 1, cylinder 2"
    assert "cannot show a bubble" in finding.wrong


def test_two_fills_do_not_say_so() -> None:
    assert not said(chambers((46.1, 46.15)), "one-fill")


def test_a_repeatability_declared_in_grams_is_that_of_a_fill_in_grams() -> None:
    """One fill, 0.08 g of scatter: 0.0802 cc of water, t with eight degrees; the scale has no other error here."""
    tool = '[instrument.pan]\nlike = "scale 0.01 g"\npermissible_error = "0 g"\nrepeatability = "0.08 g"\n'
    text = (
        '[[series]]\nstep = "chamber"\ncylinder = 1\nfluid = "water"\nhole = "not filled"\nplug = "fitted"\n'
        'temperature = "20 degC"\ninstrument = "pan"\nreadings = [{ before = "300.00 g", after = "254.00 g" }]\n'
    )
    number = surveyed(tool + text).cylinders[0].values["chamber_volume"].number
    (row,) = [s for s in budget(number) if "repeat scatter" in s.cause.name]
    assert row.standard == pytest.approx(0.08 * 1.0028 * CC, rel=1e-3)
    assert expand(number).expanded == pytest.approx(float(student.ppf(0.975, 8)) * row.standard, rel=0.1)
