"""Small mathematics shared in this room, for floats, arrays and uncertain numbers alike."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

from ccassist.engine import mathematics
from ccassist.engine.mathematics import Mathematics


def is_array(number: Any) -> bool:
    """Whether it is a NumPy array, told without loading NumPy."""
    return hasattr(number, "ndim") and not isinstance(number, float)


def is_grid(number: Any) -> bool:
    """Whether it is an array of several, not one number of NumPy's."""
    return is_array(number) and number.ndim > 0


def chosen(where: Any, one: Any, other: Any) -> Any:
    """The one where it holds, element by element, else the other; arrays of plain numbers."""
    import numpy as np

    return np.where(where, one, other)


def is_uncertain(number: Any) -> bool:
    """Whether it is an uncertain number."""
    return hasattr(number, "nominal_value")


def plain(number: Any) -> Any:
    """The number without its uncertainty, for choosing between branches; arrays and floats as they are."""
    return getattr(number, "nominal_value", number)


def mathematics_of(*numbers: Any) -> Mathematics:
    """The kind of mathematics that these numbers need."""
    if any(map(is_uncertain, numbers)):
        return mathematics.uncertain()
    return mathematics.arrays() if any(map(is_array, numbers)) else mathematics.FLOATS


def log(number: Any) -> Any:
    """Natural logarithm, element by element.

    >>> log(1.0)
    0.0
    """
    if isinstance(number, int | float):
        return math.log(number)
    if is_array(number):
        import numpy as np

        return np.log(number)
    from uncertainties import umath

    return umath.log(number)


def within(number: Any, low: Any, high: Any) -> Any:
    """The number, or the end of low to high that it has passed, element by element."""
    if any(map(is_array, (number, low, high))):
        import numpy as np

        return np.clip(number, low, high)
    return min(max(number, low), high)


def propagate(function: Callable[..., float], *numbers: Any) -> Any:
    """A result of plain floats as an uncertain number linked to every input.

    Each slope is half the change between one standard uncertainty above and below (JCGM 100:2008,
    5.1.3 note 2), so that correlations with all else that hangs on the inputs are kept.  Without
    uncertain inputs the plain result.

    >>> propagate(lambda x, y: x * y, 2.0, 3.0)
    6.0
    """
    here = [plain(number) for number in numbers]
    result: Any = function(*here)
    for place, number in enumerate(numbers):
        if is_uncertain(number):
            result = result + _slope(function, here, place, number.std_dev) * (number - here[place])
    return result


def _slope(function: Callable[..., float], here: list[float], place: int, spread: float) -> float:
    known = math.isfinite(spread) and spread > abs(here[place]) * 1e-9
    step = spread if known else max(abs(here[place]), 1e-9) * 1e-5
    ends = [function(*here[:place], here[place] + side * step, *here[place + 1 :]) for side in (1, -1)]
    return (ends[0] - ends[1]) / 2 / step
