"""What gives the fluid: burette, syringe, bottle on a scale, improvised burette.

Each writes the readings of a fill that takes so many ml at the temperature of
the day, and any section of the job file it needs.
"""

from __future__ import annotations

from random import Random
from typing import Protocol

from tests.benchmarks.blind.population import Population, rounded, solve
from tests.benchmarks.blind.water import Day


class Dispenser(Protocol):
    """One dispenser of one job."""

    instrument: str
    sections: str

    def fill(self, volume: float) -> str:
        """Readings of one fill of so many ml at the temperature of the day."""


class Burette:
    """Glass burette of 50 ml, refilled where it must be."""

    sections = ""

    def __init__(self, rng: Random, crowd: Population, day: Day, *, letter: str, usual: float) -> None:
        self.instrument = f"burette 50 ml class {letter}"
        self.rng, self.warm = rng, 1 + 9.9e-6 * (day.temperature - 20)
        limit = {"A": 0.05, "B": 0.10}[letter]
        self.error = crowd.curve(rng, limit=limit, use=min(usual, 49.0), top=50.0, waves=5)

    def fill(self, volume: float) -> str:
        """Start and end of each delivery."""
        left, starts, ends = volume / self.warm, [], []
        while left > 0:
            start = self.rng.uniform(0.0, 0.8)
            last = self.rng.uniform(48.6, 49.8)
            end = solve(lambda r, start=start: self._given(start, r), left, start + left)  # type: ignore[misc]
            end, finished = (end, True) if end < 49.9 else (last, False)
            starts.append(self._read(start))
            ends.append(self._read(end))
            left = 0.0 if finished else left - self._given(start, end)
        return f"start = {_one_or_list(starts)}, end = {_one_or_list(ends)}"

    def _given(self, start: float, end: float) -> float:
        # The scale shows more than it gives where its error is positive.
        return (end - self.error(end)) - (start - self.error(start))

    def _read(self, level: float) -> str:
        return f"{max(0.0, rounded(level + self.rng.gauss(0, 0.015), 0.05)):.2f} ml"


class Syringe:
    """Plastic syringe of 20 ml: full ones to the stop, the last one down to a mark."""

    sections = ""
    instrument = "syringe 20 ml"
    _SIZE = 20.0

    def __init__(self, rng: Random, crowd: Population, day: Day) -> None:
        self.rng, self.warm = rng, 1 + 300e-6 * (day.temperature - 20)
        self.curve = crowd.curve(rng, limit=0.04 * self._SIZE, use=self._SIZE, top=self._SIZE, waves=4)
        self.offset = crowd.error(rng, 0.015 * self._SIZE)

    def fill(self, volume: float) -> str:
        """Full syringes and the remainder."""
        left, full = volume / self.warm, 0
        while left > 0.97 * self._SIZE:
            left -= self._held(self._SIZE) + self.rng.gauss(0, 0.08) + self.rng.gauss(0, 0.05)
            full += 1
        set_to = self._SIZE + self.rng.gauss(0, 0.08)
        wanted = left + self.rng.gauss(0, 0.05)
        rest = solve(lambda r: self._held(set_to) - self._held(set_to - r), wanted, max(left, 0.0))
        read = max(0.0, rounded(self._SIZE - (set_to - rest) + self.rng.gauss(0, 0.05), 0.5))
        return f'full = {full}, each = "20 ml", rest = "{read:.1f} ml"'

    def _held(self, mark: float) -> float:
        """Ml between the stop and a mark."""
        allowed = 0.015 * self._SIZE + 0.01 * mark if mark < self._SIZE / 2 else 0.04 * mark
        error = self.curve(mark) + self.offset * (1 - mark / self._SIZE)
        return mark - min(max(error, -allowed), allowed)


class Scale:
    """A bottle weighed before and after."""

    sections = ""

    def __init__(self, rng: Random, crowd: Population, day: Day, *, coarse: bool) -> None:
        self.instrument = "kitchen scale 1 g" if coarse else "scale 0.1 g"
        self.step = 1.0 if coarse else 0.1
        self.loads = (320.0, 480.0) if coarse else (120.0, 190.0)
        self.rng, self.day = rng, day
        use = sum(self.loads) / 2
        self.error = crowd.curve(rng, limit=1.0 if coarse else 0.2, use=use, top=self.loads[1], waves=4)

    def fill(self, volume: float) -> str:
        """Both masses."""
        full = self.rng.uniform(*self.loads)
        before, after = self.show(full), self.show(full - self.day.shown(volume))
        return f'before = "{before}", after = "{after}"'

    def show(self, load: float) -> str:
        """What the scale shows of a load."""
        read = load + self.error(load) + self.rng.gauss(0, 0.4 * self.step)
        return f"{max(0.0, rounded(read, self.step)):.1f} g"


class Improvised:
    """A tube with a plunger and marks of somebody's own, weighed in the same job."""

    instrument = "marked tube"

    def __init__(self, rng: Random, crowd: Population, day: Day, *, usual: float) -> None:
        self.rng, self.day = rng, day
        self.gain = 1 + crowd.error(rng, 0.03)
        self.waves = crowd.curve(rng, limit=0.15, use=usual, top=60.0, waves=5)
        self.backlash = rng.uniform(0.1, 0.4)
        self.scale = Scale(rng, crowd, day, coarse=False)
        self.scale.error = crowd.curve(rng, limit=0.1, use=50.0, top=60.0, waves=4)
        self.sections = self._declared() + self._calibrated()

    def fill(self, volume: float) -> str:
        """From nought, pressed one way to wherever the part is full."""
        end = solve(self._given, volume + self.rng.gauss(0, 0.05) - self._set(), volume)
        return f'start = "0 ml", end = "{rounded(end + self.rng.gauss(0, 0.1), 0.5):.1f} ml"'

    def _set(self) -> float:
        """Error of setting the plunger on a mark, ml."""
        return self.rng.gauss(0, 0.1)

    def _given(self, mark: float) -> float:
        return self.gain * mark - self.waves(mark) - self.backlash

    def _declared(self) -> str:
        return (
            f'[instrument."{self.instrument}"]\nlike = "unmarked bottle"\nresolution = "0.5 ml"\ncapacity = "60 ml"\n'
        )

    def _calibrated(self) -> str:
        rows = []
        for size in (10, 20, 30, 40, 50, 58) * 3:
            given = self._given(size + self._set()) + self._set() + self.rng.gauss(0, 0.05)
            shown = self.scale.show(self.day.shown(given))
            rows.append(f'{{ from = "0 ml", to = "{size} ml", before = "0.0 g", after = "{shown}" }},')
        head = f'[[series]]\nstep = "calibrate"\ninstrument = "{self.instrument}"\nscale = "scale 0.1 g"\n'
        told = f'fluid = "water"\ntemperature = "{self.day.said}"\nvalid_for = "1 year"\ndate = 2026-10-01\n'
        return head + told + "readings = [\n" + "\n".join(rows) + "\n]\n"


def _one_or_list(texts: list[str]) -> str:
    quoted = ", ".join(f'"{text}"' for text in texts)
    return quoted if len(texts) == 1 else f"[{quoted}]"
