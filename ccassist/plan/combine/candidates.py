"""The parts that might be fitted, and the engine that they would be fitted to.

What no option says comes from the engine as measured, as the mean of its cylinders.  Options that state the same terms
are worked out together, since they need the same relations: such a set is a :class:`Group`.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import product
from typing import Any

from ccassist.analysis.cylinder import Cylinder, known_of_all
from ccassist.analysis.results import Survey
from ccassist.analysis.which_counts import OPENING
from ccassist.engine.mathematics import uncertain
from ccassist.engine.model import RELATIONS, Choices, build
from ccassist.engine.skim import skimmed
from ccassist.job.vocabulary import CHOICE_TERMS, WEIGHTS
from ccassist.plan.boost.against import Against, against
from ccassist.plan.machining.cuts import wall_doubt
from ccassist.plan.valves.cam_card import cam_card
from ccassist.solve.question import FILL_READINGS, moved_anywhere
from ccassist.solve.request import check_once, read_pair
from ccassist.values.display import METRIC, Formatter
from ccassist.values.findings import Finding, InputError, error, errors, placed
from ccassist.values.measured import Value, computed
from ccassist.values.number import Number, nominal
from ccassist.values.verdict import Band, band_text, parse_band
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record, together

STACK = RELATIONS["deck_clearance_offset"].needs
_ONLY_WHERE_ANY = ("pin_offset", "face_cut")  # nothing of these calls for other relations than some


@record
class Option:
    """One part that might be fitted: its kind, name and what it states; ``together`` : the set it belongs to."""

    kind: str
    name: str
    values: Mapping[str, Value]
    together: str = ""

    @property
    def states(self) -> tuple[str, ...]:
        """The terms that it states and that enter the relations: no weight, and no cut of nothing."""
        return tuple(
            k for k, v in self.values.items() if k != WEIGHTS.get(self.kind) and (k != "face_cut" or v.nominal != 0)
        )

    @property
    def sort(self) -> tuple[object, ...]:
        """What makes options alike: the terms that they state, and which of these are nothing."""
        return (*sorted(self.states), *(k for k in _ONLY_WHERE_ANY if k in self.states and self.values[k].nominal == 0))


@record
class Group:
    """Options that need the same relations."""

    members: tuple[tuple[int, ...], ...]  # for each kind, positions in its list of options, ascending
    given: tuple[tuple[str, ...], ...]  # for each kind, the terms that these options state
    base: Mapping[str, Number]  # everything else, from the engine: term key -> SI number, uncertain


@record
class Candidates:
    """All that is offered: one list of options a kind; ``engine`` and ``choices`` are the engine's own."""

    axes: tuple[tuple[Option, ...], ...]
    engine: Mapping[str, Number]
    choices: Choices
    knock: Against | Finding  # the baseline that its octane is counted from, or why there is none

    @property
    def lengths(self) -> tuple[int, ...]:
        """How many options there are of each kind."""
        return tuple(len(axis) for axis in self.axes)

    def groups(self) -> Iterator[Group]:
        """The options, sorted into sets that need the same relations.

        Raises InputError: the engine does not say what a combination needs.
        """
        for sorts in product(*(_sorted(axis) for axis in self.axes)):
            given = tuple(axis[of[0]].states for axis, of in zip(self.axes, sorts, strict=True))
            states = {key for keys in given for key in keys}
            yield Group(members=sorts, given=given, base=base_of(self.engine, states, self.choices))

    def known(self, parts: Sequence[Option]) -> dict[str, Number]:
        """The uncertain inputs with one option of each kind fitted and the skim made."""
        stated = {key: part.values[key].number for part in parts for key in part.states}
        known = {**base_of(self.engine, set(stated), self.choices), **stated}
        after = skimmed(known, least=not_under)
        if "face_cut" in known and "chamber_volume" in known:
            after["chamber_volume"] = after["chamber_volume"] - _wall_doubt(known)
        return after


def candidates(survey: Survey) -> Candidates:
    """What a job offers.

    Raises InputError: it offers nothing, has no engine to fit it to, or contradicts itself on the cam.
    """
    axes = [
        tuple(
            Option(kind=kind, name=name, values=values, together=survey.job.sets.get(kind, {}).get(name, ""))
            for name, values in options.items()
        )
        for kind, options in survey.offered.items()
        if options
    ]
    if not axes:
        right = '[choice.gasket.thin] with gasket_thickness = "0.7 mm, maker\'s figure", one block a part'
        raise InputError(error("no-choice", "no parts to choose from", file=survey.job.file, right=right))
    card = cam_card(survey)
    if errors(card.findings):
        raise InputError(errors(card.findings))
    known = known_of_all(survey.cylinders, [inputs_of(c) for c in survey.cylinders])
    engine = {**known, "cylinders": float(survey.job.cylinders)}
    if card.intake_closing is not None:
        engine["intake_closing"] = card.intake_closing.number
    choices = survey.cylinders[0].choices
    return Candidates(axes=tuple(axes), engine=engine, choices=choices, knock=against(survey))


def _wall_doubt(known: Mapping[str, Number]) -> Number:
    """How far a skim by upright walls may be out [m³]."""
    area, cut, chamber = (nominal(known[key]) for key in ("chamber_area", "face_cut", "chamber_volume"))
    pad = nominal(known["squish_step"]) if "squish_step" in known else None
    return wall_doubt(area, cut, chamber, whose="the skim", pad=pad)


def _sorted(axis: Sequence[Option]) -> list[tuple[int, ...]]:
    return [tuple(places) for places in together((one.sort, place) for place, one in enumerate(axis)).values()]


def inputs_of(cylinder: Cylinder) -> dict[str, Number]:
    """What is known of a cylinder; a fill over the piston is kept as the net crown that it found."""
    known = dict(cylinder.known)
    crown = cylinder.values.get("crown_volume")
    if crown is None:
        return known
    return {**{k: n for k, n in known.items() if k not in FILL_READINGS}, "crown_volume": crown.number}


def base_of(engine: Mapping[str, Number], states: set[str], choices: Choices) -> dict[str, Number]:
    """What stays of the engine when options state these terms."""
    base = dict(engine)
    moved_stack = states & set(STACK)
    if moved_stack and "deck_clearance" in base:
        _release_deck(base, moved_stack, choices)
    if (moved_stack or states & {"bore", "crown_volume"}) and "crown_volume" not in base:
        base = {key: n for key, n in base.items() if key not in FILL_READINGS}
    replaced = {k for keys in CHOICE_TERMS.values() for key in states.intersection(keys) for k in _told_by(key, keys)}
    base = {key: n for key, n in base.items() if key not in replaced}
    if "face_cut" in states and "chamber_area" not in states and "chamber_area" not in base:
        wrong = f"a skim takes volume by the {term('chamber_area').name}, which is not given"
        raise InputError(error("missing-value", wrong, right='chamber_area = "46 cm²" for the engine or the head'))
    return base


def _told_by(key: str, keys: Sequence[str]) -> set[str]:
    """The terms of one part that speak of the same thing as a term: a gasket's volume, and its area and thickness."""
    alike = OPENING if key in OPENING else (key,)
    return {k for k in keys if k in alike or k in moved_anywhere(key) or key in moved_anywhere(k)}


def _release_deck(base: dict[str, Number], moved: set[str], choices: Choices) -> None:
    """Turn a measured deck clearance into the block height that it speaks of, so that other parts may move it.

    The stack of lengths is one block height less the rest: the clearance measured less that of the same parts on a
    block of no height is the height.
    """
    clearance = base.pop("deck_clearance")
    if "block_deck_height" in moved:
        return
    stack = {key: base[key] for key in STACK if key in base}
    if "compression_height" not in stack and "compression_height" not in moved:
        stack["compression_height"] = base["compression_height"] = 0.0  # the same before and after: it cancels
    bare = {**stack, "block_deck_height": 0.0}
    model = build({key: nominal(number) for key, number in bare.items()}, choices)
    if model.relation_of("deck_clearance") is not None:
        base["block_deck_height"] = clearance - model.evaluate(bare, uncertain())["deck_clearance"]


def not_under(number: Number, bound: float) -> Number:
    return number if nominal(number) > bound else bound


# How much heavier or lighter the parts of a combination are than the engine's own.


def weight_changes(offered: Candidates, parts: Sequence[Option]) -> Mapping[str, Value]:
    """Kind of part -> its change of weight [kg], where both weights are given; the engine's own part changes nothing.

    The engine's own weight is what its option states (one that states nothing else), or what the engine states.
    """
    found: dict[str, Number] = {}
    for axis, part in zip(offered.axes, parts, strict=True):
        own, key = _own_weight(offered, axis), WEIGHTS.get(part.kind)
        if key is None or own is None:
            continue
        if not part.states:
            found[part.kind] = 0.0
        elif key in part.values:
            found[part.kind] = part.values[key].number - own
    return {kind: computed("weight_change", number) for kind, number in found.items()}


def _own_weight(offered: Candidates, axis: Sequence[Option]) -> Number | None:
    key = WEIGHTS.get(axis[0].kind, "")
    stated = [option.values[key].number for option in axis if not option.states and key in option.values]
    return stated[0] if stated else offered.engine.get(key)


# What a combination must keep to, what it should come close to, and why it cannot be built.

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
    """One thing wanted."""

    band: Band  # limits and aim, SI
    limits: bool  # whether what lies outside the band is refused
    ranks: bool  # whether closeness to the aim ranks what is left

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

    wanted : bands of the job.  They limit, and rank unless something else is to be reached.
    to : texts such as "static_ratio=10.5" that are to be reached; only these rank then.
    within : texts such as "squish=0.9 to 1.1 mm" that are to be kept to.
    system : the unit of bare numbers.

    Raises InputError: a text cannot be read, or two of a sort are of one term.
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
class RefusalRule:
    """One thing for which combinations are refused."""

    reason: str  # a key of :data:`REASONS`, or the term that is outside what is wanted
    beyond: Any  # by how much it is broken, SI, an array that broadcasts; less than nothing where it is kept
    key: str  # the term in whose units that amount is
    step: float  # what counts as one step of it, SI
    touching: bool = False  # whether nothing is too much already

    @property
    def broken(self) -> Any:
        """Where it is broken."""
        return self.beyond >= 0 if self.touching else self.beyond > 0


def refusals(values: Mapping[str, Any], aims: Iterable[Aim]) -> Iterator[RefusalRule]:
    """Why combinations cannot be built or are not wanted.

    ``values`` : all terms as SI numbers, or as arrays that broadcast.  What needs a term that is not given is not
    judged.  The gravest comes first.
    """
    yield from _unbuildable(values)
    for aim in aims:
        if aim.limits and aim.key in values:
            value, key = values[aim.key], aim.key
            for beyond in (aim.band.low - aim.hair - value, value - (aim.band.high + aim.hair)):
                yield RefusalRule(reason=key, beyond=beyond, key=key, step=aim.scale)


def _unbuildable(v: Mapping[str, Any]) -> Iterator[RefusalRule]:
    """Common practice, no source: what a builder rejects before looking at any ratio."""

    def rule(reason: str, beyond: Any, key: str, touching: bool = False) -> RefusalRule:
        low, high = term(key).plausible
        return RefusalRule(reason=reason, beyond=beyond, key=key, step=(high - low) / 10, touching=touching)

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


def reason_text(reason: str, aims: Iterable[Aim], fmt: Formatter) -> str:
    """A reason in words."""
    if reason in REASONS:
        return REASONS[reason]
    band = next(aim.band for aim in aims if aim.limits and aim.key == reason)
    return f"{term(reason).name} outside what is wanted: {band_text(band, fmt)}"
