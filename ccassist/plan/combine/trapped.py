"""The trapped ratio of combinations: it follows the crank, the rod and the pin offset of each."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any

from ccassist.boost.trapped import Geometry

TRAPPED = "trapped_ratio"
CLOSING = ("stroke", "rod_length", "intake_closing")


def with_trapped(values: dict[str, Any]) -> dict[str, Any]:
    """All terms of combinations and, where it can be had, their trapped ratio.

    ``values`` : floats, uncertain numbers or arrays that broadcast, SI.
    """
    if "static_ratio" not in values or not all(key in values for key in CLOSING):
        return values
    geometry = Geometry(
        static_ratio=values["static_ratio"],
        pin_offset=values.get("pin_offset", 0.0),
        **{key: values[key] for key in CLOSING},
    )
    return {**values, TRAPPED: geometry.trapped_ratio}


def lacking_for_trapped(able: Collection[str], lacking: Mapping[str, tuple[str, ...]]) -> tuple[str, ...]:
    """What is not given of what the trapped ratio needs; ``lacking`` is the model's own list."""
    return (*lacking.get("static_ratio", ()), *(key for key in CLOSING if key not in able))
