"""Printed sums add exactly as printed, and every equation gives its printed result from its printed numbers."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from decimal import Decimal

import pytest

from ccassist.analysis.cylinder import Cylinder
from ccassist.analysis.sums import addition, coefficients, guarded, percents
from ccassist.engine.model import RELATIONS
from ccassist.report.blocks import Table
from ccassist.report.workings import (
    added_up,
    algebra,
    formula,
    hand_sums,
    is_identity,
    relations_met,
    significant,
    worked,
)
from ccassist.values.display import METRIC, formatter
from ccassist.vocabulary import term
from ccassist.vocabulary.units import System
from tests.paper.made_sheets import DOME, LARGE, RING, surveyed
from tests.report.test_section import DISH

RATIO = (
    DISH.replace("cylinders = 1", "cylinders = 3")
    + """
[cylinder.2]
chamber_volume = "46.4 +/- 0.2 cc, measured"
"""
)
KINDS = {"dish": DISH, "dome": DOME, "large": LARGE, "ring": RING, "three": RATIO}


@pytest.fixture(params=KINDS)
def cylinders(request: pytest.FixtureRequest) -> Sequence[Cylinder]:
    return surveyed(KINDS[request.param]).cylinders


@pytest.mark.parametrize("system", System)
def test_sums_add_exactly_as_printed(cylinders: Sequence[Cylinder], system: System) -> None:
    made = added_up(cylinders, formatter(system))
    assert made is not None
    added, headlines, _ = made.totals
    for column in range(1, len(made.head)):
        amounts = [Decimal(row[column].replace("−", "-")) for row in made.rows]
        assert sum(amounts) == Decimal(added[column])
        headline = Decimal(headlines[column])
        assert round(Decimal(added[column]), -int(headline.as_tuple().exponent)) == headline


def test_equal_cylinders_share_a_column() -> None:
    made = added_up(surveyed(RATIO).cylinders, METRIC)
    assert made is not None
    assert made.head == ("volumes, cc", "cyl. 1, 3", "cyl. 2")


def test_one_guard_digit_at_least_and_headlines_agree(cylinders: Sequence[Cylinder]) -> None:
    for system in System:
        count = guarded(cylinders, formatter(system))
        for cylinder in cylinders:
            value = cylinder.values.get("clearance_volume")
            if value is None:
                continue
            fewer = formatter(system).decimals(value)
            assert count > fewer
            found = addition(cylinder, count, formatter(system))
            assert found is not None
            shown = formatter(system).amount("clearance_volume", value.nominal, decimals=fewer)
            assert f"{round(found.total, fewer):f}" == shown


def value_of(text: str) -> float:
    """What a printed sum comes to, as a pocket calculator would find it."""
    plain = text
    for sign, python in (("×", "*"), ("÷", "/"), ("−", "-"), ("²", "**2"), ("°", " * π / 180"), ("π", "math.pi")):
        plain = plain.replace(sign, python)
    plain = re.sub("√|asin|sin|cos", lambda found: f"math.{'sqrt' if found[0] == '√' else found[0]}", plain)
    assert re.fullmatch(r"[\d.+\-*/() ]*", re.sub(r"math\.(pi|sqrt|a?sin|cos)", "", plain)), text
    return float(eval(plain, {"math": math, "__builtins__": {}}))


@pytest.mark.parametrize("system", System)
def test_every_equation_gives_its_printed_result_from_its_printed_numbers(
    cylinders: Sequence[Cylinder], system: System
) -> None:
    count = guarded(cylinders, formatter(system))
    for relation in relations_met(cylinders):
        for _, line in worked(relation, cylinders, count, formatter(system)):
            result = Decimal(line.result.replace("−", "-"))
            half = Decimal(5).scaleb(result.as_tuple().exponent - 1)
            assert abs(Decimal(value_of(line.put_in)) - result) <= half * Decimal("1.000001"), line.text


def test_every_equation_is_told_once_with_its_numbers_below(cylinders: Sequence[Cylinder]) -> None:
    (table,) = [block for block in hand_sums(cylinders, METRIC) if isinstance(block, Table)]
    proper = [relation for relation in relations_met(cylinders) if not is_identity(relation)]
    assert [table.rows[start][1] for start in table.groups] == [formula(relation) for relation in proper]
    count = guarded(cylinders, METRIC)
    told = [line.put_in for relation in proper for _, line in worked(relation, cylinders, count, METRIC)]
    assert [row[1] for n, row in enumerate(table.rows) if n not in table.groups] == told


def test_a_result_in_cubic_inches_is_also_given_in_cc() -> None:
    # One cubic inch is exactly 16.387064 cm³ (NIST SP 811, 2008, appendix B.8).
    (_, line), *rest = worked(RELATIONS["gasket_volume"], surveyed(DOME).cylinders, 3, formatter("imperial"))
    assert not rest
    assert line.unit == "in³"
    assert float(line.shown.removesuffix(" cc")) == pytest.approx(float(line.result) * 16.387064, abs=0.0006)
    # π/4 × 6.83² × 0.1 cm³.
    assert line.shown == "3.664 cc"


def test_a_proud_piston_takes_space_in_the_sum() -> None:
    cylinder = surveyed(DOME).cylinders[0]
    found = addition(cylinder, 3, formatter("metric"))
    assert found is not None
    # π/4 × 6.73² × −0.065 cm³, circle area; nothing is known of the land, so the whole bore area is taken.
    assert found.parts["deck_volume"] == Decimal("-2.312")
    assert found.parts["crown_volume"] == Decimal("-9.000")


def test_coefficients_of_the_sums() -> None:
    assert set(coefficients(RELATIONS["clearance_volume"]).values()) == {1}
    over = coefficients(RELATIONS["clearance_volume_over_fill"])
    assert {key for key, sign in over.items() if sign == -1} == {"crevice_in_fill", "chamfer_in_fill"}


def test_guard_digits_are_added_until_sum_and_headline_agree() -> None:
    # π/4 × 21² × 0.15 and the like end anywhere: over many chambers some sum meets a five at its guard digit.
    met = set()
    for tenth in range(40):
        cylinder = surveyed(LARGE.replace('"390 +/- 2 cc', f'"{390 + tenth / 100:.2f} +/- 2 cc')).cylinders[0]
        count = guarded([cylinder], formatter("metric"))
        found, value = addition(cylinder, count, formatter("metric")), cylinder.values["clearance_volume"]
        assert found is not None
        fewer = METRIC.decimals(value)
        assert f"{round(found.total, fewer)}" == METRIC.amount("clearance_volume", value.nominal, decimals=fewer)
        met.add(count - fewer)
    assert min(met) == 1
    assert max(met) > 1


@pytest.mark.parametrize("shares", [[1.0], [0.745, 0.129, 0.047, 0.037, 0.024, 0.017, 0.001], [1 / 7] * 7])
def test_percentages_add_to_a_hundred(shares: list[float]) -> None:
    found = percents(shares)
    assert sum(found) == 100
    assert all(abs(float(p) - 100 * s / sum(shares)) < 0.1 for p, s in zip(found, shares, strict=True))


@pytest.mark.parametrize(
    ("value", "digits", "text"), [(0.0, 5, "0"), (1234567.0, 3, "1230000"), (-0.00012345, 3, "-0.000123")]
)
def test_significant_digits(value: float, digits: int, text: str) -> None:
    assert significant(value, digits) == text


def test_every_symbol_met_is_explained_and_every_source_named(cylinders: Sequence[Cylinder]) -> None:
    relations, symbols = (block for block in algebra(cylinders) if isinstance(block, Table))
    told = {(row[n], row[n + 1]) for row in symbols.rows for n in range(0, len(row), 2)}
    for relation in relations_met(cylinders):
        if not is_identity(relation):
            assert any(row[1:] == (formula(relation), relation.source) for row in relations.rows)
            assert {(term(key).symbol, term(key).name) for key in (relation.gives, *relation.needs)} <= told
