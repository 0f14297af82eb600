"""Whole budgets: of a calibration laboratory, of guides and textbooks; limits against root-sum-square."""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from typing import Any

import pytest

from ccassist.bench.instruments import INSTRUMENTS
from ccassist.values.number import nominal, standard
from ccassist.values.statistics import mean, pooled
from ccassist.values.uncertainty import Cause, budget, doubt, expand, half_width
from ccassist.vocabulary.units import Shape
from tests.references.sources import cites
from tests.sound_job import Shop

# -- a laboratory's sheets: mass, air, water, weights, temperature, glass, meniscus [µL] ----------------

DEGREES = (18, 50, 60, 50, 60, 40, 50)
# fmt: off
SHEETS = [  # contributions, printed u_c [µL], effective degrees, k, U [µL]
    pytest.param((0.28985309, 11.98936992, -4.39281742, 1.70470850, -2.01820616, 0.11538417, 7.34216337),
                 14.967489, 104.989, 1.983038, 29.681, id="flask 200 A"),
    pytest.param((0.28985309, 14.98936294, -5.49199291, 2.13126249, -2.52320388, 0.14425573, 7.34216337),
                 17.881947, 94.325, 1.985523, 35.505, id="flask 250 A"),
    pytest.param((0.28985309, 30.01041192, -10.99559535, 4.26703027, -5.05174156, 0.28881640, 11.98766798),
                 34.772506, 86.525, 1.987934, 69.125, id="flask 500 A"),
    pytest.param((0.02898531, 0.02970014, -0.01088191, 0.00422291, -0.00499951, 0.00028583, 0.32722481),
                 0.33009, 51.762, 2.007584, 0.66268, id="pipette 0.5 A"),
    pytest.param((0.02898531, 0.11939090, -0.04374395, 0.01697559, -0.02009742, 0.00114900, 0.63654744),
                 0.65030, 54.395, 2.004879, 1.30378, id="pipette 2 A"),
    pytest.param((0.02898531, 0.17912852, -0.06563138, 0.02546939, -0.03015323, 0.00172391, 0.92819448),
                 0.94886, 54.527, 2.004879, 1.90236, id="pipette 3 A"),
    pytest.param((0.02898531, 0.23906492, -0.08759164, 0.03399145, -0.04024251, 0.00230073, 0.92819448),
                 0.96436, 58.000, 2.001717, 1.93038, id="pipette 4 A"),
    pytest.param((0.47690, 5.56235, -0.00219, 0.79661, -1.58093, -0.08629, 166.66667, 20.42655),
                 168.01586, 51.349, 2.007584, 337.30592, id="cylinder 100 B"),
]
# fmt: on


@cites("lab")
@pytest.mark.parametrize(("parts", "combined", "dof", "factor", "expanded"), SHEETS)
def test_a_laboratorys_budgets(
    parts: tuple[float, ...], combined: float, dof: float, factor: float, expanded: float
) -> None:
    """Combined, effective degrees, coverage factor and U: every digit printed."""
    degrees = (*DEGREES, 2)
    total = sum(doubt(abs(part), Cause(name=str(i), dof=degrees[i])) for i, part in enumerate(parts))
    stated = expand(total)
    assert stated.standard == pytest.approx(combined, rel=2e-5)
    assert stated.dof == pytest.approx(dof, abs=0.06)
    assert stated.factor == pytest.approx(factor, abs=1e-6)
    assert stated.expanded == pytest.approx(expanded, rel=2e-5)


CYLINDER = {  # mark -> full and empty [g], printed volume at 20 °C by ISO 4787 [mL]
    10: (("70.7791", "60.234"), ("70.7965", "60.240"), ("70.8854", "60.243"), 10.623951),
    50: (("110.944", "60.255"), ("110.9023", "60.258"), ("111.0863", "60.263"), 50.923567),
    100: (("159.4398", "60.241"), ("159.5042", "60.247"), ("159.4852", "60.250"), 99.628411),
}


@cites("lab")
def test_the_laboratorys_cylinder_by_calibrate(shop: Shop) -> None:
    """Three fills at each of three points, through the command: the mean of each within 2e-5 (water by its mean).

    The sheet takes 15e-6 per K for the glass, the tool the middle of what class B may be made of.
    """
    glass = 1 + (15e-6 - INSTRUMENTS["measuring cylinder 100 ml class B"].expansion) * 5.680585
    rows = "".join(
        f'{{ to = "{mark} ml", before = "{empty} g", after = "{full} g" }},\n'
        for mark, (*fills, _) in CYLINDER.items()
        for full, empty in fills
    )
    shop.write(
        'format = 1\n[engine]\ncylinders = 1\nair_pressure = "933.15 hPa"\n'
        '[instrument.tall]\nlike = "measuring cylinder 100 ml class B"\n'
        '[instrument."lab scale"]\nlike = "scale 0.01 g"\nresolution = "0.0001 g"\n[[series]]\n'
        'step = "calibrate"\ninstrument = "tall"\nscale = "lab scale"\nfluid = "water"\n'
        f'temperature = "25.680585 degC"\nreadings = [\n{rows}]\n'
    )
    assert shop.run("calibrate", "job.toml", "--json") == 0, shop.err
    (made,) = json.loads(shop.out)["calibrations"]
    for place, (*_, printed) in enumerate(CYLINDER.values()):
        three = [step["true"] * 1e6 for step in made["steps"][3 * place : 3 * place + 3]]
        assert sum(three) / 3 == pytest.approx(printed * glass, rel=2e-5)


# -- guides ------------------------------------------------------------------------------------------


def limit(half: float, shape: Shape = Shape.RECTANGULAR) -> Any:
    return half_width(half, Cause(name=f"± {half}", shape=shape))


TRIANGLE = Shape.TRIANGULAR
WARM = 2.1e-4  # expansion of water as the guide takes it [1/K]
QUAM = [  # number, standard uncertainty as printed or carried on
    pytest.param(
        100 + limit(0.1, TRIANGLE) + limit(100 * 4 * WARM) + doubt(0.02, Cause(name="fill")), 0.0665, id="A1.4"
    ),
    pytest.param(14.89 + limit(0.03, TRIANGLE) + limit(15 * 4 * WARM), 0.014245, id="A3.4, 14.89 mL"),
    pytest.param(18.64 + limit(0.03, TRIANGLE) + limit(19 * 4 * WARM), 0.0153267, id="A3.4, 18.64 mL"),
    pytest.param(15 + limit(0.02, TRIANGLE) + limit(15 * 4 * WARM), 0.0109356, id="A3.4, pipette of 15 mL"),
]


@cites("quam")
@pytest.mark.parametrize(("volume", "u"), QUAM)
def test_volumes_of_the_guide(volume: Any, u: float) -> None:
    assert standard(volume) == pytest.approx(u, abs=6e-5 if u > 0.05 else 6e-8)


@cites("quam")
def test_standardised_acid_of_the_guide() -> None:
    """A3: c = 1000 m P V₂ R / (V₁ M V), 0.10139(18) mol/L; mass and molar mass of the salt from memory."""
    mass = 0.3888 + doubt(0.00013, Cause(name="mass"))
    molar = 204.2212 + doubt(0.0038, Cause(name="molar mass"))
    purity, repeats = 1 + limit(0.0005), 1 + doubt(0.001, Cause(name="repeats"))
    second, first, taken = (one.values[0] for one in QUAM[1:])
    found = 1000 * mass * purity * second * repeats / (first * molar * taken)
    assert nominal(found) == pytest.approx(0.10139, abs=6e-6)
    assert standard(found) == pytest.approx(0.00018, abs=6e-6)


@cites("quam")
def test_leachate_of_the_guide() -> None:
    """A5.4: 332 mL, filled to 0.995 ± 0.005, read ± 1 %, ± 2 K, vessel ± 2.5 of 500 mL: 0.3303(18) L."""
    fill, reading = 0.995 + limit(0.005, TRIANGLE), 1 + limit(0.01, TRIANGLE)
    volume = 332 * fill * reading + limit(332 * 2 * WARM) + limit(2.5, TRIANGLE)
    assert nominal(volume) == pytest.approx(330.3, abs=0.06)
    assert standard(volume) == pytest.approx(1.8, abs=0.06)


@cites("quam")
def test_area_of_the_guide() -> None:
    """A5.4: Ø 2.70 ± 0.01 dm by its standard uncertainty, shape ± 5 % at 95 %: 5.73(15) dm²."""
    across = 2.70 + doubt(0.01, Cause(name="diameter"))
    area = math.pi / 4 * across**2 * (1 + doubt(0.05 / 1.96, Cause(name="shape")))
    assert nominal(area) == pytest.approx(5.73, abs=0.006)
    assert standard(area) == pytest.approx(0.15, abs=0.006)


@cites("ea402")
def test_weight_of_ten_kilograms() -> None:
    """u 22.5; ± 25, 15, 10, 10 mg: u 29.3, U 59 mg at k = 2 (8.95 is printed for ± 15 ÷ √3, 8.66)."""
    total = doubt(22.5, Cause(name="reference")) + sum(limit(half) for half in (25, 15, 10, 10))
    assert standard(total) == pytest.approx(29.3, abs=0.06)
    assert 2 * standard(total) == pytest.approx(59, abs=0.6)
    assert expand(total).factor == pytest.approx(1.96, abs=0.02)


READ = (
    96.90, 98.18, 98.25, 98.61, 99.03, 99.49, 99.56, 99.74, 99.89, 100.07,
    100.33, 100.42, 100.68, 100.95, 101.11, 101.20, 101.57, 101.84, 102.36, 102.72,
)  # fmt: skip


@cites("gum")
def test_twenty_readings_of_the_guide() -> None:
    """4.4.3, Table 1 (from memory): mean 100.14, s 1.49, u 0.33 °C."""
    scatter, dof = pooled([READ])
    assert mean(READ) == pytest.approx(100.14, abs=0.0051)
    assert (scatter, dof) == (pytest.approx(1.49, abs=0.005), 19)
    assert scatter / math.sqrt(20) == pytest.approx(0.33, abs=0.005)


# -- all at their limits, and by root-sum-square -----------------------------------------------------


def orifice(mass: Any, time: Any, density: Any, across: Any, gravity: Any, head: Any) -> Any:
    return mass / (time * density * math.pi / 4 * across**2 * (2 * gravity * head) ** 0.5)


# fmt: off
COMBINED = [  # what is worked out; inputs as value and limit; printed value, limits, root-sum-square; last digit
    pytest.param(lambda r, f, arm, t: 2 * math.pi * arm * f * r / t,
                 ((1202, 1), (45, 0.18), (0.397, 0.00127), (60, 0.5)), (2249, 36.80, 22.08), (0.6, 0.006, 0.006),
                 marks=cites("doebelin"), id="power of a shaft"),
    pytest.param(lambda a, b: a + b, ((200, 2), (100, 5)), (300, 7, 5.385), (1e-9, 1e-9, 6e-4),
                 marks=cites("sawhney"), id="a sum"),
    pytest.param(lambda *x: orifice(*x) * 100 / 0.628253,
                 ((392, 0.23), (600, 2), (1000, 1), (0.0125, 0.000025), (9.81, 0.00981), (3.66, 0.003)),
                 (100, 0.983, 0.537), (6e-3, 6e-4, 6e-4), marks=cites("sawhney"), id="an orifice, in per cent"),
    pytest.param(lambda p, q, r: p - q + r, ((5.02, 0.13), (6.45, 0.05), (9.04, 0.22)), (7.61, 0.40, 0.26),
                 (1e-9, 1e-9, 6e-3), marks=cites("quam"), id="sum and difference"),
    pytest.param(lambda o, p, q, r: o * p / (q * r), ((2.46, 0.02), (4.32, 0.13), (6.38, 0.11), (2.99, 0.07)),
                 (0.557, None, 0.024), (6e-4, 1, 6e-4), marks=cites("quam"), id="ratio of products"),
]
# fmt: on


@pytest.mark.parametrize(("worked", "inputs", "printed", "near"), COMBINED)
def test_limits_and_root_sum_square(
    worked: Callable[..., Any],
    inputs: tuple[tuple[float, float], ...],
    printed: tuple[float, float | None, float],
    near: tuple[float, float, float],
) -> None:
    found = worked(*(value + doubt(u, Cause(name=str(i))) for i, (value, u) in enumerate(inputs)))
    shares = [row.standard for row in budget(found)]
    assert nominal(found) == pytest.approx(printed[0], abs=near[0])
    if printed[1] is not None:
        assert math.fsum(shares) == pytest.approx(printed[1], abs=near[1])
    assert standard(found) == pytest.approx(printed[2], abs=near[2])
