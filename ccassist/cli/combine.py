"""``ccassist combine``: every combination of the parts on offer."""

from __future__ import annotations

import sys
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ccassist.bench.cautions import cautions
from ccassist.cli.screen import say, say_json, table, wrapped
from ccassist.display import column_title, show, show_value
from ccassist.findings import InputError, clean, error
from ccassist.job.file import load_sound
from ccassist.judge import decide
from ccassist.plan.aims import Aim, aims_of, reason_text
from ccassist.plan.candidates import candidates
from ccassist.results import Survey, sound_survey
from ccassist.terms import term
from ccassist.units import shown_unit

if TYPE_CHECKING:
    from ccassist.plan.combine import Combination, Combined

FIRST = ("static_ratio", "squish", "clearance_volume")
THEN = ("displacement", "deck_clearance", "mean_piston_speed", "rod_ratio")
MOST_ROWS = 1000
PATIENCE = 2.0  # s before a progress bar is shown
NOT_LOOKED_AT = (
    "pins, journals, bearing widths and dowels match",
    "valves clear the crown and each other; notches fit the valves",
    "skirts clear the counterweights, rods clear block, camshaft and pan, at bottom dead centre",
    "the gasket covers the water and oil holes of this head and block",
    "crank, rods and pistons can be balanced together",
)


@dataclass(frozen=True, kw_only=True)
class Asked:
    """What the command was asked: targets, limits, rows to show, file to write."""

    to: Sequence[str] = ()
    within: Sequence[str] = ()
    top: int = 20
    csv: Path | None = None


def run(file: Path, asked: Asked, *, system: str | None, as_json: bool) -> int:
    """Print the ranked combinations; 1 where none is left."""
    _check(file, asked)
    survey = sound_survey(load_sound(file).job)
    shown = system or survey.job.system
    aims = aims_of(survey.wanted, asked.to, asked.within, system=shown)
    offered = candidates(survey)
    from ccassist.plan.combine import combine

    with _Bar() as bar:
        found = combine(offered, aims, top=asked.top, progress=bar.move)
    if asked.csv:
        from ccassist.job.disk import write_text

        write_text(asked.csv, as_csv(found, shown))
    if as_json:
        say_json(to_dict(found, aims, shown))
    else:
        _print(found, aims, survey, shown)
        if asked.csv:
            say(f"Wrote {clean(str(asked.csv), 300)}, {len(found.best)} rows.")
    return 0 if found.best else 1


def _check(file: Path, asked: Asked) -> None:
    if not 1 <= asked.top <= MOST_ROWS:
        right = f"from 1 to {MOST_ROWS}"
        raise InputError(
            error("not-whole", "so many rows cannot be shown", read=str(asked.top), place="--top", right=right)
        )
    if asked.csv and asked.csv.resolve() == file.resolve():
        raise InputError(error("same-file", "the table would replace the job file", read=str(asked.csv), place="--csv"))


class _Bar:
    """A progress bar on the error stream, only on a terminal and only once it takes long."""

    def __init__(self) -> None:
        self._start, self._wanted = time.monotonic(), sys.stderr.isatty()
        self._bar: Any = None
        self._task: Any = None

    def move(self, done: int, count: int) -> None:
        """How far the work is."""
        if not self._wanted or (self._bar is None and time.monotonic() - self._start < PATIENCE):
            return
        if self._bar is None:
            from rich.console import Console
            from rich.progress import Progress as Bar

            self._bar = Bar(console=Console(stderr=True), transient=True)
            self._task = self._bar.add_task("combinations", total=count)
            self._bar.start()
        self._bar.update(self._task, completed=done)

    def __enter__(self) -> _Bar:
        return self

    def __exit__(self, *fault: object) -> None:
        if self._bar is not None:
            self._bar.stop()


def _print(found: Combined, aims: Sequence[Aim], survey: Survey, system: str) -> None:
    say(f"{found.count} combinations, {found.count - found.left} refused, {found.left} left.")
    for reason, number in found.refused.items():
        wrapped(f"{number}  {clean(reason_text(reason, aims), 200)}", first="  ", rest="      ")
    if not found.best:
        say("No combination is left: list other parts, or widen what is wanted.")
        return
    _print_wanted(aims)
    _print_fixed(found, survey)
    varied = _varied(found, survey)
    say()
    _print_rows(found, varied, FIRST, system)
    say()
    _print_rows(found, (), THEN, system)
    _print_doubtful(found, aims, system)
    say()
    say("Not looked at here; answer each before parts are bought:")
    for question in NOT_LOOKED_AT:
        wrapped(question, first="  - ", rest="    ")
    for caution in cautions(("contact", "planning")):
        wrapped(caution)


def _print_wanted(aims: Sequence[Aim]) -> None:
    ranked = [f"{term(a.key).name} {clean(a.band.raw, 60)}" for a in aims if a.ranks]
    by = f"The nearest to {' and '.join(ranked)} first." if ranked else "In the order of the lists: nothing to rank by."
    wrapped(by)


def _print_fixed(found: Combined, survey: Survey) -> None:
    """What is the same in every row."""
    alone = [part for part in found.best[0].parts if len(survey.offered[part.kind]) == 1]
    if alone:
        wrapped(f"In every row: {', '.join(f'{part.kind} {clean(part.name, 40)}' for part in alone)}.")
    several = " (means of all cylinders)" if len(survey.cylinders) > 1 else ""
    choices = survey.cylinders[0].choices
    wrapped(
        f"Everything else is as the engine{several}; crevice {'counted' if choices.crevice else 'not counted'}, "
        f"chamfer {'counted' if choices.chamfer else 'not counted'}."
    )


def _varied(found: Combined, survey: Survey) -> tuple[str, ...]:
    return tuple(part.kind for part in found.best[0].parts if len(survey.offered[part.kind]) > 1)


def _print_rows(found: Combined, kinds: Sequence[str], keys: Sequence[str], system: str) -> None:
    having = [key for key in keys if any(key in row.values for row in found.best)]
    rows = []
    for number, row in enumerate(found.best, 1):
        names = {part.kind: clean(part.name, 16) for part in row.parts}
        cells = [show_value(row.values[key], system=system) if key in row.values else "not given" for key in having]
        rows.append([str(number), *[names[kind] for kind in kinds], *cells])
    table(["", *kinds, *[term(key).name for key in having]], rows)


def _print_doubtful(found: Combined, aims: Sequence[Aim], system: str) -> None:
    """What the ± leaves open in the rows shown."""
    for words, rows in remarks(found, aims, system).items():
        wrapped(f"LOOK  {words}: row{'s' if len(rows) > 1 else ''} {', '.join(map(str, rows))}.", rest="      ")


def remarks(found: Combined, aims: Sequence[Aim], system: str) -> dict[str, list[int]]:
    """Remarks on the rows kept, judged at the unsafe end of each ±, with the numbers of the rows."""
    said: dict[str, list[int]] = {}
    for number, row in enumerate(found.best, 1):
        for remark in _remarks(row, aims, system):
            said.setdefault(remark, []).append(number)
    return said


def _remarks(row: Combination, aims: Sequence[Aim], system: str) -> list[str]:
    from ccassist.checks import TIGHT_SQUISH

    found = []
    gap = row.values.get("squish")
    if gap is not None:
        least = gap.nominal - (0.0 if gap.expanded != gap.expanded else gap.expanded)
        if least <= 0:
            found.append("piston and head may touch at this ±")
        elif least < TIGHT_SQUISH:
            usual = show("squish", TIGHT_SQUISH, system=system)
            found.append(f"squish may be under {usual} (usual least with steel rods, common practice)")
    for aim in aims:
        value = row.values.get(aim.key)
        if aim.limits and value is not None:
            verdict = decide(value.nominal, value.expanded, aim.band).value
            if verdict != "inside":
                found.append(f"{term(aim.key).name} {clean(aim.band.raw, 60)}: {verdict}")
    origins = {v.origin for part in row.parts for v in part.values.values()} - {"measured", "chosen"}
    if origins:
        found.append("some figures are not measured: measure the parts before metal is cut")
    return found


def _shown(row: Combination) -> list[str]:
    return [key for key in (*FIRST, *THEN) if key in row.values]


def to_dict(found: Combined, aims: Sequence[Aim], system: str) -> dict[str, Any]:
    """The result as plain data, SI."""
    from ccassist.export import value_to_dict

    keys = {aim.key for aim in aims}
    return {
        "format": 1,
        "combinations": found.count,
        "left": found.left,
        "refused": [
            {"reason": reason, "text": reason_text(reason, aims), "combinations": number}
            for reason, number in found.refused.items()
        ],
        "rows": [
            {
                "parts": {part.kind: part.name for part in row.parts},
                "distance": row.distance,
                "values": {
                    key: value_to_dict(row.values[key], system)
                    for key in dict.fromkeys([*_shown(row), *sorted(keys & row.values.keys())])
                },
                "not_given": {key: list(lack) for key, lack in row.lacking.items()},
                "remarks": _remarks(row, aims, system),
            }
            for row in found.best
        ],
    }


def as_csv(found: Combined, system: str) -> str:
    """The rows as comma-separated values in the units shown; signed numbers, their meaning in the heading."""
    import csv
    import io

    from ccassist.quantity import in_unit
    from ccassist.units import conversion

    stream = io.StringIO()
    out = csv.writer(stream, lineterminator="\n")
    kinds = [part.kind for part in found.best[0].parts] if found.best else []
    keys = list(dict.fromkeys(key for row in found.best for key in _shown(row)))
    heads = [head for key in keys for head in (_heading(key, system), f"± {term(key).name}")]
    out.writerow(["rank", *kinds, *heads])
    for number, row in enumerate(found.best, 1):
        cells: list[str] = []
        for key in keys:
            value, unit = row.values.get(key), shown_unit(term(key), system)
            if value is None:
                cells += ["", ""]
            else:
                half = value.expanded / conversion(unit).scale
                cells += [f"{in_unit(value.nominal, unit):.6g}", "" if half != half else f"{half:.2g}"]
        out.writerow([number, *[_plain(part.name) for part in row.parts], *cells])
    return stream.getvalue()


def _heading(key: str, system: str) -> str:
    sign = term(key).sign
    title = column_title(term(key), system)
    return f"{title} (− is {sign.minus[0]})" if sign else title


def _plain(name: str) -> str:
    """A name that no spreadsheet takes for a formula."""
    safe = clean(name)
    return f"'{safe}" if safe[:1] in "=+-@" else safe
