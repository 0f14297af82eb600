"""Boost by static ratio: end pressure, end temperature and octane difference from the baseline over a whole grid.

Each point is a full compression, burn and knock integral.  All points are
worked on as arrays, a few thousand at once, so that memory does not grow with
the grid.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from ccassist.boost.burn_case import Case
from ccassist.boost.burn_maths import arrays, parts
from ccassist.boost.compression import State, isentropic
from ccassist.boost.gas import mixture
from ccassist.boost.knock import knock_integral, knock_integrals, octane_over
from ccassist.boost.knock_refusals import refusals
from ccassist.engine import slider_crank
from ccassist.values.findings import Finding

Build = Callable[[Any, Any], Case]


@dataclass(frozen=True, kw_only=True)
class BoostMap:
    """A grid of boost by static ratio.

    Attributes
    ----------
    boosts, ratios : the axes, as they were given.
    end_pressure, end_temperature : of the charge at top dead centre without a burn and without heat loss, Pa and K;
        arrays of shape (boosts, ratios).
    octane_difference : from the baseline, of the same shape, positive harder on the fuel; None where it is refused.
    """

    boosts: tuple[float, ...]
    ratios: tuple[float, ...]
    end_pressure: Any
    end_temperature: Any
    octane_difference: Any


def boost_map(
    baseline: Case | None, build: Build, boosts: Sequence[float], ratios: Sequence[float]
) -> tuple[BoostMap, tuple[Finding, ...]]:
    """The map of a build.

    Parameters
    ----------
    baseline : known to run clean; None gives end pressure and temperature only.
    build : from boosts and static ratios, two arrays of one dimension and equal length (or two floats), to the
        builds, all run alike but for the charge.
    boosts, ratios : the axes, in the units that ``build`` takes.

    Returns the map, and the findings that say why it has no octane difference.
    """
    import numpy as np

    shape = len(boosts), len(ratios)
    boost, ratio = (axis.ravel() for axis in np.meshgrid(boosts, ratios, indexing="ij"))
    refused = _refused(baseline, build, boosts, ratios)
    pressure, temperature = np.empty(boost.size), np.empty(boost.size)
    difference = None if refused else np.empty(boost.size)
    for part in parts(boost.size):
        case = build(boost[part], ratio[part])
        end = end_of_compression(case)
        pressure[part], temperature[part] = end.pressure, end.temperature
        if difference is not None and baseline is not None:
            relative = knock_integrals(case) / knock_integral(baseline)
            difference[part] = octane_over(baseline.operating.octane, relative)
    found = BoostMap(
        boosts=tuple(boosts),
        ratios=tuple(ratios),
        end_pressure=pressure.reshape(shape),
        end_temperature=temperature.reshape(shape),
        octane_difference=None if difference is None else difference.reshape(shape),
    )
    return found, refused


def end_of_compression(case: Case) -> State:
    """The charge at top dead centre along its isentrope, from arrays."""
    one, run, m = case.cylinder, case.operating, arrays()
    closing = slider_crank.cylinder_volume(
        case.closing_angle(m=m), one.bore, one.clearance_volume, one.stroke, one.rod_length, one.pin_offset, m=m
    )
    start = State(pressure=run.pressure, temperature=run.temperature)
    gas = mixture(run.fuel, run.equivalence_ratio, run.residual)
    return isentropic(gas, start, closing / one.clearance_volume)


def _refused(
    baseline: Case | None, build: Build, boosts: Sequence[float], ratios: Sequence[float]
) -> tuple[Finding, ...]:
    """Why a map has no octane difference, looked for in its four corners."""
    for boost in (boosts[0], boosts[-1]):
        for ratio in (ratios[0], ratios[-1]):
            refused = refusals(baseline, build(float(boost), float(ratio)))
            if refused:
                return refused
    return ()
