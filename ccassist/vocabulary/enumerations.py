"""The few words that code compares: each a member of an enumeration, and still the text that a file holds."""

from __future__ import annotations

from enum import StrEnum


class System(StrEnum):
    """In which units numbers are shown, and in which bare ones are taken."""

    METRIC = "metric"
    IMPERIAL = "imperial"


class Origin(StrEnum):
    """Where a value comes from.

    The first three are what may be said behind a quantity, and no origin said is false; the others are what the tool
    says of its own.
    """

    MEASURED = "measured"
    MAKER = "maker's figure"
    ASSUMED = "assumed"
    UNSAID = ""
    NOT_SAID = "not said"
    STATED = "stated"
    CHOSEN = "chosen"
    ASKED = "asked"
    COMPUTED = "computed"
    NOT_COUNTED = "not counted"
    AS_THE_ENGINE = "as the engine"
    PLANNED = "planned"
    ORDERED = "ordered"
    WORKED_OUT = "worked out"


class Shape(StrEnum):
    """The distribution of a cause of doubt.

    A limit within which nothing is preferred is rectangular, two such of a size together are triangular.
    """

    NORMAL = "normal"
    RECTANGULAR = "rectangular"
    TRIANGULAR = "triangular"
