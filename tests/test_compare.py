"""Are these two the same?  Differences against sums done by hand, and against SciPy's distributions."""

import math
import random
from collections.abc import Callable

import pytest
from scipy.stats import studentized_range
from scipy.stats import t as student

from ccassist.analysis import compare
from ccassist.analysis.compare import Contrast
from ccassist.analysis.results import Survey, survey
from ccassist.bench.kit import UNEVEN
from ccassist.job.file import parse_job
from ccassist.report.compare import verdict_text
from ccassist.values.display import formatter
from ccassist.values.findings import InputError
from ccassist.values.measured import computed
from ccassist.values.number import Number, nominal, standard
from ccassist.values.uncertainty import Cause, doubt, expand
from ccassist.values.verdict import Verdict, apart, spread_of

CC = 1e-6
HEAD = """
format = 1
[job]
name = "Two heads"
units = "{units}"
[engine]
cylinders = 4
deck_clearance = "0.20 +/- 0.02 mm below deck, measured"
[part."left head"]
kind = "head"
cylinders = [1, 3]
states = ["as received", "seats cut"]
[part."right head"]
kind = "head"
cylinders = [2, 4]
states = ["as received", "seats cut"]
"""
FILLS = {  # state, cylinder -> ends of the fills, all from 0.00 ml
    ("as received", 1): ("45.60", "45.70", "45.65"),
    ("as received", 3): ("45.70", "45.80", "45.75"),
    ("seats cut", 1): ("46.10", "46.20", "46.15"),
    ("seats cut", 3): ("46.20", "46.30", "46.25"),
    ("seats cut", 2): ("46.20", "46.10", "46.15"),
    ("seats cut", 4): ("46.60", "46.70", "46.65"),
}


def job_text(units: str = "metric") -> str:
    """Four chambers, two of them measured before and after the seats were cut."""
    text = HEAD.format(units=units)
    for (state, cylinder), ends in FILLS.items():
        part = "left head" if cylinder in (1, 3) else "right head"
        rows = ", ".join(f'{{ start = "0.00 ml", end = "{end} ml" }}' for end in ends)
        text += f"""
[[series]]
step = "chamber"
cylinder = {cylinder}
part = "{part}"
state = "{state}"
instrument = "burette 50 ml class B"
fluid = "water"
temperature = "20 degC"
plug = "fitted"
hole = "not filled"
readings = [{rows}]
"""
    return text


@pytest.fixture(scope="module")
def engine() -> Survey:
    return survey(parse_job(job_text()).job)


# Scatter of one fill: each series is 0.10 cc wide and even, s = 0.05 cc; six series of three give 12 degrees.
S = 0.05 * CC
# Reading start and end to 0.05 cc, √(2/12) × 0.05 cc = 0.020 cc, is held by the scatter of the mean, 0.029 cc.


def differ(count: int) -> tuple[float, float]:
    """Least and most standard uncertainty of a difference of two means over so many sisters each, m³.

    u² = 2 s²/3, and of the scale's error, 0.1 cc, the part that is uneven: all
    of it where they use different places.  JCGM 100:2008, 5.2.2 and F.1.2.3.
    """
    least = 2 * S**2 / 3 / count
    return math.sqrt(least), math.sqrt(least + 2 * UNEVEN * (0.1 * CC) ** 2 / 3)


def test_two_cylinders_share_the_burette_and_keep_scatter_and_rounding(engine: Survey) -> None:
    """The scale's error hardly differs, and the rounding is not counted twice."""
    found = compare.between_cylinders(engine, "chamber_volume", 4, 1)
    assert nominal(found.difference) == pytest.approx(0.50 * CC, rel=1e-6)
    least, most = differ(1)
    assert least < standard(found.difference) < most
    alone = engine.cylinders[0].values["chamber_volume"].number
    assert standard(alone) * math.sqrt(2) > 1.5 * standard(found.difference)


def test_a_pair_named_beforehand_is_judged_by_student(engine: Survey) -> None:
    """Source of t: scipy.stats.t, with the degrees of freedom of Welch and Satterthwaite."""
    found = compare.between_cylinders(engine, "chamber_volume", 4, 1)
    dof = math.floor(expand(found.difference).dof)
    assert found.expanded == pytest.approx(float(student.ppf(0.975, dof)) * standard(found.difference), rel=0.015)
    assert found.verdict is Verdict.DIFFERS
    assert found.larger == "cylinder 4"


def test_a_pair_picked_after_looking_is_judged_by_the_studentized_range(engine: Survey) -> None:
    """q(0.95; 4, ν)/√2.  Source of q: scipy.stats.studentized_range."""
    picked, named = (
        compare.largest_against_smallest(engine, "chamber_volume"),
        compare.between_cylinders(engine, "chamber_volume", 4, 1),
    )
    assert {picked.first, picked.second} == {"cylinder 4", "cylinder 1"}
    assert picked.count == 4
    dof = math.floor(expand(picked.difference).dof)
    factor = float(studentized_range.ppf(0.95, 4, dof)) / math.sqrt(2)
    assert picked.expanded == pytest.approx(factor * standard(picked.difference), rel=1e-4)
    assert picked.expanded > named.expanded


def test_for_eight_with_many_degrees_the_factor_is_4_29_where_a_pair_has_2_77() -> None:
    """In units of one chamber's own standard uncertainty (Harter 1960, from memory)."""
    one, other = (doubt(1.0, Cause(name=name)) for name in ("one", "other"))
    assert apart(one - other, 8) == pytest.approx(4.29, abs=0.005)
    assert apart(one - other) == pytest.approx(2.77, abs=0.005)


def test_no_difference_is_shown_between_like_chambers(engine: Survey) -> None:
    found = compare.between_cylinders(engine, "chamber_volume", 1, 2)
    assert found.verdict is Verdict.NOT_SHOWN
    assert verdict_text(found).startswith("no difference shown at 95 % (0.00")


def test_all_against_all_the_largest_difference_first(engine: Survey) -> None:
    found = compare.all_pairs(engine, "chamber_volume")
    assert len(found) == 6
    sizes = [nominal(c.difference) for c in found]
    assert sizes == sorted(sizes, reverse=True)
    assert min(sizes) >= 0
    assert {c.count for c in found} == {4}


def test_two_heads_by_the_means_of_their_chambers(engine: Survey) -> None:
    """(46.15 + 46.65)/2 − (46.15 + 46.25)/2 = 0.20 cc; each mean of two halves the variance."""
    found = compare.between_parts(engine, "chamber_volume", "right head", "left head")
    assert nominal(found.difference) == pytest.approx(0.20 * CC, rel=1e-6)
    least, most = differ(2)
    assert least < standard(found.difference) < most


def test_before_and_after_the_seats_were_cut(engine: Survey) -> None:
    found = compare.between_states(engine, "chamber_volume", "as received", "seats cut", (1, 3))
    assert [nominal(c.difference) for c in found] == pytest.approx([0.50 * CC] * 3, rel=1e-6)
    assert [c.first for c in found] == [
        "cylinder 1, seats cut",
        "cylinder 3, seats cut",
        "mean of cylinders 1, 3, seats cut",
    ]
    assert found[0].verdict is Verdict.DIFFERS
    assert found[2].expanded < found[0].expanded


def test_before_and_after_is_judged_for_as_many_rows_as_are_looked_at(engine: Survey) -> None:
    """Bonferroni: the chance of 0.05 shared out evenly (NIST/SEMATECH e-Handbook 7.4.7.3); t by scipy.stats.t."""
    alone = compare.between_states(engine, "chamber_volume", "as received", "seats cut", (1,))
    assert [c.rows for c in alone] == [1]
    found = compare.between_states(engine, "chamber_volume", "as received", "seats cut", (1, 3))
    assert [c.rows for c in found] == [3, 3, 3]
    for one in found:
        dof = math.floor(expand(one.difference).dof)
        factor = float(student.ppf(1 - 0.05 / 3 / 2, dof))
        assert one.expanded == pytest.approx(factor * standard(one.difference), rel=0.02)
    assert found[0].expanded > alone[0].expanded


def test_among_rows_without_a_change_a_false_one_is_shown_once_in_twenty_times_at_most() -> None:
    """Eight chambers measured twice with nothing done, two thousand times, what all rows share drawn too."""
    rng = random.Random(20261129)
    rows = [Contrast(key="chamber_volume", first="a", second="b", difference=_one_change(), rows=8)] * 8
    limit, single = rows[0].expanded, expand(rows[0].difference).expanded
    false_single = false_together = 0
    for _ in range(2000):
        shared = rng.gauss(0, 0.05)
        seen = max(abs(shared + rng.gauss(0, math.sqrt(0.1**2 - 0.05**2))) for _ in rows)
        false_single += seen > single
        false_together += seen > limit
    assert false_single / 2000 > 0.2
    assert false_together / 2000 <= 0.05


def _one_change() -> Number:
    """Nothing done, with a standard uncertainty of 0.1."""
    return doubt(0.1, Cause(name="scatter"))


def test_a_cylinder_not_measured_before_is_left_out(engine: Survey) -> None:
    found = compare.between_states(engine, "chamber_volume", "as received", "seats cut")
    assert len(found) == 3


def test_before_and_after_reach_what_is_computed_from_the_chamber() -> None:
    """With the rest of the engine as it is, the clearance volume changes by what the chamber did."""
    text = job_text().replace(
        'deck_clearance = "0.20', 'bore = "86.0 mm, measured"\nstroke = "91.7 mm, measured"\ncrown_volume = "flat"\n'
        'gasket_volume = "8.0 +/- 0.2 cc, assumed"\ndeck_clearance = "0.20',
    ) + '\n[counted]\ncrevice = "not counted"\nchamfer = "not counted"\n'  # fmt: skip
    engine = survey(parse_job(text).job)
    assert compare.default_key(engine) == "clearance_volume"
    chamber, clearance = (
        compare.between_states(engine, key, "as received", "seats cut", (1,))[0]
        for key in ("chamber_volume", "clearance_volume")
    )
    assert nominal(clearance.difference) == pytest.approx(nominal(chamber.difference), rel=1e-9)
    assert standard(clearance.difference) == pytest.approx(standard(chamber.difference), rel=1e-9)


def test_one_statement_for_all_is_no_comparison(engine: Survey) -> None:
    found = compare.between_cylinders(engine, "deck_clearance", 1, 2)
    assert found.verdict is Verdict.ONE_VALUE
    assert verdict_text(found) == "one and the same value serves both"


def test_what_needs_more_repeats_is_said() -> None:
    text = job_text()
    first = text.index("[[series]]")
    one = text[first : text.index("readings", first)] + 'readings = [{ start = "0.00 ml", end = "46.10 ml" }]\n'
    engine = survey(parse_job(text[:first] + one + one.replace("cylinder = 1", "cylinder = 3")).job)
    found = compare.between_cylinders(engine, "chamber_volume", 1, 3)
    assert found.verdict is Verdict.NOT_KNOWN
    assert "± not known yet" in verdict_text(found)


def test_an_exact_difference_says_that_it_has_no_doubt() -> None:
    found = Contrast(key="deck_clearance", first="cylinder 1", second="cylinder 2", difference=1e-4)
    assert verdict_text(found) == "differs by 0.10 mm (more below deck: cylinder 1; neither has a ±)"


def test_words_follow_the_system() -> None:
    found = Contrast(key="deck_clearance", first="cylinder 1", second="cylinder 2", difference=-25.4e-6)
    assert verdict_text(found, formatter("imperial")).startswith("differs by 1.0 thou (more below deck: cylinder 2")


def test_the_spread_of_a_survey_is_judged_by_the_studentized_range(engine: Survey) -> None:
    """Source of q: scipy.stats.studentized_range."""
    pairs = [(c.number, c.values["chamber_volume"]) for c in engine.cylinders]
    found = spread_of("chamber_volume", pairs)
    assert found is not None
    dof = math.floor(expand(found.difference).dof)
    factor = float(studentized_range.ppf(0.95, 4, dof)) / math.sqrt(2)
    assert found.expanded == pytest.approx(factor * standard(found.difference), rel=1e-4)


def test_where_all_are_alike_two_of_them_are_compared() -> None:
    """A value less itself would be exact; two that came out alike have the ± of their difference."""
    pairs = [(n, computed("chamber_volume", 46 * CC + doubt(0.2 * CC, Cause(name=f"fill {n}")))) for n in (1, 2, 3)]
    found = spread_of("chamber_volume", pairs)
    assert found is not None
    assert found.low != found.high
    assert standard(found.difference) == pytest.approx(0.2e-6 * math.sqrt(2))


@pytest.mark.parametrize(
    ("ask", "complaint"),
    [
        (lambda e: compare.between_cylinders(e, "chamber_volume", 1, 9), "cylinders 1 to 4"),
        (lambda e: compare.between_cylinders(e, "chamber_volume", 2, 2), "the same as itself"),
        (lambda e: compare.between_cylinders(e, "static_ratio", 1, 2), "is not given"),
        (lambda e: compare.largest_against_smallest(e, "static_ratio"), "fewer than two cylinders"),
        (lambda e: compare.between_parts(e, "chamber_volume", "left head", "head of gold"), "no such part"),
        (lambda e: compare.between_states(e, "chamber_volume", "as received", "skimmed"), "as received, seats cut"),
        (lambda e: compare.between_states(e, "chamber_volume", "as received", "seats cut", (2,)), "no cylinder has"),
    ],
)
def test_what_cannot_be_compared_is_said(engine: Survey, ask: Callable[[Survey], object], complaint: str) -> None:
    with pytest.raises(InputError, match=complaint):
        ask(engine)
