"""The equations, each stated once as a plain function.

Parameter names are term keys, so a relation says itself what it needs; the decorator says what it gives.  The keyword
``m`` is the mathematics it is done in: floats by default, uncertain numbers, arrays, SymPy or printed text. Relations
have no branches: a choice picks a relation before the call.

All quantities are SI (m, m², m³, 1/s); shapes follow NumPy broadcasting.
"""

from __future__ import annotations

from ccassist.engine.mathematics import FLOATS, Mathematics, relation
from ccassist.values.number import N


@relation(gives="bore_area")
def bore_area(bore: N, *, m: Mathematics = FLOATS) -> N:
    """Area of the bore: π/4 × bore².

    bore [m] -> area [m²], positive.  Source: Heywood, Internal Combustion Engine Fundamentals (1988), sec. 2.2 (from
    memory); circle area.

    >>> round(bore_area(0.0834) * 1e4, 4)
    54.6288
    """
    return m.pi / 4 * bore**2


@relation(gives="piston_travel")
def piston_travel_centred(stroke: N, *, m: Mathematics = FLOATS) -> N:
    """Piston travel without offset: twice the crank throw.

    stroke [m] -> travel [m].  Source: slider-crank geometry, Heywood (1988) eq. 2.4 to 2.5 (from memory).

    >>> piston_travel_centred(0.0917)
    0.0917
    """
    return stroke


@relation(gives="piston_travel")
def piston_travel_offset(stroke: N, rod_length: N, pin_offset: N, *, m: Mathematics = FLOATS) -> N:
    """Piston travel with the pin line offset: √((L+S/2)² − d²) − √((L−S/2)² − d²).

    All [m]; the offset's sign does not matter here.  Source: slider-crank geometry with offset, derived in closed form;
    without offset it is Heywood (1988) eq. 2.5 (from memory).

    >>> round(piston_travel_offset(0.0917, 0.1489, 0.0008) * 1e3, 7)
    91.7014622
    """
    throw = stroke / 2
    return m.sqrt((rod_length + throw) ** 2 - pin_offset**2) - m.sqrt((rod_length - throw) ** 2 - pin_offset**2)


@relation(gives="swept_volume")
def swept_volume(bore: N, piston_travel: N, *, m: Mathematics = FLOATS) -> N:
    """Swept volume: π/4 × bore² × piston travel.

    bore, travel [m] -> volume [m³].  Source: Heywood (1988) eq. 2.1 to 2.3 (from memory).

    >>> round(swept_volume(0.0834, 0.0917) * 1e6, 3)
    500.946
    """
    return bore_area(bore, m=m) * piston_travel


@relation(gives="displacement")
def displacement(cylinders: N, swept_volume: N, *, m: Mathematics = FLOATS) -> N:
    """Displacement of equal cylinders: number × swept volume.

    count, [m³] -> [m³].  Source: Heywood (1988) sec. 2.2 (from memory).

    >>> round(displacement(4, 452.4e-6) * 1e6, 1)
    1809.6
    """
    return cylinders * swept_volume


@relation(gives="deck_clearance")
def deck_clearance_centred(
    block_deck_height: N, stroke: N, rod_length: N, compression_height: N, *, m: Mathematics = FLOATS
) -> N:
    """Deck clearance from the stack: block deck height − S/2 − rod − compression height.

    All [m]; positive below the deck, negative proud.  Source: common practice, no source.

    >>> round(deck_clearance_centred(0.2263, 0.0917, 0.1489, 0.03135) * 1e3, 6)
    0.2
    """
    return block_deck_height - stroke / 2 - rod_length - compression_height


@relation(gives="deck_clearance")
def deck_clearance_offset(
    block_deck_height: N, stroke: N, rod_length: N, compression_height: N, pin_offset: N, *, m: Mathematics = FLOATS
) -> N:
    """Deck clearance from the stack with offset: H − √((L+S/2)² − d²) − CH.

    All [m]; positive below the deck, negative proud; the offset's sign does not matter here.  Source: slider-crank
    geometry with offset, derived.

    >>> round(deck_clearance_offset(0.2263, 0.0917, 0.1489, 0.03135, 0.001) * 1e3, 4)
    0.2026
    """
    return block_deck_height - m.sqrt((rod_length + stroke / 2) ** 2 - pin_offset**2) - compression_height


@relation(gives="gasket_area")
def gasket_area_round(gasket_bore: N, *, m: Mathematics = FLOATS) -> N:
    """Opening of a round gasket: π/4 × gasket bore².

    [m] -> [m²].  Source: circle area.

    >>> round(gasket_area_round(0.0849) * 1e4, 3)
    56.612
    """
    return bore_area(gasket_bore, m=m)


@relation(gives="gasket_area")
def gasket_area_ellipse(gasket_long: N, gasket_short: N, *, m: Mathematics = FLOATS) -> N:
    """Opening of an oval gasket, taken as an ellipse: π/4 × long axis × short axis.

    [m], [m] -> [m²].  Source: area of an ellipse, Machinery's Handbook 31st ed. (2020), areas of plane figures (from
    memory).

    >>> round(gasket_area_ellipse(0.0873, 0.0846) * 1e4, 4)
    58.0062
    """
    return m.pi / 4 * gasket_long * gasket_short


@relation(gives="gasket_volume")
def gasket_volume(gasket_area: N, gasket_thickness: N, *, m: Mathematics = FLOATS) -> N:
    """Gasket volume: opening × compressed thickness.

    [m²], [m] -> [m³].  Source: prism; common practice, no source.

    >>> round(gasket_volume(50e-4, 0.001) * 1e6, 3)
    5.0
    """
    return gasket_area * gasket_thickness


@relation(gives="deck_volume")
def deck_volume(bore: N, deck_clearance: N, *, m: Mathematics = FLOATS) -> N:
    """Deck volume: bore area × deck clearance, for either sign.

    [m], [m] -> [m³]; positive adds space, negative (proud) takes it.  The annulus beside a proud land belongs to the
    crevice, counted over the full land height.  Source: common practice, no source; consistent form.

    >>> round(deck_volume(0.0834, 0.0002) * 1e6, 3)
    1.093
    """
    return bore_area(bore, m=m) * deck_clearance


@relation(gives="deck_volume")
def deck_volume_proud_uncounted(land_diameter: N, deck_clearance: N, *, m: Mathematics = FLOATS) -> N:
    """Deck volume of a proud piston whose crevice is not counted: crown area × clearance.

    [m], [m] -> [m³]; negative.  Only the solid crown takes space then: the annulus beside it is added back.
    Source: common practice, no source.

    >>> round(deck_volume_proud_uncounted(0.0827, -0.00065) * 1e6, 3)
    -3.492
    """
    return bore_area(land_diameter, m=m) * deck_clearance


@relation(gives="crevice_volume")
def crevice_volume(bore: N, land_diameter: N, land_height: N, *, m: Mathematics = FLOATS) -> N:
    """Top-land crevice: π/4 × (bore² − land diameter²) × land height.

    All [m] -> [m³].  Source: hollow cylinder, Machinery's Handbook 31st ed. (2020) p. 90; trade example C1.

    >>> round(crevice_volume(0.0834, 0.0827, 0.007) * 1e6, 3)
    0.639
    """
    return m.pi / 4 * (bore**2 - land_diameter**2) * land_height


@relation(gives="crown_and_deck_volume")
def space_over_piston(crown_fill: N, bore: N, crown_drop: N, *, m: Mathematics = FLOATS) -> N:
    """Space over the piston at top dead centre: fill − bore area × drop.

    [m³], [m], [m] -> [m³].  Holds net crown, deck and chamfer (and the crevice where the ring is the seal): none of
    these is added again.  Source: common practice, no source; trade example C2, form (i).

    >>> round(space_over_piston(173.6e-6, 0.09715, 0.025) * 1e6, 3)
    -11.717
    """
    return crown_fill - bore_area(bore, m=m) * crown_drop


@relation(gives="crown_volume")
def crown_volume_under_plate(
    crown_and_deck_volume: N,
    bore: N,
    deck_clearance: N,
    chamfer_in_fill: N,
    crevice_in_fill: N,
    *,
    m: Mathematics = FLOATS,
) -> N:
    """Net crown volume from a fill in the bore: space over the piston − bore area × deck clearance − chamfer − crevice.

    [m³], [m], [m], [m³], [m³] -> [m³]; positive adds space.  The crevice is in the fill only where the ring, not
    grease, was the seal.  Source: common practice, no source; trade example C2, form (ii).

    >>> round(crown_volume_under_plate(-11.717e-6, 0.09715, -0.00013, 0, 0) * 1e6, 3)
    -10.753
    """
    return crown_and_deck_volume - bore_area(bore, m=m) * deck_clearance - chamfer_in_fill - crevice_in_fill


@relation(gives="crevice_counted")
def crevice_counted(crevice_volume: N, *, m: Mathematics = FLOATS) -> N:
    """Crevice counted in the clearance volume: all of it.

    [m³] -> [m³].  Source: the builder's choice, stated with every result.
    """
    return crevice_volume


@relation(gives="crevice_in_fill")
def crevice_in_fill(crevice_volume: N, *, m: Mathematics = FLOATS) -> N:
    """Crevice inside a ring-sealed fill: all of it.

    [m³] -> [m³].  Source: common practice, no source.
    """
    return crevice_volume


@relation(gives="chamfer_counted")
def chamfer_counted(chamfer_volume: N, *, m: Mathematics = FLOATS) -> N:
    """Bore chamfer counted in the clearance volume: all of it.

    [m³] -> [m³].  Source: the builder's choice, stated with every result.
    """
    return chamfer_volume


@relation(gives="chamfer_in_fill")
def chamfer_in_fill(chamfer_volume: N, *, m: Mathematics = FLOATS) -> N:
    """Bore chamfer inside a fill under a plate on the deck: all of it.

    [m³] -> [m³].  Source: geometry of the fill.
    """
    return chamfer_volume


@relation(gives="clearance_volume")
def clearance_volume(
    chamber_volume: N,
    gasket_volume: N,
    deck_volume: N,
    crown_volume: N,
    crevice_counted: N,
    chamfer_counted: N,
    extra_volume: N,
    *,
    m: Mathematics = FLOATS,
) -> N:
    """Clearance volume: chamber + gasket + deck + net crown + crevice + chamfer + others.

    All [m³], each with its own sign; what is not counted enters as nothing. Source: Heywood (1988) sec. 2.2 for the
    volume meant (from memory); the sum is common practice.

    >>> round(clearance_volume(40e-6, 5e-6, 1e-6, -3e-6, 0.5e-6, 0.2e-6, 0.0) * 1e6, 3)
    43.7
    """
    return (
        chamber_volume + gasket_volume + deck_volume + crown_volume + crevice_counted + chamfer_counted + extra_volume
    )


@relation(gives="clearance_volume")
def clearance_volume_over_fill(
    chamber_volume: N,
    gasket_volume: N,
    crown_and_deck_volume: N,
    crevice_counted: N,
    crevice_in_fill: N,
    chamfer_counted: N,
    chamfer_in_fill: N,
    extra_volume: N,
    *,
    m: Mathematics = FLOATS,
) -> N:
    """Clearance volume with the space over the piston measured as one fill.

    All [m³].  Chamfer (and, ring-sealed, the crevice) are inside the fill already: they are taken out and counted as
    the builder chose. Source: common practice, no source; trade example C2, form (i).

    >>> round(clearance_volume_over_fill(40e-6, 5e-6, -1.5e-6, 0.5e-6, 0.5e-6, 0.0, 0.2e-6, 0.0) * 1e6, 3)
    43.3
    """
    return (
        chamber_volume
        + gasket_volume
        + crown_and_deck_volume
        + (crevice_counted - crevice_in_fill)
        + (chamfer_counted - chamfer_in_fill)
        + extra_volume
    )


@relation(gives="bdc_volume")
def bdc_volume(swept_volume: N, clearance_volume: N, *, m: Mathematics = FLOATS) -> N:
    """Volume at bottom dead centre: swept + clearance.

    [m³].  Source: Heywood (1988) sec. 2.2 (from memory).

    >>> round(bdc_volume(450e-6, 50e-6) * 1e6, 3)
    500.0
    """
    return swept_volume + clearance_volume


@relation(gives="static_ratio")
def static_ratio(swept_volume: N, clearance_volume: N, *, m: Mathematics = FLOATS) -> N:
    """Static compression ratio: (swept + clearance) ÷ clearance.

    [m³], [m³] -> ratio above 1.  Source: Heywood (1988) eq. 2.1 (from memory).

    >>> round(static_ratio(437.06e-6, 50.1e-6), 3)
    9.724
    """
    return (swept_volume + clearance_volume) / clearance_volume


@relation(gives="trapped_ratio")
def trapped_ratio(static_ratio: N, closing_drop: N, piston_travel: N, *, m: Mathematics = FLOATS) -> N:
    """Trapped ratio, by geometry alone: 1 + (static ratio − 1) × piston drop at intake closing ÷ piston travel.

    Ratio, [m], [m] -> ratio: the static ratio where the intake closes at bottom dead centre.  Source: common practice,
    no source; trade example C9.

    >>> round(trapped_ratio(8.5, 0.0769631, 0.0917), 3)
    7.295
    """
    return 1 + (static_ratio - 1) * closing_drop / piston_travel


@relation(gives="squish")
def squish(deck_clearance: N, gasket_thickness: N, squish_step: N, *, m: Mathematics = FLOATS) -> N:
    """Squish gap: deck clearance + compressed gasket thickness + step in the head.

    All [m]; positive is a gap, negative is contact.  Source: common practice, no source.

    >>> round(squish(0.0002, 0.001, 0.0) * 1e3, 3)
    1.2
    """
    return deck_clearance + gasket_thickness + squish_step


@relation(gives="mean_piston_speed")
def mean_piston_speed(piston_travel: N, engine_speed: N, *, m: Mathematics = FLOATS) -> N:
    """Mean piston speed: 2 × piston travel × engine speed.

    [m], [1/s] -> [m/s].  Source: Heywood (1988) eq. 2.9 (from memory).

    >>> round(mean_piston_speed(0.09171, 60.0), 2)
    11.01
    """
    return 2 * piston_travel * engine_speed


@relation(gives="rod_ratio")
def rod_ratio(rod_length: N, stroke: N, *, m: Mathematics = FLOATS) -> N:
    """Rod ratio: rod length ÷ stroke.

    [m], [m] -> ratio.  Source: common practice, no source.

    >>> round(rod_ratio(0.1489, 0.0917), 3)
    1.624
    """
    return rod_length / stroke


@relation(gives="bore_stroke_ratio")
def bore_stroke_ratio(bore: N, stroke: N, *, m: Mathematics = FLOATS) -> N:
    """Bore-to-stroke ratio: bore ÷ stroke (1 is square).

    [m], [m] -> ratio.  Source: Heywood (1988) sec. 2.2 (from memory).

    >>> round(bore_stroke_ratio(0.0834, 0.0917), 3)
    0.909
    """
    return bore / stroke
