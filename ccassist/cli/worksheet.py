"""``ccassist worksheet``: the filled worksheet as a PDF."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from ccassist.analysis.results import Survey
from ccassist.bench.forms import FORMS
from ccassist.bench.steps import STEPS
from ccassist.cli.screen import Showing, say
from ccassist.job.disk import check_output, write_bytes
from ccassist.job.file import load_sound
from ccassist.job.filled_form import STATED_FORMS
from ccassist.job.readings import unknown_step
from ccassist.values.display import Formatter
from ccassist.values.findings import InputError, error


def run(file: Path | None, showing: Showing, *, unknowns: Sequence[str] = (), targets: Sequence[str] = ()) -> int:
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


# ``ccassist worksheet --blank``: forms for the bench, to print or to fill on a tablet.


def blank_forms(file: Path | None, showing: Showing, steps: Sequence[str] = ()) -> int:
    """Write the forms: for a job, with its name and its cylinders; else for eight cylinders."""
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
