"""From a method and a number to a job file and its truth."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from random import Random

from tests.benchmarks.blind.dispensers import Burette, Dispenser, Improvised, Scale, Syringe
from tests.benchmarks.blind.lengths import Rule, stated
from tests.benchmarks.blind.population import Population
from tests.benchmarks.blind.truth import Truth, draw
from tests.benchmarks.blind.water import Day

Maker = Callable[[Random, Population, Day, float], Dispenser]


@dataclass(frozen=True, kw_only=True)
class Way:
    """One way of measuring a whole engine.

    Attributes
    ----------
    make : the dispenser, from the chance, the crowd of instruments, the day and the usual volume in ml.
    fluid : as the job file says it.
    both_sides : deck clearance from the thrust sides instead of the pin axis.
    scatter : bounds of the standard deviation of fills, ml.
    large : chambers too large for one burette.
    rows : readings of each thing.
    cylinders : how many, one of these.
    """

    make: Maker
    fluid: str = "water with detergent"
    both_sides: bool = False
    scatter: tuple[float, float] = (0.04, 0.12)
    large: bool = False
    rows: int = 3
    cylinders: tuple[int, ...] = (4, 8)


def _burette(letter: str) -> Maker:
    return lambda rng, crowd, day, usual: Burette(rng, crowd, day, letter=letter, usual=usual)


WAYS: dict[str, Way] = {
    "burette A": Way(make=_burette("A")),
    "burette B": Way(make=_burette("B"), both_sides=True),
    "burette B refilled": Way(make=_burette("B"), large=True),
    "scale 0.1 g": Way(make=lambda rng, crowd, day, usual: Scale(rng, crowd, day, coarse=False), both_sides=True),
    "scale 1 g": Way(make=lambda rng, crowd, day, usual: Scale(rng, crowd, day, coarse=True), fluid="water"),
    "syringes": Way(make=lambda rng, crowd, day, usual: Syringe(rng, crowd, day), scatter=(0.08, 0.20)),
    "improvised": Way(
        make=lambda rng, crowd, day, usual: Improvised(rng, crowd, day, usual=usual), fluid="water", both_sides=True
    ),
    "few degrees": Way(make=_burette("B"), rows=2, cylinders=(2,)),
}


def invent(method: str, crowd: Population, number: int) -> tuple[str, Truth]:
    """The text of a job file, and what is true."""
    way, rng = WAYS[method], Random(f"blind {method} {crowd.key} {number}")
    truth = draw(rng, rng.choice(way.cylinders), large=way.large)
    day = Day.draw(rng, crowd, detergent="detergent" in way.fluid)
    rule = Rule(rng, crowd, truth, way.rows)
    dispenser = way.make(rng, crowd, day, truth.chambers[0])
    scatter = rng.uniform(*way.scatter)
    blocks = [_head(rng, truth), dispenser.sections]
    told = {"instrument": dispenser.instrument, "fluid": way.fluid, "temperature": day.said}
    told |= {"hole": "not filled", "material": "aluminium"}
    if isinstance(dispenser, Burette):
        told["meniscus"] = "same edge"

    def fills(volume: float) -> list[str]:
        taken = day.holds(volume, rng.gauss(0, 0.3))
        return [dispenser.fill(taken + rng.gauss(0, scatter)) for _ in range(way.rows)]

    for n in range(len(truth.bores)):
        at = {"cylinder": n + 1}
        drop, read = rule.drop()
        over = truth.area(n) * (truth.decks[n] + drop) / 1000 + truth.crowns[n]
        blocks += [
            _series("bore", at | {"instrument": "bore gauge"}, rule.bore(n)),
            _series("chamber", at | told | {"plug": "fitted"}, fills(truth.chambers[n])),
            _series("deck", at | {"instrument": "dial indicator"}, rule.deck(n, way.both_sides)),
            _series("crown", at | told | {"seal": "grease", "drop": read, "gauge": "dial indicator"}, fills(over)),
        ]
    on = {"part": "gasket"}
    blocks.append(_series("gasket", on | {"instrument": "vernier caliper"}, rule.opening()))
    blocks.append(_series("gasket", on | {"instrument": "micrometer"}, rule.thickness()))
    return "\n".join(blocks), truth


def _head(rng: Random, truth: Truth) -> str:
    return f"""format = 1
[job]
name = "Blind bench"
by = "Olive"
date = 2026-11-02
units = "metric"
[engine]
cylinders = {len(truth.bores)}
stroke = "{stated(rng, truth.stroke, 0.02)}"
[counted]
crevice = "counted"
chamfer = "not counted"
[part.pistons]
kind = "pistons"
land_diameter = "{stated(rng, truth.land_diameter, 0.02)}"
land_height = "{stated(rng, truth.land_height, 0.1)}"
[part.gasket]
kind = "gasket"
"""


def _series(step: str, told: Mapping[str, object], rows: Iterable[str]) -> str:
    lines = ["[[series]]", f'step = "{step}"', *(f"{key} = {_toml(value)}" for key, value in told.items())]
    lines += ["readings = [", *(f"    {{ {row} }}," for row in rows), "]", ""]
    return "\n".join(lines)


def _toml(value: object) -> str:
    if isinstance(value, list):
        return "[" + ", ".join(_toml(one) for one in value) + "]"
    return f'"{value}"' if isinstance(value, str) else str(value)
