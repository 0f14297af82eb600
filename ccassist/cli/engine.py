"""What the engine is: ``show``, ``check``, ``readings``, ``calibrate``, ``compare``, ``solve``, ``worksheet``.

Each imports its own work, so that a run loads no other's.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from ccassist.cli.screen import Showing, say
from ccassist.values.display import METRIC, Formatter, formatter
from ccassist.values.findings import Finding, InputError, Level, NotPossible, clean, error, errors

if TYPE_CHECKING:
    from ccassist.analysis.results import Survey
    from ccassist.job.records import Job, Series

HOW = (
    "ccassist record FILE calibrate to='10 ml' before='0 g' after='9.9 g' --instrument '…' --fluid water "
    "--setting scale='scale 0.1 g'"
)


def show(file: Path, showing: Showing) -> int:
    """Print the survey of a job file."""
    from ccassist.report.measured import survey_data
    from ccassist.report.survey import survey_report

    survey, fmt = showing.of(file)
    report = partial(survey_report, survey, fmt, everything=showing.everything)
    showing.tell(report, lambda: survey_data(survey, fmt))
    return 0


def check(file: Path, showing: Showing) -> int:
    """Print all findings of a file; 2 where one of them is an error."""
    from ccassist.report.data import to_json
    from ccassist.report.findings import check_report, checked

    findings = every_finding(file)
    showing.tell(lambda: check_report(findings), lambda: to_json(checked(findings), METRIC))
    return 2 if errors(findings) else 0


def every_finding(file: Path) -> list[Finding]:
    """All findings of a file; while something is wrong, notes on results would speak of half of them."""
    from ccassist.job.file import load

    try:
        loaded = load(file)
    except InputError as fault:
        return list(fault.findings)
    findings = list(loaded.findings)
    if not errors(findings):
        from ccassist.analysis.results import survey
        from ccassist.plan.boost.stated import charge_findings
        from ccassist.plan.valves.room import cam_findings

        made = survey(loaded.job)
        findings += made.findings
        if not errors(findings):
            findings += [*cam_findings(made), *charge_findings(made)]
    return [f for f in findings if f.level is not Level.NOTE] if errors(findings) else findings


def readings(file: Path, showing: Showing, *, csv: Path | None = None) -> int:
    """List the readings; or write them where asked."""
    from ccassist.job.file import load_sound

    job = load_sound(file).job
    if csv is None:
        from ccassist.report.data import to_json
        from ccassist.report.readings import Readings, readings_report

        fmt = formatter(job.system)
        report = partial(readings_report, job, fmt, everything=showing.everything)
        showing.tell(report, lambda: to_json(Readings(series=job.series), fmt))
        return 0
    from ccassist.job.disk import check_output, write_text
    from ccassist.job.tables import is_readings, readings_csv

    check_output(csv, "--csv", file, force=showing.force, head=is_readings)
    write_text(csv, readings_csv(job))
    count = sum(len(series.rows) for series in job.series)
    say(f"Wrote {clean(str(csv), 300)}, {count} reading{'' if count == 1 else 's'}.")
    return 0


def calibrate(file: Path, showing: Showing, *, instrument: str | None = None) -> int:
    """Print the calibrations of a job file; 1 where one of them cannot be computed yet."""
    from ccassist.analysis.results import in_units, survey
    from ccassist.job.file import load_sound
    from ccassist.report.calibration import calibration_report

    job = in_units(load_sound(file).job, showing.system)
    asked = _calibrations(job, instrument)
    result = survey(job)
    findings = _of(asked, result.findings)
    if errors(findings):
        raise InputError(errors(findings))
    names = dict.fromkeys(series.instrument for series in asked)
    made = [result.calibrations[name] for name in names if name in result.calibrations]
    told = {"calibrations": [one.to_dict() for one in made], "findings": [f.to_dict() for f in findings]}
    report = partial(calibration_report, made, findings, formatter(job.system))
    showing.tell(report, lambda: {"format": 1, **told})
    return 0 if len(made) == len(names) else 1


def _calibrations(job: Job, instrument: str | None) -> list[Series]:
    """The calibration readings asked for. Raises NotPossible: there are none."""
    from ccassist.bench.steps import STEPS
    from ccassist.vocabulary.names import words

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


def compare(
    file: Path,
    showing: Showing,
    *,
    of: str | None = None,
    cylinders: str | None = None,
    parts: str | None = None,
    states: str | None = None,
    part: str | None = None,
    largest: bool = False,
) -> int:
    """Print the differences asked for, all pairs with ``everything``; 0 whatever they show."""
    from ccassist.cli.app import whole
    from ccassist.report.compare import compared, comparison_report
    from ccassist.values.asking import named

    survey, fmt = showing.of(file)
    found = compared(
        survey,
        named(of, "--of").term.key if of is not None else None,
        cylinders=[whole(text, "--cylinders") for text in _listed(cylinders)],
        parts=_listed(parts),
        states=_listed(states),
        part=part,
        largest=largest,
        every=showing.everything,
    )
    all_of_it = replace(showing, everything=True)
    report = comparison_report(found, survey, fmt)
    all_of_it.tell(lambda: report, lambda: found.to_dict(fmt.system))
    showing.print(report, survey, fmt)
    return 0


def _listed(text: str | None) -> list[str]:
    return [] if text is None else [part.strip() for part in text.split(",")]


def solve(
    file: Path, showing: Showing, *, unknowns: Sequence[str], targets: Sequence[str], cylinder: int | None = None
) -> int:
    """Print the answer of every cylinder; 1 where it is not possible in any."""
    from ccassist.solve.request import wished

    survey, fmt = showing.of(file)
    wish = wished(unknowns, targets, fmt.system)
    from ccassist.report.solve import solution_report, solved_for  # once the wish is sound

    found = solved_for(survey, wish, cylinder=cylinder, fmt=fmt)
    report = solution_report(found, survey, fmt)
    showing.tell(lambda: report, found.to_dict)
    showing.print(report, survey, fmt)
    return 0 if found.possible else 1


def worksheet(file: Path | None, showing: Showing, *, unknowns: Sequence[str] = (), targets: Sequence[str] = ()) -> int:
    """Write the worksheet of a job, or all that stands behind it too; with unknowns and targets, their algebra."""
    if file is None:
        right = "ccassist worksheet FILE; for blank forms: ccassist worksheet --blank"
        raise InputError(error("missing-value", "no job file is named", right=right))
    path = showing.out or file.with_suffix(".pdf")
    showing = replace(showing, out=path)
    survey, fmt = showing.of(file)
    algebra = _algebra(survey, unknowns, targets, fmt)
    from ccassist.paper.documents import write_worksheet

    whole = showing.everything
    pages = write_worksheet(survey, path, page=showing.page, system=fmt.system, algebra=algebra, everything=whole)
    showing.wrote(pages)
    if not whole:
        say("--all adds sums, readings, budget and cautions in full.")
    return 0


def _algebra(survey: Survey, unknowns: Sequence[str], targets: Sequence[str], fmt: Formatter) -> list[str]:
    if not unknowns and not targets:
        return []
    if not unknowns or not targets:
        raise InputError(
            error("half-a-question", "--for and --to go together", right="--for crown_volume --to static_ratio=9")
        )
    from ccassist.report.solve import lines_of, solved_for
    from ccassist.solve.request import wished

    return lines_of(solved_for(survey, wished(unknowns, targets, fmt.system), fmt=fmt), fmt)


def blank_forms(file: Path | None, showing: Showing, steps: Sequence[str] = ()) -> int:
    """Write the forms: for a job, with its name and its cylinders; else for eight cylinders."""
    from ccassist.bench.forms import FORMS
    from ccassist.bench.steps import STEPS
    from ccassist.job.disk import check_output, write_bytes
    from ccassist.job.file import load_sound
    from ccassist.job.filled_form import STATED_FORMS
    from ccassist.job.readings import unknown_step
    from ccassist.paper.blank import blank_bytes, forms_named, stated_named
    from ccassist.paper.blank_boxes import Print

    known = (*STEPS, *FORMS, *STATED_FORMS)
    for step in steps:
        if step not in known:
            raise InputError(unknown_step(step, known).at(place="--step"))
    what = Print(page=showing.page, system=showing.system or "metric")
    if file is not None:
        job = load_sound(file).job
        what = replace(what, system=showing.system or job.system, cylinders=job.cylinders, job=job.name)
    path = showing.out or (file.with_name(f"{file.stem}-forms.pdf") if file else Path("bench-forms.pdf"))
    check_output(path, "--out", file, force=showing.force)
    data, pages = blank_bytes(forms_named(steps), what, stated=stated_named(steps), total=not steps)
    write_bytes(path, data)
    replace(showing, out=path).wrote(pages, f", {what.system}")
    return 0
