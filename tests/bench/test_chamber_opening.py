"""The opening of a chamber at its face: traced or cut out, with its centroid for a tilted cut.

Areas and centroids of plane figures: Machinery's Handbook, 31st ed. (2020) (from memory).
"""

from __future__ import annotations

import math

import pytest

from ccassist.analysis.results import Survey, survey
from ccassist.job.file import parse_job
from ccassist.plan.machining.changes import machine
from ccassist.plan.machining.work import MachineAsked
from ccassist.values.number import nominal
from ccassist.values.uncertainty import budget

MM, CC, CM2 = 1e-3, 1e-6, 1e-4


def surveyed(rows: str, more: str = "") -> Survey:
    text = (
        'format = 1\n[engine]\ncylinders = 1\nchamber_volume = "46.2 +/- 0.2 cc, measured"\n'
        f'[[series]]\nstep = "opening"\ncylinder = 1\n{more}readings = [\n{rows}\n]\n'
    )
    return survey(parse_job(text).job)


def traced(width: float, height: float, steps: int = 48) -> str:
    """An oval traced with its zero lines along its left and lower edge [mm]."""
    around = [2 * math.pi * i / steps for i in range(steps)]
    x = ", ".join(f'"{width / 2 * (1 + math.cos(a)):.3f} mm"' for a in around)
    y = ", ".join(f'"{height / 2 * (1 + math.sin(a)):.3f} mm"' for a in around)
    return f"{{ x = [{x}], y = [{y}] }}"


def test_a_traced_opening_is_the_chambers_area() -> None:
    """Ellipse: pi / 4 x 90 x 66 mm."""
    found = surveyed(traced(90, 66))
    value = found.cylinders[0].values["chamber_area"]
    assert value.origin == "measured"
    assert value.nominal == pytest.approx(math.pi / 4 * 90 * 66 * 1e-6, rel=2e-4)
    assert "opening_centroid" not in found.cylinders[0].values


@pytest.mark.parametrize("steps", [24, 40, 60])
def test_a_d_is_no_larger_with_corners(steps: int) -> None:
    """A half circle of 46.9 mm radius with a point in both corners: pi r^2 / 2, and 4 r / 3 pi from its flat."""
    radius, bent = 46.9, round(steps * math.pi / (math.pi + 2))
    points = [
        (radius * math.sin(math.pi * i / bent), radius * (1 - math.cos(math.pi * i / bent))) for i in range(bent)
    ] + [(0.0, 2 * radius * (1 - i / (steps - bent))) for i in range(steps - bent)]
    x, y = (", ".join(f'"{p[axis]:.1f} mm"' for p in points) for axis in (0, 1))
    more = 'instrument = "digital caliper"\nfrom_edge = "20 +/- 0.1 mm, measured"\n'
    values = surveyed(f"{{ x = [{x}], y = [{y}] }}", more).cylinders[0].values
    area, across = values["chamber_area"], values["opening_centroid"]
    assert abs(area.nominal - math.pi / 2 * radius**2 * 1e-6) <= area.expanded < 0.015 * area.nominal
    assert abs(across.nominal - (20 + 4 * radius / 3 / math.pi) * MM) <= across.expanded < 1 * MM


def test_a_cut_out_is_to_the_square_as_their_masses() -> None:
    """Trade example C7 (common practice, recomputed): 0.498 g of 0.812 g and 100 cm2 is 61.33 cm2."""
    row = '{ reference = "100 cm2", reference_mass = "0.812 g", cutout_mass = "0.498 g" }'
    assert surveyed(row).cylinders[0].values["chamber_area"].nominal / CM2 == pytest.approx(61.33, abs=5e-3)


def test_its_centroid_counts_from_the_edge_that_is_not_cut() -> None:
    """The middle of an ellipse, 45 mm from the zero of the outline, which lies 35 mm from the edge."""
    found = surveyed(traced(90, 66), 'from_edge = "35 +/- 0.5 mm, measured"\n')
    value = found.cylinders[0].values["opening_centroid"]
    assert value.nominal == pytest.approx(80 * MM, rel=1e-5)
    assert any("zero of the outline" in row.cause.name for row in budget(value.number))


def test_a_tilted_cut_goes_by_what_was_traced() -> None:
    """Trade example C6 (common practice, recomputed): area x 1.5 mm x 80 / 150."""
    found = surveyed(traced(90, 66), 'from_edge = "35 +/- 0.5 mm, measured"\n')
    (row,) = machine(found, MachineAsked(angle_skim="1.5 mm", width="150 mm").work("metric")).rows
    assert nominal(row.cuts.taken) / CC == pytest.approx(math.pi / 4 * 9.0 * 6.6 * 0.15 * 80 / 150, rel=2e-4)


def test_the_gaskets_opening_is_another_thing() -> None:
    assert "gasket_area" not in surveyed(traced(90, 66)).cylinders[0].values
