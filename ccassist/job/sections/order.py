"""The piston order: what the maker must be told besides what the bench says, and who decides the rest."""

from ccassist.job.sections.order_checks import ACCEPTABLE, NEVER
from ccassist.job.sections.section import Section

SHAPES = ("flat", "flat dish", "dish inside a squish band", "ball-cut dish", "dome with sloped sides", "ball dome")
_SIZES = (
    "pieces",
    "spares",
    "compression_height",
    "height_tolerance",
    "crown_volume",
    "crown_tolerance",
    "wall_clearance",
    "pin_diameter",
    "pin_length",
    "pin_offset",
    "rod_width",
    "top_ring_width",
    "second_ring_width",
    "oil_ring_width",
    "ring_radial_depth",
    "land_height",
    "land_diameter",
    "ring_pack_depth",
    "crown_thickness",
    "dome_clearance",
    "skirt_clearance",
    "free_thickness",
    "rev_limit",
    "piston_mass",
)
_WORDS = {
    "pin_fit": ("floating", "pressed into the rod"),
    "pin_retention": ("round-wire clips", "spiral clips", "snap rings", "buttons", "none"),
}
_TEXTS = {
    "maker": "who makes them",
    "revision": "revision of this order",
    "date": "date of this revision",
    "signed_by": "who answers for this order",
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
_CROWN = ("dish_diameter", "dish_depth", "dish_corner", "squish_band", "dome_diameter", "dome_top", "dome_height")
_POCKET = ("pockets", "pocket_diameter", "pocket_depth", "pocket_tilt", "pocket_offset")
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
