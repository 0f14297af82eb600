"""What is told of a tolerance: the band to expect, the verdict and what to ask for, within one window."""

from __future__ import annotations

import json

import pytest

from ccassist.analysis.results import survey
from ccassist.cli.layout import HEIGHT, report_lines
from ccassist.job.file import parse_job
from ccassist.plan.tolerance import wished
from ccassist.report.tolerance import tolerance_report, tolerances_of
from ccassist.values.display import formatter
from tests.order_job import changed as ordering
from tests.sound_job import SOUND, Shop

OF = ("--of", "static_ratio")
BAND = ("--band", "static_ratio=8.6 to 9.1")
CROWN = ("--holds", "crown_volume=0.2 cc")


def tolerance(shop: Shop, *words: str, text: str = SOUND, code: int = 0) -> str:
    """What the command prints, unwrapped."""
    shop.write(text)
    assert shop.run("tolerance", "job.toml", *words) == code, shop.err
    return shop.lines


@pytest.mark.parametrize("system", ["metric", "imperial"])
@pytest.mark.parametrize("width", [60, 80])
@pytest.mark.parametrize("cylinders", [1, 2, 8])
@pytest.mark.parametrize("band", [None, "8.6 to 9.1", "8.85 to 8.9"])
def test_it_fits_a_window_and_nothing_breaks(band: str | None, cylinders: int, width: int, system: str) -> None:
    head = "".join(f'[cylinder.{n}]\nchamber_volume = "{46 + n / 10:.1f} +/- 0.2 cc, measured"\n'
                   for n in range(1, cylinders + 1))  # fmt: skip
    text = SOUND.replace("cylinders = 2", f"cylinders = {cylinders}").partition("[part.head]")[0] + head
    engine, fmt = survey(parse_job(text).job), formatter(system)
    asked = wished("static_ratio", ["crown_volume=0.2 cc", "gasket_thickness=0.05 mm"], band, fmt)
    report = tolerance_report(*tolerances_of(engine, asked, cylinder=None, fmt=fmt), engine, fmt)
    lines = report_lines(report, width=width)
    assert len(lines) < HEIGHT + 6 * (width < 80)
    assert max(map(len, (*lines, *report_lines(report, width=width, everything=True)))) < width


def test_the_answer_says_the_band_the_verdict_and_what_would_meet_it(shop: Shop) -> None:
    text = tolerance(shop, *BAND, *CROWN, "--holds", "gasket_thickness=0.05 mm")
    assert "net crown volume within ± 0.20 cc" in text
    assert "95 of 100 worst case" in text
    assert "As held, the band is" in text
    assert "ask of the maker at most: net crown volume ± " in text
    assert "A planning figure, not a permission" in text


def test_with_all_the_three_ways_and_what_makes_it(shop: Shop) -> None:
    text = tolerance(shop, *OF, *CROWN, "--all")
    assert "Linear: the causes joined" in text
    assert "the set" in text
    assert "What makes the uncertainty of cylinder" in text


def test_where_nothing_can_be_asked_it_says_what_would_do_it(shop: Shop) -> None:
    text = tolerance(shop, "--band", "static_ratio=8.83 to 8.85", "--holds", "crown_volume", code=1)
    assert "nothing can be asked" in text


def test_the_screen_says_which_limit_was_stated(shop: Shop) -> None:
    words = (*BAND, "--cylinder", "1", "--holds", "crown_volume")
    tight, none = tolerance(shop, *words, "--holds", "gasket_thickness=0.01 mm", "--all"), tolerance(shop, *words)
    assert "Compressed gasket thickness held within ± 0.010 mm, as stated" in tight
    assert tight.partition("crown volume")[2].split("±")[1] != none.partition("crown volume")[2].split("±")[1]


def test_the_range_that_the_job_wants_is_looked_at_by_itself(shop: Shop) -> None:
    job = SOUND.replace("[part.gasket]", '[wanted]\nstatic_ratio = "8.6 to 9.1"\n\n[part.gasket]')
    assert "wanted of the job: 8.60 to 9.10" in tolerance(shop, *OF, *CROWN, text=job)
    data = json.loads(tolerance(shop, *OF, *CROWN, "--json", text=job))
    assert data["band_of_the_job"] is True
    assert data["band"] == {"low": 8.6, "high": 9.1}


def test_the_tolerances_of_the_order_are_held_where_none_are_said(shop: Shop) -> None:
    job = ordering('crevice = "not counted"')
    data = json.loads(tolerance(shop, *OF, "--json", text=job))
    assert set(data["held_within"]) == {"compression_height", "crown_volume"}
    assert [f["code"] for f in data["findings"]] == ["ordered-pistons"]
    said = json.loads(tolerance(shop, *OF, "--holds", "crown_volume=0.1 cc", "--json", text=job))
    assert said["held_within"] == {"crown_volume": pytest.approx(1e-7)}


def test_json_holds_the_same(shop: Shop) -> None:
    data = json.loads(tolerance(shop, *BAND, *CROWN, "--json"))
    assert data["held_within"] == {"crown_volume": pytest.approx(2e-7)}
    first = data["cylinders"][0]["expected"]
    assert set(first["within_band"]) == {"linear", "worst_case", "drawn"}
    assert first["linear"]["low"] < first["value"] < first["linear"]["high"]
    assert data["cylinders"][0]["asked"]["alone"]["crown_volume"] > 0


@pytest.mark.parametrize(
    ("words", "complaint"),
    [
        ((*OF, "--holds", "crown_volume=0.5"), "write the limit with its unit"),
        ((*OF, "--holds", "crown_volume"), "no value is said"),
        (CROWN, "say of which one term the band is"),
        (OF, "it is not said what is held, and how close"),
        (("--of", "squish", "--band", "static_ratio=9", "--holds", "crown_volume"), "say of which one term"),
        (("--of", "static_rato", *CROWN), "no such term"),
        ((*OF, *CROWN, "--cylinder", "9"), "there are cylinders 1 to 2"),
    ],
)
def test_slips_on_the_command_line(shop: Shop, words: tuple[str, ...], complaint: str) -> None:
    tolerance(shop, *words, code=2)
    assert complaint in shop.err
    assert shop.out == ""
