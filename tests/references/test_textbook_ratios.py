"""Swept volume, clearance and ratio of textbook examples, from their dimensions through ``ccassist ratio --json``.

Examples that print an efficiency only are left out: it would have to be worked out here.
"""

from __future__ import annotations

import json
from math import pi

import pytest

from tests.references.sources import cites
from tests.sound_job import Shop

BARE = ("gasket=0mm", "deck=flush", "crown=flat")  # the chamber is all of the clearance
CC, IN3 = 1e-6, 16.387064e-6


def asked(shop: Shop, words: str) -> dict[str, float]:
    """Every value of the one case, SI; what was left out stands among them."""
    assert shop.run("ratio", *words.split(), *BARE, "--json") == 0, shop.err
    (case,) = json.loads(shop.out)["cases"]
    found = dict(case["values"])
    if case["solved"]:
        found |= case["solved"]["ways"][0]["values"]
    return {key: value["value"] for key, value in found.items()}


EXAMPLES = [  # what is typed, what is asked for, in which unit it is printed, printed, how near
    pytest.param("bore=3.25in stroke=4in chamber=6in3", "static_ratio", 1, 6.531, 6e-4, marks=cites("solberg")),
    pytest.param("bore=3in stroke=4in chamber=4in3", "swept_volume", IN3, 28.26, 0.02, marks=cites("kates")),
    pytest.param("bore=200 stroke=450 chamber=2litre", "static_ratio", 1, 8.07, 6e-3, marks=cites("agrawal")),
    pytest.param("bore=200 stroke=450 chamber=2litre", "swept_volume", 1, 0.014139, 3e-6, marks=cites("agrawal")),
    pytest.param("bore=68 stroke=75 ratio=8", "swept_volume", CC / 4, 1089.5, 0.06, marks=cites("mathur")),
    pytest.param("bore=100 stroke=150 ratio=6", "chamber_volume", CC, 235.5, 0.13, marks=cites("keswani")),
    pytest.param("bore=80 chamber=110cc ratio=5", "stroke", CC / (pi / 4 * 0.08**2), 440, 1e-4,
                 marks=cites("keswani"), id="Keswani 3.18: swept 440 cm³, here over 80 mm"),
    pytest.param("bore=210 stroke=300 ratio=16", "chamber_volume", 1, 0.000693, 6e-7, marks=cites("bhatt")),
]  # fmt: skip


@pytest.mark.parametrize(("words", "key", "unit", "printed", "near"), EXAMPLES)
def test_printed_results(shop: Shop, words: str, key: str, unit: float, printed: float, near: float) -> None:
    """Within what the book's π (3.14, 22/7) and last digit leave."""
    assert asked(shop, words)[key] / unit == pytest.approx(printed, abs=near)


@cites("arasu")
def test_clearance_as_a_share_of_the_swept_volume(shop: Shop) -> None:
    """137 × 130 mm, 280 cm³: 14.6 %."""
    values = asked(shop, "bore=137 stroke=130 chamber=280cc")
    assert values["clearance_volume"] / values["swept_volume"] == pytest.approx(0.146, abs=6e-4)


@cites("bhatt")
def test_whole_volume(shop: Shop) -> None:
    """210 × 300 mm, r 16: 0.0111 m³."""
    values = asked(shop, "bore=210 stroke=300 ratio=16")
    assert values["swept_volume"] + values["chamber_volume"] == pytest.approx(0.0111, abs=6e-5)


@cites("solberg")
def test_and_the_other_way(shop: Shop) -> None:
    """The clearance of 6 in³ is found from the printed ratio, as closely as that was printed."""
    assert asked(shop, "bore=3.25in stroke=4in ratio=6.531")["chamber_volume"] / IN3 == pytest.approx(6, rel=2e-4)
