"""What alone makes an engine as hard as its baseline: in the file at even odds, and by all draws for 95 of 100."""

from __future__ import annotations

import math
from functools import cache

import numpy as np
import pytest

from ccassist.boost.draws import COMMON, OWN, drawn
from ccassist.boost.figures import OCTANE, Stand, figure, measured_difference
from ccassist.boost.knock import knock_integrals, octane_over
from ccassist.boost.solve_boost import RATIO
from ccassist.engine.mathematics import plain
from ccassist.plan.boost.into_file import baseline_stand, stand_of
from ccassist.plan.boost.story import BoostStory
from ccassist.plan.boost.ways import CROWN, SAFER, WayToTarget, ways
from ccassist.values.display import METRIC
from ccassist.values.number import standard
from tests.boost_job import JOB, told
from tests.put_in import put_in

KEYS = (CROWN, "boost_gauge", "intake_closing")


@cache
def story() -> BoostStory:
    return told(JOB, knock=True)


@cache
def found() -> dict[str, WayToTarget]:
    return {one.key: one for one in ways(story(), METRIC)}


def stands(of: BoostStory) -> tuple[Stand, Stand]:
    """The cylinder with the highest ratio and the baseline beside it."""
    worst, base = of.worst_one, baseline_stand(of)[0]
    assert worst is not None
    assert worst.build is not None
    assert base is not None
    return stand_of(of, worst.build, of.survey.cylinders[worst.number - 1]), base


@pytest.mark.parametrize("key", KEYS)
def test_at_even_odds_the_lines_in_the_file_make_no_difference(key: str) -> None:
    """Of the cylinder that it was asked for, which need not be the one with the highest ratio any more."""
    one = found()[key]
    assert one.even is not None
    assert one.into is not None
    again = told(put_in(JOB, one.into))
    assert story().worst == 2
    build = again.cylinders[1].build
    base = baseline_stand(again, 2)[0]
    assert build is not None
    assert base is not None
    stand = stand_of(again, build, again.survey.cylinders[1]).plain()
    assert float(plain(figure(OCTANE, stand, base))) == pytest.approx(0.0, abs=1e-3)


def test_a_part_of_several_cylinders_is_changed_in_all_of_them() -> None:
    """Else a sister with the old crown would be the hardest on the fuel, and nothing won."""
    into = found()[CROWN].into
    assert into is not None
    again = told(put_in(JOB, into), knock=True)
    assert again.knock is not None
    assert again.knock.difference is not None
    assert again.knock.difference.octane == pytest.approx(0.0, abs=1e-3)


@pytest.mark.parametrize("key", KEYS)
def test_beyond_the_sure_value_95_of_100_draws_ask_no_more(key: str) -> None:
    """All 4000 draws, with what was measured added by chance (JCGM 101:2008, 7)."""
    one, (stand, base) = found()[key], stands(story())
    assert one.sure is not None
    ratio = one.sure.static_ratio
    there = stand.but(**({RATIO: ratio} if ratio is not None else {key: one.sure.value}))
    draws, fuel = drawn(COMMON, OWN), base.case.operating.octane
    known = knock_integrals(draws.shared(base.case), delay=draws.delay)
    own = knock_integrals(draws.unshared(draws.shared(there.case)), delay=draws.delay)
    spread = standard(measured_difference(there, base, but=""))
    asked = octane_over(fuel, own / known) + np.random.default_rng(5).normal(0.0, spread, len(own))
    assert float(np.mean(asked <= 0)) == pytest.approx(0.95, abs=0.015)


def test_the_easier_side_is_the_one_said() -> None:
    """From even odds to sure every way goes to the side that its words say."""
    for key, more in ((CROWN, "more"), ("boost_gauge", "less"), ("intake_closing", "later")):
        one = found()[key]
        assert one.even is not None
        assert one.sure is not None
        assert more in SAFER[key]
        assert (one.sure.value > one.even.value) is (more != "less")
    crown = found()[CROWN]
    assert crown.even is not None
    assert crown.sure is not None
    assert crown.sure.static_ratio < crown.even.static_ratio  # type: ignore[operator]


def test_what_no_cooler_does_is_refused_with_the_nearest() -> None:
    charge = found()["charge_temperature"]
    assert (charge.even, charge.sure, charge.into) == (None, None, None)
    assert charge.refused.startswith("Not with a cooler: it would have to be")
    assert "Nearest: " in charge.refused
    assert math.isfinite(charge.now)
