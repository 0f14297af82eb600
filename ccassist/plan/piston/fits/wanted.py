"""What is wanted and hangs on the piston, in every cylinder at its worst; and the pistons against one another."""

from __future__ import annotations

import math
from collections.abc import Iterator

from ccassist.analysis.wording import whose
from ccassist.plan.piston.fits.case import Case, Fault, Told, Unseen
from ccassist.plan.piston.specification import RATIO
from ccassist.plan.tolerance.worst import Span
from ccassist.values.band import Band
from ccassist.values.findings import clean
from ccassist.values.measured import nominal
from ccassist.vocabulary import term

ALIKE = 0.5  # of the piston-to-wall clearance: by how much bores may differ for one piston; common practice, no source
_NAMED = 4  # ranges named in one line
ALIKE_UNSAID = 0.03e-3  # m, where no clearance is stated; common practice, no source


def bands(case: Case) -> Iterator[Told]:
    """Every term wanted that the piston moves, in every cylinder."""
    for band in case.spec.survey.wanted.values():
        spans = {c.number: span for c in case.cylinders if (span := case.worst(c.number, band.key)) is not None}
        unknown = [number for number, span in spans.items() if math.isnan(span.low)]
        off = [number for number, span in spans.items() if number not in unknown and not _kept(span, band)]
        name = term(band.key).name
        if unknown:
            wrong = f"the {name} of {whose(unknown)} cannot be judged at its worst: a ± in it is not known yet"
            yield Fault(key="wanted_band", wrong=wrong, right="take the repeats that show asks for")
        if off:
            alike: dict[str, list[int]] = {}
            for n in off:
                alike.setdefault(case.against(band.key, spans[n], band), []).append(n)
            said = "; ".join(f"{text} in {whose(which)}" for text, which in list(alike.items())[:_NAMED])
            more = f" and {len(alike) - _NAMED} more" if len(alike) > _NAMED else ""
            wrong = f"the {name} wanted, {clean(band.raw, 40)}, is not kept: at its worst it is {said}{more}"
            yield Fault(key="wanted_band", wrong=wrong)
        if spans and band.low == band.high and not off and not unknown:
            widest = Span(low=min(s.low for s in spans.values()), high=max(s.high for s in spans.values()))
            lacks = f"one value is wanted, no range; at its worst it is {case.between(band.key, widest)}"
            yield Unseen(what=f"{name} against a range", lacks=lacks)
    wanted = case.spec.survey.wanted
    if not {"squish", "deck_clearance"} & set(wanted) and case.spec.height is not None:
        yield Unseen(what="squish gap against a range", lacks=f"no {term('squish').name} is wanted")
    if RATIO not in wanted:
        yield Unseen(what=f"{term(RATIO).name} against a range", lacks=f"no {term(RATIO).name} is wanted")


def _kept(span: Span, band: Band) -> bool:
    """Whether a span lies in a band, but for the rounding of floats; of one value, whether the span holds it."""
    if band.low == band.high:
        return span.low <= band.aim <= span.high
    hair = 1e-9 * max(abs(span.low), abs(span.high))
    return span.low >= band.low - hair and span.high <= band.high + hair


def set_of_pistons(case: Case) -> Iterator[Told]:
    """As many as there are cylinders, one kind for all bores and both banks."""
    many, needed = case.number("pieces"), case.spec.survey.job.cylinders
    if many is not None and nominal(many) < needed:
        count = round(nominal(many))
        wrong = f"{count} piston{'' if count == 1 else 's'} for {needed} cylinders"
        yield Fault(key="pieces", wrong=wrong, right=f"pieces = {needed} under [order]; or accept it with a reason")
    yield from _bores(case)
    yield from _sides(case)


def _bores(case: Case) -> Iterator[Told]:
    sizes = [nominal(number) for number in case.all("bore")]
    clearance = case.number("wall_clearance")
    most = ALIKE_UNSAID if clearance is None else ALIKE * nominal(clearance)
    apart = max(sizes, default=0.0) - min(sizes, default=0.0)
    if len(sizes) > 1 and apart > most:
        ends = f"{case.said('bore', min(sizes))} to {case.said('bore', max(sizes))}"
        allowed = case.said("wall_clearance", most)
        wrong = f"bores from {ends}: for one piston they may differ by some {allowed} (common practice)"
        yield Fault(key="bores", wrong=wrong)


def _sides(case: Case) -> Iterator[Told]:
    """Two heads: an offset pin or pockets off the axis make left and right pistons."""
    heads = [p for p in case.spec.survey.job.parts.values() if p.kind == "head"]
    offset = case.number("pin_offset")
    off_axis = (offset is not None and nominal(offset) != 0) or any(
        pocket.offset for pocket in case.spec.shape.pockets.values()
    )
    if len(heads) > 1 and off_axis and "sides" not in case.spec.said:
        wrong = f"{len(heads)} heads, with a pin or pockets off the middle: it is not said what differs by side"
        yield Fault(key="sides", wrong=wrong)
