"""``ccassist balance``: making every cylinder alike."""

from __future__ import annotations

import math
from pathlib import Path

from ccassist.analysis.results import survey_of
from ccassist.bench.cautions import cautions
from ccassist.cli.screen import say, say_json, table, unsure, wrapped
from ccassist.plan.balance.alike import SHY, Balance, Opening, balance, move_text, title
from ccassist.plan.balance.parts import Swap
from ccassist.plan.machining.words import SKIM_CONSEQUENCES
from ccassist.values.display import Formatter, formatter
from ccassist.values.measured import computed
from ccassist.values.number import nominal
from ccassist.values.verdict import Spread, is_shown
from ccassist.vocabulary import term


def run(file: Path, *, system: str | None, as_json: bool) -> int:
    """Print the plan for a job."""
    survey = survey_of(file)
    fmt = formatter(system or survey.job.system)
    plan = balance(survey)
    if as_json:
        say_json(plan.to_dict())
        return 0
    _print(plan, fmt)
    return 0


def _print(plan: Balance, fmt: Formatter) -> None:
    say(f"Cylinder {plan.largest} has the largest {title(plan)}: leave it alone, open the others to it.")
    say()
    table(["cyl", "smaller by", "open first"], [_opening_row(o, fmt) for o in plan.openings])
    say()
    _print_spread(plan.spread, fmt)
    wrapped(
        f"Open {fmt.show('correction', SHY)} short, measure again, creep up. What the cylinders share "
        "(burette, gasket) is cancelled in these differences."
    )
    unsure([("", computed(plan.spread.key, plan.spread.difference))], fmt)
    _print_swap(plan.swap, fmt)
    _print_skim(plan, fmt)
    say()
    for caution in cautions(("metal", "grinding", "planning")):
        wrapped(caution)


def _opening_row(one: Opening, fmt: Formatter) -> list[str]:
    if math.isnan(one.expanded):
        to_do = "measure again first"
    elif one.shown:
        to_do = fmt.show("correction", one.first_cut)
    else:
        to_do = "leave: no difference shown"
    amount = fmt.show("correction", nominal(one.amount), one.expanded or None)
    return [str(one.cylinder), amount, to_do]


def _print_spread(spread: Spread, fmt: Formatter) -> None:
    """How far all lie apart, and the least that this measurement could show."""
    least, key = spread.expanded, spread.key
    said = fmt.show(key, nominal(spread.difference), least or None)
    wrapped(f"Largest less smallest {term(key).name}: {said} (cylinders {spread.high} and {spread.low}).")
    if not least:
        wrapped("Nothing here has a ±: what the measurement can show is not known.")
        return
    if math.isnan(least):
        return
    picked = f": picked after looking at {spread.count}, so judged by the studentized range" if spread.count > 2 else ""
    shown = "is shown" if is_shown(spread) else "cannot be told from none"
    wrapped(
        f"That difference {shown} at 95 %{picked}. So measured, less than "
        f"{fmt.show(key, least)} between these two could not be shown."
    )


def _print_swap(swap: Swap | None, fmt: Formatter) -> None:
    if swap is None:
        wrapped(
            "Swapping pistons or rods was not looked at: for that the crown of every piston, or every compression "
            "height or rod length, must be found by itself, and its deck clearance known."
        )
        return
    parts = " and ".join(name for name, terms in (("pistons", swap.pistons), ("rods", swap.rods)) if terms)
    name, before = term(swap.key).name, _spread_text(swap.before, fmt)
    if not swap.helps:
        wrapped(f"Swapping {parts} does not bring the cylinders closer ({name}: {before} apart). {_proof(swap, fmt)}")
    else:
        moves = ", ".join(move_text(move, swap) for move in swap.moves if not move.stays)
        rest = "; the others stay" if any(move.stays for move in swap.moves) else ""
        wrapped(f"Or swap {parts} first: {moves}{rest}.")
        wrapped(
            f"Largest less smallest {name} then falls from {before} to {_spread_text(swap.after, fmt)}. "
            f"{_proof(swap, fmt)}{_rest_shown(swap)}"
        )
    for words in _stays(swap):
        wrapped(words, first="  - ", rest="    ")


def _spread_text(spread: Spread, fmt: Formatter) -> str:
    return fmt.show(spread.key, nominal(spread.difference), spread.expanded or None)


def _proof(swap: Swap, fmt: Formatter) -> str:
    if swap.proved:
        return "Proved best: every other way of placing them was excluded."
    floor = fmt.show(swap.key, swap.floor)
    return f"The best found; no way of placing them can bring it under {floor}."


def _rest_shown(swap: Swap) -> str:
    known = swap.after.expanded > 0
    return " What is left cannot be told from none by these readings." if known and not is_shown(swap.after) else ""


def _stays(swap: Swap) -> list[str]:
    """What does not travel, and so is taken to stay with its hole."""
    found = []
    if swap.pistons and "crown_volume" not in swap.pistons:
        found.append("the crowns are known by one figure for several: taken as alike")
    if swap.pistons and "compression_height" not in swap.pistons:
        found.append("compression heights are not known one by one: deck clearances stay with their holes")
    if not swap.rods:
        found.append("rod lengths are not known one by one: each hole keeps its rod")
    if not swap.pistons:
        found.append("the pistons are not known one by one: each hole keeps its own")
    return found


def _print_skim(plan: Balance, fmt: Formatter) -> None:
    if plan.skim is None:
        return
    volume = fmt.number("correction", plan.skim.volume)
    words = f"; {plan.skim.lacking}."
    if plan.skim.cut is not None:
        words = f": a flat cut of {fmt.number('face_cut', plan.skim.cut)}."
    wrapped(f"All as large as cylinder {plan.largest}, a skim must then take {volume}{words}")
    if plan.skim.cut is not None:
        unsure([("", computed("face_cut", plan.skim.cut))], fmt)
    say("Each time metal comes off the face:")
    for consequence in SKIM_CONSEQUENCES:
        wrapped(consequence, first="  - ", rest="    ")
