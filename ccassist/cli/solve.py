"""``ccassist solve``: any value from any target that depends on it, or two from two."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from ccassist.cli.screen import list_findings, say, table, wrapped
from ccassist.closing import basis_notes
from ccassist.display import show, show_number
from ccassist.findings import InputError, NotPossible, clean, error
from ccassist.job.file import load_sound
from ccassist.measured import Number
from ccassist.quantity import parse
from ccassist.results import Survey, sound_survey
from ccassist.terms import Term, find, nearest, term

if TYPE_CHECKING:
    from ccassist.solve.target import Answer


CONFIRM = "A planning figure: confirm with the maker and the machinist before metal is cut."


@dataclass(frozen=True, kw_only=True)
class Asked:
    """The answer for one cylinder (number), or for all alike (None); or why there is none."""

    cylinder: int | None
    answer: Answer | None
    reason: str = ""

    @property
    def who(self) -> str:
        """The cylinder, in words."""
        return "all alike" if self.cylinder is None else str(self.cylinder)


@dataclass(frozen=True, kw_only=True)
class Wish:
    """What is to be found, and what it must reach: one or two term keys, and as many with their SI values."""

    unknowns: tuple[str, ...]
    targets: Mapping[str, float]


def run(
    file: Path,
    *,
    unknowns: Sequence[str],
    targets: Sequence[str],
    cylinder: int | None,
    system: str | None,
    as_json: bool,
) -> int:
    """Print the answer of every cylinder and the algebra; 1 where it is not possible."""
    survey = sound_survey(load_sound(file).job)
    shown = system or survey.job.system
    wish = wished(unknowns, targets, shown)
    if len(wish.unknowns) == 2:
        from ccassist.cli import solve_two

        return solve_two.run(survey, wish, cylinder=cylinder, system=shown, as_json=as_json)
    asked = answers(survey, wish, cylinder=cylinder, system=system)
    if as_json:
        import json

        say(json.dumps([_to_dict(one, shown) for one in asked], ensure_ascii=False, indent=2))
    else:
        _print(asked, shown)
    return 0 if any(one.answer for one in asked) else 1


def wished(unknowns: Sequence[str], targets: Sequence[str], system: str) -> Wish:
    """What ``--for`` and ``--to`` ask.

    Raises
    ------
    InputError : not one or two of each, a term is not known, or a value cannot be read.
    """
    if len(unknowns) != len(targets) or not 1 <= len(unknowns) <= 2:
        raise InputError(
            error(
                "uneven-question",
                f"{len(unknowns)} to find and {len(targets)} to reach: there must be one of each, or two of each",
                right="--for compression_height --for crown_volume --to 'squish=1.0 mm' --to static_ratio=9.6",
            )
        )
    found = tuple(wanted_term(unknown, "--for").key for unknown in unknowns)
    aims = [_aim(target, system) for target in targets]
    if len({key for key, _ in aims}) < len(aims):
        raise InputError(error("same-term", "one term cannot be two targets", read=targets[1], place="--to"))
    return Wish(unknowns=found, targets=dict(aims))


def _aim(target: str, system: str) -> tuple[str, float]:
    name, _, text = target.partition("=")
    if not text.strip():
        raise InputError(
            error("no-value", "no value to reach", read=target, place="--to", right="--to 'static_ratio=9.5'")
        )
    aim = wanted_term(name, "--to")
    return aim.key, parse(text.strip(), aim.key, system=system).value


def answers(survey: Survey, wish: Wish, *, cylinder: int | None, system: str | None) -> list[Asked]:
    """The answers for each cylinder, and for all alike where there are several.

    Raises
    ------
    InputError : the cylinder is not there, or the question is not sound.
    """
    known = cases(survey, cylinder)
    ((target, value),) = wish.targets.items()
    question = _Question(
        survey=survey, unknown=wish.unknowns[0], target=target, value=value, system=system or survey.job.system
    )
    # The algebra is the same for every cylinder: it is worked out once, for the one that is printed.
    return [_ask(who, numbers, question, algebra=who == known[-1][0]) for who, numbers in known]


def cases(survey: Survey, cylinder: int | None) -> list[tuple[int | None, dict[str, Number]]]:
    """The known numbers of the cylinders asked for, and their means (None) where there are several.

    Raises
    ------
    InputError : there is no such cylinder.
    """
    if cylinder is not None and not 1 <= cylinder <= len(survey.cylinders):
        right = f"there are cylinders 1 to {len(survey.cylinders)}"
        raise InputError(error("unknown-cylinder", right, read=str(cylinder), place="--cylinder"))
    chosen = [c for c in survey.cylinders if cylinder in (None, c.number)]
    count = float(survey.job.cylinders)
    known: list[tuple[int | None, dict[str, Number]]] = [(c.number, {**c.known, "cylinders": count}) for c in chosen]
    if len(chosen) > 1:
        known.append((None, _average([k for _, k in known])))
    return known


@dataclass(frozen=True, kw_only=True)
class _Question:
    survey: Survey
    unknown: str
    target: str
    value: float
    system: str


def wanted_term(text: str, place: str) -> Term:
    found = find(text.strip())
    if found is None:
        near = nearest(text)
        raise InputError(
            error(
                "unknown-term", "no such term", read=text, place=place, right=f'did you mean "{near}"?' if near else ""
            )
        )
    return found


def _average(known: Sequence[dict[str, Number]]) -> dict[str, Number]:
    """The mean of every input that all cylinders have."""
    common = set.intersection(*(set(k) for k in known))
    return {key: sum(k[key] for k in known) / len(known) for key in known[0] if key in common}


def _ask(who: int | None, known: dict[str, Number], question: _Question, *, algebra: bool) -> Asked:
    from ccassist.solve.target import solve_for

    choices = question.survey.cylinders[(who or 1) - 1].choices
    try:
        answer = solve_for(
            known,
            choices,
            unknown=question.unknown,
            target=question.target,
            value=question.value,
            algebra=algebra,
            system=question.system,
        )
        survey, asked = question.survey, (question.unknown, question.target)
        noted = basis_notes(survey.job, survey.stated.get("cam", {}), asked, question.system)
        return Asked(cylinder=who, answer=replace(answer, findings=(*answer.findings, *noted)))
    except NotPossible as fault:
        return Asked(cylinder=who, answer=None, reason=str(fault))


def _print(asked: Sequence[Asked], system: str) -> None:
    solved = [one for one in asked if one.answer is not None]
    if not solved:
        for reason in dict.fromkeys(one.reason for one in asked):
            wrapped(f"Not possible: {clean(reason, 600)}.", rest="  ")
        return
    for line in told(asked, system, findings=False):
        wrapped(line, rest=" " * (len(line) - len(line.lstrip()) + 2)) if line else say()
    if len(asked) > 1:
        say()
        question = next(one.answer for one in solved if one.answer).question
        rows = [[one.who, _answer_text(one, question.unknown, system)] for one in asked]
        table(["cyl", term(question.unknown).name], rows)
    noticed = [f for one in solved if one.answer for f in one.answer.findings]
    if noticed:
        say()
        list_findings(dict.fromkeys(noticed))
    say()
    say(CONFIRM)


def _answer_text(one: Asked, unknown: str, system: str) -> str:
    if one.answer is None:
        return f"not possible: {clean(one.reason, 200)}"
    return " or ".join(show_number(unknown, root.number, system=system) for root in one.answer.roots)


def told(asked: Sequence[Asked], system: str, *, findings: bool = True) -> list[str]:
    """The algebra of the answer for all alike (or of the only one) as lines.

    ``findings`` : False where the caller lists the findings elsewhere.
    """
    from ccassist.solve.words import lines

    best = next((one for one in reversed(asked) if one.answer is not None), None)
    if best is None or best.answer is None:
        return [one.reason for one in asked]
    who = "Means of all cylinders." if best.cylinder is None else f"Cylinder {best.cylinder}."
    return [who, "", *lines(best.answer, system=system, findings=findings)]


def _to_dict(one: Asked, system: str) -> dict[str, object]:
    from ccassist.measured import expand

    if one.answer is None:
        return {"cylinder": one.cylinder, "possible": False, "reason": one.reason}
    answer = one.answer
    roots = []
    for root in answer.roots:
        stated = expand(root.number)
        roots.append(
            {
                "value": stated.value,
                "expanded_uncertainty": stated.expanded,
                "check": root.check,
                "formula": root.formula.text if root.formula else None,
                "text": show_number(answer.question.unknown, root.number, system=system),
            }
        )
    return {
        "cylinder": one.cylinder,
        "possible": True,
        "unknown": answer.question.unknown,
        "target": answer.question.target,
        "route": answer.route,
        "roots": roots,
        "reach": [answer.reach.low, answer.reach.high],
        "change_of_target_per_unit": dict(answer.sensitivity),
        "moved": {key: show(key, answer.best.values[key], system=system) for key in answer.moved},
        "findings": [f.to_dict() for f in answer.findings],
    }
