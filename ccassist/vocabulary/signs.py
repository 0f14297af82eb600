"""The words that stand for a sign, shared by the terms that need them."""

from __future__ import annotations

from ccassist.vocabulary.term import Sign


def sign(plus: str, minus: str, zero: str, says: str, *, bare_is_plus: bool = False) -> Sign:
    """A sign from its words, commas between; ``says`` is how plus, minus and nothing are shown, bars between."""
    says_plus, says_minus, says_zero = says.split(" | ")
    return Sign(
        plus=tuple(plus.split(", ")),
        minus=tuple(minus.split(", ")),
        zero=tuple(zero.split(", ")),
        says_plus=says_plus,
        says_minus=says_minus,
        says_zero=says_zero,
        bare_is_plus=bare_is_plus,
    )


def _event(mostly: str, else_: str, centre: str) -> Sign:
    """An event of the valves, which mostly comes on one side of a dead centre ("TDC" or "BDC")."""
    said = centre.lower()
    return sign(
        f"{mostly} {said}, {mostly[0]}{said}, {mostly}",
        f"{else_} {said}, {else_[0]}{said}, {else_}",
        f"at {said}, at the dead centre",
        f"{{}} {mostly} {centre} | {{}} {else_} {centre} | at {centre}",
        bare_is_plus=True,
    )


AFTER_TDC, AFTER_BDC = _event("after", "before", "TDC"), _event("after", "before", "BDC")
BEFORE_TDC, BEFORE_BDC = _event("before", "after", "TDC"), _event("before", "after", "BDC")
# fmt: off
CROWN = sign("dish, dished, bowl, reliefs, relief, valve reliefs, valve relief, pockets, adds",
             "dome, domed, pop-up, pop up, raised crown, takes", "flat, flat top",
    "dish, adds {} of space | dome, takes {} of space | flat crown, adds and takes nothing")
DECK = sign("below deck, below the deck, below, down the hole, in the hole, down",
    "above deck, above the deck, above, proud, out of the hole", "flush, zero deck, level",
    "{} below deck | {} proud of the deck | flush with the deck")
OFFSET = sign("away from the thrust side, away from thrust side, away",
    "toward the thrust side, towards the thrust side, toward, towards", "centred, none",
    "{} away from the thrust side | {} toward the thrust side | centred")
ALONG_PIN = sign("toward the front, towards the front, front, forward", "toward the rear, towards the rear, rear, back",
    "level with the bore axis, on the axis, none",
    "{} toward the front | {} toward the rear | level with the bore axis")
ACROSS_PIN = sign("to the right, right, toward the right", "to the left, left, toward the left",
    "level with the bore axis, on the axis, none", "{} to the right | {} to the left | level with the bore axis")
SPACE = sign("adds", "takes", "none", "adds {} of space | takes {} of space | adds and takes nothing")
GAP = sign("gap, open", "overlap, contact", "touching",
    "{} | {} OVERLAP: piston meets head | piston touches head", bare_is_plus=True)
VALVE_GAP = sign("gap, open, clear", "overlap, contact", "touching",
    "{} | {} OVERLAP: valve meets piston | valve touches piston", bare_is_plus=True)
DROP = sign("recessed, recessed in the head, above the face, sunk", "proud, proud of the face, below the face",
    "flush, flush with the face, level", "{} recessed in the head | {} proud of the face | flush with the face")
CROWN_HEIGHT = sign("below the flat, below flat, dished, below", "above the flat, above flat, raised, above",
    "flat, level with the flat", "{} below the flat | {} above the flat | level with the flat")
FLOOR = sign("below the flat, below flat, deep, below", "above the flat, above flat, above",
    "level with the flat, flat, level", "{} below the flat | {} above the flat | level with the flat",
    bare_is_plus=True)
ADVANCE = sign("advanced, advance, ahead", "retarded, retard, behind", "straight up, split, neither",
    "{} advanced | {} retarded | straight up")
PHASE = sign("advanced, advance, earlier", "retarded, retard, later", "as read, neither",
    "{} advanced | {} retarded | as read")
OVERLAP = sign("overlap, both open", "underlap, both shut, with both shut between", "none",
    "{} | {} with both shut between | none", bare_is_plus=True)
WEIGHT = sign("heavier", "lighter", "same, the same", "{} heavier | {} lighter | the same weight")
ABOVE_SEA = sign("above sea level, above the sea", "below sea level, below the sea", "at sea level, sea level",
    "{} above sea level | {} below sea level | at sea level", bare_is_plus=True)
WARMER = sign("warmer, hotter", "cooler, colder", "no heating", "{} warmer | {} cooler | no heating",
    bare_is_plus=True)
HARDER = sign("harder, octane harder, harder on the fuel, octane harder on the fuel",
    "easier, octane easier, easier on the fuel, octane easier on the fuel", "equal, none, as hard on the fuel",
    "{} octane harder on the fuel | {} octane easier on the fuel | as hard on the fuel", bare_is_plus=True)
# fmt: on
