"""Which parts may be mixed, and what each of them says; declared once for the [choice] section."""

from __future__ import annotations

from ccassist.job.records import Given

# Kind of part -> the terms that an option of it may state.  Each term belongs to one kind only.
CHOICE_TERMS: dict[str, tuple[str, ...]] = {
    "block": ("block_deck_height",),
    "bore": ("bore", "chamfer_volume"),
    "crank": ("stroke",),
    "rods": ("rod_length",),
    "pistons": (
        "compression_height",
        "crown_volume",
        "land_diameter",
        "land_height",
        "crevice_volume",
        "pin_offset",
        "pin_diameter",
        "ring_pack_depth",
    ),
    "head": ("chamber_volume", "chamber_area", "squish_step", "extra_volume"),
    "gasket": ("gasket_bore", "gasket_long", "gasket_short", "gasket_thickness", "gasket_area", "gasket_volume"),
    "skim": ("face_cut",),
}
CHOICE_KINDS = tuple(CHOICE_TERMS)

# Kind -> name of the option -> what it states; an option that states nothing is the engine's own part.
Offered = dict[str, dict[str, dict[str, Given]]]
