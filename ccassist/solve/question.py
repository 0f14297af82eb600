"""What is asked: one unknown, one target, and the target at any trial value.

The model is chosen anew for every trial value, since a piston that comes
proud, or an offset that is no longer nothing, calls for other relations.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

from ccassist.engine.mathematics import FLOATS, Mathematics, uncertain
from ccassist.engine.model import Choices, Model, build
from ccassist.engine.relations import RELATIONS
from ccassist.values.findings import Finding, note
from ccassist.values.measured import Number
from ccassist.vocabulary import term

# A fill over the piston is made once, before anything is altered: what it found
# stays as found, unless a reading of the fill is itself the unknown.
REDUCTIONS = ("space_over_piston", "crown_volume_under_plate", "crevice_in_fill", "chamfer_in_fill")
FILL_READINGS = ("crown_fill", "crown_drop", "crown_and_deck_volume")


@dataclass(frozen=True, kw_only=True)
class Question:
    """One unknown and one target among the known numbers of a cylinder.

    Attributes
    ----------
    known : term key -> SI number, without the unknown and the target.
    plain : the same as plain floats.
    choices : what the builder counts.
    unknown, target : term keys.
    present : SI value the unknown has now, or None.
    held : terms kept as a fill over the piston found them.
    """

    known: Mapping[str, Number]
    plain: Mapping[str, float]
    choices: Choices
    unknown: str
    target: str
    present: float | None = None
    held: tuple[str, ...] = ()

    def model(self, trial: float) -> Model | None:
        """The model with the unknown at a trial value (SI); None where no such engine can be drawn."""
        try:
            return self.reaching(build({**self.plain, self.unknown: trial}, self.choices), trial)
        except (ValueError, ZeroDivisionError, OverflowError):
            return None

    def reaching(self, model: Model, trial: float) -> Model:
        """The model with the target's own relation, where the model of one cylinder leaves it out."""
        return _reaching(model, self.target, {**self.plain, self.unknown: trial})

    def values(self, trial: float, model: Model | None = None) -> dict[str, float] | None:
        """All terms (SI floats) with the unknown at a trial value; None where they cannot be had."""
        model = model or self.model(trial)
        return None if model is None else _evaluated(model, {**self.plain, self.unknown: trial})

    def at(self, trial: float) -> float | None:
        """The target (SI) at a trial value of the unknown, or None."""
        return (self.values(trial) or {}).get(self.target)

    def settled(self, model: Model) -> dict[str, float]:
        """The terms (SI floats) that do not depend on the unknown."""
        values = {**dict.fromkeys(model.fixed, 0.0), **self.plain}
        for step in model.chain:
            if step.gives not in values and step.gives != self.unknown and all(need in values for need in step.needs):
                values[step.gives] = step(values)
        return values

    def uncertain_at(self, trial: float, model: Model) -> Number:
        """The target at a trial value taken as exact, with the doubt of everything known."""
        return model.evaluate({**self.known, self.unknown: trial}, uncertain())[self.target]

    def trials(self) -> tuple[float, ...]:
        """A few values of the unknown, the present or a usual one first, that show every choice of relations."""
        usual, possible = term(self.unknown).plausible, term(self.unknown).possible
        middle = (usual[0] + usual[1]) / 2
        first = (middle,) if self.present is None else (self.present, middle)
        return (*first, *usual, *possible)

    def models(self) -> tuple[Model, ...]:
        """The different models met as the unknown runs over its range, in which the target depends on it."""
        found: dict[tuple[str, ...], Model] = {}
        for trial in self.trials():
            model = self.model(trial)
            if model is not None and self.target in dependents(model, self.unknown):
                found.setdefault(tuple(step.name for step in model.chain), model)
        return tuple(found.values())

    def remarks(self, model: Model) -> list[Finding]:
        """What is kept as it was although the unknown might move it."""
        held = [key for key in self.held if key in model.inputs_of(self.target) and self.plain[key] != 0]
        given = blocking(model, self.unknown, self.target)
        return [
            *(
                note("kept-as-found", f"the {term(key).name} stays as the fill over the piston found it")
                for key in held
            ),
            *(
                note("kept-as-given", f"the {term(key).name} stays as given, whatever the {term(self.unknown).name}")
                for key in given
            ),
        ]


def dependents(model: Model, key: str) -> tuple[str, ...]:
    """The terms that a term moves in this model, in working order.

    >>> from ccassist.engine.relations import RELATIONS
    >>> dependents(Model(chain=(RELATIONS["bore_area"], RELATIONS["swept_volume"])), "bore")
    ('bore_area', 'swept_volume')
    """
    moved = [key]
    for step in model.chain:
        if step.gives != key and any(need in moved for need in step.needs):
            moved.append(step.gives)
    return tuple(moved[1:])


def _evaluated(model: Model, known: Mapping[str, Any], m: Mathematics = FLOATS) -> dict[str, Any] | None:
    try:
        return model.evaluate(known, m)
    except (ValueError, ZeroDivisionError, OverflowError):
        return None


def _reaching(model: Model, target: str, plain: Mapping[str, float]) -> Model:
    """The model with the target's own relation, where the model of one cylinder leaves it out (displacement)."""
    if model.relation_of(target) is None:
        values = model.evaluate(plain)
        for step in RELATIONS.values():
            if step.gives == target and all(need in values for need in step.needs):
                return replace(model, chain=(*model.chain, step))
    return model


@cache
def moved_anywhere(key: str) -> frozenset[str]:
    """The terms that a term could move by any relation except the reductions of a fill."""
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
