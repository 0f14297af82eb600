"""Every cylinder against the target band: a dot with its ± as whiskers, on one scale."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from reportlab.platypus import Flowable

from ccassist.paper.figures import around, given, headline_key, verdict
from ccassist.paper.furniture import Block, prose, subheading, together
from ccassist.paper.sheet import BLACK, GREY, SLANT, SMALL, STRONG, TEXT, Sheet, measure
from ccassist.values.band import Band
from ccassist.values.display import amount, decimals_of
from ccassist.values.measured import Value
from ccassist.values.units import Conversion, conversion, shown_unit
from ccassist.vocabulary import term

MOST_CHARTS = 3
ROW, HEAD, FOOT = 13.5, 6.0, 27.0  # points
LEFT, RIGHT = 58.0, 118.0  # room for the cylinder's name, and for the verdict
DOT = 2.6


@dataclass(frozen=True, kw_only=True)
class Scale:
    """From SI to points across the chart; ``ticks`` are SI and ``decimals`` those of their labels."""

    low: float
    high: float
    ticks: tuple[float, ...]
    decimals: int

    def across(self, value: float, width: float) -> float:
        """Where a value lies, kept within the chart."""
        return min(max((value - self.low) / (self.high - self.low), 0.0), 1.0) * width


def charts(sheet: Sheet) -> list[Flowable]:
    """A chart for each of the first things wanted; where nothing is, one of the headline."""
    found: list[tuple[str, Band | None]] = [
        (key, band) for key, band in sheet.survey.wanted.items() if given(sheet.survey, key)
    ]
    headline = headline_key(sheet.survey)
    if headline and headline not in dict(found) and len(given(sheet.survey, headline)) > 1:
        found.append((headline, None))
    return [part for key, band in found[:MOST_CHARTS] for part in _chart(sheet, key, band)]


def _chart(sheet: Sheet, key: str, band: Band | None) -> list[Flowable]:
    name = term(key).name
    title = f"{name.capitalize()}, each cylinder" + (f", wanted {sheet.short(band.raw, 60)}" if band else "")
    drawn = Chart(sheet, key, band)
    words = "Dots are the values, whiskers their ±" + (
        "; the grey band is what is wanted."
        if band and band.low < band.high
        else "; the dashed line is the aim."
        if band
        else "."
    )
    return together(*subheading(title), drawn, prose(words, SLANT, SMALL, shade=GREY))


class Chart(Block):
    """The rows of the cylinders, the band behind them, the scale below."""

    def __init__(self, sheet: Sheet, key: str, band: Band | None) -> None:
        super().__init__()
        self.sheet, self.key, self.band = sheet, key, band
        self.values = given(sheet.survey, key)
        self.scale = scale_of([v for _, v in self.values], band, sheet.system)
        self.width = sheet.width
        self.height = HEAD + ROW * len(self.values) + FOOT

    @property
    def inside(self) -> float:
        """Width of the field."""
        return self.width - LEFT - (RIGHT if self.band else 20.0)

    def draw(self) -> None:
        """Band, frame, rows, scale."""
        canvas = self.canv
        canvas.saveState()
        canvas.translate(LEFT, FOOT)
        high = self.height - FOOT
        self._wanted(high)
        canvas.setStrokeGray(BLACK)
        canvas.setLineWidth(0.6)
        canvas.rect(0, 0, self.inside, high, stroke=1, fill=0)
        for place, (number, value) in enumerate(self.values):
            self._row(number, value, high - HEAD - ROW * (place + 0.5))
        self._ticks()
        canvas.restoreState()

    def _wanted(self, high: float) -> None:
        canvas, band = self.canv, self.band
        if band is None:
            return
        left, right = (self.scale.across(end, self.inside) for end in (band.low, band.high))
        if band.low < band.high:
            canvas.setFillGray(0.88)
            canvas.rect(left, 0, right - left, high, stroke=0, fill=1)
        canvas.setStrokeGray(GREY)
        canvas.setLineWidth(0.8)
        canvas.setDash(3, 2)
        canvas.lines([(x, 0, x, high) for x, end in ((left, band.low), (right, band.high)) if math.isfinite(end)])
        canvas.setDash()

    def _row(self, number: int, value: Value, y: float) -> None:
        canvas, spread = self.canv, value.expanded
        canvas.setFillGray(BLACK)
        canvas.setFont(TEXT, SMALL)
        canvas.drawRightString(-6, y - 3, f"cylinder {number}")
        middle = self.scale.across(value.nominal, self.inside)
        if math.isfinite(spread) and spread > 0:
            ends = [self.scale.across(value.nominal + side * spread, self.inside) for side in (-1, 1)]
            canvas.setStrokeGray(BLACK)
            canvas.setLineWidth(0.9)
            canvas.lines([(*(ends[0], y), ends[1], y), *((x, y - 3, x, y + 3) for x in ends)])
        canvas.circle(middle, y, DOT, stroke=0, fill=1)
        if self.band is not None:
            said = verdict(value, self.band)
            canvas.setFont(STRONG if said == "outside" else TEXT, SMALL)
            canvas.drawString(self.inside + 8, y - 3, said)

    def _ticks(self) -> None:
        canvas, unit = self.canv, shown_unit(term(self.key), self.sheet.system)
        canvas.setStrokeGray(BLACK)
        canvas.setLineWidth(0.5)
        canvas.setFont(TEXT, SMALL)
        for tick in self.scale.ticks:
            x = self.scale.across(tick, self.inside)
            canvas.line(x, 0, x, -3)
            text = amount(self.key, tick, system=self.sheet.system, decimals=self.scale.decimals)
            canvas.drawCentredString(x, -12, text)
        axis = axis_name(self.key, unit, self.scale)
        canvas.setFillGray(GREY)
        canvas.drawString((self.inside - measure(axis, TEXT, SMALL)) / 2, -23, axis)


def axis_name(key: str, unit: str, scale: Scale) -> str:
    """What the scale shows, its sign in words: "deck clearance, mm (+ below deck, − proud of the deck)"."""
    wanted = term(key)
    name = f"{wanted.name}{f', {unit}' if unit else ''}"
    if wanted.sign is None or (scale.low >= 0 and wanted.sign.bare_is_plus):
        return name
    said = {"+": wanted.sign.says_plus, "−": wanted.sign.says_minus}
    shown = [mark for mark, there in (("+", scale.high > 0), ("−", scale.low < 0)) if there]
    return f"{name} ({', '.join(f'{mark} {around(said[mark])}' for mark in shown)})"


def scale_of(values: Sequence[Value], band: Band | None, system: str) -> Scale:
    """A scale with round ticks that holds every value, its ± and the limits of the band."""
    ends = [v.nominal + side * _finite(v.expanded) for v in values for side in (-1, 1)]
    ends += [end for end in ((band.low, band.high, band.aim) if band else ()) if math.isfinite(end)]
    key = values[0].key
    unit = conversion(shown_unit(term(key), system))
    low, high = ((end - unit.zero) / unit.scale for end in (min(ends), max(ends)))
    least = 10.0 ** -max(decimals_of(v, system) for v in values)
    room = max(high - low, 4 * least)
    low, high = low - 0.08 * room, high + 0.08 * room
    return scale_between(key, low * unit.scale + unit.zero, high * unit.scale + unit.zero, system)


def scale_between(key: str, low: float, high: float, system: str, parts: int = 5) -> Scale:
    """A scale from end to end, SI, with round ticks in the shown unit, about so many parts of it apart."""
    unit = conversion(shown_unit(term(key), system))
    step = round_step((high - low) / unit.scale / parts)
    ticks = tuple(tick * unit.scale + unit.zero for tick in multiples(low, high, step, unit))
    decimals = max(0, -math.floor(math.log10(step) + 1e-9))
    return Scale(low=low, high=high, ticks=ticks, decimals=decimals)


def multiples(low: float, high: float, step: float, unit: Conversion) -> list[float]:
    """The multiples of a step in a unit that lie between two SI values."""
    first, last = ((end - unit.zero) / unit.scale / step for end in (low, high))
    return [n * step for n in range(math.ceil(first - 1e-9), math.floor(last + 1e-9) + 1)]


def _finite(spread: float) -> float:
    return spread if math.isfinite(spread) else 0.0


def round_step(rough: float) -> float:
    """The next step of 1, 2 or 5 times a power of ten.

    >>> round_step(0.034), round_step(7.0)
    (0.05, 10.0)
    """
    power = 10.0 ** math.floor(math.log10(rough))
    return next(power * times for times in (1, 2, 5, 10) if power * times >= rough * (1 - 1e-9))
