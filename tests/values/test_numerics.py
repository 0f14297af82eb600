"""Roots, linear equations and the curve through points, against SciPy and NumPy (independent libraries)."""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import optimize
from scipy.interpolate import PchipInterpolator
from uncertainties import ufloat

from ccassist.values.number import nominal, standard
from ccassist.values.numerics import (
    Curve,
    NoBracket,
    bracket,
    edge,
    gauss_legendre,
    linear,
    newton,
    reduced,
    root,
    roots,
    secant,
    uncertain_root,
    uncertain_roots,
)

FUNCTIONS: tuple[tuple[str, Callable[[float], float], float, float], ...] = (
    ("smooth", lambda x: math.exp(x) - 3, -1.0, 5.0),
    ("ninth power", lambda x: (x - 0.3) ** 9, -1.0, 1.5),
    ("a pole beside it", lambda x: 1 / (x + 1e-6) - 1e3, 0.0, 1.0),
    ("flat, then steep", lambda x: x**19 - 1e-3, 0.0, 2.0),
    ("steep, then flat", lambda x: math.atan(1e4 * (x - 0.123)), -1.0, 1.0),
    ("falling", lambda x: 46e-6 - x, 0.0, 1e-3),
    ("from high to low", lambda x: x - 46e-6, 1e-3, 0.0),
    ("a step", lambda x: 1.0 if x > 0.7 else -1.0, 0.0, 1.0),
    ("its root is nothing", lambda x: x**3 + x, -1.0, 0.7),
)


@pytest.mark.parametrize(("function", "low", "high"), [f[1:] for f in FUNCTIONS], ids=[f[0] for f in FUNCTIONS])
def test_a_root_is_that_of_the_library_and_costs_no_more_than_halving(
    function: Callable[[float], float], low: float, high: float
) -> None:
    """Source: scipy.optimize.brentq; a ninth power is so flat at its root that neither knows it well."""
    asked: list[float] = []

    def counted(x: float) -> float:
        asked.append(x)
        return function(x)

    found = root(counted, low, high)
    theirs = optimize.brentq(function, low, high, xtol=1e-300, rtol=1e-15, maxiter=10_000)
    slack = 0.03 if function is FUNCTIONS[1][1] else 1e-13
    assert found == pytest.approx(theirs, rel=slack, abs=1e-20)
    assert len(asked) <= 150
    assert all(min(low, high) <= x <= max(low, high) for x in asked)


@given(st.floats(-1e3, 1e3), st.floats(1e-6, 1e3), st.floats(1e-6, 1e3), st.floats(0.1, 10))
def test_a_root_of_any_cubic_is_found(at: float, below: float, above: float, bend: float) -> None:
    found = root(lambda x: (x - at) * (1 + bend * (x - at) ** 2), at - below, at + above)
    assert found == pytest.approx(at, rel=1e-12, abs=1e-12)


def test_ends_that_are_roots_and_ends_that_hold_none() -> None:
    assert root(lambda x: x, 0.0, 1.0) == 0.0
    assert root(lambda x: x - 1, 0.0, 1.0) == 1.0
    with pytest.raises(NoBracket, match="no change of sign between 1 and 2"):
        root(lambda x: x, 1.0, 2.0)
    with pytest.raises(NoBracket, match="up to 100"):
        bracket(lambda x: x + 1, 1.0, 2.0, most=100.0)
    with pytest.raises(NoBracket):
        root(lambda x: math.nan, 0.0, 1.0)


def test_every_root_between_samples() -> None:
    """The sine's roots are multiples of π; a sample that is one counts once."""
    seen = [(x, math.sin(x)) for x in np.linspace(0.0, 10.0, 20).tolist()]
    assert roots(math.sin, seen) == pytest.approx([0.0, math.pi, 2 * math.pi, 3 * math.pi], abs=1e-14)


def test_the_edge_lies_inside() -> None:
    found = edge(lambda x: x <= 0.7, 0.0, 1.0)
    assert found <= 0.7 < math.nextafter(found, 1.0) + 1e-15
    assert edge(lambda x: x >= 0.7, 1.0, 0.0) >= 0.7


def test_newton_on_numbers_and_on_arrays() -> None:
    """Cube roots, by the slope and by secants (NumPy's cbrt)."""
    wanted = np.array([1.0, 8.0, 0.2])
    by_slope = newton(lambda x: (x**3 - wanted) / (3 * x**2), np.ones(3))
    by_secants = newton(secant(lambda x: x**3 - wanted, np.ones(3)), np.full(3, 1.1), steps=20)
    assert by_slope == pytest.approx(np.cbrt(wanted), rel=1e-15)
    assert by_secants == pytest.approx(np.cbrt(wanted), rel=1e-12)
    kept = newton(lambda x: (x**3 - 8) / (3 * x**2), 0.1, keep=lambda x: min(x, 3.0))
    assert kept == pytest.approx(2.0, rel=1e-15)


MATRICES = st.integers(1, 4).flatmap(
    lambda n: st.lists(st.lists(st.floats(-10, 10), min_size=n + 1, max_size=n + 1), min_size=n, max_size=n)
)


@given(MATRICES)
def test_linear_equations_are_solved_as_the_library_does(rows: list[list[float]]) -> None:
    matrix, totals = np.array([row[:-1] for row in rows]), [row[-1] for row in rows]
    found = linear(matrix.tolist(), totals)
    size = np.abs(matrix).max(axis=1)
    if size.min() > 1e-6 and np.linalg.cond(matrix / size[:, None]) < 1e5:
        assert found == pytest.approx(np.linalg.solve(matrix, totals), rel=1e-7, abs=1e-7)


def test_equations_that_say_the_same_fix_nothing() -> None:
    assert linear([[1.0, 2.0], [0.1, 0.2]], [1.0, 0.1]) is None
    assert uncertain_roots([1.0, 1.0], [0.0, 0.0], [[1.0, 2.0], [2.0, 4.0]]) is None
    assert reduced([([1.0, 2.0], 1.0), ([2.0, 4.0], 2.0)], 1e-9) == [([1.0, 2.0], 1.0)]


def test_a_root_carries_what_the_function_hangs_on() -> None:
    """x = √a and x = √(a b) with a shared: as the closed forms do (JCGM 100:2008, 5.1.2)."""
    a, b = ufloat(4.0, 0.4), ufloat(9.0, 0.1)
    found = uncertain_root(2.0, 2.0**2 - a, 4.0)
    assert (nominal(found), standard(found)) == pytest.approx((2.0, 0.5 * 0.4 / 2))
    first, second = uncertain_roots([2.0, 6.0], [2.0**2 - a, (6.0 / 2.0) ** 2 - b], [[4.0, 0.0], [-9.0, 3.0]]) or []
    exact = (a**0.5, (a * b) ** 0.5)
    for ours, closed in zip((first, second), exact, strict=True):
        assert standard(ours - closed) == pytest.approx(0.0, abs=1e-12)


def test_integrals_of_a_polynomial_are_exact() -> None:
    """Source: numpy.polynomial.legendre.leggauss."""
    for order in (1, 2, 5, 44, 160):
        places, weights = np.polynomial.legendre.leggauss(order)
        ours = np.array(gauss_legendre(order))
        assert ours[:, 0] == pytest.approx(places, abs=1e-13)
        assert ours[:, 1] == pytest.approx(weights, abs=1e-13)


SETS = (
    ((0.0, 1.0), (0.0, 2.0)),
    ((0.0, 1.0, 3.0), (0.0, 2.0, 3.0)),
    ((0.0, 1.0, 1.2, 4.0, 6.0), (0.0, 4.9, 5.6, 17.9, 25.9)),
    ((0.0, 0.1, 3.0, 3.1), (0.0, 5.0, 5.1, 20.0)),  # a bend that a plain cubic would overshoot
    ((0.0, 1.0, 1.05), (0.0, 0.1, 10.0)),  # an end slope that would fall
)


@pytest.mark.parametrize(("x", "y"), SETS)
def test_values_and_slopes_of_the_curve_are_those_of_the_library(x: tuple[float, ...], y: tuple[float, ...]) -> None:
    theirs, ours = PchipInterpolator(x, y), Curve(x, y)
    for at in np.linspace(x[0], x[-1], 101).tolist():
        assert ours.value(at) == pytest.approx(float(theirs(at)), rel=1e-12, abs=1e-12)
        assert ours.slope(at) == pytest.approx(float(theirs(at, 1)), rel=1e-9, abs=1e-9)


@pytest.mark.parametrize(("x", "y"), SETS)
def test_the_curve_passes_through_every_reading_and_never_falls(x: tuple[float, ...], y: tuple[float, ...]) -> None:
    ours = Curve(x, y)
    assert [ours.value(at) for at in x] == pytest.approx(y, abs=1e-12)
    drawn = [ours.value(at) for at in np.linspace(x[0], x[-1], 500).tolist()]
    assert min(b - a for a, b in pairwise(drawn)) >= -1e-12
