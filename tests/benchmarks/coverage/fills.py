"""Spaces filled with fluid: by burette, full syringes, weighing, a calibrated tube; and jobs of chambers."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from random import Random

from . import tools
from .fluids import ALUMINIUM, Bench, bench, expanded
from .written import CHAMBER, CYLINDERS, Make, Simulated, Truth, head, quoted, series

Pour = Callable[[float, Bench, Random], str]
LINE = 430.0  # g: a bottle that is full to the line on its neck


def by_scale(scale: tools.Scale) -> Pour:
    """Start and end, with refills where one load is not enough: each is run down to the last mark."""

    def pour(volume: float, day: Bench, random: Random) -> str:
        starts, ends = [], []
        while True:
            begin = random.uniform(0, 2)
            starts.append(quoted(tools.rounded(begin, scale.step), "ml"))
            end = scale.end_of(begin, volume, day.temperature)
            if end <= scale.capacity:
                break
            # Where next to nothing would be left for the refill, it is refilled early.
            mark = scale.capacity if end > scale.capacity + 1 else 0.8 * scale.capacity
            volume -= scale.delivered(begin, scale.set_to(mark, random), day.temperature)
            ends.append(quoted(mark, "ml"))
        ends.append(quoted(tools.rounded(end, scale.step), "ml"))
        return f"start = [{', '.join(starts)}], end = [{', '.join(ends)}]"

    return pour


def by_fulls(scale: tools.Scale) -> Pour:
    """Full syringes, each from the first mark to the last, and a rest."""

    def pour(volume: float, day: Bench, random: Random) -> str:
        fulls = 0
        while True:
            begin, last = scale.set_to(0, random), scale.set_to(scale.capacity, random)
            each = scale.delivered(begin, last, day.temperature)
            if volume <= each:
                break
            fulls, volume = fulls + 1, volume - each
        rest = tools.rounded(scale.end_of(begin, volume, day.temperature), scale.step)
        return f"full = {fulls}, each = {quoted(scale.capacity, 'ml', 0)}, rest = {quoted(rest, 'ml', 1)}"

    return pour


def by_weight(balance: tools.Balance) -> Pour:
    """The bottle, topped up to a line on its neck before each fill, weighed before and after."""

    def pour(volume: float, day: Bench, random: Random) -> str:
        load = LINE + random.uniform(-2, 2)
        after = balance.read(load - day.mass(volume))
        return f"before = {quoted(balance.read(load), 'g', 1)}, after = {quoted(after, 'g', 1)}"

    return pour


@dataclass(frozen=True, kw_only=True)
class Filling:
    """How a job is filled: the instrument and its name, the person's scatter [ml], the day."""

    name: str
    pour: Pour
    scatter: float
    day: Bench

    def rows(self, space: float, count: int, random: Random) -> list[str]:
        """Several fills of one space [ml, at 20 °C, as it is on the day]."""
        return [self.pour(space + random.gauss(0, self.scatter), self.day, random) for _ in range(count)]

    @property
    def said(self) -> dict[str, str]:
        """What a series says of them."""
        return {
            "instrument": f'"{self.name}"',
            "fluid": '"water with detergent"',
            "temperature": quoted(self.day.read, "degC", 6),
            "hole": '"not filled"',
        }


Kit = Callable[[Random, float], tuple[str, Pour]]  # made for the usual delivery of so many ml


def burette_b(random: Random, use: float) -> tuple[str, Pour]:
    """50 ml, class B."""
    return "burette 50 ml class B", by_scale(tools.burette(random, use))


def syringe_60(random: Random, use: float) -> tuple[str, Pour]:
    """60 ml, of the catalogue; used full."""
    return "syringe 60 ml", by_fulls(tools.syringe(random))


def scale_of(step: float, name: str) -> Kit:
    """A weighing scale; a millilitre is a gram, as nearly as it matters."""
    return lambda random, use: (name, by_weight(tools.balance(random, step, full=LINE, use=use)))


def filling(
    random: Random, kit: Kit, use: float = 45, scatter: float | None = None, day: Bench | None = None
) -> Filling:
    """A person with an instrument; the scatter of fills is 0.03 to 0.2 ml, from steady hands to poor light."""
    name, pour = kit(random, use)
    spread = math.exp(random.uniform(math.log(0.03), math.log(0.2))) if scatter is None else scatter
    return Filling(name=name, pour=pour, scatter=spread, day=day or bench(random))


def chamber_blocks(
    true: Sequence[float], made: Filling, fills: int, random: Random, said: dict[str, str] | None = None
) -> list[str]:
    """The fills of aluminium chambers; ``said`` where it is not what the filling says of itself."""
    warm = [expanded(volume, ALUMINIUM, made.day.temperature, random) for volume in true]
    about = {"plug": '"fitted"', "material": '"aluminium"', **(said or made.said)}
    return [series("chamber", n, made.rows(volume, fills, random), **about) for n, volume in enumerate(warm, 1)]


def chamber_truths(true: Sequence[float]) -> tuple[Truth, ...]:
    """The first chamber, and what it has more than the second."""
    first = Truth(quantity="chamber", key=CHAMBER, value=true[0] * 1e-6)
    apart = [Truth(quantity="between sisters", key=CHAMBER, value=(true[0] - one) * 1e-6, less=2) for one in true[1:2]]
    return (first, *apart)


def chambers(kit: Kit, *, count: int = 4, fills: int = 3, about: float = 45.0, declared: bool = False) -> Make:
    """Chambers filled alike, and what the first has more than the second."""

    def make(random: Random) -> Simulated:
        # A declared figure is as good as a figure found from some nine fills: to a quarter.
        made = filling(random, kit, about, 0.08 * math.exp(random.gauss(0, 0.25)) if declared else None)
        said, lines = made.said, ""
        if declared:
            said = {**said, "instrument": '"mine"'}
            lines = f'[instrument.mine]\nlike = "{made.name}"\nrepeatability = "0.08 ml"\n'
        true = [random.uniform(about - 2.5, about + 2.5) for _ in range(count)]
        blocks = chamber_blocks(true, made, fills, random, said)
        return Simulated(text=head(count) + lines + "".join(blocks), truths=chamber_truths(true))

    return make


def hands(fills: int, hand: float, count: int = 1) -> Make:
    """Chambers by a burette whose repeatability is declared, and by a hand so many times as unsteady."""

    def make(random: Random) -> Simulated:
        made = filling(random, burette_b, scatter=0.08 * hand)
        lines = '[instrument.mine]\nlike = "burette 50 ml class B"\nrepeatability = "0.08 ml"\n'
        true = [random.uniform(42.5, 47.5) for _ in range(count)]
        blocks = chamber_blocks(true, made, fills, random, {**made.said, "instrument": '"mine"'})
        return Simulated(text=head(count) + lines + "".join(blocks), truths=chamber_truths(true))

    return make


def unread(kit: Kit, low: float, high: float) -> Make:
    """Weighed chambers whose fluid was somewhere between two temperatures [°C], and nobody looked."""

    def make(random: Random) -> Simulated:
        made = filling(random, kit, day=bench(random, low, high))
        said = {name: text for name, text in made.said.items() if name != "temperature"}
        true = [random.uniform(42.5, 47.5) for _ in range(CYLINDERS)]
        warm = [expanded(volume, ALUMINIUM, made.day.temperature, random) for volume in true]
        blocks = [series("chamber", n, made.rows(v, 3, random), plug='"fitted"', **said) for n, v in enumerate(warm, 1)]
        return Simulated(text=head(CYLINDERS) + "".join(blocks), truths=chamber_truths(true))

    return make


def calibrated(random: Random) -> Simulated:
    """Chambers filled from a marked tube, its scale found by weighing what it delivers into a cup."""
    scale, cup = tools.tube(random), tools.balance(random, 0.1, full=65, use=45)
    made = filling(random, lambda *_: ("tube", by_scale(scale)))
    rows = []
    for mark in (10, 20, 30, 40, 50, 60) * 2:
        left = scale.delivered(scale.set_to(0, random), scale.set_to(mark, random), made.day.temperature)
        after = cup.read(20 + made.day.mass(left)) - cup.read(20)
        rows.append(f'from = "0 ml", to = "{mark} ml", before = "0.0 g", after = {quoted(after, "g", 1)}')
    lines = [
        '[instrument.tube]\nlike = "syringe 60 ml"\nresolution = "0.1 ml"\n[[series]]\nstep = "calibrate"',
        'instrument = "tube"\nscale = "scale 0.1 g"\nfluid = "water with detergent"\ndate = 2026-10-12',
        f"temperature = {quoted(made.day.read, 'degC', 6)}\nreadings = [",
        *(f"  {{ {row} }}," for row in rows),
        "]\n",
    ]
    true = [random.uniform(42.5, 47.5) for _ in range(CYLINDERS)]
    blocks = chamber_blocks(true, made, 3, random)
    return Simulated(text=head(CYLINDERS) + "\n".join(lines) + "".join(blocks), truths=chamber_truths(true))
