"""What is said of an answer in words: why none can be, and what is unusual in the engine it makes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from ccassist.engine.model import RESULTS, Model
from ccassist.solve.question import Question, dependents
from ccassist.solve.scan import Reach, Scan
from ccassist.values.display import places, show
from ccassist.values.findings import Finding, warning
from ccassist.values.number import Number, nominal
from ccassist.values.uncertainty import expand
from ccassist.vocabulary import Kind, term

_AT_THE_EDGE = 1e-6  # of a limit: so near, the limit is what stopped it
_STRAIGHT = 0.2  # of the ±: how far the target may leave its tangent before the ± is called rough


def cannot_be(key: str, number: float, system: str) -> str:
    """That a root would force a term out of what is possible."""
    shown = f"{number:.2f}" if term(key).kind is Kind.COUNT else show(key, number, system=system)
    return f"the {term(key).name} would come to {shown}, which cannot be"


def not_possible(question: Question, value: float, reasons: Iterable[str], scanned: Scan, system: str) -> str:
    """That no possible engine meets the target, why, and what can be reached."""
    unknown, target = term(question.unknown), term(question.target)
    reach, usual = scanned.reach(), scanned.reach(unknown.plausible)
    assert reach is not None  # else the question would not have been sound
    wanted, *ends = _told_apart(question.target, (value, reach.low, reach.high), system)
    at = [show(question.unknown, place, system=system) for place in (reach.low_at, reach.high_at)]
    because = "".join(f"; {reason}" for reason in dict.fromkeys(reasons))
    return (
        f"no {unknown.name} brings the {target.name} to {wanted}{because}; within what can be it goes "
        f"from {ends[0]} ({unknown.name} {at[0]}) to {ends[1]} ({unknown.name} {at[1]})"
        f"{f'; with a usual {unknown.name} {reach_text(question.target, usual, system)}' if usual else ''}"
    )


def reach_text(key: str, reach: Reach, system: str) -> str:
    """The range of a target, such as "from 7.73 to 9.70"."""
    low, high = _told_apart(key, (reach.low, reach.high), system)
    without_end = reach.high >= term(key).possible[1] * (1 - _AT_THE_EDGE)
    return f"from {low} upwards" if without_end else f"from {low} to {high}"


def unusual(question: Question, model: Model, values: Mapping[str, float], system: str) -> list[Finding]:
    """Warnings for the unknown, and the results it moves, that leave the usual range."""
    moved = (question.unknown, *dependents(model, question.unknown))
    keys = (question.unknown, *(key for key in RESULTS if key in moved and key != question.target))
    found = [_unusual(key, values[key], system) for key in dict.fromkeys(keys) if not _usual(key, values[key])]
    openings = ("gasket_area", "bore_area")
    if any(key in moved for key in openings) and all(key in values for key in openings):
        gasket, bore = (values[key] for key in openings)
        if gasket < bore:
            found.append(
                warning(
                    "ring-in-bore",
                    "the gasket's opening would be smaller than the bore",
                    right="its ring would stand in the cylinder: look for another way",
                )
            )
    return found


def rough(question: Question, number: Number, value: float, slope: float) -> list[Finding]:
    """A warning where the ± reaches so far that the target does not follow the unknown in a straight line."""
    spread = expand(number).expanded
    if not spread > 0 or slope == 0:
        return []
    for end in (-spread, spread):
        there = question.at(nominal(number) + end)
        if there is None or abs(there - value - slope * end) > _STRAIGHT * abs(slope * end):
            return [
                warning(
                    "rough-spread",
                    f"the ± of the {term(question.unknown).name} is rough: within it the "
                    f"{term(question.target).name} does not follow in a straight line",
                    right="measure the other inputs closer, or measure it directly",
                )
            ]
    return []


def _usual(key: str, number: float) -> bool:
    low, high = term(key).plausible
    return low <= number <= high


def _unusual(key: str, number: float, system: str) -> Finding:
    shown, low, high = (show(key, value, system=system) for value in (number, *term(key).plausible))
    return warning("unusual", f"the {term(key).name} would be {shown}; most are {low} to {high}", right="are you sure?")


def _told_apart(key: str, numbers: tuple[float, ...], system: str) -> list[str]:
    """Numbers of one term with as many decimals as tell them apart, within reason."""
    usual = places(term(key).shown(system), None)
    shown: list[str] = []
    for decimals in range(usual, usual + 5):
        shown = [show(key, number, system=system, decimals=decimals) for number in numbers]
        if len(set(shown)) == len(set(numbers)):
            break
    return shown
