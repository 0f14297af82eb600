"""Which parts may be mixed, and what each of them says; declared once for the [choice] section."""

from __future__ import annotations

from ccassist.job.records import Given

# Kind of part -> the terms that an option of it may state.  Each term belongs to one kind only.
CHOICE_TERMS: dict[str, tuple[str, ...]] = {
    "block": ("block_deck_height",),
    "bore": ("bore", "chamfer_volume"),
    "crank": ("stroke", "crank_weight"),
    "rods": ("rod_length", "rod_weight"),
    "pistons": (
        "compression_height",
        "crown_volume",
        "land_diameter",
        "land_height",
        "crevice_volume",
        "pin_offset",
        "pin_diameter",
        "ring_pack_depth",
        "piston_weight",
    ),
    "head": ("chamber_volume", "chamber_area", "squish_step", "extra_volume"),
    "gasket": ("gasket_bore", "gasket_long", "gasket_short", "gasket_thickness", "gasket_area", "gasket_volume"),
    "skim": ("face_cut",),
}
CHOICE_KINDS = tuple(CHOICE_TERMS)
# Kind -> the term of its weight, which enters no volume.
WEIGHTS = {"crank": "crank_weight", "rods": "rod_weight", "pistons": "piston_weight"}

# Kind -> name of the option -> what it states; an option that states nothing is the engine's own part.
Offered = dict[str, dict[str, dict[str, Given]]]
