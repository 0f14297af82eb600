"""How fast the piston goes and how hard it is turned round, and what the trade thinks of such figures."""

from __future__ import annotations

import math
from collections.abc import Mapping
from math import pi, radians

from ccassist.engine import relations, slider_crank
from ccassist.engine.mathematics import uncertain
from ccassist.values.display import Formatter
from ccassist.values.measured import Value, computed
from ccassist.values.number import nominal
from ccassist.values.numerics import root
from ccassist.vocabulary.units import in_unit

NEEDED = ("stroke", "rod_length")
MOTION = ("mean_piston_speed", "peak_piston_speed", "peak_piston_acceleration")
_FASTEST = radians(30.0), radians(100.0)  # the piston is fastest between these, either side of top dead centre
_FLUTTER = 25.6  # m²/s²: acceleration × width at which a top ring is often said to flutter; common practice, no source

_ROAD, _RACING = 20.0, 25.0  # m/s, mean: about as far as most go; common practice, no source


def motion_of(values: Mapping[str, Value], turns: Value | None = None) -> dict[str, Value]:
    """Mean and peak piston speed and peak acceleration; nothing of a crank that cannot turn.

    Nothing either where stroke, rod or engine speed is not given.

    values : of one cylinder.
    turns : engine speed; the cylinder's own where it is not said.
    """
    speed = turns or values.get("engine_speed")
    if speed is None or not all(key in values for key in NEEDED):
        return {}
    m, offset = uncertain(), values.get("pin_offset")
    crank = (values["stroke"].number, values["rod_length"].number, 0.0 if offset is None else offset.number)
    omega = 2 * pi * speed.number
    plain = [nominal(number) for number in crank]
    if not slider_crank.turns(*plain):
        return {}
    travel = relations.piston_travel_offset(*crank, m=m)

    def over(at: float) -> float:
        return slider_crank.piston_acceleration(at, 1.0, *plain)

    def rate(at: float) -> float:
        return abs(slider_crank.piston_velocity(at, 1.0, *plain))

    # Where the speed is highest it does not hang on the angle, so that the angle's own ± does not count.
    low, high = _FASTEST
    fastest = max(root(over, low, high), root(over, -low, -high), key=rate)
    peak = slider_crank.piston_velocity(fastest, omega, *crank, m=m)
    found = {
        "mean_piston_speed": relations.mean_piston_speed(travel, speed.number, m=m),
        "peak_piston_speed": peak if fastest > 0 else -peak,
        "peak_piston_acceleration": slider_crank.piston_acceleration(0.0, omega, *crank, m=m),
    }
    return {key: computed(key, number, "at the engine speed given") for key, number in found.items()}


def speed_text(values: Mapping[str, Value], fmt: Formatter, turns: Value | None = None) -> str:
    """Mean and peak piston speed in a phrase; "" where they are not known."""
    speed, found = turns or values.get("engine_speed"), {**values, **motion_of(values, turns)}
    if speed is None or MOTION[0] not in found:
        return ""
    peak = f", peak {fmt.value(found[MOTION[1]])}" if MOTION[1] in found else ""
    return f"Piston speed at {fmt.show(speed.key, speed.nominal)}: mean {fmt.value(found[MOTION[0]])}{peak}"


def motion_text(values: Mapping[str, Value], fmt: Formatter, turns: Value | None = None) -> str:
    """The three figures and what the trade thinks of them; "" where they are not known."""
    speeds, found = speed_text(values, fmt, turns), {**values, **motion_of(values, turns)}
    if not speeds:
        return ""
    hardest = found.get(MOTION[2])
    rest = f"; peak acceleration {fmt.value(hardest)}, at top dead centre" if hardest else ""
    road, racing = (_about("mean_piston_speed", one, fmt) for one in (_ROAD, _RACING))
    return (
        f"{speeds}{rest}. Commonly means up to about {road} "
        f"are met in road engines and {racing} in racing ones: what others run, no permission; the makers of piston, "
        "rod, bolts and rings say the limit."
    )


def flutter_text(width: Value, fmt: Formatter) -> str:
    """From which acceleration a top ring of a width is often said to flutter."""
    most = _about("peak_piston_acceleration", _FLUTTER / width.nominal, fmt)
    return (
        f"A top ring {fmt.show(width.key, width.nominal)} wide is often said to flutter from about {most} (common "
        "practice, no source): the ring maker says."
    )


def _about(key: str, value: float, fmt: Formatter) -> str:
    """A figure of the trade's talk to two digits, SI: nobody knows it better."""
    return fmt.show(key, value, decimals=1 - math.floor(math.log10(in_unit(value, fmt.unit(key)))))
