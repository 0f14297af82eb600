"""What pockets take of a crown, against columns over a fine grid of the plan and against handbook solids.

The tool sums level lines between their bends; here columns along the bore are
summed over a plain grid, written apart from it: of each column, what lies
inside a cylinder, above its floor and below the crown.
"""

from __future__ import annotations

from itertools import product
from math import cos, pi, radians, sin, sqrt, tan
from random import Random
from typing import Any

import numpy as np
import pytest

from ccassist.engine import crown_shapes as shapes
from ccassist.engine.pocket_cut import Bare, Cut, cut_volumes
from tests.references.sources import cites

pytestmark = cites("own")

MM, CC = 1e-3, 1e-6
_GRID = 400


def crown_depth(bare: Bare, away: Any) -> Any:
    """Depth of the crown below its flat at distances from the bore axis [m]."""
    if not bare.depth:
        return np.zeros_like(away)
    size, side = abs(bare.depth), np.sign(bare.depth)
    if bare.ball:
        ball = (bare.radius**2 + size**2) / (2 * size)
        return side * np.maximum(np.sqrt(np.maximum(ball**2 - away**2, 0.0)) - (ball - size), 0.0)
    if side > 0:
        beyond = np.clip(away - (bare.radius - bare.corner), 0.0, bare.corner)
        return np.where(away < bare.radius, size - bare.corner + np.sqrt(bare.corner**2 - beyond**2), 0.0)
    return -size * np.clip((bare.radius - away) / (bare.radius - bare.top), 0.0, 1.0)


def column(one: Cut, x: Any, y: Any) -> tuple[Any, Any]:
    """Where upright columns run into and out of a pocket [m below the flat]; alike where they miss it."""
    u = (x - one.x) * cos(one.lean) + (y - one.y) * sin(one.lean)
    v = (y - one.y) * cos(one.lean) - (x - one.x) * sin(one.lean)
    floor, chord = one.floor + u * tan(one.tilt), np.sqrt(np.maximum(one.radius**2 - v**2, 0.0))
    if one.tilt == 0:
        return np.where(abs(u) < chord, -1.0, floor), floor
    top = one.floor - (chord + u * cos(one.tilt)) / sin(one.tilt)
    low = np.minimum(floor, one.floor + (chord - u * cos(one.tilt)) / sin(one.tilt))
    return top, np.where((chord > 0) & (low > top), low, top)


def by_columns(cuts: list[Cut], bare: Bare) -> float:
    """What all pockets take together [m³]."""
    middles = ((np.arange(_GRID) + 0.5) / _GRID * 2 - 1) * bare.edge
    x, y = np.meshgrid(middles, middles)
    away = np.hypot(x, y)
    crown = crown_depth(bare, away)
    stretches = [(np.maximum(top, crown), np.maximum(low, crown)) for top, low in (column(one, x, y) for one in cuts)]
    order = np.argsort([top for top, _ in stretches], axis=0)
    tops, lows = (np.take_along_axis(np.array(side), order, 0) for side in zip(*stretches, strict=True))
    total, reached = np.zeros_like(away), np.full_like(away, -1.0)
    for top, low in zip(tops, lows, strict=True):
        total += np.maximum(low - np.maximum(top, reached), 0.0)
        reached = np.maximum(reached, low)
    return float(total[away <= bare.edge].sum()) * (2 * bare.edge / _GRID) ** 2


def bare_of(kind: str, dice: Random) -> Bare:
    """A crown of a kind with sizes by chance."""
    edge = dice.uniform(33, 51) * MM
    radius, size = edge * dice.uniform(0.4, 0.95), dice.uniform(1, 9) * MM
    return {
        "flat": Bare(edge=edge),
        "dish": Bare(depth=size, radius=radius, corner=size * dice.random(), edge=edge),
        "ball-cut dish": Bare(depth=size, radius=radius, ball=True, edge=edge),
        "dome": Bare(depth=-size, radius=radius, top=radius * dice.uniform(0.3, 0.99), edge=edge),
        "ball dome": Bare(depth=-size, radius=radius, ball=True, edge=edge),
    }[kind]


def cut_of(dice: Random) -> Cut:
    """A pocket by chance: upright, hardly tilted or much; on, over and beside the edge; also with its floor above."""
    tilt = dice.choice([0.0, dice.uniform(0, 0.05), dice.uniform(0, 0.5)])
    away, angle = dice.uniform(0, 36) * MM, dice.uniform(-pi, pi)
    lean = dice.choice([angle, angle, dice.uniform(-pi, pi)])
    radius, floor = dice.uniform(8, 20) * MM, dice.uniform(-3, 6) * MM
    return Cut(radius=radius, tilt=tilt, floor=floor, x=away * cos(angle), y=away * sin(angle), lean=lean)


KINDS = ("flat", "dish", "ball-cut dish", "dome", "ball dome")


@pytest.mark.parametrize(("kind", "count", "seed"), list(product(KINDS, (1, 2, 4), (1, 2))))
def test_any_pockets_in_any_crown(kind: str, count: int, seed: int) -> None:
    dice = Random(f"{kind} {count} {seed}")
    for _ in range(2):
        bare, cuts = bare_of(kind, dice), [cut_of(dice) for _ in range(count)]
        taken = cut_volumes(cuts, bare)
        assert min(taken) >= -1e-15
        assert sum(taken) == pytest.approx(by_columns(cuts, bare), abs=0.01 * CC), (bare, cuts)


@cites("machinery")
@pytest.mark.parametrize("tilt", [0.0, 3.0, 12.0, 30.0])
@pytest.mark.parametrize("depth", [-1.5, 0.0, 1.5, 9.0])
def test_an_obliquely_cut_cylinder(tilt: float, depth: float) -> None:
    """A flat crown: the closed form after Machinery's Handbook, 31st ed. (2020), p. 90, segment of a cylinder."""
    angle = radians(tilt)
    one = Cut(radius=17 * MM, tilt=angle, floor=depth * MM * cos(angle), x=11 * MM, y=6 * MM, lean=1.0)
    alone = shapes.pocket(radius=17 * MM, tilt=angle, depth=depth * MM)
    assert sum(cut_volumes([one], Bare())) == pytest.approx(alone, abs=1e-14)


@cites("machinery")
def test_a_cylinder_over_the_middle_of_a_ball_dome() -> None:
    """Cylinder and spherical cap: Machinery's Handbook p. 91, V = π h² (r − h ÷ 3) with r the sphere's radius."""
    ball = (30**2 + 7**2) / (2 * 7)
    cap = ball - sqrt(ball**2 - 9**2)
    by_hand = pi * 9**2 * (7 - cap + 1.25) + pi * cap**2 * (ball - cap / 3)
    bare = Bare(depth=-7 * MM, radius=30 * MM, ball=True)
    (found,) = cut_volumes([Cut(radius=9 * MM, tilt=0.0, floor=1.25 * MM, x=0.0)], bare)
    assert found * 1e9 == pytest.approx(by_hand, rel=1e-8)


@cites("machinery")
def test_an_upright_pocket_half_over_the_land() -> None:
    """Two circles: segments of a circle, Machinery's Handbook p. 80, A = r² (α − sin α) ÷ 2 each."""
    edge, r, away = 40.0, 16.0, 33.0
    to_chord = (away**2 + edge**2 - r**2) / (2 * away)
    parts = ((edge, to_chord), (r, away - to_chord))
    area = sum(size**2 * (turn - sin(turn)) / 2 for size, at in parts for turn in [2 * np.arccos(at / size)])
    one = Cut(radius=r * MM, tilt=0.0, floor=4.0 * MM, x=away * MM)
    (found,) = cut_volumes([one], Bare(edge=edge * MM))
    assert found * 1e9 == pytest.approx(4.0 * area, rel=1e-6)


@cites("machinery")
def test_two_pockets_that_run_into_one_another_share_a_lens_once() -> None:
    """Two equal circles: two segments as in Machinery's Handbook p. 80; the shallower floor bounds what is shared."""
    r, apart, deep, flat = 15.0, 18.0, 3.0, 2.0
    turn = 2 * np.arccos(apart / 2 / r)
    lens = r**2 * (turn - sin(turn))
    first, second = (
        Cut(radius=r * MM, tilt=0.0, floor=floor * MM, x=x * MM, lean=lean)
        for floor, x, lean in ((deep, -9.0, 0.3), (flat, 9.0, 2.1))
    )
    for cuts, last in (([first, second], (pi * r**2 - lens) * flat), ([second, first], pi * r**2 * deep - lens * flat)):
        found = cut_volumes(cuts, Bare())
        assert found[1] * 1e9 == pytest.approx(last, abs=0.2)
        assert sum(found) * 1e9 == pytest.approx(pi * r**2 * (deep + flat) - lens * flat, abs=0.2)


@pytest.mark.parametrize("seed", range(8))
def test_dish_and_dome_cut_by_the_land(seed: int) -> None:
    """Rings of a fine rule over the radius, 2π r times the depth; without the land the closed form, exactly."""
    dice = Random(seed)
    for kind in KINDS[1:]:
        bare = bare_of(kind, dice)
        land = Bare(**{**vars(bare), "edge": bare.radius * dice.uniform(0.6, 0.99)})
        away = (np.arange(200_000) + 0.5) / 200_000 * land.edge
        rings = 2 * pi * float((away * crown_depth(bare, away)).sum()) * land.edge / 200_000
        assert land.volume == pytest.approx(rings, rel=1e-6)
        just = Bare(**{**vars(bare), "edge": bare.radius * (1 - 1e-13)})
        assert just.volume == pytest.approx(bare.volume, rel=1e-9)


def test_alike_pockets_count_alike() -> None:
    """Turning a pocket round the bore axis with its lean, or reflecting it, changes nothing in a round crown."""
    bare = Bare(depth=-5 * MM, radius=31 * MM, top=20 * MM, edge=44 * MM)
    made = [
        sum(cut_volumes([Cut(radius=14 * MM, tilt=0.3, floor=0.5 * MM, x=x * MM, y=y * MM, lean=lean)], bare))
        for x, y, lean in ((20, 12, pi / 2), (-20, 12, pi / 2), (20, -12, -pi / 2), (12, 20, 0.0))
    ]
    assert made == pytest.approx([made[0]] * 4, rel=1e-6)
    assert made[0] > 0


def test_pockets_that_lean_square_to_one_another() -> None:
    """Two that run into one another, of the second the lines lie across the lean of the first."""
    pair = [Cut(radius=15 * MM, tilt=0.3, floor=3 * MM, x=x * MM, y=y * MM, lean=lean) for x, y, lean in SQUARE]
    assert sum(cut_volumes(pair, Bare(edge=42 * MM))) == pytest.approx(by_columns(pair, Bare(edge=42 * MM)), abs=1e-8)


SQUARE = ((-8.0, 0.0, pi), (0.0, 9.0, pi / 2))


def test_pockets_that_lean_together_share_what_only_a_dome_brings_to_them() -> None:
    """At the flat they lie apart; in a dome 12 mm high their sides meet, and what they share is cut once."""
    bare = Bare(depth=-12 * MM, radius=36 * MM, top=25 * MM, edge=44 * MM)
    pair = [Cut(radius=12 * MM, tilt=0.4, floor=1 * MM, x=x * MM, lean=lean) for x, lean in ((17, pi), (-17, 0.0))]
    alone = sum(cut_volumes([one], bare)[0] for one in pair)
    together = sum(cut_volumes(pair, bare))
    assert together == pytest.approx(by_columns(pair, bare), abs=0.01 * CC)
    assert together < alone - 0.03 * CC
    flat = Bare(edge=44 * MM)
    assert sum(cut_volumes(pair, flat)) == pytest.approx(sum(cut_volumes([one], flat)[0] for one in pair), abs=1e-15)
