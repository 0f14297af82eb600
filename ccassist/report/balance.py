"""Making every cylinder alike, told: what to open first; then swapping, the skim and how it is judged."""

from __future__ import annotations

import math
from collections.abc import Iterator

from ccassist.analysis.results import Survey
from ccassist.bench.cautions import cautions
from ccassist.plan.balance import MARGIN, Balance, Swap, move_text
from ccassist.report.blocks import Block, Heading, Report, Table, Text, items
from ccassist.report.data import rows_merged
from ccassist.report.figures import before_after, by_cylinder
from ccassist.report.findings import ground_lines
from ccassist.report.machining_words import SKIM_CONSEQUENCES
from ccassist.values.display import Formatter
from ccassist.values.measured import at_confidence, computed, unsure_texts
from ccassist.values.number import nominal
from ccassist.values.verdict import Spread, is_shown
from ccassist.vocabulary import term

AT_WORK = ("metal", "grinding")  # the cautions of the answer itself


def balance_report(plan: Balance, survey: Survey, fmt: Formatter) -> Report:
    """The answer first: what to open, whether a difference is shown at all, and a swap that spares metal."""
    name, least = term(plan.key).name, [("", computed(plan.spread.key, plan.spread.difference))]
    volumes = by_cylinder(((c.number, None, c.values[plan.key]) for c in survey.cylinders if plan.key in c.values), fmt)
    plot = before_after(volumes, fmt, survey.wanted.get(plan.key))
    support: list[Block] = [Heading("How it is judged"), plot, *_judged(plan.spread, fmt)]
    support += map(Text, unsure_texts(least, fmt))
    support += [Heading("Swapping pistons and rods"), *_swapping(plan.swap, fmt)]
    support += [*_skim(plan, fmt), Heading("Cautions"), *map(Text, cautions(("planning",)))]
    return Report(
        title="Balance",
        subject="Making every cylinder alike",
        answer=(
            Text(f"Cylinder {plan.largest} has the largest {name}: leave it, open the others to it.", strong=True),
            _openings(plan, fmt),
            *_apart(plan.spread, fmt),
            *_swap(plan.swap, fmt),
            Text(f"Open {fmt.show('correction', MARGIN)} short, measure again, creep up."),
            *ground_lines([("largest less smallest", value) for _, value in least]),
            *map(Text, cautions(AT_WORK)),
        ),
        support=tuple(support),
    )


def _openings(plan: Balance, fmt: Formatter) -> Table:
    """A row for each sort of cylinder: those of which the same is said share one."""
    rows = rows_merged((one.cylinder, one.texts(fmt)) for one in plan.openings)
    return Table(head=("cyl", "smaller by", "open first"), rows=rows, long=True)


def _spread(spread: Spread, fmt: Formatter) -> str:
    return fmt.show(spread.key, nominal(spread.difference), spread.expanded or None)


def _apart(spread: Spread, fmt: Formatter) -> Iterator[Text]:
    """How far all lie apart, and whether that is shown."""
    text = (
        f"Largest less smallest {term(spread.key).name}: {_spread(spread, fmt)} "
        f"(cylinders {spread.high} and {spread.low})."
    )
    if spread.expanded > 0:
        picked = (
            f": picked after looking at {spread.count}, so judged by the studentized range" if spread.count > 2 else ""
        )
        shown = "is shown" if is_shown(spread) else "cannot be told from none"
        text += f" That difference {shown}{at_confidence(spread.difference)}{picked}."
    yield Text(text)


def _judged(spread: Spread, fmt: Formatter) -> Iterator[Text]:
    """The least that this measurement could show."""
    if not spread.expanded:
        yield Text("Nothing here has a ±: what the measurement can show is not known.")
    elif not math.isnan(spread.expanded):
        least = fmt.show(spread.key, spread.expanded)
        yield Text(f"So measured, less than {least} between these two could not be shown.")
    yield Text("What the cylinders share (burette, gasket) is cancelled in these differences.")


def _swap(swap: Swap | None, fmt: Formatter) -> Iterator[Text]:
    """A swap that helps, and what it brings."""
    if swap is None or not swap.helps:
        return
    moves = ", ".join(move_text(move, swap) for move in swap.moves if not move.stays)
    rest = "; the others stay" if any(move.stays for move in swap.moves) else ""
    yield Text(f"Or swap {_parts(swap)} first: {moves}{rest}.")
    yield Text(
        f"Largest less smallest {term(swap.key).name} then falls from {_spread(swap.before, fmt)} to "
        f"{_spread(swap.after, fmt)}."
    )


def _parts(swap: Swap) -> str:
    return " and ".join(name for name, terms in (("pistons", swap.pistons), ("rods", swap.rods)) if terms)


def _swapping(swap: Swap | None, fmt: Formatter) -> Iterator[Text]:
    """How good the swap is, or why there is none, and what does not travel."""
    if swap is None:
        yield Text(
            "Swapping pistons or rods was not looked at: for that the crown of every piston, or every compression "
            "height or rod length, must be found by itself, and its deck clearance known."
        )
        return
    apart = f"({term(swap.key).name}: {_spread(swap.before, fmt)} apart)"
    lead = "" if swap.helps else f"Swapping {_parts(swap)} does not bring the cylinders closer {apart}. "
    proof = (
        "Proved best: every other way of placing them was excluded."
        if swap.proved
        else f"The best found; no way of placing them can bring it under {fmt.show(swap.key, swap.floor)}."
    )
    open_still = swap.helps and swap.after.expanded > 0 and not is_shown(swap.after)
    rest = " What is left cannot be told from none by these readings." if open_still else ""
    yield Text(f"{lead}{proof}{rest}")
    yield from items(_stays(swap))


def _stays(swap: Swap) -> Iterator[str]:
    """What does not travel, and so is taken to stay with its hole."""
    if swap.pistons and "crown_volume" not in swap.pistons:
        yield "the crowns are known by one figure for several: taken as alike"
    if swap.pistons and "compression_height" not in swap.pistons:
        yield "compression heights are not known one by one: deck clearances stay with their holes"
    if not swap.rods:
        yield "rod lengths are not known one by one: each hole keeps its rod"
    if not swap.pistons:
        yield "the pistons are not known one by one: each hole keeps its own"


def _skim(plan: Balance, fmt: Formatter) -> Iterator[Block]:
    """What a skim must take afterwards, and what moves with it."""
    if plan.skim is None:
        return
    yield Heading("Skim")
    words = f"; {plan.skim.lacking}."
    if plan.skim.cut is not None:
        words = f": a flat cut of {fmt.number('face_cut', plan.skim.cut)}."
    volume = fmt.number("correction", plan.skim.volume)
    yield Text(f"All as large as cylinder {plan.largest}, a skim must then take {volume}{words}")
    if plan.skim.cut is not None:
        yield from map(Text, unsure_texts([("", computed("face_cut", plan.skim.cut))], fmt))
    yield Text("Each time metal comes off the face:")
    yield from items(SKIM_CONSEQUENCES)
