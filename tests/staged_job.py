"""A chamber of known shape filled level by level, as a burette would show it; invented numbers."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from ccassist.analysis.results import Survey, survey
from ccassist.bench.reductions import CLIMB
from ccassist.job.file import parse_job

MM, CC = 1e-3, 1e-6
LEVELS = (6.0, 4.5, 3.0, 2.0, 1.0, 0.0)  # mm


def frustum(depth: float) -> float:
    """Cone frustum, 40 mm radius at the face, closing in by 1 mm a mm: h pi / 3 (R2 + R r + r2) [mm] -> [cc].

    Source: Machinery's Handbook 31st ed. (2020), volumes of solids (from memory).
    """
    large, small = 40.0, 40.0 - depth
    return math.pi * depth / 3 * (large**2 + large * small + small**2) / 1000


def staged_row(
    above: Callable[[float], float],
    *,
    base: float = 20.0,
    edge: float = 0.0,
    digits: int = 6,
    levels: Sequence[float] = LEVELS,
) -> str:
    """One run on a chamber; ``above(depth)`` is the volume from the face to a depth [mm] -> [cc]; edge [mm]."""

    def held(depth: float) -> float:  # meniscus at an upright wall, written out again
        u = min(1.0, (depth * MM) ** 2 / CLIMB)
        return edge * MM * CLIMB / 2 * math.sqrt(2 * u - u * u) / CC

    ends = [base + above(levels[0]) - above(d) + held(d) - held(levels[0]) for d in levels]
    starts = [0.0, *ends[:-1]]

    def listed(numbers: Sequence[float], unit: str) -> str:
        return "[" + ", ".join(f'"{n:.{digits}f} {unit}"' for n in numbers) + "]"

    return f"{{ depth = {listed(levels, 'mm')}, start = {listed(starts, 'ml')}, end = {listed(ends, 'ml')} }}"


def staged_series(
    rows: Sequence[str], *, cylinder: int = 1, more: str = "", instrument: str = "", hole: str = "not filled"
) -> str:
    tool = f'instrument = "{instrument}"\n' if instrument else ""
    return (
        f'[[series]]\nstep = "stages"\ncylinder = {cylinder}\nhole = "{hole}"\nfluid = "white spirit"\n{tool}{more}'
        "readings = [\n" + ",\n".join(rows) + "\n]\n"
    )


def staged_survey(*rows: str, engine: str = "", **series: str) -> Survey:
    """A job of one chamber filled in stages; ``engine`` stands before the readings."""
    text = f"format = 1\n[engine]\ncylinders = 1\n{engine}" + staged_series(rows, **series)  # type: ignore[arg-type]
    return survey(parse_job(text).job)
