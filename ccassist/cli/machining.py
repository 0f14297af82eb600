"""``ccassist machine``: cuts of head and deck and a change of gasket, before and after."""

from __future__ import annotations

from pathlib import Path

from ccassist.analysis.results import sound_survey
from ccassist.bench.cautions import cautions
from ccassist.cli.screen import list_findings, say, say_json, table, unsure, wrapped
from ccassist.job.file import load_sound
from ccassist.plan.machining.changes import Machined, Plan, machine
from ccassist.plan.machining.words import SHOWN, caution_keys, consequences, keys_shown, order_of_work
from ccassist.plan.machining.work import Asked
from ccassist.values.display import Formatter, formatter
from ccassist.values.number import Number, nominal
from ccassist.values.verdict import decide
from ccassist.vocabulary import term


def run(file: Path, asked: Asked, *, system: str | None, as_json: bool) -> int:
    """Print the plan; 0 where it can be done."""
    job = load_sound(file).job
    plan = machine(sound_survey(job), asked.work(job.bare))
    fmt = formatter(system or job.system)
    if as_json:
        from ccassist.plan.machining.words import to_dict

        say_json(to_dict(plan, fmt))
    else:
        _print(plan, fmt)
    return 0


def _print(plan: Plan, fmt: Formatter) -> None:
    _print_cuts(plan, fmt)
    for row in plan.rows:
        say()
        _print_row(row, plan, fmt)
    after = ((f"cylinder {row.number}", row.after.values[key]) for key in SHOWN[::-1] for row in plan.rows
             if key in keys_shown(row))  # fmt: skip
    unsure(after, fmt)
    for title, lines in (
        ("What else moves:", consequences(plan, fmt)),
        ("In this order:", order_of_work(plan, fmt)),
    ):
        if not lines:
            continue
        say()
        say(title)
        for line in lines:
            wrapped(f"{line}.", first="  - ", rest="    ")
    if plan.findings:
        say()
        list_findings(plan.findings)
    say()
    for caution in cautions(caution_keys(plan)):
        wrapped(caution)


def _print_cuts(plan: Plan, fmt: Formatter) -> None:
    """What is done, cylinder by cylinder, and by what the volumes are reckoned."""
    parts = {
        "opened by": ("correction", [row.cuts.opened for row in plan.rows]),
        "flat cut": ("face_cut", [row.cuts.skim for row in plan.rows]),
        "tilted cut, at the middle of the opening": ("face_cut", [row.cuts.tilt for row in plan.rows]),
        "takes": ("fill_volume", [row.cuts.taken for row in plan.rows]),
        "off the deck": ("deck_cut", [row.cuts.deck for row in plan.rows]),
        "gasket": ("face_cut", [row.cuts.thinner for row in plan.rows]),
    }
    used = {words: found for words, found in parts.items() if any(nominal(n) != 0 for n in found[1])}
    rows = [
        [str(row.number), *(_amount(words, key, found[i], fmt) for words, (key, found) in used.items())]
        for i, row in enumerate(plan.rows)
    ]
    table(["cyl", *used], rows)
    for how in dict.fromkeys(row.cuts.how for row in plan.rows if row.cuts.how):
        wrapped(f"Volume by {how}.")
    _print_alone(plan, fmt)


def _amount(words: str, key: str, number: Number, fmt: Formatter) -> str:
    """One amount of the table; which way a gasket changes in words."""
    if words != "gasket":
        return fmt.number(key, number)
    way = "thinner" if nominal(number) > 0 else "thicker"
    return f"{way} by {fmt.number(key, number if way == 'thinner' else -number)}" if nominal(number) else "as thick"


def _print_alone(plan: Plan, fmt: Formatter) -> None:
    """With a target: what each chamber by itself would ask for."""
    band = plan.work.skim_to
    if band is None:
        return
    alone = ", ".join(f"cylinder {n} {fmt.number('face_cut', cut)}" for n, cut in plan.alone.items())
    aim = fmt.show(band.key, band.aim)
    wrapped(f"To bring the {term(band.key).name} to {aim}, each by itself would ask for: {alone}.")
    if len({round(nominal(cut) * 1e6) for cut in plan.alone.values()}) > 1:
        wrapped(
            "One face has one cut: the least of a head's is taken, for metal cannot be put back. "
            "Make the cylinders alike first (--equalise) to bring all of them there."
        )


def _print_row(row: Machined, plan: Plan, fmt: Formatter) -> None:
    say(f"Cylinder {row.number}")
    lines = []
    for key in keys_shown(row):
        change, after = row.change(key), row.after.values[key]
        assert change is not None  # the key was chosen for that
        band = plan.survey.wanted.get(key)
        verdict = f"{decide(after, band).value}" if band else ""
        lines.append(
            [
                term(key).name,
                fmt.value(row.before.values[key]),
                fmt.value(after),
                _signed(key, change.nominal, change.expanded, fmt),
                verdict,
            ]
        )
    table(["", "before", "after", "change", "wanted" if any(line[-1] for line in lines) else ""], lines)


def _signed(key: str, amount: float, spread: float, fmt: Formatter) -> str:
    """A change with its sign in words, so that it is never taken for a position."""
    if amount == 0:
        return "none"
    shown = fmt.show(key, abs(amount), spread or None, words=False)
    return f"{'more' if amount > 0 else 'less'} by {shown}"
