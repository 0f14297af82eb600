"""The whole assembly against the sum of its parts, as ``show`` prints it."""

from __future__ import annotations

import math

from ccassist.assembly import RESTS, AssemblyCheck, compare_assembly
from ccassist.cli.screen import say, table, wrapped
from ccassist.display import amount, places, spread_text
from ccassist.results import Survey
from ccassist.terms import term
from ccassist.units import conversion, shown_unit

KEY = "clearance_volume"


def whole_against_parts(survey: Survey, system: str) -> None:
    """One row a cylinder that was filled through its plug hole; nothing where none was."""
    checks = compare_assembly(survey)
    if not checks:
        return
    say()
    unit = shown_unit(term(KEY), system)
    wrapped(f"Whole assembly through the plug hole against the sum of parts, {unit}; {RESTS}.")
    called = any(check.e_n is not None for check in checks)
    rows = [_row(check, system, called) for check in checks]
    table(["cyl", "as a whole", "sum of parts", "difference", *(["E_n"] if called else []), "at 95 %"], rows)
    if any(check.crevice_known for check in checks):
        wrapped("The sum of parts here holds crevice and chamfer, counted or not: the fluid stands in them.", rest="  ")


def _row(check: AssemblyCheck, system: str, called: bool) -> list[str]:
    number = [] if not called else ["" if check.e_n is None else f"{check.e_n:.2f}".replace("-", "−")]
    whole, parts = (_short(value.nominal, value.expanded, system) for value in (check.whole, check.parts))
    sign = "+" if check.gap > 0 else ""
    gap = sign + _short(check.gap, check.expanded, system)
    return [str(check.cylinder), whole, parts, gap, *number, check.agreement.value]


def _short(value: float, spread: float, system: str) -> str:
    """Number ± without its unit."""
    half = spread / conversion(shown_unit(term(KEY), system)).scale
    count = places(shown_unit(term(KEY), system), half)
    said = amount(KEY, value, system=system, decimals=count)
    return f"{said} ± ?" if math.isnan(half) else f"{said} ± {spread_text(half, count)}"
