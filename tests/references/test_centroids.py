"""Centroids of plane figures: Machinery's Handbook 31st ed. (2020), centres of gravity (from memory); SciPy dblquad."""

from __future__ import annotations

import math

import pytest
from scipy.integrate import dblquad

from ccassist.bench.traced import centroid_across
from tests.references.sources import cites

pytestmark = cites("machinery-memory")


def round_the(figure: object, steps: int = 40) -> list[tuple[float, float]]:
    return [figure(2 * math.pi * i / steps) for i in range(steps)]  # type: ignore[operator]


def test_polygons_of_the_handbook() -> None:
    """Triangle: mean of its corners; trapezoid with parallel sides a, b: h (a + 2 b) / 3 (a + b) from a."""
    assert centroid_across([(1, 0), (7, 0), (4, 9)]) == pytest.approx(4.0, abs=0.02)
    straight = [(x, 0.0) for x in range(60)] + [(60.0, y) for y in range(20)]
    straight += [(60.0 - i, 20 + 20 * i / 60) for i in range(60)] + [(0.0, 40.0 - i) for i in range(40)]
    assert centroid_across(straight) == pytest.approx(60 * (40 + 2 * 20) / (3 * 60), rel=2e-3)


@pytest.mark.parametrize("turned", [False, True])
def test_a_curved_edge_counts_between_its_points(turned: bool) -> None:
    """A half circle of radius r has its centroid 4 r / 3 pi from its flat; an ellipse in its middle."""
    arc = [(40 * math.sin(math.pi * i / 40), -40 * math.cos(math.pi * i / 40)) for i in range(41)]
    flat = [(0.0, 40.0 - i) for i in range(1, 80)]
    points = arc + flat
    assert centroid_across(points[::-1] if turned else points) == pytest.approx(4 * 40 / (3 * math.pi), rel=2e-3)
    oval = round_the(lambda a: (300 + 45 * math.cos(a), 30 * math.sin(a)))
    assert centroid_across(oval) == pytest.approx(300.0, abs=1e-9)


@cites("scipy")
def test_a_chamber_like_egg_against_integration() -> None:
    """SciPy dblquad of x over the egg r = 40 + 8 cos a, an own route."""
    egg = round_the(lambda a: ((40 + 8 * math.cos(a)) * math.cos(a), (40 + 8 * math.cos(a)) * math.sin(a)), 60)
    area, _ = dblquad(lambda r, a: r, 0, 2 * math.pi, 0, lambda a: 40 + 8 * math.cos(a))
    moment, _ = dblquad(lambda r, a: r * r * math.cos(a), 0, 2 * math.pi, 0, lambda a: 40 + 8 * math.cos(a))
    assert centroid_across(egg) == pytest.approx(moment / area, rel=1e-3)
