"""What is said of a boosted engine, on the screen and on paper alike; numbers in the units asked for."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from ccassist.boost.conditions import REFERENCE_PRESSURE
from ccassist.boost.equivalents import HARDEST_RUN, Convention
from ccassist.boost.figures import OCTANE
from ccassist.boost.gas import DRY
from ccassist.boost.knock_compare import COMMON, OWN
from ccassist.boost.levers import SHOWN, Effect
from ccassist.boost.solve_boost import RATIO
from ccassist.plan.boost.build import Drawn, EquivalentLine, Knock, NaturalLine, equivalent_lines
from ccassist.plan.boost.solve import PARTS, Boosted, Levers, Solved, beyond
from ccassist.plan.boost.story import BoostStory, taken_from_engine
from ccassist.plan.solved.into_file import joined
from ccassist.solve.wish import Wish
from ccassist.values.display import METRIC, Formatter, fixed, two_figures
from ccassist.values.findings import clean
from ccassist.values.measured import Value
from ccassist.values.number import Number
from ccassist.vocabulary import Kind, term
from ccassist.vocabulary.enumerations import System
from ccassist.vocabulary.units import conversion

PLANNING = "Static, trapped and boosted: planning figures, each named by its meaning."
NO_CHARGE = (
    "No [charge] is given, so this is the story without boost: add one with boost_gauge, or with manifold_pressure if "
    "it is absolute."
)
SHORT = {"static_ratio": "static ratio", "end_pressure": "end pressure", "end_temperature": "end temperature"}
ABOVE = f"above {HARDEST_RUN:.0f}"
AS_READ = "all figures under boost hold for the closing as read, not over the phasing"
NOT_COMPARED = "not compared: the trapped ratio is not known"


def stated_text(value: Value, fmt: Formatter) -> str:
    """As printed; an exact pure number as short as it is."""
    exact = term(value.key).kind is Kind.RATIO and value.expanded == 0
    return f"{value.nominal:g}" if exact else fmt.value(value)


def how_text(value: Value) -> str:
    """How a value was found, without its origin."""
    how = value.how.removeprefix(f"stated, {value.origin}")
    return "" if how == value.origin else clean(how, 120)


def closing_text(story: BoostStory, fmt: Formatter) -> str:
    """Intake closing with the lift at which it was read; "" where it is not known."""
    closing = story.card.intake_closing
    return "" if closing is None else f"intake closing {fmt.value(closing)}, {story.lift_basis}"


def reference_text(fmt: Formatter) -> str:
    """The pressure that the pressure ratio counts from."""
    return fmt.show("barometer", REFERENCE_PRESSURE, decimals=3)


def gas_text(story: BoostStory) -> str:
    """The charge in words."""
    conditions = story.conditions
    assert conditions is not None
    if conditions.fuel == DRY:
        return "dry air with residual gas"
    strength = METRIC.number("mixture_strength", conditions["mixture_strength"])
    return f"air, {conditions.fuel} vapour and residual gas at lambda {strength}"


# -- what a ratio is worth without boost ---------------------------------------------------


def unboosted_text(fmt: Formatter) -> str:
    """The engine that an equivalent is the ratio of."""
    return (
        f"Unboosted: same crank, closing, air and fuel, no compressor, "
        f"{fmt.show('barometer', REFERENCE_PRESSURE)} in the manifold. {ABOVE.capitalize()}:1 there is no "
        "such engine to compare with."
    )


def baseline_text(story: BoostStory, fmt: Formatter) -> str:
    """What the baseline is; "" without one that can be used."""
    running, build = story.baseline_running, story.baseline
    if running is None or build is None:
        return ""
    stated = ", ".join(f"{term(key).name} {stated_text(value, fmt)}" for key, value in running.stated.items())
    trapped = fmt.value(build.values["trapped_ratio"])
    called = clean(running.said.get("called", "as stated"), 100)
    runs = clean(running.said.get("runs", ""), 60)
    return f"the baseline, {called}: {stated}; trapped ratio {trapped}; runs {runs}; {taken_text(story, fmt)}"


def taken_text(story: BoostStory, fmt: Formatter) -> str:
    """What the baseline takes from the engine, in words."""
    said = [f"{term(one.key).name} {fmt.show(one.key, one.nominal)}" for one in taken_from_engine(story)]
    taken = ", ".join([*said, "crank, bore and all that is assumed"])
    return f"not stated under [baseline], so taken from this engine and changed with it: {taken}"


def figure_text(line: EquivalentLine, fmt: Formatter) -> str:
    """The ratio, or that it is no ratio to build."""
    if line.figure is not None:
        return fmt.value(line.figure)
    return ABOVE if line.beyond else "none"


def baseline_figure(story: BoostStory, convention: Convention, fmt: Formatter) -> str:
    """The same of the baseline; "" without one."""
    if story.baseline is None:
        return ""
    lines = equivalent_lines(story.baseline, None)
    return next(figure_text(line, fmt) for line in lines if line.convention is convention)


def harder_text(harder: Value | None) -> str:
    """By how many ratios it is harder than the baseline; "" without one."""
    return "" if harder is None else "{} than the baseline by {} in ratio".format(*_harder(harder))


def harder_by(harder: Value | None) -> str:
    """The same in short, for a place that names the baseline."""
    return "" if harder is None else "{} by {}".format(*_harder(harder))


def _harder(harder: Value) -> tuple[str, str]:
    more = harder.nominal >= 0
    return "harder" if more else "easier", METRIC.number(harder.key, harder.number if more else -harder.number)


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
    ratio = METRIC.value(base.stated["static_ratio"])
    run = ", ".join(METRIC.value(base.run[key]) for key in ("engine_speed", "burn_phasing"))
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
    return METRIC.show("burn_duration", angle, decimals=0)


# The answer to a boosted target in words, on the screen and on paper alike.


def told_of(made: Boosted) -> Solved | None:
    """The cylinder that is told in full: the one whose ratio may be the highest, where it has an answer."""
    solved = [one for one in made.cylinders if not one.reason]
    return next((one for one in solved if one.cylinder == made.story.worst), solved[0] if solved else None)


def refused_texts(made: Boosted) -> list[str]:
    """Why there is no answer, each reason once; by cylinder where another has one."""
    if not made.possible:
        return [f"Not possible: {clean(reason, 600)}." for reason in dict.fromkeys(o.reason for o in made.cylinders)]
    lacking = [one for one in made.cylinders if one.reason]
    return [f"Cylinder {one.cylinder}, not possible: {clean(one.reason, 600)}." for one in lacking]


def answer_lines(one: Solved, worked: Sequence[str], fmt: Formatter) -> list[str]:
    """How the answer is found, the answer, the check, and what comes with it; "" parts them.

    ``worked`` : the lines by which the parts come from the static ratio.
    """
    first = one.first
    assert first is not None
    said = [] if first.unknown != RATIO else [*_by_ratio(one, fmt), *(["", *worked, ""] if worked else [])]
    for place, number in enumerate(() if one.parts else first.numbers):
        answer = f"{term(first.unknown).name} {fmt.number(first.unknown, number)}"
        said.append(f"{'or' if place else 'Answer'}: {answer}")
    check = fmt.show(first.target, one.checks[0])
    said.append(f"Check: worked through the whole chain again, the {term(first.target).name} is {check}")
    for key, figure in first.figures.items():
        said.append(f"With it: {term(key).name} {answer_figure(key, figure, fmt)}")
    if first.reach is not None:
        ends = [
            f"{fmt.show(first.target, end)} ({fmt.show(first.unknown, at)})"
            for end, at in ((first.reach.low, first.reach.low_at), (first.reach.high, first.reach.high_at))
        ]
        said.append(f"Over every possible {term(first.unknown).name} it goes from {ends[0]} to {ends[1]}")
    return said


def _by_ratio(one: Solved, fmt: Formatter) -> list[str]:
    first = one.first
    assert first is not None
    target = fmt.show(first.target, first.value)
    return [
        f"The {term(first.target).name} comes to {target} at a static compression ratio of "
        f"{fmt.number(RATIO, first.number)}, found by trial through the whole chain."
    ]


def answer_figure(key: str, number: Number, fmt: Formatter) -> str:
    """A figure as shown; an equivalent above 14:1 is no ratio to build."""
    return "above 14:1" if beyond(key, number) else fmt.number(key, number)


def answer_row(one: Solved, wish: Wish, fmt: Formatter) -> list[str]:
    """One cylinder and its answers."""
    texts = [" or ".join(fmt.number(key, number) for number in one.numbers.get(key, ())) for key in wish.unknowns]
    return [str(one.cylinder), *(text or "not possible" for text in texts)]


def into_texts(made: Boosted, fmt: Formatter) -> list[str]:
    """What to do to the job file, in order; of what serves the whole engine that of the cylinder told in full."""
    solved = [one for one in made.cylinders if one.into is not None]
    first = told_of(made)
    if not solved or first is None or first.into is None:
        return []
    if len(solved) == 1 or set(made.wish.unknowns) <= set(PARTS):
        return joined(one.into for one in solved if one.into is not None).texts(fmt)
    return first.into.for_all_by(first.cylinder).texts(fmt)


def basis_text(made: Boosted) -> str:
    """The lift at which intake closing was read."""
    return f"Trapped ratio and intake closing hold {made.story.lift_basis}."


# What each lever does, in words and as rows, on the screen and on paper alike.

LEVER_SHORT = {
    "static_ratio": "static",
    "trapped_ratio": "trapped",
    "squish": "squish",
    "end_pressure": "end p",
    "end_temperature": "end t",
    "pressure_equivalent": "p-equiv",
    OCTANE: "octane",
}
_PLACES = {"mm": 2, "in": 4, "thou": 1, "bar": 2, "psi": 1, "K": 1, "°F": 1, "": 3}
_OCTANE = (
    "octane is what is added to the difference from the baseline; the difference itself goes with an interval of some "
    "octane, see ccassist boost without --levers."
)
ONE_FUEL = (
    "Engine and baseline are compared on one fuel, the baseline's: a better one is counted against the difference, and "
    "octane_number in the file is that of both."
)
_NO_OCTANE = "No octane is shown: there is no baseline, or the comparison with it is refused."


def lead_text(made: Levers) -> str:
    """Of what, and how worked out."""
    return (
        f"What one step of each lever does to cylinder {made.story.worst} as it is today, {made.story.lift_basis}; "
        "worked through the whole chain, all else as it is:"
    )


def lever_keys(made: Levers) -> list[str]:
    """The figures that there are."""
    return [key for key in SHOWN if any(key in effect.changes for effect in made.effects)]


def lever_rows(made: Levers, fmt: Formatter) -> list[list[str]]:
    """Every lever that can be moved, with the change of each figure."""
    keys = lever_keys(made)
    return [[effect.lever.name, *_cells(effect, keys, fmt)] for effect in made.effects if not effect.reason]


def lever_notes(made: Levers, fmt: Formatter) -> list[str]:
    """What stands below the table: of octane, and of what could not be worked out."""
    lacking = [f"{e.lever.name}: not worked out, {e.reason}." for e in made.effects if e.reason]
    octane = [_OCTANE, ONE_FUEL] if made.compared else [_NO_OCTANE]
    return [*octane, *held_texts(made, fmt), *lacking]


def held_texts(made: Levers, fmt: Formatter) -> list[str]:
    """What must be written out so that the baseline stays as it is while a step is put into the file."""
    if not made.held:
        return []
    lead = "The baseline is held as it is. Before a step is put into the file, write what it takes from this engine: "
    return [lead + "; ".join(replace(line, why="").text(fmt) for line in made.held) + "."]


def units_text(keys: Sequence[str], fmt: Formatter) -> str:
    """The units of the columns by their short names."""
    units = [f"{LEVER_SHORT[key]} {unit}" for key in keys if (unit := unit_of(key, fmt))]
    return f"In {', '.join(units)}; p-equiv is the end-pressure equivalent."


def price_text(effect: Effect) -> str:
    """What a lever costs."""
    return f"{effect.lever.name}: {'; '.join(effect.lever.trade_offs)}."


def unit_of(key: str, fmt: Formatter) -> str:
    """The unit of a change; a change of temperature is in kelvin, or in degrees Fahrenheit."""
    if term(key).kind is Kind.TEMPERATURE:
        return "°F" if fmt.system == System.IMPERIAL else "K"
    return fmt.unit(key)


def _cells(effect: Effect, keys: Sequence[str], fmt: Formatter) -> list[str]:
    return [_change(key, effect.changes[key], fmt) if key in effect.changes else "-" for key in keys]


def _change(key: str, change: float, fmt: Formatter) -> str:
    unit = unit_of(key, fmt)
    shown = change / (conversion(unit).scale if unit else 1.0)
    text = f"{shown:+.{2 if key == OCTANE else _PLACES.get(unit, 2)}f}"
    return "0" if float(text) == 0 else text.replace("-", "−")
