"""What makes a build as hard on the fuel as the baseline: the root in one variable.

The caller says how the variable makes the build (a closing, a clearance volume,
a boost with all that it does to the charge); for the common ones :data:`LEVERS`
says it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from ccassist.boost.burn_case import Case
from ccassist.boost.knock import knock_integral, octane_over
from ccassist.boost.knock_refusals import refusals, unsound
from ccassist.boost.numbers import roots
from ccassist.values.findings import Finding, error

_SAMPLES = 12
_SHOWN = 1e-5  # octane: a root is kept only where the difference really vanishes

Build = Callable[[float], Case]

LEVERS: Mapping[str, Callable[[Case, float], Case]] = MappingProxyType(
    {
        "clearance_volume": lambda case, value: case.but(clearance_volume=value),
        "static_ratio": lambda case, value: replace(case, cylinder=case.cylinder.with_ratio(value)),
        "closing": lambda case, value: case.but(closing=value),
        "pressure": lambda case, value: case.but(pressure=value),
        "temperature": lambda case, value: case.but(temperature=value),
        "burn_centre": lambda case, value: case.but(burn_centre=value),
    }
)
"""From a case and a value of the lever (SI) to the case with it, all else as stated: pressure and temperature at
closing as they are, and the same residual."""


@dataclass(frozen=True, kw_only=True)
class Equal:
    """Where a build knocks as the baseline does.

    Attributes
    ----------
    values : of the variable, SI, rising; mostly one.
    least, most : octane difference from the baseline that the variable can reach in its range.
    """

    values: tuple[float, ...]
    least: float
    most: float


def equal_knock(
    baseline: Case | None,
    build: Build,
    low: float,
    high: float,
    *,
    what: str,
    show: Callable[[float], str] = "{:.4g}".format,
) -> tuple[Equal | None, tuple[Finding, ...]]:
    """Values of one variable at which a build has the knock integral of the baseline.

    Parameters
    ----------
    baseline : known to run clean.
    build : from a value of the variable (SI) to the candidate.
    low, high : range to look in, SI.
    what, show : the variable's name and how to write a value of it, for the words.

    Returns what was found, or None with the reasons where the comparison is refused; where nothing in the
    range does it there are no values, and a finding says how near it comes.  Values that make no engine are
    passed over.
    """
    points = [low + (high - low) * part / _SAMPLES for part in range(_SAMPLES + 1)]
    sound = [value for value in points if not unsound(build(value))]
    refused = refusals(baseline, build(sound[0] if sound else low))
    if refused or baseline is None:
        return None, refused
    fuel, known = baseline.operating.octane, knock_integral(baseline)

    def over(value: float) -> float:
        return float(octane_over(fuel, knock_integral(build(value)) / known))

    seen = [(value, over(value)) for value in sound]
    values = tuple(root for root in roots(over, seen) if abs(over(root)) < _SHOWN)
    reach = Equal(values=values, least=min(d for _, d in seen), most=max(d for _, d in seen))
    if values:
        return reach, ()
    return reach, (_never(reach, what, f"{show(low)} to {show(high)}"),)


def equal_knock_ratio(
    target: Case, natural: Build, *, low: float = 5.0, high: float = 40.0
) -> tuple[float | None, tuple[Finding, ...]]:
    """Static ratio at which a naturally aspirated engine has the knock integral of a boosted one.

    ``natural`` makes the unboosted engine of a ratio: same cylinder, speed, fuel and spark habit, charge as
    without boost.  Above about 14 the ratio only says that no unboosted engine does this.
    """
    found, findings = equal_knock(target, natural, low, high, what="static ratio", show="{:.1f}".format)
    return (found.values[0] if found and found.values else None), findings


def _never(reach: Equal, what: str, span: str) -> Finding:
    """Nothing in the range does it, and how near it comes."""
    harder = reach.least > 0
    nearest = reach.least if harder else reach.most
    side = "harder" if harder else "easier"
    return error(
        "knock-out-of-reach",
        f"{what} alone cannot bring this build to the baseline's knock: from {span} it stays at least "
        f"{abs(nearest):.1f} octane {side} on the fuel",
        right="change something else as well: " + ("less boost, later burn, cooler charge" if harder else "more boost"),
    )
