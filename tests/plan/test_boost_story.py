"""The story of a boosted engine from its job: limits, doubt carried, what is asked, assumed and refused.

Numbers without a source are compared with another way of working them out; those of altitude are common
practice, recomputed.
"""

from __future__ import annotations

import math

import pytest
from uncertainties import covariance_matrix

from ccassist.boost.conditions import standard_pressure
from ccassist.plan.boost.build import Build
from ccassist.plan.boost.stated import charge_findings
from ccassist.plan.boost.story import BoostStory
from ccassist.report.boost import boost_report
from ccassist.report.boost_told import boost_of
from ccassist.values.display import METRIC
from ccassist.values.findings import errors
from ccassist.values.number import nominal, standard
from tests.boost_job import BASELINE, CAM, CHARGE, ENGINE, JOB, replaced, told
from tests.sound_survey import surveyed


def worst(story: BoostStory) -> Build:
    assert story.worst_one is not None
    assert story.worst_one.build is not None
    return story.worst_one.build


def codes(story: BoostStory) -> set[str]:
    return {f.code for f in story.findings}


def figures(build: Build) -> dict[str, float]:
    return {e.convention.key: nominal(e.number) for e in build.equivalents}


def test_without_charge_there_is_the_static_and_the_trapped_story() -> None:
    story = told(ENGINE + CAM)
    assert set(worst(story).values) == {"static_ratio", "trapped_ratio"}
    assert (story.conditions, story.knock, worst(story).equivalents) == (None, None, ())


def test_without_a_cam_only_the_static_ratio_is_known_and_the_closing_is_asked() -> None:
    story = told(ENGINE + CHARGE)
    assert story.worst is None
    assert [one.lacking for one in story.cylinders] == [("intake_closing",)] * 2
    assert all(one.static_ratio is not None for one in story.cylinders)
    assert "no-closing" in codes(story)


def test_closing_at_bottom_traps_the_whole_static_ratio() -> None:
    story = told(JOB, ('"55 +/- 2 deg after BDC, measured"', '"0 +/- 0.1 deg after BDC, measured"'))
    values = worst(story).values
    assert values["trapped_ratio"].nominal == pytest.approx(values["static_ratio"].nominal, rel=1e-12)


@pytest.mark.parametrize("boost", ["", 'boost_gauge = "0 bar"\n'])
def test_no_boost_gives_back_the_static_ratio(boost: str) -> None:
    """At the reference pressure an engine without a compressor is worth itself, whatever is held equal."""
    air = 'barometer = "101.325 kPa"\nbarometer_is = "read on site"\n'
    story = told(ENGINE + CAM + "\n[charge]\n" + air + boost)
    build = worst(story)
    assert not story.conditions.compressed  # type: ignore[union-attr]
    for key, figure in figures(build).items():
        assert figure == pytest.approx(build.values["static_ratio"].nominal, rel=1e-9), key


def test_the_doubt_of_the_closing_is_the_doubt_of_the_trapped_ratio() -> None:
    """10 degrees of closing are 0.4 to 0.5 of a ratio: common practice, recomputed."""
    exact = told(JOB, ("55 +/- 2", "55 +/- 0.001"))
    wide = told(JOB, ("55 +/- 2", "55 +/- 10"))
    here, there = (worst(story).values["trapped_ratio"].expanded for story in (exact, wide))
    assert 0.4 < math.sqrt(there**2 - here**2) < 0.52


def test_the_trapped_ratio_keeps_its_link_to_the_measurement() -> None:
    """Static and trapped ratio share the chamber's doubt: with an exact closing they move together."""
    story = told(JOB, ("55 +/- 2", "55 +/- 0.001"))
    values = worst(story).values
    pair = [values[key].number for key in ("static_ratio", "trapped_ratio")]
    both = covariance_matrix(pair)
    assert both[0][1] / standard(pair[0]) / standard(pair[1]) == pytest.approx(1, abs=1e-3)


def test_the_worst_cylinder_is_the_one_with_the_smallest_chamber() -> None:
    assert told(JOB).worst == 2


def test_the_trapped_ratio_is_that_of_the_engine_model() -> None:
    """Two ways: the slider-crank here, the relations of the model there; the same uncertain number."""
    story = told(JOB)
    for one, cylinder in zip(story.cylinders, story.survey.cylinders, strict=True):
        assert one.build is not None
        model = cylinder.values["trapped_ratio"]
        mine = one.build.values["trapped_ratio"]
        assert mine.nominal == pytest.approx(model.nominal, rel=1e-12)
        assert mine.expanded == pytest.approx(model.expanded, rel=1e-9)
        assert standard(mine.number - model.number) == pytest.approx(0, abs=1e-9)


def test_phasing_gives_a_range_about_the_closing_as_read() -> None:
    """Without a charge the hardest position is that which traps most; the file's closing stays as read."""
    phased = CAM + 'intake_phase_advance = "20 +/- 1 deg, maker\'s figure"\n'
    story = told(ENGINE + phased)
    early, late = (
        nominal(worst(told(ENGINE + CAM, ("55", closing))).geometry.trapped_ratio) for closing in ("35", "55")
    )
    one = story.worst_one
    assert one is not None
    assert one.earliest is not None
    assert one.latest is not None
    assert (one.earliest.nominal, one.latest.nominal) == pytest.approx((early, late))
    assert worst(story).values["trapped_ratio"].nominal == pytest.approx(early)
    assert math.degrees(story.shift) == pytest.approx(20)


def test_the_lift_goes_with_every_trapped_ratio() -> None:
    assert told(JOB).lift_basis == "at 1.00 mm lift of the valve"
    unsaid = told(JOB, ('event_lift = "1.00 mm"\n', ""))
    assert unsaid.lift_basis == "at a lift that is not said"
    assert "no-event-lift" in codes(unsaid)


def test_the_curve_falls_and_starts_at_the_static_ratio() -> None:
    curve = told(JOB).curve
    ratios = [point.trapped_ratio.nominal for point in curve]
    assert ratios == sorted(ratios, reverse=True)
    assert ratios[0] == pytest.approx(worst(told(JOB)).values["static_ratio"].nominal)


ALTITUDE = ('barometer = "99.5 +/- 0.3 kPa, measured"\nbarometer_is = "read on site"\n', 'altitude = "2500 m"\n')


def test_at_altitude_the_ratio_counts_from_the_reference_not_from_the_local_air() -> None:
    """2500 m and 1.0 bar gauge on 8.5: the square-root habit is 11.2 with absolute pressure over 101.325 kPa, and
    13.0 if the local barometer were the reference (common practice, recomputed; ISO 2533 for the air)."""
    story = told(JOB, ALTITUDE)
    build = worst(story)
    static = build.values["static_ratio"].nominal
    absolute = (1e5 + standard_pressure(2500.0)) / 101325.0
    assert figures(build)["root_equivalent"] / static * 8.5 == pytest.approx(8.5 * math.sqrt(absolute), rel=1e-9)
    assert 8.5 * math.sqrt(absolute) == pytest.approx(11.2, abs=0.05)
    assert 8.5 * math.sqrt(1 + 1e5 / standard_pressure(2500.0)) == pytest.approx(13.0, abs=0.05)
    assert worst(told(JOB)).values["pressure_ratio"].nominal > build.values["pressure_ratio"].nominal


def test_geopotential_altitude_is_turned() -> None:
    """ISO 2533, table at 3000 m geopotential: 70108.5 Pa; geometric 70121.1 Pa."""
    for words, wanted in (("geopotential", 70108.5), ("geometric", 70121.1)):
        story = told(JOB, (ALTITUDE[0], f'altitude = "3000 m"\naltitude_is = "{words}"\n'))
        assert story.conditions is not None
        assert nominal(story.conditions["barometer"]) == pytest.approx(wanted, abs=0.06)


def test_gauge_and_absolute_boost_are_one_engine_said_twice() -> None:
    gauge, absolute = told(JOB), told(JOB, ('boost_gauge = "1.0 bar"', 'manifold_pressure = "199.5 kPa"'))
    for key in ("compressor_ratio", "end_pressure", "closing_temperature"):
        assert worst(gauge).values[key].nominal == pytest.approx(worst(absolute).values[key].nominal, rel=1e-9)


@pytest.mark.parametrize(
    ("change", "code"),
    [
        (('"read on site"', '"reduced to sea level"'), "barometer-reduced"),
        (('boost_gauge = "1.0 bar"', 'boost_gauge = "1.0 bar"\nmanifold_pressure = "2.0 bar"'), "boost-twice"),
    ],
)
def test_what_cannot_be_used_is_an_error_at_its_line(change: tuple[str, str], code: str) -> None:
    story = told(JOB, change)
    found = [f for f in errors(story.findings) if f.code == code]
    assert found
    assert all(f.line for f in found)
    assert story.conditions is None


@pytest.mark.parametrize(
    ("change", "code"),
    [
        (('barometer_is = "read on site"\n', ""), "barometer-unsaid"),
        (('barometer = "99.5 +/- 0.3 kPa', 'altitude = "2500 m"\nbarometer = "99.5 +/- 0.3 kPa'), "barometer-reduced"),
        (('boost_gauge = "1.0 bar"', 'manifold_pressure = "0.8 bar"'), "gauge-for-absolute"),
        (('octane_number = "95"', 'octane_number = "95"\nethanol_share = "85 %"'), "fuel-vapour"),
        (('spark = "best', 'injection = "direct"\nspark = "best'), "fuel-later"),
    ],
)
def test_what_is_doubtful_is_said(change: tuple[str, str], code: str) -> None:
    assert code in codes(told(JOB, change))


def test_whatever_is_not_stated_is_listed_as_assumed() -> None:
    """And what is stated is not."""
    assumed = {value.key: value for value in told(JOB).assumed}
    assert {"filling", "charge_heating", "residual_temperature", "cooler_effectiveness", "burn_duration"} <= set(
        assumed
    )
    assert not {"mixture_strength", "intake_air_temperature", "barometer"} & set(assumed)
    assert all(value.how for value in assumed.values())
    stated = told(JOB, ("[charge]\n", '[charge]\nfilling = "1.1 +/- 0.05, assumed"\n'))
    assert "filling" not in {value.key for value in stated.assumed}
    assert "filling" in {value.key for value in stated.chosen}


def test_the_findings_can_be_had_without_working_anything_out() -> None:
    changes = (('barometer_is = "read on site"\n', ""), ('boost_gauge = "0.6 bar"\n', ""))
    found = charge_findings(surveyed(replaced(JOB, *changes)))
    assert [f.code for f in found] == ["barometer-unsaid", "no-baseline"]
    assert charge_findings(surveyed(ENGINE + CAM + BASELINE)) == ()


def test_a_baseline_must_be_vouched_for() -> None:
    for change in (
        ('runs = "clean, no knock heard or seen"', 'runs = "not known"'),
        ('runs = "clean, no knock heard or seen"\n', ""),
        ('static_ratio = "9.0 +/- 0.1, measured"\n', ""),
        ('boost_gauge = "0.6 bar"\n', ""),
    ):
        story = told(JOB, change, knock=True)
        assert "no-baseline" in codes(story)
        assert story.baseline is None
        assert story.knock is not None
        assert story.knock.difference is None
        assert [f.code for f in story.knock.refused] == ["no-baseline"]


def test_no_baseline_no_knock() -> None:
    knock = told(ENGINE + CAM + CHARGE, knock=True).knock
    assert knock is not None
    assert (knock.difference, knock.natural) == (None, None)
    assert "none is named" in knock.refused[0].text()


SPEED = (
    'burn_phasing = "14 deg after TDC"\nruns',
    'burn_phasing = "14 deg after TDC"\nengine_speed = "5000 rpm"\nruns',
)


@pytest.mark.parametrize(
    ("change", "code"),
    [
        (('octane_number = "95"', 'octane_number = "112"'), "octane-out-of-range"),
        (('octane_number = "95"', 'octane_number = "95"\nethanol_share = "85 %"'), "knock-ethanol"),
        (('octane_number = "95"', 'octane_number = "95"\nmethanol_share = "20 %"'), "knock-methanol"),
        (('spark = "best', 'injection = "direct"\nspark = "best'), "knock-direct-injection"),
        (('spark = "best', 'fuel = "dry air"\nspark = "best'), "knock-no-fuel"),
        (SPEED, "other-speed"),
        (("[baseline]\n", '[baseline]\noctane_number = "98"\n'), "other-fuel"),
        (("[baseline]\n", '[baseline]\nspark = "held back from knock"\n'), "other-spark"),
    ],
)
def test_knock_is_refused_in_words(change: tuple[str, str], code: str) -> None:
    knock = told(JOB, change, knock=True).knock
    assert knock is not None
    assert knock.difference is None
    assert code in {f.code for f in knock.refused}
    assert math.isnan(knock.low)


def test_an_engine_against_itself_asks_for_no_more_octane() -> None:
    """Same ratio, boost and all: no difference but for what was measured or may differ unsaid."""
    static = worst(told(JOB)).values["static_ratio"].nominal
    same = (("9.0 +/- 0.1", f"{static:.6f} +/- 0.1"), ('boost_gauge = "0.6 bar"', 'boost_gauge = "1.0 bar"'))
    knock = told(JOB, *same, knock=True).knock
    assert knock is not None
    assert knock.difference is not None
    assert knock.difference.octane == pytest.approx(0, abs=1e-3)
    assert knock.low < 0 < knock.high


def test_the_octane_difference_and_what_makes_its_interval() -> None:
    """Measured, shared and unshared parts stand apart; a better known baseline narrows only the measured one."""
    wide = told(JOB, knock=True).knock
    narrow = told(JOB, ("9.0 +/- 0.1", "9.0 +/- 0.001"), knock=True).knock
    assert wide is not None
    assert narrow is not None
    assert wide.difference == narrow.difference
    assert wide.difference is not None
    assert 5 < wide.difference.octane < 15
    assert wide.low <= wide.difference.low < wide.difference.octane < wide.difference.high <= wide.high
    assert narrow.measured < wide.measured
    assert (narrow.shared, narrow.unshared) == (wide.shared, wide.unshared)
    assert wide.shared < wide.unshared


def test_what_the_baseline_leaves_out_is_as_in_this_engine() -> None:
    """The same uncertain numbers, so that their doubt cancels in the difference of two figures."""
    story = told(JOB)
    own, base = story.conditions, story.baseline_running.conditions  # type: ignore[union-attr]
    assert own is not None
    assert base is not None
    for key in ("barometer", "filling", "compressor_efficiency", "intake_air_temperature"):
        assert own[key] is base[key]
    assert own["manifold_pressure"] is not base["manifold_pressure"]


def test_a_baseline_elsewhere_breathes_its_own_air() -> None:
    story = told(
        JOB, ("[baseline]\n", '[baseline]\naltitude = "2000 m"\nintake_closing = "60 +/- 2 deg after BDC, measured"\n')
    )
    assert story.baseline is not None
    assert nominal(story.baseline_running.conditions["barometer"]) == pytest.approx(standard_pressure(2000.0))  # type: ignore[union-attr, index]
    assert math.degrees(nominal(story.baseline.geometry.intake_closing)) == pytest.approx(60)


def test_charge_temperature_of_one_engine_only_is_asked() -> None:
    change = ("[charge]\n", '[charge]\ncharge_temperature = "45 +/- 5 degC, measured"\n')
    assert "charge-temperature-once" in codes(told(JOB, change))
    both = ("[baseline]\n", '[baseline]\ncharge_temperature = "40 +/- 5 degC, measured"\n')
    assert "charge-temperature-once" not in codes(told(JOB, change, both))


def test_a_baseline_without_charge_is_left_alone() -> None:
    story = told(ENGINE + CAM + BASELINE)
    assert (story.baseline, story.knock) == (None, None)


# What few people know of how an engine is run: taken from what they do know, or assumed of both, and said.

FEW = replaced(
    JOB,
    ('engine_speed = "2500 rpm"\n', ""),
    ('burn_phasing = "14 deg after TDC"\noctane_number = "95"\n', ""),
    ('burn_phasing = "14 deg after TDC"\n', ""),
)


def _run(text: str, *changes: tuple[str, str]) -> tuple[dict[str, float], dict[str, float]]:
    """How engine and baseline are run, SI."""
    story = told(text, *changes)
    assert story.running is not None
    assert story.baseline_running is not None
    own, base = ({key: one.nominal for key, one in run.run.items()} for run in (story.running, story.baseline_running))
    return own, base


def test_without_burn_speed_and_octane_there_is_a_figure_and_it_is_said() -> None:
    """A range over the speeds, inside the interval; burn phasing of both alike; all of it listed as assumed."""
    story = told(FEW, knock=True)
    knock = story.knock
    assert knock is not None
    assert knock.difference is not None
    assert knock.by_speed is not None
    assert knock.low < min(knock.by_speed)
    assert knock.high > max(knock.by_speed)
    assert {"engine_speed", "burn_phasing", "octane_number"} <= {one.key for one in story.assumed}
    own, base = _run(FEW)
    assert own["burn_phasing"] == base["burn_phasing"]
    report = boost_report(story, boost_of(story, METRIC), METRIC)
    lines = " ".join(getattr(block, "words", "") for block in report.answer)
    assert "Taken: any speed (" in lines
    assert "as the baseline's" in lines


@pytest.mark.parametrize(
    ("own", "base", "apart"),
    [
        ('spark_advance = "18 deg before TDC"', 'spark_advance = "24 deg before TDC"', 6.0),
        ('spark_advance = "18 deg before TDC"', 'burn_phasing = "10 deg after TDC"', 0.0),
        (
            'spark_advance = "20 deg before TDC"',
            'spark_advance = "25 deg before TDC"\nburn_phasing = "10 deg after TDC"',
            5.0,
        ),
        (
            'spark_advance = "20 deg before TDC"\nburn_phasing = "16 deg after TDC"',
            'spark_advance = "25 deg before TDC"',
            5.0,
        ),
        ('burn_phasing = "16 deg after TDC"', 'burn_phasing = "10 deg after TDC"', 6.0),
    ],
)
def test_the_spark_of_both_says_how_far_the_burns_are_apart(own: str, base: str, apart: float) -> None:
    """A degree of spark moves the burn by a degree (common practice, no source); the burn itself goes before it."""
    mine, theirs = _run(FEW, ("[charge]\n", f"[charge]\n{own}\n"), ("[baseline]\n", f"[baseline]\n{base}\n"))
    assert math.degrees(mine["burn_phasing"] - theirs["burn_phasing"]) == pytest.approx(apart)


def test_a_spark_of_one_alone_is_asked_of_the_other() -> None:
    story = told(FEW, ("[charge]\n", '[charge]\nspark_advance = "18 deg before TDC"\n'))
    assert ("spark-once", "baseline.spark_advance") in {(f.code, f.place) for f in story.findings}


def test_pump_octane_and_air_fuel_ratio_are_taken_as_people_read_them() -> None:
    """(R+M)/2 is 4 to 5 under the research octane; 14.7 is lambda 1 of petrol, 9.0 of ethanol (common practice)."""
    pump = _run(FEW, ("[charge]\n", '[charge]\npump_octane = "91"\n'))
    assert 4 <= pump[0]["octane_number"] - 91 <= 5
    assert pump[1]["octane_number"] == pump[0]["octane_number"]
    for fuel, read in (("petrol", "14.7"), ("ethanol", "9.0")):
        story = told(FEW, ('mixture_strength = "0.88"', f'air_fuel_ratio = "{read}"\nfuel = "{fuel}"'))
        assert story.conditions is not None
        assert nominal(story.conditions["mixture_strength"]) == pytest.approx(1.0)


def test_a_burn_phasing_that_was_measured_takes_the_place_of_the_assumed() -> None:
    """Read in both: only their own ± counts between them, so the interval is closer; read in one alone it is not."""
    read = 'burn_phasing = "14 +/- 0.5 deg after TDC, measured"'
    one = told(JOB, ('burn_phasing = "14 deg after TDC"', read), knock=True).knock
    both = told(JOB.replace('burn_phasing = "14 deg after TDC"', read), knock=True).knock
    plain = told(JOB, knock=True).knock
    assert one is not None
    assert both is not None
    assert plain is not None
    assert one.unshared == pytest.approx(plain.unshared, rel=1e-6)
    assert both.unshared < 0.9 * plain.unshared
    assert math.degrees(both.own.burn_centre) == pytest.approx(0.5 / 1.96 * math.sqrt(2), rel=1e-3)
    assert plain.own.burn_centre == math.radians(2)
