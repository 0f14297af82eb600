"""The engine as measured, of any number of cylinders: the answer in a window, nothing broken, nothing lost."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest

from ccassist.analysis.results import Survey, survey
from ccassist.cli.layout import HEIGHT, report_lines
from ccassist.job.file import load, parse_job
from ccassist.report.measured import survey_data
from ccassist.report.survey import survey_report
from ccassist.values.display import formatter
from ccassist.values.findings import errors
from ccassist.vocabulary.units import SYSTEMS

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))
JOB = """format = 1
[job]
name = "Invented engine with a name as long as one may find on a job card of a shop"
[engine]
cylinders = {count}
bore = "86.10 +/- 0.01 mm, measured"
stroke = "78.35 +/- 0.02 mm, measured"
rod_length = "141.20 mm, measured"
gasket_bore = "87.6 +/- 0.1 mm, measured"
gasket_thickness = "1.25 +/- 0.05 mm, maker's figure"
[counted]
crevice = "not counted"
chamfer = "not counted"
[wanted]
static_ratio = "9.1 to 9.3"
squish = "0.9 to 1.3 mm"
chamber_volume = "at least 42.0 cc"
[cam]
intake_closing = "52 +/- 1 deg after BDC, measured"
event_lift = "1.27 mm, measured"
lift_read_at = "the valve"
"""
EACH = """[cylinder.{n}]
chamber_volume = "{chamber:.2f} +/- 0.25 cc, measured"
deck_clearance = "{deck:.2f} +/- 0.02 mm below deck, measured"
crown_volume = "dish {crown:.2f} +/- 0.4 cc, {origin}"
"""
COUNTS = (1, 4, 8, 12)
SORTS = ("unlike", "alike", "heads")


def text_of(count: int, sort: str) -> str:
    """The job of an engine whose cylinders are all "unlike", all "alike", or bare "heads"."""
    step = 0.0 if sort == "alike" else 0.27
    bare = '[cylinder.{n}]\nchamber_volume = "{chamber:.2f} +/- 0.25 cc"\n'
    text = f"format = 1\n[engine]\ncylinders = {count}\n" if sort == "heads" else JOB.format(count=count)
    for n in range(1, count + 1):
        more = {"deck": 0.25 + step * n / 10, "crown": 7 + step * n, "origin": ("measured", "assumed")[n % 2]}
        text += (bare if sort == "heads" else EACH).format(n=n, chamber=42 + step * n, **more)
    return text


@cache
def engine(count: int, sort: str) -> Survey:
    loaded = parse_job(text_of(count, sort), "heads-of-the-day.toml")
    found = survey(loaded.job)
    assert not errors((*loaded.findings, *found.findings))
    return found


@cache
def example(name: str) -> Survey:
    return survey(load(Path(__file__).parents[2] / "examples" / name).job)


ENGINES = [
    *(
        pytest.param(engine, (count, sort), id=f"{count} {sort}")
        for count in COUNTS
        for sort in ("unlike", "alike", "heads")
    ),
    *(pytest.param(example, (path.name,), id=path.stem) for path in EXAMPLES),
]


@pytest.mark.parametrize(("make", "of"), ENGINES)
@pytest.mark.parametrize("system", SYSTEMS)
def test_the_answer_fits_the_window_and_nothing_is_broken(make: object, of: tuple[object, ...], system: str) -> None:
    report = survey_report(make(*of), formatter(system), everything=True)  # type: ignore[operator]
    for width in (60, 80):
        answer, whole = (report_lines(report, everything=more, width=width) for more in (False, True))
        assert len(answer) < HEIGHT, "\n".join(answer)
        for line in (*answer, *whole):
            assert len(line) < width or "/" in line, line  # a path may be long: it is never broken
        assert not re.search(r"[0-9](\n *±| ±\n)", "\n".join(whole))
        assert not re.search(r"[0-9]\n *(mm|cc|thou|deg)\b", "\n".join(answer))
        assert any(line.startswith("Next: ") for line in answer)


@pytest.mark.parametrize("count", COUNTS)
def test_every_cylinder_is_in_the_answer(count: int) -> None:
    for sort in SORTS:
        found = engine(count, sort)
        answer = " ".join(report_lines(survey_report(found, found.fmt)))
        if sort == "alike" and count > 1:
            assert f"1 to {count}" in answer
        else:
            key = "chamber_volume" if sort == "heads" else "static_ratio"
            for cylinder in found.cylinders:
                shown = found.fmt.value(cylinder.values[key], words=False).removesuffix(" cc")
                assert shown in answer


def test_of_very_many_the_extremes_and_those_outside_are_marked() -> None:
    found = survey(parse_job(text_of(12, "unlike").replace('"9.1 to 9.3"', '"at least 8.2"'), "twelve.toml").job)
    ratios = {c.number: c.values["static_ratio"].nominal for c in found.cylinders}
    lines = report_lines(survey_report(found, found.fmt))
    said = re.sub(r"\s+", " ", " ".join(lines))
    for word, pick in (("smallest", min), ("largest", max)):
        number = pick(ratios, key=lambda n: ratios[n])
        assert re.search(rf"\b{number} [\d.]+ ± [\d.]+ {word}", said)
    marked = {n for n in ratios if re.search(rf"\b{n} [\d.]+ ± [\d.]+[a-z ]* OUTSIDE", said)}
    assert marked == {c.number for c in found.cylinders if c.values["static_ratio"].high < 8.2}


def test_the_one_next_thing_is_the_same_everywhere() -> None:
    """The screen and the data say one and the same."""
    for found in (engine(4, "unlike"), engine(8, "heads"), engine(1, "alike")):
        told = survey_data(found, found.fmt)["next"]
        lines = report_lines(survey_report(found, found.fmt))
        said = " ".join(" ".join(lines).split())
        assert f"Next: {told['words'][:1].lower()}{told['words'][1:]}" in said
        assert " ".join(told["command"]) in said


@pytest.mark.parametrize("system", SYSTEMS)
def test_the_cylinders_come_before_what_is_said_of_the_piston_speed(system: str) -> None:
    """The figures asked for first, the spread with them; the speed where there is room, and always with --all."""
    report = survey_report(example("turbo-four.toml"), formatter(system))
    lines = report_lines(report)
    assert next(n for n, line in enumerate(lines) if line.startswith("cyl ")) < 7
    assert any(line.startswith("Largest less smallest ratio") for line in lines)
    assert any(line.startswith("Piston speed at") for line in report_lines(report, everything=True))
