"""What a piston maker must be told besides what the engine says."""

from __future__ import annotations

from ccassist.vocabulary.term import Term

# fmt: off
# key, symbol, meaning, usual range, possible range, ± where none is said (measured; a maker's; assumed)
ORDER: tuple[Term, ...] = (
    Term("pieces", "np", "pistons ordered, without spares", "1 to 23", "1 to 1000", called="number of pistons",
        counted=True, eg="4", stated="order", also="quantity, how many"),
    Term("spares", "ns", "further pistons of the same kind", "0 to 24", "0 to 1000", called="number of spares",
        counted=True, stated="order"),
    Term("height_tolerance", "ΔCH", "half-width within which the maker holds it", "0.005 to 0.1 mm", "0 to 10 mm",
        "0 mm; 0 mm; 0 mm", called="tolerance of the compression height", small=True, stated="order"),
    Term("crown_tolerance", "ΔVp", "half-width within which the maker holds it", "0.1 to 2 cc", "0 to 1000 cc",
        "0 cc; 0 cc; 0 cc", called="tolerance of the crown volume", stated="order"),
    Term("wall_clearance", "cw", "bore less piston diameter where the maker gauges it, cold", "0.01 to 0.5 mm",
        "0 to 3 mm", "0.005 mm; 0.01 mm; 0.03 mm", called="piston-to-wall clearance", small=True,
        eg="0.06 mm | 2.5 thou", stated="order", caution="built in by the maker: never added to the bore",
        also="piston to wall, piston to wall clearance, bore clearance, piston clearance, ptw"),
    Term("pin_length", "Lp", "piston pin, end to end", "20 to 260 mm", "2 to 1500 mm", eg="57 mm | 2.430 in",
        stated="order"),
    Term("rod_width", "ws", "width of the rod's small end between the piston's bosses", "6 to 120 mm", "1 to 900 mm",
        called="small-end width", eg="22.35 mm | 0.861 in", stated="order",
        also="small end width, pin end width, small end"),
    Term("top_ring_width", "w1", "axial width of the ring itself, not of its groove", "0.5 to 8 mm", "0 to 100 mm",
        called="top-ring width", stated="order"),
    Term("second_ring_width", "w2", "axial width of the ring itself, not of its groove", "0.5 to 8 mm", "0 to 100 mm",
        called="second-ring width", stated="order"),
    Term("oil_ring_width", "w3", "axial width of the ring itself, not of its groove", "1 to 12 mm", "0 to 100 mm",
        called="oil-ring width", stated="order"),
    Term("ring_radial_depth", "tr", "outer to inner edge of the ring", "1 to 10 mm", "0.1 to 100 mm",
        called="radial depth of the top ring", stated="order"),
    Term("crown_thickness", "tc", "least metal wanted under the deepest dish or pocket", "2 to 60 mm", "0.1 to 300 mm",
        called="least crown thickness", stated="order", caution="the maker's to judge",
        also="deck thickness, crown least thickness"),
    Term("dome_clearance", "cd", "least gap wanted between dome, chamber wall and plug", "0.5 to 5 mm", "0 to 50 mm",
        called="dome to chamber and plug", small=True, stated="order"),
    Term("skirt_clearance", "cs", "least gap wanted between skirt and crank at bottom dead centre", "0.5 to 10 mm",
        "0 to 100 mm", called="skirt to counterweight", small=True, stated="order"),
    Term("free_thickness", "hf0", "gasket as bought, before tightening", "0.1 to 6 mm", "0 to 40 mm",
        called="free gasket thickness", small=True, stated="order", caution="never the thickness for the sum",
        also="uncompressed gasket thickness, uncompressed thickness, gasket free thickness"),
    Term("rev_limit", "Nmax", "highest crankshaft speed intended", "240 to 21000 rpm", "6 to 36000 rpm",
        usually="3300 rpm", stated="order", also="rpm, revs, redline, red line, max rpm, maximum rpm, rpm limit"),
    Term("piston_mass", "mpd", "of the bare piston, or of the one to be matched", "20 g to 60 kg", "1 g to 300 kg",
        stated="order", also="bare piston weight, piston weight bare"),
    # The crown.
    Term("dish_diameter", "Dd", "of the dish at the crown flat", "20 to 190 mm", "1 to 1500 mm", eg="67 mm | 2.850 in",
        stated="order.crown"),
    Term("dish_depth", "hd", "crown flat to the dish's floor, at its middle", "0.3 to 20 mm", "0 to 500 mm",
        stated="order.crown", also="depth of the dish"),
    Term("dish_corner", "rd", "between its wall and floor", "0 to 10 mm", "0 to 300 mm", called="dish corner radius",
        eg="1.5 mm | 0.060 in", stated="order.crown"),
    Term("squish_band", "wq", "width of the flat left between the dish and the edge of the crown", "3 to 40 mm",
        "0 to 700 mm", stated="order.crown", also="squish band width, quench band"),
    Term("dome_diameter", "Dk", "of the dome at the crown flat", "20 to 190 mm", "1 to 1500 mm", stated="order.crown"),
    Term("dome_top", "Dt", "of the dome's flat top", "0 to 190 mm", "0 to 1500 mm", called="dome top diameter",
        stated="order.crown"),
    Term("dome_height", "hk", "crown flat to the top of the dome", "0.3 to 20 mm", "0 to 500 mm", stated="order.crown",
        also="height of the dome"),
)
# fmt: on
