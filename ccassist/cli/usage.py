"""Slips of the command line itself, such as an option that is not there: one line each, as of everything else."""

from __future__ import annotations

import re

import typer

from ccassist.values.findings import InputError, error

# What the reader of the command line raises for every one of them; it has no public name of its own.
Slip: type[Exception] = typer.BadParameter.__bases__[0]
_WHOLE = re.compile(r"[+-]?[0-9]{1,6}")


def in_a_line(slip: Exception) -> InputError:
    """A slip in the trade's words, with the command it was made in."""
    command = getattr(getattr(slip, "ctx", None), "command_path", "") or "ccassist"
    said = str(slip.format_message()) if hasattr(slip, "format_message") else str(slip)
    wrong, _, meant = said.partition(" Did you mean")
    right = f"did you mean{meant}" if meant else f"see {command} --help"
    return InputError(error("usage", wrong[:1].lower() + wrong[1:].rstrip("."), right=right, place=command))


def whole(text: str, place: str) -> int:
    """A whole number as an option says it.

    Raises
    ------
    InputError : it is none, or one of very many digits.

    >>> whole(" 12", "--top")
    12
    """
    if not _WHOLE.fullmatch(text.strip()):
        raise InputError(error("not-whole", "a whole number is expected", read=text, right="such as 1", place=place))
    return int(text)
