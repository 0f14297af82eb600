"""Whole assembly through the plug hole: one number that all the parts must add up to."""

from __future__ import annotations

from ccassist.bench.step import Choice, Field, Step
from ccassist.bench.steps.fill import FILL_CHOICES, FILL_SETTINGS, FILLS

THREAD, SEAT = "bottom thread", "plug seat"
LEVEL = Choice(
    name="level",
    options=(THREAD, SEAT),
    words="up to where was it filled?",
)
PLUG_WELL = Field(
    name="plug_well",
    term="plug_well_volume",
    words="plug's well, from its bottom thread to its seat",
    optional=True,
)
PLUG_NOSE = Field(
    name="plug_nose",
    term="plug_nose_volume",
    words="nose of the plug: adds space inside, takes what stands out",
    optional=True,
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
)
