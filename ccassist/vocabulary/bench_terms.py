"""What is read at the bench."""

from __future__ import annotations

from ccassist.vocabulary import signs
from ccassist.vocabulary.term import Term, row
from ccassist.vocabulary.units import Kind

# fmt: off
# key, symbol, meaning, usual range, possible range, ± where none is said (measured; a maker's; assumed)
BENCH: tuple[Term, ...] = (
    # Fills and weighings.
    row("burette_reading", "b", "what the scale shows", "0 to 250 cc", "-0.001 to 20 l",
        "0.5 cc or 1 %; 1 cc or 2.5 %; 1 cc or 10 %", eg="46.15 cc", also="burette"),
    row("fulls", "nf", "full deliveries of one syringe", "0 to 20", "0 to 200", name="number of full syringes",
        kind=Kind.COUNT, eg="1"),
    row("fill_volume", "Vf", "fluid delivered into the space", "0.1 to 15000 cc", "0.001 cc to 50 l",
        "0.5 cc or 1 %; 1 cc or 2.5 %; 1 cc or 10 %", name="fill", alike="1 cc or 8 %"),
    row("crown_fill", "Vfp", "fluid between lowered piston and plate", "0.5 to 15000 cc", "0.001 cc to 50 l",
        "0.5 cc or 1 %; 1 cc or 2.5 %; 1 cc or 10 %", name="fill over the piston", usually="55 cc"),
    row("dispenser_mass", "m", "what the scale shows with the dispenser on it", "5 to 3000 g", "0 to 100 kg",
        "0.2 g or 0.1 %; 1 g or 0.5 %; 2 g or 2 %", name="mass of the dispenser", eg="446.8 g"),
    row("weighed_mass", "mw", "what the scale shows; under nought where the full dispenser was set to nought",
        "-0.5 to 3 kg", "-10 to 100 kg", "0.2 g or 0.1 %; 1 g or 0.5 %; 2 g or 2 %", name="mass on the scale"),
    row("residue", "Vr", "fluid left in the space from the fill before", "0 to 1 cc", "0 to 10 cc", name="fluid left",
        eg="0.1 cc"),
    row("correction", "ΔV", "small amount put on or taken off", "-1 to 1 cc", "-100 to 100 cc"),
    # Lengths, rings and plates.
    row("gauge_diameter", "Dg", "rod or bore of known size that a scale is set against", "2 to 300 mm",
        "0.1 to 1000 mm", name="diameter of the rod or bore"),
    row("gauge_length", "lg", "of the rod under the fluid, or depth of the bore", "3 to 300 mm", "0.1 to 2000 mm",
        name="length of the rod or bore"),
    row("crown_drop", "D", "piston lowered from top dead centre", "0.5 to 40 mm", "0 to 1000 mm",
        name="drop of the piston", eg="12.70 mm | 0.500 in"),
    row("dial_reading", "r", "crown relative to the deck, deck set to zero", "-1 to 2 mm", "-30 to 60 mm",
        "0.03 mm; 0.15 mm; 0.3 mm", sign=signs.DECK, small=True, eg="0.20 mm below deck | 8 thou below deck",
        also="dial"),
    row("ring_bore", "Br", "bore of the ring set round the crown", "20 to 320 mm", "5 to 1500 mm",
        name="measuring-ring bore", eg="90.00 mm | 4.500 in"),
    row("ring_height", "hr", "plate above the crown flat", "1 to 60 mm", "0 to 500 mm", name="measuring-ring height",
        eg="10.00 mm | 0.500 in"),
    row("hole_diameter", "Dh", "fill hole of the plate", "1 to 15 mm", "0 to 100 mm", "0.05 mm; 0.1 mm; 0.3 mm",
        name="plate-hole diameter", eg="6.0 mm | 0.250 in"),
    row("plate_thickness", "hp", "thickness of the plate at its hole", "2 to 25 mm", "0 to 200 mm",
        eg="8.0 mm | 0.250 in"),
    row("hole_volume", "Vhole", "fluid standing in the plate's hole", "0 to 2 cc", "0 to 1000 cc",
        name="plate-hole volume"),
    row("film_thickness", "hf", "grease left between face and plate", "0 to 0.2 mm", "0 to 5 mm",
        "0.01 mm or 20 %; 0.02 mm or 30 %; 0.02 mm or 50 %", name="grease film thickness", eg="0.02 mm | 0.001 in"),
    row("film_volume", "Vfilm", "film thickness times opening", "0 to 3 cc", "0 to 100 cc",
        name="grease film volume"),
    # The air, the fluid and the clock.
    row("air_pressure", "p", "station pressure at the bench, not reduced to sea level", "80 to 105 kPa",
        "50 to 110 kPa", "0.3 kPa; 1 kPa; 2.5 kPa", eg="101.3 kPa | 14.69 psi", stated="engine",
        also="ambient pressure, station pressure, barometric pressure, baro, atmospheric pressure"),
    row("temperature", "t", "of the fluid, taken as that of the parts", "5 to 35 °C", "-30 to 100 °C",
        "1 K; 2 K; 10 K", eg="20 degC | 68 degF", stated="engine", also="fluid temperature, bench temperature"),
    row("density", "ρ", "of the measuring fluid", "0.7 to 1.2 g/cc", "0.3 to 3 g/cc"),
    row("elapsed", "τ", "since first contact of fluid", "0 to 3600 s", "0 to 1000000 s", name="time", eg="90 s",
        also="elapsed time"),
    # A gasket opening that is not round: a traced outline, or a cut-out on a scale.
    row("outline_x", "x", "of one point of a traced outline, from any edge of the paper", "-500 to 500 mm",
        "-2000 to 2000 mm", "0.3 mm; 0.5 mm; 2 mm", name="outline point, across", eg="42.3 mm | 1.665 in"),
    row("outline_y", "y", "of the same point, square to the first", "-500 to 500 mm", "-2000 to 2000 mm",
        "0.3 mm; 0.5 mm; 2 mm", name="outline point, up", eg="18.1 mm | 0.713 in"),
    row("reference_area", "Ar", "area of a square cut from the same sheet as the cut-out", "1 to 800 cm²",
        "0.01 to 20000 cm²", name="reference square", eg="100 cm² | 16 in²"),
    row("reference_mass", "mref", "what the scale shows for the square", "0.1 to 500 g", "0.001 g to 10 kg",
        "0.005 g or 0.5 %; 0.01 g or 1 %; 0.02 g or 5 %", name="mass of the reference square", eg="8.12 g"),
    row("cutout_mass", "mc", "what the scale shows for the cut-out of the opening, or for several together",
        "0.1 to 500 g", "0.001 g to 10 kg", "0.005 g or 0.5 %; 0.01 g or 1 %; 0.02 g or 5 %",
        name="mass of the cut-out", eg="4.98 g"),
    row("cutout_copies", "j", "cut-outs of one opening weighed together", "1 to 50", "1 to 1000",
        name="number of cut-outs", kind=Kind.COUNT, eg="1"),
    # The whole assembly, filled through the plug hole.
    row("assembly_volume", "Vw",
        "all the space at top dead centre, filled through the plug hole of the whole assembly", "1.5 to 4000 cc",
        "0.001 cc to 1000 l", "0.5 cc or 1 %; 1 cc or 2.5 %; 1 cc or 10 %", name="clearance volume as a whole",
        usually="63 cc", alike="1 cc or 8 %",
        caution="holds the crevice and the chamfer, whether the sum of parts counts them or not",
        also="in situ volume, whole assembly volume"),
    row("plug_hole_volume", "Vph", "hole of the plug, where none was fitted", "0.5 to 5 cc", "0 to 100 cc",
        name="plug hole", eg="1.7 cc"),
    row("plug_well_volume", "Vpw", "threaded hole of the plug, from its bottom thread to its seat", "0.5 to 5 cc",
        "0 to 100 cc", name="plug well", eg="1.7 cc"),
    row("plug_nose_volume", "Vpn",
        "space inside the nose of the fitted plug, less what stands out below the bottom thread", "-1 to 1.5 cc",
        "-20 to 20 cc", name="plug nose", sign=signs.SPACE, eg="adds 0.3 cc",
        caution="one term with one sign: say adds or takes"),
)
# fmt: on
