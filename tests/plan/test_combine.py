"""Every combination of the parts on offer, against a plain loop over the float model.

The equations themselves are checked in tests/references; here it is that the
arrays give what one engine at a time gives, and what is refused and ranked.
"""

from __future__ import annotations

import json
import math
from itertools import product
from pathlib import Path

import pytest

from ccassist.analysis.results import Survey, sound_survey, survey
from ccassist.cli import plans as command
from ccassist.cli.screen import Showing
from ccassist.engine.model import Choices, build
from ccassist.job.file import load_sound, parse_job
from ccassist.plan.combine.candidates import aims_of, candidates, reason_text
from ccassist.plan.combine.search import blocks, combine
from ccassist.values.display import METRIC
from ccassist.values.findings import InputError

ENGINE = {
    "bore": "83.40 +/- 0.01 mm, measured",
    "stroke": "91.70 +/- 0.02 mm, measured",
    "rod_length": "148.90 +/- 0.02 mm, measured",
    "compression_height": "31.35 +/- 0.03 mm, measured",
    "deck_clearance": "0.20 +/- 0.02 mm below deck, measured",
    "engine_speed": "6800 rpm",
    "chamber_volume": "46.3 +/- 0.3 cc, measured",
    "chamber_area": "52.0 +/- 0.5 cm², measured",
    "gasket_bore": "84.9 +/- 0.1 mm, measured",
    "gasket_thickness": "1.30 +/- 0.05 mm, maker's figure",
    "crown_volume": "dish 8.7 +/- 0.5 cc, measured",
    "land_diameter": "82.70 +/- 0.01 mm, measured",
}


def text_of(choices: dict[str, dict[str, dict[str, str]]], more: str = "", **engine: str | None) -> str:
    """A job of one cylinder with parts on offer: kind, name, what it states."""
    stated = {key: text for key, text in {**ENGINE, **engine}.items() if text is not None}
    text = 'format = 1\n[job]\nunits = "metric"\n[engine]\ncylinders = 1\n'
    text += "".join(f'{key} = "{value}"\n' for key, value in stated.items())
    text += more if "[counted]" in more else f'{more}\n[counted]\ncrevice = "not counted"\n'
    for kind, options in choices.items():
        for name, values in options.items():
            text += f'[choice.{kind}."{name}"]\n' + "".join(f'{k} = "{v}"\n' for k, v in values.items())
    return text


def job(choices: dict[str, dict[str, dict[str, str]]], more: str = "", **engine: str | None) -> Survey:
    loaded = parse_job(text_of(choices, more, **engine))
    assert not [f for f in loaded.findings if f.level == 2]
    return sound_survey(loaded.job)


def names(found) -> list[tuple[str, ...]]:
    return [tuple(part.name for part in row.parts) for row in found.best]


# 3 x 3 x 6 x 4 x 4 = 864: the size of a family of parts that builders ask about (common practice, no source).
STROKES = (89.7, 91.7, 93.7)
RODS = (147.9, 148.4, 148.9)
PISTONS = tuple((31.35 + 0.21 * i, 8.7 - 2.5 * i) for i in range(6))
HEADS = (44.0, 46.3, 48.5, 51.0)
GASKETS = (0.7, 1.0, 1.3, 1.6)


def sign(value: float) -> str:
    return f"dish {value} cc" if value >= 0 else f"dome {-value} cc"


FAMILY = {
    "crank": {f"S{s}": {"stroke": f"{s} mm, maker's figure"} for s in STROKES},
    "rods": {f"L{rod}": {"rod_length": f"{rod} mm, maker's figure"} for rod in RODS},
    "pistons": {
        f"P{i}": {
            "compression_height": f"{height:.2f} mm, maker's figure",
            "crown_volume": f"{sign(round(crown, 3))}, maker's figure",
        }
        for i, (height, crown) in enumerate(PISTONS)
    },
    "head": {f"H{volume}": {"chamber_volume": f"{volume} cc, measured"} for volume in HEADS},
    "gasket": {f"G{thick}": {"gasket_thickness": f"{thick} mm, maker's figure"} for thick in GASKETS},
}
FAMILY_MORE = '[wanted]\nstatic_ratio = "9.8 to 10.6"\nsquish = "0.6 to 1.6 mm"\n'


def plain_loop(counted: bool) -> dict[tuple[int, ...], dict[str, float]]:
    """All terms of all 864, one engine at a time; the block height is what the measured clearance speaks of."""
    height = 0.2e-3 + 45.85e-3 + 148.9e-3 + 31.35e-3
    found = {}
    for places in product(*(range(len(axis)) for axis in (STROKES, RODS, PISTONS, HEADS, GASKETS))):
        crank, rod, piston, head, gasket = places
        known = {
            "bore": 83.4e-3,
            "stroke": STROKES[crank] * 1e-3,
            "rod_length": RODS[rod] * 1e-3,
            "block_deck_height": height,
            "compression_height": round(PISTONS[piston][0], 2) * 1e-3,
            "crown_volume": round(PISTONS[piston][1], 3) * 1e-6,
            "chamber_volume": HEADS[head] * 1e-6,
            "gasket_bore": 84.9e-3,
            "gasket_thickness": GASKETS[gasket] * 1e-3,
            "land_diameter": 82.7e-3,
            "land_height": 7e-3,
            "engine_speed": 6800 / 60,
            "cylinders": 1.0,
        }
        model = build(known, Choices(crevice=counted, chamfer=False))
        found[places] = model.evaluate(known)
    return found


@pytest.mark.parametrize("counted", [False, True])
def test_864_combinations_are_those_of_a_plain_loop(counted: bool) -> None:
    """Proud and not, crevice counted and not: numbers, number refused and order are those of one at a time."""
    word = "counted" if counted else "not counted"
    more = f'{FAMILY_MORE}[counted]\ncrevice = "{word}"\n'
    engine = job(FAMILY, more, land_height="7.0 mm, measured")
    found = combine(candidates(engine), aims_of(engine.wanted), top=864)
    loop = plain_loop(counted)
    assert found.count == len(loop) == 864
    assert any(v["deck_clearance"] < 0 for v in loop.values())
    left = {
        places: math.hypot((v["static_ratio"] - 10.2) / 0.4, (v["squish"] - 1.1e-3) / 0.5e-3)
        for places, v in loop.items()
        if 9.8 <= v["static_ratio"] <= 10.6
        and 0.6e-3 - 1e-12 <= v["squish"] <= 1.6e-3 + 1e-12
        and v["deck_clearance"] + v["gasket_thickness"] >= 0
    }
    assert found.left == len(found.best) == len(left) > 20
    assert [row.distance for row in found.best] == pytest.approx(sorted(left.values()), rel=1e-7, abs=1e-9)
    axes = [list(options) for options in FAMILY.values()]
    for row in found.best:
        places = tuple(axis.index(part.name) for axis, part in zip(axes, row.parts, strict=True))
        assert row.distance == pytest.approx(left[places], rel=1e-7, abs=1e-9)
        for key in ("displacement", "deck_clearance", "squish", "clearance_volume", "static_ratio", "rod_ratio"):
            assert row.values[key].nominal == pytest.approx(loop[places][key], rel=1e-9, abs=1e-15)


@pytest.mark.parametrize("block", [1, 7, 96, 100, 863, 10**6])
@pytest.mark.parametrize("top", [1, 5, 30])
def test_the_size_of_a_block_changes_nothing(block: int, top: int) -> None:
    engine = job(FAMILY, FAMILY_MORE)
    offered, aims = candidates(engine), aims_of(engine.wanted)
    whole, cut = combine(offered, aims, top=top), combine(offered, aims, top=top, block=block)
    assert names(cut) == names(whole)
    assert [row.distance for row in cut.best] == [row.distance for row in whole.best]
    assert dict(cut.refused) == dict(whole.refused)


def test_equals_keep_the_order_of_the_lists() -> None:
    """Nothing to rank by: the first of the lists are kept, whatever the block."""
    engine = job(FAMILY)
    everything = names(combine(candidates(engine), top=864))
    for block in (1, 5, 1000):
        assert names(combine(candidates(engine), top=9, block=block)) == everything[:9]
    assert everything == sorted(
        everything, key=lambda row: [list(o).index(n) for o, n in zip(FAMILY.values(), row, strict=True)]
    )


@pytest.mark.parametrize("lengths", [[5], [3, 4, 5], [1, 1, 7], [2, 100], [100, 2], [6, 1, 6]])
@pytest.mark.parametrize("most", [1, 3, 8, 1000])
def test_blocks_hold_each_cell_once_and_never_too_many(lengths: list[int], most: int) -> None:
    cells = []
    for block in blocks(lengths, most):
        inside = list(product(*(range(s.start, s.stop) for s in block)))
        assert 0 < len(inside) <= most
        cells += inside
    assert sorted(cells) == list(product(*(range(n) for n in lengths)))


def test_progress_ends_at_the_whole() -> None:
    told: list[tuple[int, int]] = []
    combine(candidates(job(FAMILY)), top=1, block=100, progress=lambda done, count: told.append((done, count)))
    assert told[-1] == (864, 864)
    assert [done for done, _ in told] == sorted({done for done, _ in told})


REFUSED = [
    (
        "proud",
        {"gasket": {"thin": {"gasket_thickness": "0.5 mm, measured"}}},
        {"deck_clearance": "0.6 mm proud, measured"},
    ),
    ("contact", {"head": {"a": {"squish_step": "-1.6 mm, measured"}}}, {}),
    ("gasket-in-bore", {"gasket": {"small": {"gasket_bore": "82.9 mm, measured"}}}, {}),
    ("gasket-in-bore", {"bore": {"over": {"bore": "85.4 mm, measured"}}}, {}),
    ("piston-too-large", {"bore": {"small": {"bore": "82.6 mm, measured"}}}, {}),
    ("no-chamber", {"skim": {"far": {"face_cut": "9 mm"}}}, {}),
    ("no-clearance", {"pistons": {"dome": {"crown_volume": "dome 70 cc, measured"}}}, {}),
    ("no-turn", {"rods": {"short": {"rod_length": "40 mm, measured"}}}, {"block_deck_height": "114 mm, measured"}),
    (
        "no-turn",
        {"rods": {"short": {"rod_length": "45.851 mm, measured"}}},
        {"pin_offset": "1 mm away, measured", "block_deck_height": "117 mm, measured"},
    ),
    (
        "ring-pack",
        {
            "pistons": {
                "short": {
                    "compression_height": "31.35 mm, maker's figure",
                    "pin_diameter": "22.00 mm, maker's figure",
                    "ring_pack_depth": "20.36 mm, maker's figure",
                }
            }
        },
        {},
    ),
]


@pytest.mark.parametrize(("reason", "choices", "engine"), REFUSED)
def test_what_cannot_be_built_is_refused_for_its_reason(reason, choices, engine) -> None:
    """Common practice, no source: each by one option that is beyond the limit, beside the engine's own part."""
    (kind, options) = next(iter(choices.items()))
    found = combine(candidates(job({kind: options}, **engine)))
    assert dict(found.refused) == {reason: 1}
    assert found.left == 0
    assert reason_text(reason, [], METRIC)


def test_a_ring_pack_that_just_clears_the_pin_is_left() -> None:
    """31.35 - 22/2 - 20.35 = 0: the oil ring just clears the pin bore (common practice, no source)."""
    piston = {
        "compression_height": "31.35 mm, maker's figure",
        "pin_diameter": "22.00 mm, maker's figure",
        "ring_pack_depth": "20.34 mm, maker's figure",
    }
    assert combine(candidates(job({"pistons": {"a": piston}}))).left == 1


def test_each_combination_is_counted_once() -> None:
    """A piston proud beyond the gasket has no squish either: the first reason alone counts."""
    gaskets = {"thin": {"gasket_thickness": "0.5 mm, measured"}, "thick": {"gasket_thickness": "1.7 mm, measured"}}
    engine = job({"gasket": gaskets}, '[wanted]\nstatic_ratio = "3 to 4"\n', deck_clearance="0.6 mm proud, measured")
    found = combine(candidates(engine), aims_of(engine.wanted))
    assert dict(found.refused) == {"proud": 1, "static_ratio": 1}


def test_the_engines_own_parts_give_the_engine_back() -> None:
    """A part that states nothing is the engine's own: same ratio and same ± as the engine as measured."""
    engine = job(
        {"crank": {"own": {}}, "pistons": {"own": {}}, "gasket": {"own": {}}, "skim": {"none": {"face_cut": "0 mm"}}}
    )
    row = combine(candidates(engine)).best[0]
    for key in ("static_ratio", "squish", "deck_clearance", "clearance_volume"):
        mine, measured = row.values[key], engine.cylinders[0].values[key]
        assert mine.nominal == measured.nominal
        assert mine.expanded == pytest.approx(measured.expanded, rel=1e-12)


def test_a_measured_clearance_moves_with_the_crank_and_keeps_its_own_doubt() -> None:
    """93.7 for 91.7 mm of stroke lifts the piston by 1 mm; rod and piston stay the same and add no ±."""
    engine = job(
        {"crank": {"long": {"stroke": "93.70 +/- 0.02 mm, measured"}}},
        deck_clearance="1.20 +/- 0.02 mm below, measured",
    )
    clearance = combine(candidates(engine)).best[0].values["deck_clearance"]
    assert clearance.nominal == pytest.approx(0.2e-3, abs=1e-12)
    assert clearance.expanded == pytest.approx(1e-3 * math.hypot(0.02, 0.01, 0.01), rel=1e-6)


def test_a_measured_clearance_moves_without_the_compression_height() -> None:
    """Where the piston stays, its compression height need not be known."""
    engine = job({"crank": {"long": {"stroke": "91.90 mm, measured"}}}, compression_height=None)
    assert combine(candidates(engine)).best[0].values["deck_clearance"].nominal == pytest.approx(0.1e-3, abs=1e-12)


def test_a_block_goes_before_the_clearance_measured_on_another() -> None:
    engine = job({"block": {"b": {"block_deck_height": "226.80 mm, measured"}}})
    assert combine(candidates(engine)).best[0].values["deck_clearance"].nominal == pytest.approx(0.7e-3, abs=1e-12)


def test_what_speaks_of_the_same_thing_is_replaced() -> None:
    """A gasket known by its volume does not keep the thickness of the old one, nor the other way round."""
    by_volume = {"volume": {"gasket_volume": "9.0 cc, maker's figure"}}
    row = combine(candidates(job({"gasket": by_volume}))).best[0]
    assert "squish" not in row.values
    assert row.lacking["squish"] == ("gasket_thickness",)
    by_size = {"size": {"gasket_thickness": "1.00 mm, measured", "gasket_bore": "84.9 mm, measured"}}
    old = {"gasket_bore": None, "gasket_thickness": None, "gasket_volume": "9.0 cc, measured"}
    row = combine(candidates(job({"gasket": by_size}, **old))).best[0]
    assert row.values["gasket_volume"].nominal == pytest.approx(math.pi / 4 * 0.0849**2 * 0.001, rel=1e-12)


def test_parts_that_state_different_things_stand_in_one_table() -> None:
    gaskets = {
        "volume": {"gasket_volume": "7.9 cc, maker's figure"},
        "own": {},
        "size": {"gasket_thickness": "1.00 mm, measured"},
    }
    cranks = {"own": {}, "long": {"stroke": "91.9 mm, measured"}}
    found = combine(candidates(job({"crank": cranks, "gasket": gaskets})))
    assert names(found) == list(product(cranks, gaskets))


def test_a_skim_takes_opening_times_cut_and_the_depth_of_the_pad() -> None:
    """Trade example C4 (common practice, recomputed): a prism; 52 cm² by 0.5 mm is 2.6 cc."""
    skims = {"none": {"face_cut": "0 mm"}, "half": {"face_cut": "0.5 mm"}, "deep": {"face_cut": "0.9 mm"}}
    found = combine(candidates(job({"skim": skims}, squish_step="0.6 mm, measured")))
    chambers = [row.values["chamber_volume"].nominal * 1e6 for row in found.best]
    assert chambers == pytest.approx([46.3, 43.7, 46.3 - 4.68])
    assert [row.values["squish"].nominal * 1e3 for row in found.best] == pytest.approx([2.1, 1.6, 1.5])


def test_a_skim_asks_for_the_opening() -> None:
    with pytest.raises(InputError, match="chamber opening, which is not given"):
        combine(candidates(job({"skim": {"a": {"face_cut": "0.5 mm"}}}, chamber_area=None)))
    assert combine(candidates(job({"skim": {"none": {"face_cut": "0 mm"}}}, chamber_area=None))).left == 1


def test_which_gasket_and_skim_give_10_with_squish_in_a_band() -> None:
    """The reverse question; the one answer is recomputed by hand below."""
    gaskets = {str(t): {"gasket_thickness": f"{t} mm, maker's figure"} for t in (0.5, 0.8, 1.3)}
    skims = {str(k): {"face_cut": f"{k} mm"} for k in (0, 0.25, 0.5, 0.75)}
    engine = job({"gasket": gaskets, "skim": skims})
    aims = aims_of(engine.wanted, ["static_ratio=10"], ["squish=1.0 to 1.1 mm"])
    found = combine(candidates(engine), aims)
    assert dict(found.refused) == {"squish": 8}
    assert {row[0] for row in names(found)} == {"0.8"}
    swept = math.pi / 4 * 8.34**2 * 9.17
    rest = math.pi / 4 * (8.49**2 * 0.08 + 8.34**2 * 0.02) + 8.7
    ratios = {str(k): 1 + swept / (46.3 - 5.2 * k + rest) for k in (0, 0.25, 0.5, 0.75)}
    by_hand = sorted(ratios, key=lambda k: abs(ratios[k] - 10))
    by_hand = [f"{float(k):g}" for k in by_hand]
    assert [row[1] for row in names(found)] == by_hand


def test_the_end_of_a_band_is_within_it() -> None:
    """0.20 + 0.70 mm is 0.9 mm, though not to the last bit."""
    engine = job({"gasket": {"a": {"gasket_thickness": "0.70 mm, measured"}}})
    assert combine(candidates(engine), aims_of({}, [], ["squish=0.9 to 1.1 mm"])).left == 1


def test_the_command_line_goes_before_the_job_term_by_term() -> None:
    engine = job({"crank": {"own": {}}}, '[wanted]\nstatic_ratio = "9 to 9.2"\nsquish = "1 to 1.2 mm"\n')
    aims = {a.key: a for a in aims_of(engine.wanted, ["static_ratio=10.5"])}
    assert (aims["static_ratio"].limits, aims["static_ratio"].ranks) == (False, True)
    assert (aims["squish"].limits, aims["squish"].ranks) == (True, False)


def test_a_limit_without_end_does_not_rank() -> None:
    aims = aims_of(job({"crank": {"own": {}}}, '[wanted]\nchamber_volume = "at least 40 cc"\n').wanted)
    assert [(a.limits, a.ranks) for a in aims] == [(True, False)]


@pytest.mark.parametrize(
    ("to", "match"),
    [("statc_ratio=9", "no such term"), ("static_ratio", "no value is said"), ("static_ratio=9 mm", "ratio")],
)
def test_a_target_that_cannot_be_read_is_refused(to: str, match: str) -> None:
    with pytest.raises(InputError, match=match):
        aims_of({}, [to])


def test_nothing_on_offer_is_said() -> None:
    with pytest.raises(InputError, match="no parts to choose from"):
        candidates(job({}))


def test_what_is_not_given_is_said() -> None:
    with pytest.raises(InputError, match="not given: chamber volume"):
        combine(candidates(job({"crank": {"own": {}}}, chamber_volume=None)))


def test_too_many_are_refused_before_any_is_worked_out() -> None:
    hundred = {str(i): {} for i in range(100)}
    kinds = ("block", "bore", "crank", "rods", "gasket")
    with pytest.raises(InputError, match="10000000000 combinations"):
        combine(candidates(job(dict.fromkeys(kinds, hundred))))


def test_faults_of_the_section_are_found_at_their_lines() -> None:
    text = text_of({"piston": {"a": {}}, "crank": {"b": {"strok": "86 mm"}}})
    found = {(f.code, f.read): f for f in parse_job(text).findings}
    assert found["unknown-key", "piston"].right == 'did you mean "pistons"?'
    wrong = found["unknown-key", "strok"]
    assert wrong.right == 'did you mean "stroke"?'
    assert text.splitlines()[wrong.line - 1].startswith("strok")
    bad = survey(parse_job(text_of({"crank": {"b": {"stroke": "86 cc"}}})).job)
    assert any(f.level == 2 and "choice.crank.b.stroke" in f.place for f in bad.findings)


def test_one_part_shares_its_doubt_with_nothing_twice() -> None:
    """A fill over the piston is kept as the net crown that it found: the same ± as the engine as measured."""
    engine = sound_survey(load_sound(Path(__file__).parents[2] / "examples" / "turbo-four.toml").job)
    offered = {"crank": {"own": {}}}
    from dataclasses import replace

    row = combine(candidates(replace(engine, offered=offered))).best[0]
    ratios = [c.values["static_ratio"].nominal for c in engine.cylinders]
    assert min(ratios) < row.values["static_ratio"].nominal < max(ratios)


def written(tmp_path: Path, choices=None, more: str = "", **engine: str) -> Path:
    path = tmp_path / "mixed.toml"
    path.write_text(
        text_of(
            choices or {"gasket": {"=thin": {"gasket_thickness": "0.90 mm, maker's figure"}, "own": {}}}, more, **engine
        ),
        encoding="utf-8",
    )
    return path


def test_the_command_gives_json(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert command.combine(written(tmp_path), command.CombineAsked(top=1), Showing(as_json=True)) == 0
    data = json.loads(capsys.readouterr().out)
    assert (data["combinations"], data["left"], len(data["rows"])) == (2, 2, 1)
    assert data["rows"][0]["values"]["squish"]["value"] == pytest.approx(1.1e-3)


def test_none_left_is_said_and_ends_in_1(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    asked = command.CombineAsked(within=["static_ratio=3 to 4"])
    assert command.combine(written(tmp_path), asked, Showing()) == 1
    assert "No combination is left" in capsys.readouterr().out


def test_the_table_never_replaces_the_job(tmp_path: Path) -> None:
    path = written(tmp_path)
    with pytest.raises(InputError, match="would replace the job file"):
        command.combine(path, command.CombineAsked(csv=path), Showing())
    with pytest.raises(InputError, match="so many rows"):
        command.combine(path, command.CombineAsked(top=0), Showing())
