"""The measuring instruments: what each is read to, and how far each may be out.

Families stand as compact tables (glass, plastic, scales, lengths); a user's own instrument is a catalogue one with its
own figures.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from math import inf, isfinite, sqrt
from typing import Any

from ccassist.bench.instruments.rows import Instrument, Limit, glassware, length_tools, permissible, plastics, scales
from ccassist.values.findings import Finding, InputError, error
from ccassist.vocabulary import Kind, names

INSTRUMENTS: dict[str, Instrument] = {
    tool.key: tool for family in (glassware, plastics, scales, length_tools) for tool in family()
}
# What engine shops mostly have, by what it reads, the commonest first (common practice, no source).
COMMON: Mapping[Kind, tuple[str, ...]] = {
    Kind.VOLUME: ("burette 50 ml class B", "burette 100 ml class B", "burette 25 ml class B",
                  "syringe 60 ml", "syringe 50 ml", "syringe 20 ml"),
    Kind.MASS: ("scale 0.1 g", "scale 0.01 g", "scale 0.5 g", "kitchen scale 1 g", "kitchen scale 5 g"),
    Kind.LENGTH: ("micrometer", "digital caliper", "vernier caliper", "dial indicator", "depth micrometer",
                  "bore gauge", "inside micrometer", "depth gauge", "height gauge"),
}  # fmt: skip
ANY_EXPANSION = 450e-6  # 1/K: somewhere from none to this, the most that handbooks give of a plastic (see plastic.py)


def find(name: str) -> Instrument | None:
    """The instrument of that name or synonym, or None; case, order and spacing do not matter.

    Glass whose class is not said is taken as class B.

    >>> find("60cc Syringe").key
    'syringe 60 ml'
    """
    return INSTRUMENTS.get(name) or _by_words().get(names.words(name))


@cache
def _by_words() -> dict[tuple[str, ...], Instrument]:
    return names.index(INSTRUMENTS, {key: tool.synonyms for key, tool in INSTRUMENTS.items()})


def nearest(name: str) -> str | None:
    """The key of the catalogue most like a mistyped name, or None."""
    return names.closest_name(name, INSTRUMENTS)


def own_instrument(
    name: str,
    *,
    like: str = "",
    kind: Kind = Kind.VOLUME,
    resolution: float | None = None,
    limit: float | None = None,
    share: float | None = None,
    repeatability: float | None = None,
    capacity: float | None = None,
) -> Instrument:
    """The user's own instrument: the catalogue one it is like, with the figures that are its own.

    All SI, share of 1; what is not given stays that of its like.  Like nothing, it is of the kind said, and what is not
    given is not known.  A limit or a share replaces the catalogue's limits altogether (limit + share × amount). Raises
    InputError, with every fault, where a figure cannot be.
    """
    base = find(like) if like else _unheard_of(kind)
    plain = {"resolution": resolution, "repeatability": repeatability, "capacity": capacity}
    figures = {**plain, "limit": limit, "share": share}
    faults = [*_under_nought(figures), *(_faults(base, figures) if base else [_no_such(like)])]
    if base is None or faults:
        raise InputError([fault.at(place=f"instrument {name}") for fault in faults])
    own: dict[str, Any] = {field: value for field, value in plain.items() if value is not None}
    if limit is not None or share is not None:
        own["limits"] = (Limit(fixed=limit or 0.0, share=share or 0.0),)
        own |= {"source": "the user's own figure", "known": "own figure"}
    return replace(base, key=name, name=name, synonyms=(), **own)


def _unheard_of(kind: Kind) -> Instrument:
    """An instrument of which only the kind is known; its material may be glass or plastic."""
    fills = kind is Kind.VOLUME
    return Instrument(
        key="",
        name="",
        kind=kind,
        resolution=0.0,
        limits=(),
        capacity=inf,
        source="not said",
        known="own figure",
        expansion=ANY_EXPANSION / 2 if fills else 0.0,
        expansion_uncertainty=ANY_EXPANSION / sqrt(12) if fills else 0.0,
    )


def _no_such(like: str) -> Finding:
    meant = nearest(like)
    right = f'did you mean "{meant}"?' if meant else "name one of the catalogue"
    return error("unknown-instrument", "no such instrument to be like", read=like, right=right)


def _under_nought(figures: Mapping[str, float | None]) -> list[Finding]:
    return [
        error("own-instrument", f"the {words} must be nought or more", read=f"{value:g}")
        for words, value in figures.items()
        if value is not None and not (isfinite(value) and value >= 0)
    ]


def _faults(base: Instrument, figures: Mapping[str, float | None]) -> list[Finding]:
    """Figures [SI] that no instrument can have, or that its like says nothing of."""
    found = []
    capacity, share = figures["capacity"], figures["share"]
    if share is not None and share > 1:
        wrong = "the share is more than the whole amount"
        found.append(error("own-instrument", wrong, read=f"{share:g}", right="write it as 1 %"))
    if capacity == 0:
        found.append(error("own-instrument", "it must hold something", read="0"))
    if capacity is not None and capacity > base.capacity and figures["limit"] is None and share is None:
        wrong = f"it holds more than its like, {base.name}, whose permissible error ends there"
        found.append(error("own-instrument", wrong, right="give its own permissible error"))
    return found


__all__ = ["INSTRUMENTS", "Instrument", "Limit", "find", "nearest", "own_instrument", "permissible"]
