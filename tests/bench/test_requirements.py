"""What readings do not say, or cannot be: each thing is found where it lacks, and not where it does not.

What a step asks for is common practice, no source; how far a tool reaches is its row in the catalogue.
"""

from __future__ import annotations

import pytest

from ccassist.analysis.results import survey
from ccassist.bench.instruments import INSTRUMENTS
from ccassist.bench.requirements import off_scale
from ccassist.job.file import parse_job
from ccassist.values.findings import Finding
from ccassist.values.quantity import parse

HEAD = """format = 1
[engine]
cylinders = 1
bore = "84.0 mm, measured"
"""
BURETTE, SCALE = "burette 50 ml class B", "scale 0.1 g"
FILL = '{ start = "0 ml", end = "40.5 ml" }'
WEIGHED = '{ before = "400.0 g", after = "360.0 g" }'
PLAIN = {"instrument": BURETTE, "fluid": "water", "hole": "not filled", "plug": "fitted"}
BY_WEIGHT = {**PLAIN, "instrument": SCALE, "temperature": "20 degC"}
HOLE = {"hole_diameter": "6 mm", "plate_thickness": "6 mm"}


def series(step: str, said: dict[str, str], *rows: str) -> str:
    words = "".join(f'{name} = "{text}"\n' for name, text in said.items() if text)
    return f'[[series]]\nstep = "{step}"\ncylinder = 1\n{words}readings = [{", ".join(rows or (FILL,))}]\n'


def findings(text: str) -> list[Finding]:
    loaded = parse_job(HEAD + text)
    return [*loaded.findings, *survey(loaded.job).findings]


def codes(text: str) -> set[str]:
    return {f.code for f in findings(text)}


@pytest.mark.parametrize(
    ("code", "lacks", "given"),
    [
        ("no-well", {"level": "plug seat"}, {"level": "plug seat", "plug_well": "1.7 cc"}),
        ("well-unused", {"level": "bottom thread", "plug_well": "1.7 cc"}, {"level": "bottom thread"}),
    ],
)
def test_of_an_assembly_filled_through_the_plug(code: str, lacks: dict[str, str], given: dict[str, str]) -> None:
    about = {"instrument": BURETTE, "fluid": "oil"}
    assert code in codes(series("assembly", {**about, **lacks}))
    assert code not in codes(series("assembly", {**about, **given}))


@pytest.mark.parametrize(
    ("code", "lacks", "given"),
    [
        ("no-hole", {"hole": "filled"}, {"hole": "filled", **HOLE}),
        ("no-hole", {"hole": "filled", "hole_diameter": "6 mm"}, {"hole": "not filled", "hole_diameter": "6 mm"}),
        ("no-opening", {"film": "0.02 mm"}, {"film": "0.02 mm", "opening": "50 cm2"}),
        ("no-plug", {"plug": "not fitted"}, {"plug": "not fitted", "plug_hole": "1.7 cc"}),
        ("hole-not-said", {"hole": ""}, {"hole": "not filled"}),
        ("plug-not-said", {"plug": ""}, {"plug": "fitted"}),
        ("no-instrument", {"instrument": ""}, {"instrument": BURETTE}),
    ],
)
def test_of_a_chamber(code: str, lacks: dict[str, str], given: dict[str, str]) -> None:
    assert code in codes(series("chamber", {**PLAIN, **lacks}))
    assert code not in codes(series("chamber", {**PLAIN, **given}))


@pytest.mark.parametrize("given", [{"ring_bore": "90 mm"}, {"ring_height": "10 mm"}])
def test_a_ring_needs_bore_and_height(given: dict[str, str]) -> None:
    about = {**PLAIN, "plug": "", "step": ""}
    assert "half-ring" in codes(series("crown-bench", {**about, **given}))
    assert "half-ring" not in codes(series("crown-bench", {**about, "ring_bore": "90 mm", "ring_height": "10 mm"}))
    assert "half-ring" not in codes(series("crown-bench", about))


@pytest.mark.parametrize(
    ("code", "lacks"),
    [
        ("no-fluid", {"fluid": ""}),
        ("no-temperature", {"temperature": ""}),
        ("no-density", {"fluid": "white spirit", "temperature": "41 degC"}),
        ("no-density", {"fluid": "white spirit", "temperature": "-1 degC"}),
        ("wrong-instrument", {"instrument": BURETTE}),
    ],
)
def test_of_a_weighed_fill(code: str, lacks: dict[str, str]) -> None:
    assert code in codes(series("chamber", {**BY_WEIGHT, **lacks}, WEIGHED))
    for warmth in ("0 degC", "40 degC"):
        assert code not in codes(
            series("chamber", {**BY_WEIGHT, "fluid": "white spirit", "temperature": warmth}, WEIGHED)
        )


def test_of_a_fluid_that_nobody_knows_nothing_else_is_said() -> None:
    found = codes(series("chamber", {**BY_WEIGHT, "fluid": "unheard-of"}, WEIGHED))
    assert not found & {"no-fluid", "no-temperature", "no-density"}


def test_a_burette_needs_no_fluid_and_no_temperature() -> None:
    assert not codes(series("chamber", {**PLAIN, "fluid": ""})) & {"no-fluid", "no-temperature", "no-density"}


@pytest.mark.parametrize(
    ("row", "code"),
    [
        ('{ start = "0 ml", end = "50.0 ml" }', ""),
        ('{ start = "0 ml", end = "50.1 ml" }', "over-capacity"),
        ('{ start = "48 ml", end = "52 ml" }', "over-capacity"),  # beyond the end of the scale
        ('{ start = ["0 ml", "0 ml"], end = ["50 ml", "20 ml"] }', ""),
        ('{ start = "10 ml", end = "10 ml" }', "no-delivery"),
        ('{ start = ["0 ml", "30 ml"], end = ["20 ml", "0 ml"] }', "no-delivery"),  # one up, one down
        ('{ start = ["30 ml", "30 ml"], end = ["0 ml", "0 ml"] }', ""),
        ('{ full = 1, each = "20 ml", rest = "-1 ml" }', "no-delivery"),
        ('{ full = 0, each = "20 ml" }', "no-delivery"),
        ('{ full = 0, each = "20 ml", rest = "12 ml" }', ""),
        ('{ full = 2, each = "20 ml" }', ""),
    ],
)
def test_what_a_burette_cannot_have_delivered(row: str, code: str) -> None:
    found = codes(series("chamber", PLAIN, row)) & {"over-capacity", "no-delivery"}
    assert found == ({code} if code else set())


@pytest.mark.parametrize(("after", "code"), [("360.0 g", ""), ("400.0 g", "no-delivery"), ("401.0 g", "no-delivery")])
def test_a_bottle_that_gave_something_is_lighter(after: str, code: str) -> None:
    found = codes(series("chamber", BY_WEIGHT, f'{{ before = "400.0 g", after = "{after}" }}'))
    assert ("no-delivery" in found) is bool(code)


def test_more_than_the_scale_weighs() -> None:
    assert "over-capacity" in codes(series("chamber", BY_WEIGHT, '{ before = "2400.0 g", after = "2360.0 g" }'))


@pytest.mark.parametrize(
    ("stroke", "code"),
    [
        ('{ readings = ["80.0 mm", "80.1 mm"], instrument = "vernier caliper" }', ""),
        (f'{{ readings = ["80.0 mm"], instrument = "{BURETTE}" }}', "wrong-instrument"),
        ('{ readings = ["80.0 mm"], instrument = "dial indicator" }', "over-capacity"),
        ('{ readings = ["80.0 +/- 0.1 mm"], instrument = "dial indicator" }', ""),  # its own ± is stated
    ],
)
def test_a_stated_length_is_read_with_what_reaches_so_far(stroke: str, code: str) -> None:
    found = codes(f"stroke = {stroke}\n") & {"wrong-instrument", "over-capacity"}
    assert found == ({code} if code else set())


@pytest.mark.parametrize(
    ("text", "instrument", "finer"),
    [
        ("40.5 ml", BURETTE, False),
        ("40.55 ml", BURETTE, False),  # a fifth of half a division, as an eye may guess
        ("40.505 ml", BURETTE, True),
    ],
)
def test_written_finer_than_the_tool_reads(text: str, instrument: str, finer: bool) -> None:
    row = f'{{ start = "0 ml", end = "{text}" }}'
    asked = [
        f for f in findings(series("chamber", {**PLAIN, "instrument": instrument}, row)) if f.code.startswith("finer")
    ]
    assert bool(asked) is finer
    assert all(f.asks and text in f.read for f in asked)


@pytest.mark.parametrize(("drop", "finer"), [("6.000 mm", False), ("6.0001 mm", False), ("6.00001 mm", True)])
def test_no_shop_reads_a_length_finer_than_a_tenth_of_a_micrometre(drop: str, finer: bool) -> None:
    said = {"instrument": BURETTE, "hole": "not filled", "drop": drop, "gauge": ""}
    assert ("finer-than-read" in codes(series("crown", said))) is finer


@pytest.mark.parametrize(
    ("drop", "gauge", "code"),
    [
        ("6.00 mm", "", "no-gauge"),
        ("6.00 mm", "dial indicator", ""),
        ("6.00 +/- 0.02 mm", "", ""),  # its own ± is stated
        ("6.00 mm", SCALE, "wrong-instrument"),
    ],
)
def test_what_a_drop_was_read_with(drop: str, gauge: str, code: str) -> None:
    said = {"instrument": BURETTE, "hole": "not filled", "drop": drop, "gauge": gauge}
    found = codes(series("crown", said)) & {"no-gauge", "wrong-instrument"}
    assert found == ({code} if code else set())


@pytest.mark.parametrize(("fluid", "thin"), [("water", True), ("light oil", False)])
def test_what_runs_past_the_rings(fluid: str, thin: bool) -> None:
    said = {"instrument": BURETTE, "fluid": fluid, "level": "bottom thread"}
    assert ("thin-fluid" in codes(series("assembly", said))) is thin


def test_a_series_of_which_every_reading_is_set_aside() -> None:
    aside = '{ start = "0 ml", end = "40.5 ml", set_aside = "bubble" }'
    assert "none-counted" in codes(series("chamber", PLAIN, aside))
    assert "none-counted" not in codes(series("chamber", PLAIN, aside, FILL))


def test_a_reading_on_the_scale_is_not_off_it() -> None:
    """Up to the end of a burette of 50 ml and no farther; what is no reading of its scale is not asked."""
    tool = INSTRUMENTS["burette 50 ml class B"]
    for text, key, off in (
        ("46.2 ml", "burette_reading", False),
        ("50 ml", "burette_reading", False),
        ("50.2 ml", "burette_reading", True),
        ("60 ml", "chamber_volume", False),
    ):
        assert (off_scale(tool, parse(text, key)) is not None) is off, text
