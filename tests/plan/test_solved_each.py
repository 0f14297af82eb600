"""Cylinders are solved one by one, each by what it has; where one cannot be, the way out is named.

Consistency of the tool with itself; the equations are checked in tests/references.
"""

from __future__ import annotations

import pytest

from ccassist.analysis.results import Survey, survey
from ccassist.job.file import parse_job
from ccassist.plan.solved import find
from ccassist.report.solve import solved
from ccassist.solve.request import wished
from ccassist.values.display import Formatter
from ccassist.values.findings import InputError
from ccassist.values.number import nominal
from tests.sound_job import SOUND, Shop, changed

CROWN = 'crown_volume = "dish 8.7 +/- 0.3 cc, measured"\n'
FILL = """
[[series]]
step = "crown"
cylinder = 1
instrument = "burette 50 ml class B"
fluid = "water"
temperature = "20 degC"
drop = ["5.00 mm", "5.01 mm"]
gauge = "dial indicator"
seal = "grease"
hole = "not filled"
readings = [
    { start = "0.00 ml", end = "38.10 ml" },
    { start = "0.00 ml", end = "38.15 ml" },
    { start = "0.00 ml", end = "38.05 ml" },
]
"""
MIXED = SOUND.replace("\n[counted]", "\n[cylinder.2]\n" + CROWN + "\n[counted]").replace(CROWN, "", 1) + FILL
HALF = SOUND.replace(CROWN, "") + FILL  # the second crown neither filled nor stated


def engine(text: str) -> Survey:
    loaded = parse_job(text, "job.toml")
    return survey(loaded.job)


def by(text: str, unknown: str, target: str) -> dict[int | None, float | str]:
    wish = wished([unknown], [target], "metric")
    return {
        one.cylinder: one.reason if one.answer is None else one.answer.best.nominal
        for one in find(engine(text), wish, fmt=Formatter())
    }


def test_one_crown_filled_and_one_stated_are_both_solved() -> None:
    found = by(MIXED, "gasket_thickness", "static_ratio=8.6")
    assert list(found) == [1, 2, None]
    assert all(isinstance(one, float) for one in found.values())
    for number in (1, 2):
        alone = solved(engine(MIXED), "gasket_thickness", {"static_ratio": 8.6}, cylinder=number).cylinders[0]
        assert found[number] == pytest.approx(nominal(alone.numbers["gasket_thickness"][0]), rel=1e-9)
    first, second = found[1], found[2]
    assert isinstance(first, float)
    assert isinstance(second, float)
    assert min(first, second) < found[None] < max(first, second)  # type: ignore[operator]


def test_the_mean_counts_what_one_cylinder_alone_has() -> None:
    """A volume named for one of two cylinders is half of itself in their mean (arithmetic)."""
    named = '[cylinder.{}]\nextra_volume = "adds {} cc"\n\n'
    one, both = (SOUND.replace("[counted]", more + "[counted]") for more in (
        named.format(1, "2.0"), named.format(1, "1.0") + named.format(2, "1.0"),
    ))  # fmt: skip
    found = [by(text, "crown_volume", "static_ratio=8.6")[None] for text in (one, both)]
    assert found[0] == pytest.approx(found[1], rel=1e-9)


def test_a_cylinder_that_lacks_something_does_not_stop_the_other() -> None:
    found = by(HALF, "gasket_thickness", "static_ratio=8.6")
    assert isinstance(found[1], float)
    for word in ("net crown volume", "guide job.toml --step crown --cylinder 2", "crown_volume under [cylinder.2]"):
        assert word in str(found[2])
    assert "complete the cylinders" in str(found[None])


def test_where_none_can_be_solved_the_way_out_is_named() -> None:
    with pytest.raises(InputError, match=r"--step crown --cylinder 1 or state crown_volume under \[cylinder.1\]"):
        by(SOUND.replace(CROWN, ""), "gasket_thickness", "static_ratio=8.6")
    with pytest.raises(InputError, match=r"intake closing: state intake_closing under \[cam\]"):
        by(SOUND, "gasket_thickness", "trapped_ratio=7.6")


@pytest.mark.parametrize("asked", [["--for", "gasket_thickness", "--to", "static_ratio=8.6"]])
def test_the_screen_shows_the_answers_and_what_leads_to_the_other(shop: Shop, asked: list[str]) -> None:
    shop.write(HALF)
    assert shop.run("solve", "job.toml", *asked) == 0
    assert "Cylinder 2, no answer: the static compression ratio needs" in shop.lines
    assert "--step crown --cylinder 2" in shop.lines
    shop.write(changed((CROWN, "")))
    assert shop.run("solve", "job.toml", *asked) == 2
