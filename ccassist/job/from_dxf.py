"""The paths of a DXF drawing, by ezdxf; what is not a line, arc or curve in the plane is refused.

Only the model space counts, and in it what is shown.  Splines are broken into chords, and say how far those may lie
from them; all else is exact.
"""

from __future__ import annotations

import io
import logging
import math
from collections import Counter
from collections.abc import Callable, Iterator
from itertools import pairwise
from pathlib import Path as FilePath
from typing import Any

from ccassist.bench.drawn import FARTHEST, Arc, Path, Piece, bulged, size, spans
from ccassist.bench.traced import Point
from ccassist.job.disk import read_text
from ccassist.values.findings import InputError, error

CHORD = 2e-5  # of the size of a spline: how far chords may lie from it
_DEEPEST, _MOST = 9, 1000  # halvings between two knots; points that bend a spline
UNITS = {1: "in", 2: "ft", 4: "mm", 5: "cm", 6: "m", 9: "thou", 13: "um"}  # $INSUNITS, the published DXF reference
_FLAT = 1e-6  # of the size: a height above the plane that is none


def read_dxf(path: FilePath, name: str = "") -> tuple[list[Path], str]:
    """The paths of a drawing, of one layer where it is named; and its unit, "" where it says none.

    Raises InputError: it cannot be read, or holds what is not read exactly.
    """
    text = read_text(path, "drawing")
    try:
        from ezdxf.filemanagement import read
    except ImportError:
        wrong = "DXF drawings are read by ezdxf, which is not installed"
        right = "pip install 'ccassist[drawings]', or save the drawing as SVG"
        raise InputError(error("not-installed", wrong, file=str(path), right=right)) from None
    logging.getLogger("ezdxf").addHandler(logging.NullHandler())
    try:
        drawing = read(io.StringIO(text))
        entities = [e for e in drawing.modelspace() if _shown(e, drawing)]
        if name and name not in {e.dxf.layer for e in entities}:
            layers = ", ".join(sorted({f'"{e.dxf.layer}"' for e in entities})[:8])
            right = f"layers with something on them: {layers}" if layers else "nothing is drawn in the model space"
            raise InputError(error("unknown-name", "no such layer", read=name, right=right))
        entities = [e for e in entities if name in ("", e.dxf.layer)]
        _refuse_others([e.dxftype() for e in entities])
        return [found for e in entities for found in _READ[e.dxftype()](e)], UNITS.get(drawing.units, "")
    except InputError as fault:
        raise InputError([f.at(file=str(path)) for f in fault.findings]) from None
    except Exception as fault:  # a damaged file makes the library fail in ways that it does not declare
        wrong = f"the drawing cannot be read ({type(fault).__name__})"
        raise InputError(error("not-a-drawing", wrong, file=str(path), right="save it as DXF, as text")) from None


def _shown(entity: Any, drawing: Any) -> bool:
    layer = drawing.layers.get(entity.dxf.layer) if entity.dxf.layer in drawing.layers else None
    return not entity.dxf.get("invisible", 0) and (layer is None or not (layer.is_off() or layer.is_frozen()))


def _refuse_others(kinds: list[str]) -> None:
    strange = Counter(kind for kind in kinds if kind not in _READ)
    if strange:
        there = ", ".join(f"{count} {kind}" for kind, count in sorted(strange.items()))
        right = "put the opening alone on a layer and name that: --outline LAYER"
        raise InputError(error("not-an-outline", f"{there}: not lines, arcs or curves", right=right))


def _flat(entity: Any, *points: Any) -> list[Point]:
    """Points in the plane; refuses what is drawn from behind, or at different heights."""
    upright, points = entity.dxf.get("extrusion", (0, 0, 1)), tuple(tuple(map(float, p)) for p in points)
    if not all(abs(c) <= FARTHEST for p in points for c in p):
        raise InputError(error("not-a-number", f"{entity.dxftype()} with a coordinate that none can have"))
    heights = [p[2] if len(p) > 2 else 0.0 for p in points]
    reach = _FLAT * max([1.0, *(abs(c) for p in points for c in p[:2])])
    if math.dist(tuple(upright), (0, 0, 1)) > _FLAT or max(heights) - min(heights) > reach:
        right = "draw the opening in the plane of x and y, seen from above"
        raise InputError(error("not-flat", f"{entity.dxftype()} does not lie in the plane", right=right))
    return [(p[0], p[1]) for p in points]


def _line(entity: Any) -> Iterator[Path]:
    yield from _path(spans(_flat(entity, entity.dxf.start, entity.dxf.end)))


def _arc(entity: Any) -> Iterator[Path]:
    whole = entity.dxftype() == "CIRCLE"
    (centre,), r = _flat(entity, entity.dxf.center), _flat(entity, (entity.dxf.radius, 0.0))[0][0]
    start = 0.0 if whole else math.radians(entity.dxf.start_angle)
    span = math.tau if whole else (math.radians(entity.dxf.end_angle) - start) % math.tau
    yield from _path([Arc(centre, (r, 0.0), (0.0, r), start, span)])


def _ellipse(entity: Any) -> Iterator[Path]:
    ends = _flat(entity, (0, 0, 0), entity.dxf.major_axis, entity.minor_axis)
    (centre,) = _flat(entity, entity.dxf.center)
    start = float(entity.dxf.start_param)
    span = (float(entity.dxf.end_param) - start) % math.tau
    yield from _path([Arc(centre, ends[1], ends[2], start, span or math.tau)])


def _polyline(entity: Any) -> Iterator[Path]:
    if entity.dxftype() == "LWPOLYLINE":
        corners = [(x, y, 0.0, bulge) for x, y, bulge in entity.get_points("xyb")]
        shut = bool(entity.closed)
    else:
        if entity.get_mode() != "AcDb2dPolyline" or entity.dxf.flags & 6:
            right = "turn it into lines and arcs, or a spline"
            raise InputError(
                error("not-an-outline", "a polyline that is in space, a mesh, or a fitted curve", right=right)
            )
        corners = [(*v.dxf.location, v.dxf.get("bulge", 0.0)) for v in entity.vertices]
        shut = bool(entity.is_closed)
    if not corners:
        return
    points = _flat(entity, *corners)
    ways = list(zip(points, [*points[1:], points[0]], corners, strict=True))
    yield from _path([bulged(p, q, float(c[3])) for p, q, c in (ways if shut else ways[:-1]) if p != q])


def _spline(entity: Any) -> Iterator[Path]:
    if not entity.control_points:
        right = "save it with its control points, or as arcs"
        raise InputError(error("not-an-outline", "a spline through points only, whose curve is not said", right=right))
    if len(entity.control_points) > _MOST:
        raise InputError(
            error("too-large", f"a spline of more than {_MOST} points", right="draw it with fewer, or arcs")
        )
    chord = CHORD * size(_flat(entity, *entity.control_points))
    if chord == 0:
        raise InputError(error("not-an-outline", "a spline of no length"))
    curve = entity.construction_tool()
    knots, degree = curve.knots(), curve.order - 1
    breaks = sorted({float(k) for k in knots[degree : len(knots) - degree]})  # beyond them a curve is not told whole

    def at(t: float) -> Point:
        (point,) = _flat(entity, curve.point(t))
        return point

    points = [at(breaks[0])]
    for start, end in pairwise(breaks):
        points += _chords(at, start, end, chord)
    yield from _path([*spans(points)], off=chord)


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


def _path(pieces: Any, off: float = 0.0) -> Iterator[Path]:
    made: tuple[Piece, ...] = tuple(pieces)
    if made:
        yield Path(made, off)


_READ: dict[str, Callable[[Any], Iterator[Path]]] = {
    "LINE": _line,
    "ARC": _arc,
    "CIRCLE": _arc,
    "ELLIPSE": _ellipse,
    "LWPOLYLINE": _polyline,
    "POLYLINE": _polyline,
    "SPLINE": _spline,
}
