"""What is read at the bench."""

from ccassist.terms.make import MM, length, volume
from ccassist.terms.signs import DECK_SIGN
from ccassist.terms.term import Kind, Term

READINGS: tuple[Term, ...] = (
    volume("burette_reading", "burette reading", "b", "what the scale shows", (0, 250), possible=(-1e-6, 20e-3)),
    Term(
        key="fulls",
        name="number of full syringes",
        symbol="k",
        kind=Kind.COUNT,
        meaning="full deliveries of one syringe",
        possible=(0, 200),
        plausible=(0, 20),
    ),
    volume("fill_volume", "fill", "Vf", "fluid delivered into the space", (1, 400), possible=(1e-9, 50e-3)),
    volume(
        "crown_fill",
        "fill over the piston",
        "Vfp",
        "fluid between lowered piston and plate",
        (5, 600),
        possible=(1e-9, 50e-3),
    ),
    Term(
        key="dispenser_mass",
        name="mass of the dispenser",
        symbol="m",
        kind=Kind.MASS,
        meaning="what the scale shows with the dispenser on it",
        possible=(0.0, 100.0),
        plausible=(0.005, 3.0),
    ),
    length(
        "crown_drop",
        "drop of the piston",
        "D",
        "piston lowered from top dead centre",
        (0.5, 40),
        possible=(0.0, 1000 * MM),
    ),
    length(
        "dial_reading",
        "dial reading",
        "r",
        "crown relative to the deck, deck set to zero",
        (-1, 2),
        possible=(-30 * MM, 60 * MM),
        sign=DECK_SIGN,
        small=True,
    ),
    length(
        "ring_bore",
        "measuring-ring bore",
        "Br",
        "bore of the ring set round the crown",
        (30, 210),
        possible=(5 * MM, 1500 * MM),
    ),
    length(
        "ring_height", "measuring-ring height", "hr", "plate above the crown flat", (1, 60), possible=(0.0, 500 * MM)
    ),
    length("hole_diameter", "plate-hole diameter", "Dh", "fill hole of the plate", (1, 15), possible=(0.0, 100 * MM)),
    length(
        "plate_thickness",
        "plate thickness",
        "hp",
        "thickness of the plate at its hole",
        (2, 25),
        possible=(0.0, 200 * MM),
    ),
    volume(
        "hole_volume", "plate-hole volume", "Vhole", "fluid standing in the plate's hole", (0, 2), possible=(0.0, 1e-3)
    ),
    Term(
        key="temperature",
        name="temperature",
        symbol="t",
        kind=Kind.TEMPERATURE,
        meaning="of the fluid, taken as that of the parts",
        possible=(243.15, 373.15),
        plausible=(278.15, 308.15),
    ),
    Term(
        key="air_pressure",
        name="air pressure",
        symbol="p",
        kind=Kind.PRESSURE,
        meaning="station pressure at the bench, not reduced to sea level",
        possible=(5e4, 1.1e5),
        plausible=(8e4, 1.05e5),
    ),
    Term(
        key="density",
        name="density",
        symbol="ρ",
        kind=Kind.DENSITY,
        meaning="of the measuring fluid",
        possible=(300.0, 3000.0),
        plausible=(700.0, 1200.0),
    ),
    Term(
        key="elapsed",
        name="time",
        symbol="τ",
        kind=Kind.TIME,
        meaning="since first contact of fluid",
        possible=(0.0, 1e6),
        plausible=(0.0, 3600.0),
    ),
    length(
        "film_thickness", "grease film", "hf", "grease left between face and plate", (0, 0.2), possible=(0.0, 5 * MM)
    ),
    volume("film_volume", "grease film", "Vfilm", "film thickness times opening", (0, 1), possible=(0.0, 1e-4)),
    volume(
        "plug_hole_volume",
        "plug hole",
        "Vph",
        "hole of the plug, where none was fitted",
        (0.5, 5),
        possible=(0.0, 1e-4),
    ),
    volume("residue", "fluid left", "Vr", "fluid left in the space from the fill before", (0, 1), possible=(0.0, 1e-5)),
    volume("correction", "correction", "ΔV", "small amount put on or taken off", (-1, 1), possible=(-1e-4, 1e-4)),
)
