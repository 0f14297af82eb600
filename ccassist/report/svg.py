"""A scene as SVG (W3C Scalable Vector Graphics 1.1), as text: for a page in a browser."""

from __future__ import annotations

from collections.abc import Iterable
from xml.sax.saxutils import escape, quoteattr

from ccassist.report.scene import DASHES, HATCHES, SHADES, THIN, Disc, Item, Point, Scene, Shape, Stroke, Window, Words

_FACE = "'Fira Sans', 'Helvetica Neue', Arial, sans-serif"


def svg(scene: Scene, title: str = "") -> str:
    """The drawing as one element; every text is escaped and takes no more room than was planned for it."""
    wide, high = _number(scene.width), _number(scene.height)
    drawn = _Drawn(scene.height)
    body = drawn.all(scene.items)
    said = f"<title>{escape(_clean(title))}</title>" if title else ""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide}mm" height="{high}mm" viewBox="0 0 {wide} {high}"'
        f' role="img" font-family="{_FACE}">{said}<defs>{_hatches()}{"".join(drawn.clips)}</defs>{body}</svg>'
    )


def _hatches() -> str:
    """Each hatch as a pattern: lines across a tile that is turned by 45 degrees."""
    made = []
    for name, (step, ways) in HATCHES.items():
        tile = step / 2**0.5  # between two lines, square to them
        lines = f"M0 0H{_number(tile)}" + (f"M0 0V{_number(tile)}" if len(ways) > 1 else "")
        turn = -45 if ways[0] > 0 else 45
        made.append(
            f'<pattern id="{name}" patternUnits="userSpaceOnUse" width="{_number(tile)}" height="{_number(tile)}"'
            f' patternTransform="rotate({turn})"><path d="{lines}" stroke="{_grey("grey")}"'
            f' stroke-width="{2 * THIN}"/></pattern>'
        )
    return "".join(made)


def _number(value: float) -> str:
    """A length to a thousandth of a millimetre."""
    return f"{value:.3f}".rstrip("0").rstrip(".") or "0"


def _grey(shade: str) -> str:
    level = round(255 * SHADES[shade])
    return f"#{level:02x}{level:02x}{level:02x}"


def _fill(name: str) -> str:
    return "none" if not name else _grey(name) if name in SHADES else f"url(#{name})"


def _clean(text: str) -> str:
    """Without what XML has no place for."""
    return "".join(letter if letter.isprintable() else " " for letter in text)


class _Drawn:
    """Items turned over, since a browser counts downward; the windows met on the way."""

    def __init__(self, height: float) -> None:
        self.height = height
        self.clips: list[str] = []

    def all(self, items: Iterable[Item]) -> str:
        """The items one after another."""
        return "".join(self._one(item) for item in items)

    def _one(self, item: Item) -> str:
        if isinstance(item, Stroke):
            dash = " ".join(map(_number, DASHES[item.dash]))
            dashed = f' stroke-dasharray="{dash}"' if dash else ""
            path = self._path(item.points)
            return (
                f'<path d="{path}" fill="none" stroke="{_grey(item.shade)}" stroke-width="{_number(item.width)}"'
                f' stroke-linejoin="round"{dashed}/>'
            )
        if isinstance(item, Shape):
            return f'<path d="{self._path(item.points)}Z" fill="{_fill(item.fill)}"{_edge(item.edge)}/>'
        if isinstance(item, Disc):
            x, y = self._place(item.at)
            return f'<circle cx="{x}" cy="{y}" r="{_number(item.radius)}" fill="{_fill(item.fill)}"{_edge(item.edge)}/>'
        return self._words(item) if isinstance(item, Words) else self._window(item)

    def _words(self, item: Words) -> str:
        left, bottom, right, top = item.box
        under = ""
        if item.cleared:
            x, y = self._place((left - 0.5, top))
            under = (
                f'<rect x="{x}" y="{y}" width="{_number(right - left + 1)}" height="{_number(top - bottom)}"'
                ' fill="#ffffff"/>'
            )
        x, y = self._place(item.at)
        weight = ' font-weight="600"' if item.bold else ""
        return (
            f'{under}<text x="{x}" y="{y}" font-size="{_number(item.size)}"{weight} fill="{_grey(item.shade)}"'
            f' text-anchor={quoteattr(item.anchor)} textLength="{_number(item.wide)}"'
            f' lengthAdjust="spacingAndGlyphs">{escape(_clean(item.text))}</text>'
        )

    def _window(self, item: Window) -> str:
        left, bottom, right, top = item.box
        name = f"window{len(self.clips) + 1}"
        x, y = self._place((left, top))
        size = f'width="{_number(right - left)}" height="{_number(top - bottom)}"'
        self.clips.append(f'<clipPath id="{name}"><rect x="{x}" y="{y}" {size}/></clipPath>')
        return f'<g clip-path="url(#{name})">{self.all(item.items)}</g>'

    def _place(self, point: Point) -> tuple[str, str]:
        return _number(point[0]), _number(self.height - point[1])

    def _path(self, points: Iterable[Point]) -> str:
        return "M" + "L".join(" ".join(self._place(point)) for point in points)


def _edge(width: float) -> str:
    return f' stroke="#000000" stroke-width="{_number(width)}"' if width else ""
