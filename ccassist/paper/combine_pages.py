"""The combinations as pages: what was asked, what was refused and why, the ranked rows, what was not looked at."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from reportlab.platypus import Flowable

from ccassist.analysis.results import Survey
from ccassist.bench.cautions import cautions
from ccassist.job.disk import write_bytes
from ccassist.paper.furniture import Entry, heading, labelled, prose, subheading, table
from ccassist.paper.page import STRONG, register
from ccassist.paper.pages import render
from ccassist.paper.sheet import Sheet
from ccassist.plan.combine import words
from ccassist.plan.combine.aims import Aim, reason_text
from ccassist.plan.combine.search import Combination, Combined
from ccassist.values.display import Formatter
from ccassist.values.findings import clean
from ccassist.vocabulary import term

RANK, NAME, FIGURE = 0.4, 1.25, 1.3  # widths of columns, as parts of the width
WIDE_NAME, FEW = 1.8, 2  # the width of a name where no more names than so many stand side by side
MOST_NAME = 60  # characters of a part's name


def write_combinations(
    found: Combined, aims: Sequence[Aim], survey: Survey, path: str | Path, *, page: str = "A4", fmt: Formatter
) -> int:
    """Write the combinations as a PDF, atomically; returns its number of pages.

    Raises
    ------
    InputError : unknown page size, or the file cannot be written.
    """
    data, pages = combination_bytes(found, aims, survey, page=page, fmt=fmt)
    write_bytes(Path(path), data)
    return pages


def combination_bytes(
    found: Combined, aims: Sequence[Aim], survey: Survey, *, page: str = "A4", fmt: Formatter
) -> tuple[bytes, int]:
    """The PDF and its number of pages; the same combinations give the same bytes.

    Raises
    ------
    InputError : unknown page size.
    """
    register()
    sheet = Sheet(survey=survey, system=fmt.system, page=page, running="Combinations of parts")
    rows = found.best or found.nearest
    story = [*_asked(sheet, found, aims), *_refused(sheet, found, aims)]
    if rows:
        story += [*_rows(sheet, found, rows, aims), *_figures(sheet, rows, aims), *_remarks(sheet, found, aims)]
    subject = "Every combination of the parts on offer, refused or ranked"
    return render(sheet, [*story, *_closing(sheet)], what="combinations of parts", subject=subject)


def _asked(sheet: Sheet, found: Combined, aims: Sequence[Aim]) -> list[Flowable]:
    """How many combinations of what, what was wanted, and what is the same in all."""
    offered = sheet.survey.offered
    lists = [f"{kind}: {', '.join(clean(name, MOST_NAME) for name in options)}" for kind, options in offered.items()]
    story = [*heading(sheet, "What was asked"), prose(words.count_text(found), STRONG)]
    story += [labelled("•", sheet.words(text), indent=12) for text in lists]
    story += subheading("Wanted")
    for aim in aims:
        kept = " and ".join(said for said, holds in (("kept to", aim.limits), ("ranks the rows", aim.ranks)) if holds)
        text = f"{term(aim.key).name} {clean(aim.band.raw, 60)}" + (f": {kept}" if kept else "")
        story.append(labelled("•", sheet.words(text), indent=12))
    if not aims:
        story.append(prose("Nothing: the order is that of the lists."))
    return story


def _refused(sheet: Sheet, found: Combined, aims: Sequence[Aim]) -> list[Flowable]:
    """How many were refused for which reason."""
    story = heading(sheet, "Refused")
    if not found.refused:
        return [*story, prose("None.")]
    rows = [[str(number), sheet.words(reason_text(reason, aims))] for reason, number in found.refused.items()]
    widths = [sheet.width * share for share in (0.15, 0.85)]
    story += [
        prose("Each is counted once, for its gravest reason."),
        table(["how many", "why"], rows, widths, words=(1,)),
    ]
    if not found.best:
        story += [prose(words.NONE_LEFT, STRONG), prose(sheet.words(words.most_text(found, aims)))]
    return story


def _rows(sheet: Sheet, found: Combined, rows: Sequence[Combination], aims: Sequence[Aim]) -> list[Flowable]:
    """The ranked rows, or the nearest misses where none is left."""
    kinds, keys = words.varied(rows, sheet.survey), words.columns(rows, words.FIRST)
    title = "Ranked" if found.best else "Nearest misses, none of which is what was asked for"
    story = heading(sheet, title, room=150)
    if found.best:
        story.append(prose(sheet.words(words.ranked_text(aims))))
    story += [prose(sheet.words(text)) for text in words.fixed_texts(rows, sheet.survey, sheet.fmt)]
    lines: list[list[Entry]] = []
    for number, row in enumerate(rows, 1):
        names = {part.kind: sheet.short(clean(part.name), MOST_NAME) for part in row.parts}
        lines.append([str(number), *[names[kind] for kind in kinds], *words.cells(row, keys, sheet.fmt)])
    head = ["", *kinds, *[term(key).name for key in keys]]
    widths = _widths(sheet, len(kinds), len(keys))
    return [*story, table(head, lines, widths, words=range(1, 1 + len(kinds)))]


def _widths(sheet: Sheet, names: int, figures: int) -> list[float]:
    parts = [RANK, *[WIDE_NAME if names <= FEW else NAME] * names, *[FIGURE] * figures]
    return [sheet.width * part / sum(parts) for part in parts]


def _figures(sheet: Sheet, rows: Sequence[Combination], aims: Sequence[Aim]) -> list[Flowable]:
    """The rest of each row's figures, by its number; what else is wanted among them."""
    asked = [aim.key for aim in aims if aim.key not in words.FIRST]
    keys, weighed = words.columns(rows, list(dict.fromkeys([*words.THEN, *asked]))), words.weighed(rows)
    if not keys and not weighed:
        return []
    lines = [
        [
            str(number),
            *words.cells(row, keys, sheet.fmt),
            *[words.weight_cell(row, kind, sheet.fmt) for kind in weighed],
        ]
        for number, row in enumerate(rows, 1)
    ]
    head = ["", *[term(key).name for key in keys], *map(words.weight_heading, weighed)]
    widths = _widths(sheet, 0, len(keys) + len(weighed))
    return [*subheading("The same rows: what else follows", room=110), table(head, lines, widths, words=())]


def _remarks(sheet: Sheet, found: Combined, aims: Sequence[Aim]) -> list[Flowable]:
    """What the ± leaves open, or what each miss breaks."""
    if found.best:
        said = words.remarks(found.best, aims, sheet.fmt)
        if not said:
            return []
        told = [labelled("LOOK", sheet.words(words.remark_text(text, rows))) for text, rows in said.items()]
        return [*subheading("To look at"), *told]
    breaks = [
        "; ".join(words.break_text(rule, aims, sheet.fmt) for rule in words.broken(row, aims)) for row in found.nearest
    ]
    told = [labelled(str(number), sheet.words(f"{text}.")) for number, text in enumerate(breaks, 1)]
    return [*subheading("What each of these breaks"), *told]


def _closing(sheet: Sheet) -> list[Flowable]:
    """What was not looked at, and the cautions."""
    asked = [labelled("•", text, indent=12) for text in words.NOT_LOOKED_AT]
    told = [labelled("•", text, indent=12) for text in cautions(words.CAUTIONS)]
    return [
        *heading(sheet, "Not looked at here"),
        prose("Answer each before parts are bought."),
        *asked,
        *heading(sheet, "Cautions"),
        *told,
    ]
