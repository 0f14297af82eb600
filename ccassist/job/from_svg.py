"""The paths of an SVG drawing, by svgelements; every line, arc and curve exact.

The text is looked at before the library sees it: no declarations (so that nothing expands), no copies, and only
elements and properties that draw an edge where they say.
"""

from __future__ import annotations

import io
import math
import re
from collections.abc import Iterator
from pathlib import Path as FilePath
from typing import Any
from xml.etree import ElementTree

from ccassist.bench.drawn import FARTHEST, Arc, Bezier, Path, Piece, line
from ccassist.bench.traced import Point
from ccassist.job.disk import read_text
from ccassist.values.findings import InputError, error

DEEPEST, MOST = 50, 5000  # elements in one another, and in all
_SPACE = "{http://www.w3.org/2000/svg}"
_DRAWN = ("path", "circle", "ellipse", "rect", "line", "polyline", "polygon")
_IDLE = ("defs", "metadata", "title", "desc")
_LENGTH = re.compile(r"\s*(\d+(?:\.\d*)?)(mm|cm|in|pt|pc)\s*")  # a size that says a unit of its own
_MM = {
    "mm": 1.0,
    "cm": 10.0,
    "in": 25.4,
    "pt": 25.4 / 72,
    "pc": 25.4 / 6,
}  # CSS Values and Units Level 3, 5.2 (from memory)
_LENGTHS = ("cx", "cy", "r", "rx", "ry", "x", "y", "width", "height", "x1", "y1", "x2", "y2")
_EVEN = 1e-3  # by how much a scale across and one up may differ that are the same but for rounding
_HIDING = frozenset(("display", "visibility", "clip-path", "clip", "mask", "filter"))
_MOVING = frozenset(("transform", "d", "r", "cx", "cy", "x", "y", "rx", "ry", "width", "height"))
_PROPERTY = re.compile(r"(?:^|[;{\s])([a-z-]{1,40})\s*:", re.IGNORECASE)
_NUMBERS = re.compile(r"[MmZzLlHhVvCcSsQqTtAa0-9.,+\-eE\s]*")
_PIXEL = 25.4 / 96  # mm, the same


def read_svg(path: FilePath, name: str = "") -> tuple[list[Path], str, float]:
    """The paths of a drawing, of one id where it is named; its unit, "" where it says none; and how many of them a
    length
    here is.

    Raises InputError: it cannot be read, or holds what is not read exactly.
    """
    try:
        root = _tree(read_text(path, "drawing"))
        if name and not _pruned(root, name):
            raise InputError(error("unknown-name", "nothing with that id", read=name, right="the id of the opening"))
        mm = _scale(root)
        for key in ("width", "height", "viewBox"):
            root.attrib.pop(key, None)
        _looked_at(root)
        return list(_paths(ElementTree.tostring(root, "unicode"))), "mm" if mm else "", mm or 1.0
    except InputError as fault:
        raise InputError([f.at(file=str(path)) for f in fault.findings]) from None
    except ElementTree.ParseError as fault:
        line_at = fault.position[0]
        raise InputError(error("not-a-drawing", "not a whole SVG drawing", file=str(path), line=line_at)) from None
    except Exception as fault:  # odd numbers make the library fail in ways that it does not declare
        wrong = f"the drawing cannot be read ({type(fault).__name__})"
        raise InputError(error("not-a-drawing", wrong, file=str(path), right="save it as plain SVG")) from None


def _scale(root: ElementTree.Element) -> float:
    """How many mm a length in the drawing is; 0 where its size is in no unit of its own."""
    sizes = [_LENGTH.fullmatch(root.get(side, "")) for side in ("width", "height")]
    across, up = (float(found[1]) * _MM[found[2]] if found else 0.0 for found in sizes)
    if not (across and up):
        return 0.0
    if "viewBox" not in root.attrib:
        return _PIXEL
    box = [float(text) for text in root.attrib["viewBox"].replace(",", " ").split()]
    if not math.isclose(across / box[2], up / box[3], rel_tol=_EVEN):
        wrong = f"{across:.6g} by {up:.6g} mm of paper for {box[2]:.6g} by {box[3]:.6g} of the drawing"
        raise InputError(error("not-an-outline", wrong, right="one scale across and up"))
    return across / box[2]


def _tree(text: str) -> ElementTree.Element:
    """The elements of a text that declares nothing; no deeper and no more than a drawing has."""
    if re.search(r"<!(?!--)", text):
        right = "save it as plain SVG, without <!DOCTYPE and <!ENTITY"
        raise InputError(error("declares", "a drawing that declares a type or texts of its own", right=right))
    depth = count = 0
    root: ElementTree.Element | None = None
    for event, element in ElementTree.iterparse(io.StringIO(text), events=("start", "end")):
        root = element if root is None else root
        depth += 1 if event == "start" else -1
        count += event == "start"
        if depth > DEEPEST or count > MOST:
            wrong = f"more than {MOST} elements, or {DEEPEST} in one another"
            raise InputError(error("too-large", wrong, right="save the opening alone"))
    if root is None or root.tag.removeprefix(_SPACE) != "svg":
        raise InputError(error("not-a-drawing", "not an SVG drawing"))
    return root


def _pruned(element: ElementTree.Element, name: str) -> bool:
    """Take out all but what has the id, and what that lies in; whether anything is left."""
    if element.get("id") == name:
        return True
    for child in list(element):
        if not (_pruned(child, name) or _tag(child) == "style"):
            element.remove(child)
    return any(_tag(child) != "style" for child in element)


def _tag(element: ElementTree.Element) -> str:
    return element.tag.removeprefix(_SPACE) if isinstance(element.tag, str) else ""


def _looked_at(root: ElementTree.Element) -> None:
    """Take out what draws nothing; refuse what is not an edge, or is not where it says."""
    for element in list(root.iter()):
        for child in list(element):
            if _tag(child) in _IDLE or (_tag(child).startswith("{") and not child.tag.startswith(_SPACE)):
                element.remove(child)
    for element in root.iter():
        tag = _tag(element)
        if tag not in (*_DRAWN, "g", "style") and element is not root:
            right = "give the id of the opening: --outline ID; turn text, images and copies into paths or take them out"
            raise InputError(error("not-an-outline", f"<{tag[:40]}> is not a line, arc or curve", right=right))
        said = element.get("style", "") if tag != "style" else element.text or ""
        named = {word.lower() for word in _PROPERTY.findall(said)}
        odd = sorted(((named | set(element.keys())) & _HIDING) | (named & _MOVING))
        hides = [key for key in odd if not _harmless(element, key, said)]
        if hides:
            right = "take it out, and what is hidden with it"
            raise InputError(error("not-an-outline", f"{', '.join(hides)} changes what is drawn", right=right))
        if not _NUMBERS.fullmatch(element.get("d", "") + element.get("points", "")):
            raise InputError(error("not-an-outline", f"a {tag} of something else than numbers"))
        if not all(re.fullmatch(r"\s*[-+]?[\d.]+(?:e[-+]?\d+)?\s*", element.get(key, "0"), re.I) for key in _LENGTHS):
            right = "numbers of the drawing, without unit or %"
            raise InputError(error("not-an-outline", f"a {tag} with a unit of its own", right=right))


def _harmless(element: ElementTree.Element, key: str, said: str) -> bool:
    """Whether a property says only what holds without it."""
    values = [element.get(key, ""), *re.findall(rf"(?:^|[;{{\s]){key}\s*:\s*([^;}}]*)", said, re.IGNORECASE)]
    return (
        key in _HIDING
        and all(value.strip() in ("", "inline", "block", "visible", "none") for value in values)
        and (key != "display" or "none" not in [value.strip() for value in values])
    )


def _paths(text: str) -> Iterator[Path]:
    from svgelements import SVG, Shape
    from svgelements import Path as Drawn

    for element in SVG.parse(io.StringIO(text), reify=True, on_error="raise").elements():
        if isinstance(element, Shape):
            for part in abs(Drawn(element)).as_subpaths():
                pieces = tuple(piece for segment in Drawn(part) for piece in _pieces(segment))
                if pieces:
                    yield Path(pieces)


def _pieces(segment: Any) -> Iterator[Piece]:
    kind = type(segment).__name__
    if kind == "Move" or segment.start is None or segment.end is None:
        return
    start, end = _point(segment.start), _point(segment.end)
    if kind in ("Line", "Close"):
        if start != end:
            yield line(start, end)
    elif kind == "QuadraticBezier":
        yield Bezier((start, _point(segment.control), end))
    elif kind == "CubicBezier":
        yield Bezier((start, _point(segment.control1), _point(segment.control2), end))
    elif kind == "Arc":
        yield _arc(segment, start, end)
    else:
        raise InputError(error("not-an-outline", f"{kind} is not read"))


def _arc(segment: Any, start: Point, end: Point) -> Piece:
    """An arc by its centre and two half axes, which need not be square to each other, the way its middle lies."""
    centre, p, q = _point(segment.center), _point(segment.prx), _point(segment.pry)
    along, across = (p[0] - centre[0], p[1] - centre[1]), (q[0] - centre[0], q[1] - centre[1])
    flat = along[0] * across[1] - along[1] * across[0]
    if flat == 0:
        return line(start, end)
    x, y = start[0] - centre[0], start[1] - centre[1]
    angle = math.atan2(along[0] * y - along[1] * x, x * across[1] - y * across[0])
    if flat < 0:
        angle = math.atan2(-(along[0] * y - along[1] * x), -(x * across[1] - y * across[0]))
    middle = _point(segment.point(0.5))
    ways = [Arc(centre, along, across, angle, way * abs(float(segment.sweep))) for way in (1, -1)]
    best = min(ways, key=lambda arc: math.dist(arc.at(0.5)[:2], middle))
    if math.dist(best.at(1.0)[:2], end) > 1e-6 * math.hypot(*along, *across):
        raise InputError(error("not-an-outline", "an arc that does not end where it says"))
    return best


def _point(point: Any) -> Point:
    x, y = float(point.x), float(point.y)
    if not (abs(x) <= FARTHEST and abs(y) <= FARTHEST):
        raise InputError(error("not-a-number", "a coordinate that none can have"))
    return x, y
