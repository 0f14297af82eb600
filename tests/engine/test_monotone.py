"""The curve through readings that rise, against SciPy's PchipInterpolator (an independent library)."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from scipy.interpolate import PchipInterpolator

from ccassist.engine.monotone import place_of, slope_at, slopes, value_at

SETS = (
    ([0.0, 1.0], [0.0, 2.0]),
    ([0.0, 1.0, 3.0], [0.0, 2.0, 3.0]),
    ([0.0, 1.0, 1.2, 4.0, 6.0], [0.0, 4.9, 5.6, 17.9, 25.9]),
    ([0.0, 0.1, 3.0, 3.1], [0.0, 5.0, 5.1, 20.0]),  # a bend that a plain cubic would overshoot
    ([0.0, 1.0, 1.05], [0.0, 0.1, 10.0]),  # an end slope that would fall
)


@pytest.mark.parametrize(("x", "y"), SETS)
def test_values_and_slopes_are_those_of_the_library(x: list[float], y: list[float]) -> None:
    theirs, ours = PchipInterpolator(x, y), slopes(x, y)
    for at in np.linspace(x[0], x[-1], 101):
        i = place_of(x, at)
        assert value_at(x, y, ours, at, i) == pytest.approx(float(theirs(at)), rel=1e-12, abs=1e-12)
        assert slope_at(x, y, ours, at, i) == pytest.approx(float(theirs(at, 1)), rel=1e-9, abs=1e-9)


@pytest.mark.parametrize(("x", "y"), SETS)
def test_it_passes_through_every_reading_and_never_falls(x: list[float], y: list[float]) -> None:
    ours = slopes(x, y)
    assert [value_at(x, y, ours, at, place_of(x, at)) for at in x] == pytest.approx(y, abs=1e-12)
    drawn = [value_at(x, y, ours, at, place_of(x, at)) for at in np.linspace(x[0], x[-1], 500)]
    assert min(b - a for a, b in pairwise(drawn)) >= -1e-12
