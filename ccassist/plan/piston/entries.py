"""The fields of the piston order, declared: which there are, in which group, and who decides each unless it is said."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from ccassist.plan.piston.specification import CROWN, HEIGHT, RATIO
from ccassist.vocabulary import term

MAKER = "the maker"
BUILDER, MACHINIST, TUNER = "the builder", "the machinist", "the tuner"


@dataclass(frozen=True, kw_only=True)
class Entry:
    """One field as declared: its key (a term, or a word of the order), group, who decides it by default, if needed.

    ``maker`` : that the maker may decide it, so that the order is complete when it says so.  ``name`` : where it is
    not a term's.
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
    *_entries("The set", BUILDER, "pieces!", "spares", "maker=maker", "sides=sides and marks", "use=use and cooling!"),
    *_entries("The engine, as finished", MACHINIST, "bore!", "stroke!", "rod_length!", "rod_width?"),
    *_entries("The engine, as finished", MACHINIST, "block_deck_height!", "chamber_volume!"),
    *_entries("The engine, as finished", BUILDER, "gasket_thickness!", "gasket_area!", "free_thickness"),
    *_entries("What is wanted", BUILDER, f"{RATIO}!", "squish!", "deck_clearance!"),
    *_entries("The crown", BUILDER, f"{HEIGHT}!", f"{CROWN}!", "shape=crown shape!", "dish_diameter", "dish_depth"),
    *_entries("The crown", BUILDER, "dish_corner", "squish_band", "dome_diameter", "dome_top", "dome_height"),
    *_entries("The crown", BUILDER, "intake_pockets=intake pockets", "exhaust_pockets=exhaust pockets"),
    *_entries("The crown", BUILDER, "valve_pockets=place of the pockets?", "dome_clearance"),
    *_entries("The crown", MAKER, "crown_thickness?"),
    *_entries("Skirt and pin", MAKER, "wall_clearance?", "skirt=skirt", "skirt_clearance"),
    *_entries("Skirt and pin", BUILDER, "pin_diameter!", "pin_length?", "pin_fit=pin fit?"),
    *_entries("Skirt and pin", MAKER, "pin_retention=pin retention?", "pin_offset?"),
    *_entries("Rings and lands", BUILDER, "top_ring_width?", "second_ring_width?", "oil_ring_width?"),
    *_entries("Rings and lands", BUILDER, "ring_radial_depth?", "rings=ring set?"),
    *_entries("Rings and lands", MAKER, "land_height?", "land_diameter?", "ring_pack_depth?"),
    *_entries("Rings and lands", MAKER, "support_rail=oil-ring rail"),
    *_entries("Use and material", TUNER, "fuel=fuel!", "boost=boost!", "rev_limit!"),
    *_entries("Use and material", MAKER, "alloy=alloy?", "coating=coating", "piston_mass"),
    *_entries("The order", BUILDER, "revision=revision!", "date=date", "signed_by=answered for by!"),
)  # fmt: skip
