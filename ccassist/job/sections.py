"""Sections that state things for the whole engine, each declared once: the cam, valves and charge, the piston order."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field

from ccassist.vocabulary import stated_in
from ccassist.vocabulary.record import record


@record
class Section:
    """One heading of the job file that states values for the whole engine.

    words : choices in words: key -> the words that may be said.
    lists : keys of a list of readings -> what one holds, by field: its term.
    asks : how the guide asks for a thing, where its key or meaning is not question enough.
    instead : a key that may be stated instead of another: the other -> it.
    refused : keys that somebody may want to write here and that must not stand here -> what they are.
    only_with : a key that is asked for only where another says one of these words: key -> (the other, the words).
    """

    name: str  # heading, such as "cam" or "valve.intake"
    meaning: str  # what stands here, in one line
    terms: tuple[str, ...] = ()  # the terms that may be stated
    chosen: tuple[str, ...] = ()  # of these, what is decided and not measured: nobody asks for its origin or its ±
    asked: tuple[str, ...] = ()  # of these, what is asked of whoever makes the part: nobody asks for its origin
    decided: tuple[str, ...] = ()  # of these, what is looked at as decided: exact, unless its origin or its ± is said
    words: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    texts: Mapping[str, str] = field(default_factory=dict)  # keys of free text -> their meaning
    lists: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    samples: tuple[str, ...] = ()  # the keys that a new file shows as examples; all of them where empty
    guide: tuple[str, ...] = ()  # the keys that the guide asks for; the samples where empty
    asks: Mapping[str, str] = field(default_factory=dict)
    left_in: str = ""  # the section that says who decides what is not settled here
    instead: Mapping[str, str] = field(default_factory=dict)
    refused: Mapping[str, str] = field(default_factory=dict)
    only_with: Mapping[str, tuple[str, tuple[str, ...]]] = field(default_factory=dict)

    @property
    def path(self) -> tuple[str, ...]:
        """Where it stands in the parsed file."""
        return tuple(self.name.split("."))

    @property
    def unasked(self) -> tuple[str, ...]:
        """The terms whose origin nobody asks for."""
        return (*self.chosen, *self.asked, *self.decided)

    @property
    def keys(self) -> tuple[str, ...]:
        """Everything that may be written under the heading."""
        return (*self.terms, *self.words, *self.texts, *self.lists)


# The cam as installed: when the valves open and close, and at which lift that was read.

CAM = (
    Section(name="cam", meaning="the cam as installed: valve events, and the lift at which they were read",
            terms=stated_in("cam"),
            samples=("intake_opening", "intake_closing", "exhaust_opening", "exhaust_closing", "event_lift",
                     "lift_read_at", "tappets", "wheel_doubt"), chosen=("wheel_doubt", "intake_phase_at_load"),
            words={"lift_read_at": ("the valve", "the tappet"), "tappets": ("solid", "hydraulic")},
            asks={"lift_read_at": "Where that lift was read", "tappets": "What the tappets are"}),
)  # fmt: skip


# The valves: where each stands over the piston, how far it lifts, and the room wanted for it.

_SAMPLES = ("valve_diameter", "valve_angle", "valve_drop", "wanted_valve_gap", "wanted_radial_gap", "lifts")


def _valve(which: str) -> Section:
    return Section(
        name=f"valve.{which}",
        meaning=f"the {which} valve over the piston: where it stands, its lift, its pocket, and the room wanted",
        terms=stated_in("valve"),
        chosen=("wanted_valve_gap", "wanted_radial_gap"),
        words={"follower": ("bucket on the valve", "rocker", "finger")},
        samples=_SAMPLES if which == "intake" else _SAMPLES[:1],
        lists={"lifts": {"angle": "crank_angle", "lift": "valve_lift"}},
    )


VALVE = (_valve("intake"), _valve("exhaust"))


# The charge and how the engine is run, and the engine that it is set against: what is decided and what was read.

_DECIDED = (
    "boost_gauge", "manifold_pressure", "altitude", "mixture_strength", "engine_speed", "burn_phasing",
    "burn_duration", "spark_advance", "air_fuel_ratio", "octane_number", "pump_octane", "ethanol_share",
    "methanol_share",
)  # fmt: skip
# The petrol's vapour stands in for the whole of it; the charge room says which gas it takes.
METHANOL = "methanol"
FUEL_WORDS = ("petrol", "aromatic petrol", "ethanol", "dry air", METHANOL)
CLEAN = "clean, no knock heard or seen"
ON_SITE, SEA_LEVEL = "read on site", "reduced to sea level"
GEOMETRIC, GEOPOTENTIAL = "geometric", "geopotential"
DIRECT = "direct"
_WORDS = {
    "barometer_is": (ON_SITE, SEA_LEVEL),
    "altitude_is": (GEOMETRIC, GEOPOTENTIAL),
    "fuel": FUEL_WORDS,
    "injection": ("port or carburettor", DIRECT),
    "spark": ("best torque", "held back from knock"),
}
_INSTEAD = {"boost_gauge": "manifold_pressure", "altitude": "barometer"}
_ASKS = {
    "engine_speed": "Engine speed at which this is looked at",
    "burn_phasing": "Burn phasing (CA50): crank angle at which half the fuel has burned, if it was measured; else the "
    "spark advance of both engines says by how much they differ",
    "spark_advance": "Spark advance under that load, here and in the baseline",
    "octane_number": "Octane number of the fuel, by the research method (RON)",
    "fuel": "What burns",
    "injection": "Where the fuel goes in: at the port, or direct into the cylinder",
    "spark": "How far the spark is advanced",
}

CHARGE = (
    Section(
        name="charge",
        meaning="the charge and how the engine is run: boost as a gauge shows it, or absolute; leave out what is not "
        "known, and what is assumed instead is listed",
        terms=stated_in("charge"),
        decided=_DECIDED,
        words=_WORDS,
        samples=(
            "boost_gauge",
            "altitude",
            "intake_air_temperature",
            "charge_temperature",
            "mixture_strength",
            "engine_speed",
            "burn_phasing",
            "spark_advance",
            "octane_number",
            "fuel",
            "injection",
            "spark",
        ),
        asks=_ASKS,
        instead=_INSTEAD,
    ),
    Section(
        name="baseline",
        meaning="an engine that you know to run clean, on the same fuel at the same speed: without it nothing is said "
        "of knock; what is left out is as in this engine",
        terms=stated_in("baseline"),
        decided=_DECIDED,
        words={"runs": (CLEAN, "not known"), **_WORDS},
        texts={"called": "what this engine is called"},
        samples=("static_ratio", "boost_gauge", "burn_phasing", "spark_advance", "runs", "called"),
        asks={"runs": "How that engine runs", "called": "What that engine is called", **_ASKS},
        instead=_INSTEAD,
    ),
)


# The piston order: what the maker must be told besides what the bench says, and who decides the rest.

# What a piston order is looked at for before it is called final: each check declared once.
#
# Screen, sheet, plain data, the reference of the job file and the keys of ``[order.accepted]`` read it here;
# ``plan/piston/fits.py`` judges. Source: common practice, no source.


@record(kw_only=False)
class Check:
    """One thing that an order is looked at for."""

    key: str  # stable name; the key of ``[order.accepted]`` where it can be accepted
    looks_at: str  # what is compared, in words
    right: str  # the way out, in words
    acceptable: bool = False  # whether whoever orders may accept it, with a reason that is printed


MAY = True  # be accepted
CHECKS: dict[str, Check] = {
    one.key: one
    for one in (
        # The gravest first. What cannot be accepted: a contradiction, a wrong sign or volume, contact, no metal.
        Check("contradiction", "statements and readings that cannot all be true",
              "put right what check says of the job"),
        # It stands so early since what follows from a slip of unit or point is told after it.
        Check("unusual", "values stated that are far from what is usual: a slip of unit or point",
              "write it right; or accept it with a reason", MAY),
        Check("crown_shape", "whether the crown drawn can be cut",
              "change its sizes under [order.crown] or [order.pocket]"),
        Check("crown_sign", "dish, dome or flat as drawn against what the volume ordered does to the space",
              "draw the shape that the volume asks for, or order the volume that the shape holds"),
        Check("shape_volume",
              "the volume of the crown drawn against the one ordered, to half the last digit of every size",
              "leave the depth or height out to have it worked out, or state the volume that the sizes hold"),
        Check("pocket_shape", "pockets whose volume is not known: in a dish or a dome without their place, overlapping",
              "state their pocket_offset, or have the maker give the net volume with the pockets cut"),
        Check("pocket_place",
              "pockets against one another: the middle of one within another leaves no room for two valves",
              "put their places right under [order.pocket]"),
        Check("head_contact", "piston against head at top dead centre, at its worst",
              "a lower piston or a thicker gasket"),
        Check("chamber_contact", "the side of a dome against the edge of the chamber, at its worst",
              "a narrower or lower dome"),
        Check("gasket_contact", "a proud piston against a gasket that stands over the bore",
              "a wider gasket opening, or a lower piston"),
        Check("valve_contact",
              "valves against crown, pocket floor and pocket wall, at their worst over angle and phasing",
              "deeper or wider pockets, a lower piston, or another cam timing; check at mock-up"),
        Check("crown_through", "dish and pockets against pin bore and top-ring groove",
              "a shallower or narrower dish or pocket, a lower pin or lower rings"),
        Check("crown_edge", "dish and dome against the edge of the crown", "a narrower dish or dome"),
        Check("pin_groove", "the pin bore against the ring grooves",
              "move pin, rings or rod; or say under support_rail that a rail over the pin bore is agreed"),
        Check("ring_pack", "land and rings against the depth of the ring pack",
              "read land height, ring widths and ring pack depth again"),
        Check("pin_length", "the pin against bore and small end", "read pin_length and rod_width again"),
        Check("land_bore", "the top land against the smallest bore",
              "a smaller land: a land runs hotter than the skirt and needs more room"),
        Check("wanted_band",
              "ratio, gaps and all else that is wanted and hangs on the piston, in every cylinder at its worst",
              "another height or crown, closer tolerances, closer measuring, or want a wider range"),
        Check("valve_crown", "whether the crown's height under the valves is known where it is not flat",
              "say crown_at_valve of this crown under [valve.intake] and [valve.exhaust]"),
        Check("ground",
              "how much of the doubt in the numbers ordered, in what is wanted, in the valve gaps and in close "
              "fits is only taken (assumed, no ± of its own, a temperature not read): at most 5 % of the "
              "variance",
              "measure it, or state its ±"),
        # What whoever orders may accept, with the reason printed.
        Check("tolerance_held", "tolerances that the wanted ranges ask for, against what makers usually hold",
              "measure closer, or want a wider range", MAY),
        Check("valve_gap", "the gap from valve to piston against the least wanted, at its worst",
              "deeper pockets, a lower piston or another cam timing; or accept it with a reason", MAY),
        Check("dome_gap", "the side of a dome against the edge of the chamber, against the least gap wanted",
              "a narrower dome; or accept it with a reason", MAY),
        Check("crown_thickness",
              "metal between the deepest point of the crown and the pin bore against the least wanted",
              "a shallower dish or pocket, a lower pin, a shorter rod; or accept it with the maker's word", MAY),
        Check("groove_metal",
              "metal between dish or pocket and the top-ring groove against the least wanted in the crown",
              "a narrower or shallower dish or pocket, or a lower ring; or accept it with the maker's word", MAY),
        Check("pocket_edge", "pockets against the edge of the crown",
              "another place or diameter; or accept it with the maker's word", MAY),
        Check("land_clearance", "the room of the top land against that of the skirt",
              "a smaller land; or accept it with the maker's word", MAY),
        Check("squish_pads", "the dish against the opening of the chamber: the flat must face the pads of the head",
              "a narrower dish; or accept it with a reason", MAY),
        Check("gasket_edge", "the gasket's opening against bore and dish: a fire ring that stands over an edge burns",
              "another gasket; or accept it with a reason", MAY),
        Check("bores", "whether the bores are alike enough for one piston",
              "hone them alike, or order each to its bore; or accept it with a reason", MAY),
        Check("pieces", "a piston for every cylinder", "order one a cylinder; or accept it with a reason", MAY),
        Check("sides", "pistons that differ by bank or side",
              "say under sides what differs and how they are marked; or accept it with a reason", MAY),
        Check("doubts", "readings and stated lengths that differ from one another by more than their ±",
              "read again; or accept it with a reason", MAY),
    )
}  # fmt: skip
ACCEPTABLE = {key: f"why it is accepted: {one.looks_at}" for key, one in CHECKS.items() if one.acceptable}
NEVER = {key: one.looks_at for key, one in CHECKS.items() if not one.acceptable}


SHAPES = ("flat", "flat dish", "dish inside a squish band", "ball-cut dish", "dome with sloped sides", "ball dome")
_SIZES = stated_in("order")
_ORDER_WORDS = {
    "pin_fit": ("floating", "pressed into the rod"),
    "pin_retention": ("round-wire clips", "spiral clips", "snap rings", "buttons", "none"),
}
_TEXTS = {
    "maker": "who makes them",
    "contact": "who answers questions, and how to be reached",
    "delivery": "when and where to",
    "revision": "revision of this order",
    "date": "date of this revision",
    "signed_by": "who answers for this order",
    "rotation": "which way the crank turns, and seen from where",
    "liner": "bore material and finish: liner, plating, honing",
    "bore_gauged": "how the bores were gauged: with or without a torque plate, at which height",
    "plug": "where the spark plug stands, and how far it reaches in",
    "chamber_mould": "what of the chamber goes with the order: a mould, a drawing, a scan",
    "small_end": "shape of the rod's small end: straight, tapered, stepped",
    "gas_ports": "gas ports, if any: which and where",
    "pin_oiling": "how the pin is oiled",
    "sides": "what differs by side or bank, and marks such as arrows",
    "rings": "the ring set: name, material, tension",
    "support_rail": "whether an oil-ring support rail is agreed",
    "valve_pockets": "where the pockets lie and to which valve they belong",
    "skirt": "type and length of the skirt, oil jets, windage",
    "fuel": "the fuel to be burnt",
    "boost": "boost over ambient, or none",
    "use": "what the engine is for, and how it is cooled",
    "alloy": "alloy, forged or billet",
    "coating": "coatings and whether their thickness is inside the clearance",
    "remarks": "anything the maker should know",
}
_CROWN = stated_in("order.crown")
_POCKET = stated_in("order.pocket")
DECIDABLE = (*_SIZES, *_ORDER_WORDS, *_TEXTS, "shape", "intake_pockets", "exhaust_pockets")


def _pocket(which: str) -> Section:
    return Section(
        name=f"order.pocket.{which}",
        meaning=f"the {which} valve pockets of one piston, each measured along its valve",
        terms=_POCKET,
        asked=_POCKET,
        texts={"place": "where on the crown, and on which side of the engine"},
        samples=_POCKET if which == "intake" else ("pockets",),
    )


ORDER = (
    Section(
        name="order",
        meaning="the piston order: what the maker must be told besides what was measured",
        terms=_SIZES,
        asked=_SIZES,
        words=_ORDER_WORDS,
        texts=_TEXTS,
        samples=("pieces", "pin_diameter", "land_height", "pin_retention", "fuel", "revision", "signed_by"),
        guide=(
            *("use", "fuel", "boost", "rev_limit"),
            *("pin_diameter", "pin_length", "pin_fit", "pin_retention", "pin_offset", "rod_width", "wall_clearance"),
            *("rings", "top_ring_width", "second_ring_width", "oil_ring_width", "ring_radial_depth"),
            *("land_height", "land_diameter", "ring_pack_depth", "crown_thickness"),
            *("alloy", "pieces", "revision", "signed_by"),
        ),
        left_in="order.to_decide",
        asks={
            "use": "What the engine is for, and how it is cooled, such as: road, water-cooled",
            "boost": "Boost over ambient, such as: 0.5 bar; or: none",
            "rings": "The ring set, such as: steel top ring, taper second, three-piece oil ring",
            "pin_fit": "How the pin sits in the rod",
            "alloy": "Alloy, forged or billet",
            "pin_retention": "What keeps the pin in the piston",
            "pieces": "Number of pistons without spares; one a cylinder where nothing is said",
            "fuel": "Fuel to be burnt, such as: pump petrol 98",
            "revision": "Revision of this order, such as: A",
            "signed_by": "Who answers for this order: a name",
        },
    ),
    Section(
        name="order.crown",
        meaning="the crown's shape; leave out the depth of a dish or the height of a dome to have it worked out",
        terms=_CROWN,
        asked=_CROWN,
        words={"shape": SHAPES},
        samples=("shape", "dish_diameter", "dish_corner"),
        guide=("shape", "dish_diameter", "dish_corner", "dome_diameter", "dome_top"),
        asks={"shape": "Shape of the crown"},
        only_with={
            "dish_diameter": ("shape", SHAPES[1:4]),
            "dish_corner": ("shape", SHAPES[1:3]),
            "dome_diameter": ("shape", SHAPES[4:]),
            "dome_top": ("shape", SHAPES[4:5]),
        },
    ),
    _pocket("intake"),
    _pocket("exhaust"),
    Section(
        name="order.to_decide",
        meaning='what is not settled yet, and by whom it will be: any key of the order = "the maker", or a name',
        texts=dict.fromkeys(DECIDABLE, "who decides it"),
        samples=("pin_offset", "wall_clearance"),
    ),
    Section(
        name="order.accepted",
        meaning="what does not hold and is accepted by whoever orders, each with its reason, which the sheet prints",
        texts=ACCEPTABLE,
        refused=NEVER,
        samples=("valve_gap",),
    ),
)


STATED: dict[str, Section] = {section.name: section for section in (*CAM, *VALVE, *CHARGE, *ORDER)}
# The heading in the first place -> its meaning; "valve.intake" and "valve.exhaust" share one.
HEADINGS: dict[str, str] = {}
for _section in STATED.values():
    HEADINGS.setdefault(_section.path[0], _section.meaning)
