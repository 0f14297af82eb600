"""Which readings are to do, done, stated or left out, and what comes next; the ways to a gasket and an assembly."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ccassist.bench.steps import STEPS
from ccassist.bench.steps.lengths import CUTOUT, ELLIPSE, OUTLINE, ROUND, THICKNESS
from ccassist.guide.asks import method_of, next_ask, said_in
from ccassist.guide.walk import Status, Target, Task, following, plan, ways
from ccassist.job.cells import cells_of
from ccassist.job.file import load, parse_job
from ccassist.job.write import append_reading

EXAMPLES = Path(__file__).parents[2] / "examples"
BARE = "format = 1\n[engine]\ncylinders = 2\n"
FILL = {"start": "0 ml", "end": "46 ml"}


def tasks(text: str) -> dict[tuple[str, str], Task]:
    """The plan of a text, by step and place."""
    return {(t.target.step, t.target.place): t for t in plan(parse_job(text).job)}


def filled(text: str, cylinder: int, times: int = 1, **more: object) -> str:
    """The text with fills of a chamber."""
    for _ in range(times):
        text = append_reading(text, {"step": "chamber", "cylinder": cylinder, **more}, FILL)  # type: ignore[dict-item]
    return text


class TestPlan:
    """Statuses."""

    def test_a_bare_file_asks_for_everything_once(self) -> None:
        found = tasks(BARE)
        assert found["chamber", "2"].status is Status.TO_DO
        assert found["gasket", "thickness"].status is Status.TO_DO
        assert found["stack", "stroke"].target == Target(step="stack", part="crank", method="stroke")
        assert {place for step, place in found if step == "deck"} == {"1", "2"}

    def test_every_step_on_the_engine_is_in_the_walk(self) -> None:
        assert {step for step, _ in tasks(BARE)} == {step.key for step in STEPS.values() if step.part}

    def test_started_and_done_by_the_repeats_that_the_step_asks_for(self) -> None:
        text = filled(BARE, 1, STEPS["chamber"].repeats - 1)
        assert tasks(text)["chamber", "1"].status is Status.STARTED
        assert tasks(filled(text, 1))["chamber", "1"].status is Status.DONE

    def test_a_reading_set_aside_does_not_count(self) -> None:
        text = append_reading(filled(BARE, 1, 2), {"step": "chamber", "cylinder": 1}, {**FILL, "set_aside": "bubble"})
        task = tasks(text)["chamber", "1"]
        assert (task.status, task.counted, len(task.rows)) == (Status.STARTED, 2, 3)

    @pytest.mark.parametrize("where", ["[engine]\ncylinders = 2\n", "[part.block]\nkind = 'block'\n", "[cylinder.2]\n"])
    def test_what_is_stated_is_not_asked_for(self, where: str) -> None:
        text = BARE.replace("[engine]\ncylinders = 2\n", where + "bore = '83.40 mm'\n")
        text = text if "cylinders" in text else text + "[engine]\ncylinders = 2\n"
        assert tasks(text)["bore", "2"].status is Status.GIVEN

    def test_a_statement_for_one_cylinder_is_not_one_for_all(self) -> None:
        found = tasks(BARE + "[cylinder.1]\ncrown_volume = 'flat'\n")
        assert (found["crown", "1"].status, found["crown", "2"].status) == (Status.GIVEN, Status.TO_DO)

    def test_lengths_that_only_give_the_deck_clearance_are_not_needed_where_it_is_stated(self) -> None:
        found = tasks(BARE + "deck_clearance = '0.2 mm below'\n")
        assert {found["stack", m].status for m in ("block", "pin_height")} == {Status.GIVEN}
        assert found["stack", "stroke"].status is Status.TO_DO

    @pytest.mark.parametrize(
        ("said", "left"),
        [
            ("crown", {"1", "2"}),
            ("deck,  crown  2", {"2"}),
            ("gasket thickness", set()),
            ("crown 2, crown 1", {"1", "2"}),
        ],
    )
    def test_what_is_left_out(self, said: str, left: set[str]) -> None:
        found = tasks(BARE + f"[job]\nleave_out = '{said}'\n")
        assert {place for (step, place), t in found.items() if step == "crown" and t.status is Status.LEFT_OUT} == left
        assert (found["gasket", "thickness"].status is Status.LEFT_OUT) == (said == "gasket thickness")

    def test_readings_win_over_leaving_out(self) -> None:
        text = filled(BARE + "[job]\nleave_out = 'chamber'\n", 1, 3)
        found = tasks(text)
        assert (found["chamber", "1"].status, found["chamber", "2"].status) == (Status.DONE, Status.LEFT_OUT)

    def test_a_crevice_that_is_not_counted_needs_no_land(self) -> None:
        assert tasks(BARE + "[counted]\ncrevice = 'not counted'\n")["land", "height"].status is Status.LEFT_OUT

    def test_a_crevice_inside_a_ring_sealed_fill_needs_its_land_counted_or_not(self) -> None:
        text = append_reading(
            BARE + "[counted]\ncrevice = 'not counted'\n",
            {"step": "crown", "cylinder": 1, "drop": "12 mm", "seal": "ring"},
            FILL,
        )
        assert tasks(text)["land", "height"].status is Status.TO_DO

    def test_the_crown_on_the_bench_is_asked_for_only_without_the_one_in_the_bore(self) -> None:
        assert tasks(BARE)["crown-bench", "1"].status is Status.OTHERWISE
        assert tasks(BARE + "[job]\nleave_out = 'crown'\n")["crown-bench", "1"].status is Status.TO_DO

    def test_a_crown_measured_on_the_bench_is_not_asked_for_in_the_bore(self) -> None:
        text = append_reading(BARE, {"step": "crown-bench", "cylinder": 1}, FILL)
        found = tasks(text)
        assert (found["crown", "1"].status, found["crown", "2"].status) == (Status.OTHERWISE, Status.TO_DO)

    def test_a_part_measured_cylinder_by_cylinder_is_as_far_as_its_last_cylinder(self) -> None:
        text = BARE
        for cylinder, times in ((1, 2), (2, 1)):
            for _ in range(times):
                text = append_reading(text, {"step": "gasket", "cylinder": cylinder}, {"thickness": "1.3 mm"})
        task = tasks(text)["gasket", "thickness"]
        assert (task.status, task.counted) == (Status.STARTED, 1)
        assert tasks(text)["gasket", "opening"].status is Status.TO_DO

    def test_a_series_of_a_whole_part_measures_each_of_its_cylinders(self) -> None:
        text = BARE + "[part.block]\nkind = 'block'\n"
        for _ in range(2):
            text = append_reading(text, {"step": "bore", "part": "block"}, {"bore": "83.40 mm"})
        assert {tasks(text)["bore", n].status for n in "12"} == {Status.DONE}

    def test_the_order_is_head_after_head(self) -> None:
        text = (
            BARE.replace("2", "4")
            + "[part.left]\nkind='head'\ncylinders=[1,3]\n[part.right]\nkind='head'\ncylinders=[2,4]\n"
        )
        assert [t.target.cylinder for t in plan(parse_job(text).job) if t.target.step == "chamber"] == [1, 3, 2, 4]

    def test_a_part_name_that_is_taken_is_not_used_for_another_kind(self) -> None:
        assert tasks(BARE + "[part.crank]\nkind = 'head'\n")["stack", "stroke"].target.part == "crank measured"


class TestStates:
    """States are never counted together."""

    HEAD = BARE + "[part.head]\nkind = 'head'\nstates = ['as received', 'seats cut']\n"

    def test_the_first_state_listed_comes_first(self) -> None:
        assert tasks(self.HEAD)["chamber", "1"].state == "as received"

    def test_a_state_that_is_complete_makes_way_for_the_next_listed(self) -> None:
        text = filled(filled(self.HEAD, 1, 3, state="as received"), 2, 1, state="as received")
        task = tasks(text)["chamber", "2"]
        assert (task.state, task.status, task.counted) == ("seats cut", Status.TO_DO, 0)

    def test_a_state_that_is_not_complete_goes_on(self) -> None:
        task = tasks(filled(self.HEAD, 1, 3, state="as received"))["chamber", "2"]
        assert (task.state, task.status) == ("as received", Status.TO_DO)

    def test_a_new_state_in_the_file_is_what_is_being_measured(self) -> None:
        text = filled(filled(filled(BARE, 1, 3), 2, 3), 1, 1, state="opened")
        found = tasks(text)
        assert (found["chamber", "1"].status, found["chamber", "2"].status) == (Status.STARTED, Status.TO_DO)
        assert found["chamber", "2"].state == "opened"

    def test_readings_made_another_way_are_counted_apart(self) -> None:
        text = filled(filled(BARE, 1, 2, instrument="burette 50 ml class B"), 1, 1, instrument="burette 50 ml class A")
        assert tasks(text)["chamber", "1"].counted == 1


WAYS = [
    {},
    {"instrument": "burette 50 ml class A"},
    {"fluid": "water"},
    {"by": "Ned"},
    {"temperature": "21 degC"},
    {"hole": "filled", "hole_diameter": "6 mm", "plate_thickness": "8 mm"},
    {"date": "2026-05-02"},
]
ROWS = [{"start": "0 ml", "end": "46 ml"}, {"full": "1", "each": "40 ml", "rest": "6 ml"}]


FILLS = st.tuples(st.sampled_from(WAYS), st.sampled_from(ROWS), st.sampled_from([1, 2]))


@settings(max_examples=20, deadline=None)
@given(st.lists(FILLS, min_size=1, max_size=8))
def test_repeats_are_counted_as_they_are_averaged(fills: list[tuple[dict[str, str], dict[str, str], int]]) -> None:
    """The readings that the guide counts for a place are those that the reduction joins with its latest."""
    text = BARE
    for header, row, cylinder in fills:
        text = append_reading(text, {"step": "chamber", "cylinder": cylinder, **header}, row)
    job = parse_job(text).job
    cells, _ = cells_of(job)
    for cylinder in {cylinder for _, _, cylinder in fills}:
        task = tasks(text)["chamber", str(cylinder)]
        lines = [row.line for row in task.rows]
        assert [lines] == [[r.line for r in c.readings] for c in cells if any(r.line == lines[-1] for r in c.readings)]


class TestExamples:
    """The example jobs."""

    def test_what_is_left_of_each(self) -> None:
        left = {
            name: {(t.target.step, t.target.place) for t in plan(load(EXAMPLES / f"{name}.toml").job) if t.open}
            for name in ("turbo-four", "v8-heads", "three-pistons")
        }
        assert left["turbo-four"] == set()
        assert left["v8-heads"] == set()
        assert left["three-pistons"] == {("deck", "1"), ("deck", "2"), ("deck", "3")}


class TestFollowing:
    """What comes next."""

    def test_the_next_open_task_round_to_the_start(self) -> None:
        found = plan(parse_job(filled(BARE, 1, 3)).job)
        chambers = [t.target for t in found if t.target.step == "chamber"]
        first = following(found, None, set())
        assert first is not None
        assert first.target.step == "chamber"
        after = following(found, chambers[0], set())
        assert after is not None
        assert after.target == chambers[1]
        last = following(found, found[-1].target, set())
        assert last == first

    def test_what_is_skipped_is_passed_over(self) -> None:
        found = plan(parse_job(BARE).job)
        everything = {t.target for t in found}
        assert following(found, None, everything) is None


GASKET = '[part.gasket]\nkind = "gasket"\n'
SHIM = '[part.shim]\nkind = "gasket"\n'
OPENING = Target(step="gasket", part="gasket", method="opening")
OVAL = {"long": "90 mm", "short": "84 mm"}


def statuses(text: str) -> dict[tuple[str, str, str], Status]:
    found = plan(parse_job(text).job)
    return {(t.target.step, t.target.part, t.target.place): t.status for t in found}


def test_an_opening_is_one_thing_however_it_is_measured() -> None:
    assert ways(OPENING) == (ROUND, ELLIPSE, OUTLINE, CUTOUT)
    assert ways(Target(step="gasket", part="gasket", method="thickness")) == (THICKNESS,)
    gasket = [place for step, _, place in statuses(BARE + GASKET) if step == "gasket"]
    assert gasket == ["opening", "thickness"]


def test_the_way_is_asked_first_and_kept() -> None:
    ask = next_ask(OPENING, {})
    assert ask is not None
    assert ask.options[1] == ELLIPSE.title
    assert method_of(OPENING, {"method": (OUTLINE.title,)}) is OUTLINE
    text = append_reading(BARE + GASKET, {"step": "gasket", "part": "gasket"}, OVAL)
    (series,) = parse_job(text).job.series
    said = said_in(series, STEPS["gasket"])
    assert method_of(OPENING, said) is ELLIPSE
    assert method_of(Target(step="gasket", part="gasket", method="thickness"), said) is THICKNESS


def test_an_oval_measured_is_an_opening_measured() -> None:
    text = BARE + GASKET
    for _ in range(2):
        text = append_reading(text, {"step": "gasket", "part": "gasket"}, OVAL)
    assert statuses(text)["gasket", "gasket", "opening"] is Status.DONE


@pytest.mark.parametrize(
    "stated", ['gasket_bore = "88 mm"', 'gasket_area = "60 cm2"', 'gasket_long = "90 mm"\ngasket_short = "84 mm"']
)
def test_an_opening_stated_in_any_form_is_not_asked_for(stated: str) -> None:
    assert statuses(f"{BARE}{GASKET}{stated}\n")["gasket", "gasket", "opening"] is Status.GIVEN


def test_a_gasket_is_measured_at_five_points() -> None:
    text = BARE + GASKET
    for count in range(1, 6):
        text = append_reading(text, {"step": "gasket", "part": "gasket"}, {"thickness": "1.2 mm"})
        expected = Status.DONE if count == 5 else Status.STARTED
        assert statuses(text)["gasket", "gasket", "thickness"] is expected


def test_one_layer_stated_or_measured_leaves_the_other_to_do() -> None:
    text = f'{BARE}{GASKET}gasket_bore = "88 mm"\n{SHIM}'
    for _ in range(5):
        text = append_reading(text, {"step": "gasket", "part": "shim"}, {"thickness": "0.5 mm"})
    found = statuses(text)
    assert found["gasket", "gasket", "opening"] is Status.GIVEN
    assert found["gasket", "shim", "opening"] is Status.TO_DO
    assert found["gasket", "gasket", "thickness"] is Status.TO_DO
    assert found["gasket", "shim", "thickness"] is Status.DONE


def test_the_whole_assembly_is_offered_and_asked_for_once_begun() -> None:
    assert statuses(BARE)["assembly", "", "1"] is Status.OFFERED
    header = {"step": "assembly", "cylinder": 1, "level": "bottom thread", "plug_nose": "none"}
    text = append_reading(BARE, header, {"start": "0 ml", "end": "64 ml"})
    found = statuses(text)
    assert (found["assembly", "", "1"], found["assembly", "", "2"]) == (Status.STARTED, Status.OFFERED)


def test_the_well_is_asked_for_only_where_it_was_filled() -> None:
    whole = Target(step="assembly", cylinder=1)
    said = {"method": (STEPS["assembly"].methods[0].title,), "instrument": (), "fluid": (), "temperature": ()}
    asked = {}
    for level in STEPS["assembly"].choices[0].options:
        ask = next_ask(whole, {**said, "level": (level,)}, rest=True)
        assert ask is not None
        asked[level] = ask.key
    assert asked == {"bottom thread": "plug_nose", "plug seat": "plug_well"}
