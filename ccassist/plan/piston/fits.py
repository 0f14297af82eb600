"""Every check of an order, judged: what does not hold, what of it was accepted, what could not be looked at."""

from __future__ import annotations

from collections.abc import Iterator
from math import pi

from ccassist.job.sections import CHECKS, Check
from ccassist.plan.piston.fits_case import Fault, FitCase, Told, Unseen
from ccassist.plan.piston.fits_crown import (
    at_the_groove,
    edge,
    land,
    over_the_pin,
    pin,
    pin_length,
    pockets,
    ring_pack,
    shape,
)
from ccassist.plan.piston.fits_head import bands, chamber, closeness, gap, gasket, set_of_pistons
from ccassist.plan.piston.fits_valves import ordered_rooms, valves
from ccassist.plan.piston.specification import HEIGHT_TERMS, RATIO, Specification
from ccassist.values.display import Formatter
from ccassist.values.findings import Finding, Level, clean, note, warning
from ccassist.values.measured import Result, Value, ground_of, guessed_names, unsure_texts
from ccassist.values.number import Number, nominal
from ccassist.vocabulary.record import record

# What the numbers ordered and the fits rest on: not more without ground than where 95 % may be said.

CLEAR = 3.0  # times what is only taken: with so much room no guess decides; common practice, no source


@record(kw_only=False)
class Room:
    """What a fit looks at: in words, the number, and the least that it may be, SI."""

    what: str
    number: Number
    least: float = 0.0


def ground(case: FitCase) -> Iterator[Told]:
    """Whether too much of the doubt in what is ordered, wanted or judged is only taken."""
    told = unsure_texts([*_ordered(case), *_wanted(case), *_gaps(case)], case.fmt)
    for room in _rooms(case):
        rests = ground_of(room.number)
        if not rests.sure and nominal(room.number) - room.least < CLEAR * rests.taken:
            names = guessed_names(row.cause for row in rests.guesses)
            wrong = f"{room.what} rest on what is only taken as usual or assumed ({names})"
            yield Fault("ground", wrong, right=rests.guesses[0].cause.remedy)
    if told:
        _, *reasons = told  # the first says that 95 % cannot be said: here it is the check that says so
        yield Fault("ground", f"too much is only taken: {' '.join(reasons).rstrip('.')}")


def _ordered(case: FitCase) -> Iterator[Result]:
    """The two numbers as worked out; one that was stated is exact."""
    for key, one in case.spec.ordered().items():
        yield "", Value(key, one.found, one.origin)


def _wanted(case: FitCase) -> Iterator[Result]:
    for cylinder in case.cylinders:
        for key in dict.fromkeys((RATIO, *HEIGHT_TERMS, *case.spec.survey.wanted)):
            if key in cylinder.values and case.worst(cylinder.number, key) is not None:
                yield f"cylinder {cylinder.number}", cylinder.values[key]


def _gaps(case: FitCase) -> Iterator[Result]:
    for room in ordered_rooms(case.spec.planned).values():
        for one in room.nearest:
            yield f"cylinder {one.cylinder}, {room.valve}", one.gap


def _rooms(case: FitCase) -> Iterator[Room]:
    """What the fits between piston, pin, rings, bore and chamber rest on."""
    pin, height, land = case.number("pin_diameter"), case.first.get("compression_height"), case.number("land_diameter")
    pack, wish, skirt = case.number("ring_pack_depth"), case.number("crown_thickness"), case.number("wall_clearance")
    least = 0.0 if wish is None else nominal(wish)
    if pin is not None and height is not None:
        over = height.number - pin / 2
        yield Room("crown thickness and pin", over - case.spec.shape.deepest, least)
        if pack is not None:
            yield Room("pin and rings", over - pack)
    if land is not None:
        for bore in case.all("bore"):
            yield Room("top land and bore", bore - land, 0.0 if skirt is None else nominal(skirt))
    yield from _chambers(case)


def _chambers(case: FitCase) -> Iterator[Room]:
    """The opening of the chamber beside a dish or a dome, as a circle of its area."""
    across = case.spec.shape.sizes.get("dish_diameter") or case.spec.shape.sizes.get("dome_diameter")
    if across is None or case.spec.shape.shape == "flat":
        return
    for area in case.all("chamber_area"):
        if nominal(area) > 0:
            yield Room("crown and chamber opening", (area * 4 / pi) ** 0.5 - across)


# What the job itself says: errors, and readings that cannot all be true.

# Findings of check that say that two statements, or a statement and a reading, go against one another.
_DOUBTFUL = (
    "stack-differs", "assembly-differs", "two-measurements", "sister-slip", "sister-refill", "impossible-result",
    "refuted", "repeats-apart", "stands-apart", "stages-apart",
)  # fmt: skip
_NAMED = 3
_ELSEWHERE = ("charge", "baseline", "choice", "alternative")  # sections that no order rests on


def contradictions(case: FitCase) -> Iterator[Told]:
    """Errors of the job, a piston that no engine can have, slips of unit, and readings that refute one another."""
    wrong = [_told(one) for one in case.spec.survey.findings if one.level is Level.ERROR]
    wrong += [f"cylinder {c.number}: {c.contradiction}" for c in case.cylinders if c.contradiction]
    for words in dict.fromkeys(wrong):
        yield Fault("contradiction", words)
    looks = [one for one in case.spec.survey.findings if one.level is not Level.ERROR]
    unusual = [one for one in looks if one.code == "unusual" and one.place.partition(".")[0] not in _ELSEWHERE]
    for key, found in (("unusual", unusual), ("doubts", [one for one in looks if one.code in _DOUBTFUL])):
        for one in found[:_NAMED]:
            yield Fault(key, _told(one))
        if len(found) > _NAMED:
            yield Fault(key, f"{len(found) - _NAMED} more findings of this kind: see check")


def _told(one: Finding) -> str:
    """A finding without its file."""
    read = f', read "{clean(one.read, 60)}"' if one.code == "unusual" and one.read else ""
    return clean(f"{one.place}{read}: {one.wrong}" if one.place else one.wrong, 300)


# All of it, what was accepted and what could not be looked at.

ACCEPTED = "order.accepted"
JUDGES = (
    contradictions, shape, pockets, edge, bands, closeness, gap, gasket, chamber, valves, over_the_pin, at_the_groove,
    pin, ring_pack, pin_length, land, set_of_pistons, ground,
)  # fmt: skip


@record
class Outcome:
    """One thing that does not hold.

    wrong, right : what is wrong, with its amounts, and the way out.
    """

    check: Check  # as declared
    wrong: str
    right: str
    accepted: str = ""  # the reason for which it is accepted, or what settles it; "" where it stands

    @property
    def text(self) -> str:
        """What stands in the bar: what is wrong, and the way out or why it is accepted."""
        return f"{self.wrong}: accepted, {self.accepted}" if self.accepted else f"{self.wrong}; {self.right}"

    def finding(self) -> Finding:
        """The same as a finding, for the list of what the maker must look at."""
        made = note if self.accepted else warning
        right = f"accepted: {self.accepted}" if self.accepted else self.right
        return made(self.check.key.replace("_", "-"), self.wrong, right=right)


@record
class Judged:
    """Everything that the checks found."""

    outcomes: tuple[Outcome, ...]  # what does not hold, in the order of the checks as declared
    unseen: tuple[str, ...]  # what could not be looked at, each once, in words
    idle: tuple[str, ...] = ()  # what is accepted although nothing of the kind is wrong, in words

    @property
    def faults(self) -> tuple[Outcome, ...]:
        """What keeps the order from being final."""
        return tuple(one for one in self.outcomes if not one.accepted)

    @property
    def accepted(self) -> tuple[Outcome, ...]:
        """What does not hold and is accepted."""
        return tuple(one for one in self.outcomes if one.accepted)


def judged(spec: Specification, fmt: Formatter) -> Judged:
    """All checks of one specification, in the units shown."""
    case = FitCase(spec=spec, system=fmt.system)
    told = [one for judge in JUDGES for one in judge(case)]
    reasons = {key: clean(text.strip(), 300) for key, text in spec.survey.job.said.get(ACCEPTED, {}).items()}
    outcomes = [_outcome(one, reasons) for one in told if isinstance(one, Fault)]
    places = list(CHECKS)
    outcomes.sort(key=lambda one: places.index(one.check.key))
    unseen = dict.fromkeys(f"{one.what}: {one.lacks}" for one in told if isinstance(one, Unseen))
    met = {one.check.key for one in outcomes}
    idle = [f"{key} is accepted, but nothing of the kind is wrong: take it out" for key in reasons if key not in met]
    return Judged(outcomes=tuple(dict.fromkeys(outcomes)), unseen=tuple(unseen), idle=tuple(idle))


def _outcome(one: Fault, reasons: dict[str, str]) -> Outcome:
    check = CHECKS[one.key]
    accepted = one.settled or (reasons.get(one.key, "") if check.acceptable else "")
    return Outcome(check=check, wrong=one.wrong, right=one.right or check.right, accepted=accepted)
