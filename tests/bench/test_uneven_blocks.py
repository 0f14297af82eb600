"""Bores that taper and decks whose corners are not level: from which size on it is said, and of which end or corner.

0.03 mm of taper and 0.05 mm of tilt are common practice, no source.
"""

from __future__ import annotations

import pytest

from ccassist.analysis.results import survey
from ccassist.job.file import parse_job
from ccassist.values.findings import Finding


def said(header: str, row: str, code: str) -> list[Finding]:
    text = f"""format = 1
[engine]
cylinders = 1
[part.block]
kind = "block"
[[series]]
{header}
readings = [
    {{ {row} }},
    {{ {row} }},
]
"""
    return [f for f in survey(parse_job(text).job).findings if f.code == code]


@pytest.mark.parametrize(
    ("top", "low", "words"),
    [
        (86.43, 86.40, ""),
        (86.40, 86.43, ""),
        (86.44, 86.40, "wider near the top"),
        (86.40, 86.44, "wider low down"),
    ],
)
def test_taper(top: float, low: float, words: str) -> None:
    found = said('step = "bore"\ncylinder = 1', f'top = "{top} mm", low = "{low} mm"', "taper")
    assert [words in f.wrong and "0.04" in f.wrong for f in found] == ([True] if words else [])


CORNERS = ("front_left", "front_right", "rear_left", "rear_right")


@pytest.mark.parametrize("low", range(4))
@pytest.mark.parametrize(("drop", "tilted"), [(0.05, False), (0.06, True)])
def test_corners(low: int, drop: float, tilted: bool) -> None:
    heights = [211.34 - (drop if i == low else 0.0) for i in range(4)]
    row = ", ".join(f'{name} = "{height:.2f} mm"' for name, height in zip(CORNERS, heights, strict=True))
    found = said('step = "stack"\npart = "block"', row, "deck-tilted")
    lowest = CORNERS[low].replace("_", " ")
    assert [f"the {lowest} corner is" in f.wrong for f in found] == ([True] if tilted else [])
