"""Head gasket: opening, round or not, and compressed thickness; each layer a part of its own."""

from __future__ import annotations

from ccassist.bench.step import Field, Method, Step

ROUND = Method(
    key="opening",
    title="bore of the sealing ring",
    fields=(Field(name="opening", term="gasket_bore", words="bore of the sealing ring"),),
)
ELLIPSE = Method(
    key="ellipse",
    title="oval opening: its long and its short axis",
    fields=(
        Field(name="long", term="gasket_long", words="long axis of the opening"),
        Field(name="short", term="gasket_short", words="short axis of the opening"),
    ),
    how=("Only for an opening that is an oval: straight flats and valve notches are traced or cut out.",),
    gives="gasket_area",
    instead_of="opening",
)
OUTLINE = Method(
    key="outline",
    title="outline traced, its points read",
    fields=(
        Field(name="x", term="outline_x", words="outline points, across, all in order with ; between", many=True),
        Field(
            name="y",
            term="outline_y",
            words="the same points, up, in the same order with ; between",
            many=True,
            goes_with="x",
        ),
    ),
    how=(
        "Trace the inside of the sealing ring on graph paper; read points in order all the way round.",
        "Take some forty, close together in bends and one in every corner; a corner is found by how sharply it turns.",
        "One row is one tracing: trace anew for the next.",
    ),
    gives="gasket_area",
    instead_of="opening",
)
CUTOUT = Method(
    key="cut-out",
    title="cut-out weighed against a square of the same sheet",
    fields=(
        Field(name="reference", term="reference_area", words="area of the reference square"),
        Field(name="reference_mass", term="reference_mass", words="mass of the reference square"),
        Field(name="cutout_mass", term="cutout_mass", words="mass of the cut-out, or of several together"),
        Field(name="copies", term="cutout_copies", words="how many cut-outs were weighed together", optional=True),
    ),
    how=(
        "Heavy even card, plastic or shim: office paper weighs too little. Cut several copies and weigh them together.",
        "Cut squares from two directions of the sheet: its weight may vary by a per cent or more.",
    ),
    gives="gasket_area",
    instead_of="opening",
)
THICKNESS = Method(
    key="thickness",
    title="compressed thickness",
    fields=(Field(name="thickness", term="gasket_thickness", words="compressed thickness, one point"),),
    how=("One row a point: round the sealing ring and at the bolt-hole lands.",),
    repeats=5,
)

GASKET = Step(
    key="gasket",
    title="Head gasket",
    why="Opening times compressed thickness is a volume of its own; the opening is larger than the bore.",
    tools=(
        "vernier caliper",
        "micrometer",
        "a used gasket of the same make, or a clamped one",
        "graph paper, or card and a fine scale, for an opening that is not round",
    ),
    procedure=(
        "Round opening: measure the bore of the sealing ring on two axes.",
        "Not round: measure both axes of an oval, trace the outline, or weigh a cut-out against a square.",
        "Measure the compressed thickness at five points round the ring, not the free thickness.",
        "No used gasket: take the maker's figure for the torque you use, and say so: 1.20 mm, maker's figure.",
        "A shim or second gasket is a layer: a part of its own, with its own opening and thickness.",
    ),
    cautions=("contact",),
    methods=(ROUND, ELLIPSE, OUTLINE, CUTOUT, THICKNESS),
    gives=("gasket_bore", "gasket_area", "gasket_thickness"),
    part="gasket",
    repeats=2,
)
