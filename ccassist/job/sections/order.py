"""The piston order: what the maker must be told besides what the bench says, and who decides the rest."""

from __future__ import annotations

from ccassist.job.sections.engine import Section
from ccassist.vocabulary import stated_in
from ccassist.vocabulary.record import record

# What a piston order is looked at for before it is called final: each check declared once.
#
# Screen, sheet, plain data, the reference of the job file and the keys of ``[order.accepted]`` read it here;
# ``plan/piston/fits`` judges. Source: common practice, no source.


@record(kw_only=False)
class Check:
    """One thing that an order is looked at for.

    key : stable name; the key of ``[order.accepted]`` where it can be accepted.
    looks_at : what is compared, in words.
    right : the way out, in words.
    acceptable : whether whoever orders may accept it, with a reason that is printed.
    """

    key: str
    looks_at: str
    right: str
    acceptable: bool = False


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
_WORDS = {
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
DECIDABLE = (*_SIZES, *_WORDS, *_TEXTS, "shape", "intake_pockets", "exhaust_pockets")


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
        words=_WORDS,
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
