"""Every field of a piston order: its value, tolerance, origin, who decides it, and whether it still stands open."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

from ccassist.plan.piston.specification import CROWN, HEIGHT, RATIO, Ordered, Specification
from ccassist.values.display import Formatter, places, spread_text
from ccassist.values.measured import Value
from ccassist.values.quantity import parse
from ccassist.values.uncertainty import expand
from ccassist.values.verdict import band_text
from ccassist.vocabulary import Kind, term
from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import Origin, conversion

# The fields of the piston order, declared: which there are, in which group, and who decides each unless it is said.

MAKER = "the maker"
BUILDER, MACHINIST, TUNER = "the builder", "the machinist", "the tuner"
# Groups of fields: of the order; of the engine, which is only known to its ±; of the piston, which is to be held.
SET, ENGINE, WANTED, USE = "The set", "The engine, as finished", "What is wanted", "What it is for"
PISTON, POCKETS = "The piston", "Valve pockets"


@record
class Entry:
    """One field as declared: its key (a term, or a word of the order), group, who decides it by default, if needed.

    ``maker`` : that the maker may decide it, so that the order is complete when it says so.  ``name`` : where it is not
    a term's.
    """

    key: str
    group: str
    who: str
    needed: bool = False
    maker: bool = False
    name: str = ""

    @property
    def title(self) -> str:
        """Its name on the sheet: the term's, unless it has one of its own."""
        return self.name or term(self.key).name


def _entries(group: str, who: str, *keys: str) -> Iterator[Entry]:
    """Fields of one group; "!" after a key: needed, "?": needed, but the maker may decide it."""
    for said in keys:
        mark = said[-1] if said[-1] in "!?" else ""
        key, _, name = said.rstrip("!?").partition("=")
        yield Entry(key=key, group=group, who=who, needed=bool(mark), maker=mark == "?", name=name)


ENTRIES: tuple[Entry, ...] = (
    *_entries(SET, BUILDER, "pieces!", "spares", "maker=maker", "contact=questions to", "delivery=delivery"),
    *_entries(SET, BUILDER, "revision=revision!", "date=date", "signed_by=answered for by!"),
    *_entries(ENGINE, MACHINIST, "bore!", "stroke!", "rod_length!", "rod_width?", "small_end=shape of the small end"),
    *_entries(ENGINE, MACHINIST, "block_deck_height!", "chamber_volume!", "liner=bore and finish"),
    *_entries(ENGINE, MACHINIST, "bore_gauged=bores gauged", "counterweight_radius", "plug=spark plug"),
    *_entries(ENGINE, BUILDER, "gasket_thickness!", "gasket_area!", "free_thickness", "rotation=rotation"),
    *_entries(ENGINE, BUILDER, "chamber_mould=chamber goes along as"),
    *_entries(WANTED, BUILDER, f"{RATIO}!", "squish!", "deck_clearance!"),
    *_entries(USE, BUILDER, "use=use and cooling!"),
    *_entries(USE, TUNER, "fuel=fuel!", "boost=boost!", "rev_limit!"),
    *_entries(PISTON, BUILDER, f"{HEIGHT}!", f"{CROWN}!", "shape=crown shape!", "dish_diameter", "dish_depth"),
    *_entries(PISTON, BUILDER, "dish_corner", "squish_band", "dome_diameter", "dome_top", "dome_height"),
    *_entries(POCKETS, BUILDER, "intake_pockets=intake pockets", "exhaust_pockets=exhaust pockets"),
    *_entries(POCKETS, BUILDER, "valve_pockets=place of the pockets?"),
    *_entries(PISTON, BUILDER, "dome_clearance", "sides=sides and marks"),
    *_entries(PISTON, MAKER, "crown_thickness?", "land_height?", "land_diameter?"),
    *_entries(PISTON, BUILDER, "top_ring_width?", "second_ring_width?", "oil_ring_width?", "ring_radial_depth?"),
    *_entries(PISTON, MAKER, "groove_depth", "second_land_height", "third_land_height", "gas_ports=gas ports"),
    *_entries(PISTON, BUILDER, "rings=ring set?"),
    *_entries(PISTON, MAKER, "ring_pack_depth?", "support_rail=oil-ring rail"),
    *_entries(PISTON, BUILDER, "pin_diameter!", "pin_length?", "pin_fit=pin fit?"),
    *_entries(PISTON, MAKER, "pin_retention=pin retention?", "pin_offset?", "pin_oiling=oiling of the pin"),
    *_entries(PISTON, MAKER, "wall_clearance?", "skirt=skirt", "skirt_length", "skirt_clearance"),
    *_entries(PISTON, MAKER, "alloy=alloy?", "coating=coating", "piston_mass", "mass_match"),
)


# How the numbers of a piston order are printed, on the sheet, in the drawing and on the screen alike.


def ordered_text(one: Ordered, fmt: Formatter) -> str:
    """A number to be ordered as printed, everywhere alike."""
    return fmt.show(one.key, one.value, decimals=decimals_of(one.key, one.tolerance.size, fmt))


def decimals_of(key: str, size: float | None, fmt: Formatter, step: float = 0.0) -> int:
    """Decimals of a field: as its ± asks for, as many as were written (``step``, SI), and at least one where usual."""
    unit = fmt.unit(key)
    if term(key).kind is Kind.COUNT:
        return 0
    scale, usual = conversion(unit).scale, places(unit, None)
    if size is None and key == CROWN:
        return 1
    written = math.ceil(-math.log10(step / scale) - 1e-6) if step > 0 else 0
    count = places(unit, None if size is None else size / scale)
    return max(count, min(written, usual + 2), min(1, usual))


def said_tolerance(key: str, size: float | None, fmt: Formatter) -> str:
    """A tolerance or ± as printed, such as "± 0.05 mm"; "" where there is none."""
    if not size:
        return ""
    unit = fmt.unit(key)
    amount = size / conversion(unit).scale
    text = spread_text(amount, max(places(unit, amount), min(1, places(unit, None))))
    return f"± {text} {unit}".rstrip()


MISSING, ASSUMED, NOT_SAID, LEFT = "missing", Origin.ASSUMED, Origin.NOT_SAID, "to be decided"
UNSURE = (ASSUMED, NOT_SAID)


@record
class SheetRow:
    """One field of the sheet.

    entry : what it is.
    text, tolerance, origin, who : as printed; ``text`` is "" where nothing is known.
    low, high, size : SI numbers behind it: smallest and largest over the cylinders, tolerance; None for words.
    unsettled : why the order is not complete with it: missing, assumed, not said (whose figure it is), to be decided
        (by somebody who has not yet); "" where it is.
    """

    entry: Entry
    text: str = ""
    tolerance: str = ""
    origin: str = ""
    who: str
    low: float | None = None
    high: float | None = None
    size: float | None = None
    unsettled: str = ""

    @property
    def name(self) -> str:
        """Its name on the sheet."""
        return self.entry.title

    @property
    def open(self) -> str:
        """Why the order is not complete with it, in words; "" where it is."""
        be = "are" if self.entry.key.endswith("_pockets") else "is"
        said = {
            MISSING: "missing",
            ASSUMED: "assumed",
            NOT_SAID: "given without its origin",
            LEFT: f"to be decided by {self.who}",
        }
        return f"the {self.entry.title} {be} {said[self.unsettled]}" if self.unsettled else ""


def rows(spec: Specification, fmt: Formatter) -> tuple[SheetRow, ...]:
    """Every field that is needed, stated or left to somebody, in the order of the sheet."""
    found = (row for entry in ENTRIES if (row := _row(entry, spec, fmt)) is not None)
    return tuple(replace(row, tolerance=said_tolerance(row.entry.key, row.size, fmt)) for row in found)


def _row(entry: Entry, spec: Specification, fmt: Formatter) -> SheetRow | None:
    decides = spec.survey.job.said.get("order.to_decide", {}).get(entry.key, "")
    row = _found(entry, spec, fmt)
    if decides:
        return _left(entry, row, decides)
    if row is not None or not entry.needed or _needless(entry, spec):
        return row
    if band := spec.survey.wanted.get(entry.key):  # said; what it is worked out from is missing, and named itself
        return SheetRow(entry=entry, origin=f"wanted {band_text(band, fmt)}; not worked out yet", who=entry.who)
    return SheetRow(entry=entry, origin=MISSING, who=entry.who, unsettled=MISSING)


def _needless(entry: Entry, spec: Specification) -> bool:
    """What this crown does not need: the place of pockets that are not there, or of which each says its own."""
    if entry.key != "valve_pockets":
        return False
    said, pockets = spec.survey.job.said, spec.shape.pockets
    return all(one.places or said.get(f"order.pocket.{kind}", {}).get("place") for kind, one in pockets.items())


def _left(entry: Entry, row: SheetRow | None, decides: str) -> SheetRow:
    """A field that somebody else is to decide; what stands there for now is said too."""
    there = row or SheetRow(entry=entry, who=decides)
    maker = decides.strip().casefold() in (MAKER, "maker")
    why = there.unsettled if maker and (entry.maker or not entry.needed) else LEFT
    for_now = f"{there.text} for now" if there.text else ""
    origin = f"to be decided{f'; {there.origin}' if there.origin else ''}"
    return replace(there, text=for_now, origin=origin, who=decides, unsettled=why)


def _found(entry: Entry, spec: Specification, fmt: Formatter) -> SheetRow | None:
    """The field from wherever it is known: the order, the crown's shape, or the engine."""
    key = entry.key
    if key in (HEIGHT, CROWN):
        one = spec.ordered().get(key)
        return None if one is None else _ordered(entry, one, fmt)
    if key in spec.order:
        return _stated(entry, spec.order[key], spec, fmt)
    if key in spec.said:
        return _words(entry, spec.said[key])
    if key == "shape":
        return _words(entry, spec.shape.shape) if spec.shape.shape else None
    if key in ("intake_pockets", "exhaust_pockets"):
        return _pocket(entry, spec, fmt)
    if key in spec.shape.sizes:
        return _size(entry, spec, fmt)
    if key == "pieces":
        many = float(spec.survey.job.cylinders)
        return _number(entry, many, fmt.show(key, many), "one a cylinder")
    if key in ("fuel", "boost"):
        return _of_the_charge(entry, spec, fmt)
    if key == "rev_limit":
        speed = spec.survey.cylinders[0].values.get("engine_speed")
        return None if speed is None else _stated(entry, replace(speed, key=key), spec, fmt)
    return _of_the_engine(entry, spec, fmt)


def _of_the_charge(entry: Entry, spec: Specification, fmt: Formatter) -> SheetRow | None:
    """Fuel and boost as the charge has them, where the order does not say them itself."""
    charge, said = spec.survey.stated.get("charge", {}), spec.survey.job.said.get("charge", {})
    if entry.key == "fuel":
        octane = charge.get("octane_number")
        parts = [said.get("fuel", ""), f"octane {octane.nominal:g} (RON)" if octane else ""]
    else:
        gauge, absolute = (charge.get(key) for key in ("boost_gauge", "manifold_pressure"))
        parts = [f"{fmt.show(v.key, v.nominal)} {basis}" for v, basis in ((gauge, "over ambient"),
                 (absolute, "absolute in the manifold")) if v is not None]  # fmt: skip
    text = ", ".join(part for part in parts if part)
    return _words(entry, text) if text else None


def _words(entry: Entry, text: str) -> SheetRow:
    return SheetRow(entry=entry, text=text, origin=Origin.ASKED, who=BUILDER if entry.who == MAKER else entry.who)


def _number(entry: Entry, value: float, text: str, origin: str, **more: Any) -> SheetRow:
    return SheetRow(entry=entry, text=text, origin=origin, low=value, high=value, **{"who": entry.who, **more})


def _ordered(entry: Entry, one: Ordered, fmt: Formatter) -> SheetRow:
    unsettled = one.origin if one.origin in UNSURE else ""
    return _number(entry, one.value, ordered_text(one, fmt), one.origin, size=one.tolerance.size, unsettled=unsettled)


def _stated(entry: Entry, value: Value, spec: Specification, fmt: Formatter) -> SheetRow:
    """A value of the order; its tolerance is what stands after the ±."""
    size, step = _as_written(value, spec)
    text = fmt.show(value.key, value.nominal, decimals=decimals_of(value.key, size, fmt, step))
    who = BUILDER if value.origin == Origin.ASKED and entry.who == MAKER else entry.who
    unsettled = value.origin if entry.needed and value.origin in UNSURE else ""
    return _number(entry, value.nominal, text, value.origin, who=who, size=size, unsettled=unsettled)


def _as_written(value: Value, spec: Specification) -> tuple[float | None, float]:
    """Half-width and last digit of a value as it was written, SI; None and 0 where it is a mean."""
    if len(value.raw) != 1:
        return None, 0.0
    read = parse(value.raw[0], value.key, system=spec.survey.job.bare)
    return read.spread, read.step


def _size(entry: Entry, spec: Specification, fmt: Formatter) -> SheetRow:
    """A dimension of the crown: stated, or worked out from another."""
    key, stated = entry.key, spec.survey.stated.get("order.crown", {})
    if key in stated:
        row = _stated(entry, stated[key], spec, fmt)
        return replace(row, unsettled=ASSUMED) if stated[key].origin == ASSUMED else row
    value = spec.shape.sizes[key]
    origin = "worked out from the crown volume" if key == spec.shape.solved else "worked out"
    return _number(entry, value, fmt.show(key, value), origin)


def _pocket(entry: Entry, spec: Specification, fmt: Formatter) -> SheetRow | None:
    kind = entry.key.removesuffix("_pockets")
    one = spec.shape.pockets.get(kind)
    if one is None:
        return None
    each = [f"floor {fmt.show('pocket_diameter', 2 * one.radius)} across"]
    each.append(f"{fmt.show('pocket_depth', one.depth)} along the valve")
    each.append(f"tilted {fmt.show('pocket_tilt', one.tilt)}" if one.tilt else "upright")
    if one.offset is not None and not one.places:
        each.append(f"{fmt.show('pocket_offset', one.offset)} from the bore axis")
    if one.places and one.tilt:
        each.append("leaning straight away from the bore axis going up (assumed)")
    each += [f"{fmt.show('pocket_along_pin', x)} and {fmt.show('pocket_across_pin', y)}" for x, y in one.places]
    place = spec.survey.job.said.get(f"order.pocket.{kind}", {}).get("place", "")
    many = "1 pocket" if one.count == 1 else f"{one.count} pockets, each"
    text = f"{many}: {', '.join(each)}{f'; {place}' if place else ''}"
    origins = {value.origin for value in spec.survey.stated.get(f"order.pocket.{kind}", {}).values()}
    unsettled = ASSUMED if ASSUMED in origins else ""
    return SheetRow(entry=entry, text=text, origin=", ".join(sorted(origins)), who=entry.who, unsettled=unsettled)


def _of_the_engine(entry: Entry, spec: Specification, fmt: Formatter) -> SheetRow | None:
    """A term of the cylinders as they will be: the span over them, the widest ±, where it comes from.

    How much of it may be without ground the fits judge, by its part in what is ordered.
    """
    if entry.key not in _TERMS_OF_THE_ENGINE:
        return None
    values = [c.values[entry.key] for c in spec.planned.cylinders if entry.key in c.values]
    if not values or len(values) < len(spec.planned.cylinders):
        return None
    spreads = [expand(v.number).expanded for v in values]
    size = None if any(math.isnan(s) for s in spreads) else max(spreads) or None
    low, high = (end(v.nominal for v in values) for end in (min, max))
    text = fmt.span(entry.key, low, high, decimals=decimals_of(entry.key, size, fmt))
    origin = _origins(values, entry, spec, fmt)
    return SheetRow(entry=entry, text=text, origin=origin, who=entry.who, low=low, high=high, size=size)


_TERMS_OF_THE_ENGINE = {entry.key for entry in ENTRIES if not entry.name}


def _origins(values: Sequence[Value], entry: Entry, spec: Specification, fmt: Formatter) -> str:
    """Where it comes from; of what is worked out, where its inputs come from."""
    origins = {v.origin for v in values} - {Origin.COMPUTED}
    if Origin.COMPUTED in {v.origin for v in values} and entry.key in ("gasket_area", "crevice_volume"):
        for cylinder in spec.planned.cylinders:
            origins |= {cylinder.values[k].origin for k in cylinder.model.inputs_of(entry.key) if k in cylinder.values}
    elif not origins:
        band = spec.survey.wanted.get(entry.key)
        return f"worked out; wanted {band_text(band, fmt)}" if band is not None else "worked out"
    return ", ".join(sorted(origins))
