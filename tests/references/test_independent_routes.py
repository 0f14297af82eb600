"""The same results by other routes: SciPy, the `uncertainties` library used directly, Monte Carlo, SymPy, NumPy.

Nothing here is from a book: each route is written out anew and must agree
with the relations and the model.
"""

from __future__ import annotations

import math
from functools import cache
from typing import Any

import mpmath
import numpy as np
import pytest
import sympy
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy import differentiate, optimize
from uncertainties import ufloat

from ccassist.engine.mathematics import Relation, algebra, arrays, uncertain
from ccassist.engine.model import RELATIONS, Choices, build
from ccassist.values.number import nominal, standard
from ccassist.values.uncertainty import Cause, budget, cause_of, components, doubt
from ccassist.vocabulary import TERMS
from tests.references.sources import cites, promise

pytestmark = cites("routes")

# -- one engine, its bore shared by every volume -----------------------------------------------------

NOMINAL = {
    "bore": 83.4e-3, "stroke": 91.7e-3, "rod_length": 148.9e-3, "gasket_bore": 84.9e-3, "gasket_thickness": 1.3e-3,
    "deck_clearance": 0.2e-3, "land_diameter": 82.7e-3, "land_height": 7e-3, "chamber_volume": 46.3e-6,
    "crown_fill": 126e-6, "crown_drop": 21e-3,
}  # fmt: skip
DOUBTS = {
    "bore": 12e-6, "stroke": 25e-6, "gasket_bore": 0.1e-3, "gasket_thickness": 30e-6, "deck_clearance": 15e-6,
    "land_diameter": 40e-6, "land_height": 50e-6, "chamber_volume": 0.15e-6, "crown_fill": 0.2e-6,
    "crown_drop": 12e-6,
}  # fmt: skip
KEYS = tuple(DOUBTS)
CHOICES = Choices(seal="ring")


def by_hand(bore: Any, stroke: Any, opening: Any, crush: Any, deck: Any, land: Any, high: Any, chamber: Any,
            fill: Any, drop: Any) -> tuple[Any, Any]:  # fmt: skip
    """Clearance volume and ratio written out anew: a ring-sealed fill holds deck, crown and crevice already.

    The deck clearance and the land cancel: the fill is measured from top dead centre and the crevice is counted.
    """
    area = math.pi * bore * bore / 4
    crevice = (area - math.pi * land * land / 4) * high
    crown = fill - area * (drop + deck) - crevice
    clearance = chamber + math.pi * opening * opening / 4 * crush + area * deck + crown + crevice
    return clearance, 1 + area * stroke / clearance


def modelled() -> dict[str, Any]:
    known = {key: value + doubt(DOUBTS[key], Cause(name=key)) if key in DOUBTS else value
             for key, value in NOMINAL.items()}  # fmt: skip
    return build(NOMINAL, CHOICES).evaluate(known, uncertain())


@pytest.fixture(scope="module")
def model() -> dict[str, Any]:
    return modelled()


RESULTS = pytest.mark.parametrize(("index", "key"), [(0, "clearance_volume"), (1, "static_ratio")])


@RESULTS
def test_against_uncertainties_used_directly(model: dict[str, Any], index: int, key: str) -> None:
    direct = by_hand(*(ufloat(NOMINAL[k], DOUBTS[k]) for k in KEYS))[index]
    assert nominal(model[key]) == pytest.approx(direct.nominal_value, rel=1e-12)
    assert standard(model[key]) == pytest.approx(direct.std_dev, rel=1e-9)


def slopes(index: int) -> np.ndarray:
    """The change of a result for one standard uncertainty of each input, by SciPy's numerical derivative."""
    at, size = np.array([NOMINAL[k] for k in KEYS]), np.array([DOUBTS[k] for k in KEYS])

    def result(steps: np.ndarray) -> float:
        return float(by_hand(*(at + steps * size))[index])

    scale = result(np.zeros(len(KEYS)))
    gradient = optimize.approx_fprime(np.zeros(len(KEYS)), lambda s: result(s) / scale, 1e-4)
    return np.asarray(gradient) * scale


@RESULTS
def test_against_scipy_derivatives(model: dict[str, Any], index: int, key: str) -> None:
    """The law of propagation with numerical slopes; and each cause's own part of it."""
    parts = slopes(index)
    assert standard(model[key]) == pytest.approx(math.hypot(*parts), rel=1e-5)
    shares = {row.cause.name: row.standard for row in budget(model[key])}
    largest = max(abs(parts))
    for name, part in zip(KEYS, parts, strict=True):
        assert shares.get(name, 0.0) == pytest.approx(abs(part), abs=1e-5 * largest)


@RESULTS
def test_against_monte_carlo(model: dict[str, Any], index: int, key: str) -> None:
    """Normal inputs of the same standard uncertainty (JCGM 101): 400,000 trials, u to 0.5 %."""
    random = np.random.default_rng(101)
    drawn = by_hand(*(random.normal(NOMINAL[k], DOUBTS[k], 400_000) for k in KEYS))[index]
    assert drawn.mean() == pytest.approx(nominal(model[key]), abs=0.01 * standard(model[key]))
    assert drawn.std() == pytest.approx(standard(model[key]), rel=5e-3)


def test_the_shared_bore_is_one_bore(model: dict[str, Any]) -> None:
    """Volumes that share a bore, added as if independent, give another ±: the correlation is kept."""
    parts = [model[k] for k in ("deck_volume", "crown_volume", "crevice_counted", "gasket_volume", "chamber_volume")]
    apart = math.hypot(*(standard(part) for part in parts))
    assert standard(model["clearance_volume"]) < 0.95 * apart
    assert standard(sum(parts) - model["clearance_volume"]) == pytest.approx(0.0, abs=1e-14)


def test_what_cancels_leaves_no_trace(model: dict[str, Any]) -> None:
    """Deck clearance and land are taken out of the fill and put back: the ratio does not depend on them."""
    names = {row.cause.name for row in budget(model["static_ratio"]) if row.share > 1e-12}
    assert names == {"bore", "stroke", "gasket_bore", "gasket_thickness", "chamber_volume", "crown_fill", "crown_drop"}


@cites("scipy")
def test_offset_lengthens_the_travel_as_its_series_says() -> None:
    """SciPy's derivative of the travel by the offset against the slope of 2r[1 + d²/(2(L²−r²))]."""
    travel = RELATIONS["piston_travel_offset"]

    def travelled(offset: np.ndarray) -> Any:
        return travel({"stroke": 0.084, "rod_length": 0.145, "pin_offset": offset}, arrays())

    slope = differentiate.derivative(travelled, np.array(0.004), initial_step=1e-3).df
    series = 2 * 0.042 * 0.004 / (0.145**2 - 0.042**2)
    assert slope == pytest.approx(series, rel=2e-3)


# -- every relation, in every mathematics ----------------------------------------------------------------


def plausible(needs: tuple[str, ...]) -> st.SearchStrategy[dict[str, float]]:
    return st.fixed_dictionaries({key: st.floats(*TERMS[key].plausible) for key in needs})


def turns(values: dict[str, float]) -> bool:
    """Whether the crank can turn: the rod is longer than throw and offset together."""
    if not values.keys() & {"pin_offset", "intake_closing"} or "rod_length" not in values:
        return True
    return values["rod_length"] > values["stroke"] / 2 + abs(values.get("pin_offset", 0.0)) + 1e-3


def close(value: float, values: dict[str, float]) -> Any:
    """To 1e-9 of the value, or of the inputs it is a difference of."""
    return pytest.approx(value, rel=1e-9, abs=1e-9 * min(abs(value) + 1.0, max(map(abs, values.values()))))


EVERY = pytest.mark.parametrize("name", RELATIONS)


@EVERY
@given(data=st.data())
@settings(max_examples=25, deadline=None)
def test_uncertain_nominal_is_the_plain_value(name: str, data: st.DataObject) -> None:
    relation = RELATIONS[name]
    values = data.draw(plausible(relation.needs))
    assume(turns(values))
    doubted = {key: value + doubt(1e-9, Cause(name=key)) for key, value in values.items()}
    assert nominal(relation(doubted, uncertain())) == close(relation(values), values)


@EVERY
@given(data=st.data())
@settings(max_examples=25, deadline=None)
def test_arrays_are_the_plain_values_one_by_one(name: str, data: st.DataObject) -> None:
    relation = RELATIONS[name]
    rows = [data.draw(plausible(relation.needs)) for _ in range(3)]
    assume(all(turns(row) for row in rows))
    columns = {key: np.array([row[key] for row in rows]) for key in relation.needs}
    got = relation(columns, arrays())
    assert got.shape == (3,)
    assert list(got) == [close(relation(row), row) for row in rows]


def as_function(relation: Relation) -> Any:
    """The relation worked out on SymPy symbols, then turned into a plain function."""
    symbols = {key: sympy.Symbol(key, real=True) for key in relation.needs}
    return sympy.lambdify(list(symbols.values()), relation(symbols, algebra()), "math")


FUNCTIONS = {name: as_function(relation) for name, relation in RELATIONS.items()}


@EVERY
@given(data=st.data())
@settings(max_examples=25, deadline=None)
def test_algebra_is_the_plain_value(name: str, data: st.DataObject) -> None:
    relation = RELATIONS[name]
    values = data.draw(plausible(relation.needs))
    assume(turns(values))
    assert FUNCTIONS[name](*(values[key] for key in relation.needs)) == close(relation(values), values)


@cache
def slopes_of(name: str) -> dict[str, Any]:
    """SymPy's derivatives of a relation by each of what it needs, as functions of all of them in 30 digits."""
    symbols = {key: sympy.Symbol(key, real=True) for key in RELATIONS[name].needs}
    expression = RELATIONS[name](symbols, algebra())
    every = list(symbols.values())
    return {key: sympy.lambdify(every, expression.diff(one), "mpmath", cse=True) for key, one in symbols.items()}


@EVERY
@given(data=st.data())
@settings(max_examples=10, deadline=None)
def test_sensitivities_are_the_slopes_of_the_algebra(name: str, data: st.DataObject) -> None:
    """The derivative carried by the uncertain number against SymPy's derivative of the expression."""
    relation = RELATIONS[name]
    values = data.draw(plausible(relation.needs))
    assume(turns(values))
    doubted = {key: value + doubt(1.0, Cause(name=key)) for key, value in values.items()}
    carried = {cause_of(effect).name: abs(part) for effect, part in components(relation(doubted, uncertain())).items()}
    for key, by_algebra in slopes_of(name).items():
        with mpmath.workdps(30):
            slope = abs(float(by_algebra(*(mpmath.mpf(values[need]) for need in relation.needs))))
        assert carried.get(key, 0.0) == pytest.approx(slope, rel=1e-9, abs=1e-12)


@promise()
@EVERY
def test_relation_speaks_the_vocabulary(name: str) -> None:
    """What it gives and needs are terms; it names itself and its source."""
    relation = RELATIONS[name]
    assert {relation.gives, *relation.needs} <= set(TERMS)
    assert relation.needs
    assert relation.gives not in relation.needs
    assert len(relation.title) > 10
    assert len(relation.source) > 5
