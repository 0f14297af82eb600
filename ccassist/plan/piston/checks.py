"""What is to be confirmed with the piston maker: room, metal and gaps, told as questions and never as permission.

A finding at warning level is a number that does not fit what is stated; a
note is something that only the maker, or a mock-up, can answer.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from ccassist.plan.piston.fits.judged import Judged
from ccassist.plan.piston.fits.valves import MOCK_UP, valves_to_confirm
from ccassist.plan.piston.specification import Specification
from ccassist.values.display import Formatter
from ccassist.values.findings import Finding, note
from ccassist.vocabulary import term


def to_confirm(spec: Specification, fmt: Formatter, found: Judged) -> tuple[Finding, ...]:
    """Every check, those that do not fit first, then what only the maker or a mock-up can answer."""
    asked = _Asked(spec, fmt)
    told = [
        *(one.finding() for one in found.outcomes),
        *asked.pin(),
        *asked.crown_metal(),
        *asked.top_land(),
        *asked.outline(),
        *asked.head(),
        *asked.below(),
    ]
    return tuple(sorted(told, key=lambda one: -one.level))


class _Asked:
    """The questions of one specification, with its numbers at hand."""

    def __init__(self, spec: Specification, fmt: Formatter) -> None:
        self.spec, self.fmt = spec, fmt
        self.stated = {key: value.nominal for key, value in spec.order.items()}
        first = spec.planned.cylinders[0].values
        self.height = spec.height.value if spec.height else None
        self.land = first["land_height"].nominal if "land_height" in first else None
        self.land_diameter = first["land_diameter"].nominal if "land_diameter" in first else None
        self.bores = [c.values["bore"].nominal for c in spec.planned.cylinders if "bore" in c.values]

    def said(self, key: str, value: float) -> str:
        """A length as printed, without words of sign."""
        return self.fmt.show(key, value, words=False)

    def pin(self) -> Iterator[Finding]:
        """Room between the oil-ring groove and the pin bore."""
        if self.height is None:
            return
        pin, pack = self.stated.get("pin_diameter"), self.stated.get("ring_pack_depth")
        if pin is None or pack is None:
            lacks = [term(k).name for k in ("pin_diameter", "ring_pack_depth") if k not in self.stated]
            wrong = f"room between ring pack and pin cannot be told: the {' and the '.join(lacks)} is not stated"
            yield note("pin-room", wrong, right="ask the maker for both, and whether the oil ring needs a support rail")
            return
        room = self.height - pin / 2 - pack
        if room >= 0:
            wrong = f"between the oil-ring groove and the pin bore stand {self.said('land_height', room)}"
            yield note("pin-room", wrong, right="confirm with the maker that this is enough")

    def crown_metal(self) -> Iterator[Finding]:
        """Metal under the deepest dish or pocket."""
        deepest = self.spec.shape.deepest
        wish = self.stated.get("crown_thickness")
        wanted = f"at least {self.said('crown_thickness', wish)} is wanted" if wish else "no least thickness is stated"
        if deepest <= 0:
            right = "the maker says what is left, and what it needs"
            yield note("crown-metal", f"crown thickness: {wanted}", right=right)
            return
        words = f"the deepest point of the crown lies {self.said('dish_depth', deepest)} below its flat; {wanted}"
        pin = self.stated.get("pin_diameter")
        if self.height is not None and pin is not None:
            over = self.said("dish_depth", self.height - pin / 2 - deepest)
            words += f"; from there to the pin bore are {over}, for crown and small end together"
        yield note("crown-metal", words, right="the maker says what metal is left under it and whether that will do")

    def top_land(self) -> Iterator[Finding]:
        """The top land, and whether its crevice is counted."""
        first = self.spec.planned.cylinders[0]
        counted = "counted" if first.choices.crevice else "not counted"
        if self.land is None or self.land_diameter is None:
            sizes = {"land_height": self.land, "land_diameter": self.land_diameter}
            lacks = " and ".join(term(key).name for key, size in sizes.items() if size is None)
            wrong = f"the {lacks} is not stated; the crevice of the land is {counted} in the sum"
            yield note("land", wrong, right="ask the maker for it, and put it in")
            return
        gap = min(self.bores, default=self.land_diameter) - self.land_diameter
        wrong = (
            f"top land {self.said('land_height', self.land)} high with {self.said('land_diameter', gap)} less diameter "
            f"than the smallest bore; its crevice is {counted}"
        )
        right = "the maker confirms land height and diameter, since the sum stands on them; boost asks for a lower ring"
        yield note("land", wrong, right=right)

    def outline(self) -> Iterator[Finding]:
        """Whether the dish is where it should be."""
        if "dish_diameter" in self.spec.shape.sizes:
            wrong = (
                "the outline of the dish must match the chamber, so that the flat of the crown faces the head's pads"
            )
            yield note("squish-pads", wrong, right="send the maker a drawing, a mould or a scan of the chamber")

    def head(self) -> Iterator[Finding]:
        """Dome against chamber and plug; valves against the crown."""
        if self.spec.crown is not None and ("dome" in self.spec.shape.hollow or self.spec.crown.value < 0):
            wish = self.stated.get("dome_clearance")
            wanted = f"at least {self.said('dome_clearance', wish)} wanted" if wish else "no least gap is stated"
            wrong = f"dome against chamber wall and plug: {wanted}"
            yield note("dome", wrong, right="the maker needs the chamber's shape; check with clay at mock-up")
        pockets = bool(self.spec.shape.pockets)
        wrong = "valve pockets: place, side and depth are as stated" if pockets else "no valve pockets are stated"
        yield note("valves", wrong, right=MOCK_UP)
        yield from valves_to_confirm(self.spec.planned, self.fmt)

    def below(self) -> Iterator[Finding]:
        """Skirt and crank, bores, and what must not be added to them."""
        wish = self.stated.get("skirt_clearance")
        wanted = f"at least {self.said('skirt_clearance', wish)} wanted" if wish else "no least gap is stated"
        right = "the maker needs crank and rod drawings, or check at mock-up; oil jets too"
        yield note("skirt", f"skirt against counterweights at bottom dead centre: {wanted}", right=right)
        if len(self.bores) > 1 and max(self.bores) - min(self.bores) > 0.02e-3:
            wrong = f"bores from {self.said('bore', min(self.bores))} to {self.said('bore', max(self.bores))}"
            yield note(
                "bores", wrong, right="ask whether pistons are fitted to bores one by one, or hone them alike first"
            )
