"""The band to expect from what is held and measured, and what to ask of the maker for a band."""

from __future__ import annotations

import math
from itertools import product

import numpy as np
import pytest

from ccassist.analysis.results import survey
from ccassist.engine.model import Choices, build
from ccassist.job.file import parse_job
from ccassist.plan.expected import (
    DRAWS,
    HeldCylinder,
    Span,
    drawn_band,
    draws,
    eased,
    envelope,
    expect,
    stand,
    worst_case,
)
from ccassist.plan.piston.checks import with_ordered_pistons
from ccassist.plan.tolerance import asked_of_the_maker, tolerance_of, wished
from ccassist.values.display import METRIC
from ccassist.values.findings import InputError
from ccassist.values.number import Number, nominal, standard
from ccassist.values.uncertainty import Cause, doubt, half_width
from ccassist.values.verdict import parse_band
from tests.order_job import changed
from tests.trade_c1 import C1_TEXT, CROWN, si

CC, MM = 1e-6, 1e-3
COUNTED = Choices(crevice=True, chamfer=True, seal="")

C1 = si({**C1_TEXT, "crown_volume": CROWN})


def unsure(**sizes: float) -> dict[str, Number]:
    """C1 with standard uncertainties put on some terms."""
    return {**C1, **{key: C1[key] + doubt(size, Cause(name=key, key=key)) for key, size in sizes.items()}}


def ratio(engine: dict[str, float]) -> float:
    return float(build(engine, COUNTED).evaluate(engine)["static_ratio"])


def c1(holds: dict[str, float], **sizes: float) -> HeldCylinder:
    return stand(unsure(**sizes), COUNTED, target="static_ratio", holds=holds)


def test_c1_the_combined_doubt_of_the_ratio() -> None:
    """C1 with 1σ of chamber 0.3, gasket 0.05, deck 0.03, crown 0.5 and crevice 0.15: 0.104.

    Common practice, recomputed.  The crown is held within 0.5 × √3 cc, whose standard uncertainty
    is 0.5 cc (JCGM 100:2008, 4.3.7); the crevice stands as another volume, a volume being a volume.
    """
    known = unsure(chamber_volume=0.3 * CC, gasket_thickness=0.05 * MM, block_deck_height=0.03 * MM)
    known["extra_volume"] = doubt(0.15 * CC, Cause(name="crevice"))
    found = stand(known, COUNTED, target="static_ratio", holds={"crown_volume": 0.5 * CC * math.sqrt(3)})
    assert standard(found.number) == pytest.approx(0.104, abs=5e-4)


def test_c1_what_one_held_term_does() -> None:
    """C1: pin height ± 0.05 mm moves the ratio ± 0.038, dish ± 0.5 cc ± 0.077 (common practice, recomputed)."""
    height = worst_case(c1({"compression_height": 0.05 * MM}))
    assert (height.high - height.low) / 2 == pytest.approx(0.038, abs=0.0005)
    dish = worst_case(c1({"crown_volume": 0.5 * CC}))
    assert (dish.high - dish.low) / 2 == pytest.approx(0.077, abs=0.0005)


def test_one_limit_alone_in_a_straight_line() -> None:
    """A rectangle's 95 % interval is 0.95 of its half-width (JCGM 100:2008, 4.3.7 and G.1.3), its limit the worst."""
    found = expect(stand(C1, COUNTED, target="deck_clearance", holds={"compression_height": 0.05 * MM}))
    assert found.value == pytest.approx(0.20 * MM, abs=1e-12)
    assert found.expanded == pytest.approx(0.95 * 0.05 * MM, rel=1e-6)
    assert found.worst.low == pytest.approx(0.15 * MM, abs=1e-12)
    assert found.worst.high == pytest.approx(0.25 * MM, abs=1e-12)
    assert found.drawn.high - found.drawn.low == pytest.approx(2 * 0.95 * 0.05 * MM, rel=0.01)


def test_two_equal_limits_make_a_triangle() -> None:
    """Two equal rectangles together are a triangle (JCGM 101:2008, 6.4.5): 95 % within (1 − √0.05) of its half."""
    holds = {"compression_height": 0.05 * MM, "block_deck_height": 0.05 * MM}
    found = expect(stand(C1, COUNTED, target="deck_clearance", holds=holds))
    half = 0.10 * MM
    assert found.drawn.high - 0.20 * MM == pytest.approx((1 - math.sqrt(0.05)) * half, rel=0.02)
    assert standard(found.stand.number) == pytest.approx(half / math.sqrt(6), rel=1e-9)
    assert (found.worst.low, found.worst.high) == pytest.approx((0.10 * MM, 0.30 * MM), abs=1e-12)


def test_drawn_and_linear_agree_where_doubts_are_small() -> None:
    """JCGM 101:2008, 8: both must agree where the model is straight over the doubt and many causes join."""
    sizes = {"chamber_volume": 0.10 * CC, "gasket_thickness": 0.01 * MM, "block_deck_height": 0.01 * MM}
    found = expect(c1({"crown_volume": 0.1 * CC, "compression_height": 0.01 * MM}, **sizes))
    assert found.drawn.low == pytest.approx(found.linear.low, abs=0.03 * found.expanded)
    assert found.drawn.high == pytest.approx(found.linear.high, abs=0.03 * found.expanded)
    assert found.worst.low < found.linear.low
    assert found.worst.high > found.linear.high


def test_worst_case_is_the_worst_of_all_corners() -> None:
    """Every corner by hand, with straight loops over all the limits, what was measured among them."""
    holds = {"crown_volume": 0.5 * CC, "compression_height": 0.05 * MM, "bore": 0.02 * MM}
    known: dict[str, Number] = {
        **C1,
        "chamber_volume": C1["chamber_volume"] + half_width(0.3 * CC, Cause(name="burette", shape="rectangular")),
        "gasket_thickness": C1["gasket_thickness"] + half_width(0.05 * MM, Cause(name="gasket", shape="triangular")),
    }
    found = worst_case(stand(known, COUNTED, target="static_ratio", holds=holds))
    limits = {**holds, "chamber_volume": 0.3 * CC, "gasket_thickness": 0.05 * MM}
    corners = [
        ratio({**C1, **{key: C1[key] + way * size for (key, size), way in zip(limits.items(), ways, strict=True)}})
        for ways in product((-1, 1), repeat=len(limits))
    ]
    assert found.low == pytest.approx(min(corners), rel=1e-12)
    assert found.high == pytest.approx(max(corners), rel=1e-12)


def test_a_shared_cause_moves_both_the_same_way() -> None:
    """JCGM 100:2008, 5.2.2: what two inputs share adds up before it is squared, in the draws too."""
    shared = doubt(0.01 * MM, Cause(name="micrometer"))
    known = {**C1, "stroke": C1["stroke"] + shared, "rod_length": C1["rod_length"] + shared}
    found = expect(stand(known, COUNTED, target="deck_clearance", holds={"compression_height": 0.0}))
    assert standard(found.stand.number) == pytest.approx(1.5 * 0.01 * MM, rel=1e-9)
    assert found.drawn.high - found.drawn.low == pytest.approx(2 * 1.96 * 0.015 * MM, rel=0.03)


def test_draws_have_the_shapes_of_their_causes() -> None:
    """Moments against JCGM 100:2008, 4.3.7 and 4.3.9, and Student's t of 5 degrees of freedom (variance 5/3)."""
    flat = half_width(1.0, Cause(name="flat", shape="rectangular"))
    peaked = half_width(1.0, Cause(name="peaked", shape="triangular"))
    bell = doubt(1.0, Cause(name="bell"))
    loose, sister = (doubt(1.0, Cause(name=name, dof=5, pool="fills")) for name in ("fill 1", "fill 2"))
    got = draws([flat, peaked, bell, loose, sister])
    assert all(one.shape == (DRAWS,) for one in got.values())
    assert np.abs(got[flat]).max() <= 1
    assert np.abs(got[peaked]).max() <= 1
    spreads = [float(np.std(got[one])) for one in (flat, peaked, bell, loose)]
    assert spreads == pytest.approx([1 / math.sqrt(3), 1 / math.sqrt(6), 1, math.sqrt(5 / 3)], rel=0.03)
    assert abs(np.corrcoef(got[loose], got[sister])[0, 1]) < 0.05
    assert np.corrcoef(np.abs(got[loose]), np.abs(got[sister]))[0, 1] > 0.1  # one pool: wide together


def test_draws_are_the_same_every_time() -> None:
    holds = {"crown_volume": 0.5 * CC}
    assert expect(c1(holds, bore=0.01 * MM)).drawn == expect(c1(holds, bore=0.01 * MM)).drawn


def test_draws_that_are_no_engine_give_no_band() -> None:
    flat = half_width(1.0, Cause(name="flat", shape="rectangular"))
    assert all(math.isnan(end) for end in drawn_band([flat], lambda effects, m: m.sqrt(effects[flat])))


def test_a_limit_takes_the_place_of_the_terms_own_doubt() -> None:
    with_both = c1({"crown_volume": 0.5 * CC}, crown_volume=2.0 * CC)
    assert standard(with_both.number) == pytest.approx(standard(c1({"crown_volume": 0.5 * CC}).number), rel=1e-12)


def test_a_term_of_the_stack_can_be_cut_free() -> None:
    """The deck clearance held as such: then the stack's own doubts no longer count for the ratio."""
    found = c1({"deck_clearance": 0.05 * MM}, compression_height=1.0 * MM)
    area = math.pi / 4 * C1["bore"] ** 2
    slope = -(8.90 - 1) / (51.078 * CC) * area  # of CR with Vc, times the area; C1 recomputed
    assert standard(found.number) == pytest.approx(abs(slope) * 0.05 * MM / math.sqrt(3), rel=1e-3)


def test_a_fill_over_the_piston_stays_as_found() -> None:
    """A height held within limits moves the deck, not the crown that was filled at the old height."""
    fill = {key: value for key, value in C1.items() if key != "crown_volume"}
    fill |= {"crown_fill": 75.0 * CC, "crown_drop": 14.0 * MM}
    choices = Choices(crevice=True, chamfer=True, seal="grease")
    now = build(fill, choices).evaluate(fill)
    found = stand(fill, choices, target="clearance_volume", holds={"compression_height": 0.05 * MM})
    assert standard(found.number) == pytest.approx(now["bore_area"] * 0.05 * MM / math.sqrt(3), rel=1e-9)


def test_a_doubt_not_known_yet_leaves_no_band() -> None:
    found = expect(c1({"crown_volume": 0.5 * CC}, chamber_volume=math.nan))
    assert found.value == pytest.approx(8.90, abs=1e-4)
    assert all(math.isnan(end) for span in (found.linear, found.worst, found.drawn) for end in (span.low, span.high))
    assert found.best_reading is not None
    assert found.best_reading.cause.name == "chamber_volume"


def test_the_reading_that_would_help_most_is_named() -> None:
    """Root of the sum of squares by hand (JCGM 100:2008, 5.1.2): 0.4 and 0.3 make 0.5; halving 0.4 leaves 0.36."""
    known = {**C1, "chamber_volume": C1["chamber_volume"] + doubt(0.4 * CC, Cause(name="burette"))}
    known["extra_volume"] = doubt(0.3 * CC, Cause(name="plug well"))
    found = expect(stand(known, COUNTED, target="clearance_volume", holds={"crown_volume": 0.0}))
    best = found.best_reading
    assert best is not None
    assert best.cause.name == "burette"
    assert best.share == pytest.approx(0.64, rel=1e-9)
    factor = 1.959964
    assert found.expanded == pytest.approx(factor * 0.5 * CC, rel=1e-6)
    assert best.halved == pytest.approx(factor * math.hypot(0.2, 0.3) * CC, rel=1e-6)
    assert best.gone == pytest.approx(factor * 0.3 * CC, rel=1e-6)


def test_a_held_term_is_no_reading() -> None:
    found = expect(c1({"crown_volume": 5.0 * CC}, chamber_volume=0.1 * CC))
    assert found.helps[0].held
    assert found.best_reading is not None
    assert found.best_reading.cause.name == "chamber_volume"


def test_easing_keeps_the_rest() -> None:
    one, two = Cause(name="one"), Cause(name="two")
    number = 5 + doubt(3.0, one) + doubt(4.0, two)
    assert standard(eased(number, one, 0.0)) == pytest.approx(4.0)
    assert standard(eased(number, two, 0.5)) == pytest.approx(math.hypot(3, 2))
    assert nominal(eased(number, two, 0.5)) == 5


def test_the_set_reaches_from_the_lowest_to_the_highest() -> None:
    assert envelope([Span(low=1, high=2), Span(low=0.5, high=1.5)]) == Span(low=0.5, high=2)
    assert math.isnan(envelope([Span(low=1, high=2), Span(low=math.nan, high=math.nan)]).low)


def at_worst(limits: dict[str, float], **sizes: float) -> float:
    """How near the ratio of C1 comes to the end of 8.70 to 9.10 at its worst; negative beyond it."""
    found = worst_case(c1(limits, **sizes))
    return min(found.low - 8.70, 9.10 - found.high)


def test_what_is_asked_fills_the_band_at_its_worst_and_no_more() -> None:
    """Put back as limits, what is asked for reaches the nearer end of the band with everything at its limit."""
    sizes = {"chamber_volume": 0.3 * CC, "gasket_thickness": 0.03 * MM}
    holds = {"crown_volume": 0.0, "compression_height": 0.0}
    asked = asked_of_the_maker(c1(holds, **sizes), parse_band("8.70 to 9.10", "static_ratio"))
    assert asked.room == pytest.approx(0.20, abs=1e-4)
    for limits in (*({key: limit} for key, limit in asked.alone.items()), dict(asked.shared)):
        assert -1e-9 <= at_worst(limits, **sizes) < 0.02 * asked.room  # the ratio bends a little over the band
    assert all(asked.shared[key] == pytest.approx(asked.alone[key] / 2, rel=0.05) for key in holds)


def test_one_limit_with_nothing_else_in_doubt() -> None:
    """By hand: nothing else moves the deck, so ± 0.10 mm of deck allows ± 0.10 mm of height."""
    stood = stand(C1, COUNTED, target="deck_clearance", holds={"compression_height": 0.0})
    asked = asked_of_the_maker(stood, parse_band("0.10 to 0.30 mm below deck", "deck_clearance"))
    assert asked.alone["compression_height"] == pytest.approx(0.10 * MM, rel=1e-6)
    assert asked.measured == 0


@pytest.mark.parametrize(
    ("band", "chamber", "words"),
    [
        ("8.85 to 8.95", 0.5 * CC, "what would do it: the chamber volume known to ± "),
        ("9.1 to 9.3", 0.1 * CC, "stands at 8.90, outside the band"),
        ("8.8 to 9.0", math.nan, "not known yet: take repeat readings"),
    ],
)
def test_why_nothing_can_be_asked(band: str, chamber: float, words: str) -> None:
    stood = c1({"crown_volume": 0.0}, chamber_volume=chamber)
    asked = asked_of_the_maker(stood, parse_band(band, "static_ratio"))
    assert words in asked.reason
    assert asked.alone == {}


@pytest.mark.parametrize(
    ("target", "holds", "words"),
    [
        ("static_ratio", {}, "1 to 8 terms can be held"),
        ("static_ratio", {"static_ratio": 0.1}, "is the target"),
        ("displacement", {"cylinders": 1.0}, "has no tolerance"),
        ("static_ratio", {"crown_volume": -1e-6}, "must be nothing or more"),
        ("static_ratio", {"engine_speed": 1.0}, "not given: engine speed"),
        ("squish", {"crown_volume": 1e-6}, "does not depend on the net crown volume here; it depends on: block deck"),
        ("mean_piston_speed", {"stroke": 1e-4}, "not given: mean piston speed"),
        ("bore", {"stroke": 1e-4}, "not given: bore"),
    ],
)
def test_questions_that_are_not_sound(target: str, holds: dict[str, float], words: str) -> None:
    with pytest.raises(InputError, match=words):
        stand(C1, COUNTED, target=target, holds=holds)


@pytest.mark.parametrize("size", [0.04, 0.06, 0.09])
@pytest.mark.parametrize("asked_for", [("crown_volume",), ("crown_volume", "gasket_thickness")])
def test_a_limit_that_is_stated_is_used_and_the_others_share_the_rest(size: float, asked_for: tuple[str, ...]) -> None:
    """All held at once, the stated one at its limit and the others at theirs, reach the band's end and no further."""
    band, fast = parse_band("8.70 to 9.10", "static_ratio"), {"compression_height": size * MM}
    stood = c1({**dict.fromkeys(asked_for, 0.0), **fast})
    asked = asked_of_the_maker(stood, band, stated=fast)
    assert set(asked.alone) == set(asked.shared) == set(asked_for)
    for limits in (asked.shared, *({key: limit} for key, limit in asked.alone.items())):
        worst = worst_case(c1({**fast, **limits}))
        margin = min(worst.low - band.low, band.high - worst.high)
        assert margin == pytest.approx(0, abs=0.04 * 0.2)  # 0.04 mm of height alone moves it by 0.03
        assert margin > -1e-9


def test_a_stated_limit_that_takes_the_whole_band_leaves_nothing_to_ask_for() -> None:
    fast = {"compression_height": 0.5 * MM}
    asked = asked_of_the_maker(c1({"crown_volume": 0.0, **fast}), parse_band("8.7 to 9.1", "static_ratio"), stated=fast)
    assert "the compression height held to ± 0.19 mm instead of ± 0.5 mm" in asked.reason
    assert not asked.alone


def test_a_job_that_orders_pistons_is_asked_about_those_and_not_about_the_old_ones() -> None:
    """The piston that is in it, 1 mm lower, would give another ratio; the height as made cannot be measured yet."""
    old = 'compression_height = "30.2 +/- 0.01 mm, measured"\ncrown_volume = "flat, measured"\n[counted]'
    engine = survey(parse_job(changed('crevice = "not counted"').replace("[counted]", old), "order.toml").job)
    ordered, found = with_ordered_pistons(engine, to_be_made=True)
    assert [one.code for one in found] == ["ordered-pistons"]
    wish = wished("static_ratio", ["crown_volume=0.2 cc"], None, METRIC)
    now, made = (tolerance_of(one, wish).cylinders[0].expected for one in (engine, ordered))
    assert now is not None
    assert made is not None
    assert made.value == pytest.approx(8.65, abs=0.02)  # the middle of what is wanted
    assert abs(now.value - made.value) > 0.1
    assert made.best_reading is not None
    assert "as made" not in made.best_reading.cause.name
