"""Closing in on two unknowns at once: Newton's method with slopes from small steps, shortened where it overshoots."""

from __future__ import annotations

from collections.abc import Callable

from ccassist.vocabulary import term

_STEP = 1e-6  # of the usual span: how far each unknown is moved to see what it does
_STEPS, _SHORTER = 60, 30
_MET = 1e-13  # of the targets

Place = tuple[float, float]
Miss = Callable[[Place], Place | None]


def starts(key: str, present: float | None) -> tuple[float, ...]:
    """Values of a term (SI) to start from: the present one, then over its usual range."""
    low, high = term(key).plausible
    over = tuple(low + (high - low) * part for part in (0.5, 0.25, 0.75, 0.05, 0.95))
    return over if present is None else (present, *over)


def zero(miss: Miss, start: Place, scales: Place) -> Place | None:
    """Where both misses vanish, closing in from a start; None where it does not come to rest.

    Parameters
    ----------
    miss : what is missing of each target, as a part of it; None where no engine can be.
    start : both unknowns, SI.
    scales : what a small step of each is measured by, SI.
    """
    place, here = start, miss(start)
    for _ in range(_STEPS):
        if here is None:
            return None
        if max(map(abs, here)) <= _MET:
            return place
        move = _move(miss, place, here, scales)
        nearer = None if move is None else _shortened(miss, place, here, move)
        if nearer is None:
            break
        place, here = nearer
    return place if here is not None and max(map(abs, here)) <= _MET * 1e3 else None


def _move(miss: Miss, place: Place, here: Place, scales: Place) -> Place | None:
    """Newton's step, by central differences."""
    columns = []
    for which in (0, 1):
        ends = []
        for way in (1, -1):
            there = list(place)
            there[which] += way * _STEP * scales[which]
            ends.append(miss((there[0], there[1])))
        if ends[0] is None or ends[1] is None:
            return None
        columns.append([(ends[0][row] - ends[1][row]) / (2 * _STEP) for row in (0, 1)])
    (a, c), (b, d) = columns
    both = a * d - b * c
    if abs(both) <= 1e-12 * (abs(a * d) + abs(b * c)):
        return None
    return (b * here[1] - d * here[0]) / both * scales[0], (c * here[0] - a * here[1]) / both * scales[1]


def _shortened(miss: Miss, place: Place, here: Place, move: Place) -> tuple[Place, Place] | None:
    """The longest half, quarter ... of the step that comes nearer; None where none does."""
    part = 1.0
    for _ in range(_SHORTER):
        there = (place[0] + part * move[0], place[1] + part * move[1])
        missing = miss(there)
        if missing is not None and max(map(abs, missing)) < max(map(abs, here)):
            return there, missing
        part /= 2
    return None
