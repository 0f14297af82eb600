"""Engines put together by chance: draws of every cause by its own shape, through the model as arrays.

Source: JCGM 101:2008, 6.4.2 (rectangle), 6.4.5 (triangle), 6.4.7 (normal),
6.4.9 (Student's t where the scatter itself is only estimated), 7.7 (the
interval that leaves equal parts on either side).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from uncertainties.core import Variable

from ccassist.engine.mathematics import Mathematics, arrays
from ccassist.values.coverage import middle_of
from ccassist.values.measured import SHAPES, cause_of

DRAWS, SEED = 20_000, 8_800  # the same draws every time, so that the same job gives the same band
Evaluate = Callable[[Mapping[Variable, Any], Mathematics], Any]


def drawn_band(variables: Sequence[Variable], evaluate: Evaluate) -> tuple[float, float]:
    """The band that holds 95 of 100 draws, SI; NaN where one draw in a hundred is no engine.

    Parameters
    ----------
    variables : the independent effects, each tagged with its cause.
    evaluate : from effects as arrays (one entry a draw) to the target as an array.
    """
    import numpy as np

    with np.errstate(all="ignore"):
        got = np.broadcast_to(np.asarray(evaluate(draws(variables), arrays()), dtype=float), (DRAWS,))
    kept = got[np.isfinite(got)]
    if len(kept) < 0.99 * DRAWS:
        return math.nan, math.nan
    return middle_of(kept)


def draws(variables: Sequence[Variable]) -> dict[Variable, Any]:
    """One array of draws (shape (DRAWS,), SI) for each effect."""
    import numpy as np

    chance = np.random.default_rng(SEED)
    looseness: dict[object, Any] = {}
    found: dict[Variable, Any] = {}
    for variable in sorted(variables, key=_order):
        cause = cause_of(variable)
        size = float(variable.std_dev)
        if cause.shape == "rectangular":
            found[variable] = size * SHAPES[cause.shape] * chance.uniform(-1, 1, DRAWS)
        elif cause.shape == "triangular":
            found[variable] = size * SHAPES[cause.shape] * chance.triangular(-1, 0, 1, DRAWS)
        else:
            found[variable] = size * chance.standard_normal(DRAWS)
            if math.isfinite(cause.dof):  # estimates of one pool share the doubt of their scatter
                key: object = cause.pool or cause
                if key not in looseness:
                    looseness[key] = np.sqrt(cause.dof / chance.chisquare(cause.dof, DRAWS))
                found[variable] = found[variable] * looseness[key]
    return found


def _order(variable: Variable) -> tuple[str, float]:
    """The order of drawing, which must not hang on how the variables happen to be stored."""
    cause = cause_of(variable)
    return f"{cause.key} {cause.name} {cause.pool}", float(variable.std_dev)
