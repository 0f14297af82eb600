"""Builds side by side: what a build gives by plain arithmetic, what is open, what cannot be, and one evaluator."""

from __future__ import annotations

from math import pi

import pytest

from ccassist.analysis.results import sound_survey
from ccassist.job.file import parse_job
from ccassist.plan.alternatives import AS_IT_IS, Evaluated, builds_of, differences, evaluated, with_pistons
from ccassist.plan.combine.candidates import aims_of, candidates
from ccassist.plan.combine.search import combine
from ccassist.plan.piston.specification import specify
from ccassist.report.alternatives import alternatives_of, alternatives_report
from ccassist.report.blocks import Table
from ccassist.report.combine import combinations_of, combine_report
from ccassist.values.findings import InputError
from tests.sound_job import Shop

BORE, STROKE, ROD, BLOCK, HEIGHT, GASKET, OPENING = 84.37, 90.13, 145.9, 221.52, 30.35, 1.08, 85.9  # mm
CHAMBER, CROWN = 46.3, 5.2  # cc
JOB = f"""format = 1
[job]
name = "Hollowmere"
units = "metric"
[engine]
cylinders = 4
bore = "{BORE} +/- 0.01 mm, measured"
stroke = "{STROKE} +/- 0.02 mm, measured"
rod_length = "{ROD} +/- 0.02 mm, measured"
block_deck_height = "{BLOCK} +/- 0.02 mm, measured"
compression_height = "{HEIGHT} +/- 0.02 mm, measured"
crown_volume = "dish {CROWN} +/- 0.2 cc, measured"
chamber_volume = "{CHAMBER} +/- 0.2 cc, measured"
gasket_bore = "{OPENING} +/- 0.05 mm, measured"
gasket_thickness = "{GASKET} +/- 0.02 mm, measured"
piston_weight = "403 g, measured"
rod_weight = "537 g, measured"
crank_weight = "13.7 kg, measured"
engine_speed = "6100 rpm"
[counted]
crevice = "not counted"
chamfer = "not counted"
[wanted]
static_ratio = "9.5 to 9.9"
squish = "0.9 to 1.1 mm"
[order]
pin_diameter = "21 mm, maker's figure"
ring_pack_depth = "16.3 mm, maker's figure"
"""


def made(*builds: str, job: str = JOB) -> dict[str, Evaluated]:
    """The builds of the job, and the engine as it is."""
    survey = sound_survey(parse_job(job + "".join(builds), "x.toml").job)
    return {build.name: evaluated(survey, build) for build in builds_of(survey)}


def ratio(*, bore: float = BORE, stroke: float = STROKE, deck: float, crown: float, opening: float = OPENING) -> float:
    """By the sum that every handbook prints: swept over what is left at the top, plus one."""
    swept = pi / 4 * bore**2 * stroke / 1e3
    left = CHAMBER + crown + pi / 4 * (bore**2 * deck + opening**2 * GASKET) / 1e3
    return 1 + swept / left


def test_a_build_is_what_it_states_and_the_engine_for_the_rest() -> None:
    found = made('[alternative.long]\nstroke = "92.41 mm, measured"\nrod_length = "144.6 mm, measured"\n')
    deck = BLOCK - STROKE / 2 - ROD - HEIGHT
    assert found[AS_IT_IS].values["static_ratio"].nominal == pytest.approx(ratio(deck=deck, crown=CROWN), rel=1e-6)
    deck = BLOCK - 92.41 / 2 - 144.6 - HEIGHT
    there = found["long"].values
    assert there["deck_clearance"].nominal * 1e3 == pytest.approx(deck, abs=1e-6)
    assert there["static_ratio"].nominal == pytest.approx(ratio(stroke=92.41, deck=deck, crown=CROWN), rel=1e-6)
    assert "crank_weight" not in there  # the old crank's weight is not the new one's
    assert found["long"].fits
    assert not found["long"].worked_out


def test_what_is_open_meets_what_is_wanted() -> None:
    """Height from the gap, crown from the ratio, rounded to what can be cut: put into the handbook's sum again."""
    build = (
        '[alternative.short]\nbore = "86.2 mm, measured"\ngasket_bore = "87.8 mm, measured"\n'
        'stroke = "79.3 mm, measured"\nopen = ["compression_height", "crown_volume"]\n'
    )
    there = made(build)["short"]
    height, crown = there.values["compression_height"].nominal * 1e3, there.values["crown_volume"].nominal * 1e6
    deck = BLOCK - 79.3 / 2 - ROD - height
    assert deck + GASKET == pytest.approx(1.0, abs=0.006)
    got = ratio(bore=86.2, stroke=79.3, deck=deck, crown=crown, opening=87.8)
    assert got == pytest.approx(9.7, abs=0.006)
    assert there.worked_out == ("compression_height", "crown_volume")


def test_it_is_the_piston_that_the_order_asks_for() -> None:
    """One evaluator: an open build of the engine itself is its order, number by number."""
    survey = sound_survey(parse_job(JOB.replace(f'crown_volume = "dish {CROWN} +/- 0.2 cc, measured"\n', ""), "x").job)
    text = JOB + '[alternative.new]\nopen = ["compression_height", "crown_volume"]\n'
    build = sound_survey(parse_job(text, "x.toml").job)
    there = evaluated(build, next(one for one in builds_of(build) if one.name == "new"))
    for key, one in specify(survey).ordered().items():
        assert there.values[key].nominal == pytest.approx(one.value, abs=1e-12)


def test_it_is_the_row_that_combine_ranks() -> None:
    states = 'stroke = "92.41 mm, measured"\n'
    survey = sound_survey(parse_job(JOB + f"[choice.crank.long]\n{states}[alternative.long]\n{states}", "x").job)
    row = combine(candidates(survey)).best[0].values
    there = evaluated(survey, builds_of(survey)[1]).values
    for key in ("static_ratio", "squish", "deck_clearance", "rod_ratio", "displacement"):
        assert there[key].nominal == pytest.approx(row[key].nominal, rel=1e-12)


BY_DECK = JOB.replace(f'compression_height = "{HEIGHT} +/- 0.02 mm, measured"\n', "").replace(
    f'block_deck_height = "{BLOCK} +/- 0.02 mm, measured"\n', 'deck_clearance = "0.30 mm below deck, measured"\n'
)


def test_a_measured_deck_moves_with_the_parts() -> None:
    """Without a compression height only the change of the stack counts."""
    there = made('[alternative.long]\nstroke = "90.53 mm, measured"\n', job=BY_DECK)["long"]
    assert there.values["deck_clearance"].nominal == pytest.approx(0.1e-3, abs=1e-9)
    assert "compression_height" not in there.values


def test_a_crown_alone_is_found_where_the_height_is_not_known() -> None:
    there = made('[alternative.dish]\nstroke = "90.53 mm, measured"\nopen = "crown_volume"\n', job=BY_DECK)["dish"]
    crown = there.values["crown_volume"].nominal * 1e6
    assert ratio(stroke=90.53, deck=0.1, crown=crown) == pytest.approx(9.7, abs=0.01)


CANNOT = [
    ('compression_height = "24.0 mm, measured"\n', "pin bore cuts into"),
    ('rod_length = "44.0 mm, measured"\n', "cannot turn"),
    ('gasket_bore = "83.9 mm, measured"\n', "smaller than the cylinder"),
    ('compression_height = "33.1 mm, measured"\n', "proud"),
]


@pytest.mark.parametrize(("states", "words"), CANNOT)
def test_what_cannot_be_is_said(states: str, words: str) -> None:
    there = made(f"[alternative.odd]\n{states}")["odd"]
    assert not there.fits
    assert any(words in text for text in (*there.faults, *there.refused)), there.faults


def test_differences_that_matter_are_said_and_others_are_not() -> None:
    found = made('[alternative.long]\nstroke = "92.41 mm, measured"\n', '[alternative.like]\nrod_weight = "538 g"\n')
    survey = sound_survey(parse_job(JOB, "x.toml").job)
    assert any("mean piston speed" in text for text in differences(found["long"], found[AS_IT_IS], survey.fmt))
    assert differences(found["like"], found[AS_IT_IS], survey.fmt) == []
    assert found["like"].guessed == ("rod_weight",)


def test_the_first_block_fits_a_window_and_says_who_cannot_be() -> None:
    builds = [f'[alternative."build number {n}"]\nstroke = "{90 + n / 2:.2f} mm, measured"\n' for n in range(5)]
    builds.append('[alternative."short piston"]\ncompression_height = "24.0 mm, measured"\n')
    survey = sound_survey(parse_job(JOB + "".join(builds), "x.toml").job)
    told = alternatives_of([evaluated(survey, one) for one in builds_of(survey)], survey.fmt)
    report = alternatives_report(told, survey, survey.fmt)
    assert any("short piston: the pin bore cuts" in getattr(block, "words", "") for block in report.answer)


def test_on_the_command_line(shop: Shop) -> None:
    path = str(shop.write(JOB + '[alternative.long]\nstroke = "92.41 mm, measured"\n'))
    assert shop.run("alternatives", path) == 0
    assert "2 builds: nothing was found that cannot be, as far as it was looked at." in shop.out
    assert shop.run("alternatives", path, "--build", "lnog") == 2
    assert "no such build" in shop.err
    assert shop.run("alternatives", str(shop.write(JOB))) == 2
    assert "no builds to set side by side" in shop.err


MIX = """
[choice.crank.long]
set = "long donor"
[choice.crank.short]
stroke = "81.3 mm, measured"
set = "short donor"
[choice.rods.long]
set = "long donor"
[choice.rods.short]
rod_length = "150.2 mm, measured"
set = "short donor"
[choice.gasket.thin]
gasket_thickness = "0.83 mm, measured"
[choice.gasket.thick]
gasket_thickness = "1.08 mm, measured"
"""
NO_PISTON = JOB.replace(f'compression_height = "{HEIGHT} +/- 0.02 mm, measured"\n', "").replace(
    f'crown_volume = "dish {CROWN} +/- 0.2 cc, measured"\n', ""
)


def test_parts_of_a_set_stay_together() -> None:
    found = combine(candidates(sound_survey(parse_job(JOB + MIX, "x.toml").job)))
    assert {(row.parts[0].name, row.parts[1].name) for row in found.best} == {("long", "long"), ("short", "short")}
    assert found.refused["apart"] == 4
    survey = sound_survey(parse_job(JOB + MIX, "x.toml").job)
    report = combine_report(combinations_of(found, survey.fmt), (), survey, survey.fmt)
    table = next(block for block in report.answer if isinstance(block, Table))
    assert {row[table.head.index("of")] for row in table.rows} == {"long donor", "short donor"}


def test_a_row_says_what_an_open_piston_must_be() -> None:
    """No crown and no height: each row's own, put into the handbook's sum again."""
    survey = sound_survey(parse_job(NO_PISTON + MIX, "x.toml").job)
    found, _ = with_pistons(survey, combine(candidates(survey), aims_of(survey.wanted)))
    assert len(found.best) == 4
    for row in found.best:
        stroke, rod, gasket = (row.values[key].nominal * 1e3 for key in ("stroke", "rod_length", "gasket_thickness"))
        deck = BLOCK - stroke / 2 - rod - row.values["compression_height"].nominal * 1e3
        assert deck + gasket == pytest.approx(1.0, abs=0.006)
        crown = row.values["crown_volume"].nominal * 1e6 + pi / 4 * OPENING**2 * (gasket - GASKET) / 1e3
        assert ratio(stroke=stroke, deck=deck, crown=crown) == pytest.approx(9.7, abs=0.006)


def test_what_stands_at_the_edge_of_a_band_comes_later() -> None:
    """Gaps of 0.65 to 1.15 mm within 0.60 to 1.20 mm: the middle first, though listed last."""
    gaskets = {"edge": 0.4, "other edge": 0.9, "middle": 0.65}
    mix = "".join(f'[choice.gasket."{n}"]\ngasket_thickness = "{0.25 + t:.2f} mm"\n' for n, t in gaskets.items())
    job = JOB.replace(f'compression_height = "{HEIGHT} ', 'compression_height = "30.555 ')
    survey = sound_survey(parse_job(job + mix, "x.toml").job)
    found = combine(candidates(survey), aims_of({}, within=["gasket_thickness=0.60 to 1.20 mm"]))
    assert found.best[0].parts[0].name == "middle"


def test_a_row_kept_is_a_build(shop: Shop) -> None:
    path = shop.write(NO_PISTON + MIX)
    assert shop.run("combine", str(path), "--keep", "1,2") == 0
    assert shop.out.count("Kept as [alternative.") == 2
    job = parse_job(path.read_text(encoding="utf-8"), "x.toml").job
    assert all(one.open == ("crown_volume", "compression_height") for one in job.alternatives.values())
    assert shop.run("alternatives", str(path)) == 0
    assert shop.run("combine", str(path), "--keep", "1") == 2
    assert "stands in the file already" in shop.err
    assert shop.run("combine", str(path), "--keep", "9") == 2
    assert "no such row" in shop.err


def test_open_and_stated_at_once_is_refused() -> None:
    found = parse_job(
        JOB + '[alternative.x]\ncrown_volume = "flat, measured"\nopen = "crown_volume"\n', "x.toml"
    ).findings
    assert any("stated and left open" in one.wrong for one in found)
    with pytest.raises(InputError):
        builds_of(sound_survey(parse_job(JOB, "x.toml").job))
