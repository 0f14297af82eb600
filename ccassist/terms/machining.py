"""Machining: cuts from head and deck, tilted cuts, and what is read of a chamber filled level by level."""

from ccassist.terms.make import MM, angle, length, volume
from ccassist.terms.term import Term

MACHINING: tuple[Term, ...] = (
    length(
        "deck_cut", "cut from the deck", "kd", "metal taken off the block", (0, 2), possible=(0.0, 50 * MM), small=True
    ),
    length(
        "edge_cut",
        "cut at the deep edge",
        "ke",
        "depth of a tilted cut at the edge where it is deepest",
        (0, 6),
        possible=(0.0, 50 * MM),
        small=True,
    ),
    angle("skim_angle", "angle of the cut", "α", "by which a tilted cut leans from the old face", (0, 3), (0, 45)),
    length(
        "head_width",
        "width of the head",
        "W",
        "from the edge where a tilted cut is nothing to the edge where it is deepest",
        (60, 900),
        possible=(10 * MM, 5000 * MM),
    ),
    length(
        "opening_centroid",
        "centroid of the chamber opening",
        "xo",
        "its distance from the edge of the head where a tilted cut is nothing",
        (10, 850),
        possible=(-1000 * MM, 5000 * MM),
        caution="the middle of the area, not of the width",
    ),
    length(
        "outline_edge",
        "zero of the outline",
        "xz",
        "from the edge of the head where a tilted cut is nothing to the zero line of the outline",
        (0, 850),
        possible=(-1000 * MM, 5000 * MM),
    ),
    length(
        "level_depth",
        "depth of the level",
        "h",
        "fluid's level in the chamber below the head face, nothing when it stands at the plate",
        (0, 60),
        possible=(0.0, 300 * MM),
        small=True,
    ),
    length(
        "opening_edge",
        "edge of the opening",
        "Pe",
        "length of the chamber's edge at the head face, by thread or wire",
        (80, 700),
        possible=(10 * MM, 5000 * MM),
    ),
    volume(
        "staged_volume",
        "top of the chamber",
        "Vst",
        "space between the head face and the deepest level of a fill in stages",
        (0.2, 120),
        possible=(0.0, 20e-3),
    ),
    length(
        "staged_depth",
        "depth reached by the stages",
        "hst",
        "head face to the deepest level of a fill in stages",
        (0.5, 60),
        possible=(0.0, 300 * MM),
    ),
)
