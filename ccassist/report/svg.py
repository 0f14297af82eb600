"""A scene as SVG (W3C Scalable Vector Graphics 1.1), as text: for a page in a browser."""

from __future__ import annotations

from collections.abc import Iterable
from xml.sax.saxutils import escape, quoteattr
from zlib import crc32

from ccassist.report.scene import (
    DASHES,
    HATCHED,
    SHADES,
    Area,
    Box,
    Clip,
    Disc,
    Item,
    Lettering,
    Point,
    Scene,
    Stroke,
    hatch_lines,
    rectangle,
)

FACE = "'Fira Sans', 'Helvetica Neue', Arial, sans-serif"


def svg(scene: Scene, title: str = "") -> str:
    """The drawing as one element; every text is escaped and takes no more room than was planned for it."""
    wide, high = _number(scene.width), _number(scene.height)
    said = f"<title>{escape(_clean(title))}</title>" if title else ""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide}mm" height="{high}mm" viewBox="0 0 {wide} {high}"'
        f' role="img" font-family="{FACE}">{said}{_items(scene.items, scene.height)}</svg>'
    )


def _items(items: Iterable[Item], high: float, window: Box | None = None) -> str:
    """Items one after another, turned over, since a browser counts downward from the height."""
    return "".join(_item(item, high, window) for item in items)


def _item(item: Item, high: float, window: Box | None) -> str:
    if isinstance(item, Stroke):
        dash = " ".join(map(_number, DASHES[item.dash]))
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        drawn = f'fill="none" stroke="{_grey(item.shade)}" stroke-width="{_number(item.width)}" stroke-linejoin="round"'
        return f'<path d="{_path(item.points, high)}" {drawn}{dashed}/>'
    if isinstance(item, Area):
        return _shape(item, high, window)
    if isinstance(item, Disc):
        x, y = _place(item.at, high)
        return f'<circle cx="{x}" cy="{y}" r="{_number(item.radius)}" {_filled(item.fill, item.edge)}/>'
    return _words(item, high) if isinstance(item, Lettering) else _window(item, high)


def _shape(item: Area, high: float, window: Box | None) -> str:
    """A shape with its shade, or the lines of its hatch and its outline."""
    hatched = bool(item.fill) and item.fill not in SHADES
    drawn = f'<path d="{_path(item.points, high)}Z" {_filled("" if hatched else item.fill, item.edge)}/>'
    if not hatched:
        return drawn
    lines = "".join(_path(line, high) for line in hatch_lines(item.points, item.fill, window))
    return f'<path d="{lines}" stroke="{_grey("black")}" stroke-width="{HATCHED}"/>{drawn}' if lines else drawn


def _window(item: Clip, high: float) -> str:
    """What is seen through a window; its name is made of its place, so that one page may hold several drawings."""
    outline = f"{_path(rectangle(item.box), high)}Z"
    name = f"window-{crc32(outline.encode()):08x}"
    inside = _items(item.items, high, item.box)
    return f'<clipPath id="{name}"><path d="{outline}"/></clipPath><g clip-path="url(#{name})">{inside}</g>'


def _words(item: Lettering, high: float) -> str:
    left, bottom, right, top = item.box
    under = ""
    if item.cleared:
        box = rectangle((left - 0.5, bottom, right + 0.5, top))
        under = f'<path d="{_path(box, high)}Z" fill="{_grey("white")}"/>'
    x, y = _place(item.at, high)
    weight = ' font-weight="600"' if item.bold else ""
    return (
        f'{under}<text x="{x}" y="{y}" font-size="{_number(item.size)}"{weight} fill="{_grey(item.shade)}"'
        f' text-anchor={quoteattr(item.anchor)} textLength="{_number(item.wide)}"'
        f' lengthAdjust="spacingAndGlyphs">{escape(_clean(item.text))}</text>'
    )


def _filled(fill: str, edge: float) -> str:
    outline = f' stroke="{_grey("black")}" stroke-width="{_number(edge)}"' if edge else ""
    return f'fill="{_grey(fill) if fill else "none"}"{outline}'


def _number(value: float) -> str:
    """A length to a thousandth of a millimetre."""
    return f"{value:.3f}".rstrip("0").rstrip(".") or "0"


def _grey(shade: str) -> str:
    level = round(255 * SHADES[shade])
    return f"#{level:02x}{level:02x}{level:02x}"


def _clean(text: str) -> str:
    """Without what XML has no place for."""
    return "".join(letter if letter.isprintable() else " " for letter in text)


def _place(point: Point, high: float) -> tuple[str, str]:
    return _number(point[0]), _number(high - point[1])


def _path(points: Iterable[Point], high: float) -> str:
    return "M" + "L".join(" ".join(_place(point, high)) for point in points)
