"""How far a number can go with everything in doubt at its limit at once, and which cause takes it farthest.

What has a limit counts at its limit; what has only a scatter counts at its ±
for 95 %.  Nothing is squared: this is the end that nobody may fall beyond, not
the one that 95 of 100 stay within.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from uncertainties.core import AffineScalarFunc, Variable

from ccassist.values.coverage import student
from ccassist.values.measured import SHAPES, Cause, Number, cause_of, nominal


@dataclass(frozen=True, kw_only=True)
class Span:
    """Lower and upper end of a band, SI; NaN where it cannot be stated."""

    low: float
    high: float


@dataclass(frozen=True, kw_only=True)
class Part:
    """How far one cause can move a number to either side, in the number's own SI unit."""

    cause: Cause
    size: float


def effects_of(number: Number) -> dict[Variable, float]:
    """Each independent effect in a number and how much the number moves with it."""
    return dict(number.derivatives) if isinstance(number, AffineScalarFunc) else {}


def limit_of(variable: Variable) -> float:
    """How far an effect goes: its limit where its shape has one, else its ± for 95 %."""
    cause = cause_of(variable)
    factor = student(cause.dof) if cause.shape == "normal" else SHAPES[cause.shape]
    return float(variable.std_dev) * factor


def parts_of(number: Number) -> list[Part]:
    """What moves a number and how far, the largest first; effects of one cause are added."""
    sizes: dict[Cause, float] = {}
    for variable, slope in effects_of(number).items():
        cause = cause_of(variable)
        sizes[cause] = sizes.get(cause, 0.0) + abs(slope) * limit_of(variable)
    made = [Part(cause=cause, size=size) for cause, size in sizes.items() if size != 0]
    return sorted(made, key=lambda part: -math.inf if math.isnan(part.size) else -part.size)


def reach(number: Number) -> Span:
    """From its lowest to its highest, in a straight line; NaN where a part of it is not known yet."""
    size = math.fsum(part.size for part in parts_of(number))
    return Span(low=nominal(number) - size, high=nominal(number) + size)
