"""What a plan prints against two surveys: the engine as it is, and the job written as the work leaves it.

Invented engines from seeds.  The job of the second survey is put down here a
second time, by plane geometry; the gaps are those of the cam's own room.
"""

from __future__ import annotations

import math
import random
import re
from dataclasses import dataclass, replace

import pytest

from ccassist.analysis.results import Survey, survey
from ccassist.job.file import parse_job
from ccassist.plan.combine.candidates import candidates
from ccassist.plan.combine.search import combine
from ccassist.plan.machining.changes import Plan, machine
from ccassist.plan.machining.work import MachineAsked
from ccassist.plan.valves.room import valve_room
from ccassist.report.machining_words import consequences
from ccassist.values.display import formatter
from ccassist.values.uncertainty import budget
from tests import sound_survey
from tests.cam_job import CAM, lifts

MM = 1e-3
SEEDS = range(5)
MOVED = (
    "chamber_volume",
    "deck_clearance",
    "deck_volume",
    "gasket_volume",
    "squish",
    "clearance_volume",
    "static_ratio",
)


@dataclass(frozen=True, kw_only=True)
class Made:
    """An engine of two in mm, cc, degrees; ``pocket`` at its middle along the valve, None for a flat crown."""

    bore: float
    stroke: float
    deck: tuple[float, float]
    chamber: tuple[float, float]
    area: tuple[float, float]
    step: float
    gasket: tuple[float, float]
    drop: float
    angle: float
    pocket: float | None

    def text(self) -> str:
        under = (
            'crown_at_valve = "level with the flat, measured"'
            if self.pocket is None
            else f'pocket_depth = "{self.pocket:.9f} +/- 0.1 mm, measured"\npocket_diameter = "44 +/- 0.1 mm, measured"'
        )
        lines = [
            'format = 1\n[job]\nunits = "metric"\n[engine]\ncylinders = 2',
            f'bore = "{self.bore} +/- 0.01 mm, measured"\nstroke = "{self.stroke} +/- 0.02 mm, measured"',
            'rod_length = "147.3 +/- 0.05 mm, measured"\ncrown_volume = "dish 6.2 +/- 0.3 cc, measured"',
            f'squish_step = "{self.step:.9f} +/- 0.05 mm, measured"\nhead_width = "157 +/- 1 mm, measured"',
            '[counted]\ncrevice = "not counted"\n',
        ]
        for number in (1, 2):
            i = number - 1
            lines.append(
                f'[part.gasket{number}]\nkind = "gasket"\ncylinders = [{number}]\n'
                f'gasket_bore = "{self.bore + 1.7} +/- 0.1 mm, measured"\n'
                f'gasket_thickness = "{self.gasket[i]:.9f} +/- 0.02 mm, measured"\n'
                f'[cylinder.{number}]\nchamber_volume = "{self.chamber[i]:.9f} +/- 0.1 cc, measured"\n'
                f'chamber_area = "{self.area[i]:.9f} +/- 0.5 cm2, measured"\n'
                f'deck_clearance = "{_deck(self.deck[i])}, measured"\n'
            )
        stands = f"{abs(self.drop):.9f} +/- 0.05 mm {'recessed' if self.drop >= 0 else 'proud'}, measured"
        valve = (
            '\n[valve.intake]\nvalve_diameter = "34.1 +/- 0.05 mm, measured"\n'
            f'valve_angle = "{self.angle} +/- 0.2 deg, measured"\nvalve_drop = "{stands}"\n{under}\n'
        )
        return "\n".join(lines) + CAM + valve + lifts("intake", 108, 9.8, -40, 60)


def _deck(clearance: float) -> str:
    return f"{abs(clearance):.9f} +/- 0.02 mm {'below deck' if clearance >= 0 else 'above deck'}"


def made(seed: int, *, pocket: bool) -> Made:
    rng = random.Random(seed)
    step = rng.choice([0.0, round(rng.uniform(0.6, 1.4), 2)])
    return Made(
        bore=round(rng.uniform(71, 97), 1),
        stroke=round(rng.uniform(63, 99), 1),
        deck=(round(rng.uniform(0.3, 0.9), 2), round(rng.uniform(0.3, 0.9), 2)),
        chamber=(round(rng.uniform(38, 44), 1), round(rng.uniform(46, 52), 1)),
        area=(round(rng.uniform(34, 40), 1), round(rng.uniform(34, 40), 1)),
        step=step,
        gasket=(round(rng.uniform(0.9, 1.2), 2), round(rng.uniform(1.3, 1.6), 2)),
        drop=round(rng.uniform(2.0, 5.0), 2),
        angle=round(rng.uniform(3, 29), 1),
        pocket=round(rng.uniform(1.0, 3.0), 2) if pocket else None,
    )


def surveyed(engine: Made) -> Survey:
    return sound_survey.surveyed(engine.text())


def planned(before: Survey, **asked: object) -> Plan:
    return machine(before, MachineAsked(**asked).work("metric"))  # type: ignore[arg-type]


def alike(plan: Plan, after: Survey) -> None:
    """Every term of every cylinder is that of the engine surveyed again."""
    for row, again in zip(plan.rows, after.cylinders, strict=True):
        for key in MOVED:
            value = row.after.values[key].nominal
            assert value == pytest.approx(again.values[key].nominal, rel=1e-9, abs=1e-15), (key, row.number)


def gaps(found: Survey) -> list[float]:
    return [one.gap.nominal / MM for one in valve_room(found)["intake"].nearest]


def printed(plan: Plan, what: str) -> dict[int, float]:
    """What the lines that begin with ``what`` say by cylinder [mm], a fall under nothing; the ends of a range."""
    found: dict[int, float] = {}
    pattern = re.compile(
        rf"(?:cylinders? ([\d, ]+): )?{what} (falls|grows) by (?:at (?:most|least) )?"
        r"([\d.]+)(?: mm)?(?: to ([\d.]+))? mm"
    )
    for line in consequences(plan, formatter("metric")):
        match = pattern.match(line)
        if match is None:
            continue
        numbers = [int(n) for n in match[1].split(",")] if match[1] else [row.number for row in plan.rows]
        ends = [float(match[3]), float(match[4] or match[3])]
        sign = -1 if match[2] == "falls" else 1
        moves = [row.change("squish") if what == "squish" else None for row in plan.rows]
        assert all(
            m is None or m.nominal * sign > 0 for m, r in zip(moves, plan.rows, strict=True) if r.number in numbers
        )
        inner = sorted(numbers, key=lambda n: abs(plan.rows[n - 1].cuts.approach.nominal_value))
        if what == "squish":
            inner = sorted(numbers, key=lambda n: abs(plan.rows[n - 1].change("squish").nominal))  # type: ignore[union-attr]
        found |= {n: sign * end for n, end in zip(inner, ends if len(inner) > 1 else ends[:1], strict=True)}
    return found


WORK: dict[str, dict[str, str | bool | list[str]]] = {
    "skim": {"skim": "0.31 mm"},
    "deck": {"deck": "0.23 mm"},
    "thinner": {"gasket_thickness": "0.70 mm"},
    "thicker": {"gasket_thickness": "1.90 mm"},
    "either way": {"gasket_thickness": "1.25 mm"},
    "all": {"skim": "0.31 mm", "deck": "0.23 mm", "gasket_thickness": "0.85 mm"},
    "head down, gasket up": {"skim": "0.17 mm", "gasket_thickness": "1.90 mm"},
}


def worked(engine: Made, asked: dict[str, str | bool | list[str]]) -> tuple[Made, list[float]]:
    """The engine after the work, and how much nearer head and piston come in each cylinder [mm]."""
    skim, deck = (float(str(asked.get(key, "0 mm")).split()[0]) for key in ("skim", "deck"))
    gasket = tuple(
        float(str(asked["gasket_thickness"]).split()[0]) if "gasket_thickness" in asked else old
        for old in engine.gasket
    )
    near = [skim + deck + old - new for old, new in zip(engine.gasket, gasket, strict=True)]
    after = replace(
        engine,
        chamber=tuple(v - a * skim / 10 for v, a in zip(engine.chamber, engine.area, strict=True)),
        deck=tuple(d - deck for d in engine.deck),
        gasket=gasket,
        step=max(0.0, engine.step - skim) if engine.step else 0.0,
        drop=engine.drop - skim,
    )
    return after, near


@pytest.mark.parametrize("work", list(WORK))
@pytest.mark.parametrize("seed", SEEDS)
def test_every_term_is_that_of_the_engine_surveyed_again(seed: int, work: str) -> None:
    """And squish moves by what is printed, in the direction that is printed."""
    engine = made(seed, pocket=False)
    after, near = worked(engine, WORK[work])
    before, again = surveyed(engine), surveyed(after)
    plan = planned(before, **WORK[work])
    alike(plan, again)
    said = printed(plan, "squish")
    for i, (old, new) in enumerate(zip(before.cylinders, again.cylinders, strict=True)):
        moved = (new.values["squish"].nominal - old.values["squish"].nominal) / MM
        assert said.get(i + 1, 0.0) == pytest.approx(moved, abs=0.0051)
        assert plan.rows[i].cuts.approach.nominal_value / MM == pytest.approx(near[i], abs=1e-9)


@pytest.mark.parametrize("work", list(WORK))
@pytest.mark.parametrize("seed", SEEDS)
def test_a_valve_over_a_flat_crown_moves_as_the_cam_says(seed: int, work: str) -> None:
    engine = made(seed, pocket=False)
    after, _ = worked(engine, WORK[work])
    before = surveyed(engine)
    said = printed(planned(before, **WORK[work]), "valve to piston")
    for i, (old, new) in enumerate(zip(gaps(before), gaps(surveyed(after)), strict=True)):
        assert said.get(i + 1, 0.0) == pytest.approx(new - old, abs=0.0051)


@pytest.mark.parametrize("work", list(WORK))
@pytest.mark.parametrize("seed", SEEDS)
def test_a_valve_over_a_pocket_moves_as_the_cam_says_of_the_pocket_measured_again(seed: int, work: str) -> None:
    """The pocket stays in the piston: along the valve's new line it is deeper by way x sin x tan (plane geometry)."""
    engine = made(seed, pocket=True)
    after, near = worked(engine, WORK[work])
    before = surveyed(engine)
    said = printed(planned(before, **WORK[work]), "valve to piston")
    tilt = math.radians(engine.angle)
    for i, way in enumerate(near):
        again = replace(after, pocket=engine.pocket + way * math.sin(tilt) * math.tan(tilt))  # type: ignore[operator]
        moved = gaps(surveyed(again))[i] - gaps(before)[i]
        assert said.get(i + 1, 0.0) == pytest.approx(moved, abs=0.0051)
        assert moved == pytest.approx(-way * math.cos(tilt), abs=1e-6)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_valve_over_a_crown_of_which_nothing_is_said_never_has_less_room_than_printed(seed: int) -> None:
    engine = made(seed, pocket=False)
    text = engine.text().replace('crown_at_valve = "level with the flat, measured"\n', "")
    before = survey(parse_job(text).job)
    for work in ("skim", "thicker"):
        _, near = worked(engine, WORK[work])
        said = printed(planned(before, **WORK[work]), "valve to piston")
        for i, way in enumerate(near):
            tilt = math.radians(engine.angle)
            assert said[i + 1] <= min(-way / math.cos(tilt), -way * math.cos(tilt)) + 0.0051


@pytest.mark.parametrize("seed", SEEDS)
def test_chambers_made_alike_and_skimmed_keep_openings_of_their_own(seed: int) -> None:
    engine = made(seed, pocket=False)
    plan = planned(surveyed(engine), equalise=True, skim="0.31 mm")
    opened = [row.cuts.opened for row in plan.rows]
    grown = [float(getattr(one, "nominal_value", one)) * 1e6 for one in opened]
    assert sorted(grown)[1] > 0
    ground = replace(engine, chamber=tuple(v + g for v, g in zip(engine.chamber, grown, strict=True)))
    alike(plan, surveyed(worked(ground, WORK["skim"])[0]))
    taken = [row.cuts.taken.nominal_value * 1e6 for row in plan.rows]
    assert taken == pytest.approx([a * 0.031 for a in engine.area], rel=1e-9)


@pytest.mark.parametrize("seed", SEEDS)
def test_levelled_decks_are_those_of_the_engine_surveyed_again(seed: int) -> None:
    engine = made(seed, pocket=False)
    plan = planned(surveyed(engine), level=True, deck="0.10 mm")
    alike(plan, surveyed(replace(engine, deck=(min(engine.deck) - 0.10,) * 2)))


@pytest.mark.parametrize("seed", SEEDS)
def test_a_tilted_cut_takes_more_where_it_is_deeper(seed: int) -> None:
    """Upright walls: opening x depth at its centroid, the one nearer to the deep edge losing more."""
    engine = replace(made(seed, pocket=False), step=0.0)
    plan = planned(surveyed(engine), angle_skim="1.4 mm", centroids=["1=43 mm", "2=112 mm"])
    depths = [1.4 * x / 157 for x in (43, 112)]
    cut = tuple(v - a * d / 10 for v, a, d in zip(engine.chamber, engine.area, depths, strict=True))
    alike(plan, surveyed(replace(engine, chamber=cut)))


@pytest.mark.parametrize("seed", SEEDS)
def test_a_tilted_cut_brings_no_valve_nearer_than_printed(seed: int) -> None:
    """Similar triangles: at the deep edge of the bore the cut is deeper than at the middle of the opening."""
    engine = replace(made(seed, pocket=False), step=0.0)
    before = surveyed(engine)
    said = printed(planned(before, angle_skim="1.4 mm", centroids=["1=43 mm", "2=112 mm"]), "valve to piston")
    for number, middle in ((1, 43), (2, 112)):
        deep = 1.4 * (middle + engine.bore / 2) / 157
        after = replace(engine, drop=engine.drop - deep)
        moved = gaps(surveyed(after))[number - 1] - gaps(before)[number - 1]
        assert said[number] == pytest.approx(moved, abs=0.0051)


def test_upright_valves_in_pockets_move_by_the_cut() -> None:
    engine = replace(made(2, pocket=True), angle=0.0)
    lines = consequences(planned(surveyed(engine), skim="0.31 mm"), formatter("metric"))
    assert any("valve to piston falls by 0.31 mm along the intake valve" in line for line in lines)
    assert not any("stands" in line and "aside" in line for line in lines)


def left(shape: str, height: float, cut: float) -> tuple[float, float, float]:
    """Opening [cm2], volume before and after a cut [cc] of a chamber of that height [mm], the cut in mm.

    Cone and its frustum, paraboloid (half its cylinder), triangular prism, spherical cap pi h^2 (3 R - h) / 3:
    Machinery's Handbook 31st ed. (2020), volumes of solids (from memory).
    """
    radius, rest = 37.3, height - cut
    if shape == "cone":
        whole, part = (math.pi * radius**2 * (rest / height) ** 2 * rest / 3, 0.0)
        return math.pi * radius**2 / 100, math.pi * radius**2 * height / 3000, (whole + part) / 1000
    if shape == "paraboloid":
        return (
            math.pi * radius**2 / 100,
            math.pi * radius**2 * height / 2000,
            math.pi * radius**2 * (rest / height) * rest / 2000,
        )
    if shape == "pent roof":
        return 71.9 * 62.3 / 100, 71.9 * 62.3 * height / 2000, 71.9 * 62.3 * (rest / height) * rest / 2000
    if shape == "cap":
        ball = (radius**2 + height**2) / (2 * height)
        whole, after = (math.pi * h**2 * (3 * ball - h) / 3000 for h in (height, rest))
        return math.pi * radius**2 / 100, whole, after
    return math.pi * radius**2 / 100, math.pi * radius**2 * height / 1000, math.pi * radius**2 * rest / 1000


@pytest.mark.parametrize("cut", [0.15, 0.5, 1.0, 2.0])
@pytest.mark.parametrize("shape", ["upright", "pent roof", "paraboloid", "cap", "cone"])
def test_the_doubt_of_a_skim_by_the_opening_covers_walls_that_lean(shape: str, cut: float) -> None:
    for height in (9.0, 17.0, 26.0):
        area, whole, rest = left(shape, height, cut)
        engine = replace(made(1, pocket=False), chamber=(whole, whole), area=(area, area), step=0.0)
        text = re.sub(r'(chamber_area = "[\d.]+) \+/- 0\.5 cm2', r"\1 +/- 0.0001 cm2", engine.text())
        plan = planned(survey(parse_job(text).job), skim=f"{cut} +/- 0.00001 mm")
        change = plan.rows[0].change("chamber_volume")
        assert change is not None
        assert abs(change.nominal * 1e6 - (rest - whole)) <= change.expanded * 1e6


def test_a_cut_beyond_the_pad_covers_what_of_it_is_pad() -> None:
    """A pad of a third of the opening, 0.20 mm back: a cut of 0.50 mm takes a third less over the last 0.30 mm."""
    engine = replace(made(1, pocket=False), step=0.2, area=(42.0, 42.0))
    change = planned(surveyed(engine), skim="0.50 +/- 0.00001 mm").rows[0].change("chamber_volume")
    assert change is not None
    true = -42.0 * (0.02 + 0.03 * 2 / 3)
    assert abs(change.nominal * 1e6 - true) <= change.expanded * 1e6


def test_a_skim_among_the_parts_that_may_be_fitted_bears_the_same_doubt() -> None:
    engine = replace(made(1, pocket=False), chamber=(46.0, 46.0), area=(38.0, 38.0), step=0.0)
    text = engine.text().split("\n[cam]")[0] + '[choice.skim.some]\nface_cut = "0.50 +/- 0.00001 mm"\n'
    (best,) = combine(candidates(survey(parse_job(text).job))).best
    rows = {row.cause.subject: row for row in budget(best.values["clearance_volume"].number)}
    lean = rows["chamber under its opening: how the walls lean"]
    assert lean.standard * 1e6 == pytest.approx(1.9**2 / (2 * 46.0) / math.sqrt(3))  # taken squared / 2 volumes
    assert lean.cause.guess
