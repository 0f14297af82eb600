"""Sums constructed here on invented engines, added up by hand; ratios of textbooks stand in test_textbook_ratios.

The usual slips of printed sums are kept as traps: the relation must give the right value and not the one that the
slip gives (common practice, no source).
"""

from __future__ import annotations

from math import pi, radians
from typing import Any

import pytest

from ccassist.engine import relations as r
from ccassist.engine import slider_crank as crank
from ccassist.engine.model import RELATIONS, Choices, build
from tests.references.sources import cites

pytestmark = cites("practice")

MM, CC, IN = 1e-3, 1e-6, 25.4e-3
IN3 = 16.387064e-6


def near(printed: str) -> Any:
    """Within half of the last printed digit (and a hair for a five rounded either way)."""
    decimals = len(printed.partition(".")[2])
    return pytest.approx(float(printed), abs=0.501 * 10.0**-decimals)


def result(key: str, choices: Choices | None = None, **known: float) -> float:
    return build(known, choices or Choices()).evaluate(known)[key]


def ratio(*, swept: float, parts: dict[str, float]) -> float:
    """Static ratio from a swept volume and the named parts of the clearance volume, all in cc."""
    nothing = dict.fromkeys(RELATIONS["clearance_volume"].needs, 0.0)
    clearance = RELATIONS["clearance_volume"]({**nothing, **parts})
    return r.static_ratio(swept, clearance)


# -- sums that are right ----------------------------------------------------------------------------


def test_mixed_units() -> None:
    """Bore 85.3, stroke 77.9 mm, deck 0.020 in, head 44.6 cc: 445.169, 2.903 and 10.371 (constructed, by hand)."""
    swept, deck = r.swept_volume(85.3 * MM, 77.9 * MM) / CC, r.deck_volume(85.3 * MM, 0.020 * IN) / CC
    assert (swept, deck) == (near("445.169"), near("2.903"))
    assert ratio(swept=swept, parts={"chamber_volume": 44.6, "deck_volume": deck}) == near("10.371")


STACKS = [  # block, stroke, rod, compression height -> deck clearance, in (constructed: 1.707 is half of 3.414)
    pytest.param(8.993, 3.414, 5.813, 1.466, 0.007, id="below"),
    pytest.param(9.137, 3.414, 5.931, 1.499, 0.0, id="flush"),
    pytest.param(9.137, 3.414, 5.931, 1.511, -0.012, id="proud"),
]


@pytest.mark.parametrize(("block", "stroke", "rod", "height", "clearance"), STACKS)
def test_stack(block: float, stroke: float, rod: float, height: float, clearance: float) -> None:
    assert r.deck_clearance_centred(block, stroke, rod, height) == pytest.approx(clearance, abs=1e-12)


def test_sign_of_a_required_crown() -> None:
    """Head 41.3, gasket 7.2, deck 1.5, swept 502.2, ratio 9.1 needs 12 cc: a form counting the other way says "dome".

    The other three hold 50 and 62 cc are needed, so by our sign the crown must
    add 12: a dish.  Taken as a solid dome it would give 14.22 (constructed, by hand).
    """
    others = {"chamber_volume": 41.3, "gasket_volume": 7.2, "deck_volume": 1.5}
    assert ratio(swept=502.2, parts={**others, "crown_volume": +12}) == near("9.100")
    assert ratio(swept=502.2, parts={**others, "crown_volume": -12}) == near("14.216")


def test_deck_volume_in_inches() -> None:
    """0.023 in on 3.941 in: 4.60 cc (constructed, by hand)."""
    assert r.deck_volume(3.941 * IN, 0.023 * IN) / CC == near("4.60")


def test_piston_at_intake_closing() -> None:
    """Stroke 3.414, rod 5.813 in, closing 70 degrees after bottom: risen 0.8975 in; without the rod a wrong 1.1232.

    Constructed; by hand S − [r + L − r cos θ − √(L² − r² sin² θ)] with θ = 250 degrees.
    """
    drop = crank.piston_drop(pi + radians(70), 3.414, 5.813, 0.0)
    assert r.piston_travel_centred(3.414) - drop == near("0.89748")
    assert r.piston_travel_centred(3.414) - drop != pytest.approx(1.1232, abs=0.2)


def test_ten_thou_of_gasket() -> None:
    """Swept 682.44 cc at 10, gasket opening 4.006 in: 2.065 cc more, 0.239 of a ratio less (constructed, by hand)."""
    swept = r.swept_volume(3.941 * IN, 3.414 * IN)
    assert swept / CC == near("682.44")
    thicker = swept / 9 + r.gasket_volume(r.gasket_area_round(4.006 * IN), 0.010 * IN)
    assert 10 - r.static_ratio(swept, thicker) == near("0.239")


# -- slips of printed sums, kept as traps -----------------------------------------------------------

PROUD = {
    "bore": 83.4 * MM,
    "stroke": 71.3 * MM,
    "rod_length": 123.7 * MM,
    "deck_clearance": -0.65 * MM,
    "land_diameter": 82.55 * MM,
    "land_height": 8 * MM,
    "gasket_bore": 84.9 * MM,
    "gasket_thickness": 1.45 * MM,
    "crown_volume": 2.1 * CC,
    "chamber_volume": 34.2 * CC,
}


def test_parts_over_a_proud_piston() -> None:
    """Pop-up 3.479 by the crown's own area, gasket 8.209, land 0.886 cc (constructed, by hand)."""
    assert result("deck_volume", Choices(crevice=False), **PROUD) / CC == near("-3.479")
    assert result("gasket_volume", **PROUD) / CC == near("8.209")
    assert result("crevice_volume", **PROUD) / CC == near("0.886")


def test_crevice_dropped_from_the_sum() -> None:
    """Consistent: 41.844 and 10.308.  A sum that loses the crevice's line comes to 41.030 and 10.493.

    The trade's own way gives 41.916 and 10.292: it counts 0.072 beside the proud land twice.
    """
    clearance, got = result("clearance_volume", **PROUD) / CC, result("static_ratio", **PROUD)
    assert (clearance, got) == (near("41.844"), near("10.308"))
    assert clearance != pytest.approx(41.030, abs=0.1)
    assert clearance != pytest.approx(41.916, abs=0.05)
    assert got != pytest.approx(10.493, abs=0.1)


def test_annulus_is_what_the_two_ways_differ_by() -> None:
    uncounted = result("clearance_volume", Choices(crevice=False), **PROUD) / CC
    by_the_trade = uncounted + result("crevice_volume", **PROUD) / CC
    assert by_the_trade == near("41.916")
    assert by_the_trade - result("clearance_volume", **PROUD) / CC == near("0.072")


def low_deck(head: float) -> float:
    """Bore 85.3, stroke 77.9, deck 1.5 mm; the deck is 8.572 cc."""
    deck = r.deck_volume(85.3 * MM, 1.5 * MM) / CC
    assert deck == near("8.572")
    swept = r.swept_volume(85.3 * MM, 77.9 * MM) / CC
    return ratio(swept=swept, parts={"chamber_volume": head, "deck_volume": deck})


def test_the_lost_one() -> None:
    """A head of 41.5 cc gives 9.891; swept over clearance alone is 8.891, a slip that is printed (by hand)."""
    assert low_deck(41.5) == near("9.891")
    assert low_deck(41.5) != pytest.approx(8.891, abs=0.5)
    assert low_deck(41.5) - 1 == near("8.891")


def test_head_for_a_ratio() -> None:
    """445.169 ÷ 8.5 − 8.572: a head of 43.80 cc for 9.5 (by hand)."""
    assert low_deck(43.80) == near("9.500")
