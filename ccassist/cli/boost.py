"""``ccassist boost``: static, dynamic and boosted, against the baseline; levers; what must change for a target."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from ccassist.analysis.results import Survey, survey_of
from ccassist.cli.screen import say, say_json, show_report
from ccassist.job.disk import check_output
from ccassist.plan.boost.solve import boosted_for, levers_of
from ccassist.plan.boost.story import boost_story
from ccassist.report.blocks import Report
from ccassist.report.boost import boost_report
from ccassist.report.boost_support import curve_blocks
from ccassist.report.boost_told import boost_of
from ccassist.report.levers import Levers, Target, lever_report, levers_told, target_report, target_told
from ccassist.solve.request import wished
from ccassist.values.display import Formatter, formatter
from ccassist.values.findings import InputError, clean, errors
from ccassist.vocabulary.record import record

_OWN = ("cam.",)  # contradictions of the cam card are shown with the figures, not instead of them


@record
class Asked:
    """How it is to be shown: units, plain data, all of it; on which pages, if any."""

    system: str | None = None
    as_json: bool = False
    everything: bool = False
    out: Path | None = None
    page: str = "A4"
    force: bool = False

    def of(self, file: Path) -> tuple[Survey, Formatter]:
        """The job's survey and the formatter, the pages' file looked at first."""
        if self.out is not None:
            check_output(self.out, "--out", file, force=self.force)
        survey = survey_of(file)
        return survey, formatter(self.system or survey.job.system)

    def wrote(self, pages: int) -> None:
        """Say what was written; beside plain data not on the same stream."""
        name = clean(str(self.out), 300)
        say(f"Wrote {name}, {pages} page{'s' if pages > 1 else ''} {self.page}.", error=self.as_json)


def run(file: Path, asked: Asked, *, with_curve: bool = False, on_screen: bool = True) -> int:
    """Print what boost makes of a job, on pages too where asked; 1 where statements of the cam contradict."""
    survey, fmt = asked.of(file)
    story = boost_story(survey, system=fmt.system)
    faults = [f for f in errors(story.findings) if not f.place.startswith(_OWN)]
    if faults:
        raise InputError(faults)
    if asked.as_json:
        say_json(boost_of(story, fmt).to_dict(fmt.system))
    elif on_screen:
        report = boost_report(story, boost_of(story, fmt), fmt, everything=asked.everything)
        if with_curve and not asked.everything:
            report = replace(report, support=tuple(curve_blocks(story, fmt)))
        show_report(report, everything=asked.everything or with_curve)
    if asked.out is not None:
        from ccassist.paper.boost_pages import write_boost

        asked.wrote(write_boost(survey, asked.out, page=asked.page, system=fmt.system))
    return 1 if errors(story.findings) else 0


def run_levers(file: Path, asked: Asked) -> int:
    """Print what each lever does to the cylinder whose ratio may be the highest, on pages too where asked."""
    survey, fmt = asked.of(file)
    made = levers_of(survey, fmt.system)
    told = levers_told(made, fmt)
    _show(lever_report(made, told, fmt), told, survey, fmt, asked)
    return 0


def run_target(file: Path, unknowns: Sequence[str], targets: Sequence[str], asked: Asked) -> int:
    """Print the answer of every cylinder, on pages too where asked; 1 where it is not possible in any."""
    survey, fmt = asked.of(file)
    made = boosted_for(survey, wished(unknowns, targets, fmt.system), fmt)
    told = target_told(made, fmt)
    _show(target_report(made, told, fmt), told, survey, fmt, asked)
    return 0 if made.possible else 1


def _show(report: Report, told: Levers | Target, survey: Survey, fmt: Formatter, asked: Asked) -> None:
    """Plain data or the screen; and the pages."""
    if asked.as_json:
        say_json(told.to_dict(fmt.system))
    else:
        show_report(report, everything=asked.everything)
    if asked.out is not None:
        from ccassist.paper.reports import write_report

        asked.wrote(write_report(report, survey, asked.out, page=asked.page, fmt=fmt))
