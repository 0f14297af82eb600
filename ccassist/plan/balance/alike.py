"""Making every cylinder alike: how much to open, whether to swap, how far to skim.

Metal cannot be put back, so the largest is left alone and the others are
opened to it.  What two cylinders share cancels in the difference between
them, and a difference that the measurement does not show is left alone.  The
largest and the smallest are picked after looking, so that what is shown is
judged by the studentized range for as many cylinders as there are.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from ccassist.analysis.cylinder import Cylinder
from ccassist.analysis.results import Survey
from ccassist.plan.balance.parts import Move, Swap, best_swap
from ccassist.plan.machining.cuts import opening_if_known
from ccassist.values.findings import NotPossible
from ccassist.values.measured import ground_to_dict, known
from ccassist.values.number import Number, nominal
from ccassist.values.uncertainty import expand
from ccassist.values.verdict import Spread, apart, is_shown, spread_of
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record

SHY = 0.3e-6  # m³ left standing before measuring again; common practice, no source


@record
class Opening:
    """What one cylinder needs to match the largest: the amount [m³] and whether it is shown at all.

    ``count`` : of how many the largest was picked after looking.
    """

    cylinder: int
    amount: Number
    count: int = 2

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
        return max(0.0, nominal(self.amount) - SHY) if self.shown else 0.0


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
    openings: tuple[Opening, ...]
    spread: Spread
    swap: Swap | None
    skim: Skim | None

    def to_dict(self) -> dict[str, Any]:
        """Plain data, SI; a ± that is not known yet is null."""
        return to_dict(self)


def balance(survey: Survey) -> Balance:
    """The plan for a survey: by clearance volume where every cylinder has it, else by chamber.

    Raises
    ------
    NotPossible : fewer than two cylinders have either.
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

    Raises
    ------
    NotPossible : fewer than two cylinders have either.
    """
    for key in ("clearance_volume", "chamber_volume"):
        having = [c for c in survey.cylinders if key in c.values]
        if len(having) > 1 and (key == "chamber_volume" or len(having) == len(survey.cylinders)):
            return key, having
    raise NotPossible("there is nothing to balance: fewer than two chambers are measured")


def openings(key: str, having: Sequence[Cylinder]) -> tuple[Opening, ...]:
    """What each of the others needs to match the largest."""
    largest = max(having, key=lambda c: c.values[key].nominal)
    return tuple(
        Opening(cylinder=c.number, amount=largest.values[key].number - c.values[key].number, count=len(having))
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


def title(plan: Balance) -> str:
    """What is being balanced, in words."""
    return term(plan.key).name


# The plan of a balance as plain data for JSON, SI.


def move_text(move: Move, swap: Swap) -> str:
    """One move, such as "piston 3 with rod 1 to hole 2"."""
    if not swap.rods:
        return f"piston {move.piston} to hole {move.hole}"
    if not swap.pistons:
        return f"rod {move.rod} to hole {move.hole}"
    return f"piston {move.piston} with rod {move.rod} to hole {move.hole}"


def to_dict(plan: Balance) -> dict[str, Any]:
    """The plan as plain data, SI; a ± that is not known yet is null."""
    return {
        "format": 1,
        "of": plan.key,
        "largest": plan.largest,
        "openings": [
            {
                "cylinder": o.cylinder,
                "value": nominal(o.amount),
                "expanded_uncertainty": known(o.expanded),
                **ground_to_dict(o.amount),
                "shown": o.shown,
                "first_cut": o.first_cut,
            }
            for o in plan.openings
        ],
        "spread": _spread(plan.spread),
        "swap": None if plan.swap is None else _swap(plan.swap),
        "skim": None
        if plan.skim is None
        else {"volume": _number(plan.skim.volume), "cut": None if plan.skim.cut is None else _number(plan.skim.cut)},
    }


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
