"""The vocabulary: every quantity the tool speaks of, declared once.

Prompts, job files, JSON, printed pages and the docs all read a quantity's
name, symbol, sign words and ranges from here.  Ranges are in SI units
(m, m³, m², rad, Pa, K, kg, s); the words never carry a unit.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from math import pi

_MM, _CC, _DEG = 1e-3, 1e-6, pi / 180


class Kind(Enum):
    """What sort of quantity a term is; decides which units may be written."""

    LENGTH = "length"
    AREA = "area"
    VOLUME = "volume"
    ANGLE = "angle"
    MASS = "mass"
    TIME = "time"
    TEMPERATURE = "temperature"
    PRESSURE = "pressure"
    SPEED = "speed"
    TURNS = "rotational speed"
    DENSITY = "density"
    RATIO = "ratio"
    COUNT = "count"


@dataclass(frozen=True, kw_only=True)
class Sign:
    """The words that stand for the sign of a quantity, so it is never bare.

    ``plus``, ``minus`` and ``zero`` are the words accepted from the user;
    ``says_plus``, ``says_minus`` and ``says_zero`` are how the value is shown,
    with ``{}`` for the unsigned amount and its unit.  ``bare_is_plus`` is for
    quantities whose unsigned number nobody reads as negative.
    """

    plus: tuple[str, ...]
    minus: tuple[str, ...]
    zero: tuple[str, ...]
    says_plus: str
    says_minus: str
    says_zero: str
    bare_is_plus: bool = False


@dataclass(frozen=True, kw_only=True)
class Term:
    """One quantity of the trade.

    Attributes
    ----------
    key : name used in job files, JSON and as parameter name of relations.
    name : the trade's word for it.
    symbol : short form for the algebra.
    kind : which units may be written.
    meaning : what exactly is meant, in one sentence.
    synonyms : other words met in the trade.
    sign : sign in words, or None where the quantity has no sign to mistake.
    possible : SI range outside which a value is refused.
    plausible : SI range outside which the user is asked "are you sure?".
    small : shown in the finer unit of its kind (thou rather than inch).
    units : shown units (metric, imperial) where they differ from the kind's.
    caution : the mistake commonly made with it.
    """

    key: str
    name: str
    symbol: str
    kind: Kind
    meaning: str
    possible: tuple[float, float]
    plausible: tuple[float, float]
    synonyms: tuple[str, ...] = ()
    sign: Sign | None = None
    small: bool = False
    units: tuple[str, str] | None = None
    caution: str = ""


CROWN_SIGN = Sign(
    plus=("dish", "bowl", "reliefs", "relief", "pockets", "adds"),
    minus=("dome", "pop-up", "raised crown", "takes"),
    zero=("flat", "flat top"),
    says_plus="dish, adds {} of space",
    says_minus="dome, takes {} of space",
    says_zero="flat crown, adds and takes nothing",
)
DECK_SIGN = Sign(
    plus=("below deck", "below the deck", "below", "down the hole", "in the hole", "down"),
    minus=("above deck", "above the deck", "above", "proud", "out of the hole"),
    zero=("flush", "zero deck", "level"),
    says_plus="{} below deck",
    says_minus="{} proud of the deck",
    says_zero="flush with the deck",
)
OFFSET_SIGN = Sign(
    plus=("away from the thrust side", "away from thrust side", "away"),
    minus=("toward the thrust side", "towards the thrust side", "toward", "towards"),
    zero=("centred", "none"),
    says_plus="{} away from the thrust side",
    says_minus="{} toward the thrust side",
    says_zero="centred",
)
SPACE_SIGN = Sign(
    plus=("adds",),
    minus=("takes",),
    zero=("none",),
    says_plus="adds {} of space",
    says_minus="takes {} of space",
    says_zero="adds and takes nothing",
)
GAP_SIGN = Sign(
    plus=("gap", "open"),
    minus=("overlap", "contact"),
    zero=("touching",),
    says_plus="{} gap",
    says_minus="{} OVERLAP: piston meets head",
    says_zero="piston touches head",
    bare_is_plus=True,
)


def _length(
    key: str, name: str, symbol: str, meaning: str, plausible_mm: tuple[float, float], **more: object
) -> Term:
    low, high = plausible_mm
    possible = more.pop("possible", None) or (0.0 if low > 0 else -50 * _MM, 2000 * _MM)
    return Term(key=key, name=name, symbol=symbol, kind=Kind.LENGTH, meaning=meaning,
                plausible=(low * _MM, high * _MM), possible=possible, **more)  # type: ignore[arg-type]


def _volume(
    key: str, name: str, symbol: str, meaning: str, plausible_cc: tuple[float, float], **more: object
) -> Term:
    low, high = plausible_cc
    possible = more.pop("possible", None) or (0.0, 0.1)
    return Term(key=key, name=name, symbol=symbol, kind=Kind.VOLUME, meaning=meaning,
                plausible=(low * _CC, high * _CC), possible=possible, **more)  # type: ignore[arg-type]


_ALL: tuple[Term, ...] = (
    # -- the bottom end --------------------------------------------------------
    _length("bore", "bore", "B", "finished inside diameter of the cylinder", (30, 200),
            possible=(5 * _MM, 1500 * _MM), synonyms=("cylinder diameter",),
            caution="not the piston diameter, and no piston-to-wall clearance added"),
    _length("stroke", "stroke", "S", "twice the crank throw", (25, 250),
            possible=(5 * _MM, 3000 * _MM), synonyms=("twice the throw",)),
    _length("rod_length", "rod length", "L", "big-end axis to small-end axis", (60, 400),
            possible=(10 * _MM, 6000 * _MM), synonyms=("centre-to-centre",),
            caution="centre to centre, not overall"),
    _length("block_deck_height", "block deck height", "H", "crank axis to the finished deck face",
            (100, 500), possible=(20 * _MM, 9000 * _MM), synonyms=("block height",),
            caution="not the deck clearance, which some also call deck height"),
    _length("compression_height", "compression height", "CH", "pin axis to the crown flat",
            (15, 80), possible=(1 * _MM, 1000 * _MM), synonyms=("pin height", "compression distance"),
            caution="to the flat of the crown: no dish or dome in it"),
    _length("pin_offset", "pin offset", "d",
            "distance of the pin line (cylinder axis at the pin) from the crank axis", (-3, 3),
            possible=(-100 * _MM, 100 * _MM), sign=OFFSET_SIGN, small=True, synonyms=("pin or block offset",)),
    _length("deck_clearance", "deck clearance", "c",
            "crown flat to deck face at top dead centre", (-1, 2),
            possible=(-30 * _MM, 60 * _MM), sign=DECK_SIGN, small=True,
            synonyms=("piston-to-deck",), caution="many use the opposite sign: say below or above"),
    _length("piston_travel", "piston travel", "T", "true distance from top to bottom dead centre",
            (25, 250), possible=(5 * _MM, 3000 * _MM)),
    Term(key="cylinders", name="number of cylinders", symbol="n", kind=Kind.COUNT,
         meaning="cylinders of the engine, or chambers of the heads on the bench",
         possible=(1, 48), plausible=(1, 16)),
    Term(key="engine_speed", name="engine speed", symbol="N", kind=Kind.TURNS,
         meaning="crankshaft speed at which piston speed is stated",
         possible=(0.1, 600), plausible=(5, 250)),
    # -- the top end -------------------------------------------------------------
    _volume("chamber_volume", "chamber volume", "Vch",
            "head cavity down to the face, with the running plug and the valves in", (8, 150),
            possible=(0.1 * _CC, 20e-3), synonyms=("head cc", "combustion-chamber capacity")),
    Term(key="chamber_area", name="chamber opening", symbol="Ach", kind=Kind.AREA,
         meaning="open area of the chamber at the head face", possible=(1e-6, 1.0),
         plausible=(5e-4, 3e-2)),
    _length("gasket_bore", "gasket bore", "Bg", "inner diameter of the gasket's sealing ring",
            (30, 205), possible=(5 * _MM, 1500 * _MM), synonyms=("fire-ring diameter",),
            caution="usually larger than the cylinder bore"),
    _length("gasket_thickness", "compressed gasket thickness", "hg",
            "thickness after tightening to the maker's torque", (0.2, 3),
            possible=(0.0, 30 * _MM), small=True, synonyms=("crush", "installed thickness"),
            caution="not the free thickness"),
    Term(key="gasket_area", name="gasket opening", symbol="Ag", kind=Kind.AREA,
         meaning="area inside the gasket's sealing ring", possible=(1e-6, 2.0),
         plausible=(7e-4, 3.5e-2)),
    _volume("crown_volume", "net crown volume", "Vp",
            "dish and reliefs less dome, from the crown flat", (-60, 80),
            possible=(-10e-3, 10e-3), sign=CROWN_SIGN, synonyms=("effective dome", "piston cc"),
            caution="makers quote it with either sign: say dish or dome"),
    _length("land_diameter", "top-land diameter", "Dl", "piston diameter above the top ring",
            (30, 200), possible=(5 * _MM, 1500 * _MM), caution="smaller than the skirt: measure it"),
    _length("land_height", "top-land height", "hl", "crown to the upper face of the top ring",
            (2, 20), possible=(0.0, 300 * _MM)),
    _volume("chamfer_volume", "bore-top chamfer volume", "Vb", "chamfer at the top of the bore",
            (0, 2), possible=(0.0, 1e-3)),
    _volume("extra_volume", "other named volume", "Vx",
            "any further space the user names (insert, recess, plug well)", (-5, 20),
            possible=(-10e-3, 10e-3), sign=SPACE_SIGN),
    _length("squish_step", "squish step", "hs", "depth of the head's squish pad above the head face",
            (0, 5), possible=(-20 * _MM, 50 * _MM), small=True),
    # -- what follows from them ----------------------------------------------------
    Term(key="bore_area", name="bore area", symbol="A", kind=Kind.AREA, meaning="area of the bore",
         possible=(1e-6, 2.0), plausible=(7e-4, 3.2e-2)),
    _volume("swept_volume", "swept volume", "Vs", "volume swept by one piston", (30, 3000),
            possible=(1e-9, 10.0), synonyms=("displacement per cylinder",),
            caution="not the volume at bottom dead centre"),
    _volume("gasket_volume", "gasket volume", "Vg", "gasket opening times compressed thickness",
            (1, 40), possible=(0.0, 20e-3)),
    _volume("deck_volume", "deck volume", "Vd", "bore area times deck clearance", (-15, 30),
            possible=(-20e-3, 40e-3),
            sign=SPACE_SIGN),
    _volume("crevice_volume", "top-land crevice", "Vl",
            "gap between land and bore, from the crown to the top ring", (0.1, 4),
            possible=(0.0, 5e-3), synonyms=("ring-land volume",)),
    _volume("crevice_counted", "crevice counted", "Vcr", "the part of the crevice that the builder counts",
            (0, 4), possible=(0.0, 5e-3)),
    _volume("crevice_in_fill", "crevice inside the fill", "Vcf",
            "crevice that a ring-sealed fill already holds", (0, 4), possible=(0.0, 5e-3)),
    _volume("chamfer_counted", "chamfer counted", "Vb", "the part of the chamfer that the builder counts",
            (0, 2), possible=(0.0, 1e-3)),
    _volume("chamfer_in_fill", "chamfer inside the fill", "Vbf",
            "chamfer that a fill under a plate already holds", (0, 2), possible=(0.0, 1e-3)),
    _volume("crown_and_deck_volume", "space over the piston", "Vpd",
            "net crown volume and deck volume together", (-60, 90), possible=(-20e-3, 40e-3),
            sign=SPACE_SIGN),
    _volume("clearance_volume", "clearance volume", "Vc",
            "all the space above the top ring at top dead centre", (10, 400), possible=(1e-9, 1.0),
            synonyms=("compressed volume", "volume at top dead centre")),
    _volume("bdc_volume", "volume at bottom dead centre", "Vt", "swept plus clearance volume",
            (40, 3400), possible=(1e-9, 10.0), synonyms=("total volume",)),
    Term(key="displacement", name="displacement", symbol="Vh", kind=Kind.VOLUME,
         meaning="swept volume of all cylinders", possible=(1e-9, 100.0), plausible=(30e-6, 20e-3),
         units=("cc", "in³")),
    Term(key="static_ratio", name="static compression ratio", symbol="CR", kind=Kind.RATIO,
         meaning="volume at bottom dead centre over clearance volume", possible=(1.0 + 1e-9, 100.0),
         plausible=(5.0, 20.0), synonyms=("geometric ratio",)),
    _length("squish", "squish gap", "q", "piston to head, flat to flat, at top dead centre, cold",
            (0.6, 4), possible=(-30 * _MM, 90 * _MM), small=True,
            synonyms=("quench", "piston-to-head"),
            sign=GAP_SIGN),
    Term(key="mean_piston_speed", name="mean piston speed", symbol="Sp", kind=Kind.SPEED,
         meaning="twice the piston travel times the engine speed", possible=(0.0, 200.0),
         plausible=(2.0, 30.0)),
    Term(key="rod_ratio", name="rod ratio", symbol="L/S", kind=Kind.RATIO,
         meaning="rod length over stroke", possible=(0.5, 20.0), plausible=(1.3, 2.5)),
    Term(key="bore_stroke_ratio", name="bore-to-stroke ratio", symbol="B/S", kind=Kind.RATIO,
         meaning="bore over stroke", possible=(0.1, 10.0), plausible=(0.5, 2.0)),
    # -- read at the bench -----------------------------------------------------------
    _volume("burette_reading", "burette reading", "b", "what the scale shows", (0, 250),
            possible=(-1e-6, 20e-3)),
    Term(key="fulls", name="number of full syringes", symbol="k", kind=Kind.COUNT,
         meaning="full deliveries of one syringe", possible=(0, 200), plausible=(0, 20)),
    _volume("fill_volume", "fill", "Vf", "fluid delivered into the space", (1, 400),
            possible=(1e-9, 50e-3)),
    _volume("crown_fill", "fill over the piston", "Vfp", "fluid between lowered piston and plate",
            (5, 600), possible=(1e-9, 50e-3)),
    Term(key="dispenser_mass", name="mass of the dispenser", symbol="m", kind=Kind.MASS,
         meaning="what the scale shows with the dispenser on it", possible=(0.0, 100.0),
         plausible=(0.005, 3.0)),
    _length("crown_drop", "drop of the piston", "D", "piston lowered from top dead centre",
            (0.5, 40), possible=(0.0, 1000 * _MM)),
    _length("dial_reading", "dial reading", "r", "crown relative to the deck, deck set to zero",
            (-1, 2), possible=(-30 * _MM, 60 * _MM), sign=DECK_SIGN, small=True),
    _length("ring_bore", "measuring-ring bore", "Br", "bore of the ring set round the crown",
            (30, 210), possible=(5 * _MM, 1500 * _MM)),
    _length("ring_height", "measuring-ring height", "hr", "plate above the crown flat", (1, 60),
            possible=(0.0, 500 * _MM)),
    _length("hole_diameter", "plate-hole diameter", "Dh", "fill hole of the plate", (1, 15),
            possible=(0.0, 100 * _MM)),
    _length("plate_thickness", "plate thickness", "hp", "thickness of the plate at its hole",
            (2, 25), possible=(0.0, 200 * _MM)),
    _volume("hole_volume", "plate-hole volume", "Vhole", "fluid standing in the plate's hole",
            (0, 2), possible=(0.0, 1e-3)),
    Term(key="temperature", name="temperature", symbol="t", kind=Kind.TEMPERATURE,
         meaning="of the fluid, taken as that of the parts", possible=(243.15, 373.15),
         plausible=(278.15, 308.15)),
    Term(key="air_pressure", name="air pressure", symbol="p", kind=Kind.PRESSURE,
         meaning="station pressure at the bench, not reduced to sea level",
         possible=(5e4, 1.1e5), plausible=(8e4, 1.05e5)),
    Term(key="density", name="density", symbol="ρ", kind=Kind.DENSITY, meaning="of the measuring fluid",
         possible=(300.0, 3000.0), plausible=(700.0, 1200.0)),
    Term(key="elapsed", name="time", symbol="τ", kind=Kind.TIME,
         meaning="since first contact of fluid", possible=(0.0, 1e6), plausible=(0.0, 3600.0)),
)

TERMS: dict[str, Term] = {term.key: term for term in _ALL}


def term(key: str) -> Term:
    """The term of that key.

    >>> term("bore").name
    'bore'
    """
    return TERMS[key]


def nearest(word: str, known: tuple[str, ...] | None = None) -> str | None:
    """The known key closest to a mistyped one, or None.

    >>> nearest("stoke")
    'stroke'
    """
    from difflib import get_close_matches

    names = known if known is not None else tuple(TERMS)
    found = get_close_matches(word.lower().replace("-", "_").replace(" ", "_"), names, n=1, cutoff=0.6)
    return found[0] if found else None


__all__ = ["CROWN_SIGN", "DECK_SIGN", "TERMS", "Kind", "Sign", "Term", "nearest", "term"]
