"""The summary: whose engine, what it came to, what is wanted, and what to look at."""

from __future__ import annotations

from reportlab.platypus import Flowable, Spacer

from ccassist.display import show, show_number, show_value
from ccassist.measured import Value
from ccassist.paper.figures import bare, given, sign_words, span
from ccassist.paper.furniture import Cell, Entry, Line, labelled, prose, subheading, table
from ccassist.paper.notices import notices
from ccassist.paper.parts import parts_table
from ccassist.paper.sheet import BODY, GREY, LARGE, SLANT, SMALL, STRONG, TEXT, Sheet, count_in_words, listed
from ccassist.paper.tiles import Boxes, tiles
from ccassist.paper.verdicts import results
from ccassist.spread import Spread, is_shown, spread_of
from ccassist.terms import term

COMPARED = ("chamber_volume", "clearance_volume", "static_ratio", "deck_clearance", "squish")
INFO = ("customer", "by", "date")
INFO_WORDS = {"customer": "customer", "by": "measured by", "date": "date", "file": "job file"}
LONGEST_INFO, LONGEST_LINE = 60, 300  # characters in a box, and in a paragraph at the head of the page


def summary(sheet: Sheet) -> list[Flowable]:
    """The whole first section."""
    story = [*_title(sheet), _engine(sheet), Spacer(1, 6), *tiles(sheet), Spacer(1, 4)]
    return [*story, *results(sheet), *notices(sheet), *parts_table(sheet), *_spreads(sheet), *_in_full(sheet)]


def _title(sheet: Sheet) -> list[Flowable]:
    """Name, whose, by whom, when; what is too long for the head of the page stands whole at the end of the summary."""
    known = _known(sheet)
    brief = {key: text for key, text in known.items() if len(text) <= LONGEST_INFO and key in INFO_WORDS}
    name = sheet.words(sheet.survey.job.name) or "Unnamed job"
    size = 19 if len(name) <= LONGEST_INFO else LARGE
    story: list[Flowable] = [
        prose(name if len(name) <= LONGEST_LINE else f"{name[:LONGEST_LINE]}…", STRONG, size, after=5)
    ]
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


def _spreads(sheet: Sheet) -> list[Flowable]:
    """Smallest, largest, difference and mean between cylinders."""
    found = [s for key in COMPARED if (s := spread_of(key, given(sheet.survey, key))) and s.low != s.high]
    if not found:
        return []
    widths = [sheet.width * share for share in (0.21, 0.19, 0.19, 0.18, 0.23)]
    return [
        *subheading("Between cylinders"),
        table(["", "smallest", "largest", "difference", "mean"], [_spread(sheet, s) for s in found], widths),
        prose("In a difference the causes that both cylinders share cancel.", SLANT, SMALL, shade=GREY),
    ]


def _spread(sheet: Sheet, spread: Spread) -> list[Entry]:
    system, key = sheet.system, spread.key
    values = dict(given(sheet.survey, key))
    ends = [f"{_plain(values[n], system)}  (cyl. {n})" for n in (spread.low, spread.high)]
    apart = [Line(show_number(key, spread.difference, system=system, words=False))]
    if spread.expanded == spread.expanded and not is_shown(spread):
        apart.append(Line("none shown at this ±", SLANT, shade=GREY))
    return [term(key).name, *ends, Cell(*apart), show_number(key, spread.average, system=system)]


def _plain(value: Value, system: str) -> str:
    """The number alone, with its sign in words."""
    number, words = bare(value, system).partition(" ± ")[0], sign_words(value, system)
    return f"{number} {words}" if words else number
