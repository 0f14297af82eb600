"""Knock on the screen: an octane difference from the baseline with what makes its interval, or why there is none."""

from __future__ import annotations

import math

from ccassist.boost.knock_draws import COMMON, OWN
from ccassist.cli.screen import list_findings, say, wrapped
from ccassist.display import show, show_value
from ccassist.findings import clean
from ccassist.plan.boost_knock import Knock
from ccassist.plan.boost_story import BoostStory


def print_knock(story: BoostStory) -> None:
    """The comparison with the baseline."""
    knock = story.knock
    say()
    say("Knock, as a comparison with the baseline only")
    if knock is None:
        wrapped("not compared: the trapped ratio is not known", first="  ")
        return
    if knock.difference is None:
        for finding in knock.refused:
            wrapped(f"not compared: {finding.text()}", first="  ", rest="    ")
        return
    wrapped(_against(story), first="  ", rest="    ")
    wrapped(_difference(knock), first="  ", rest="    ")
    wrapped(
        f"what makes it: unknowns that both share ± {knock.shared:.1f}, what may differ between them unsaid ± "
        f"{knock.unshared:.1f}, what was measured or stated ± {_known(knock.measured)} (each with 95 %)",
        first="  ",
        rest="    ",
    )
    wrapped(f"drawn: {_drawn()}", first="  ", rest="    ")
    wrapped(
        f"of the draws, {100 * knock.difference.harder:.0f} in 100 ask more of the fuel than the baseline does",
        first="  ",
        rest="    ",
    )
    list_findings(knock.findings)


def _drawn() -> str:
    """What the draws assume, from their own record."""
    both, own = COMMON, OWN
    shared = (
        f"end of burn ± {_percent(both.burned_at_end)}, burn duration ± {_degrees(both.burn_duration)}",
        f"phasing ± {_degrees(both.burn_centre)}, heating ± {both.heating:.0f} K, residual ± {_percent(both.residual)}",
        f"heat freed ± {_percent(both.heat_release)}, heat loss × or ÷ {both.heat_loss:g}",
        f"filling ± {_percent(both.filling)}",
        f"delay formula ± {both.pressure_exponent:g} of its pressure power and ± {both.activation:.0f} K",
    )
    apart = (
        f"cooler {own.cooler:g}, filling {_percent(own.filling)}, charge {own.temperature:.0f} K",
        f"phasing {_degrees(own.burn_centre)}, burn duration {_degrees(own.burn_duration)}",
    )
    return f"shared, within {', '.join(shared)}; apart, standard deviations {', '.join(apart)}; all of these assumed"


def _percent(share: float) -> str:
    return f"{100 * share:.0f} %"


def _degrees(angle: float) -> str:
    return show("burn_duration", angle, decimals=0)


def _against(story: BoostStory) -> str:
    """What is compared with what."""
    base = story.baseline_running
    assert base is not None
    run = base.run
    called = clean(base.said.get("called", "the baseline"), 100)
    ratio = show_value(base.stated["static_ratio"])
    conditions = ", ".join(show_value(run[key]) for key in ("engine_speed", "burn_phasing"))
    octane = f"{run['octane_number'].nominal:g} octane"
    return (
        f"cylinder {story.worst} against {called}: static ratio {ratio}, {conditions}, {octane}, vouched for as clean"
    )


def _difference(knock: Knock) -> str:
    """The headline in words."""
    assert knock.difference is not None
    octane = knock.difference.octane
    word = "more" if octane >= 0 else "less"
    ends = " to ".join(_signed(end) for end in (knock.low, knock.high))
    return f"asks {abs(octane):.1f} octane {word} of the fuel than the baseline; with 95 %: {ends}"


def _signed(octane: float) -> str:
    return f"{abs(octane):.1f} {'more' if octane >= 0 else 'less'}"


def _known(number: float) -> str:
    return "not known yet" if math.isnan(number) else f"{number:.1f}"
