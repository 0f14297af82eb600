"""Whether one step of a calibration is a slip: judged by the line through the others, and by what a hand repeats to.

Every step is set against the straight line through all the others.  Its distance is divided by its own standard
deviation, σ / √(1 − leverage), where σ is the usual repeatability and the scatter of the others joined: the larger of
σ₀ and √((4 σ₀² + ν s²) / (4 + ν)).  Beyond Student's t with 4 + ν degrees of freedom at a chance of 1 % over all
steps, the farthest is called bad.  σ₀ is what the instrument declares, else 0.1 cc, 0.2 % of the largest step or a
third of the scale's smallest step, whichever is most (common practice, no source).  Three steps cannot tell which of
them is bad; and several slips may hide each other: there the scatter about the line alone decides.  A scale that
bends smoothly has no bad step.

Source of the distance: Draper & Smith, Applied Regression Analysis, deleted residuals (from memory; checked against a
fit through the others).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from ccassist.bench.straight_line import bend, fit, left_by_bend
from ccassist.values.coverage import student

CHANCE = 0.01  # of calling any step of a sound calibration bad
USUAL, USUAL_SHARE, OF_A_MARK = 0.1e-6, 0.002, 1 / 3  # m³; of the largest step; of the smallest step of the scale
HELD = 4  # degrees of freedom that the usual repeatability counts for
HIDDEN = 5.0  # times the usual repeatability: slips may hide each other


@dataclass(frozen=True, kw_only=True)
class BadStep:
    """What spoils a calibration: the place of the step among the counted ones (None where it cannot be told), how far
    it lies from the line through the others (or, of none, the scatter about the line), and what a hand repeats to,
    m³."""

    at: int | None
    off: float
    usual: float


def usual_scatter(says: Sequence[float], declared: float | None, mark: float, least: float) -> float:
    """Standard deviation of one delivery that is to be expected, m³; ``least`` is what reading the scales gives."""
    if declared is not None:
        return max(declared, least)
    return max(USUAL, USUAL_SHARE * max(says), OF_A_MARK * mark, least)


def bad_step(says: Sequence[float], true: Sequence[float], usual: float) -> BadStep | None:
    """What spoils a line through steps, None where it is sound."""
    line, count = fit(says, true), len(says)
    bent = bend(says, true)
    if bent is not None and bent.shown and count > 4 and left_by_bend(says, true) <= 2 * usual:
        return None
    if count > 3:
        worst = max((_distance(i, says, true, usual) for i in range(count)), key=lambda found: found[0])
        if worst[0] > 1:
            return BadStep(at=worst[1], off=worst[2], usual=usual)
    limit = HIDDEN if count > 3 else student(HELD, 1 - CHANCE)
    return BadStep(at=None, off=line.scatter, usual=usual) if line.scatter > limit * usual else None


def _distance(i: int, says: Sequence[float], true: Sequence[float], usual: float) -> tuple[float, int, float]:
    """How far a step lies from the line through the others, over what is allowed; its place; and how far, m³."""
    x = [v for j, v in enumerate(says) if j != i]
    y = [v for j, v in enumerate(true) if j != i]
    if len(set(x)) < 2:
        return 0.0, i, 0.0
    line = fit(x, y)
    freedom = line.dof if line.dof > 0 else 0
    joined = (HELD * usual**2 + freedom * (line.scatter if freedom else 0.0) ** 2) / (HELD + freedom)
    far = 1 + 1 / len(x) + (says[i] - line.middle) ** 2 / line.spread
    allowed = student(HELD + freedom, 1 - CHANCE / len(says)) * math.sqrt(max(usual**2, joined) * far)
    off = true[i] - line.at(says[i])
    return abs(off) / allowed, i, off
