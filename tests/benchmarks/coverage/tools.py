"""Instruments with real errors: offset, gain, waviness, backlash, rounding.

This is the simulator's own physics, in mm, ml, g and °C: nothing of it comes
from the package under test, and the figures of each class are written down
here a second time, from the standards named.

A class is taken at its word: at what an instrument is used for (``use``: the
usual delivery, the usual net load, the usual length) its error is drawn
uniformly over the whole limit, and a waviness fills part of what that leaves.
Where a real instrument is better than its class, the stated intervals are
generous.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from random import Random


def zigzag(position: float) -> float:
    """A triangle wave of period 1 between −1 and 1: it spends equal shares at every height."""
    return 4 * abs(position - math.floor(position + 0.5)) - 1


def rounded(value: float, step: float) -> float:
    """As read, to the nearest step; a step of nothing is no rounding."""
    return round(value / step) * step if step else value


@dataclass(frozen=True, kw_only=True)
class Scale:
    """A volume scale: what is delivered between two readings is out by offset + error(end) − error(start).

    ``offset`` [ml] is the error of every delivery, whatever it amounts to (the drop
    at the tip, the film on the wall); ``gain`` [ml] grows evenly up to the reading
    ``reach`` [ml], beyond which the bore is true; ``ripple`` [ml] the height
    of a waviness of period ``wave`` [ml] that begins at ``phase``; ``expansion``
    [1/K] its material's cubic expansion: the scale is right at 20 °C.
    """

    capacity: float
    step: float
    offset: float
    gain: float
    reach: float
    ripple: float
    wave: float
    phase: float
    expansion: float

    def error(self, reading: float) -> float:
        """How much more has left it than the reading says, but for the offset, ml."""
        return self.gain * min(1.0, reading / self.reach) + self.ripple * zigzag(reading / self.wave + self.phase)

    def set_to(self, mark: float, random: Random) -> float:
        """Where the fluid or the plunger truly stands when it is brought to a mark, as nearly as the scale is read."""
        return mark + random.uniform(-0.5, 0.5) * self.step

    def end_of(self, start: float, volume: float, temperature: float) -> float:
        """The reading, not yet rounded, at which a volume [ml] has been delivered."""
        at_20 = volume / (1 + self.expansion * (temperature - 20)) - self.offset
        end = start + at_20
        for _ in range(30):  # the error changes slowly along the scale, so this settles
            end = start + at_20 - (self.error(end) - self.error(start))
        return end

    def delivered(self, start: float, end: float, temperature: float) -> float:
        """What leaves it between two true readings, ml."""
        at_20 = end + self.error(end) - start - self.error(start) + self.offset
        return at_20 * (1 + self.expansion * (temperature - 20))


def burette(random: Random, use: float, capacity: float = 50, step: float = 0.05, limit: float = 0.1) -> Scale:
    """A glass burette: the error between any two points stays within the limit; reached by ``use`` [ml].

    Class B, 50 ml: 0.1 ml, divisions of 0.1 ml read to half of one (ISO 385:2005,
    Table 1).  Glass anywhere from borosilicate to soda-lime, 9.9e-6 to 27e-6 per K
    (ISO 4787:2010).
    """
    whole, early = random.uniform(-limit, limit), random.random()
    return Scale(
        capacity=capacity,
        step=step,
        offset=early * whole,
        gain=(1 - early) * whole,
        reach=random.uniform(0.5, 1) * min(use, capacity),
        ripple=random.uniform(0, limit - abs(whole)) / 2,
        wave=random.uniform(0.1, 0.6) * capacity,
        phase=random.random(),
        expansion=random.uniform(9.9e-6, 27e-6),
    )


def syringe(random: Random, capacity: float = 60, step: float = 0.5) -> Scale:
    """A plastic syringe of 5 ml or more: below half of its capacity 1.5 % of it and 1 % of what is expelled, then 4 %.

    ISO 7886-1:2017, clause 8, Table 1.  Polypropylene, 345e-6 per K give or take half.
    """
    whole = random.uniform(-0.04, 0.04)
    early = random.random() * min(1, 0.04 / abs(whole) - 1, 0.015 / abs(whole))
    room = min(0.015 - early * abs(whole), 0.02 - abs(whole) * (1 + early) / 2, 0.04 - abs(whole))
    return Scale(
        capacity=capacity,
        step=step,
        offset=early * whole * capacity,
        gain=(1 - early) * whole * capacity,
        reach=capacity,
        ripple=random.uniform(0, room) / 2 * capacity,
        wave=random.uniform(0.1, 0.6) * capacity,
        phase=random.random(),
        expansion=345e-6 * random.uniform(0.5, 1.5),
    )


def tube(random: Random) -> Scale:
    """An improvised burette of 60 ml read to 0.1 ml: out by up to 5 % and 0.5 ml a delivery, marks uneven by 0.1 ml."""
    return Scale(
        capacity=60,
        step=0.1,
        offset=random.uniform(-0.5, 0.5),
        gain=random.uniform(-3, 3),
        reach=60,
        ripple=random.uniform(0, 0.1),
        wave=random.uniform(6, 36),
        phase=random.random(),
        expansion=345e-6 * random.uniform(0.5, 1.5),
    )


@dataclass(frozen=True, kw_only=True)
class Balance:
    """A weighing scale: what it shows of a net load is out by a lean and a waviness, together within a limit.

    ``lean`` [g] is the error of the usual net load ``use`` [g], taken from the
    load ``full`` [g], and comes and goes along the scale; ``ripple`` [g] is the
    height of a waviness of period ``wave`` [g].  What every reading is out by
    alike is left out: no load here is anything but a difference.
    """

    step: float
    full: float
    use: float
    lean: float
    ripple: float
    wave: float
    phase: float

    def read(self, load: float) -> float:
        """What it shows, g."""
        error = self.lean / 2 * zigzag((load - self.full) / (2 * self.use) + 0.5)
        error += self.ripple * zigzag(load / self.wave + self.phase)
        return rounded(load + error, self.step)


def balance(random: Random, step: float, *, full: float, use: float) -> Balance:
    """An unverified scale of class III: twice 0.5, 1, 1.5 steps up to 500, 2000, 10000 steps.

    OIML R 76-1:2006, Table 6; 3.5.3.3 (from memory): the limits hold for net values for every possible tare
    load, so between any two loads too.
    """
    limit = 2 * step * (0.5 if use <= 500 * step else 1.0 if use <= 2000 * step else 1.5)
    lean = random.uniform(-limit, limit)
    return Balance(
        step=step,
        full=full,
        use=use,
        lean=lean,
        ripple=random.uniform(0, limit - abs(lean)) / 2,
        wave=random.uniform(15, 45),
        phase=random.random(),
    )


@dataclass(frozen=True, kw_only=True)
class Gauge:
    """A length instrument: every reading is out by offset, gain, waviness and half its backlash, within its limit.

    ``bias`` and ``ripple`` [mm]; ``tilt`` the share of the bias that grows with the
    length; ``full`` [mm] where it is reached; ``backlash`` [mm] what is lost where it is come
    to from the usual side, as all but one reading in ten are; ``repeats`` the
    standard deviation of one reading [mm].
    """

    step: float
    bias: float
    tilt: float
    full: float
    ripple: float
    wave: float
    phase: float
    backlash: float
    repeats: float

    def read(self, length: float, random: Random) -> float:
        """One reading, mm."""
        error = self.bias * (1 - self.tilt + self.tilt * min(1, abs(length) / self.full))
        error += self.ripple * zigzag(length / self.wave + self.phase)
        error += self.backlash if random.random() < 0.9 else 0.0
        return rounded(length + error + random.gauss(0, self.repeats), self.step)


def gauge(
    random: Random,
    *,
    step: float,
    limit: float,
    repeats: float,
    full: float,
    play: float = 0.0,
    hand: float | None = None,
) -> Gauge:
    """A length instrument of a permissible error [mm] at lengths about ``full`` [mm]; ``play``: its widest backlash.

    ``repeats`` [mm] is the standard deviation of a usual hand; ``hand`` how many
    times that this one scatters, anywhere from half to one and a half where it
    is not said.
    """
    usual = random.uniform(-limit, limit)
    backlash = random.uniform(max(-play, usual - limit), min(play, usual + limit))  # within it from the other side too
    bias = usual - backlash
    room = max(0.0, limit - max(abs(bias), abs(bias + backlash)))
    return Gauge(
        step=step,
        bias=bias,
        tilt=random.uniform(0, 0.3),
        full=full,
        ripple=random.uniform(0, room),
        wave=random.uniform(0.1, 0.6) * full,
        phase=random.random(),
        backlash=backlash,
        repeats=repeats * (random.uniform(0.5, 1.5) if hand is None else hand),
    )


def bore_gauge(random: Random, bore: float) -> Gauge:
    """Two-point gauge set by a micrometer: 0.010 mm, 0.005 mm steps (common practice, no source)."""
    return gauge(random, step=0.005, limit=0.010, repeats=0.005, full=bore)


def caliper(random: Random, length: float, hand: float | None = None) -> Gauge:
    """Vernier of 0.02 mm up to 200 mm: 0.03 mm (DIN 862, from memory); the same of a vernier depth gauge."""
    return gauge(random, step=0.02, limit=0.03, repeats=0.02, full=length, hand=hand)


def micrometer(random: Random, length: float, step: float) -> Gauge:
    """Outside micrometer up to 50 mm: 0.004 mm (ISO 3611, from memory), read to 0.01 mm or digital to 0.001 mm."""
    return gauge(random, step=step, limit=0.004, repeats=0.004 if step > 0.001 else 0.003, full=length)


def dial(random: Random, travel: float, hand: float | None = None) -> Gauge:
    """Dial of 0.01 mm read to half a division: 0.008 mm within 1 mm, 0.015 within 10, 0.025 within 30.

    DIN 878, from memory.
    """
    limit = 0.008 if travel <= 1 else 0.015 if travel <= 10 else 0.025
    return gauge(random, step=0.005, limit=limit, repeats=0.010, full=travel, play=0.003, hand=hand)
