""" "Made the same way" is one thing: what the guide counts together is what is averaged, and what scatters alike.

Invented engine and readings; the rule is the tool's own.
Consistency, no physics: sums done by hand.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ccassist.analysis.results import survey
from ccassist.bench.step import SameWay, Way
from ccassist.guide.walk import plan
from ccassist.job.cells import cells_of
from ccassist.job.file import parse_job
from ccassist.job.records import Job
from ccassist.values.number import nominal

HEAD = """format = 1
[engine]
cylinders = 2
[part.head]
kind = "head"
[part.gasket]
kind = "gasket"
[part.shim]
kind = "gasket"
"""
FILL = {
    "step": "chamber",
    "cylinder": 1,
    "instrument": "burette 50 ml",
    "fluid": "water",
    "by": "Mo",
    "state": "as found",
    "date": "2026-03-02",
    "temperature": "20 degC",
    "plug": "fitted",
    "hole": "filled",
    "hole_diameter": "6 mm",
    "plate_thickness": "8 mm",
}
THICKNESS = {"step": "gasket", "part": "gasket", "instrument": "micrometer", "by": "Mo", "state": "new"}
ROWS = {
    "burette": ['{ start = "0 ml", end = "41.3 ml" }', '{ start = "0 ml", end = "41.4 ml" }'],
    "syringes": ['{ full = 1, each = "40 ml", rest = "1.3 ml" }', '{ full = 1, each = "40 ml", rest = "1.4 ml" }'],
    "weighing": ['{ before = "400.0 g", after = "358.8 g" }', '{ before = "358.8 g", after = "317.5 g" }'],
    "thickness": ['{ thickness = "1.12 mm" }', '{ thickness = "1.13 mm" }'],
}
Header = Mapping[str, str | int]


def series(header: Header, rows: Sequence[str]) -> str:
    """A block of readings."""
    said = "".join(f'{k} = "{v}"\n' if isinstance(v, str) else f"{k} = {v}\n" for k, v in header.items())
    return f"[[series]]\n{said}readings = [\n" + "".join(f"    {row},\n" for row in rows) + "]\n"


def job_of(*blocks: tuple[Header, Sequence[str]]) -> Job:
    """A job of such blocks, every row of which could be read."""
    loaded = parse_job(HEAD + "".join(series(header, rows) for header, rows in blocks))
    assert not [f for f in loaded.findings if f.level.name == "ERROR"]
    return loaded.job


def averaged(job: Job) -> list[frozenset[int | None]]:
    """The lines of the rows that make one mean, mean by mean."""
    cells, findings = cells_of(job)
    assert not findings
    return [frozenset(row.line for row in cell.readings) for cell in cells]


def the_guide_agrees(job: Job) -> None:
    """What the guide counts as repeats of one another is one mean, whole."""
    means, counted = averaged(job), [task.rows for task in plan(job) if task.rows]
    assert counted
    for rows in counted:
        assert frozenset(row.line for row in rows) in means


# Of a series: what of it may change, to what, and whether its readings are then another mean, or scatter otherwise.
CHANGES = {
    "nothing": ({}, False, False),
    "instrument": ({"instrument": "burette 100 ml"}, True, True),
    "fluid": ({"fluid": "tap water"}, True, True),
    "by": ({"by": "Jo"}, True, True),
    "state": ({"state": "skimmed"}, True, False),
    "cylinder": ({"cylinder": 2}, True, False),
    "a setting": ({"plate_thickness": "9 mm"}, False, False),
    "a setting more": ({"residue": "0.1 cc"}, False, False),
    "a choice": ({"plug": "not fitted", "plug_hole": "1.7 cc"}, True, False),
    "a choice more": ({"meniscus": "same edge"}, False, False),
    "temperature": ({"temperature": "24 degC"}, False, False),
    "date": ({"date": "2026-03-03"}, False, False),
    "remark": ({"remark": "after lunch"}, False, False),
}


@pytest.mark.parametrize("change", CHANGES)
def test_each_field_of_a_fill(change: str) -> None:
    changed, other_mean, other_way = CHANGES[change]
    job = job_of((FILL, ROWS["burette"]), ({**FILL, **changed}, ROWS["burette"]))
    the_guide_agrees(job)
    assert len(averaged(job)) == (2 if other_mean else 1)
    ways = {cell.way for cell in cells_of(job)[0]}
    assert len(ways) == (2 if other_way else 1)


def test_each_fill_is_corrected_by_its_own_set_up() -> None:
    """Two fills with the plate's hole empty, one that fills it: π/4 × 6² × 8 mm³ come off the third alone."""
    bare = {key: value for key, value in FILL.items() if key not in ("hole_diameter", "plate_thickness")}
    job = job_of(({**bare, "hole": "not filled"}, ROWS["burette"]), (FILL, ['{ start = "0 ml", end = "41.6 ml" }']))
    (one,) = survey(job).reduced
    found = {line.words: nominal(line.number) for line in one.lines}
    assert found["less the fluid in the plate's hole (1 of 3 fills)"] * 1e6 == pytest.approx(-0.2262 / 3, abs=1e-4)
    mean = (41.3 + 41.4 + 41.6 - 0.2262) / 3
    assert nominal(one.values["chamber_volume"].number) * 1e6 == pytest.approx(mean, abs=0.01)  # glass at 20 °C
    assert "two-measurements" not in {f.code for f in survey(job).findings}


def test_what_was_left_in_the_space_is_put_on_every_fill_but_the_first() -> None:
    """Said from the second fill on: each of the two later ones was made into a wet space."""
    wet = ROWS["burette"]
    job = job_of((FILL, wet[:1]), ({**FILL, "residue": "0.3 cc"}, wet))
    (one,) = survey(job).reduced
    put_on = next(line for line in one.lines if line.words.startswith("plus the fluid left"))
    assert nominal(put_on.number) * 1e6 == pytest.approx(0.2)


@pytest.mark.parametrize("method", ["syringes", "weighing"])
def test_another_method(method: str) -> None:
    """Also where both stand in one block: rows read another way are another mean."""
    for job in (job_of((FILL, ROWS["burette"]), (FILL, ROWS[method])), job_of((FILL, ROWS["burette"] + ROWS[method]))):
        the_guide_agrees(job)
        assert len(averaged(job)) == 2
        assert len({cell.way for cell in cells_of(job)[0]}) == 2


@pytest.mark.parametrize(
    ("changed", "means"),
    [
        ({}, 1),
        ({"part": "shim"}, 2),
        ({"instrument": "micrometer 0.001 mm"}, 2),
        ({"by": "Jo"}, 2),
        ({"state": "used"}, 2),
    ],
)
def test_each_field_of_a_length(changed: dict[str, str], means: int) -> None:
    job = job_of((THICKNESS, ROWS["thickness"]), ({**THICKNESS, **changed}, ROWS["thickness"]))
    the_guide_agrees(job)
    assert len(averaged(job)) == means


def test_every_field_of_the_definition_was_changed() -> None:
    """A field added to it is to be added here."""
    assert set(Way._fields) == {"step", "method", "instrument", "fluid", "by"}
    assert set(SameWay._fields) == {"way", "settings", "choices", "part", "state", "cylinders", "date"}


@pytest.mark.parametrize("days", ["A", "AB", "ABA", "BAAB", "ABBA"])
def test_the_newest_calibration_of_a_burette(days: str) -> None:
    """What the guide counts on as the calibration in use is that by which fills are corrected: the day read last."""
    steps = [f'{{ to = "{n} ml", before = "0 g", after = "{n - 0.1} g" }}' for n in (10, 20, 30, 40)]
    said = {"step": "calibrate", "instrument": "burette 50 ml", "fluid": "water", "temperature": "20 degC"}
    dates = {"A": "2026-03-02", "B": "2026-03-05"}
    job = job_of(*(({**said, "scale": "scale 0.01 g", "date": dates[day]}, steps) for day in days))
    (made,) = survey(job).calibrations.values()
    (task,) = (t for t in plan(job) if t.target.step == "calibrate")
    assert str(made.made) == dates[days[-1]]
    assert [row.line for row in task.rows] == [step.reading.line for step in made.steps]


headers = st.fixed_dictionaries(
    {
        "cylinder": st.sampled_from([1, 2]),
        "instrument": st.sampled_from(["burette 50 ml", "burette 100 ml"]),
        "by": st.sampled_from(["Mo", "Jo"]),
        "state": st.sampled_from(["as found", "skimmed"]),
        "temperature": st.sampled_from(["20 degC", "24 degC"]),
        "plate_thickness": st.sampled_from(["8 mm", "9 mm"]),
    },
)
rows = st.lists(
    st.sampled_from([row for method in ("burette", "syringes") for row in ROWS[method]]), min_size=1, max_size=3
)


@given(st.lists(st.tuples(headers, rows), min_size=1, max_size=6))
def test_any_file(blocks: list[tuple[dict[str, str | int], list[str]]]) -> None:
    """Whatever stands in it: every row in one mean, and the guide's count is one of them."""
    job = job_of(*(({**FILL, **header}, lines) for header, lines in blocks))
    the_guide_agrees(job)
    assert sorted(line or 0 for mean in averaged(job) for line in mean) == sorted(
        row.line or 0 for one in job.series for row in one.rows
    )
