"""The whole assembly against the sum of its parts, in words and rows, for the screen and for paper."""

from __future__ import annotations

import math
from collections.abc import Sequence

from ccassist.analysis.assembly import RESTS, AssemblyCheck
from ccassist.values.display import amount, places, spread_text
from ccassist.values.units import conversion, shown_unit
from ccassist.vocabulary import term

KEY = "clearance_volume"
HOLDS = "The sum of parts here holds crevice and chamfer, counted or not: the fluid stands in them."


def lead(system: str) -> str:
    """What is set against what, and what the ratio rests on."""
    unit = shown_unit(term(KEY), system)
    return f"Whole assembly through the plug hole against the sum of parts, {unit}; {RESTS}."


def head(checks: Sequence[AssemblyCheck]) -> list[str]:
    """The heads of :func:`rows`; E_n only where some check may be called so."""
    return ["as a whole", "sum of parts", "difference", *(["E_n"] if _called(checks) else []), "at 95 %"]


def rows(checks: Sequence[AssemblyCheck], system: str) -> list[list[str]]:
    """The cylinder's number and what stands under :func:`head`, a row a check."""
    return [_row(check, system, _called(checks)) for check in checks]


def _called(checks: Sequence[AssemblyCheck]) -> bool:
    return any(check.e_n is not None for check in checks)


def _row(check: AssemblyCheck, system: str, called: bool) -> list[str]:
    number = [check.e_n_text] if called else []
    whole, parts = (_short(value.nominal, value.expanded, system) for value in (check.whole, check.parts))
    sign = "+" if check.gap > 0 else ""
    gap = sign + _short(check.gap, check.expanded, system)
    return [str(check.cylinder), whole, parts, gap, *number, check.agreement]


def _short(value: float, spread: float, system: str) -> str:
    """Number ± without its unit."""
    half = spread / conversion(shown_unit(term(KEY), system)).scale
    count = places(shown_unit(term(KEY), system), half)
    said = amount(KEY, value, system=system, decimals=count)
    return f"{said} ± ?" if math.isnan(half) else f"{said} ± {spread_text(half, count)}"


__all__ = ["HOLDS", "KEY", "head", "lead", "rows"]
