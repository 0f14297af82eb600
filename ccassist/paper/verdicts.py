"""Every cylinder's results, each with its ± and what may be said of it against what is wanted."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from reportlab.platypus import Flowable

from ccassist.analysis.closing import CLOSING, trapped_text
from ccassist.analysis.cylinder import lacking_texts
from ccassist.analysis.guesses import results_of
from ccassist.analysis.results import Survey
from ccassist.paper.figures import given, pieces
from ccassist.paper.furniture import Cell, Entry, Line, prose, subheading, table
from ccassist.paper.sheet import GREY, SLANT, SMALL, STRONG, TEXT, Sheet, measure
from ccassist.values.band import Band
from ccassist.values.display import column_title
from ccassist.values.ground import unsure_texts
from ccassist.vocabulary import term

MAIN = ("static_ratio", "trapped_ratio", "clearance_volume", "deck_clearance", "squish")
DOUBT = (
    "± is the expanded uncertainty at 95 %: the standard uncertainty times Student's t for its degrees of freedom "
    "(JCGM 100:2008), or times less where hard limits make most of it (JCGM 101:2008). “Inside” and “outside” hold "
    "for the whole of value ± uncertainty; in between one “cannot tell at this ±”."
)
MOST_COLUMNS = 6
FIRST, LEAST = 46.0, 10.0  # widths of the column of cylinder numbers, and of an empty column
Piece = tuple[str, list[Line]]


def judged(survey: Survey) -> list[str]:
    """The terms that are each cylinder's results."""
    keys = [key for key in dict.fromkeys([*MAIN, *survey.wanted]) if given(survey, key)]
    if "clearance_volume" not in keys and "chamber_volume" not in keys and given(survey, "chamber_volume"):
        keys.insert(0, "chamber_volume")
    return keys


def results(sheet: Sheet) -> list[Flowable]:
    """Every cylinder's results, and the verdict on each that is wanted."""
    survey = sheet.survey
    keys = judged(survey)
    story = subheading("Each cylinder")
    for start in range(0, len(keys), MOST_COLUMNS):
        story.append(_result_table(sheet, keys[start : start + MOST_COLUMNS]))
    closings = [c.values[CLOSING] for c in survey.cylinders if "trapped_ratio" in c.values and CLOSING in c.values]
    story += [prose(trapped_text(closings[0], sheet.system))] if closings else []
    lacks = [prose(text) for text in lacking_texts(sheet.survey)]
    ground = [prose(sheet.words(text)) for text in unsure_texts(results_of(survey), sheet.system)]
    return [*(story if keys else []), *lacks, *ground, prose(DOUBT, SLANT, SMALL, shade=GREY)]


def _result_table(sheet: Sheet, keys: Sequence[str]) -> Flowable:
    """Number and words side by side where the page is wide enough, else the words below."""
    found = [
        [pieces(c.values.get(key), sheet.system, sheet.survey.wanted.get(key)) for key in keys]
        for c in sheet.survey.cylinders
    ]
    heads = [_column_head(sheet, key, sheet.survey.wanted) for key in keys]
    return (
        _side_by_side(sheet, heads, found)
        or _side_by_side(sheet, heads, [[_brief(p) for p in row] for row in found])
        or _stacked(sheet, heads, found)
    )


def _brief(piece: Piece) -> Piece:
    """The same with the verdict's last words left to the note below the table."""
    number, said = piece
    return number, [replace(line, text=line.text.removesuffix(" at this ±")) for line in said]


def _side_by_side(sheet: Sheet, heads: Sequence[Cell], found: Sequence[Sequence[Piece]]) -> Flowable | None:
    numbers = [max(measure(row[i][0], TEXT, SMALL) for row in found) + 7 for i in range(len(heads))]
    words = []
    for i, head in enumerate(heads):
        wide = max(sum(measure(f"{w.text}, ", w.font, w.size) for w in row[i][1]) for row in found)
        longest = max(measure(word, line.font, line.size) for line in head.lines for word in line.text.split(" "))
        words.append(max(wide + 4, longest + 8 - numbers[i], LEAST))
    spare = sheet.width - FIRST - sum(numbers) - sum(words)
    if spare < 0:
        return None
    widths = [FIRST, *(w for n, extra in zip(numbers, words, strict=True) for w in (n, extra + spare / len(heads)))]
    titles: list[Entry] = ["cylinder", *(cell for h in heads for cell in (h, ""))]
    rows: list[list[Entry]] = [
        [str(c.number), *(cell for number, said in row for cell in (number, _beside(said)))]
        for c, row in zip(sheet.survey.cylinders, found, strict=True)
    ]
    columns = range(1, 2 * len(heads), 2)
    return table(titles, rows, widths, words=(0, *(n + 1 for n in columns)), head_spans=[(n, n + 1) for n in columns])


def _beside(words: Sequence[Line]) -> Cell:
    """Words in one line; each keeps its own face only where it stands alone."""
    if len(words) < 2:
        return Cell(*words)
    return Cell(Line(", ".join(w.text for w in words), STRONG if any(w.font == STRONG for w in words) else SLANT))


def _stacked(sheet: Sheet, heads: Sequence[Cell], found: Sequence[Sequence[Piece]]) -> Flowable:
    each = min(110.0, (sheet.width - FIRST) / len(heads))
    rows: list[list[Entry]] = [
        [str(c.number), *(Cell(*([Line(number)] if number else []), *_beside(said).lines) for number, said in row)]
        for c, row in zip(sheet.survey.cylinders, found, strict=True)
    ]
    return table(["cylinder", *heads], rows, [FIRST, *([each] * len(heads))])


def _column_head(sheet: Sheet, key: str, wanted: Mapping[str, Band]) -> Cell:
    lines = [Line(column_title(term(key), sheet.system), STRONG)]
    if key in wanted:
        lines.append(Line(f"wanted {sheet.short(wanted[key].raw, 40)}", SLANT))
    return Cell(*lines)
