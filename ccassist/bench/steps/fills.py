"""Spaces filled under a plate, and the ways of delivering a measured fill, which every step that fills shares.

Procedures are common practice, no source, unless said.
"""

from __future__ import annotations

from ccassist.bench.step import BURNS, SAFE, Choice, Field, Method, Said, Slips, Step, Unsaid, by, more
from ccassist.vocabulary import Kind

BURETTE, SYRINGES, WEIGHING = "burette", "syringes", "weighing"
BY_BURETTE = Method(
    BURETTE,
    "burette or syringe read before and after",
    (Field("start", "burette_reading", "burette at the start", many=True),
     Field("end", "burette_reading", "burette at the end", many=True, goes_with="start"),
     Field("fill_time", "elapsed", "time from first contact to the end of the fill", optional=True),
     Field("settle", "burette_reading", "topped-up readings after the fill", many=True, optional=True),
     Field("settle_at", "elapsed", "times of those readings from first contact", many=True, optional=True,
           goes_with="settle")),
    reads=Kind.VOLUME,
    along=True,
    refills="each delivery by itself, such as start 0 ml; 0 ml, end 50 ml; 12.4 ml (in the file two lists)",
    slips=Slips.FILL,
)  # fmt: skip
BY_SYRINGE = Method(
    SYRINGES,
    "full syringes and a remainder",
    (
        Field("full", "fulls", "number of full syringes"),
        Field("each", "burette_reading", "a full syringe, as its scale says", steady=True, example="60 cc"),
        Field("rest", "burette_reading", "last, part-filled delivery", optional=True, example="2.5 cc"),
    ),
    reads=Kind.VOLUME,
    refills="such as full 1, each 60 ml, rest 12.4 ml",
    slips=Slips.FILL,
)
BY_WEIGHING = Method(
    WEIGHING,
    "bottle or syringe weighed before and after",
    (Field("before", "dispenser_mass", "bottle before"), Field("after", "dispenser_mass", "bottle after")),
    reads=Kind.MASS,
    slips=Slips.WEIGHING,
)
FILLS = (BY_BURETTE, BY_SYRINGE, BY_WEIGHING)

# What each way of delivering lays out, and what it adds before, at the end of and after a fill.
FILL_TOOLS = (
    Said("burette, or a syringe read on its scale", by=(BURETTE,)),
    Said("syringe of a known full mark", by=(SYRINGES,)),
    Said("wash bottle or syringe, and a scale that reads 0.1 g", by=(WEIGHING,)),
    "thermometer",
)
BEFORE_FILL = (
    *by(BURETTE, "Tip clear of air, drop wiped off: read the start."),
    more("Burette: eye level with the foot of the meniscus, dark card behind. Syringe: edge of the seal.", BURETTE),
    *by(SYRINGES, "Draw the syringe to its full mark without air, wipe the nozzle."),
    more("Press the plunger one way only, to the same mark each time; leave its last few per cent alone.", SYRINGES),
    *by(WEIGHING, "Weigh the full bottle, not the part that is filled: before."),
    more("Check the scale with a known mass before and after; no draught, bottle in the middle.", WEIGHING),
)
END_OF_FILL = (
    *by(BURETTE, "Let it drain 30 s, read the end."),
    *by(SYRINGES, "Count the full ones; read what the last one gave."),
    *by(WEIGHING, "Weigh the bottle again: after. A drip beside the space spoils the fill."),
    more("Refilled on the way: read the end before and the new start after, and write down both.", BURETTE),
    more("Read the thermometer in the fluid."),
)
LEAKING = more(
    "Level falling? Top up and read again at 30, 60 and 120 s after the fluid first stood there: that shows the leak.",
    BURETTE,
)
DRY = (
    more("Alcohol, spirit, paraffin: mop out and let it dry in fresh air, no air line near.", fluid=BURNS),
    more("Water, oil: mop out, blow dry behind an eye shield, oil bare iron.", fluid=SAFE),
)
PLATE_STIFF = more(
    "Straight-edge on the plate as it is pressed down: [0.05 mm of bow over 50 cm²|0.002 in of bow over 8 in²] "
    "is about 0.1 cc. A plate that bows is too thin."
)

# Depths are read by dial indicator or by depth gauge, which differ: asked before the first of them.
GAUGE = Choice("gauge", (), "what is the depth read with?", optional=True, reads=Kind.LENGTH)

# Asked once a series, never assumed; what is not said is not corrected.
FILL_SETTINGS = (
    Field("hole_diameter", "hole_diameter", "diameter of the plate's fill hole", optional=True),
    Field("plate_thickness", "plate_thickness", "thickness of the plate at the hole", optional=True),
    Field("film", "film_thickness", "grease film between face and plate", optional=True),
    Field("opening", "chamber_area", "open area under the plate", optional=True),
    Field("residue", "residue", "fluid left in the space from the fill before", optional=True),
)
MIXED = "different edges"
FILL_CHOICES = (
    Choice("hole", ("not filled", "filled"), "did the fluid stand in the plate's hole?",
           unsaid=Unsaid("hole-not-said", "it is not said whether the plate's hole was filled: taken as not filled",
                         'hole = "not filled" or "filled"')),
    Choice("meniscus", ("same edge", MIXED), "was the meniscus read at the same edge both times?", optional=True,
           by=(BURETTE,), once=(("mixed edges", MIXED),)),
    Choice("material", ("aluminium", "iron"), "what is the part made of?", optional=True),
)  # fmt: skip


# Head chamber by fluid under a plate.

PLUG = Choice(
    "plug",
    ("fitted", "not fitted"),
    "is the running plug fitted?",
    apart=True,
    unsaid=Unsaid("plug-not-said", "it is not said whether the running plug is fitted: taken as fitted",
                  'plug = "fitted" or "not fitted"'),
)  # fmt: skip
PLUG_HOLE = Field(
    "plug_hole", "plug_hole_volume", "volume of the plug's hole, if none is fitted", optional=True, apart=True
)

CHAMBER = Step(
    key="chamber",
    title="Head chamber by fluid",
    why="The chamber is the largest part of the clearance volume, and no two castings are alike.",
    tools=(
        *FILL_TOOLS,
        "flat clear plate, [6 mm|1/4 in] or thicker, with a fill hole and a vent hole",
        "grease",
        "the plug that will be run",
        "valves for their own seats, light springs",
        "spirit level, straight-edge, lint-free rag",
    ),
    procedure=(
        more("Seats, guides and valves finished, carbon off, face stoned free of burrs: a burr lifts the plate."),
        "Chamber clean and dry; the plug that will be run and the valves in.",
        more("Each valve on its own seat, light springs. Whatever else opens into the chamber: as it will run."),
        more("Try the seats: fluid in the chamber, none may come through in the port. A seat that leaks is lapped or "
             "cut first; grease is for the last weep, a smear on the seat and none in the chamber."),
        more("Head level both ways by spirit level; then raise the side of the vent hole a touch."),
        PLATE_STIFF,
        "Thin grease ring outside the chamber; plate pressed on, vent hole high.",
        more("Press it down with a twist until no more grease comes out; none inside."),
        *BEFORE_FILL,
        "Fill, slowly at the end, until fluid wets the plate and stands at its hole.",
        more("Tap and rock the bubbles to the vent. Full: the underside of the plate wet all round, fluid at the lower "
             "edge of the hole, none in it."),
        *END_OF_FILL,
        more("Wait a minute: a falling level or a wet port is a leak. Cure it and fill again."),
        LEAKING,
        *DRY,
        "Drain, dry, seat the plate anew, fill again: three times at least.",
        more("Every chamber with the same plug, plate and hands; then the first one once more, which shows drift."),
    ),
    cautions=("household", "fingers", "air-line", "bolt-holes"),
    methods=FILLS,
    settings=(*FILL_SETTINGS, PLUG_HOLE),
    choices=(PLUG, *FILL_CHOICES),
    gives=("chamber_volume",),
    part="head",
    repeats=3,
    fills=True,
    corrected=True,
)  # fmt: skip


# A chamber filled level by level: what lies between the face and each level, for walls that are not upright.

BY_LEVELS = Method(
    BURETTE,
    "burette and depth of the level read at every stage",
    (
        Field("depth", "level_depth", "depth of the level after each stage, with ; between", many=True),
        Field("start", "burette_reading", "burette at the start of each stage", many=True, goes_with="depth"),
        Field("end", "burette_reading", "burette at the end of each stage", many=True, goes_with="depth"),
    ),
    reads=Kind.VOLUME,
    along=True,
    refills="each delivery by itself, such as start 0 ml; 0 ml, end 50 ml; 12.4 ml (in the file two lists)",
    slips=Slips.FILL,
)
EDGE = Field("edge", "opening_edge", "length of the opening's edge, by thread", optional=True)

STAGES = Step(
    key="stages",
    title="Chamber level by level",
    why="Where walls slope, a skim loses less the deeper it goes: the levels show the open area at every depth.",
    tools=(
        "burette or syringe",
        "depth micrometer, or depth gauge on a bridge across the face",
        "flat clear plate with a fill hole and a vent hole, grease",
        "the plug that will be run, valves on their seats",
        "spirit level, thermometer",
    ),
    procedure=(
        "Chamber as for one fill, but the face dead level and no plate yet.",
        more("A fluid that wets: water with a drop of detergent, or spirit. It climbs the wall, and that is reckoned."),
        "Fill from dry to the lowest level; read the burette.",
        "Turn the depth gauge down in the middle until it just touches; read it.",
        "The next levels likewise, the last one without the plate well below the edge.",
        more("Some four levels, down to half as deep again as the cut that is thought of."),
        more("A refill of the burette starts another stage: its end, its depth, then the new start."),
        "Grease and plate on without spilling; fill to the plate: depth 0. Read.",
        more("One reading is one whole fill: all its stages in order, the deepest level first."),
        "Drain, dry, and do the whole of it again.",
        more("Note the head's state: after a cut these levels no longer hold."),
    ),
    cautions=("household",),
    methods=(BY_LEVELS,),
    settings=(*(f for f in FILL_SETTINGS if f.name in ("hole_diameter", "plate_thickness")), EDGE),
    choices=(GAUGE, *(c for c in FILL_CHOICES if c.name in ("hole", "material"))),
    gives=("staged_volume", "staged_depth"),
    part="head",
    repeats=2,
    fills=True,
    check=True,
)


# A burette, syringe or marked bottle calibrated: steps weighed, or set against a rod or bore of known size.

_SCALE_READ = (
    Field("from", "burette_reading", "scale at the start, if it was not nought", optional=True),
    Field("to", "burette_reading", "scale at the end"),
)
WEIGHED = Method(
    "weighed",
    "each step delivered and weighed",
    (*_SCALE_READ, Field("before", "weighed_mass", "mass before the delivery, 0 for a tared cup"),
     Field("after", "weighed_mass", "mass after the delivery")),
    reads=Kind.VOLUME,
    against=Kind.MASS,
    slips=Slips.FILL,
)  # fmt: skip
BY_SIZE = Method(
    "size",
    "rod dropped in, or bore filled, of known size",
    (*_SCALE_READ, Field("diameter", "gauge_diameter", "diameter of the rod or bore"),
     Field("length", "gauge_length", "length of the rod, or depth of the bore")),
    reads=Kind.VOLUME,
    against=Kind.LENGTH,
    slips=Slips.FILL,
)  # fmt: skip

CALIBRATE = Step(
    key="calibrate",
    title="Calibration of a burette or syringe",
    why="A scale that is out by two per cent puts every chamber out by two per cent, and no repeat shows it.",
    tools=(
        "the burette, syringe or marked bottle, as it is used",
        "water at room temperature, thermometer",
        Said("scale reading to 0.1 g or finer, and a cup", by=("weighed",)),
        Said("ground rod or reamed bore, micrometer", by=("size",)),
    ),
    procedure=(
        "Rinse it, walls wet as in use; water at room temperature, no air.",
        *by("weighed", "Read the scale, deliver, read again; weigh the cup before and after."),
        more("The bottle may be weighed instead of the cup: the mass then falls.", "weighed"),
        more("Check the balance with a known mass before and after; out of draughts; cover the cup.", "weighed"),
        *by("size", "Rod: read the scale before and after it goes under; or fill a bore level."),
        more("Measure the rod or bore at both ends and on two axes; no chamfers.", "size"),
        "Steps over all that will be used, the smallest remainder too.",
        "The same hand, meniscus, draining and direction as in the real job.",
        more("A plunger one way only; its last few per cent left alone. Read the thermometer."),
        "Three runs up the scale; two sizes and three steps at the very least.",
        more("Write a letter and the date on the instrument."),
    ),
    cautions=(),
    methods=(WEIGHED, BY_SIZE),
    choices=(
        Choice("scale", (), "what were they weighed with, or the rod or bore measured with?"),
        Choice(
            "valid_for",
            ("1 month", "3 months", "6 months", "1 year", "2 years"),
            "when is it to be done again?",
            optional=True,
        ),
        Choice(
            "material", ("aluminium", "iron"), "what is the rod or bore made of?", optional=True, against=Kind.LENGTH
        ),
    ),
    gives=(),
    part="",
    repeats=6,
    fills=True,
)
