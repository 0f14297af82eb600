"""``ccassist calibrate``: what an improvised burette truly delivers."""

from __future__ import annotations

import math
from collections.abc import Sequence
from pathlib import Path

from ccassist.bench.calibration import Calibration
from ccassist.bench.names import words
from ccassist.bench.steps import STEPS
from ccassist.cli.screen import list_findings, say, say_json, table, wrapped
from ccassist.display import amount, show
from ccassist.findings import Finding, InputError, Level, NotPossible, clean, errors
from ccassist.job.file import load_sound
from ccassist.job.records import Job, Series
from ccassist.measured import expand
from ccassist.results import survey

SHARES = (0.0, 0.25, 0.5, 0.75, 1.0)  # of the calibrated range, where the ± is printed
HOW = (
    "ccassist record FILE calibrate to='10 ml' before='0 g' after='9.9 g' --instrument '…' --fluid water "
    "--setting scale='scale 0.1 g'"
)


def run(file: Path, *, instrument: str | None, system: str | None, as_json: bool) -> int:
    """Print the calibrations of a job file; 1 where one of them cannot be computed yet."""
    job = load_sound(file).job
    asked = _asked(job, instrument)
    result = survey(job)
    findings = _of(asked, result.findings)
    if errors(findings):
        raise InputError(errors(findings))
    names = dict.fromkeys(series.instrument for series in asked)
    made = [result.calibrations[name] for name in names if name in result.calibrations]
    if as_json:
        from ccassist.export import calibration_to_dict

        shown = [calibration_to_dict(one) for one in made]
        say_json({"format": 1, "calibrations": shown, "findings": [f.to_dict() for f in findings]})
    else:
        for one in made:
            report(one, system or job.system)
        list_findings(findings)
    return 0 if len(made) == len(names) else 1


def _asked(job: Job, instrument: str | None) -> list[Series]:
    """The calibration readings asked for.

    Raises
    ------
    NotPossible : there are none.
    """
    found = [s for s in job.series if not STEPS[s.step].part]
    if instrument is not None:
        found = [s for s in found if s.instrument == instrument or words(s.instrument) == words(instrument)]
    if not found:
        what = f'"{clean(instrument, 60)}"' if instrument is not None else "any instrument"
        raise NotPossible(f"no calibration readings of {what} in {clean(job.file, 120)}; record some: {HOW}")
    return found


def _of(asked: Sequence[Series], findings: Sequence[Finding]) -> list[Finding]:
    """The findings on these series, and on what was measured after their calibration was due again."""
    places = {series.place for series in asked}
    names = {series.instrument for series in asked}
    own = [f for f in findings if f.place.split(",")[0].split(".")[0] in places and f.level is not Level.NOTE]
    return own + [f for f in findings if f.code == "calibration-due" and f.read in names]


def report(made: Calibration, system: str) -> None:
    """One calibration: its steps, its line in words, the ± over its range, and how to use it."""
    day = f", calibrated on {made.made}" if made.made else ""
    due = f", good until {made.due}" if made.due else ""
    say(clean(f"{made.instrument}{day}{due}", 200))
    wrapped(_how(made))
    say()
    steps(made, system)
    say()
    for text in (*line_in_words(made, system), *doubts(made, system)):
        wrapped(text, rest="  ")
    say()
    reach(made, system)
    say()
    for text in advice(made):
        wrapped(text, first="- ", rest="  ")
    say()


def _how(made: Calibration) -> str:
    """The ways in which the steps were taken."""
    said = []
    for cell in made.cells:
        against = clean(cell.choices.get("scale", "") or "something not named", 60)
        warmth = " and ".join(q.raw for q in cell.settings.get("temperature", ()))
        at = f" at {clean(warmth, 60)}" if warmth else ""
        many = f"{len(cell.counted)} steps"
        if cell.readings[0].method.key == "weighed":
            said.append(f"{many} of {clean(cell.fluid, 60)}{at}, weighed with {against}")
        else:
            said.append(f"{many} by rods or bores of known size{at}, measured with {against}")
    return f"{'; '.join(dict.fromkeys(said))}."


def steps(made: Calibration, system: str) -> None:
    """One row a step."""
    say("In cc; true volumes are those that it delivers at 20 °C.")
    head = ["step", "reads", "true", "error", "off the line"]
    rows = []
    for number, (step, off) in enumerate(zip(made.steps, made.residuals, strict=True), start=1):
        parts = (step.says, step.volume, step.volume - step.says, off)
        rows.append([str(number), *[amount("correction", part, system=system, decimals=2) for part in parts]])
    table(head, rows)


def line_in_words(made: Calibration, system: str) -> list[str]:
    """The line as a formula, and what it means."""
    nought = made.line.at(0.0)
    sign = "−" if nought < 0 else "+"
    least = amount("correction", abs(nought), system=system, decimals=3)
    share, start = expand(made.slope - 1), expand(made.true(0.0))
    word = "too much" if share.value < 0 else "too little"
    first = f"reads {_percent(abs(share.value))} ± {_percent(share.expanded)} % {word}"
    if abs(share.value) <= share.expanded:
        first = f"is right in proportion, to within {_percent(share.expanded)} %"
    shown = show("fill_volume", abs(start.value), start.expanded, system=system)
    second = f"{shown} {'too little' if start.value > 0 else 'too much'} at nought"
    if abs(start.value) <= start.expanded:
        second = "no error shows at nought"
    return [
        f"True volume = {made.line.slope:.4f} × reading {sign} {least} cc a delivery.",
        f"It {first}, and {second}.",
    ]


def _percent(share: float) -> str:
    return f"{100 * share:.2f}" if share < 0.01 else f"{100 * share:.1f}"


def doubts(made: Calibration, system: str) -> list[str]:
    """Scatter, straightness and range."""
    size = show("fill_volume", made.scatter, system=system)
    low, high = (amount("fill_volume", end, system=system) for end in (made.low, made.high))
    if made.bend is None:
        straight = "Too few steps to tell whether the scale bends."
    elif made.bend.shown:
        straight = "The scale bends: a straight line does not serve all of it."
    else:
        straight = "Straight: the steps show no bend beyond their scatter."
    freedom = f"{made.line.dof} degree{'s' if made.line.dof != 1 else ''} of freedom"
    return [
        f"One delivery scatters by {size} (standard deviation, {freedom}).",
        straight,
        f"It holds for deliveries of {low} to {high} cc; one more than a tenth of that range outside is refused.",
    ]


def reach(made: Calibration, system: str) -> None:
    """The ± of the calibration at several volumes; all that is measured with it shares this ±."""
    rows = []
    for share in SHARES:
        says = made.low + share * (made.high - made.low)
        true = expand(made.true(says))
        spread = amount("fill_volume", true.expanded, system=system) if not math.isnan(true.expanded) else "not known"
        rows.append([amount("fill_volume", v, system=system) for v in (says, true.value)] + [spread])
    table(["reads", "true", "±"], rows)
    wrapped(
        "The ± holds with 95 % confidence and is common to everything measured with it: it cancels in the "
        "difference between two chambers, and not in a ratio."
    )


def advice(made: Calibration) -> list[str]:
    """How to use it."""
    both = "Move the plunger in one direction only; these steps were read both ways, so calibrate it again."
    way = "up" if made.rises else "down"
    one = f"Move the plunger in one direction only: {way} its scale, as it was calibrated."
    return [
        both if made.rises is None else one,
        "Same technique as when it was calibrated: meniscus, draining, the stop of the plunger.",
        "Leave the last few per cent of the scale unused: the seal binds there.",
        f"Calibrate it again by {made.due or 'a day of your own'}, and whenever a nozzle or a seal is changed.",
    ]
