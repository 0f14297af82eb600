"""Bore, stroke, rod and block: the lengths of the bottom end."""

from __future__ import annotations

from dataclasses import replace

from ccassist.bench.step import Field, Method, Slips, Step
from ccassist.vocabulary import Kind


def _single(name: str, term: str, words: str, *, part: str = "", needless: str = "") -> Method:
    return Method(name, words, (Field(name, term, words),), part=part, needless=needless)


BORE = Step(
    key="bore",
    title="Bores",
    why="The bore enters every volume squared: measure it finished, do not take the nominal size.",
    tools=("bore gauge and micrometer", "torque plate if the bores were honed with one"),
    procedure=(
        "Finished bores, clean, at room temperature; torque plate on if it was honed with one.",
        "Measure each bore on two axes near the top of the ring travel.",
    ),
    cautions=("fingers",),
    methods=(_single("bore", "bore", "finished bore"),),
    gives=("bore",),
    part="block",
    repeats=2,
)
STROKE = Step(
    key="stack",
    title="Stroke, rod, block and compression height",
    why="These four lengths say where the piston stops, before anything is assembled.",
    tools=("dial indicator", "height gauge", "vernier caliper"),
    procedure=(
        "Stroke: twice the crank throw, or the travel of the piston by indicator.",
        "Rod: big-end axis to small-end axis.",
        "Block deck height: crank axis to finished deck, at each corner.",
        "Compression height: pin axis to crown flat, no dish and no dome in it.",
    ),
    cautions=("fingers",),
    methods=(
        _single("stroke", "stroke", "stroke", part="crank"),
        _single("rod", "rod_length", "rod length, centre to centre", part="rods"),
        _single("block", "block_deck_height", "block deck height", needless="deck_clearance"),
        _single("pin_height", "compression_height", "compression height", part="pistons", needless="deck_clearance"),
    ),
    gives=("stroke", "rod_length", "block_deck_height", "compression_height"),
    part="block",
    repeats=1,
    by_part=True,
)


# Deck clearance by dial indicator.

DECK = Step(
    key="deck",
    title="Deck clearance",
    why="How far the crown flat stops from the deck decides squish, and a tenth of a millimetre is felt in the ratio.",
    tools=("dial indicator in a bridge", "degree wheel or positive stop", "clean deck"),
    procedure=(
        "Set the indicator to zero on the deck beside the bore.",
        "Move it over the crown flat on the pin axis; turn by hand through top dead centre; take the highest point.",
        "Read the front and the rear of the pin axis: rocking cancels there.",
        "If the pin axis cannot be reached, push the piston each way and read both thrust sides: their mean counts.",
        "Check the zero on the deck again. Do every cylinder.",
    ),
    cautions=("fingers", "contact"),
    methods=(
        Method(
            "pin axis",
            "front and rear on the pin axis",
            (
                Field("front", "dial_reading", "front of the pin axis"),
                Field("rear", "dial_reading", "rear of the pin axis"),
            ),
            level=("front", "rear"),
            slips=Slips.DIAL,
        ),
        Method(
            "both sides",
            "both thrust sides, piston pushed each way",
            (Field("thrust", "dial_reading", "thrust side"), Field("away", "dial_reading", "side away from thrust")),
            rocks=("thrust", "away"),
            slips=Slips.DIAL,
        ),
        Method(
            "centre",
            "one point on the pin axis",
            (Field("crown", "dial_reading", "crown on the pin axis"),),
            slips=Slips.DIAL,
        ),
    ),
    gives=("deck_clearance",),
    part="block",
    repeats=2,
)


# Head gasket: opening, round or not, and compressed thickness; each layer a part of its own.

ROUND = Method("opening", "bore of the sealing ring", (Field("opening", "gasket_bore", "bore of the sealing ring"),))
ELLIPSE = Method(
    "ellipse",
    "oval opening: its long and its short axis",
    (
        Field("long", "gasket_long", "long axis of the opening"),
        Field("short", "gasket_short", "short axis of the opening"),
    ),
    how=("Only for an opening that is an oval: straight flats and valve notches are traced or cut out.",),
    gives="gasket_area",
    instead_of="opening",
)
OUTLINE = Method(
    "outline",
    "outline traced, its points read",
    (
        Field("x", "outline_x", "outline points, across, all in order with ; between", many=True),
        Field("y", "outline_y", "the same points, up, in the same order with ; between", many=True, goes_with="x"),
    ),
    how=(
        "Trace the inside of the sealing ring on graph paper; read points in order all the way round.",
        "Take some forty, close together in bends and one in every corner; a corner is found by how sharply it turns.",
        "One row is one tracing: trace anew for the next.",
    ),
    gives="gasket_area",
    instead_of="opening",
)
CUTOUT = Method(
    "cut-out",
    "cut-out weighed against a square of the same sheet",
    (
        Field("reference", "reference_area", "area of the reference square"),
        Field("reference_mass", "reference_mass", "mass of the reference square"),
        Field("cutout_mass", "cutout_mass", "mass of the cut-out, or of several together"),
        Field("copies", "cutout_copies", "how many cut-outs were weighed together", optional=True),
    ),
    how=(
        "Heavy even card, plastic or shim: office paper weighs too little. Cut several copies and weigh them together.",
        "Cut squares from two directions of the sheet: its weight may vary by a per cent or more.",
    ),
    reads=Kind.MASS,
    gives="gasket_area",
    instead_of="opening",
)
THICKNESS = Method(
    "thickness",
    "compressed thickness",
    (Field("thickness", "gasket_thickness", "compressed thickness, one point"),),
    how=("One row a point: round the sealing ring and at the bolt-hole lands.",),
    repeats=5,
)

GASKET = Step(
    key="gasket",
    title="Head gasket",
    why="Opening times compressed thickness is a volume of its own; the opening is larger than the bore.",
    tools=(
        "vernier caliper",
        "micrometer",
        "a used gasket of the same make, or a clamped one",
        "graph paper, or card and a fine scale, for an opening that is not round",
    ),
    procedure=(
        "Round opening: measure the bore of the sealing ring on two axes.",
        "Not round: measure both axes of an oval, trace the outline, or weigh a cut-out against a square.",
        "Measure the compressed thickness at five points round the ring, not the free thickness.",
        "No used gasket: take the maker's figure for the torque you use, and say so: 1.20 mm, maker's figure.",
        "A shim or second gasket is a layer: a part of its own, with its own opening and thickness.",
    ),
    cautions=("contact",),
    methods=(ROUND, ELLIPSE, OUTLINE, CUTOUT, THICKNESS),
    gives=("gasket_bore", "gasket_area", "gasket_thickness"),
    part="gasket",
    repeats=2,
    by_part=True,
)


# The opening of a chamber at the head face: what a skim takes for every bit of its depth.

OPENING = Step(
    key="opening",
    title="Chamber opening at the face",
    why="A skim takes the open area at the face times its depth; the area is not that of bore or gasket.",
    tools=("paper or card and a soft pencil, or marking blue", "graph paper or caliper", "fine scale for a cut-out"),
    procedure=(
        "Clean face, valves in. Rub or print the chamber's edge at the face on paper; leave squish pads outside it.",
        "Trace its points on graph paper, or cut it out of even card and weigh it against a square.",
        "For a tilted cut: measure x square to the edge of the head that is not cut, and say where its zero lies.",
        "After a skim the opening is another, unless the walls are upright.",
    ),
    cautions=(),
    methods=tuple(replace(way, gives="chamber_area", instead_of="") for way in (OUTLINE, CUTOUT)),
    settings=(
        Field("from_edge", "outline_edge", "from the edge of the head that is not cut to the zero of x", optional=True),
    ),
    gives=("chamber_area", "opening_centroid"),
    part="head",
    repeats=2,
    check=True,
)


# Top-land crevice: land diameter and height.

LAND = Step(
    key="land",
    title="Top land",
    why="The gap above the top ring is clearance volume too: about one per cent of it, in or out by your own choice.",
    tools=("micrometer", "vernier caliper or depth gauge"),
    procedure=(
        "Measure the diameter of the land above the top ring, on two axes: it is smaller than the skirt.",
        "Measure from the crown flat to the upper face of the top ring.",
        "Say in the job whether the crevice is counted: never both in a fill and in the sum.",
    ),
    cautions=(),
    methods=(
        Method("diameter", "land diameter", (Field("diameter", "land_diameter", "diameter of the top land"),)),
        Method("height", "land height", (Field("height", "land_height", "crown to top ring"),)),
    ),
    gives=("land_diameter", "land_height"),
    part="pistons",
    repeats=2,
    by_part=True,
)
