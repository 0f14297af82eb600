"""Decks, gaskets, crowns and whole engines: true ones, measured, and written down as jobs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from random import Random

from . import tools
from .fills import Filling, Kit, burette_b, chamber_blocks, filling
from .fluids import ALUMINIUM, IRON, expanded
from .written import CROWN, CYLINDERS, DECK, RATIO, Make, Simulated, Truth, circle, head, quoted, series


def deck_rows(gauge: tools.Gauge, clearance: float, rock: float, fields: tuple[str, str], random: Random) -> list[str]:
    """Two rows of front and rear (or both thrust sides); the piston rocks one way as far as the other."""
    rows = []
    for _ in range(2):
        tilt = random.uniform(-rock, rock)
        ends = [gauge.read(clearance + side * tilt, random) for side in (1, -1)]
        rows.append(", ".join(f'{name} = "{deck_words(r)}"' for name, r in zip(fields, ends, strict=True)))
    return rows


def deck_words(reading: float) -> str:
    """A dial reading with its sign in words."""
    return f"{abs(reading):.3f} mm {'below deck' if reading >= 0 else 'proud'}"


def deck(fields: tuple[str, str], rock: float, count: int = 4) -> Make:
    """Deck clearances, dial zeroed on the deck."""

    def make(random: Random) -> Simulated:
        gauge = tools.dial(random, 0.25)
        true = [random.uniform(0.1, 0.4) for _ in range(count)]
        blocks = [
            series("deck", n, deck_rows(gauge, value, rock, fields, random), instrument='"dial indicator"')
            for n, value in enumerate(true, 1)
        ]
        truths = [Truth(quantity="deck", key=DECK, value=true[0] * 1e-3)]
        if count > 1:
            truths.append(Truth(quantity="between sisters", key=DECK, value=(true[0] - true[1]) * 1e-3, less=2))
        return Simulated(text=head(count) + "".join(blocks), truths=tuple(truths))

    return make


@dataclass(frozen=True, kw_only=True)
class Gasket:
    """A gasket measured at six points round its ring: its part of the file, true bore and thickness."""

    text: str
    bore: float
    thickness: float

    @property
    def volume(self) -> float:
        """Its volume, ml."""
        return circle(self.bore) * self.thickness / 1000


def measured_gasket(random: Random, step: float = 0.001, uneven: float = 0.004) -> Gasket:
    """By caliper and by a micrometer of some step; ``uneven`` is the standard deviation of its thickness, mm."""
    wide, thick = random.uniform(86, 89), random.uniform(0.9, 1.5)
    by_caliper, by_micrometer = tools.caliper(random, wide), tools.micrometer(random, thick, step)
    across = [f"opening = {quoted(by_caliper.read(wide, random), 'mm')}" for _ in range(6)]
    through = [by_micrometer.read(thick + random.gauss(0, uneven), random) for _ in range(6)]
    text = '[part.gasket]\nkind = "gasket"\n'
    for rows, tool in (
        (across, "vernier caliper"),
        (
            [f"thickness = {quoted(t, 'mm', 3)}" for t in through],
            "micrometer" if step > 0.001 else "micrometer 0.001 mm",
        ),
    ):
        text += series("gasket", None, rows, instrument=f'"{tool}"', part='"gasket"')
    return Gasket(text=text, bore=wide, thickness=thick)


def gasket(step: float, uneven: float) -> Make:
    """A gasket by caliper and micrometer."""

    def make(random: Random) -> Simulated:
        made = measured_gasket(random, step, uneven)
        truths = (
            Truth(quantity="gasket bore", key="gasket_bore", value=made.bore * 1e-3),
            Truth(quantity="gasket thickness", key="gasket_thickness", value=made.thickness * 1e-3),
            Truth(quantity="gasket", key="gasket_volume", value=made.volume * 1e-6),
        )
        return Simulated(text=head(1) + made.text, truths=truths)

    return make


def makers_gasket(random: Random) -> Simulated:
    """A gasket by its maker's limits: the truth is anywhere within them."""
    wide, thick = 84.4 + random.uniform(-0.1, 0.1), 1.2 + random.uniform(-0.04, 0.04)
    lines = [
        '[part.gasket]\nkind = "gasket"\ngasket_bore = "84.40 +/- 0.1 mm, maker\'s figure"',
        'gasket_thickness = "1.20 +/- 0.04 mm, maker\'s figure"\n',
    ]
    truths = (
        Truth(quantity="gasket thickness", key="gasket_thickness", value=thick * 1e-3),
        Truth(quantity="gasket", key="gasket_volume", value=circle(wide) * thick * 1e-9),
    )
    return Simulated(text=head(1) + "\n".join(lines), truths=truths)


@dataclass(frozen=True, kw_only=True)
class Bottom:
    """Bore, clearance and dish of one cylinder, true."""

    bore: float
    clearance: float
    crown: float


def land_of(random: Random) -> tuple[str, float, float]:
    """The top land as stated of all pistons, a 95 % interval; and as it is."""
    wide, tall = 82.70, 7.0
    text = f'land_diameter = "{wide:.2f} +/- 0.02 mm, measured"\nland_height = "{tall:.1f} +/- 0.1 mm, measured"'
    return text, random.gauss(wide, 0.02 / 1.96), random.gauss(tall, 0.1 / 1.96)


def crown_blocks(
    pistons: Sequence[Bottom], seal: str, land: tuple[float, float], made: Filling, random: Random
) -> list[str]:
    """Bores, decks and crowns in the bore, of every cylinder."""
    by_gauge, by_dial, by_travel = tools.bore_gauge(random, 83.4), tools.dial(random, 0.25), tools.dial(random, 4.4)
    blocks = []
    for n, piston in enumerate(pistons, 1):
        bores = [f"bore = {quoted(by_gauge.read(piston.bore, random), 'mm', 3)}" for _ in range(3)]
        drop = random.uniform(3.6, 5.2)
        space = (circle(piston.bore) * (drop + piston.clearance)) / 1000 + piston.crown
        if seal == "ring":
            space += (circle(piston.bore) - circle(land[0])) * land[1] / 1000
        drops = ", ".join(quoted(by_travel.read(drop, random), "mm", 3) for _ in range(3))
        warm = expanded(space, IRON, made.day.temperature, random)
        blocks += [
            series("bore", n, bores, instrument='"bore gauge"'),
            series(
                "deck",
                n,
                deck_rows(by_dial, piston.clearance, 0.02, ("front", "rear"), random),
                instrument='"dial indicator"',
            ),
            series(
                "crown",
                n,
                made.rows(warm, 3, random),
                drop=f"[{drops}]",
                gauge='"dial indicator"',
                seal=f'"{seal}"',
                material='"iron"',
                **made.said,
            ),
        ]
    return blocks


def pistons_of(random: Random) -> list[Bottom]:
    """Four cylinders, alike but not the same."""
    bore, crown = random.uniform(83.3, 83.5), random.uniform(-6, 12)
    return [
        Bottom(
            bore=bore + random.uniform(-0.01, 0.01),
            clearance=random.uniform(0.1, 0.4),
            crown=crown + random.uniform(-0.3, 0.3),
        )
        for _ in range(CYLINDERS)
    ]


def crown(seal: str) -> Make:
    """Crowns filled in the bore."""

    def make(random: Random) -> Simulated:
        made, pistons = filling(random, burette_b, 28), pistons_of(random)
        said, *land = land_of(random)
        blocks = crown_blocks(pistons, seal, (land[0], land[1]), made, random)
        truths = (
            Truth(quantity="crown", key=CROWN, value=pistons[0].crown * 1e-6),
            Truth(quantity="between sisters", key=CROWN, value=(pistons[0].crown - pistons[1].crown) * 1e-6, less=2),
        )
        return Simulated(text=head(CYLINDERS, [said]) + "".join(blocks), truths=truths)

    return make


def crown_on_bench(random: Random) -> Simulated:
    """Domes in a ring, and what the first takes more than the second."""
    made = filling(random, burette_b, 35)
    bore, height = random.gauss(88.0, 0.02 / 1.96), random.gauss(7.0, 0.02 / 1.96)
    true = [random.uniform(-9, -6) for _ in range(CYLINDERS)]
    blocks = [
        series(
            "crown-bench",
            n,
            made.rows(
                expanded(circle(bore) * height / 1000 + dome, ALUMINIUM, made.day.temperature, random), 3, random
            ),
            ring_bore='"88.00 +/- 0.02 mm, measured"',
            ring_height='"7.00 +/- 0.02 mm, measured"',
            material='"aluminium"',
            **made.said,
        )
        for n, dome in enumerate(true, 1)
    ]
    truths = (
        Truth(quantity="crown", key=CROWN, value=true[0] * 1e-6),
        Truth(quantity="between sisters", key=CROWN, value=(true[0] - true[1]) * 1e-6, less=2),
    )
    return Simulated(text=head(CYLINDERS) + "".join(blocks), truths=truths)


def stroke(count: int, hand: float) -> Make:
    """A stroke stated as so many readings of a vernier, by a hand so many times as unsteady as a usual one."""

    def make(random: Random) -> Simulated:
        true = random.uniform(78, 92)
        tool = tools.caliper(random, true, hand)
        read = ", ".join(quoted(tool.read(true, random), "mm") for _ in range(count))
        line = f'stroke = {{ readings = [{read}], instrument = "vernier caliper" }}'
        return Simulated(text=head(1, [line]), truths=(Truth(quantity="stroke", key="stroke", value=true * 1e-3),))

    return make


def drop(count: int, hand: float | None, gauge: str = "dial indicator") -> Make:
    """The drop of one piston read so many times."""

    def make(random: Random) -> Simulated:
        made, true = filling(random, burette_b), random.uniform(3.6, 5.2)
        # A vernier depth gauge: 0.025 mm in a usual hand, for the 0.02 mm of a caliper.
        vernier = tools.caliper(random, true, None if hand is None else 1.25 * hand)
        tool = tools.dial(random, 4.4, hand) if gauge == "dial indicator" else vernier
        places = 3 if gauge == "dial indicator" else 2
        drops = ", ".join(quoted(tool.read(true, random), "mm", places) for _ in range(count))
        said = {"drop": f"[{drops}]", "seal": '"grease"', "gauge": f'"{gauge}"', **made.said}
        text = head(1) + series("crown", 1, made.rows(38.0, 3, random), **said)
        return Simulated(text=text, truths=(Truth(quantity="drop", key="crown_drop", value=true * 1e-3),))

    return make


def lone_deck(count: int, hand: float) -> Make:
    """The deck clearance of one piston, read at one point so many times."""

    def make(random: Random) -> Simulated:
        true = random.uniform(0.1, 0.4)
        tool = tools.dial(random, 0.25, hand)
        rows = [f'crown = "{deck_words(tool.read(true, random))}"' for _ in range(count)]
        text = head(1) + series("deck", 1, rows, instrument='"dial indicator"')
        return Simulated(text=text, truths=(Truth(quantity="deck", key=DECK, value=true * 1e-3),))

    return make


def ratio(kit: Kit) -> Make:
    """A whole four: every part measured, the crevice counted."""

    def make(random: Random) -> Simulated:
        made, pistons = filling(random, kit), pistons_of(random)
        said, *land = land_of(random)
        ring = measured_gasket(random)
        stroke = random.gauss(91.7, 0.02 / 1.96)
        true = [random.uniform(42.5, 47.5) for _ in pistons]
        blocks = crown_blocks(pistons, "grease", (land[0], land[1]), made, random)
        blocks += chamber_blocks(true, made, 3, random)
        ratios = [
            1 + circle(p.bore) * stroke / 1000 / clearance(p, v, (land[0], land[1]), ring.volume)
            for p, v in zip(pistons, true, strict=True)
        ]
        lines = ['stroke = "91.70 +/- 0.02 mm, measured"', said, '[counted]\ncrevice = "counted"']
        truths = (
            Truth(quantity="ratio", key=RATIO, value=ratios[0]),
            Truth(quantity="between sisters", key=RATIO, value=ratios[0] - ratios[1], less=2),
        )
        return Simulated(text=head(CYLINDERS, lines) + ring.text + "".join(blocks), truths=truths)

    return make


def clearance(piston: Bottom, chamber: float, land: tuple[float, float], gasket_volume: float) -> float:
    """Everything above the piston at top dead centre, ml: what a fluid would find in the assembled engine."""
    crevice = (circle(piston.bore) - circle(land[0])) * land[1] / 1000
    return chamber + gasket_volume + piston.crown + circle(piston.bore) * piston.clearance / 1000 + crevice
