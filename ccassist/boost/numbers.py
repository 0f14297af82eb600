"""Small mathematics shared in this room, for floats, arrays and uncertain numbers alike."""

from __future__ import annotations

import math
from typing import Any


def is_array(number: Any) -> bool:
    """Whether it is a NumPy array, told without loading NumPy."""
    return hasattr(number, "ndim") and not isinstance(number, float)


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


def plain(number: Any) -> Any:
    """The number without its uncertainty, for choosing between branches; arrays and floats as they are."""
    return getattr(number, "nominal_value", number)
