"""Short forms for declaring terms: lengths (ranges in mm), volumes (cc), angles (degrees), and any other kind."""

from __future__ import annotations

from collections.abc import Callable
from math import radians
from typing import Any

from ccassist.vocabulary.term import Kind, Term

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


def maker(kind: Kind, scale: float = 1.0, zero: float = 0.0, **always: Any) -> Callable[..., Term]:
    """A short form for one kind: (key, name, symbol, meaning, plausible, possible); a range × scale + zero is in SI."""

    def span(ends: Range) -> Range:
        return ends[0] * scale + zero, ends[1] * scale + zero

    def make(key: str, name: str, symbol: str, meaning: str, plausible: Range, possible: Range, **more: Any) -> Term:
        words: dict[str, Any] = {"key": key, "name": name, "symbol": symbol, "kind": kind, "meaning": meaning}
        return Term(**words, plausible=span(plausible), possible=span(possible), **{**always, **more})

    return make


angle = maker(Kind.ANGLE, radians(1))  # ranges in degrees
