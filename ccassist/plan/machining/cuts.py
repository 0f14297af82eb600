"""What each cut does to the inputs of one cylinder."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from ccassist.analysis.cylinder import Cylinder
from ccassist.analysis.precedence import OPENING
from ccassist.plan.machining.opening import Opening
from ccassist.solve.question import FILL_READINGS
from ccassist.values.findings import InputError, NotPossible, error
from ccassist.values.measured import ASSUMED, Cause, Number, Value, half_width, nominal
from ccassist.vocabulary import term
from ccassist.vocabulary.invented import METRIC

Inputs = Mapping[str, Value]


@dataclass(frozen=True, kw_only=True)
class Cuts:
    """What is done to one cylinder, SI; nothing is 0.

    Attributes
    ----------
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
    return Value(key=key, number=number, origin="planned", how=how)


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

    Raises
    ------
    InputError : the job does not say where the piston stops.
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

    Raises
    ------
    InputError : the opening or the present thickness is not known.
    """
    place = f"cylinder {cylinder.number}"
    replaced = {k for key in gasket for k in (OPENING if key in OPENING else (key,))} | {"gasket_volume"}
    found = {k: v for k, v in inputs.items() if k not in replaced}
    found.update({key: planned(key, number, "of the gasket planned") for key, number in gasket.items()})
    if "gasket_volume" in inputs and not found.keys() & set(OPENING):
        wrong = "the gasket is given by its volume alone: another one needs the opening"
        right = f'gasket_bore = "{METRIC["gasket_bore"]}, measured"'
        raise InputError(error("missing-value", wrong, right=right, place=place))
    if "gasket_thickness" not in gasket:
        return found, 0.0
    old = cylinder.values.get("gasket_thickness")
    if old is None:
        wrong = f"the {term('gasket_thickness').name} fitted now is not known: nobody can say what moves"
        raise InputError(
            error(
                "missing-value",
                wrong,
                right=f'gasket_thickness = "{METRIC["gasket_thickness"]}, measured"',
                place=place,
            )
        )
    return found, old.number - gasket["gasket_thickness"]


def cut_head(inputs: Inputs, cylinder: Cylinder, opening: Opening | None, cuts: Cuts) -> tuple[dict[str, Value], Cuts]:
    """The chamber opened first, then less what the cuts take; a squish pad that lies back comes nearer the face.

    Raises
    ------
    InputError : the chamber's volume is not known; NotPossible : the cut takes the whole chamber.
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


def _ground_at_the_face(opening: Opening, cuts: Cuts, chamber: float) -> Number:
    """What grinding a chamber open first may add to what a cut takes [m³]: nothing from its roof.

    From its walls, evenly all the way down, the opening grows as the chamber does; twice that is allowed for.
    """
    if nominal(cuts.opened) == 0:
        return 0.0
    cause = Cause(
        name=f"cylinder {opening.cylinder}: where the chamber is ground open, in its roof or at its face",
        shape="rectangular",
        source="plane geometry; common practice, no source",
        remedy="trace the opening again once it is ground",
        guess=ASSUMED,
        subject="opening of the chamber after grinding",
    )
    share = 2 * nominal(cuts.opened) / chamber
    return half_width(nominal(opening.volume(cuts.head, cuts.lean)) * share, cause)
