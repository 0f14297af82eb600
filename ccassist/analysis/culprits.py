"""Why a whole assembly does not hold what its parts add up to: causes that have a size or a direction of their own.

Source of all of them: common practice, no source; screw threads as said.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from ccassist.bench.cell import Cell
from ccassist.bench.slips import ROUND_REFILLS, refill_in
from ccassist.bench.steps.assembly import SEAT
from ccassist.values.measured import Value
from ccassist.values.units import conversion

LEAST = 0.2e-6  # m³; a size is never looked for closer than that
SHARE = 0.6  # of a cause's own size: farther off it is not that cause
USUAL_CREVICE = 0.8e-6  # m³; of a cylinder whose land was not measured
SQUEEZED = 0.2  # of its free thickness; what tightening usually takes off a composite gasket
OVER_THE_BORE = 1.15e-3  # m; by how much a gasket is usually wider than the bore

# Major diameter, pitch and the usual lengths of plug threads [mm].  Pitch diameter d − 0.6495 P: ISO 724 (from memory).
PLUGS = ((14.0, 1.25), (12.0, 1.25), (10.0, 1.0))
REACHES = (12.7, 19.0, 26.5)


@dataclass(frozen=True, kw_only=True)
class Culprit:
    """One cause: in words, what to do, and the difference [m³] it would make (0 where it has no size)."""

    words: str
    remedy: str
    size: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Facts:
    """What the causes are looked for in: the cylinder's terms, the fill of the whole, what is known of it."""

    values: Mapping[str, Value]
    fill: Cell
    crevice_known: bool
    rising: bool

    def number(self, key: str) -> float:
        """A term's SI number; 0 where it is not known."""
        return self.values[key].nominal if key in self.values else 0.0


def culprits(gap: float, near: float, facts: Facts) -> tuple[Culprit, ...]:
    """The likeliest causes of a difference, the likeliest first.

    All whose size fits within the ± are alike likely by it: they stand in the
    trade's order, before what has a direction and no size.

    Parameters
    ----------
    gap : whole less sum of parts, m³.
    near : ± of the difference [m³], NaN where it is not known: how close a cause's size must come.
    facts : the cylinder and its fill.
    """
    refill = refill_in(gap, ROUND_REFILLS, 0.0 if math.isnan(near) else near)
    if refill is not None:
        words = f"a refill of {refill * 1e6:.0f} cc miscounted, in the whole or in a part"
        return (Culprit(words=words, remedy="look at the starts and ends of every refill", size=refill),)
    window = LEAST if math.isnan(near) else max(LEAST, near)
    fitting: dict[str, Culprit] = {}
    for one in sorted(_sized(facts), key=lambda c: abs(gap - c.size)):
        if abs(gap - one.size) <= min(window, SHARE * abs(one.size)):
            fitting.setdefault(one.words, one)
    order = [one.words for one in _sized(facts)]
    known = sorted(fitting.values(), key=lambda c: order.index(c.words))
    general = _low() if gap < 0 else _high(facts)
    first = gap > 0 and facts.rising
    return (general, *known) if first else (*known, general)


def _low() -> Culprit:
    remedy = "tip the plug hole to the highest point, rock, wait, fill again; look whether a part is counted twice"
    return Culprit(words="air trapped in the whole", remedy=remedy)


def _high(facts: Facts) -> Culprit:
    if facts.rising:
        words = "a leak past the rings or a valve, as the timed readings rise"
        return Culprit(words=words, remedy="thicker fluid, or grease the ring ends, and fill again")
    words = "a leak that was not timed, or a gasket thicker than it is taken for"
    return Culprit(words=words, remedy="time the level at 30, 60 and 120 s; measure the gasket compressed")


def _sized(facts: Facts) -> Iterator[Culprit]:
    for find in _SIZED:
        yield from find(facts)


def _crevice(facts: Facts) -> Iterator[Culprit]:
    if not facts.crevice_known:
        words = "the top-land crevice, which the sum of parts does not hold"
        yield Culprit(words=words, remedy="measure the top land", size=USUAL_CREVICE)
        return
    words = "the crevice counted twice, in a ring-sealed fill and in the sum"
    remedy = "look at what sealed the crown when it was filled; and tip out trapped air"
    yield Culprit(words=words, remedy=remedy, size=-facts.number("crevice_volume"))


def _deck(facts: Facts) -> Iterator[Culprit]:
    """A crown given as such may hold the deck clearance; one filled in the bore is worked out with it."""
    if "crown_fill" in facts.values or "crown_volume" not in facts.values:
        return
    deck, crown = facts.number("deck_volume"), facts.number("crown_volume")
    words = "the deck clearance forgotten in the crown, so that the sum holds it twice"
    yield Culprit(words=words, remedy="work the crown out anew: fill − bore area × (drop + deck clearance)", size=-deck)
    words = "the deck clearance with the wrong sign"
    yield Culprit(words=words, remedy="below deck adds space, proud takes it: read it again", size=-2 * deck)
    words = "the crown volume with the wrong sign, dish and dome changed over"
    yield Culprit(words=words, remedy="ask which way the crown's figure is meant", size=-2 * crown)


def _plug(facts: Facts) -> Iterator[Culprit]:
    """The well taken off though it was not filled, or filled though it was not taken off."""
    sign = -1 if facts.fill.choices.get("level") == SEAT else 1
    said = facts.fill.settings.get("plug_well")
    sizes = [said[0].value] if said else list(plug_wells())
    words = "the fill level: the plug's well was " + (
        "taken off, but not filled" if sign < 0 else "filled, but not taken off"
    )
    remedy = "look whether it was filled to the bottom thread or to the plug's seat"
    yield from (Culprit(words=words, remedy=remedy, size=sign * size) for size in sizes)


def plug_wells() -> Iterator[float]:
    """Volumes [m³] of the wells of usual plugs: a cylinder of the thread's pitch diameter and length.

    >>> [round(v * 1e6, 2) for v in plug_wells()][:3]
    [1.73, 2.6, 3.62]
    """
    for major, pitch in PLUGS:
        for reach in REACHES:
            yield math.pi / 4 * (major - 0.6495 * pitch) ** 2 * reach * 1e-9


def _gasket(facts: Facts) -> Iterator[Culprit]:
    """The cylinder's bore taken for the gasket's, the free thickness for the compressed one, or a layer forgotten."""
    thick, area, bore = (facts.number(key) for key in ("gasket_thickness", "gasket_area", "bore"))
    ring = math.pi / 4 * ((bore + OVER_THE_BORE) ** 2 - bore**2)
    remedy = "measure the opening of the sealing ring itself"
    if bore and area and area <= facts.number("bore_area") + ring / 4:
        words = "the cylinder bore taken for the gasket bore, which is wider"
        yield Culprit(words=words, remedy=remedy, size=ring * thick)
    elif bore and area:
        words = "a gasket opening taken too wide: it is no wider than the bore"
        yield Culprit(words=words, remedy=remedy, size=(facts.number("bore_area") - area) * thick)
    words = "the free thickness of the gasket taken for the compressed one"
    size = -SQUEEZED * facts.number("gasket_volume")
    yield Culprit(words=words, remedy="measure the gasket compressed", size=size)
    words = "a second gasket or a shim that the sum of parts does not hold"
    yield Culprit(words=words, remedy="count the layers", size=facts.number("gasket_volume"))


def _units(facts: Facts) -> Iterator[Culprit]:
    """Thou read for hundredths of a millimetre, or the other way."""
    times = conversion("thou").scale / conversion("um").scale / 10
    for key, name in (("gasket_volume", "gasket thickness"), ("deck_volume", "deck clearance")):
        if key == "deck_volume" and "crown_fill" in facts.values:
            continue  # a fill over the piston holds the deck clearance, whatever it is
        words = f"thou and hundredths of a mm mixed up in the {name}"
        for factor in (times - 1, 1 / times - 1):
            size = facts.number(key) * factor
            yield Culprit(words=words, remedy=f"look at the unit of the {name} as it was read", size=size)


_SIZED: tuple[Callable[[Facts], Iterator[Culprit]], ...] = (_crevice, _deck, _plug, _gasket, _units)
