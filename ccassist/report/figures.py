"""Figures to look at rather than read: values against what is wanted, shares of the ±, before and after.

First as data, from values or a budget; then, for paper and page, as a scene.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence

from ccassist.analysis.sums import percents
from ccassist.report.axes import axis_name, scale_of
from ccassist.report.blocks import Bars, Dot, DotPlot, ShareBar
from ccassist.report.findings import without_place
from ccassist.report.scene import (
    LEADING,
    SMALL,
    THIN,
    Area,
    Item,
    Lettering,
    Scene,
    Stroke,
    broken,
    diamond,
    dot,
    measure,
    rectangle,
    whisker,
)
from ccassist.values.display import Formatter
from ccassist.values.findings import capital, clean, whose
from ccassist.values.measured import Value
from ccassist.values.number import Number
from ccassist.values.uncertainty import budget
from ccassist.values.verdict import Band, Verdict, band_text, decide
from ccassist.vocabulary import term
from ccassist.vocabulary.record import together

Named = tuple[str, Value]  # whose it is, and what
MOST_BARS, LEAST_SHARE = 6, 0.01  # of the variance, worth a bar of its own
LONGEST = 90  # characters of a wish or a name in a figure


def dot_plot(values: Sequence[Named], fmt: Formatter, band: Band | None = None) -> DotPlot:
    """Values of one term, at least one, each with its ± and, where a band is wanted, its verdict."""
    return before_after([(name, None, value) for name, value in values], fmt, band)


def before_after(
    values: Sequence[tuple[str, Value | None, Value]], fmt: Formatter, band: Band | None = None, *, title: str = ""
) -> DotPlot:
    """What each of some values was and what it has become; None where it was not."""
    shown = [one for _, was, value in values for one in (was, value) if one is not None]
    key = shown[0].key
    scale = scale_of(shown, band, fmt)
    wanted = f", wanted {band_text(band, fmt)}" if band else ""
    dots = [
        Dot(
            name=name,
            figure=fmt.value(value),
            at=value.nominal,
            spread=value.expanded,
            note=decide(value, band).value if band else "",
            before=was.nominal if was else None,
        )
        for name, was, value in values
    ]
    return DotPlot(
        title=title or f"{capital(term(key).name)}{wanted}",
        axis=axis_name(key, fmt.unit(key), scale),
        dots=tuple(dots),
        ends=(scale.low, scale.high),
        ticks=tuple((tick, fmt.amount(key, tick, decimals=scale.decimals)) for tick in scale.ticks),
        band=(band.low, band.high) if band else None,
    )


def by_cylinder(
    values: Iterable[tuple[int, Value | None, Value]], fmt: Formatter
) -> list[tuple[str, Value | None, Value]]:
    """Values named by their cylinders: those that are told alike share a row."""
    told = together(((fmt.value(was) if was else "", fmt.value(value)), (n, was, value)) for n, was, value in values)
    return [(whose([number for number, _, _ in group]), *group[0][1:]) for group in told.values()]


def budget_bars(number: Number, title: str) -> Bars | None:
    """What makes the ± of a number, as shares of its variance; None where nothing does, or not all of it is known."""
    rows = budget(number)
    if not rows or any(math.isnan(row.standard) for row in rows):
        return None
    kept = [row for row in rows if row.share >= LEAST_SHARE][:MOST_BARS]
    parts = [(clean(without_place(row.cause.name), LONGEST), row.share) for row in kept]
    rest = rows[len(kept) :]
    if rest:
        parts.append((f"{len(rest)} smaller ones", sum(row.share for row in rest)))
    figures = percents([share for _, share in parts])
    return Bars(
        title, tuple(ShareBar(name, share, f"{said} %") for (name, share), said in zip(parts, figures, strict=True))
    )


def legend(plot: DotPlot) -> str:
    """What the marks of a plot mean."""
    said = "Dots are the values, whiskers their ±"
    if any(one.before is not None for one in plot.dots):
        said += "; open diamonds are the values before"
    if plot.band is None:
        return f"{said}."
    return f"{said}; {'the dashed line is the aim' if plot.band[0] == plot.band[1] else 'hatched is what is wanted'}."


# -- as scenes -------------------------------------------------------------------------------
ROW, HEAD, FOOT, GAP = 4.8, 2.0, 9.5, 2.5  # mm: a row, above and below the rows, between words and field
MOST_NAME = 0.45  # of the width


def dots_scene(plot: DotPlot, width: float) -> Scene:
    """A dot plot of a width, mm: band, frame, rows, scale, and the values in print beside it."""
    left = max(measure(one.name) for one in plot.dots) + GAP
    said = max(measure(one.figure) for one in plot.dots) + GAP
    noted = max(measure(one.note, bold=True) for one in plot.dots)
    inside = width - left - GAP - max(said + noted, 4.0)
    high = HEAD + ROW * len(plot.dots)
    low, top = plot.ends

    def across(value: float) -> float:
        return left + min(max((value - low) / (top - low), 0.0), 1.0) * inside

    field = (left, FOOT, left + inside, FOOT + high)
    items: list[Item] = []
    if plot.band is not None:
        ends = [across(end) for end in plot.band]
        if ends[0] < ends[1]:
            items.append(Area(rectangle((ends[0], FOOT, ends[1], FOOT + high)), "sparse", 0.0))
        limits = [x for x, end in zip(ends, plot.band, strict=True) if math.isfinite(end)]
        items += [Stroke(((x, FOOT), (x, FOOT + high)), 0.28, "dashed") for x in dict.fromkeys(limits)]
    items.append(Area(rectangle(field)))
    for place, one in enumerate(plot.dots):
        y = FOOT + high - HEAD / 2 - ROW * (place + 0.5)
        items += _row(one, y, across)
        base, right = y - 0.34 * SMALL, left + inside + GAP
        items += [Lettering((left - GAP / 2, base), one.name, anchor="end"), Lettering((right, base), one.figure)]
        if one.note:
            items.append(Lettering((right + said, base), one.note, bold=one.note == Verdict.OUTSIDE.value))
    for tick, text in plot.ticks:
        x = across(tick)
        items += [Stroke(((x, FOOT), (x, FOOT - 1)), THIN), Lettering((x, FOOT - 4.2), text, anchor="middle")]
    items.append(Lettering((left + inside / 2, 0.9), plot.axis, anchor="middle", shade="grey"))
    return Scene(width, FOOT + high + 0.3, tuple(items))


def _row(one: Dot, y: float, across: Callable[[float], float]) -> list[Item]:
    """The ±, what it was, what it is."""
    items: list[Item] = []
    if math.isfinite(one.spread) and one.spread > 0:
        items += whisker(across(one.at - one.spread), across(one.at + one.spread), y)
    if one.before is not None:
        items += diamond((across(one.before), y))
    return [*items, *dot((across(one.at), y))]


def bars_scene(bars: Bars, width: float) -> Scene:
    """Shares as bars of a width, mm, each full where it is the whole."""
    name_wide = min(max(measure(one.name) for one in bars.bars), MOST_NAME * width) + GAP
    far = max(measure(one.figure) for one in bars.bars) + GAP
    names = [broken(one.name, name_wide - GAP, measure) for one in bars.bars]
    y = high = sum(max(ROW, SMALL * LEADING * len(lines) + 0.8) for lines in names) + 0.6
    items: list[Item] = []
    for one, lines in zip(bars.bars, names, strict=True):
        row = max(ROW, SMALL * LEADING * len(lines) + 0.8)
        middle = y - row / 2
        base = middle + (len(lines) / 2 - 0.5) * SMALL * LEADING - 0.34 * SMALL
        items += [Lettering((0.0, base - n * SMALL * LEADING), line) for n, line in enumerate(lines)]
        frame = (name_wide, middle - 1.2, width - far, middle + 1.2)
        filled = (*frame[:2], name_wide + one.share * (frame[2] - frame[0]), frame[3])
        items += [Area(rectangle(frame), "", THIN), Area(rectangle(filled), "black", 0.0)]
        items.append(Lettering((width, middle - 0.34 * SMALL), one.figure, anchor="end"))
        y -= row
    return Scene(width, high, tuple(items))
