"""The paths of a DXF drawing; what is not a line, arc or curve in the plane is refused.

A drawing is pairs of lines, a group code and its value (published DXF reference, "Group Codes in Numerical Order").
Only the model space counts, and in it what is shown.  Splines are broken into chords, and say how far those may lie
from them; all else is exact.
"""

from __future__ import annotations

import math
import re
from bisect import bisect_right
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import field
from itertools import pairwise
from pathlib import Path as FilePath

from ccassist.bench.drawn import FARTHEST, Arc, Path, Piece, bulged, size, spans
from ccassist.bench.traced import Point
from ccassist.job.disk import read_text
from ccassist.values.findings import InputError, error
from ccassist.vocabulary.record import record

CHORD = 2e-5  # of the size of a spline: how far chords may lie from it
_DEEPEST, _MOST = 9, 1000  # halvings between two knots; points that bend a spline
UNITS = {1: "in", 2: "ft", 4: "mm", 5: "cm", 6: "m", 9: "thou", 13: "um"}  # $INSUNITS, the published DXF reference
_FLAT = 1e-6  # of the size: a height above the plane that is none
_LETTER = re.compile(r"\\U\+([0-9A-Fa-f]{4})")  # how a letter is written that the file's code page lacks
Triple = tuple[float, float, float]
Tag = tuple[int, str]


@record
class Entity:
    """One thing drawn, or the record of a layer: its kind and its tags, those of its vertices after them."""

    kind: str
    tags: tuple[Tag, ...]
    vertices: list[Entity] = field(default_factory=list)

    def first(self, code: int, usual: str = "0") -> str:
        """The first value of a code."""
        return next((said for at, said in self.tags if at == code), usual)

    def number(self, code: int, usual: float = 0.0) -> float:
        """The same as a number."""
        return float(self.first(code, repr(usual)))

    def flag(self, code: int, bits: int) -> bool:
        """Whether one of these bits is set."""
        return bool(int(self.first(code)) & bits)

    def numbers(self, code: int) -> list[float]:
        """Every value of a code."""
        return [float(said) for at, said in self.tags if at == code]

    def points(self, code: int) -> list[Triple]:
        """Every point whose x has this code, its y and z ten and twenty more; a height not said is none."""
        found: list[list[float]] = []
        for at, said in self.tags:
            if at == code:
                found.append([float(said), 0.0, 0.0])
            elif found and at in (code + 10, code + 20):
                found[-1][(at - code) // 10] = float(said)
        return [(x, y, z) for x, y, z in found]


def read_dxf(path: FilePath, name: str = "") -> tuple[list[Path], str]:
    """The paths of a drawing, of one layer where it is named; and its unit, "" where it says none.

    Raises InputError: it cannot be read, or holds what is not read exactly.
    """
    text = read_text(path, "drawing")
    try:
        sections = _sections(list(_tags(text)))
        entities = _shown(sections)
        if name and name not in {e.first(8) for e in entities}:
            layers = ", ".join(sorted({f'"{e.first(8)}"' for e in entities})[:8])
            right = f"layers with something on them: {layers}" if layers else "nothing is drawn in the model space"
            raise InputError(error("unknown-name", "no such layer", read=name, right=right))
        entities = [e for e in entities if name in ("", e.first(8))]
        _refuse_others([e.kind for e in entities])
        return [found for e in entities for found in _READ[e.kind](e)], UNITS.get(_unit(sections), "")
    except InputError as fault:
        raise InputError([f.at(file=str(path)) for f in fault.findings]) from None
    except (ValueError, IndexError, ArithmeticError):  # a number that is none, or a tag without its value
        wrong = "the drawing cannot be read"
        raise InputError(error("not-a-drawing", wrong, file=str(path), right="save it as DXF, as text")) from None


def _tags(text: str) -> Iterator[Tag]:
    """The pairs of group code and value; comments (999) left out."""
    lines = text.splitlines()
    for code, said in zip(lines[::2], lines[1::2], strict=False):
        if code.strip() != "999":
            yield int(code), _LETTER.sub(lambda found: chr(int(found[1], 16)), said.strip())


def _sections(tags: Sequence[Tag]) -> dict[str, list[Entity]]:
    """What each section holds, in the order of the file: a new thing begins at each tag of code 0."""
    starts = [at for at, (code, _) in enumerate(tags) if code == 0]
    found: dict[str, list[Entity]] = {}
    section: list[Entity] = []
    for start, end in zip(starts, [*starts[1:], len(tags)], strict=True):
        one = Entity(kind=tags[start][1], tags=tuple(tags[start + 1 : end]))
        if one.kind == "SECTION":
            section = found.setdefault(one.first(2), [])
            section.append(one)  # of the head the variables, which begin no thing of their own
        elif one.kind == "VERTEX" and section and section[-1].kind == "POLYLINE":
            section[-1].vertices.append(one)
        elif one.kind not in ("ENDSEC", "SEQEND", "EOF"):
            section.append(one)
    if "ENTITIES" not in found:
        raise ValueError("no drawing")
    return found


def _unit(sections: dict[str, list[Entity]]) -> int:
    """$INSUNITS; 0 where the head does not say it."""
    head = sections.get("HEADER", [])
    said = [tag for one in head for tag in one.tags]
    at = next((at for at, tag in enumerate(said) if tag == (9, "$INSUNITS")), None)
    return 0 if at is None else int(said[at + 1][1])


def _shown(sections: dict[str, list[Entity]]) -> list[Entity]:
    """What is drawn in the model space and neither hidden (60) nor on a layer that is off (62 < 0) or frozen (70)."""
    layers = [one for one in sections.get("TABLES", []) if one.kind == "LAYER"]
    hidden = {one.first(2) for one in layers if one.number(62) < 0 or one.flag(70, 1)}
    drawn = [one for one in sections["ENTITIES"] if one.kind != "SECTION" and not one.flag(67, 1)]
    return [one for one in drawn if not one.flag(60, 1) and one.first(8) not in hidden]


def _refuse_others(kinds: list[str]) -> None:
    strange = Counter(kind for kind in kinds if kind not in _READ)
    if strange:
        there = ", ".join(f"{count} {kind}" for kind, count in sorted(strange.items()))
        right = "put the opening alone on a layer and name that: --outline LAYER"
        raise InputError(error("not-an-outline", f"{there}: not lines, arcs or curves", right=right))


def _flat(entity: Entity, points: Sequence[Triple]) -> list[Point]:
    """Points in the plane; refuses what is drawn from behind, or at different heights."""
    if not all(abs(c) <= FARTHEST for p in points for c in p):
        raise InputError(error("not-a-number", f"{entity.kind} with a coordinate that none can have"))
    upright = (entity.points(210) or [(0.0, 0.0, 1.0)])[0]
    heights = [p[2] for p in points]
    reach = _FLAT * max([1.0, *(abs(c) for p in points for c in p[:2])])
    if math.dist(upright, (0, 0, 1)) > _FLAT or max(heights) - min(heights) > reach:
        right = "draw the opening in the plane of x and y, seen from above"
        raise InputError(error("not-flat", f"{entity.kind} does not lie in the plane", right=right))
    return [(p[0], p[1]) for p in points]


def _line(entity: Entity) -> Iterator[Path]:
    yield from _path(spans(_flat(entity, [entity.points(10)[0], entity.points(11)[0]])))


def _arc(entity: Entity) -> Iterator[Path]:
    centre, (r, _) = _flat(entity, [entity.points(10)[0]])[0], _flat(entity, [(entity.number(40), 0.0, 0.0)])[0]
    start = 0.0 if entity.kind == "CIRCLE" else math.radians(entity.number(50))
    span = math.tau if entity.kind == "CIRCLE" else (math.radians(entity.number(51)) - start) % math.tau
    yield from _path([Arc(centre, (r, 0.0), (0.0, r), start, span)])


def _ellipse(entity: Entity) -> Iterator[Path]:
    """By its long half axis (11) and the share of the short one in it (40), which is turned a quarter to the left."""
    ((x, y, z), *_), share = entity.points(11), entity.number(40)
    _, long, short = _flat(entity, [(0.0, 0.0, 0.0), (x, y, z), (-y * share, x * share, 0.0)])
    (centre,) = _flat(entity, [entity.points(10)[0]])
    start = entity.number(41)
    span = (entity.number(42, math.tau) - start) % math.tau
    yield from _path([Arc(centre, long, short, start, span or math.tau)])


def _polyline(entity: Entity) -> Iterator[Path]:
    if entity.kind == "LWPOLYLINE":
        corners = _bulged_points(entity)
    elif entity.flag(70, 8 | 16 | 64 | 2 | 4):  # in space, a mesh of either sort, fitted by arcs or a spline
        right = "turn it into lines and arcs, or a spline"
        raise InputError(error("not-an-outline", "a polyline that is in space, a mesh, or a fitted curve", right=right))
    else:
        corners = [(one.points(10)[0], one.number(42)) for one in entity.vertices]
    if not corners:
        return
    points = _flat(entity, [point for point, _ in corners])
    ways = list(zip(points, [*points[1:], points[0]], corners, strict=True))
    shut = entity.flag(70, 1)
    yield from _path([bulged(p, q, bulge) for p, q, (_, bulge) in (ways if shut else ways[:-1]) if p != q])


def _bulged_points(entity: Entity) -> list[tuple[Triple, float]]:
    """The corners of a light polyline, each with the bulge (42) that follows it before the next."""
    bulges: list[float] = []
    for code, said in entity.tags:
        if code == 10:
            bulges.append(0.0)
        elif code == 42 and bulges:
            bulges[-1] = float(said)
    return list(zip(entity.points(10), bulges, strict=True))


def _spline(entity: Entity) -> Iterator[Path]:
    bent, knots, degree = entity.points(10), entity.numbers(40), int(entity.first(71, "3"))
    weights = entity.numbers(41) or [1.0] * len(bent)
    if not bent:
        right = "save it with its control points, or as arcs"
        raise InputError(error("not-an-outline", "a spline through points only, whose curve is not said", right=right))
    if len(bent) > _MOST:
        raise InputError(
            error("too-large", f"a spline of more than {_MOST} points", right="draw it with fewer, or arcs")
        )
    fit = len(knots) == len(bent) + degree + 1 and len(weights) == len(bent)
    if not (1 <= degree <= _DEEPEST and fit and all(map(math.isfinite, knots)) and knots == sorted(knots)):
        raise ValueError("a spline whose knots do not fit its points")
    points = _flat(entity, bent)
    chord = CHORD * size(points)
    if chord == 0:
        raise InputError(error("not-an-outline", "a spline of no length"))
    breaks = sorted(set(knots[degree : len(knots) - degree]))  # beyond them a curve is not told whole

    def at(t: float) -> Point:
        x, y = on_spline(t, points, weights, knots, degree)
        return _flat(entity, [(x, y, 0.0)])[0]

    found = [at(breaks[0])]
    for start, end in pairwise(breaks):
        found += _chords(at, start, end, chord)
    yield from _path([*spans(found)], off=chord)


def on_spline(
    t: float, points: Sequence[Point], weights: Sequence[float], knots: Sequence[float], degree: int
) -> Point:
    """A point of a rational B-spline: de Boor's sums of weighted points (de Boor, A Practical Guide to Splines, 1978,
    ch. X, from memory).

    >>> on_spline(0.5, [(0, 0), (1, 2), (2, 0)], [1, 1, 1], [0, 0, 0, 1, 1, 1], 2)
    (1.0, 1.0)
    """
    last = len(points) - 1
    span = min(max(bisect_right(knots, t) - 1, degree), last)
    d = [(x * w, y * w, w) for (x, y), w in zip(points, weights, strict=True)][span - degree : span + 1]
    for level in range(1, degree + 1):
        for j in range(degree, level - 1, -1):
            low, high = knots[j + span - degree], knots[j + 1 + span - level]
            part = (t - low) / (high - low) if high > low else 0.0
            d[j] = _between(d[j - 1], d[j], part)
    x, y, w = d[degree]
    return x / w, y / w


def _between(first: Triple, second: Triple, part: float) -> Triple:
    x, y, z = (a + (b - a) * part for a, b in zip(first, second, strict=True))
    return x, y, z


def _chords(at: Callable[[float], Point], start: float, end: float, near: float, deep: int = 0) -> list[Point]:
    """Points of a curve between two of its parameters, the last one too: it lies no farther than so from their chords.

    Held at three places of each chord, of which none may be out; a single bend in it has its most near the middle.
    """
    first, last = at(start), at(end)
    out = max(_from_chord(at(start + part * (end - start)), first, last) for part in (0.25, 0.5, 0.75))
    if deep > 1 and out <= near:
        return [last]
    if deep >= _DEEPEST:
        raise InputError(error("not-an-outline", "a spline that bends too sharply to be followed", right="draw arcs"))
    middle = (start + end) / 2
    return [*_chords(at, start, middle, near, deep + 1), *_chords(at, middle, end, near, deep + 1)]


def _from_chord(point: Point, first: Point, last: Point) -> float:
    (a, b), (u, v), (x, y) = first, last, point
    length = math.dist(first, last)
    return abs((u - a) * (y - b) - (v - b) * (x - a)) / length if length else math.dist(first, point)


def _path(pieces: Iterable[Piece], off: float = 0.0) -> Iterator[Path]:
    made: tuple[Piece, ...] = tuple(pieces)
    if made:
        yield Path(made, off)


_READ: dict[str, Callable[[Entity], Iterator[Path]]] = {
    "LINE": _line,
    "ARC": _arc,
    "CIRCLE": _arc,
    "ELLIPSE": _ellipse,
    "LWPOLYLINE": _polyline,
    "POLYLINE": _polyline,
    "SPLINE": _spline,
}
