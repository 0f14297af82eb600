"""``ccassist tolerance``: the band to expect from what the maker holds, or what to ask of the maker for a band."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from ccassist.analysis.results import survey_of
from ccassist.cli.screen import say_json, show_report
from ccassist.plan.tolerance import ToleranceAsked, wished
from ccassist.report.data import to_json
from ccassist.report.tolerance import told_of, tolerance_report, tolerances_of
from ccassist.solve.request import read_pair
from ccassist.values.asking import named
from ccassist.values.display import Formatter, formatter
from ccassist.values.findings import InputError, error
from ccassist.vocabulary.record import record


@record
class Texts:
    """What is asked on the command line."""

    of: str | None
    holds: Sequence[str]
    band: str | None


def run(
    file: Path,
    asked: Texts,
    *,
    cylinder: int | None,
    system: str | None,
    as_json: bool,
    everything: bool = False,
) -> int:
    """Print the band to expect, or the tolerance to ask for; 1 where nothing can be asked for."""
    survey = survey_of(file)
    fmt = formatter(system or survey.job.system)
    found, noted = tolerances_of(survey, _meant(asked, fmt), cylinder=cylinder, fmt=fmt)
    if as_json:
        say_json(to_json(told_of(found, noted), fmt))
    else:
        show_report(tolerance_report(found, noted, survey, fmt), everything=everything)
    return 0 if found.possible else 1


def _meant(asked: Texts, fmt: Formatter) -> ToleranceAsked:
    """What is asked on the command line.

    Raises
    ------
    InputError : it is not one term whose band is asked about, or as :func:`ccassist.plan.tolerance.wished`.
    """
    aim = read_pair(asked.band, "--band") if asked.band is not None else None
    target = named(asked.of, "--of").term if asked.of is not None else aim.term if aim is not None else None
    if target is None or (aim is not None and aim.key != target.key):
        right = "--of static_ratio, or --band 'static_ratio=9.5 to 9.7'"
        raise InputError(error("no-target", "say of which one term the band is", right=right))
    return wished(target.key, asked.holds, None if aim is None else aim.value, fmt)
