"""``ccassist worksheet --blank``: forms for the bench, to print or to fill on a tablet."""

from __future__ import annotations

from pathlib import Path

from ccassist.bench.forms import FORMS
from ccassist.bench.steps import STEPS
from ccassist.cli.screen import say
from ccassist.job.disk import write_bytes
from ccassist.job.file import load_sound
from ccassist.job.outputs import check_output
from ccassist.values.findings import InputError, clean, error
from ccassist.vocabulary import nearest


def run(
    file: Path | None, *, out: Path | None, page: str, system: str | None, steps: list[str], force: bool = False
) -> int:
    """Write the forms: for a job, with its name and its cylinders; else for eight cylinders."""
    from ccassist.paper.forms.blank import Print, blank_bytes, forms_named

    known = (*STEPS, *FORMS)
    for step in steps:
        if step not in known:
            near = nearest(step, known)
            right = f'did you mean "{near}"?' if near else "steps: " + ", ".join(STEPS)
            raise InputError(error("unknown-step", "no such bench step", read=step, right=right, place="--step"))
    what = Print(page=page, system=system or "metric")
    if file is not None:
        job = load_sound(file).job
        what = Print(page=page, system=system or job.system, cylinders=job.cylinders, job=job.name)
    path = out or (file.with_name(f"{file.stem}-forms.pdf") if file else Path("bench-forms.pdf"))
    check_output(path, "--out", file, force=force)
    data, pages = blank_bytes(forms_named(steps), what, total=not steps)
    write_bytes(path, data)
    say(f"Wrote {clean(str(path), 300)}, {pages} page{'s' if pages != 1 else ''} {page}, {what.system}.")
    return 0
