"""Head chamber by fluid under a plate."""

from __future__ import annotations

from ccassist.bench.step import Choice, Field, Step
from ccassist.bench.steps.fill import FILL_CHOICES, FILL_SETTINGS, FILLS

PLUG = Choice(name="plug", options=("fitted", "not fitted"), words="is the running plug fitted?")
PLUG_HOLE = Field(
    name="plug_hole", term="plug_hole_volume", words="volume of the plug's hole, if none is fitted", optional=True
)

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
