"""Answers to a boosted target, put into the job file by the tool's own writing, give the target back; so do levers.

Consistency of the tool with itself; the equations are checked in tests/references.
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from ccassist.boost.conditions import standard_pressure
from ccassist.boost.figures import OCTANE, Stand, figure
from ccassist.boost.knock_charge import boost_map, map_builder
from ccassist.boost.levers import LEVERS, SHOWN
from ccassist.engine.mathematics import plain
from ccassist.plan.boost.build import habit_of
from ccassist.plan.boost.into_file import baseline_stand, frozen_lines, held_of_levers, lever_effects, stand_of
from ccassist.plan.boost.solve import solve_story
from ccassist.plan.boost.story import BoostStory, boost_story
from ccassist.plan.solved import FileLine, IntoFile, stated_lines
from ccassist.values.display import METRIC
from ccassist.values.number import nominal
from ccassist.values.quantity import parse
from tests.boost_job import BASELINE, CAM, CHARGE, ENGINE, replaced
from tests.put_in import put_in
from tests.sound_job import Shop
from tests.sound_survey import surveyed

STACK = replaced(
    ENGINE,
    (
        'deck_clearance = "0.20 +/- 0.02 mm below deck, measured"',
        'block_deck_height = "220.00 +/- 0.02 mm, measured"\ncompression_height = "32.80 +/- 0.02 mm, measured"',
    ),
    ("[cylinder.2]", '[cylinder.2]\nbore = "87.05 mm, measured"'),
    ('crown_volume = "dish 11.0 +/- 0.3 cc, measured"', 'crown_volume = "dish 11.0 cc"\nextra_volume = "adds 0.2 cc"'),
)
BAROMETER = 'barometer = "99.5 +/- 0.3 kPa, measured"\nbarometer_is = "read on site"\n'
COOLED = 'cooler_effectiveness = "0.70"\n'
SPARK_TOO = BASELINE.replace('burn_phasing = "14 deg after TDC"\n', "")  # then it is the engine's own
CARD = CAM.replace(
    'intake_closing = "55 +/- 2 deg after BDC, measured"',
    'intake_duration = "252 deg"\nintake_centreline = "109 deg"\nintake_opening = "17 deg before TDC"',
)
HEAD = '\n[part.head]\nkind = "head"\nchamber_area = "57.0 cm2, measured"\n'
JOBS = {
    "barometer": STACK + CAM + CHARGE + BASELINE,
    "altitude": STACK + CARD + CHARGE.replace(BAROMETER, 'altitude = "600 m"\n' + COOLED) + SPARK_TOO,
    "geopotential": STACK
    + CARD
    + CHARGE.replace(BAROMETER, 'altitude = "600 m"\naltitude_is = "geopotential"\n').replace(
        'boost_gauge = "1.0 bar"', 'manifold_pressure = "195 kPa"\nclosing_pressure = "188 kPa"'
    )
    + SPARK_TOO,
    "nothing of the air": STACK + CAM + CHARGE.replace(BAROMETER, "") + SPARK_TOO,
    "open chamber": STACK + HEAD + CAM + CHARGE + BASELINE,
    "cooled charge": STACK + CAM + CHARGE + 'charge_temperature = "48 degC"\n' + BASELINE + COOLED,
}
PARTS = (
    "crown_volume", "gasket_thickness", "chamber_volume", "compression_height", "block_deck_height", "extra_volume",
)  # fmt: skip
BURN = ("boost_gauge", "manifold_pressure", "charge_temperature", "cooler_effectiveness", "altitude")
SINGLES = [
    *((job, key, "end_pressure") for job in ("altitude", "geopotential", "cooled charge") for key in BURN),
    *((job, key, "end_pressure") for job in JOBS for key in ("boost_gauge", "intake_closing")),
    *(("altitude", key, "trapped_ratio") for key in PARTS),
    ("altitude", "crown_volume", "end_temperature"),
    *(
        ("barometer", "boost_gauge", target)
        for target in ("density_equivalent", "pressure_equivalent", "temperature_equivalent", "root_equivalent")
    ),
    *(("altitude", key, OCTANE) for key in ("boost_gauge", "intake_closing", "burn_phasing", "crown_volume")),
    ("nothing of the air", "altitude", OCTANE),
    ("barometer", "altitude", OCTANE),
]
UNMOVED = [("cooled charge", "cooler_effectiveness", "end_pressure")]  # the temperature is stated as such


def told(text: str) -> BoostStory:
    return boost_story(surveyed(text), with_knock=False)


def now(story: BoostStory, number: int, target: str) -> float:
    """A figure of one cylinder as it stands."""
    build = next(one.build for one in story.cylinders if one.number == number)
    assert build is not None
    cylinder = next(one for one in story.survey.cylinders if one.number == number)
    stand = stand_of(story, build, cylinder).plain()
    return float(plain(figure(target, stand, baseline_stand(story, number)[0])))


@pytest.fixture(scope="module")
def stories() -> dict[str, BoostStory]:
    return {name: told(text) for name, text in JOBS.items()}


@pytest.mark.parametrize(("job", "unknown", "target"), sorted({*SINGLES} - {*UNMOVED}))
def test_an_answer_in_the_file_gives_the_target_back(
    stories: dict[str, BoostStory], job: str, unknown: str, target: str
) -> None:
    """Of the first cylinder, so that the other, whose bore differs, may come to have the higher ratio."""
    story = stories[job]
    wanted = 0.3 if target == OCTANE else 0.985 * now(story, 1, target)
    one = solve_story(story, (unknown,), {target: wanted}, fmt=METRIC, algebra=False)[0]
    if one.reason:
        # At an absolute pressure the altitude hardly counts; a gasket would lose the squish.
        assert job == "geopotential" or one.reason.startswith("Not with a gasket"), one.reason
        return
    assert one.into is not None
    again = told(put_in(JOBS[job], one.into))
    assert now(again, 1, target) == pytest.approx(wanted, rel=1e-9, abs=1e-7), one.into


@pytest.mark.parametrize("job", ["barometer", "altitude"])
def test_a_pair_in_the_file_gives_both_targets_back(stories: dict[str, BoostStory], job: str) -> None:
    for target, unknowns in (
        ("end_pressure", ("compression_height", "crown_volume")),
        ("trapped_ratio", ("gasket_thickness", "chamber_volume")),
        (OCTANE, ("block_deck_height", "crown_volume")),
    ):
        wanted = 0.3 if target == OCTANE else 0.985 * now(stories[job], 2, target)
        aims = {target: wanted, "squish": 1.2e-3}
        found = solve_story(stories[job], unknowns, aims, fmt=METRIC, algebra=False)[1]
        assert found.into is not None
        again = told(put_in(JOBS[job], found.into))
        assert now(again, 2, target) == pytest.approx(wanted, rel=1e-9, abs=1e-7)
        assert again.survey.cylinders[1].values["squish"].nominal == pytest.approx(1.2e-3, rel=1e-9)


@pytest.mark.parametrize(
    ("unknown", "half"),
    [
        ("intake_closing", 0.005),
        ("boost_gauge", 50.0),
        ("altitude", 0.05),
        ("burn_phasing", 0.005),
        ("crown_volume", 5e-10),
    ],
)
def test_as_printed_it_gives_the_target_back_within_its_rounding(
    stories: dict[str, BoostStory], unknown: str, half: float
) -> None:
    """Moved by half of the last digit printed to either side, the target lies between."""
    story = stories["altitude"]
    one = solve_story(story, (unknown,), {OCTANE: 0.5}, fmt=METRIC, algebra=False)[0]
    assert one.first is not None
    assert one.into is not None
    again = now(told(put_in(JOBS["altitude"], one.into, exact=False)), 1, OCTANE)
    half = math.radians(half) if unknown in ("intake_closing", "burn_phasing") else half
    at = one.numbers[unknown][0]
    lines = [line for line in one.into.lines if line.key == unknown and line.section[0] != "baseline"]
    ends = []
    for off in (-1.001 * half, 1.001 * half):
        moved = replace(one.into, lines=(replace(lines[0], number=nominal(at) + off), *one.into.lines[1:]))
        ends.append(now(told(put_in(JOBS["altitude"], moved)), 1, OCTANE))
    assert min(ends) <= again <= max(ends)
    assert min(ends) < 0.5 < max(ends)


def test_a_step_of_a_lever_in_the_file_does_what_the_lever_says(stories: dict[str, BoostStory]) -> None:
    """Every figure of every lever that the file can say, the baseline held as the lines say."""
    seen: set[str] = set()
    for job in ("altitude", "barometer", "open chamber"):
        story, text = stories[job], put_in(JOBS[job], IntoFile(lines=held_of_levers(stories[job], METRIC.system)))
        number = story.worst
        assert number is not None
        same = told(text)
        changes = {
            effect.lever.key: effect.changes for effect in lever_effects(story, METRIC.system) if not effect.reason
        }
        assert job != "open chamber" or "face_cut" in changes
        # What the fuel gives more is of both engines in the file.
        assert set(changes) - {"octane_number"} == set(steps(story, number))
        seen |= set(changes)
        for key, lines in steps(story, number).items():
            again = told(put_in(text, IntoFile(lines=lines)))
            for target in (one for one in SHOWN if one != "squish"):
                before, after = now(same, number, target), now(again, number, target)
                assert before == pytest.approx(now(story, number, target), rel=1e-9, abs=1e-9)
                assert after - before == pytest.approx(changes[key][target], rel=1e-6, abs=1e-9 * max(1, abs(before)))
            squish = [one.survey.cylinders[number - 1].values["squish"].nominal for one in (same, again)]
            assert squish[1] - squish[0] == pytest.approx(changes[key]["squish"], abs=1e-12)
    assert seen == {lever.key for lever in LEVERS}


MOVED = (
    ('stroke = "84.00 +/- 0.02 mm, measured"', 'stroke = "86.00 +/- 0.02 mm, measured"'),
    ('rod_length = "145.00 +/- 0.02 mm, measured"', 'rod_length = "144.00 +/- 0.02 mm, measured"'),
    ('[cylinder.2]\nbore = "87.05 mm, measured"', '[cylinder.2]\nbore = "87.45 mm, measured"'),
    ('intake_opening = "17 deg before TDC"', 'intake_opening = "15 deg before TDC"'),
    ('altitude = "600 m"', 'altitude = "150 m"'),
    (COOLED, 'cooler_effectiveness = "0.80"\n'),
    ('burn_phasing = "14 deg after TDC"', 'burn_phasing = "17 deg after TDC"'),
    ('intake_air_temperature = "25 +/- 5 degC, measured"', 'intake_air_temperature = "31 +/- 5 degC, measured"'),
    ('mixture_strength = "0.88"', 'mixture_strength = "0.92"'),
)


def figures_of(stand: Stand) -> dict[str, float]:
    """All numbers that its burn is worked out from."""
    return {key: number for key, number in stand.case.numbers().items() if isinstance(number, int | float)}


@pytest.mark.parametrize("change", MOVED)
def test_a_baseline_that_is_written_out_moves_with_nothing(
    stories: dict[str, BoostStory], change: tuple[str, str]
) -> None:
    """All that it takes from the engine is shown as lines; with them in the file it is the same, and stays so."""
    story = stories["altitude"]
    frozen = put_in(JOBS["altitude"], IntoFile(lines=frozen_lines(story)))
    was = baseline_stand(story, 2)[0]
    assert was is not None
    for text in (frozen, replaced(frozen, change)):
        now_it_is = baseline_stand(told(text), 2)[0]
        assert now_it_is is not None
        assert figures_of(now_it_is) == pytest.approx(figures_of(was), rel=1e-9)
    follows = baseline_stand(told(replaced(JOBS["altitude"], change)), 2)[0]
    assert follows is not None
    assert figures_of(follows) != pytest.approx(figures_of(was), rel=1e-9)


def steps(story: BoostStory, number: int) -> dict[str, tuple[FileLine, ...]]:
    """Each lever's step as lines of the file."""
    cylinder = story.survey.cylinders[number - 1]
    build = story.cylinders[number - 1].build
    assert build is not None
    stand = stand_of(story, build, cylinder).plain()

    def own(key: str, step: float, section: tuple[str, ...] = ("charge",)) -> FileLine:
        at = cylinder.values[key].nominal if section[0] == "cylinder" else float(plain(stand.now(key)))
        return FileLine(section=section, key=key, number=at + step)

    found = {
        "crown_volume": (own("extra_volume", 1e-6, ("cylinder", str(number))),),
        "gasket_thickness": (own("gasket_thickness", 1e-4, ("cylinder", str(number))),),
        "manifold_pressure": (own("boost_gauge", 1e4),),
        "charge_temperature": (own("charge_temperature", -10.0),),
        "cooler_effectiveness": (own("cooler_effectiveness", 0.05),),
        "burn_phasing": (own("burn_phasing", math.radians(1)),),
        "intake_closing": tuple(
            stated_lines(story.survey, number, "intake_closing", stand.geometry.intake_closing + math.radians(1))
        ),
        "altitude": (own("altitude", 500.0),) if "altitude" in stand.conditions.values else (lower_air(stand),),
    }
    if "chamber_area" in cylinder.values:  # a flat cut takes as much as it is deep over the opening
        taken = 1e-4 * cylinder.values["chamber_area"].nominal
        found["face_cut"] = (own("chamber_volume", -taken, ("cylinder", str(number))),)
    return found


def lower_air(stand: Stand) -> FileLine:
    """The barometer 500 m above where the standard atmosphere has it as it is."""
    here = float(plain(stand.conditions["barometer"]))
    at = min(range(-500, 6001, 10), key=lambda z: abs(standard_pressure(float(z)) - here))
    return FileLine(
        section=("charge",), key="barometer", number=here * standard_pressure(at + 500.0) / standard_pressure(float(at))
    )


@pytest.mark.parametrize(("now_it_is", "asked"), [("1.0 bar", "0 bar"), ("0 bar", "0.9 bar")])
def test_another_boost_is_that_of_the_file(now_it_is: str, asked: str) -> None:
    """With a compressor or without, from either side: what is assumed of the exhaust goes with it."""
    text = JOBS["nothing of the air"].replace('boost_gauge = "1.0 bar"', f'boost_gauge = "{now_it_is}"', 1)
    story, again = told(text), told(text.replace(f'"{now_it_is}"', f'"{asked}"', 1))
    assert story.conditions is not None
    assert again.conditions is not None
    made = story.conditions.but(boost_gauge=parse(asked, "boost_gauge", system="metric").value)
    for key, one in again.conditions.values.items():
        if key != "boost_gauge":
            assert made.values[key].nominal == pytest.approx(one.nominal, rel=1e-12), key
    assert made.compressed == again.conditions.compressed


def test_a_stated_pressure_at_closing_stays_whatever_the_boost(stories: dict[str, BoostStory]) -> None:
    """It is absolute: the end pressure moves with the charge's temperature alone, the filling follows."""
    story = stories["geopotential"]
    assert story.conditions is not None
    more = story.conditions.but(manifold_pressure=2.5e5)
    assert nominal(more["filling"]) * 2.5e5 == pytest.approx(1.88e5, rel=1e-12)
    assert nominal(story.conditions["filling"]) == pytest.approx(188 / 195, rel=1e-12)


def test_what_the_file_cannot_say_is_refused(stories: dict[str, BoostStory]) -> None:
    fuel = solve_story(stories["barometer"], ("octane_number",), {OCTANE: 0.0}, fmt=METRIC)[0]
    ratio = solve_story(stories["barometer"], ("static_ratio",), {"end_pressure": 25e5}, fmt=METRIC)[0]
    for one, word in ((fuel, "compared on one fuel"), (ratio, "follows from the parts")):
        assert one.into is not None
        assert word in one.into.refused


def test_the_screen_says_what_to_write_and_what_the_baseline_takes(shop: Shop) -> None:
    shop.write(JOBS["altitude"])
    assert shop.run("boost", "job.toml", "--for", "intake_closing", "--to", "end_pressure=25 bar") == 0
    assert "Into the job file, cylinder 2, once it is made so: [cam]" in shop.lines
    assert '[cam] intake_closing = "' in shop.lines
    assert "[cam] take out intake_duration" in shop.lines
    assert '[baseline] intake_closing = "55.00 deg after BDC"' in shop.lines
    assert shop.run("boost", "job.toml", "--levers", "--all") == 0
    assert "The baseline is held as it is" in shop.lines
    assert '[baseline] burn_phasing = "14 deg after TDC"' in shop.lines
    assert shop.run("boost", "job.toml", "--all") == 0
    assert "so taken from this engine and changed with it: intake closing 55.0 deg after BDC" in shop.lines
    assert 'write under [baseline]: intake_closing = "' in shop.lines


@pytest.mark.parametrize(
    ("job", "gauge"),
    [("altitude", "0 bar"), ("barometer", "1.3 bar")],  # 0 is no compressor at all
)
def test_the_map_shows_what_the_file_gives_at_that_boost(job: str, gauge: str) -> None:
    """Ratio as it is, another boost: the same point of the map as the engine of the file with that boost."""
    story = boost_story(surveyed(JOBS[job]))
    worst, knock = story.worst_one, story.knock
    assert worst is not None
    assert worst.build is not None
    assert knock is not None
    assert story.conditions is not None
    assert story.running is not None
    geometry, bore = worst.build.geometry.plain(), story.survey.cylinders[worst.number - 1].values["bore"]
    habit = habit_of(story.running, bore)
    assert habit is not None
    axis = (5e4, parse(gauge, "boost_gauge", system="metric").value)
    ratios = (float(geometry.static_ratio) - 0.5, float(geometry.static_ratio))
    made, _ = boost_map(knock.baseline, map_builder(geometry, story.conditions, habit), axis, ratios)
    assert made is not None
    again = told(JOBS[job].replace('boost_gauge = "1.0 bar"', f'boost_gauge = "{gauge}"', 1))
    for key, grid in (("end_pressure", made.end_pressure), ("end_temperature", made.end_temperature)):
        assert float(grid[1][1]) == pytest.approx(now(again, worst.number, key), rel=1e-9)
    assert made.octane_difference is not None
    assert float(made.octane_difference[1][1]) == pytest.approx(now(again, worst.number, OCTANE), abs=0.01)
