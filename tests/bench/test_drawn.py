"""Drawn outlines: pieces joined end to end, their areas, centroids and widths against exact figures.

Rectangle, circle, half circle, segment: Machinery's Handbook, 31st ed. (2020), areas and centres of gravity of plane
figures (from memory); curves: Green's theorem, integrated by NumPy's polynomials.
"""

from __future__ import annotations

import math
import random
from itertools import combinations, pairwise

import numpy as np
import pytest

from ccassist.bench.drawn import JOINED, Arc, Bezier, Path, bulged, closed, crosses, holds, line, measured, size, spans
from ccassist.bench.traced import Point

Polynomial = np.polynomial.Polynomial


def polygon(*corners: Point) -> Path:
    """A closed path of straight sides."""
    return Path(tuple(spans([*corners, corners[0]])))


def box(x: float, y: float, wide: float, high: float) -> Path:
    return polygon((x, y), (x + wide, y), (x + wide, y + high), (x, y + high))


def circle(x: float, y: float, r: float) -> Path:
    return Path((Arc((x, y), (r, 0.0), (0.0, r), 0.0, math.tau),))


def slot(x: float = 0.0) -> list[Path]:
    """The edge of a slot of 30 × 40 with a half circle at each end, in four pieces, from ``x`` on."""
    left, right = Arc((x + 20, 20), (20, 0), (0, 20), math.pi / 2, math.pi), bulged((x + 50, 0), (x + 50, 40), 1.0)
    edge = (line((x + 20, 40), (x + 50, 40)), left, line((x + 50, 0), (x + 20, 0)), right)
    return [Path((piece,)) for piece in edge]


SLOT = 30 * 40 + math.pi * 20**2


@pytest.mark.parametrize("seed", range(6))
def test_pieces_in_any_order_and_direction_make_the_outline_whole(seed: int) -> None:
    rng = random.Random(seed)
    pieces = [*slot(), *slot(100.0), circle(35, 20, 9)]
    rng.shuffle(pieces)
    done, loose = closed([piece.back() if rng.random() < 0.5 else piece for piece in pieces])
    assert loose == []
    found = sorted((measured(path) for path in done), key=lambda one: (one.area, one.centroid))
    assert [one.area for one in found] == pytest.approx([math.pi * 81, SLOT, SLOT])
    assert [one.centroid[0] for one in found] == pytest.approx([35, 35, 135])
    assert [one.centroid[1] for one in found] == pytest.approx([20] * 3)
    assert [one.widest for one in found] == pytest.approx([18, 70, 70], rel=1e-3)
    assert [off for one in found for off in (one.area_off, one.centroid_off)] == pytest.approx([0] * 6, abs=1e-9)


@pytest.mark.parametrize("gone", range(4))
def test_where_a_piece_is_missing_its_two_ends_are_loose(gone: int) -> None:
    pieces = slot()
    away = pieces.pop(gone)
    done, loose = closed([*pieces, circle(35, 20, 9)])
    assert len(done) == 1
    assert sorted(loose) == [pytest.approx(end) for end in sorted((away.first, away.last))]


def test_where_three_ends_meet_all_three_are_loose_and_the_free_one() -> None:
    _, loose = closed([*slot(), Path((line((50, 0), (90, 0)),))])
    assert sorted(loose) == [pytest.approx(end) for end in [(50, 0), (50, 0), (50, 0), (90, 0)]]


@pytest.mark.parametrize("part", [0.5, 0.9])
def test_ends_a_little_apart_are_bridged_and_the_gap_is_in_doubt(part: float) -> None:
    """A box of 30 × 40 whose greatest width is 50: its area is in doubt by the gap all along its edge."""
    gap = part * JOINED * 50
    sides = [((0, 0), (30, 0)), ((30, 0), (30, 40)), ((30, 40), (0, 40)), ((0, 40), (0, gap))]
    done, loose = closed([Path((line(*side),)) for side in sides])
    assert (len(done), loose) == (1, [])
    found = measured(done[0])
    assert found.area == pytest.approx(30 * 40)
    assert found.area_off == pytest.approx(gap * 140)
    assert found.centroid_off == pytest.approx(gap * 140 * 50 / 1200)


@pytest.mark.parametrize("gap", [5.2e-3, 6e-3])
def test_ends_too_far_apart_are_not_bridged(gap: float) -> None:
    """Beyond a ten-thousandth of the size, 50 (common practice, no source)."""
    sides = [((0, 0), (30, 0)), ((30, 0), (30, 40)), ((30, 40), (0, 40)), ((0, 40), (0, gap))]
    _, loose = closed([Path((line(*side),)) for side in sides])
    assert sorted(loose) == [(0, 0), (0, pytest.approx(gap))]


@pytest.mark.parametrize("bulge", [0.2, 0.7, 1.0, 2.5])
@pytest.mark.parametrize("way", [1, -1])
def test_a_bulge_is_the_tangent_of_a_quarter_of_the_angle(bulge: float, way: int) -> None:
    """Radius chord (1 + b²) ÷ 4 b; rise b chord ÷ 2, to the right for a positive one; segment r²/2 (θ − sin θ)."""
    start, end = (3.0, -1.0), (11.0, 5.0)
    piece, chord, angle = bulged(start, end, way * bulge), 10.0, 4 * math.atan(bulge)
    assert isinstance(piece, Arc)
    radius = chord * (1 + bulge**2) / (4 * bulge)
    assert (piece.at(0)[:2], piece.at(1)[:2]) == (pytest.approx(start), pytest.approx(end))
    assert piece.at(0.5)[:2] == pytest.approx((7 + way * bulge * 5 * 0.6, 2 - way * bulge * 5 * 0.8))
    assert math.hypot(*piece.along) == pytest.approx(radius)
    found = measured(Path((piece, line(end, start))))
    assert found.area == pytest.approx(radius**2 / 2 * (angle - math.sin(angle)))


def test_no_bulge_is_a_straight_line() -> None:
    assert bulged((1.0, 2.0), (3.0, 5.0), 0) == line((1.0, 2.0), (3.0, 5.0))


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("count", [3, 4])
def test_the_area_beside_a_curve_and_its_moments(seed: int, count: int) -> None:
    """½∫(x y′ − y x′), ½∫x² y′ and −½∫y² x′ over the curve and back along its chord, by polynomials."""
    rng = random.Random(f"{seed} {count}")
    points = [(10.0 * i, rng.uniform(20, 60)) for i in range(count)]
    outline = Path((Bezier(tuple(points)), *spans([points[-1], (points[-1][0], 0.0), (0.0, 0.0), points[0]])))
    x, y = (
        sum((math.comb(count - 1, i) * p[axis] * Polynomial([0, 1]) ** i * Polynomial([1, -1]) ** (count - 1 - i)
             for i, p in enumerate(points)), Polynomial([0]))
        for axis in (0, 1)
    )  # fmt: skip
    under = (y * x.deriv()).integ()(1.0)
    across, up = (x * y * x.deriv()).integ()(1.0), (y * y * x.deriv() / 2).integ()(1.0)
    found = measured(outline)
    assert found.area == pytest.approx(under)
    assert found.centroid == pytest.approx((across / under, up / under))


def test_an_outline_less_its_holes() -> None:
    found = measured(box(10, 5, 80, 60), [circle(30, 35, 10), box(60, 20, 10, 30).back()])
    whole, round_, square = 4800.0, math.pi * 100, 300.0
    area = whole - round_ - square
    assert found.area == pytest.approx(area)
    assert found.centroid[0] == pytest.approx((whole * 50 - round_ * 30 - square * 65) / area)
    assert found.centroid[1] == pytest.approx((whole * 35 - round_ * 35 - square * 35) / area)
    assert found.widest == pytest.approx(100)


@pytest.mark.parametrize("count", [*range(1, 9), 60])
def test_the_greatest_width_is_that_of_some_two_points(count: int) -> None:
    """Against every pair; on a coarse grid many lie in line, or on one another."""
    rand = random.Random(count)
    for steps in (4, 1000):
        points = [(float(rand.randrange(steps)), float(rand.randrange(steps))) for _ in range(count)]
        every = max((math.dist(one, other) for one, other in combinations(points, 2)), default=0.0)
        assert size(points) == pytest.approx(every)


@pytest.mark.parametrize("count", [4, 5, 9, 40])
def test_two_neighbours_in_each_others_place_make_a_convex_outline_cross_itself(count: int) -> None:
    rng = random.Random(count)
    angles = sorted(rng.uniform(0, math.tau) for _ in range(count))
    corners = [(40 * math.cos(a), 30 * math.sin(a)) for a in angles]
    assert not crosses(polygon(*corners))
    for i in range(count - 1):
        swapped = [*corners[:i], corners[i + 1], corners[i], *corners[i + 2 :]]
        assert crosses(polygon(*swapped))


def test_what_has_no_inside_is_taken_as_tangled() -> None:
    assert crosses(Path((line((0, 0), (9, 0)), line((9, 0), (0, 0)))))
    assert not crosses(polygon((0, 0), (9, 0), (0, 9)))


def test_one_outline_lies_in_another_only_whole() -> None:
    bay = polygon((0, 0), (60, 0), (60, 20), (20, 20), (20, 40), (60, 40), (60, 60), (0, 60))  # open to the right
    inside, across, outside, in_the_bay = circle(10, 30, 8), circle(20, 30, 8), circle(90, 30, 8), circle(45, 30, 8)
    assert [holds(bay, one) for one in (inside, across, outside, in_the_bay)] == [True, False, False, False]
    assert not holds(inside, bay)


def test_points_on_one_another_make_no_piece() -> None:
    made = list(spans([(0, 0), (0, 0), (3, 4), (3, 4), (6, 8)]))
    assert [(piece.points[0], piece.points[1]) for piece in made] == [((0, 0), (3, 4)), ((3, 4), (6, 8))]
    assert all(p.points[1] == q.points[0] for p, q in pairwise(made))


@pytest.mark.parametrize(
    ("x", "y", "inside"),
    [(30, 30, True), (60, 25, True), (62, 40, False), (-9, 30, False), (5, 90, False), (30, -9, False)],
)
def test_a_hole_lies_inside_a_slanted_edge_or_not(x: float, y: float, inside: bool) -> None:
    """A triangle of 100 by 100: a circle of 5 lies in it where x + y + 5 √2 < 100."""
    assert holds(Path(tuple(spans([(0.0, 0.0), (100.0, 0.0), (0.0, 100.0), (0.0, 0.0)]))), circle(x, y, 5)) is inside


def test_what_holds_nothing_lies_where_it_starts_and_what_is_exact_is_in_no_doubt() -> None:
    flat = measured(Path(tuple(spans([(3.0, 4.0), (9.0, 4.0), (3.0, 4.0)]))))
    assert (flat.area, flat.centroid, flat.centroid_off) == (0.0, (3.0, 4.0), 0.0)
    exact = measured(box(10, 5, 80, 60))
    assert (exact.area_off, exact.centroid_off) == (0.0, 0.0)
