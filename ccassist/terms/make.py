"""Short forms for declaring lengths (ranges in mm) and volumes (ranges in cc)."""

from __future__ import annotations

from typing import Any

from ccassist.terms.term import Kind, Term

MM, CC = 1e-3, 1e-6
Range = tuple[float, float]


def _scaled(span: Range, factor: float) -> Range:
    return span[0] * factor, span[1] * factor


def length(
    key: str, name: str, symbol: str, meaning: str, plausible_mm: Range, *, possible: Range | None = None, **more: Any
) -> Term:
    """A length; unless said, a positive one may be anything up to 2 m, another ± 50 mm too."""
    limits = possible or (0.0 if plausible_mm[0] > 0 else -50 * MM, 2000 * MM)
    span = _scaled(plausible_mm, MM)
    return Term(
        key=key,
        name=name,
        symbol=symbol,
        kind=Kind.LENGTH,
        meaning=meaning,
        plausible=span,
        possible=limits,
        **more,
    )


def volume(
    key: str, name: str, symbol: str, meaning: str, plausible_cc: Range, *, possible: Range = (0.0, 0.1), **more: Any
) -> Term:
    """A volume; unless said, from nothing to 100 litres."""
    span = _scaled(plausible_cc, CC)
    return Term(
        key=key,
        name=name,
        symbol=symbol,
        kind=Kind.VOLUME,
        meaning=meaning,
        plausible=span,
        possible=possible,
        **more,
    )
