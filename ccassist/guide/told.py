"""What a new reading says: mean and spread of its series, the ± so far, the ratio, the sister cylinders."""

from __future__ import annotations

import contextlib
import math
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

from ccassist.analysis.benefit import is_alone, repeats_asked, worth_in_short, worths
from ccassist.analysis.cylinder import Cylinder
from ccassist.analysis.results import Survey, surveyed
from ccassist.bench.cell import Reduction
from ccassist.bench.reductions import scatter_cause
from ccassist.bench.steps import STEPS
from ccassist.engine.model import build
from ccassist.guide.state import in_brief
from ccassist.guide.view import Result
from ccassist.job.records import Job, Row
from ccassist.values.display import Formatter, fixed, formatter, places
from ccassist.values.findings import Finding, InputError, Level, capital, errors, whose
from ccassist.values.measured import Value
from ccassist.values.number import nominal
from ccassist.values.statistics import mean
from ccassist.values.uncertainty import budget
from ccassist.vocabulary import term

# Asked in the set-up, or asked for: "1 of 3 asked for here".
ASKED_ALREADY = (
    "unusual", "no-instrument", "no-gauge", "no-temperature", "hole-not-said", "plug-not-said", "none-counted",
    "one-fill",
)  # fmt: skip
SAID_TOO = ("slow-leak", "scatters-more", "wall-climb")  # notes worth a word at the bench
MOST_NAMED = 4  # fills by their lines
ANY_OF = "here or on other cylinders"
LEAST_EFFECT = 0.0005  # of a ratio: less is not worth a word
MOSTLY = 0.5  # share of the variance above which one cause is what the ± is made of


def told(job: Job, rows: Sequence[Row] = ()) -> tuple[Result, ...]:
    """What the readings to which these rows belong say; by default those of the last reading of the file."""
    everything = rows or [row for series in job.series for row in series.rows]
    if not everything:
        return ()
    try:
        return tuple(_told(surveyed(job), everything[-1]))
    except (InputError, ValueError, ArithmeticError) as fault:  # the reading is saved: its sitting must go on
        words = f"It stands in the file, but the results cannot be worked out: {fault}"
        return (Result(what="noticed", text=words),)


def echo(job: Job, row: Row) -> list[str]:
    """A reading of several values as it was taken, with what it comes to: "start 0.1 cc, end 50.2 cc: 50.10 cc"."""
    if len(row.fields) < 2:
        return []
    said = in_brief(row.fields)
    with contextlib.suppress(InputError, ValueError, ArithmeticError):
        for one in surveyed(job).reduced:
            for reading, value in zip(one.cell.readings, one.rows, strict=False):
                if reading.line == row.line and value is not None:
                    return [f"{said}: {formatter(job.system).show(one.cell.key, value)}"]
    return [said]


def _told(result: Survey, row: Row) -> Iterator[Result]:
    fmt = formatter(result.job.system)
    one = next((r for r in result.reduced if any(reading.line == row.line for reading in r.cell.readings)), None)
    if one is None:
        yield from _calibration(result, row, fmt)
    else:
        where = one.cell.where
        yield _mean_and_spread(one, fmt)
        for key, value in one.values.items():
            text = f"{capital(term(key).name)}: {fmt.value(value)}{_worth(result, value, one)}"
            yield Result(what="term", text=text, key=key, where=where, value=value.nominal, expanded=value.expanded)
        its = [c for c in result.cylinders if one.values and c.number in one.cell.cylinders]
        yield from _crown(its, one, fmt)
        yield from _ratio(its[0], one, fmt) if len(its) == 1 else _ratios(its, fmt)
        yield from (Result(what="repeat", text=text, where=where) for text in _one_more(result, one))
        yield from _sisters(result, one, fmt)
    yield from (Result(what="noticed", text=f.text()) for f in _about(result, row, one))


def _calibration(result: Survey, row: Row, fmt: Formatter) -> Iterator[Result]:
    """What the steps of a calibration show so far."""
    series = next((s for s in result.job.series if row in s.rows), None)
    if series is None or STEPS[series.step].part:
        return
    name, made = series.instrument, result.calibrations.get(series.instrument)
    if made is None:
        yield Result(what="calibration", text=f"Steps of {name} so far: {len(series.rows)}", where=name)
        return
    nought = made.line.at(0.0)
    start = f"{'−' if nought < 0 else '+'} {fmt.amount('correction', abs(nought), decimals=2)}"
    scatter, low, high = (fmt.show("fill_volume", v) for v in (made.scatter, made.low, made.high))
    said = [
        f"{len(made.steps)} steps of {made.instrument}: true volume = {made.line.slope:.4f} × reading {start} cc",
        f"One delivery scatters by {scatter}; it is calibrated from {low} to {high}.",
        *_fills_outside(result, name),
    ]
    yield from (Result(what="calibration", text=text, where=name) for text in said)


def _fills_outside(result: Survey, instrument: str) -> list[str]:
    """The fills made before with an instrument that lie where its scale is not calibrated, as far as it is by now."""
    places = {s.place for s in result.job.series if s.instrument == instrument and STEPS[s.step].part}
    outside = [f for f in result.findings if f.code == "outside-calibration" and f.place.split(",")[0] in places]
    said = [f"line {f.line} ({f.read})" for f in outside]
    more = f" and {len(said) - MOST_NAMED} more" if len(said) > MOST_NAMED else ""
    fills = f"Fills outside it so far: {'; '.join(said[:MOST_NAMED])}{more}: calibrate there too, or they do not count."
    return [fills] if said else []


def _about(result: Survey, row: Row, one: Reduction | None) -> list[Finding]:
    """What was noticed about the series itself and its readings, most notes left out."""
    series = row.place.split(",")[0]
    stands = _stands_at(row, one, result)
    found = [
        f for f in result.findings if f.place == series or f.place.startswith((f"{series},", f"{series}.")) or stands(f)
    ]
    bare = [
        replace(f, file="", line=None, place="")
        for f in found
        if (f.level is not Level.NOTE or f.code in SAID_TOO) and f.code not in ASKED_ALREADY
    ]
    return list(dict.fromkeys(bare))


def _stands_at(row: Row, one: Reduction | None, result: Survey) -> Callable[[Finding], bool]:
    """Whether a finding stands at a line of these readings, or at one of the same step that speaks of this place too.

    What is said of several cylinders together bears the line of the first of them.
    """
    if one is None:
        return lambda finding: finding.line == row.line is not None
    cell, own = one.cell, _lines_of(one)
    same = [r for r in result.reduced if r.cell.step is cell.step and r.cell.state == cell.state]
    alike = {line for r in same for line in _lines_of(r)}

    def stands(finding: Finding) -> bool:
        if finding.line is None or finding.line in own:
            return finding.line is not None
        shared = cell.where == finding.place or not set(finding.together).isdisjoint(cell.cylinders)
        return shared and finding.line in alike

    return stands


def _lines_of(one: Reduction) -> set[int | None]:
    return {one.cell.line, *(reading.line for reading in one.cell.readings)}


def _mean_and_spread(one: Reduction, fmt: Formatter) -> Result:
    """Such as "3 fills of cylinder 1: mean 46.30 cc, spread 0.20 cc"."""
    # where none counts there are no results of rows at all
    rows = [v for row, v in zip(one.cell.readings, one.rows, strict=False) if not row.set_aside and v is not None]
    aside, where, noun = len(one.cell.readings) - len(one.cell.counted), one.cell.where, one.cell.step.noun
    left = f" ({aside} set aside)" if aside else ""
    if not rows:
        return Result(what="mean", text=f"No {noun} of {where} counts yet{left}", where=where)
    key = one.cell.key
    text = f"{len(rows)} {noun}{'s' if len(rows) > 1 else ''} of {where}{left}: "
    if len(rows) == 1:
        read = fmt.show(key, rows[0])
        large = _figures(read)
        return replace(_large(one, large, fmt), text=text + read, value=rows[0])
    unit, middle = fmt.unit(key), mean(rows)
    finer = places(unit, None) + (0 if one.cell.step.fills else 1)  # a mean of lengths lies between their last digits
    spread = fmt.amount(key, max(rows) - min(rows), decimals=finer)
    shown = fmt.show(key, middle, decimals=finer)
    text += f"mean {shown}, spread {spread} {unit}"
    large = f"{_figures(fmt.show(key, rows[-1]))}  {_figures(shown)}"
    return replace(_large(one, large, fmt), text=text, value=middle)


def _large(one: Reduction, large: str, fmt: Formatter) -> Result:
    """What was just read, and behind it the mean, in figures to be read from afar."""
    key, where = one.cell.key, one.cell.where
    several = ", and the mean" if " " in large else ""
    called = f"{capital(one.cell.step.noun)} of {where}{several}, {fmt.unit(key)}:"
    return Result(what="mean", text="", key=key, where=where, called=called, large=large)


def _figures(shown: str) -> str:
    """The number of a value that is shown."""
    found = re.search(r"[\d.,]*\d", shown)
    return found[0] if found else ""


def _worth(result: Survey, value: Value, one: Reduction) -> str:
    """What would make the ± known, or smaller where repeats do not."""
    if value.key != next(iter(one.values)):
        return ""
    if math.isnan(value.expanded):
        more = one.scatter.more
        if not more:
            return ""
        if not (one.cell.step.fills or one.cell.instrument or one.scatter.beyond):
            return f"; ± once the tool is said, or after {more} more like it"
        nouns = f"{one.cell.step.noun}{'' if more == 1 else 's'}"
        if is_alone(one, result):
            return f"; ± after {more} more {nouns}"
        done = repeats_asked(one, result) <= len(one.cell.counted)
        return (
            f"; ± with {more} more {nouns} of other cylinders" if done else f"; ± after {more} more {nouns}, {ANY_OF}"
        )
    shares = budget(value.number)
    if not shares or shares[0].cause.pool or shares[0].share <= MOSTLY:
        return ""
    return f"; mostly {shares[0].cause.name}"


def _one_more(result: Survey, one: Reduction) -> list[str]:
    """Whether one more repeat is worth it, by the ± of the ratio, or of the volume where there is no ratio yet."""
    found = [w for w in worths(result, one.cell.cylinders[0]) if w.one is one]
    cell = one.cell
    asked = repeats_asked(one, result) > len(cell.counted)
    if not found and not asked and _no_scatter_in(one):
        return [f"One more {one.cell.step.noun} would leave this ± as it is: not worth it"]
    return [text for w in found[:1] if (text := worth_in_short(w, result.fmt))]


def _no_scatter_in(one: Reduction) -> bool:
    """Whether the ± is known and its repeats have no part in it: their scatter is less than the steps read to."""
    value = next(iter(one.values.values()), None)
    return value is not None and not math.isnan(value.expanded) and scatter_cause(one) is None


def stated(job: Job, key: str, cylinders: Sequence[int]) -> tuple[Result, ...]:
    """What a figure that was stated and not read makes known: the term as it counts now, and the ratio."""
    with contextlib.suppress(InputError, ValueError, ArithmeticError):
        result, fmt = surveyed(job), formatter(job.system)
        its = [c for c in result.cylinders if c.number in cylinders]
        value = next((c.values[key] for c in its if key in c.values), None)
        wrong = [Result(what="noticed", text=f.text()) for f in errors(result.findings)]
        if value is None:
            return tuple(wrong)
        text = f"{capital(term(key).name)}: {fmt.value(value)}, {value.origin}"
        first = Result(what="term", text=text, key=key, value=value.nominal, expanded=value.expanded)
        return (first, *_ratios(its, fmt), *wrong)
    return ()


def _crown(its: Sequence[Cylinder], one: Reduction, fmt: Formatter) -> Iterator[Result]:
    """The dish or dome that a fill over the piston shows, as soon as bore and drop are known."""
    if "crown_fill" not in one.cell.step.gives:
        return
    for value in [c.values["crown_volume"] for c in its if "crown_volume" in c.values]:
        text = f"Crown: {fmt.value(value)}"
        yield Result(what="term", text=text, key=value.key, value=value.nominal, expanded=value.expanded)


def _ratios(its: Sequence[Cylinder], fmt: Formatter) -> Iterator[Result]:
    """The ratio of one cylinder or of several, as it stands by now: of several the least and the most."""
    found = sorted(((c.values["static_ratio"], c.number) for c in its if "static_ratio" in c.values), key=_by_ratio)
    if not found:
        return
    said = list(dict.fromkeys(fmt.value(value) for value, _ in found))
    if len(said) == 1:
        text = f"Static ratio of {whose([number for _, number in found])}: {said[0]}"
    else:
        (_, least), (_, most) = found[0], found[-1]
        text = f"Static ratio: {said[0]} (cylinder {least}) to {said[-1]} (cylinder {most})"
    yield Result(what="ratio", text=text, key="static_ratio")


def _by_ratio(pair: tuple[Value, int]) -> float:
    return pair[0].nominal


def each_cylinder(job: Job) -> list[str]:
    """Every cylinder in a line: its chamber, how far that is from the mean of all, and its ratio, each with its ±."""
    with contextlib.suppress(InputError, ValueError, ArithmeticError):
        result, fmt = surveyed(job), formatter(job.system)
        rows = [(c, c.values.get("chamber_volume"), c.values.get("static_ratio")) for c in result.cylinders]
        volumes = [chamber.nominal for _, chamber, _ in rows if chamber is not None]
        if not volumes and not any(ratio for _, _, ratio in rows):
            return []
        middle = mean(volumes) if volumes else 0.0
        single = len(volumes) < 2
        said = [
            f"cylinder {c.number}: {_in_line(v, v.nominal if single and v else middle, r, fmt)}" for c, v, r in rows
        ]
        return [*said, *_waits_for_others(result)]
    return []


def _waits_for_others(result: Survey) -> list[str]:
    """What is meant where chambers are done, and their ± still waits for the fills asked of the others."""
    fills = [one for one in result.reduced if "chamber_volume" in one.values and one.scatter.more]
    done = [one for one in fills if repeats_asked(one, result) <= len(one.cell.counted)]
    numbers = [number for one in done for number in one.cell.cylinders]
    more = max((one.scatter.more for one in done), default=0)
    return (
        [f"The ± of {whose(numbers)} comes with {more} more fill{'' if more == 1 else 's'} of the others"]
        if done
        else []
    )


def _in_line(chamber: Value | None, middle: float | None, ratio: Value | None, fmt: Formatter) -> str:
    if chamber is None:
        said = "chamber not measured"
    else:
        away = chamber.nominal - middle if middle is not None else 0.0
        amount = fmt.amount(chamber.key, abs(away))
        unit = fmt.unit(chamber.key)
        beside = f", {amount} {unit} {'over' if away > 0 else 'under'} the mean" if away else ""
        said = f"chamber {fmt.value(chamber)}{beside}"
    return f"{said}; ratio {fmt.value(ratio)}" if ratio is not None else said


def _ratio(cylinder: Cylinder, one: Reduction, fmt: Formatter) -> Iterator[Result]:
    """The ratio as it stands, and how much of its ± comes from this reading."""
    ratio = cylinder.values.get("static_ratio")
    if ratio is None:
        return
    text = f"Static ratio of cylinder {cylinder.number}: {fmt.value(ratio)}{_moved(cylinder, one, ratio)}"
    yield Result(
        what="ratio",
        text=text,
        key="static_ratio",
        where=one.cell.where,
        value=ratio.nominal,
        expanded=ratio.expanded,
    )


def _moved(cylinder: Cylinder, one: Reduction, ratio: Value) -> str:
    """How far the ± of this reading moves the ratio, where it is worth a word."""
    key, value = next(iter(one.values.items()))
    spread = value.expanded
    if math.isnan(spread) or spread == 0 or key not in cylinder.known:
        return ""
    known = {k: nominal(n) for k, n in cylinder.known.items()}
    moved = {**known, key: known[key] + spread}
    other = build(moved, cylinder.choices).evaluate(moved).get("static_ratio", ratio.nominal)
    effect = abs(other - ratio.nominal)
    if effect < LEAST_EFFECT:
        return ""
    return f"; the ± of this {term(key).name} alone moves it by {fixed(effect, places('', effect))}"


def _sisters(result: Survey, one: Reduction, fmt: Formatter) -> Iterator[Result]:
    """The same term of the other cylinders measured in the same state, and of this one in the state before."""
    if len(one.cell.cylinders) != 1 or not one.values:
        return
    key = next(iter(one.values))
    measured = [r for r in result.reduced if key in r.values and len(r.cell.cylinders) == 1]
    alike = {r.cell.cylinders[0]: r for r in measured if r.cell.state == one.cell.state}  # the latest of each counts
    own = alike.pop(one.cell.cylinders[0], one)
    before = [r for r in measured if r.cell.cylinders == own.cell.cylinders and r.cell.state != own.cell.state]
    beside = [f"{number} {fmt.show(key, alike[number].values[key].nominal)}" for number in sorted(alike)]
    if beside:
        yield Result(what="others", text=f"Beside it: cylinder {', '.join(beside)}", key=key)
    for r in before[-1:]:
        was = r.values[key].nominal
        text = f"Before{f' ({r.cell.state})' if r.cell.state else ''}: {fmt.show(key, was)}"
        yield Result(what="before", text=text, key=key, where=one.cell.where, value=was)
