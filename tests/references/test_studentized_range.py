"""The studentized range against SciPy, against printed tables, and against what it must be for two things."""

import math

import numpy as np
import pytest
from scipy.stats import studentized_range as reference
from scipy.stats import t as student_reference

from ccassist.values.numerics import gauss_legendre, nodes
from ccassist.values.statistics import chance_of, studentized_range
from tests.references.sources import cites, promise

pytestmark = cites("scipy")

# Upper 5 % and 1 % points as printed in handbook tables of the studentized range (Harter 1960; Pearson & Hartley,
# Biometrika Tables, Table 29; NIST/SEMATECH e-Handbook), from memory: (things, degrees of freedom, printed).
PRINTED_5 = (
    (2, 10, 3.15), (3, 10, 3.88), (4, 10, 4.33), (8, 10, 5.30),
    (3, 5, 4.60), (4, 20, 3.96), (8, 20, 4.77), (3, 60, 3.40),
    (2, math.inf, 2.77), (3, math.inf, 3.31), (4, math.inf, 3.63), (6, math.inf, 4.03), (8, math.inf, 4.29),
)  # fmt: skip
PRINTED_1 = ((3, 10, 5.27), (4, 20, 5.02), (8, 20, 5.84), (3, math.inf, 4.12), (8, math.inf, 4.99))


@cites("range")
@pytest.mark.parametrize(("things", "dof", "printed"), PRINTED_5)
def test_five_per_cent_points_as_printed(things: int, dof: float, printed: float) -> None:
    assert studentized_range(things, dof) == pytest.approx(printed, abs=0.0051)


@cites("range")
@pytest.mark.parametrize(("things", "dof", "printed"), PRINTED_1)
def test_one_per_cent_points_as_printed(things: int, dof: float, printed: float) -> None:
    assert studentized_range(things, dof, 0.99) == pytest.approx(printed, abs=0.0051)


@pytest.mark.parametrize("things", [2, 8, 48])
@pytest.mark.parametrize("dof", [1, 5, 60])
def test_agrees_with_scipy(things: int, dof: int) -> None:
    """Source: scipy.stats.studentized_range."""
    assert studentized_range(things, dof) == pytest.approx(float(reference.ppf(0.95, things, dof)), rel=1e-4)


@pytest.mark.parametrize("dof", [401, 1500])
def test_agrees_with_scipy_where_it_is_interpolated(dof: int) -> None:
    """Source: scipy.stats.studentized_range."""
    assert studentized_range(8, dof) == pytest.approx(float(reference.ppf(0.95, 8, dof)), rel=1e-4)
    assert studentized_range(8, dof, 0.995) == pytest.approx(float(reference.ppf(0.995, 8, dof)), rel=1.5e-4)


@pytest.mark.parametrize("ratio", [0.5, 2.0, 4.0, 7.0])
def test_chances_agree_with_scipy(ratio: float) -> None:
    """Source: scipy.stats.studentized_range, upper tail."""
    for things, dof in ((3, 14), (5, 3), (8, 16)):
        assert chance_of(ratio, things, dof) == pytest.approx(float(reference.sf(ratio, things, dof)), abs=1e-5)


@pytest.mark.parametrize("dof", [1, 4, 16, 120, 1000])
def test_for_two_things_it_is_student_times_root_two(dof: int) -> None:
    """The range of two is their difference: q = √2 t.  Source: scipy.stats.t."""
    expected = math.sqrt(2) * float(student_reference.ppf(0.975, dof))
    assert studentized_range(2, dof) == pytest.approx(expected, rel=2e-5)


@promise()
def test_degrees_are_truncated_as_for_student() -> None:
    assert studentized_range(4, 16.9) == studentized_range(4, 16)


@cites("own")
def test_more_things_reach_farther_and_more_degrees_less_far() -> None:
    assert studentized_range(3, 16) < studentized_range(4, 16) < studentized_range(8, 16)
    assert studentized_range(8, 4) > studentized_range(8, 16) > studentized_range(8)


@cites("own")
def test_a_range_of_nothing_is_always_reached() -> None:
    assert chance_of(0.0, 3, 10) == 1.0


@promise()
@pytest.mark.parametrize("things", [1, 49])
def test_too_few_or_too_many_things_are_refused(things: int) -> None:
    with pytest.raises(ValueError, match="2 to 48 things"):
        chance_of(3.0, things)


@pytest.mark.parametrize("order", [1, 2, 44, 160])
def test_places_and_weights_agree_with_numpy(order: int) -> None:
    """Source: numpy.polynomial.legendre.leggauss."""
    where, weights = np.polynomial.legendre.leggauss(order)
    assert [x for x, _ in gauss_legendre(order)] == pytest.approx(list(where), abs=1e-13)
    assert [w for _, w in gauss_legendre(order)] == pytest.approx(list(weights), abs=1e-13)


@cites("own")
def test_an_interval_is_integrated_between_its_ends() -> None:
    assert math.fsum(w * math.cos(x) for x, w in nodes(0.0, math.pi / 2, 12)) == pytest.approx(1.0, abs=1e-14)
