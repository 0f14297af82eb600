"""Why a reading is set aside: a reason in words, or nothing at all."""

from __future__ import annotations

import re
from typing import Any

from ccassist.job.toml_text import as_written
from ccassist.values.findings import Finding, error

EXAMPLE = "saw a bubble"
# Said of whether, and not of why; a table's cell or a tick box holds them.
NO_REASON = (
    "yes",
    "no",
    "true",
    "false",
    "none",
    "nil",
    "null",
    "on",
    "off",
    "ok",
    "set aside",
    "aside",
    "done",
    "n/a",
)


def no_reason(said: Any) -> Finding | None:
    """What is wrong with a reason, or None.

    >>> no_reason("saw a bubble") is None, no_reason("no").wrong, no_reason(1).wrong
    (True, 'it says whether, and not why, it is set aside', 'why it is set aside is said in words')
    """
    right = f'set_aside = "{EXAMPLE}", or leave it out'
    if not isinstance(said, str):
        return error("no-reason", "why it is set aside is said in words", read=as_written(said), right=right)
    if not said.strip():
        return error("missing-value", "why it is set aside is not said", right=right)
    if _whether(said):
        return error("no-reason", "it says whether, and not why, it is set aside", read=said, right=right)
    if says_nothing(said):
        return error("no-reason", "why it is set aside is said in words", read=said, right=right)
    return None


def says_nothing(said: str) -> bool:
    """Whether a text is no reason: empty, a single letter, a word of whether and not of why, or a number.

    >>> says_nothing("-"), says_nothing("ok."), says_nothing("1,2"), says_nothing("one is a spare")
    (True, True, True, False)
    """
    words = " ".join(said.split())
    return len(words) < 2 or _whether(said) or re.fullmatch(r"[-+]?[\d.,\s]+", words) is not None


def _whether(said: str) -> bool:
    return " ".join(said.split()).casefold().strip(".!,; ") in NO_REASON
