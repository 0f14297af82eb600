"""A calibration that one bad step spoils is refused until that step is set aside.

Judges: NumPy's least squares and counted chances; what a hand repeats to is common practice, no source; the jobs
check consistency.
"""

from __future__ import annotations

import random
from math import sqrt

import numpy as np
import pytest
from scipy.stats import t as student

from ccassist.analysis.results import new_questions
from ccassist.bench.calibration import bad_step, usual_scatter
from ccassist.job.file import parse_job
from ccassist.report.calibration import line_in_words
from ccassist.values.display import formatter
from ccassist.values.findings import Level
from tests.bench.test_calibration import HEAD, WEIGHED, chamber, codes, series, survey, volume

CC = 1e-6


def steps(*pairs: tuple[float, float], aside: int | None = None) -> tuple[str, ...]:
    """Rows of a calibration: what the scale says in ml, the mass in g; one of them may be set aside."""
    return tuple(
        f'{{ to = "{to} ml", before = "0 g", after = "{mass} g"'
        + (', set_aside = "misread"' if i == aside else "")
        + " }"
        for i, (to, mass) in enumerate(pairs)
    )


SOUND = ((10, 9.86), (20, 19.80), (30, 29.81), (40, 39.70), (50, 49.66), (60, 59.61))
SPOILT = (*SOUND[:3], (40, 69.70), *SOUND[4:])


class TestTest:
    """The test itself."""

    def test_a_clean_line_is_rarely_refused(self) -> None:
        """Of 2,000 calibrations by a usual hand, chance 1 %: no more than 2 % are called bad."""
        chance, refused = random.Random(8), 0
        for _ in range(2000):
            count = chance.choice((4, 5, 6, 8, 12))
            says = [(k + 1) * 10 * CC for k in range(count)]
            true = [0.99 * x + 0.2 * CC + chance.gauss(0, 0.1 * CC) for x in says]
            refused += bad_step(says, true, 0.1 * CC) is not None
        assert refused / 2000 < 0.02

    @pytest.mark.parametrize("off", [1.0, -1.0, 10.0, -40.0])
    @pytest.mark.parametrize("at", range(6))
    def test_a_bad_step_is_named(self, at: int, off: float) -> None:
        says = [10 * CC * k for k in range(1, 7)]
        true = [x * 0.995 + (0.05 * (-1) ** i) * CC + (off * CC if i == at else 0) for i, x in enumerate(says)]
        found = bad_step(says, true, 0.1 * CC)
        assert found is not None
        assert found.at == at
        others = [i for i in range(6) if i != at]
        line = np.polyfit([says[i] for i in others], [true[i] for i in others], 1)  # NumPy's fit as the judge
        assert found.off == pytest.approx(true[at] - np.polyval(line, says[at]), abs=1e-12)

    @pytest.mark.parametrize(("part", "bad"), [(0.97, False), (1.03, True), (-0.97, False), (-1.03, True)])
    def test_others_that_agree_too_well_make_the_limit_no_narrower(self, part: float, bad: bool) -> None:
        """The usual repeatability, seven degrees of freedom, 1 % over six steps (SciPy's t), by the distance in x."""
        says = [10 * CC * k for k in range(1, 7)]
        others = [10, 20, 40, 50, 60]
        far = 1 + 1 / 5 + (30 - np.mean(others)) ** 2 / (5 * np.var(others))
        limit = float(student.ppf(1 - 0.01 / 6 / 2, 4 + 3)) * 0.1 * CC * sqrt(far)
        found = bad_step(says, [x + (part * limit if i == 2 else 0) for i, x in enumerate(says)], 0.1 * CC)
        assert (found is not None and found.at == 2) is bad

    def test_of_three_none_can_be_named(self) -> None:
        found = bad_step([10 * CC, 20 * CC, 30 * CC], [10 * CC, 24 * CC, 30 * CC], 0.1 * CC)
        assert found is not None
        assert found.at is None
        assert found.off == pytest.approx(4 * CC * sqrt(2 / 3), rel=1e-9)  # residuals −4/3, 8/3, −4/3 with one degree

    def test_two_slips_that_hide_each_other(self) -> None:
        says = [10 * CC * k for k in range(1, 7)]
        true = [x + (8 * CC if i in (1, 4) else 0) for i, x in enumerate(says)]
        assert bad_step(says, true, 0.1 * CC) is not None

    def test_a_scale_that_bends_has_no_bad_step(self) -> None:
        says = [10 * CC * k for k in range(1, 9)]
        true = [x + 0.0004 * (x / CC) ** 2 * CC + 0.02 * (-1) ** i * CC for i, x in enumerate(says)]
        assert bad_step(says, true, 0.1 * CC) is None
        much = [x + 0.002 * (x / CC) ** 2 * CC for x in says]  # far off any straight line, and yet smooth
        assert bad_step(says, much, 0.1 * CC) is None
        four = [x + 0.02 * (x / CC) ** 2 * CC for x in says[:4]]
        assert bad_step(says[:4], four, 0.1 * CC) is not None  # of four none can say that it bends

    def test_what_a_hand_repeats_to(self) -> None:
        assert usual_scatter([10 * CC, 60 * CC], None, 0.0, 0.0) == pytest.approx(0.12 * CC)
        assert usual_scatter([10 * CC, 60 * CC], None, 1 * CC, 0.0) == pytest.approx(CC / 3)
        assert usual_scatter([10 * CC, 60 * CC], 0.05 * CC, 1 * CC, 0.0) == pytest.approx(0.05 * CC)


class TestJob:
    """What it does in a job."""

    FILL = chamber(1, ("0", "42.0"), ("0", "42.1"))

    def test_a_sound_one_is_spoken_of(self) -> None:
        made = survey(series(steps(*SOUND)), self.FILL)
        (told,) = [f for f in made.findings if f.code == "calibrated"]
        assert told.level is Level.NOTE
        assert "in 6 steps from 10 to 60 cc" in told.wrong

    def test_refused_it_corrects_nothing(self) -> None:
        bare, made = survey(self.FILL), survey(series(steps(*SPOILT)), self.FILL)
        assert made.calibrations == {}
        assert volume(made).nominal_value == pytest.approx(volume(bare).nominal_value, abs=1e-15)
        (refused,) = [f for f in made.findings if f.code == "calibration-refused"]
        assert refused.asks
        assert "step 4 lies 30.07 cc off" in refused.wrong
        assert refused.read == "to 40 ml, before 0 g, after 69.7 g"
        assert "not-corrected" in codes(made)

    def test_set_aside_it_serves_again(self) -> None:
        made = survey(series(steps(*SPOILT, aside=3)), self.FILL)
        assert {"calibration-refused", "not-corrected"} & codes(made) == set()
        assert len(made.calibrations["marked tube"].steps) == 5
        whole = survey(series(steps(*SOUND)), self.FILL)
        assert volume(made).nominal_value == pytest.approx(volume(whole).nominal_value, abs=0.1 * CC)

    def test_an_older_one_is_not_used_instead(self) -> None:
        older = series(steps(*SOUND), WEIGHED.replace("2026-10-12", "2026-09-12"))
        made = survey(older, series(steps(*SPOILT)), self.FILL)
        assert made.calibrations == {}
        newer = series(steps(*SOUND), WEIGHED.replace("2026-10-12", "2026-10-30"))
        assert "marked tube" in survey(series(steps(*SPOILT)), newer, self.FILL).calibrations

    def test_the_step_is_questioned_as_it_is_typed(self) -> None:
        def job(*rows: tuple[float, float]) -> object:
            return parse_job(HEAD + series(steps(*rows))).job

        assert [f.code for f in new_questions(job(*SPOILT[:3]), job(*SPOILT[:4]))] == ["calibration-refused"]
        assert new_questions(job(*SOUND[:3]), job(*SOUND[:4])) == []

    def test_scatter_is_never_called_right_in_proportion(self) -> None:
        """Three steps with a large ± of the slope: nothing is "right"."""
        made = survey(series(steps((50, 49.9), (50.5, 50.5), (51, 50.8)))).calibrations["marked tube"]
        assert not any("right in proportion, to within" in text for text in line_in_words(made, formatter("metric")))


def test_fills_beyond_a_range_calibrated_later_are_named_at_the_prompt() -> None:
    """The fills were made first; what the guide says after a step of the calibration names them."""
    from ccassist.guide.told import told

    job = parse_job(HEAD + chamber(1, ("0", "82.0"), ("0", "42.1")) + series(steps(*SOUND))).job
    said = [str(one.text) for one in told(job)]
    assert any("it is calibrated from 10" in line for line in said)
    (line,) = [line for line in said if line.startswith("Fills outside it so far")]
    assert "82.0 ml" in line
    assert "42.1" not in line
    inside = parse_job(HEAD + chamber(1, ("0", "42.0")) + series(steps(*SOUND))).job
    assert not any("outside" in str(one.text) for one in told(inside))
