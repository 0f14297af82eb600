"""What is asked: one unknown, one target, and the target at any trial value.

The model is chosen anew for every trial value, since a piston that comes
proud, or an offset that is no longer nothing, calls for other relations.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

from ccassist.engine.mathematics import FLOATS, Mathematics, uncertain
from ccassist.engine.model import Choices, Model, build, lacking_for
from ccassist.engine.relations import RELATIONS
from ccassist.values.asking import instead
from ccassist.values.findings import Finding, InputError, error, note
from ccassist.values.number import Number, nominal
from ccassist.vocabulary import TERMS, term

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


# Whether a question is sound, and what is wrong with it where it is not.


def ask(known: Mapping[str, Number], choices: Choices, *, unknown: str, target: str) -> Question:
    """The question, once it is sound.

    Parameters
    ----------
    known : term key -> SI number, floats or uncertain numbers.
    choices : what the builder counts, and the seal of the crown fill.
    unknown, target : term keys.

    Raises
    ------
    InputError : unknown and target are the same, a needed input is not given,
        or the target does not depend on the unknown.
    """
    for key in (unknown, target):
        if key not in TERMS:
            raise InputError(error("unknown-term", "no such term", read=key, right=instead(key)))
    if unknown == target:
        raise InputError(
            error(
                "same-term",
                f"the {term(target).name} is both the target and the unknown",
                right="name another term to solve for",
            )
        )
    held = {} if unknown in FILL_READINGS else held_terms(known, choices, (unknown, target))
    numbers = {key: value for key, value in {**known, **held}.items() if key not in (unknown, target)}
    question = Question(
        known=numbers,
        plain={key: nominal(value) for key, value in numbers.items()},
        choices=choices,
        unknown=unknown,
        target=target,
        held=tuple(held),
        present=nominal(known[unknown]) if unknown in known else None,
    )
    if not question.models():
        raise InputError(fault(question))
    return question


def check_target(target: str, value: float) -> None:
    """That the target can have the value wanted (SI) at all.

    Raises
    ------
    InputError : it cannot.
    """
    low, high = term(target).possible
    if not low <= value <= high:
        raise InputError(error("impossible-target", f"no {term(target).name} can be that", right="set another target"))


def no_such_engine(unknown: str) -> Finding:
    """That nothing can be built from what is given."""
    return error(
        "no-such-engine",
        f"with what is given no engine can be drawn for any {term(unknown).name}",
        right="look for a wrong unit or sign, and check stroke, rod length and pin offset",
    )


def cancels_out(question: Question) -> Finding:
    """That the target stays where it is although the unknown enters it."""
    return _no_influence(question, "what it gives in one place it takes in another")


def _no_influence(question: Question, right: str) -> Finding:
    unknown, target = term(question.unknown).name, term(question.target).name
    return error("no-influence", f"the {target} does not depend on the {unknown} here", right=right)


def held_terms(known: Mapping[str, Number], choices: Choices, asked: Sequence[str]) -> dict[str, Number]:
    """What a fill over the piston found with the parts as they are now, without the terms asked about.

    Raises
    ------
    InputError : no engine can be drawn from what is known.
    """
    try:
        model = build({key: nominal(value) for key, value in known.items()}, choices)
    except (ValueError, ZeroDivisionError):
        raise InputError(no_such_engine(asked[0])) from None
    found = [step.gives for step in model.chain if step.name in REDUCTIONS and step.gives not in asked]
    values = model.evaluate(known, uncertain()) if found else {}
    return {key: values[key] for key in found}


def _names(keys: Iterable[str]) -> str:
    return ", ".join(term(key).name for key in keys)


def fault(question: Question) -> Finding:
    """Why the question cannot be worked on."""
    unknown, target = question.unknown, question.target
    name = term(target).name
    makers = [step for step in RELATIONS.values() if step.gives == target]
    if not makers:
        return error(
            "not-computed",
            f"the {name} is measured, not worked out from other terms",
            right="name a target that follows from others, such as static_ratio",
        )
    model = next((found for found in map(question.model, question.trials()) if found is not None), None)
    if model is None:
        return no_such_engine(unknown)
    if model.relation_of(target) is None:
        return error(
            "not-given",
            f"the {name} needs what is not given: {_names(_missing(question, model))}",
            right="give it, measured or assumed",
        )
    return _no_influence(question, _advice(question, model))


def stopped_by(question: Question) -> list[str]:
    """The terms given as such that keep the unknown from moving the target; none where it could not move it anyway."""
    model = next((found for found in map(question.model, question.trials()) if found is not None), None)
    return blocking(model, question.unknown, question.target) if model is not None else []


def _missing(question: Question, model: Model) -> tuple[str, ...]:
    there = model.evaluate({**question.plain, question.unknown: question.trials()[0]})
    lacking = model.lacking.get(question.target) or lacking_for(question.target, there)
    if lacking != (question.target,):
        return lacking
    # What is asked for stands in the file itself, and is left out to be worked out: what it would follow from.
    ways = [[key for key in step.needs if key not in there] for step in RELATIONS.values() if step.gives == lacking[0]]
    short = [way for way in ways if way]
    return tuple(sorted(short, key=len)[0]) if short else lacking


def _advice(question: Question, model: Model) -> str:
    inputs = [key for key in model.inputs_of(question.target) if key not in model.fixed]
    given = blocking(model, question.unknown, question.target)
    if given:
        be, it = ("are", "them") if len(given) > 1 else ("is", "it")
        return f"the {_names(given)} {be} given as such, measured or stated: leave {it} out to have {it} worked out"
    if "crown_and_deck_volume" in inputs and "deck_volume" in moved_anywhere(question.unknown):
        return "crown and deck were filled as one, and the top land that would tell them apart is not given"
    return f"it depends on: {_names(inputs)}"
