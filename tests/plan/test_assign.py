"""The assignment with the smallest range, against every permutation and two solvers of SciPy."""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from itertools import permutations

import numpy as np
import pytest
from scipy.optimize import LinearConstraint, linear_sum_assignment, milp

from ccassist.plan.assign import Assignment, Sums, assign_both, assign_pistons

Table = list[list[list[float]]]


def part(ratio: float) -> float:
    """What of a ratio is a sum: clearance over swept volume."""
    return 1 / (ratio - 1)


def engine(count: int, seed: int, *, decimals: int | None = None, bores: bool = False) -> Table:
    """Ratios of an invented engine by hole, piston and rod; rounded parts are often alike."""
    chance = random.Random(seed)

    def parts(middle: float, spread: float) -> list[float]:
        found = [chance.gauss(middle, spread) for _ in range(count)]
        return found if decimals is None else [round(x, decimals) for x in found]

    holes, pistons, rods = parts(50, 0.6), parts(8, 0.5), parts(0, 0.2)
    swept = [500 * (1 + bores * chance.gauss(0, 0.005)) for _ in range(count)]
    areas = [s / 500 for s in swept]
    return [
        [[1 + s / (h + p + a * r) for r in rods] for p in pistons] for h, s, a in zip(holes, swept, areas, strict=True)
    ]


def spread(values: Sequence[float]) -> float:
    return max(values) - min(values)


def by_permutations(table: Table) -> float:
    """The smallest range of all assignments, one after the other."""
    span = range(len(table))
    return min(
        spread([table[h][p][r] for h, p, r in zip(span, pistons, rods, strict=True)])
        for pistons in permutations(span)
        for rods in permutations(span)
    )


def is_one_of_each(found: Assignment, table: Table) -> bool:
    span = list(range(len(table)))
    uses = all(sorted(cell[place] for cell in found.cells) == span for place in (1, 2, 3))
    return uses and all(table[c.hole][c.piston][c.rod] == c.value for c in found.cells)


@pytest.mark.parametrize("bores", [False, True])
@pytest.mark.parametrize("decimals", [None, 1, 0])
@pytest.mark.parametrize("count", [1, 2, 3, 4])
def test_pistons_and_rods_against_every_permutation(count: int, decimals: int | None, bores: bool) -> None:
    """Independent route: all of them, with parts unlike, alike in part and mostly alike, bores alike and not."""
    for seed in range(6):
        table = engine(count, seed, decimals=decimals, bores=bores)
        found = assign_both(table, part=part)
        assert found.proved
        assert is_one_of_each(found, table)
        assert found.range == pytest.approx(by_permutations(table), rel=1e-7, abs=1e-12)


def test_five_pistons_and_rods_against_every_permutation() -> None:
    table = engine(5, 1)
    assert assign_both(table, part=part).range == pytest.approx(by_permutations(table), rel=1e-9)


def test_any_numbers_at_all() -> None:
    """No sum of hole, piston and rod: the proof does not rest on there being one."""
    for seed in range(8):
        chance = random.Random(seed)
        table = [[[chance.random() for _ in range(4)] for _ in range(4)] for _ in range(4)]
        assert assign_both(table).range == pytest.approx(by_permutations(table), abs=1e-12)


def narrowest_by_linear_sum_assignment(table: Sequence[Sequence[float]]) -> float:
    """The smallest range by SciPy: a window serves where an assignment costs nothing, each cell outside costing 1."""
    costs = np.array(table)
    ends = np.unique(costs)
    best = spread(list(np.diagonal(costs)))
    for low in ends:
        for high in ends[(ends >= low) & (ends - low < best)]:
            outside = ((costs < low) | (costs > high)).astype(float)
            if outside[linear_sum_assignment(outside)].sum() == 0:
                best = float(high - low)
                break
    return best


@pytest.mark.parametrize("count", [2, 3, 4, 6, 8])
def test_pistons_alone_against_scipys_assignment(count: int) -> None:
    """Independent route: scipy.optimize.linear_sum_assignment on windows of a table without any order."""
    for seed in range(3):
        chance = random.Random(seed)
        table = [[round(chance.gauss(9, 0.2), 3) for _ in range(count)] for _ in range(count)]
        assert assign_pistons(table).range == pytest.approx(narrowest_by_linear_sum_assignment(table), abs=1e-12)


@pytest.mark.parametrize("count", [8, 16, 48])
def test_pistons_alone_for_any_number(count: int) -> None:
    """By hand: where bores are alike, the largest crown belongs to the smallest hole, and so on down."""
    chance = random.Random(count)
    holes, crowns = ([chance.gauss(50, 1) for _ in range(count)] for _ in range(2))
    found = assign_pistons([[h + c for c in crowns] for h in holes])
    by_hand = [h + c for h, c in zip(sorted(holes), sorted(crowns, reverse=True), strict=True)]
    assert found.proved
    assert found.range == pytest.approx(spread(by_hand), abs=1e-9)


def by_integer_programme(table: Table) -> float:
    """The smallest range by SciPy's milp (HiGHS): 0 or 1 for each cell, and the two ends of the window."""
    values = np.array(table)
    count, flat = len(table), values.ravel()
    at = np.indices(values.shape).reshape(3, -1)
    once = [(at[kind] == thing).astype(float) for kind in range(3) for thing in range(count)]
    once = [np.append(row, [0, 0]) for row in once]
    largest = [np.append((at[0] == hole) * flat, [0, -1]) for hole in range(count)]
    smallest = [np.append((at[0] == hole) * flat, [-1, 0]) for hole in range(count)]
    found = milp(
        np.append(np.zeros(flat.size), [-1, 1]),
        integrality=np.append(np.ones(flat.size), [0, 0]),
        bounds=(np.append(np.zeros(flat.size), [0, 0]), np.append(np.ones(flat.size), [50, 50])),
        constraints=[
            LinearConstraint(np.array(once), 1, 1),
            LinearConstraint(np.array(largest), -np.inf, 0),
            LinearConstraint(np.array(smallest), 0, np.inf),
        ],
        options={"mip_rel_gap": 1e-7},
    )
    assert found.success
    return float(found.fun)


@pytest.mark.parametrize("seed", [0, 1])
def test_six_pistons_and_rods_against_an_integer_programme(seed: int) -> None:
    """Independent route: branch and bound of a general solver."""
    table = engine(6, seed)
    assert assign_both(table, part=part).range == pytest.approx(by_integer_programme(table), abs=2e-6)


def test_sixteen_pistons_and_rods_are_proved_best() -> None:
    """Twelve and sixteen of each; no worse than the pistons alone, and nothing narrower is left open."""
    for count in (12, 16):
        table = engine(count, 3, decimals=1)
        found = assign_both(table, part=part)
        alone = assign_pistons([[table[h][p][h] for p in range(count)] for h in range(count)])
        assert found.proved
        assert is_one_of_each(found, table)
        assert found.range <= alone.range


def planted(count: int) -> Table:
    """Sums that can all be brought to 60 exactly, shuffled."""
    chance = random.Random(count)
    pistons, rods = ([chance.randrange(0, 4) for _ in range(count)] for _ in range(2))
    holes = [60 - p - r for p, r in zip(pistons, rods, strict=True)]
    for kind in (pistons, rods, holes):
        chance.shuffle(kind)
    return [[[float(h + p + r) for r in rods] for p in pistons] for h in holes]


@pytest.mark.parametrize("count", [8, 16])
def test_what_can_be_made_all_alike_is(count: int) -> None:
    found = assign_both(planted(count))
    assert (found.range, found.proved) == (0.0, True)


def test_a_search_given_up_says_what_cannot_be_beaten() -> None:
    """With few steps the answer stands, and the best of all is not under the floor that is stated."""
    best = {seed: assign_both(engine(6, seed), part=part).range for seed in range(6)}
    some_open = False
    for seed, least in best.items():
        for steps in (0, 3, 10, 40):
            found = assign_both(engine(6, seed), part=part, steps=steps)
            assert found.floor <= least * (1 + 1e-9) <= found.range * (1 + 2e-9)
            some_open = some_open or not found.proved
    assert some_open


def test_what_need_not_move_stays() -> None:
    """Exchanging the pistons of the two outer holes is enough; the others are where they were."""
    holes, pistons = [50.0, 51.0, 52.0, 51.5], [7.0, 8.0, 9.0, 7.5]
    found = assign_pistons([[h + p for p in pistons] for h in holes])
    assert [cell.piston for cell in found.cells] == [2, 1, 0, 3]
    rods = [0.0] * 4
    both = assign_both([[[h + p + r for r in rods] for p in pistons] for h in holes])
    assert [(cell.piston, cell.rod) for cell in both.cells] == [(2, 0), (1, 1), (0, 2), (3, 3)]


@pytest.mark.parametrize("look", [lambda v: v, part])
def test_nothing_possible_is_excluded_by_sums(look: Callable[[float], float]) -> None:
    """Every assignment fits the window of its own values, however little a sum the values are."""
    chance = random.Random(4)
    table = [[[look(chance.uniform(8, 12)) for _ in range(4)] for _ in range(4)] for _ in range(4)]
    sums = Sums(table)
    for pistons in permutations(range(4)):
        for rods in permutations(range(4)):
            values = [table[h][pistons[h]][rods[h]] for h in range(4)]
            assert sums.fit((1 << 12) - 1, min(values), max(values))
            rest = [1 << h | 1 << 4 + pistons[h] | 1 << 8 + rods[h] for h in (2, 3)]
            assert sums.fit(rest[0] | rest[1], min(values[2:]), max(values[2:]))


def test_a_window_too_low_or_too_high_is_excluded_by_sums() -> None:
    table = engine(4, 0)
    sums = Sums(table)
    everything = (1 << 12) - 1
    low, high = min(v for t in table for p in t for v in p), max(v for t in table for p in t for v in p)
    assert not sums.fit(everything, high, high)
    assert not sums.fit(everything, low, low)
