"""The chart of every cylinder against what is wanted: what is drawn is where the scale says."""

from __future__ import annotations

from io import BytesIO
from typing import Any

import pdfplumber
import pytest

from ccassist.paper.chart import axis_name, scale_of
from ccassist.values.display import formatter
from ccassist.values.measured import Value
from ccassist.values.verdict import decide, parse_band
from ccassist.vocabulary import term
from ccassist.vocabulary.units import conversion
from tests.paper.made_sheets import Made, example


def drawn(made: Made, title: str) -> tuple[list[Any], list[Any], list[Any]]:
    """The dots, whiskers and words of one chart: what stands between its title and the line that explains it."""
    with pdfplumber.open(BytesIO(made.data)) as document:
        for page in document.pages:
            heads = page.search(title, regex=False)
            if heads:
                top = heads[0]["bottom"]
                foot = min(f["top"] for f in page.search("Dots are the values", regex=False) if f["top"] > top)
                box = page.crop((0, top, page.width, foot))
                return box.curves, box.lines, box.extract_words()
    raise AssertionError(f"no chart {title!r}")


def ruler(words: list[Any]) -> tuple[float, float]:
    """Points per unit and the place of nothing, from the labels of the ticks."""
    row = [w for w in words if w["text"].replace(".", "").isdigit() and "." in w["text"]]
    row = [w for w in row if w["top"] == pytest.approx(max(w["top"] for w in row), abs=1)]
    low, high = row[0], row[-1]
    middles = [(w["x0"] + w["x1"]) / 2 for w in (low, high)]
    scale = (middles[1] - middles[0]) / (float(high["text"]) - float(low["text"]))
    return scale, middles[0] - scale * float(low["text"])


@pytest.mark.parametrize("key", ["static_ratio", "squish"])
def test_dots_and_whiskers_lie_where_the_scale_says(key: str) -> None:
    made = example("turbo-four")
    curves, lines, words = drawn(made, f"{term(key).name.capitalize()}, each cylinder")
    scale, zero = ruler(words)
    unit = conversion(term(key).shown()).scale
    values = [c.values[key] for c in made.survey.cylinders]
    dots = sorted(curves, key=lambda c: c["top"])
    assert [(c["x0"] + c["x1"]) / 2 for c in dots] == pytest.approx(
        [zero + scale * v.nominal / unit for v in values], abs=0.5
    )
    flat = [w for w in lines if abs(w["top"] - w["bottom"]) < 0.01]
    whiskers = [next(w for w in flat if abs(w["top"] - (d["top"] + d["bottom"]) / 2) < 0.6) for d in dots]
    assert [w["x1"] - w["x0"] for w in whiskers] == pytest.approx(
        [2 * scale * v.expanded / unit for v in values], abs=0.6
    )


def test_every_row_says_its_verdict() -> None:
    made = example("turbo-four")
    for key, band in made.survey.wanted.items():
        _, _, words = drawn(made, f"{term(key).name.capitalize()}, each cylinder")
        said = " ".join(w["text"] for w in words)
        for cylinder in made.survey.cylinders:
            value = cylinder.values[key]
            assert f"cylinder {cylinder.number} {decide(value, band).value}" in said


def a_value(key: str, number: float) -> Value:
    """A value taken as exact."""
    return Value(key=key, number=number, origin="assumed")


def test_the_scale_holds_values_and_limits_with_round_ticks() -> None:
    band = parse_band("9.5 to 9.7", "static_ratio")
    scale = scale_of([a_value("static_ratio", 9.31), a_value("static_ratio", 9.44)], band, formatter("metric"))
    assert scale.low < 9.31
    assert scale.high > 9.7
    assert scale.ticks == pytest.approx((9.3, 9.4, 9.5, 9.6, 9.7))
    assert scale.decimals == 1


def test_equal_values_still_make_a_scale() -> None:
    scale = scale_of([a_value("chamber_volume", 58e-6)] * 2, None, formatter("metric"))
    assert scale.low < 58e-6 < scale.high
    assert len(scale.ticks) > 1


def test_signs_of_the_scale_are_said_in_words() -> None:
    proud = scale_of([a_value("deck_clearance", -0.2e-3), a_value("deck_clearance", 0.1e-3)], None, formatter("metric"))
    assert axis_name("deck_clearance", "mm", proud) == "deck clearance, mm (+ below deck, − proud of the deck)"
    dish = scale_of([a_value("crown_volume", 8e-6), a_value("crown_volume", 9e-6)], None, formatter("metric"))
    assert axis_name("crown_volume", "cc", dish) == "net crown volume, cc (+ dish)"
