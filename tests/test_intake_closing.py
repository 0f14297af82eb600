"""Intake closing from what a job states of its cam, in every cylinder, with the lift at which it was read."""

from __future__ import annotations

import json
import re
from math import degrees, radians
from pathlib import Path

import pytest
from pypdf import PdfReader

from ccassist.analysis.results import Survey, survey
from ccassist.analysis.which_counts import closing_of
from ccassist.cli.engine import show, solve
from ccassist.cli.screen import Showing
from ccassist.job.file import parse_job
from ccassist.paper.documents import write_worksheet
from ccassist.plan.valves.cam_card import cam_card
from tests.trade_c1 import C1_TEXT, CROWN

LIFT = 'event_lift = "1.00 mm"\nlift_read_at = "the valve"\n'
READ = f'[cam]\nintake_closing = "55 +/- 1 deg after BDC, measured"\n{LIFT}'
# Duration 250 with the lobe's centre at 110 after top: 110 + 125 − 180 = 55 (common practice).
CARD = f'[cam]\nintake_duration = "250 deg, maker\'s figure"\nintake_centreline = "110 deg, measured"\n{LIFT}'


def text(cam: str, wanted: str = "") -> str:
    stated = "\n".join(f'{key} = "{value}, assumed"' for key, value in {**C1_TEXT, "crown_volume": CROWN}.items())
    return f'format = 1\n[job]\nname = "C1"\nunits = "metric"\n[engine]\ncylinders = 2\n{stated}\n{cam}\n{wanted}\n'


def engine(cam: str, wanted: str = "") -> Survey:
    return survey(parse_job(text(cam, wanted), "c1.toml").job)


@pytest.mark.parametrize("cam", [READ, CARD])
def test_every_cylinder_has_its_trapped_ratio(cam: str) -> None:
    """C9 at 55 degrees (constructed, recomputed), the closing read or worked out from the card."""
    found = engine(cam)
    for cylinder in found.cylinders:
        assert cylinder.values["trapped_ratio"].nominal == pytest.approx(7.612, abs=5.1e-4)
        assert "at 1.00 mm lift of the valve" in cylinder.values["trapped_ratio"].how
        assert float(cylinder.known["intake_closing"].nominal_value) == pytest.approx(radians(55))  # type: ignore[attr-defined]
    card = cam_card(found).intake_closing
    assert card is not None
    assert card.nominal == pytest.approx(found.cylinders[0].values["intake_closing"].nominal, rel=1e-12)


def test_one_closing_is_one_cause_for_all_cylinders() -> None:
    one, other = (c.values["trapped_ratio"].number for c in engine(READ).cylinders)
    assert (one - other).std_dev < 1e-9


def test_without_a_cam_nothing_changes() -> None:
    cylinder = engine("").cylinders[0]
    assert not {"trapped_ratio", "intake_closing", "closing_drop"} & set(cylinder.values)
    assert "trapped_ratio" not in cylinder.model.lacking
    only_exhaust = engine('[cam]\nexhaust_closing = "10 deg after TDC, measured"\n').cylinders[0]
    assert "trapped_ratio" not in only_exhaust.values


@pytest.mark.parametrize(
    ("lift", "words"),
    [
        ("", "at a lift that is not said"),
        ('event_lift = "0 mm"\n', "seat to seat"),
        ('event_lift = "0.050 in"\n', "at 1.27 mm lift, at the valve or the tappet is not said"),
    ],
)
def test_the_lift_goes_with_the_figure(lift: str, words: str) -> None:
    found = engine(READ.replace(LIFT, lift))
    assert words in found.cylinders[0].values["trapped_ratio"].how
    assert cam_card(found).lift_basis == words


def test_it_can_be_wanted_and_is_judged_and_shown(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "c1.toml"
    file.write_text(text(READ, '[wanted]\ntrapped_ratio = "7.5 to 7.7"\n'), encoding="utf-8")
    assert show(file, Showing()) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert re.search(r"Trapped ratio 7\.6\d+ .*lift of the valve", said)
    assert "Wanted trapped ratio 7.50 to 7.70: " in said


def test_solve_says_the_lift(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "c1.toml"
    file.write_text(text(READ), encoding="utf-8")

    def asked(unknowns: list[str], targets: list[str], as_json: bool) -> str:
        assert solve(file, Showing(as_json=as_json), unknowns=unknowns, targets=targets) == 0
        return capsys.readouterr().out

    basis = "intake closing and trapped ratio hold at 1.00 mm lift of the valve"
    assert basis in " ".join(asked(["crown_volume"], ["trapped_ratio=7.8"], False).split())
    pair = asked(["compression_height", "crown_volume"], ["squish=1 mm", "trapped_ratio=7.8"], False)
    assert basis in " ".join(pair.split())
    told = json.loads(asked(["intake_closing"], ["trapped_ratio=7.5"], True))
    assert basis in json.dumps(told)
    assert basis not in asked(["crown_volume"], ["static_ratio=9"], True)


def test_the_worksheet_says_the_lift(tmp_path: Path) -> None:
    out = tmp_path / "c1.pdf"
    write_worksheet(engine(READ), out, everything=True)
    text = " ".join(" ".join(page.extract_text() for page in PdfReader(out).pages).split())
    assert "Trapped ratio is geometry alone, for intake closing" in text
    assert "at 1.00 mm lift of the valve" in text
    assert "7.612" in text


def test_a_closing_of_unsaid_origin_gives_way_to_what_was_measured() -> None:
    """Closing = duration ÷ 2 + centreline − 180: 134 + 110 − 180 = 64, not the 52 of which nobody says whence it is."""
    cam = (
        '[cam]\nevent_lift = "1 mm, measured"\nintake_closing = "52 deg after BDC"\n'
        'intake_duration = "268 +/- 1 deg, measured"\nintake_centreline = "110 +/- 1 deg, measured"\n'
    )
    job = parse_job(f"format = 1\n[engine]\ncylinders = 1\n{cam}").job
    closing = survey(job).stated["cam"]
    found = closing_of(job, closing)
    assert found is not None
    assert degrees(found.nominal) == pytest.approx(64)
    agreed = closing_of(job, {key: one for key, one in closing.items() if key != "intake_centreline"})
    assert agreed is not None
    assert degrees(agreed.nominal) == pytest.approx(52)
