"""Skims of chambers that were filled level by level."""

from __future__ import annotations

import math

import pytest

from ccassist.plan.balance import balance
from ccassist.report.machining_words import order_of_work
from ccassist.values.display import formatter
from ccassist.values.findings import InputError, NotPossible
from ccassist.values.number import nominal
from tests.plan.machined_job import job_text, planned, surveyed
from tests.staged_job import CC, MM, frustum, staged_row, staged_series

BASE = 20.0
VOLUME = round(BASE + frustum(6.0), 3)
ROW = staged_row(frustum, base=BASE, edge=250.0)
STAGED = staged_series([ROW], more='edge = "250 mm"\n')


def staged(engine: str = "", series: str = STAGED, chamber: float = VOLUME, **asked: object):
    return planned(job_text(chambers=[chamber], engine=engine, more=series), **asked)


def test_a_skim_takes_what_lies_above_it() -> None:
    """The handbook's frustum down to the cut: less than opening x cut."""
    (row,) = staged(skim="2.00 mm").rows
    assert nominal(row.cuts.taken) / CC == pytest.approx(frustum(2.0), rel=1e-6)
    assert nominal(row.cuts.taken) / CC < math.pi * 1.6 * 2.0 * 1.0 * 10
    assert row.after.values["chamber_volume"].nominal / CC == pytest.approx(VOLUME - frustum(2.0), rel=1e-6)
    assert "stages of a fill, known down to 6.00 mm" in row.cuts.how


def test_the_stages_stand_before_a_stated_opening() -> None:
    (row,) = staged(engine='chamber_area = "46 +/- 1 cm2, measured"', skim="2.00 mm").rows
    assert nominal(row.cuts.taken) / CC == pytest.approx(frustum(2.0), rel=1e-6)


def test_the_cut_for_a_volume() -> None:
    (row,) = staged(skim_to=f"chamber_volume={VOLUME - frustum(3.0):.6f} cc").rows
    assert nominal(row.cuts.skim) / MM == pytest.approx(3.0, abs=1e-4)


def test_beyond_the_deepest_stage_nothing_is_guessed() -> None:
    with pytest.raises(NotPossible, match=r"6\.50 mm goes deeper than the stages, which end at 6\.00 mm"):
        staged(skim="6.50 mm")
    with pytest.raises(NotPossible, match=r"6\.00 mm, the deepest cut that can be reckoned"):
        staged(skim_to=f"chamber_volume={VOLUME - frustum(6.0) - 1:.3f} cc")


def test_a_tilted_cut_goes_by_the_depth_at_the_centroid() -> None:
    (row,) = staged(angle_skim="3 mm", width="120 mm", centroids=["40 mm"]).rows
    assert nominal(row.cuts.taken) / CC == pytest.approx(frustum(1.0), rel=1e-6)


def test_levels_of_another_state_do_not_count() -> None:
    """After a cut the face is another: with the chamber measured anew, the old levels are not used."""
    chamber = (
        '[[series]]\nstep = "chamber"\ncylinder = 1\nstate = "skimmed"\nplug = "fitted"\nhole = "not filled"\n'
        'instrument = "burette 50 ml class B"\nreadings = [ { start = "0 ml", end = "44.2 ml" } ]\n'
    )
    with pytest.raises(InputError, match="chamber opening, which is not given"):
        staged(series=STAGED + chamber, skim="0.5 mm")
    stated = 'chamber_area = "46 +/- 1 cm2, measured"'
    (row,) = staged(engine=stated, series=STAGED + chamber, skim="0.5 mm").rows
    assert nominal(row.cuts.taken) / CC == pytest.approx(2.3)


def test_the_first_cut_is_short_by_the_volume_above_it() -> None:
    plan = staged(skim="2.00 mm")
    short = next(line for line in order_of_work(plan, formatter("metric")) if line.startswith("cut at first"))
    area = math.pi * 38.0**2  # mm2 at the cut
    assert f"{2.0 - 0.3 * 1000 / area:.2f} mm" in short


def test_the_balance_goes_by_the_stages_too() -> None:
    """The largest chamber's stages turn the skim after opening into a cut, and say where they end."""
    other = f'[cylinder.2]\nchamber_volume = "{VOLUME - 1} +/- 0.2 cc, measured"\n'
    text = job_text(chambers=[VOLUME], more=other + STAGED, engine="").replace("cylinders = 1", "cylinders = 2")
    for deep, cut in ((2.0, 2.0), (7.0, None)):
        wanted = f'[wanted]\nchamber_volume = "{VOLUME - frustum(deep):.6f} cc"\n'
        bare = text.replace('gasket_bore = "84.9 +/- 0.1 mm, measured"\n', "")
        skim = balance(surveyed(bare + wanted)).skim
        assert skim is not None
        if cut is None:
            assert skim.cut is None
            assert "fill it in deeper stages" in skim.lacking
        else:
            assert nominal(skim.cut) / MM == pytest.approx(cut, abs=1e-4)


def test_stages_that_do_not_add_up_to_the_chamber_are_said() -> None:
    assert "stages-apart" in [f.code for f in staged(chamber=VOLUME + 3, skim="1 mm").findings]
    assert "stages-apart" not in [f.code for f in staged(skim="1 mm").findings]
