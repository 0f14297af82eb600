"""Combinations: trapped ratio, weights, the nearest misses, and the bar that shows how far the work is."""

from __future__ import annotations

import math
from itertools import product

import pytest

from ccassist.cli import plans as command
from ccassist.plan.combine.candidates import aims_of, candidates, refusals
from ccassist.plan.combine.search import combine
from ccassist.report.combine import broken
from ccassist.values.findings import InputError
from tests.plan.test_combine import FAMILY, FAMILY_MORE, RODS, STROKES, job, names, plain_loop

CAM = '[cam]\nintake_closing = "55 +/- 1 deg after BDC, measured"\nevent_lift = "1.00 mm"\nlift_read_at = "the valve"\n'


def risen(stroke: float, rod: float, degrees: float) -> float:
    """Share of the stroke left at an angle after bottom dead centre (slider-crank by hand, Heywood 1988 eq. 2.5)."""
    angle, throw = math.radians(180 + degrees), stroke / 2
    pin = throw * math.cos(angle) + math.sqrt(rod**2 - (throw * math.sin(angle)) ** 2)
    return (throw + rod - pin) / stroke


def test_the_trapped_ratio_follows_crank_and_rod() -> None:
    """All 864, against the slider-crank by hand; of the stacks, added up by hand, 100 stand proud beyond the gasket."""
    found = combine(candidates(job(FAMILY, CAM)), top=864)
    assert found.left == 764
    for row in found.best:
        at = dict(zip(FAMILY, (part.name for part in row.parts), strict=True))
        share = risen(float(at["crank"][1:]), float(at["rods"][1:]), 55)
        by_hand = 1 + (row.values["static_ratio"].nominal - 1) * share
        assert row.values["trapped_ratio"].nominal == pytest.approx(by_hand, rel=1e-12)
    assert len({risen(s, r, 55) for s, r in product(STROKES, RODS)}) == 9


def test_the_trapped_ratio_limits_and_ranks() -> None:
    """The arrays refuse and rank as the rows' own numbers would."""
    engine = job(FAMILY, CAM)
    everything = {tuple(p.name for p in r.parts): r for r in combine(candidates(engine), top=864).best}
    aims = aims_of({}, ["trapped_ratio=8.4"], ["trapped_ratio=8.2 to 8.5"])
    found = combine(candidates(engine), aims, top=864)
    wanted = {
        key: abs(row.values["trapped_ratio"].nominal - 8.4)
        for key, row in everything.items()
        if 8.2 <= row.values["trapped_ratio"].nominal <= 8.5
    }
    assert 20 < len(wanted) == found.left < 864
    assert sorted(wanted.values()) == pytest.approx([wanted[name] for name in names(found)], abs=1e-12)


def test_the_doubt_of_the_closing_is_in_the_trapped_ratio() -> None:
    """A degree moves it by its slope there, worked out by differences."""
    engine = job({"crank": {"own": {}}}, CAM)
    value = combine(candidates(engine)).best[0].values["trapped_ratio"]
    static = engine.cylinders[0].values["static_ratio"]
    slope = (static.nominal - 1) * (risen(91.7, 148.9, 55.5) - risen(91.7, 148.9, 54.5))
    share = risen(91.7, 148.9, 55)
    by_hand = math.hypot(slope, share * static.expanded)
    assert value.expanded == pytest.approx(by_hand, rel=0.03)


def test_the_trapped_ratio_says_what_is_not_given() -> None:
    aims = aims_of({}, ["trapped_ratio=8"])
    with pytest.raises(InputError, match=r"trapped ratio .* not given: intake closing"):
        combine(candidates(job({"crank": {"own": {}}})), aims)
    with pytest.raises(InputError, match=r"trapped ratio .* not given: rod length"):
        combine(candidates(job({"gasket": {"own": {}}}, CAM, rod_length=None)), aims)
    assert "trapped_ratio" not in combine(candidates(job({"crank": {"own": {}}}))).best[0].values


def test_a_closing_that_follows_from_the_card_serves_too() -> None:
    """Duration 250 with the lobe's centre at 110 after top: 110 + 125 - 180 = 55 after bottom (common practice)."""
    card = CAM.replace('intake_closing = "55 +/- 1 deg after BDC', 'intake_duration = "250 deg, measured"\n' + "#")
    card = card.replace("[cam]", '[cam]\nintake_centreline = "110 deg, measured"')
    mine, plain = (combine(candidates(job({"crank": {"own": {}}}, cam))).best[0].values for cam in (card, CAM))
    assert mine["trapped_ratio"].nominal == pytest.approx(plain["trapped_ratio"].nominal, rel=1e-12)


def test_a_card_that_contradicts_itself_is_refused() -> None:
    card = CAM + 'intake_duration = "260 deg, measured"\nintake_opening = "10 deg before TDC, measured"\n'
    with pytest.raises(InputError, match="intake duration is stated as"):
        candidates(job({"crank": {"own": {}}}, card))


def test_what_no_combination_has_cannot_be_asked_for() -> None:
    with pytest.raises(InputError, match="ring pack depth of these combinations cannot be worked out"):
        combine(candidates(job({"crank": {"own": {}}})), aims_of({}, ["ring_pack_depth=15 mm"]))


# -- weights ------------------------------------------------------------------------------------------

LIGHT = {"piston_weight": "410 +/- 2 g, measured", "crown_volume": "dish 8.7 cc, measured"}


def test_a_lighter_piston_is_said_against_the_engines_own() -> None:
    """452 less 410 is 42 g, each ± in it; ounces and pounds by NIST SP 811 (2008), B.8: 1 oz = 28.349523125 g."""
    pistons = {
        "own": {},
        "light": LIGHT,
        "heavy": {**LIGHT, "piston_weight": "1 lb, measured"},
        "ounces": {**LIGHT, "piston_weight": "15 oz, measured"},
        "unweighed": {"crown_volume": "dish 8.7 cc, measured"},
    }
    rows = combine(candidates(job({"pistons": pistons}, piston_weight="452 +/- 1 g, measured"))).best
    changes = {row.parts[0].name: row.weights.get("pistons") for row in rows}
    assert changes["own"].nominal == 0
    assert changes["light"].nominal == pytest.approx(-0.042)
    assert changes["light"].expanded == pytest.approx(1e-3 * math.hypot(2, 1), rel=1e-6)
    assert changes["heavy"].nominal == pytest.approx(0.00159237)
    assert changes["ounces"].nominal == pytest.approx(15 * 0.028349523125 - 0.452)
    assert changes["unweighed"] is None


def test_the_own_weight_may_stand_with_the_engines_own_option() -> None:
    """An option that states its weight alone is the engine's own part still: nothing else of it changes."""
    rods = {
        "own": {"rod_weight": "610 g, measured"},
        "light": {"rod_length": "148.90 mm, measured", "rod_weight": "540 g"},
    }
    engine = job({"rods": rods})
    rows = {row.parts[0].name: row for row in combine(candidates(engine)).best}
    assert rows["light"].weights["rods"].nominal == pytest.approx(-0.070)
    own = rows["own"].values["static_ratio"]
    assert own.expanded == pytest.approx(engine.cylinders[0].values["static_ratio"].expanded, rel=1e-12)


def test_without_an_own_weight_nothing_is_said() -> None:
    assert combine(candidates(job({"pistons": {"light": LIGHT}}))).best[0].weights == {}
    assert combine(candidates(job({"gasket": {"own": {}}}, piston_weight="452 g, measured"))).best[0].weights == {}


# -- nothing left ---------------------------------------------------------------------------------------


def test_the_nearest_misses_are_those_of_a_plain_loop() -> None:
    """Every combination rated one at a time: 1 + steps beyond, squared and summed, over the rules that it breaks."""
    engine = job(FAMILY, FAMILY_MORE)
    aims = aims_of(engine.wanted, [], ["static_ratio=14 to 15"])
    found = combine(candidates(engine), aims, block=100)
    assert found.left == 0
    axes = [list(options) for options in FAMILY.values()]
    rated = {}
    for places, values in plain_loop(counted=False).items():
        total = sum((1 + rule.beyond / rule.step) ** 2 for rule in refusals(values, aims) if rule.broken)
        rated[tuple(axis[i] for axis, i in zip(axes, places, strict=True))] = math.sqrt(total)
    best = sorted(rated.values())[:5]
    assert [row.distance for row in found.nearest] == pytest.approx(best, rel=1e-9)
    for row in found.nearest:
        assert rated[tuple(part.name for part in row.parts)] == pytest.approx(row.distance, rel=1e-9)


def test_one_rule_broken_by_a_little_comes_before_two() -> None:
    gaskets = {f"{t}": {"gasket_thickness": f"{t} mm, measured"} for t in (0.75, 1.3, 2.9)}
    found = combine(
        candidates(job({"gasket": gaskets})), aims_of({}, [], ["squish=1.0 to 1.2 mm", "static_ratio=9.1 to 9.6"])
    )
    assert [row.parts[0].name for row in found.nearest] == ["0.75", "1.3", "2.9"]


def test_what_cannot_turn_or_holds_no_volume_is_no_near_miss() -> None:
    rods = {"short": {"rod_length": "40 mm, measured"}}
    assert combine(candidates(job({"rods": rods}, block_deck_height="114 mm, measured"))).nearest == ()
    dome = {"dome": {"crown_volume": "dome 70 cc, measured"}}
    assert combine(candidates(job({"pistons": dome}))).nearest == ()


def test_what_is_left_has_no_misses() -> None:
    assert combine(candidates(job({"gasket": {"own": {}}}))).nearest == ()


@pytest.mark.parametrize(
    ("choices", "engine", "reason", "by"),
    [
        (
            {"gasket": {"a": {"gasket_thickness": "0.5 mm, measured"}}},
            {"deck_clearance": "0.6 mm proud, measured"},
            "proud",
            1e-4,
        ),
        ({"head": {"a": {"squish_step": "-1.6 mm, measured"}}}, {}, "contact", 1e-4),
        ({"gasket": {"a": {"gasket_bore": "82.9 mm, measured"}}}, {}, "gasket-in-bore", 5e-4),
        (
            {
                "pistons": {
                    "a": {"compression_height": "31.35 mm", "pin_diameter": "22 mm", "ring_pack_depth": "20.65 mm"}
                }
            },
            {},
            "ring-pack",
            3e-4,
        ),
    ],
)
def test_a_hard_fail_says_by_how_much(choices, engine, reason, by) -> None:
    """Common practice, no source: the lengths subtracted by hand."""
    miss = combine(candidates(job(choices, **engine))).nearest[0]
    rules = {rule.reason: rule.beyond for rule in broken(miss, [])}
    assert rules[reason] == pytest.approx(by, rel=1e-6)


# -- the bar ----------------------------------------------------------------------------------------------


class Clock:
    """A clock that is moved by hand, and an error stream that is a terminal or is not."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, *, terminal: bool) -> None:
        self.now = 0.0
        monkeypatch.setattr(command.time, "monotonic", lambda: self.now)
        monkeypatch.setattr(command.sys.stderr, "isatty", lambda: terminal, raising=False)


def test_a_bar_comes_after_two_seconds_on_a_terminal(monkeypatch) -> None:
    clock = Clock(monkeypatch, terminal=True)
    with command.ProgressBar() as bar:
        clock.now = 1.9
        bar.move(10, 100)
        assert not bar.shown
        clock.now = 2.1
        bar.move(20, 100)
        assert bar.shown
    with command.ProgressBar() as bar:  # the next one waits again
        assert not bar.shown


def test_no_bar_where_there_is_no_terminal(monkeypatch) -> None:
    clock = Clock(monkeypatch, terminal=False)
    with command.ProgressBar() as bar:
        clock.now = 60.0
        bar.move(20, 100)
        assert not bar.shown
