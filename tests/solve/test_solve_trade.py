"""Trade examples solved for their unknown (common practice, recomputed), and the bench's own cases."""

from __future__ import annotations

import math

import pytest

from ccassist.engine.model import Choices, build
from ccassist.solve.question import slopes
from ccassist.solve.solver import solve
from ccassist.values.findings import InputError, NotPossible
from ccassist.values.number import standard
from ccassist.values.quantity import parse
from ccassist.values.uncertainty import Cause, doubt, expand
from ccassist.vocabulary import term
from tests.solve.solve_engines import C1, C1_DISHED, COUNTED, UNCOUNTED

CC, MM = 1e-6, 1e-3


def test_c1_the_piston_to_order() -> None:
    """C1: from 8.90 the net crown is +4.491 cm³, from metric readings (common practice, recomputed)."""
    answer = solve(C1, COUNTED, unknowns=("crown_volume",), targets={"static_ratio": 8.90})
    assert answer.route == "algebra"
    assert answer.number / CC == pytest.approx(4.491, abs=5e-4)
    assert answer.best.values["clearance_volume"] / CC == pytest.approx(51.078, abs=5e-4)
    assert answer.best.values["deck_clearance"] / MM == pytest.approx(0.20, abs=1e-9)


def test_c1_the_compression_height_from_the_stack() -> None:
    """C1: deck clearance +0.20 mm gives compression height 31.65 mm (common practice, recomputed)."""
    known = {key: value for key, value in C1.items() if key != "compression_height"}
    answer = solve(known, COUNTED, unknowns=("compression_height",), targets={"deck_clearance": 0.2 * MM})
    assert answer.number / MM == pytest.approx(31.65, abs=1e-9)


def test_the_crown_that_is_needed() -> None:
    """Head 41.3, gasket 7.2, deck 1.5, swept 502.2 cm³, 9.1 to 1 (constructed, added up by hand).

    The trade's own sums call it "dome 12" where the crown is what lacks: 502.2 ÷ 8.1 is 62
    and the parts come to 50: the crown must add 12 cm³, which is a dish.
    """
    parts = {"chamber_volume": 41.3 * CC, "gasket_volume": 7.2 * CC, "deck_volume": 1.5 * CC}
    known = {"swept_volume": 502.2 * CC, **parts}
    answer = solve(known, UNCOUNTED, unknowns=("crown_volume",), targets={"static_ratio": 9.1})
    assert answer.number / CC == pytest.approx(12.0, abs=0.005)


def test_the_head_for_a_ratio() -> None:
    """85.3 × 77.9 mm, deck 1.5 mm, 9.5 to 1: 445.173 ÷ 8.5 − 8.572 is a head of 43.80 cm³ (constructed, by hand)."""
    known = {
        "bore": 85.3 * MM,
        "stroke": 77.9 * MM,
        "deck_clearance": 1.5 * MM,
        "gasket_volume": 0.0,
        "crown_volume": 0.0,
    }
    answer = solve(known, UNCOUNTED, unknowns=("chamber_volume",), targets={"static_ratio": 9.5})
    assert answer.number / CC == pytest.approx(43.80, abs=0.005)


def test_the_other_volumes_and_the_gasket() -> None:
    """625 cm³ swept, head 60, 10.0 to 1: the rest is 625 ÷ 9 − 60; 5 cm³ on Ø102 is 0.612 mm (constructed, by hand)."""
    known = {"swept_volume": 625 * CC, "chamber_volume": 60 * CC, "gasket_volume": 0.0, "deck_volume": 0.0,
             "crown_volume": 0.0}  # fmt: skip
    rest = solve(known, UNCOUNTED, unknowns=("extra_volume",), targets={"static_ratio": 10.0})
    assert rest.number / CC == pytest.approx(9.444, abs=5e-4)
    bigger = {**known, "chamber_volume": 65 * CC, "extra_volume": rest.number}
    assert build(bigger, UNCOUNTED).evaluate(bigger)["static_ratio"] == pytest.approx(9.3955, abs=5e-5)
    thicker = solve(
        {"gasket_bore": 102 * MM}, UNCOUNTED, unknowns=("gasket_thickness",), targets={"gasket_volume": 5 * CC}
    )
    assert thicker.number / MM == pytest.approx(0.612, abs=5e-4)


def test_c1_sensitivities() -> None:
    """C1: pin height ±0.05 mm moves the ratio ±0.038, dish ±0.5 cm³ ±0.077; u(CR) 0.104 (recomputed)."""
    model = build(C1_DISHED, COUNTED)
    leaning = slopes(model, C1_DISHED, "static_ratio")
    assert leaning["compression_height"] * 0.05 * MM == pytest.approx(0.038, abs=0.0005)
    assert leaning["crown_volume"] * 0.5 * CC == pytest.approx(-0.077, abs=0.0005)
    doubts = {"chamber_volume": 0.3 * CC, "gasket_thickness": 0.05 * MM, "block_deck_height": 0.03 * MM,
              "crown_volume": 0.5 * CC}  # fmt: skip
    crevice = leaning["crown_volume"] * 0.15 * CC  # a volume is a volume
    total = math.hypot(crevice, *(leaning[key] * size for key, size in doubts.items()))
    assert total == pytest.approx(0.104, abs=5e-4)


def test_slopes_are_those_of_small_steps() -> None:
    model = build(C1_DISHED, COUNTED)
    for key, slope in slopes(model, C1_DISHED, "static_ratio").items():
        step = 1e-5 * C1_DISHED[key]
        up, down = (model.evaluate({**C1_DISHED, key: C1_DISHED[key] + by})["static_ratio"] for by in (step, -step))
        assert slope == pytest.approx((up - down) / (2 * step), rel=1e-5), key


def test_sensitivity_leaves_the_unknown_out() -> None:
    answer = solve(C1, COUNTED, unknowns=("crown_volume",), targets={"static_ratio": 8.9})
    keys = [key for key, _ in answer.sensitivity("static_ratio")]
    assert "crown_volume" not in keys
    assert {"bore", "chamber_volume", "compression_height"} <= set(keys)
    assert answer.best.slopes["static_ratio"]["crown_volume"] < 0


def test_doubt_of_the_answer_is_that_of_the_parts() -> None:
    """The crown's ± comes from all volumes but its own: root of the sum of squares (JCGM 100:2008, 5.1.2)."""
    known = {**C1, "chamber_volume": C1["chamber_volume"] + doubt(0.3 * CC, Cause(name="burette"))}
    known["extra_volume"] = doubt(0.4 * CC, Cause(name="plug well"))
    answer = solve(known, COUNTED, unknowns=("crown_volume",), targets={"static_ratio": 8.9})
    assert standard(answer.number) == pytest.approx(0.5 * CC, rel=1e-9)


def test_a_doubt_not_known_yet_stays_so() -> None:
    known = {**C1, "chamber_volume": C1["chamber_volume"] + doubt(math.nan, Cause(name="one fill"))}
    answer = solve(known, COUNTED, unknowns=("crown_volume",), targets={"static_ratio": 8.9})
    assert answer.best.nominal / CC == pytest.approx(4.491, abs=5e-4)
    assert math.isnan(expand(answer.number).expanded)


def test_a_flush_deck_is_a_target() -> None:
    answer = solve(C1, COUNTED, unknowns=("compression_height",), targets={"deck_clearance": 0.0})
    assert answer.number / MM == pytest.approx(31.85, abs=1e-9)


def test_a_present_value_is_replaced_not_used() -> None:
    there = solve(C1_DISHED, COUNTED, unknowns=("chamber_volume",), targets={"static_ratio": 9.5})
    gone = {key: value for key, value in C1_DISHED.items() if key != "chamber_volume"}
    assert solve(gone, COUNTED, unknowns=("chamber_volume",), targets={"static_ratio": 9.5}).number == there.number


def test_an_intermediate_is_cut_free() -> None:
    """Deck clearance solved for, though the stack would give it."""
    answer = solve(C1_DISHED, COUNTED, unknowns=("deck_clearance",), targets={"static_ratio": 9.2})
    area = math.pi / 4 * 79.3**2 * MM**2
    wanted = 403.514 / 8.2 - (51.078 - 0.988)  # cm³, by hand from C1
    assert answer.number == pytest.approx(wanted * CC / area, abs=2e-7)


@pytest.mark.parametrize("seal", ["grease", "ring"])
def test_a_fill_over_the_piston_stays_as_found(seal: str) -> None:
    """The crown was filled with the old deck: cutting the block afterwards moves the deck, not the crown."""
    fill = {**C1, "crown_fill": 75.0 * CC, "crown_drop": 14.0 * MM}
    choices = Choices(crevice=True, chamfer=True, seal=seal)
    now = build(fill, choices).evaluate(fill)
    answer = solve(fill, choices, unknowns=("block_deck_height",), targets={"static_ratio": now["static_ratio"] + 0.3})
    assert answer.best.values["crown_volume"] == pytest.approx(now["crown_volume"], rel=1e-12)
    cut = now["swept_volume"] / (now["static_ratio"] - 1) - now["swept_volume"] / (now["static_ratio"] - 0.7)
    assert fill["block_deck_height"] - answer.number == pytest.approx(cut / now["bore_area"], rel=1e-6)
    assert "kept-as-found" in {f.code for f in answer.findings}


def test_the_reading_of_a_fill_can_be_the_unknown() -> None:
    fill = {**C1, "crown_fill": 75.0 * CC, "crown_drop": 14.0 * MM}
    choices = Choices(crevice=True, chamfer=True, seal="grease")
    answer = solve(fill, choices, unknowns=("crown_fill",), targets={"crown_volume": 4.491 * CC})
    assert answer.number == pytest.approx(math.pi / 4 * 0.0793**2 * 0.0142 + 4.491 * CC, rel=1e-9)


def test_crown_and_deck_filled_as_one_cannot_be_told_apart() -> None:
    fill = {key: value for key, value in C1.items() if not key.startswith("land")}
    fill |= {"crown_fill": 75.0 * CC, "crown_drop": 14.0 * MM}
    choices = Choices(crevice=True, chamfer=True, seal="ring")
    with pytest.raises(InputError, match="crown and deck were filled as one"):
        solve(fill, choices, unknowns=("compression_height",), targets={"static_ratio": 9.0})
    thickness = solve(fill, choices, unknowns=("gasket_thickness",), targets={"static_ratio": 9.0})
    assert thickness.best.check == pytest.approx(9.0, rel=1e-9)


def test_the_most_that_can_be_reached_is_said() -> None:
    """C1 without a gasket: Vc 51.078 − 6.425 cm³, hence 10.04 at the very most (recomputed by hand)."""
    with pytest.raises(NotPossible, match=r"would come to −3\.08 mm.* 10\.04 \(compressed gasket thickness 0\.00 mm\)"):
        solve(C1_DISHED, COUNTED, unknowns=("gasket_thickness",), targets={"static_ratio": 15.0})


def test_the_reach_is_that_of_the_range() -> None:
    answer = solve(C1_DISHED, COUNTED, unknowns=("gasket_thickness",), targets={"static_ratio": 9.0})
    assert answer.usual is not None
    rest = 51.078 - 6.425  # cm³, of C1 without its gasket
    area = math.pi / 4 * 8.09**2  # cm²
    assert answer.reach.high == pytest.approx(1 + 403.514 / rest, abs=2e-4)
    low, high = (limit * 100 for limit in term("gasket_thickness").plausible)  # cm
    assert answer.usual.low == pytest.approx(1 + 403.514 / (rest + area * high), abs=2e-4)
    assert answer.usual.high == pytest.approx(1 + 403.514 / (rest + area * low), abs=2e-4)
    assert answer.usual.high_at == pytest.approx(low / 100)


def test_a_chamber_of_less_than_nothing_is_refused_in_words() -> None:
    with pytest.raises(NotPossible, match=r"the chamber volume would come to −7\.37 cc, which cannot be"):
        solve(C1_DISHED, COUNTED, unknowns=("chamber_volume",), targets={"static_ratio": 80.0})


def test_a_part_of_a_cylinder_cannot_be() -> None:
    """4 × 403.514 = 1614.1 cm³: 1.6 litres would take 3.97 cylinders."""
    with pytest.raises(NotPossible, match=r"number of cylinders would come to 3\.97, which cannot be"):
        solve(C1, COUNTED, unknowns=("cylinders",), targets={"displacement": 1.6e-3})


def test_an_offset_cannot_bring_the_piston_up() -> None:
    with pytest.raises(NotPossible, match=r"no pin offset brings the squish gap to 1\.00 mm; no real number"):
        solve(C1, COUNTED, unknowns=("pin_offset",), targets={"squish": 1.0 * MM})


def test_numbers_that_would_look_alike_are_told_apart() -> None:
    with pytest.raises(NotPossible, match=r"to 81\.707 mm; .*from 81\.701 mm .* to 81\.706 mm"):
        solve({**C1, "pin_offset": 0.8 * MM}, COUNTED, unknowns=("rod_length",), targets={"piston_travel": 81.707 * MM})


def test_contact_and_a_ring_in_the_bore_are_warned_of() -> None:
    low = solve(C1_DISHED, COUNTED, unknowns=("compression_height",), targets={"static_ratio": 11.5})
    assert any("OVERLAP: piston meets head" in f.wrong for f in low.findings)
    small = solve(C1_DISHED, COUNTED, unknowns=("gasket_bore",), targets={"static_ratio": 9.5})
    assert "ring-in-bore" in {f.code for f in small.findings}


def test_a_target_that_leaves_its_tangent_makes_the_spread_rough() -> None:
    known = {**C1, "block_deck_height": C1["block_deck_height"] + doubt(0.01 * MM, Cause(name="block"))}
    answer = solve(known, COUNTED, unknowns=("pin_offset",), targets={"deck_clearance": 0.201 * MM})
    assert "rough-spread" in {f.code for f in answer.findings}


def test_what_is_given_stays_as_given_and_is_said() -> None:
    known = {**C1_DISHED, "deck_clearance": 0.25 * MM}
    answer = solve(known, COUNTED, unknowns=("stroke",), targets={"static_ratio": 9.0})
    assert answer.best.values["deck_clearance"] == 0.25 * MM
    assert any(f.code == "kept-as-given" and "deck clearance" in f.wrong for f in answer.findings)


def test_other_results_that_move_are_named() -> None:
    answer = solve(C1_DISHED, COUNTED, unknowns=("compression_height",), targets={"static_ratio": 9.0})
    assert answer.moved == ["deck_clearance", "clearance_volume", "squish"]


@pytest.mark.parametrize(
    ("unknown", "target", "words"),
    [
        (
            "engine_speed",
            "squish",
            "does not depend on the engine speed here; it depends on: block deck height, stroke",
        ),
        ("squish", "squish", "both the target and the unknown"),
        ("bore", "stroke", "the stroke is measured, not worked out"),
        ("bor", "static_ratio", r'read "bor": no such term; did you mean "bore"\?'),
        ("bore", "zzz", 'read "zzz": no such term$'),
        ("chamber_volume", "static_ratio", "needs what is not given: net crown volume"),
        ("bore", "displacement", "needs what is not given: number of cylinders"),
    ],
)
def test_unsound_questions_are_refused_in_one_line(unknown: str, target: str, words: str) -> None:
    known = {key: value for key, value in C1.items() if key != "cylinders"}
    with pytest.raises(InputError, match=words) as caught:
        solve(known, COUNTED, unknowns=(unknown,), targets={target: 9.0})
    assert "\n" not in str(caught.value)


def test_an_input_hidden_by_a_given_one_is_explained() -> None:
    known = {**C1_DISHED, "deck_clearance": 0.2 * MM}
    with pytest.raises(InputError, match="the deck clearance is given as such, measured or stated: leave it out"):
        solve(known, COUNTED, unknowns=("rod_length",), targets={"static_ratio": 9.0})


def test_a_fill_that_gives_and_takes_the_same_is_explained() -> None:
    """Grease-sealed fill without a deck clearance: the deck is inside the fill and cancels."""
    fill = {key: C1[key] for key in ("bore", "stroke", "gasket_bore", "gasket_thickness", "chamber_volume")}
    fill |= {"crown_fill": 75.0 * CC, "crown_drop": 14.0 * MM, "crevice_volume": 0.574 * CC}
    with pytest.raises(InputError, match="what it gives in one place it takes in another"):
        solve(fill, Choices(seal="grease"), unknowns=("deck_clearance",), targets={"static_ratio": 9.0})


def test_a_crank_that_cannot_turn_is_refused() -> None:
    bent = {**C1, "pin_offset": 90 * MM, "rod_length": 60 * MM, "stroke": parse("110 mm", "stroke").value}
    with pytest.raises(InputError, match="no engine can be drawn"):
        solve(bent, COUNTED, unknowns=("chamber_volume",), targets={"static_ratio": 9.0})


def test_a_target_outside_all_that_is_possible_is_refused() -> None:
    with pytest.raises(InputError, match="no static compression ratio can be that"):
        solve(C1, COUNTED, unknowns=("crown_volume",), targets={"static_ratio": 0.8})
