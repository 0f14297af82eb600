"""A burette, syringe or marked bottle calibrated: steps weighed, or set against a rod or bore of known size."""

from __future__ import annotations

from ccassist.bench.step import Choice, Field, Method, Step

_SCALE_READ = (
    Field(name="from", term="burette_reading", words="scale at the start, if it was not nought", optional=True),
    Field(name="to", term="burette_reading", words="scale at the end"),
)
WEIGHED = Method(
    key="weighed",
    title="each step delivered and weighed",
    fields=(
        *_SCALE_READ,
        Field(name="before", term="weighed_mass", words="mass before the delivery, 0 for a tared cup"),
        Field(name="after", term="weighed_mass", words="mass after the delivery"),
    ),
    how=(
        "Weigh the cup that takes it or the dispenser that gives it: the mass may rise or fall.",
        "Check the scale with a known mass before and after; keep off draughts; cover the cup.",
    ),
)
BY_SIZE = Method(
    key="size",
    title="rod dropped in, or bore filled, of known size",
    fields=(
        *_SCALE_READ,
        Field(name="diameter", term="gauge_diameter", words="diameter of the rod or bore"),
        Field(name="length", term="gauge_length", words="length of the rod, or depth of the bore"),
    ),
    how=(
        "Measure the rod or bore with a micrometer, at both ends and on two axes; no chamfers.",
        "Rod: read the scale before and after it goes under. Bore: fill it level under a plate.",
    ),
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
        Choice(name="scale", options=(), words="what were they weighed with, or the rod or bore measured with?"),
        Choice(
            name="valid_for",
            options=("1 month", "3 months", "6 months", "1 year", "2 years"),
            words="when is it to be done again?",
            optional=True,
        ),
        Choice(name="material", options=("aluminium", "iron"), words="what is the rod or bore made of?", optional=True),
    ),
    gives=(),
    part="",
    repeats=6,
    fills=True,
)
