"""What each cut does to the inputs of one cylinder."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

from ccassist.analysis.cylinder import Cylinder
from ccassist.analysis.results import Survey
from ccassist.analysis.which_counts import OPENING
from ccassist.bench.cell import Profile
from ccassist.engine.skim import skim_for, skim_volume, unevenness, wall_limit
from ccassist.solve.question import FILL_READINGS
from ccassist.values.display import Formatter
from ccassist.values.findings import InputError, NotPossible, error
from ccassist.values.measured import Value
from ccassist.values.number import Number, nominal
from ccassist.values.uncertainty import ASSUMED, Cause, half_width
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import Origin, Shape

# What is known of one chamber at the head face, and so what a cut takes from it.

_ROUNDING = 1e-9
UPRIGHT = "opening × cut, the walls taken as upright: a wall that closes in loses less, and how far is only in the ±"
PAD = 0.5  # of the opening: no squish pad takes more of it (common practice, no source)
STAGES = "fill the chamber in stages (ccassist guide, step stages): they show how the walls lean"


def wall_doubt(
    opening: float, cut: float, chamber: float | None, *, whose: str, uneven: float = 0.0, pad: float | None = None
) -> Number:
    """What opening × cut may be out for walls that nobody measured [m³]: a guess, as its ± says.

    Opening [m²], cut [m], chamber [m³] or None; ``uneven`` : of a tilted cut round the edge, mean square [m²];
    ``pad`` : depth of a squish pad that lies back from the face [m], below which the cut takes pad too.
    """
    found: Number = 0.0
    leaning = wall_limit(opening, cut, chamber, uneven)
    for limit, what in (
        (leaning, "how the walls lean"),
        (PAD * opening * max(0.0, cut - pad) if pad else 0.0, "how much of it is squish pad"),
    ):
        cause = Cause(
            f"{whose}: {what} under the face",
            shape=Shape.RECTANGULAR,
            source="plane geometry; common practice, no source",
            remedy=STAGES,
            guess=ASSUMED,
            subject=f"chamber under its opening: {what}",
        )
        found = found + half_width(limit, cause) if limit > 0 else found
    return found


@record
class ChamberFace:
    """One chamber at its face.

    cylinder : its number; fmt : of what is said.
    area : open area at the face [m²], with its ±; None where not known.
    chamber : its volume [m³]; pad : how far a squish pad lies back from the face [m]; None where not known or none.
    """

    cylinder: int
    fmt: Formatter
    area: Number | None
    chamber: float | None = None
    pad: float | None = None

    @property
    def how(self) -> str:
        """By what a cut's volume is reckoned, in words."""
        return UPRIGHT

    @property
    def _face(self) -> Number:
        """The open area at the face, for whoever has made sure that it is known."""
        assert self.area is not None
        return self.area

    @property
    def reach(self) -> float:
        """The deepest cut that can be reckoned [m]."""
        return math.inf

    def volume(self, cut: Number, lean: float = 0.0) -> Number:
        """What a cut takes [m³]: its depth at the middle of the opening [m], and its slope where it is tilted.

        Raises NotPossible: it goes deeper than the chamber is known.
        """
        return skim_volume(self._face, cut) + self._doubt(nominal(cut), lean)

    def _doubt(self, cut: float, lean: float) -> Number:
        """How far upright walls may be wrong [m³]."""
        area, whose = nominal(self._face), f"cylinder {self.cylinder}"
        uneven = unevenness(area, lean)
        return wall_doubt(area, cut, self.chamber, whose=whose, uneven=uneven, pad=self.pad)

    def cut_for(self, volume: Number) -> Number:
        """The flat cut [m] that takes a volume [m³].

        Raises NotPossible: it would go deeper than the chamber is known.
        """
        cut = skim_for(volume, self._face)
        return cut - self._doubt(nominal(cut), 0.0) / nominal(self._face)

    def deepest(self, volume: float) -> float:
        """The flat cut [m] that takes a volume [m³], never deeper than can be reckoned."""
        return nominal(skim_for(volume, self._face))


@record
class Staged(ChamberFace):
    """A chamber that was filled level by level: what a cut takes is read off its profile."""

    profile: Profile

    @property
    def how(self) -> str:
        """By what a cut's volume is reckoned, in words."""
        return f"the stages of a fill, known down to {self._said(self.reach)}"

    @property
    def reach(self) -> float:
        """The deepest level that every run reached [m]."""
        return self.profile.deepest

    def volume(self, cut: Number, lean: float = 0.0) -> Number:
        """As :meth:`Opening.volume`; raises NotPossible below the deepest stage."""
        if nominal(cut) > self.reach * (1 + _ROUNDING):
            raise NotPossible(
                f"cylinder {self.cylinder}: a cut of {self._said(nominal(cut))} goes deeper than the stages, which end "
                f"at {self._said(self.reach)}: nobody knows the wall there; fill it in deeper stages"
            )
        return self.profile.volume(cut) + self._tilted(nominal(cut), lean)

    def _tilted(self, cut: float, lean: float) -> Number:
        """What a tilted cut may take more or less than a flat one of that depth, where the walls lean [m³]."""
        if lean == 0:
            return 0.0
        step = self.reach / 20
        low, high = max(0.0, cut - step), min(self.reach, cut + step)
        lost = abs(nominal(self.profile.area(high)) - nominal(self.profile.area(low))) / (high - low)
        cause = Cause(
            f"cylinder {self.cylinder}: a tilted cut is not equally deep where the walls lean",
            shape=Shape.RECTANGULAR,
            source="plane geometry, for a round opening",
            remedy="measure the chamber again after the cut",
        )
        return half_width(lost * unevenness(nominal(self.profile.area(0.0)), lean) / 2, cause)

    def cut_for(self, volume: Number) -> Number:
        """As :meth:`Opening.cut_for`; raises NotPossible for more than lies above the deepest stage."""
        most = nominal(self.profile.volume(self.reach))
        if nominal(volume) > most * (1 + _ROUNDING):
            wanted, held = (self.fmt.show("fill_volume", v) for v in (nominal(volume), most))
            raise NotPossible(
                f"cylinder {self.cylinder}: {wanted} is more than the {held} that lie above the deepest stage, "
                f"{self._said(self.reach)} below the face; fill it in deeper stages"
            )
        return self.profile.cut_for(volume)

    def deepest(self, volume: float) -> float:
        """The flat cut [m] that takes a volume [m³], never deeper than the stages."""
        return self.profile.depth_for(volume)

    def _said(self, length: float) -> str:
        return self.fmt.show("face_cut", length)


def profile_of(survey: Survey, cylinder: Cylinder) -> Profile | None:
    """The stages of a cylinder's chamber, where they were made in the state in which its volume was measured."""
    used = [one for one in survey.reduced if cylinder.uses(one)]
    chambers = {one.cell.state for one in used if "chamber_volume" in one.values}
    found = [one.profile for one in used if one.profile is not None]
    return next((p for p in reversed(found) if not chambers or p.state in chambers), None)


def opening_if_known(survey: Survey, cylinder: Cylinder) -> ChamberFace | None:
    """What is known of a cylinder's chamber at the face: its stages, else its open area, else nothing."""
    values, profile = cylinder.values, profile_of(survey, cylinder)
    area, number, fmt = values.get("chamber_area"), cylinder.number, survey.fmt
    if profile is not None:
        return Staged(cylinder=number, fmt=fmt, area=area.number if area else profile.area(0.0), profile=profile)
    if area is None or area.nominal <= 0:
        return None
    chamber, step = (values[key].nominal if key in values else None for key in ("chamber_volume", "squish_step"))
    return ChamberFace(cylinder=number, fmt=fmt, area=area.number, chamber=chamber, pad=step)


def opening_of(survey: Survey, cylinder: Cylinder) -> ChamberFace:
    """What is known of a cylinder's chamber at the face: its stages, else its open area.

    Raises InputError: neither its opening nor stages were measured or stated.
    """
    found = opening_if_known(survey, cylinder)
    if found is None:
        name = term("chamber_area").name
        wrong = f"a cut from the head takes volume by the {name}, which is not given"
        right = 'chamber_area = "46 +/- 1 cm², measured" for the head, or fill the chamber in stages'
        at = f"cylinder {cylinder.number}"
        raise InputError(error("missing-value", wrong, right=right, place=at, file=survey.job.file))
    return found


Inputs = Mapping[str, Value]


@record
class Cuts:
    """What is done to one cylinder, SI; nothing is 0.

    skim : flat cut of the head [m]; tilt : depth of a tilted one at the centroid of the opening [m]; lean : its slope.
    deck : cut of the deck over this cylinder [m]; thinner : old less new gasket thickness [m].
    opened : volume ground out first [m³]; taken : volume that the cuts of the head take [m³].
    how : by what that volume is reckoned, in words.
    """

    skim: Number = 0.0
    tilt: Number = 0.0
    lean: float = 0.0
    deck: Number = 0.0
    thinner: Number = 0.0
    opened: Number = 0.0
    taken: Number = 0.0
    how: str = ""

    @property
    def head(self) -> Number:
        """What comes off the head at the middle of the chamber [m]."""
        return self.skim + self.tilt

    @property
    def approach(self) -> Number:
        """How much nearer head and piston come [m]."""
        return self.head + self.deck + self.thinner


def planned(key: str, number: Number, how: str) -> Value:
    """A value as it will be."""
    return Value(key, number, Origin.PLANNED, how=how)


def net_of_fill(cylinder: Cylinder) -> dict[str, Value]:
    """Its inputs; a fill over the piston is kept as what it found, so that the deck may move under it."""
    inputs = {k: v for k, v in cylinder.values.items() if k in cylinder.known}
    kept = cylinder.values.get("crown_volume") or cylinder.values.get("crown_and_deck_volume")
    if kept is None or not inputs.keys() & set(FILL_READINGS):
        return inputs
    rest = {k: v for k, v in inputs.items() if k not in FILL_READINGS}
    return {**rest, kept.key: planned(kept.key, kept.number, kept.how)}


def cut_deck(inputs: Inputs, cylinder: Cylinder, cut: Number) -> dict[str, Value]:
    """The deck comes down by the cut: less clearance, less block height, less space over the piston.

    Raises InputError: the job does not say where the piston stops.
    """
    keys = [key for key in ("deck_clearance", "block_deck_height") if key in inputs]
    if "deck_clearance" not in cylinder.values and "crown_and_deck_volume" not in inputs:
        wrong = f"a cut from the deck moves the {term('deck_clearance').name}, which is not known"
        at = f"cylinder {cylinder.number}"
        raise InputError(error("missing-value", wrong, right="measure it, or give the stack of lengths", place=at))
    found = {**inputs, **{k: planned(k, inputs[k].number - cut, "less the cut from the deck") for k in keys}}
    if "crown_and_deck_volume" in inputs and "bore_area" in cylinder.values:
        over = inputs["crown_and_deck_volume"].number - cylinder.values["bore_area"].number * cut
        found["crown_and_deck_volume"] = planned("crown_and_deck_volume", over, "less bore area × cut from the deck")
    return found


def fit_gasket(inputs: Inputs, cylinder: Cylinder, gasket: Mapping[str, Number]) -> tuple[dict[str, Value], Number]:
    """Another gasket: its thickness and, where said, its bore; and how much thinner it is [m].

    Raises InputError: the opening or the present thickness is not known.
    """
    place = f"cylinder {cylinder.number}"
    replaced = {k for key in gasket for k in (OPENING if key in OPENING else (key,))} | {"gasket_volume"}
    found = {k: v for k, v in inputs.items() if k not in replaced}
    found.update({key: planned(key, number, "of the gasket planned") for key, number in gasket.items()})
    if "gasket_volume" in inputs and not found.keys() & set(OPENING):
        wrong = "the gasket is given by its volume alone: another one needs the opening"
        right = f'gasket_bore = "{term("gasket_bore").example()}, measured"'
        raise InputError(error("missing-value", wrong, right=right, place=place))
    if "gasket_thickness" not in gasket:
        return found, 0.0
    old = cylinder.values.get("gasket_thickness")
    if old is None:
        wrong = f"the {term('gasket_thickness').name} fitted now is not known: nobody can say what moves"
        right = f'gasket_thickness = "{term("gasket_thickness").example()}, measured"'
        raise InputError(error("missing-value", wrong, right=right, place=place))
    return found, old.number - gasket["gasket_thickness"]


def cut_head(
    inputs: Inputs, cylinder: Cylinder, opening: ChamberFace | None, cuts: Cuts
) -> tuple[dict[str, Value], Cuts]:
    """The chamber opened first, then less what the cuts take; a squish pad that lies back comes nearer the face.

    Raises InputError: the chamber's volume is not known; NotPossible: the cut takes the whole chamber.
    """
    found = dict(inputs)
    chamber = inputs.get("chamber_volume")
    if chamber is None:
        wrong = f"the {term('chamber_volume').name} is not known"
        raise InputError(error("missing-value", wrong, right="fill it", place=f"cylinder {cylinder.number}"))
    if nominal(cuts.opened) != 0:
        found["chamber_volume"] = planned("chamber_volume", chamber.number + cuts.opened, "opened to the largest")
    if opening is None or nominal(cuts.head) == 0:
        return found, cuts
    taken = opening.volume(cuts.head, cuts.lean) + _ground_at_the_face(opening, cuts, chamber.nominal)
    left = found["chamber_volume"].number - taken
    if nominal(left) <= 0:
        raise NotPossible(f"cylinder {cylinder.number}: the cut takes the whole chamber")
    found["chamber_volume"] = planned("chamber_volume", left, "less what the cut takes")
    step = inputs.get("squish_step")
    if step is not None and step.nominal > 0:
        back = step.number - cuts.head
        how = "less the cut" if nominal(back) > 0 else "the cut reaches the pad: flush from then on"
        found["squish_step"] = planned("squish_step", back if nominal(back) > 0 else 0.0, how)
    return found, replace(cuts, taken=taken, how=opening.how)


def _ground_at_the_face(opening: ChamberFace, cuts: Cuts, chamber: float) -> Number:
    """What grinding a chamber open first may add to what a cut takes [m³]: nothing from its roof.

    From its walls, evenly all the way down, the opening grows as the chamber does; twice that is allowed for.
    """
    if nominal(cuts.opened) == 0:
        return 0.0
    cause = Cause(
        f"cylinder {opening.cylinder}: where the chamber is ground open, in its roof or at its face",
        shape=Shape.RECTANGULAR,
        source="plane geometry; common practice, no source",
        remedy="trace the opening again once it is ground",
        guess=ASSUMED,
        subject="opening of the chamber after grinding",
    )
    share = 2 * nominal(cuts.opened) / chamber
    return half_width(nominal(opening.volume(cuts.head, cuts.lean)) * share, cause)
