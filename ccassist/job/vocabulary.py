"""The sections and keys a job file may hold, each with its meaning, declared once."""

from __future__ import annotations

from collections.abc import Mapping

from ccassist.bench.steps import STEPS
from ccassist.job.records import Given
from ccassist.job.sections import HEADINGS, STATED
from ccassist.vocabulary import TERMS, stated_in
from ccassist.vocabulary.record import record

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
COUNTED_KEYS: dict[str, str] = {"crevice": "the top-land crevice", "chamfer": "the chamfer at the top of the bores"}
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
    "pistons": ("compression_height", "crown_volume", "land_diameter", "land_height", "crevice_volume", "pin_offset",
                "pin_diameter", "ring_pack_depth", "piston_weight"),
    "head": ("chamber_volume", "chamber_area", "squish_step", "extra_volume"),
    "gasket": ("gasket_bore", "gasket_long", "gasket_short", "gasket_thickness", "gasket_area", "gasket_volume"),
    "skim": ("face_cut",),
}  # fmt: skip
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


# What a job may be for, a row each: what is measured and stated for it, and which answers and paper it ends in.

TABLE = "show"  # the screen that answers every job
_ALL_PARTS = ("block", "crank", "rods", "pistons", "gasket", "head")


@record
class Purpose:
    """One thing that a job may be for.

    meaning : what it is, as the prompt says it; ``called`` : in two words, as an answer to what the job is for.
    first, such_as : the term whose target is asked for at the start, and how one is said.
    """

    called: str
    meaning: str
    steps: tuple[str, ...]  # the bench steps of it; the guide leaves out all others
    parts: tuple[str, ...]  # the kinds of parts that a new file prepares
    whole: bool = True  # whether the whole engine is stated, and not bare heads only
    first: str = "static_ratio"
    such_as: str = "9.5 or 9.4 to 9.6"
    wanted: tuple[str, ...] = ("static_ratio", "squish")  # the terms whose targets are asked for once the bench is done
    band: str = "a range"  # what a range of them means, in words
    sections: tuple[str, ...] = ()  # the sections that are asked for then
    answers: tuple[str, ...]  # the screens at its end, by the command's name
    paper: str = ""  # the paper that only it has, besides the worksheet; "" for none
    ends: str  # what it ends in, said at the start


# In the order in which they are asked for.
PURPOSES: dict[str, Purpose] = {
    "ratio": Purpose(called="compression ratio", meaning="the compression ratio of the whole engine",
                     steps=tuple(STEPS), parts=_ALL_PARTS, wanted=(), answers=(TABLE,),
                     ends="It ends in every cylinder's ratio and its ±: ccassist show"),
    "heads": Purpose(called="heads to be cc'd", meaning="bare heads on the bench, the chambers only",
                     steps=("chamber", "opening", "stages"), parts=("head",), whole=False, first="chamber_volume",
                     such_as="at least 62.0 cc", wanted=("chamber_volume",), answers=(TABLE, "balance"),
                     ends="It ends in every chamber, and what would make them alike: ccassist balance"),
    "pistons": Purpose(called="pistons to order", meaning="custom pistons to be ordered, everything else measured",
                       steps=("bore", "stack", "chamber", "opening", "stages", "gasket", "intake-lifts",
                              "exhaust-lifts"), parts=_ALL_PARTS, band="a range (it gives the maker's tolerance)",
                       sections=("order", "order.crown"), answers=(TABLE, "order"), paper="order sheet",
                       ends="After the bench it asks for what is wanted and for the order: ccassist order"),
    "turbo": Purpose(called="turbo target", meaning="the whole engine, for a turbo or another boosted target",
                     steps=tuple(STEPS), parts=_ALL_PARTS, sections=("cam", "charge", "baseline"),
                     answers=(TABLE, "boost"), paper="boost pages",
                     ends="After the bench it asks for cam, charge and baseline: ccassist boost"),
}  # fmt: skip
USUAL = "ratio"  # where nothing is said
# Of several, whose steps count: pistons to be ordered cannot be measured, and the heads are in the other two.
_STEPS_OF = ("pistons", "turbo", "ratio", "heads")


def purposes_of(about: Mapping[str, str]) -> tuple[str, ...]:
    """What a job is for, in the order said; nothing where it does not say.

    >>> purposes_of({"for": "pistons, turbo"})
    ('pistons', 'turbo')
    """
    return tuple(dict.fromkeys(" ".join(said.split()) for said in about.get("for", "").split(",") if said.strip()))


def rows_of(about: Mapping[str, str]) -> tuple[Purpose, ...]:
    """The rows of what a job is for, in the order said."""
    return tuple(PURPOSES[one] for one in purposes_of(about) if one in PURPOSES)


def leading(asked: str) -> Purpose:
    """Of one purpose or several with commas, the one whose steps and parts a new job has."""
    said = purposes_of({"for": asked})
    return next(PURPOSES[one] for one in _STEPS_OF if one in said)


def purposes_named(text: str) -> str | None:
    """What is meant by one word or several, singular or by their first letters; None where one is not understood.

    >>> purposes_named("Head"), purposes_named("p, turbo"), purposes_named("compression ratio"), purposes_named("x")
    ('heads', 'pistons, turbo', 'ratio', None)
    """
    said = [_named(one) for one in purposes_of({"for": text.casefold()})]
    return ", ".join(key for key in PURPOSES if key in said) if said and None not in said else None


def _named(word: str) -> str | None:
    same = (key for key, one in PURPOSES.items() if word in (key, one.called.casefold()))
    begun = (key for key, one in PURPOSES.items() if key.startswith(word) or one.called.casefold().startswith(word))
    return next(same, None) or next(begun, None)
