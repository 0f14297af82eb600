"""What is to be confirmed with the piston maker: room, metal and gaps, told as questions and never as permission.

A finding at warning level is a number that does not fit what is stated; a note is something that only the maker, or a
mock-up, can answer. Source: common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from ccassist.analysis.cylinder import Cylinder
from ccassist.analysis.results import Survey
from ccassist.engine.model import Choices, build
from ccassist.engine.skim import skim_volume
from ccassist.job.sections import DECIDABLE, ORDER
from ccassist.job.vocabulary import purposes_of
from ccassist.plan.piston.fields import ASSUMED, LEFT, MISSING, NOT_SAID, SheetRow
from ccassist.plan.piston.fits import Judged
from ccassist.plan.piston.fits_valves import MOCK_UP, valves_to_confirm
from ccassist.plan.piston.specification import RATIO, Specification, specify
from ccassist.values.display import Formatter
from ccassist.values.findings import Finding, note, whose
from ccassist.values.number import nominal
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record, together
from ccassist.vocabulary.units import Origin


def to_confirm(spec: Specification, fmt: Formatter, found: Judged) -> tuple[Finding, ...]:
    """Every check, those that do not fit first, then what only the maker or a mock-up can answer."""
    asked = _ToConfirm(spec, fmt)
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


class _ToConfirm:
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
        counted = first.choices.said["crevice"]
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


# What is not settled of a piston order, with the way out: fields of one kind together, so that many stay readable.

_CROWN = next(section.keys for section in ORDER if section.name == "order.crown")


def open_points(spec: Specification, made: Sequence[SheetRow]) -> tuple[str, ...]:
    """Why the order cannot be final, each once; empty where it can."""
    points = [*spec.refused, *_unsettled(made)]
    for one in spec.ordered().values():
        if one.tolerance.size is None:
            points.append(f"no tolerance for the {term(one.key).name}: {one.tolerance.reason}")
    points += _unknown_spread(spec)
    return tuple(dict.fromkeys(points))


def _unsettled(made: Sequence[SheetRow]) -> Iterator[str]:
    """Fields that are not settled, those of one kind together, each with the way out."""
    for kind in (MISSING, ASSUMED, NOT_SAID, LEFT):
        left = [row for row in made if row.unsettled == kind]
        for who, several in together((row.who if kind in (MISSING, LEFT) else "", row) for row in left).items():
            yield _together(kind, who, several)


def _together(kind: str, who: str, several: Sequence[SheetRow]) -> str:
    """Fields of one kind in one line: what is the matter, their names, what to do."""
    names, it = ", ".join(row.name for row in several), "them" if len(several) > 1 else "it"
    match kind:
        case "missing":
            return f"missing, for {who} to say: {_say_them(several, it)}"
        case Origin.ASSUMED:
            whose_are = "whose figures they are" if len(several) > 1 else "whose figure it is"
            return f"assumed: {names}: measure {it}, or state {whose_are}, such as “, maker's figure”"
        case Origin.NOT_SAID:
            return f"given without origin: {names}: say of {it} where the figure is from, such as “, maker's figure”"
        case _:
            return f"to be decided by {who}: {names}: have {it} decided, then say {it} instead"


def _say_them(several: Sequence[SheetRow], it: str) -> str:
    """What is missing, with where it is said; what may be left to the maker is marked where not all may."""
    may = [row for row in several if row.entry.maker]
    names = ", ".join(f"{row.name}{'*' if row in may and len(may) < len(several) else ''}" for row in several)
    places = dict.fromkeys(_place(row.entry.key) for row in several)
    left = f"leave {it}" if len(may) == len(several) else "leave what is marked *"
    rest = f", or {left} to the maker under [order.to_decide]" if may else ""
    return f"{names}: say {it} under {' or '.join(places)}{rest}"


def _place(key: str) -> str:
    """The table of the job file in which a field of the order is said."""
    if key in _CROWN:
        return "[order.crown]"
    return "[order]" if key in DECIDABLE else "[engine], where it is not measured"


def _unknown_spread(spec: Specification) -> Iterator[str]:
    for key in (RATIO, "squish"):
        found = {c.number: c.values[key] for c in spec.planned.cylinders if key in c.values}
        numbers = [number for number, value in found.items() if math.isnan(value.expanded)]
        if numbers:
            where = whose(numbers)
            yield f"the ± of the {term(key).name} is not known yet in {where}: take the repeats that show asks for"


# What the mistakes that ruin a set of pistons would come to on this very engine, each through the model.
#
# Two kinds.  A mistake in the sum gives another crown volume, which the true engine then gets: the crown ordered
# differs by just the space that the wrong sum sees too little or too much of.  A part that is not as stated, or is cut
# after the order went out, leaves the piston and changes the engine. Source: the list of mistakes and their effect on
# trade example C1 (common practice, recomputed).

THICKER_WHEN_FREE = 0.3e-3  # m, where the free thickness is not stated: assumed
LONGER, SHORTER = 1e-3, -2e-3  # m, of the rods
DECK_SKIM, HEAD_SKIM = 0.15e-3, 0.25e-3  # m


@record
class Mistake:
    """One mistake and what it leads to.

    ratio, squish : what the true engine then has, SI; None where it cannot be worked out.
    """

    key: str  # stable name
    words: str  # what is done wrong; amounts stand in ``sizes``
    crown: float  # the crown volume that would be cut, SI
    ratio: float | None
    squish: float | None
    sizes: tuple[tuple[str, float], ...] = ()  # amounts named in the words, as (term, SI value)
    assumed: str = ""  # what had to be assumed for it, in words


def told(one: Mistake, fmt: Formatter) -> str:
    """What is done wrong, with its amounts, and what was assumed for it."""
    words = one.words.format(*(fmt.show(key, size, words=False) for key, size in one.sizes))
    return f"{words} ({one.assumed})" if one.assumed else words


def mistakes(cylinder: Cylinder, *, free_thickness: float | None = None) -> tuple[Mistake, ...]:
    """Every mistake that can be made with this cylinder.

    cylinder : with the ordered piston in it.
    free_thickness : of the gasket before tightening, SI, where it is known.
    """
    true = _PlainEngine.of(cylinder)
    if true is None:
        return ()
    found = [*_in_the_sum(true, free_thickness), *_in_the_parts(true)]
    return tuple(one for one in found if one is not None and one.ratio is not None)


@record
class _PlainEngine:
    """A cylinder as plain SI numbers, and all that follows from them."""

    known: Mapping[str, float]
    choices: Choices
    values: Mapping[str, float]

    @classmethod
    def of(cls, cylinder: Cylinder) -> _PlainEngine | None:
        """The true engine; None where its clearance volume or crown volume is not known."""
        inputs = {key: nominal(number) for key, number in cylinder.known.items()}
        made = cls(known=inputs, choices=cylinder.choices, values={})._with(inputs)
        return made if made and {"clearance_volume", "crown_volume", "static_ratio"} <= set(made.values) else None

    def _with(self, known: Mapping[str, float]) -> _PlainEngine | None:
        try:
            model = build(known, self.choices)
            return replace(self, known=known, values=model.evaluate(known))
        except (ValueError, ZeroDivisionError):
            return None

    def changed(self, **by: float) -> _PlainEngine | None:
        """The engine with some of its inputs at other values; relations are chosen anew."""
        return self._with({**self.known, **by})

    def without(self, *keys: str, **instead: float) -> _PlainEngine | None:
        """The engine without some inputs and with others in their place."""
        return self._with({**{key: value for key, value in self.known.items() if key not in keys}, **instead})


def _in_the_sum(true: _PlainEngine, free: float | None) -> list[Mistake | None]:
    """Mistakes that lead to another crown volume."""
    crown = true.values["crown_volume"]
    thickness = true.values.get("gasket_thickness")
    thick = free if free is not None else None if thickness is None else thickness + THICKER_WHEN_FREE
    found = [
        _cut(true, -crown, "sign", "the sign flipped: a dish cut as a dome, or a dome as a dish") if crown else None,
        _summed(true, true.changed(gasket_volume=0.0), "no-gasket", "the gasket forgotten in the sum"),
        _summed(true, true.changed(deck_volume=0.0), "no-deck", "the deck volume left out of the sum"),
    ]
    if true.values.get("crevice_counted"):
        left_out = true.changed(crevice_counted=0.0)
        found.append(_summed(true, left_out, "no-crevice", "the crevice left out of the sum though it is counted"))
    if "gasket_volume" not in true.known and thickness is not None and thick is not None:
        assumed = "" if free is not None else "free thickness assumed: it is not stated"
        one = _summed(true, true.changed(gasket_thickness=thick), "free-gasket", "the free gasket thickness, {}, used")
        found.append(one and replace(one, sizes=(("gasket_thickness", thick),), assumed=assumed))
        shapes = ("gasket_bore", "gasket_area", "gasket_long", "gasket_short")
        bore = true.without(*shapes, gasket_bore=true.values["bore"])
        found.append(_summed(true, bore, "bore-for-gasket", "the cylinder bore used for the gasket's opening"))
    return found


def _in_the_parts(true: _PlainEngine) -> list[Mistake | None]:
    """Parts that are not as stated, or are cut after the order went out."""
    found: list[Mistake | None] = []
    for key, by, words in (
        ("long-rods", LONGER, "rods {} longer than stated"),
        ("short-rods", SHORTER, "rods {} shorter than stated"),
    ):
        if "rod_length" in true.known and "deck_clearance" not in true.known:
            other = true.changed(rod_length=true.known["rod_length"] + by)
            found.append(_fitted(true, other, key, words, ("rod_width", abs(by))))
    if "block_deck_height" in true.known:
        other = true.changed(block_deck_height=true.known["block_deck_height"] - DECK_SKIM)
        found.append(_fitted(true, other, "block-skim", "block skimmed {} after ordering", ("face_cut", DECK_SKIM)))
    if "chamber_volume" in true.known:
        opening = true.values.get("chamber_area")
        area = true.values["bore_area"] if opening is None else opening
        other = true.changed(chamber_volume=true.known["chamber_volume"] - skim_volume(area, HEAD_SKIM))
        one = _fitted(true, other, "head-skim", "head skimmed {} after ordering", ("face_cut", HEAD_SKIM))
        assumed = "" if opening is not None else "bore area taken for the chamber's opening: it is not stated"
        found.append(one and replace(one, assumed=assumed))
    return found


def _summed(true: _PlainEngine, believed: _PlainEngine | None, key: str, words: str) -> Mistake | None:
    """What a wrong sum leads to: the crown makes up for the space that it does not see."""
    if believed is None or "clearance_volume" not in believed.values:
        return None
    missed = true.values["clearance_volume"] - believed.values["clearance_volume"]
    if math.isclose(missed, 0.0, abs_tol=1e-12):
        return None
    return _cut(true, true.values["crown_volume"] + missed, key, words)


def _cut(true: _PlainEngine, crown: float, key: str, words: str) -> Mistake | None:
    return _fitted(true, true.changed(crown_volume=crown), key, words)


def _fitted(
    true: _PlainEngine, other: _PlainEngine | None, key: str, words: str, size: tuple[str, float] | None = None
) -> Mistake | None:
    """What the engine is then; nothing to say where it cannot be worked out or stays the same."""
    if other is None or other.values.get("clearance_volume", 0.0) <= 0:
        return None
    return Mistake(
        key=key,
        words=words,
        sizes=() if size is None else (size,),
        crown=other.values["crown_volume"],
        ratio=other.values.get("static_ratio"),
        squish=other.values.get("squish"),
    )


# The engine with the pistons to be ordered in it, for whatever is asked of it before they are made.


def with_ordered_pistons(survey: Survey, *, to_be_made: bool = False) -> tuple[Survey, tuple[Finding, ...]]:
    """The job with the pistons to be ordered in it, and a note that says so.

    Of a job for pistons, whose engine has no ratio yet; where the question is of parts ``to_be_made``, of every job
    that orders pistons.  Any other job, and one whose order cannot be worked out yet, is given back as it is.
    """
    meant = "pistons" in purposes_of(survey.job.about)
    ordering = any(name.startswith("order") for name in (*survey.stated, *survey.job.said))
    has_ratio = any(RATIO in c.values for c in survey.cylinders)
    if not (meant or ordering if to_be_made else meant and not has_ratio):
        return survey, ()
    spec = specify(survey)
    if len(spec.ordered()) < 2:
        return survey, ()
    wrong = "the pistons are those to be ordered, not measured ones"
    return spec.planned, (note("ordered-pistons", wrong, right="measure those that come, and state them"),)
