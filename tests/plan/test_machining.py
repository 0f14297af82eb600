"""Skim, tilted skim, deck and gasket through the whole engine."""

from __future__ import annotations

import math

import pytest
from scipy.integrate import dblquad

from ccassist.engine.skim import angle_of, depth_at, edge_cut, skim_volume
from ccassist.plan.balance import balance
from ccassist.plan.machining.changes import Plan
from ccassist.report.machining_words import caution_keys, consequences, order_of_work
from ccassist.values.display import formatter
from ccassist.values.findings import InputError, NotPossible
from ccassist.values.measured import ground_of
from ccassist.values.number import nominal
from ccassist.values.uncertainty import expand
from tests.plan.machined_job import OPENING, job_text, planned, surveyed

MM, CC, CM2 = 1e-3, 1e-6, 1e-4


def after(plan: Plan, key: str) -> list[float]:
    return [row.after.values[key].nominal for row in plan.rows]


def moved(plan: Plan, key: str) -> list[float]:
    return [row.change(key).nominal for row in plan.rows]  # type: ignore[union-attr]


class TestSkim:
    def test_it_takes_opening_times_cut_from_every_chamber(self) -> None:
        """Prism: 46 cm2 x 0.25 mm = 1.15 cc."""
        assert moved(planned(skim="0.25 mm"), "chamber_volume") == pytest.approx([-1.15 * CC] * 4)

    def test_the_opening_and_walls_that_nobody_measured_lend_their_doubt_to_the_change(self) -> None:
        """+/- 1 cm2 of 46 over 0.25 mm is +/- 0.025 cc; the chamber's own +/- cancels (JCGM 100:2008, 5.2.2).

        Walls that close in as a slender cone's take 1.15 squared / (2 x 58.9) = 0.0112 cc less at most, a rectangle.
        """
        change = planned(skim="0.25 +/- 0.0001 mm").rows[0].change("chamber_volume")
        assert change is not None
        by_hand = math.hypot(0.025 / 1.95996, 1.15**2 / (2 * 58.9) / math.sqrt(3))
        assert change.number.std_dev / CC == pytest.approx(by_hand, rel=1e-3)
        assert not ground_of(change.number).sure  # nobody knows the walls

    def test_a_cut_held_to_so_much_is_in_doubt_by_that(self) -> None:
        """46 cm2 x 0.02 mm = 0.092 cc; with 0.025 cc of the opening, root of the sum of squares near 0.09 cc."""
        change = planned(skim="0.25 +/- 0.02 mm").rows[0].change("chamber_volume")
        assert change is not None
        assert 0.085 * CC < change.expanded < 0.10 * CC

    def test_the_ratio_follows_by_its_definition(self) -> None:
        plan = planned(skim="0.25 mm")
        for row in plan.rows:
            swept = row.before.values["swept_volume"].nominal
            clearance = row.before.values["clearance_volume"].nominal - 46 * CM2 * 0.25 * MM
            assert row.after.values["static_ratio"].nominal == pytest.approx(1 + swept / clearance)

    def test_pads_in_the_face_keep_their_squish(self) -> None:
        plan = planned(skim="0.25 mm")
        assert moved(plan, "squish") == [0.0] * 4
        assert any("lie back from it, it falls by 0.25 mm" in line for line in consequences(plan, formatter("metric")))

    def test_pads_that_lie_back_lose_the_cut(self) -> None:
        text = job_text(engine=f'{OPENING}\nsquish_step = "0.50 +/- 0.05 mm, measured"')
        assert moved(planned(text, skim="0.25 mm"), "squish") == pytest.approx([-0.25 * MM] * 4)

    def test_a_cut_that_reaches_the_pad_is_said_to_be_rough(self) -> None:
        text = job_text(engine=f'{OPENING}\nsquish_step = "0.20 +/- 0.05 mm, measured"')
        plan = planned(text, skim="0.25 mm")
        assert moved(plan, "squish") == pytest.approx([-0.20 * MM] * 4)
        assert any("reaches the squish pad" in line for line in consequences(plan, formatter("metric")))

    def test_without_an_opening_it_is_asked_for(self) -> None:
        with pytest.raises(InputError, match="chamber opening, which is not given"):
            planned(job_text(engine=""), skim="0.25 mm")

    def test_no_chamber_can_be_taken_whole(self) -> None:
        with pytest.raises(NotPossible, match="takes the whole chamber"):
            planned(skim="14 mm")


class TestTarget:
    def test_equalised_first_the_cut_is_that_of_the_trade_example(self) -> None:
        """Trade example C4 (common practice, recomputed): open by 1.5/0.8/0/1.2 cc, then 0.522 mm to 58.0 cc."""
        plan = planned(equalise=True, skim_to="chamber_volume=58.0 cc")
        assert [nominal(row.cuts.opened) / CC for row in plan.rows] == pytest.approx([1.5, 0.8, 0, 1.2], abs=1e-9)
        assert [nominal(row.cuts.skim) / MM for row in plan.rows] == pytest.approx([0.5217] * 4, abs=1e-4)
        assert after(plan, "chamber_volume") == pytest.approx([58.0 * CC] * 4)

    def test_a_chamber_not_shown_to_be_smaller_is_left(self) -> None:
        """0.1 cc between chambers each known to 0.2 cc is nothing to grind for; balance says the same."""
        plan = planned(job_text(chambers=[60.3, 60.4, 59.0]), equalise=True)
        assert [nominal(row.cuts.opened) / CC for row in plan.rows] == pytest.approx([0, 0, 1.4], abs=1e-9)
        assert any(
            line.startswith("leave the chambers of cylinders 1, 2:")
            for line in order_of_work(plan, formatter("metric"))
        )
        assert [o.cylinder for o in balance(surveyed(job_text(chambers=[60.3, 60.4, 59.0]))).openings if o.shown] == [3]

    def test_one_face_has_one_cut_the_least(self) -> None:
        """Chamber 1 of trade example C4 asks for 0.9 / 46 cm2; no chamber goes below 58.0 cc."""
        plan = planned(skim_to="chamber_volume=58.0 cc")
        assert {round(nominal(row.cuts.skim) / MM, 6) for row in plan.rows} == {round(9 / 46, 6)}
        assert min(after(plan, "chamber_volume")) == pytest.approx(58.0 * CC)
        assert nominal(plan.alone[3]) / MM == pytest.approx(24 / 46)

    def test_each_head_has_a_cut_of_its_own(self) -> None:
        heads = '[part.left]\nkind = "head"\ncylinders = [1, 3]\n[part.right]\nkind = "head"\ncylinders = [2, 4]\n'
        plan = planned(job_text(more=heads), skim_to="chamber_volume=58.0 cc")
        assert [nominal(row.cuts.skim) / MM for row in plan.rows] == pytest.approx([9 / 46, 12 / 46, 9 / 46, 12 / 46])

    def test_a_ratio_is_reached_through_the_engine(self) -> None:
        """By hand: chamber must fall by clearance volume less swept / (ratio - 1)."""
        plan = planned(job_text(chambers=[58.9]), skim_to="static_ratio=8.0")
        before = plan.rows[0].before.values
        excess = before["clearance_volume"].nominal - before["swept_volume"].nominal / 7.0
        assert nominal(plan.rows[0].cuts.skim) == pytest.approx(excess / (46 * CM2), rel=1e-9)
        assert after(plan, "static_ratio") == pytest.approx([8.0])

    def test_the_cut_bears_the_doubt_of_all_it_is_reckoned_from(self) -> None:
        """JCGM 100:2008, 5.1.2 by hand: (0.2 cc and 0.9 cc x 1/46) over 46 cm2, as one root of a sum of squares."""
        cut = planned(job_text(chambers=[58.9]), skim_to="chamber_volume=58.0 cc").alone[1]
        by_hand = math.hypot(0.2 * CC / (46 * CM2), 0.9 * CC / (46 * CM2) / 46)
        assert expand(cut).expanded == pytest.approx(by_hand, rel=0.03)

    def test_past_the_aim_nothing_can_be_put_back(self) -> None:
        with pytest.raises(NotPossible, match=r"chamber volume of 58\.90 cc is past 59\.00 cc before any cut"):
            planned(skim_to="chamber_volume=59.0 cc")

    def test_out_of_reach_says_how_far_it_goes(self) -> None:
        with pytest.raises(NotPossible, match="out of reach"):
            planned(skim_to="static_ratio=60")

    def test_what_a_skim_does_not_move_is_no_target(self) -> None:
        with pytest.raises(InputError, match="no target of a skim"):
            planned(skim_to="bore=83.4 mm")
        with pytest.raises(InputError, match="does not move the squish gap"):
            planned(skim_to="squish=1.2 mm")


class TestTilt:
    def test_volume_is_opening_times_depth_at_its_centroid(self) -> None:
        """Trade example C6 (common practice, recomputed): W 150, edge cut 1.5, centroid 80, A 46: 3.68, not 3.45 cc."""
        plan = planned(angle_skim="1.5 mm", width="150 mm", centroids=["80 mm"])
        assert moved(plan, "chamber_volume") == pytest.approx([-3.68 * CC] * 4)

    def test_an_angle_gives_the_same_cut_by_its_tangent(self) -> None:
        """Trade example C6: 0.573 deg; by the tangent 6 in and 2 deg are 0.2095 in (common practice, no source)."""
        by_angle = planned(angle_skim="0.573 deg", width="150 mm", centroids=["80 mm"])
        assert moved(by_angle, "chamber_volume") == pytest.approx([-3.68 * CC] * 4, rel=2e-4)
        assert edge_cut(6.0, math.radians(2)) == pytest.approx(0.2095, abs=5e-5)
        assert math.degrees(angle_of(1.5, width=150.0)) == pytest.approx(0.573, abs=5e-4)

    def test_the_head_gets_thinner_by_the_deep_edge(self) -> None:
        lines = consequences(planned(angle_skim="1.5 mm", width="150 mm", centroids=["80 mm"]), formatter("metric"))
        assert any("head thickness falls by 1.50 mm at most" in line for line in lines)

    def test_the_shop_rule_stands_beside_it(self) -> None:
        """Common practice, no source: 0.0175 x 6 in x 2 deg is 0.210 in; the tangent gives 0.2095 in."""
        plan = planned(angle_skim="2 deg", width="6 in", centroids=["3 in"])
        (line,) = [line for line in consequences(plan, formatter("imperial")) if "shop rule" in line]
        assert "209.5 thou deep" in line
        assert "210.0 thou)" in line

    def test_the_centroid_rule_is_exact_for_upright_walls(self) -> None:
        """SciPy dblquad of the depth over a right triangle with its base 30 mm from the zero edge: an own route."""
        leg, start, edge, width = 60.0, 30.0, 1.5, 150.0
        by_rule = skim_volume(leg * leg / 2, depth_at(start + leg / 3, edge_cut=edge, width=width))
        exact, _ = dblquad(lambda y, x: edge * (start + x) / width, 0, leg, 0, lambda x: leg - x)
        assert by_rule == pytest.approx(exact, rel=1e-9)

    def test_chambers_along_the_head_lose_different_amounts(self) -> None:
        plan = planned(angle_skim="1 mm", width="400 mm", centroids=["1=50 mm", "2=150 mm", "3=250 mm", "4=350 mm"])
        assert moved(plan, "chamber_volume") == pytest.approx([-46 * CM2 * x * MM / 400 for x in (50, 150, 250, 350)])
        assert any("cylinder 4 0.88 mm" in line for line in consequences(plan, formatter("metric")))

    def test_the_job_may_state_width_and_centroid(self) -> None:
        stated = 'opening_centroid = "80 +/- 1 mm, measured"\nhead_width = "150 +/- 1 mm, measured"'
        plan = planned(job_text(engine=f"{OPENING}\n{stated}"), angle_skim="1.5 +/- 0.0001 mm")
        change = plan.rows[0].change("chamber_volume")
        assert change is not None
        assert change.nominal == pytest.approx(-3.68 * CC)
        shares = (1 / 46, 1 / 80, 1 / 150)  # JCGM 100:2008, 5.1.6: relative shares of a product
        uneven = 0.01**2 * 4600 / (2 * math.pi)  # mm2: slope of the cut over a round opening, plane geometry
        walls = (0.8**2 + uneven) / 2 * 4600**2 / 58900 / 1000 / math.sqrt(3)
        by_hand = math.hypot(3.68 * math.hypot(*shares) / 1.95996, walls)
        assert change.number.std_dev / CC == pytest.approx(by_hand, rel=2e-3)

    def test_a_tilted_cut_needs_width_and_centroid(self) -> None:
        with pytest.raises(InputError, match="needs the centroid"):
            planned(angle_skim="1.5 mm", width="150 mm")
        with pytest.raises(InputError, match="needs the width"):
            planned(angle_skim="1.5 mm", centroids=["80 mm"])
        with pytest.raises(InputError, match="belongs to a tilted cut"):
            planned(skim="0.2 mm", width="150 mm")


class TestDeckAndGasket:
    def test_a_cut_deck_lowers_clearance_squish_and_deck_volume(self) -> None:
        """Common practice, no source: 0.1 mm on 83.4 mm is 0.546 cc (circle area)."""
        plan = planned(deck="0.10 mm")
        assert moved(plan, "deck_clearance") == pytest.approx([-0.1 * MM] * 4)
        assert moved(plan, "squish") == pytest.approx([-0.1 * MM] * 4)
        assert moved(plan, "clearance_volume") == pytest.approx([-math.pi / 4 * 83.4**2 * 0.1 * 1e-9] * 4)

    def test_a_thou_of_deck_on_a_large_bore(self) -> None:
        """Common practice, no source: 1 thou on 3.941 in is 0.200 cc (recomputed)."""
        text = job_text().replace("83.40 +/- 0.01 mm", "3.941 +/- 0.001 in").replace("84.9 +/-", "101.7 +/-")
        assert moved(planned(text, deck="1 thou"), "clearance_volume") == pytest.approx([-0.1999 * CC] * 4, abs=5e-10)

    def test_levelling_brings_all_to_the_lowest_corner(self) -> None:
        decks = "".join(
            f'[cylinder.{n}]\nchamber_volume = "59 +/- 0.2 cc, measured"\n'
            f'deck_clearance = "{c} +/- 0.02 mm below deck, measured"\n'
            for n, c in enumerate((0.30, 0.26, 0.22, 0.20), 1)
        )
        plan = planned(
            job_text(chambers=()).replace("cylinders = 0", "cylinders = 4") + decks, level=True, deck="0.05 mm"
        )
        assert [nominal(row.cuts.deck) / MM for row in plan.rows] == pytest.approx([0.15, 0.11, 0.07, 0.05])
        assert after(plan, "deck_clearance") == pytest.approx([0.15 * MM] * 4)
        assert any("lowest at cylinder 4" in line for line in consequences(plan, formatter("metric")))

    def test_a_proud_piston_is_warned_of(self) -> None:
        plan = planned(deck="0.30 mm")
        assert after(plan, "deck_clearance") == pytest.approx([-0.1 * MM] * 4)
        assert [f.code for f in plan.findings].count("proud") == 4

    def test_a_fill_over_the_piston_moves_with_the_deck(self) -> None:
        """The crown is what it was: only bore area x cut goes, however the crown was measured."""
        fill = """
[[series]]
step = "crown"
cylinder = 1
seal = "grease"
hole = "not filled"
instrument = "burette 100 ml class B"
drop = "10.00 mm"
gauge = "dial indicator"
readings = [ { start = "0 ml", end = "68.6 ml" } ]
"""
        bare = job_text(chambers=[58.9]).replace('crown_volume = "dish 8.7 +/- 0.3 cc, measured"\n', "")
        for text in (bare, bare.replace('deck_clearance = "0.20 +/- 0.02 mm below deck, measured"\n', "")):
            plan = planned(text + fill, deck="0.10 mm")
            assert moved(plan, "clearance_volume") == pytest.approx([-math.pi / 4 * 83.4**2 * 0.1 * 1e-9])

    def test_a_thinner_gasket_takes_its_volume_and_squish(self) -> None:
        """Cylinder: pi/4 x 84.9 squared x (1.30 - 0.70) mm."""
        plan = planned(gasket_thickness="0.70 mm")
        assert moved(plan, "gasket_volume") == pytest.approx([-math.pi / 4 * 84.9**2 * 0.6 * 1e-9] * 4)
        assert moved(plan, "squish") == pytest.approx([-0.6 * MM] * 4)

    def test_a_wider_gasket_adds_volume(self) -> None:
        plan = planned(gasket_bore="86.9 mm")
        assert moved(plan, "gasket_volume") == pytest.approx([math.pi / 4 * (86.9**2 - 84.9**2) * 1.3 * 1e-9] * 4)
        assert not any("valve to piston" in line for line in consequences(plan, formatter("metric")))

    def test_a_gasket_known_by_its_volume_alone_needs_its_opening(self) -> None:
        text = job_text().replace(
            'gasket_bore = "84.9 +/- 0.1 mm, measured"\n', 'gasket_volume = "7.9 +/- 0.2 cc, measured"\n'
        )
        with pytest.raises(InputError, match="another one needs the opening"):
            planned(text, gasket_thickness="0.70 mm")

    def test_contact_is_impossible(self) -> None:
        with pytest.raises(NotPossible, match="no squish gap is left"):
            planned(deck="1.60 mm")

    def test_together_they_add(self) -> None:
        one = [planned(**work) for work in ({"skim": "0.2 mm"}, {"deck": "0.1 mm"}, {"gasket_thickness": "1.0 mm"})]
        together = planned(skim="0.2 mm", deck="0.1 mm", gasket_thickness="1.0 mm")
        sums = [sum(column) for column in zip(*(moved(plan, "clearance_volume") for plan in one), strict=True)]
        assert moved(together, "clearance_volume") == pytest.approx(sums)
        assert [nominal(row.cuts.approach) / MM for row in together.rows] == pytest.approx([0.6] * 4)


class TestWords:
    def test_a_valve_comes_nearer_to_a_flat_crown_by_more_than_the_cut(self) -> None:
        """Geometry: 0.50 mm / cos 20 deg = 0.532 mm, and no less where nobody says what the crown there is."""
        lines = consequences(planned(skim="0.50 mm", valve_angle="20 deg"), formatter("metric"))
        assert any("falls by at most 0.53 mm along a valve at 20.0 deg" in line for line in lines)
        assert any(
            "falls by more than 0.50 mm" in line for line in consequences(planned(skim="0.5 mm"), formatter("metric"))
        )

    def test_grinding_is_checked_by_weight(self) -> None:
        """1.5 cc of aluminium at 2.7 g/cc is 4.05 g, of iron at 7.2 g/cc 10.8 g (densities from memory)."""
        lines = order_of_work(planned(equalise=True), formatter("metric"))
        (first,) = [line for line in lines if line.startswith("cylinder 1")]
        assert "4.1 g of aluminium" in first or "4.0 g of aluminium" in first
        assert "10.8 g of grey cast iron" in first

    def test_the_first_cut_is_short_of_the_whole(self) -> None:
        """0.3 cc over 46 cm2 is 0.065 mm short of 0.25 mm."""
        assert any(
            "cut at first 0.18 mm" in line for line in order_of_work(planned(skim="0.25 mm"), formatter("metric"))
        )

    def test_cautions_go_with_what_is_done(self) -> None:
        assert {"swarf", "thin", "metal"} <= set(caution_keys(planned(skim="0.25 mm")))
        assert "grinding" in caution_keys(planned(equalise=True))
        assert "swarf" not in caution_keys(planned(gasket_thickness="1.0 mm"))

    def test_nothing_to_do_is_said(self) -> None:
        with pytest.raises(InputError, match="nothing is to be machined"):
            planned()

    def test_two_ways_of_saying_the_cut_are_refused(self) -> None:
        with pytest.raises(InputError, match="both say how deep"):
            planned(skim="0.2 mm", skim_to="chamber_volume=58 cc")


def test_the_engine_before_is_the_engine_as_it_is() -> None:
    found = surveyed(job_text())
    plan = planned(skim="0.25 mm")
    assert [row.before.values["static_ratio"].nominal for row in plan.rows] == [
        c.values["static_ratio"].nominal for c in found.cylinders
    ]
