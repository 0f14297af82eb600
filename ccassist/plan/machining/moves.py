"""Amounts of several cylinders in words, those that go one way together."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ccassist.values.display import show
from ccassist.values.measured import Number, nominal

_HAIR = 1e-10  # m: no cut; what adding and taking away leaves of nothing


@dataclass(frozen=True, kw_only=True)
class Move:
    """One amount, or the range of several, of the cylinders for which it has one sign.

    ``whose`` names them, "" where they are all; ``span`` is without sign.
    """

    cylinders: tuple[int, ...]
    positive: bool
    whose: str
    span: str


def moves_of(numbers: Mapping[int, Number], system: str, *, of: int | None = None) -> list[Move]:
    """The amounts [m] by cylinder, those of one sign together; nothing of what does not move.

    ``of`` : how many cylinders there are, where not all have an amount.
    """
    found = []
    for positive in (True, False):
        amounts = {
            n: abs(x) for n, number in numbers.items() if (x := nominal(number)) * (1 if positive else -1) > _HAIR
        }
        if not amounts:
            continue
        several = "s" if len(amounts) > 1 else ""
        all_of_them = len(amounts) == (len(numbers) if of is None else of)
        found.append(
            Move(
                cylinders=tuple(amounts),
                positive=positive,
                whose="" if all_of_them else f"cylinder{several} {', '.join(map(str, amounts))}: ",
                span=span(list(amounts.values()), system),
            )
        )
    return found


def span(numbers: Sequence[Number], system: str) -> str:
    """One amount [m], or the range of several of one sign, without it."""
    amounts = [abs(nominal(number)) for number in numbers]
    low, high = (show("face_cut", end, system=system) for end in (min(amounts), max(amounts)))
    return low if low == high else f"{low} to {high}"
