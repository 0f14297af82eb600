"""What must stand beside each figure of a boosted engine, each said once.

Common practice, no source, unless said.  ``BESIDE`` says to which group of
figures a caution belongs; none of them may be shown without its own.
"""

from __future__ import annotations

CAUTIONS: dict[str, str] = {
    "closing-basis": (
        "Trapped ratio is geometry, for comparing builds: it holds for the cam as installed, at the lift, lash and "
        "phasing at which closing was read, and for no other."
    ),
    "absolute": ("Pressures are absolute. The pressure ratio counts from 101.325 kPa, never from the local barometer."),
    "charge": (
        "Charge temperature is worked out from assumptions unless it is stated, and pressure at closing is manifold "
        "pressure unless it is given: a well-filled engine stands 12 to 18 % higher."
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
    "proof": "Planning figures: the engine's own knock detection and a cautious start of the spark decide, not this.",
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
    """The cautions that stand beside a group of figures, one of BESIDE."""
    return tuple(CAUTIONS[key] for key in BESIDE[figures])
