"""The table of what a boosted ratio is worth without boost, each line named by what it holds equal."""

from __future__ import annotations

from ccassist.boost.equivalents import HARDEST_RUN, KNOCK, Convention
from ccassist.cli.boost_text import stated_text
from ccassist.cli.screen import say, table, wrapped
from ccassist.display import show, show_number, show_value
from ccassist.findings import clean
from ccassist.measured import Value
from ccassist.plan.boost_lines import Drawn, Line, NaturalLine, equivalent_lines, natural_line
from ccassist.plan.boost_stated import Running
from ccassist.plan.boost_story import BoostStory, Build
from ccassist.terms import term

_ABOVE = f"above {HARDEST_RUN:.0f}"


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
        rows.append([str(one.number), *(_figure(line, system) for line in equivalent_lines(one.build, None))])
    table(["cyl", "density", "end pressure", "end temperature", "(square root)"], rows)
    wrapped(
        f"Unboosted: same crank, closing, air and fuel, no compressor, {show('barometer', 101325.0, system=system)} in "
        f"the manifold. {_ABOVE.capitalize()}:1 there is no such engine to compare with.",
        first="  ",
        rest="    ",
    )
    _print_beside(story, system)


def _print_beside(story: BoostStory, system: str) -> None:
    """One line a convention: this engine, the baseline, the difference; then what it means."""
    worst = story.worst_one
    if worst is None or worst.build is None:
        return
    say()
    against = story.baseline is not None
    wrapped(f"Cylinder {worst.number}" + (" beside the baseline:" if against else "; there is no baseline beside it:"))
    if story.baseline_running is not None and story.baseline is not None:
        _print_baseline(story.baseline_running, story.baseline, system)
    for line in equivalent_lines(worst.build, story.baseline):
        _print_line(line.convention, _figure(line, system), _base(story, line.convention, system), _harder(line.harder))
    natural = None if story.knock is None else natural_line(story.knock)
    if natural is not None:
        _print_line(KNOCK, _natural(natural), "", _plainly(natural))


def _print_baseline(running: Running, build: Build, system: str) -> None:
    """What the baseline is."""
    stated = ", ".join(f"{term(key).name} {stated_text(value, system)}" for key, value in running.stated.items())
    trapped = show_value(build.values["trapped_ratio"], system=system)
    called = clean(running.said.get("called", "as stated"), 100)
    runs = clean(running.said.get("runs", ""), 60)
    wrapped(
        f"the baseline, {called}: {stated}; trapped ratio {trapped}; runs {runs}; all else as in this engine",
        first="  ",
        rest="      ",
    )


def _print_line(convention: Convention, figure: str, baseline: str, harder: str) -> None:
    parts = [figure, f"baseline {baseline}" if baseline else "", harder]
    wrapped(f"{convention.name}: {'; '.join(part for part in parts if part)}", first="  ", rest="      ")
    source = "" if convention.source == "definition" else f" ({convention.source})"
    wrapped(f"means: {convention.meaning}{source}", first="      ", rest="        ")
    wrapped(f"misleads: {convention.misleads}", first="      ", rest="        ")


def _figure(line: Line, system: str) -> str:
    if line.figure is not None:
        return show_value(line.figure, system=system)
    return _ABOVE if line.beyond else "none"


def _base(story: BoostStory, convention: Convention, system: str) -> str:
    if story.baseline is None:
        return ""
    lines = equivalent_lines(story.baseline, None)
    return next(_figure(line, system) for line in lines if line.convention is convention)


def _harder(harder: Value | None) -> str:
    if harder is None:
        return ""
    more = harder.nominal >= 0
    shown = show_number(harder.key, harder.number if more else -harder.number)
    return f"{'harder' if more else 'easier'} than the baseline by {shown} in ratio"


def _natural(line: NaturalLine) -> str:
    return _ABOVE if line.figure is None else _drawn(line.figure)


def _drawn(found: Drawn) -> str:
    ends = (f"{end:.1f}".replace("-", "−") for end in (found.value, found.low, found.high))
    return "{} ({} to {} by the shared unknowns)".format(*ends)


def _plainly(line: NaturalLine) -> str:
    if line.harder is None:
        return ""
    one = line.harder
    if one.value >= 0:
        return f"harder than the baseline by {_drawn(one)} in ratio"
    turned = Drawn(value=-one.value, low=-one.high, high=-one.low)
    return f"easier than the baseline by {_drawn(turned)} in ratio"
