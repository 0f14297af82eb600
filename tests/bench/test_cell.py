"""A cell of readings, and the profile of a chamber: what they say of themselves, against prisms and SciPy's cubic.

Volumes are geometry; the ± of a cut is JCGM 100:2008, 5.1.2; half of what the curve adds, common practice, no source.
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from scipy.interpolate import PchipInterpolator

from ccassist.bench.cell import Cell, Profile, Reading, Run, SetUp
from ccassist.bench.steps import STEPS
from ccassist.values.number import nominal, standard
from ccassist.values.uncertainty import Cause, budget, doubt
from ccassist.vocabulary import Kind
from tests.bench.test_trouble import CC, MM, amount, dialled, filled, weighed

DEPTHS, ROUND, SQUARE = (0.0, 1.0, 2.0, 4.0), (0.0, 4.8, 9.2, 16.4), (0.0, 4.6, 9.0, 17.0)  # mm; cc


def run(depths: tuple[float, ...], volumes: tuple[float, ...]) -> Run:
    return Run(depths=tuple(x * MM for x in depths), volumes=tuple(v * CC for v in volumes))


def profile(*runs: Run) -> Profile:
    return Profile(where="cylinder 1", state="", runs=runs)


TWO = profile(run(DEPTHS, ROUND), run((*DEPTHS[:3], 3.5), (*SQUARE[:3], 15.1)))


def test_a_profile_is_the_mean_of_its_runs_and_as_deep_as_the_shallower() -> None:
    cubics = [PchipInterpolator(DEPTHS, ROUND), PchipInterpolator((*DEPTHS[:3], 3.5), (*SQUARE[:3], 15.1))]
    assert TWO.deepest == pytest.approx(3.5 * MM)
    for depth in (0.4, 1.5, 3.2):
        assert nominal(TWO.volume(depth * MM)) / CC == pytest.approx(sum(c(depth) for c in cubics) / 2)
        slope = sum(c.derivative()(depth) for c in cubics) / 2  # cc a mm are 10 cm²
        assert nominal(TWO.area(depth * MM)) == pytest.approx(slope * CC / MM)


def test_half_of_what_the_curve_adds_to_a_straight_line_is_in_doubt_and_nothing_at_a_level() -> None:
    """Chords: from 9.2 to 16.4 cc between 2 and 4 mm, 12.8 cc at 3 mm; from 9.0 to 15.1 between 2 and 3.5, 13.067."""
    (row,) = budget(TWO.volume(3.0 * MM))
    assert "between the levels" in row.cause.name
    added = nominal(TWO.volume(3.0 * MM)) / CC - (12.8 + 9.0 + 6.1 / 1.5) / 2
    assert row.standard / CC == pytest.approx(abs(added) / 2 / math.sqrt(3))
    assert budget(TWO.volume(2.0 * MM)) == []


def test_a_depth_in_doubt_is_worth_the_open_area_with_its_sign() -> None:
    depth = 2.0 * MM + doubt(0.1 * MM, Cause("depth", "staged_depth"))
    made = TWO.volume(depth)
    assert standard(made) == pytest.approx(nominal(TWO.area(2.0 * MM)) * 0.1 * MM)
    assert standard(made - nominal(TWO.area(2.0 * MM)) * depth) == pytest.approx(0.0, abs=1e-15)


@pytest.mark.parametrize(("volume", "depth"), [(-1.0, 0.0), (0.0, 0.0), (9.1, 2.0), (15.0, 3.5), (99.0, 3.5)])
def test_the_depth_down_to_a_volume_ends_at_the_face_and_at_the_deepest_level(volume: float, depth: float) -> None:
    found = TWO.depth_for(volume * CC)
    assert found / MM == pytest.approx(depth, abs=0.05)
    assert volume in (-1.0, 99.0, 15.0) or nominal(TWO.volume(found)) / CC == pytest.approx(volume)


def test_a_cut_follows_the_volume_wanted() -> None:
    wanted = doubt(0.2 * CC, Cause("wanted", "chamber_volume"))
    cut = TWO.cut_for(9.1 * CC + wanted)
    area = nominal(TWO.area(nominal(cut)))
    assert "wanted" in {row.cause.name for row in budget(cut)}
    left = {row.cause.name: row.standard for row in budget(cut - wanted / area)}
    assert left.get("wanted", 0.0) == pytest.approx(0.0, abs=1e-15)


def test_what_was_worked_out_of_a_profile_makes_it_no_other() -> None:
    one, other = (profile(run(DEPTHS, ROUND)) for _ in range(2))
    one.volume(3.0 * MM)
    assert one == other


FILL = filled(3, (46.1, 46.2))


def timed(steps: tuple[float, float, float]) -> Cell:
    """One fill whose start, end and time were written in these steps [cc, cc, s]."""
    fields = zip(("start", "end", "fill_time"), ("burette_reading", "burette_reading", "elapsed"), steps, strict=True)
    made = {
        name: (replace(amount(key, 0.0, CC), step=step * (1 if name == "fill_time" else CC)),)
        for name, key, step in fields
    }
    row = FILL.readings[0]
    return replace(FILL, readings=(Reading(fields=made, method=row.method, line=1),))


@pytest.mark.parametrize(
    ("cell", "step"),
    [
        (FILL, 0.05),
        (weighed(1, (46.0,)), 1e-5 / CC),  # of its mass, kg
        (timed((0.5, 0.05, 1e-9)), 0.05),  # a watch is none of its scales
        (timed((0.5, 0.0, 0.0)), 0.5),
        (timed((0.0, 0.0, 0.0)), 0.0),
    ],
)
def test_the_step_is_that_of_the_finest_scale_read(cell: Cell, step: float) -> None:
    assert cell.written_step / CC == pytest.approx(step)


@pytest.mark.parametrize(
    ("cell", "found"),
    [
        (FILL, (Kind.VOLUME, False, True)),
        (weighed(1, (46.0,)), (Kind.VOLUME, True, False)),
        (dialled(1, [(0.2, 0.2)]), (Kind.LENGTH, False, False)),
    ],
)
def test_what_was_filled_was_weighed_or_read_on_a_scale(cell: Cell, found: tuple[Kind, bool, bool]) -> None:
    assert (cell.kind, cell.weighed, cell.by_scale) == found


@pytest.mark.parametrize(
    ("step", "cylinders", "part", "where"),
    [
        ("chamber", (3,), "front head", "cylinder 3"),
        ("gasket", (1, 2), "thin gasket", "thin gasket"),
        ("gasket", (1, 2), "", "all cylinders"),
        ("calibrate", (), "", "marked tube"),
    ],
)
def test_the_thing_measured_in_words(step: str, cylinders: tuple[int, ...], part: str, where: str) -> None:
    cell = replace(FILL, step=STEPS[step], cylinders=cylinders, part=part, instrument="marked tube")
    assert (cell.where, cell.tool) == (where, "marked tube")
    assert replace(cell, instrument="").tool == "an unnamed instrument"


def test_set_ups_share_the_temperature_and_the_first_fill_was_dry() -> None:
    warm, hole = (amount(key, value, 0.1) for key, value in (("fluid_temperature", 293.0), ("hole_diameter", 6e-3)))
    rows = tuple(replace(row, place=f"row {n}") for n, row in enumerate(FILL.readings))
    ups = tuple(
        SetUp(settings={"hole_diameter": (hole,)}, choices={}, rows=frozenset({row.place}), line=n, place=f"series {n}")
        for n, row in enumerate(rows)
    )
    for cell, settings in (
        (
            replace(FILL, readings=rows, set_ups=ups, settings={"temperature": (warm,)}),
            {"temperature", "hole_diameter"},
        ),
        (replace(FILL, readings=rows, set_ups=ups), {"hole_diameter"}),
    ):
        assert [set(part.settings) for part in cell.parts] == [settings] * 2
        assert [(len(part.readings), part.line, part.dry) for part in cell.parts] == [(1, 0, "row 0"), (1, 1, "row 0")]
