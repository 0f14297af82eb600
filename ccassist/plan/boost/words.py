"""What is said of a boosted engine, on the screen and on paper alike; numbers in the units asked for."""

from __future__ import annotations

import math

from ccassist.boost.conditions import REFERENCE_PRESSURE
from ccassist.boost.equivalents import HARDEST_RUN, Convention
from ccassist.boost.gas import DRY
from ccassist.boost.knock_draws import COMMON, OWN
from ccassist.plan.boost.into_file import taken_text
from ccassist.plan.boost.knock import Knock
from ccassist.plan.boost.lines import Drawn, Line, NaturalLine, equivalent_lines
from ccassist.plan.boost.story import BoostStory
from ccassist.values.display import fixed, show, show_number, show_value, two_figures
from ccassist.values.findings import clean
from ccassist.values.measured import Value
from ccassist.vocabulary import Kind, term

PLANNING = "Static, trapped and boosted: planning figures, each named by its meaning."
NO_CHARGE = (
    "No [charge] is given, so this is the story without boost: add one with boost_gauge, or with manifold_pressure if "
    "it is absolute."
)
SHORT = {"static_ratio": "static ratio", "end_pressure": "end pressure", "end_temperature": "end temperature"}
ABOVE = f"above {HARDEST_RUN:.0f}"
AS_READ = "all figures under boost hold for the closing as read, not over the phasing"
NOT_COMPARED = "not compared: the trapped ratio is not known"


def stated_text(value: Value, system: str) -> str:
    """As printed; an exact pure number as short as it is."""
    exact = term(value.key).kind is Kind.RATIO and value.expanded == 0
    return f"{value.nominal:g}" if exact else show_value(value, system=system)


def how_text(value: Value) -> str:
    """How a value was found, without its origin."""
    how = value.how.removeprefix(f"stated, {value.origin}")
    return "" if how == value.origin else clean(how, 120)


def closing_text(story: BoostStory, system: str) -> str:
    """Intake closing with the lift at which it was read; "" where it is not known."""
    closing = story.card.intake_closing
    return "" if closing is None else f"intake closing {show_value(closing, system=system)}, {story.lift_basis}"


def reference_text(system: str) -> str:
    """The pressure that the pressure ratio counts from."""
    return show("barometer", REFERENCE_PRESSURE, system=system, decimals=3)


def gas_text(story: BoostStory) -> str:
    """The charge in words."""
    conditions = story.conditions
    assert conditions is not None
    if conditions.fuel == DRY:
        return "dry air with residual gas"
    strength = show_number("mixture_strength", conditions["mixture_strength"])
    return f"air, {conditions.fuel} vapour and residual gas at lambda {strength}"


# -- what a ratio is worth without boost ---------------------------------------------------


def unboosted_text(system: str) -> str:
    """The engine that an equivalent is the ratio of."""
    return (
        f"Unboosted: same crank, closing, air and fuel, no compressor, "
        f"{show('barometer', REFERENCE_PRESSURE, system=system)} in the manifold. {ABOVE.capitalize()}:1 there is no "
        "such engine to compare with."
    )


def baseline_text(story: BoostStory, system: str) -> str:
    """What the baseline is; "" without one that can be used."""
    running, build = story.baseline_running, story.baseline
    if running is None or build is None:
        return ""
    stated = ", ".join(f"{term(key).name} {stated_text(value, system)}" for key, value in running.stated.items())
    trapped = show_value(build.values["trapped_ratio"], system=system)
    called = clean(running.said.get("called", "as stated"), 100)
    runs = clean(running.said.get("runs", ""), 60)
    return f"the baseline, {called}: {stated}; trapped ratio {trapped}; runs {runs}; {taken_text(story, system)}"


def figure_text(line: Line, system: str) -> str:
    """The ratio, or that it is no ratio to build."""
    if line.figure is not None:
        return show_value(line.figure, system=system)
    return ABOVE if line.beyond else "none"


def baseline_figure(story: BoostStory, convention: Convention, system: str) -> str:
    """The same of the baseline; "" without one."""
    if story.baseline is None:
        return ""
    lines = equivalent_lines(story.baseline, None)
    return next(figure_text(line, system) for line in lines if line.convention is convention)


def harder_text(harder: Value | None) -> str:
    """By how many ratios it is harder than the baseline; "" without one."""
    return "" if harder is None else "{} than the baseline by {} in ratio".format(*_harder(harder))


def harder_by(harder: Value | None) -> str:
    """The same in short, for a place that names the baseline."""
    return "" if harder is None else "{} by {}".format(*_harder(harder))


def _harder(harder: Value) -> tuple[str, str]:
    more = harder.nominal >= 0
    return "harder" if more else "easier", show_number(harder.key, harder.number if more else -harder.number)


def natural_text(line: NaturalLine) -> str:
    """The ratio of equal knock integral, or that it is no ratio to build."""
    return ABOVE if line.figure is None else _drawn(line.figure)


def naturally_harder(line: NaturalLine) -> str:
    """By how many ratios it is harder than the baseline; "" without one."""
    if line.harder is None:
        return ""
    one = line.harder
    if one.value >= 0:
        return f"harder than the baseline by {_drawn(one)} in ratio"
    turned = Drawn(value=-one.value, low=-one.high, high=-one.low)
    return f"easier than the baseline by {_drawn(turned)} in ratio"


def _drawn(found: Drawn) -> str:
    ends = (f"{end:.1f}".replace("-", "−") for end in (found.value, found.low, found.high))
    return "{} ({} to {} by the shared unknowns)".format(*ends)


# -- knock -----------------------------------------------------------------------------------


def against_text(story: BoostStory) -> str:
    """What is compared with what."""
    base = story.baseline_running
    assert base is not None
    called = clean(base.said.get("called", "the baseline"), 100)
    ratio = show_value(base.stated["static_ratio"])
    run = ", ".join(show_value(base.run[key]) for key in ("engine_speed", "burn_phasing"))
    octane = f"{base.run['octane_number'].nominal:g} octane"
    return f"cylinder {story.worst} against {called}: static ratio {ratio}, {run}, {octane}, vouched for as clean"


def difference_text(knock: Knock) -> str:
    """The octane difference with its interval."""
    assert knock.difference is not None
    octane = knock.difference.octane
    ends = " to ".join(octane_text(end) for end in (knock.low, knock.high))
    said = f"asks {abs(octane):.1f} octane {_way(octane)} of the fuel than the baseline"
    return f"{said}; by what is assumed, 95 in 100: {ends}"


def octane_text(octane: float) -> str:
    """One octane difference, its way in words."""
    return f"{abs(octane):.1f} {_way(octane)}"


def made_of(knock: Knock) -> dict[str, float]:
    """What makes the interval, half-widths at 95 %."""
    return {
        "unknowns that both share": knock.shared,
        "what may differ between them unsaid": knock.unshared,
        "what was measured or stated": knock.measured,
    }


def made_text(knock: Knock) -> str:
    """The same in a line."""
    parts = ", ".join(f"{what} ± {half_width_text(half)}" for what, half in made_of(knock).items())
    return f"what makes it: {parts} (each for 95 in 100)"


def half_width_text(half: float) -> str:
    """A half-width in octane."""
    return "not known yet" if math.isnan(half) else fixed(half, min(1, two_figures(half))) if half > 0 else "0.0"


def share_text(knock: Knock) -> str:
    """In how many draws it is harder."""
    assert knock.difference is not None
    return f"of the draws, {100 * knock.difference.harder:.0f} in 100 ask more of the fuel than the baseline does"


def drawn_text() -> str:
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


def _way(octane: float) -> str:
    return "more" if octane >= 0 else "less"


def _percent(share: float) -> str:
    return f"{100 * share:.0f} %"


def _degrees(angle: float) -> str:
    return show("burn_duration", angle, decimals=0)
