"""The sections and keys a job file may hold, each with its meaning, declared once."""

from __future__ import annotations

from ccassist.job.records import Given
from ccassist.job.sections import HEADINGS, STATED
from ccassist.vocabulary import TERMS, stated_in

FORMAT = 1

SECTIONS: dict[str, str] = {
    "format": "version of this file format; later versions of the tool read it too",
    "job": "who, when and what for",
    "engine": "what is the same for every cylinder",
    "counted": "what is counted in the clearance volume",
    "wanted": "targets and limits",
    "part": "named parts, the cylinders they serve and what is particular to them",
    "cylinder": "what is particular to one cylinder",
    "choice": "parts that might be fitted instead, by kind and name, for ccassist combine",
    "alternative": "whole builds to be set side by side, by name, for ccassist alternatives",
    **HEADINGS,
    "instrument": "your own measuring instruments",
    "fluid": "your own measuring fluids",
    "set_up": "what the guide was told of a set-up, by its step, until its first reading stands in the file",
    "series": "readings, in the order in which they were made",
}
JOB_KEYS: dict[str, str] = {
    "name": "what this engine or job is called",
    "customer": "for whom",
    "by": "who measures",
    "date": "when it was started",
    "units": "metric or imperial: the unit of bare numbers and of what is shown",
    "for": "ratio, heads, pistons or turbo, or several with commas: what the guide leads to",
    "leave_out": "bench steps that do not apply here, such as deck, crown 3",
    "rods": "what the rods are made of: steel, aluminium or titanium",
    "remark": "anything worth keeping",
}
COUNTED_KEYS: dict[str, str] = {
    "crevice": "the top-land crevice",
    "chamfer": "the chamfer at the top of the bores",
}
COUNTED_WORDS = ("counted", "not counted")
PART_KINDS = ("head", "block", "bank", "crank", "rods", "pistons", "gasket")
LAYERED = ("gasket",)  # kinds of which a cylinder may have several, one on another
PART_KEYS: dict[str, str] = {
    "kind": "one of " + ", ".join(PART_KINDS),
    "cylinders": "the cylinders it serves, in the order of its positions",
    "states": "the states it has been through, oldest first",
    "note": "number stamped on it, or anything worth keeping",
}
VALUE_KEYS: dict[str, str] = {
    "value": "the quantity",
    "readings": "repeated readings of it",
    "origin": "measured, maker's figure or assumed",
    "instrument": "what it was measured with",
    "note": "by whom, when, or anything worth keeping",
}
SERIES_KEYS: dict[str, str] = {
    "step": "which bench step",
    "cylinder": "which cylinder (chamber) was measured",
    "part": "which named part; without a cylinder the readings hold for all it serves",
    "position": "position on the part, instead of the cylinder",
    "state": "state of the part, such as as received, seats cut, opened, skimmed 0.25 mm",
    "instrument": "what the readings were taken with",
    "fluid": "what was filled in",
    "temperature": "of the fluid and the parts",
    "by": "who read",
    "date": "when",
    "remark": "anything worth keeping",
    "readings": "the readings",
}
ROW_KEYS: dict[str, str] = {
    "set_aside": "why this reading does not count; it is kept and shown",
    "remark": "anything worth keeping",
    "time": "when it was read",
    "box": "the box of the paper form that it was read from",
}
# Terms that may be stated outright, in [engine], in a part or for one cylinder; of these, the ones that are stated
# once, for the whole engine and the bench.
PART_TERMS, ENGINE_TERMS = stated_in("part"), stated_in("engine")
GIVEN_TERMS = tuple(key for key in TERMS if key in PART_TERMS or key in ENGINE_TERMS)
# What is decided and not measured: a speed to be looked at, and what the sections say so of.
CHOSEN = ("engine_speed", *(key for section in STATED.values() for key in section.chosen))
PLANNED = ("face_cut",)  # a cut still to be made: nobody asks where it comes from
PLAIN = (*CHOSEN, *PLANNED, "temperature", "air_pressure")  # how good these are is known without asking
WANTED_TERMS = tuple(one.key for one in sorted(TERMS.values(), key=lambda one: one.wanted) if one.wanted)
INSTRUMENT_KEYS: dict[str, str] = {
    "like": "the catalogue instrument it resembles",
    "resolution": "the smallest step read",
    "permissible_error": "how far it may be out, either way",
    "share": "further error in proportion to the amount, such as 1 %",
    "repeatability": "standard deviation of one reading or fill made with it",
    "capacity": "largest amount it holds",
    "note": "serial letter, or anything worth keeping",
}
FLUID_KEYS: dict[str, str] = {
    "like": "the catalogue fluid it resembles",
    "density": "density, such as 0.80 g/cc",
    "temperature": "at which the density holds",
    "note": "anything worth keeping",
}


# Which parts may be mixed, and what each of them says; declared once for the [choice] section.

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
CHOICE_KEYS: dict[str, str] = {"set": "what the part belongs to, such as a donor: of a set all parts go together"}
# What an alternative build may state, and what of it may be left open, to be worked out from what is wanted.
RUN_TERMS = ("engine_speed", "boost_gauge")  # how it is run: no part of it
ALTERNATIVE_TERMS = (*(key for keys in CHOICE_TERMS.values() for key in keys), *RUN_TERMS)
OPEN_TERMS = ("compression_height", "crown_volume")
ALTERNATIVE_KEYS: dict[str, str] = {
    "open": f"what is to be worked out from the gap and the ratio wanted: {' or '.join(OPEN_TERMS)}, or both as a list",
    "buy": "what must be bought or cut for it",
}
# Kind -> the term of its weight, which enters no volume.
WEIGHTS = {"crank": "crank_weight", "rods": "rod_weight", "pistons": "piston_weight"}

# Kind -> name of the option -> what it states; an option that states nothing is the engine's own part.
Offered = dict[str, dict[str, dict[str, Given]]]
