"""The doubt of an octane difference as one uncertain number: from what was measured, and from the draws."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

from ccassist.boost.burn_case import Case
from ccassist.boost.knock_compare import compare, octane_difference
from ccassist.boost.knock_refusals import unsound
from ccassist.boost.numbers import is_uncertain, plain, propagate
from ccassist.boost.stand import Stand
from ccassist.findings import Finding, NotPossible
from ccassist.terms import term

MEASURED = ("static_ratio", "intake_closing", "manifold_pressure")  # what was read or stated and decides
_CAUSE = "what the engine and its baseline share or differ in without anybody knowing"


def measured_difference(stand: Stand, baseline: Stand, *, but: str) -> Any:
    """The octane difference, linked to the measured inputs of both engines.

    ``but`` : a term taken as exact in the engine, because it is what is looked for.

    Raises
    ------
    NotPossible : a ± reaches beyond what an engine can have.
    """
    keys = tuple(key for key in MEASURED if key != _same(but))
    own, other = ([_of(one, key) for key in keys] for one in (stand, baseline))
    beyond = [too_doubtful(keys, numbers, _cases(one, keys)) for one, numbers in ((stand, own), (baseline, other))]
    if any(beyond):
        raise NotPossible(next(filter(None, beyond)))

    def difference(*numbers: float) -> float:
        here, there = numbers[: len(keys)], numbers[len(keys) :]
        made = [_at(one, dict(zip(keys, n, strict=True))) for one, n in ((stand, here), (baseline, there))]
        return octane_difference(made[1].case, made[0].case)

    return propagate(difference, *own, *other)


def too_doubtful(keys: Sequence[str], numbers: Sequence[Any], case_of: Callable[..., Case]) -> str:
    """Why a difference has no ±: within it no engine can be so; nothing where it has one.

    ``numbers`` of the terms ``keys``; ``case_of`` takes them as floats, SI.
    """
    here = [plain(number) for number in numbers]
    for place, (key, number) in enumerate(zip(keys, numbers, strict=True)):
        spread = number.std_dev if is_uncertain(number) else 0.0
        low, high = term(key).possible
        for end in (here[place] - spread, here[place] + spread) if math.isfinite(spread) else ():
            if not low <= end <= high or unsound(case_of(*here[:place], end, *here[place + 1 :])):
                return f"the ± of the {term(key).name} reaches beyond what an engine can have: state it closer"
    return ""


def draws_doubt(case: Case, baseline: Case, key: str, per_octane: float) -> tuple[Any, tuple[Finding, ...]]:
    """Nothing ± the standard deviation of all draws, turned into a term by its change per octane; and what to mind."""
    from ccassist.measured import Cause, doubt

    found, findings = compare(baseline, case)
    spread = 0.0 if found is None else found.overall
    remedy = "hold cooler, filling, spark and burn of both alike"
    cause = Cause(name=_CAUSE, key=key, source="drawn by chance; planning assumptions", remedy=remedy)
    return doubt(spread * abs(per_octane), cause), findings


def _cases(stand: Stand, keys: Sequence[str]) -> Callable[..., Case]:
    """Numbers of these terms -> the case."""
    return lambda *numbers: _at(stand, dict(zip(keys, numbers, strict=True))).case


def _same(key: str) -> str:
    return "manifold_pressure" if key == "boost_gauge" else key


def _of(stand: Stand, key: str) -> Any:
    return stand.conditions[key] if key == "manifold_pressure" else getattr(stand.geometry, key)


def _at(stand: Stand, numbers: dict[str, float]) -> Stand:
    """The engine at other numbers, the pressure put in its place without a word on where it comes from."""
    values = dict(stand.conditions.values)
    if "manifold_pressure" in numbers:
        pressure = numbers.pop("manifold_pressure")
        values["manifold_pressure"] = replace(values["manifold_pressure"], number=pressure)
    return replace(stand.but(**numbers), conditions=replace(stand.conditions, values=values))
