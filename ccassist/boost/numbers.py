"""Small mathematics shared in this room, for floats, arrays and uncertain numbers alike."""

from __future__ import annotations

import math
from typing import Any

from ccassist.engine import mathematics
from ccassist.engine.mathematics import Mathematics
from ccassist.values.number import Number, is_array, is_uncertain, standard

Array = Any  # of NumPy, told to the type checker as anything: its own types know no protocol of ours


def is_grid(number: Number) -> bool:
    """Whether it is an array of several, not one number of NumPy's.

    >>> is_grid(1.0)
    False
    """
    return bool(getattr(number, "ndim", 0))


def chosen(where: Array, one: Array, other: Array) -> Array:
    """The one where it holds, element by element, else the other; arrays of plain numbers.

    >>> import numpy as np
    >>> chosen(np.array([True, False]), np.array([1.0, 2.0]), 0.0).tolist()
    [1.0, 0.0]
    """
    import numpy as np

    return np.where(where, one, other)


def plain(number: Number) -> Array:
    """The number without its uncertainty, in its own unit, to choose between branches; arrays and floats as they are.

    >>> from uncertainties import ufloat
    >>> plain(ufloat(2.0, 0.1)), plain(3.0)
    (2.0, 3.0)
    """
    return getattr(number, "nominal_value", number)


def mathematics_of(*numbers: Number) -> Mathematics:
    """The kind of mathematics that these numbers need.

    >>> mathematics_of(1.0, 2.0) is mathematics.FLOATS
    True
    """
    if any(map(is_uncertain, numbers)):
        return mathematics.uncertain()
    return mathematics.arrays() if any(map(is_array, numbers)) else mathematics.FLOATS


def log(number: Number) -> Number:
    """Natural logarithm of a number without unit, element by element.

    Source: definition.

    >>> log(1.0)
    0.0
    """
    if isinstance(number, int | float):
        return math.log(number)
    found: Number
    if is_array(number):
        import numpy as np

        found = np.log(number)  # type: ignore[call-overload]
    else:
        from uncertainties import umath

        found = umath.log(number)
    return found


def within(number: Array, low: Array, high: Array) -> Array:
    """The number, or the end of low to high that it has passed, element by element; all in one unit.

    >>> within(5.0, 0.0, 2.0)
    2.0
    """
    if any(map(is_array, (number, low, high))):
        import numpy as np

        return np.clip(number, low, high)
    return min(max(number, low), high)


def step_of(number: Number) -> float:
    """How far a number is moved to see what it does: its standard uncertainty, else little; any one unit.

    Source: JCGM 100:2008, 5.1.3 note 2.

    >>> step_of(2.0)
    2e-05
    """
    here, spread = abs(plain(number)), standard(number)
    return spread if math.isfinite(spread) and spread > here * 1e-9 else max(here, 1e-9) * 1e-5
