"""Combinations and builds by their octane against the baseline: what the file with their parts in it gives.

Consistency of the tool with itself; the equations are checked in tests/references.
"""

from __future__ import annotations

import math
from itertools import product
from pathlib import Path

import numpy as np
import pytest

from ccassist.boost.figures import OCTANE, measured_difference
from ccassist.boost.knock_compare import compare
from ccassist.cli.layout import report_lines
from ccassist.cli.plans import alternatives
from ccassist.cli.screen import Showing
from ccassist.plan.alternatives import builds_of, evaluated, in_order, with_octane
from ccassist.plan.boost.against import ANY_SPEED, Against, against
from ccassist.plan.boost.build import octane_at
from ccassist.plan.boost.into_file import baseline_stand, stand_of
from ccassist.plan.boost.stated import baseline_geometry, bore_of
from ccassist.plan.boost.story import BoostStory
from ccassist.plan.combine.candidates import aims_of, candidates
from ccassist.plan.combine.octane import OctaneTable
from ccassist.plan.combine.search import combine
from ccassist.plan.combine.search import with_octane as rows_with_octane
from ccassist.report.alternatives import alternatives_of, alternatives_report
from ccassist.values.findings import InputError
from ccassist.values.measured import computed
from ccassist.values.number import standard
from ccassist.values.uncertainty import budget
from ccassist.values.verdict import parse_band
from tests.boost_job import JOB, replaced, told
from tests.sound_survey import surveyed

CRANKS, GASKETS = {"own": None, "long": "86.00 mm, maker's figure"}, {"thin": 1.1, "thick": 1.7}
PARTS = (
    '[choice.crank.own]\n[choice.crank.long]\nstroke = "86.00 mm, maker\'s figure"\n'
    '[choice.gasket.thin]\ngasket_thickness = "1.1 mm, maker\'s figure"\n'
    '[choice.gasket.thick]\ngasket_thickness = "1.7 mm, maker\'s figure"\n'
)
ONE_HEAD = ('"44.5 +/- 0.3 cc, measured"', '"45.0 +/- 0.3 cc, measured"')  # cylinders alike: the mean is each
DECK = ('deck_clearance = "0.20', 'deck_clearance = "2.20')
HELD = 'stroke = "84.00 +/- 0.02 mm, measured"\n'  # the baseline's crank stays


def edited(stroke: str | None, gasket: float) -> float:
    """The octane difference of the job with these parts in it."""
    changes = [ONE_HEAD, DECK, ('"1.30 +/- 0.05 mm', f'"{gasket} mm')]
    if stroke:
        changes += [
            ('stroke = "84.00 +/- 0.02 mm, measured"', f'stroke = "{stroke}"'),
            ('"2.20 +/- 0.02 mm below', '"1.20 +/- 0.02 mm below'),  # half of what the stroke is longer
        ]
    return worked_out(told(JOB + HELD, *changes))


def worked_out(story: BoostStory) -> float:
    """The octane difference of a job by itself."""
    one, base = story.worst_one, story.baseline_running
    assert one is not None
    assert one.build is not None
    assert story.running is not None
    assert base is not None
    bore, geometry = story.survey.cylinders[0].values["bore"], one.build.geometry
    found = octane_at(geometry, story.running, bore_of(base, bore), baseline_geometry(geometry, base), base)
    assert found is not None
    return found


def ranked(text: str, *to: str):
    survey = surveyed(replaced(text, ONE_HEAD, DECK))
    offered = candidates(survey)
    return rows_with_octane(offered, combine(offered, aims_of(survey.wanted, to)))


def test_each_combination_is_as_hard_on_the_fuel_as_the_file_with_its_parts() -> None:
    found = ranked(JOB + PARTS, "octane_difference=0")
    assert found.left == 4
    rows = {tuple(part.name for part in row.parts): row for row in found.best}
    for (crank, stroke), (gasket, thick) in product(CRANKS.items(), GASKETS.items()):
        row = rows[crank, gasket]
        assert row.values[OCTANE].nominal == pytest.approx(edited(stroke, thick), abs=1e-6)
        assert row.distance * 4 == pytest.approx(abs(row.values[OCTANE].nominal), abs=0.01)  # it is ranked by it
    assert [row.distance for row in found.best] == sorted(row.distance for row in found.best)


def test_between_the_ratios_worked_out_it_is_within_a_hundredth() -> None:
    """Any ratio, crank and offset: the cubic between against each worked out by itself."""
    knock = against(surveyed(JOB))
    assert isinstance(knock, Against)
    chance = np.random.default_rng(7)
    values = {
        "static_ratio": chance.uniform(4, 18, 12),
        "bore": chance.choice([0.0853, 0.091], 12),
        "stroke": chance.choice([0.078, 0.0892], 12),
        "rod_length": np.full(12, 0.145),
        "pin_offset": chance.choice([0.0, 8e-4], 12),
    }
    quick = OctaneTable(knock).over(values)
    slow = knock.compared([{key: computed(key, float(of[n])) for key, of in values.items()} for n in range(12)])
    assert quick == pytest.approx([one.nominal for one in slow if not isinstance(one, str)], abs=0.01)


def test_its_interval_is_that_of_the_engine_itself() -> None:
    """Of the engine as it is, beside the one drawn 4000 times; 250 draws know a spread to 4.5 %."""
    story = told(JOB, ONE_HEAD)
    own, worst = against(story.survey), story.worst_one
    assert worst is not None
    assert worst.build is not None
    assert isinstance(own, Against)
    (found,) = own.compared([story.survey.cylinders[0].values])
    here, there = stand_of(story, worst.build, story.survey.cylinders[0]), baseline_stand(story)[0]
    assert not isinstance(found, str)
    assert there is not None
    assert found.nominal == pytest.approx(worked_out(story), abs=1e-6)
    drawn = compare(there.case, here.case)[0]
    assert drawn is not None
    apart = math.hypot(drawn.overall, standard(measured_difference(here, there, but="")))
    assert standard(found.number) == pytest.approx(apart, rel=0.15)


def test_without_a_speed_it_holds_the_range_as_for_the_engine_itself() -> None:
    """The figure is that of the engine; its ± reaches to either end of the speeds, and the report says which."""
    story = told(
        JOB,
        ONE_HEAD,
        ('engine_speed = "2500 rpm"\n', ""),
        ('burn_phasing = "14 deg after TDC"', 'burn_phasing = "20 deg after TDC"'),
        knock=True,
    )
    own = against(story.survey)
    assert isinstance(own, Against)
    (found,) = own.compared([story.survey.cylinders[0].values])
    assert not isinstance(found, str)
    assert story.knock is not None
    assert story.knock.difference is not None
    assert story.knock.by_speed is not None
    assert found.nominal == pytest.approx(story.knock.difference.octane, abs=1e-6)
    farther = max(abs(end - found.nominal) for end in story.knock.by_speed)
    (part,) = [one for one in budget(found.number) if one.cause.name.startswith("engine speed")]
    assert part.standard == pytest.approx(farther / math.sqrt(3), abs=1e-9)
    assert found.how == ANY_SPEED


@pytest.mark.parametrize(
    ("cut", "lacks"),
    [
        ("[charge]", "without the charge"),
        ("[baseline]", "none is named"),
        ('boost_gauge = "1.0 bar"\n', "no boost is stated"),
        ('runs = "clean, no knock heard or seen"\n', "baseline cannot|none is named"),
        ('intake_closing = "55 +/- 2 deg after BDC, measured"\n', "intake closing"),
        ('static_ratio = "9.0 +/- 0.1, measured"\n', "none is named"),
    ],
)
def test_what_is_missing_is_said_in_one_line(cut: str, lacks: str) -> None:
    start = JOB.index(cut)
    end = start + len(cut) if cut.endswith("\n") else JOB.find("\n[", start + 1)
    text = JOB[:start] + (JOB[end:] if end > 0 else "\n")
    with pytest.raises(InputError, match=lacks) as refused:
        ranked(text + PARTS, "octane_difference=0")
    assert len(refused.value.findings) == 1
    assert "\n" not in refused.value.findings[0].text()
    assert ranked(text + PARTS).left == 4  # it is only asked for where it is wanted


BUILDS = (
    '\n[alternative."less dish"]\ncrown_volume = "dish 6.0 cc, measured"\n'
    '[alternative.harder]\nboost_gauge = "1.4 bar"\n[alternative.unboosted]\nboost_gauge = "0 bar"\n'
)


def test_builds_are_ordered_by_it_and_one_may_state_its_own_boost() -> None:
    survey = surveyed(replaced(JOB + BUILDS, ONE_HEAD))
    found = with_octane(survey, [evaluated(survey, build) for build in builds_of(survey)])
    octane = {one.build.name: one.values[OCTANE].nominal for one in found}
    assert [one.build.name for one in in_order(found, OCTANE)] == sorted(octane, key=lambda name: octane[name])
    for name, boost in (("harder", "1.4 bar"), ("unboosted", "0 bar")):
        story = told(JOB, ONE_HEAD, ('boost_gauge = "1.0 bar"', f'boost_gauge = "{boost}"'))
        assert octane[name] == pytest.approx(worked_out(story), abs=1e-6)


def test_the_first_table_stays_a_table_beside_the_octane() -> None:
    """At 80 columns a line a build, with three builds and names of some length."""
    survey = surveyed(replaced(JOB + BUILDS.replace("less dish", "less dish, own gasket"), ONE_HEAD))
    found = with_octane(survey, [evaluated(survey, build) for build in builds_of(survey)])
    lines = report_lines(alternatives_report(alternatives_of(found, survey.fmt), survey, survey.fmt))
    for name in ("as it is", "less dish, own", "harder", "unboosted"):
        (row,) = [str(line) for line in lines if str(line).startswith(name)]
        assert row.endswith((" harder on the fuel", " easier on the fuel")), row


def test_builds_without_boost_are_refused_in_one_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "job.toml"
    file.write_text(replaced(JOB + BUILDS, ('boost_gauge = "1.0 bar"\n', "")))
    alternatives(file, Showing())
    shown = " ".join(capsys.readouterr().out.split())
    assert "No octane difference of as it is and less dish: no boost is stated" in shown
    bare = surveyed(JOB.split("[charge]")[0] + BUILDS.split("[alternative.harder]")[0])
    plain = with_octane(bare, [evaluated(bare, build) for build in builds_of(bare)])
    assert not any(one.no_octane for one in plain)  # where nobody speaks of boost, nobody is told of it
    with pytest.raises(InputError, match="no build has a figure"):
        in_order(plain, OCTANE)


def test_a_range_up_to_one_is_a_range_where_no_ratio_is_meant() -> None:
    """ "9.5 to 1" is one ratio; lambda and shares from 0.85 to 1 are ranges, and so is an octane to 1 harder."""
    assert parse_band("9.5 to 1", "static_ratio").aim == 9.5
    for key, text, low, high in (
        ("mixture_strength", "0.85 to 1", 0.85, 1.0),
        ("filling", "0.9 to 1", 0.9, 1.0),
        (OCTANE, "4 easier to 1 harder", -4.0, 1.0),
        (OCTANE, "at most 0", -math.inf, 0.0),
    ):
        band = parse_band(text, key)
        assert (band.low, band.high) == (low, high)
