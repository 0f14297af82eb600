"""Whether a question is sound, and what is wrong with it where it is not."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from ccassist.engine.mathematics import uncertain
from ccassist.engine.model import Choices, Model, build, lacking_for
from ccassist.engine.relations import RELATIONS
from ccassist.solve.question import FILL_READINGS, REDUCTIONS, Question, blocking, moved_anywhere
from ccassist.values.findings import Finding, InputError, error
from ccassist.values.measured import Number, nominal
from ccassist.values.naming import instead
from ccassist.vocabulary import TERMS, term


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
