"""``ccassist compare``: are these two the same?"""

from __future__ import annotations

from pathlib import Path

from ccassist.analysis.results import Survey, survey_of
from ccassist.cli.screen import say_json, show_report
from ccassist.cli.shell import whole
from ccassist.report.compare import Contrasts, compared, comparison_report
from ccassist.values.asking import named
from ccassist.values.display import formatter
from ccassist.vocabulary.record import record


@record
class CompareAsked:
    """What was asked on the command line, as text."""

    of: str | None = None
    cylinders: str | None = None
    parts: str | None = None
    states: str | None = None
    part: str | None = None
    largest: bool = False
    everything: bool = False


def run(file: Path, asked: CompareAsked, *, system: str | None, as_json: bool) -> int:
    """Print the differences asked for; 0 whatever they show."""
    survey = survey_of(file)
    fmt = formatter(system or survey.job.system)
    found = _compared(survey, asked)
    if as_json:
        say_json(found.to_dict(fmt.system))
    else:
        show_report(comparison_report(found, survey, fmt), everything=True)
    return 0


def _compared(survey: Survey, asked: CompareAsked) -> Contrasts:
    """What the texts ask for."""
    return compared(
        survey,
        named(asked.of, "--of").term.key if asked.of is not None else None,
        cylinders=[whole(text, "--cylinders") for text in _listed(asked.cylinders)],
        parts=_listed(asked.parts),
        states=_listed(asked.states),
        part=asked.part,
        largest=asked.largest,
        every=asked.everything,
    )


def _listed(text: str | None) -> list[str]:
    return [] if text is None else [part.strip() for part in text.split(",")]
