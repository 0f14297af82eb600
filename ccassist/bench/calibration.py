"""An improvised burette calibrated: what each step of its scale truly delivers, and the line through them.

The line is stated about its middle, so that its height and its slope are two
independent causes of doubt.  Both are made once: every chamber and crown
filled with the instrument shares them, and a difference between two sister
chambers keeps next to nothing of either.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from ccassist.bench.bad_step import BadStep, bad_step, usual_scatter
from ccassist.bench.calibrated_steps import least_scatter, steps_of
from ccassist.bench.cell import Cell
from ccassist.bench.dates import due_on, read_date
from ccassist.bench.kit import Kit
from ccassist.bench.straight_line import Calibration, bend, fit, pool_of
from ccassist.values.findings import Finding, note, question, warning
from ccassist.values.measured import Cause, doubt

LEAST_STEPS = 3
VALID_FOR = "1 year"  # common practice, no source; sooner after a change of nozzle or seal
FAR = 0.2  # a scale that is out by more of the amount is likelier a slip (common practice, no source)


def calibrations_of(cells: Iterable[Cell], kit: Kit) -> tuple[dict[str, Calibration], list[Finding]]:
    """The newest calibration of each instrument that can be computed, and what was noticed.

    ``cells`` are sound ones of the step that calibrates, in the order of the file.  One that a bad
    step spoils is refused: nothing is corrected by it, nor by an older one, until the step is set aside.
    """
    groups: dict[tuple[str, str], list[Cell]] = {}
    for cell in cells:
        groups.setdefault((cell.instrument, cell.date), []).append(cell)
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


def calibrate(cells: Sequence[Cell], kit: Kit) -> Calibration | None:
    """The calibration that cells of one instrument give; None with fewer than three steps, or all of one size."""
    steps = [step for cell in cells for step in steps_of(cell, kit)]
    if len(steps) < LEAST_STEPS or len({step.says for step in steps}) < 2:
        return None
    says, volumes = [step.says for step in steps], [step.volume for step in steps]
    line = fit(says, volumes)
    doubted = replace(line, scatter=max(line.scatter, least_scatter(cells, kit)))
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
        height=height + doubt(doubted.height_doubt, _scatter_cause(name, "height", line.dof)),
        slope=slope + doubt(doubted.slope_doubt, _scatter_cause(name, "slope", line.dof)),
        scatter=doubted.scatter,
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
    hand = f"where a hand repeats to {bad.usual * 1e6:.2f} cc"
    if bad.at is None:
        wrong = (
            f"its steps scatter by {bad.off * 1e6:.2f} cc about a straight line, {hand}: no correction is made by it"
        )
        right = "look for slips in its steps and set them aside with a reason; else calibrate it again, in more steps"
        return question("calibration-refused", wrong, read=made.instrument, right=right)
    step = made.steps[bad.at].reading
    wrong = (
        f"step {bad.at + 1} lies {abs(bad.off) * 1e6:.2f} cc off the line through the others, {hand}: the calibration "
        "is refused and no correction made by it"
    )
    right = "look at that step; set it aside with a reason, or weigh it again"
    return question("calibration-refused", wrong, read=step.said, right=right, line=step.line)


def _scatter_cause(name: str, what: str, dof: int) -> Cause:
    return Cause(
        name=f"{pool_of(name)}: {what} of its line",
        key="fill_volume",
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
    low, high, scatter = (f"{v * 1e6:.4g}" for v in (made.low, made.high, made.scatter))
    wrong = f"{made.instrument} is calibrated in {len(made.steps)} steps from {low} to {high} cc; one delivery scatters"
    return note("calibrated", f"{wrong} by {float(scatter):.2g} cc")


def _noticed(made: Calibration) -> list[Finding]:
    """What should be looked at in a calibration."""
    found = [_told(made)]
    if made.bend is not None and made.bend.shown:
        wrong = f"the scale of {made.instrument} bends: {abs(made.bend.sag) * 1e6:.2f} cc off a straight line midway"
        right = "look for a slip in one step; else calibrate only the part of the scale that is used, in finer steps"
        found.append(warning("bent-scale", wrong, right=right))
    if made.rises is None:
        wrong = f"{made.instrument} was read both up and down its scale: a plunger has backlash"
        found.append(warning("both-ways", wrong, right="calibrate and use it in one direction only"))
    if abs(made.line.slope - 1) > FAR:
        more = "more" if made.line.slope > 1 else "less"
        wrong = f"{made.instrument} delivers {100 * abs(made.line.slope - 1):.0f} % {more} than its scale says"
        found.append(warning("far-off-scale", wrong, right="look for a wrong unit or a wrong fluid first"))
    if made.made is None:
        wrong = "the day of the calibration is not said: when it is due again cannot be told"
        found.append(warning("no-date", wrong, right="date = 2026-10-12"))
    return found
