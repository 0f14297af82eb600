"""What the trade calls the terms: the words that mean one of them, and those that mean several.

Common practice, no source.  A word stands with every term that it may mean: where only one of them has a place the
word is taken for it, where several have one they are named and nothing is taken.  Words are small letters, with
spaces; "temp", "dia", "vol" and the like are spelled out (:data:`SHORT`).
"""

from __future__ import annotations

# A word as people shorten or spell it -> as it stands below.
SHORT: dict[str, str] = {
    "temp": "temperature",
    "dia": "diameter",
    "diam": "diameter",
    "vol": "volume",
    "center": "centre",
    "centerline": "centreline",
    "conrod": "rod",
    "inlet": "intake",
    "intercooler": "cooler",
    "aftercooler": "cooler",
}


def _listed(table: dict[str, str]) -> dict[str, tuple[str, ...]]:
    """The words that stand with commas between."""
    return {key: tuple(text.split(", ")) for key, text in table.items()}


WORDS: dict[str, tuple[str, ...]] = _listed(
    {
        # the bottom end
        "bore": "bore diameter, cylinder bore, cylinder diameter",
        "stroke": "crank stroke, twice the throw",
        "rod_length": "rod, con rod, connecting rod, connecting rod length, rod centre to centre, centre to centre",
        "block_deck_height": "block height, deck height, deck, block deck",
        "deck_clearance": (
            "deck height, deck, piston deck height, piston to deck, deck gap, piston deck clearance, piston deck, "
            "deck depth"
        ),
        "compression_height": "pin height, compression distance, comp height, ch, piston height, compression",
        "pin_offset": "piston pin offset, pin or block offset, desaxe, crank offset, cylinder offset",
        "pin_diameter": "piston pin diameter, pin size, gudgeon pin diameter, wrist pin diameter",
        "ring_pack_depth": "depth of the ring pack, ring pack",
        "piston_weight": "piston assembly weight",
        "rod_weight": "connecting rod weight",
        "crank_weight": "crankshaft weight",
        "cylinders": "cylinder count, no of cylinders",
        "engine_speed": "rpm, revs, speed, engine rpm, crank speed",
        "rev_limit": "rpm, revs, redline, red line, max rpm, maximum rpm, rpm limit",
        # the top end
        "chamber_volume": (
            "chamber, chamber cc, head, head cc, head volume, combustion chamber, combustion chamber volume, "
            "combustion chamber capacity, combustion chamber cc"
        ),
        "chamber_area": "chamber opening area",
        "gasket_bore": "gasket, head gasket bore, fire ring diameter, gasket diameter, gasket bore diameter",
        "gasket_thickness": (
            "gasket, head gasket, head gasket thickness, crush, crush height, crushed thickness, compressed "
            "thickness, installed thickness, compressed head gasket thickness, gasket crush"
        ),
        "free_thickness": "uncompressed gasket thickness, uncompressed thickness, gasket free thickness",
        "gasket_area": "gasket opening area",
        "gasket_volume": "gasket, gasket cc, head gasket volume, head gasket cc",
        "crown_volume": (
            "piston, piston cc, piston volume, crown, crown cc, effective dome, piston top "
            "volume, piston crown volume, dish or dome, dish dome"
        ),
        "land_diameter": "top land, land diameter, crown diameter",
        "land_height": "top land, ring land height, crown to top ring, top ring height",
        "crevice_volume": "crevice, ring land volume, top land volume, top land cc, crevice cc",
        "chamfer_volume": "chamfer, bore chamfer, bore chamfer volume",
        "extra_volume": "extra, extras, other volume",
        "squish_step": "squish pad depth, squish pad step",
        "squish": (
            "quench, quench height, quench distance, quench clearance, squish clearance, squish height, piston to "
            "head, piston to head clearance, piston head clearance"
        ),
        "squish_band": "squish band width, quench band",
        # what follows
        "static_ratio": (
            "ratio, cr, scr, compression ratio, static compression ratio, static cr, comp ratio, geometric ratio, "
            "geometric compression ratio, compression, mechanical compression ratio, nominal compression ratio, "
            "static"
        ),
        "trapped_ratio": (
            "dynamic ratio, dynamic compression ratio, dcr, dynamic cr, dynamic, corrected ratio, corrected "
            "compression ratio, trapped compression ratio, effective ratio, effective compression ratio, ecr"
        ),
        "density_equivalent": "effective ratio, effective compression ratio, ecr, boosted compression ratio",
        "pressure_equivalent": "effective ratio, effective compression ratio, ecr, boosted compression ratio",
        "temperature_equivalent": "effective ratio, effective compression ratio, ecr, boosted compression ratio",
        "knock_equivalent": "effective ratio, effective compression ratio, ecr, boosted compression ratio",
        "displacement": (
            "engine size, engine capacity, capacity, cubic capacity, swept capacity, total displacement, cid"
        ),
        "swept_volume": "displacement per cylinder, cylinder displacement, cylinder capacity, swept",
        "clearance_volume": "compressed volume, volume at top dead centre, tdc volume, total clearance volume",
        "bdc_volume": "total volume, volume at bdc",
        "assembly_volume": "in situ volume, whole assembly volume",
        "mean_piston_speed": "piston speed",
        "rod_ratio": "rod to stroke ratio, rod stroke ratio, rod stroke, l s ratio",
        "bore_stroke_ratio": "bore stroke ratio, bore to stroke",
        "face_cut": "skim, head skim, head cut, head milling, milled",
        "deck_cut": "deck skim, block cut, block skim, decked",
        # the cam
        "intake_opening": "ivo, intake opens, intake valve opening, intake valve opens, intake open",
        "intake_closing": "ivc, intake closes, intake valve closing, intake valve closes, intake close, abdc closing",
        "exhaust_opening": "evo, exhaust opens, exhaust valve opening, exhaust valve opens, exhaust open",
        "exhaust_closing": "evc, exhaust closes, exhaust valve closing, exhaust valve closes, exhaust close",
        "event_lift": "checking lift, timing lift, check lift, lift of the events",
        "intake_duration": "duration, cam duration, intake cam duration",
        "exhaust_duration": "duration, cam duration, exhaust cam duration",
        "intake_centreline": "icl, intake lobe centre, intake lobe centreline, centreline, cam centreline",
        "exhaust_centreline": "ecl, exhaust lobe centre, exhaust lobe centreline, centreline",
        "lobe_separation": "lsa, lobe separation angle, lobe centre angle, lca, lobe displacement angle",
        "cam_advance": "advance, cam timing, timing",
        "valve_overlap": "overlap, cam overlap",
        "lobe_height": "nose height, cam lobe height",
        "base_circle": "heel diameter, base circle diameter",
        "rocker_ratio": "rocker arm ratio, rocker, rocker arm",
        "lash": "tappet clearance, valve lash, valve clearance, tappet gap, running clearance",
        "lobe_lift": "cam lift, lift",
        "valve_lift": "lift, gross lift, gross valve lift, net lift",
        # the valves
        "valve_diameter": "valve size, valve diameter",
        "valve_angle": "valve stem angle",
        "valve_drop": "valve depth, valve recession, valve sink",
        "valve_offset": "valve centre offset",
        "valve_gap": "valve to piston, piston to valve, ptv, p2v, vtp, valve clearance, piston to valve clearance",
        "radial_gap": "edge clearance, radial valve clearance",
        "pocket_depth": "valve pocket depth, valve relief depth",
        # the piston
        "wall_clearance": "piston to wall, piston to wall clearance, bore clearance, piston clearance, ptw",
        "pieces": "quantity, how many",
        "rod_width": "small end width, pin end width, small end",
        "crown_thickness": "deck thickness, crown least thickness",
        "piston_mass": "bare piston weight, piston weight bare",
        "dish_depth": "depth of the dish",
        "dome_height": "height of the dome",
        # the charge
        "altitude": "elevation, height above sea level",
        "barometer": "ambient pressure, station pressure, barometric pressure, baro, atmospheric pressure",
        "air_pressure": "ambient pressure, station pressure, barometric pressure, baro, atmospheric pressure",
        "intake_air_temperature": (
            "iat, air temperature, ambient temperature, intake temperature, compressor inlet temperature"
        ),
        "charge_temperature": (
            "iat, act, manifold temperature, intake manifold temperature, charge air temperature, intake "
            "temperature, boost temperature, cooler outlet temperature"
        ),
        "coolant_temperature": "cooler coolant temperature, cooler water temperature",
        "inlet_drop": "intake depression, intake restriction, filter drop, intake pressure drop",
        "boost_gauge": "boost, gauge boost, boost pressure, gauge pressure, boost psi, boost bar",
        "manifold_pressure": (
            "map, absolute boost, boost absolute, manifold absolute pressure, absolute manifold pressure"
        ),
        "pressure_ratio": "boost ratio, manifold pressure ratio",
        "compressor_ratio": "turbo pressure ratio",
        "compressor_efficiency": "turbo efficiency, adiabatic efficiency, isentropic efficiency",
        "compressor_temperature": (
            "compressor outlet temperature, turbo outlet temperature, compressor discharge temperature"
        ),
        "cooler_effectiveness": (
            "cooler, cooler efficiency, charge cooler, charge cooler efficiency, charge cooler effectiveness"
        ),
        "cooler_drop": "cooler pressure loss, cooler loss, charge cooler drop",
        "exhaust_ratio": "back pressure ratio, backpressure ratio",
        "residual_fraction": "residuals, residual gas fraction, residual fraction",
        "closing_pressure": "pressure at ivc",
        "closing_temperature": "temperature at ivc",
        "mixture_strength": "lambda, mixture, air fuel equivalence, lambda value, excess air",
        "end_pressure": "compression pressure, motored pressure",
        "octane_difference": "knock against the baseline",
        "octane_number": "ron, octane, octane rating, research octane number, fuel octane",
        "ethanol_share": "ethanol, ethanol content",
        "methanol_share": "methanol, methanol content",
        "burn_phasing": "ca50, mfb50, 50 % burned, combustion phasing",
        "burn_duration": "combustion duration",
        "spark_advance": "ignition advance, spark advance, ignition timing, spark timing, ignition, advance, timing",
        "wall_temperature": "chamber wall temperature",
        # the bench
        "burette_reading": "burette",
        "dial_reading": "dial",
        "elapsed": "elapsed time",
        "temperature": "fluid temperature, bench temperature",
    }
)

# A word that says the sign with the quantity: term -> word -> which of the term's own words for the sign it says.
SIGNED: dict[str, dict[str, str]] = {
    "crown_volume": {
        **dict.fromkeys(("dish", "dish volume", "dish cc", "piston dish", "piston dish volume", "dished"), "dish"),
        **dict.fromkeys(("bowl", "bowl volume", "piston bowl"), "bowl"),
        **dict.fromkeys(("reliefs", "valve reliefs", "relief volume", "valve relief volume"), "reliefs"),
        **dict.fromkeys(("dome", "dome volume", "dome cc", "piston dome", "piston dome volume", "domed"), "dome"),
        **dict.fromkeys(("pop up", "popup", "pop up volume"), "pop-up"),
    },
    "deck_clearance": {
        **dict.fromkeys(("below deck", "piston below deck"), "below deck"),
        **dict.fromkeys(("down the hole", "in the hole"), "down the hole"),
        **dict.fromkeys(("above deck", "piston above deck", "proud", "piston proud", "out of the hole"), "above deck"),
    },
    "cam_advance": {
        **dict.fromkeys(("cam retard", "retard"), "retarded"),
    },
    "valve_overlap": {"underlap": "underlap"},
}

# A word for what is said otherwise here: word -> (the term, how one comes from the other).
OTHERWISE: dict[str, tuple[str, str]] = {
    **dict.fromkeys(
        ("afr", "air fuel ratio", "a f", "a f ratio", "air to fuel ratio"),
        (
            "mixture_strength",
            "it is lambda: the air-fuel ratio over that of the fuel's complete burning, about 14.7 for petrol without "
            "ethanol: 12.5 of it is 0.85",
        ),
    ),
    **dict.fromkeys(
        ("phi", "equivalence ratio", "fuel air equivalence ratio"),
        ("mixture_strength", "it is lambda, 1 over the fuel-air equivalence ratio"),
    ),
    **dict.fromkeys(
        ("throw", "crank throw", "crank radius", "crank pin radius"), ("stroke", "it is twice the throw of the crank")
    ),
    **dict.fromkeys(("lift ratio", "tappet ratio"), ("rocker_ratio", "it is valve movement over tappet movement")),
    **dict.fromkeys(
        ("mon", "pump octane", "aki", "anti knock index"),
        ("octane_number", "it is by the research method (RON); (R+M)/2 on a pump is 4 to 5 lower"),
    ),
    **dict.fromkeys(
        ("cranking pressure", "cranking compression", "cylinder pressure", "compression test"),
        ("end_pressure", "it is worked out, motored, and is not what a cranking gauge shows"),
    ),
}
