"""Fills over the piston: the crown in its bore or on the bench, and the whole assembly through the plug hole.

Procedures are common practice, no source, unless said.
"""

from __future__ import annotations

from ccassist.bench.step import Choice, Field, Step, Unsaid, more
from ccassist.bench.steps.fills import (
    BEFORE_FILL,
    DRY,
    END_OF_FILL,
    FILL_CHOICES,
    FILL_SETTINGS,
    FILL_TOOLS,
    FILLS,
    GAUGE,
    LEAKING,
    PLATE_STIFF,
)

CROWN = Step(
    key="crown",
    title="Piston crown in the bore",
    why="Dish, dome and reliefs together, as they sit in the engine: whatever the shape, the fluid knows.",
    tools=(
        *FILL_TOOLS,
        "dial indicator in a bridge, travel longer than the drop",
        "flat clear plate over the bore, with a fill hole and a vent hole",
        "grease",
        "a lock for the crank",
        "hand pump or big syringe to suck the fluid out; rag, oil for the bore",
    ),
    procedure=(
        more("Piston, rod and top ring on the crank; deck and crown clean; bore upright, or a hair off for the vent."),
        "Dial to zero on the crown, over the pin axis, at true top dead centre.",
        more("True top dead centre lies halfway between equal readings either side, not at the damper's mark."),
        "Lower the piston by a known drop, crown clear of the plate; lock the crank.",
        more("Keep the drop small: [0.05 mm is 0.3 cc on an 86 mm|0.002 in is 0.3 cc on a 3.4 in] bore."),
        more("Come to the drop turning one way only, so that the bearing's slack lies as it did at the zero."),
        "Crown's edge sealed with grease, or by the greased top ring; plate on grease.",
        more("Piston up into a smear of grease on the wall, wiped flush: a [1 mm|0.04 in] fillet is 0.15 cc."),
        PLATE_STIFF,
        *BEFORE_FILL,
        more("Fill as a chamber: slowly at the end, bubbles to the vent, fluid at the lower edge of the hole."),
        *END_OF_FILL,
        LEAKING,
        "Suck the fluid out before the crank is touched; dry. Three fills at least.",
        *DRY,
        more("Read the drop again at the end: it has not moved."),
        more("Unlock the crank only once the crown is dry. Oil the bore; change the oil if solvent passed the rings."),
    ),
    cautions=("hydraulic-lock", "wet-bores", "fingers", "household", "air-line"),
    methods=FILLS,
    settings=(
        Field(
            "drop",
            "crown_drop",
            "drop of the piston from top dead centre",
            many=True,
            apart=True,
            unsaid=Unsaid("no-drop", "how far the piston was lowered is not given", 'drop = "12.70 mm"', refused=True),
        ),
        *FILL_SETTINGS,
    ),
    choices=(
        Choice(
            "seal",
            ("grease", "ring"),
            "what sealed the crown edge?",
            apart=True,
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
    corrected=True,
)

CROWN_ON_BENCH = Step(
    key="crown-bench",
    title="Piston crown on the bench",
    why="A dish with a continuous flat edge, or a dome inside a ring, can be measured before assembly.",
    tools=(
        *FILL_TOOLS,
        "flat clear plate with a fill hole and a vent hole",
        "for a dome a ring of known bore, longer than the dome is high",
        "grease; clay or tape for reliefs that run out at the edge",
    ),
    procedure=(
        "Crown clean and dry, crown flat level both ways.",
        "Dish: grease the flat round it, press the plate straight on.",
        "Dome: greased ring of known bore round it, plate at a known height.",
        more("The height is that of the plate over the crown flat. Measure it after the ring is seated."),
        more("Dam reliefs that run out at the edge with clay or tape, flush with the crown flat."),
        PLATE_STIFF,
        *BEFORE_FILL,
        *END_OF_FILL,
        *DRY,
        "Drain, dry, plate on anew: three fills at least, two pistons of the set.",
    ),
    cautions=("household", "air-line"),
    methods=FILLS,
    settings=(
        Field("ring_bore", "ring_bore", "bore of the measuring ring", optional=True, apart=True),
        Field("ring_height", "ring_height", "height of the plate above the crown flat", optional=True, apart=True),
        *FILL_SETTINGS,
    ),
    choices=FILL_CHOICES,
    gives=("crown_volume",),
    part="pistons",
    repeats=3,
    fills=True,
    corrected=True,
    instead_of=CROWN.key,
)


# Whole assembly through the plug hole: one number that all the parts must add up to.

THREAD, SEAT = "bottom thread", "plug seat"
LEVEL = Choice(
    "level",
    (THREAD, SEAT),
    "up to where was it filled?",
    apart=True,
    unsaid=Unsaid(
        "no-level", "it is not said up to where it was filled", f'level = "{THREAD}" or "{SEAT}"', refused=True
    ),
)
PLUG_WELL = Field(
    "plug_well", "plug_well_volume", "plug's well, from its bottom thread to its seat", optional=True, apart=True
)
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
        *FILL_TOOLS,
        "thin tube to the far end of the chamber",
        "light oil, or paraffin and oil in halves, so that the rings hold",
        "a lock for the crank",
        "engine stand and hoist rated for the whole engine, a second person",
        "watch, hand pump or big syringe, rag",
    ),
    procedure=(
        "TDC of compression, both valves shut, tappets slack; lock the crank.",
        more("Battery off. Rockers off where tappets cannot be slackened. Ring ends greased at assembly hold best."),
        "With a second person tip the engine: plug hole upright and highest.",
        *BEFORE_FILL,
        "Light oil by a thin tube to the far end; wait and rock until no air comes.",
        "Fill to the bottom thread, or to the plug seat: say which.",
        more("To the thread nothing is taken off; to the seat the plug's well is."),
        *END_OF_FILL,
        more("Note the time of the fill; top up and read at 15, 30, 60 and 120 s: that shows what the rings let by.",
             "burette"),
        "Suck it out before the crank is touched; plug out, turn by hand only.",
        more("Rag over the hole, face away from it. Engine back upright with two people. Blow out, oil the bores."),
        more("Change oil and filter before the first start if any went past the rings."),
    ),
    cautions=("plug-hole", "hydraulic-lock", "lifting", "fingers", "household"),
    methods=FILLS,
    settings=(PLUG_WELL, PLUG_NOSE, *(f for f in FILL_SETTINGS if f.name == "residue")),
    choices=(LEVEL, *(c for c in FILL_CHOICES if c.name != "hole")),
    gives=("assembly_volume",),
    part="block",
    repeats=2,
    fills=True,
    corrected=True,
    check=True,
    leaks="thicker fluid, or grease the ring ends, and fill again",
    fluid="light oil",
    other_fluid="past-rings",
)  # fmt: skip
