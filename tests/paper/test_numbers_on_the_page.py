"""Every number of ``show --json`` stands on the worksheet as it is shown elsewhere; what is left out is named here."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from functools import cache
from typing import Any

import pytest

from ccassist.analysis.results import Survey
from ccassist.paper.documents import worksheet_bytes
from ccassist.report.budget import LEAST_SHARE, MOST_ROWS, repeats_told
from ccassist.report.findings import on_paper
from ccassist.report.measured import survey_data
from ccassist.report.workings import AreasOfSums
from ccassist.values.display import METRIC, formatter, show
from tests.paper.made_sheets import HEADS, NAMES, example, surveyed
from tests.paper.read_back import NUMBER, Printed, squeezed

# Two layers of a gasket, and the whole assembly filled through the plug hole, which does not agree.
LAYERS = """
format = 1
[job]
name = "Shimmed single"
[engine]
cylinders = 1
bore = "83.40 +/- 0.01 mm, measured"
stroke = "91.70 +/- 0.02 mm, measured"
crown_volume = "dish 8.75 +/- 0.05 cc, measured"
deck_clearance = "0.20 +/- 0.005 mm below deck, measured"
land_diameter = "82.70 +/- 0.01 mm, measured"
land_height = "7.0 +/- 0.05 mm, measured"
[counted]
crevice = "counted"
[part.gasket]
kind = "gasket"
gasket_bore = "84.9 +/- 0.1 mm, measured"
gasket_thickness = "0.80 +/- 0.03 mm, measured"
[part."copper shim"]
kind = "gasket"
gasket_bore = "90.0 +/- 0.2 mm, measured"
gasket_thickness = "0.50 +/- 0.02 mm, maker's figure"
[[series]]
step = "chamber"
cylinder = 1
plug = "fitted"
hole = "not filled"
instrument = "burette 50 ml class B"
fluid = "water"
readings = [
    { start = "0.0 ml", end = "46.3 ml" }, { start = "0.0 ml", end = "46.2 ml" }, { start = "0.0 ml", end = "46.3 ml" },
    { start = "0.0 ml", end = "46.4 ml" }, { start = "0.0 ml", end = "46.3 ml" },
]
[[series]]
step = "assembly"
cylinder = 1
instrument = "burette 100 ml class B"
fluid = "white spirit"
level = "bottom thread"
plug_nose = "none"
readings = [
    { start = "0.0 ml", end = "63.8 ml" }, { start = "0.0 ml", end = "63.9 ml", set_aside = "seal wept" },
    { start = "0.0 ml", end = "63.7 ml" }, { start = "0.0 ml", end = "63.8 ml" },
    { start = "0.0 ml", end = "63.8 ml" }, { start = "0.0 ml", end = "63.7 ml" },
]
"""
JOBS = {"heads": HEADS, "layers": LAYERS}
# Why a number of the JSON is not printed.
NOT_PRINTED = {
    r"format": "of the JSON itself",
    r".*/(standard_uncertainty|coverage_factor|degrees_of_freedom)": "behind a ±; the headline's stand in the budget",
    r".*/(confidence|without_ground|guesses)": "behind a ±; the page says in a sentence of what 95 % cannot be said",
    r".*/line": "where a value stands in the job file",
    r"calibrations/\d+/(middle|height|height_expanded_uncertainty)": "the line is printed from nought, as it is used",
    r"cylinders/\d+/one_more_reading/[1-9]\d*/.*": "helps less than the one that is printed",
    r"whole_against_parts/\d+/likeliest/\d+/would_make": "is about the difference itself, which is printed",
}
Leaf = tuple[str, Any, Any]


@cache
def surveys(name: str) -> Survey:
    """A survey by the name of its job."""
    return example(name).survey if name in NAMES else surveyed(JOBS[name])


@cache
def printed(name: str, system: str) -> Printed:
    """Its worksheet."""
    if name in NAMES:
        return Printed(example(name, system=system).data)
    return Printed(worksheet_bytes(surveys(name), system=system, everything=True)[0])


@cache
def told(name: str, system: str) -> dict[str, Any]:
    """Its JSON."""
    return survey_data(surveys(name), formatter(system))


def leaves(data: Any, path: str = "", above: Any = None) -> Iterator[Leaf]:
    """Every number of it: where it stands, itself, and what it stands in."""
    if isinstance(data, dict):
        for key, value in data.items():
            yield from leaves(value, f"{path}/{key}" if path else key, data)
    elif isinstance(data, list):
        for n, value in enumerate(data):
            yield from leaves(value, f"{path}/{n}", data)
    elif isinstance(data, int | float) and not isinstance(data, bool):
        yield path, data, above


def of_text(number: Any, above: Any) -> str:
    """A value and its ± as its text says them, without unit and sign words."""
    found = NUMBER.search(above["text"].replace("-", "−"))
    return found[0] if found else "0"


def cc(decimals: int | None = None) -> Callable[[Any, Any], str]:
    """A volume as the pages of a calibration print it."""
    return lambda number, above: METRIC.amount("correction", number, decimals=decimals)


def percent(number: Any, above: Any) -> str:
    """A share of a slope."""
    return f"{100 * number:.{2 if number < 0.01 else 1}f}"


def difference(number: Any, above: Any) -> str:
    """Whole less parts with its ±, without its sign."""
    return show("clearance_volume", abs(above["difference"]), above["expanded_uncertainty"]).removesuffix(" cc")


# How a number of the JSON is printed, by where it stands.
PRINTED: dict[str, Callable[[Any, Any], str]] = {
    r"cylinders/\d+/cylinder|whole_against_parts/\d+/cylinder": lambda n, _: str(n),
    r"cylinders/\d+/(values|gasket_layers/\d+/values)/\w+/(value|expanded_uncertainty)": of_text,
    r"engine/\w+/(value|expanded_uncertainty)": of_text,
    r"whole_against_parts/\d+/(whole|sum_of_parts)/(value|expanded_uncertainty)": of_text,
    r"whole_against_parts/\d+/(difference|expanded_uncertainty)": difference,
    r"whole_against_parts/\d+/e_n": lambda n, _: f"{n:.2f}".replace("-", "−"),
    r"calibrations/\d+/steps/\d+/(says|true|error|off_the_line)": cc(2),
    r"calibrations/\d+/slope": lambda n, _: f"{n:.5f}",
    r"calibrations/\d+/slope_expanded_uncertainty": percent,
    r"calibrations/\d+/(scatter|range/\d)": lambda n, _: METRIC.amount("fill_volume", n),
}
# Numbers that are looked for in a test of their own.
ELSEWHERE = (
    r"cylinders/\d+/budget/.*",
    r"cylinders/\d+/one_more_reading/0/.*",
    r"spread/.*",
    r"findings/.*",
    r"ground/.*",
)


def rule(path: str) -> Callable[[Any, Any], str] | None:
    """How a number is printed; None where it is not, or is looked for elsewhere; fails where nothing is said of it."""
    if any(re.fullmatch(pattern, path) for pattern in (*NOT_PRINTED, *ELSEWHERE)):
        return None
    found = next((how for pattern, how in PRINTED.items() if re.fullmatch(pattern, path)), None)
    assert found is not None, f"nothing is said of {path}"
    return found


CASES = [("three-pistons", "metric"), ("turbo-four", "metric"), ("v8-heads", "metric"), ("v8-heads", "imperial")]
CASES += [("heads", "metric"), ("heads", "imperial"), ("layers", "metric")]
each = pytest.mark.parametrize(("name", "system"), CASES, ids="-".join)


@each
def test_every_number_stands_on_the_page(name: str, system: str) -> None:
    paper, data = printed(name, system), survey_data(surveys(name), AreasOfSums(system))
    missing = []
    for path, number, above in leaves(data):
        how = rule(path)
        if how is None:
            continue
        fixed = re.match(r"cylinders/(\d+)/values/(\w+)/", path)
        if fixed and fixed[2] in surveys(name).cylinders[int(fixed[1])].model.fixed:
            continue  # is nothing, and is said to be taken as nothing: see below
        said = how(number, above)
        if said not in paper.numbers and f"−{said}" not in paper.numbers:
            missing.append((path, said))
    assert missing == []


@each
def test_what_is_taken_as_nothing_is_named(name: str, system: str) -> None:
    said = printed(name, system).body
    for cylinder in surveys(name).cylinders:
        for key, why in cylinder.model.fixed.items():
            if key in cylinder.values:
                assert cylinder.values[key].nominal == 0
                assert squeezed(f"({why})") in said


@each
def test_verdicts_and_what_is_not_given(name: str, system: str) -> None:
    """The same words as in the JSON; which cylinder they are of is tested with the contents."""
    said = printed(name, system).body
    for one in told(name, system)["cylinders"]:
        for verdict in one["wanted"].values():
            assert squeezed(verdict.removesuffix(" at this ±")) in said
    if any("static_ratio" in c.model.lacking for c in surveys(name).cylinders) and name != "heads":
        assert "notworkedout" in said


@each
def test_spreads_with_their_own_doubt(name: str, system: str) -> None:
    """Largest less smallest with the ± of the studentized range, as on the screen, or that they are alike."""
    paper = printed(name, system)
    for key, one in told(name, system)["spread"].items():
        if one["smallest_in"] == one["largest_in"]:
            assert "Alikeinallcylinders:" in paper.body
            continue
        shown = show(key, one["value"], one["expanded_uncertainty"], system=system, words=False)
        assert squeezed(shown) in paper.body
        for end in ("smallest_in", "largest_in"):
            assert f"(cyl.{one[end]})" in paper.body


@each
def test_budget_and_one_more_reading(name: str, system: str) -> None:
    """Of one cylinder in full but for the smallest causes, of the others the largest; the most helpful reading."""
    said = printed(name, system).body
    data = told(name, system)["cylinders"]
    full = re.search(r"ofcylinder(\d+):", said[said.index("Uncertaintybudget") :])
    assert full
    for one in data:
        rows = one["budget"]
        if not rows:
            continue
        assert squeezed(on_paper(rows[0]["cause"]))[:60] in said
        if one["cylinder"] == int(full[1]):
            shown = [row for row in rows if row["share"] >= LEAST_SHARE][:MOST_ROWS]
            for row in shown:
                assert squeezed(on_paper(row["cause"]))[:60] in said
            if len(shown) < len(rows):
                assert f"{len(rows) - len(shown)}smallercausestogether" in said
    helps = list(repeats_told(surveys(name), formatter(system)))
    assert bool(helps) == any(one["one_more_reading"] for one in data)
    assert all(squeezed(on_paper(text)) in said for text in helps)


@each
def test_findings_stand_whole(name: str, system: str) -> None:
    """Worded in the job's own units; in others the numbers in them are turned."""
    if system == surveys(name).job.system:
        said = printed(name, system).body
        for one in told(name, system)["findings"]:
            for key in ("wrong", "right", "read"):
                assert squeezed(on_paper(one[key])) in said


@each
def test_every_reading_stands_as_written(name: str, system: str) -> None:
    """Those set aside too, with the reason; and remarks."""
    said = printed(name, system).body
    count = 0
    for one in surveys(name).reduced:
        for reading in one.cell.readings:
            for found in reading.fields.values():
                assert squeezed("; ".join(q.raw for q in found)) in said
                count += len(found)
            for text in (reading.set_aside, reading.remark):
                assert squeezed(text) in said
    assert count


@each
def test_calibrations_say_instrument_and_dates(name: str, system: str) -> None:
    said = printed(name, system).body
    for one in told(name, system).get("calibrations", []):
        assert squeezed(f"{one['instrument']}, calibrated on {one['date']}, good until {one['due']}") in said
        assert f"{one['degrees_of_freedom']}degreesoffreedom" in said


def test_the_list_of_what_is_left_out_is_short_and_of_use() -> None:
    """Each line of it names something that the JSON of these jobs holds."""
    paths = [path for name, system in CASES for path, _, _ in leaves(told(name, system))]
    assert len(NOT_PRINTED) <= 8
    for pattern in (*NOT_PRINTED, *ELSEWHERE, *PRINTED):
        assert any(re.fullmatch(pattern, path) for path in paths), pattern
