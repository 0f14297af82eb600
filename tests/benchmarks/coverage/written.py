"""What a simulated job is, and how one is written down.  Lengths in mm, volumes in ml; truths in SI, at 20 °C."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from random import Random

CYLINDERS = 4  # of a whole engine
CHAMBER, CROWN, DECK, RATIO = "chamber_volume", "crown_volume", "deck_clearance", "static_ratio"


@dataclass(frozen=True, kw_only=True)
class Truth:
    """What a result should hold: a term of one cylinder (or by how much it exceeds another's), SI."""

    quantity: str
    key: str
    value: float
    less: int = 0


@dataclass(frozen=True, kw_only=True)
class Simulated:
    """A job file and the truths of its first cylinder."""

    text: str
    truths: tuple[Truth, ...]


Make = Callable[[Random], Simulated]


def circle(diameter: float) -> float:
    """Area of a circle, mm²."""
    return math.pi * diameter * diameter / 4


def head(cylinders: int, lines: Sequence[str] = ()) -> str:
    """The start of a job file."""
    return "\n".join(
        [
            "format = 1",
            '[job]\nname = "Simulated"',
            f"[engine]\ncylinders = {cylinders}",
            *lines,
            '[part.head]\nkind = "head"',
            "",
        ]
    )


def series(step: str, cylinder: int | None, rows: Sequence[str], **said: str) -> str:
    """One block of readings."""
    if cylinder is not None:
        said = {"cylinder": str(cylinder), **said}
    about = "".join(f"{key} = {value}\n" for key, value in said.items())
    listed = "".join(f"  {{ {row} }},\n" for row in rows)
    return f'[[series]]\nstep = "{step}"\n{about}readings = [\n{listed}]\n'


def quoted(value: float, unit: str, places: int = 2) -> str:
    """A quantity as text of the file."""
    return f'"{value:.{places}f} {unit}"'
