"""The whole assembly against the sum of its parts, in words and rows, for the screen and for paper."""

from __future__ import annotations

import math
from collections.abc import Sequence

from ccassist.analysis.assembly import RESTS, AssemblyCheck
from ccassist.values.display import Formatter, places, spread_text
from ccassist.vocabulary.units import conversion

KEY = "clearance_volume"
HOLDS = "The sum of parts here holds crevice and chamfer, counted or not: the fluid stands in them."


def lead(fmt: Formatter) -> str:
    """What is set against what, and what the ratio rests on."""
    unit = fmt.unit(KEY)
    return f"Whole assembly through the plug hole against the sum of parts, {unit}; {RESTS}."


def head(checks: Sequence[AssemblyCheck]) -> list[str]:
    """The heads of :func:`rows`; E_n only where some check may be called so."""
    return ["as a whole", "sum of parts", "difference", *(["E_n"] if _called(checks) else []), "at 95 %"]


def rows(checks: Sequence[AssemblyCheck], fmt: Formatter) -> list[list[str]]:
    """The cylinder's number and what stands under :func:`head`, a row a check."""
    return [_row(check, fmt, _called(checks)) for check in checks]


def _called(checks: Sequence[AssemblyCheck]) -> bool:
    return any(check.e_n is not None for check in checks)


def _row(check: AssemblyCheck, fmt: Formatter, called: bool) -> list[str]:
    number = [check.e_n_text] if called else []
    whole, parts = (_short(value.nominal, value.expanded, fmt) for value in (check.whole, check.parts))
    sign = "+" if check.gap > 0 else ""
    gap = sign + _short(check.gap, check.expanded, fmt)
    return [str(check.cylinder), whole, parts, gap, *number, check.agreement]


def _short(value: float, spread: float, fmt: Formatter) -> str:
    """Number ± without its unit."""
    half = spread / conversion(fmt.unit(KEY)).scale
    count = places(fmt.unit(KEY), half)
    said = fmt.amount(KEY, value, decimals=count)
    return f"{said} ± ?" if math.isnan(half) else f"{said} ± {spread_text(half, count)}"


__all__ = ["HOLDS", "KEY", "head", "lead", "rows"]
