"""The summary: whose engine, what it came to, what is wanted, and what to look at."""

from __future__ import annotations

from reportlab.platypus import Flowable, Spacer

from ccassist.analysis import assembly_words as whole_words
from ccassist.analysis.assembly import compare_assembly
from ccassist.analysis.wording import listed
from ccassist.paper.figures import apart_text, bare, given, sign_words, span
from ccassist.paper.furniture import Cell, Entry, Line, Mark, labelled, prose, subheading, table, together
from ccassist.paper.notices import notices
from ccassist.paper.parts import parts_table
from ccassist.paper.sheet import BODY, GREY, LARGE, SLANT, SMALL, STRONG, TEXT, Sheet, count_in_words
from ccassist.paper.tiles import Boxes, tiles
from ccassist.paper.verdicts import results
from ccassist.values.display import show, show_value
from ccassist.values.measured import Value, computed
from ccassist.values.spread import COMPARED, Spread, is_shown, spread_of
from ccassist.values.units import shown_unit
from ccassist.vocabulary import term

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
    survey, system = sheet.survey, sheet.system
    words = [count_in_words(survey.job.cylinders)]
    columns = {key: [v for v in survey.column(key) if v is not None] for key in ("bore", "stroke")}
    if all(columns.values()):
        words.append(" × ".join(f"{key} {span(values, system)}" for key, values in columns.items()))
    else:
        words.append(f"not given: {listed([key for key, values in columns.items() if not values])}")
        words += [f"{key} {span(values, system)}" for key, values in columns.items() if values]
    if "displacement" in survey.whole:
        words.append(f"displacement {show_value(survey.whole['displacement'], system=system)}")
    speed = [v for v in survey.column("mean_piston_speed") if v is not None]
    at = [v for v in survey.column("engine_speed") if v is not None]
    if speed and at:
        words.append(f"mean piston speed {span(speed, system)} at {show('engine_speed', at[0].nominal, system=system)}")
    return prose(f"{'; '.join(words)}.", TEXT, 10.4)


def _whole(sheet: Sheet) -> list[Flowable]:
    """The whole assembly against the sum of its parts, where any cylinder was filled through its plug hole."""
    checks = compare_assembly(sheet.survey)
    if not checks:
        return []
    head = ["cylinder", *whole_words.head(checks)]
    widths = [50.0, *[(sheet.width - 50) / (len(head) - 1)] * (len(head) - 1)]
    known = any(check.crevice_known for check in checks)
    return together(
        *subheading(whole_words.lead(sheet.system)),
        table(head, whole_words.rows(checks, sheet.system), widths),
        *([prose(whole_words.HOLDS, SLANT, SMALL, shade=GREY)] if known else []),
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
    system, key = sheet.system, spread.key
    values = dict(given(sheet.survey, key))
    ends = [_number(values[n], system, f"  (cyl. {n})") for n in (spread.low, spread.high)]
    apart = [Line(apart_text(spread, system))]
    if spread.expanded == spread.expanded and not is_shown(spread):
        apart.append(Line("none shown at this ±", SLANT, shade=GREY))
    mean = computed(key, spread.average)
    unit = shown_unit(term(key), system)
    return [term(key).name, *ends, Cell(*apart), _number(mean, system, f" {unit}" if unit else "", doubt=True)]


def _number(value: Value, system: str, after: str, *, doubt: bool = False) -> Cell:
    """The number, what stands after it, and its sign in words below."""
    text, words = bare(value, system), sign_words(value, system)
    number = text if doubt else text.partition(" ± ")[0]
    return Cell(Line(f"{number}{after}"), *([Line(words, shade=GREY)] if words else []))
