"""Deck clearance by dial indicator."""

from __future__ import annotations

from ccassist.bench.step import Field, Method, Step

DECK = Step(
    key="deck",
    title="Deck clearance",
    why="How far the crown flat stops from the deck decides squish, and a tenth of a millimetre is felt in the ratio.",
    tools=("dial indicator in a bridge", "degree wheel or positive stop", "clean deck"),
    procedure=(
        "Set the indicator to zero on the deck beside the bore.",
        "Move it over the crown flat on the pin axis; turn by hand through top dead centre; take the highest point.",
        "Read the front and the rear of the pin axis: rocking cancels there.",
        "If the pin axis cannot be reached, push the piston each way and read both thrust sides: their mean counts.",
        "Check the zero on the deck again. Do every cylinder.",
    ),
    cautions=("fingers", "contact"),
    methods=(
        Method(
            key="pin axis",
            title="front and rear on the pin axis",
            fields=(
                Field(name="front", term="dial_reading", words="front of the pin axis"),
                Field(name="rear", term="dial_reading", words="rear of the pin axis"),
            ),
        ),
        Method(
            key="both sides",
            title="both thrust sides, piston pushed each way",
            fields=(
                Field(name="thrust", term="dial_reading", words="thrust side"),
                Field(name="away", term="dial_reading", words="side away from thrust"),
            ),
        ),
        Method(
            key="centre",
            title="one point on the pin axis",
            fields=(Field(name="crown", term="dial_reading", words="crown on the pin axis"),),
        ),
    ),
    gives=("deck_clearance",),
    part="block",
    repeats=2,
)
