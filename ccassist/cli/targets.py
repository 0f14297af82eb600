"""What ``--to`` asks for, and what stands under every answer to it."""

from __future__ import annotations

from collections.abc import Sequence

from ccassist.cli.screen import say, wrapped
from ccassist.values.findings import InputError, error

CONFIRM = "A planning figure: confirm with the maker and the machinist before metal is cut."


def print_into(texts: Sequence[str]) -> None:
    """How an answer is put into the job file, step by step."""
    if not texts:
        return
    say()
    if len(texts) == 1 and "cannot" in texts[0]:
        wrapped(f"{texts[0]}.", rest="  ")
        return
    say("To put it into the job file, once it is made so:")
    for text in texts:
        wrapped(text, first="  ", rest="      ")


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
