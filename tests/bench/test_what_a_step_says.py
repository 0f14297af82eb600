"""What the steps say: the short card is short, each way has its own lines, and the words are the trade's."""

from __future__ import annotations

import re
from textwrap import wrap

import pytest

from ccassist.bench import fluids
from ccassist.bench.cautions import CAUTIONS
from ccassist.bench.step import BURNS, SAFE, Said
from ccassist.bench.steps import STEPS
from tests.each import each

WAYS = [(step.key, method.key) for step in STEPS.values() for method in step.methods]
MOST = 7  # lines of 80 columns on a card's first screen, beside its title, one caution and the prompt
# Words that nobody in the trade uses for these things.
STRANGE = ("lash wide", "dispenser", "mixed edges", "positive stop", "underside of the class")


@each(("step", "way"), WAYS)
def test_a_card_is_short_and_all_of_it_stands_behind_it(step: str, way: str) -> None:
    one = STEPS[step]
    short, full = one.to_do(way, brief=True), one.to_do(way)
    lines = [line for n, text in enumerate(short, 1) for line in wrap(f"{n}. {text}", 80, subsequent_indent="   ")]
    assert 1 <= len(lines) <= MOST
    places = [full.index(text) for text in short]
    assert places == sorted(places)
    assert one.lay_out(way)


def test_what_is_said_of_some_ways_names_ways_of_the_step() -> None:
    for step in STEPS.values():
        known = {method.key for method in step.methods}
        said = [one for one in (*step.procedure, *step.tools) if isinstance(one, Said)]
        assert all(set(one.by) <= known or known <= {"burette"} for one in said if step.key != "stages")
        assert all(set(choice.by) <= known for choice in step.choices)
        assert set(step.warned()) <= set(CAUTIONS)


@pytest.mark.parametrize("key", STEPS)
def test_the_words_are_the_trade_s(key: str) -> None:
    step = STEPS[key]
    choices = [word for choice in step.choices for word in (choice.words, *choice.options)]
    fields = [f.words for method in step.methods for f in method.fields]
    said = " ".join([step.title, step.why, *step.to_do(), *step.lay_out(), *choices, *fields]).lower()
    assert [word for word in STRANGE if word in said] == []


def test_water_is_not_warned_of_fire_and_spirit_is() -> None:
    chamber, water, spirit = STEPS["chamber"], fluids.FLUIDS["water"], fluids.FLUIDS["isopropanol 99 %"]
    assert "flammable" not in chamber.warned(water.cautions)
    assert {"flammable", "acrylic"} <= set(chamber.warned(spirit.cautions))
    assert {"flammable", "acrylic"} <= set(chamber.warned())  # where the fluid is not known yet
    assert all("acrylic" not in STEPS[key].warned() for key in ("assembly", "calibrate"))  # nothing lies on them
    wet, dry = (set(chamber.to_do("burette", fluid=sort)) for sort in (SAFE, BURNS))
    assert any("air line" in line for line in dry - wet)
    assert any("eye shield" in line for line in wet - dry)


def test_sizes_are_said_in_the_units_of_the_shop() -> None:
    for step in STEPS.values():
        told = " ".join([*step.to_do(system="imperial"), *step.lay_out(system="imperial")])
        assert re.findall(r"[0-9] (?:mm|cm²)", told) == []
        assert "[" not in " ".join(step.to_do())


def test_a_bowed_plate_and_a_deep_drop_are_worth_what_is_said() -> None:
    """A cap of 0.05 mm over 50 cm² holds half of that prism; 0.05 mm on an 86 mm bore: circle area (geometry)."""
    assert pytest.approx(0.1, abs=0.03) == 0.5 * 0.05e-3 * 50e-4 * 1e6
    assert pytest.approx(0.3, abs=0.02) == 0.25 * 3.14159 * 0.086**2 * 0.05e-3 * 1e6
    assert "0.1 cc" in " ".join(STEPS["chamber"].to_do())
    assert "0.3 cc" in " ".join(STEPS["crown"].to_do())
