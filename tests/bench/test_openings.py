"""Gasket openings that are not round: what a row finds, and what makes its ±.

The spread of doubt is checked by JCGM 100:2008, 5.1.2 and 5.2.2 written out,
and by simulation (JCGM 101:2008) of the readings of a traced outline.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from ccassist.analysis.results import Survey, survey
from ccassist.bench.cell import Reading
from ccassist.bench.kit import UNEVEN
from ccassist.bench.rows import arithmetic
from ccassist.bench.steps.lengths import CUTOUT, ELLIPSE, OUTLINE
from ccassist.bench.traced import crosses_itself
from ccassist.job.file import parse_job
from ccassist.plan.combine.candidates import candidates
from ccassist.plan.combine.search import combine
from ccassist.values.findings import Finding
from ccassist.values.quantity import Quantity
from ccassist.values.uncertainty import Share, budget

TRACED = arithmetic(OUTLINE)

MM, CM2 = 1e-3, 1e-4
Points = list[tuple[float, float]]


def surveyed(*rows: str, instrument: str = "", more: str = "") -> Survey:
    tool = f'instrument = "{instrument}"\n' if instrument else ""
    text = (
        "format = 1\n[engine]\ncylinders = 1\n" + more + '[part.gasket]\nkind = "gasket"\n'
        f'[[series]]\nstep = "gasket"\npart = "gasket"\n{tool}readings = [\n' + ",\n".join(rows) + "\n]\n"
    )
    loaded = parse_job(text)
    assert not loaded.findings
    return survey(loaded.job)


def area_of(found: Survey) -> float:
    return found.cylinders[0].values["gasket_area"].nominal / CM2


def share(found: Survey, words: str, key: str = "gasket_area") -> Share:
    """The one line of the budget whose cause says these words."""
    (row,) = [row for row in budget(found.cylinders[0].values[key].number) if words in row.cause.name]
    return row


def codes(found: Survey) -> list[str]:
    return [f.code for f in found.findings]


def said(found: Survey, code: str) -> Finding:
    return next(f for f in found.findings if f.code == code)


def oval(long: float, short: float) -> str:
    return f'{{ long = "{long:.2f} mm", short = "{short:.2f} mm" }}'


def egg(count: int, *, long: float = 90.0, short: float = 84.0, at: float = 60.0) -> Points:
    angles = [2 * math.pi * i / count for i in range(count)]
    return [(at + long / 2 * math.cos(a), at + short / 2 * math.sin(a)) for a in angles]


def traced(points: Points) -> str:
    x, y = (", ".join(f'"{p[axis]:.1f} mm"' for p in points) for axis in (0, 1))
    return f"{{ x = [{x}], y = [{y}] }}"


def outline_row(points: Points) -> Reading:
    fields = {
        name: tuple(Quantity(key=f"outline_{name}", value=p[axis] * MM, raw="", unit="mm") for p in points)
        for axis, name in enumerate("xy")
    }
    return Reading(fields=fields, method=OUTLINE)


class TestOval:
    """Both axes by caliper."""

    CALIPER = 0.02 * MM  # permissible error of the digital caliper to 100 mm; repeats to 0.01 mm

    def test_the_mean_of_areas(self) -> None:
        found = surveyed(oval(90.0, 84.0), oval(90.2, 84.2))
        assert area_of(found) == pytest.approx(math.pi / 4 * (90 * 84 + 90.2 * 84.2) / 2 / 100)

    def test_the_calipers_error_stretches_both_axes_alike(self) -> None:
        """π/4 (short × e + long × e): the two parts add, but for how uneven the caliper is at two places."""
        row = share(surveyed(oval(90, 84), instrument="digital caliper"), "permissible error")
        both = math.sqrt((1 - UNEVEN) * (90 + 84) ** 2 + UNEVEN * (90**2 + 84**2))
        assert row.standard == pytest.approx(math.pi / 4 * both * MM * self.CALIPER / math.sqrt(3))

    def test_of_equal_axes_the_share_is_twice_that_of_a_length(self) -> None:
        found = surveyed(oval(88, 88), instrument="digital caliper")
        relative = share(found, "permissible error").standard / (area_of(found) * CM2)
        assert relative == pytest.approx(2 * self.CALIPER / math.sqrt(3) / (88 * MM))

    @pytest.mark.parametrize("times", [1, 3])
    def test_each_axis_repeats_by_itself(self, times: int) -> None:
        row = share(surveyed(*[oval(90, 84)] * times, instrument="digital caliper"), "repeat scatter")
        assert row.standard == pytest.approx(math.pi / 4 * math.hypot(90, 84) * MM * 0.015 * MM / math.sqrt(times))
        assert row.cause.source.startswith("declared repeatability")

    def test_rounding_enters_once_however_many_repeats(self) -> None:
        """JCGM 100:2008, F.2.2.1."""
        row = share(surveyed(*[oval(90, 84)] * 3, instrument="digital caliper"), "reading digital")
        assert row.standard == pytest.approx(math.pi / 4 * math.hypot(90, 84) * MM * 0.01 * MM / math.sqrt(12))

    def test_five_repeats_show_their_own_scatter(self) -> None:
        rows = [oval(90 + d, 84 + d) for d in (0.0, 0.1, 0.2, 0.1, 0.0)]
        row = share(surveyed(*rows, instrument="digital caliper"), "repeat scatter")
        areas = [math.pi / 4 * (90 + d) * (84 + d) * MM**2 for d in (0.0, 0.1, 0.2, 0.1, 0.0)]
        assert row.standard == pytest.approx(np.std(areas, ddof=1) / math.sqrt(5))
        assert row.cause.dof == 4

    def test_the_shorter_axis_is_kept_whichever_was_called_long(self) -> None:
        found = surveyed(oval(84, 90), instrument="digital caliper")
        assert found.cylinders[0].values["gasket_short"].nominal == pytest.approx(84 * MM)


class TestOutline:
    """Points traced and read."""

    def test_close_to_the_ellipse_that_was_traced(self) -> None:
        found = surveyed(traced(egg(40)), instrument="digital caliper")
        value = found.cylinders[0].values["gasket_area"]
        assert value.nominal == pytest.approx(math.pi / 4 * 90 * 84 * MM**2, abs=value.expanded)
        assert value.nominal == pytest.approx(math.pi / 4 * 90 * 84 * MM**2, rel=5e-4)  # points to 0.1 mm
        assert value.expanded < 0.005 * value.nominal

    def test_slopes_by_simulated_readings(self) -> None:
        """1,500 tracings with 0.1 mm of scatter in each coordinate; the spread of a spread is 1.8 %."""
        chance = np.random.default_rng(7)
        points, sigma = np.array(egg(40)), 0.1
        areas = [
            TRACED.finds(
                outline_row([(float(x), float(y)) for x, y in points + chance.normal(0, sigma, points.shape)]), 1.0
            )
            for _ in range(1500)
        ]
        assert np.std(areas) == pytest.approx(TRACED.unit(outline_row(egg(40)), 1.0) * sigma * MM, rel=0.08)

    def test_the_rule_stretches_all_points_alike(self) -> None:
        """Area × (error ÷ width + error ÷ height), but for its unevenness; whatever the number of points."""
        for count in (40, 80):
            found = surveyed(traced(egg(count)), instrument="digital caliper")
            both = math.sqrt((1 - UNEVEN) * (1 / 90 + 1 / 84) ** 2 + UNEVEN * (1 / 90**2 + 1 / 84**2))
            expected = area_of(found) * CM2 * 0.02 * both / math.sqrt(3)
            assert share(found, "permissible error").standard == pytest.approx(expected, rel=1e-3)

    def test_the_edge_between_the_points_is_in_doubt(self) -> None:
        few, many = (share(surveyed(traced(egg(n))), "between the traced points") for n in (24, 48))
        assert few.standard == pytest.approx(4 * many.standard, rel=0.05)
        assert few.cause.shape == "rectangular"

    def test_every_point_is_rounded_by_itself(self) -> None:
        row = share(surveyed(traced(egg(40)), instrument="steel rule"), "reading steel rule")
        assert row.standard == pytest.approx(
            TRACED.unit(outline_row(egg(40)), 1.0) * 0.5 * MM / math.sqrt(12), rel=1e-3
        )

    def test_lines_say_how_much_was_added_for_the_edge(self) -> None:
        (reduced,) = surveyed(traced(egg(40))).reduced
        straight, half, total = (line.number for line in reduced.lines)
        assert straight + half == pytest.approx(total.nominal_value)

    @pytest.mark.parametrize(
        ("points", "code"),
        [
            ([(0, 0), (80, 0)], "few-points"),
            ([(0, 0), (80, 0), (80, 80), (0, 0)], "twice-a-point"),
            ([(0, 0), (80, 80), (80, 0), (0, 90)], "crossed-outline"),
            ([(0, 0), (40, 40), (80, 80)], "crossed-outline"),
        ],
    )
    def test_what_holds_no_area_is_refused(self, points: Points, code: str) -> None:
        found = surveyed(traced(points))
        assert codes(found).count(code) == 1
        assert "gasket_area" not in found.cylinders[0].values

    def test_few_points_are_told_of(self) -> None:
        """With so few nobody can tell a corner from a bend: all that the edge adds is in doubt, and as much again."""
        assert "8 points leave 13 % of the area in doubt" in said(surveyed(traced(egg(8))), "coarse-outline").wrong
        assert "coarse-outline" not in codes(surveyed(traced(egg(40))))

    def test_a_thousand_points_are_enough(self) -> None:
        assert "many-points" in codes(surveyed(traced(egg(1001)).replace('", "', '",\n"')))

    def test_as_many_of_both(self) -> None:
        loaded = parse_job(
            'format = 1\n[engine]\ncylinders = 1\n[[series]]\nstep = "gasket"\ncylinder = 1\n'
            'readings = [{ x = ["1 mm", "2 mm", "3 mm"], y = ["1 mm", "2 mm"] }]\n'
        )
        assert [f.code for f in loaded.findings] == ["uneven-lists"]

    @pytest.mark.parametrize(
        ("points", "crossed"),
        [
            ([(0, 0), (4, 0), (4, 4), (0, 4)], False),
            ([(0, 0), (4, 4), (4, 0), (0, 4)], True),
            ([(0, 0), (4, 0), (4, 4), (2, 1), (0, 4)], False),
            ([(0, 0), (4, 0), (4, 4), (2, -1), (0, 4)], True),
        ],
    )
    def test_crossing(self, points: Points, crossed: bool) -> None:
        assert crosses_itself(points) is crossed


class TestCutOut:
    """Weighed against a square."""

    ROW = '{ reference = "100.0 +/- 0.3 cm2", reference_mass = "8.12 g", cutout_mass = "4.98 g" }'

    def test_what_makes_its_doubt(self) -> None:
        found = surveyed(self.ROW, instrument="scale 0.01 g")
        area = 100 * 4.98 / 8.12
        assert area_of(found) == pytest.approx(area)
        assert share(found, "stated ±").standard / CM2 == pytest.approx(area * 0.003 / math.sqrt(3))
        assert share(found, "weighs unevenly").standard / CM2 == pytest.approx(area * 0.01 / math.sqrt(3))
        each = {m: share(found, f"permissible error near {m} g").standard / CM2 for m in ("4.98", "8.12")}
        assert each == {m: pytest.approx(area * 0.01 / math.sqrt(3) / float(m)) for m in each}
        rounded = area * math.hypot(1 / 4.98, 1 / 8.12) * 0.01 / math.sqrt(12)
        assert share(found, "reading scale").standard / CM2 == pytest.approx(rounded)

    def test_several_weighed_together(self) -> None:
        five = self.ROW.replace('"4.98 g"', '"24.90 g", copies = 5')
        assert area_of(surveyed(five)) == pytest.approx(100 * 4.98 / 8.12)

    def test_a_caliper_does_not_weigh(self) -> None:
        found = surveyed(self.ROW, instrument="digital caliper")
        assert "wrong-instrument" in codes(found)
        assert "gasket_area" not in found.cylinders[0].values

    def test_nothing_weighs_nothing(self) -> None:
        found = surveyed(self.ROW.replace("8.12 g", "0 g"))
        assert "gasket_area" not in found.cylinders[0].values
        assert said(found, "impossible").read == "0 g"


class TestWhichCounts:
    """A measured opening before a stated one, and an area before a bore."""

    def test_the_gasket_bore_alone_is_a_circle_as_ever(self) -> None:
        found = surveyed('{ opening = "88.0 mm" }', '{ opening = "88.2 mm" }')
        assert area_of(found) == pytest.approx(math.pi / 4 * 8.81**2)

    def test_axes_may_be_stated(self) -> None:
        found = surveyed('{ thickness = "1.2 mm" }', more='gasket_long = "90 mm"\ngasket_short = "84 mm"\n')
        assert area_of(found) == pytest.approx(math.pi / 4 * 9.0 * 8.4)

    def test_an_area_measured_outright_is_said_to_stand_before_the_bore(self) -> None:
        found = surveyed(oval(90, 84), more='gasket_bore = "88 mm, maker\'s figure"\n')
        assert area_of(found) == pytest.approx(math.pi / 4 * 9.0 * 8.4)
        assert "the gasket bore is not used" in said(found, "opening-twice").wrong

    def test_axes_stated_stand_before_a_bore_stated(self) -> None:
        axes = 'gasket_long = "90 mm, assumed"\ngasket_short = "84 mm, assumed"\ngasket_bore = "88 mm, assumed"\n'
        found = surveyed('{ thickness = "1.2 mm" }', more=axes)
        assert area_of(found) == pytest.approx(math.pi / 4 * 9.0 * 8.4)
        assert codes(found).count("opening-twice") == 1

    def test_a_bore_measured_stands_before_axes_stated(self) -> None:
        axes = 'gasket_long = "90 mm, assumed"\ngasket_short = "84 mm, assumed"\n'
        found = surveyed('{ opening = "88.0 mm" }', more=axes)
        assert area_of(found) == pytest.approx(math.pi / 4 * 8.8**2)
        assert codes(found).count("measured-wins") == 2

    def test_a_bore_measured_stands_before_an_area_stated(self) -> None:
        found = surveyed('{ opening = "88.0 mm" }', more='gasket_area = "55 cm2, maker\'s figure"\n')
        assert area_of(found) == pytest.approx(math.pi / 4 * 8.8**2)
        assert said(found, "measured-wins").read == "55 cm2, maker's figure"

    @pytest.mark.parametrize(
        ("row", "code"),
        [
            (oval(87, 82.9), True),
            (oval(87, 83.5), False),
            ('{ opening = "82.9 mm" }', True),
            ('{ opening = "83.4 mm" }', False),
            (TestCutOut.ROW.replace("4.98", "4.40"), True),
            (TestCutOut.ROW, False),
        ],
    )
    def test_a_fire_ring_over_the_bore(self, row: str, code: bool) -> None:
        found = surveyed(row, more='bore = "83.40 +/- 0.01 mm, measured"\n')
        assert ("ring-over-bore" in codes(found)) is code


class TestThickness:
    """Several points round the ring: a gasket is not equally thick."""

    @staticmethod
    def points(*tenths: str) -> Survey:
        return surveyed(*[f'{{ thickness = "{t} mm" }}' for t in tenths], instrument="micrometer")

    def test_five_points_by_their_own_scatter(self) -> None:
        row = share(self.points("1.20", "1.24", "1.18", "1.22", "1.21"), "repeat scatter", "gasket_thickness")
        assert row.standard == pytest.approx(np.std([1.20, 1.24, 1.18, 1.22, 1.21], ddof=1) * MM / math.sqrt(5))
        assert row.cause.dof == 4

    def test_four_that_differ_are_no_matter_of_the_micrometer(self) -> None:
        """Its own repeatability, 0.004 mm, says nothing of a gasket that varies by 0.03 mm."""
        value = self.points("1.20", "1.24", "1.18", "1.22").cylinders[0].values["gasket_thickness"]
        assert math.isnan(value.expanded)

    def test_points_that_agree_rest_on_the_micrometer(self) -> None:
        row = share(self.points("1.20", "1.20"), "repeat scatter", "gasket_thickness")
        assert row.cause.source == "declared repeatability and the scatter of the readings"
        assert (row.standard, row.cause.dof) == (pytest.approx(0.004 * MM / math.sqrt(2)), 5)


@pytest.mark.parametrize("method", [ELLIPSE, OUTLINE, CUTOUT])
def test_every_way_finds_the_area_in_place_of_the_bore(method: object) -> None:
    assert method.result == "gasket_area"  # type: ignore[attr-defined]
    assert method.instead_of == "opening"  # type: ignore[attr-defined]


def test_an_option_of_another_bore_takes_the_place_of_an_oval() -> None:
    """Combined with a gasket of 100 mm the oval is gone: the opening is that circle."""
    text = """format = 1
[engine]
cylinders = 1
chamber_volume = "46.3 cc, measured"
crown_volume = "dish 8.75 cc, measured"
deck_clearance = "0.20 mm below deck, measured"
bore = "83.4 mm, measured"
stroke = "91.7 mm, measured"
[part.gasket]
kind = "gasket"
gasket_long = "90 mm, measured"
gasket_short = "86.8 mm, measured"
gasket_thickness = "1.20 mm, measured"
[choice.gasket.wide]
gasket_bore = "100 mm, maker's figure"
gasket_thickness = "1.20 mm, maker's figure"
"""
    (row,) = combine(candidates(survey(parse_job(text).job))).best
    by_hand = 46.3 + 8.75 + math.pi / 4 * (83.4**2 * 0.2 + 100**2 * 1.2) / 1000
    assert row.values["clearance_volume"].nominal / 1e-6 == pytest.approx(by_hand)
