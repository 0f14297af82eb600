"""A value that is odd beside the rest of its engine is questioned, where it is stated and by the check alike."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from ccassist.analysis.results import new_questions, survey
from ccassist.job.amend import state
from ccassist.job.file import parse_job
from ccassist.values.quantity import parse
from ccassist.vocabulary import TERMS, term
from ccassist.vocabulary.units import SYSTEMS
from tests.guide.sitting import Sitting

ENGINE = 'format = 1\n[engine]\ncylinders = 2\nbore = "81.3 mm, measured"\nstroke = "74.9 mm, measured"\n'
# A slip of each kind: the sign or the unit of another part, a point, a digit.
ODD = {
    "chamber_volume": ("42 cc", "1.2 cc", "240 cc"),
    "crown_volume": ("dish 11 cc", "dish 210 cc", "dome 110 cc"),
    "compression_height": ("31.2 mm", "13.2 mm", "231.2 mm"),
    "pin_offset": ("0.6 mm toward the thrust side", "15 mm toward the thrust side", "15 mm away"),
    "gasket_bore": ("82.6 mm", "62.8 mm", "92.6 mm"),
    "gasket_area": ("53.6 cm2", "5.36 cm2", "83.6 cm2"),
    "gasket_volume": ("6.4 cc", "0.064 cc", "64 cc"),
    "land_diameter": ("80.6 mm", "60.8 mm", "82.6 mm"),
    "land_height": ("6.5 mm", "1.1 mm", "56 mm"),
    "chamber_area": ("51 cm2", "5.1 cm2", "151 cm2"),
    "crevice_volume": ("0.5 cc", "0.02 cc", "50 cc"),
}
CODES = {"unusual-beside", "ring-over-bore", "opening-wide"}


@pytest.mark.parametrize("key", ODD)
def test_what_is_odd_beside_the_rest_is_asked_and_what_is_usual_is_not(key: str) -> None:
    before = parse_job(ENGINE, "job.toml").job
    usual, *odd = ODD[key]
    for text in (usual, *odd):
        after = parse_job(state(ENGINE, ["engine"], key, f"{text}, maker's figure"), "job.toml").job
        asked = [f for f in new_questions(before, after) if f.code in CODES]
        looks = [f for f in survey(after).findings if f.code in CODES]
        assert asked == looks
        assert len(asked) == (text != usual), text
        assert all(f.line and f.right for f in asked)


def test_every_row_is_beside_a_term_and_holds_the_invented_engines() -> None:
    for system in range(len(SYSTEMS)):
        rows = [one for one in TERMS.values() if one.eg and "part" in one.places]
        of = {one.key: parse(one.examples[system], one.key).value for one in rows}
        of["bore_area"] = math.pi / 4 * of["bore"] ** 2
        of["swept_volume"] = of["bore_area"] * of["stroke"]
        for key in (k for k, one in TERMS.items() if one.beside and k in of):
            share = term(key).usual_share
            assert share is not None
            low, high = (end * of[share[0]] for end in share[1])
            assert low <= of[key] <= high, key


def test_it_is_asked_at_the_prompt(tmp_path: Path) -> None:
    sitting = Sitting(tmp_path / "job.toml", ENGINE.replace("[engine]", '[job]\nfor = "ratio"\n[engine]'))
    sitting.open("chamber", 1)
    while sitting.shown.question.options or not sitting.shown.question.blanks:
        sitting.type("1" if sitting.shown.question.options else "")
    sitting.type("1.2, maker's figure")
    assert "beside a swept volume of 388.8" in sitting.said
    assert "chamber_volume" not in sitting.text
    sitting.type("yes")
    assert "chamber_volume" in sitting.text
    sitting.file.close()
