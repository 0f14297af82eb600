"""Lines and bends through points, against NumPy's least squares, and where there are too few of them."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import pytest

from ccassist.bench.calibrated import bend, fit, left_by_bend
from tests.each import each

X, Y = (1.0, 2.0, 4.0, 5.0, 7.0, 9.0), (1.1, 1.9, 4.4, 5.2, 7.9, 11.0)


def test_what_a_bend_leaves_is_the_scatter_about_a_parabola() -> None:
    """Three coefficients take three degrees of freedom."""
    left = np.asarray(Y) - np.polyval(np.polyfit(X, Y, 2), X)
    assert left_by_bend(X, Y) == pytest.approx(math.sqrt(float(left @ left) / (len(X) - 3)))
    found = bend(X, Y)
    assert found is not None
    assert found.sag == pytest.approx(float(np.polyfit(X, Y, 2)[0]) * 16)  # half of the span, squared


@each(
    ("x", "seen"),
    [((1, 2, 3), False), ((1, 1, 2, 2), False), ((1, 2, 2, 3), True), ((1, 2, 3, 4), True), ((1, 1, 2), False)],
)
def test_a_bend_needs_four_points_at_three_places(x: Sequence[float], seen: bool) -> None:
    assert (bend(x, [a * a for a in x]) is not None) is seen


def test_a_line_needs_two_places_and_shows_no_scatter_of_two_points() -> None:
    with pytest.raises(ValueError, match="two places"):
        fit([3.0, 3.0], [1.0, 2.0])
    line = fit([1.0, 3.0], [2.0, 6.0])
    assert (line.slope, line.at(0.0)) == pytest.approx((2.0, 0.0))
    assert math.isnan(line.scatter)
