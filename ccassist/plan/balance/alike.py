"""Making every cylinder alike: how much to open, whether to swap, how far to skim.

Metal cannot be put back, so the largest is left alone and the others are
opened to it.  What two cylinders share cancels in the difference between
them, and a difference that the measurement does not show is left alone.  The
largest and the smallest are picked after looking, so that what is shown is
judged by the studentized range for as many cylinders as there are.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from ccassist.analysis.cylinder import Cylinder
from ccassist.analysis.results import Survey
from ccassist.plan.balance.parts import Swap, best_swap
from ccassist.plan.machining.opening import opening_if_known
from ccassist.values.findings import NotPossible
from ccassist.values.measured import Number, nominal
from ccassist.values.spread import Spread, apart, spread_of
from ccassist.vocabulary import term

SHY = 0.3e-6  # m³ left standing before measuring again; common practice, no source


@dataclass(frozen=True, kw_only=True)
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


@dataclass(frozen=True, kw_only=True)
class Skim:
    """The flat cut that brings all to what is wanted: volume [m³], and cut [m]; or what is lacking to tell it."""

    volume: Number
    cut: Number | None
    lacking: str = ""


@dataclass(frozen=True, kw_only=True)
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
        from ccassist.plan.balance.data import to_dict

        return to_dict(self)


def balance(survey: Survey) -> Balance:
    """The plan for a survey: by clearance volume where every cylinder has it, else by chamber.

    Raises
    ------
    NotPossible : fewer than two cylinders have either.
    """
    for key in ("clearance_volume", "chamber_volume"):
        having = [c for c in survey.cylinders if key in c.values]
        if len(having) > 1 and (key == "chamber_volume" or len(having) == len(survey.cylinders)):
            break
    else:
        raise NotPossible("there is nothing to balance: fewer than two chambers are measured")
    largest = max(having, key=lambda c: c.values[key].nominal)
    openings = tuple(
        Opening(cylinder=c.number, amount=largest.values[key].number - c.values[key].number, count=len(having))
        for c in having
        if c is not largest
    )
    spread = spread_of(key, [(c.number, c.values[key]) for c in having])
    assert spread is not None
    return Balance(
        key=key,
        largest=largest.number,
        openings=openings,
        spread=spread,
        swap=best_swap(having),
        skim=_skim(survey, key, largest),
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
