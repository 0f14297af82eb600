"""Every combination of the parts on offer: what cannot be built is counted, the rest ranked.

The combinations run as arrays, one axis a kind of part, through the same relations as everything else.  They are worked
out a block at a time and only the best are kept, so that a million of them need no more memory than a few; the ± is
found for the ones kept, from the uncertain numbers themselves.  Where none is left, a second pass looks for those that
were refused for the least.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from itertools import product
from typing import Any

import numpy as np
import numpy.typing as npt

from ccassist.boost.figures import OCTANE
from ccassist.engine.mathematics import arrays, uncertain
from ccassist.engine.model import RESULTS, Model, build, lacking_for
from ccassist.engine.skim import skimmed
from ccassist.job.vocabulary import OPEN_TERMS
from ccassist.plan.boost.against import NEEDS, NO_BOOST
from ccassist.plan.combine.candidates import (
    APART,
    HOPELESS,
    SMALL,
    STACK,
    Aim,
    Candidates,
    Group,
    Option,
    RefusalRule,
    refusals,
    weight_changes,
)
from ccassist.plan.combine.octane import OctaneTable
from ccassist.solve.question import dependents
from ccassist.values.findings import Finding, InputError, error, listed
from ccassist.values.measured import Value
from ccassist.values.number import nominal
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import Origin

# A large table of combinations cut into blocks that fit into memory.


def blocks(lengths: Sequence[int], most: int) -> Iterator[tuple[slice, ...]]:
    """Blocks of a table, in the order of its cells, none with more than ``most`` of them.

    The last axes are kept whole as long as they fit, the next one is cut into pieces, and of the first ones each place
    is taken by itself.

    >>> [tuple((s.start, s.stop) for s in block) for block in blocks([2, 3], 4)]
    [((0, 1), (0, 3)), ((1, 2), (0, 3))]
    """
    steps: list[int] = []
    room = max(1, most)
    for length in reversed(lengths):
        step = min(length, room)
        steps.append(step)
        room = room // length if step == length else 1
    ranges = [range(0, length, step) for length, step in zip(lengths, reversed(steps), strict=True)]
    for starts in product(*ranges):
        ends = (min(s + r.step, n) for s, r, n in zip(starts, ranges, lengths, strict=True))
        yield tuple(slice(start, end) for start, end in zip(starts, ends, strict=True))


# The best of very many, taken in a block at a time.

Array = npt.NDArray[Any]


@dataclass(kw_only=True)
class Kept:
    """The best so far: distances and flat positions, in order of both; what is infinitely far is never kept."""

    most: int
    distances: Array = field(default_factory=lambda: np.empty(0))
    places: Array = field(default_factory=lambda: np.empty(0, dtype=np.int64))

    def add(self, distances: Array, places: Callable[[Array], Array]) -> None:
        """Take in a block; what cannot come among the best is never looked at again."""
        worst = self.distances[-1] if len(self.distances) == self.most else math.inf
        able = np.flatnonzero((distances <= worst) & np.isfinite(distances))
        if len(able) > self.most:
            border = np.partition(distances[able], self.most - 1)[self.most - 1]
            nearer, level = able[distances[able] < border], able[distances[able] == border]
            able = np.sort(np.concatenate([nearer, level[: self.most - len(nearer)]]))
        if len(able) == 0:
            return
        joined = np.concatenate([self.distances, distances[able]])
        where = np.concatenate([self.places, places(able)])
        order = np.lexsort((where, joined))[: self.most]
        self.distances, self.places = joined[order], where[order]


BLOCK = 1 << 16  # combinations worked out at once: the arrays of one block stay in the processor's cache
MOST = 10**9  # combinations; more would take hours
NEAREST = 5  # of those refused, shown where none is left
Slices = Sequence[slice]
Progress = Callable[[int, int], None]


@record
class Combination:
    """One combination kept: its parts, every term with its ±, and how far it is from what is wanted (0 is on it)."""

    parts: tuple[Option, ...]
    values: Mapping[str, Value]
    distance: float
    lacking: Mapping[str, tuple[str, ...]]
    open: tuple[str, ...] = ()  # what of the piston is not chosen yet
    weights: Mapping[str, Value] = field(default_factory=dict)


@record
class Combined:
    """All combinations."""

    count: int  # how many
    refused: Mapping[str, int]  # how many were refused, by the first reason of each; the commonest first
    best: tuple[Combination, ...]  # the best of those left
    nearest: tuple[Combination, ...] = ()  # where none is left, those that break the fewest rules by the least
    aims: tuple[Aim, ...] = ()  # what was wanted of them

    @property
    def left(self) -> int:
        """How many were not refused."""
        return self.count - sum(self.refused.values())


def combine(
    offered: Candidates,
    aims: Sequence[Aim] = (),
    *,
    top: int = 20,
    block: int = BLOCK,
    progress: Progress | None = None,
) -> Combined:
    """Work out every combination.

    offered : the parts, and the engine that they would be fitted to.
    aims : what limits and ranks; without any that ranks, the order is that of the lists.
    top : how many of the best to keep.
    block : most combinations worked out at once.
    progress : called with how many are done and how many there are.

    Raises InputError: too many combinations, or something that is wanted cannot be worked out.
    """
    count = math.prod(offered.lengths)
    if count > MOST:
        raise InputError(error("too-many", f"{count} combinations, and {MOST} are the most", right="list fewer parts"))
    refused = Counter[str]()

    def rated(table: _GroupTable, slices: Slices) -> Array:
        distances, reasons = table.judge(slices)
        refused.update(reasons)
        return distances

    kept = _sifted(offered, aims, rated, most=top, block=block, progress=progress)
    best = [_worked_out(offered, *one) for one in kept]
    order = [reason for reason, _ in refused.most_common()]
    missed = [] if best else _sifted(offered, aims, _GroupTable.misses, most=NEAREST, block=block, progress=progress)
    return Combined(
        count=count,
        refused={reason: refused[reason] for reason in order},
        best=tuple(best),
        nearest=tuple(_worked_out(offered, *one) for one in missed),
        aims=tuple(aims),
    )


def _sifted(
    offered: Candidates,
    aims: Sequence[Aim],
    rated: Callable[[_GroupTable, Slices], Array],
    *,
    most: int,
    block: int,
    progress: Progress | None,
) -> list[tuple[int, float]]:
    """The flat places of the combinations rated lowest, with their ratings, a block at a time."""
    kept, done, count = Kept(most=most), 0, math.prod(offered.lengths)
    octane = _octane_table(offered, aims)
    for group in offered.groups():
        table = _GroupTable(offered, group, aims, octane)
        for slices in blocks([len(of) for of in group.members], block):
            ratings = rated(table, slices)
            kept.add(ratings.ravel(), partial(table.places, slices))
            done += ratings.size
            if progress:
                progress(done, count)
    return [(int(place), float(rating)) for place, rating in zip(kept.places, kept.distances, strict=True)]


def _octane_table(offered: Candidates, aims: Sequence[Aim]) -> OctaneTable | None:
    """For aims of the octane difference; raises InputError where there is nothing that it is counted from."""
    if all(aim.key != OCTANE for aim in aims):
        return None
    if isinstance(offered.knock, Finding):
        raise InputError(offered.knock)
    if offered.knock.run() is None:
        raise InputError(error("no-boost", "no octane difference: " + NO_BOOST))
    return OctaneTable(offered.knock)


class _GroupTable:
    """One group of combinations as arrays."""

    def __init__(self, offered: Candidates, group: Group, aims: Sequence[Aim], octane: OctaneTable | None) -> None:
        self.offered, self.group, self.aims, self.octane = offered, group, aims, octane
        self.base = {key: nominal(number) for key, number in group.base.items()}
        self.columns: list[dict[str, Array]] = []
        for axis, of, keys in zip(offered.axes, group.members, group.given, strict=True):
            self.columns.append({key: np.array([axis[i].values[key].nominal for i in of]) for key in keys})
        self.models: dict[bool | None, Model] = {}  # by whether the piston is proud: the deck volume depends on it

    def judge(self, slices: Slices) -> tuple[Array, Counter[str]]:
        """Distances from what is wanted (infinite where refused), and how many were refused for which reason."""
        shape = tuple(part.stop - part.start for part in slices)
        with np.errstate(all="ignore"):  # a crank that cannot turn has no number: that is looked for below
            values = self.values(slices)
            first = np.zeros(shape, dtype=np.uint8)
            names: list[str] = []
            for rule in (*self.apart(slices), *refusals(values, self.aims)):
                where = rule.broken
                if np.any(where):
                    names.append(rule.reason)
                    first[(first == 0) & where] = len(names)
            distances = self.distances(values, shape)
        distances[first > 0] = np.inf
        counts = np.bincount(first.ravel(), minlength=len(names) + 1)
        found: Counter[str] = Counter()
        for name, number in zip(names, counts[1:], strict=True):
            found[name] += int(number)  # a reason may stand twice
        return distances, +found

    def misses(self, slices: Slices) -> Array:
        """Root of the summed squares of 1 + steps beyond, over every rule broken; infinite where it is hopeless."""
        total = np.zeros(tuple(part.stop - part.start for part in slices))
        with np.errstate(all="ignore"):
            for rule in (*self.apart(slices), *refusals(self.values(slices), self.aims)):
                far = math.inf if rule.reason in HOPELESS else (1 + np.maximum(rule.beyond, 0) / rule.step) ** 2
                total += np.where(rule.broken, far, 0.0)
        return np.sqrt(np.where(np.isnan(total), np.inf, total))

    def apart(self, slices: Slices) -> list[RefusalRule]:
        """For each set of which one part is taken: whether another of its parts is not."""
        found = []
        for name in dict.fromkeys(one.together for axis in self.offered.axes for one in axis if one.together):
            some: Array = np.zeros([1] * len(slices), dtype=bool)
            every: Array = np.ones([1] * len(slices), dtype=bool)
            for place, (axis, of, part) in enumerate(zip(self.offered.axes, self.group.members, slices, strict=True)):
                if any(one.together == name for one in axis):
                    shape = [-1 if place == axis_number else 1 for axis_number in range(len(slices))]
                    taken = np.array([axis[i].together == name for i in of])[part].reshape(shape)
                    some, every = some | taken, every & taken
            found.append(RefusalRule(reason=APART, beyond=np.where(some & ~every, 1.0, -1.0), key=SMALL, step=1.0))
        return found

    def distances(self, values: Mapping[str, Any], shape: tuple[int, ...]) -> Array:
        """Root of the summed squares of how far each aim is missed, each in its own steps.

        Of a band that is only to be kept to, the outer half of it counts: what stands at its edge comes later.
        """
        total, ranked = np.zeros(shape), {aim.key for aim in self.aims if aim.ranks}
        for aim in self.aims:
            if aim.key not in values:
                continue
            far = np.abs(values[aim.key] - aim.band.aim) / aim.scale
            if aim.ranks:
                total += far**2
            elif aim.closed and aim.key not in ranked:
                total += np.maximum(0.0, 2 * far - 1) ** 2
        return np.sqrt(total)

    def places(self, slices: Slices, cells: Array) -> Array:
        """Flat positions, among all combinations, of cells of a block."""
        shape = tuple(part.stop - part.start for part in slices)
        inside = np.unravel_index(cells, shape)
        chosen = [np.array(of)[part][at] for of, part, at in zip(self.group.members, slices, inside, strict=True)]
        return np.ravel_multi_index(chosen, self.offered.lengths).astype(np.int64)

    def known(self, slices: Slices) -> dict[str, Any]:
        """The inputs of a block: each kind of part along its own axis, the skim made."""
        known: dict[str, Any] = dict(self.base)
        for axis, (columns, part) in enumerate(zip(self.columns, slices, strict=True)):
            shape = [1] * len(slices)
            shape[axis] = -1
            known.update({key: column[part].reshape(shape) for key, column in columns.items()})
        return skimmed(known, least=np.maximum)

    def values(self, slices: Slices) -> dict[str, Any]:
        """All terms of a block, the octane difference too where it is wanted and the ratio is known."""
        values = self.by_relations(slices)
        if self.octane is not None and values.keys() >= set(NEEDS):
            values[OCTANE] = self.octane.over(values)
        return values

    def by_relations(self, slices: Slices) -> dict[str, Any]:
        """Where the piston's standing proud calls for another relation, by that one."""
        known, shape = self.known(slices), tuple(part.stop - part.start for part in slices)
        proud = self.proud(known, shape)
        found: list[dict[str, Any]] = []
        for side, where in ((True, proud), (False, ~proud)):
            model = self.model(side, known, np.broadcast_to(where, shape)) if where.any() else None
            if model is not None:
                found.append(model.evaluate(known, arrays()))
        if not found:
            return {**known, "piston_travel": np.full(1, np.nan)}
        if len(found) == 1:
            return found[0]
        moved = ("deck_volume", *dependents(self.models[True], "deck_volume"))
        return {**found[1], **{key: np.where(proud, found[0][key], found[1][key]) for key in moved if key in found[0]}}

    def proud(self, known: Mapping[str, Any], shape: tuple[int, ...]) -> Array:
        """Where the piston stands proud and this calls for a relation of its own; nowhere where it does not."""
        nowhere: Array = np.zeros([1] * len(shape), dtype=bool)
        if self.offered.choices.crevice:
            return nowhere
        clearance = known.get("deck_clearance", 0.0)
        model = self.model(None, known, np.ones(shape, dtype=bool))
        deck = model.relation_of("deck_clearance") if model else None
        if model and deck:
            upto = Model(chain=model.chain[: model.chain.index(deck) + 1], fixed=model.fixed)
            clearance = upto.evaluate(known, arrays())["deck_clearance"]
        proud: Array = nowhere | (clearance < 0)
        return proud

    def model(self, side: bool | None, known: Mapping[str, Any], where: Array) -> Model | None:
        """The relations for the cells of one side of the deck, by the first cell for which an engine can be drawn."""
        if side not in self.models:
            spread = {key: np.broadcast_to(value, where.shape) for key, value in known.items()}
            for cell in np.argwhere(where):
                plain = {key: float(value[tuple(cell)]) for key, value in spread.items()}
                try:
                    self.models[side] = build(plain, self.offered.choices)
                except (ValueError, ZeroDivisionError):
                    continue
                _require(self.models[side], plain, self.offered, self.aims)
                break
        return self.models.get(side)


def _require(model: Model, known: Mapping[str, Any], offered: Candidates, aims: Sequence[Aim]) -> None:
    """That everything wanted, or at least the ratio, can be worked out, or could be with a piston yet to be chosen."""
    able = {*known, *model.fixed, *(step.gives for step in model.chain)}
    wanted = [key for aim in aims for key in (NEEDS if aim.key == OCTANE else (aim.key,))]
    for key in dict.fromkeys(wanted) or ("static_ratio",):
        needs = lacking_for(key, able) if key in RESULTS and key not in able else ()
        if key in able or (needs and set(needs) <= set(open_terms(known))):
            continue
        wrong = f"the {term(key).name} of these combinations cannot be worked out"
        right = "give it for the engine, or with every such part"
        if "deck_clearance" in needs and "deck_clearance" in offered.engine:
            moved = [term(lack).name for lack in STACK if lack not in known and lack != "block_deck_height"]
            wrong += ": the deck clearance given is that of other parts, and moves with crank, rod and piston"
            right = f"give the {listed(moved)} too, for the engine and with every such part"
        elif needs:
            wrong += f": not given: {', '.join(term(lack).name for lack in needs)}"
        raise InputError(error("missing-value", wrong, right=right))


def open_terms(known: Mapping[str, Any]) -> tuple[str, ...]:
    """What of the piston nobody has chosen yet: net crown volume and, where it would say the deck, its height."""
    deck = "deck_clearance" in known or "compression_height" in known
    crown = known.keys() & {"crown_volume", "crown_fill", "crown_and_deck_volume"}
    height = () if deck or "block_deck_height" not in known else ("compression_height", "deck_clearance")
    return (*(() if crown else ("crown_volume",)), *height)


def with_octane(offered: Candidates, found: Combined) -> Combined:
    """The rows, or the near misses, with their octane difference where there is a baseline that it is counted from."""
    if isinstance(offered.knock, Finding):
        return found
    rows = (*found.best, *found.nearest)
    octanes = offered.knock.compared([row.values for row in rows])
    made = tuple(
        row if isinstance(octane, str) else replace(row, values={**row.values, OCTANE: octane})
        for row, octane in zip(rows, octanes, strict=True)
    )
    return replace(found, best=made[: len(found.best)], nearest=made[len(found.best) :])


def _worked_out(offered: Candidates, place: int, distance: float) -> Combination:
    """One combination with its ±: the uncertain numbers through the relations that its own numbers call for."""
    places = [int(i) for i in np.unravel_index(place, offered.lengths)]
    parts = tuple(axis[i] for axis, i in zip(offered.axes, places, strict=True))
    known = offered.known(parts)
    model = build({key: nominal(number) for key, number in known.items()}, offered.choices)
    numbers = model.evaluate(known, uncertain())
    stated = {key: value.origin for part in parts for key, value in part.values.items()}
    computed = {step.gives for step in model.chain}
    values = {
        key: Value(key, number, Origin.COMPUTED if key in computed else stated.get(key, Origin.AS_THE_ENGINE))
        for key, number in numbers.items()
        if key not in model.fixed
    }
    return Combination(
        parts=parts,
        values=values,
        distance=distance,
        lacking=model.lacking,
        open=tuple(key for key in open_terms(known) if key in OPEN_TERMS),
        weights=weight_changes(offered, parts),
    )
