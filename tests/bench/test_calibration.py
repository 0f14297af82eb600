"""An improvised burette calibrated, and what its calibration does to the fills made with it.

Sources: ISO 4787:2021 eq. (1) and ISO 8655-6:2022 for volume from mass;
JCGM 100:2008, H.3, for the line and G.4 for its degrees of freedom; marks of
a burette (trade example C3b) and a rod of known size: common practice, no
source.
"""

from __future__ import annotations

from datetime import date
from math import isnan, pi, sqrt

import pytest
from scipy import stats

import ccassist
from ccassist.analysis.results import Survey
from ccassist.bench.calibrated import Calibration
from ccassist.bench.calibration import due_on, read_date
from ccassist.bench.densities import water_density, z_factor
from ccassist.values.findings import Level
from ccassist.values.number import nominal, standard
from ccassist.values.uncertainty import Share, budget, degrees
from tests.each import each

CC = 1e-6
MARKS, MASSES = (10, 20, 30, 40, 50), (9.86, 19.80, 29.81, 39.70, 49.66)  # ml, g: trade example C3b
C3B = tuple(
    f'{{ to = "{mark} ml", before = "0 g", after = "{mass} g" }}' for mark, mass in zip(MARKS, MASSES, strict=True)
)
HEAD = """
format = 1
[job]
name = "Two bare heads"
date = 2026-11-03
[engine]
cylinders = 4
[part.head]
kind = "head"
[instrument."marked tube"]
like = "bottle"
resolution = "0.1 ml"
capacity = "100 ml"
"""
WEIGHED = 'fluid = "water"\ntemperature = "21 degC"\nscale = "scale 0.01 g"\ndate = 2026-10-12\n'


def series(rows: tuple[str, ...], said: str = WEIGHED, tool: str = "marked tube") -> str:
    """A calibration of an instrument, as a job file has it."""
    listed = "".join(f"    {row},\n" for row in rows)
    return f'\n[[series]]\nstep = "calibrate"\ninstrument = "{tool}"\n{said}readings = [\n{listed}]\n'


def chamber(number: int, *rows: tuple[str, str], tool: str = "marked tube", said: str = "") -> str:
    """Fills of one chamber, from start to end by the scale."""
    listed = "".join(f'    {{ start = "{start} ml", end = "{end} ml" }},\n' for start, end in rows)
    return (
        f'\n[[series]]\nstep = "chamber"\ncylinder = {number}\ninstrument = "{tool}"\nplug = "fitted"\n'
        f'hole = "not filled"\nfluid = "water"\ntemperature = "21 degC"\n{said}readings = [\n{listed}]\n'
    )


def survey(*blocks: str) -> Survey:
    return ccassist.survey(ccassist.parse_job(HEAD + "".join(blocks)).job)


def made(*blocks: str) -> Calibration:
    (found,) = survey(*blocks).calibrations.values()
    return found


def volume(result: Survey, number: int = 1) -> ccassist.values.number.Number:
    return result.cylinders[number - 1].values["chamber_volume"].number


def codes(result: Survey) -> set[str]:
    return {f.code for f in result.findings}


def of_cause(shares: list[Share], words: str) -> float:
    """What the causes whose name ends so put into a ±, standard."""
    return sqrt(sum(row.standard**2 for row in shares if row.cause.name.endswith(words)))


# -- what the steps say -----------------------------------------------------------------------------


def test_marks_weighed() -> None:
    """Trade example C3b: 9.89, 19.86, 29.90, 39.82, 49.81 cc; errors −0.11, −0.14, −0.10, −0.18, −0.19."""
    steps = made(series(C3B)).steps
    assert [round(step.volume / CC, 2) for step in steps] == [9.89, 19.86, 29.90, 39.82, 49.81]
    assert [round((step.volume - step.says) / CC, 2) for step in steps] == [-0.11, -0.14, -0.10, -0.18, -0.19]


def test_volume_from_mass_by_the_standard_equation() -> None:
    """ISO 4787:2021 eq. (1) with Tanaka 2001 and air of 1.2 kg/m³: mass × Z."""
    z = z_factor(water_density(294.15), 1.2)
    for step, mass in zip(made(series(C3B)).steps, MASSES, strict=True):
        assert step.volume == pytest.approx(mass * 1e-3 * z, rel=1e-9)


def test_line_of_the_marks() -> None:
    """The same line by SciPy's linregress, from the printed masses."""
    found, z = made(series(C3B)), z_factor(water_density(294.15), 1.2) * 1e3
    other = stats.linregress(MARKS, [m * z for m in MASSES])
    assert nominal(found.slope) == pytest.approx(other.slope, rel=1e-9)
    assert nominal(found.true(0.0)) / CC == pytest.approx(other.intercept, abs=1e-6)
    assert of_cause(budget(found.slope), "slope of its line") == pytest.approx(other.stderr, rel=1e-6)
    at_nought = budget(found.true(0.0))
    drawn_on = sqrt(of_cause(at_nought, "slope of its line") ** 2 + of_cause(at_nought, "height of its line") ** 2)
    assert drawn_on / CC == pytest.approx(other.intercept_stderr, rel=1e-6)


def test_cup_and_dispenser_weigh_alike() -> None:
    """What the cup gains the dispenser loses, a tared dispenser too."""
    gave = tuple(
        f'{{ to = "{mark} ml", before = "{80}.00 g", after = "{80 - mass:.2f} g" }}'
        for mark, mass in zip(MARKS, MASSES, strict=True)
    )
    tared = tuple(
        f'{{ to = "{mark} ml", before = "0 g", after = "-{m} g" }}' for mark, m in zip(MARKS, MASSES, strict=True)
    )
    for rows in (gave, tared):
        for one, other in zip(made(series(rows)).steps, made(series(C3B)).steps, strict=True):
            assert one.volume == pytest.approx(other.volume, rel=1e-9)


def test_rods_of_known_size() -> None:
    """Rods of 4 to 20 cc, L = V/(πr²); the tube reads 2 % and at nought 0.3 cc too much."""
    rows, reads = [], []
    for size in (4, 9, 11, 20):
        length = size * 1000 / (pi * 10**2)
        reads.append(20 + 1.02 * size + 0.3)
        rows.append(f'{{ from = "20 ml", to = "{reads[-1]} ml", diameter = "20 mm", length = "{length:.6f} mm" }}')
    found = made(series(tuple(rows), 'scale = "micrometer 25 mm"\ndate = 2026-10-12\n'))
    assert [step.volume / CC for step in found.steps] == pytest.approx([4, 9, 11, 20], rel=1e-6)
    assert nominal(found.slope) == pytest.approx(1 / 1.02, rel=1e-6)
    assert nominal(found.true(0.0)) / CC == pytest.approx(-0.3 / 1.02, abs=1e-5)


def test_rod_diameter_is_one_doubt_of_every_step() -> None:
    """One rod dropped to different depths: its diameter, twice in each volume, goes wholly into the slope."""
    rows = tuple(
        f'{{ to = "{mark} ml", diameter = "20.00 +/- 0.02 mm", length = "{mark / 0.31416:.4f} +/- 0.0001 mm" }}'
        for mark in (10, 20, 30)
    )
    shares = budget(made(series(rows, "date = 2026-10-12\n")).slope)
    relative = 2 * (0.02 / sqrt(3)) / 20.0
    assert of_cause(shares, "rod or bore, diameter: stated ±") == pytest.approx(relative, rel=1e-3)


def test_brought_to_twenty_degrees_and_back() -> None:
    """Calibrated and used at 31 °C, a plastic syringe delivers what was weighed: its expansion and its doubt cancel.

    Source: ISO 4787:2021 eq. (1), the factor 1 − γ (t − 20 °C), there and back.
    """
    rows = tuple(
        f'{{ from = "{m} ml", to = "0 ml", before = "0 g", after = "{m * 0.995:.3f} g" }}' for m in (10, 30, 50, 60)
    )
    warm = WEIGHED.replace("21 degC", "31 degC")
    fill = chamber(1, ("60", "20"), ("60", "20"), tool="syringe 60 ml").replace("21 degC", "31 degC")
    result = survey(series(rows, warm, "syringe 60 ml"), fill)
    z = z_factor(water_density(304.15), 1.2)
    assert nominal(volume(result)) == pytest.approx(0.995 * 40e-3 * z, rel=1e-4)
    made_cold = next(iter(result.calibrations.values()))
    assert nominal(made_cold.true(40 * CC)) == pytest.approx(0.995 * 40e-3 * z * (1 - 345e-6 * 11), rel=1e-5)
    own = of_cause(budget(volume(result)), "expansion of its material")
    assert own < 0.02 * of_cause(budget(made_cold.true(40 * CC)), "expansion of its material")


# -- what it does to the fills ---------------------------------------------------------------------

CHAMBERS = tuple(
    chamber(n, *[("0", f"{end + d:.1f}") for d in (-0.1, 0.0, 0.1)]) for n, end in enumerate((42.0, 44.0), 1)
)


def test_corrected_by_a_line_of_its_own() -> None:
    """Mean reading 42.0, true by the line of C3b; the correction stands in the sum."""
    result = survey(series(C3B), *CHAMBERS)
    z = z_factor(water_density(294.15), 1.2) * 1e3
    other = stats.linregress(MARKS, [m * z for m in MASSES])
    expected = other.intercept + other.slope * 42.0
    assert nominal(volume(result)) / CC == pytest.approx(expected, abs=1e-6)
    said = {line.words: nominal(line.number) for line in result.reduced[0].lines}
    assert said["corrected by the calibration of marked tube"] / CC == pytest.approx(expected - 42.0, abs=1e-6)


def test_two_deliveries_are_corrected_each() -> None:
    """A refill is a delivery of its own: the error at nought comes twice."""
    fill = chamber(1, ("0", "42")).replace(
        'start = "0 ml", end = "42 ml"', 'start = ["0 ml", "0 ml"], end = ["30 ml", "12 ml"]'
    )
    result = survey(series(C3B), fill)
    found = next(iter(result.calibrations.values()))
    expected = nominal(found.true(30 * CC)) + nominal(found.true(12 * CC))
    assert nominal(volume(result)) == pytest.approx(expected, rel=1e-12)
    assert nominal(found.true(42 * CC, 2)) == pytest.approx(expected, rel=1e-12)


def test_permissible_error_is_not_charged_any_more() -> None:
    known = HEAD.replace('capacity = "100 ml"', 'capacity = "100 ml"\npermissible_error = "0.5 ml"')
    before = ccassist.survey(ccassist.parse_job(known + "".join(CHAMBERS)).job)
    after = ccassist.survey(ccassist.parse_job(known + series(C3B) + "".join(CHAMBERS)).job)
    assert of_cause(budget(volume(before)), "permissible error of its scale") == pytest.approx(0.5 * CC / sqrt(3))
    assert of_cause(budget(volume(after)), "permissible error of its scale") == 0.0
    assert standard(volume(after)) < standard(volume(before)) / 2


def test_unknown_scale_has_no_doubt_until_calibrated() -> None:
    """A marked bottle says nothing of itself: no ± can be stated, and the calibration brings one."""
    assert isnan(standard(volume(survey(*CHAMBERS))))
    assert standard(volume(survey(series(C3B), *CHAMBERS))) > 0


def test_sister_chambers_do_not_bear_what_they_share() -> None:
    """The height of the line cancels altogether, the slope but for slope × (x1 − x2).  Source: JCGM 100:2008, 5.2."""
    result = survey(series(C3B), *CHAMBERS)
    found = next(iter(result.calibrations.values()))
    height, slope = found.line.height_uncertainty, found.line.slope_uncertainty
    absolute = budget(volume(result, 1))
    assert of_cause(absolute, "height of its line") == pytest.approx(height, rel=1e-9)
    assert of_cause(absolute, "slope of its line") == pytest.approx(slope * 12 * CC, rel=1e-9)  # 42 less the middle, 30
    apart = budget(volume(result, 2) - volume(result, 1))
    assert of_cause(apart, "height of its line") < 1e-6 * height
    assert of_cause(apart, "slope of its line") == pytest.approx(slope * 2 * CC, rel=1e-9)
    assert of_cause(apart, "was calibrated") < 0.06 * of_cause(absolute, "was calibrated")
    assert of_cause(absolute, "was calibrated") > 0


def test_scale_error_of_a_ratio_is_common() -> None:
    """Two chambers together bear the calibration twice over, not √2 times."""
    result = survey(series(C3B), *CHAMBERS)
    one, both = budget(volume(result, 1)), budget(volume(result, 1) + volume(result, 2))
    assert of_cause(both, "height of its line") == pytest.approx(2 * of_cause(one, "height of its line"), rel=1e-9)


def test_height_and_slope_rest_on_one_estimate() -> None:
    """Both, and the scatter of a lone fill, have the n − 2 degrees of the one residual scatter (JCGM 100:2008, G.4)."""
    result = survey(series(C3B), chamber(1, ("0", "42")))
    shares = [row for row in budget(volume(result)) if row.cause.pool]
    assert {row.cause.pool for row in shares} == {"calibration of marked tube"}
    assert len(shares) == 3
    assert degrees(shares) == pytest.approx(3.0)


def test_residual_scatter_serves_where_repeats_are_few() -> None:
    """One fill says nothing of its scatter; the calibration's steps do, and three fills of two chambers say more."""
    lone, many = survey(series(C3B), chamber(1, ("0", "42"))), survey(series(C3B), *CHAMBERS)
    found = next(iter(lone.calibrations.values()))
    (scatter,) = [r for r in budget(volume(lone)) if "repeat scatter" in r.cause.name]
    assert scatter.standard == pytest.approx(found.line.scatter, rel=1e-9)
    assert scatter.cause.source == "scatter of its steps when it was calibrated"
    (pooled,) = [r for r in budget(volume(many)) if "repeat scatter" in r.cause.name]
    assert pooled.standard == pytest.approx(0.1 * CC / sqrt(3), rel=1e-6)
    assert pooled.cause.dof == 4


def test_steps_on_a_line_to_the_last_digit_still_scatter() -> None:
    """Two readings rounded to 0.1 g: no less than 0.1 √(2/12) g.  Source: JCGM 100:2008, F.2.2.1."""
    rows = tuple(f'{{ to = "{m} ml", before = "0.0 g", after = "{m * 0.99:.1f} g" }}' for m in (10, 20, 30, 40))
    found = made(series(rows))
    assert found.line.scatter < 1e-3 * CC
    assert found.scatter == pytest.approx(0.1 * sqrt(2 / 12) * CC, rel=5e-3)


# -- where it does not hold -------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("end", "level"),
    [("49", None), ("10", None), ("52", Level.WARNING), ("7", Level.WARNING), ("55", Level.ERROR), ("5", Level.ERROR)],
)
def test_outside_the_calibrated_range(end: str, level: Level | None) -> None:
    """Calibrated from 10 to 50: up to 4 outside is flagged, more is refused."""
    result = survey(series(C3B), chamber(1, ("0", end)))
    found = [f for f in result.findings if f.code == "outside-calibration"]
    assert [f.level for f in found] == ([] if level is None else [level])
    assert all("10 to 50 ml" in f.wrong and f.line is not None for f in found)
    assert ("chamber_volume" in result.cylinders[0].values) is (level is not Level.ERROR)


def test_fill_set_aside_is_not_judged() -> None:
    fill = chamber(1, ("0", "42"), ("0", "90")).replace('end = "90 ml"', 'end = "90 ml", set_aside = "overfilled"')
    assert "outside-calibration" not in codes(survey(series(C3B), fill))


def test_no_remainder_is_no_delivery() -> None:
    rows = tuple(f'{{ from = "{m} ml", to = "0 ml", before = "0 g", after = "{m} g" }}' for m in (40, 50, 60))
    fill = chamber(1, ("0", "60"), tool="syringe 60 ml").replace(
        'start = "0 ml", end = "60 ml"', 'full = 1, each = "60 ml", rest = "0 ml"'
    )
    assert "outside-calibration" not in codes(survey(series(rows, tool="syringe 60 ml"), fill))


def test_read_against_the_direction_calibrated() -> None:
    assert "other-way" not in codes(survey(series(C3B), chamber(1, ("0", "42"))))
    assert "other-way" in codes(survey(series(C3B), chamber(1, ("50", "8"))))


def test_steps_read_both_ways() -> None:
    back = '{ from = "40 ml", to = "0 ml", before = "0 g", after = "39.7 g" }'
    result = survey(series((*C3B, back)))
    assert "both-ways" in codes(result)
    assert next(iter(result.calibrations.values())).rises is None


def test_bent_scale_is_said() -> None:
    rows = tuple(f'{{ to = "{m} ml", before = "0 g", after = "{m - 0.0008 * (m - 30) ** 2:.2f} g" }}' for m in MARKS)
    assert "bent-scale" in codes(survey(series(rows)))
    assert "bent-scale" not in codes(survey(series(C3B)))


def test_wrong_unit_is_said() -> None:
    rows = tuple(f'{{ to = "{m} ml", before = "0 oz", after = "{m} g" }}' for m in (4, 9, 14))
    assert "far-off-scale" not in codes(survey(series(rows)))
    ounces = tuple(row.replace(' g"', ' oz"') for row in rows)
    assert "far-off-scale" in codes(survey(series(ounces)))


@each(("share", "said"), [(1.3, "more"), (0.7, "less")])
def test_which_way_a_scale_is_far_off_is_said(share: float, said: str) -> None:
    rows = tuple(f'{{ to = "{m} ml", before = "0 g", after = "{share * m:.1f} g" }}' for m in (10, 20, 30, 40))
    (found,) = (one for one in survey(series(rows)).findings if one.code == "far-off-scale")
    assert f"30 % {said} than its scale says" in found.wrong.replace("\xa0", " ")


@pytest.mark.parametrize("rows", [C3B[:2], (C3B[0],) * 3], ids=["two steps", "one size"])
def test_too_few_steps(rows: tuple[str, ...]) -> None:
    """No line, said in words; the fills go on as if it had never been calibrated."""
    result = survey(series(rows), *CHAMBERS)
    assert not result.calibrations
    assert "too-few-steps" in codes(result)
    assert nominal(volume(result)) == pytest.approx(42 * CC)


def test_step_set_aside_does_not_count() -> None:
    odd = '{ to = "35 ml", before = "0 g", after = "31.2 g", set_aside = "spilt some" }'
    assert nominal(made(series((*C3B, odd))).slope) == pytest.approx(nominal(made(series(C3B)).slope), rel=1e-12)


# -- days -------------------------------------------------------------------------------------------


def test_due_a_year_later_unless_said() -> None:
    """Common practice, no source: again after a year."""
    assert made(series(C3B)).due == date(2027, 10, 12)
    assert made(series(C3B, WEIGHED + 'valid_for = "6 months"\n')).due == date(2027, 4, 12)


@pytest.mark.parametrize(
    ("day", "span", "due"),
    [
        (date(2026, 8, 31), "6 months", date(2027, 2, 28)),
        (date(2024, 2, 29), "1 year", date(2025, 2, 28)),
        (date(2026, 12, 15), "1 month", date(2027, 1, 15)),
        (date(2026, 1, 31), "3 months", date(2026, 4, 30)),
    ],
)
def test_day_of_a_shorter_month(day: date, span: str, due: date) -> None:
    assert due_on(day, span) == due


def test_day_written_otherwise_is_not_guessed() -> None:
    assert read_date("12 Oct 2026") is None
    assert read_date("2026-13-01") is None
    assert "no-date" in codes(survey(series(C3B, WEIGHED.replace("2026-10-12", '"last autumn"'))))


@pytest.mark.parametrize(("said", "late"), [("", False), ("date = 2027-10-12\n", False), ("date = 2027-10-13\n", True)])
def test_used_after_it_was_due(said: str, late: bool) -> None:
    """A series without a day was read on the day of the job."""
    result = survey(series(C3B), chamber(1, ("0", "42"), said=said))
    assert ("calibration-due" in codes(result)) is late


def test_calibrated_anew() -> None:
    """The latest counts; the two are never joined."""
    later = tuple(row.replace("49.66", "49.00") for row in C3B)
    found = made(series(C3B), series(later, WEIGHED.replace("2026", "2027")))
    assert found.made == date(2027, 10, 12)
    assert len(found.steps) == 5
    assert found.steps[-1].volume < 49.3 * CC


# -- what a file must say ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("said", "code"),
    [
        (WEIGHED.replace('fluid = "water"\n', ""), "no-fluid"),
        (WEIGHED.replace("0.01 g", "9 g"), "unknown-instrument"),
        (WEIGHED.replace("scale 0.01 g", "dial indicator"), "wrong-instrument"),
        (WEIGHED.replace('scale = "scale 0.01 g"\n', ""), "no-scale"),
        (WEIGHED.replace('temperature = "21 degC"\n', ""), "no-temperature"),
        (WEIGHED.replace("21 degC", "60 degC").replace("water", "paraffin"), "no-density"),
        (WEIGHED + 'valid_for = "1 fortnight"\n', "unknown-word"),
        (WEIGHED + "cylinder = 1\n", "contradiction"),
    ],
)
def test_what_is_not_said(said: str, code: str) -> None:
    loaded = ccassist.parse_job(HEAD + series(C3B, said))
    found = {f.code for f in (*loaded.findings, *ccassist.survey(loaded.job).findings)}
    assert code in found


@pytest.mark.parametrize(
    ("row", "code"),
    [
        ('{ from = "10 ml", to = "10 ml", before = "0 g", after = "9.9 g" }', "no-delivery"),
        ('{ to = "10 ml", before = "9.9 g", after = "9.9 g" }', "no-delivery"),
        ('{ to = "140 ml", before = "0 g", after = "139 g" }', "over-capacity"),
        ('{ to = "90 ml", before = "1000 g", after = "1089 g" }', "over-capacity"),
    ],
)
def test_steps_that_cannot_be(row: str, code: str) -> None:
    result = survey(series((*C3B, row)))
    assert code in codes(result)
    assert not result.calibrations


def test_only_what_holds_fluid_is_calibrated() -> None:
    assert "wrong-instrument" in codes(survey(series(C3B, tool="dial indicator")))


def test_where_it_holds_is_told_to_four_figures_and_its_scatter_to_two() -> None:
    rows = tuple(
        f'{{ to = "{mark} ml", before = "0 g", after = "{mass} g" }}'
        for mark, mass in (("10.0123", 9.86), ("20.0123", 19.80), ("30.0123", 29.93), ("50.0123", 49.66))
    )
    (told,) = [f.wrong for f in survey(series(rows)).findings if f.code == "calibrated"]
    assert "in 4 steps from 10.01 to 50.01 cc; one delivery scatters by 0." in told
    scatter = told.rpartition("scatters by ")[2].removesuffix(" cc")
    assert len(scatter.lstrip("0.")) == 2
