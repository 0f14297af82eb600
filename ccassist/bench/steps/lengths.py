"""Lengths: bore, stroke, rod and block, deck, gasket, openings, the top land, and the lift of the valves.

Procedures are common practice, no source, unless said.
"""

from __future__ import annotations

from dataclasses import replace

from ccassist.bench.step import Field, Method, Said, Slips, Step, by, more
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
        more("Set the bore gauge in the micrometer, rock it in the bore, read the smallest."),
        *by("top and low", "Each bore near the top of the ring travel and low in it: their difference is its taper."),
        *by("bore", "Each bore near the top of the ring travel."),
        "On two axes, along the crank and across: a reading each.",
    ),
    cautions=("fingers",),
    methods=(
        _single("bore", "bore", "finished bore"),
        Method(
            "top and low",
            "finished bore near the top and low, for its taper",
            (Field("top", "bore", "bore near the top of the ring travel"), Field("low", "bore", "bore low down")),
            tapers=("top", "low"),
        ),
    ),
    gives=("bore",),
    part="block",
    repeats=2,
)
CORNERS = ("front_left", "front_right", "rear_left", "rear_right")
STROKE = Step(
    key="stack",
    title="Stroke, rod, block and compression height",
    why="These four lengths say where the piston stops, before anything is assembled.",
    tools=(
        Said("dial indicator", by=("stroke",)),
        Said("inside and outside micrometers, or a long vernier caliper", by=("rod",)),
        Said("mandrel or ground bar to fit the main bearings, height gauge", by=("block", "corners")),
        Said("surface plate, height gauge, the piston's own pin", by=("pin_height",)),
    ),
    procedure=(
        *by("stroke", "Stroke: dial on the crown over the pin axis, from bottom to top dead centre.",
            "Or twice the throw: highest less lowest reading over one crankpin as it turns."),
        *by("rod", "Rod: cap on and torqued with its own bolts, bearings out, both bores clean.",
            "Measure between the near edges of the two bores; add half of each bore.",
            "Or measure over the far edges, and take half of each bore off."),
        Said("Block: mandrel or bar in the main bearings, caps torqued.", by=("block", "corners")),
        Said("Measure from the top of the bar to the deck, square to it; add half the bar's diameter.",
             by=("block", "corners")),
        *by("corners", "At all four corners of the deck, each in its own box: front, rear, left, right."),
        more("Left and right as seen from the rear, each deck by itself; their difference is its tilt.", "corners"),
        *by("pin_height", "Piston: crown flat down on the surface plate, its own pin in, pushed one way.",
            "Measure from the plate to the near side of the pin; add half the pin's diameter."),
        more("A dome stands in the way: measure down from the crown flat. No dish and no dome in this length.",
             "pin_height"),
    ),
    cautions=("fingers",),
    methods=(
        _single("stroke", "stroke", "stroke", part="crank"),
        _single("rod", "rod_length", "rod length, centre to centre", part="rods"),
        _single("block", "block_deck_height", "block deck height", needless="deck_clearance"),
        Method(
            "corners",
            "block deck height at the four corners",
            tuple(Field(name, "block_deck_height", f"{name.replace('_', ' ')} corner") for name in CORNERS),
            instead_of="block",
            needless="deck_clearance",
            even=CORNERS,
        ),
        _single("pin_height", "compression_height", "compression height", part="pistons", needless="deck_clearance"),
    ),
    gives=("stroke", "rod_length", "block_deck_height", "compression_height"),
    part="block",
    repeats=1,
    by_part=True,
)  # fmt: skip


# Deck clearance by dial indicator.

DECK = Step(
    key="deck",
    title="Deck clearance",
    why="How far the crown flat stops from the deck decides squish, and the ratio feels every bit of it.",
    tools=("dial indicator in a bridge", "degree wheel or piston stop", "clean deck and crown, rag"),
    procedure=(
        "Dial to zero on the deck right beside the bore, bridge across it.",
        *by("pin axis", "Move it over the crown flat on the pin axis, front, then rear: rocking cancels there."),
        *by("both sides", "Pin axis out of reach: push the piston each way, read both thrust sides."),
        *by("centre", "Move it over the crown flat on the pin axis."),
        "Turn by hand through top dead centre; the highest point counts, below the deck or proud of it.",
        "Back to the deck: the dial shows zero again, or read anew. Do every cylinder.",
        more("One cylinder out by [0.1 mm|0.004 in], its neighbours alike: dirt, wrong piston, bent or short rod."),
        more("A steady slope from front to rear: the deck is not parallel to the crank."),
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
    reads=Kind.MASS,
    gives="gasket_area",
    instead_of="opening",
)
THICKNESS = Method(
    "thickness",
    "compressed thickness",
    (Field("thickness", "gasket_thickness", "compressed thickness, one point"),),
    repeats=5,
)

TRACE = (
    *by("outline", "Read points in order all the way round: some forty, close in bends, one in every corner."),
    more("A corner is found by how sharply the line turns there. One reading is one tracing: trace anew for the next.",
         "outline"),
)  # fmt: skip
WEIGH_CARD = (
    *by("cut-out", "Cut it out of heavy even card, plastic or shim, several copies; weigh them together.",
        "Cut a square of known size from the same sheet and weigh it."),
    more("Office paper is too light; squares from two directions of the sheet show how evenly it weighs.", "cut-out"),
)  # fmt: skip

GASKET = Step(
    key="gasket",
    title="Head gasket",
    why="Opening times compressed thickness is a volume of its own; the opening is larger than the bore.",
    tools=(
        Said("vernier caliper", by=("opening", "ellipse")),
        Said("micrometer", by=("thickness",)),
        Said("the maker's compressed figure, or lead or solder to be clamped with a gasket", by=("thickness",)),
        Said("graph paper and a soft pencil", by=("outline",)),
        Said("heavy card, knife, and a scale that reads 0.01 g", by=("cut-out",)),
    ),
    procedure=(
        *by("opening", "Bore of the sealing ring, not of the cylinder, on two axes: a reading each."),
        *by("ellipse", "Long and short axis of the sealing ring. Flats and notches are traced or cut out instead."),
        *by("outline", "Trace the inside of the sealing ring on graph paper."),
        *by("cut-out", "Trace the inside of the sealing ring on the card."),
        *TRACE,
        *WEIGH_CARD,
        *by("thickness", "Compressed thickness, at five points round the sealing ring and at the bolt-hole lands.",
            "Used multi-layer steel or composite gaskets spring back: a micrometer on one reads too thick."),
        more("Best the maker's figure for your torque; say so: [1.20 mm|0.047 in], maker's figure.", "thickness"),
        more("Or torque it down with lead or solder beside the ring, and measure that. Never the free thickness.",
             "thickness"),
        more("A shim or second gasket is a layer: a part of its own, with its own opening and thickness."),
    ),
    cautions=("contact",),
    methods=(ROUND, ELLIPSE, OUTLINE, CUTOUT, THICKNESS),
    gives=("gasket_bore", "gasket_area", "gasket_thickness"),
    part="gasket",
    repeats=2,
    by_part=True,
    layer="a shim, or a second gasket",
)  # fmt: skip


# The opening of a chamber at the head face: what a skim takes for every bit of its depth.

OPENING = Step(
    key="opening",
    title="Chamber opening at the face",
    why="A skim takes the open area at the face times its depth; the area is not that of bore or gasket.",
    tools=(
        "paper and a soft pencil, or marking blue",
        Said("graph paper", by=("outline",)),
        Said("heavy card, knife, and a scale that reads 0.01 g", by=("cut-out",)),
    ),
    procedure=(
        "Clean face, valves in. Rub or print the chamber's edge at the face; squish pads stay outside it.",
        *by("outline", "Trace the chamber on graph paper."),
        *by("cut-out", "Trace the chamber on the card."),
        *TRACE,
        *WEIGH_CARD,
        more("For a tilted cut measure x square to the edge of the head that is not cut, and say where its zero lies.",
             "outline"),
        more("After a skim the opening is another, unless the walls are upright."),
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
)  # fmt: skip


# Top-land crevice: land diameter and height.

LAND = Step(
    key="land",
    title="Top land",
    why="The gap above the top ring is clearance volume too: about one per cent of it, in or out by your own choice.",
    tools=(Said("micrometer", by=("diameter",)), Said("vernier caliper or depth gauge", by=("height",))),
    procedure=(
        *by("diameter", "Diameter of the land above the top ring, on two axes: it is smaller than the skirt."),
        *by("height", "From the crown flat to the upper face of the top ring."),
        more("The crevice is counted or left out by your choice: never both in a fill and in the sum."),
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


# Lift of the valves against crank angle: what valve-to-piston room and pockets are worked out from.

FEWEST_LIFTS = 11


def _lifts(valve: str, nearest: str) -> Step:
    return Step(
        key=f"{valve}-lifts",
        title=f"Lift of the {valve} valve",
        why="Valve and piston come nearest about overlap, not at full lift: the lift read there decides the pocket.",
        tools=(
            "degree wheel and pointer, zero at true top dead centre",
            "dial indicator, its stem in line with the valve's",
            "light checking spring, the tappet and lash that will be run",
        ),
        procedure=(
            "Degree wheel to zero at true top dead centre by piston stop, at overlap.",
            f"Dial on the spring retainer of the {valve} valve, in line with the stem; zero on the seat.",
            more("A hydraulic tappet bleeds down: use a solid one of the same length. Lash as it will be run."),
            f"Every 2 to 5 degrees from before to after top dead centre ({nearest}): angle and lift.",
            more("Turn one way only, by hand; past a mark by mistake, go well back and come up to it again."),
            "Before top dead centre say before; a reading each, in any order.",
            more("At the end turn on until the valve is shut: the dial is back at zero, or read anew."),
        ),
        cautions=("valve-mock-up", "tappets", "fingers"),
        methods=(
            Method(
                "lifts",
                "degree wheel, and dial on the valve",
                (
                    Field("angle", "crank_angle", "degree wheel, from TDC at overlap", example="10 deg before"),
                    Field("lift", "valve_lift", f"lift of the {valve} valve"),
                ),
                gives="valve_lift",
                slips=Slips.DIAL,
            ),
        ),
        gives=(),
        part="head",
        repeats=FEWEST_LIFTS,
        check=True,
        by_part=True,
        curve=(f"valve.{valve}", "lifts"),
    )


INTAKE_LIFTS = _lifts("intake", "nearest some 10 degrees after")
EXHAUST_LIFTS = _lifts("exhaust", "nearest some 10 degrees before")
