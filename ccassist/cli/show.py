"""``ccassist show``: the engine as measured."""

from __future__ import annotations

import math
from collections.abc import Sequence
from pathlib import Path

from ccassist.analysis.assembly import WHOLE_HOLDS, WHOLE_KEY, compare_assembly, whole_head, whole_lead, whole_rows
from ccassist.analysis.cylinder import Cylinder, lacking_texts
from ccassist.analysis.motion import motion_text
from ccassist.analysis.results import Survey, survey_of
from ccassist.analysis.sums import PARTS, Addition, addition, guarded, printed
from ccassist.analysis.which_counts import CLOSING, trapped_text
from ccassist.analysis.worth import GUESSED, said_of_survey, worth_of_a_repeat, worth_text
from ccassist.cli.screen import list_findings, say, say_json, table, unsure, wrapped
from ccassist.values.display import Formatter, formatter, places, spread_text, two_text
from ccassist.values.findings import clean
from ccassist.values.measured import computed
from ccassist.values.uncertainty import budget
from ccassist.values.verdict import Verdict, decide, is_shown, spread_of
from ccassist.vocabulary import term
from ccassist.vocabulary.enumerations import Origin
from ccassist.vocabulary.units import conversion

# The whole assembly against the sum of its parts, as ``show`` prints it.


def whole_against_parts(survey: Survey, fmt: Formatter) -> None:
    """One row a cylinder that was filled through its plug hole; nothing where none was."""
    checks = compare_assembly(survey)
    if not checks:
        return
    say()
    wrapped(whole_lead(fmt))
    table(["cyl", *whole_head(checks)], whole_rows(checks, fmt))
    if any(check.crevice_known for check in checks):
        wrapped(WHOLE_HOLDS, rest="  ")
    apart = [(f"cylinder {one.cylinder}, whole less parts", computed(WHOLE_KEY, one.difference)) for one in checks]
    unsure(apart, fmt)


SUM = "sum"
# Heading, term: the volumes of the sum, the sum as they are printed, then the results.
COLUMNS = (
    *((head, key) for key, head in PARTS.items()),
    ("sum", SUM),
    ("clearance", "clearance_volume"),
    ("ratio", "static_ratio"),
)
WITH_DOUBT = {"clearance_volume", "static_ratio"}
IN_WORDS = ("deck_clearance", "squish")


def run(file: Path, *, system: str | None, as_json: bool, with_budget: bool) -> int:
    """Print the survey of a job file."""
    survey = survey_of(file)
    fmt = formatter(system or survey.job.system)
    if as_json:
        say_json(survey.to_dict(fmt.system))
        return 0
    headline(survey, fmt)
    results(survey, fmt)
    if with_budget:
        budgets(survey, fmt)
    noticed = [f for f in survey.findings if f.code != GUESSED]  # which is said below, of each result
    if noticed:
        say()
        list_findings(noticed)
    say()
    for text in said_of_survey(survey, fmt):
        wrapped(text, rest="  ")
    wrapped("Ratios are planning figures: see the cautions on the worksheet.")
    return 0


def results(survey: Survey, fmt: Formatter) -> None:
    """The tables: sum of volumes, what follows from it, spread and target."""
    volumes(survey, fmt)
    gaps(survey, fmt)
    trapped(survey, fmt)
    spreads(survey, fmt)
    targets(survey, fmt)
    whole_against_parts(survey, fmt)
    for text in lacking_texts(survey):
        wrapped(text, rest="  ")


def headline(survey: Survey, fmt: Formatter) -> None:
    """What engine this is."""
    first = survey.cylinders[0].values
    parts = [f"{survey.job.cylinders} cylinder{'s' if survey.job.cylinders > 1 else ''}"]
    if "bore" in first and "stroke" in first:
        parts.append(f"bore {fmt.show('bore', first['bore'].nominal)}")
        parts.append(f"stroke {fmt.show('stroke', first['stroke'].nominal)}")
        square = first["bore_stroke_ratio"].nominal
        name = "square" if abs(square - 1) < 0.005 else "oversquare" if square > 1 else "undersquare"
        parts.append(f"{name} ({square:.2f})")
    if "displacement" in survey.whole:
        parts.append(f"displacement {fmt.value(survey.whole['displacement'])}")
    say(clean(survey.job.name or survey.job.file, 79))
    wrapped(", ".join(parts) + ".")
    if motion := motion_text(first, fmt):
        wrapped(motion)


def volumes(survey: Survey, fmt: Formatter) -> None:
    """One row a cylinder: the volumes of its sum, which add as they are printed, and the results rounded after."""
    columns = [(head, key) for head, key in COLUMNS if _worth_a_column(key, survey)]
    if not columns:
        return
    say()
    say(f"Volumes in {fmt.unit('chamber_volume')}; a minus takes space.")
    decimals = guarded(survey.cylinders, fmt, ratio=False)
    sums = {c.number: addition(c, decimals, fmt) for c in survey.cylinders}
    if not any(sums.values()):
        columns = [(head, key) for head, key in columns if key != SUM]
    rows = [[str(c.number), *_row(c, columns, sums[c.number], fmt)] for c in survey.cylinders]
    table(["cyl", *[head for head, _ in columns]], rows)


def _row(cylinder: Cylinder, columns: Sequence[tuple[str, str]], found: Addition | None, fmt: Formatter) -> list[str]:
    """One cylinder's cells: what is in its sum with the sum's decimals, the others by themselves."""
    printed_as = {**found.parts, SUM: found.total} if found else {}
    return [
        printed(printed_as[key]) if key in printed_as else "" if key == SUM else _cell(cylinder, key, fmt)
        for _, key in columns
    ]


def _worth_a_column(key: str, survey: Survey) -> bool:
    if key == SUM:
        return any(v is not None for v in survey.column("clearance_volume"))
    values = [v for v in survey.column(key) if v is not None]
    net_crown = any(v is not None for v in survey.column("crown_volume"))
    if key == "crown_and_deck_volume" and net_crown:
        return False  # the net crown and the deck stand in columns of their own
    return any(v.origin != Origin.NOT_COUNTED for v in values)


def _cell(cylinder: Cylinder, key: str, fmt: Formatter) -> str:
    value = cylinder.values.get(key)
    if value is None:
        return "not given"
    counted = [k for _, k in COLUMNS if k in cylinder.values and cylinder.values[k].origin != Origin.NOT_COUNTED]
    alone = len(counted) == 1
    if key in WITH_DOUBT or (alone and key == "chamber_volume"):
        return _short(key, value.nominal, value.expanded, fmt)
    return fmt.amount(key, value.nominal, decimals=2)


def _short(key: str, value: float, spread: float, fmt: Formatter) -> str:
    """Number ± without unit and words, for a column."""
    unit = fmt.unit(key)
    if math.isnan(spread) or spread == 0:
        return fmt.amount(key, value, decimals=2) + (" ± ?" if math.isnan(spread) else "")
    half = spread / conversion(unit).scale
    count = places(unit, half)
    return f"{fmt.amount(key, value, decimals=count)} ± {spread_text(half, count)}"


def gaps(survey: Survey, fmt: Formatter) -> None:
    """Deck clearance and squish of each cylinder, in words."""
    shown = [key for key in IN_WORDS if any(v is not None for v in survey.column(key))]
    if not shown:
        return
    say()
    rows = [
        [str(c.number), *[fmt.value(v) if (v := c.values.get(key)) else "not given" for key in shown]]
        for c in survey.cylinders
    ]
    table(["cyl", *[term(key).name for key in shown]], rows)


def trapped(survey: Survey, fmt: Formatter) -> None:
    """Trapped ratio of each cylinder, with the closing and the lift that it holds for."""
    able = [c for c in survey.cylinders if "trapped_ratio" in c.values]
    if not able:
        return
    shown = "; ".join(f"{c.number}: {fmt.value(c.values['trapped_ratio'])}" for c in able)
    say()
    wrapped(f"Trapped ratio by cylinder {shown}.", rest="  ")
    wrapped(trapped_text(able[0].values[CLOSING], fmt), first="  ", rest="  ")


def spreads(survey: Survey, fmt: Formatter) -> None:
    """Largest less smallest, with what the cylinders share cancelled."""
    say()
    for key in ("chamber_volume", "clearance_volume", "static_ratio"):
        pairs = [(c.number, c.values[key]) for c in survey.cylinders if key in c.values]
        found = spread_of(key, pairs)
        if found is None or found.low == found.high:
            continue
        from ccassist.values.number import nominal

        shown = fmt.show(key, nominal(found.difference), found.expanded, words=False)
        said = "" if is_shown(found) else "; no difference shown at this ±" if not math.isnan(found.expanded) else ""
        wrapped(
            f"Spread of the {term(key).name}: {shown} between cylinder {found.low} (smallest) and {found.high} "
            f"(largest), picked from {found.count}{said}.",
            rest="  ",
        )


def targets(survey: Survey, fmt: Formatter) -> None:
    """What is wanted, and which cylinders are inside, outside, or cannot be told."""
    for key, band in survey.wanted.items():
        judged: dict[Verdict, list[str]] = {}
        for cylinder in survey.cylinders:
            value = cylinder.values.get(key)
            if value is not None:
                judged.setdefault(decide(value, band), []).append(str(cylinder.number))
        if judged:
            said = "; ".join(f"{verdict.value}: {', '.join(numbers)}" for verdict, numbers in judged.items())
            wrapped(f"Wanted {term(key).name} {clean(band.raw, 60)}: cylinders {said}.", rest="  ")


def budgets(survey: Survey, fmt: Formatter) -> None:
    """What makes the ± of each cylinder's ratio (or chamber, where there is no ratio)."""
    for cylinder in survey.cylinders:
        value = cylinder.values.get("static_ratio") or cylinder.values.get("chamber_volume")
        if value is None:
            continue
        say()
        say(f"Cylinder {cylinder.number}: what makes the ± of {fmt.value(value)}")
        unit = fmt.unit(value.key)
        for row in budget(value.number):
            half = row.standard / conversion(unit).scale
            size = "not known" if math.isnan(half) else f"{two_text(abs(half))} {unit}".strip()
            share = "    " if math.isnan(row.share) else f"{100 * row.share:3.0f} %"
            wrapped(
                f"{clean(row.cause.name, 160)}: {size} ({clean(row.cause.source, 120)})",
                first=f"  {share}  ",
                rest=" " * 9,
            )
        helpful = worth_of_a_repeat(survey, cylinder.number)
        if helpful is not None:
            wrapped(f"{clean(worth_text(helpful, fmt), 300)}.", rest="  ")
