"""Which of an engine's own pistons and rods go to which hole, so that its cylinders come out most alike.

A piston takes with it whatever was found of it by itself (crown, compression
height, land), a rod its length; everything else stays with its hole.  What is
known by one figure for several pistons tells nothing between them and stays.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import cast

from ccassist.analysis.cylinder import Cylinder
from ccassist.engine.mathematics import FLOATS, Mathematics, uncertain
from ccassist.engine.model import RELATIONS, build
from ccassist.job.vocabulary import CHOICE_TERMS
from ccassist.plan.balance.assign import Assignment, Cell, assign_both, assign_pistons
from ccassist.plan.combine.candidates import STACK, inputs_of
from ccassist.values.measured import computed
from ccassist.values.number import N, Number, nominal
from ccassist.values.verdict import Spread, spread_of
from ccassist.vocabulary.enumerations import Origin
from ccassist.vocabulary.record import record

# What is made alike, the first that every cylinder has -> what of it is nearly a sum of hole, piston and rod.
MADE_ALIKE: Mapping[str, Callable[[float], float]] = {
    "static_ratio": lambda ratio: 1 / (ratio - 1),
    "clearance_volume": float,
}


@record
class Move:
    """One hole and what goes into it, by cylinder numbers."""

    hole: int
    piston: int
    rod: int

    @property
    def stays(self) -> bool:
        """Whether everything is where it was."""
        return self.hole == self.piston == self.rod


@record
class Swap:
    """The best assignment.

    Attributes
    ----------
    key : the term made alike: static ratio, or clearance volume where there is none.
    moves : one a hole.
    pistons, rods : the terms that travel with a piston and with a rod; none where these stay.
    before, after : largest less smallest.
    floor : no assignment has less [SI].
    proved : whether that is what this one has.
    """

    key: str
    moves: tuple[Move, ...]
    pistons: tuple[str, ...]
    rods: tuple[str, ...]
    before: Spread
    after: Spread
    floor: float
    proved: bool

    @property
    def helps(self) -> bool:
        """Whether anything is to be moved."""
        return not all(move.stays for move in self.moves)


def best_swap(cylinders: Sequence[Cylinder]) -> Swap | None:
    """The best assignment of pistons and rods; None where nothing was found of each by itself to sort them by."""
    key = next((k for k in MADE_ALIKE if all(k in c.values for c in cylinders)), None)
    pistons, rods = (_own_terms(cylinders, kind) for kind in ("pistons", "rods"))
    if key is None or not (pistons or rods) or not all("crown_volume" in c.values for c in cylinders):
        return None
    fitted = Fitted(cylinders, pistons, rods, key)
    try:
        found = fitted.assigned()
    except (ValueError, ZeroDivisionError):
        return None  # some exchange gives no engine at all
    after = [(c.number, computed(key, fitted.number(cell))) for c, cell in zip(cylinders, found.cells, strict=True)]
    spreads = [spread_of(key, [(c.number, c.values[key]) for c in cylinders]), spread_of(key, after)]
    before, then = (spread for spread in spreads if spread is not None)
    numbers = [c.number for c in cylinders]
    return Swap(
        key=key,
        moves=tuple(Move(hole=numbers[c.hole], piston=numbers[c.piston], rod=numbers[c.rod]) for c in found.cells),
        pistons=pistons,
        rods=rods,
        before=before,
        after=then,
        floor=found.floor,
        proved=found.proved,
    )


def _own_terms(cylinders: Sequence[Cylinder], kind: str) -> tuple[str, ...]:
    """The terms of a kind of part that were found of each by itself."""
    return tuple(key for key in CHOICE_TERMS[kind] if _each_by_itself(cylinders, key))


def _each_by_itself(cylinders: Sequence[Cylinder], key: str) -> bool:
    """Whether a term was found of each: one figure, or one fill, that stands for several tells nothing between them."""
    if not all(key in c.values for c in cylinders):
        return False
    worked_out = cylinders[0].values[key].origin == Origin.COMPUTED
    if worked_out and key != "crown_volume":
        return False
    found = [c.values.get("crown_fill", c.values[key]) if worked_out else c.values[key] for c in cylinders]
    return len({id(value.number) for value in found}) == len(found)


class Fitted:
    """A set of cylinders whose pistons and rods may change places."""

    def __init__(self, cylinders: Sequence[Cylinder], pistons: Sequence[str], rods: Sequence[str], key: str) -> None:
        self.cylinders, self.pistons, self.rods, self.key = cylinders, pistons, rods, key
        self.known = [inputs_of(c) for c in cylinders]
        self.plain = [{k: nominal(n) for k, n in known.items()} for known in self.known]

    def assigned(self) -> Assignment:
        """The best assignment, by the plain numbers."""
        span = range(len(self.known))
        if self.pistons and self.rods:
            table = [[[self.value(h, p, r) for r in span] for p in span] for h in span]
            return assign_both(table, part=MADE_ALIKE[self.key])
        if self.pistons:
            return assign_pistons([[self.value(h, p, h) for p in span] for h in span])
        found = assign_pistons([[self.value(h, h, r) for r in span] for h in span])
        cells = tuple(Cell(c.value, c.hole, c.hole, c.piston) for c in found.cells)
        return replace(found, cells=cells)

    def value(self, hole: int, piston: int, rod: int) -> float:
        """What one hole gives with a piston and a rod, as a plain number."""
        known = self._fitted(self.plain, hole, piston, rod, FLOATS)
        return float(build(known, self.cylinders[hole].choices).evaluate(known)[self.key])

    def number(self, cell: Cell) -> Number:
        """The same with its ±."""
        known = self._fitted(self.known, cell.hole, cell.piston, cell.rod, uncertain())
        plain = {key: nominal(number) for key, number in known.items()}
        return build(plain, self.cylinders[cell.hole].choices).evaluate(known, uncertain())[self.key]

    def _fitted(
        self, known: Sequence[Mapping[str, N]], hole: int, piston: int, rod: int, m: Mathematics
    ) -> dict[str, N]:
        """The inputs of a hole with another piston and rod; a deck clearance measured moves by the difference."""
        own = known[hole]
        new = {
            **own,
            **{key: known[piston][key] for key in self.pistons},
            **{key: known[rod][key] for key in self.rods},
        }
        if "deck_clearance" in own and (piston != hole or rod != hole):
            new["deck_clearance"] = own["deck_clearance"] + (_stack(new, m) - _stack(own, m))
        return new


def _stack(known: Mapping[str, N], m: Mathematics) -> N:
    """Deck clearance on a block of no height; what is not given is the same before and after, and cancels."""
    nothing = cast(N, 0.0)
    offset = nominal(known.get("pin_offset", 0.0)) != 0
    name = "deck_clearance_offset" if offset and "rod_length" in known else "deck_clearance_centred"
    return RELATIONS[name]({**dict.fromkeys(STACK, nothing), **known, "block_deck_height": nothing}, m)
