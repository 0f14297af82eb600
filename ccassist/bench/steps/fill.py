"""The ways of delivering a measured fill of fluid, shared by every step that fills."""

from __future__ import annotations

from ccassist.bench.step import Field, Method

BY_BURETTE = Method(
    key="burette",
    title="burette or syringe read before and after",
    fields=(
        Field(name="start", term="burette_reading", words="burette at the start", many=True),
        Field(name="end", term="burette_reading", words="burette at the end", many=True),
    ),
    how=(
        "Run the tip clear of air, wipe off the hanging drop, read the bottom of the meniscus at eye level.",
        "If it had to be refilled, give every start and every end: each refill is a delivery of its own.",
    ),
)
BY_SYRINGE = Method(
    key="syringes",
    title="full syringes and a remainder",
    fields=(
        Field(name="full", term="fulls", words="number of full syringes"),
        Field(name="each", term="burette_reading", words="a full syringe, as its scale says"),
        Field(name="rest", term="burette_reading", words="last, part-filled delivery", optional=True),
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
