"""FINAL means that it fits: every wrong piston that could be thought of is withheld, and says why on the first page.

The amounts are worked out by hand in the tests that name them; the limits are
common practice, no source.
"""

from __future__ import annotations

import json
import re
from io import BytesIO
from math import pi
from pathlib import Path

import pypdf
import pytest
from typer.testing import CliRunner

from ccassist.analysis.results import survey
from ccassist.cli.app import app
from ccassist.cli.layout import report_lines
from ccassist.job.file import parse_job
from ccassist.job.sections import ACCEPTABLE, CHECKS, NEVER
from ccassist.paper.documents import order_bytes
from ccassist.report.blocks import Text
from ccassist.report.order import piston_order_of
from ccassist.report.order_sheet import order_report
from ccassist.values.findings import InputError, errors
from tests.order_job import DISH, DOME, changed, order_from, pocket, valve

FLAT = '[order.crown]\nshape = "flat"\n'
HIGH = ('static_ratio = "9.9 to 10.9"',)  # of the ratio: asks for a dome
TWO_HEADS = '[part.left]\nkind = "head"\ncylinders = [1]\n[part.right]\nkind = "head"\ncylinders = [2]\n'
HOLLOW = 'crown_at_valve = "4.0 mm below the flat, measured"\n'
PLACED = 'valve_pockets = "front"'


def own_bore(size: str) -> str:
    return f'[cylinder.2]\nbore = "{size} +/- 0.004 mm, measured"\n'


WRONG: dict[str, tuple[str, str]] = {  # what is wrong -> (the check that must say so, the job)
    "flat crown, the ratio asks for a dish": ("crown_sign", changed(crown=FLAT)),
    "flat crown, a dome is stated": ("crown_sign", changed('crown_volume = "dome 4.0 cc"', crown=FLAT)),
    "flat crown, a dish is stated": ("crown_sign", changed('crown_volume = "dish 6.8 cc"', crown=FLAT)),
    "a dome drawn, the ratio asks for a dish": ("crown_shape", changed(crown=DOME)),
    "a dish drawn, the ratio asks for a dome": ("crown_sign", changed(*HIGH, crown=DISH)),
    "a dish drawn whole, the ratio asks for a dome": (
        "crown_sign", changed(*HIGH, crown=DISH + 'dish_depth = "3.0 mm"\n'),
    ),
    "sizes that hold another volume": ("shape_volume", changed(crown=DISH + 'dish_depth = "2.60 mm"\n')),
    "flat with pockets that hold less": (
        "shape_volume", changed(PLACED, crown=FLAT, more=pocket(diameter=30, depth=2)),
    ),
    "a dish and its band that miss the land": (
        "crown_shape", changed(crown=DISH + 'squish_band = "18.0 mm"\n'),
    ),
    "one pocket that holds less than the crown ordered": (
        "shape_volume", changed(PLACED, 'crown_volume = "flat"', crown=FLAT, more=pocket(diameter=34, depth=2)),
    ),
    "a land height with its point out of place": ("unusual", changed('land_height = "0.63 +/- 0.05 mm"')),
    "a height in inches": ("unusual", changed('compression_height = "32.1 in"')),
    "two kinds of pockets in one place": (
        "pocket_place",
        changed(more=pocket() + 'pocket_angle = "0 deg"\n' + pocket("exhaust") + 'pocket_angle = "0 deg"\n'),
    ),
    "no room for the corner": ("crown_shape", changed(crown=DISH.replace('"1.0 mm"', '"3.0 mm"'))),
    "pockets in a dish, place unsaid": (
        "pocket_shape", changed(PLACED, more=pocket().replace('pocket_offset = "20.0 mm"\n', "")),
    ),
    "pockets through a dome, place unsaid": (
        "pocket_shape",
        changed(*HIGH, PLACED, crown=DOME, more=pocket().replace('pocket_offset = "20.0 mm"\n', "")),
    ),
    "pockets that run into one another": (
        "pocket_shape", changed(PLACED, more=pocket(count=4, diameter=38, offset=21, depth=0.5)),
    ),
    "ratio outside": ("wanted_band", changed('crown_volume = "dish 14.0 cc"')),
    "ratio outside only at the worst": ("wanted_band", changed('crown_tolerance = "2.0 cc"')),
    "gap outside": ("wanted_band", changed('compression_height = "32.20 mm"', 'height_tolerance = "0.02 mm"')),
    "gap outside only at the worst": ("wanted_band", changed('height_tolerance = "0.12 mm"')),
    "one cylinder of two outside": (
        "wanted_band", changed(more='[cylinder.2]\nchamber_volume = "46.30 +/- 0.12 cc, measured"\n'),
    ),
    "one value wanted and missed": (
        "wanted_band",
        changed('static_ratio = "8.65"', 'crown_volume = "dish 12.0 cc"', 'crown_tolerance = "0.4 cc"'),
    ),
    "a height that nobody holds so close": (
        "tolerance_held", changed('rod_length = "129.43 +/- 0.055 mm, measured"'),
    ),
    "proud, meets the head": (
        "head_contact", changed("-squish", 'compression_height = "33.70 mm"', 'height_tolerance = "0.02 mm"'),
    ),
    "meets the head only at the worst": (
        "head_contact", changed("-squish", 'compression_height = "33.42 mm"', 'height_tolerance = "0.05 mm"'),
    ),
    "a dome wider than the chamber": (
        "chamber_contact",
        changed(*HIGH, crown=DOME.replace("60.0", "84.0").replace("42.0", "82.0") + 'dome_height = "3.0 mm"\n'),
    ),
    "a dome close to the chamber": (
        "dome_gap",
        changed(
            *HIGH, 'dome_clearance = "3.0 mm"', 'chamber_area = "24.0 +/- 0.2 cm2, measured"',
            crown=DOME.replace("60.0", "55.0").replace("42.0", "54.0"),
        ),
    ),
    "a dish wider than the chamber": ("squish_pads", changed(crown=DISH.replace("64.0", "80.0"))),
    "a fire ring over the bore": ("gasket_edge", changed("-squish", 'gasket_bore = "91.0 +/- 0.1 mm, measured"',
                                                         'compression_height = "32.30 mm"',
                                                         'height_tolerance = "0.02 mm"')),
    "a fire ring over the dish": (
        "gasket_edge", changed('gasket_bore = "83.0 +/- 0.1 mm, measured"', crown=DISH.replace("64.0", "84.0")),
    ),
    "a proud piston into the fire ring": ("gasket_contact", changed('gasket_bore = "90.0 +/- 0.1 mm, measured"')),
    "valves into the crown": ("valve_contact", changed(more=valve(1.0))),
    "valves into the floor of their pocket": (
        "valve_contact", changed(PLACED, more=pocket(depth=0.5, diameter=40, tilt=12) + valve(0.5, most=22)),
    ),
    "valves into the wall of their pocket": (
        "valve_contact", changed(PLACED, more=pocket(depth=6.0, diameter=32.9, tilt=12) + valve(0.5, most=16)),
    ),
    "a pocket cut aside of its valve": (
        "valve_contact", changed(PLACED, more=pocket(depth=6.0, diameter=40, tilt=12, offset=26) + valve(0.5, most=16)),
    ),
    "pockets only in the pistons there are now": (
        "valve_contact",
        changed(more=valve(1.0, 'pocket_depth = "6.0 mm, measured"\npocket_diameter = "40 mm, measured"\n')),
    ),
    "a hollow only in the pistons there are now": (
        "valve_contact", changed('static_ratio = "9.2 to 9.9"', crown=FLAT, more=valve(1.0, HOLLOW)),
    ),
    "valves nearer than wanted": ("valve_gap", changed(more=valve(2.0))),
    "valves nearer than wanted only at the worst": ("valve_gap", changed(more=valve(2.3))),
    "valves over a dome of unsaid height": ("valve_crown", changed(*HIGH, crown=DOME, more=valve(9.0))),
    "a dish into the pin bore": (
        "crown_through",
        changed("-static_ratio", 'crown_volume = "dish 80.0 cc"', 'crown_tolerance = "0.5 cc"', crown=DISH),
    ),
    "pockets into the pin bore": ("crown_through", changed(PLACED, more=pocket(depth=24.0, diameter=24))),
    "a pocket into the ring groove": (
        "crown_through", changed(PLACED, more=pocket(depth=6.6, diameter=22, offset=33)),
    ),
    "a pin through the crown": ("crown_through", changed('pin_diameter = "66.0 +/- 0.01 mm, measured"')),
    "a crown that is too thin": ("crown_thickness", changed('crown_thickness = "20.0 mm"')),
    "thin to the ring groove": (
        "groove_metal", changed(PLACED, more=pocket(depth=4.0, diameter=24, offset=31)),
    ),
    "a dish as wide as the crown": ("crown_edge", changed(crown=DISH.replace("64.0", "90.8"))),
    "a dome as wide as the crown": (
        "crown_edge", changed(*HIGH, crown=DOME.replace("60.0", "91.0")),
    ),
    "pockets that open the land": ("pocket_edge", changed(PLACED, more=pocket(offset=38, depth=1.0, diameter=20))),
    "a pin in the rings": ("pin_groove", changed('ring_pack_depth = "22.4 +/- 0.1 mm, maker\'s figure"')),
    "a pin in the rings only at the worst": (
        "pin_groove", changed('ring_pack_depth = "21.9 +/- 0.1 mm, maker\'s figure"'),
    ),
    "a pin in rings whose depth is not said": (
        "pin_groove", changed("-ring_pack_depth", 'land_height = "17.5 +/- 0.05 mm"', crown=DISH),
    ),
    "a rail that the pin goes past": (
        "pin_groove",
        changed('ring_pack_depth = "25.4 +/- 0.1 mm, maker\'s figure"', 'support_rail = "agreed with the maker"'),
    ),
    "rings that exceed their pack": ("ring_pack", changed('land_height = "11.0 +/- 0.05 mm"')),
    "a pin longer than the bore": ("pin_length", changed('pin_length = "91.3 +/- 0.1 mm, measured"')),
    "a pin no longer than the small end": ("pin_length", changed('pin_length = "22.4 +/- 0.1 mm, measured"')),
    "a land larger than its bore": ("land_bore", changed('land_diameter = "91.36 +/- 0.03 mm"')),
    "a land with less room than the skirt": ("land_clearance", changed('land_diameter = "91.30 +/- 0.02 mm"')),
    "bores that differ": ("bores", changed(more=own_bore("91.43"))),
    "a piston for one cylinder only": ("pieces", changed("pieces = 1")),
    "two banks, what differs unsaid": (
        "sides", changed('pin_offset = "0.5 mm toward the thrust side"', more=TWO_HEADS),
    ),
    "a chamber that is assumed": ("ground", changed('chamber_volume = "49.62 +/- 0.3 cc, assumed"')),
    "a chamber without a ±": ("ground", changed('chamber_volume = "49.62 cc, maker\'s figure"')),
    "a gasket of which nothing is said": ("ground", changed('gasket_thickness = "1.04 mm"')),
    "dial against stack": (
        "doubts",
        changed(more='[part.pistons]\nkind = "pistons"\ncompression_height = "32.10 +/- 0.02 mm, measured"\n'
                '[cylinder.1]\ndeck_clearance = "0.10 +/- 0.01 mm below deck, measured"\n'),
    ),
}  # fmt: skip


def keys_of(text: str) -> set[str]:
    return {one.check.key for one in order_from(text).judged.faults}


def test_the_right_piston_is_final() -> None:
    order = order_from(changed())
    assert order.open == ()
    assert order.final


@pytest.mark.parametrize("what", WRONG)
def test_a_wrong_piston_is_withheld(what: str) -> None:
    key, text = WRONG[what]
    order = order_from(text)
    assert not order.final
    assert key in {one.check.key for one in order.judged.faults}, order.open
    report = order_report(order, piston_order_of(order), "job.toml")
    assert len(report_lines(report, width=80, height=24)) < 24


def test_what_is_printed_is_not_asked_to_be_printed() -> None:
    order = order_from(changed())
    told = piston_order_of(order)
    said = [order_report(order, told, "job.toml", written=written).answer for written in (False, True)]
    asked = [any(isinstance(one, Text) and one.command for one in answer) for answer in said]
    assert asked == [True, False]


def test_every_check_declared_is_tripped_by_a_wrong_piston() -> None:
    assert {key for key, _ in WRONG.values()} | {"contradiction"} == set(CHECKS)


@pytest.mark.parametrize("what", list(WRONG)[::9])
def test_the_command_refuses_and_says_why_everywhere(what: str, tmp_path: Path) -> None:
    key, text = WRONG[what]
    job, out = tmp_path / "job.toml", tmp_path / "out.pdf"
    job.write_text(text, encoding="utf-8")
    run = CliRunner().invoke(app, ["order", str(job), "--final", "--out", str(out)])
    assert run.exit_code == 1, run.output
    assert not out.exists()
    data = json.loads(CliRunner().invoke(app, ["order", str(job), "--json"]).stdout)
    (said, *_) = [one for one in data["does_not_fit"] if one["check"]["key"] == key]
    assert f"{len(data['does_not_fit'])} not fitting" in run.stdout
    assert "".join(data["does_not_fit"][0]["wrong"].split())[:120] in "".join(run.stdout.split())
    page, _ = order_bytes(order_from(text))
    first = "".join(pypdf.PdfReader(BytesIO(page)).pages[0].extract_text().split())
    assert "DOESNOTFIT" in first
    assert "".join(said["wrong"].split())[:60] in first


class TestGround:
    """At most 5 % of the variance may be without ground: 0.22² of a chamber's ± of 1, in a normal sum."""

    def test_little_without_ground_does_not_block(self) -> None:
        """The opening's ± of 0.1 mm is 0.15 cc ÷ 0.92 cc² of gasket: a few hundredths of a per cent of the ratio's."""
        assert order_from(changed('gasket_bore = "92.6 +/- 0.05 mm, assumed"')).final

    def test_it_names_what_is_guessed_and_what_to_measure(self) -> None:
        order = order_from(changed('chamber_volume = "49.62 +/- 0.3 cc, assumed"'))
        (one,) = [fault for fault in order.judged.faults if fault.check.key == "ground"]
        assert "chamber volume" in one.wrong
        assert "1 guess" in one.wrong

    def test_a_close_fit_does_not_rest_on_a_guess_and_a_wide_one_may(self) -> None:
        """Room between pin and rings 6.0 mm, and 0.2 mm: of the pack's depth only the usual ± is known."""
        wide, close = (changed(f'ring_pack_depth = "{depth} mm, maker\'s figure"') for depth in ("15.4", "21.75"))
        assert order_from(wide).final
        order = order_from(close)
        assert [one.check.key for one in order.judged.faults] == ["ground"]
        assert "pin and rings rest on what is only taken" in order.open[0]
        assert order_from(close.replace("21.75 mm", "21.75 +/- 0.1 mm")).final

    def test_a_chamber_opening_that_is_assumed_says_nothing_of_a_dish_nearly_as_wide(self) -> None:
        assumed = 'chamber_area = "44.0 cm2, assumed"'
        assert order_from(changed(assumed, crown=DISH.replace("64.0", "60.0"))).final
        assert "ground" in keys_of(changed(assumed, crown=DISH.replace("64.0", "70.0")))

    def test_a_size_of_the_crown_is_not_assumed(self) -> None:
        order = order_from(changed(crown=DISH.replace("64.0 mm", "64.0 mm, assumed")))
        assert any(
            point.startswith("assumed: dish diameter: measure it, or state whose figure") for point in order.open
        )


class TestReasonsAreTrue:
    """What is printed shows that it does not fit, also where it misses by less than is usually printed."""

    def test_a_range_missed_by_a_hair(self) -> None:
        text = changed('squish = "0.96 to 1.12 mm"', 'height_tolerance = "0.0532 mm"')
        (one,) = [fault for fault in order_from(text).judged.faults if fault.check.key == "wanted_band"]
        low, high = (float(figure) for figure in re.findall(r"([\d.]+) to ([\d.]+) mm", one.wrong)[1])
        assert low < 0.96 or high > 1.12, one.wrong
        assert "cylinders 1, 2" in one.wrong  # alike, so said once

    def test_a_tolerance_that_nobody_holds_names_what_takes_the_range(self) -> None:
        """By hand: half the stroke's ± 0.01, the rod's 0.055, the block's 0.012 and the gasket's 0.01 mm take 0.082."""
        text = changed('rod_length = "129.43 +/- 0.055 mm, measured"')
        (one,) = [fault for fault in order_from(text).judged.faults if fault.check.key == "tolerance_held"]
        assert "what was measured takes 0.082 mm at its worst" in one.wrong
        assert "the rod length known to ± 0.053 mm instead of ± 0.055 mm" in one.right  # 0.020 left of 0.1
        assert "or want a wider squish gap" in one.right

    def test_each_tolerance_names_the_range_that_asks_for_it(self) -> None:
        """The squish gap leaves the height little, by the rod; the ratio leaves the crown little, by the chamber."""
        text = changed('chamber_volume = "49.62 +/- 1.25 cc, measured"', 'rod_length = "129.43 +/- 0.070 mm, measured"')
        told = [fault.text for fault in order_from(text).judged.faults if fault.check.key == "tolerance_held"]
        about = {wrong.partition(" would ")[0]: wrong for wrong in told}
        assert set(about) == {"the compression height", "the net crown volume"}
        height, crown = about["the compression height"], about["the net crown volume"]
        assert "squish gap wanted" in height
        assert "rod length" in height
        assert "static compression ratio wanted" in crown
        assert "chamber volume" in crown

    def test_a_tolerance_that_is_stated_is_the_word_of_whoever_orders(self) -> None:
        judged = order_from(changed('height_tolerance = "0.005 mm"')).judged
        assert not [fault for fault in judged.faults if fault.check.key == "tolerance_held"]

    def test_a_pin_that_cuts_by_a_hair(self) -> None:
        """The depth of the pack at its worst is 0.0012 mm more than what stands over the pin bore at its worst."""
        order = order_from(changed())
        assert order.spec.height is not None
        room = order.spec.height.value - (order.spec.height.tolerance.size or 0.0) - 10.502e-3
        text = changed(f'ring_pack_depth = "{room * 1e3 - 0.0988:.4f} +/- 0.1 mm, maker\'s figure"')
        (one,) = [fault for fault in order_from(text).judged.faults if fault.check.key == "pin_groove"]
        (by,) = re.findall(r"by ([\d.]+) mm", one.wrong)
        assert float(by) == pytest.approx(0.0012, abs=0.0003)


class TestSigns:
    """A stated volume of the opposite sign is refused where it is read."""

    @pytest.mark.parametrize(
        ("volume", "crown"),
        [("dish 6.1 cc", DOME), ("dome 6.1 cc", DISH), ("dome 3 cc", DISH + 'dish_depth = "2 mm"\n')],
    )
    def test_dish_over_dome_and_dome_over_dish(self, volume: str, crown: str, tmp_path: Path) -> None:
        text = changed(f'crown_volume = "{volume}"', crown=crown)
        (fault,) = errors(survey(parse_job(text).job).findings)
        assert fault.code == "crown-sign"
        assert fault.read == volume
        assert fault.line == text.split("\n").index(f'crown_volume = "{volume}"') + 1
        job = tmp_path / "job.toml"
        job.write_text(text, encoding="utf-8")
        with pytest.raises(InputError, match="the other way round"):
            CliRunner().invoke(app, ["order", str(job)], catch_exceptions=False, standalone_mode=False)
        assert "contradiction" in keys_of(text)

    def test_pockets_may_outweigh_a_dome(self) -> None:
        text = changed('crown_volume = "dish 2.0 cc"', crown=DOME, more=pocket())
        assert not errors(survey(parse_job(text).job).findings)


class TestShapeAgainstVolume:
    """By half the last digit of every size and of the volume, added: Ø 64.0 × 2.00 is 6.434 cc.

    Half digits by hand: 0.05 mm of diameter 0.0101 cc, 0.005 mm of depth 0.0161 cc, 0.05 cc of the volume.
    """

    CROWN = '[order.crown]\nshape = "flat dish"\ndish_diameter = "64.0 mm"\ndish_depth = "2.00 mm"\n'

    @pytest.mark.parametrize(
        ("volume", "held"), [("6.4", True), ("6.5", True), ("6.35", False), ("6.51", False), ("6.6", False)]
    )
    def test_the_volume_stated(self, volume: str, held: bool) -> None:
        assert pi / 4 * 64.0**2 * 2.00 == pytest.approx(6434, abs=1)
        text = changed(f'crown_volume = "dish {volume} cc"', 'crown_tolerance = "0.5 cc"', crown=self.CROWN)
        assert ("shape_volume" not in keys_of(text)) == held


class TestAccepted:
    def test_a_warning_is_accepted_with_its_reason_which_is_printed(self) -> None:
        reason = "measured at mock-up with clay"
        text = changed(more=valve(2.0) + f'[order.accepted]\nvalve_gap = "{reason}"\n')
        order = order_from(text)
        assert order.final, order.open
        data, _ = order_bytes(order, final=True)
        first = " ".join(pypdf.PdfReader(BytesIO(data)).pages[0].extract_text().split())
        assert "ACCEPTED BY WHOEVER ORDERS" in first
        assert reason in first
        assert "Piston order: FINAL" in first
        assert order.to_dict()["accepted"][0]["accepted"] == reason

    def test_contact_is_never_accepted_as_a_gap(self) -> None:
        text = changed(more=valve(1.0) + '[order.accepted]\nvalve_gap = "it will be fine"\n')
        assert "valve_contact" in keys_of(text)

    @pytest.mark.parametrize("key", NEVER)
    def test_what_is_never_accepted_is_an_error(self, key: str) -> None:
        text = changed(more=f'[order.accepted]\n{key} = "because"\n')
        (fault,) = [one for one in parse_job(text).findings if one.level]
        assert fault.code == "never-accepted"
        assert fault.line

    @pytest.mark.parametrize("said", [".", "-", "ok", "Yes.", "n/a", "12", "?!"])
    def test_a_mark_or_a_yes_is_no_reason(self, said: str) -> None:
        (fault,) = [
            one for one in parse_job(changed(more=f'[order.accepted]\npieces = "{said}"\n')).findings if one.level
        ]
        assert fault.code == "no-reason"
        assert fault.line

    def test_a_reason_must_say_something(self) -> None:
        (fault,) = [one for one in parse_job(changed(more='[order.accepted]\npieces = " "\n')).findings if one.level]
        assert fault.code == "missing-value"

    def test_what_is_accepted_for_nothing_is_said(self) -> None:
        order = order_from(changed(more='[order.accepted]\npieces = "one is a spare"\n'))
        assert order.final
        assert any("pieces is accepted, but nothing of the kind is wrong" in one for one in order.judged.idle)

    @pytest.mark.parametrize("what", [what for what, (key, _) in WRONG.items() if key in ACCEPTABLE])
    def test_every_acceptable_check_can_be_accepted(self, what: str) -> None:
        key, text = WRONG[what]
        order = order_from(f'{text}[order.accepted]\n{key} = "settled by word of mouth"\n')
        assert key not in {one.check.key for one in order.judged.faults}
        assert key in {one.check.key for one in order.judged.accepted}

    def test_a_support_rail_settles_a_pin_in_the_oil_ring_groove(self) -> None:
        rail = "agreed with the maker on 3 November"
        text = changed('ring_pack_depth = "22.4 +/- 0.1 mm, maker\'s figure"', f'support_rail = "{rail}"')
        order = order_from(text)
        assert order.final, order.open
        assert any(rail in one.text for one in order.judged.accepted)


class TestNotChecked:
    @pytest.mark.parametrize(
        ("text", "words"),
        [
            (changed(), "intake and exhaust valve against the piston: no cam and no valve is given"),
            (changed("-chamber_area"), "dish against the chamber: not given: chamber opening"),
            (changed("-ring_pack_depth"), "pin against the rings: not given: ring pack depth"),
            (changed("-crown_thickness"), "crown thickness: no least crown thickness is stated"),
            (changed(more=pocket()), "pockets: "),
        ],
    )
    def test_it_is_listed_on_the_first_page_and_does_not_block(self, text: str, words: str) -> None:
        order = order_from(text)
        assert not order.judged.faults
        if words != "pockets: ":
            assert any(words in one for one in order.judged.unseen), order.judged.unseen
        data, _ = order_bytes(order)
        first = " ".join(pypdf.PdfReader(BytesIO(data)).pages[0].extract_text().split())
        assert "NOT CHECKED" in first
        for one in order.judged.unseen:
            assert " ".join(one.split()) in first
