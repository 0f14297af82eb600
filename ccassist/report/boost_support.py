"""What supports the answer of a boosted engine: every cylinder, knock, equivalents, charge, compression, curve."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import partial
from itertools import zip_longest

from ccassist.boost.cautions import CAUTIONS, beside
from ccassist.boost.conditions import REFERENCE_PRESSURE
from ccassist.boost.draws import COMMON, OWN, Own
from ccassist.boost.equivalents import HARDEST_RUN, KNOCK, Convention
from ccassist.boost.gas import DRY
from ccassist.boost.knock_compare import Unknown
from ccassist.plan.boost.build import EquivalentLine, Knock, NaturalLine, natural_line
from ccassist.plan.boost.into_file import frozen_lines
from ccassist.plan.boost.story import BoostStory, taken_from_engine
from ccassist.plan.boost.ways import WayToTarget, ways
from ccassist.report.blocks import ITEM, LOOK, Block, Heading, Table, Text, items, part
from ccassist.report.boost_told import Boost, CylinderBoosted, PlusMinusPart, octane_text
from ccassist.report.data import rows_merged
from ccassist.report.findings import finding_text, finding_texts, without_place
from ccassist.values.display import METRIC, Formatter, fixed, percent
from ccassist.values.findings import capital, clean
from ccassist.values.measured import Result, Value, unsure_texts
from ccassist.values.verdict import Verdict, decide
from ccassist.vocabulary import Kind, term
from ccassist.vocabulary.units import Origin

RATIOS, ENDS = ("static_ratio", "trapped_ratio"), ("end_pressure", "end_temperature")
ABOVE = f"above {HARDEST_RUN:.0f}"
_LEAST = 0.2  # octane: what is told one by one


def boost_support(story: BoostStory, told: Boost, fmt: Formatter) -> Iterator[Block]:
    """Everything behind the answer, in the order in which it is asked about."""
    yield from _cylinders(story, told, fmt)
    if told.fuel is not None:
        yield from _knock(story, fmt)
        yield from _baseline(story, fmt)
        yield from _worth(story, told, fmt)
        yield from _charge(story, told, fmt)
        yield from _compression(story, told, fmt)
    yield from curve_blocks(story, fmt)
    yield from _last(story, told, fmt)


def warned(figures: str) -> list[Text]:
    """The cautions that stand beside a group of figures."""
    return items(beside(figures))


def figure_text(line: EquivalentLine, fmt: Formatter) -> str:
    """The ratio, or that it is no ratio to build."""
    if line.figure is not None:
        return fmt.value(line.figure)
    return ABOVE if line.beyond else "none"


def _of(one: CylinderBoosted, key: str) -> Value | None:
    return one.static_ratio if key == "static_ratio" else one.values.get(key)


def known_text(value: Value | None, fmt: Formatter) -> str:
    return "not known" if value is None else fmt.value(value)


def _cylinders(story: BoostStory, told: Boost, fmt: Formatter) -> Iterator[Block]:
    """Static, dynamic and boosted of every cylinder, and what each means."""
    keys = [*RATIOS, *(ENDS if told.fuel is not None else ())]
    phased = {"earliest": "cam fully advanced", "latest": "cam fully retarded"}
    ends = [name for name in phased if any(name in one.trapped_range for one in told.cylinders)]
    yield Heading("Every cylinder")
    yield Table(
        head=("cyl", *(term(key).name for key in keys), *(f"trapped ratio, {phased[name]}" for name in ends)),
        rows=rows_merged(
            (
                one.cylinder,
                [
                    *(known_text(_of(one, key), fmt) for key in keys),
                    *(known_text(one.trapped_range.get(name), fmt) for name in ends),
                ],
            )
            for one in told.cylinders
        ),
    )
    yield from items(f"{term(key).name}: {term(key).meaning}." for key in keys)
    yield Text("Dynamic ratio is what the trade calls the trapped ratio: geometry at intake closing, nothing of boost.")
    if told.intake_closing is not None:
        yield Text(f"Intake closing {fmt.value(told.intake_closing)}, {told.lift_basis}.")
    if story.worst is not None and len(told.cylinders) > 1:
        yield Text(f"Highest ratio at the bad end of its ±: cylinder {story.worst}; all that follows is of it.")
    yield from _phasing(told, fmt)
    yield from warned("trapped")


def _phasing(told: Boost, fmt: Formatter) -> Iterator[Block]:
    """Every boosted figure over the range of the intake cam."""
    if not told.positions:
        return
    yield Heading("Over the range of the intake cam", 2)
    yield Text(
        f"All figures are for the {told.cam_position}; intake_phase_at_load under [cam] says where at full load."
    )
    compared = any(one.octane_difference is not None for one in told.positions)
    keys = list(told.positions[0].values)
    yield Table(
        head=("intake cam", "closing", *(term(key).name for key in keys), *(["octane asked"] if compared else [])),
        rows=tuple(
            (
                one.position,
                fmt.value(one.intake_closing),
                *(fmt.value(one.values[key]) for key in keys),
                *([octane_text(one.octane_difference or 0.0)] if compared else []),
            )
            for one in told.positions
        ),
        names=(0,),
    )


# Knock: what is compared, what makes the interval, and what would make both alike.


def _knock(story: BoostStory, fmt: Formatter) -> Iterator[Block]:
    """The octane difference from the baseline with what makes its interval, or why there is none."""
    knock = story.knock
    yield Heading("Knock, as a comparison with the baseline only")
    if knock is None:
        yield Text("Not compared: the trapped ratio is not known.")
    elif knock.difference is None:
        yield Text("Not compared:")
        yield from (replace(finding_text(f), mark=ITEM) for f in knock.refused)
    else:
        yield Text(against_text(story, fmt))
        yield from _made(knock, fmt)
        yield from map(finding_text, knock.findings)
        found = ways(story, fmt)
        yield Heading("As hard as the baseline, by one thing alone", 2)
        yield from (Text(f"{one.refused}.", LOOK) for one in found if one.refused)
        for one in found:
            if one.into is not None:
                lines = "; ".join(one.into.texts(fmt))
                yield Text(_evened(one, fmt), ITEM, typed=f"; into the file: {lines}.")
    yield from warned("knock")


def _evened(one: WayToTarget, fmt: Formatter) -> str:
    """Where a way leads at even odds."""
    there = f" {fmt.show(one.key, one.even.value)}" if one.even is not None else ""
    return f"{term(one.key).name}, at even odds:{there}"


def against_text(story: BoostStory, fmt: Formatter) -> str:
    """What is compared with what."""
    base = story.baseline_running
    assert base is not None
    called = clean(base.said.get("called", "the baseline"), 100)
    ratio = fmt.value(base.stated["static_ratio"])
    run = ", ".join(fmt.value(base.run[key]) for key in ("engine_speed", "burn_phasing"))
    octane = f"{base.run['octane_number'].nominal:g} octane"
    return f"Cylinder {story.worst} against {called}: static ratio {ratio}, {run}, {octane}, vouched for as clean."


def _made(knock: Knock, fmt: Formatter) -> Iterator[Block]:
    """What makes the interval, the largest first, and in how many draws it is harder."""
    assert knock.difference is not None
    yield Heading("What makes the interval, each for 95 in 100", 2)
    yield from items(f"{capital(unknown_text(one))}." for one in knock.unknowns if one.half >= _LEAST)
    yield Text(
        f"All others under {_LEAST:g} each. Together: what both share ± {_half(knock.shared)}, what may differ "
        f"between them unsaid ± {_half(knock.unshared)}, what was measured or stated ± {_half(knock.measured)}. "
        f"Of the draws {fixed(100 * knock.difference.harder, 0)} in 100 ask more of the fuel than the baseline does."
    )
    yield Text(f"Drawn: {drawn_text(knock.own, fmt)}.")


def unknown_text(one: Unknown) -> str:
    """One unknown, what it makes of the difference, what would shrink it."""
    return f"{clean(one.name, 100)}, ± {fixed(one.half, 1)} octane ({_remedy(one.remedy)})"


def _remedy(text: str) -> str:
    """What would shrink it, without the places of the job file."""
    return clean(without_place(text), 120)


def part_text(one: PlusMinusPart) -> str:
    """One part of a ±, its share of the variance, what would shrink it."""
    return f"{clean(one.name, 100)}, {percent(one.share)} ({_remedy(one.remedy)})"


def _half(half: float) -> str:
    return "not known yet" if math.isnan(half) else fixed(half, 1)


def drawn_text(own: Own = OWN, fmt: Formatter = METRIC) -> str:
    """What the draws assume, from their own record."""
    both, warmth = COMMON, partial(fmt.show, "charge_heating", words=False, decimals=0)
    shared = (
        f"end of burn ± {percent(both.burned_at_end)}, burn duration ± {_degrees(both.burn_duration)}",
        f"phasing ± {_degrees(both.burn_centre)}, heating ± {warmth(both.heating)}",
        f"residual ± {percent(both.residual)}",
        f"heat freed ± {percent(both.heat_release)}, heat loss × or ÷ {both.heat_loss:g}",
        f"filling ± {percent(both.filling)}",
        f"delay formula ± {both.pressure_exponent:g} of its pressure power and ± {both.activation:.0f} K",
    )
    apart = (
        f"cooler {own.cooler:g}, filling {percent(own.filling)}, charge {warmth(own.temperature)}",
        f"phasing {math.degrees(own.burn_centre):.2g} deg{' as measured' if own != OWN else ''}",
        f"burn duration {_degrees(own.burn_duration)}",
    )
    return f"shared, within {', '.join(shared)}; apart, standard deviations {', '.join(apart)}; all of these assumed"


def _degrees(angle: float) -> str:
    return METRIC.show("burn_duration", angle, decimals=0)


def _baseline(story: BoostStory, fmt: Formatter) -> Iterator[Block]:
    """What the baseline is, what it takes from the engine, and how that is held."""
    running, build = story.baseline_running, story.baseline
    if running is None or build is None:
        return
    yield Heading("The baseline")
    stated = ", ".join(f"{term(key).name} {_stated(value, fmt)}" for key, value in running.stated.items())
    called, runs_ = clean(running.said.get("called", "as stated"), 100), clean(running.said.get("runs", ""), 60)
    yield Text(f"{capital(called)}: {stated}; trapped ratio {fmt.value(build.values['trapped_ratio'])}; runs {runs_}.")
    taken = [f"{term(one.key).name} {fmt.show(one.key, one.nominal)}" for one in taken_from_engine(story)]
    yield Text(
        f"Not stated of the baseline, so taken from this engine and changed with it: "
        f"{', '.join([*taken, 'and all that is assumed, which both share'])}."
    )
    lines = frozen_lines(story)
    if lines:
        held = "; ".join(line.text(fmt).removeprefix("[baseline] ") for line in lines)
        yield Text("", typed=f"To hold it as it is whatever is changed here, write under [baseline]: {held}.")


# What the ratio is worth without boost.


def _worth(story: BoostStory, told: Boost, fmt: Formatter) -> Iterator[Block]:
    """Every cylinder first, then the one with the highest ratio beside the baseline."""
    able = [one for one in told.cylinders if one.equivalents]
    if not able:
        return
    yield Heading("Effective ratio: what an unboosted engine would need")
    yield Text("The static ratio for the same of one thing, each named by that:")
    names = [line.convention.name for line in able[0].equivalents]
    yield Table(
        head=("cyl", *names),
        rows=rows_merged((one.cylinder, [figure_text(line, fmt) for line in one.equivalents]) for one in able),
    )
    yield Text(
        f"Unboosted: same crank, closing, air and fuel, no compressor, {fmt.show('barometer', REFERENCE_PRESSURE)} in "
        f"the manifold. {capital(ABOVE)}:1 there is no such engine to compare with."
    )
    yield from _meanings(story, told, fmt)
    yield from warned("equivalents")


def _meanings(story: BoostStory, told: Boost, fmt: Formatter) -> Iterator[Block]:
    """One row a convention: this engine, the baseline, the difference; then what it means."""
    worst = next((one for one in told.cylinders if one.cylinder == story.worst), None)
    if worst is None:
        return
    base = {line.convention: figure_text(line, fmt) for line in told.baseline.equivalents} if told.baseline else {}
    found: list[tuple[Convention, tuple[str, ...]]] = [
        (line.convention, (line.reason or figure_text(line, fmt), base.get(line.convention, ""), _harder(line.harder)))
        for line in worst.equivalents
    ]
    natural = None if story.knock is None else natural_line(story.knock)
    if natural is not None:
        figure = ABOVE if natural.figure is None else fixed(natural.figure.value, 1)
        found.append((KNOCK, (figure, "", _naturally(natural))))
    heads = (f"cylinder {story.worst}", *(("baseline", "against the baseline") if told.baseline else ()))
    yield Table(
        head=("", *heads),
        rows=tuple((one.name.removeprefix("same "), *cells[: len(heads)]) for one, cells in found),
        names=(0, 3),
    )
    for one, _ in found:
        source = "" if one.source == "definition" else f" ({one.source})"
        yield Text(f"{one.name}: {one.meaning}{source}; misleads: {one.misleads}.", "•")


def _harder(harder: Value | None) -> str:
    """By how many ratios it is harder; "" without a baseline."""
    if harder is None:
        return ""
    more = harder.nominal >= 0
    return f"{'harder' if more else 'easier'} by {METRIC.number(harder.key, harder.number if more else -harder.number)}"


def _naturally(line: NaturalLine) -> str:
    """The same of the knock integral."""
    if line.harder is None:
        return ""
    more = line.harder.value >= 0
    half = max(line.harder.high - line.harder.value, line.harder.value - line.harder.low)
    return f"{'harder' if more else 'easier'} by {fixed(abs(line.harder.value), 1)} ± {fixed(half, 1)}"


# The charge and its compression.


def _stated(value: Value, fmt: Formatter) -> str:
    """As printed; an exact pure number as short as it is."""
    exact = term(value.key).kind is Kind.RATIO and value.expanded == 0
    return f"{value.nominal:g}" if exact else fmt.value(value)


def how_text(value: Value) -> str:
    """How a value was found, without its origin."""
    how = value.how.removeprefix(f"stated, {value.origin}")
    return "" if how == value.origin else clean(how, 120)


def _charge(story: BoostStory, told: Boost, fmt: Formatter) -> Iterator[Block]:
    """Every figure of the charge with its ± and where it is from: stated, assumed, worked out."""
    assert story.conditions is not None
    yield Heading("The charge, and what is assumed")
    pressures = {key: story.conditions.values[key] for key in ("barometer", "manifold_pressure")}
    for title, values, said in (
        ("Stated", told.stated, told.said),
        ("Assumed, because nothing is stated", told.assumed, told.assumed_words),
        ("Pressures, absolute", pressures, {}),
    ):
        if values or said:
            yield Heading(title, 2)
            yield from items(_origin(key, one, fmt) for key, one in values.items())
            yield from items(f"{key.replace('_', ' ')}: {clean(text, 60)}." for key, text in said.items())
    reference = fmt.show("barometer", REFERENCE_PRESSURE, decimals=3)
    yield Text(f"Reference of the pressure ratio: {reference}, never the local barometer.", "•")
    worst = None if story.worst_one is None else story.worst_one.build
    if worst is not None and worst.compressed is not None:
        yield Heading(f"Worked out from it, cylinder {story.worst}", 2)
        base = {} if told.baseline is None else told.baseline.values
        yield Table(
            head=("", f"cylinder {story.worst}", *(["baseline"] if base else [])),
            rows=tuple(
                (term(one.key).name, fmt.value(one), *([known_text(base.get(one.key), fmt)] if base else []))
                for one in worst.compressed.charge.computed
            ),
            names=(0,),
        )
        how = (f"{term(one.key).name}: {how_text(one)}" for one in worst.compressed.charge.computed)
        yield Text(f"{capital('; '.join(how))}.")
    yield from warned("charge")


def _origin(key: str, one: Value, fmt: Formatter) -> str:
    """A figure of the charge and where it is from."""
    origin = "" if one.origin == Origin.COMPUTED else str(one.origin)
    why = ": ".join(filter(None, (origin, how_text(one))))
    return f"{term(key).name} {_stated(one, fmt)} ({why})."


def _compression(story: BoostStory, told: Boost, fmt: Formatter) -> Iterator[Block]:
    """How the end of compression is worked out, the same by one constant exponent, and what makes its ±."""
    able = [one for one in told.cylinders if one.polytropic]
    if not able or story.conditions is None:
        return
    exponent = story.conditions.values["polytropic_exponent"]
    yield Heading("End of compression")
    yield Text(
        f"Motored, absolute, along the isentrope of {gas_text(story)}, heat capacity by temperature. Beside it by one "
        f"constant exponent, n = {fmt.value(exponent)} ({exponent.origin}), and the exponent of the same end pressure."
    )
    yield Table(
        head=("cyl", "end pressure", "by n", "end temperature", "by n", "n of the same end pressure"),
        rows=rows_merged(
            (
                one.cylinder,
                [
                    *(fmt.value(values[key]) for key in ENDS for values in (one.values, one.polytropic)),
                    fmt.value(one.values["effective_exponent"]) if "effective_exponent" in one.values else "none",
                ],
            )
            for one in able
        ),
    )
    for key, parts in told.budgets.items():
        yield Heading(f"What makes the ± of the {term(key).name}", 2)
        yield from items(f"{capital(part_text(one))}." for one in parts)
    yield from warned("compression")


def gas_text(story: BoostStory) -> str:
    """The charge in words."""
    conditions = story.conditions
    assert conditions is not None
    if conditions.fuel == DRY:
        return "dry air with residual gas"
    strength = METRIC.number("mixture_strength", conditions["mixture_strength"])
    return f"air, {conditions.fuel} vapour and residual gas at lambda {strength}"


def curve_blocks(story: BoostStory, fmt: Formatter) -> Iterator[Block]:
    """Trapped ratio against intake closing, as numbers."""
    if story.curve:
        yield Heading(f"Trapped (dynamic) ratio of cylinder {story.worst} against intake closing")
        yield Text(f"Held {story.lift_basis}; ± without that of the closing.")
        shown = [(fmt.show("intake_closing", at.intake_closing), fmt.value(at.trapped_ratio)) for at in story.curve]
        half = (len(shown) + 1) // 2
        pairs = zip_longest(shown[:half], shown[half:], fillvalue=("", ""))
        yield Table(head=("intake closing", "trapped ratio") * 2, rows=tuple((*one, *other) for one, other in pairs))


def _last(story: BoostStory, told: Boost, fmt: Formatter) -> Iterator[Block]:
    """What the ± rests on, what was found, the cautions on all of it, and what to ask next."""
    yield from part("What the ± rests on", map(Text, unsure_texts(_results(told.cylinders), fmt)))
    yield from part("To look at", finding_texts(story.findings))
    yield from items(text for text in beside("all") if text != CAUTIONS["proof"])
    yield from (Text("", command=("ccassist", *words)) for words in _next(story, told))


def _results(cylinders: Sequence[CylinderBoosted]) -> list[Result]:
    """The ratios and ends of every cylinder that are shown with a ±."""
    return [
        (f"cylinder {one.cylinder}", value)
        for key in (*RATIOS, *ENDS)
        for one in cylinders
        if (value := _of(one, key)) is not None
    ]


def _next(story: BoostStory, told: Boost) -> Iterator[tuple[str, ...]]:
    """How to find what must change, what each lever does, and how to print it."""
    job = clean(story.survey.job.file, 200)
    band = story.survey.wanted.get("static_ratio")
    known = [one.static_ratio for one in told.cylinders if one.static_ratio is not None]
    if band is not None and any(decide(v, band) is Verdict.OUTSIDE for v in known):
        yield "solve", job, "--for", "crown_volume", "--to", f"static_ratio={METRIC.show('static_ratio', band.aim)}"
    if told.fuel is not None:
        yield "boost", job, "--for", "crown_volume", "--to", "octane_difference=0"
        yield "boost", job, "--levers"
    yield "boost", job, "--out", "boost.pdf"
