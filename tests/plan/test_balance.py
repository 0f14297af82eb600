"""Making every cylinder alike."""

import pytest

from ccassist.analysis.results import survey
from ccassist.engine.skim import skim_for, skim_volume
from ccassist.job.file import parse_job
from ccassist.plan.balance import balance
from ccassist.values.findings import NotPossible
from ccassist.values.measured import ground_of
from ccassist.values.number import nominal
from ccassist.values.uncertainty import expand


def job(chambers, extra="", crowns=()):
    """A job whose chambers are stated outright, with a shared gasket in doubt."""
    text = f"""format = 1
[engine]
cylinders = {len(chambers)}
bore = "83.40 mm, measured"
stroke = "91.70 mm, measured"
gasket_volume = "7.9 +/- 0.5 cc, maker's figure"
deck_clearance = "0.20 mm below deck, measured"
{"" if crowns else 'crown_volume = "dish 8.7 +/- 0.5 cc, assumed"'}
{extra}
[counted]
crevice = "not counted"
"""
    for number, chamber in enumerate(chambers, 1):
        text += f'[cylinder.{number}]\nchamber_volume = "{chamber} +/- 0.1 cc, measured"\n'
        text += f'crown_volume = "dish {crowns[number - 1]} +/- 0.1 cc, measured"\n' if crowns else ""
    return survey(parse_job(text).job)


def test_opening_amounts_of_the_trade_example():
    """Trade example C4 (common practice, recomputed): 58.9/59.6/60.4/59.2 open by 1.5/0.8/0/1.2 cc."""
    plan = balance(job([58.9, 59.6, 60.4, 59.2]))
    assert plan.largest == 3
    assert {o.cylinder: round(nominal(o.amount) * 1e6, 6) for o in plan.openings} == {1: 1.5, 2: 0.8, 4: 1.2}
    assert all(o.shown for o in plan.openings)
    assert plan.openings[0].first_cut == pytest.approx(1.2e-6)


def test_what_is_shared_is_not_charged_to_a_difference():
    """Two chambers of +/- 0.1 cc differ with +/- 0.14 cc, whatever the gasket's own doubt."""
    plan = balance(job([58.9, 60.4]))
    assert expand(plan.openings[0].amount).expanded == pytest.approx(0.1e-6 * 2**0.5, rel=1e-6)


def test_a_difference_picked_after_looking_is_judged_so():
    """Of four, by the studentized range: q(0.95; 4, inf) = 3.633 (Harter 1960, from memory) of 0.05 cc each."""
    plan = balance(job([58.9, 59.6, 60.4, 60.25]))
    standard = 0.1e-6 / 1.959964
    assert plan.spread.expanded == pytest.approx(3.633 * standard, rel=1e-3)
    assert plan.openings[2].expanded == pytest.approx(3.633 * standard, rel=1e-3)
    assert not plan.openings[2].shown  # 0.15 cc: over the 0.14 of a pair named beforehand, under the 0.19 of four


def test_a_difference_that_is_not_shown_is_left_alone():
    """0.05 cc against +/- 0.14 cc."""
    opening = balance(job([60.35, 60.40])).openings[0]
    assert not opening.shown
    assert opening.first_cut == 0.0


def test_skim_of_the_trade_example():
    """Trade example C4 (common practice, recomputed): 2.4 cc over 46 cm2 is 0.522 mm."""
    assert skim_for(2.4e-6, 46e-4) == pytest.approx(0.000522, abs=5e-7)
    assert skim_volume(46e-4, skim_for(2.4e-6, 46e-4)) == pytest.approx(2.4e-6)


def test_skim_to_the_wanted_ratio():
    """By hand: the largest clearance volume less swept / (ratio - 1)."""
    found = job([58.9, 60.4], extra='chamber_area = "46 +/- 1 cm2, measured"\n[wanted]\nstatic_ratio = "8.0"')
    plan = balance(found)
    largest = found.cylinders[1].values
    excess = largest["clearance_volume"].nominal - largest["swept_volume"].nominal / 7.0
    assert nominal(plan.skim.volume) == pytest.approx(excess)
    assert nominal(plan.skim.cut) == pytest.approx(excess / 46e-4)
    assert any("walls lean" in row.cause.subject for row in ground_of(plan.skim.cut).guesses)


def test_one_figure_for_all_pistons_offers_no_swap():
    """A set known by one figure only cannot be sorted."""
    assert balance(job([58.9, 60.4])).swap is None


def test_nothing_to_balance_is_said_in_words():
    """One chamber is no set."""
    with pytest.raises(NotPossible, match="fewer than two chambers"):
        balance(job([58.9]))
