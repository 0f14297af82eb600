"""Parts, charge and burn for a boosted target, from a job: put back, on the screen, and refused where they must be."""

from __future__ import annotations

import json
import math
from pathlib import Path

import pytest

from ccassist.boost.figures import OCTANE, figure
from ccassist.cli.boost import run_levers, run_target
from ccassist.cli.screen import Showing
from ccassist.plan.boost.into_file import baseline_stand, lever_effects, stand_of
from ccassist.plan.boost.solve import solve_story
from ccassist.plan.boost.story import BoostStory
from ccassist.values.display import METRIC
from ccassist.values.findings import InputError
from ccassist.values.number import nominal, standard
from tests.boost_job import BASELINE, CAM, CHARGE, ENGINE, JOB, replaced, told

STACK = replaced(
    JOB,
    (
        'deck_clearance = "0.20 +/- 0.02 mm below deck, measured"',
        'block_deck_height = "220.00 +/- 0.02 mm, measured"\ncompression_height = "32.80 +/- 0.02 mm, measured"',
    ),
)


@pytest.fixture(scope="module")
def story() -> BoostStory:
    return told(JOB)


def again(story: BoostStory, number: int, target: str, **made: float) -> float:
    """The target of one cylinder with other inputs: the survey's own model, then the chain."""
    cylinder = next(c for c in story.survey.cylinders if c.number == number)
    known = {**{key: nominal(n) for key, n in cylinder.known.items()}, **made}
    build = next(one.build for one in story.cylinders if one.number == number)
    assert build is not None
    ratio = cylinder.model.evaluate(known)["static_ratio"]
    stand = stand_of(story, build, cylinder).but(static_ratio=ratio).plain()
    return float(figure(target, stand, baseline_stand(story)[0]))


@pytest.mark.parametrize(
    ("unknown", "target", "value"),
    [
        ("crown_volume", "end_pressure", 25e5),
        ("crown_volume", OCTANE, 0.0),
        ("gasket_thickness", "trapped_ratio", 7.0),
        ("chamber_volume", "pressure_equivalent", 13.0),
    ],
)
def test_parts_put_back_give_the_target(story: BoostStory, unknown: str, target: str, value: float) -> None:
    found = solve_story(story, (unknown,), {target: value}, fmt=METRIC, algebra=False)
    assert [one.cylinder for one in found] == [1, 2]
    for one in found:
        (first, *_) = one.numbers[unknown]
        assert again(story, one.cylinder, target, **{unknown: nominal(first)}) == pytest.approx(
            value, rel=1e-7, abs=1e-6
        )
        assert one.checks[0] == pytest.approx(value, rel=1e-7, abs=1e-6)
        assert standard(first) > 0


def test_the_trapped_ratio_agrees_with_the_plain_solver(story: BoostStory) -> None:
    """Geometry alone: both ways give one crown and one ±, whichever comes first."""
    from ccassist.solve.solver import solve

    (one, _) = solve_story(story, ("crown_volume",), {"trapped_ratio": 7.0}, fmt=METRIC, algebra=False)
    cylinder = story.survey.cylinders[0]
    plain = solve(cylinder.known, cylinder.choices, unknowns=("crown_volume",), targets={"trapped_ratio": 7.0})
    assert nominal(one.numbers["crown_volume"][0]) == pytest.approx(plain.best.nominal, rel=1e-8)
    assert standard(one.numbers["crown_volume"][0]) == pytest.approx(standard(plain.number), rel=1e-5)


def test_squish_by_the_height_then_the_crown() -> None:
    """The height settles the squish: 220 − 42 − 145 − CH + 1.3 mm (common practice, no source); the crown the rest."""
    found = told(STACK)
    asked = {"squish": 1.0e-3, OCTANE: 0.0}
    for one in solve_story(found, ("compression_height", "crown_volume"), asked, fmt=METRIC, algebra=False):
        made = {key: nominal(numbers[0]) for key, numbers in one.numbers.items()}
        assert made["compression_height"] == pytest.approx(0.220 - 0.042 - 0.145 + 0.0013 - 0.001, abs=1e-9)
        assert again(found, one.cylinder, OCTANE, **made) == pytest.approx(0.0, abs=1e-6)


def test_out_of_reach_is_said_of_each_cylinder(story: BoostStory) -> None:
    found = solve_story(story, ("boost_gauge",), {"end_temperature": 400.0}, fmt=METRIC)
    assert all("within what can be it goes from" in one.reason for one in found)


@pytest.mark.parametrize(
    ("text", "unknowns", "targets", "words"),
    [
        (ENGINE + CAM, ("crown_volume",), {"end_pressure": 25e5}, "need the charge"),
        (ENGINE + CHARGE, ("crown_volume",), {"end_pressure": 25e5}, "not given: intake closing"),
        (ENGINE + CAM + CHARGE, ("crown_volume",), {OCTANE: 0.0}, "none is named"),
        (JOB, ("bore",), {"end_pressure": 25e5}, "the bore cannot be found"),
        (JOB, ("crown_volume",), {"squish": 1e-3}, "one boosted target"),
        (JOB, ("crown_volume", "boost_gauge"), {"end_pressure": 25e5, "squish": 1e-3}, "boost .* cannot be found"),
    ],
)
def test_what_cannot_be_asked(text: str, unknowns: tuple[str, ...], targets: dict[str, float], words: str) -> None:
    with pytest.raises(InputError, match=words):
        solve_story(told(text), unknowns, targets, fmt=METRIC)


def test_another_spark_habit_is_not_compared() -> None:
    other = replaced(JOB, (BASELINE, BASELINE + 'spark = "held back from knock"\n'))
    with pytest.raises(InputError, match="same spark habit"):
        solve_story(told(other), ("boost_gauge",), {OCTANE: 0.0}, fmt=METRIC)
    assert all(OCTANE not in effect.changes for effect in lever_effects(told(other), "metric"))


def test_an_equivalent_above_14_is_warned_of(story: BoostStory) -> None:
    (one, _) = solve_story(story, ("boost_gauge",), {"pressure_equivalent": 15.0}, fmt=METRIC)
    assert "beyond" in {finding.code for finding in one.findings}


def test_levers_of_the_worst_cylinder(story: BoostStory) -> None:
    """One cc of dish against the model itself, and all figures there."""
    effects = {effect.lever.key: effect for effect in lever_effects(story, "metric")}
    cylinder = story.survey.cylinders[1]
    known = {key: nominal(n) for key, n in cylinder.known.items()}
    ratios = [
        cylinder.model.evaluate({**known, "crown_volume": known["crown_volume"] + more})["static_ratio"]
        for more in (0.0, 1e-6)
    ]
    assert effects["crown_volume"].changes["static_ratio"] == pytest.approx(ratios[1] - ratios[0], rel=1e-9)
    assert OCTANE in effects["burn_phasing"].changes
    assert "opening" in effects["face_cut"].reason


# -- the screen ----------------------------------------------------------------------------------------


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "two.toml"
    path.write_text(JOB, encoding="utf-8")
    return path


def said(capsys: pytest.CaptureFixture[str]) -> str:
    return " ".join(capsys.readouterr().out.split())


def test_on_the_screen(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The answer first, within a window; the algebra and what it can reach with the rest."""
    assert run_target(file, ["crown_volume"], ["octane_difference=0"], Showing()) == 0
    first = capsys.readouterr().out
    assert len(first.splitlines()) < 24
    assert "That is at even odds" in first
    assert run_target(file, ["crown_volume"], ["octane_difference=0"], Showing(everything=True)) == 0
    text = said(capsys)
    assert "Vp = Vs ÷ (CR − 1)" in text
    assert "worked through the whole chain again" in text
    assert "at 1.00 mm lift of the valve" in text
    assert "Knock is a comparison only" in text
    assert "octane easier" in text  # what it can reach


def test_on_the_screen_without_a_part(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run_target(file, ["boost_gauge"], ["end_pressure=25 bar"], Showing(system="imperial", everything=True)) == 0
    text = said(capsys)
    assert "boost (gauge)" in text
    assert "psi" in text
    assert "octane" not in text


def test_not_possible_on_the_screen(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run_target(file, ["boost_gauge"], ["end_temperature=100 degC"], Showing()) == 1
    assert "Not possible: no boost (gauge) brings" in said(capsys)


@pytest.mark.parametrize(
    ("unknown", "target", "begins", "nearest"),
    [
        ("gasket_thickness", "octane_difference=0", "Not with a gasket: it would have to be", "mm, with the octane"),
        ("charge_temperature", "octane_difference=0", "Not with a cooler: it would have to be", "°C, with the octane"),
        (
            "octane_number",
            "octane_difference=20 easier",
            "Not with a fuel: it would have to be",
            "110.0, with the octane",
        ),
        ("cooler_effectiveness", "end_temperature=397 degC", "Not with a cooler: it would have to be", "0.95, with"),
    ],
)
def test_what_the_cautions_forbid_is_refused_first_with_the_nearest(
    file: Path, capsys: pytest.CaptureFixture[str], unknown: str, target: str, begins: str, nearest: str
) -> None:
    """The first line after the job's name; no number is offered as an answer, on the screen or as data."""
    assert run_target(file, [unknown], [target], Showing()) == 1
    name, *lines = capsys.readouterr().out.splitlines()
    assert name == "Boosted two"
    assert lines[0].startswith(begins)
    assert nearest in " ".join(lines).partition("Nearest: ")[2]
    assert run_target(file, [unknown], [target], Showing(as_json=True)) == 1
    data = json.loads(capsys.readouterr().out)
    assert all(not one["possible"] and not one["answers"] and begins in one["reason"] for one in data["cylinders"])


def test_as_data(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run_target(file, ["crown_volume"], ["pressure_equivalent=13"], Showing(as_json=True)) == 0
    data = json.loads(capsys.readouterr().out)
    first = data["cylinders"][0]
    assert first["checks"] == pytest.approx([13.0], rel=1e-7)
    assert first["answers"]["crown_volume"][0]["expanded_uncertainty"] > 0
    assert first["figures"]["density_equivalent"] is None or first["figures"]["density_equivalent"]["value"] <= 14
    assert any("holds only one thing equal" in text for text in data["cautions"])


def test_levers_on_the_screen(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run_levers(file, Showing()) == 0
    assert len(capsys.readouterr().out.splitlines()) < 24
    assert run_levers(file, Showing(everything=True)) == 0
    text = said(capsys)
    assert "0.1 mm thicker gasket" in text
    assert "never reach a ratio by it" in text
    assert "goes with an interval" in text
    assert run_levers(file, Showing(system="imperial")) == 0
    text = said(capsys)
    assert "end t F°" in text
    assert "5 thou thicker gasket" in text


def test_levers_as_data_without_a_baseline(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "alone.toml"
    path.write_text(ENGINE + CAM + CHARGE, encoding="utf-8")
    assert run_levers(path, Showing(as_json=True)) == 0
    data = json.loads(capsys.readouterr().out)
    assert data["cylinder"] == 2
    assert all(OCTANE not in lever["changes"] for lever in data["levers"])
    assert not any("Knock is a comparison" in text for text in data["cautions"])


BARE = ENGINE[: ENGINE.index("[counted]")] + CAM + CHARGE + BASELINE  # bore, stroke and rod alone


def test_a_ratio_is_found_before_there_is_a_head(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The same ratio as with a head, and what the volumes add up to: swept ÷ (ratio − 1), swept from bore and stroke.

    Heywood (1988), sec. 2.2, from memory, for the definition of the ratio.
    """
    bare = solve_story(told(BARE), ("static_ratio",), {OCTANE: 0.0}, fmt=METRIC)
    whole = solve_story(told(JOB), ("static_ratio",), {OCTANE: 0.0}, fmt=METRIC)
    assert [one.cylinder for one in bare] == [1, 2]
    for one, other in zip(bare, whole, strict=True):
        ratio = nominal(one.numbers["static_ratio"][0])
        assert ratio == pytest.approx(nominal(other.numbers["static_ratio"][0]), rel=1e-6)
        assert one.volumes is not None
        assert one.volumes.total.nominal == pytest.approx(math.pi / 4 * 8.53**2 * 8.4 * 1e-6 / (ratio - 1), rel=1e-6)
        assert one.volumes.left is None
        assert one.sure is not None
        assert one.sure < ratio
    path = tmp_path / "bare.toml"
    path.write_text(BARE, encoding="utf-8")
    assert run_target(path, ["static_ratio"], [f"{OCTANE}=0"], Showing()) == 0
    text = said(capsys)
    assert "must then add up to" in text
    assert "chamber and crown follow later" in text


def test_what_is_known_of_the_volumes_is_taken_off() -> None:
    """A gasket on the shelf: its volume known, the rest left for what is still to come; they add up."""
    gasket = '\n[part.gasket]\nkind = "gasket"\ngasket_volume = "7.5 +/- 0.2 cc, measured"\n'
    (one, _) = solve_story(told(BARE + gasket), ("static_ratio",), {"trapped_ratio": 7.0}, fmt=METRIC)
    found = one.volumes
    assert found is not None
    assert found.left is not None
    assert [*found.known] == ["gasket_volume"]
    assert found.left.nominal + 7.5e-6 == pytest.approx(found.total.nominal, rel=1e-9)
    assert {"chamber_volume", "crown_volume"} <= set(found.others)


def test_a_part_is_still_refused_without_a_head() -> None:
    with pytest.raises(InputError, match="not given: static compression ratio"):
        solve_story(told(BARE), ("crown_volume",), {OCTANE: 0.0}, fmt=METRIC)
