"""Mathematics of every kind.

Consistency, no physics: one kind of mathematics against another.
"""

from __future__ import annotations

import numpy as np
import pytest
from uncertainties import ufloat

from ccassist.engine import mathematics
from ccassist.engine.mathematics import log, mathematics_of, within


def test_kinds_of_mathematics() -> None:
    assert mathematics_of(1.0, 2.0) is mathematics.FLOATS
    assert mathematics_of(1.0, np.array([2.0])) is mathematics.arrays()
    assert mathematics_of(1.0, ufloat(1, 1)) is mathematics.uncertain()


def test_log_and_limits_of_every_kind() -> None:
    assert log(np.array([1.0, np.e])) == pytest.approx([0.0, 1.0])
    assert log(ufloat(2.0, 0.2)).std_dev == pytest.approx(0.1)
    assert within(5.0, 0.0, 3.0) == 3.0
    assert list(within(np.array([-1.0, 1.0]), 0.0, 3.0)) == [0.0, 1.0]


def test_a_relation_says_what_it_is_and_where_it_is_from() -> None:
    def swept(bore: float, stroke: float) -> float:
        """Swept volume.

        [m], [m] -> [m³].  Source: plane
        geometry.

        >>> 1
        1
        """
        return bore * stroke

    def bare(bore: float) -> float:
        return bore

    one, other = (mathematics.Relation("a", "b", ("bore",), function) for function in (swept, bare))
    assert (one.title, one.source) == ("Swept volume", "plane geometry.")
    assert (other.title, other.source) == ("", "")
    assert all(relation.title and relation.source for relation in mathematics.RELATIONS.values())
