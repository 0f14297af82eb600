"""The few words that code compares: each a member of an enumeration, and still the text that a file holds."""

from __future__ import annotations

from enum import StrEnum


class System(StrEnum):
    """In which units numbers are shown, and in which bare ones are taken."""

    METRIC = "metric"
    IMPERIAL = "imperial"
