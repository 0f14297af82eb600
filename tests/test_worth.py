"""Is one more repeat worth it?  Against sums done by hand and against a job with one more reading in it."""

import math
from dataclasses import replace

import pytest
from scipy.stats import t as student

from ccassist.analysis.benefit import repeats_asked, worth_in_short, worth_of_a_repeat, worth_text, worths
from ccassist.analysis.results import Survey, survey
from ccassist.guide.walk import plan
from ccassist.job.file import parse_job
from ccassist.report.measured import next_step
from ccassist.values.display import METRIC
from ccassist.values.uncertainty import budget

HEADS = """
format = 1
[job]
units = "metric"
[engine]
cylinders = 3
[instrument."own tube"]
like = "burette 50 ml class B"
resolution = "0.01 ml"
permissible_error = "{limit} ml"
"""


def series(cylinder: int, *fills: float, step: str = "chamber", more: str = "") -> str:
    """A series of fills [ml] by the user's own tube."""
    rows = ", ".join(f'{{ start = "0.00 ml", end = "{fill:.2f} ml" }}' for fill in fills)
    return f"""
[[series]]
step = "{step}"
cylinder = {cylinder}
instrument = "own tube"
fluid = "water"
hole = "not filled"
{more}
readings = [{rows}]
"""


def heads(*fills: tuple[float, ...], limit: str = "0.001") -> Survey:
    """Bare chambers, filled with an instrument whose own error is as said."""
    text = HEADS.format(limit=limit)
    text += "".join(series(n, *each, more='plug = "fitted"') for n, each in enumerate(fills, start=1))
    return survey(parse_job(text).job)


SCATTERED = ((46.1, 46.5), (46.3, 46.7), (46.2, 46.6), (46.4, 46.8))


def test_where_scatter_is_all_one_more_fill_is_worth_it_by_hand() -> None:
    """Four pairs 0.4 apart: s = 0.2828 with 4 degrees.  A third fill: s/√3 and 5 degrees (JCGM 100:2008, H.3.6 note).

    Source of t: scipy.stats.t.
    """
    text = HEADS.format(limit="0.0001").replace("cylinders = 3", "cylinders = 4")
    text += "".join(series(n, *each, more='plug = "fitted"') for n, each in enumerate(SCATTERED, start=1))
    found = worth_of_a_repeat(survey(parse_job(text).job), 1)
    assert found is not None
    s = 0.4 / math.sqrt(2) * 1e-6
    rounding = 0.01e-6 * math.sqrt(2 / 12)
    for given, count, dof in ((found.now, 2, 4), (found.then, 3, 5)):
        assert given == pytest.approx(
            float(student.ppf(0.975, dof)) * math.hypot(s / math.sqrt(count), rounding), rel=2e-3
        )
    assert found.worth_it
    assert worth_text(found) == (
        "One more fill is asked for of cylinder 1, head chamber by fluid: a slip shows against repeats only"
    )
    assert worth_text(replace(found, asked=0)) == (
        "One more fill of cylinder 1, head chamber by fluid, would take the ± of its chamber volume "
        "from 0.56 to 0.42 cc: worth it"
    )


@pytest.mark.parametrize(("cylinders", "asked"), [(1, 5), (2, 3), (4, 3)])
def test_as_many_fills_are_asked_for_as_the_scatter_needs(cylinders: int, asked: int) -> None:
    """Four degrees of freedom (JCGM 100:2008, H.3.6): one thing needs five readings, two of them three each."""
    text = HEADS.format(limit="0.01").replace("cylinders = 3", f"cylinders = {cylinders}")
    job = parse_job(text + series(1, 46.1, 46.3, more='plug = "fitted"')).job
    told = worths(survey(job), 1)[0]
    assert told.asked == asked - 2
    assert next(task.asked for task in plan(job) if task.target.cylinder == 1 and task.rows) == asked
    six = survey(parse_job(text + series(1, *[46.1, 46.3] * 3, more='plug = "fitted"')).job)
    assert repeats_asked(worths(six, 1)[0].one, six) == asked
    assert ("or of others made alike" in worth_text(told)) == (cylinders > 1)


def test_where_a_repeatability_was_declared_the_steps_own_number_stays() -> None:
    """What is asked for does not grow as the readings come to speak for themselves."""
    text = HEADS.format(limit="0.01").replace("cylinders = 3", "cylinders = 1") + 'repeatability = "0.1 ml"\n'
    for count in (1, 4, 5, 6):
        made = survey(parse_job(text + series(1, *([46.1, 46.3] * 3)[:count], more='plug = "fitted"')).job)
        assert repeats_asked(worths(made, 1)[0].one, made) == 3


def test_where_the_instrument_is_all_one_more_fill_is_not_worth_it() -> None:
    found = worth_of_a_repeat(heads((46.1, 46.2, 46.15), (46.3, 46.35, 46.3), (46.2, 46.1, 46.2), limit="0.5"), 2)
    assert found is not None
    assert not found.worth_it
    assert 0 < found.gain < 0.01
    assert worth_text(found).endswith(": not worth it")


def test_it_foretells_a_job_with_one_more_reading() -> None:
    """The further fill is chosen so that the pooled scatter stays as it was: (n+1) s² = n s² + d² n/(n+1)."""
    first = ((46.0, 46.2, 46.4), (46.1, 46.3, 46.5), (46.2, 46.4, 46.6))
    s = 0.2
    fourth = 46.2 + s * math.sqrt(4 / 3)
    now, then = heads(*first), heads((*first[0], round(fourth, 2)), *first[1:])
    foretold = worth_of_a_repeat(now, 1)
    assert foretold is not None
    assert then.cylinders[0].values["chamber_volume"].expanded == pytest.approx(foretold.then, rel=2e-3)


def test_until_the_scatter_is_known_it_says_how_many_are_needed() -> None:
    found = worth_of_a_repeat(heads((46.1, 46.2), (46.3,), (46.2,)), 1)
    assert found is not None
    assert (found.more, found.worth_it) == (3, True)
    assert worth_text(found) == (
        "3 more fills are needed of cylinder 1, head chamber by fluid, or of others made alike, "
        "before its chamber volume has a ±"
    )


ENGINE = """
format = 1
[job]
units = "metric"
[engine]
cylinders = 1
bore = "85.70 +/- 0.01 mm, measured"
stroke = "91.70 +/- 0.01 mm, measured"
crown_volume = "dish 1.00 +/- 0.01 cc, measured"
gasket_volume = "8.0 +/- {gasket} cc, assumed"
[counted]
crevice = "not counted"
chamfer = "not counted"
[instrument."own tube"]
like = "burette 50 ml class B"
resolution = "0.01 ml"
permissible_error = "0.001 ml"
"""
DECK = """
[[series]]
step = "deck"
cylinder = 1
instrument = "dial indicator"
readings = [{ crown = "0.20 mm below deck" }, { crown = "0.22 mm below deck" }, { crown = "0.21 mm below deck" },
 { crown = "0.20 mm below deck" }, { crown = "0.21 mm below deck" }]
"""


def engine(gasket: str) -> Survey:
    chamber = series(1, 46.1, 46.5, 46.3, 46.2, 46.4, more='plug = "fitted"')
    return survey(parse_job(ENGINE.format(gasket=gasket) + chamber + DECK).job)


def test_it_is_judged_by_the_ratio_and_the_most_helpful_step_comes_first() -> None:
    found = worths(engine("0.01"), 1)
    assert [w.one.cell.step.key for w in found] == ["chamber", "deck"]
    assert {w.key for w in found} == {"static_ratio"}
    assert found[0].worth_it


def test_a_doubtful_gasket_makes_every_repeat_idle() -> None:
    found = worth_of_a_repeat(engine("1.0"), 1)
    assert found is not None
    assert not found.worth_it


def test_the_budget_is_left_as_it_was() -> None:
    measured = engine("0.1")
    ratio = measured.cylinders[0].values["static_ratio"]
    before = [(row.cause.name, row.standard) for row in budget(ratio.number)]
    worths(measured, 1)
    assert [(row.cause.name, row.standard) for row in budget(ratio.number)] == before


def test_without_a_result_there_is_nothing_to_judge() -> None:
    assert worths(survey(parse_job('format = 1\n[engine]\ncylinders = 1\nbore = "86 mm, measured"\n').job), 1) == []


@pytest.mark.parametrize("fills", [(1, 1, 1), (2, 1, 1), (2, 2, 2), (3, 3, 3), (5,), (2,), (9, 9)])
def test_no_two_places_contradict_each_other(fills: tuple[int, ...]) -> None:
    """What is needed first, what the step asks for and whether one more is worth it: one rule, said everywhere."""
    readings = [tuple(46 + n + (0.13 * k) % 0.4 for k in range(count)) for n, count in enumerate(fills)]
    text = HEADS.format(limit="0.5").replace("cylinders = 3", f"cylinders = {len(fills)}")
    text += "".join(series(n, *each, more='plug = "fitted"') for n, each in enumerate(readings, start=1))
    engine = survey(parse_job(text).job)
    found = [worth for n in range(1, len(fills) + 1) for worth in worths(engine, n)]
    needed, asked = any(one.more for one in found), any(one.asked for one in found)
    dof = sum(fills) - len(fills)
    assert needed == (dof < 4)  # ccassist.bench.repeats: from four degrees of freedom on the readings speak alone
    assert asked == (min(fills) < 3)
    for one in found:
        assert (one.more == 4 - dof) if needed else (one.more == 0)
        assert not (one.more or one.asked) or (one.worth_it and not worth_in_short(one))
    notes = [f.right for f in engine.findings if f.code == "needs-repeats"]
    assert bool(notes) == needed
    assert all(right.startswith(f"{4 - dof} more made alike") for right in notes)
    step = next_step(engine, METRIC)
    assert (step.command[1] == "guide") == (needed or asked)
