"""A chamber filled level by level: what lies between the face and each level, for walls that are not upright."""

from __future__ import annotations

from ccassist.bench.step import Field, Method, Step
from ccassist.bench.steps.fill import FILL_CHOICES, FILL_SETTINGS, GAUGE

BY_LEVELS = Method(
    key="burette",
    title="burette and depth of the level read at every stage",
    fields=(
        Field(name="depth", term="level_depth", words="depth of the level after each stage, with ; between", many=True),
        Field(
            name="start",
            term="burette_reading",
            words="burette at the start of each stage",
            many=True,
            goes_with="depth",
        ),
        Field(
            name="end", term="burette_reading", words="burette at the end of each stage", many=True, goes_with="depth"
        ),
    ),
    how=(
        "One row is one whole fill: all its stages in order, the deepest level first, depth 0 at the plate last.",
        "The first stage is from the dry chamber up to the lowest level; a refill of the burette starts another stage.",
        "Some four levels down to half as deep again as the cut that is thought of.",
    ),
)
EDGE = Field(name="edge", term="opening_edge", words="length of the opening's edge, by thread", optional=True)

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
