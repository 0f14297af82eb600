"""``ccassist balance``: making every cylinder alike."""

from __future__ import annotations

from pathlib import Path

from ccassist.bench.cautions import cautions
from ccassist.cli.screen import say, table, wrapped
from ccassist.display import show, show_number
from ccassist.job.file import load_sound
from ccassist.measured import expand, nominal
from ccassist.plan.balance import SHY, Balance, balance, title
from ccassist.plan.machining import SKIM_CONSEQUENCES
from ccassist.results import sound_survey


def run(file: Path, *, system: str | None, as_json: bool) -> int:
    """Print the plan for a job."""
    survey = sound_survey(load_sound(file).job)
    shown = system or survey.job.system
    plan = balance(survey)
    if as_json:
        import json

        say(json.dumps(_to_dict(plan), indent=2))
        return 0
    _print(plan, shown)
    return 0


def _print(plan: Balance, system: str) -> None:
    say(f"Cylinder {plan.largest} has the largest {title(plan)}: leave it alone, open the others to it.")
    say()
    rows = [
        [
            str(o.cylinder),
            show_number("correction", o.amount, system=system),
            show("correction", o.first_cut, system=system) if o.shown else "leave: no difference shown",
        ]
        for o in plan.openings
    ]
    table(["cyl", "smaller by", "open first"], rows)
    say()
    wrapped(
        f"Open {show('correction', SHY, system=system)} short, measure again, creep up. What the cylinders share "
        "(burette, gasket) is cancelled in these differences."
    )
    _print_swap(plan, system)
    _print_skim(plan, system)
    say()
    for caution in cautions(("metal", "grinding", "planning")):
        wrapped(caution)


def _print_swap(plan: Balance, system: str) -> None:
    if plan.swap is None:
        return
    moves = [f"piston {piston} to hole {hole}" for hole, piston in plan.swap.pairs.items() if hole != piston]
    before, after = (show("correction", amount, system=system) for amount in (plan.swap.before, plan.swap.after))
    wrapped(f"Or swap pistons first: {', '.join(moves)}. Largest less smallest falls from {before} to {after}.")


def _print_skim(plan: Balance, system: str) -> None:
    if plan.skim is None:
        return
    volume = show_number("correction", plan.skim.volume, system=system)
    words = "; give chamber_area (the opening at the face) to turn that into a cut."
    if plan.skim.cut is not None:
        words = f": a flat cut of {show_number('face_cut', plan.skim.cut, system=system)}."
    wrapped(f"All as large as cylinder {plan.largest}, a skim must then take {volume}{words}")
    say("Each time metal comes off the face:")
    for consequence in SKIM_CONSEQUENCES:
        wrapped(consequence, first="  - ", rest="    ")


def _to_dict(plan: Balance) -> dict[str, object]:
    def number(value: object) -> dict[str, float]:
        return {"value": nominal(value), "expanded_uncertainty": expand(value).expanded}

    return {
        "of": plan.key,
        "largest": plan.largest,
        "openings": [
            {"cylinder": o.cylinder, **number(o.amount), "shown": o.shown, "first_cut": o.first_cut}
            for o in plan.openings
        ],
        "swap": None
        if plan.swap is None
        else {
            "piston_of_hole": {str(h): p for h, p in plan.swap.pairs.items()},
            "before": plan.swap.before,
            "after": plan.swap.after,
        },
        "skim": None
        if plan.skim is None
        else {"volume": number(plan.skim.volume), "cut": None if plan.skim.cut is None else number(plan.skim.cut)},
    }
