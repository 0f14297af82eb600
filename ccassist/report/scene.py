"""A drawing as data, in millimetres: strokes, shapes with a fill by its name, discs, words, windows.

Nothing here knows a page or a browser; ``paper/pages.py`` and
``phone/pieces.py`` draw what is said here.  The lower left corner is nothing,
up is plus.  Materials differ by their hatch and never by colour, so that a
copy in black and white says as much.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace

from ccassist.vocabulary.record import record

Point = tuple[float, float]
Box = tuple[float, float, float, float]  # left, bottom, right, top

THICK, MEDIUM, THIN = 0.39, 0.21, 0.12  # widths of lines, mm
HATCHED = 0.18  # of a hatch's, black: a copy in black and white keeps a line of a dot and a half at 200 dots an inch
SMALL, BODY, LARGE = 3.07, 3.39, 3.88  # sizes of letters, mm
LEADING = 1.27
ABOVE, BELOW = 0.74, 0.24  # what letters take above and below the line they stand on, of their size
DOT = 0.9  # radius of a dot, mm
MARKS = "_./-"  # after which an endless word is best broken

# Fills: a shade from black to white, or a hatch of lines at 45 degrees: how far apart, mm, and which way they run.
SHADES = {"black": 0.0, "dark": 0.25, "grey": 0.35, "pale": 0.88, "white": 1.0}
HATCHES = {"rising": (1.75, (1,)), "falling": (2.35, (-1,)), "crossed": (1.3, (1, -1)), "sparse": (2.6, (1,))}
DASHES: dict[str, tuple[float, ...]] = {
    "": (),
    "dashed": (1.4, 0.9),
    "dotted": (0.45, 0.7),
    "axis": (3.2, 0.9, 0.5, 0.9),
}


@record(kw_only=False)
class Stroke:
    """A line through points: its width, mm, its dash and shade by name."""

    points: tuple[Point, ...]
    width: float = MEDIUM
    dash: str = ""
    shade: str = "black"


@record(kw_only=False)
class Area:
    """A closed outline: its fill by name ("" for none) and the width of its edge, mm, 0 for none."""

    points: tuple[Point, ...]
    fill: str = ""
    edge: float = MEDIUM


@record(kw_only=False)
class Disc:
    """A circle: filled with a shade ("" for none), the width of its edge, mm, 0 for none."""

    at: Point
    radius: float
    fill: str = "black"
    edge: float = 0.0


@record(kw_only=False)
class Lettering:
    """A line of text on its base point; ``anchor`` "start", "middle" or "end" of it stands there."""

    at: Point
    text: str
    bold: bool = False
    size: float = SMALL
    anchor: str = "start"
    shade: str = "black"
    cleared: bool = False  # on white, so that no line runs through it

    @property
    def wide(self) -> float:
        """Its width, mm."""
        return measure(self.text, self.bold, self.size)

    @property
    def box(self) -> Box:
        """The room that it takes."""
        left = self.at[0] - {"start": 0.0, "middle": 0.5, "end": 1.0}[self.anchor] * self.wide
        return left, self.at[1] - BELOW * self.size, left + self.wide, self.at[1] + ABOVE * self.size


@record(kw_only=False)
class Clip:
    """Items of which only what lies within a box is to be seen."""

    box: Box
    items: tuple[Item, ...]


Item = Stroke | Area | Disc | Lettering | Clip


@record(kw_only=False)
class Scene:
    """A drawing: its size, mm, and its items in the order in which they are drawn."""

    width: float
    height: float
    items: tuple[Item, ...]


# -- how wide words are ------------------------------------------------------------------
# Of letters set in Fira Sans with level figures (SIL Open Font License), in hundredths of their size and rather too
# wide; a renderer presses words together that its own letters would make wider.
_WIDE = {
    22: "'",
    24: "!,.:;·‘’",
    28: " ij",
    30: "I`l",
    32: "()J[]{}•",
    34: "f",
    36: "t",
    40: '"-r|²³',
    42: "“”",
    44: "*z",
    46: "?",
    48: "csγ",
    50: "+<=>FLvxy~±−×÷≤≥",
    52: "#/TZ\\_gk°–",
    54: "$EX^aκä",
    58: "APouρΔöü",
    60: "Kbdhnpqαβπß",
    62: "BR",
    64: "DG",
    66: "U",
    68: "HN",
    70: "OQ",
    72: "w",
    74: "&…φ",
    78: "M",
    80: "—",
    84: "%W",
    86: "m",
    90: "→∞",
    94: "½¼¾",
    102: "@",
}
_WIDTH_OF = {letter: wide / 100 for wide, letters in _WIDE.items() for letter in letters}
_OTHER, _BOLD = 0.56, 1.02  # figures and all letters not named; bold ones against the others


def measure(text: str, bold: bool = False, size: float = SMALL) -> float:
    """About how wide a line of words is, mm; never less than it comes out on paper."""
    return sum(_WIDTH_OF.get(letter, _OTHER) for letter in text) * size * (_BOLD if bold else 1.0)


def broken(text: str, width: float, measured: Callable[[str], float]) -> list[str]:
    """Text in lines no wider than ``width``; a word that is wider is cut after a mark within it, else where it must.

    ``measured`` : of letters one after another, the sum of what each takes.
    """
    lines: list[str] = []
    line, wide, blank = "", 0.0, measured(" ")
    for word in text.split(" "):
        more = (blank if line else 0.0) + measured(word)
        if wide + more <= width:
            line, wide = f"{line} {word}" if line else word, wide + more
            continue
        if line:
            lines.append(line)
        if more <= width:
            line, wide = word, measured(word)
            continue
        line = ""
        for letter in word:
            if line and measured(line + letter) > width:
                kept = max(line.rfind(mark) for mark in MARKS) + 1 or len(line)
                lines.append(line[:kept])
                line = line[kept:]
            line += letter
        wide = measured(line)
    return [*lines, line]


# -- marks, dimensions ---------------------------------------------------------------------
def rectangle(box: Box) -> tuple[Point, ...]:
    """The corners of a box."""
    left, bottom, right, top = box
    return (left, bottom), (right, bottom), (right, top), (left, top)


def dot(at: Point, radius: float = DOT) -> list[Item]:
    """A filled dot with a white edge."""
    return [Disc(at, radius + 0.25, "white"), Disc(at, radius)]


def diamond(at: Point, size: float = 1.3 * DOT) -> list[Item]:
    """An open diamond."""
    turns = ((0, size), (size, 0), (0, -size), (-size, 0))
    return [Area(tuple((at[0] + x, at[1] + y) for x, y in turns), "white", THICK)]


def whisker(left: float, right: float, y: float, serif: float = 1.0) -> list[Item]:
    """A ± as a line with an end at either side, with a white edge so that it shows on a hatch."""
    ends = ((x, y - serif, y + serif) for x in (left, right))
    lines = [((left, y), (right, y)), *(((x, low), (x, high)) for x, low, high in ends)]
    return [Stroke(line, width, shade=shade) for width, shade in ((0.9, "white"), (0.3, "black")) for line in lines]


def arrow(tip: Point, x: float, y: float, size: float = 1.8) -> Area:
    """A filled head that points along a unit vector."""
    foot = tip[0] - size * x, tip[1] - size * y
    side = 0.22 * size
    return Area((tip, (foot[0] - side * y, foot[1] + side * x), (foot[0] + side * y, foot[1] - side * x)), "black", 0.0)


def dimension_across(left: Point, right: Point, y: float, text: str) -> list[Item]:
    """A dimension across two points, its line at a height; the text stands in a gap of it."""
    middle, half = (left[0] + right[0]) / 2, measure(text) / 2 + 1.5
    way = 1 if y > left[1] else -1
    made: list[Item] = [Stroke(((x, foot + way * 0.7), (x, y + way * 1.4)), THIN) for x, foot in (left, right)]
    made += [Stroke(((left[0], y), (middle - half, y)), THIN), Stroke(((middle + half, y), (right[0], y)), THIN)]
    return [*made, arrow((left[0], y), -1, 0), arrow((right[0], y), 1, 0), centred((middle, y), text)]


def dimension_up(x: float, low: float, high: float, edge: float) -> list[Item]:
    """An upright dimension line with its extensions from ``edge``; its arrows stand outside where it is too short."""
    made: list[Item] = [Stroke(((edge, y), (x - 1.4, y)), THIN) for y in (low, high)]
    if high - low > 5:
        return [*made, Stroke(((x, low), (x, high)), THIN), arrow((x, high), 0, 1), arrow((x, low), 0, -1)]
    made += [Stroke(((x, high), (x, high + 3.5)), THIN), Stroke(((x, low), (x, low - 3.5)), THIN)]
    return [*made, arrow((x, high), 0, -1), arrow((x, low), 0, 1)]


def centred(middle: Point, text: str, *, bold: bool = False, cleared: bool = False) -> Lettering:
    """Words about a point."""
    return Lettering((middle[0], middle[1] - 0.34 * SMALL), text, bold, anchor="middle", cleared=cleared)


def moved(items: Iterable[Item], right: float, up: float) -> list[Item]:
    """The same items elsewhere."""

    def there(points: Sequence[Point]) -> tuple[Point, ...]:
        return tuple((x + right, y + up) for x, y in points)

    def one_there(one: Item) -> Item:
        if isinstance(one, Clip):
            corners = there((one.box[:2], one.box[2:]))
            return Clip((*corners[0], *corners[1]), tuple(moved(one.items, right, up)))
        if isinstance(one, Disc | Lettering):
            return replace(one, at=there((one.at,))[0])
        return replace(one, points=there(one.points))

    return [one_there(one) for one in items]


# -- what a renderer needs to know -----------------------------------------------------------
def hatch_lines(outline: Sequence[Point], name: str, window: Box | None = None) -> Iterator[tuple[Point, Point]]:
    """The lines of a hatch as far as they lie in an outline, and in a window where it is seen through one."""
    step, ways = HATCHES[name]
    for way in ways:
        rises = [y - way * x for x, y in outline]  # of the line through each corner: y = way x + rise
        for n in range(math.ceil(min(rises) / step), math.floor(max(rises) / step) + 1):
            rise = n * step
            crossed = sorted(_crossings(outline, rises, rise))
            for left, right in zip(crossed[::2], crossed[1::2], strict=True):
                if window is not None:
                    sides = sorted((y - rise) / way for y in (window[1], window[3]))
                    left, right = max(left, window[0], sides[0]), min(right, window[2], sides[1])
                if left < right:
                    yield (left, way * left + rise), (right, way * right + rise)


def _crossings(outline: Sequence[Point], rises: Sequence[float], rise: float) -> Iterator[float]:
    """Where a line of a hatch crosses an outline, across."""
    corners = list(zip(outline, rises, strict=True))
    for ((here, _), low), ((there, _), high) in zip(corners, [*corners[1:], corners[0]], strict=True):
        if (low <= rise) != (high <= rise):
            yield here + (there - here) * (rise - low) / (high - low)


def words_of(items: Iterable[Item]) -> Iterator[Lettering]:
    """Every line of words among items, those in windows too."""
    for one in items:
        if isinstance(one, Lettering):
            yield one
        elif isinstance(one, Clip):
            yield from words_of(one.items)
