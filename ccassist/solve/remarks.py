"""What is said of a question: why it cannot be asked, why nothing meets it, and what is unusual about an answer."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from ccassist.engine.mathematics import Relation
from ccassist.engine.model import RELATIONS, RESULTS, Choices, Model, lacking_for
from ccassist.solve.question import (
    FILL_READINGS,
    Problem,
    blocking,
    dependents,
    held_terms,
    moved_anywhere,
    no_such_engine,
)
from ccassist.solve.scan import Scan, TargetRange
from ccassist.values.asking import instead
from ccassist.values.display import Formatter, fixed
from ccassist.values.findings import Finding, InputError, error, warning
from ccassist.values.number import Number, nominal
from ccassist.values.uncertainty import expand
from ccassist.vocabulary import TERMS, Kind, term

_COUNTS = {2: "two", 3: "three", 4: "four", 6: "six"}
_AT_THE_EDGE = 1e-6  # of a limit: so near, the limit is what stopped it
_STRAIGHT = 0.2  # of the ±: how far the target may leave its tangent before the ± is called rough


def ask(
    known: Mapping[str, Number],
    choices: Choices,
    *,
    unknowns: Sequence[str],
    targets: Mapping[str, Number],
    figures: Mapping[str, Relation] | None = None,
) -> Problem:
    """The question, once it is sound; what a fill over the piston found is kept as it is.

    known : term key -> SI number, floats or uncertain numbers.
    choices : what the builder counts, and the seal of the crown fill.
    unknowns : term keys.
    targets : as many term keys -> SI value wanted.
    figures : as in :class:`Problem`.

    Raises InputError: a term is named twice or is none, a needed input is not given, a target cannot be, or does not
    depend on the unknowns.
    """
    named = (*unknowns, *targets)
    _check_terms(unknowns, targets)
    filled = any(unknown in FILL_READINGS for unknown in unknowns)
    held = {} if filled or not known else held_terms(known, choices, named)
    question = Problem(
        known={key: value for key, value in {**known, **held}.items() if key not in named},
        choices=choices,
        unknowns=tuple(unknowns),
        targets=targets,
        present={key: nominal(known[key]) for key in unknowns if key in known},
        held=tuple(held),
        figures=figures or {},
    )
    if len(unknowns) > 1:
        check_values(question)
        _check_each(question)
    return question


def _check_terms(unknowns: Sequence[str], targets: Mapping[str, Number]) -> None:
    """That all are terms, and each another."""
    named = (*unknowns, *targets)
    for key in named:
        if key not in TERMS:
            raise InputError(error("unknown-term", "no such term", read=key, right=instead(key)))
    if len(named) == 2 and len(set(named)) == 1:
        wrong = f"the {term(named[0]).name} is both the target and the unknown"
        raise InputError(error("same-term", wrong, right="name another term to solve for"))
    count = len(unknowns)
    if not unknowns or len(targets) != count or len(set(named)) < len(named):
        each, all_of_them = (_COUNTS.get(number, str(number)) for number in (max(count, 2), max(2 * count, 4)))
        wrong = f"{each} unknowns and {each} targets are {all_of_them} different terms"
        raise InputError(error("same-term", wrong, right="name another term"))


def check_depends(question: Problem) -> None:
    """That the one target depends on the one unknown. Raises InputError: it does not; says why."""
    if not question.models():
        raise InputError(fault(question))


def check_values(question: Problem) -> None:
    """That each target can have the value wanted at all. Raises InputError: one cannot."""
    for key, value in question.targets.items():
        low, high = term(key).possible
        if not low <= nominal(value) <= high:
            raise InputError(error("impossible-target", f"no {term(key).name} can be that", right="set another target"))


def _check_each(question: Problem) -> None:
    """Each target must be moved by an unknown, and each unknown move a target."""
    moved = {target: [one for one in question.unknowns if question.moves(one, target)] for target in question.targets}
    for target, by in moved.items():
        if not by:
            asked = [_alone(question, unknown, target) for unknown in question.unknowns]
            raise InputError(fault(next((one for one in asked if stopped_by(one)), asked[0])))
    for unknown in question.unknowns:
        if not any(unknown in by for by in moved.values()):
            stopped = [one for target in question.targets if stopped_by(one := _alone(question, unknown, target))]
            if stopped:
                raise InputError(fault(stopped[0]))
            targets = " and the ".join(term(key).name for key in question.targets)
            others = " and the ".join(term(key).name for key in question.unknowns if key != unknown)
            wrong = f"the {targets} hang on the {others} alone, not on the {term(unknown).name}"
            right = "name a target that the other unknown moves, or solve for one"
            raise InputError(error("no-influence", wrong, right=right))


def _alone(question: Problem, unknown: str, target: str) -> Problem:
    """One unknown and one target, the other unknowns at a usual place."""
    return question.alone(unknown, target, question.elsewhere(unknown)[0])


def no_influence(question: Problem, right: str) -> Finding:
    """That the unknown does not move the target."""
    unknown, target = term(question.unknown).name, term(question.target).name
    return error("no-influence", f"the {target} does not depend on the {unknown} here", right=right)


def _names(keys: Iterable[str]) -> str:
    return ", ".join(term(key).name for key in keys)


def fault(question: Problem) -> Finding:
    """Why the question of one unknown and one target cannot be worked on."""
    unknown, target = question.unknown, question.target
    name = term(target).name
    makers = [step for step in RELATIONS.values() if step.gives == target]
    if not makers:
        wrong = f"the {name} is measured, not worked out from other terms"
        return error("not-computed", wrong, right="name a target that follows from others, such as static_ratio")
    model = _any_model(question)
    if model is None:
        return no_such_engine(unknown)
    if model.relation_of(target) is None:
        wrong = f"the {name} needs what is not given: {_names(_missing(question, model))}"
        return error("not-given", wrong, right="give it, measured or assumed")
    return no_influence(question, _advice(question, model))


def stopped_by(question: Problem) -> list[str]:
    """The terms given as such that keep the unknown from moving the target; none where it could not move it anyway."""
    model = _any_model(question)
    return blocking(model, question.unknown, question.target) if model is not None else []


def _any_model(question: Problem) -> Model | None:
    return next((found for x in question.trials() if (found := question.model({question.unknown: x}))), None)


def _missing(question: Problem, model: Model) -> tuple[str, ...]:
    there = model.evaluate({**question.plain, question.unknown: question.trials()[0]})
    lacking = model.lacking.get(question.target) or lacking_for(question.target, there)
    if lacking != (question.target,):
        return lacking
    # What is asked for stands in the file itself, and is left out to be worked out: what it would follow from.
    ways = [[key for key in step.needs if key not in there] for step in RELATIONS.values() if step.gives == lacking[0]]
    short = [way for way in ways if way]
    return tuple(sorted(short, key=len)[0]) if short else lacking


def _advice(question: Problem, model: Model) -> str:
    inputs = [key for key in model.inputs_of(question.target) if key not in model.fixed]
    given = blocking(model, question.unknown, question.target)
    if given:
        be, it = ("are", "them") if len(given) > 1 else ("is", "it")
        return f"the {_names(given)} {be} given as such, measured or stated: leave {it} out to have {it} worked out"
    if "crown_and_deck_volume" in inputs and "deck_volume" in moved_anywhere(question.unknown):
        return "crown and deck were filled as one, and the top land that would tell them apart is not given"
    return f"it depends on: {_names(inputs)}"


def no_answer(question: Problem, reasons: Iterable[str], scanned: Scan | None, fmt: Formatter) -> str:
    """That nothing brings the targets to what is wanted, why, and, of one unknown, what can be reached."""
    because = "".join(f"; {reason}" for reason in dict.fromkeys(reasons))
    if scanned is None:
        unknowns = " and ".join(term(key).name for key in question.unknowns)
        aims = (f"{term(key).name} to {fmt.show(key, nominal(value))}" for key, value in question.targets.items())
        because = because or "; no trial over their usual ranges comes to both"
        return f"no {unknowns} together bring the {' and the '.join(aims)}{because}"
    unknown, target = term(question.unknown), term(question.target)
    reach, usual = scanned.reach(), usual_reach(question, scanned)
    assert reach is not None  # else the question would not have been sound
    wanted, *ends = _told_apart(question.target, (question.value, reach.low, reach.high), fmt)
    at = [fmt.show(question.unknown, place) for place in (reach.low_at, reach.high_at)]
    return (
        f"no {unknown.name} brings the {target.name} to {wanted}{because}; within what can be it goes "
        f"from {ends[0]} ({unknown.name} {at[0]}) to {ends[1]} ({unknown.name} {at[1]})"
        f"{f'; with a usual {unknown.name} {reach_text(question.target, usual, fmt)}' if usual else ''}"
    )


def cannot_be(key: str, number: float, fmt: Formatter) -> str:
    """That a root would force a term to a value (SI) that cannot be.

    >>> from ccassist.values.display import METRIC
    >>> cannot_be("bore", 2.0, METRIC)
    'the bore would come to 2000.00 mm, which cannot be'
    """
    shown = fixed(number, 2) if term(key).kind is Kind.COUNT else fmt.show(key, number)
    return f"the {term(key).name} would come to {shown}, which cannot be"


def usual_reach(question: Problem, scanned: Scan) -> TargetRange | None:
    """What the target can be with a usual unknown; of a figure, looked at in few places, nothing is said."""
    return None if question.target in question.figures else scanned.reach(term(question.unknown).plausible)


def reach_text(key: str, reach: TargetRange, fmt: Formatter) -> str:
    """The range of a target (SI), such as "from 7.73 to 9.70".

    >>> from ccassist.values.display import METRIC
    >>> reach_text("static_ratio", TargetRange(low=7.73, high=9.7, low_at=0.0, high_at=1e-5), METRIC)
    'from 7.73 to 9.70'
    """
    low, high = _told_apart(key, (reach.low, reach.high), fmt)
    without_end = reach.high >= term(key).possible[1] * (1 - _AT_THE_EDGE)
    return f"from {low} upwards" if without_end else f"from {low} to {high}"


def remarks(
    question: Problem, model: Model, values: Mapping[str, float], fmt: Formatter, besides: Iterable[Finding] = ()
) -> list[Finding]:
    """What is unusual in the engine of an answer, what else there is, and what was kept as it is; each once."""
    found: dict[Finding, None] = {}
    for unknown in question.unknowns:
        found |= dict.fromkeys((*_unusual(question, unknown, model, values, fmt), *besides))
        found |= dict.fromkeys(question.remarks(unknown, model))
    return list(found)


def _unusual(
    question: Problem, unknown: str, model: Model, values: Mapping[str, float], fmt: Formatter
) -> list[Finding]:
    """Warnings for an unknown, and the results it moves, that leave the usual range."""
    moved = (unknown, *dependents(model, unknown))
    found = []
    for key in dict.fromkeys((unknown, *(key for key in RESULTS if key in moved and key not in question.targets))):
        low, high = term(key).plausible
        if not low <= values[key] <= high:
            shown, least, most = (fmt.show(key, value) for value in (values[key], low, high))
            wrong = f"the {term(key).name} would be {shown}; most are {least} to {most}"
            found.append(warning("unusual", wrong, right="are you sure?"))
    openings = ("gasket_area", "bore_area")
    if any(key in moved for key in openings) and all(key in values for key in openings):
        gasket, bore = (values[key] for key in openings)
        if gasket < bore:
            wrong, right = "the gasket's opening would be smaller than the bore", "its ring would stand in the cylinder"
            found.append(warning("ring-in-bore", wrong, right=f"{right}: look for another way"))
    return found


def rough(question: Problem, number: Number, value: float, slope: float) -> list[Finding]:
    """A warning where the ± reaches so far that the target does not follow the unknown in a straight line."""
    if slope == 0 or question.target in question.figures or not (spread := expand(number).expanded) > 0:
        return []
    for end in (-spread, spread):
        there = question.at(nominal(number) + end)
        if there is None or abs(there - value - slope * end) > _STRAIGHT * abs(slope * end):
            unknown, target = (term(key).name for key in (question.unknown, question.target))
            wrong = f"the ± of the {unknown} is rough: within it the {target} does not follow in a straight line"
            right = "measure the other inputs closer, or measure it directly"
            return [warning("rough-spread", wrong, right=right)]
    return []


def _told_apart(key: str, numbers: tuple[float, ...], fmt: Formatter) -> list[str]:
    """Numbers of one term with as many decimals as tell them apart, within reason."""
    decimals = fmt.telling(key, numbers)
    return [fmt.show(key, number, decimals=decimals) for number in numbers]
