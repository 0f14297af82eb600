"""How a quantity is asked for: its unit, what is usual, and an example to copy."""

from __future__ import annotations

from ccassist.values.band import parse_band
from ccassist.values.findings import InputError
from ccassist.values.quantity import UNSAID, Quantity, in_unit, parse
from ccassist.values.units import SYSTEMS, shown_unit
from ccassist.vocabulary import term
from ccassist.vocabulary.invented import IMPERIAL, METRIC

# An example for each term that is ever asked for: as a metric and as an imperial shop would write it.
EXAMPLES: dict[str, tuple[str, str]] = {
    **{key: (METRIC[key], IMPERIAL[key]) for key in METRIC},
    "pin_offset": ("0.5 mm toward the thrust side", "0.020 in toward the thrust side"),
    "engine_speed": ("6800 rpm", "6800 rpm"),
    "pieces": ("4", "4"),
    "event_lift": ("1.00 mm", "50 thou"),
    "wheel_doubt": ("1 deg", "1 deg"),
    "boost_gauge": ("0.8 bar", "12 psi"),
    "altitude": ("200 m above sea level", "700 ft above sea level"),
    "wall_clearance": ("0.06 mm", "2.5 thou"),
    "dish_corner": ("1.5 mm", "0.060 in"),
    "chamber_area": ("52 cm²", "8.1 in²"),
    "opening_centroid": ("80.0 mm", "3.150 in"),
    "head_width": ("150.0 mm", "5.900 in"),
    "outline_edge": ("40.0 mm", "1.575 in"),
    "level_depth": ("1.20 mm", "47 thou"),
    "opening_edge": ("250 mm", "9.8 in"),
    "chamfer_volume": ("0.3 cc", "0.3 cc"),
    "extra_volume": ("adds 1.2 cc", "adds 1.2 cc"),
    "squish_step": ("0.5 mm", "20 thou"),
    "air_pressure": ("101.3 kPa", "14.69 psi"),
    "temperature": ("20 degC", "68 degF"),
    "static_ratio": ("9.5", "9.5"),
    "squish": ("1.0 to 1.2 mm", "40 to 45 thou"),
    "mean_piston_speed": ("at most 20 m/s", "at most 4000 ft/min"),
    "burette_reading": ("46.15 cc", "46.15 cc"),
    "fulls": ("1", "1"),
    "dispenser_mass": ("446.8 g", "446.8 g"),
    "crown_drop": ("12.70 mm", "0.500 in"),
    "dial_reading": ("0.20 mm below deck", "8 thou below deck"),
    "ring_bore": ("90.00 mm", "4.500 in"),
    "ring_height": ("10.00 mm", "0.500 in"),
    "hole_diameter": ("6.0 mm", "0.250 in"),
    "plate_thickness": ("8.0 mm", "0.250 in"),
    "film_thickness": ("0.02 mm", "0.001 in"),
    "residue": ("0.1 cc", "0.1 cc"),
    "plug_hole_volume": ("1.7 cc", "1.7 cc"),
    "elapsed": ("90 s", "90 s"),
    "outline_x": ("42.3 mm", "1.665 in"),
    "outline_y": ("18.1 mm", "0.713 in"),
    "reference_area": ("100 cm²", "16 in²"),
    "reference_mass": ("8.12 g", "8.12 g"),
    "cutout_mass": ("4.98 g", "4.98 g"),
    "cutout_copies": ("1", "1"),
    "plug_well_volume": ("1.7 cc", "1.7 cc"),
    "plug_nose_volume": ("adds 0.3 cc", "adds 0.3 cc"),
}


def example(key: str, system: str = "metric") -> str:
    """How a value of the term may be written; the middle of the plausible range where none was chosen."""
    if key in EXAMPLES:
        return EXAMPLES[key][SYSTEMS.index(system)]
    wanted = term(key)
    unit = shown_unit(wanted, system)
    middle = f"{_round(in_unit(sum(wanted.plausible) / 2, unit))} {unit}".rstrip()
    return wanted.sign.says_plus.format(middle) if wanted.sign else middle


def usual(key: str, system: str = "metric", unit: str = "") -> str:
    """The plausible range in a unit, by default the shown one: "20 to 300 mm"; sign words where it has a sign.

    >>> usual("bore"), usual("intake_opening")
    ('20 to 300 mm', '40 deg after TDC to 70 deg before TDC')
    """
    wanted = term(key)
    unit = unit or shown_unit(wanted, system)
    low, high = (_round(in_unit(end, unit)) for end in wanted.plausible)
    if wanted.sign is not None and (wanted.plausible[0] < 0 or not wanted.sign.bare_is_plus):
        ends = (
            wanted.sign.says_minus.format(f"{low.lstrip('-')} {unit}"),
            wanted.sign.says_plus.format(f"{high} {unit}"),
        )
        return " to ".join(ends)
    return f"{low} to {high} {unit}".rstrip()


def _round(number: float) -> str:
    """Three figures, never with an exponent."""
    return f"{float(f'{number:.3g}'):.10g}"


def with_unit(text: str, key: str, *, system: str = "metric", sight: str = "") -> str:
    """The text with the unit that a bare number takes written out, so that it means the same for ever.

    ``sight`` : that unit, where it stands in the place that the text was typed in.

    >>> with_unit("46.15", "burette_reading"), with_unit("8 below", "dial_reading", sight="thou")
    ('46.15 cc', '8 thou below')
    >>> with_unit("2.8", "burette_reading", sight="in3"), with_unit("46 cc", "burette_reading", sight="in3")
    ('2.8 in3', '46 cc')

    Raises
    ------
    InputError : as :func:`ccassist.values.quantity.parse`.
    """
    return quantity_with_unit(text, key, system=system, sight=sight).raw


def quantity_with_unit(text: str, key: str, *, system: str = "metric", sight: str = "") -> Quantity:
    """The same as a quantity, whose ``raw`` text has its unit.

    Raises
    ------
    InputError : as :func:`ccassist.values.quantity.parse`.
    """
    meant = parse(text, key, system=system, sight=sight)
    unit = sight or shown_unit(term(key), system)
    ends = [i + 1 for i, c in enumerate(text) if unit and (c.isdigit() or c == ")")]
    for end in ends:
        rest = text[end:]
        said = f"{text[:end]} {unit}{' ' if rest[:1].isalpha() else ''}{rest}"
        if not rest[:1].isdigit() and (same := _same(said, meant)):
            return same
    return meant


def band_with_unit(text: str, key: str, *, system: str = "metric", sight: str = "") -> str:
    """What is wanted of a term, with the unit that its bare numbers take written behind it.

    >>> band_with_unit("60 to 62", "chamber_volume"), band_with_unit("9.5", "static_ratio")
    ('60 to 62 cc', '9.5')

    Raises
    ------
    InputError : as :func:`ccassist.values.band.parse_band`.
    """
    meant = parse_band(text, key, system=system, sight=sight)
    unit = sight or shown_unit(term(key), system)
    tried = f"{text} {unit}"
    if not unit or not text[-1:].isdigit():
        return text
    try:
        read = parse_band(tried, key)
    except InputError:
        return text
    return tried if (read.low, read.high, read.aim) == (meant.low, meant.high, meant.aim) else text


def _same(text: str, meant: Quantity) -> Quantity | None:
    """The quantity of a text that means the same by itself, in any job; else None."""
    try:
        read = parse(text, meant.key, system=UNSAID)
    except InputError:
        return None
    same = (read.value, read.spread, read.standard, read.origin)
    return read if same == (meant.value, meant.spread, meant.standard, meant.origin) else None
