"""The piston to be ordered: worked out, rounded, held, open, and what mistakes would come to."""

from __future__ import annotations

import re
from math import pi, radians
from pathlib import Path

import pytest
from scipy.integrate import dblquad

from ccassist.analysis.results import survey
from ccassist.engine.pocket_cut import Bare
from ccassist.job.file import load, parse_job
from ccassist.plan.piston.checks import mistakes
from ccassist.plan.piston.crown import Pocket
from ccassist.plan.piston.specification import RATIO, Specification, specify
from ccassist.report.order import Order, order_of
from ccassist.values.findings import Level, errors
from ccassist.values.number import nominal
from ccassist.vocabulary import TERMS
from tests.trade_c1 import C1_TEXT

CC, MM = 1e-6, 1e-3
CHAMBERS = ("38.4 cc", "38.9 cc", "38.5 cc", "38.6 cc")
WANTED = '[wanted]\nstatic_ratio = "8.7 to 9.1"\ndeck_clearance = "0.10 to 0.30 mm below deck"\n'


def job(order: str = "", *, wanted: str = WANTED, cylinders: int = 1, origin: str = "measured", **other: str) -> str:
    """Trade example C1 as a job, without its piston; with four cylinders, its four chambers."""
    stated = {key: text for key, text in {**C1_TEXT, **other}.items() if key != "compression_height"}
    lines = [f'{key} = "{closely(text)}, {origin}"' for key, text in stated.items()]
    own = [
        f'[cylinder.{n}]\nchamber_volume = "{closely(text)}, measured"'
        for n, text in enumerate(CHAMBERS, 1)
        if cylinders == len(CHAMBERS)
    ]
    return "\n".join(["format = 1", "[engine]", f"cylinders = {cylinders}", *lines, *own, wanted, order])


def closely(text: str) -> str:
    """A length or volume with a ± so small that it takes nothing from a band; other texts as they are."""
    read = re.fullmatch(r"([\d.]+) (mm|cc)", text)
    return f"{read[1]} +/- {'0.001' if read[2] == 'mm' else '0.01'} {read[2]}" if read else text


def spec_of(text: str) -> Specification:
    """From the text of a job to its specification."""
    engine = survey(parse_job(text).job)
    assert not errors(engine.findings)
    return specify(engine)


def order_from(text: str) -> Order:
    """From the text of a job to its order."""
    return order_of(survey(parse_job(text).job))


class TestC1:
    """Trade example C1 (common practice, recomputed): CH 31.65 mm, net crown +4.491 cc for 8.90."""

    def test_height_and_crown_from_deck_clearance_and_ratio(self) -> None:
        """As the example has them, to all of its digits; rounded to what is ordered (common practice, no source)."""
        spec = spec_of(job())
        assert spec.height is not None
        assert spec.crown is not None
        assert nominal(spec.height.found) == pytest.approx(31.65 * MM, abs=1e-9)
        assert nominal(spec.crown.found) == pytest.approx(4.491 * CC, abs=0.5e-9)
        assert spec.height.value == pytest.approx(31.65 * MM, abs=1e-12)
        assert spec.crown.value == pytest.approx(4.5 * CC, abs=1e-15)

    def test_the_same_height_from_the_squish_wanted(self) -> None:
        spec = spec_of(job(wanted='[wanted]\nstatic_ratio = "8.9"\nsquish = "1.35 to 1.55 mm"\n'))
        assert spec.height is not None
        assert spec.height.value == pytest.approx(31.65 * MM, abs=1e-12)

    def test_one_piston_gives_each_cylinder_its_own_ratio(self) -> None:
        """Trade example C1: 8.931, 8.854, 8.915, 8.900 with 4.491 cc."""
        spec = spec_of(job('[order]\ncrown_volume = "dish 4.491 cc"\n', cylinders=4))
        found = [c.values[RATIO].nominal for c in spec.planned.cylinders]
        assert found == pytest.approx([8.931, 8.854, 8.915, 8.900], abs=6e-4)

    def test_mistakes(self) -> None:
        """Trade example C1, mistakes that ruin a set (common practice, recomputed); head opening 44 cm²."""
        order = '[order]\ncrown_volume = "dish 4.491 cc"\nfree_thickness = "1.55 mm"\n'
        spec = spec_of(job(order, chamber_area="44 cm2"))
        found = {one.key: one for one in mistakes(spec.planned.cylinders[0], free_thickness=1.55 * MM)}
        ratios = {
            "sign": 10.59, "no-gasket": 8.02, "free-gasket": 9.15, "bore-for-gasket": 8.86, "no-deck": 8.75,
            "no-crevice": 8.81, "short-rods": 7.62, "long-rods": 9.75, "block-skim": 9.02, "head-skim": 9.07,
        }  # fmt: skip
        assert {key: one.ratio for key, one in found.items()} == pytest.approx(ratios, abs=5.1e-3)
        assert found["no-gasket"].crown == pytest.approx(10.916 * CC, abs=2e-9)
        assert found["block-skim"].squish == pytest.approx(1.30 * MM)
        assert found["long-rods"].squish == pytest.approx(0.45 * MM)
        assert not any(one.assumed for one in found.values())

    def test_what_had_to_be_assumed_for_a_mistake_is_said(self) -> None:
        spec = spec_of(job('[order]\ncrown_volume = "dish 4.491 cc"\n'))
        found = {one.key: one for one in mistakes(spec.planned.cylinders[0])}
        assert "assumed" in found["free-gasket"].assumed
        assert "bore area" in found["head-skim"].assumed
        assert found["free-gasket"].ratio == pytest.approx(9.15, abs=5e-3)  # 1.55 mm, as it happens

    def test_a_crevice_that_is_not_counted_cannot_be_left_out(self) -> None:
        spec = spec_of(job('[counted]\ncrevice = "not counted"\n'))
        assert "no-crevice" not in {one.key for one in mistakes(spec.planned.cylinders[0])}


class TestWhereNumbersComeFrom:
    def test_the_old_piston_does_not_count(self) -> None:
        old = job(crown_volume="dome 5 cc", deck_clearance="0.9 mm below deck")
        spec = spec_of(old)
        assert spec.height is not None
        assert spec.height.value == pytest.approx(31.65 * MM, abs=1e-12)

    def test_a_block_that_was_not_measured_is_seen_by_the_old_piston(self) -> None:
        """The stack: 0.9 mm below deck with 30.95 mm means a block of 211.30 mm (C1)."""
        text = job(deck_clearance="0.90 mm below deck").replace("block_deck_height", "# block")
        text = text.replace(
            "[wanted]", "[part.old]\nkind = 'pistons'\ncompression_height = '30.95 mm, measured'\n[wanted]"
        )
        spec = spec_of(text)
        assert spec.height is not None
        assert spec.height.value == pytest.approx(31.65 * MM, abs=1e-12)

    def test_the_land_asked_for_takes_the_place_of_the_old_one(self) -> None:
        spec = spec_of(job('[order]\nland_height = "9.0 mm"\nland_diameter = "78.62 mm"\n'))
        first = spec.planned.cylinders[0].values
        assert first["crevice_volume"].nominal == pytest.approx(pi / 4 * (79.3**2 - 78.62**2) * 9 * 1e-9)
        assert first["land_height"].origin == "asked"

    def test_nothing_wanted_and_nothing_stated_is_said(self) -> None:
        spec = spec_of(job(wanted=""))
        assert spec.height is None
        assert spec.crown is None
        assert len(spec.refused) == 2

    def test_what_cannot_be_is_said_and_not_raised(self) -> None:
        spec = spec_of(job(wanted='[wanted]\nstatic_ratio = "8.9"\n').replace("chamber_volume", "# chamber"))
        assert spec.crown is None
        assert spec.refused


class TestTolerance:
    def test_height_by_the_gap_and_crown_by_the_ratio(self) -> None:
        """By hand: next to nothing else in doubt, so the gap's ± 0.10 mm is the height's; the crown has what it leaves.

        dCR/dV = 7.9² / 403.5 cc = 0.155 a cc (C1); 0.10 mm over the bore's 49.39 cm² is 0.49 cc, so that of the
        1.29 cc in ± 0.2 of ratio some 0.8 cc are left, and the low side less 0.05 cc for what was rounded.
        """
        spec = spec_of(job())
        assert spec.height is not None
        assert spec.crown is not None
        assert spec.height.tolerance.size == pytest.approx(0.1 * MM, abs=0.004 * MM)
        assert spec.crown.tolerance.size == pytest.approx(0.75 * CC, abs=0.06 * CC)
        for spans in spec.worst.values():
            assert 8.7 <= spans[RATIO].low < spans[RATIO].high <= 9.1

    def test_a_stated_tolerance_stands(self) -> None:
        spec = spec_of(job('[order]\ncrown_tolerance = "0.5 cc"\nheight_tolerance = "0.05 mm"\n'))
        assert spec.crown is not None
        assert spec.height is not None
        assert spec.crown.tolerance.size == pytest.approx(0.5 * CC)
        assert spec.height.tolerance.size == pytest.approx(0.05 * MM)
        assert spec.worst[1][RATIO].low < 8.9 < spec.worst[1][RATIO].high

    def test_without_a_band_none_is_asked_and_that_is_open(self) -> None:
        order = order_from(job(wanted='[wanted]\nstatic_ratio = "8.9"\nsquish = "1.45 mm"\n'))
        assert sum(point.startswith("no tolerance") for point in order.open) == 2


COMPLETE = """
[order]
pieces = 1
use = "road, water-cooled"
crown_thickness = "5.0 mm"
wall_clearance = "0.05 mm"
pin_diameter = "20.00 +/- 0.005 mm, measured"
pin_length = "60 mm"
pin_fit = "floating"
pin_retention = "round-wire clips"
pin_offset = "centred"
rod_width = "24.0 mm, measured"
top_ring_width = "1.2 mm"
second_ring_width = "1.5 mm"
oil_ring_width = "2.8 mm"
ring_radial_depth = "3.1 mm"
rings = "steel, moly face"
land_height = "7.00 +/- 0.02 mm"
land_diameter = "78.62 +/- 0.01 mm"
ring_pack_depth = "19 mm"
fuel = "98 octane petrol"
boost = "none"
rev_limit = "7000 rpm"
alloy = "forged"
revision = "B"
signed_by = "Olive"
[order.crown]
shape = "flat dish"
dish_diameter = "48 mm"
dish_corner = "2 mm"
"""


class TestOpen:
    def test_a_complete_order_is_final(self) -> None:
        assert order_from(job(COMPLETE)).open == ()

    @pytest.mark.parametrize("key", ["pin_diameter", "fuel", "revision", "signed_by", "top_ring_width", "rings"])
    def test_what_is_missing_is_named(self, key: str) -> None:
        text = "\n".join(line for line in COMPLETE.split("\n") if not line.startswith(f"{key} ="))
        (point,) = order_from(job(text)).open
        name = TERMS[key].name if key in TERMS else {"rings": "ring set", "signed_by": "answered for by"}.get(key, key)
        assert re.fullmatch(rf"missing, for the \w+ to say: {name}: say it under \[order\].*", point)

    def test_what_is_missing_is_said_once_for_each_who_must_say_it(self) -> None:
        points = order_from(job("")).open
        missing = [point for point in points if point.startswith("missing, for")]
        assert len(missing) == len({point.partition(" to say")[0] for point in missing})
        assert any(
            "the builder to say" in point and "pin diameter" in point and "ring set" in point for point in missing
        )

    def test_fuel_and_boost_are_those_of_the_charge_where_the_order_says_none(self) -> None:
        text = COMPLETE.replace('fuel = "98 octane petrol"\n', "").replace('boost = "none"\n', "")
        charge = '[charge]\nboost_gauge = "0.8 bar"\noctane_number = "98"\nfuel = "petrol"\n'
        order = order_from(job(text + charge))
        texts = {row.entry.key: row.text for row in order.rows}
        assert texts["fuel"] == "petrol, octane 98 (RON)"
        assert texts["boost"] == "0.80 bar over ambient"
        assert order.open == ()
        absolute = order_from(job(text + charge.replace('boost_gauge = "0.8', 'manifold_pressure = "1.8')))
        assert next(row.text for row in absolute.rows if row.entry.key == "boost").endswith("absolute in the manifold")

    def test_a_piston_too_few_is_said(self) -> None:
        two = job(COMPLETE).replace("cylinders = 1", "cylinders = 2")
        assert "1 piston for 2 cylinders" in [one.wrong for one in order_from(two).checks]
        assert not [one for one in order_from(job(COMPLETE)).checks if one.code == "pieces"]

    def test_of_the_land_only_what_lacks_is_asked_for(self) -> None:
        text = COMPLETE.replace('land_diameter = "78.62 +/- 0.01 mm"\n', "")
        whole = "\n".join(line for line in job(text).split("\n") if not line.startswith("land_diameter"))
        (land,) = [one for one in order_from(whole).checks if one.code == "land"]
        assert land.wrong.startswith("the top-land diameter is not stated")

    def test_what_is_assumed_is_named(self) -> None:
        (point,) = [one for one in order_from(job(COMPLETE, origin="assumed")).open if "only taken" in one]
        assert "rod length" in point

    def test_the_maker_may_decide_some_things(self) -> None:
        text = COMPLETE.replace('wall_clearance = "0.05 mm"\n', "")
        assert order_from(job(text + '[order.to_decide]\nwall_clearance = "the maker"\n')).open == ()
        points = order_from(job(text + '[order.to_decide]\nwall_clearance = "Rosa"\n')).open
        assert points == ("to be decided by Rosa: piston-to-wall clearance: have it decided, then say it instead",)

    def test_the_maker_may_not_decide_what_the_builder_must_know(self) -> None:
        text = COMPLETE.replace('fuel = "98 octane petrol"\n', "")
        points = order_from(job(text + '[order.to_decide]\nfuel = "the maker"\n')).open
        assert points == ("to be decided by the maker: fuel: have it decided, then say it instead",)


class TestCrown:
    def test_the_depth_left_open_is_worked_out(self) -> None:
        """Upright wall, no corner: 4.5 cc over a circle of 70 mm is 1.1693 mm (cylinder)."""
        spec = spec_of(job('[order.crown]\nshape = "flat dish"\ndish_diameter = "70 mm"\n'))
        assert spec.shape.solved == "dish_depth"
        assert spec.shape.sizes["dish_depth"] == pytest.approx(4.5 * CC / (pi / 4 * 0.07**2))
        assert spec.shape.net == pytest.approx(4.5 * CC)

    def test_a_squish_band_fixes_the_dish(self) -> None:
        spec = spec_of(job('[order.crown]\nshape = "dish inside a squish band"\nsquish_band = "10 mm"\n'))
        assert spec.shape.sizes["dish_diameter"] == pytest.approx(58.62 * MM)

    @pytest.mark.parametrize("shape", ['shape = "ball-cut dish"', 'shape = "flat dish"\ndish_corner = "1 mm"'])
    def test_pockets_count_in_the_net_volume(self, shape: str) -> None:
        pocket = '[order.pocket.intake]\npockets = 1\npocket_diameter = "34 mm"\npocket_depth = "1 mm"\n'
        spec = spec_of(job(f"[order.crown]\ndish_diameter = '60 mm'\n{shape}\n{pocket}"))
        assert spec.shape.net == pytest.approx(4.5 * CC)
        assert spec.shape.hollow["intake pockets"] == pytest.approx(pi / 4 * 34**2 * 1e-9)

    @pytest.mark.parametrize("shape", ["dome with sloped sides", "ball dome"])
    def test_a_dome_takes_space(self, shape: str) -> None:
        top = 'dome_top = "40 mm"\n' if "sloped" in shape else ""
        text = f'[order.crown]\nshape = "{shape}"\ndome_diameter = "60 mm"\n{top}'
        spec = spec_of(job(text, wanted='[wanted]\nstatic_ratio = "12.5"\ndeck_clearance = "0.2 mm below deck"\n'))
        assert spec.crown is not None
        assert spec.crown.value < 0
        assert spec.shape.net == pytest.approx(spec.crown.value)
        assert spec.shape.sizes["dome_height"] > 0

    @pytest.mark.parametrize(
        ("shape", "why"),
        [
            ('shape = "ball dome"\ndome_diameter = "60 mm"', "no dome is needed"),
            ('shape = "flat dish"', "dish diameter is not stated"),
            ('shape = "flat dish"\ndish_diameter = "70 mm"\ndish_corner = "40 mm"', "corner radius"),
        ],
    )
    def test_what_cannot_be_cut_is_said(self, shape: str, why: str) -> None:
        order = order_from(job(f"[order.crown]\n{shape}\n"))
        assert any(why in point for point in order.open)

    @pytest.mark.parametrize("depth", ["", 'dish_depth = "1.2 mm"\n'])
    @pytest.mark.parametrize("pockets", [0, 2])
    def test_the_largest_corner_said_fits_and_a_little_more_does_not(self, depth: str, pockets: int) -> None:
        cut = (
            f'[order.pocket.intake]\npockets = {pockets}\npocket_diameter = "24 mm"\npocket_depth = "0.8 mm"\n'
            'pocket_tilt = "10 deg"\npocket_offset = "22 mm"\n'
        )

        def told(corner: str) -> list[str]:
            crown = f'[order.crown]\nshape = "flat dish"\ndish_diameter = "70 mm"\ndish_corner = "{corner} mm"\n'
            order = order_from(job(crown + depth + cut))
            return [one.wrong for one in order.judged.outcomes if one.check.key == "crown_shape"]

        (wrong,) = told("9")
        (most,) = re.findall(r"the largest that fits is ([\d.]+) mm", wrong)
        assert told(most) == []
        assert told(f"{float(most) + 0.02:.2f}") != []

    def test_sizes_that_hold_another_volume_are_found(self) -> None:
        order = order_from(job('[order.crown]\nshape = "flat dish"\ndish_diameter = "70 mm"\ndish_depth = "4 mm"\n'))
        assert "shape-volume" in {one.code for one in order.checks if one.level is Level.WARNING}


class TestPocketInADish:
    """Pocket and dish share space: SciPy's double integral as independent route."""

    @pytest.mark.parametrize("tilt", [0.0, 12.0])
    def test_what_lies_outside_the_dish(self, tilt: float) -> None:
        one = Pocket(count=1, radius=0.017, tilt=radians(tilt), depth=0.004, offset=0.02)
        radius, depth = 0.030, 0.002
        found = one.taken(Bare(depth=depth, radius=radius))
        if tilt:  # no closed form: less than the pocket, more than what stands above the dish's floor
            assert one.volume - pi * radius**2 * depth < found < one.volume
            return

        def outside(y: float, x: float) -> float:
            return one.depth - depth * ((x + 0.02) ** 2 + y**2 < radius**2)

        expected, _ = dblquad(
            outside, -0.017, 0.017, lambda x: -((0.017**2 - x**2) ** 0.5), lambda x: (0.017**2 - x**2) ** 0.5,
            epsabs=1e-10, epsrel=1e-3,
        )  # fmt: skip
        assert found == pytest.approx(expected, rel=3e-3)

    def test_the_depth_beside_pockets_gives_the_volume(self) -> None:
        text = (
            '[order.crown]\nshape = "flat dish"\ndish_diameter = "60 mm"\ndish_corner = "1 mm"\n'
            '[order.pocket.intake]\npockets = 2\npocket_diameter = "30 mm"\npocket_depth = "1.5 mm"\n'
            'pocket_tilt = "10 deg"\npocket_offset = "22 mm"\n'
        )
        spec = spec_of(job(text))
        assert spec.shape.net == pytest.approx(4.5 * CC, abs=1e-10)
        full = 2 * spec.shape.pockets["intake"].volume
        assert 0 < spec.shape.hollow["intake pockets"] < full


class TestToConfirm:
    def test_a_pin_that_cuts_into_the_rings_is_found(self) -> None:
        """31.65 − 22/2 − 21 = −0.35 mm, and 0.05 mm of tolerance and 0.005 + 0.1 mm of ± more at its worst."""
        sizes = (
            'pin_diameter = "22.00 +/- 0.01 mm"\nring_pack_depth = "21.0 +/- 0.1 mm"\nheight_tolerance = "0.05 mm"\n'
        )
        order = order_from(job(f"[order]\n{sizes}"))
        (one,) = [c for c in order.checks if c.code == "pin-groove"]
        assert one.level is Level.WARNING
        assert re.search(r"0\.5[01] mm", one.wrong)

    def test_checks_are_questions_and_never_permission(self) -> None:
        order = order_from(job(COMPLETE))
        assert order.checks
        for one in order.checks:
            assert one.right
            assert not any(word in one.wrong + one.right for word in ("safe", "fine", "is enough,"))


class TestValves:
    """The valves of an example with a cam, against the piston to be ordered."""

    ENGINE = Path(__file__).parents[2] / "examples" / "turbo-four.toml"

    def test_the_gap_asked_and_the_pocket_it_needs_are_to_be_confirmed(self) -> None:
        found = [one for one in order_of(survey(load(self.ENGINE).job)).checks if one.code.startswith("valve-")]
        gaps = [one.wrong for one in found if one.code == "valve-room"]
        assert len(gaps) == 2
        assert all("asked:" in words for words in gaps)
        assert all(one.right for one in found)
        assert not any("−" in one.wrong for one in found)  # a floor above the crown is said in words

    def test_what_is_lacking_is_said(self) -> None:
        order = order_from(job('[valve.intake]\nvalve_diameter = "33 mm, measured"\n'))
        (one,) = [c for c in order.checks if c.code == "valve-room"]
        assert "not given" in one.wrong
