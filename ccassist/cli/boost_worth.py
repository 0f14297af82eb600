"""The table of what a boosted ratio is worth without boost, each line named by what it holds equal."""

from __future__ import annotations

from ccassist.boost.equivalents import KNOCK, Convention
from ccassist.cli.screen import say, table, wrapped
from ccassist.plan.boost import words
from ccassist.plan.boost.lines import equivalent_lines, natural_line
from ccassist.plan.boost.story import BoostStory


def print_worth(story: BoostStory, system: str) -> None:
    """Every cylinder first, then the one with the highest ratio beside the baseline."""
    able = [one for one in story.cylinders if one.build is not None and one.build.equivalents]
    if not able:
        return
    say()
    say("Static ratio that an unboosted engine would need for the same …")
    rows = []
    for one in able:
        assert one.build is not None
        rows.append([str(one.number), *(words.figure_text(line, system) for line in equivalent_lines(one.build, None))])
    table(["cyl", "density", "end pressure", "end temperature", "(square root)"], rows)
    wrapped(words.unboosted_text(system), first="  ", rest="    ")
    _print_beside(story, system)


def _print_beside(story: BoostStory, system: str) -> None:
    """One line a convention: this engine, the baseline, the difference; then what it means."""
    worst = story.worst_one
    if worst is None or worst.build is None:
        return
    say()
    against = words.baseline_text(story, system)
    wrapped(f"Cylinder {worst.number}" + (" beside the baseline:" if against else "; there is no baseline beside it:"))
    if against:
        wrapped(against, first="  ", rest="      ")
    for line in equivalent_lines(worst.build, story.baseline):
        baseline = words.baseline_figure(story, line.convention, system)
        _print_line(line.convention, words.figure_text(line, system), baseline, words.harder_text(line.harder))
    natural = None if story.knock is None else natural_line(story.knock)
    if natural is not None:
        _print_line(KNOCK, words.natural_text(natural), "", words.naturally_harder(natural))


def _print_line(convention: Convention, figure: str, baseline: str, harder: str) -> None:
    parts = [figure, f"baseline {baseline}" if baseline else "", harder]
    wrapped(f"{convention.name}: {'; '.join(part for part in parts if part)}", first="  ", rest="      ")
    source = "" if convention.source == "definition" else f" ({convention.source})"
    wrapped(f"means: {convention.meaning}{source}", first="      ", rest="        ")
    wrapped(f"misleads: {convention.misleads}", first="      ", rest="        ")
