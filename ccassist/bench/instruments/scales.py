"""Scales: permissible errors by load steps of OIML R 76-1, doubled where no one verified them."""

from __future__ import annotations

from collections.abc import Iterator

from ccassist.bench.instruments.instrument import Instrument, Limit
from ccassist.vocabulary import Kind

G = 1e-3

# OIML R 76-1:2006, Table 6: up to this many verification steps, this many steps of error.
LOAD_STEPS = {
    "II": ((5_000, 0.5), (20_000, 1.0), (100_000, 1.5)),
    "III": ((500, 0.5), (2_000, 1.0), (10_000, 1.5)),
    "IIII": ((50, 0.5), (200, 1.0), (1_000, 1.5)),
}
UNVERIFIED = 2.0  # twice, as R 76 allows in service; for household scales common practice, no source

# step [g], class it is taken as, capacity [g], key, other names
SCALES = (
    (5.0, "IIII", 5_000, "kitchen scale 5 g", ("scale 5 g",)),
    (1.0, "III", 5_000, "kitchen scale 1 g", ("scale 1 g", "kitchen scale", "household scale 1 g")),
    (0.5, "III", 5_000, "scale 0.5 g", ("kitchen scale 0.5 g",)),
    (0.1, "III", 1_000, "scale 0.1 g", ("kitchen scale 0.1 g", "pocket scale 0.1 g", "bench scale 0.1 g")),
    (0.01, "II", 500, "scale 0.01 g", ("pocket scale 0.01 g", "balance 0.01 g", "kitchen scale 0.01 g")),
)
_ADVICE = (
    "Check it with a known mass before and after. Lift the bottle off, squirt, put it back: many scales swallow "
    "a slow trickle as drift. Off draughts, in the middle of the pan."
)


def load_limits(step: float, accuracy: str, factor: float = 1.0) -> tuple[Limit, ...]:
    """Permissible errors [kg] of a scale with a verification step [kg] and an accuracy class.

    Source: OIML R 76-1:2006, Table 6, on initial verification (seen); times factor.
    """
    return tuple(Limit(up_to=steps * step, fixed=factor * errors * step) for steps, errors in LOAD_STEPS[accuracy])


def scales() -> Iterator[Instrument]:
    """Household and bench scales, none of them verified."""
    for step, accuracy, capacity, key, synonyms in SCALES:
        yield Instrument(
            key=key,
            name=f"{key.rsplit(' ', 2)[0]} reading to {step:g} g",
            kind=Kind.MASS,
            resolution=step * G,
            limits=load_limits(step * G, accuracy, UNVERIFIED),
            capacity=capacity * G,
            source=f"OIML R 76-1:2006, Table 6, class {accuracy} with e = {step:g} g, doubled as not verified",
            known="common practice",
            synonyms=synonyms,
            advice=_ADVICE,
        )
