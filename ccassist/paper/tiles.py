"""Boxes at the head of the page: whose engine, and the large figures."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from reportlab.platypus import Flowable

from ccassist.analysis.checks import engine_findings
from ccassist.analysis.results import Survey
from ccassist.analysis.sums import decimal
from ccassist.analysis.worth import JUDGED
from ccassist.paper.furniture import LargeFigure as Tile
from ccassist.paper.furniture import LargeFigures as Tiles
from ccassist.paper.furniture import Line, labelled, prose, subheading
from ccassist.paper.page import SLANT, STRONG
from ccassist.paper.sheet import GREY, Sheet, count_in_words
from ccassist.report.scales import around
from ccassist.values.display import NEEDS_REPEATS, Formatter, places
from ccassist.values.findings import Finding, Level, listed, runs
from ccassist.values.measured import Value
from ccassist.values.number import nominal
from ccassist.values.uncertainty import expand
from ccassist.values.verdict import Band, Spread, Verdict, decide, spread_of
from ccassist.vocabulary import Term, term

# Values as they stand in a table: the number with its ±, and apart from it the words of its sign.

NOT_GIVEN = "not given"


def bare(value: Value, fmt: Formatter) -> str:
    """The number with its ±, without unit and sign words, for a column that names the unit."""
    wanted = term(value.key)
    stated = expand(value.number)
    spread = None if stated.expanded == 0 or math.isnan(stated.expanded) else stated.expanded
    size = abs(stated.value) if wanted.sign else stated.value
    return without_unit(fmt.show(value.key, size, spread, words=False), wanted, fmt)


def without_unit(text: str, wanted: Term, fmt: Formatter) -> str:
    """A printed amount without its unit."""
    return text.removesuffix(f" {fmt.unit(wanted)}")


def sign_words(value: Value, fmt: Formatter) -> str:
    """The words of its sign, "" where the quantity has none to mistake."""
    sign = term(value.key).sign
    if sign is None:
        return ""
    text = fmt.amount(value.key, value.nominal, decimals=fmt.decimals(value))
    if decimal(text) == 0:
        return sign.zero[0]
    return around(sign.says_minus if value.nominal < 0 else sign.says_plus)


def doubt_words(value: Value) -> str:
    """What is said where no ± can be stated yet, else ""."""
    return NEEDS_REPEATS if math.isnan(expand(value.number).expanded) else ""


def pieces(value: Value | None, fmt: Formatter, band: Band | None = None) -> tuple[str, list[Line]]:
    """The number with its ±, and the words beside it: its sign, a ± not known yet, the verdict."""
    if value is None:
        return "", [Line(NOT_GIVEN, SLANT, shade=GREY)]
    words = [Line(text, shade=GREY) for text in (sign_words(value, fmt), doubt_words(value)) if text]
    if band is not None:
        said = decide(value, band)
        words.append(Line(said.value, STRONG if said is Verdict.OUTSIDE else SLANT))
    return bare(value, fmt), words


def span(values: list[Value], fmt: Formatter) -> str:
    """Smallest to largest, in the shown unit, such as "8.42 to 8.50"."""
    key = values[0].key
    wanted = term(key)
    usual = places(fmt.unit(wanted), None)
    count = min(usual, *(fmt.decimals(v) for v in values))
    low, high = (fmt.show(key, f(v.nominal for v in values), words=False, decimals=count) for f in (min, max))
    return high if low == high else f"{without_unit(low, wanted, fmt)} to {high}"


def apart_text(spread: Spread, fmt: Formatter) -> str:
    """Largest less smallest with its ±, which is that of two picked after looking."""
    return fmt.show(spread.key, nominal(spread.difference), spread.expanded, words=False)


def given(survey: Survey, key: str) -> list[tuple[int, Value]]:
    """A term's values with their cylinder numbers, for the cylinders that have it."""
    return [(c.number, c.values[key]) for c in survey.cylinders if key in c.values]


def headline_key(survey: Survey) -> str | None:
    """What the job comes to: the ratio, else the clearance volume, else the chamber volume."""
    return next((key for key in JUDGED if given(survey, key)), None)


def tiles(sheet: Sheet) -> list[Flowable]:
    """The headline, the spread, and how what is wanted is met."""
    key, survey = headline_key(sheet.survey), sheet.survey
    made = [*_headline_tiles(sheet, key)] if key else []
    made += [_wanted_tile(sheet, name, band) for name, band in list(survey.wanted.items())[:2]]
    if len(made) < 3 and "displacement" in survey.whole:
        figure = sheet.fmt.show("displacement", survey.whole["displacement"].nominal)
        made.append(Tile("displacement", figure, count_in_words(survey.job.cylinders)))
    return [Tiles(made, sheet.width)] if made else []


def _headline_tiles(sheet: Sheet, key: str) -> list[Tile]:
    found = given(sheet.survey, key)
    values = [v for _, v in found]
    unsure = any(math.isnan(v.expanded) for v in values)
    doubt = NEEDS_REPEATS if unsure else _spread_words(max(values, key=lambda v: v.expanded), sheet.fmt)
    made = [Tile(term(key).name, span(values, sheet.fmt), doubt, count_in_words(len(values)))]
    apart = spread_of(key, found)
    if apart is not None:
        alike = apart.low == apart.high
        words = ("all alike",) if alike else (f"largest: cylinder {apart.high}", f"smallest: cylinder {apart.low}")
        made.append(Tile("largest less smallest", apart_text(apart, sheet.fmt), *words))
    return made


def _spread_words(value: Value, fmt: Formatter) -> str:
    spread = bare(value, fmt).partition(" ± ")[2]
    unit = fmt.unit(value.key)
    return f"± {spread}{f' {unit}' if unit else ''} or better" if spread else "taken as exact"


def _wanted_tile(sheet: Sheet, key: str, band: Band) -> Tile:
    found = given(sheet.survey, key)
    title, wanted = term(key).name, f"wanted {sheet.short(band.raw, 40)}"
    if not found:
        return Tile(title, "not given", wanted)
    said: dict[str, list[int]] = {}
    for number, value in found:
        said.setdefault(decide(value, band).value, []).append(number)
    first = max(said, key=lambda v: len(said[v]))
    rest = [f"{words}: {runs(numbers)}" for words, numbers in said.items() if words != first]
    return Tile(
        title,
        f"{len(said[first])} of {len(found)} {first.split(' at ')[0]}",
        wanted,
        "; ".join(rest) or "every cylinder",
    )


# What to look at, in words, with what to do about it.


def notices(sheet: Sheet) -> list[Flowable]:
    """Findings in words, the gravest first, with what to do; the same thing found in several places is said once."""
    groups: dict[tuple[Level, str], list[Finding]] = {}
    for finding in sorted(shown_findings(sheet), key=lambda f: -f.level):
        groups.setdefault((finding.level, _sentence(finding)), []).append(finding)
    if not groups:
        return [*subheading("To look at"), prose("Nothing doubtful was found.")]
    return [
        *subheading("To look at"),
        *(labelled(mark(level), sheet.words(f"{_places(found)}{words}")) for (level, words), found in groups.items()),
    ]


def told(sheet: Sheet, finding: Finding) -> Flowable:
    """One finding by itself."""
    return labelled(mark(finding.level), sheet.words(finding.text()))


def mark(level: Level) -> str:
    """The word that stands beside a finding."""
    return "LOOK" if level > Level.NOTE else "note"


def _places(found: Sequence[Finding]) -> str:
    places = dict.fromkeys(f.place for f in found if f.place)
    lines = dict.fromkeys(str(f.line) for f in found if f.line)
    said = [*places, *([f"line{'s' if len(lines) > 1 else ''} {listed(list(lines))}"] if lines else [])]
    return f"{', '.join(said)}: " if said else ""


def shown_findings(sheet: Sheet) -> list[Finding]:
    """The findings, those on the engine worded in the units of the page."""
    survey = sheet.survey
    if sheet.system == survey.job.system:
        return list(survey.findings)
    own = set(engine_findings(survey))
    shown = replace(survey, job=replace(survey.job, system=sheet.system))
    return [*(f for f in survey.findings if f not in own), *engine_findings(shown)]


def _sentence(finding: Finding) -> str:
    read = f"read “{finding.read}”: " if finding.read else ""
    words = f"{read}{finding.wrong}{f'; {finding.right}' if finding.right else ''}"
    return words if words.endswith((".", "?")) else f"{words}."
