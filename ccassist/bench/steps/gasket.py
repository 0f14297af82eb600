"""Head gasket: opening and compressed thickness."""

from __future__ import annotations

from ccassist.bench.step import Field, Method, Step

GASKET = Step(
    key="gasket",
    title="Head gasket",
    why="Opening times compressed thickness is a volume of its own; the opening is larger than the bore.",
    tools=("vernier caliper", "micrometer", "a used gasket of the same make, or a clamped one"),
    procedure=(
        "Measure the bore of the sealing ring on two axes.",
        "Measure the compressed thickness at four points round the ring, not the free thickness.",
        "No used gasket: take the maker's figure for the torque you use, and write that down as the maker's.",
    ),
    cautions=("contact",),
    methods=(
        Method(
            key="opening",
            title="bore of the sealing ring",
            fields=(Field(name="opening", term="gasket_bore", words="bore of the sealing ring"),),
        ),
        Method(
            key="thickness",
            title="compressed thickness",
            fields=(Field(name="thickness", term="gasket_thickness", words="compressed thickness"),),
        ),
    ),
    gives=("gasket_bore", "gasket_thickness"),
    part="gasket",
    repeats=2,
)
