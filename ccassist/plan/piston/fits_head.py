"""The piston against what stands over it: head, gasket, and the side of the chamber."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from math import pi, sqrt

from ccassist.analysis.checks import openings
from ccassist.plan.expected import Span, parts_of, reach
from ccassist.plan.piston.crown import DISHES, DOMES
from ccassist.plan.piston.fits_case import Fault, FitCase, Told, Unseen
from ccassist.plan.piston.specification import RATIO
from ccassist.plan.tolerance import CLOSEST, parts_by_term, would_do
from ccassist.values.findings import whose
from ccassist.values.measured import Value
from ccassist.values.number import nominal
from ccassist.values.statement import width_text
from ccassist.values.verdict import Band, band_text
from ccassist.vocabulary import term
from ccassist.vocabulary.record import together

CLAY = "check with clay at mock-up"


def gap(case: FitCase) -> Iterator[Told]:
    """The flat of the crown against the head."""
    met = {
        c.number: span.low for c in case.cylinders if (span := case.worst(c.number, "squish")) and span.low <= 0
    }  # fmt: skip
    if met:
        least = case.told("squish", min(met.values()))
        yield Fault("head_contact", f"piston and head may meet in {whose(list(met))}: {least} at the worst")


def gasket(case: FitCase) -> Iterator[Told]:
    """The gasket's opening against bore and dish; and against a piston that comes up into it."""
    over: list[int] = []
    met: list[int] = []
    for planned, one in zip(case.cylinders, case.spec.survey.cylinders, strict=True):
        if any(reach(opening.number - bore.number).high < 0 for opening, bore in openings(one)):
            over.append(one.number)
            deck = case.worst(planned.number, "deck_clearance")
            if deck is not None and deck.low < 0:
                met.append(one.number)
    if met:
        wrong = f"the gasket stands over the bore and the piston comes up to it in {whose(met)}"
        yield Fault("gasket_contact", wrong)
    elif over:
        yield Fault("gasket_edge", f"the gasket's opening is narrower than the bore in {whose(over)}")
    dish, area = case.spec.shape.sizes.get("dish_diameter"), case.span("gasket_area")
    if dish is not None and area is not None and dish > 2 * sqrt(max(area.low, 0.0) / pi):
        wrong = f"the dish, {case.said('dish_diameter', dish)} across, is wider than the gasket's opening at its least"
        yield Fault("gasket_edge", wrong)


def chamber(case: FitCase) -> Iterator[Told]:
    """Dome and dish against the opening of the chamber.

    A circle of more area than the opening cannot lie within it, whatever its outline: a dome so wide above the gap
    meets the face of the head.
    """
    sizes, shape = case.spec.shape.sizes, case.spec.shape.shape
    if shape not in (*DISHES, *DOMES):
        return
    areas = [reach(number) for number in case.all("chamber_area")]
    if len(areas) < len(case.cylinders):
        what = "dome against the side of the chamber" if shape in DOMES else "dish against the chamber"
        yield Unseen(what, f"not given: {term('chamber_area').name}")
    else:
        radius = sqrt(max(min(area.low for area in areas), 0.0) / pi)
        yield from _dish(case, radius) if shape in DISHES else _dome(case, radius) if "dome_height" in sizes else ()
    if shape in DOMES:
        yield Unseen("dome against roof and plug", f"the shape of the chamber{_roof(case)}: {CLAY}")


def _roof(case: FitCase) -> str:
    """How high the dome stands in the head, against the mean depth of the shallowest chamber; "" if not known."""
    high = case.spec.shape.sizes.get("dome_height")
    gaps = [nominal(one) for one in case.all("squish")]
    both = [c.values for c in case.cylinders if {"chamber_volume", "chamber_area"} <= set(c.values)]
    if high is None or not gaps or not both:
        return ""
    mean = min(values["chamber_volume"].nominal / values["chamber_area"].nominal for values in both)
    into = high - min(gaps)
    if into <= 0:
        return ""
    up, deep = (case.said("dome_height", size) for size in (into, mean))
    return f" (the dome stands {up} above the gap, and the chamber is {deep} deep on the average)"


def _dome(case: FitCase, opening: float) -> Iterator[Told]:
    wish = case.number("dome_clearance")
    gaps = [span.low for c in case.cylinders if (span := case.worst(c.number, "squish")) is not None]
    room = min(gaps, default=0.0)
    reach_of = _radius_at(case, room)
    across = [case.said("dome_diameter", 2 * size) for size in (reach_of, opening)]
    if reach_of >= opening:
        wrong = (
            f"where it stands above the gap the dome is {across[0]} across: no chamber whose opening has the area of a "
            f"circle of {across[1]} takes it in"
        )
        yield Fault("chamber_contact", wrong)
    elif wish is not None and opening - reach_of < nominal(wish):
        left = case.short("dome_clearance", opening - reach_of, nominal(wish))
        wanted = case.said("dome_clearance", nominal(wish))
        yield Fault("dome_gap", f"a round chamber leaves {left} beside the dome at most; at least {wanted} is wanted")


def _radius_at(case: FitCase, height: float) -> float:
    """The dome's radius at a height above the crown flat, SI; nothing above its top."""
    sizes = case.spec.shape.sizes
    base, top, most = sizes["dome_diameter"] / 2, sizes.get("dome_top", 0.0) / 2, sizes["dome_height"]
    at = max(height, 0.0)
    if at >= most:
        return 0.0
    if case.spec.shape.shape == "ball dome":
        ball = (base**2 + most**2) / (2 * most)
        return sqrt(max(ball**2 - (ball - most + at) ** 2, 0.0))
    return base - (base - top) * at / most


def _dish(case: FitCase, opening: float) -> Iterator[Told]:
    dish = case.spec.shape.sizes.get("dish_diameter")
    if dish is not None and dish / 2 > opening:
        wrong = (
            f"the dish, {case.said('dish_diameter', dish)} across, is wider than a round chamber opening of the same "
            f"area, {case.said('dish_diameter', 2 * opening)}"
        )
        yield Fault("squish_pads", wrong)


# What is wanted and hangs on the piston, in every cylinder at its worst; and the pistons against one another.

ALIKE = 0.5  # of the piston-to-wall clearance: by how much bores may differ for one piston; common practice, no source
_NAMED = 4  # ranges named in one line
ALIKE_UNSAID = 0.03e-3  # m, where no clearance is stated; common practice, no source


def bands(case: FitCase) -> Iterator[Told]:
    """Every term wanted that the piston moves, in every cylinder."""
    for band in case.spec.survey.wanted.values():
        spans = {c.number: span for c in case.cylinders if (span := case.worst(c.number, band.key)) is not None}
        unknown = [number for number, span in spans.items() if math.isnan(span.low)]
        off = [number for number, span in spans.items() if number not in unknown and not kept(span, band)]
        name = term(band.key).name
        if unknown:
            wrong = f"the {name} of {whose(unknown)} cannot be judged at its worst: a ± in it is not known yet"
            yield Fault("wanted_band", wrong, right="take the repeats that show asks for")
        if off:
            alike = together((case.against(band.key, spans[n], band), n) for n in off)
            said = "; ".join(f"{text} in {whose(which)}" for text, which in list(alike.items())[:_NAMED])
            more = f" and {len(alike) - _NAMED} more" if len(alike) > _NAMED else ""
            wrong = f"the {name} wanted, {band_text(band, case.fmt)}, is not kept: at its worst it is {said}{more}"
            yield Fault("wanted_band", wrong, right=_way_out(case, spans, band))
        if spans and band.low == band.high and not off and not unknown:
            widest = Span(low=min(s.low for s in spans.values()), high=max(s.high for s in spans.values()))
            lacks = f"one value is wanted, no range; at its worst it is {case.between(band.key, widest)}"
            yield Unseen(f"{name} against a range", lacks)
    wanted = case.spec.survey.wanted
    if not {"squish", "deck_clearance"} & set(wanted) and case.spec.height is not None:
        yield Unseen("squish gap against a range", f"no {term('squish').name} is wanted")
    if RATIO not in wanted:
        yield Unseen(f"{term(RATIO).name} against a range", f"no {term(RATIO).name} is wanted")


def _way_out(case: FitCase, spans: Mapping[int, Span], band: Band) -> str:
    """What would keep the range in the cylinder that leaves it farthest; "" where its middle lies outside already."""
    beyond = {number: max(band.low - span.low, span.high - band.high) for number, span in spans.items()}
    worst = max(beyond, key=lambda number: beyond[number])
    cylinder = next(c for c in case.cylinders if c.number == worst)
    value, over = cylinder.values[band.key], beyond[worst]
    if not band.low < value.nominal < band.high:
        return ""
    wider = case.fmt.show(band.key, over, words=False, decimals=3)
    ways = would_do(value.number, cylinder.known, over, case.fmt, tuple(case.spec.ordered()))
    return f"{ways}; or another height or crown, or a range wider by {wider} at that end"


def closeness(case: FitCase) -> Iterator[Told]:
    """Tolerances worked out that nobody usually holds, and what closer measuring would ease them.

    One that the order states is whoever orders' own word.
    """
    for key, one in case.spec.ordered().items():
        size = one.tolerance.size
        if size is None or size >= CLOSEST[key] or one.tolerance.stated:
            continue
        held, usual = (width_text(amount, case.fmt.unit(key)) for amount in (size, CLOSEST[key]))
        wrong = f"the {term(key).name} would have to be held to ± {held}, and hardly a maker holds less than ± {usual}"
        tight = [c for c in case.cylinders if one.tolerance.by in c.values]
        if not tight:
            yield Fault("tolerance_held", wrong)
            continue
        by = one.tolerance.by
        planned = min(tight, key=lambda c: _left(c.values[by], case.spec.survey.wanted[by]))
        moved = parts_by_term(planned.values[by].number, planned.known)
        measured = math.fsum(part for term_key, part in moved.items() if term_key not in case.spec.ordered())
        unit, name, room = case.fmt.unit(by), term(by).name, _room(planned.values[by], case.spec.survey.wanted[by])
        wrong += (
            f": of the ± {width_text(room, unit)} left by the {name} wanted in cylinder {planned.number}, "
            f"what was measured takes {width_text(measured, unit)} at its worst"
        )
        short = (CLOSEST[key] - size) * moved[key] / size
        known = {name: number for name, number in planned.known.items() if name != key}
        right = would_do(planned.values[by].number, known, short, case.fmt, tuple(case.spec.ordered()))
        yield Fault("tolerance_held", wrong, right=f"{right}, or want a wider {name}")


def _room(value: Value, band: Band) -> float:
    """From a value to the nearer end of its band, SI."""
    return min(value.nominal - band.low, band.high - value.nominal)


def _left(value: Value, band: Band) -> float:
    """What its ± at its worst leaves of that, SI."""
    return _room(value, band) - math.fsum(part.size for part in parts_of(value.number))


def kept(span: Span, band: Band) -> bool:
    """Whether a span lies in a band, but for the rounding of floats; of one value, whether the span holds it."""
    if band.low == band.high:
        return span.low <= band.aim <= span.high
    hair = 1e-9 * max(abs(span.low), abs(span.high))
    return span.low >= band.low - hair and span.high <= band.high + hair


def set_of_pistons(case: FitCase) -> Iterator[Told]:
    """As many as there are cylinders, one kind for all bores and both banks."""
    many, needed = case.number("pieces"), case.spec.survey.job.cylinders
    if many is not None and nominal(many) < needed:
        count = round(nominal(many))
        wrong = f"{count} piston{'' if count == 1 else 's'} for {needed} cylinders"
        yield Fault("pieces", wrong, right=f"pieces = {needed} under [order]; or accept it with a reason")
    yield from _bores(case)
    yield from _sides(case)


def _bores(case: FitCase) -> Iterator[Told]:
    sizes = [nominal(number) for number in case.all("bore")]
    clearance = case.number("wall_clearance")
    most = ALIKE_UNSAID if clearance is None else ALIKE * nominal(clearance)
    apart = max(sizes, default=0.0) - min(sizes, default=0.0)
    if len(sizes) > 1 and apart > most:
        ends = f"{case.said('bore', min(sizes))} to {case.said('bore', max(sizes))}"
        allowed = case.said("wall_clearance", most)
        yield Fault("bores", f"bores from {ends}: for one piston they may differ by some {allowed} (common practice)")


def _sides(case: FitCase) -> Iterator[Told]:
    """Two heads: an offset pin or pockets off the axis make left and right pistons."""
    heads = [p for p in case.spec.survey.job.parts.values() if p.kind == "head"]
    offset = case.number("pin_offset")
    off_axis = (offset is not None and nominal(offset) != 0) or any(
        pocket.offset for pocket in case.spec.shape.pockets.values()
    )
    if len(heads) > 1 and off_axis and "sides" not in case.spec.said:
        wrong = f"{len(heads)} heads, with a pin or pockets off the middle: it is not said what differs by side"
        yield Fault("sides", wrong)
