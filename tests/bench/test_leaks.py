"""What runs away during a fill, by the burette read on after it: taken off, and in doubt.

The straight line is that of JCGM 100:2008, H.3, here through points without scatter, so that it is known
beforehand; that half of rate × fill time is taken off and half is doubt is common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import pytest

from ccassist.analysis.results import Survey, survey
from ccassist.job.file import parse_job
from ccassist.values.uncertainty import budget

CC = 1e-6


def filled(*rows: str) -> Survey:
    """A chamber of an invented engine, filled by a 50 ml burette."""
    listed = "".join(f"    {{ {row} }},\n" for row in rows)
    text = f"""format = 1
[engine]
cylinders = 1
[[series]]
step = "chamber"
cylinder = 1
instrument = "burette 50 ml class B"
fluid = "water"
plug = "fitted"
hole = "not filled"
readings = [
{listed}]
"""
    return survey(parse_job(text).job)


def timed(rate: float, *, fill: float = 40.0, time: float = 60.0, down: bool = False, above: float = 0.0) -> str:
    """A fill [ml] that ends with so much on top of the line, and asks for ``rate`` [ml/s] from then on."""
    at = (time + 30, time + 60, time + 90)
    read = [fill, *(fill - above + rate * (t - time) for t in at)]
    start, end, *settled = [50 - level for level in (0.0, *read)] if down else [0.0, *read]
    listed = ", ".join(f'"{level:.4f} ml"' for level in settled)
    when = ", ".join(f'"{t:.0f} s"' for t in at)
    return (
        f'start = "{start:.4f} ml", end = "{end:.4f} ml", fill_time = "{time:.0f} s", '
        f"settle = [{listed}], settle_at = [{when}]"
    )


def volume(found: Survey) -> float:
    return found.cylinders[0].values["chamber_volume"].nominal / CC


def doubt_of_leak(found: Survey) -> float:
    number = found.cylinders[0].values["chamber_volume"].number
    return math.sqrt(sum(r.standard**2 for r in budget(number) if "leak" in r.cause.name)) / CC


@pytest.mark.parametrize("down", [False, True], ids=["rising", "counting down"])
@pytest.mark.parametrize(("rate", "time"), [(0.002, 60), (0.004, 60), (0.002, 90), (0.0, 60)])
def test_half_of_what_can_have_leaked_is_taken_off(rate: float, time: float, down: bool) -> None:
    found = filled(timed(rate, time=time, down=down))
    assert volume(found) == pytest.approx(40 - rate * time / 2)
    assert doubt_of_leak(found) == pytest.approx(rate * time / 2 / math.sqrt(3))


@pytest.mark.parametrize("down", [False, True], ids=["rising", "counting down"])
def test_readings_that_sink_back_are_no_leak(down: bool) -> None:
    """A level that seems to rise of itself takes nothing off and adds nothing."""
    found = filled(timed(-0.002, down=down))
    assert volume(found) == pytest.approx(40)
    assert doubt_of_leak(found) == 0


def test_what_stands_above_the_line_is_taken_off_in_part() -> None:
    """0.04 ml too much at the end, three points on the line: by hand, the end of the line through all four.

    Times 60, 90, 120, 150 s; readings less the line 0.04, 0, 0, 0: mean 0.01, slope −45 × 0.04 ÷ 4500 per s, so the
    line runs 0.028 higher at 60 s and is 0.0004 ml/s less steep.
    """
    rate = 0.002 - 0.0004
    assert volume(filled(timed(0.002, above=0.04))) == pytest.approx(40 - (0.04 - 0.028) - rate * 60 / 2)


@pytest.mark.parametrize("rates", [(0.001, 0.003), (0.001, 0.003, None), (0.002, None, None, None)])
def test_a_fill_that_was_not_timed_has_no_share_in_it(rates: Sequence[float | None]) -> None:
    """The doubt of the mean: half of what each timed fill can have lost, over all of the fills."""
    rows = [timed(rate) if rate else 'start = "0 ml", end = "40 ml"' for rate in rates]
    lost = [rate * 60 / 2 for rate in rates if rate]
    found = filled(*rows)
    assert volume(found) == pytest.approx(40 - sum(lost) / len(rates))
    assert doubt_of_leak(found) == pytest.approx(sum(lost) / len(rates) / math.sqrt(3))


@pytest.mark.parametrize("less", ['fill_time = "60 s"', 'settle = ["40.1 ml"], settle_at = ["90 s"]'])
def test_half_of_a_timing_is_said(less: str) -> None:
    found = filled(f'start = "0 ml", end = "40 ml", {less}').findings
    assert any("timed readings" in f.wrong for f in found)
