"""Traced outlines with and without corners against exact figures, over seeded random tracings.

Rectangle a b, half circle pi r^2 / 2 with its centroid 4 r / 3 pi from the
flat, ellipse pi a b, circular segment R^2 (t - sin t cos t): Machinery's
Handbook 31st ed. (2020), areas of plane figures and centres of gravity (from
memory; the segment seen, p. 79).  Points are read by a hand of 0.2 mm to
0.1 mm, evenly round from anywhere or with one in every corner.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Sequence
from functools import cache
from itertools import pairwise

import pytest

from ccassist.bench.cell import Reading
from ccassist.bench.rows import arithmetic, swapped_pair
from ccassist.bench.steps.lengths import OUTLINE
from ccassist.bench.traced import (
    across_half_width,
    across_slope,
    bulge,
    centroid_across,
    corner_slopes,
    corners,
    edge_half_width,
    polygon_area,
)
from ccassist.values.quantity import Quantity
from ccassist.values.uncertainty import Cause, doubt, expand, half_width

TRACED = arithmetic(OUTLINE)

MM = 1e-3
HAND, STEP = 0.2, 0.1  # mm
COUNTS = (8, 12, 16, 24, 36, 48, 60)
DRAWS = 8
Point = tuple[float, float]
Piece = tuple[float, Callable[[float], Point]]  # length, and a place on it from 0 to 1
Figure = tuple[list[Piece], float, float]  # edge, exact area, exact centroid across


def line(start: Point, end: Point) -> Piece:
    return math.dist(start, end), lambda u: (start[0] + (end[0] - start[0]) * u, start[1] + (end[1] - start[1]) * u)


def arc(x: float, radius: float, start: float, end: float) -> Piece:
    def place(u: float) -> Point:
        at = start + (end - start) * u
        return x + radius * math.cos(at), radius * math.sin(at)

    return radius * abs(end - start), place


def rectangle(rng: random.Random) -> Figure:
    a, b = rng.uniform(50, 90), rng.uniform(40, 80)
    ends = [(0.0, 0.0), (a, 0.0), (a, b), (0.0, b)]
    return [line(p, q) for p, q in zip(ends, [*ends[1:], ends[0]], strict=True)], a * b, a / 2


def half_round(rng: random.Random) -> Figure:
    r = rng.uniform(30, 45)
    edge = [arc(0, r, -math.pi / 2, math.pi / 2), line((0, r), (0, -r))]
    return edge, math.pi * r * r / 2, 4 * r / (3 * math.pi)


def d_shape(rng: random.Random) -> Figure:
    """A half circle on a rectangle as wide."""
    r, w = rng.uniform(25, 40), rng.uniform(10, 40)
    edge = [line((0, -r), (w, -r)), arc(w, r, -math.pi / 2, math.pi / 2), line((w, r), (0, r)), line((0, r), (0, -r))]
    box, half = 2 * r * w, math.pi * r * r / 2
    return edge, box + half, (box * w / 2 + half * (w + 4 * r / (3 * math.pi))) / (box + half)


def pent_roof(rng: random.Random) -> Figure:
    """A circle between two flats: the circle less two segments."""
    r = rng.uniform(36, 46)
    t = math.asin(rng.uniform(0.55, 0.85))
    x, y = r * math.cos(t), r * math.sin(t)
    edge = [arc(0, r, -t, t), line((x, y), (-x, y)), arc(0, r, math.pi - t, math.pi + t), line((-x, -y), (x, -y))]
    cut = math.pi / 2 - t
    return edge, math.pi * r * r - 2 * r * r * (cut - math.sin(cut) * math.cos(cut)), 0.0


@cache
def _steps(a: float, b: float) -> tuple[list[float], float]:
    """Angles at even ways along an ellipse, and its girth."""
    ways, angles = [0.0], [2 * math.pi * i / 720 for i in range(721)]
    for one, two in pairwise(angles):
        ways.append(
            ways[-1] + math.dist((a * math.cos(one), b * math.sin(one)), (a * math.cos(two), b * math.sin(two)))
        )
    even, at = [], 0
    for i in range(721):
        while at < 719 and ways[at + 1] < ways[-1] * i / 720:
            at += 1
        even.append(angles[at] + (ways[-1] * i / 720 - ways[at]) / (ways[at + 1] - ways[at]) * math.pi / 360)
    return even, ways[-1]


def oval(rng: random.Random) -> Figure:
    a, b = rng.choice([(43.7, 31.9), (47.3, 36.1), (39.1, 38.3)])
    even, girth = _steps(a, b)

    def place(u: float) -> Point:
        at = even[min(720, round(u * 720))]
        return a * math.cos(at), b * math.sin(at)

    return [(girth, place)], math.pi * a * b, 0.0


FIGURES = {f.__name__: f for f in (rectangle, half_round, d_shape, pent_roof, oval)}


def evenly(edge: Sequence[Piece], count: int, rng: random.Random) -> list[Point]:
    """Points anywhere: corners lie between them."""
    whole, start, found = sum(length for length, _ in edge), rng.random(), []
    for i in range(count):
        way = ((i + start + rng.uniform(-0.2, 0.2)) / count % 1) * whole
        for length, place in edge:
            if way <= length:
                found.append(place(way / length))
                break
            way -= length
        else:
            found.append(edge[-1][1](1.0))
    return found


def cornered(edge: Sequence[Piece], count: int, rng: random.Random) -> list[Point]:
    """A point in every corner, the others evenly between."""
    if len(edge) == 1:
        return evenly(edge, count, rng)
    whole = sum(length for length, _ in edge)
    shares = [max(1, math.floor(count * length / whole)) for length, _ in edge]
    while sum(shares) < count:
        shares[max(range(len(edge)), key=lambda i: edge[i][0] / shares[i])] += 1
    return [
        place((i + (rng.uniform(-0.2, 0.2) if i else 0)) / share)
        for (_, place), share in zip(edge, shares, strict=True)
        for i in range(share)
    ]


def read(points: Sequence[Point], rng: random.Random) -> list[Point]:
    return [tuple(round((v + rng.gauss(0, HAND)) / STEP) * STEP * MM for v in p) for p in points]  # type: ignore[misc]


def row(points: Sequence[Point]) -> Reading:
    fields = {
        name: tuple(Quantity(key=f"outline_{name}", value=p[axis], raw="", unit="mm") for p in points)
        for axis, name in enumerate("xy")
    }
    return Reading(fields=fields, method=OUTLINE)


def within(error: float, noise: float, edge: float) -> bool:
    """Whether an error lies in the ± of what reading and edge do."""
    one = math.hypot(HAND, STEP / math.sqrt(12)) * MM
    number = doubt(noise * one, Cause(name="reading")) + half_width(edge, Cause(name="edge", shape="rectangular"))
    return abs(error) <= expand(number).expanded


@cache
def held(figure: str, way: Callable[..., list[Point]], count: int) -> tuple[int, int]:
    """Of so many tracings, how many intervals hold the exact area, and how many the exact centroid."""
    rng = random.Random(f"{figure} {way.__name__} {count}")
    areas = places = 0
    for _ in range(DRAWS):
        edge, area, across = FIGURES[figure](rng)
        points = read(way(edge, count, rng), rng)
        one = row(points)
        areas += within(TRACED.finds(one, 1.0) - area * MM**2, TRACED.unit(one, 1.0), edge_half_width(points))
        places += within(centroid_across(points) - across * MM, across_slope(points), across_half_width(points))
    return areas, places


@pytest.mark.parametrize("figure", list(FIGURES))
def test_area_and_centroid_hold_in_every_figure(figure: str) -> None:
    """At least 93 of 100, over 8 to 60 points, evenly round or with one in every corner."""
    found = [held(figure, way, count) for way in (evenly, cornered) for count in COUNTS]
    for one in zip(*found, strict=True):
        assert sum(one) >= 0.93 * DRAWS * len(found)


@pytest.mark.parametrize("count", COUNTS)
def test_area_and_centroid_hold_with_any_number_of_points(count: int) -> None:
    """At least 93 of 100, over all figures."""
    found = [held(figure, way, count) for way in (evenly, cornered) for figure in FIGURES]
    for one in zip(*found, strict=True):
        assert sum(one) >= 0.93 * DRAWS * len(found)


@pytest.mark.parametrize("figure", ["rectangle", "half_round", "d_shape", "pent_roof"])
def test_more_points_come_closer(figure: str) -> None:
    """With a point in every corner, read exactly: on the mean nothing is left that grows with the points."""
    rng = random.Random(7)
    for count, most in ((24, 0.004), (60, 0.0005)):
        errors = []
        for _ in range(20):
            edge, area, _ = FIGURES[figure](rng)
            points = cornered(edge, count, rng)
            errors.append((polygon_area(points) + bulge(points)) / area - 1)
        assert abs(sum(errors) / len(errors)) < most


def test_corners_are_found() -> None:
    rng = random.Random(3)
    for figure, count in (("rectangle", 4), ("half_round", 2), ("d_shape", 2), ("pent_roof", 4), ("oval", 0)):
        edge, _, _ = FIGURES[figure](rng)
        assert corners(read(cornered(edge, 40, rng), rng)) == count, figure


@pytest.mark.parametrize("figure", list(FIGURES))
def test_the_centroids_slope_by_simulated_readings(figure: str) -> None:
    """Monte Carlo of 400 readings of one tracing (JCGM 101:2008); the spread of a spread is 3.5 %."""
    rng = random.Random(11)
    edge, _, _ = FIGURES[figure](rng)
    points = [(x * MM, y * MM) for x, y in evenly(edge, 40, rng)]

    def again() -> list[Point]:
        return [(x + rng.gauss(0, 1e-5), y + rng.gauss(0, 1e-5)) for x, y in points]

    found = [centroid_across(again()) for _ in range(400)]
    middle = sum(found) / len(found)
    spread = math.sqrt(sum((x - middle) ** 2 for x in found) / (len(found) - 1))
    assert spread == pytest.approx(across_slope(points) * 1e-5, rel=0.25)  # by hand for right corners only


def outline(points: Sequence[Point]) -> Reading:
    """A tracing, mm."""
    x, y = (tuple(Quantity(key=f"outline_{way}", value=p[n] * MM, raw="", unit="mm", step=1e-4) for p in points)
            for n, way in enumerate("xy"))  # fmt: skip
    return Reading(fields={"x": x, "y": y}, method=OUTLINE)


ROUND = [(60 + 40 * math.cos(math.radians(a)), 20 + 15 * math.sin(math.radians(a))) for a in range(0, 360, 15)]


@pytest.mark.parametrize("at", [0, 5, 15, 20])
def test_a_pair_changed_over_is_asked_about_by_its_number(at: int) -> None:
    points = [(y, x) if n == at else (x, y) for n, (x, y) in enumerate(ROUND)]
    (found,) = TRACED.faults(outline(points))
    assert (found.code, found.asks) == ("swapped-pair", True)
    assert f"point {at + 1} " in found.wrong


def test_an_outline_as_it_should_be_is_not_asked_about() -> None:
    assert not any(f.code == "swapped-pair" for f in TRACED.faults(outline(ROUND)))


@pytest.mark.parametrize(("part", "found"), [(0.0, 0), (0.3, 0), (0.5, 2), (0.7, 0), (1.0, 0)])
def test_a_corner_between_two_points_is_sharp_at_both(part: float, found: int) -> None:
    """An ellipse twice as long as wide, at 18 points: only where a tip lies midway between two is it cut off alike."""
    turns = [2 * math.pi * (k + part) / 18 for k in range(18)]
    assert corners([(40 * math.cos(a), 20 * math.sin(a)) for a in turns]) == found


@pytest.mark.parametrize(("turn", "found"), [(49.5, 4), (50.5, 5), (80, 5)])
def test_from_how_sharp_a_turn_on_a_cut_off_corner_is_one(turn: float, found: int) -> None:
    """A house with its ridge between two points, beside its four corners: 50 degrees (common practice, no source)."""
    slope = math.radians(turn / 2)
    roof = [(x, -abs(x) * math.tan(slope)) for x in (*range(-15, 0, 2), *range(1, 16, 2))]
    eaves = roof[-1][1]
    wall = [(15.0, eaves - y) for y in range(2, 20, 2)]
    floor = [(float(x), eaves - 20) for x in range(15, -16, -2)]
    assert corners([*roof, *wall, *floor, *((-x, y) for x, y in reversed(wall))]) == found


def test_a_point_read_three_times_over_bends_nothing() -> None:
    sides = [(4.0 * i / 5, 0.0) for i in range(6)] + [(4.0, 3.0 * i / 5) for i in range(1, 6)]
    box = [(0.0, 0.0), (0.0, 0.0), *sides, *((4 - x, 3 - y) for x, y in sides[1:-1])]
    assert polygon_area(box) == pytest.approx(12)
    assert math.isfinite(bulge(box))


@pytest.mark.parametrize(("ratio", "found"), [(2.9, None), (3.1, 5), (6.0, 5)])
def test_a_pair_changed_over_stands_out_three_times_as_far_as_usual(ratio: float, found: int | None) -> None:
    """A box whose edge runs beside the line x = y: there the two numbers changed over are the mirror image in it.

    Points a millimetre apart, the edge at half √(ratio² − 1) of it; three times is common practice, no source.
    """
    beside = math.sqrt(ratio**2 - 1) / 2
    edge = [(float(u), beside) for u in range(20)] + [(20.0, beside + v) for v in range(10)]
    edge += [(20.0 - u, beside + 10) for u in range(20)] + [(0.0, beside + 10 - v) for v in range(10)]
    points = [((u + v) / math.sqrt(2), (u - v) / math.sqrt(2)) for u, v in edge]
    assert swapped_pair(points) is None
    points[5] = points[5][::-1]
    assert swapped_pair(points) == found


def test_a_corner_between_two_points_is_half_an_arc_and_half_the_edges_drawn_on() -> None:
    """A square of 80 mm, four points a side, none nearer a corner than 10 mm: a triangle of ½ 10 × 10 mm² is missed.

    The arc over its chord, 14.1 mm and turning by 90°: chord² × turn ÷ 12 (an arc of few degrees; sagitta, geometry).
    """
    along = (10.0, 30.0, 50.0, 70.0)
    sides = [(x, 0.0) for x in along], [(80.0, y) for y in along]
    square = [*sides[0], *sides[1], *((80 - x, 80.0) for x in along), *((0.0, 80 - y) for y in along)]
    points = [(x * MM, y * MM) for x, y in square]
    missed = (200 * math.pi / 2 / 12 + 50) / 2
    assert polygon_area(points) * 1e6 == pytest.approx(6400 - 4 * 50)
    assert bulge(points) * 1e6 == pytest.approx(4 * missed)


def shoelace(points: Sequence[Point]) -> float:
    """Centroid across of a polygon: Σ (x + u)(x v − u y) ÷ 3 Σ (x v − u y), by Gauss's formula."""
    parts = [(x + u, x * v - u * y) for (x, y), (u, v) in pairwise([*points, points[0]])]
    return sum(both * cross for both, cross in parts) / 3 / sum(cross for _, cross in parts)


def test_the_slope_of_a_centroid_is_that_of_every_reading_moved_by_itself() -> None:
    """Central differences of the polygon's own, for a blunt shape of few points; its edge bulges but little."""
    points = [
        (0.0, 0.0),
        (31.0, -6.0),
        (62.0, 2.0),
        (75.0, 24.0),
        (64.0, 51.0),
        (33.0, 60.0),
        (7.0, 49.0),
        (-6.0, 22.0),
    ]
    slopes = []
    for i, axis in [(i, axis) for i in range(len(points)) for axis in (0, 1)]:
        ends = []
        for way in (0.01, -0.01):
            moved = [list(p) for p in points]
            moved[i][axis] += way
            ends.append(shoelace([(x, y) for x, y in moved]))
        slopes.append((ends[0] - ends[1]) / 0.02)
    assert across_slope(points) == pytest.approx(math.hypot(*slopes), rel=0.01)


def test_a_right_corner_moves_its_triangle_by_its_angle() -> None:
    """Base² ÷ 2 for every radian of one end, and that one by √6 ÷ base for a unit in each of six coordinates."""
    along = (10.0, 30.0, 50.0, 70.0)
    square = [(x, 0.0) for x in along] + [(80.0, y) for y in along]
    square += [(80 - x, 80.0) for x in along] + [(0.0, 80 - y) for y in along]
    base = math.sqrt(200)
    slopes = corner_slopes(square)
    assert sorted(slopes)[-4:] == pytest.approx([base**2 / 2 * math.sqrt(6) / base] * 4)
    assert sum(slope == 0 for slope in slopes) == 12
