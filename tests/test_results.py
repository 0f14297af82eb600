"""From readings and statements to each cylinder: two whole jobs re-added by hand, states, precedence, seals."""

from __future__ import annotations

from math import hypot, pi, sqrt
from typing import Any

import pytest

from ccassist.analysis.cylinder import Cylinder
from ccassist.analysis.results import Survey, survey
from ccassist.job.file import parse_job
from ccassist.values.findings import Finding, errors
from ccassist.values.uncertainty import expand
from ccassist.values.verdict import spread_of
from tests.sound_job import SOUND, changed
from tests.sound_survey import surveyed as sound

CC = 1e-6
MM = 1e-3


def surveyed(text: str) -> Survey:
    """The survey of a job without faults of form."""
    loaded = parse_job(text, "job.toml")
    assert errors(loaded.findings) == ()
    return survey(loaded.job)


def cc(cylinder: Cylinder, key: str) -> float:
    return cylinder.values[key].nominal / CC


def codes(found: Survey) -> list[str]:
    return [finding.code for finding in found.findings]


def the(found: Survey, code: str) -> Finding:
    (finding,) = (f for f in found.findings if f.code == code)
    return finding


def close(value: float) -> Any:
    return pytest.approx(value, rel=1e-9)


def fills(cylinder: int, *ends: str, head: str = "", **more: str) -> str:
    """A block of chamber fills from nought."""
    rows = "".join(f'    {{ start = "0.00 ml", end = "{end} ml" }},\n' for end in ends)
    keys = {"instrument": "burette 100 ml class A", "plug": "fitted", "hole": "not filled", **more}
    said = "".join(f'{key} = "{value}"\n' for key, value in keys.items())
    return f'\n[[series]]\nstep = "chamber"\ncylinder = {cylinder}\n{head}{said}readings = [\n{rows}]\n'


# -- a whole metric job ---------------------------------------------------------------------------------

METRIC = """
format = 1
[job]
units = "metric"
[engine]
cylinders = 4
bore = "79.30 +/- 0.01 mm, measured"
stroke = "81.70 +/- 0.02 mm, measured"
rod_length = "138.60 +/- 0.02 mm, measured"
block_deck_height = "211.30 +/- 0.02 mm, measured"
engine_speed = "6000 rpm"
[part.pistons]
kind = "pistons"
compression_height = "31.65 +/- 0.03 mm, measured"
crown_volume = "dish 4.491 +/- 0.2 cc, measured"
land_diameter = "78.62 +/- 0.02 mm, measured"
land_height = "6.8 +/- 0.1 mm, measured"
[part.gasket]
kind = "gasket"
gasket_bore = "80.9 +/- 0.1 mm, measured"
gasket_thickness = "1.25 +/- 0.05 mm, measured"
[counted]
crevice = "counted"
[cylinder.1]
chamber_volume = "38.4 +/- 0.3 cc, measured"
[cylinder.2]
chamber_volume = "38.9 +/- 0.3 cc, measured"
[cylinder.3]
chamber_volume = "38.5 +/- 0.3 cc, measured"
[cylinder.4]
chamber_volume = "38.6 +/- 0.3 cc, measured"
"""


def c1(chamber: float, **given: float) -> float:
    """Trade example C1 by hand, in mm and cc: the ratio.  Common practice, recomputed."""
    v = {"B": 79.30, "S": 81.70, "L": 138.60, "H": 211.30, "CH": 31.65, "crown": 4.491, "land": 78.62, "height": 6.8}
    v = {**v, "Bg": 80.9, "hg": 1.25, **given}
    deck = v["H"] - v["S"] / 2 - v["L"] - v["CH"]
    swept = pi / 4 * v["B"] ** 2 * v["S"] / 1000
    gasket = pi / 4 * v["Bg"] ** 2 * v["hg"] / 1000
    crevice = pi / 4 * (v["B"] ** 2 - v["land"] ** 2) * v["height"] / 1000
    clearance = chamber + gasket + pi / 4 * v["B"] ** 2 * deck / 1000 + v["crown"] + crevice
    return (swept + clearance) / clearance


def test_a_whole_metric_job_by_hand() -> None:
    """Trade example C1 (common practice, recomputed): every volume of the sum, and the four ratios as printed."""
    first = sound(METRIC).cylinders[0]
    volumes = ("swept_volume", "gasket_volume", "deck_volume", "crevice_volume", "clearance_volume")
    assert [round(cc(first, key), 3) for key in volumes] == [403.514, 6.425, 0.988, 0.574, 50.878]
    assert first.values["deck_clearance"].nominal == close(0.20 * MM)
    assert first.values["squish"].nominal == close(1.45 * MM)
    assert first.values["mean_piston_speed"].nominal == close(2 * 0.0817 * 100)
    ratios = [c.values["static_ratio"].nominal for c in sound(METRIC).cylinders]
    assert ratios == [close(c1(chamber)) for chamber in (38.4, 38.9, 38.5, 38.6)]
    assert [f"{ratio:.3f}" for ratio in ratios] == ["8.931", "8.854", "8.916", "8.900"]
    assert sound(METRIC).whole["displacement"].nominal / CC == close(4 * pi / 4 * 79.3**2 * 81.7 / 1000)


def test_its_ratio_has_the_right_plus_or_minus() -> None:
    """First-order propagation (JCGM 100:2008, 5.1.2) by finite differences; every ± is 95 % of a normal, so is U."""
    doubts = {"B": 0.01, "S": 0.02, "L": 0.02, "H": 0.02, "CH": 0.03, "crown": 0.2, "land": 0.02, "height": 0.1}
    doubts = {**doubts, "Bg": 0.1, "hg": 0.05}
    middle = {"B": 79.30, "S": 81.70, "L": 138.60, "H": 211.30, "CH": 31.65, "crown": 4.491, "land": 78.62}
    middle = {**middle, "height": 6.8, "Bg": 80.9, "hg": 1.25}
    step = 1e-4
    slopes = {
        key: (c1(38.4, **{key: middle[key] + step}) - c1(38.4, **{key: middle[key] - step})) / (2 * step)
        for key in doubts
    }
    chamber = (c1(38.4 + step) - c1(38.4 - step)) / (2 * step) * 0.3
    by_hand = sqrt(chamber**2 + sum((slopes[key] * doubts[key]) ** 2 for key in doubts))
    assert sound(METRIC).cylinders[0].values["static_ratio"].expanded == pytest.approx(by_hand, rel=1e-5)


# -- a whole imperial job -------------------------------------------------------------------------------

IMPERIAL = """
format = 1
[job]
units = "imperial"
[engine]
cylinders = 1
bore = "3.937 +/- 0.0005, measured"
stroke = "3.291 +/- 0.001 in, measured"
deck_clearance = "12 +/- 1 thou below deck, measured"
crown_volume = "reliefs 4.7 +/- 0.3 cc, maker's figure"
gasket_bore = "4.020 +/- 0.005 in, measured"
gasket_thickness = "43 thou +/- 1 thou, maker's figure"
chamber_volume = "58.6 +/- 0.3 cc, measured"
[counted]
crevice = "not counted"
"""


def test_a_whole_imperial_job_by_hand() -> None:
    """Trade example C8 (common practice, recomputed), with 1 in³ = 16.387064 cc exactly (NIST SP 811, B.8)."""
    cubic_inch = 16.387064
    swept = pi / 4 * 3.937**2 * 3.291 * cubic_inch
    gasket = pi / 4 * 4.020**2 * 0.043 * cubic_inch
    deck = pi / 4 * 3.937**2 * 0.012 * cubic_inch
    clearance = 58.6 + 4.7 + gasket + deck
    only = sound(IMPERIAL).cylinders[0]
    assert cc(only, "swept_volume") == close(swept)
    assert cc(only, "gasket_volume") == close(gasket)
    assert cc(only, "deck_volume") == close(deck)
    assert cc(only, "clearance_volume") == close(clearance)
    assert only.values["static_ratio"].nominal == close((swept + clearance) / clearance)
    printed = [f"{cc(only, key):.3f}" for key in ("gasket_volume", "deck_volume", "clearance_volume")]
    assert printed == ["8.944", "2.394", "74.637"]
    assert f"{cc(only, 'swept_volume'):.2f}" == "656.52"
    assert f"{only.values['static_ratio'].nominal:.3f}" == "9.796"


# -- states ---------------------------------------------------------------------------------------------

HEADS = """
format = 1
[engine]
cylinders = 2
[part.head]
kind = "head"
states = ["as received", "seats cut"]
"""


def test_states_are_never_averaged_and_the_newest_complete_one_counts() -> None:
    text = HEADS + "".join(
        fills(n, *ends, state=state)
        for n, ends, state in (
            (1, ("46.0", "46.2"), "as received"),
            (2, ("46.5", "46.7"), "as received"),
            (1, ("47.0", "47.2"), "seats cut"),
            (2, ("47.5", "47.7"), "seats cut"),
        )
    )
    found = sound(text)
    assert [cc(c, "chamber_volume") for c in found.cylinders] == [close(47.1), close(47.6)]
    assert len(found.reduced) == 4  # the older ones stay for before and after
    assert "newer-state" not in codes(found)


def test_the_order_of_states_is_the_one_the_part_lists() -> None:
    """Written down in the wrong order, "seats cut" still comes after "as received"."""
    text = HEADS + "".join(
        fills(n, end, state=state)
        for n, end, state in (
            (1, "47.0", "seats cut"),
            (2, "47.5", "seats cut"),
            (1, "46.0", "as received"),
            (2, "46.5", "as received"),
        )
    )
    assert [cc(c, "chamber_volume") for c in sound(text).cylinders] == [close(47.0), close(47.5)]


def test_a_newer_state_half_done_does_not_count_yet() -> None:
    text = HEADS + fills(1, "46.0", state="as received") + fills(2, "46.5", state="as received")
    found = sound(text + fills(2, "47.5", state="seats cut"))
    assert [cc(c, "chamber_volume") for c in found.cylinders] == [close(46.0), close(46.5)]
    assert the(found, "newer-state").text() == (
        'job.toml, head: "seats cut" is not complete: cylinder 1 still to do; results are of "as received"'
    )


def test_no_state_complete_is_said() -> None:
    found = sound(HEADS + fills(1, "46.0", state="as received") + fills(2, "47.5", state="seats cut"))
    assert "chamber_volume" not in found.cylinders[0].values
    assert cc(found.cylinders[1], "chamber_volume") == close(47.5)
    assert the(found, "no-complete-state").text() == (
        'job.toml, head: no state is complete, so results are of "seats cut", which lacks cylinder 1; '
        "readings of another state are not mixed in"
    )


def test_a_state_that_the_part_does_not_list_is_asked_about() -> None:
    loaded = parse_job(HEADS + fills(1, "46.0", state="seets cut") + fills(2, "46.5", state="seets cut"), "job.toml")
    assert loaded.findings[0].text() == (
        'job.toml, line 15, series 1.state: read "seets cut": a state that the part does not list; '
        'did you mean "seats cut"? Otherwise add it to the states of [part."head"]'
    )


def test_one_part_may_be_in_another_state_than_its_sister() -> None:
    heads = HEADS.replace("[part.head]", '[part.left]\nkind = "head"\ncylinders = [1]\n[part.right]\ncylinders = [2]')
    text = heads + fills(1, "46.0", state="as received") + fills(2, "46.5", state="as received")
    found = sound(text + fills(1, "47.0", state="seats cut"))
    assert [cc(c, "chamber_volume") for c in found.cylinders] == [close(47.0), close(46.5)]


# -- what counts ----------------------------------------------------------------------------------------


def test_readings_set_aside_are_kept_and_do_not_count() -> None:
    row = '{ start = "0.00 ml", end = "40.0 ml", set_aside = "saw a bubble" },\n]'
    text = HEADS + fills(1, "46.0", "46.2")[:-2] + row + "\n" + fills(2, "46.5")
    found = sound(text)
    assert cc(found.cylinders[0], "chamber_volume") == close(46.1)
    cell = found.reduced[0].cell
    assert (len(cell.readings), len(cell.counted), cell.readings[2].set_aside) == (3, 2, "saw a bubble")
    assert found.reduced[0].rows[2] == close(40.0 * CC)


def test_every_reading_set_aside_leaves_nothing() -> None:
    rows = '\n[[series]]\nstep = "chamber"\ncylinder = 1\nplug = "fitted"\nhole = "not filled"\n'
    rows += 'readings = [{ start = "0 ml", end = "46 ml", set_aside = "dropped the plate" }]\n'
    found = sound(HEADS + rows)
    assert "chamber_volume" not in found.cylinders[0].values
    assert "none-counted" in codes(found)


def test_a_list_of_readings_is_averaged_and_counts_as_measured() -> None:
    listed = 'bore = { readings = ["83.40 mm", "83.42 mm", "83.41 mm"], instrument = "bore gauge" }'
    found = sound(changed(('bore = "83.40 +/- 0.01 mm, measured"', listed)))
    bore = found.cylinders[1].values["bore"]
    assert (bore.nominal, bore.origin, bore.how) == (close(83.41 * MM), "measured", "mean of 3 readings")


def test_a_reading_wins_over_a_makers_figure_and_says_so() -> None:
    series = '\n[[series]]\nstep = "gasket"\npart = "gasket"\ninstrument = "micrometer"\nreadings = [\n'
    series += '    { thickness = "1.20 mm" },\n    { thickness = "1.22 mm" },\n]\n'
    found = sound(SOUND + series)
    assert found.cylinders[0].values["gasket_thickness"].nominal == close(1.21 * MM)
    assert the(found, "measured-wins").text() == (
        'job.toml, line 20: read "1.30 +/- 0.05 mm, maker\'s figure": '
        "the compressed gasket thickness was measured: the stated one is not used"
    )


def test_a_reading_of_one_cylinder_leaves_the_statement_to_the_others() -> None:
    found = sound(METRIC + fills(2, "38.3", "38.5"))
    assert [round(cc(c, "chamber_volume"), 3) for c in found.cylinders] == [38.4, 38.4, 38.5, 38.6]
    crown = '\n[[series]]\nstep = "crown-bench"\ncylinder = 3\nhole = "not filled"\n'
    crown += 'readings = [{ start = "0 ml", end = "4.8 ml" }]\n'
    found = sound(METRIC + crown)
    assert [round(cc(c, "crown_volume"), 3) for c in found.cylinders] == [4.491, 4.491, 4.8, 4.491]
    note = the(found, "measured-wins")
    assert note.wrong == ("the net crown volume was measured for cylinder 3: the stated one is not used there")


def test_what_is_particular_to_one_cylinder_wins_over_what_all_share() -> None:
    text = METRIC.replace("[cylinder.2]", '[cylinder.2]\nbore = "79.80 +/- 0.01 mm, measured"')
    found = sound(text)
    assert [c.values["bore"].nominal for c in found.cylinders] == [close(b * MM) for b in (79.3, 79.8, 79.3, 79.3)]
    assert found.whole["displacement"].nominal / CC == close(pi / 4 * (3 * 79.3**2 + 79.8**2) * 81.7 / 1000)


def test_a_nearer_figure_that_nobody_measured_displaces_a_measurement_with_a_note() -> None:
    text = METRIC.replace("[cylinder.2]", '[cylinder.2]\ncrown_volume = "dish 6.0 +/- 0.5 cc, maker\'s figure"')
    found = sound(text)
    assert cc(found.cylinders[1], "crown_volume") == close(6.0)
    assert the(found, "nearer-wins").wrong == (
        "the net crown volume measured (line 15) does not count for cylinder 2: this one is stated nearer to it"
    )


def test_a_position_on_a_part_is_the_cylinder_listed_there() -> None:
    text = HEADS.replace("cylinders = 2", "cylinders = 8").replace(
        'kind = "head"', 'kind = "head"\ncylinders = [2, 4, 6, 8]'
    )
    by_position = fills(1, "46.0").replace("cylinder = 1", 'part = "head"\nposition = 3')
    found = sound(text + by_position)
    assert [c.number for c in found.cylinders if "chamber_volume" in c.values] == [6]


def test_readings_of_a_part_hold_for_every_cylinder_it_serves() -> None:
    series = '\n[[series]]\nstep = "land"\npart = "pistons"\ninstrument = "micrometer"\nreadings = [\n'
    found = sound(METRIC + series + '    { diameter = "78.60 mm" },\n    { diameter = "78.62 mm" },\n]\n')
    assert [c.values["land_diameter"].nominal for c in found.cylinders] == [close(78.61 * MM)] * 4


def test_heads_alone_are_worked_out() -> None:
    """Two bare heads and no bore: chambers with their spread, and what is lacking by name."""
    found = sound(HEADS + fills(1, "46.0", "46.1", "46.2") + fills(2, "46.5", "46.6", "46.7"))
    first = found.cylinders[0]
    assert cc(first, "chamber_volume") == close(46.1)
    assert first.values["chamber_volume"].expanded > 0
    assert "static_ratio" not in first.values
    assert "bore" in first.model.lacking["static_ratio"]
    assert found.whole == {}


def test_the_temperature_of_the_bench_serves_every_series_without_its_own() -> None:
    """Water at 30 °C is lighter than at 20 °C: a weighed fill is larger by the ratio of the densities."""
    weighed = fills(1, "46.0", instrument="scale 0.1 g", fluid="water")
    weighed = weighed.replace('{ start = "0.00 ml", end = "46.0 ml" }', '{ before = "446.0 g", after = "400.0 g" }')
    cool = cc(sound(HEADS + weighed).cylinders[0], "chamber_volume")
    heads = HEADS.replace("cylinders = 2", 'cylinders = 2\ntemperature = "30 degC"')
    warm = cc(sound(heads + weighed).cylinders[0], "chamber_volume")
    # 998.207 and 995.649 kg/m³: Tanaka et al. 2001, as tabulated (from memory)
    assert warm / cool == pytest.approx(998.207 / 995.649, abs=1e-5)


# -- shared causes --------------------------------------------------------------------------------------


def test_what_sister_cylinders_share_is_not_charged_to_their_difference() -> None:
    """The gasket's ± is in each clearance volume, and cancels between them (JCGM 100:2008, 5.2).

    Largest and smallest of four are picked after looking: q(0.95; 4, ∞) = 3.633, studentized range, usual tables.
    """
    found = sound(METRIC)
    pairs = [(c.number, c.values["clearance_volume"]) for c in found.cylinders]
    spread = spread_of("clearance_volume", pairs)
    assert spread is not None
    assert (spread.low, spread.high) == (1, 2)
    assert expand(spread.difference).value == close(0.5 * CC)
    both = hypot(0.3, 0.3) * CC
    assert expand(spread.difference).expanded == close(both)
    assert spread.expanded == pytest.approx(both / 1.959964 * 3.633 / sqrt(2), rel=1e-3)
    each = found.cylinders[0].values["clearance_volume"].expanded
    assert each > 1.5 * hypot(0.3, 0.0) * CC  # gasket, deck and crown are charged here


def test_a_shared_bore_cancels_from_the_difference_of_ratios() -> None:
    wide = METRIC.replace("79.30 +/- 0.01 mm", "79.30 +/- 0.5 mm")
    alike = wide.replace("38.9 +/-", "38.4 +/-").replace("0.3 cc", "0.001 cc")
    pairs = [(c.number, c.values["static_ratio"]) for c in sound(alike).cylinders[:2]]
    spread = spread_of("static_ratio", pairs)
    assert spread is not None
    assert pairs[0][1].expanded > 0.05
    assert spread.expanded < 0.001


# -- repeats --------------------------------------------------------------------------------------------


def test_two_fills_of_one_chamber_give_no_plus_or_minus_until_a_repeatability_is_declared() -> None:
    found = sound(HEADS + fills(1, "46.0", "46.2"))
    chamber = found.cylinders[0].values["chamber_volume"]
    assert chamber.nominal == close(46.1 * CC)
    assert chamber.expanded != chamber.expanded  # NaN: not known yet
    assert the(found, "needs-repeats").place == "cylinder 1"
    own = '\n[instrument."my burette"]\nlike = "burette 100 ml class A"\nrepeatability = "0.05 ml"\n'
    found = sound(HEADS + own + fills(1, "46.0", "46.2", instrument="my burette"))
    chamber = found.cylinders[0].values["chamber_volume"]
    assert 0.05 * CC < chamber.expanded < 0.5 * CC
    assert "needs-repeats" not in codes(found)


def test_an_instrument_of_which_nothing_is_known_is_named() -> None:
    ends = ("46.0", "46.2", "46.1", "46.0", "46.2")
    found = sound(HEADS + fills(1, *ends, instrument="bottle"))
    assert "needs-repeats" not in codes(found)
    assert the(found, "error-not-known").text() == (
        "job.toml, cylinder 1: bottle: error not known for this amount, so no ± is stated; "
        "give its permissible_error in an [instrument] section, check it against a scale, or weigh the fills"
    )


# -- the crown in the bore ------------------------------------------------------------------------------

BORED = """
format = 1
[engine]
cylinders = 1
bore = "97.15 +/- 0.01 mm, measured"
deck_clearance = "0.13 +/- 0.01 mm proud, measured"
"""
CROWN = """
[[series]]
step = "crown"
cylinder = 1
drop = "25.00 +/- 0.01 mm"
seal = "grease"
hole = "not filled"
readings = [{ start = ["0 ml", "0 ml"], end = ["86.8 ml", "86.8 ml"] }]
"""
LAND = """
[part.pistons]
kind = "pistons"
land_diameter = "96.35 +/- 0.02 mm, measured"
land_height = "6 +/- 0.1 mm, measured"
"""


def test_a_proud_dome_sealed_with_grease() -> None:
    """Trade example C2 (common practice, recomputed): a dome of 10.753 cc, the piston proud by 0.13 mm."""
    only = sound(BORED + CROWN).cylinders[0]
    assert cc(only, "crown_volume") == close(173.6 - pi / 4 * 97.15**2 * (25.00 - 0.13) / 1000)
    assert f"{cc(only, 'crown_volume'):.3f}" == "-10.753"
    assert cc(only, "deck_volume") == close(-pi / 4 * 97.15**2 * 0.13 / 1000)


def test_a_ring_seal_leaves_the_crevice_inside_the_fill() -> None:
    """The land's annulus × height is in the fill and comes off the crown.  Source: annulus; common practice."""
    crevice = pi / 4 * (97.15**2 - 96.35**2) * 6 / 1000
    greased = sound(BORED + LAND + CROWN).cylinders[0]
    ringed = sound(BORED + LAND + CROWN.replace('"grease"', '"ring"')).cylinders[0]
    assert cc(ringed, "crown_volume") - cc(greased, "crown_volume") == close(-crevice)
    assert cc(ringed, "crevice_counted") == cc(greased, "crevice_counted") == close(crevice)


def test_a_crevice_counted_and_not_counted() -> None:
    counted, left_out = (
        sound(METRIC.replace('crevice = "counted"', f'crevice = "{word}"')).cylinders[0]
        for word in ("counted", "not counted")
    )
    crevice = pi / 4 * (79.3**2 - 78.62**2) * 6.8 / 1000
    assert cc(counted, "clearance_volume") - cc(left_out, "clearance_volume") == close(crevice)
    assert left_out.values["crevice_counted"].origin == "not counted"


def test_counting_not_said_is_said() -> None:
    found = sound(METRIC.replace('[counted]\ncrevice = "counted"\n', ""))
    assert the(found, "counting-not-said").text() == (
        "job.toml, counted: it is not said whether the crevice is counted: taken as counted; "
        'in [counted]: crevice = "counted" or "not counted"'
    )
    chamfered = METRIC.replace(
        "[part.gasket]", '[part.block]\nkind = "block"\nchamfer_volume = "0.3 +/- 0.1 cc, assumed"\n[part.gasket]'
    )
    found = sound(chamfered)
    assert "whether the chamfer is counted: taken as counted" in the(found, "counting-not-said").wrong
    assert cc(found.cylinders[0], "chamfer_counted") == close(0.3)


# -- what cannot be -------------------------------------------------------------------------------------


def test_a_rod_that_lets_no_crank_turn() -> None:
    found = surveyed(METRIC.replace("138.60 +/-", "40.00 +/-"))
    (finding, *_) = errors(found.findings)
    assert finding.text() == (
        "job.toml, line 9, cylinder 1: the crank cannot turn: the rod is not longer than half the stroke and "
        "the offset together; look for a wrong unit or sign first"
    )
    assert "static_ratio" in found.cylinders[0].model.lacking


def test_volumes_that_add_up_to_nothing() -> None:
    nothing = (
        IMPERIAL.replace("reliefs 4.7", "dome 58.6")
        .replace("43 thou +/- 1 thou", "0 thou")
        .replace("12 +/- 1 thou below deck", "flush")
    )
    (finding,) = errors(surveyed(nothing).findings)
    assert (finding.place, finding.wrong) == (
        "cylinder 1",
        "the clearance volumes add up to nothing: there is no ratio",
    )


def test_volumes_that_add_up_to_less_than_nothing() -> None:
    faults = errors(surveyed(IMPERIAL.replace("reliefs 4.7", "dome 90")).findings)
    assert {f.code for f in faults} == {"impossible-result"}  # what follows from it is not said again
    assert all(f.wrong.startswith("no clearance volume can be −") for f in faults)


def test_contact_is_judged_at_the_unsafe_end() -> None:
    """A gap of 0.03 mm with ± 0.05 may touch; 0.03 mm by nominal alone would not."""
    found = sound(METRIC.replace("1.25 +/- 0.05 mm", "0.06 +/- 0.05 mm").replace("31.65 +/-", "31.88 +/-"))
    assert the_first(found, "contact").startswith("piston and head may touch: 0.03")
    found = sound(METRIC.replace("1.25 +/- 0.05 mm", "0.72 +/- 0.05 mm"))
    assert the_first(found, "tight-squish").startswith("squish may be under 0.90 mm (usual least with steel rods")
    assert "tight-squish" not in codes(sound(METRIC))


def the_first(found: Survey, code: str) -> str:
    return next(f.wrong for f in found.findings if f.code == code)
