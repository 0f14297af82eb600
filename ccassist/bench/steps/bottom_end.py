"""Bore, stroke, rod and block: the lengths of the bottom end."""

from __future__ import annotations

from ccassist.bench.step import Field, Method, Step


def _single(name: str, term: str, words: str) -> Method:
    return Method(key=name, title=words, fields=(Field(name=name, term=term, words=words),))


BORE = Step(
    key="bore",
    title="Bores",
    why="The bore enters every volume squared: measure it finished, do not take the nominal size.",
    tools=("bore gauge and micrometer", "torque plate if the bores were honed with one"),
    procedure=(
        "Finished bores, clean, at room temperature; torque plate on if it was honed with one.",
        "Measure each bore on two axes near the top of the ring travel.",
    ),
    cautions=("fingers",),
    methods=(_single("bore", "bore", "finished bore"),),
    gives=("bore",),
    part="block",
    repeats=2,
)
STROKE = Step(
    key="stack",
    title="Stroke, rod, block and compression height",
    why="These four lengths say where the piston stops, before anything is assembled.",
    tools=("dial indicator", "height gauge", "vernier caliper"),
    procedure=(
        "Stroke: twice the crank throw, or the travel of the piston by indicator.",
        "Rod: big-end axis to small-end axis.",
        "Block deck height: crank axis to finished deck, at each corner.",
        "Compression height: pin axis to crown flat, no dish and no dome in it.",
    ),
    cautions=("fingers",),
    methods=(
        _single("stroke", "stroke", "stroke"),
        _single("rod", "rod_length", "rod length, centre to centre"),
        _single("block", "block_deck_height", "block deck height"),
        _single("pin_height", "compression_height", "compression height"),
    ),
    gives=("stroke", "rod_length", "block_deck_height", "compression_height"),
    part="block",
    repeats=1,
)
