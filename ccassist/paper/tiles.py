"""Boxes at the head of the page: whose engine, and the large figures."""

from __future__ import annotations

import math
from collections.abc import Sequence

from reportlab.platypus import Flowable

from ccassist.analysis.wording import cylinders_in_words
from ccassist.paper.figures import apart_text, bare, given, headline_key, span, verdict
from ccassist.paper.furniture import Block, Cell, Line
from ccassist.paper.sheet import BLACK, GREY, STRONG, Sheet, count_in_words, cut
from ccassist.values.band import Band
from ccassist.values.display import NEEDS_REPEATS, show
from ccassist.values.measured import Value
from ccassist.values.spread import spread_of
from ccassist.values.units import shown_unit
from ccassist.vocabulary import term


class Boxes(Block):
    """Cells side by side between two rules, divided by thin ones."""

    def __init__(self, cells: Sequence[Cell], width: float) -> None:
        super().__init__()
        self.cells, self.width = cells, width
        self.each = width / len(cells)
        self.height = 18 + max(cell.wrap(self.each - 16, 1e6)[1] for cell in cells)

    def draw(self) -> None:
        """Rules, then the cells."""
        canvas = self.canv
        canvas.setStrokeGray(BLACK)
        canvas.setLineWidth(0.9)
        canvas.lines([(0, 6, self.width, 6), (0, self.height, self.width, self.height)])
        canvas.setLineWidth(0.4)
        for i, cell in enumerate(self.cells):
            if i:
                canvas.line(i * self.each, 6, i * self.each, self.height)
            cell.drawOn(canvas, i * self.each + (8 if i else 1), self.height - 6 - cell.height)


class Tile(Block):
    """A box with one large figure."""

    HEIGHT = 77.0

    def __init__(self, title: str, figure: str, *words: str) -> None:
        super().__init__()
        self.title, self.figure, self.words = title, figure, words

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """As wide as given, of fixed height."""
        self.width, self.height = width, self.HEIGHT
        return width, self.HEIGHT

    def draw(self) -> None:
        """Box, title, figure, words; a figure that is too wide is set smaller."""
        canvas, inside, size = self.canv, self.width - 14, 17.0
        canvas.setStrokeGray(BLACK)
        canvas.setLineWidth(0.9)
        canvas.rect(0, 0, self.width, self.height, stroke=1, fill=0)
        while size > 10 and cut(self.figure, STRONG, size, inside) != self.figure:
            size -= 0.5
        lines = [
            Line(self.title, shade=GREY),
            Line(self.figure, STRONG, size),
            *(Line(words) for words in self.words[:2]),
        ]
        for line, y in zip(lines, (63, 40, 22, 9), strict=False):
            canvas.setFont(line.font, line.size)
            canvas.setFillGray(line.shade)
            canvas.drawString(7, y, cut(line.text, line.font, line.size, inside))


class Tiles(Block):
    """Tiles in a row."""

    def __init__(self, tiles: Sequence[Tile], width: float) -> None:
        super().__init__()
        self.tiles, self.width, self.height = tiles, width, Tile.HEIGHT

    def draw(self) -> None:
        """One beside the other."""
        gap = 8.0
        each = min((self.width - gap * (len(self.tiles) - 1)) / len(self.tiles), self.width / 2)
        for i, tile in enumerate(self.tiles):
            tile.wrap(each, self.height)
            tile.drawOn(self.canv, i * (each + gap), 0)


def tiles(sheet: Sheet) -> list[Flowable]:
    """The headline, the spread, and how what is wanted is met."""
    key, survey = headline_key(sheet.survey), sheet.survey
    made = [*_headline_tiles(sheet, key)] if key else []
    made += [_wanted_tile(sheet, name, band) for name, band in list(survey.wanted.items())[:2]]
    if len(made) < 3 and "displacement" in survey.whole:
        figure = show("displacement", survey.whole["displacement"].nominal, system=sheet.system)
        made.append(Tile("displacement", figure, count_in_words(survey.job.cylinders)))
    return [Tiles(made, sheet.width)] if made else []


def _headline_tiles(sheet: Sheet, key: str) -> list[Tile]:
    found = given(sheet.survey, key)
    values = [v for _, v in found]
    unsure = any(math.isnan(v.expanded) for v in values)
    doubt = NEEDS_REPEATS if unsure else _spread_words(max(values, key=lambda v: v.expanded), sheet.system)
    made = [Tile(term(key).name, span(values, sheet.system), doubt, count_in_words(len(values)))]
    apart = spread_of(key, found)
    if apart is not None:
        alike = apart.low == apart.high
        words = ("all alike",) if alike else (f"largest: cylinder {apart.high}", f"smallest: cylinder {apart.low}")
        made.append(Tile("largest less smallest", apart_text(apart, sheet.system), *words))
    return made


def _spread_words(value: Value, system: str) -> str:
    spread = bare(value, system).partition(" ± ")[2]
    unit = shown_unit(term(value.key), system)
    return f"± {spread}{f' {unit}' if unit else ''} or better" if spread else "taken as exact"


def _wanted_tile(sheet: Sheet, key: str, band: Band) -> Tile:
    found = given(sheet.survey, key)
    title, wanted = term(key).name, f"wanted {sheet.short(band.raw, 40)}"
    if not found:
        return Tile(title, "not given", wanted)
    said: dict[str, list[int]] = {}
    for number, value in found:
        said.setdefault(verdict(value, band), []).append(number)
    first = max(said, key=lambda v: len(said[v]))
    rest = [f"{words}: {cylinders_in_words(numbers)}" for words, numbers in said.items() if words != first]
    return Tile(
        title,
        f"{len(said[first])} of {len(found)} {first.split(' at ')[0]}",
        wanted,
        "; ".join(rest) or "every cylinder",
    )
