"""What ``--to`` asks for, and what stands under every answer to it."""

from __future__ import annotations

from collections.abc import Sequence

from ccassist.findings import InputError, error

CONFIRM = "A planning figure: confirm with the maker and the machinist before metal is cut."


def parted(targets: Sequence[str]) -> list[tuple[str, str]]:
    """Name and value of each ``--to``.

    Raises
    ------
    InputError : one of them has no value.
    """
    found = []
    for target in targets:
        name, _, value = target.partition("=")
        if not value.strip():
            right = "--to 'static_ratio=9.5'"
            raise InputError(error("no-value", "no value to reach", read=target, place="--to", right=right))
        found.append((name, value.strip()))
    return found
