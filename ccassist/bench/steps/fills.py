"""The ways of delivering a measured fill of fluid, shared by every step that fills."""

from __future__ import annotations

from ccassist.bench.step import Choice, Field, Method, Slips, Step, Unsaid
from ccassist.vocabulary import Kind

BY_BURETTE = Method(
    "burette",
    "burette or syringe read before and after",
    (
        Field("start", "burette_reading", "burette at the start", many=True),
        Field("end", "burette_reading", "burette at the end", many=True, goes_with="start"),
        Field("fill_time", "elapsed", "time from first contact to the end of the fill", optional=True),
        Field("settle", "burette_reading", "topped-up readings after the fill", many=True, optional=True),
        Field(
            "settle_at",
            "elapsed",
            "times of those readings from first contact",
            many=True,
            optional=True,
            goes_with="settle",
        ),
    ),
    how=(
        "Run the tip clear of air, wipe off the hanging drop, read the bottom of the meniscus at eye level.",
        "If it had to be refilled, give every start, then every end, a semicolon between: 0; 0, then 50; 12.4.",
        "If the level falls afterwards, top up and read again at 30, 60 and 120 s: that shows the leak.",
    ),
    reads=Kind.VOLUME,
    along=True,
    refills="each delivery by itself, such as start 0 ml; 0 ml, end 50 ml; 12.4 ml (in the file two lists)",
    slips=Slips.FILL,
)
BY_SYRINGE = Method(
    "syringes",
    "full syringes and a remainder",
    (
        Field("full", "fulls", "number of full syringes"),
        Field("each", "burette_reading", "a full syringe, as its scale says", steady=True, example="60 cc"),
        Field("rest", "burette_reading", "last, part-filled delivery", optional=True, example="2.5 cc"),
    ),
    how=("Press the plunger in one direction only, to the same stop each time; do not use the last few per cent.",),
    reads=Kind.VOLUME,
    refills="such as full 1, each 60 ml, rest 12.4 ml",
    slips=Slips.FILL,
)
BY_WEIGHING = Method(
    "weighing",
    "dispenser weighed before and after",
    (Field("before", "dispenser_mass", "dispenser before"), Field("after", "dispenser_mass", "dispenser after")),
    how=(
        "Weigh the dispenser, not the head: lift it off, fill the chamber, put it back.",
        "Check the scale with a known mass before and after; keep off draughts.",
    ),
    reads=Kind.MASS,
    slips=Slips.WEIGHING,
)
FILLS = (BY_BURETTE, BY_SYRINGE, BY_WEIGHING)

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
FILL_CHOICES = (
    Choice(
        "hole",
        ("not filled", "filled"),
        "did the fluid stand in the plate's hole?",
        unsaid=Unsaid(
            "hole-not-said",
            "it is not said whether the plate's hole was filled: taken as not filled",
            'hole = "not filled" or "filled"',
        ),
    ),
    Choice(
        "meniscus", ("same edge", "mixed edges"), "was the meniscus read at the same edge both times?", optional=True
    ),
    Choice("material", ("aluminium", "iron"), "what is the part made of?", optional=True),
)


# Head chamber by fluid under a plate.

PLUG = Choice(
    "plug",
    ("fitted", "not fitted"),
    "is the running plug fitted?",
    unsaid=Unsaid(
        "plug-not-said",
        "it is not said whether the running plug is fitted: taken as fitted",
        'plug = "fitted" or "not fitted"',
    ),
)
PLUG_HOLE = Field("plug_hole", "plug_hole_volume", "volume of the plug's hole, if none is fitted", optional=True)

CHAMBER = Step(
    key="chamber",
    title="Head chamber by fluid",
    why="The chamber is the largest part of the clearance volume, and no two castings are alike.",
    tools=(
        "burette, syringe, or bottle and scale",
        "clear plate with a fill hole and a vent hole",
        "grease",
        "the plug that will be run",
        "valves on their own seats, light springs",
        "level, rag, air line, thermometer",
    ),
    procedure=(
        "Clean and dry the chamber; the face free of burrs. Seats, guides and valves are finished first.",
        "Fit the running plug and the valves; a smear of grease on the seats if they are not tight.",
        "Tilt the head slightly so that the vent hole is the high edge.",
        "A thin ring of grease outside the chamber edge; press the plate down with a twist; none squeezed inside.",
        "Read the start. Fill fast to nine tenths, then slowly; chase every bubble to the vent.",
        "Stop when the fluid wets the plate all round and stands at the lower edge of the hole. Wait 30 s, read.",
        "Look for a falling level and wet ports. Drain, blow dry, seat the plate anew, repeat at least three times.",
        "Measure every chamber, then the first one again: it shows drift.",
    ),
    cautions=("flammable", "acrylic", "household", "fingers", "bolt-holes"),
    methods=FILLS,
    settings=(*FILL_SETTINGS, PLUG_HOLE),
    choices=(PLUG, *FILL_CHOICES),
    gives=("chamber_volume",),
    part="head",
    repeats=3,
    fills=True,
)


# Piston crown: in the bore at a known depth, or on the bench.

CROWN = Step(
    key="crown",
    title="Piston crown in the bore",
    why="Dish, dome and reliefs together, as they sit in the engine: whatever the shape, the fluid knows.",
    tools=(
        "dial indicator and bridge",
        "clear plate over the bore",
        "burette, syringe, or bottle and scale",
        "grease",
        "top ring, or grease for the crown edge",
    ),
    procedure=(
        "Stand the bore upright. Piston and rod on the crank, at true top dead centre, crown clean.",
        "Indicator on the crown flat over the pin axis: set to zero.",
        "Turn by hand to lower the piston by a known drop, just enough for the plate to clear the crown.",
        "Seal the crown edge with grease and wipe flush, or rely on the greased top ring; say which.",
        "Grease ring, plate on the deck, fill as a chamber: read start and end.",
        "Drain, dry, repeat at least three times; read the drop again at the end.",
    ),
    cautions=("hydraulic-lock", "flammable", "acrylic", "fingers", "household"),
    methods=FILLS,
    settings=(
        Field(
            "drop",
            "crown_drop",
            "drop of the piston from top dead centre",
            many=True,
            unsaid=Unsaid("no-drop", "how far the piston was lowered is not given", 'drop = "12.70 mm"', refused=True),
        ),
        *FILL_SETTINGS,
    ),
    choices=(
        Choice(
            "seal",
            ("grease", "ring"),
            "what sealed the crown edge?",
            unsaid=Unsaid(
                "no-seal", "it is not said what sealed the crown edge", 'seal = "grease" or "ring"', refused=True
            ),
        ),
        GAUGE,
        *FILL_CHOICES,
    ),
    gives=("crown_fill", "crown_drop"),
    part="pistons",
    repeats=3,
    fills=True,
)

CROWN_ON_BENCH = Step(
    key="crown-bench",
    title="Piston crown on the bench",
    why="A dish with a continuous flat edge, or a dome inside a ring, can be measured before assembly.",
    tools=("clear plate", "ring of known bore for a dome", "burette, syringe, or bottle and scale", "grease, tape"),
    procedure=(
        "Dish: grease the crown flat, press the plate straight on it, fill.",
        "Dome: grease a ring of known bore round the crown, plate at a known height above the crown flat, fill.",
        "Dam open-edged reliefs with clay or tape. Drain, dry, repeat at least three times.",
    ),
    cautions=("flammable", "acrylic", "household"),
    methods=FILLS,
    settings=(
        Field("ring_bore", "ring_bore", "bore of the measuring ring", optional=True),
        Field("ring_height", "ring_height", "height of the plate above the crown flat", optional=True),
        *FILL_SETTINGS,
    ),
    choices=FILL_CHOICES,
    gives=("crown_volume",),
    part="pistons",
    repeats=3,
    fills=True,
    instead_of=CROWN.key,
)


# Whole assembly through the plug hole: one number that all the parts must add up to.

THREAD, SEAT = "bottom thread", "plug seat"
LEVEL = Choice(
    "level",
    (THREAD, SEAT),
    "up to where was it filled?",
    unsaid=Unsaid(
        "no-level", "it is not said up to where it was filled", f'level = "{THREAD}" or "{SEAT}"', refused=True
    ),
)
PLUG_WELL = Field("plug_well", "plug_well_volume", "plug's well, from its bottom thread to its seat", optional=True)
PLUG_NOSE = Field(
    "plug_nose",
    "plug_nose_volume",
    "nose of the plug: adds space inside, takes what stands out",
    optional=True,
    unsaid=Unsaid(
        "nose-not-said", "nothing is said of the plug's nose: taken as nothing", 'plug_nose = "adds 0.3 cc", or "none"'
    ),
)

ASSEMBLY = Step(
    key="assembly",
    title="Whole assembly through the plug hole",
    why="One number that all the parts must add up to: what was forgotten or counted twice shows here.",
    tools=(
        "burette or syringe with a thin tube",
        "light oil, or paraffin and oil in halves, so that the rings hold",
        "a lock for the crank",
        "stand to tip the engine",
        "watch, rag, air line",
    ),
    procedure=(
        "Top dead centre of the compression stroke, both valves shut, lash wide. Lock the crank.",
        "Tip the engine so that the plug hole is upright and the highest point of the chamber.",
        "Fill through a thin tube to the far end; wait and rock, several times, until no more air comes.",
        "Fill to the bottom thread, and nothing is taken off; or to the plug seat, and the well is: say which.",
        "Note the time of the fill; top up and read at 15, 30, 60 and 120 s: that shows what leaks past the rings.",
        "Suck it out, plug out; turn over by hand only, rag over the hole. Blow out, dry, oil the bores.",
        "Change the oil before the first start if any went past the rings.",
    ),
    cautions=("plug-hole", "hydraulic-lock", "flammable", "fingers", "household"),
    methods=FILLS,
    settings=(PLUG_WELL, PLUG_NOSE, *(f for f in FILL_SETTINGS if f.name == "residue")),
    choices=(LEVEL, *(c for c in FILL_CHOICES if c.name != "hole")),
    gives=("assembly_volume",),
    part="block",
    repeats=2,
    fills=True,
    check=True,
    leaks="thicker fluid, or grease the ring ends, and fill again",
)


# A chamber filled level by level: what lies between the face and each level, for walls that are not upright.

BY_LEVELS = Method(
    "burette",
    "burette and depth of the level read at every stage",
    (
        Field("depth", "level_depth", "depth of the level after each stage, with ; between", many=True),
        Field("start", "burette_reading", "burette at the start of each stage", many=True, goes_with="depth"),
        Field("end", "burette_reading", "burette at the end of each stage", many=True, goes_with="depth"),
    ),
    how=(
        "One row is one whole fill: all its stages in order, the deepest level first, depth 0 at the plate last.",
        "The first stage is from the dry chamber up to the lowest level; a refill of the burette starts another stage.",
        "Some four levels down to half as deep again as the cut that is thought of.",
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
        "depth micrometer or depth gauge on a bridge across the face",
        "clear plate with a fill hole and a vent hole, grease",
        "the plug that will be run, the valves on their seats",
        "level, thermometer",
    ),
    procedure=(
        "As for a chamber, but face dead level and no plate yet. A fluid that wets: water with detergent, or spirit.",
        "Fill from dry to the lowest level. Turn the depth gauge down in the middle until it just touches; read both.",
        "Fill to the next level, and so on; the last level without the plate well below the edge.",
        "Then grease and plate on, without disturbing it, and fill to the plate: depth 0. Read the burette.",
        "Drain, dry, repeat. Note the head's state: after a cut the levels no longer hold.",
    ),
    cautions=("flammable", "acrylic", "household"),
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
    (
        *_SCALE_READ,
        Field("before", "weighed_mass", "mass before the delivery, 0 for a tared cup"),
        Field("after", "weighed_mass", "mass after the delivery"),
    ),
    how=(
        "Weigh the cup that takes it or the dispenser that gives it: the mass may rise or fall.",
        "Check the scale with a known mass before and after; keep off draughts; cover the cup.",
    ),
    reads=Kind.VOLUME,
    against=Kind.MASS,
    slips=Slips.FILL,
)
BY_SIZE = Method(
    "size",
    "rod dropped in, or bore filled, of known size",
    (
        *_SCALE_READ,
        Field("diameter", "gauge_diameter", "diameter of the rod or bore"),
        Field("length", "gauge_length", "length of the rod, or depth of the bore"),
    ),
    how=(
        "Measure the rod or bore with a micrometer, at both ends and on two axes; no chamfers.",
        "Rod: read the scale before and after it goes under. Bore: fill it level under a plate.",
    ),
    reads=Kind.VOLUME,
    against=Kind.LENGTH,
    slips=Slips.FILL,
)

CALIBRATE = Step(
    key="calibrate",
    title="Calibration of a burette or syringe",
    why="A scale that is out by two per cent puts every chamber out by two per cent, and no repeat shows it.",
    tools=(
        "water at room temperature, thermometer",
        "scale reading to 0.1 g or finer and a cup, or a ground rod or reamed bore",
        "the burette, syringe or marked bottle, as it is used",
    ),
    procedure=(
        "Rinse it and wet its walls as in use; room-temperature water, no air.",
        "Deliver steps over the whole range that will be used, the smallest remainder and the full scale too.",
        "Weigh each: read the scale before and after. Same technique, meniscus and draining as in the real job.",
        "Move the plunger in one direction only, the one that is used. Leave its last few per cent alone.",
        "Three runs up the scale if you can, two sizes and three steps at the very least; read the temperature.",
        "Write a letter on the instrument, and the date.",
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
