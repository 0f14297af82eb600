"""From a job to the engine as measured: every cylinder's terms, each with its story.

Nothing here is stored: results are computed from the readings each time.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import cast

from ccassist.analysis.checks import engine_findings
from ccassist.analysis.cylinder import GASKET, Cylinder, MeasuredEngine, as_one, cylinder_of, layers_of
from ccassist.analysis.plausibility import sister_findings, unusual_wanted
from ccassist.analysis.which_counts import (
    CLOSING,
    Displaced,
    chosen,
    closing_of,
    current_state,
    displaced_findings,
    layers,
    with_basis,
)
from ccassist.bench.calibration import calibrations_of
from ccassist.bench.cell import Cell, Reduction
from ccassist.bench.fills import refuse_leaks
from ccassist.bench.kit import Kit
from ccassist.bench.pooled import Say, of_several, repeats_of
from ccassist.bench.reductions import reduce_cell
from ccassist.bench.requirements import lacking
from ccassist.bench.trouble import JudgedReadings, judged, troubles
from ccassist.engine.model import RELATIONS, Choices
from ccassist.job.cells import Collector, cells_of, curve_values, listed_values, stated_lists, stated_values
from ccassist.job.equipment import kit_of, overdue
from ccassist.job.file import load_sound
from ccassist.job.records import Job
from ccassist.job.sections import STATED
from ccassist.values.display import formatter
from ccassist.values.findings import Finding, InputError, errors, note
from ccassist.values.measured import Value, computed
from ccassist.values.number import Number, nominal
from ccassist.values.verdict import Band, parse_band
from ccassist.vocabulary.record import once, together

Listed = Mapping[str, Mapping[str, tuple[Mapping[str, Value], ...]]]  # section -> list -> its readings, by field
Survey = MeasuredEngine


@once
def survey(job: Job) -> Survey:
    """Compute everything that a job's readings and statements allow."""
    kit, findings = kit_of(job)
    cells, slips = cells_of(job)
    findings += slips
    calibrating = [c for c in cells if not c.step.part and not _refused(c, kit, job, findings)]
    kit.calibrations, slips = calibrations_of(calibrating, kit)
    findings += [f.at(file=job.file) for f in [*slips, *overdue(job, kit.calibrations)]]
    filled = [c for c in cells if c.step.part and not _refused(c, kit, job, findings)]
    curves = [c for c in filled if c.step.curve and c.counted]
    filled = [c for c in filled if not c.step.curve]
    sound = [_unleaked(cell, job, findings) for cell in filled]
    say = partial(formatter(job.system).show, words=False)
    read = judged([*repeats_of(sound, kit), *(of_several(one, kit) for one in stated_lists(job))], say)
    kit.scatter = read.scatter
    reduced = tuple(reduce_cell(cell, kit) for cell in sound)
    findings += [f for r in reduced for f in r.findings]
    findings += _troubles(reduced, read, kit, job, say)
    current = _current(job, reduced, findings)
    collector = Collector(job)
    stated = _Stated(job, kit, collector)
    displaced: list[Displaced] = []
    cylinders = tuple(_cylinder(n, job, current, stated, displaced) for n in range(1, job.cylinders + 1))
    findings += [*displaced_findings(displaced, job), *collector.findings]
    wanted = _wanted(job, findings)
    result = Survey(
        job=job,
        cylinders=cylinders,
        whole=_whole(cylinders),
        reduced=reduced,
        calibrations=kit.calibrations,
        wanted=wanted,
        offered=stated.offered,
        alternatives=stated.alternatives,
        stated=stated.sections,
        listed=_with_curves(stated.listed, curves, kit, job, findings),
        guesses=tuple(kit.guesses()),
    )
    findings += sister_findings(result, findings)
    findings += engine_findings(result)
    return replace(result, findings=tuple(dict.fromkeys(findings)))


def sound_survey(job: Job) -> Survey:
    """As :func:`survey`, but faults of the file are raised, all together.

    Raises InputError: with every finding that is an error.
    """
    result = survey(job)
    faults = errors(result.findings)
    if faults:
        raise InputError(faults)
    return result


def survey_of(path: str | Path, system: str | None = None) -> Survey:
    """The engine of a job file as measured; faults of the file are raised, all together.

    ``system`` : units of all that is said of it; the job's own where None.

    Raises InputError: no such file, or with every finding that is an error.
    """
    return sound_survey(in_units(load_sound(path).job, system))


def in_units(job: Job, system: str | None) -> Job:
    """The same job, with all that is said of it in a system of units; its bare numbers are read as before."""
    return job if system is None else replace(job, system=system)


def _refused(cell: Cell, kit: Kit, job: Job, findings: list[Finding]) -> bool:
    found = [f.at(file=job.file, line=job.line_at(f.place) or cell.line, place=cell.place) for f in lacking(cell, kit)]
    findings += found
    return bool(errors(found)) or (cell.weighed and cell.fluid not in kit.fluids)


def _unleaked(cell: Cell, job: Job, findings: list[Finding]) -> Cell:
    """The cell without the fills that leaked too much."""
    kept, found = refuse_leaks(cell)
    findings += [f.at(file=job.file, line=cell.line, place=cell.place) for f in found]
    return kept


def _with_curves(listed: Listed, cells: Sequence[Cell], kit: Kit, job: Job, findings: list[Finding]) -> Listed:
    """The lists of readings, with those that were read at the bench in place of what a section states."""
    found = {section: dict(lists) for section, lists in listed.items()}
    for cell in cells:
        assert cell.step.curve is not None
        section, name = cell.step.curve
        if name in found.get(section, {}):
            wrong = f"{cell.step.title.lower()}: read twice; the later readings count"
            findings.append(note("two-curves", wrong, line=cell.line, place=f"{section}.{name}", file=job.file))
        found.setdefault(section, {})[name] = curve_values(cell, kit)
    return found


def _troubles(reduced: Sequence[Reduction], read: JudgedReadings, kit: Kit, job: Job, say: Say) -> list[Finding]:
    """What the readings say against themselves; each head is a bank of its own."""
    heads = [p.cylinders for p in job.parts.values() if p.kind == "head"]
    rest = [n for n in range(1, job.cylinders + 1) if not any(n in head for head in heads)]
    return [f.at(file=job.file) for f in troubles(reduced, read, kit, [*heads, rest], say)]


def _current(job: Job, reduced: Sequence[Reduction], findings: list[Finding]) -> list[Reduction]:
    """The reductions of the current state of each part, in the order of the file."""
    groups = together(((one.cell.step.key, one.cell.part), one) for one in reduced)
    kept: list[Reduction] = []
    for (_, part), members in groups.items():
        state, notes = current_state(job, part, [m.cell for m in members])
        findings += notes
        kept += [m for m in members if m.cell.state == state]
    return kept


class _Stated:
    """Stated values by section, each read once."""

    def __init__(self, job: Job, kit: Kit, collector: Collector) -> None:
        self.engine = stated_values(job.engine, job, kit, collector)
        self.parts = {name: stated_values(p.given, job, kit, collector) for name, p in job.parts.items()}
        self.cylinder = {n: stated_values(g, job, kit, collector) for n, g in job.per_cylinder.items()}
        self.sections = {name: stated_values(g, job, kit, collector, of=STATED[name]) for name, g in job.stated.items()}
        self.closing = closing_of(job, self.sections.get("cam", {}))
        self.listed = {
            name: {k: listed_values(one, STATED[name].lists[k], kit, collector) for k, one in lists.items()}
            for name, lists in job.listed.items()
        }
        self.offered = {
            kind: {name: stated_values(g, job, kit, collector) for name, g in options.items()}
            for kind, options in job.offered.items()
        }
        self.alternatives = {
            name: stated_values(one.given, job, kit, collector, of=STATED["charge"])  # which says what of it is decided
            for name, one in job.alternatives.items()
        }


def _cylinder(
    number: int, job: Job, current: Sequence[Reduction], stated: _Stated, displaced: list[Displaced]
) -> Cylinder:
    """One cylinder, from everything that is known of it."""
    own = stated.cylinder.get(number, {})
    found = layers(number, job, stated.engine, stated.parts, own, current)
    gasket, unused = layers_of(number, job, stated.parts, current)
    displaced += unused
    if gasket:
        found = [*({key: v for key, v in layer.items() if key not in GASKET} for layer in found), as_one(gasket)]
    inputs, unused = chosen(number, found)
    displaced += unused
    if stated.closing is not None:
        inputs[CLOSING] = stated.closing
    made = cylinder_of(number, inputs, _choices(job, current, number, inputs), gasket)
    if stated.closing is None or "trapped_ratio" not in made.values:
        return made
    trapped = with_basis(made.values["trapped_ratio"], stated.closing)
    return replace(made, values={**made.values, "trapped_ratio": trapped})


def _choices(job: Job, current: Sequence[Reduction], number: int, inputs: Mapping[str, Value]) -> Choices:
    """What is counted, and the seal of the crown fill that is used."""
    seals = [
        r.cell.choices.get("seal", "")
        for r in current
        if number in r.cell.cylinders
        and "crown_fill" in r.values
        and r.values["crown_fill"] is inputs.get("crown_fill")
    ]
    land = "crevice_volume" in inputs or "land_diameter" in inputs
    seal = seals[-1] if seals else ""
    default = {
        "crevice": "counted" if land or seal == "ring" else "not counted",
        "chamfer": "counted" if "chamfer_volume" in inputs else "not counted",
    }
    said = {key: job.counted.get(key, default[key]) for key in default}
    return Choices(crevice=said["crevice"] == "counted", chamfer=said["chamfer"] == "counted", seal=seal)


def _whole(cylinders: Sequence[Cylinder]) -> dict[str, Value]:
    """Displacement: the swept volumes of all cylinders together."""
    swept = [c.values["swept_volume"].number for c in cylinders if "swept_volume" in c.values]
    if len(swept) != len(cylinders):
        return {}
    title = RELATIONS["displacement"].title if len({nominal(s) for s in swept}) == 1 else "Sum of the swept volumes"
    return {"displacement": computed("displacement", sum(swept, start=cast(Number, 0.0)), title)}


def _wanted(job: Job, findings: list[Finding]) -> dict[str, Band]:
    found: dict[str, Band] = {}
    for key, given in job.wanted.items():
        try:
            found[key] = parse_band(given.texts[0], key, system=job.bare)
        except InputError as fault:
            findings += [f.at(file=job.file, line=given.line, place=given.place) for f in fault.findings]
            continue
        unusual = unusual_wanted(found[key], formatter(job.system))
        findings += [unusual.at(file=job.file, line=given.line, place=given.place)] if unusual is not None else []
    return found


# What a change to a job would make doubtful, asked before the change is taken.
#
# A finding that bears ``asks`` is a LOOK of ``check`` in a file; before it gets
# there it is a question: "are you sure?" at a prompt, exit 2 and nothing
# recorded elsewhere, unless ``--sure``.  Whoever is about to save something::
#
#     after = job_file.with_readings([(header, row)])
#     asked = new_questions(job_file.job(), after)
#
# and saves only where ``asked`` is empty or was confirmed; the remark of a reading that was confirmed says so
# (``job.entry.SURE``).  What makes a finding a question is said where the finding is made: ``findings.question``.
#
# What is new is told by what a finding says and where, without its numbers: a doubt that was confirmed once is not
# asked again because a mean moved.

_NUMBER = re.compile(r"\d+(?:[.,]\d+)?")
_KEPT = 2  # surveys: of the job as it stands, and as it would be
_surveys: list[tuple[Job, Survey]] = []


def new_questions(before: Job, after: Job) -> list[Finding]:
    """What is worth asking in a job as it would be, and was not in the job as it stands.

    Where the change adds readings, only what stands at one of them is asked: a good reading that shows up another one
    is taken, and the other is remarked like anything else.
    """
    asked = _asked(after)
    if not asked:
        return []
    known = _asked(before)
    exact = {_said(f) for f in known}
    there = Counter(_meant(f) for f in known)
    there.subtract(_meant(f) for f in asked if _said(f) in exact)
    found = []
    for finding in (f for f in asked if _said(f) not in exact):
        if there[_meant(finding)] > 0:
            there[_meant(finding)] -= 1
        else:
            found.append(finding)
    read = _lines_read(before, after)
    return [f for f in found if not read or f.line in read]


def surveyed(job: Job) -> Survey:
    """The engine of a job as measured; computed once for a job looked at several times in a row."""
    found = next((made for of, made in _surveys if of is job), None)
    if found is None:
        found = survey(job)
        _surveys[:] = [*_surveys[1 - _KEPT :], (job, found)]
    return found


def _asked(job: Job) -> list[Finding]:
    """The questions of a job; a job that cannot be worked out has none: what is wrong with it is said elsewhere."""
    try:
        return [f for f in surveyed(job).findings if f.asks]
    except (InputError, ValueError, ArithmeticError):
        return []


def _said(finding: Finding) -> tuple[str, str, str]:
    return finding.code, finding.place, finding.wrong


def _meant(finding: Finding) -> tuple[str, str, str]:
    """What is doubted, whatever the numbers are by now."""
    return finding.code, finding.place, _NUMBER.sub("#", finding.wrong)


def _lines_read(before: Job, after: Job) -> set[int | None]:
    """The lines of the readings that were added, and of series that are new."""
    old = {row.place for series in before.series for row in series.rows}
    new = [(s, row) for s in after.series for row in s.rows if row.place not in old]
    return {row.line for _, row in new} | {s.line for s, row in new if row is s.rows[0]}
