"""What a piston maker must be told besides what the engine says."""

from __future__ import annotations

from ccassist.vocabulary.term import Term, row
from ccassist.vocabulary.units import Kind

# fmt: off
# key, symbol, meaning, usual range, possible range, ± where none is said (measured; a maker's; assumed)
ORDER: tuple[Term, ...] = (
    row("pieces", "np", "pistons ordered, without spares", "1 to 23", "1 to 1000", name="number of pistons",
        kind=Kind.COUNT, eg="4", stated="order", also="quantity, how many"),
    row("spares", "ns", "further pistons of the same kind", "0 to 24", "0 to 1000", name="number of spares",
        kind=Kind.COUNT, stated="order"),
    row("height_tolerance", "ΔCH", "half-width within which the maker holds it", "0.005 to 0.1 mm", "0 to 10 mm",
        "0 mm; 0 mm; 0 mm", name="tolerance of the compression height", small=True, stated="order"),
    row("crown_tolerance", "ΔVp", "half-width within which the maker holds it", "0.1 to 2 cc", "0 to 1000 cc",
        "0 cc; 0 cc; 0 cc", name="tolerance of the crown volume", stated="order"),
    row("wall_clearance", "cw", "bore less piston diameter where the maker gauges it, cold", "0.01 to 0.5 mm",
        "0 to 3 mm", "0.005 mm; 0.01 mm; 0.03 mm", name="piston-to-wall clearance", small=True,
        eg="0.06 mm | 2.5 thou", stated="order", caution="built in by the maker: never added to the bore",
        also="piston to wall, piston to wall clearance, bore clearance, piston clearance, ptw"),
    row("pin_length", "Lp", "piston pin, end to end", "20 to 260 mm", "2 to 1500 mm", eg="57 mm | 2.430 in",
        stated="order"),
    row("rod_width", "ws", "width of the rod's small end between the piston's bosses", "6 to 120 mm", "1 to 900 mm",
        name="small-end width", eg="22.35 mm | 0.861 in", stated="order",
        also="small end width, pin end width, small end"),
    row("top_ring_width", "w1", "axial width of the ring itself, not of its groove", "0.5 to 8 mm", "0 to 100 mm",
        name="top-ring width", stated="order"),
    row("second_ring_width", "w2", "axial width of the ring itself, not of its groove", "0.5 to 8 mm", "0 to 100 mm",
        name="second-ring width", stated="order"),
    row("oil_ring_width", "w3", "axial width of the ring itself, not of its groove", "1 to 12 mm", "0 to 100 mm",
        name="oil-ring width", stated="order"),
    row("ring_radial_depth", "tr", "outer to inner edge of the ring", "1 to 10 mm", "0.1 to 100 mm",
        name="radial depth of the top ring", stated="order"),
    row("crown_thickness", "tc", "least metal wanted under the deepest dish or pocket", "2 to 60 mm", "0.1 to 300 mm",
        name="least crown thickness", stated="order", caution="the maker's to judge",
        also="deck thickness, crown least thickness"),
    row("dome_clearance", "cd", "least gap wanted between dome, chamber wall and plug", "0.5 to 5 mm", "0 to 50 mm",
        name="dome to chamber and plug", small=True, stated="order"),
    row("skirt_clearance", "cs", "least gap wanted between skirt and crank at bottom dead centre", "0.5 to 10 mm",
        "0 to 100 mm", name="skirt to counterweight", small=True, stated="order"),
    row("free_thickness", "hf0", "gasket as bought, before tightening", "0.1 to 6 mm", "0 to 40 mm",
        name="free gasket thickness", small=True, stated="order", caution="never the thickness for the sum",
        also="uncompressed gasket thickness, uncompressed thickness, gasket free thickness"),
    row("rev_limit", "Nmax", "highest crankshaft speed intended", "240 to 21000 rpm", "6 to 36000 rpm",
        usually="3300 rpm", stated="order", also="rpm, revs, redline, red line, max rpm, maximum rpm, rpm limit"),
    row("piston_mass", "mpd", "of the bare piston, or of the one to be matched", "20 g to 60 kg", "1 g to 300 kg",
        stated="order", also="bare piston weight, piston weight bare"),
    # The crown.
    row("dish_diameter", "Dd", "of the dish at the crown flat", "20 to 190 mm", "1 to 1500 mm", eg="67 mm | 2.850 in",
        stated="order.crown"),
    row("dish_depth", "hd", "crown flat to the dish's floor, at its middle", "0.3 to 20 mm", "0 to 500 mm",
        stated="order.crown", also="depth of the dish"),
    row("dish_corner", "rd", "between its wall and floor", "0 to 10 mm", "0 to 300 mm", name="dish corner radius",
        eg="1.5 mm | 0.060 in", stated="order.crown"),
    row("squish_band", "wq", "width of the flat left between the dish and the edge of the crown", "3 to 40 mm",
        "0 to 700 mm", stated="order.crown", also="squish band width, quench band"),
    row("dome_diameter", "Dk", "of the dome at the crown flat", "20 to 190 mm", "1 to 1500 mm", stated="order.crown"),
    row("dome_top", "Dt", "of the dome's flat top", "0 to 190 mm", "0 to 1500 mm", name="dome top diameter",
        stated="order.crown"),
    row("dome_height", "hk", "crown flat to the top of the dome", "0.3 to 20 mm", "0 to 500 mm", stated="order.crown",
        also="height of the dome"),
)
# fmt: on
