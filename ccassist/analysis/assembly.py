"""The whole assembly through the plug hole against the sum of its parts.

Both are volumes of the same space, so their difference is judged against its
own ±: what they share (a burette's error, a fluid's density, the plug's nose)
is the same uncertain number on both sides and cancels.  Where burette and
fluid differ, the difference over its uncertainty expanded with k = 2 is the
number that ISO/IEC 17043:2010, B.3.1.3 and ISO 13528:2022, 9.7 (from memory)
call E_n; where one of them filled both, agreement does not confirm it, and it
is not called so.  The verdict rests on the ± at 95 %, by Student's t and the
shape of the causes: it may differ from that of E_n where repeats are few.

The fluid stands in the crevice and in the chamfer whatever the builder
counts, so the sum it is set against counts them.  The ratio rests on the sum
of parts all the same.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import Enum
from typing import TYPE_CHECKING

from ccassist.analysis.culprits import Culprit, Facts, culprits
from ccassist.bench.alike import WIDE_FILLS
from ccassist.bench.cell import Reading, Reduced
from ccassist.bench.leak import SLIGHT, leak_of
from ccassist.bench.steps.assembly import ASSEMBLY
from ccassist.engine.mathematics import uncertain
from ccassist.engine.model import build
from ccassist.values.display import NEEDS_REPEATS, show
from ccassist.values.findings import Finding, clean, note, warning
from ccassist.values.measured import Number, Value, computed, expand, nominal, standard
from ccassist.vocabulary import term

if TYPE_CHECKING:
    from ccassist.analysis.cylinder import Cylinder, MeasuredEngine

STEP, WHOLE = ASSEMBLY.key, "assembly_volume"
E_N_FACTOR = 2.0  # ISO/IEC 17043:2010, B.3.1.3; ISO 13528:2022, 9.7 (from memory)
RESTS = "the ratio rests on the sum of parts"


class Agreement(Enum):
    """What may be said of whole and parts at 95 %."""

    AGREE = "agree"
    DIFFER = "differ"
    NOT_KNOWN = NEEDS_REPEATS


@dataclass(frozen=True, kw_only=True)
class AssemblyCheck:
    """One cylinder measured as a whole, against the sum of its parts.

    Attributes
    ----------
    cylinder : its number.
    whole, parts : both volumes [m³]; the sum of parts with crevice and chamfer in it.
    difference : whole less parts [m³], shared causes cancelled.
    crevice_known : whether the sum holds the crevice; else the whole is larger by it.
    shared : burettes, scales and fluids that filled both, by name.
    independent : burette and fluid are named and differ from all those of the parts.
    rising : the level fell after the fill, so that readings rose.
    culprits : the likeliest causes of a difference, the likeliest first; none where they agree.
    line : line of the fill in the job file.
    """

    cylinder: int
    whole: Value
    parts: Value
    difference: Number
    crevice_known: bool
    shared: tuple[str, ...]
    independent: bool
    rising: bool
    culprits: tuple[Culprit, ...] = ()
    line: int | None = None

    @property
    def gap(self) -> float:
        """Whole less parts, m³."""
        return nominal(self.difference)

    @property
    def expanded(self) -> float:
        """Expanded uncertainty of the difference at 95 % [m³]; NaN where it is not known."""
        return expand(self.difference).expanded

    @property
    def score(self) -> float:
        """Difference ÷ its ±; within −1 and 1 they agree."""
        return self.gap / self.expanded if self.expanded > 0 else math.nan

    @property
    def e_n(self) -> float | None:
        """Difference ÷ its uncertainty at k = 2, where it may be called E_n: burette and fluid differ; else None."""
        doubt = E_N_FACTOR * standard(self.difference)
        return self.gap / doubt if self.independent and doubt > 0 else None

    @property
    def e_n_text(self) -> str:
        """E_n to two decimals, "" where the difference may not be called so."""
        return "" if self.e_n is None else f"{self.e_n:.2f}".replace("-", "−")

    @property
    def agreement(self) -> Agreement:
        """Whether they differ by more than their ±."""
        if math.isnan(self.score):
            return Agreement.NOT_KNOWN
        return Agreement.AGREE if abs(self.score) <= 1 else Agreement.DIFFER


def compare_assembly(survey: MeasuredEngine) -> list[AssemblyCheck]:
    """Every cylinder measured as a whole whose sum of parts is known."""
    found = (_check(cylinder, survey) for cylinder in survey.cylinders)
    return [check for check in found if check is not None]


def _check(cylinder: Cylinder, survey: MeasuredEngine) -> AssemblyCheck | None:
    """One cylinder's comparison, with the causes of a difference; None where there is nothing to compare."""
    if WHOLE not in cylinder.values or cylinder.contradiction:
        return None
    whole = cylinder.values[WHOLE]
    parts, crevice_known = sum_of_parts(cylinder)
    used = [one for one in survey.reduced if cylinder.uses(one)]
    fill = next((one for one in used if one.cell.step.key == STEP), None)
    if parts is None or fill is None:
        return None
    shared, independent = _kit_of_both(fill, [one for one in used if one.cell.step.fills and one is not fill])
    check = AssemblyCheck(
        cylinder=cylinder.number,
        whole=whole,
        parts=parts,
        difference=whole.number - parts.number,
        crevice_known=crevice_known,
        shared=shared,
        independent=independent,
        rising=any(_leaks(row) for row in fill.cell.readings),
        line=fill.cell.line,
    )
    if check.agreement is Agreement.AGREE or (math.isnan(check.expanded) and abs(check.gap) <= WIDE_FILLS):
        return check
    facts = Facts(values=cylinder.values, fill=fill.cell, crevice_known=crevice_known, rising=check.rising)
    return replace(check, culprits=culprits(check.gap, check.expanded, facts))


def _leaks(row: Reading) -> bool:
    """Whether its timed readings rise by more than is worth a word."""
    leak = leak_of(row)
    return leak is not None and leak.lost > SLIGHT


def sum_of_parts(cylinder: Cylinder) -> tuple[Value | None, bool]:
    """The clearance volume with crevice and chamfer counted, and whether the crevice is known; None without a sum."""
    every = replace(cylinder.choices, crevice=True, chamfer=True)
    known = cylinder.known
    for choices, has_crevice in ((every, True), (replace(every, crevice=False), False)):
        model = build({key: nominal(n) for key, n in known.items()}, choices)
        if model.relation_of("clearance_volume") is not None:
            number = model.evaluate(known, uncertain())["clearance_volume"]
            how = "sum of parts" + (" with crevice and chamfer" if has_crevice else ", the crevice not known")
            return computed("clearance_volume", number, how), has_crevice
    return None, False


def _kit_of_both(fill: Reduced, others: Sequence[Reduced]) -> tuple[tuple[str, ...], bool]:
    """What filled both, by name; and whether everything is named and nothing is shared."""
    mine = [fill.cell.instrument, fill.cell.fluid]
    theirs = {name for one in others for name in (one.cell.instrument, one.cell.fluid)}
    shared = tuple(name for name in mine if name and name in theirs)
    return shared, bool(others) and not shared and all(mine) and all(theirs)


def assembly_findings(survey: MeasuredEngine) -> list[Finding]:
    """What the comparison says, one finding a cylinder; and where there is nothing to compare with."""
    checks = {check.cylinder: check for check in compare_assembly(survey)}
    found = []
    for cylinder in survey.cylinders:
        check, at = checks.get(cylinder.number), f"cylinder {cylinder.number}"
        if check is not None:
            found.append(_told(check, survey.job.system).at(place=at, line=check.line))
        elif WHOLE in cylinder.values and not cylinder.contradiction:
            lack = ", ".join(term(key).name for key in cylinder.model.lacking.get("clearance_volume", ()))
            wrong = "it was measured as a whole, but its sum of parts is not known: nothing to compare with"
            right = f"not given: {lack}" if lack else ""
            found.append(note("assembly-alone", wrong, right=right, place=at, line=cylinder.values[WHOLE].line))
    return found


def _told(check: AssemblyCheck, system: str) -> Finding:
    name = f" (E_n {check.e_n_text})" if check.e_n_text else ""
    apart = show("clearance_volume", abs(check.gap), check.expanded, system=system)
    side = "less" if check.gap < 0 else "more"
    said = f"measured as a whole it holds {apart} {side} than the sum of parts"
    if check.agreement is Agreement.AGREE:
        return note("assembly-agrees", f"{said}: they agree{name}{_worth(check)}; {RESTS}")
    if check.agreement is Agreement.NOT_KNOWN:
        likely = f"; should it be real, likeliest {check.culprits[0].words}" if check.culprits else ""
        return note("assembly-not-judged", f"{said}{likely}; {RESTS}", right="repeat the fills until the ± is known")
    words = dict.fromkeys(culprit.words for culprit in (*check.culprits[:2], check.culprits[-1]))
    wrong = f"{said}, beyond the ±{name}; likeliest {', or '.join(words)}"
    return warning("assembly-differs", f"{wrong}; {RESTS}", right=check.culprits[0].remedy)


def _worth(check: AssemblyCheck) -> str:
    """What the agreement confirms, and what it cannot."""
    if check.shared:
        names = " and ".join(clean(name, 40) for name in check.shared)
        return f"; {names} filled both, so an error of its own would not show: that is not confirmed"
    if check.independent:
        return "; burette and fluid differ, so it confirms them too"
    return ""
