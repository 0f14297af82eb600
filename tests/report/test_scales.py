"""Scales hold what is shown on them, with round ticks; what is drawn is where its scale says."""

from __future__ import annotations

import pytest

from ccassist.report.axes import axis_name, scale_of
from ccassist.report.figures import dot_plot, dots_scene
from ccassist.report.scene import Disc, Lettering, Stroke
from ccassist.values.display import formatter
from ccassist.values.measured import Value
from ccassist.values.number import Number
from ccassist.values.uncertainty import Cause, doubt
from ccassist.values.verdict import parse_band


def test_dots_and_whiskers_lie_where_the_ticks_say() -> None:
    sure = doubt(0.01, Cause(name="all", dof=float("inf")))
    values = [a_value("static_ratio", ratio + sure) for ratio in (9.31, 9.44, 9.02)]
    plot = dot_plot([(str(n), value) for n, value in enumerate(values)], formatter("metric"))
    items = dots_scene(plot, 150.0).items
    written = [one for one in items if isinstance(one, Lettering) and one.anchor == "middle"]
    ticks = [(float(one.text), one.at[0]) for one in written if "." in one.text]
    (low, left), *_, (high, right) = ticks
    scale = (right - left) / (high - low)
    dots = [one.at[0] for one in items if isinstance(one, Disc) and one.fill == "black"]
    assert dots == pytest.approx([left + scale * (value.nominal - low) for value in values])
    flat = [one.points for one in items if isinstance(one, Stroke) and one.points[0][1] == one.points[1][1]]
    widths = {round(b[0] - a[0], 6) for a, b in flat}
    assert widths == {round(scale * 2 * values[0].expanded, 6)}


def test_every_row_says_its_verdict() -> None:
    band = parse_band("9.2 to 9.4", "static_ratio")
    plot = dot_plot([("a", a_value("static_ratio", 9.31)), ("b", a_value("static_ratio", 9.5))], formatter(), band)
    assert [one.note for one in plot.dots] == ["inside", "outside"]


def a_value(key: str, number: Number) -> Value:
    """A value of so much."""
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
