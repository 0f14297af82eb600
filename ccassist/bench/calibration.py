"""An improvised burette calibrated: what each step of its scale truly delivers, and the line through them.

The line is stated about its middle, so that its height and its slope are two independent components of uncertainty.
Both are made once: every chamber and crown filled with the instrument shares them, and a difference between two sister
chambers keeps next to nothing of either.
"""

from __future__ import annotations

import calendar
import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import date

from ccassist.bench.calibrated import Calibrated, Calibration, bend, fit, left_by_bend, pool_of, says
from ccassist.bench.cell import Cell, Reading
from ccassist.bench.fills import instrument_growth, material_growth, volume_per_mass
from ccassist.bench.kit import Kit
from ccassist.engine.relations import bore_area
from ccassist.values.display import cc, figures, percent
from ccassist.values.findings import Finding, note, question, warning
from ccassist.values.number import Number, nominal
from ccassist.values.statistics import student
from ccassist.values.uncertainty import Cause, doubt
from ccassist.vocabulary import Kind
from ccassist.vocabulary.record import record

CHANCE = 0.01  # of calling any step of a sound calibration bad
USUAL, USUAL_SHARE, OF_A_MARK = 0.1e-6, 0.002, 1 / 3  # m³; of the largest step; of the smallest step of the scale
HELD = 4  # degrees of freedom that the usual repeatability counts for
HIDDEN = 5.0  # times the usual repeatability: slips may hide each other
MONTHS = {"month": 1, "months": 1, "year": 12, "years": 12}
LEAST_STEPS = 3
VALID_FOR = "1 year"  # common practice, no source; sooner after a change of nozzle or seal
FAR = 0.2  # a scale that is out by more of the amount is likelier a slip (common practice, no source)


def steps_of(cell: Cell, kit: Kit) -> Iterator[Calibrated]:
    """The counted steps of one cell."""
    warmth = kit.temperature(cell.settings)
    grown = instrument_growth(cell.instrument, kit, warmth)
    for row in cell.counted:
        if row.method.against is Kind.LENGTH:
            true = _by_size(row, cell, kit) * (1 + material_growth(cell, kit, warmth))
        elif cell.fluid in kit.fluids:
            true = _mass(row, cell, kit) * volume_per_mass(cell, kit)
        else:
            continue  # an unknown fluid has its own finding
        yield Calibrated(reading=row, says=abs(says(row)), true=true * (1 - grown), rises=says(row) > 0)


def _mass(row: Reading, cell: Cell, kit: Kit) -> Number:
    """Mass delivered, kg, whichever of cup and bottle was weighed.

    A net weight, within the permissible error of the scale whatever stands on the pan besides (OIML R 76-1:2006,
    3.5.3.3, from memory): charged once, and the same one for every step, but for how uneven the scale is.
    """
    mass = abs(row.one("after") - row.one("before"))
    use = f"while {cell.instrument} was calibrated"
    return mass + kit.scale_error(cell.choices.get("scale", ""), "fill_volume", [mass], use, read="dispenser_mass")


def _by_size(row: Reading, cell: Cell, kit: Kit) -> Number:
    """Volume of a rod or bore at 20 °C: area × length.  Source: cylinder."""
    scale = cell.choices.get("scale", "")
    diameter, length = row.fields["diameter"][0], row.fields["length"][0]
    wide = kit.setting(diameter, ("gauge", "diameter", diameter.raw), "rod or bore, diameter", scale)
    long = kit.setting(length, ("gauge", "length", length.raw), "rod or bore, length", scale)
    return bore_area(wide) * long


def least_scatter(cells: Iterable[Cell], kit: Kit) -> float:
    """Scatter that reading the scale in its steps gives by itself, m³: two roundings a weighing.

    Steps that happen to lie on a line to the last digit show no less than that. Source: JCGM 100:2008, F.2.2.1.
    """
    least = 0.0
    for cell in cells:
        digits = [q.step for row in cell.counted for name in ("before", "after") for q in row.fields.get(name, ())]
        if digits and cell.fluid in kit.fluids:
            least = max(least, min(digits) * math.sqrt(2 / 12) * nominal(volume_per_mass(cell, kit)))
    return least


@record
class BadStep:
    """What spoils a calibration: the place of the step among the counted ones (None where it cannot be told), how far
    it lies from the line through the others (or, of none, the scatter about the line), and what a hand repeats to,
    m³."""

    at: int | None
    off: float
    usual: float


def usual_scatter(says: Sequence[float], declared: float | None, mark: float, least: float) -> float:
    """Standard deviation of one delivery that is to be expected, m³; ``least`` is what reading the scales gives.

    What the instrument declares, else 0.1 cc, 0.2 % of the largest step or a third of the ``mark``, the scale's
    smallest step, whichever is most (common practice, no source).

    >>> round(usual_scatter([10e-6, 60e-6], None, mark=1e-6, least=0.0) * 1e6, 2)
    0.33
    """
    if declared is not None:
        return max(declared, least)
    return max(USUAL, USUAL_SHARE * max(says), OF_A_MARK * mark, least)


def bad_step(says: Sequence[float], true: Sequence[float], usual: float) -> BadStep | None:
    """What spoils a line through steps [m³], None where it is sound; ``usual`` is what a hand repeats to.

    Every step is set against the straight line through all the others.  Its distance is divided by its own standard
    deviation, σ / √(1 − leverage), σ being the larger of σ₀, the usual repeatability, and √((4 σ₀² + ν s²) / (4 + ν)),
    joined with the scatter of the others.  Beyond Student's t with 4 + ν degrees of freedom at a chance of 1 % over all
    steps, the farthest is called bad.  Three steps cannot tell which of them is bad; and several slips may hide each
    other: there the scatter about the line alone decides.  A scale that bends smoothly has no bad step.

    Source: Draper & Smith, Applied Regression Analysis, deleted residuals (from memory; checked against a fit through
    the others).

    >>> found = bad_step([10e-6, 20e-6, 30e-6, 40e-6, 50e-6], [10e-6, 20e-6, 31e-6, 40e-6, 50e-6], usual=0.1e-6)
    >>> found.at, round(found.off * 1e6, 2)
    (2, 1.0)
    """
    line, count = fit(says, true), len(says)
    bent = bend(says, true)
    if bent is not None and bent.shown and count > 4 and left_by_bend(says, true) <= 2 * usual:
        return None
    if count > 3:
        worst = max((_distance(i, says, true, usual) for i in range(count)), key=lambda found: found[0])
        if worst[0] > 1:
            return BadStep(at=worst[1], off=worst[2], usual=usual)
    limit = HIDDEN if count > 3 else student(HELD, 1 - CHANCE)
    return BadStep(at=None, off=line.scatter, usual=usual) if line.scatter > limit * usual else None


def _distance(i: int, says: Sequence[float], true: Sequence[float], usual: float) -> tuple[float, int, float]:
    """How far a step lies from the line through the others, over what is allowed; its place; and how far, m³."""
    x = [v for j, v in enumerate(says) if j != i]
    y = [v for j, v in enumerate(true) if j != i]
    if len(set(x)) < 2:
        return 0.0, i, 0.0
    line = fit(x, y)
    freedom = line.dof if line.dof > 0 else 0
    joined = (HELD * usual**2 + freedom * (line.scatter if freedom else 0.0) ** 2) / (HELD + freedom)
    far = 1 + 1 / len(x) + (says[i] - line.middle) ** 2 / line.spread
    allowed = student(HELD + freedom, 1 - CHANCE / len(says)) * math.sqrt(max(usual**2, joined) * far)
    off = true[i] - line.at(says[i])
    return abs(off) / allowed, i, off


def read_date(text: str) -> date | None:
    """The day that a text begins with, written 2026-10-12; None where it is written otherwise.

    >>> read_date("2026-10-12 08:15")
    datetime.date(2026, 10, 12)
    """
    try:
        return date.fromisoformat(text[:10])
    except ValueError:
        return None


def due_on(made: date, span: str) -> date:
    """The day that is a span such as "6 months" or "1 year" after another; the last of a shorter month.

    >>> due_on(date(2026, 8, 31), "6 months")
    datetime.date(2027, 2, 28)
    """
    count, unit = span.split()
    months = made.month - 1 + int(count) * MONTHS[unit]
    year, month = made.year + months // 12, months % 12 + 1
    return date(year, month, min(made.day, calendar.monthrange(year, month)[1]))


def calibrations_of(cells: Iterable[Cell], kit: Kit) -> tuple[dict[str, Calibration], list[Finding]]:
    """The newest calibration of each instrument that can be computed, and what was noticed.

    ``cells`` are sound ones of the step that calibrates; the newest is the one that was read last, further down in the
    file.  One that a bad step spoils is refused: nothing is corrected by it, nor by an older one, until the step is set
    aside.
    """
    groups: dict[tuple[str, str], list[Cell]] = {}
    for cell in sorted(cells, key=_last_line):
        groups[cell.instrument, cell.date] = [*groups.pop((cell.instrument, cell.date), []), cell]
    found: dict[str, Calibration] = {}
    findings: list[Finding] = []
    for (name, _), members in groups.items():
        made = calibrate(members, kit)
        bad = None if made is None else spoilt(made, kit)
        noticed = _too_few(members) if made is None else _noticed(made) if bad is None else [_refusal(made, bad)]
        findings += [f.at(line=members[-1].line, place=members[-1].place) for f in noticed]
        if bad is not None:
            found.pop(name, None)
            kit.refused.add(name)
        elif made is not None:
            found[name] = made
            kit.refused.discard(name)
    return found, findings


def _last_line(cell: Cell) -> int:
    return max(row.line or 0 for row in cell.readings)


def calibrate(cells: Sequence[Cell], kit: Kit) -> Calibration | None:
    """The calibration that cells of one instrument give; None with fewer than three steps, or all of one size."""
    steps = [step for cell in cells for step in steps_of(cell, kit)]
    if len(steps) < LEAST_STEPS or len({step.says for step in steps}) < 2:
        return None
    says, volumes = [step.says for step in steps], [step.volume for step in steps]
    line = fit(says, volumes)
    least_seen = replace(line, scatter=max(line.scatter, least_scatter(cells, kit)))
    name, ways = cells[0].instrument, {step.rises for step in steps}
    height = sum(step.true for step in steps) / len(steps)
    slope = sum(weight * step.true for weight, step in zip(line.weights, steps, strict=True))
    made = next((day for cell in cells if (day := read_date(cell.date))), None)
    said = next((cell.choices["valid_for"] for cell in cells if "valid_for" in cell.choices), VALID_FOR)
    return Calibration(
        instrument=name,
        cells=tuple(cells),
        steps=tuple(steps),
        line=line,
        bend=bend(says, volumes),
        height=height + doubt(least_seen.height_uncertainty, _scatter_cause(name, "height", line.dof)),
        slope=slope + doubt(least_seen.slope_uncertainty, _scatter_cause(name, "slope", line.dof)),
        scatter=least_seen.scatter,
        rises=ways.pop() if len(ways) == 1 else None,
        made=made,
        due=due_on(made, said) if made else None,
    )


def spoilt(made: Calibration, kit: Kit) -> BadStep | None:
    """The step that spoils a calibration, if one does."""
    tool, says = kit.instruments.get(made.instrument), [step.says for step in made.steps]
    declared, mark = (tool.repeatability, tool.resolution) if tool is not None else (None, 0.0)
    usual = usual_scatter(says, declared, mark, least_scatter(made.cells, kit))
    return bad_step(says, [step.volume for step in made.steps], usual)


def _refusal(made: Calibration, bad: BadStep) -> Finding:
    """Why a calibration is not used, and the way out."""
    hand = f"where a hand repeats to {cc(bad.usual)}"
    if bad.at is None:
        wrong = f"its steps scatter by {cc(bad.off)} about a straight line, {hand}: no correction is made by it"
        right = "look for slips in its steps and set them aside with a reason; else calibrate it again, in more steps"
        return question("calibration-refused", wrong, read=made.instrument, right=right)
    step = made.steps[bad.at].reading
    wrong = (
        f"step {bad.at + 1} lies {cc(abs(bad.off))} off the line through the others, {hand}: the calibration "
        "is refused and no correction made by it"
    )
    right = "look at that step; set it aside with a reason, or weigh it again"
    return question("calibration-refused", wrong, read=step.said, right=right, line=step.line)


def _scatter_cause(name: str, what: str, dof: int) -> Cause:
    return Cause(
        f"{pool_of(name)}: {what} of its line",
        "fill_volume",
        dof=float(dof),
        pool=pool_of(name),
        source="scatter of its steps about the line, JCGM 100:2008 H.3",
        remedy="calibrate it in more steps",
    )


def _too_few(cells: Sequence[Cell]) -> list[Finding]:
    count = sum(len(cell.counted) for cell in cells)
    wrong = f"{count} step{'s' if count != 1 else ''} of {cells[0].instrument}: not enough to calibrate it"
    right = "three steps at least, of two sizes at least; better six or more, up and up again"
    return [warning("too-few-steps", wrong, right=right)]


def _told(made: Calibration) -> Finding:
    """What was calibrated, and where it holds."""
    span, scatter = figures(made.low, made.high, unit="cc", count=4), figures(made.scatter, unit="cc", count=2)
    wrong = (
        f"{made.instrument} is calibrated in {len(made.steps)} steps from {span}; one delivery scatters by {scatter}"
    )
    return note("calibrated", wrong)


def _noticed(made: Calibration) -> list[Finding]:
    """What should be looked at in a calibration."""
    found = [_told(made)]
    if made.bend is not None and made.bend.shown:
        wrong = f"the scale of {made.instrument} bends: {cc(abs(made.bend.sag))} off a straight line midway"
        right = "look for a slip in one step; else calibrate only the part of the scale that is used, in finer steps"
        found.append(warning("bent-scale", wrong, right=right))
    if made.rises is None:
        wrong = f"{made.instrument} was read both up and down its scale: a plunger has backlash"
        found.append(warning("both-ways", wrong, right="calibrate and use it in one direction only"))
    if abs(made.line.slope - 1) > FAR:
        more = "more" if made.line.slope > 1 else "less"
        wrong = f"{made.instrument} delivers {percent(abs(made.line.slope - 1))} {more} than its scale says"
        found.append(warning("far-off-scale", wrong, right="look for a wrong unit or a wrong fluid first"))
    if made.made is None:
        wrong = "the day of the calibration is not said: when it is due again cannot be told"
        found.append(warning("no-date", wrong, right="date = 2026-10-12"))
    return found
