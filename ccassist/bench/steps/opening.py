"""The opening of a chamber at the head face: what a skim takes for every bit of its depth."""

from __future__ import annotations

from dataclasses import replace

from ccassist.bench.step import Field, Step
from ccassist.bench.steps.gasket import CUTOUT, OUTLINE

OPENING = Step(
    key="opening",
    title="Chamber opening at the face",
    why="A skim takes the open area at the face times its depth; the area is not that of bore or gasket.",
    tools=("paper or card and a soft pencil, or marking blue", "graph paper or caliper", "fine scale for a cut-out"),
    procedure=(
        "Clean face, valves in. Rub or print the chamber's edge at the face on paper; leave squish pads outside it.",
        "Trace its points on graph paper, or cut it out of even card and weigh it against a square.",
        "For a tilted cut: measure x square to the edge of the head that is not cut, and say where its zero lies.",
        "After a skim the opening is another, unless the walls are upright.",
    ),
    cautions=(),
    methods=tuple(replace(way, gives="chamber_area", instead_of="") for way in (OUTLINE, CUTOUT)),
    settings=(
        Field(
            name="from_edge",
            term="outline_edge",
            words="from the edge of the head that is not cut to the zero of x",
            optional=True,
        ),
    ),
    gives=("chamber_area", "opening_centroid"),
    part="head",
    repeats=2,
    check=True,
)
