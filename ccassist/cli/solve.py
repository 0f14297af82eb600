"""``ccassist solve``: any value from any target that depends on it, or two from two."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from ccassist.analysis.results import survey_of
from ccassist.cli.screen import say_json, show_report
from ccassist.solve.request import wished
from ccassist.values.display import formatter


def run(
    file: Path,
    *,
    unknowns: Sequence[str],
    targets: Sequence[str],
    cylinder: int | None,
    system: str | None,
    as_json: bool,
    everything: bool = False,
) -> int:
    """Print the answer of every cylinder; 1 where it is not possible in any."""
    survey = survey_of(file)
    fmt = formatter(system or survey.job.system)
    wish = wished(unknowns, targets, fmt.system)
    from ccassist.report.solve import solution_report, solved_for  # once the wish is sound

    found = solved_for(survey, wish, cylinder=cylinder, fmt=fmt)
    if as_json:
        say_json(found.to_dict())
    else:
        show_report(solution_report(found, survey, fmt), everything=everything)
    return 0 if found.possible else 1
