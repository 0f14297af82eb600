"""When a comparison of knock is refused, and what must be minded where it is not: in words."""

from __future__ import annotations

import math

from ccassist.boost.burn import burn_start
from ccassist.boost.burn_case import Case
from ccassist.boost.gas import DRY, FUELS
from ccassist.findings import Finding, error, note

OCTANE_RANGE = (80.0, 110.0)  # usual statement of the validity of the delay formula (seen; 80 to 100 from memory)
ETHANOL_MOST = 0.10  # by volume; what pump fuel holds without a name of its own (common practice, no source)
BURNED_RANGE = (0.5, 0.98)
_SAME = 1e-6

Refusal = tuple[bool, str, str, str]  # whether, code, what is wrong, what would be right


def refusals(baseline: Case | None, candidate: Case) -> tuple[Finding, ...]:
    """Why no octane difference can be given; empty where it can.

    Numbers must be floats; for a whole map the same holds for each corner of it.
    """
    if baseline is None:
        return (
            error(
                "no-baseline",
                "knock is only ever shown as a difference from an engine that is known to run clean, and none is named",
                right="name a baseline: its ratio, boost, closing, burn phasing, fuel and speed",
            ),
        )
    found = [*_of_one(baseline, "baseline"), *_of_one(candidate, "candidate")]
    return (*found, *_told(_of_both(baseline, candidate), ""))


def remarks(baseline: Case, candidate: Case) -> tuple[Finding, ...]:
    """What stays in doubt in a comparison that can be made."""
    one, other = baseline.operating, candidate.operating
    found = []
    if one.burn_centre != other.burn_centre:
        found.append(
            note(
                "burn-phasing-differs",
                "the two builds burn at different angles: the difference holds for that spark only",
                right="compare with the same burn phasing to see what the build alone does",
            )
        )
    if one.equivalence_ratio != other.equivalence_ratio:
        found.append(
            note("mixture-differs", "the mixtures differ in strength, and the delay formula knows nothing of strength")
        )
    return tuple(found)


def unsound(case: Case) -> str:
    """What makes a case impossible to work out, in words; nothing where it can be."""
    numbers = [n for n in case.numbers().values() if isinstance(n, int | float)]
    if not all(math.isfinite(n) for n in numbers):
        return "a figure is not a number"
    one, run = case.cylinder, case.operating
    above_zero = (one.bore, one.stroke, one.clearance_volume, run.speed, run.pressure, run.temperature)
    if min(*above_zero, run.burn_duration, run.heat_release, run.wall_temperature) <= 0:
        return "bore, stroke, clearance volume, speed, pressure, temperature and burn must be above zero"
    if one.rod_length <= one.stroke / 2 + abs(one.pin_offset):
        return "the rod is too short for the crank to turn"
    if not (0 <= run.residual < 1 and run.heat_loss >= 0 and BURNED_RANGE[0] <= run.burned_at_end <= BURNED_RANGE[1]):
        return "residual, heat loss or the burned share of the end is out of range"
    if not case.closing_angle() < burn_start(run.burn_centre, run.burn_duration) < math.pi / 2:
        return "the burn must begin after intake closing and less than a quarter turn after top dead centre"
    return ""


def _of_one(case: Case, which: str) -> tuple[Finding, ...]:
    """Why one of the two cannot be compared."""
    run, wrong = case.operating, unsound(case)
    low, high = OCTANE_RANGE
    rows: tuple[Refusal, ...] = (
        (bool(wrong), "knock-impossible-case", wrong, ""),
        (
            not low <= run.octane <= high,
            "octane-out-of-range",
            f"the delay formula holds from {low:.0f} to {high:.0f} octane",
            "no knock comparison for this fuel",
        ),
        (
            not run.ethanol <= ETHANOL_MOST or run.fuel == "ethanol",
            "knock-ethanol",
            f"the delay formula says nothing of fuel with more than {ETHANOL_MOST:.0%} of ethanol",
            "no knock comparison for this fuel",
        ),
        (
            run.methanol != 0,
            "knock-methanol",
            "the delay formula says nothing of fuel with methanol",
            "no knock comparison for this fuel",
        ),
        (
            run.direct_injection,
            "knock-direct-injection",
            "fuel injected into the cylinder cools the charge and leaves it uneven, which this does not follow",
            "no knock comparison for direct injection",
        ),
        (
            run.fuel == DRY or run.fuel not in FUELS or not run.equivalence_ratio > 0,
            "knock-no-fuel",
            "there is no fuel in this charge to knock",
            "state fuel and mixture",
        ),
    )
    return _told(rows, which)


def _of_both(baseline: Case, candidate: Case) -> tuple[Refusal, ...]:
    """Why the two cannot be compared with each other."""
    one, other = baseline.operating, candidate.operating
    return (
        (
            not math.isclose(one.speed, other.speed, rel_tol=_SAME),
            "other-speed",
            "knock cannot be compared between different speeds",
            "give both builds the same speed",
        ),
        (
            (one.fuel, one.octane, one.ethanol) != (other.fuel, other.octane, other.ethanol),
            "other-fuel",
            "knock can only be compared on the same fuel",
            "give both builds the baseline's fuel; the answer says how many octane more the candidate asks",
        ),
    )


def _told(rows: tuple[Refusal, ...], which: str) -> tuple[Finding, ...]:
    """The rows that hold, as findings."""
    return tuple(error(code, wrong, right=right, place=which) for holds, code, wrong, right in rows if holds)
