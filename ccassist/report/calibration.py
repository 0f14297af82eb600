"""A calibration told: the line, its ± over the range and how to use it; then every step."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from ccassist.analysis.sums import decimal, printed
from ccassist.bench.calibrated import Calibration
from ccassist.report.blocks import Block, Heading, Report, Table, Text, items
from ccassist.report.findings import finding_texts
from ccassist.values.display import Formatter, fixed, places, spread_text, two_figures, two_text
from ccassist.values.findings import Finding, capital, clean
from ccassist.values.measured import ground_text
from ccassist.values.uncertainty import expand
from ccassist.vocabulary import Kind
from ccassist.vocabulary.units import conversion

SHARES = (0.0, 0.25, 0.5, 0.75, 1.0)  # of the calibrated range, where the ± is told
LOOSE = 0.05  # ± of the proportion from which on nothing is called right (common practice, no source)
STEP_HEAD = ("step", "reads", "true", "error", "off the line")
REACH_HEAD = ("reads", "true", "±")
UNIT = "In cc; true volumes are those that it delivers at 20 °C."
_COMMON = (
    "The ± is common to everything measured with it: it cancels in the difference between two chambers, and not in a "
    "ratio."
)


def title(made: Calibration) -> str:
    """Which instrument, when, and until when."""
    day = f", calibrated on {made.made}" if made.made else ""
    due = f", good until {made.due}" if made.due else ""
    return clean(f"{made.instrument}{day}{due}", 200)


def common(made: Calibration, fmt: Formatter) -> str:
    """How far the ± of a calibration may be relied on, and what it is common to."""
    unsure = ground_text("fill_volume", made.true(made.high), fmt)
    return f"{capital(unsure)}. {_COMMON}" if unsure else f"The ± holds with 95 % confidence. {_COMMON}"


def how_made(made: Calibration) -> str:
    """The ways in which the steps were taken."""
    said = []
    for cell in made.cells:
        against = clean(cell.choices.get("scale", "") or "something not named", 60)
        warmth = " and ".join(q.raw for q in cell.settings.get("temperature", ()))
        at = f" at {clean(warmth, 60)}" if warmth else ""
        many = f"{len(cell.counted)} steps"
        if cell.method.against is Kind.MASS:
            said.append(f"{many} of {clean(cell.fluid, 60)}{at}, weighed with {against}")
        else:
            said.append(f"{many} by rods or bores of known size{at}, measured with {against}")
    return f"{'; '.join(dict.fromkeys(said))}."


def step_rows(made: Calibration, fmt: Formatter) -> list[list[str]]:
    """One row a step, under :data:`STEP_HEAD`."""
    rows = []
    for number, (step, off) in enumerate(zip(made.steps, made.residuals, strict=True), start=1):
        says, true, apart = (fmt.amount("correction", part, decimals=2) for part in (step.says, step.volume, off))
        error = printed(decimal(true) - decimal(says))  # of what is printed, so that the row adds up
        rows.append([str(number), says, true, error, apart])
    return rows


def reach_rows(made: Calibration, fmt: Formatter) -> list[list[str]]:
    """The ± of the calibration alone at several volumes, under :data:`REACH_HEAD`."""
    rows = []
    for share in SHARES:
        says = made.low + share * (made.high - made.low)
        true = expand(made.true(says))
        unit = fmt.unit("fill_volume")
        half = true.expanded / conversion(unit).scale
        count = places(unit, half)
        shown = [fmt.amount("fill_volume", v, decimals=count) for v in (says, true.value)]
        rows.append([*shown, "not known" if math.isnan(half) else spread_text(half, count)])
    return rows


def line_in_words(made: Calibration, fmt: Formatter) -> list[str]:
    """The line as a formula, and what it means."""
    nought = made.line.at(0.0)
    sign = "−" if nought < 0 else "+"
    least = fmt.amount("correction", abs(nought), decimals=4)
    share, start = expand(made.slope - 1), expand(made.true(0.0))
    word = "too much" if share.value < 0 else "too little"
    first = f"reads {_percents(abs(share.value), share.expanded)} % {word}"
    if share.expanded > LOOSE:
        first = f"cannot be said to be right in proportion: the steps leave ± {two_text(100 * share.expanded)} % open"
    elif abs(share.value) <= share.expanded:
        first = f"is right in proportion, to within {two_text(100 * share.expanded)} %"
    shown = fmt.show("fill_volume", abs(start.value), start.expanded)
    second = f"{shown} {'too little' if start.value > 0 else 'too much'} at nought"
    if abs(start.value) <= start.expanded:
        second = "no error shows at nought"
    first = first if math.isfinite(share.expanded) else "was read in too few steps to say how right it is in proportion"
    return [
        f"True volume = {made.line.slope:.5f} × reading {sign} {least} cc a delivery.",
        f"It {first}, and {second}.",
    ]


def _percents(share: float, spread: float) -> str:
    """A share and its ± in per cent, to two digits of the ±."""
    if not spread > 0:
        return f"{fixed(100 * share, 2)}{' ± ?' if math.isnan(spread) else ''}"
    decimals = min(3, two_figures(100 * spread))
    return f"{fixed(100 * share, decimals)} ± {spread_text(100 * spread, decimals)}"


def doubts(made: Calibration, fmt: Formatter) -> list[str]:
    """Scatter, straightness and range."""
    size = fmt.show("fill_volume", made.scatter)
    low, high = (fmt.amount("fill_volume", end) for end in (made.low, made.high))
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


def calibration_report(made: Sequence[Calibration], findings: Sequence[Finding], fmt: Formatter) -> Report:
    """Of each instrument the answer: what it truly delivers, and how well that is known."""
    return Report(
        title="Calibration",
        subject="What an improvised burette truly delivers",
        answer=(*(block for one in made for block in _answer(one, fmt)), *finding_texts(findings)),
        support=tuple(block for one in made for block in _steps(one, fmt)),
    )


def _answer(made: Calibration, fmt: Formatter) -> Iterator[Block]:
    yield Text(title(made), strong=True)
    yield from map(Text, line_in_words(made, fmt))
    yield Table(head=REACH_HEAD, rows=tuple(map(tuple, reach_rows(made, fmt))))
    yield Text(common(made, fmt))
    first, *middle, last = items(advice(made))
    yield from (first, *(replace(one, spare=True) for one in middle), last)


def _steps(made: Calibration, fmt: Formatter) -> Iterator[Block]:
    yield Heading(f"Steps of {clean(made.instrument, 80)}")
    yield Text(how_made(made))
    yield Text(UNIT)
    yield Table(head=STEP_HEAD, rows=tuple(map(tuple, step_rows(made, fmt))))
    yield from map(Text, doubts(made, fmt))
