"""``ccassist boost``: static, dynamic and boosted, against the baseline; levers; what must change for a target."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path

from ccassist.cli.screen import Showing
from ccassist.plan.boost.solve import boosted_for, levers_of
from ccassist.plan.boost.story import BoostStory, boost_story
from ccassist.report.blocks import Report
from ccassist.report.boost import boost_report
from ccassist.report.boost_support import curve_blocks
from ccassist.report.boost_told import boost_of
from ccassist.report.levers import lever_report, levers_told, target_report, target_told
from ccassist.solve.request import wished
from ccassist.values.display import Formatter
from ccassist.values.findings import InputError, errors

_OWN = ("cam.",)  # contradictions of the cam card are shown with the figures, not instead of them


def run(file: Path, showing: Showing, *, with_curve: bool = False, on_screen: bool = True) -> int:
    """Print what boost makes of a job, on pages too where asked; 1 where statements of the cam contradict."""
    survey, fmt = showing.of(file)
    story = boost_story(survey, system=fmt.system)
    faults = [f for f in errors(story.findings) if not f.place.startswith(_OWN)]
    if faults:
        raise InputError(faults)
    if on_screen:
        report = partial(_report, story, fmt, everything=showing.everything, with_curve=with_curve)
        whole = replace(showing, everything=showing.everything or with_curve)
        whole.tell(report, lambda: boost_of(story, fmt).to_dict(fmt.system))
    if showing.out is not None:
        from ccassist.paper.documents import write_boost

        showing.wrote(write_boost(survey, showing.out, page=showing.page, system=fmt.system))
    return 1 if errors(story.findings) else 0


def _report(story: BoostStory, fmt: Formatter, *, everything: bool, with_curve: bool) -> Report:
    report = boost_report(story, boost_of(story, fmt), fmt, everything=everything)
    return replace(report, support=tuple(curve_blocks(story, fmt))) if with_curve and not everything else report


def run_levers(file: Path, showing: Showing) -> int:
    """Print what each lever does to the cylinder whose ratio may be the highest, on pages too where asked."""
    survey, fmt = showing.of(file)
    made = levers_of(survey, fmt.system)
    told = levers_told(made, fmt)
    report = lever_report(made, told, fmt)
    showing.tell(lambda: report, lambda: told.to_dict(fmt.system))
    showing.print(report, survey, fmt)
    return 0


def run_target(file: Path, unknowns: Sequence[str], targets: Sequence[str], showing: Showing) -> int:
    """Print the answer of every cylinder, on pages too where asked; 1 where it is not possible in any."""
    survey, fmt = showing.of(file)
    made = boosted_for(survey, wished(unknowns, targets, fmt.system), fmt)
    told = target_told(made, fmt)
    report = target_report(made, told, fmt)
    showing.tell(lambda: report, lambda: told.to_dict(fmt.system))
    showing.print(report, survey, fmt)
    return 0 if made.possible else 1
