"""Piston crown: in the bore at a known depth, or on the bench."""

from __future__ import annotations

from ccassist.bench.step import Choice, Field, Step
from ccassist.bench.steps.fill import FILL_CHOICES, FILL_SETTINGS, FILLS, GAUGE

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
        Field(name="drop", term="crown_drop", words="drop of the piston from top dead centre", many=True),
        *FILL_SETTINGS,
    ),
    choices=(
        Choice(name="seal", options=("grease", "ring"), words="what sealed the crown edge?"),
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
        Field(name="ring_bore", term="ring_bore", words="bore of the measuring ring", optional=True),
        Field(name="ring_height", term="ring_height", words="height of the plate above the crown flat", optional=True),
        *FILL_SETTINGS,
    ),
    choices=FILL_CHOICES,
    gives=("crown_volume",),
    part="pistons",
    repeats=3,
    fills=True,
)
