"""Steps that read lifts, bores at two heights and the corners of a block; the fluid at the plug hole; a wetted wall.

Invented engines; limits are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from ccassist.analysis.results import Survey
from ccassist.plan.valves.room import valve_room
from ccassist.values.number import nominal
from tests.cam_job import CAM, ENGINE, VALVE, smooth
from tests.sound_survey import surveyed

HEAD = """format = 1
[engine]
cylinders = 2
[part.head]
kind = "head"
[part.block]
kind = "block"
"""


def series(header: str, rows: Sequence[str]) -> str:
    """A block of readings."""
    return f"\n[[series]]\n{header}\nreadings = [\n" + "".join(f"    {{ {row} }},\n" for row in rows) + "]\n"


def codes(one: Survey) -> set[str]:
    return {f.code for f in one.findings}


LIFTS = [(f"{abs(at)} deg {'before' if at < 0 else 'after'}", smooth(at, 108, 9.8)) for at in range(-20, 45, 5)]


def test_lifts_read_at_the_bench_make_the_same_curve_as_a_list_in_the_file() -> None:
    valve = VALVE.format(valve="intake", diameter="36.2", angle="14", drop="1.10 mm recessed", more="")
    said = ", ".join(f'{{ angle = "{a}", lift = "{h:.3f} mm" }}' for a, h in LIFTS)
    listed = surveyed(f"{ENGINE}{CAM}{valve}lifts = [{said}]\n")
    head = 'step = "intake-lifts"\npart = "head"'
    rows = [f'angle = "{a}", lift = "{h:.3f} mm"' for a, h in LIFTS]
    text = f'{ENGINE}[part.head]\nkind = "head"\n{CAM}{valve}'
    read = surveyed(text + series(head, rows))
    assert read.reduced == ()  # points of a curve are no repeats of one another
    for one, other in zip(*(s.listed["valve.intake"]["lifts"] for s in (listed, read)), strict=True):
        assert nominal(one["lift"].number) == nominal(other["lift"].number)
    gaps = [nominal(valve_room(s)["intake"].nearest[0].gap.number) for s in (listed, read)]
    assert gaps[0] == pytest.approx(gaps[1], rel=1e-12)


def test_a_lift_read_twice_at_one_angle_counts_with_its_mean() -> None:
    rows = [*(f'angle = "{a}", lift = "{h:.2f} mm"' for a, h in LIFTS), 'angle = "0 deg", lift = "1.00 mm"']
    found = surveyed(HEAD + series('step = "intake-lifts"\npart = "head"', rows)).listed["valve.intake"]["lifts"]
    first = dict(LIFTS)["0 deg after"]
    at_zero = next(one for one in found if one["angle"].nominal == 0)
    assert at_zero["lift"].nominal * 1e3 == pytest.approx((round(first, 2) + 1.00) / 2)
    assert len(found) == len(LIFTS)


@pytest.mark.parametrize(("low", "tapered"), [("74.58", False), ("74.55", True), ("74.66", True)])
def test_a_bore_gauged_near_the_top_and_low_shows_its_taper(low: str, tapered: bool) -> None:
    rows = [f'top = "74.60 mm", low = "{low} mm"'] * 2
    one = surveyed(HEAD + series('step = "bore"\ncylinder = 1\ninstrument = "bore gauge"', rows))
    assert one.cylinders[0].values["bore"].nominal * 1e3 == pytest.approx((74.60 + float(low)) / 2)
    assert ("taper" in codes(one)) == tapered


@pytest.mark.parametrize(("rear", "tilted"), [("204.33", False), ("204.20", True)])
def test_the_corners_of_a_block_are_named_and_their_mean_counts(rear: str, tilted: bool) -> None:
    row = f'front_left = "204.30 mm", front_right = "204.31 mm", rear_left = "{rear} mm", rear_right = "204.32 mm"'
    one = surveyed(HEAD + series('step = "stack"\npart = "block"', [row]))
    mean = (204.30 + 204.31 + float(rear) + 204.32) / 4
    assert one.cylinders[1].values["block_deck_height"].nominal * 1e3 == pytest.approx(mean)
    assert ("deck-tilted" in codes(one)) == tilted
    if tilted:
        assert any("rear left corner is 0.12 mm lower than the rear right" in f.wrong for f in one.findings)


def test_bores_written_bare_are_read_as_before() -> None:
    text = HEAD + '[[series]]\nstep = "bore"\ncylinder = 1\nreadings = ["74.61 mm", "74.63 mm"]\n'
    assert surveyed(text).cylinders[0].values["bore"].nominal * 1e3 == pytest.approx(74.62)


FILL = 'start = "0 ml", end = "41.3 ml"'
ASSEMBLY = 'step = "assembly"\ncylinder = 1\ninstrument = "burette 50 ml class B"\nlevel = "bottom thread"\n'


@pytest.mark.parametrize(
    ("fluid", "thin"),
    [("", False), ("light oil", False), ("paraffin and oil 50/50", False), ("paraffin", True), ("water", True)],
)
def test_at_the_plug_hole_the_fluid_is_oil_unless_said(fluid: str, thin: bool) -> None:
    said = f'fluid = "{fluid}"\n' if fluid else ""
    one = surveyed(HEAD + series(ASSEMBLY + said, [FILL]))
    assert ("thin-fluid" in codes(one)) == thin
    assert one.reduced[0].cell.fluid == (fluid or "light oil")


def test_weighed_at_the_plug_hole_without_a_fluid_said_the_oil_s_density_counts() -> None:
    head = 'step = "assembly"\ncylinder = 1\ninstrument = "kitchen scale 0.1 g"\nlevel = "bottom thread"\n'
    one = surveyed(HEAD + series(head + 'temperature = "20 degC"', ['before = "400.0 g", after = "364.6 g"']))
    density = 35.4 / (nominal(one.reduced[0].values["assembly_volume"].number) * 1e6)
    assert 0.83 < density < 0.88  # light oils of the trade, from memory


def test_a_staged_fill_says_what_the_wall_climb_added() -> None:
    """An upright wall of 80 mm edge: 80 mm × 6.5 mm² ÷ 2 = 0.26 cc (Landau and Lifshitz, sec. 61, from memory)."""
    head = 'step = "stages"\ncylinder = 1\ninstrument = "burette 50 ml class B"\nedge = "80 mm"\nhole = "not filled"\n'
    row = 'depth = ["4 mm", "2 mm", "0 mm"], start = ["0 ml", "0 ml", "0 ml"], end = ["30 ml", "5 ml", "5 ml"]'
    told = [f for f in surveyed(HEAD + series(head, [row])).findings if f.code == "wall-climb"]
    assert [f.wrong[:49] for f in told] == ["what climbs the wall adds 0.26 cc at the deepest "[:49]]


def test_the_words_of_older_files_are_taken() -> None:
    head = (
        'step = "chamber"\ncylinder = 1\ninstrument = "burette 50 ml class B"\nplug = "fitted"\nhole = "not filled"\n'
    )
    one = surveyed(HEAD + series(head + 'meniscus = "mixed edges"', [FILL]))
    assert one.reduced[0].cell.choices["meniscus"] == "different edges"
