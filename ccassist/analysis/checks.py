"""What a builder would be told on looking at the numbers: judged at the unsafe end of each ±."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from ccassist.analysis.assembly import assembly_findings
from ccassist.analysis.crown_checks import crown_findings
from ccassist.analysis.gasket_checks import gasket_findings
from ccassist.analysis.guesses import guess_findings
from ccassist.analysis.range_checks import range_findings
from ccassist.analysis.squish_advice import least_squish
from ccassist.bench.kit import REFUTED
from ccassist.engine.mathematics import uncertain
from ccassist.engine.model import build
from ccassist.values.display import show, show_number
from ccassist.values.findings import Finding, error, note, warning
from ccassist.values.measured import Value, budget, differ, nominal
from ccassist.vocabulary import term

if TYPE_CHECKING:
    from ccassist.analysis.cylinder import Cylinder, MeasuredEngine


def engine_findings(survey: MeasuredEngine) -> list[Finding]:
    """Warnings and notes on the engine as a whole and on each cylinder."""
    found: list[Finding] = []
    for cylinder in survey.cylinders:
        found += _contradiction(cylinder)
        found += _squish(cylinder, survey)
        found += _stack_against_dial(cylinder, survey)
        found += _proud_without_land(cylinder)
    found += range_findings(survey)
    found += [*gasket_findings(survey), *assembly_findings(survey), *crown_findings(survey)]
    found += _counting(survey)
    found += _not_known_yet(survey)
    found += guess_findings(survey)
    return [f.at(file=survey.job.file) for f in found]


def _contradiction(cylinder: Cylinder) -> list[Finding]:
    """Values that no engine can have together."""
    if not cylinder.contradiction:
        return []
    rod = cylinder.values.get("rod_length") if "crank" in cylinder.contradiction else None
    right = "look for a wrong unit or sign first"
    at = f"cylinder {cylinder.number}"
    return [
        error("contradiction", cylinder.contradiction, right=right, place=at, line=rod.line if rod else None),
    ]


def _squish(cylinder: Cylinder, survey: MeasuredEngine) -> list[Finding]:
    gap = cylinder.values.get("squish")
    if gap is None:
        return []
    at = f"cylinder {cylinder.number}"
    shown = show("squish", gap.nominal, gap.expanded, system=survey.job.system)
    if gap.low <= 0:
        return [
            warning(
                "contact",
                f"piston and head may touch: {shown}",
                place=at,
                right="a thicker gasket or a lower piston; check at mock-up",
            )
        ]
    least = least_squish(cylinder.values, survey.job.about.get("rods", ""))
    if gap.low < least.gap:
        usual = show("squish", least.gap, system=survey.job.system)
        return [
            warning(
                "tight-squish",
                f"squish may be under {usual} (usual least with {least.words}, common practice): {shown}",
                place=at,
                right="ask the piston and rod maker",
            )
        ]
    return []


def _stack_against_dial(cylinder: Cylinder, survey: MeasuredEngine) -> list[Finding]:
    """Deck clearance by dial against the stack of lengths, where both are known."""
    read = cylinder.values.get("deck_clearance")
    if read is None or read.origin != "measured" or cylinder.contradiction:
        return []
    known = {key: n for key, n in cylinder.known.items() if key != "deck_clearance"}
    model = build({key: nominal(n) for key, n in known.items()}, cylinder.choices)
    if model.relation_of("deck_clearance") is None:
        return []
    stack = model.evaluate(known, uncertain())["deck_clearance"]
    if not differ(stack, read.number):
        return []
    system = survey.job.system
    return [
        warning(
            "stack-differs",
            f"by dial {show_number('deck_clearance', read.number, system=system)}, by the stack of "
            f"lengths {show_number('deck_clearance', stack, system=system)}: they differ by more than their ±",
            place=f"cylinder {cylinder.number}",
            right="look for a rod, a piston or a deck that is not what it is taken for; the dial is used",
        )
    ]


def _proud_without_land(cylinder: Cylinder) -> list[Finding]:
    """A proud piston whose crevice is not counted: without the land the ring of space beside it is left out."""
    clearance = cylinder.values.get("deck_clearance")
    if cylinder.choices.crevice or clearance is None or clearance.nominal >= 0:
        return []
    used = cylinder.model.relation_of("deck_volume")
    if used is None or used.name != "deck_volume":
        return []
    wrong = "a proud piston, the crevice not counted and the land not given: the ring of space beside it is left out"
    right = "give land_diameter, or count the crevice"
    return [warning("proud-without-land", wrong, place=f"cylinder {cylinder.number}", right=right)]


def _counting(survey: MeasuredEngine) -> list[Finding]:
    """What was counted without being said so."""
    found = []
    if not any("clearance_volume" in c.values for c in survey.cylinders):
        return []
    for key in ("crevice", "chamfer"):
        if key in survey.job.counted:
            continue
        counted = getattr(survey.cylinders[0].choices, key)
        if key == "chamfer" and not counted:
            continue  # no chamfer was named at all
        found.append(
            warning(
                "counting-not-said",
                f"it is not said whether the {key} is counted: taken as {'counted' if counted else 'not counted'}",
                place="counted",
                right=f'in [counted]: {key} = "counted" or "not counted"',
            )
        )
    return found


_MORE_REPEATS = "repeat each reading (three fills of each chamber do), or declare a repeatability for the instrument"
_FIND_THE_ERROR = "give its permissible_error in an [instrument] section, check it against a scale, or weigh the fills"


def _not_known_yet(survey: MeasuredEngine) -> list[Finding]:
    """Which readings need more repeats, or a better known instrument, before any ± can be stated."""
    repeats: dict[str, list[str]] = {}
    strangers: dict[str, list[str]] = {}
    for title, where, value in _read_values(survey):
        for share in budget(value.number):
            if not math.isnan(share.standard) or share.cause.source == REFUTED:
                continue
            if share.cause.pool:
                repeats.setdefault(title, []).append(where)
            else:
                strangers.setdefault(share.cause.name, []).append(where)
    short = [
        note(
            "needs-repeats", f"{title}: the scatter is not known yet, so no ± is stated", right=_MORE_REPEATS, place=at
        )
        for title, at in _places(repeats)
    ]
    unknown = [
        note("error-not-known", f"{name}, so no ± is stated", right=_FIND_THE_ERROR, place=at)
        for name, at in _places(strangers)
    ]
    return [*short, *unknown]


def _read_values(survey: MeasuredEngine) -> Iterator[tuple[str, str, Value]]:
    """What each value was read from, where, and the value: first of the steps, then of the statements."""
    for one in survey.reduced:
        for value in one.values.values():
            yield one.cell.step.title, one.cell.where, value
    for cylinder in survey.cylinders:
        for value in cylinder.values.values():
            if value.raw:
                yield term(value.key).name, f"line {value.line}", value


def _places(found: Mapping[str, list[str]]) -> list[tuple[str, str]]:
    return [(name, ", ".join(dict.fromkeys(places))) for name, places in found.items()]
