"""What lies outside the tool, said in words when somebody asks for it."""

from __future__ import annotations

_ASKED: dict[str, tuple[str, ...]] = {
    "port-timed two-strokes": (
        "two_stroke",
        "twostroke",
        "exhaust_port",
        "transfer_port",
        "intake_port",
        "port_height",
        "port_timing",
    ),
    "rotary engines": ("rotary", "rotor", "eccentric_shaft"),
    "prechambers": ("prechamber", "pre_chamber", "swirl_chamber"),
}


def out_of_scope(key: str) -> str:
    """Why a key that nobody knows is not known; "" where it asks for nothing of the kind.

    >>> out_of_scope("exhaust_port_height")
    'out of scope here: port-timed two-strokes'
    """
    said = key.lower().replace("-", "_").replace(" ", "_")
    for what, words in _ASKED.items():
        if any(word in said for word in words):
            return f"out of scope here: {what}"
    return ""
