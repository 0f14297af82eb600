"""The measuring instruments: what each is read to, and how far each may be out.

Families stand as compact tables (glass, plastic, scales, lengths); a user's
own instrument is a catalogue one with its own figures.
"""

from __future__ import annotations

from dataclasses import replace
from math import inf, isfinite, sqrt
from typing import Any

from ccassist.bench import names
from ccassist.bench.instruments.glass import glassware
from ccassist.bench.instruments.instrument import Instrument, Limit, permissible
from ccassist.bench.instruments.lengths import length_tools
from ccassist.bench.instruments.plastic import plastics
from ccassist.bench.instruments.scales import scales
from ccassist.findings import Finding, InputError, error
from ccassist.terms import Kind

INSTRUMENTS: dict[str, Instrument] = {
    tool.key: tool for family in (glassware, plastics, scales, length_tools) for tool in family()
}
_BY_WORDS = names.index(INSTRUMENTS, {key: tool.synonyms for key, tool in INSTRUMENTS.items()})


def find(name: str) -> Instrument | None:
    """The instrument of that name or synonym, or None; case, order and spacing do not matter.

    Glass whose class is not said is taken as class B.

    >>> find("60cc Syringe").key
    'syringe 60 ml'
    """
    return _BY_WORDS.get(names.words(name))


def nearest(name: str) -> str | None:
    """The key of the catalogue most like a mistyped name, or None."""
    return names.closest(name, INSTRUMENTS)


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

    All SI, share of 1; what is not given stays that of its like.  Like nothing,
    it is of the kind said, and what is not given is not known.  A limit or a
    share replaces the catalogue's limits altogether (limit + share × amount).
    Raises InputError, with every fault, where a figure cannot be.
    """
    base = find(like) if like else _unheard_of(kind)
    faults = _faults(
        like,
        base,
        {
            "resolution": resolution,
            "limit": limit,
            "share": share,
            "repeatability": repeatability,
            "capacity": capacity,
        },
    )
    if base is None or faults:
        raise InputError([fault.at(place=f"instrument {name}") for fault in faults])
    stated = limit is not None or share is not None
    own = {
        "resolution": resolution,
        "repeatability": repeatability,
        "capacity": capacity,
        "limits": (Limit(fixed=limit or 0.0, share=share or 0.0),) if stated else None,
        "source": "the user's own figure" if stated else None,
        "known": "own figure" if stated else None,
    }
    changes: dict[str, Any] = {field: value for field, value in own.items() if value is not None}
    return replace(base, key=name, name=name, synonyms=(), **changes)


def _unheard_of(kind: Kind) -> Instrument:
    """An instrument of which only the kind is known; its material may be glass or plastic."""
    fills = kind is Kind.VOLUME
    return Instrument(
        key="",
        name="",
        kind=kind,
        resolution=0.0,
        limits=(),
        per="delivery" if fills else "reading",
        capacity=inf,
        source="not said",
        known="own figure",
        expansion=225e-6 if fills else 0.0,
        expansion_doubt=225e-6 / sqrt(3) if fills else 0.0,
    )


def _faults(like: str, base: Instrument | None, figures: dict[str, float | None]) -> list[Finding]:
    found = [
        error("own-instrument", f"the {words} must be nought or more", read=f"{value:g}")
        for words, value in figures.items()
        if value is not None and not (isfinite(value) and value >= 0)
    ]
    if base is None:
        meant = nearest(like)
        found.append(
            error(
                "unknown-instrument",
                "no such instrument to be like",
                read=like,
                right=f'did you mean "{meant}"?' if meant else "name one of the catalogue",
            )
        )
        return found
    capacity, share = figures["capacity"], figures["share"]
    if share is not None and share > 1:
        found.append(
            error(
                "own-instrument", "the share is more than the whole amount", read=f"{share:g}", right="write it as 1 %"
            )
        )
    if capacity == 0:
        found.append(error("own-instrument", "it must hold something", read="0"))
    if capacity is not None and capacity > base.capacity and figures["limit"] is None and share is None:
        found.append(
            error(
                "own-instrument",
                f"it holds more than its like, {base.name}, whose permissible error ends there",
                right="give its own permissible error",
            )
        )
    return found


__all__ = ["INSTRUMENTS", "Instrument", "Limit", "find", "nearest", "own_instrument", "permissible"]
