"""What must stand beside each figure of a boosted engine, each said once.

Common practice, no source, unless said.  ``BESIDE`` says to which group of
figures a caution belongs; none of them may be shown without its own.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import NamedTuple

from ccassist.boost.burn import burn_start
from ccassist.boost.burn_case import Case, Operating
from ccassist.boost.gas import DRY, FUELS, RICHEST
from ccassist.engine import slider_crank
from ccassist.values.findings import Finding, error, note
from ccassist.values.number import nominal

CAUTIONS: dict[str, str] = {
    "closing-basis": (
        "Trapped ratio is geometry, for comparing builds: it holds for the cam as installed, at the lift, lash and "
        "phasing at which closing was read, and for no other."
    ),
    "absolute": "Pressures are absolute. The pressure ratio counts from the standard atmosphere, not the barometer.",
    "charge": (
        "Charge temperature is worked out from assumptions unless it is stated, and pressure at closing is taken as "
        "0.95 to 1.18 of manifold pressure unless it is given: a well-filled engine stands 12 to 18 % above it."
    ),
    "motored": "End pressure and temperature are of the charge without a burn: no cranking gauge shows them.",
    "equivalents": (
        "Each figure holds only one thing equal, the one that it names. A limit that somebody states for one of them "
        "means nothing for another."
    ),
    "comparison": (
        "Knock is a comparison only, with the one engine that is named and vouched for: same fuel, speed and spark "
        "habit, on a day like its own. It holds at no other speed and is no octane to buy."
    ),
    "outside": (
        "RON alone is not what a fuel withstands under boost. Ethanol, direct injection, water, rich mixture, "
        "sodium-cooled valves, carbon, oil and hot spots are outside this; pre-ignition is not predicted at all."
    ),
    "strength": (
        "This says nothing of strength: peak pressure rises with boost, and studs, gasket, rods and pistons have "
        "limits of their own."
    ),
    "proof": "Planning figures: knock detection and a cautious start of the spark decide.",
}
BESIDE: dict[str, tuple[str, ...]] = {
    "trapped": ("closing-basis",),
    "charge": ("absolute", "charge"),
    "compression": ("motored",),
    "equivalents": ("equivalents",),
    "knock": ("comparison", "outside"),
    "all": ("strength", "proof"),
}


def beside(figures: str) -> tuple[str, ...]:
    """The cautions that stand beside a group of figures, one of BESIDE.

    >>> beside('trapped')[0][:32]
    'Trapped ratio is geometry, for c'
    """
    return tuple(CAUTIONS[key] for key in BESIDE[figures])


# When a comparison of knock is refused, and what must be minded where it is not: in words.

OCTANE_RANGE = (80.0, 110.0)  # usual statement of the validity of the delay formula (seen; 80 to 100 from memory)
ETHANOL_MOST = 0.10  # by volume; what pump fuel holds without a name of its own (common practice, no source)
LEAST_RATIO, MOST_RATIO = 2.0, 60.0
# Where the sums are sound, wider than any engine: SI as in burn_case
POSSIBLE = {
    "bore": (0.01, 1.0),
    "stroke": (0.01, 2.0),
    "rod_length": (0.01, 5.0),
    "pin_offset": (-0.1, 0.1),
    "clearance_volume": (1e-7, 0.5),
    "speed": (1.0, 400.0),
    "closing": (-math.pi / 2, math.pi / 4 * 3),
    "pressure": (1e4, 2e6),
    "temperature": (220.0, 800.0),
    "residual": (0.0, 0.5),
    "residual_temperature": (500.0, 2000.0),
    "cooler_span": (-100.0, 600.0),
    "burn_centre": (-math.pi / 4, math.pi / 2),
    "burn_duration": (math.radians(5), math.radians(180)),
    "heat_release": (0.1, 1.0),
    "heat_loss": (0.0, 5.0),
    "wall_temperature": (220.0, 1000.0),
    "burned_at_end": (0.5, 0.98),
}
_SAME = 1e-6


class Rule(NamedTuple):
    """When one build is refused: the name, whether it holds of how the build is run, what is wrong, what to do."""

    code: str
    holds: Callable[[Operating], bool]
    wrong: str
    right: str = "no knock comparison for this fuel"


RULES = (
    Rule(
        "octane-out-of-range",
        lambda run: not OCTANE_RANGE[0] <= run.octane <= OCTANE_RANGE[1],
        f"the delay formula holds from {OCTANE_RANGE[0]:.0f} to {OCTANE_RANGE[1]:.0f} octane",
    ),
    Rule(
        "knock-ethanol",
        lambda run: run.fuel == "ethanol" or not run.ethanol <= ETHANOL_MOST,
        f"the delay formula says nothing of fuel with more than {ETHANOL_MOST:.0%} of ethanol: E85 burns by another "
        "chemistry and cools the charge far more, and no formula for it is known here",
        'compare both builds on one petrol; fuel = "ethanol" gives the figures of the charge alone',
    ),
    Rule(
        "knock-methanol",
        lambda run: run.methanol != 0,
        "the delay formula says nothing of fuel with methanol",
    ),
    Rule(
        "knock-direct-injection",
        lambda run: run.direct_injection,
        "fuel injected into the cylinder cools the charge and leaves it uneven, which this does not follow",
        "no knock comparison for direct injection",
    ),
    Rule(
        "knock-no-fuel",
        lambda run: run.fuel == DRY or run.fuel not in FUELS or not 0 < run.equivalence_ratio <= RICHEST,
        "this charge has no fuel that is known here to knock",
        "state fuel and mixture",
    ),
)


def refusals(baseline: Case | None, candidate: Case) -> tuple[Finding, ...]:
    """Why no octane difference can be given; empty where it can.

    Numbers must be floats; for a whole map the same holds for each corner of it.

    >>> from ccassist.boost.example_engine import CASE
    >>> [finding.code for finding in refusals(CASE, CASE.but(speed=50.0))]
    ['other-speed']
    """
    if baseline is None:
        return (
            error(
                "no-baseline",
                "knock is only ever shown as a difference from an engine that is known to run clean, and none is named",
                right="name a baseline: its ratio, boost, closing, burn phasing, fuel and speed",
            ),
        )
    alone = (*_of_one(baseline, "baseline"), *_of_one(candidate, "candidate"))
    return (*alone, *_of_both(baseline, candidate))


def remarks(baseline: Case, candidate: Case) -> tuple[Finding, ...]:
    """What stays in doubt in a comparison that can be made.

    >>> from ccassist.boost.example_engine import CASE
    >>> [finding.code for finding in remarks(CASE, CASE.but(burn_centre=0.2))]
    ['burn-phasing-differs']
    """
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
    """What makes a case impossible to work out, in words; nothing where it can be.

    SI, as in :data:`POSSIBLE`.

    >>> from ccassist.boost.example_engine import CASE
    >>> unsound(CASE), unsound(CASE.but(bore=0.0))
    ('', 'bore is outside what an engine can have')
    """
    one, run, numbers = case.cylinder, case.operating, case.numbers()
    for name, (low, high) in POSSIBLE.items():
        if not low <= nominal(numbers[name]) <= high:
            return f"{name.replace('_', ' ')} is outside what an engine can have"
    if not slider_crank.turns(nominal(one.stroke), nominal(one.rod_length), nominal(one.pin_offset)):
        return "the rod is too short for the crank to turn"
    if not LEAST_RATIO <= nominal(1 + one.swept_volume() / one.clearance_volume) <= MOST_RATIO:
        return "the clearance volume gives no static ratio that an engine can have"
    begins = nominal(burn_start(run.burn_centre, run.burn_duration))
    if not nominal(case.closing_angle()) < begins < math.pi / 2:
        return "the burn must begin after intake closing and less than a quarter turn after top dead centre"
    return ""


def _of_one(case: Case, which: str) -> tuple[Finding, ...]:
    """Why one of the two cannot be compared."""
    wrong = unsound(case)
    impossible = (error("knock-impossible-case", wrong, place=which),) if wrong else ()
    broken = (rule for rule in RULES if rule.holds(case.operating))
    return (*impossible, *(error(rule.code, rule.wrong, right=rule.right, place=which) for rule in broken))


def _of_both(baseline: Case, candidate: Case) -> tuple[Finding, ...]:
    """Why the two cannot be compared with each other."""
    one, other = baseline.operating, candidate.operating
    found = []
    if not math.isclose(nominal(one.speed), nominal(other.speed), rel_tol=_SAME):
        wrong = "knock cannot be compared between different speeds"
        found.append(error("other-speed", wrong, right="give both builds the same speed"))
    if (one.fuel, one.octane, one.ethanol) != (other.fuel, other.octane, other.ethanol):
        wrong = "knock can only be compared on the same fuel"
        right = "give both builds the baseline's fuel; the answer says how many octane more the candidate asks"
        found.append(error("other-fuel", wrong, right=right))
    return tuple(found)
