"""Every answer of ``solve``, put into the job file by the tool's own writing, gives its target back.

Consistency of the tool with itself; the equations are checked in tests/references.
"""

from __future__ import annotations

from collections import Counter
from itertools import combinations

import pytest

from ccassist.analysis.results import Survey
from ccassist.plan.solved import cases, into_file, joined
from ccassist.solve.solver import solve
from ccassist.values.display import formatter
from ccassist.values.findings import InputError, NotPossible
from ccassist.values.number import nominal
from ccassist.vocabulary import Kind, term
from tests.put_in import put_in
from tests.sound_job import Shop
from tests.sound_survey import surveyed

METRIC, IMPERIAL = formatter("metric"), formatter("imperial")
TOP = """format = 1
[job]
name = "Two holes"
units = "metric"
[engine]
cylinders = 2
stroke = "81.30 mm, measured"
rod_length = "138.40 mm, measured"
pin_offset = "0.60 mm toward the thrust side"
engine_speed = "5200 rpm"
block_deck_height = "211.55 mm, measured"
squish_step = "0.30 mm"
[cam]
intake_closing = "52 deg after BDC, measured"
intake_duration = "246 deg"
event_lift = "1.0 mm"
lift_read_at = "the valve"
[part.pistons]
kind = "pistons"
compression_height = "32.15 mm, measured"
land_diameter = "84.10 mm, measured"
land_height = "5.30 mm, measured"
[cylinder.1]
extra_volume = "adds 0.70 cc"
"""
STATED = """
bore = "84.70 mm, measured"
chamber_volume = "43.20 cc, measured"
chamfer_volume = "0.25 cc"
crown_volume = "dish 5.60 cc, measured"
"""
GASKET = """
[part.gasket]
kind = "gasket"
gasket_bore = "85.60 mm, measured"
gasket_thickness = "1.15 mm"
"""
LONG = GASKET.replace('gasket_bore = "85.60 mm, measured"', 'gasket_long = "87.1 mm"\ngasket_short = "85.2 mm"')
AREA = GASKET.replace('gasket_bore = "85.60 mm, measured"', 'gasket_area = "57.9 cm2"')
SERIES = """
[[series]]
step = "{step}"
cylinder = {cylinder}
{more}
instrument = "{tool}"
readings = [
{rows}
]
"""
FILLING = 'fluid = "water"\ntemperature = "20 degC"\nhole = "not filled"\n'


def series(step: str, cylinder: int, rows: list[str], more: str = "", tool: str = "burette 50 ml class B") -> str:
    rows = [f"    {{ {row} }}," for row in rows]
    return SERIES.format(step=step, cylinder=cylinder, rows="\n".join(rows), more=more, tool=tool)


def fills(amount: float) -> list[str]:
    return [f'start = "0.00 ml", end = "{amount + more:.2f} ml"' for more in (0.0, 0.1, 0.05)]


def read(seal: str) -> str:
    """Bores, decks, chambers and crowns as read, the crowns under a seal."""
    text = ""
    for n in (1, 2):
        text += series("bore", n, ['bore = "84.70 mm"', 'bore = "84.71 mm"'], tool="bore gauge")
        text += series("chamber", n, fills(43.0 + 0.2 * n), FILLING + 'plug = "fitted"')
        text += series(
            "crown", n, fills(33.5 + 0.1 * n), FILLING + f'drop = "5.00 mm"\ngauge = "dial indicator"\nseal = "{seal}"'
        )
    return text


DECK = "".join(
    series("deck", n, ['front = "0.14 mm below deck", rear = "0.16 mm below deck"'] * 2, tool="dial indicator")
    for n in (1, 2)
)
COUNTED = '[counted]\ncrevice = "counted"\nchamfer = "counted"\n'
JOBS = {
    "stated": TOP.replace("\n[cam]", STATED + COUNTED + "[cam]", 1) + GASKET,
    "stated, oval": TOP.replace("\n[cam]", STATED + "[cam]", 1) + LONG,
    "stated, area": TOP.replace("\n[cam]", STATED + "[cam]", 1) + AREA,
    "read, grease": TOP + GASKET + read("grease"),
    "read, ring": TOP + GASKET + read("ring"),
    "read, deck too": TOP + GASKET + read("grease") + DECK,
    "read, no land": TOP.replace('land_diameter = "84.10 mm, measured"\n', "") + GASKET + read("ring"),
}
TARGETS = (
    "static_ratio", "trapped_ratio", "clearance_volume", "deck_clearance", "squish", "swept_volume", "displacement",
    "mean_piston_speed", "rod_ratio", "bore_stroke_ratio", "crevice_volume", "crown_volume", "gasket_volume",
    "deck_volume",
)  # fmt: skip
FEWER = ("static_ratio", "squish", "crown_volume")
ENOUGH = {
    "stated": 90, "stated, oval": 4, "stated, area": 3, "read, grease": 15, "read, ring": 15, "read, deck too": 15,
    "read, no land": 6,
}  # fmt: skip
PRINTED = ("crown_volume", "compression_height", "chamber_volume", "bore", "gasket_thickness")
UNKNOWNS = (
    "bore", "stroke", "rod_length", "pin_offset", "engine_speed", "block_deck_height", "compression_height",
    "squish_step", "land_diameter", "land_height", "extra_volume", "chamber_volume", "chamfer_volume", "crown_volume",
    "gasket_bore", "gasket_long", "gasket_short", "gasket_area", "gasket_thickness", "gasket_volume",
    "deck_clearance", "crevice_volume", "intake_closing",
)  # fmt: skip
NEVER_STATED = ("swept_volume", "clearance_volume", "crown_fill", "crown_drop", "deck_volume", "cylinders")
PAIRS = (
    ("squish", "static_ratio"), ("deck_clearance", "static_ratio"), ("trapped_ratio", "squish"),
    ("clearance_volume", "deck_clearance"), ("displacement", "static_ratio"),
)  # fmt: skip


@pytest.fixture(scope="module")
def engines() -> dict[str, Survey]:
    return {name: surveyed(text) for name, text in JOBS.items()}


def now(engine: Survey, number: int, target: str) -> float | None:
    """What a target is; of the displacement that of as many such cylinders."""
    values = engine.cylinders[number - 1].values
    if target == "displacement":
        return 2 * values["swept_volume"].nominal
    return values[target].nominal if target in values else None


def check(job: str, engine: Survey, number: int, numbers: dict[str, float], wanted: dict[str, float]) -> str:
    """The answers in the file give the targets back; or why they cannot be put into it."""
    into = into_file(engine, number, numbers, wanted)
    if into.refused:
        return into.refused
    again = surveyed(put_in(JOBS[job], into))
    for target, value in wanted.items():
        assert now(again, number, target) == pytest.approx(value, rel=1e-9, abs=1e-15), (numbers, into)
    for key, value in numbers.items():
        assert again.cylinders[number - 1].values[key].nominal == pytest.approx(value, rel=1e-9, abs=1e-15)
    return ""


def asked(job: str) -> list[tuple[str, str]]:
    """Unknown and target: all of the first job; of the others what readings or another opening stand before."""
    opening = job in ("stated, oval", "stated, area")
    targets = TARGETS if job == "stated" else FEWER
    return [
        (unknown, target)
        for target in targets
        for unknown in UNKNOWNS
        if unknown != target and (not opening or unknown.startswith("gasket"))
    ]


@pytest.mark.parametrize("job", JOBS)
def test_every_unknown_of_every_target_gives_it_back(engines: dict[str, Survey], job: str) -> None:
    engine, seen, refused = engines[job], Counter[str](), set[str]()
    known, choices = cases(engine, 1)[0][1], engine.cylinders[0].choices
    for unknown, target in asked(job):
        value = now(engine, 1, target)
        if value is None:
            continue
        wanted = value * 1.004 if abs(value) > 1e-9 else 1e-7
        try:
            found = solve(known, choices, unknowns=(unknown,), targets={target: wanted}, algebra=False)
        except (InputError, NotPossible):
            continue
        for root in found.roots:
            reason = check(job, engine, 1, {unknown: root.nominal}, {target: wanted})
            seen[unknown] += not reason
            refused |= {reason} if reason else set()
    assert sum(seen.values()) >= ENOUGH[job], (dict(seen), refused)
    assert not refused or (job.startswith("read") and all("worked up anew" in one for one in refused)), refused


@pytest.mark.parametrize("job", ["stated", "read, deck too"])
@pytest.mark.parametrize("targets", PAIRS)
def test_two_unknowns_give_both_targets_back(engines: dict[str, Survey], job: str, targets: tuple[str, str]) -> None:
    engine, seen = engines[job], 0
    known, choices = cases(engine, 1)[0][1], engine.cylinders[0].choices
    aims = {key: value * 0.99 for key in targets if (value := now(engine, 1, key)) is not None}
    for unknowns in combinations(("compression_height", "crown_volume", "gasket_thickness", "bore", "stroke"), 2):
        try:
            found = solve(known, choices, unknowns=unknowns, targets=aims, algebra=False)
        except (InputError, NotPossible):
            continue
        numbers = {key: nominal(number) for key, number in found.best.numbers.items()}
        seen += not check(job, engine, 1, numbers, aims)
    assert seen >= 2


@pytest.mark.parametrize(
    "unknown", ["crown_volume", "compression_height", "chamber_volume", "bore", "gasket_thickness"]
)
@pytest.mark.parametrize("job", ["stated", "read, grease"])
def test_as_printed_it_gives_the_target_back_within_its_rounding(
    engines: dict[str, Survey], job: str, unknown: str
) -> None:
    """Half of the last digit printed, by the slope there, and no more."""
    engine = engines[job]
    known, choices = cases(engine, 1)[0][1], engine.cylinders[0].choices
    root = solve(known, choices, unknowns=(unknown,), targets={"static_ratio": 9.3}, algebra=False).best
    into = into_file(engine, 1, {unknown: root.nominal}, {"static_ratio": 9.3})
    again = surveyed(put_in(JOBS[job], into, exact=False)).cylinders[0].values
    half = 0.00051 * (1e-6 if term(unknown).kind is Kind.VOLUME else 1e-3)
    kept = sum(half * 1e3 for line in into.lines if line.key == "crown_volume" and line.why) * 1e-3
    slopes = root.slopes["static_ratio"]
    slope = abs(slopes[unknown]) * half + abs(slopes.get("crown_volume", 0.0)) * kept * 1e-3
    assert abs(again["static_ratio"].nominal - 9.3) <= slope
    assert again[unknown].nominal == pytest.approx(root.nominal, abs=half)


@pytest.mark.parametrize("unknown", ["crown_volume", "pin_offset", "intake_closing", "gasket_area", "bore"])
def test_an_imperial_job_takes_them_in_its_own_units(engines: dict[str, Survey], unknown: str) -> None:
    target = "squish" if unknown == "pin_offset" else "trapped_ratio" if unknown == "intake_closing" else "static_ratio"
    text = JOBS["read, grease"].replace('units = "metric"', 'units = "imperial"')
    engine = surveyed(text)
    known, choices = cases(engine, 1)[0][1], engine.cylinders[0].choices
    wanted = 1.005 * (now(engine, 1, target) or 0.0)
    root = solve(known, choices, unknowns=(unknown,), targets={target: wanted}, algebra=False).best
    into = into_file(engine, 1, {unknown: root.nominal}, {target: wanted})
    again = surveyed(put_in(text, into, IMPERIAL))
    assert now(again, 1, target) == pytest.approx(wanted, rel=1e-9)
    assert not any(" mm" in one or "cm²" in one for one in into.texts(IMPERIAL))


def test_every_cylinder_at_once_gives_the_displacement_back(engines: dict[str, Survey]) -> None:
    engine, into = engines["stated"], []
    for number in (1, 2):
        known, choices = cases(engine, number)[0][1], engine.cylinders[number - 1].choices
        root = solve(known, choices, unknowns=("bore",), targets={"displacement": 0.93e-3}, algebra=False).best
        into.append(into_file(engine, number, {"bore": root.nominal}, {"displacement": 0.93e-3}))
    again = surveyed(put_in(JOBS["stated"], joined(into)))
    assert again.whole["displacement"].nominal == pytest.approx(0.93e-3, rel=1e-9)


@pytest.mark.parametrize("unknown", NEVER_STATED)
def test_what_a_job_never_states_is_not_put_into_it(engines: dict[str, Survey], unknown: str) -> None:
    into = into_file(engines["read, grease"], 1, {unknown: 1.0}, {"static_ratio": 9.0})
    assert into.refused
    assert not into.lines
    assert into.texts(METRIC) == [f"It cannot be put into the job file: {into.refused}"]


def test_layers_of_a_gasket_are_changed_one_by_one() -> None:
    text = JOBS["stated"] + GASKET.replace("[part.gasket]", "[part.shim]").replace("1.15", "0.30")
    into = into_file(surveyed(text), 1, {"gasket_thickness": 1.6e-3}, {"static_ratio": 9.0})
    assert "several layers (gasket, shim)" in into.refused


def test_the_screen_says_what_to_write_and_what_stands_before_it(shop: Shop) -> None:
    shop.write(JOBS["read, grease"])
    assert shop.run("solve", "job.toml", "--for", "chamber_volume", "--to", "static_ratio=9.3") == 0
    assert "To put it into the job file" in shop.lines
    assert '[cylinder.1] chamber_volume = "' in shop.lines
    assert "set aside head chamber by fluid of cylinder 1, line" in shop.lines
    assert shop.run("solve", "job.toml", "--for", "bore", "--to", "static_ratio=9.3", "--all") == 0
    assert "as the fill found it: it would be worked up anew" in shop.lines
    assert shop.run("solve", "job.toml", "--for", "swept_volume", "--to", "static_ratio=9.3") == 0
    assert "cannot be put into the job file: the swept volume follows from other terms" in shop.lines
