"""What cannot be, and what is doubtful, in the engine that machining makes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from ccassist.analysis.checks import engine_findings
from ccassist.analysis.cylinder import Cylinder
from ccassist.analysis.results import Survey
from ccassist.bench.repeats import mean
from ccassist.values.display import show
from ccassist.values.findings import Finding, NotPossible, warning

APART = 1e-6  # m³ between stages and chamber that is looked at (common practice, no source)
# What the checks of an engine say that bears on machining; the rest speaks of how it was measured.
_BEARING = ("contact", "tight-squish", "ring-over-bore", "impossible-result", "unusual-result", "proud-without-land")


def cannot(before: Cylinder, after: Cylinder, system: str) -> None:
    """Refuse an engine that cannot be built.

    Raises
    ------
    NotPossible : the piston meets the head, or there is no clearance volume left.
    """
    place = f"cylinder {after.number}"
    gap = after.values.get("squish")
    if gap is not None and gap.nominal <= 0:
        raise NotPossible(f"{place}: no squish gap is left: {show('squish', gap.nominal, system=system)}")
    if after.contradiction:
        raise NotPossible(f"{place}: {after.contradiction}")
    left = after.values.get("clearance_volume")
    if left is not None and left.nominal <= 0:
        raise NotPossible(f"{place}: no clearance volume is left")


def noticed(survey: Survey, before: Sequence[Cylinder], after: Sequence[Cylinder]) -> tuple[Finding, ...]:
    """Warnings of the engine as it will be that the engine as it is does not have."""
    old = {(f.code, f.place) for f in engine_findings(survey)}
    new = engine_findings(replace(survey, cylinders=tuple(after), findings=()))
    found = [f for f in new if f.code in _BEARING and (f.code, f.place) not in old]
    for one, other in zip(before, after, strict=True):
        found += _proud(one, other, survey.job.system)
    return tuple(dict.fromkeys([*found, *_stages_apart(survey)]))


def _stages_apart(survey: Survey) -> list[Finding]:
    """Chambers whose stages add up to another volume than the chamber's: one of the fills is not what it seems."""
    found = []
    for cylinder in survey.cylinders:
        chamber = cylinder.values.get("chamber_volume")
        for one in survey.reduced:
            if one.profile is None or chamber is None or not cylinder.uses(one):
                continue
            totals = [
                v for row, v in zip(one.cell.readings, one.rows, strict=True) if v is not None and not row.set_aside
            ]
            apart = mean(totals) - chamber.nominal
            if abs(apart) > max(APART, 2 * chamber.expanded):
                shown = [show("chamber_volume", v, system=survey.job.system) for v in (mean(totals), chamber.nominal)]
                wrong = f"the stages add up to {shown[0]}, the chamber was found to hold {shown[1]}"
                right = "was the first stage from dry, the plate's hole filled, air under the plate?"
                found.append(warning("stages-apart", wrong, right=right, place=f"cylinder {cylinder.number}"))
    return found


def _proud(before: Cylinder, after: Cylinder, system: str) -> list[Finding]:
    """A piston that comes to stand above the deck, or farther above it."""
    old, new = before.values.get("deck_clearance"), after.values.get("deck_clearance")
    if old is None or new is None or new.nominal >= min(0.0, old.nominal):
        return []
    wrong = f"the piston would stand {show('deck_clearance', new.nominal, new.expanded, system=system)}"
    right = "only where gasket bore, squish and the maker allow it; the crown must not enter the gasket's ring"
    return [warning("proud", wrong, right=right, place=f"cylinder {after.number}")]
