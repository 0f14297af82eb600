"""How the numbers of a piston order are printed, on the sheet, in the drawing and on the screen alike."""

from __future__ import annotations

import math

from ccassist.plan.piston.specification import CROWN, Ordered
from ccassist.values.display import places, show, spread_text
from ccassist.values.units import conversion, shown_unit
from ccassist.vocabulary import Kind, term


def ordered_text(one: Ordered, system: str) -> str:
    """A number to be ordered as printed, everywhere alike."""
    return show(one.key, one.value, system=system, decimals=decimals_of(one.key, one.tolerance.size, system))


def decimals_of(key: str, size: float | None, system: str, step: float = 0.0) -> int:
    """Decimals of a field: as its ± asks for, as many as were written (``step``, SI), and at least one where usual."""
    unit = shown_unit(term(key), system)
    if term(key).kind is Kind.COUNT:
        return 0
    scale, usual = conversion(unit).scale, places(unit, None)
    if size is None and key == CROWN:
        return 1
    written = math.ceil(-math.log10(step / scale) - 1e-6) if step > 0 else 0
    count = places(unit, None if size is None else size / scale)
    return max(count, min(written, usual + 2), min(1, usual))


def said_tolerance(key: str, size: float | None, system: str) -> str:
    """A tolerance or ± as printed, such as "± 0.05 mm"; "" where there is none."""
    if not size:
        return ""
    unit = shown_unit(term(key), system)
    amount = size / conversion(unit).scale
    text = spread_text(amount, max(places(unit, amount), min(1, places(unit, None))))
    return f"± {text} {unit}".rstrip()
