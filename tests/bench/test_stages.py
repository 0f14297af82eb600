"""A chamber filled level by level: what is charged for, what is refused, and what is said.

Volumes are prisms of known section; the spread of doubt: JCGM 100:2008, 5.1.2, and simulated readings.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import quad

from ccassist.analysis.results import Survey
from ccassist.bench.cell import Profile
from ccassist.bench.kit import Kit
from ccassist.bench.reductions import CLIMB, climb
from ccassist.values.number import nominal, standard
from ccassist.values.uncertainty import Cause, budget, doubt
from tests.staged_job import CC, MM, staged_row, staged_survey

OWN = """[instrument."shop burette"]
like = "burette 50 ml class B"
repeatability = "0.05 ml"
"""


def straight(depth: float) -> float:
    """Upright walls of 46 cm2."""
    return 4.6 * depth


def profile(found: Survey) -> Profile:
    made = found.reduced[0].profile
    assert made is not None
    return made


def codes(found: Survey) -> list[str]:
    return [f.code for f in found.findings]


class TestUncertainty:
    @pytest.fixture(autouse=True)
    def _declare(self) -> None:
        self.found = staged_survey(
            staged_row(straight, digits=2),
            instrument="shop burette",
            more='gauge = "depth micrometer"\nedge = "250 mm"\n',
            engine=OWN,
        )

    def test_causes_are_named(self) -> None:
        names = " / ".join(row.cause.name for row in budget(profile(self.found).volume(1.0 * MM)))
        assert "permissible error of its scale" in names
        assert "where the gauge touches" in names
        assert "climbs the wall" in names
        assert "repeat scatter of a run" in names

    def test_a_level_in_doubt_is_worth_its_area(self) -> None:
        """JCGM 100:2008, 5.1.2: 0.05 mm either way over 46 cm2, a rectangle: 0.23 cc / sqrt 3."""
        (row,) = [r for r in budget(profile(self.found).volume(2.0 * MM)) if "touches" in r.cause.name][:1]
        assert row.standard == pytest.approx(46e-4 * 0.05e-3 / math.sqrt(3), rel=0.1)

    def test_nothing_is_in_doubt_at_the_face(self) -> None:
        assert nominal(profile(self.found).volume(0.0)) == pytest.approx(0.0, abs=1e-15)
        assert standard(profile(self.found).volume(0.0)) == pytest.approx(0.0, abs=1e-15)

    def test_a_volume_in_doubt_makes_its_cut_so_over_the_open_area(self) -> None:
        """JCGM 100:2008, 5.1.2: 0.2 cc over 46 cm2 are 0.0435 mm, less what climbs the wall."""
        wanted = doubt(0.2 * CC, Cause("what is wanted", "chamber_volume"))
        made = profile(self.found)
        cut = made.cut_for(nominal(made.volume(2.0 * MM)) + wanted)
        (row,) = [r for r in budget(cut) if r.cause.name == "what is wanted"]
        assert nominal(cut) == pytest.approx(2.0 * MM, rel=1e-9)
        assert row.standard == pytest.approx(0.2 * CC / 46e-4, rel=0.05)

    def test_one_cut_has_one_number(self) -> None:
        """Asked twice, the same volume: nothing is left of its doubt in the difference."""
        made = profile(self.found)
        assert standard(made.volume(0.7 * MM) - made.volume(0.7 * MM)) == pytest.approx(0.0, abs=1e-15)

    def test_repeats_make_it_smaller(self) -> None:
        row = staged_row(straight, digits=2)
        one, four = (
            profile(staged_survey(*[row] * n, instrument="shop burette", engine=OWN)).volume(2.0 * MM) for n in (1, 4)
        )
        share = [sum(r.standard**2 for r in budget(v) if "touches" in r.cause.name) for v in (one, four)]
        assert share[1] == pytest.approx(share[0] / 4, rel=1e-6)

    def test_what_the_curve_charges_is_what_readings_in_doubt_do(self) -> None:
        """JCGM 101:2008: levels drawn within +/- 0.05 mm, the cubic drawn anew by SciPy each time.

        A tenth apart at most: the slopes do not follow the levels in straight lines.
        """
        from scipy.interpolate import PchipInterpolator

        levels = np.array([0.0, 1.0, 2.0, 3.0, 4.5, 6.0])
        drawn, rng = [], np.random.default_rng(7)
        for _ in range(4000):
            shown = levels + np.concatenate([[0.0], rng.uniform(-0.05, 0.05, 5)])
            drawn.append(float(PchipInterpolator(shown, 4.6 * levels)(1.4)))
        made = profile(self.found).runs[0]
        own = [r.standard for r in budget(made.volume(1.4 * MM)) if "touches" in r.cause.name]
        assert math.hypot(*own) / CC == pytest.approx(np.std(drawn), rel=0.1)


@pytest.mark.parametrize(
    ("said", "growth"),
    [
        ('temperature = "20 degC"\n', 0.0),
        ('temperature = "30 degC"\n', 9.9e-5),
        ('temperature = "30 degC"\nmaterial = "iron"\n', 9.9e-5 - 32.4e-5),
        ('material = "iron"\n', 0.0),
    ],
)
def test_a_warm_burette_delivers_more_into_a_chamber_that_is_larger(said: str, growth: float) -> None:
    """Borosilicate 9.9e-6 (ISO 4787), grey iron 3 × 10.8e-6 a kelvin (handbook figures, from memory)."""
    warm, plain = (
        nominal(
            profile(staged_survey(staged_row(straight), instrument="burette 50 ml class A", more=more)).volume(4.5 * MM)
        )
        for more in (said, "")
    )
    assert (warm - plain) / CC == pytest.approx(4.6 * 4.5 * growth, abs=2e-6)


class TestClimb:
    """A meniscus at an upright wall, against the Young-Laplace equation integrated by SciPy."""

    def test_the_volume_held_up_is_the_integral_of_the_surface(self) -> None:
        """Landau and Lifshitz, Fluid Mechanics, sec. 61 (from memory): the section is the integral of z dx.

        With the slope angle t of the surface: z2 = a2 (1 - cos t), dx = dz / tan t.
        """
        for height in (0.3e-3, 1.0e-3, 2.0e-3, math.sqrt(CLIMB) * 0.999999):

            def wide(z: float) -> float:
                cosine = 1 - z * z / CLIMB
                return z * cosine / math.sqrt(1 - cosine * cosine)

            found, _ = quad(wide, 0.0, height)
            cell = staged_survey(staged_row(straight)).reduced[0].cell
            assert nominal(climb(height, 0.25, cell, Kit())) == pytest.approx(0.25 * found, rel=1e-4)

    def test_an_edge_not_measured_is_that_of_a_circle(self) -> None:
        """Upright walls of 46 cm2: the circle of that area has an edge of 240.4 mm."""
        told, guessed = (
            profile(staged_survey(staged_row(straight), more=more)).volume(6.0 * MM)
            for more in ('edge = "240.43 mm"\n', "")
        )
        assert nominal(guessed) == pytest.approx(nominal(told), rel=2e-3)


def test_of_two_runs_the_shallower_ends_what_is_known() -> None:
    whole, short = staged_row(straight), staged_row(straight, levels=(4.5, 3.0, 2.0, 1.0, 0.0))
    for rows in ((whole, short), (short, whole)):
        (one,) = staged_survey(*rows).reduced
        assert one.values["staged_depth"].nominal == pytest.approx(4.5 * MM)
        assert one.values["staged_volume"].nominal == pytest.approx(4.6 * 4.5 * CC, rel=0.05)  # and what climbs


class TestReadings:
    def test_refills_and_a_scale_read_downwards_make_no_difference(self) -> None:
        once = profile(staged_survey(staged_row(straight))).volume(3.0 * MM)
        refilled = (
            '{ depth = ["6 mm", "4.5 mm", "3 mm", "2 mm", "1 mm", "0 mm"], '
            'start = ["50 ml", "30 ml", "23.1 ml", "40 ml", "35.4 ml", "30.8 ml"], '
            'end = ["30 ml", "23.1 ml", "16.2 ml", "35.4 ml", "30.8 ml", "26.2 ml"] }'
        )
        assert nominal(profile(staged_survey(refilled)).volume(3.0 * MM)) == pytest.approx(nominal(once), rel=1e-9)

    def test_the_filled_hole_is_no_part_of_it(self) -> None:
        """Cylinder: 6 mm wide and 8 mm tall holds 0.226 cc."""
        plain = profile(staged_survey(staged_row(straight))).volume(3.0 * MM)
        row = 'hole_diameter = "6 mm"\nplate_thickness = "8 mm"\n'
        found = staged_survey(staged_row(straight), more=row)
        assert nominal(profile(found).volume(3.0 * MM)) == pytest.approx(nominal(plain))
        filled = staged_survey(staged_row(straight), more=row, hole="filled")
        less = nominal(plain) - nominal(profile(filled).volume(3.0 * MM))
        assert less == pytest.approx(math.pi / 4 * 6**2 * 8 * 1e-9, rel=1e-6)

    def test_the_sum_adds_up(self) -> None:
        (one,) = staged_survey(staged_row(straight)).reduced
        *parts, total = [line for line in one.lines if line.key != "staged_depth"]
        assert sum(nominal(line.number) for line in parts) == pytest.approx(nominal(total.number))
        assert total.total

    @pytest.mark.parametrize(
        ("depths", "code"),
        [
            ('["0 mm"]', "few-levels"),
            ('["3 mm", "1 mm"]', "not-to-the-plate"),
            ('["1 mm", "3 mm", "0 mm"]', "levels-not-rising"),
        ],
    )
    def test_levels_that_make_no_curve_are_refused(self, depths: str, code: str) -> None:
        n = depths.count("mm")
        starts = ", ".join(f'"{10 * i} ml"' for i in range(n))
        ends = ", ".join(f'"{10 * (i + 1)} ml"' for i in range(n))
        found = staged_survey(f"{{ depth = {depths}, start = [{starts}], end = [{ends}] }}")
        assert code in codes(found)
        assert not found.reduced

    def test_a_gauge_reads_depths(self) -> None:
        found = staged_survey(staged_row(straight), more='gauge = "burette 50 ml class B"\n')
        assert "wrong-instrument" in codes(found)

    def test_a_calibrated_burette_corrects_every_stage(self) -> None:
        """A scale that gives 2 % more than it says: every stage is 2 % more, wherever it lies on the scale."""
        steps = ",\n".join(
            f'{{ to = "{v} ml", before = "0 g", after = "{v * 1.02 / 1.00284:.4f} g" }}' for v in (10, 20, 30, 40, 50)
        )
        made = (
            '[[series]]\nstep = "calibrate"\ninstrument = "shop burette"\nfluid = "water"\ntemperature = "20 degC"\n'
            f"readings = [\n{steps}\n]\n"
        )
        found = staged_survey(staged_row(straight, base=12.0), instrument="shop burette", engine=OWN + made)
        plain = staged_survey(staged_row(straight, base=12.0))
        held = nominal(profile(plain).volume(3.0 * MM)) - 13.8e-6
        assert nominal(profile(found).volume(3.0 * MM)) - held == pytest.approx(13.8e-6 * 1.02, rel=5e-4)
