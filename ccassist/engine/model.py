"""Which relations join what is known to what is wanted.

Relations have no branches: a choice (offset or not, crevice counted or not, crown measured or given) picks one of them
here, before anything is computed.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import field
from functools import cached_property, lru_cache
from typing import NamedTuple, cast

from ccassist.engine import relations, slider_crank  # these enter their relations
from ccassist.engine.mathematics import FLOATS, RELATIONS, Mathematics, Relation
from ccassist.values.number import N
from ccassist.vocabulary.record import record

__all__ = ["RELATIONS", "RESULTS", "Choices", "Model", "build", "chosen", "lacking_for", "relations", "slider_crank"]


@record
class Choices:
    """What the builder counts and how the crown fill was sealed.

    ``crevice`` and ``chamfer`` : counted (True), not counted (False).
    """

    crevice: bool = True
    chamfer: bool = True
    seal: str = ""  # "ring", "grease", or "" where no fill was made over the piston

    @property
    def said(self) -> dict[str, str]:
        """Of crevice and chamfer, whether each is counted, in words."""
        counts = {"crevice": self.crevice, "chamfer": self.chamfer}
        return {key: "counted" if on else "not counted" for key, on in counts.items()}


@record
class Model:
    """The relations of one cylinder, in the order in which they can be worked out.

    ``fixed`` holds terms that a choice makes exactly nothing, with the reason; ``known`` those that are given.
    """

    chain: tuple[Relation, ...]
    fixed: Mapping[str, str] = field(default_factory=dict)
    known: frozenset[str] = frozenset()

    __eq__, __hash__ = object.__eq__, object.__hash__  # what is worked out of a choice of relations is kept by it

    @cached_property
    def had(self) -> frozenset[str]:
        """All terms that are given or follow."""
        return frozenset((*self.known, *self.fixed, *self.makers))

    @cached_property
    def makers(self) -> dict[str, Relation]:
        """The relation of each term that follows."""
        return {step.gives: step for step in self.chain}

    @cached_property
    def lacking(self) -> dict[str, tuple[str, ...]]:
        """For each result that cannot be had what is not given."""
        unasked = {"displacement", *(() if "intake_closing" in self.known else ("trapped_ratio",))}
        return {key: lacking_for(key, self.had) for key in RESULTS if key not in self.had and key not in unasked}

    def upto(self, keys: Iterable[str]) -> Model:
        """Only the relations that these terms need: where many numbers are dear, the others are not worked out.

        >>> [step.gives for step in build({"bore": 0.08, "stroke": 0.09}, Choices()).upto(["swept_volume"]).chain]
        ['piston_travel', 'swept_volume']
        """
        needed, chain = set(keys), list[Relation]()
        for step in reversed(self.chain):
            if step.gives in needed:
                needed |= step.needed
                chain.append(step)
        return Model(chain=tuple(reversed(chain)), fixed=self.fixed, known=self.known)

    def evaluate(self, known: Mapping[str, N], m: Mathematics = FLOATS) -> dict[str, N]:
        """All terms that follow from the known ones, in SI; known ones win.

        Source: that of each relation.

        >>> known = {"bore": 0.0834, "stroke": 0.0917}
        >>> round(build(known, Choices()).evaluate(known)["swept_volume"] * 1e6, 2)
        500.95
        """
        values = {**dict.fromkeys(self.fixed, cast(N, 0.0)), **known}
        for step in self.chain:
            if step.gives not in known:
                values[step.gives] = step(values, m)
        return values

    def relation_of(self, key: str) -> Relation | None:
        """The relation that gives a term here, or None where it is an input.

        >>> build({"bore": 0.0834}, Choices()).relation_of("bore_area").title
        'Area of the bore: π/4 × bore²'
        """
        return self.makers.get(key)

    def inputs_of(self, key: str) -> tuple[str, ...]:
        """The input terms on which a term depends, each once, in the order met.

        >>> build({"bore": 0.0834, "stroke": 0.0917}, Choices()).inputs_of("swept_volume")
        ('bore', 'stroke')
        """
        found: dict[str, None] = {}

        def walk(name: str) -> None:
            step = self.relation_of(name)
            if step is None:
                found.setdefault(name)
            else:
                for need in step.needs:
                    walk(need)

        walk(key)
        return tuple(found)


class _Case(NamedTuple):
    """All that decides between relations that fit: choices, whether the pin is offset, and a proud piston uncounted."""

    crevice: bool
    chamfer: bool
    seal: str
    offset: bool
    proud: bool = False


def _offset(case: _Case) -> bool:
    return case.offset


def _always(case: _Case) -> bool:
    return True


# In working order; of two that give the same term the first that applies is taken.
_PREFERENCE: tuple[tuple[str, Callable[[_Case], bool]], ...] = (
    ("bore_area", _always),
    ("piston_travel_offset", _offset),
    ("piston_travel_centred", _always),
    ("swept_volume", _always),
    ("deck_clearance_offset", _offset),
    ("deck_clearance_centred", _always),
    ("gasket_area_ellipse", _always),
    ("gasket_area_round", _always),
    ("gasket_volume", _always),
    ("deck_volume_proud_uncounted", lambda case: case.proud),
    ("deck_volume", _always),
    ("crevice_volume", _always),
    ("crevice_counted", lambda case: case.crevice),
    ("crevice_in_fill", lambda case: case.seal == "ring"),
    ("chamfer_counted", lambda case: case.chamfer),
    ("chamfer_in_fill", _always),
    ("space_over_piston", _always),
    ("crown_volume_under_plate", _always),
    ("clearance_volume", _always),
    ("clearance_volume_over_fill", _always),
    ("bdc_volume", _always),
    ("static_ratio", _always),
    ("closing_drop_offset", _offset),
    ("closing_drop_centred", _always),
    ("trapped_ratio", _always),
    ("squish", _always),
    ("displacement", _always),
    ("mean_piston_speed", _always),
    ("rod_ratio", _always),
    ("bore_stroke_ratio", _always),
)

RESULTS = (
    "swept_volume", "clearance_volume", "static_ratio", "trapped_ratio", "deck_clearance", "squish",
    "mean_piston_speed", "rod_ratio", "bore_stroke_ratio", "displacement",
)  # fmt: skip


def _fixed(known: Collection[str], case: _Case) -> dict[str, str]:
    """Terms that are exactly nothing by choice or because nothing of the kind is there."""
    fixed: dict[str, str] = {}
    if not case.crevice:
        fixed["crevice_counted"] = "not counted"
    if not case.chamfer:
        fixed["chamfer_counted"] = "not counted"
    if case.seal != "ring":
        fixed["crevice_in_fill"] = "kept out by the grease"
    for key, reason in (
        ("chamfer_volume", "no chamfer named"),
        ("extra_volume", "none named"),
        ("squish_step", "no step named"),
    ):
        if key not in known:
            fixed[key] = reason
    land_known = "crevice_volume" in known or {"land_diameter", "land_height", "bore"} <= set(known)
    if case.crevice and case.seal == "ring" and not land_known and "crown_volume" not in known:
        # The fill already holds the crevice: counting it again and taking it out again is nothing. A crown given by
        # itself holds none: then the land must be known.
        fixed["crevice_counted"] = "inside the ring-sealed fill"
        fixed["crevice_in_fill"] = "stays inside the ring-sealed fill"
    return fixed


def build(known: Mapping[str, float], choices: Choices) -> Model:
    """The model of one cylinder that can be drawn.

    known : term key -> nominal SI value of everything measured or given.
    choices : what is counted, and the seal of the crown fill.

    Raises what a relation raises where no such engine can be drawn.  Source: the order of :data:`_PREFERENCE`; common
    practice, no source.

    >>> [step.name for step in build({"bore": 0.0834, "stroke": 0.0917}, Choices(chamfer=False)).chain][:3]
    ['bore_area', 'piston_travel_centred', 'swept_volume']
    """
    model = chosen(known, choices)
    model.evaluate(known)
    return model


def chosen(known: Mapping[str, float], choices: Choices) -> Model:
    """The relations of one cylinder, chosen by what is known; whether they can be worked out is not looked at.

    known : SI, and choices : as of :func:`build`.

    Source: as :func:`build`.

    >>> "piston_travel_offset" in [step.name for step in chosen({"bore": 0.08, "stroke": 0.09}, Choices()).chain]
    False
    """
    keys, offset = frozenset(known), known.get("pin_offset", 0.0) != 0.0
    case = _Case(choices.crevice, choices.chamfer, choices.seal, offset)
    model = _chosen(keys, case)
    if choices.crevice or _deck(model, known) >= 0.0:
        return model
    return _chosen(keys, case._replace(proud=True))


def _deck(model: Model, known: Mapping[str, float]) -> float:
    """The deck clearance, as given or of the stack; nothing where neither says it."""
    step = model.relation_of("deck_clearance")
    return known.get("deck_clearance", 0.0) if step is None else step(known)


@lru_cache(maxsize=1000)
def _chosen(known: frozenset[str], case: _Case) -> Model:
    """The first relation of each term that applies and of which all is had, in working order."""
    fixed = _fixed(known, case)
    had = {*fixed, *known}
    chain: list[Relation] = []
    blocked_net_crown = fixed.get("crevice_counted") == "inside the ring-sealed fill"
    for name, applies in _PREFERENCE:
        step = RELATIONS[name]
        if step.gives in had or not applies(case):
            continue
        if name == "crown_volume_under_plate" and blocked_net_crown:
            continue  # the land is not known, so crown and crevice cannot be told apart
        if had >= step.needed:
            had.add(step.gives)
            chain.append(step)
    return Model(chain=tuple(chain), fixed=fixed, known=known)


def lacking_for(key: str, known: Collection[str], seen: frozenset[str] = frozenset()) -> tuple[str, ...]:
    """Which inputs would have to be given for a term, by its plainest relation, where these terms are known.

    >>> lacking_for("swept_volume", ["bore"])
    ('stroke',)
    """
    makers = [RELATIONS[name] for name, _ in _PREFERENCE if RELATIONS[name].gives == key]
    if not makers or key in seen or key in _ASKED_DIRECTLY:
        return (key,)
    by_parts = key == "clearance_volume" and "crown_and_deck_volume" not in known
    needs = makers[0].needs if by_parts else makers[-1].needs
    found: dict[str, None] = {}
    for need in needs:
        if need not in known:
            for lack in lacking_for(need, known, seen | {key}):
                found.setdefault(lack)
    return tuple(found)


# What a user would be asked for by name, rather than for the parts it is made of.
_ASKED_DIRECTLY = {"crown_volume", "deck_clearance", "crown_and_deck_volume"}
