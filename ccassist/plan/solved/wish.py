"""What is to be found and what it must reach, and the known numbers of every cylinder."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ccassist.analysis.cylinder import known_of_all
from ccassist.analysis.results import Survey
from ccassist.values.asking import named, signed, with_sign
from ccassist.values.findings import InputError, error, placed
from ccassist.values.number import Number
from ccassist.values.pint_bridge import Written, is_pint
from ccassist.values.quantity import parse
from ccassist.vocabulary import Term

Case = tuple[int | None, dict[str, Number]]


@dataclass(frozen=True, kw_only=True)
class Wish:
    """What is to be found, and what it must reach: one or two term keys, and as many with their SI values."""

    unknowns: tuple[str, ...]
    targets: Mapping[str, float]


def wished(unknowns: Sequence[str], targets: Sequence[tuple[str, Written]], system: str) -> Wish:
    """The wish in texts: a target's value as people write it, or an SI number.

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
    aims = [_aim(name, value, system) for name, value in targets]
    if len({key for key, _ in aims}) < len(aims):
        name, value = targets[1]
        raise InputError(error("same-term", "one term cannot be two targets", read=f"{name}={value}", place="--to"))
    return Wish(unknowns=found, targets=dict(aims))


def wish_of(unknowns: str | Sequence[str], targets: Mapping[str, Written], system: str) -> Wish:
    """The same of one unknown or several, and of targets by term.

    Raises
    ------
    InputError : as :func:`wished`.
    """
    return wished((unknowns,) if isinstance(unknowns, str) else unknowns, list(targets.items()), system)


def _aim(name: str, value: Written, system: str) -> tuple[str, float]:
    one = named(name, "--to")
    key = one.term.key
    with placed("--to"):
        if not isinstance(value, str) and not is_pint(value):
            return key, signed(float(value), one)
        text = with_sign(value.strip(), one) if isinstance(value, str) else value
        aim = parse(text, key, system=system)
        if aim.spread is not None or aim.standard is not None:
            wrong, right = "what is to be reached is one value, without ±", "tolerance and combine take a range"
            raise InputError(error("wrong-spread", wrong, read=aim.raw, right=right))
    return key, aim.value if isinstance(value, str) else signed(aim.value, one)


def wanted_term(text: str, place: str) -> Term:
    """The term of a name, by whatever the trade calls it.

    Raises
    ------
    InputError : there is none, or it may be several; says which, or which is near.
    """
    return named(text, place).term


def cases(survey: Survey, cylinder: int | None) -> list[Case]:
    """The known numbers of the cylinders asked for, and their means (None) where there are several.

    Raises
    ------
    InputError : there is no such cylinder.
    """
    check_cylinder(survey, cylinder)
    chosen = [c for c in survey.cylinders if cylinder in (None, c.number)]
    count = float(survey.job.cylinders)
    known: list[Case] = [(c.number, {**c.known, "cylinders": count}) for c in chosen]
    if len(chosen) > 1:
        known.append((None, {**known_of_all(chosen, [c.known for c in chosen]), "cylinders": count}))
    return known


def check_cylinder(survey: Survey, cylinder: int | None) -> None:
    """Nothing where there is such a cylinder, or none is named.

    Raises
    ------
    InputError : there is no such cylinder.
    """
    if cylinder is not None and not 1 <= cylinder <= len(survey.cylinders):
        right = f"there are cylinders 1 to {len(survey.cylinders)}"
        raise InputError(error("unknown-cylinder", right, read=str(cylinder), place="--cylinder"))


def who(cylinder: int | None) -> str:
    """The cylinder in a table; None is the mean of all."""
    return "all alike" if cylinder is None else str(cylinder)
