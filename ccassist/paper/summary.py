"""The summary: whose engine, what it came to, what is wanted, and what to look at."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from reportlab.platypus import Flowable, Spacer

from ccassist.analysis.assembly import WHOLE_HOLDS, compare_assembly, whole_head, whole_lead, whole_rows
from ccassist.analysis.cylinder import lacking_texts
from ccassist.analysis.motion import motion_text
from ccassist.analysis.results import Survey
from ccassist.analysis.which_counts import CLOSING, trapped_text
from ccassist.analysis.worth import results_of
from ccassist.paper.furniture import Boxes, Cell, Entry, Line, Mark, labelled, prose, subheading, table, together
from ccassist.paper.page import SLANT, STRONG, TEXT
from ccassist.paper.parts import parts_table
from ccassist.paper.sheet import BODY, GREY, LARGE, SMALL, Sheet, count_in_words, measure
from ccassist.paper.tiles import apart_text, bare, given, notices, pieces, sign_words, span, tiles
from ccassist.values.display import Formatter
from ccassist.values.findings import listed
from ccassist.values.measured import Value, computed, unsure_texts
from ccassist.values.verdict import COMPARED, Band, Spread, is_shown, spread_of
from ccassist.vocabulary import term

# Every cylinder's results, each with its ± and what may be said of it against what is wanted.

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
    story += [prose(trapped_text(closings[0], sheet.fmt))] if closings else []
    lacks = [prose(text) for text in lacking_texts(sheet.survey)]
    ground = [prose(sheet.words(text)) for text in unsure_texts(results_of(survey), sheet.fmt)]
    return [*(story if keys else []), *lacks, *ground, prose(DOUBT, SLANT, SMALL, shade=GREY)]


def _result_table(sheet: Sheet, keys: Sequence[str]) -> Flowable:
    """Number and words side by side where the page is wide enough, else the words below."""
    found = [
        [pieces(c.values.get(key), sheet.fmt, sheet.survey.wanted.get(key)) for key in keys]
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
    lines = [Line(sheet.fmt.title(term(key)), STRONG)]
    if key in wanted:
        lines.append(Line(f"wanted {sheet.short(wanted[key].raw, 40)}", SLANT))
    return Cell(*lines)


INFO = ("customer", "by", "date")
INFO_WORDS = {"customer": "customer", "by": "measured by", "date": "date", "file": "job file"}
_APART = (
    "In a difference the causes that both cylinders share cancel; its ± is that of the studentized range, since the "
    "two were picked after looking."
)
LONGEST_INFO, LONGEST_LINE = 60, 300  # characters in a box, and in a paragraph at the head of the page


def summary(sheet: Sheet) -> list[Flowable]:
    """The whole first section."""
    story = [*_title(sheet), _engine(sheet), Spacer(1, 6), *tiles(sheet), Spacer(1, 4)]
    story += [*results(sheet), *notices(sheet), *parts_table(sheet), *_whole(sheet), *_spreads(sheet)]
    return [*story, *_in_full(sheet)]


def _title(sheet: Sheet) -> list[Flowable]:
    """Name, whose, by whom, when; what is too long for the head of the page stands whole at the end of the summary."""
    known = _known(sheet)
    brief = {key: text for key, text in known.items() if len(text) <= LONGEST_INFO and key in INFO_WORDS}
    name = sheet.words(sheet.survey.job.name) or "Unnamed job"
    size = 19 if len(name) <= LONGEST_INFO else LARGE
    shown = name if len(name) <= LONGEST_LINE else f"{name[:LONGEST_LINE]}…"
    story: list[Flowable] = [Mark(name[:LONGEST_INFO]), prose(shown, STRONG, size, after=5)]
    cells = [Cell(Line(INFO_WORDS[key], shade=GREY), Line(text or "–", STRONG, BODY)) for key, text in brief.items()]
    if cells:
        story.append(Boxes(cells, sheet.width))
    rest = {key: text for key, text in known.items() if key not in brief and len(text) <= LONGEST_LINE}
    return [*story, *(labelled(INFO_WORDS.get(key, key), text, indent=66) for key, text in rest.items())]


def _known(sheet: Sheet) -> dict[str, str]:
    """What is said about the job, as it can be printed; a remark only where there is one."""
    job = sheet.survey.job
    known = {key: sheet.words(job.about.get(key, "")) for key in INFO}
    known["file"] = sheet.words(job.file.replace("\\", "/").split("/")[-1])
    return {**known, **({"remark": sheet.words(job.about["remark"])} if job.about.get("remark") else {})}


def _in_full(sheet: Sheet) -> list[Flowable]:
    """What was too long for the head of the page."""
    texts = {"job": sheet.words(sheet.survey.job.name), **_known(sheet)}
    return [
        labelled(INFO_WORDS.get(key, key), text, indent=66) for key, text in texts.items() if len(text) > LONGEST_LINE
    ]


def _engine(sheet: Sheet) -> Flowable:
    """Cylinders, bore × stroke, displacement; what is not given is said."""
    survey, fmt = sheet.survey, sheet.fmt
    words = [count_in_words(survey.job.cylinders)]
    columns = {key: [v for v in survey.column(key) if v is not None] for key in ("bore", "stroke")}
    if all(columns.values()):
        words.append(" × ".join(f"{key} {span(values, fmt)}" for key, values in columns.items()))
    else:
        words.append(f"not given: {listed([key for key, values in columns.items() if not values])}")
        words += [f"{key} {span(values, fmt)}" for key, values in columns.items() if values]
    if "displacement" in survey.whole:
        words.append(f"displacement {fmt.value(survey.whole['displacement'])}")
    motion = motion_text(survey.cylinders[0].values, fmt)
    return prose(f"{'; '.join(words)}. {motion}".rstrip(), TEXT, 10.4)


def _whole(sheet: Sheet) -> list[Flowable]:
    """The whole assembly against the sum of its parts, where any cylinder was filled through its plug hole."""
    checks = compare_assembly(sheet.survey)
    if not checks:
        return []
    head = ["cylinder", *whole_head(checks)]
    widths = [50.0, *[(sheet.width - 50) / (len(head) - 1)] * (len(head) - 1)]
    known = any(check.crevice_known for check in checks)
    return together(
        *subheading(whole_lead(sheet.fmt)),
        table(head, whole_rows(checks, sheet.fmt), widths),
        *([prose(WHOLE_HOLDS, SLANT, SMALL, shade=GREY)] if known else []),
    )


def _spreads(sheet: Sheet) -> list[Flowable]:
    """Smallest, largest, difference and mean between cylinders."""
    every = [s for key in COMPARED if (s := spread_of(key, given(sheet.survey, key)))]
    found = [s for s in every if s.low != s.high]
    same = listed([term(s.key).name for s in every if s.low == s.high])
    alike = [prose(f"Alike in all cylinders: {same}.", size=SMALL)] if same else []
    if not found:
        return alike
    widths = [sheet.width * share for share in (0.23, 0.19, 0.19, 0.18, 0.21)]
    return together(
        *subheading("Between cylinders"),
        table(["", "smallest", "largest", "difference", "mean"], [_spread(sheet, s) for s in found], widths),
        prose(_APART, SLANT, SMALL, shade=GREY),
        *alike,
    )


def _spread(sheet: Sheet, spread: Spread) -> list[Entry]:
    fmt, key = sheet.fmt, spread.key
    values = dict(given(sheet.survey, key))
    ends = [_number(values[n], fmt, f"  (cyl. {n})") for n in (spread.low, spread.high)]
    apart = [Line(apart_text(spread, fmt))]
    if spread.expanded == spread.expanded and not is_shown(spread):
        apart.append(Line("none shown at this ±", SLANT, shade=GREY))
    mean = computed(key, spread.average)
    unit = fmt.unit(key)
    return [
        term(key).name,
        *ends,
        Cell(*apart),
        _number(mean, fmt, f" {unit}" if unit else "", doubt=True),
    ]


def _number(value: Value, fmt: Formatter, after: str, *, doubt: bool = False) -> Cell:
    """The number, what stands after it, and its sign in words below."""
    text, words = bare(value, fmt), sign_words(value, fmt)
    number = text if doubt else text.partition(" ± ")[0]
    return Cell(Line(f"{number}{after}"), *([Line(words, shade=GREY)] if words else []))
