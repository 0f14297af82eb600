"""Every cylinder against the target band: a dot with its ± as whiskers, on one scale."""

from __future__ import annotations

import math
from collections.abc import Sequence
from decimal import Decimal

from reportlab.platypus import Flowable

from ccassist.analysis.cylinder import Cylinder
from ccassist.analysis.sums import percents
from ccassist.analysis.worth import worth_of_a_repeat, worth_text
from ccassist.paper.furniture import Cell, Entry, heading, prose, subheading, table, together
from ccassist.paper.page import MM, SLANT, STRONG
from ccassist.paper.scenes import Drawing
from ccassist.paper.sheet import BLACK, GREY, SMALL, Sheet
from ccassist.paper.tiles import given, headline_key
from ccassist.report.figures import dot_plot, dots_scene, legend
from ccassist.values.display import NEEDS_REPEATS
from ccassist.values.findings import capital
from ccassist.values.measured import ground_text
from ccassist.values.statistics import student
from ccassist.values.uncertainty import Cause, Share, budget, expand
from ccassist.values.verdict import Band
from ccassist.vocabulary import term
from ccassist.vocabulary.units import conversion

MOST_CHARTS = 3


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
    name = capital(term(key).name)
    title = f"{name}, each cylinder" + (f", wanted {sheet.short(band.raw, 60)}" if band else "")
    values = [(f"cylinder {number}", value) for number, value in given(sheet.survey, key)]
    plot = dot_plot(values, sheet.fmt, band, title=title)
    drawing = Drawing(dots_scene(plot, sheet.width / MM, figures=False))
    return together(*subheading(title), drawing, prose(legend(plot), SLANT, SMALL, shade=GREY))


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
