"""The ways of delivering a measured fill of fluid, shared by every step that fills."""

from __future__ import annotations

from ccassist.bench.step import Choice, Field, Method
from ccassist.vocabulary import Kind

BY_BURETTE = Method(
    key="burette",
    title="burette or syringe read before and after",
    fields=(
        Field(name="start", term="burette_reading", words="burette at the start", many=True),
        Field(name="end", term="burette_reading", words="burette at the end", many=True, goes_with="start"),
        Field(name="fill_time", term="elapsed", words="time from first contact to the end of the fill", optional=True),
        Field(
            name="settle", term="burette_reading", words="topped-up readings after the fill", many=True, optional=True
        ),
        Field(
            name="settle_at",
            term="elapsed",
            words="times of those readings from first contact",
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
)
BY_SYRINGE = Method(
    key="syringes",
    title="full syringes and a remainder",
    fields=(
        Field(name="full", term="fulls", words="number of full syringes"),
        Field(
            name="each", term="burette_reading", words="a full syringe, as its scale says", steady=True, example="60 cc"
        ),
        Field(name="rest", term="burette_reading", words="last, part-filled delivery", optional=True, example="2.5 cc"),
    ),
    how=("Press the plunger in one direction only, to the same stop each time; do not use the last few per cent.",),
)
BY_WEIGHING = Method(
    key="weighing",
    title="dispenser weighed before and after",
    fields=(
        Field(name="before", term="dispenser_mass", words="dispenser before"),
        Field(name="after", term="dispenser_mass", words="dispenser after"),
    ),
    how=(
        "Weigh the dispenser, not the head: lift it off, fill the chamber, put it back.",
        "Check the scale with a known mass before and after; keep off draughts.",
    ),
)
FILLS = (BY_BURETTE, BY_SYRINGE, BY_WEIGHING)

# Depths are read by dial indicator or by depth gauge, which differ: asked before the first of them.
GAUGE = Choice(name="gauge", options=(), words="what is the depth read with?", optional=True, reads=Kind.LENGTH)

# Asked once a series, never assumed; what is not said is not corrected.
FILL_SETTINGS = (
    Field(name="hole_diameter", term="hole_diameter", words="diameter of the plate's fill hole", optional=True),
    Field(name="plate_thickness", term="plate_thickness", words="thickness of the plate at the hole", optional=True),
    Field(name="film", term="film_thickness", words="grease film between face and plate", optional=True),
    Field(name="opening", term="chamber_area", words="open area under the plate", optional=True),
    Field(name="residue", term="residue", words="fluid left in the space from the fill before", optional=True),
)
FILL_CHOICES = (
    Choice(name="hole", options=("not filled", "filled"), words="did the fluid stand in the plate's hole?"),
    Choice(
        name="meniscus",
        options=("same edge", "mixed edges"),
        words="was the meniscus read at the same edge both times?",
        optional=True,
    ),
    Choice(name="material", options=("aluminium", "iron"), words="what is the part made of?", optional=True),
)
