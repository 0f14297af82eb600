"""Making every cylinder alike: how much to open, whether to swap, how far to skim.

Metal cannot be put back, so the largest is left alone and the others are opened to it.  What two cylinders share
cancels in the difference between them, and a difference that the measurement does not show is left alone.  The largest
and the smallest are picked after looking, so that what is shown is judged by the studentized range for as many
cylinders as there are.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any, cast

from ccassist.analysis.cylinder import Cylinder
from ccassist.analysis.results import Survey
from ccassist.engine.mathematics import FLOATS, Mathematics, uncertain
from ccassist.engine.model import RELATIONS, build
from ccassist.job.vocabulary import CHOICE_TERMS
from ccassist.plan.assign import Assignment, HoleFilled, assign_both, assign_pistons
from ccassist.plan.combine.candidates import STACK, inputs_of
from ccassist.plan.machining.cuts import opening_if_known
from ccassist.values.display import Formatter
from ccassist.values.findings import NotPossible
from ccassist.values.measured import computed, ground_to_dict, known
from ccassist.values.number import N, Number, nominal
from ccassist.values.uncertainty import expand
from ccassist.values.verdict import Spread, apart, is_shown, spread_of
from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import Origin

# Which of an engine's own pistons and rods go to which hole, so that its cylinders come out most alike.
#
# A piston takes with it whatever was found of it by itself (crown, compression height, land), a rod its length;
# everything else stays with its hole.  What is known by one figure for several pistons tells nothing between them and
# stays.

# What is made alike, the first that every cylinder has -> what of it is nearly a sum of hole, piston and rod.
MADE_ALIKE: Mapping[str, Callable[[float], float]] = {
    "static_ratio": lambda ratio: 1 / (ratio - 1),
    "clearance_volume": float,
}


@record
class HoleMove:
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

    pistons, rods : the terms that travel with a piston and with a rod; none where these stay.
    before, after : largest less smallest.
    """

    key: str  # the term made alike: static ratio, or clearance volume where there is none
    moves: tuple[HoleMove, ...]  # one a hole
    pistons: tuple[str, ...]
    rods: tuple[str, ...]
    before: Spread
    after: Spread
    floor: float  # no assignment has less [SI]
    proved: bool  # whether that is what this one has

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
        moves=tuple(HoleMove(hole=numbers[c.hole], piston=numbers[c.piston], rod=numbers[c.rod]) for c in found.cells),
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
        cells = tuple(HoleFilled(c.value, c.hole, c.hole, c.piston) for c in found.cells)
        return replace(found, cells=cells)

    def value(self, hole: int, piston: int, rod: int) -> float:
        """What one hole gives with a piston and a rod, as a plain number."""
        known = self._fitted(self.plain, hole, piston, rod, FLOATS)
        return float(build(known, self.cylinders[hole].choices).evaluate(known)[self.key])

    def number(self, cell: HoleFilled) -> Number:
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


MARGIN = 0.3e-6  # m³ left standing before measuring again; common practice, no source


@record
class VolumeToOpen:
    """What one cylinder needs to match the largest: the amount [m³] and whether it is shown at all."""

    cylinder: int
    amount: Number
    count: int = 2  # of how many the largest was picked after looking

    @property
    def expanded(self) -> float:
        """Expanded uncertainty of the amount at 95 % [m³]; NaN where it is not known."""
        return apart(self.amount, self.count)

    @property
    def shown(self) -> bool:
        """Whether the difference is larger than its ±."""
        return nominal(self.amount) > self.expanded

    @property
    def first_cut(self) -> float:
        """What to open before measuring again [m³]: shy of the amount, never under nothing."""
        return max(0.0, nominal(self.amount) - MARGIN) if self.shown else 0.0

    def texts(self, fmt: Formatter) -> tuple[str, str]:
        """How much smaller it is than the largest, and what to do first."""
        amount = fmt.show("correction", nominal(self.amount), self.expanded or None)
        if math.isnan(self.expanded):
            return amount, "measure again"
        if not self.shown:
            return amount, "leave: none shown"
        return amount, fmt.show("correction", self.first_cut) if self.first_cut > 0 else "creep up"


@record
class Skim:
    """The flat cut that brings all to what is wanted: volume [m³], and cut [m]; or what is lacking to tell it."""

    volume: Number
    cut: Number | None
    lacking: str = ""


@record
class Balance:
    """The plan: of which term, the largest cylinder, how far apart all are, the openings, a swap and a skim.

    ``spread.expanded`` is the least spread that the measurement can show.
    """

    key: str
    largest: int
    openings: tuple[VolumeToOpen, ...]
    spread: Spread
    swap: Swap | None
    skim: Skim | None

    def to_dict(self) -> dict[str, Any]:
        """Plain data, SI; a ± that is not known yet is null."""
        skim = self.skim
        return {
            "format": 1,
            "of": self.key,
            "largest": self.largest,
            "openings": [
                {
                    "cylinder": o.cylinder,
                    "value": nominal(o.amount),
                    "expanded_uncertainty": known(o.expanded),
                    **ground_to_dict(o.amount),
                    "shown": o.shown,
                    "first_cut": o.first_cut,
                }
                for o in self.openings
            ],
            "spread": _spread(self.spread),
            "swap": None if self.swap is None else _swap(self.swap),
            "skim": skim and {"volume": _number(skim.volume), "cut": None if skim.cut is None else _number(skim.cut)},
        }


def balance(survey: Survey) -> Balance:
    """The plan for a survey: by clearance volume where every cylinder has it, else by chamber.

    Raises NotPossible: fewer than two cylinders have either.
    """
    key, having = balanced(survey)
    largest = max(having, key=lambda c: c.values[key].nominal)
    spread = spread_of(key, [(c.number, c.values[key]) for c in having])
    assert spread is not None
    return Balance(
        key=key,
        largest=largest.number,
        openings=openings(key, having),
        spread=spread,
        swap=best_swap(having),
        skim=_skim(survey, key, largest),
    )


def balanced(survey: Survey) -> tuple[str, list[Cylinder]]:
    """By which volume the cylinders are made alike, and those that have it.

    Raises NotPossible: fewer than two cylinders have either.
    """
    for key in ("clearance_volume", "chamber_volume"):
        having = [c for c in survey.cylinders if key in c.values]
        if len(having) > 1 and (key == "chamber_volume" or len(having) == len(survey.cylinders)):
            return key, having
    raise NotPossible("there is nothing to balance: fewer than two chambers are measured")


def openings(key: str, having: Sequence[Cylinder]) -> tuple[VolumeToOpen, ...]:
    """What each of the others needs to match the largest."""
    largest = max(having, key=lambda c: c.values[key].nominal)
    return tuple(
        VolumeToOpen(cylinder=c.number, amount=largest.values[key].number - c.values[key].number, count=len(having))
        for c in having
        if c is not largest
    )


def _skim(survey: Survey, key: str, largest: Cylinder) -> Skim | None:
    """What a flat cut must take once all are as large as the largest, to reach what is wanted."""
    aim = _aim(survey, key, largest)
    if aim is None:
        return None
    excess = largest.values[key].number - aim
    if nominal(excess) <= 0:
        return None
    opening = opening_if_known(survey, largest)
    if opening is None:
        lacking = "give chamber_area (the opening at the face), or fill the chamber in stages, to turn that into a cut"
        return Skim(volume=excess, cut=None, lacking=lacking)
    try:
        return Skim(volume=excess, cut=opening.cut_for(excess))
    except NotPossible as refused:
        return Skim(volume=excess, cut=None, lacking=str(refused))


def _aim(survey: Survey, key: str, largest: Cylinder) -> Number | None:
    """The volume wanted: stated outright, or what the wanted ratio asks for."""
    if key in survey.wanted:
        return survey.wanted[key].aim
    ratio = survey.wanted.get("static_ratio")
    if ratio is None or key != "clearance_volume" or "swept_volume" not in largest.values:
        return None
    return largest.values["swept_volume"].number / (ratio.aim - 1)


def move_text(move: HoleMove, swap: Swap) -> str:
    """One move, such as "piston 3 with rod 1 to hole 2"."""
    if not swap.rods:
        return f"piston {move.piston} to hole {move.hole}"
    if not swap.pistons:
        return f"rod {move.rod} to hole {move.hole}"
    return f"piston {move.piston} with rod {move.rod} to hole {move.hole}"


# Of the plan as plain data for JSON, SI.


def _number(value: Number) -> dict[str, Any]:
    return {"value": nominal(value), "expanded_uncertainty": known(expand(value).expanded), **ground_to_dict(value)}


def _spread(spread: Spread) -> dict[str, Any]:
    least = known(spread.expanded)
    return {
        "of": spread.key,
        "largest": spread.high,
        "smallest": spread.low,
        "value": nominal(spread.difference),
        "expanded_uncertainty": least,
        **ground_to_dict(spread.difference),
        "picked_from": spread.count,
        "judged_by": "studentized range" if spread.count > 2 else "Student's t",
        "shown": is_shown(spread) if least is not None else None,
        "least_that_can_be_shown": least or None,
    }


def _swap(swap: Swap) -> dict[str, Any]:
    return {
        "of": swap.key,
        "helps": swap.helps,
        "piston_of_hole": {str(m.hole): m.piston for m in swap.moves},
        "rod_of_hole": {str(m.hole): m.rod for m in swap.moves},
        "moves": [move_text(m, swap) for m in swap.moves if not m.stays],
        "before": _spread(swap.before),
        "after": _spread(swap.after),
        "proved_best": swap.proved,
        "cannot_be_under": swap.floor,
    }
