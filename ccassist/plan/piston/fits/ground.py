"""What the numbers ordered and the fits rest on: not more without ground than where 95 % may be said."""

from __future__ import annotations

from collections.abc import Iterator

from ccassist.ground import Result, unsure_texts
from ccassist.measured import Value
from ccassist.plan.piston.fits.case import Case, Fault, Told
from ccassist.plan.piston.specification import RATIO
from ccassist.plan.piston.tolerances import HEIGHT_TERMS
from ccassist.plan.piston.valves import ordered_rooms


def ground(case: Case) -> Iterator[Told]:
    """Whether too much of the doubt in what is ordered, wanted or judged is only taken."""
    told = unsure_texts([*_ordered(case), *_wanted(case), *_gaps(case)], case.system)
    if told:
        _, *reasons = told  # the first says that 95 % cannot be said: here it is the check that says so
        yield Fault(key="ground", wrong=f"too much is only taken: {' '.join(reasons).rstrip('.')}")


def _ordered(case: Case) -> Iterator[Result]:
    """The two numbers as worked out; one that was stated is exact."""
    for key, one in case.spec.ordered().items():
        yield "", Value(key=key, number=one.found, origin=one.origin)


def _wanted(case: Case) -> Iterator[Result]:
    for cylinder in case.cylinders:
        for key in dict.fromkeys((RATIO, *HEIGHT_TERMS, *case.spec.survey.wanted)):
            if key in cylinder.values and case.worst(cylinder.number, key) is not None:
                yield f"cylinder {cylinder.number}", cylinder.values[key]


def _gaps(case: Case) -> Iterator[Result]:
    for room in ordered_rooms(case.spec.planned).values():
        for one in room.nearest:
            yield f"cylinder {one.cylinder}, {room.valve}", one.gap
