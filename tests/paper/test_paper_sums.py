"""Printed sums add exactly as printed, and every equation gives its printed result from its printed numbers."""

from __future__ import annotations

import math
import re
from decimal import Decimal

import pytest

from ccassist.analysis.sums import addition, coefficients, guarded, percents
from ccassist.engine.model import RELATIONS
from ccassist.paper.parts import formula, is_identity, relations_met, significant, worked
from ccassist.values.display import METRIC, formatter
from ccassist.vocabulary import term
from tests.paper.made_sheets import DOME, LARGE, Made, example, surveyed

NUMBER = r"[+−-]?\d+(?:\.\d+)?"


def numbers(text: str) -> list[Decimal]:
    """The numbers of a printed line."""
    return [Decimal(found.replace("−", "-")) for found in re.findall(NUMBER, text)]


def blocks(sheet: Made) -> list[dict[str, list[Decimal]]]:
    """The hand sums of a page: row name -> one number a cylinder; a figure may stand between two blocks."""
    found: list[dict[str, list[Decimal]]] = []
    for line in sheet.part("Sums, to be added again by hand", "Readings"):
        if line.startswith("volumes, cc"):
            found.append({})
        elif line.startswith(("Below, each equation", "cylinder equation")):
            break
        elif (
            found
            and "headline, rounded" not in found[-1]
            and (name := re.match(rf"([a-z][a-z ,-]+?) (?={NUMBER})", line))
        ):
            found[-1][name[1]] = numbers(line[name.end() :])
    return found


def test_the_hand_sums_add_exactly_as_printed(sheet: Made) -> None:
    summed = [c for c in sheet.survey.cylinders if "clearance_volume" in c.values]
    columns = 0
    for block in blocks(sheet):
        totals, headlines = block.pop("clearance volume, added"), block.pop("headline, rounded")
        for i, total in enumerate(totals):
            assert sum(row[i] for row in block.values()) == total
            assert round(total, -headlines[i].as_tuple().exponent) == headlines[i]
        columns += len(totals)
    assert columns == len(summed)


def test_one_guard_digit_at_least_and_headlines_agree(sheet: Made) -> None:
    for system in ("metric", "imperial"):
        count = guarded(sheet.survey.cylinders, formatter(system))
        for cylinder in sheet.survey.cylinders:
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


@pytest.mark.parametrize("system", ["metric", "imperial"])
def test_every_equation_gives_its_printed_result_from_its_printed_numbers(sheet: Made, system: str) -> None:
    cylinders = sheet.survey.cylinders
    count = guarded(cylinders, formatter(system))
    for relation in relations_met(cylinders):
        for _, line in worked(relation, cylinders, count, formatter(system)):
            result = Decimal(line.result.replace("−", "-"))
            half = Decimal(5).scaleb(result.as_tuple().exponent - 1)
            assert abs(Decimal(value_of(line.put_in)) - result) <= half * Decimal("1.000001"), line.text


def test_equations_stand_on_the_page_with_their_numbers(sheet: Made) -> None:
    cylinders = sheet.survey.cylinders
    count = guarded(cylinders, formatter(sheet_system(sheet)))
    compact = "".join(sheet.text.split())
    for relation in relations_met(cylinders):
        if is_identity(relation):
            continue
        assert "".join(formula(relation).split()) in compact
        for _, line in worked(relation, cylinders, count, formatter(sheet_system(sheet))):
            assert "".join(f"= {line.result}".split()) in compact


def sheet_system(sheet: Made) -> str:
    """Units of a made sheet: Letter pages are made in imperial."""
    return "imperial" if sheet.pages[0].height < 800 else "metric"


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


def test_every_symbol_met_is_explained() -> None:
    made = example("turbo-four")
    symbols = "\n".join(made.part("Algebra", "Uncertainty budget"))
    for relation in relations_met(made.survey.cylinders):
        if is_identity(relation):
            continue
        for key in (relation.gives, *relation.needs):
            assert re.search(rf"(^|\s){re.escape(term(key).symbol)}\s", symbols, re.MULTILINE), key
            assert term(key).name.split()[0] in symbols
