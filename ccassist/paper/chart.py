"""Every cylinder against the target band: a dot with its ± as whiskers, on one scale."""

from __future__ import annotations

import math
from collections.abc import Sequence
from decimal import Decimal

from reportlab.platypus import Flowable

from ccassist.analysis.cylinder import Cylinder
from ccassist.analysis.sums import percents
from ccassist.analysis.worth import worth_of_a_repeat, worth_text
from ccassist.paper.furniture import Block, Cell, Entry, heading, prose, subheading, table, together
from ccassist.paper.page import SLANT, STRONG, TEXT
from ccassist.paper.sheet import BLACK, GREY, SMALL, Sheet, measure
from ccassist.paper.tiles import around, given, headline_key
from ccassist.values.display import NEEDS_REPEATS, Formatter
from ccassist.values.findings import capital
from ccassist.values.measured import Value, ground_text
from ccassist.values.statistics import student
from ccassist.values.uncertainty import Cause, Share, budget, expand
from ccassist.values.verdict import Band, Verdict, decide
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import Unit, conversion

MOST_CHARTS = 3
ROW, HEAD, FOOT = 13.5, 6.0, 27.0  # points
LEFT, RIGHT = 58.0, 118.0  # room for the cylinder's name, and for the verdict
DOT = 2.6


@record
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
        self.scale = scale_of([v for _, v in self.values], band, sheet.fmt)
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
            said = decide(value, self.band)
            canvas.setFont(STRONG if said is Verdict.OUTSIDE else TEXT, SMALL)
            canvas.drawString(self.inside + 8, y - 3, said.value)

    def _ticks(self) -> None:
        canvas, unit = self.canv, term(self.key).shown(self.sheet.system)
        canvas.setStrokeGray(BLACK)
        canvas.setLineWidth(0.5)
        canvas.setFont(TEXT, SMALL)
        for tick in self.scale.ticks:
            x = self.scale.across(tick, self.inside)
            canvas.line(x, 0, x, -3)
            text = self.sheet.fmt.amount(self.key, tick, decimals=self.scale.decimals)
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


def scale_of(values: Sequence[Value], band: Band | None, fmt: Formatter) -> Scale:
    """A scale with round ticks that holds every value, its ± and the limits of the band."""
    ends = [v.nominal + side * _finite(v.expanded) for v in values for side in (-1, 1)]
    ends += [end for end in ((band.low, band.high, band.aim) if band else ()) if math.isfinite(end)]
    key = values[0].key
    unit = conversion(fmt.unit(key))
    low, high = ((end - unit.zero) / unit.scale for end in (min(ends), max(ends)))
    least = 10.0 ** -max(fmt.decimals(v) for v in values)
    room = max(high - low, 4 * least)
    low, high = low - 0.08 * room, high + 0.08 * room
    return scale_between(key, low * unit.scale + unit.zero, high * unit.scale + unit.zero, fmt)


def scale_between(key: str, low: float, high: float, fmt: Formatter, parts: int = 5) -> Scale:
    """A scale from end to end, SI, with round ticks in the shown unit, about so many parts of it apart."""
    unit = conversion(fmt.unit(key))
    step = round_step((high - low) / unit.scale / parts)
    ticks = tuple(tick * unit.scale + unit.zero for tick in multiples(low, high, step, unit))
    decimals = max(0, -math.floor(math.log10(step) + 1e-9))
    return Scale(low=low, high=high, ticks=ticks, decimals=decimals)


def multiples(low: float, high: float, step: float, unit: Unit) -> list[float]:
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


# What makes the ±: the budget of the headline result, with bars.

NORMAL = student(math.inf) - 6e-5  # the coverage factor of a normal distribution, less what rounding makes
MOST_ROWS, MOST_UNKNOWN = 14, 40
LEAST_SHARE = 0.001  # of the variance, worth a line of its own


class Bar(Cell):
    """A share as a bar, full where it is the whole."""

    def __init__(self, share: float) -> None:
        super().__init__()
        self.share = share

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """As wide as its column."""
        self.width, self.height = width, 10.0
        return self.width, self.height

    def draw(self) -> None:
        """A frame and the part of it that is filled."""
        self.canv.setStrokeGray(GREY)
        self.canv.setFillGray(BLACK)
        self.canv.setLineWidth(0.4)
        self.canv.rect(0, 1.5, self.width, 6.5, stroke=1, fill=0)
        self.canv.rect(0, 1.5, self.width * self.share, 6.5, stroke=0, fill=1)


def budgets(sheet: Sheet, cylinder: Cylinder | None) -> list[Flowable]:
    """The budget of one cylinder's headline result in full, then every cylinder's in a line."""
    key = headline_key(sheet.survey)
    story = heading(sheet, "Uncertainty budget", room=190)
    if key is None:
        return [*story, prose("Nothing has been measured yet.")]
    chosen = (
        cylinder if cylinder and key in cylinder.values else next(c for c in sheet.survey.cylinders if key in c.values)
    )
    return [*story, *_full(sheet, chosen, key), *_lines(sheet, key), *_one_more(sheet)]


def _full(sheet: Sheet, cylinder: Cylinder, key: str) -> list[Flowable]:
    value = cylinder.values[key]
    stated = expand(value.number)
    rows = budget(value.number)
    name = f"{term(key).name.capitalize()} of cylinder {cylinder.number}: {sheet.fmt.value(value)}."
    if not rows:
        return [prose(f"{name} Every input is taken as exact: there is nothing to budget.")]
    unknown = [r for r in rows if math.isnan(r.standard)]
    if unknown:
        return [
            prose(name, STRONG),
            prose(
                f"{NEEDS_REPEATS}. It waits for the causes named “{NEEDS_REPEATS}”; the others are "
                "given with their own contributions."
            ),
            _table(sheet, key, rows),
        ]
    hard = " (for the shape that hard limits give the sum)" if stated.factor < NORMAL else ""
    ground = ground_text(key, value.number, sheet.fmt)
    words = (
        f"Standard uncertainty {_small(sheet, key, stated.standard)}, {_degrees(stated.dof)} degrees of freedom "
        f"(Welch-Satterthwaite), coverage factor {stated.factor:.2f}{hard}. Contributions are standard "
        "uncertainties; their squares add to its square."
    )
    rests = [prose(sheet.words(f"{capital(ground)}: no 95 % for it."))] if ground else []
    return [prose(name, STRONG), prose(words), *rests, _table(sheet, key, rows)]


def _degrees(dof: float) -> str:
    """Degrees of freedom; beyond a thousand they make no difference."""
    return "" if math.isnan(dof) else "∞" if math.isinf(dof) else "> 999" if dof >= 1000 else f"{math.floor(dof)}"


def _small(sheet: Sheet, key: str, standard: float) -> str:
    """A standard uncertainty to two significant digits, in the shown unit."""
    unit = sheet.fmt.unit(key)
    number = abs(standard) / conversion(unit).scale
    if number == 0:
        return "0"
    return f"{number:.{max(0, 1 - math.floor(math.log10(number)))}f}{f' {unit}' if unit else ''}"


def _table(sheet: Sheet, key: str, rows: Sequence[Share]) -> Flowable:
    """The causes, the largest first; those too small to matter are drawn together."""
    unknown = any(math.isnan(r.standard) for r in rows)
    shown = [*rows[:MOST_UNKNOWN]] if unknown else _gathered(rows)
    parts = [None] * len(shown) if unknown else percents([r.share for r in shown])
    head = ["cause", "contribution", "share", "", "degrees of freedom", "source", "what would reduce it"]
    widths = [sheet.width * s for s in (0.25, 0.12, 0.07, 0.065, 0.105, 0.21, 0.18)]
    body = [_row(sheet, key, row, percent) for row, percent in zip(shown, parts, strict=True)]
    return table(head, body, widths, words=(0, 3, 5, 6))


def _gathered(rows: Sequence[Share]) -> list[Share]:
    """The rows worth a line, and one for all the rest."""
    kept = [r for r in rows if r.share >= LEAST_SHARE][:MOST_ROWS]
    rest = rows[len(kept) :]
    if not rest:
        return kept
    cause = Cause(name=f"{len(rest)} smaller causes together", dof=math.nan)
    return [
        *kept,
        Share(cause=cause, standard=math.hypot(*(r.standard for r in rest)), share=sum(r.share for r in rest)),
    ]


def _row(sheet: Sheet, key: str, row: Share, percent: Decimal | None) -> list[Entry]:
    cause, known = row.cause, not math.isnan(row.standard)
    return [
        sheet.short(cause.name, 110),
        _small(sheet, key, row.standard) if known else NEEDS_REPEATS,
        "" if percent is None else f"{percent} %",
        "" if percent is None else Bar(row.share),
        _degrees(cause.dof) if known else "",
        sheet.short(cause.source, 160),
        sheet.short(cause.remedy, 110),
    ]


def _lines(sheet: Sheet, key: str) -> list[Flowable]:
    """Every cylinder in a line: its ± and the cause that makes most of it."""
    rows: list[list[Entry]] = []
    for c in sheet.survey.cylinders:
        if key not in c.values:
            continue
        value = c.values[key]
        stated, found = expand(value.number), budget(value.number)
        known = not math.isnan(stated.standard)
        top = next((r for r in found if math.isnan(r.standard) != known), None)
        words = (
            "–" if top is None else sheet.short(top.cause.name, 110) + (f", {100 * top.share:.0f} %" if known else "")
        )
        figures = [_degrees(stated.dof), f"{stated.factor:.2f}"] if known else ["", ""]
        rows.append([str(c.number), sheet.fmt.value(value), *figures, words])
    widths = [sheet.width * s for s in (0.1, 0.2, 0.1, 0.08, 0.52)]
    head = ["cylinder", term(key).name, "degrees of freedom", "factor", "largest cause"]
    return [table(head, rows, widths, words=(0, 4))]


def _one_more(sheet: Sheet) -> list[Flowable]:
    """What one more reading would do to each cylinder's ±: of the series that helps most."""
    helpful = [worth_of_a_repeat(sheet.survey, c.number) for c in sheet.survey.cylinders]
    told = [sheet.words(f"{worth_text(one, sheet.fmt)}.") for one in helpful if one is not None]
    lines = [prose(text, size=SMALL, after=2) for text in told]
    return [*subheading("One more reading, where it helps most"), *lines] if told else []
