"""Top-land crevice: land diameter and height."""

from __future__ import annotations

from ccassist.bench.step import Field, Method, Step

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
        Method(
            key="diameter",
            title="land diameter",
            fields=(Field(name="diameter", term="land_diameter", words="diameter of the top land"),),
        ),
        Method(
            key="height",
            title="land height",
            fields=(Field(name="height", term="land_height", words="crown to top ring"),),
        ),
    ),
    gives=("land_diameter", "land_height"),
    part="pistons",
    repeats=2,
)
