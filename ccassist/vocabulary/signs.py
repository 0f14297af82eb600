"""The words that stand for a sign, shared by the terms that need them."""

from ccassist.vocabulary.term import Sign

CROWN_SIGN = Sign(
    plus=("dish", "bowl", "reliefs", "relief", "pockets", "adds"),
    minus=("dome", "pop-up", "raised crown", "takes"),
    zero=("flat", "flat top"),
    says_plus="dish, adds {} of space",
    says_minus="dome, takes {} of space",
    says_zero="flat crown, adds and takes nothing",
)
DECK_SIGN = Sign(
    plus=("below deck", "below the deck", "below", "down the hole", "in the hole", "down"),
    minus=("above deck", "above the deck", "above", "proud", "out of the hole"),
    zero=("flush", "zero deck", "level"),
    says_plus="{} below deck",
    says_minus="{} proud of the deck",
    says_zero="flush with the deck",
)
OFFSET_SIGN = Sign(
    plus=("away from the thrust side", "away from thrust side", "away"),
    minus=("toward the thrust side", "towards the thrust side", "toward", "towards"),
    zero=("centred", "none"),
    says_plus="{} away from the thrust side",
    says_minus="{} toward the thrust side",
    says_zero="centred",
)
SPACE_SIGN = Sign(
    plus=("adds",),
    minus=("takes",),
    zero=("none",),
    says_plus="adds {} of space",
    says_minus="takes {} of space",
    says_zero="adds and takes nothing",
)
GAP_SIGN = Sign(
    plus=("gap", "open"),
    minus=("overlap", "contact"),
    zero=("touching",),
    says_plus="{} gap",
    says_minus="{} OVERLAP: piston meets head",
    says_zero="piston touches head",
    bare_is_plus=True,
)

VALVE_GAP_SIGN = Sign(
    plus=("gap", "open", "clear"),
    minus=("overlap", "contact"),
    zero=("touching",),
    says_plus="{} gap",
    says_minus="{} OVERLAP: valve meets piston",
    says_zero="valve touches piston",
    bare_is_plus=True,
)
DROP_SIGN = Sign(
    plus=("recessed", "recessed in the head", "above the face", "sunk"),
    minus=("proud", "proud of the face", "below the face"),
    zero=("flush", "flush with the face", "level"),
    says_plus="{} recessed in the head",
    says_minus="{} proud of the face",
    says_zero="flush with the face",
)
CROWN_HEIGHT_SIGN = Sign(
    plus=("below the flat", "below flat", "dished", "below"),
    minus=("above the flat", "above flat", "raised", "above"),
    zero=("flat", "level with the flat"),
    says_plus="{} below the flat",
    says_minus="{} above the flat",
    says_zero="level with the flat",
)
ADVANCE_SIGN = Sign(
    plus=("advanced", "advance", "ahead"),
    minus=("retarded", "retard", "behind"),
    zero=("straight up", "split", "neither"),
    says_plus="{} advanced",
    says_minus="{} retarded",
    says_zero="straight up",
)
OVERLAP_SIGN = Sign(
    plus=("overlap", "both open"),
    minus=("underlap", "both shut", "with both shut between"),
    zero=("none",),
    says_plus="{}",
    says_minus="{} with both shut between",
    says_zero="none",
    bare_is_plus=True,
)
WEIGHT_SIGN = Sign(
    plus=("heavier",),
    minus=("lighter",),
    zero=("same", "the same"),
    says_plus="{} heavier",
    says_minus="{} lighter",
    says_zero="the same weight",
)


def after(dead_centre: str) -> Sign:
    """An event that mostly comes after a dead centre ("TDC" or "BDC")."""
    said = dead_centre.lower()
    return Sign(
        plus=(f"after {said}", f"a{said}", "after"),
        minus=(f"before {said}", f"b{said}", "before"),
        zero=(f"at {said}", "at the dead centre"),
        says_plus="{} after " + dead_centre,
        says_minus="{} before " + dead_centre,
        says_zero=f"at {dead_centre}",
        bare_is_plus=True,
    )


def before(dead_centre: str) -> Sign:
    """An event that mostly comes before a dead centre ("TDC" or "BDC")."""
    said = dead_centre.lower()
    return Sign(
        plus=(f"before {said}", f"b{said}", "before"),
        minus=(f"after {said}", f"a{said}", "after"),
        zero=(f"at {said}", "at the dead centre"),
        says_plus="{} before " + dead_centre,
        says_minus="{} after " + dead_centre,
        says_zero=f"at {dead_centre}",
        bare_is_plus=True,
    )
