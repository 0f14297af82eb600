"""What is asked of a tolerance: the target, what is held and how close, and the band wanted."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from ccassist.plan.solved.wish import wanted_term
from ccassist.values.band import Band, parse_band
from ccassist.values.findings import InputError, error, placed
from ccassist.values.quantity import UNSAID, read_amount
from ccassist.values.units import shown_unit


@dataclass(frozen=True, kw_only=True)
class Wish:
    """The target, the held terms with their limits (SI; None where only asked about), and the band wanted."""

    target: str
    holds: Mapping[str, float | None]
    band: Band | None = None

    @property
    def stated(self) -> dict[str, float]:
        """The limits that are stated while others are asked about, SI: those are used, and not asked for anew."""
        if all(limit is not None for limit in self.holds.values()):
            return {}
        return {key: limit for key, limit in self.holds.items() if limit is not None}


def wished(of: str, holds: Iterable[tuple[str, str]], band: str | None, system: str) -> Wish:
    """The wish in texts: the target, each held term with its limit ("" where it is only asked about), the band.

    Raises
    ------
    InputError : a term is not known, a limit cannot be read, or there is neither a limit nor a band.
    """
    target = wanted_term(of, "--of")
    with placed("--band"):
        wanted = None if band is None else parse_band(band.strip(), target.key, system=system)
    held: dict[str, float | None] = {}
    for name, limit in holds:
        key, amount = _hold(name, limit, bare=band is not None)
        if key in held:
            raise InputError(error("same-term", "this term is held already", read=name, place="--holds"))
        held[key] = amount
    return Wish(target=target.key, holds=held, band=wanted)


def _hold(name: str, limit: str, *, bare: bool) -> tuple[str, float | None]:
    held = wanted_term(name, "--holds")
    if not limit.strip():
        if bare:
            return held.key, None
        right = "--holds 'crown_volume=0.5 cc', or a --band to ask for"
        raise InputError(error("no-limit", "no limit to hold", read=name, place="--holds", right=right))
    amount = re.sub(r"^\s*(±|\+/-)\s*", "", limit)
    try:
        size = read_amount(amount, held.kind, name=f"limit of the {held.name}", system=UNSAID)
        if size > held.possible[1] - held.possible[0]:
            raise InputError(error("impossible", f"no {held.name} can be held so badly", read=amount))
        return held.key, size
    except InputError as refused:
        right = f"write the limit with its unit, such as '{held.key}={f'0.5 {shown_unit(held)}'.strip()}'"
        raise InputError([replace(f, place="--holds", right=right) for f in refused.findings]) from None
