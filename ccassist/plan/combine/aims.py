"""What a combination must keep to, what it should come close to, and why it cannot be built."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from ccassist.solve.wish import check_once, read_pair
from ccassist.values.display import METRIC, Formatter
from ccassist.values.findings import placed
from ccassist.values.verdict import Band, parse_band
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record

APART = "apart"
REASONS = {
    APART: "parts that belong together are taken apart",
    "no-turn": "the rod is too short for the crank: it cannot turn",
    "piston-too-large": "the piston's top land is no smaller than the bore",
    "gasket-in-bore": "the gasket's bore is smaller than the cylinder's",
    "ring-pack": "the ring pack meets the pin",
    "no-chamber": "the skim takes the whole chamber",
    "proud": "the piston stands proud beyond the gasket",
    "contact": "no squish gap: the piston meets the head",
    "no-clearance": "no clearance volume is left",
}
HOPELESS = (APART, "no-turn", "no-clearance")  # to be no engine at all is not a near miss
SMALL = "face_cut"  # the term in whose units, and steps, a small length is told


@record
class Aim:
    """One thing wanted.

    Attributes
    ----------
    band : limits and aim, SI.
    limits : whether what lies outside the band is refused.
    ranks : whether closeness to the aim ranks what is left.
    """

    band: Band
    limits: bool
    ranks: bool

    @property
    def key(self) -> str:
        """The term wanted."""
        return self.band.key

    @property
    def closed(self) -> bool:
        """Whether the band has two ends apart."""
        return _closed(self.band) and self.band.low < self.band.high

    @property
    def hair(self) -> float:
        """What sums of lengths may be off in the last bits, SI: a gap of 0.9 mm is within "0.9 to 1.1 mm"."""
        return 1e-9 * max(abs(end) for end in (self.band.low, self.band.high, self.band.aim) if math.isfinite(end))

    @property
    def scale(self) -> float:
        """What counts as one step away, SI: half the band or, without one, a tenth of the usual range."""
        half = (self.band.high - self.band.low) / 2
        low, high = term(self.key).plausible
        return half if 0 < half < math.inf else (high - low) / 10


def aims_of(
    wanted: Mapping[str, Band], to: Sequence[str] = (), within: Sequence[str] = (), *, fmt: Formatter = METRIC
) -> list[Aim]:
    """What is wanted by the job and on the command line, which goes before it term by term.

    Parameters
    ----------
    wanted : bands of the job.  They limit, and rank unless something else is to be reached.
    to : texts such as "static_ratio=10.5" that are to be reached; only these rank then.
    within : texts such as "squish=0.9 to 1.1 mm" that are to be kept to.
    system : the unit of bare numbers.

    Raises
    ------
    InputError : a text cannot be read, or two of a sort are of one term.
    """
    reached, kept = (_bands(texts, place, fmt) for texts, place in ((to, "--to"), (within, "--within")))
    asked = {band.key for band in (*reached, *kept)}
    found = [Aim(band=band, limits=band.low < band.high, ranks=True) for band in reached]
    found += [Aim(band=band, limits=True, ranks=False) for band in kept]
    left = [band for key, band in wanted.items() if key not in asked]
    return found + [Aim(band=b, limits=b.low < b.high, ranks=not reached and _closed(b)) for b in left]


def _closed(band: Band) -> bool:
    return math.isfinite(band.low) and math.isfinite(band.high)


def _bands(texts: Sequence[str], place: str, fmt: Formatter) -> list[Band]:
    """The bands of one option, each of a term of its own."""
    pairs = [read_pair(text, place) for text in texts]
    check_once(pairs, texts, place)
    with placed(place):
        return [parse_band(pair.value, pair.key, system=fmt.system) for pair in pairs]


@record
class Rule:
    """One thing for which combinations are refused.

    Attributes
    ----------
    reason : a key of :data:`REASONS`, or the term that is outside what is wanted.
    beyond : by how much it is broken, SI, an array that broadcasts; less than nothing where it is kept.
    key : the term in whose units that amount is.
    step : what counts as one step of it, SI.
    touching : whether nothing is too much already.
    """

    reason: str
    beyond: Any
    key: str
    step: float
    touching: bool = False

    @property
    def broken(self) -> Any:
        """Where it is broken."""
        return self.beyond >= 0 if self.touching else self.beyond > 0


def refusals(values: Mapping[str, Any], aims: Iterable[Aim]) -> Iterator[Rule]:
    """Why combinations cannot be built or are not wanted.

    ``values`` : all terms as SI numbers, or as arrays that broadcast.  What
    needs a term that is not given is not judged.  The gravest comes first.
    """
    yield from _unbuildable(values)
    for aim in aims:
        if aim.limits and aim.key in values:
            value, key = values[aim.key], aim.key
            for beyond in (aim.band.low - aim.hair - value, value - (aim.band.high + aim.hair)):
                yield Rule(reason=key, beyond=beyond, key=key, step=aim.scale)


def _unbuildable(v: Mapping[str, Any]) -> Iterator[Rule]:
    """Common practice, no source: what a builder rejects before looking at any ratio."""

    def rule(reason: str, beyond: Any, key: str, touching: bool = False) -> Rule:
        low, high = term(key).plausible
        return Rule(reason=reason, beyond=beyond, key=key, step=(high - low) / 10, touching=touching)

    if "rod_ratio" in v:
        yield rule("no-turn", term("rod_ratio").possible[0] - v["rod_ratio"], "rod_ratio", True)
    if "piston_travel" in v:  # no number: no such crank
        yield rule("no-turn", (v["piston_travel"] != v["piston_travel"]) * 1.0, "piston_travel")
    if {"land_diameter", "bore"} <= v.keys():
        yield rule("piston-too-large", v["land_diameter"] - v["bore"], SMALL, True)
    if {"gasket_bore", "bore"} <= v.keys():
        yield rule("gasket-in-bore", v["bore"] - v["gasket_bore"], SMALL)
    if {"compression_height", "pin_diameter", "ring_pack_depth"} <= v.keys():
        room = v["compression_height"] - v["pin_diameter"] / 2 - v["ring_pack_depth"]
        yield rule("ring-pack", -room, SMALL)
    if "chamber_volume" in v:
        yield rule("no-chamber", -v["chamber_volume"], "chamber_volume", True)
    if {"deck_clearance", "gasket_thickness"} <= v.keys():
        flat = v.get("squish_step", 0.0) <= 0  # a deeper pad is judged by the squish gap itself
        yield rule("proud", -(v["deck_clearance"] + v["gasket_thickness"]) * flat, SMALL)
    if "squish" in v:
        yield rule("contact", -v["squish"], "squish", True)
    if "clearance_volume" in v:
        yield rule("no-clearance", -v["clearance_volume"], "clearance_volume", True)


def reason_text(reason: str, aims: Iterable[Aim]) -> str:
    """A reason in words."""
    if reason in REASONS:
        return REASONS[reason]
    wanted = next(aim.band.raw for aim in aims if aim.limits and aim.key == reason)
    return f"{term(reason).name} outside what is wanted: {wanted}"
