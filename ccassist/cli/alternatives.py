"""``ccassist alternatives``: whole builds side by side."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from ccassist.analysis.results import survey_of
from ccassist.cli.screen import say, say_json, show_report
from ccassist.job.disk import check_output
from ccassist.plan.alternatives import builds_of, evaluated, in_order, with_octane
from ccassist.report.alternatives import alternatives_of, alternatives_report
from ccassist.report.data import to_json
from ccassist.values.asking import named
from ccassist.values.display import formatter
from ccassist.values.findings import clean


def run(
    file: Path,
    names: Sequence[str],
    *,
    by: str | None,
    pdf: Path | None,
    page: str,
    force: bool,
    system: str | None,
    as_json: bool,
    everything: bool,
) -> int:
    """Print the builds; 1 where none of them can be."""
    if pdf:
        check_output(pdf, "--pdf", file, force=force, head=None)
    survey = survey_of(file)
    fmt = formatter(system or survey.job.system)
    found = with_octane(survey, [evaluated(survey, build) for build in builds_of(survey, names)])
    told = alternatives_of(in_order(found, named(by, "--by").term.key) if by else found, fmt)
    report, pages = alternatives_report(told, survey, fmt), 0
    if pdf:
        from ccassist.paper.reports import write_report

        pages = write_report(report, survey, pdf, page=page, fmt=fmt)
    if as_json:
        say_json(to_json(told, fmt))
        return 0 if any(one.fits for one in told.builds) else 1
    show_report(report, everything=everything, kept=1 if pdf else 0)
    if pdf:
        say(f"Wrote {clean(str(pdf), 300)}, {pages} page{'s' if pages > 1 else ''} {page}.")
    return 0 if any(one.fits for one in told.builds) else 1
