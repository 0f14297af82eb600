"""What is asked: unknowns, and as many targets, among the known numbers of a cylinder; and the engine at any trial.

The model is chosen anew for every trial, since a piston that comes proud, or an offset that is no longer nothing, calls
for other relations.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import field, replace
from functools import cache, cached_property, lru_cache
from itertools import islice

from ccassist.engine.mathematics import Relation, uncertain
from ccassist.engine.model import RELATIONS, Choices, Model, build, chosen
from ccassist.values.findings import Finding, InputError, NotPossible, error, note
from ccassist.values.number import Number, nominal
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record

# A fill over the piston is made once, before anything is altered: what it found stays as found, unless a reading of the
# fill is itself the unknown.
REDUCTIONS = ("space_over_piston", "crown_volume_under_plate", "crevice_in_fill", "chamfer_in_fill")
FILL_READINGS = ("crown_fill", "crown_drop", "crown_and_deck_volume")
NO_ENGINE = (ValueError, ZeroDivisionError, OverflowError, NotPossible)  # what a trial that is no engine ends in
_NUDGE = 1e-4  # of the usual span, for the slope of a figure

Place = Mapping[str, float]  # unknown -> value on trial, SI


@record
class _Way:
    """One choice of relations: the terms that stay wherever the unknowns are, and the steps that move with them.

    figures : those steps that are procedures, which come last.
    """

    model: Model
    still: Mapping[str, float]
    moving: tuple[Relation, ...]
    figures: tuple[Relation, ...]

    def values(self, place: Place, *, figures: bool = True) -> dict[str, float]:
        """All terms, SI, the unknowns at trial values."""
        values = {**self.still, **place}
        for step in (*self.moving, *self.figures) if figures else self.moving:
            values[step.gives] = step(values)
        return values


@record
class Problem:
    """Unknowns and targets among the known numbers of a cylinder.

    present : SI values that the unknowns have now, as far as they have any.
    figures : term key -> a target that is worked out by a procedure, not by the relations of the engine: one more node
        of the graph, which cannot be rearranged and costs much to look at.
    """

    known: Mapping[str, Number]  # term key -> SI number, without the unknowns and the targets
    choices: Choices  # what the builder counts
    unknowns: tuple[str, ...]  # term keys
    targets: Mapping[str, Number]  # as many term keys -> SI value wanted
    present: Mapping[str, float] = field(default_factory=dict)
    held: tuple[str, ...] = ()  # terms kept as a fill over the piston found them
    figures: Mapping[str, Relation] = field(default_factory=dict)

    @cached_property
    def plain(self) -> dict[str, float]:
        """The known numbers as plain floats."""
        return {key: nominal(value) for key, value in self.known.items()}

    @property
    def unknown(self) -> str:
        """The unknown, where there is one."""
        return self.unknowns[0]

    @property
    def target(self) -> str:
        """The target, where there is one."""
        return next(iter(self.targets))

    @property
    def value(self) -> float:
        """What the one target is to be, SI."""
        return nominal(self.targets[self.target])

    def alone(self, unknown: str, target: str, others: Mapping[str, Number] | None = None) -> Problem:
        """One unknown and one target; the other unknowns put in, or left out."""
        return replace(
            self, known={**self.known, **(others or {})}, unknowns=(unknown,), targets={target: self.targets[target]}
        )

    def model(self, place: Place) -> Model | None:
        """The model with the unknowns at trial values; None where no such engine can be drawn.

        >>> wanted = {"swept_volume": 4e-4}
        >>> question = Problem(known={"stroke": 0.08}, choices=Choices(), unknowns=("bore",), targets=wanted)
        >>> [step.gives for step in question.model({"bore": 0.08}).chain][:2]
        ['bore_area', 'piston_travel']
        """
        try:
            way = self._way(place)
            way.values(place, figures=False)
        except NO_ENGINE:
            return None
        return way.model

    def worked(self, place: Place) -> tuple[Model, dict[str, float]] | None:
        """The model and all terms (SI) with the unknowns at trial values; None where the targets cannot be had.

        >>> wanted = {"swept_volume": 4e-4}
        >>> question = Problem(known={"stroke": 0.08}, choices=Choices(), unknowns=("bore",), targets=wanted)
        >>> round(question.worked({"bore": 0.08})[1]["swept_volume"] * 1e6, 1)
        402.1
        """
        try:
            way = self._way(place)
            values = way.values(place)
        except NO_ENGINE:
            return None
        return (way.model, values) if self.targets.keys() <= values.keys() else None

    def values(self, place: Place) -> dict[str, float] | None:
        """The terms alone of :meth:`worked`."""
        worked = self.worked(place)
        return worked[1] if worked else None

    def _way(self, place: Place) -> _Way:
        """What is chosen with the unknowns at trial values."""
        return self._ways(chosen({**self.plain, **place}, self.choices))

    @cached_property
    def _ways(self) -> Callable[[Model], _Way]:
        """Each choice of relations, worked through once for all trials that call for it."""

        def reaching(engine: Model) -> _Way:
            model = engine
            for target in self.targets:
                model = self._reaching(model, target)
            still = self.settled(model)
            moving = [step for step in model.chain if step.gives not in still and step.gives not in self.unknowns]
            return _Way(
                model=model,
                still=still,
                moving=tuple(step for step in moving if step.gives not in self.figures),
                figures=tuple(step for step in moving if step.gives in self.figures),
            )

        return cache(reaching)

    def _reaching(self, model: Model, target: str) -> Model:
        """The model with the target's own relation, where it is a figure beside those of the engine."""
        figure = self.figures.get(target)
        if figure is None:
            return model
        return replace(model, chain=(*(step for step in model.chain if step.gives != target), figure))

    def at(self, trial: float) -> float | None:
        """The one target (SI) at a trial value of the one unknown, or None.

        >>> wanted = {"swept_volume": 4e-4}
        >>> question = Problem(known={"stroke": 0.08}, choices=Choices(), unknowns=("bore",), targets=wanted)
        >>> round(question.at(0.08) * 1e6, 1)
        402.1
        """
        return (self.values({self.unknown: trial}) or {}).get(self.target)

    def settled(self, model: Model) -> dict[str, float]:
        """The terms (SI floats) that do not depend on the unknowns.

        >>> wanted = {"swept_volume": 4e-4}
        >>> question = Problem(known={"stroke": 0.08}, choices=Choices(), unknowns=("bore",), targets=wanted)
        >>> question.settled(question.model({"bore": 0.08}))["piston_travel"]
        0.08
        """
        values = {**dict.fromkeys(model.fixed, 0.0), **self.plain}
        for step in model.chain:
            if step.gives not in values and step.gives not in self.unknowns and step.needed <= values.keys():
                values[step.gives] = step(values)
        return values

    def missed(self, place: Place, model: Model) -> list[Number]:
        """What each target misses at a place taken as exact, SI, with the uncertainty of everything known.

        >>> wanted = {"swept_volume": 4e-4}
        >>> question = Problem(known={"stroke": 0.08}, choices=Choices(), unknowns=("bore",), targets=wanted)
        >>> place = {"bore": 0.08}
        >>> [round(lack * 1e6, 1) for lack in question.missed(place, question.model(place))]
        [2.1]
        """
        there = model.upto(self.targets).evaluate({**self.known, **place}, uncertain())
        return [there[target] - wanted for target, wanted in self.targets.items()]

    def slopes(self, place: Place, model: Model) -> dict[str, dict[str, float]]:
        """Target -> change of it per unit of each of its inputs, SI; of a figure per unit of the unknown only.

        >>> wanted = {"swept_volume": 4e-4}
        >>> question = Problem(known={"stroke": 0.08}, choices=Choices(), unknowns=("bore",), targets=wanted)
        >>> place = {"bore": 0.08}
        >>> round(question.slopes(place, question.model(place))["swept_volume"]["bore"], 5)
        0.01005
        """
        plain = {**self.plain, **place}
        return {
            target: self._slope(place) if target in self.figures else slopes(model, plain, target)
            for target in self.targets
        }

    def _slope(self, place: Place) -> dict[str, float]:
        """Of a figure, between a small step up and down, as far as an engine can be there."""
        low, high = term(self.unknown).plausible
        step, here = _NUDGE * (high - low), place[self.unknown]
        seen = ((x, y) for x in (here + step, here - step, here) if (y := self.at(x)) is not None)
        two = list(islice(seen, 2))  # to either side; an end of what can be only on the inner one
        (x, y), (other, there) = two if len(two) > 1 else ((0.0, 0.0), (1.0, 0.0))
        return {self.unknown: (y - there) / (x - other)}

    def trials(self) -> tuple[float, ...]:
        """A few values of the unknown, the present or a usual one first, that show every choice of relations."""
        usual, possible = term(self.unknown).plausible, term(self.unknown).possible
        now = self.present.get(self.unknown)
        return (*(() if now is None else (now,)), (usual[0] + usual[1]) / 2, *usual, *possible)

    def models(self) -> tuple[Model, ...]:
        """The different models met as the unknown runs over its range, in which the target depends on it."""
        found: dict[tuple[str, ...], Model] = {}
        for trial in self.trials():
            model = self.model({self.unknown: trial})
            if model is not None and self.target in dependents(model, self.unknown):
                found.setdefault(tuple(step.name for step in model.chain), model)
        return tuple(found.values())

    def elsewhere(self, unknown: str) -> list[dict[str, float]]:
        """The other unknowns at several usual places."""
        others = {key: starts(key, self.present.get(key)) for key in self.unknowns if key != unknown}
        return [dict(zip(others, at, strict=True)) for at in zip(*others.values(), strict=False)]

    def moves(self, unknown: str, target: str) -> bool:
        """Whether the unknown moves the target, the other unknowns being anywhere usual.

        >>> wanted = {"swept_volume": 4e-4, "bore_area": 5e-3}
        >>> two = Problem(known={}, choices=Choices(), unknowns=("bore", "stroke"), targets=wanted)
        >>> two.moves("stroke", "swept_volume"), two.moves("stroke", "bore_area")
        (True, False)
        """
        return any(self.alone(unknown, target, at).models() for at in self.elsewhere(unknown))

    def remarks(self, unknown: str, model: Model) -> list[Finding]:
        """What is kept as it was although an unknown might move it."""
        kept: dict[Finding, None] = {}
        for target in self.targets:
            for key in (key for key in self.held if key in model.inputs_of(target) and self.plain[key] != 0):
                kept[note("kept-as-found", f"the {term(key).name} stays as the fill over the piston found it")] = None
            for key in blocking(model, unknown, target):
                if key not in self.unknowns:
                    name = term(unknown).name
                    kept[note("kept-as-given", f"the {term(key).name} stays as given, whatever the {name}")] = None
        return list(kept)


def slopes(model: Model, plain: Mapping[str, float], target: str) -> dict[str, float]:
    """The target's change per unit of each input term, all SI, other inputs kept.

    model : the relations of the cylinder.
    plain : term key -> SI float.
    target : term key.

    Exact derivatives, carried through the relations themselves by the uncertain-number library (the sensitivity
    coefficients of JCGM 100:2008, 5.1.3).  An input with several paths, such as the bore, counts them all.

    >>> from ccassist.engine.model import RELATIONS
    >>> slopes(Model(chain=(RELATIONS["rod_ratio"],)), {"rod_length": 2.0, "stroke": 1.0}, "rod_ratio")
    {'rod_length': 1.0, 'stroke': -2.0}
    """
    from uncertainties import Variable

    inputs = {key: Variable(plain[key], 1.0) for key in model.inputs_of(target) if key in plain}
    derivatives = model.upto([target]).evaluate({**plain, **inputs}, uncertain())[target].derivatives
    return {key: float(derivatives.get(variable, 0.0)) for key, variable in inputs.items()}


def starts(key: str, present: float | None) -> tuple[float, ...]:
    """Values of a term (SI) to start from: the present one, then over its usual range.

    >>> [round(start, 4) for start in starts("rod_ratio", 1.7)][:2]
    [1.7, 2.125]
    """
    low, high = term(key).plausible
    over = tuple(low + (high - low) * part for part in (0.5, 0.25, 0.75, 0.05, 0.95))
    return over if present is None else (present, *over)


@lru_cache(maxsize=1000)
def dependents(model: Model, key: str) -> tuple[str, ...]:
    """The terms that a term moves in this model, in working order.

    >>> from ccassist.engine.model import RELATIONS
    >>> dependents(Model(chain=(RELATIONS["bore_area"], RELATIONS["swept_volume"])), "bore")
    ('bore_area', 'swept_volume')
    """
    moved = {key: None}
    for step in model.chain:
        if step.gives != key and not step.needed.isdisjoint(moved):
            moved[step.gives] = None
    return tuple(moved)[1:]


@cache
def moved_anywhere(key: str) -> frozenset[str]:
    """The terms that a term could move by any relation except the reductions of a fill.

    >>> "static_ratio" in moved_anywhere("bore"), "bore" in moved_anywhere("static_ratio")
    (True, False)
    """
    moved = frozenset({key})
    while True:
        more = {
            step.gives
            for step in RELATIONS.values()
            if step.name not in REDUCTIONS and any(need in moved for need in step.needs)
        }
        if more <= moved:
            return moved
        moved |= more


def blocking(model: Model, unknown: str, target: str) -> list[str]:
    """Terms given as such that would otherwise have passed on what the unknown does."""
    moved = moved_anywhere(unknown)
    return [key for key in model.inputs_of(target) if key in moved and key != unknown and key not in model.fixed]


def held_terms(known: Mapping[str, Number], choices: Choices, asked: Sequence[str]) -> dict[str, Number]:
    """What a fill over the piston found with the parts as they are now, without the terms asked about.

    Raises InputError: no engine can be drawn from what is known.
    """
    try:
        model = build({key: nominal(value) for key, value in known.items()}, choices)
    except (ValueError, ZeroDivisionError):
        raise InputError(no_such_engine(asked[0])) from None
    found = [step.gives for step in model.chain if step.name in REDUCTIONS and step.gives not in asked]
    values = model.upto(found).evaluate(known, uncertain()) if found else {}
    return {key: values[key] for key in found}


def no_such_engine(unknown: str) -> Finding:
    """That nothing can be built from what is given."""
    wrong = f"with what is given no engine can be drawn for any {term(unknown).name}"
    right = "look for a wrong unit or sign, and check stroke, rod length and pin offset"
    return error("no-such-engine", wrong, right=right)
