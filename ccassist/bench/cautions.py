"""The cautions usual in the trade, each declared once and shown where it applies.

All are common practice, no source, unless said; flash points stand with the fluids.  They never replace the maker, the
machinist, the tuner or local codes.
"""

from __future__ import annotations

CAUTIONS: dict[str, str] = {
    "flammable": (
        "Alcohol, white spirit and paraffin burn: fresh air; no flame, heater, grinder or air line near; wet rags in "
        "a lidded metal can; gloves. Petrol never."
    ),
    "if-it-burns": "If the fluid burns: fresh air, no flame, heater, grinder or air line near.",
    "acrylic": "Alcohol crazes and cracks acrylic at its holes and edges: use a glass plate, or another fluid.",
    "hydraulic-lock": (
        "Fluid left above a piston bends rods: suck it out before the crank is touched, plugs and plate off, turn by "
        "hand only, rag over the holes; confirm dry before assembly."
    ),
    "plug-hole": (
        "Never turn the crank while fluid stands over a piston and a plug or plate is fitted: it bends rods. Both "
        "valves shut, crank locked while it is filled; face away from the open plug hole when turning over."
    ),
    "past-rings": (
        "Light oil is the fluid here. Anything thinner runs past the rings, alcohol and solvent at once: they wash the "
        "bores and thin the oil. Oil the bores straight after, change oil and filter before the first start."
    ),
    "wet-bores": (
        "Solvent or alcohol past the rings: oil the bores the same day, and change oil and filter before the first "
        "start."
    ),
    "lifting": (
        "Stand, hoist and straps rated for the whole engine, roll-over lock home, a second person before it is tipped; "
        "nobody under it."
    ),
    "fingers": "Keep fingers clear of turning cranks, pistons at the deck and valve springs.",
    "air-line": "Blow dry with an eye shield on and the jet away from people.",
    "bolt-holes": "Blow out and dry blind bolt holes before any head bolt goes in: trapped fluid cracks the block.",
    "household": (
        "A bottle, syringe or scale used here never goes back to the kitchen: label it; no needle on the syringe."
    ),
    "grinding": "Grinding dust harms lungs and engines: mask, extraction, and never on the bench where you measure.",
    "swarf": (
        "Swarf and abrasive left in oil ways, guides, bolt holes and water jackets wreck a rebuilt engine: plug them "
        "before cutting, then wash, brush and blow out; eye shield and gloves at the machine."
    ),
    "thin": (
        "A deck, face, port wall or crown cut thin cracks or lets go: what must be left is the maker's figure, or for "
        "a machinist who knows the casting; this tool cannot see it."
    ),
    "metal": (
        "Metal cannot be put back: stop 0.3 cc short, measure again; leave walls, seats and the gasket ring "
        "to the machinist's judgement."
    ),
    "contact": (
        "Cold gaps close when hot and at speed: check piston to head and valve to piston at mock-up; stop at "
        "any resistance when turning over."
    ),
    "valve-mock-up": (
        "Valve to piston is proved on the engine, never on paper: mock-up with the real, crushed gasket, clay strips "
        "or light checking springs and an indicator, two turns by hand, at every phasing; stop at any resistance."
    ),
    "tappets": (
        "A hydraulic tappet bleeds down at mock-up and pumps up when running: check lifts with a solid one of the "
        "same length, or the valve opens further than you read."
    ),
    "crown": "Crown thickness, pockets and material are the piston maker's to judge, not this tool's.",
    "planning": (
        "A planning figure, not a permission: the maker, the machinist and the tuner decide, and local codes apply."
    ),
    "knock": (
        "The ratio alone does not say whether an engine knocks: fuel, spark, charge temperature and the "
        "tuner's knock detection decide."
    ),
}
OF_FLUIDS = ("flammable", "acrylic")  # those that come with a fluid: all of them on paper, where any may be used
NOT_KNOWN = ("if-it-burns",)  # at the bench, while the fluid is not said


def cautions(keys: tuple[str, ...]) -> list[str]:
    """The texts of the cautions named, in the order given."""
    return [CAUTIONS[key] for key in keys]


def in_short(keys: tuple[str, ...]) -> list[str]:
    """What each of them warns of, without what to do about it: the words up to the first colon."""
    return [f"{text.partition(':')[0].rstrip('.')}." for text in cautions(keys)]
