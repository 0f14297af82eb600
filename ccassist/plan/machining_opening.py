"""What is known of one chamber at the head face, and so what a cut takes from it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ccassist.findings import InputError, error
from ccassist.measured import Number, nominal
from ccassist.plan.machining import skim_for, skim_volume
from ccassist.results import Cylinder, Survey
from ccassist.terms import term

UPRIGHT = "opening × cut, the walls taken as upright: a wall that closes in with depth loses less"


@dataclass(frozen=True, kw_only=True)
class Opening:
    """One chamber at its face.

    Attributes
    ----------
    cylinder : its number; system : units of what is said.
    area : open area at the face [m²], with its ±; None where not known.
    """

    cylinder: int
    system: str
    area: Number | None

    @property
    def how(self) -> str:
        """By what a cut's volume is reckoned, in words."""
        return UPRIGHT

    @property
    def reach(self) -> float:
        """The deepest cut that can be reckoned [m]."""
        return math.inf

    def volume(self, cut: Number) -> Number:
        """What a flat cut [m] takes [m³].

        Raises
        ------
        NotPossible : it goes deeper than the chamber is known.
        """
        return skim_volume(self.area, cut)

    def cut_for(self, volume: Number) -> Number:
        """The flat cut [m] that takes a volume [m³].

        Raises
        ------
        NotPossible : it would go deeper than the chamber is known.
        """
        return skim_for(volume, self.area)

    def deepest(self, volume: float) -> float:
        """The flat cut [m] that takes a volume [m³], never deeper than can be reckoned."""
        return nominal(skim_for(volume, self.area))


def opening_of(survey: Survey, cylinder: Cylinder) -> Opening:
    """What is known of a cylinder's chamber at the face.

    Raises
    ------
    InputError : neither its opening nor stages were measured or stated.
    """
    area = cylinder.values.get("chamber_area")
    if area is None or area.nominal <= 0:
        name = term("chamber_area").name
        wrong = f"a cut from the head takes volume by the {name}, which is not given"
        right = 'chamber_area = "46 +/- 1 cm², measured" for the head: trace it, or weigh a cut-out'
        at = f"cylinder {cylinder.number}"
        raise InputError(error("missing-value", wrong, right=right, place=at, file=survey.job.file))
    return Opening(cylinder=cylinder.number, system=survey.job.system, area=area.number)
