"""The doubt of an octane difference as one uncertain number: from what was measured, and from the draws."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from ccassist.boost.burn_case import Case
from ccassist.boost.knock_compare import compare, octane_difference
from ccassist.boost.knock_refusals import unsound
from ccassist.boost.numbers import is_uncertain, plain, propagate
from ccassist.boost.stand import Stand
from ccassist.values.findings import Finding, NotPossible
from ccassist.vocabulary import term

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
    beyond = too_doubtful(stand, keys) or too_doubtful(baseline, keys)
    if beyond:
        raise NotPossible(beyond)

    def difference(*numbers: float) -> float:
        here, there = numbers[: len(keys)], numbers[len(keys) :]
        made = [_at(one, dict(zip(keys, n, strict=True))) for one, n in ((stand, here), (baseline, there))]
        return octane_difference(made[1].case, made[0].case)

    return propagate(difference, *own, *other)


def too_doubtful(stand: Stand, keys: Sequence[str] = MEASURED) -> str:
    """Why a difference has no ±: within that of one of these terms no engine can be so; nothing where it has one."""
    here = {key: float(plain(_of(stand, key))) for key in keys}
    for key, number in here.items():
        doubted = _of(stand, key)
        spread = doubted.std_dev if is_uncertain(doubted) else 0.0
        low, high = term(key).possible
        for end in (number - spread, number + spread) if math.isfinite(spread) else ():
            if not low <= end <= high or unsound(_at(stand, {**here, key: end}).case):
                return f"the ± of the {term(key).name} reaches beyond what an engine can have: state it closer"
    return ""


def draws_doubt(case: Case, baseline: Case, key: str, per_octane: float) -> tuple[Any, tuple[Finding, ...]]:
    """Nothing ± the standard deviation of all draws, turned into a term by its change per octane; and what to mind."""
    from ccassist.values.measured import ASSUMED, Cause, doubt

    found, findings = compare(baseline, case)
    spread = 0.0 if found is None else found.overall
    remedy = "hold cooler, filling, spark and burn of both alike"
    source = "drawn by chance; planning assumptions"
    cause = Cause(name=_CAUSE, key=key, source=source, remedy=remedy, guess=ASSUMED)
    return doubt(spread * abs(per_octane), cause), findings


def _same(key: str) -> str:
    return "manifold_pressure" if key == "boost_gauge" else key


def _of(stand: Stand, key: str) -> Any:
    return stand.conditions[key] if key == "manifold_pressure" else getattr(stand.geometry, key)


def _at(stand: Stand, numbers: Mapping[str, float]) -> Stand:
    """The engine at other numbers, the pressure put in its place without a word on where it comes from."""
    values, others = dict(stand.conditions.values), dict(numbers)
    if "manifold_pressure" in others:
        values["manifold_pressure"] = replace(values["manifold_pressure"], number=others.pop("manifold_pressure"))
    return replace(stand.but(**others), conditions=replace(stand.conditions, values=values))
