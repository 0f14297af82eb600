"""Pockets placed by x and y, or by radius and angle: what they share is counted once, and the sheet says where."""

from __future__ import annotations

from math import acos, cos, pi, radians, sin

import pytest

from ccassist.analysis.results import survey
from ccassist.job.file import parse_job
from ccassist.values.findings import errors
from tests.order_job import changed, order_from, pocket

FLAT = '[order.crown]\nshape = "flat"\n'
PLACED = 'valve_pockets = "over the valves"'
VOLUME = 'crown_volume = "dish 6.0 cc"'


def placed(kind: str = "intake", *, x: str = "", y: str = "", angle: str = "", **sizes: float) -> str:
    """A section of pockets at a place."""
    text = pocket(kind, **sizes)
    if not angle:
        text = text.replace('pocket_offset = "20.0 mm"\n', "")
    stated = {"pocket_along_pin": x, "pocket_across_pin": y, "pocket_angle": angle}
    return text + "".join(f'{key} = "{size}"\n' for key, size in stated.items() if size)


def taken(*sections: str) -> dict[str, float]:
    """What the pockets in a flat crown add [mm³]."""
    shape = order_from(changed(PLACED, VOLUME, crown=FLAT, more="".join(sections))).spec.shape
    assert shape.faults == ()
    return {name: size * 1e9 for name, size in shape.hollow.items()}


def lens(r: float, apart: float) -> float:
    """What two equal circles share: two segments, Machinery's Handbook, 31st ed. (2020), p. 80 [mm²]."""
    turn = 2 * acos(apart / 2 / r)
    return r**2 * (turn - sin(turn))


def test_two_that_run_into_one_another_share_a_lens() -> None:
    found = taken(placed(count=2, x="11.0 mm toward the front", y="18.0 mm to the right"))
    by_hand = 1.5 * (2 * pi * 15**2 - lens(15, 22))
    assert found["intake pockets"] == pytest.approx(by_hand, abs=1.0)


def test_intake_and_exhaust_share_a_lens_counted_with_the_first() -> None:
    at = {"x": "level with the bore axis"}
    found = taken(placed(y="12.0 mm to the right", **at), placed("exhaust", y="12.0 mm to the left", **at))
    assert found["intake pockets"] == pytest.approx(1.5 * pi * 15**2, rel=1e-6)
    assert found["exhaust pockets"] == pytest.approx(1.5 * (pi * 15**2 - lens(15, 24)), abs=1.0)


@pytest.mark.parametrize("angle", [0.0, 40.0, 90.0, 200.0, 315.0])
def test_radius_and_angle_say_the_same_as_x_and_y(angle: float) -> None:
    """Clockwise from the front, seen from above: x = r cos, y = r sin."""
    x, y = 20 * cos(radians(angle)), 20 * sin(radians(angle))
    told = (
        placed(count=2, tilt=9.0, angle=f"{angle} deg"),
        placed(
            count=2,
            tilt=9.0,
            x=f"{abs(x):.9f} mm toward the {'front' if x > 0 else 'rear'}" if abs(x) > 1e-6 else "on the axis",
            y=f"{abs(y):.9f} mm to the {'right' if y > 0 else 'left'}" if abs(y) > 1e-6 else "on the axis",
        ),
    )
    turned, level = (taken(section)["intake pockets"] for section in told)
    assert turned == pytest.approx(level, rel=1e-6)


def test_four_lie_to_both_sides_and_ends() -> None:
    order = order_from(changed(PLACED, VOLUME, crown=FLAT,
                               more=placed(count=4, x="17.0 mm toward the rear", y="18.0 mm to the left")))  # fmt: skip
    places = order.spec.shape.pockets["intake"].places
    assert sorted((round(x * 1e3, 6), round(y * 1e3, 6)) for x, y in places) == [
        (-17, -18), (-17, 18), (17, -18), (17, 18),
    ]  # fmt: skip
    assert order.spec.shape.hollow["intake pockets"] * 1e9 == pytest.approx(4 * 1.5 * pi * 15**2, rel=1e-6)
    text = next(row.text for row in order.rows if row.entry.key == "intake_pockets")
    assert "17.00 mm toward the rear and 18.00 mm to the left" in text
    assert "17.00 mm toward the front and 18.00 mm to the right" in text


def test_where_all_are_placed_nothing_is_said_to_be_unknown_of_their_angle() -> None:
    known, unknown = (
        order_from(changed(PLACED, VOLUME, crown=FLAT, more=more)).judged.unseen
        for more in (
            placed(x="0 mm", y="20.0 mm to the right") + placed("exhaust", angle="270 deg"),
            placed(x="0 mm", y="20.0 mm to the right") + pocket("exhaust"),
        )
    )
    assert not any("one another" in one for one in known)
    assert any("one another" in one for one in unknown)


@pytest.mark.parametrize(
    ("section", "words"),
    [
        (placed(x="9.0 mm toward the front"), "one says nothing without the other"),
        (placed(angle="30 deg").replace("pocket_offset", "# "), "without pocket_offset"),
        (placed(x="9.0 mm front", y="9.0 mm right", angle="30 deg"), "said twice"),
        (placed(count=3, x="9.0 mm front", y="9.0 mm right"), "3 do not fit there"),
        (placed(count=4, x="0 mm", y="9.0 mm right"), "4 do not fit there"),
        (placed(count=2, x="0 mm", y="0 mm"), "2 do not fit there"),
    ],
)
def test_a_place_that_says_nothing_is_refused(section: str, words: str) -> None:
    faults = order_from(changed(PLACED, VOLUME, crown=FLAT, more=section)).judged.faults
    assert any(one.check.key == "crown_shape" and words in one.wrong for one in faults)


@pytest.mark.parametrize(
    ("said", "shown"),
    [
        ("0.88 mm above the flat", "0.88 mm above the flat"),
        ("0.88 mm", "0.88 mm below the flat"),
        ("0.88 mm below the flat", "0.88 mm below the flat"),
    ],
)
def test_the_floor_is_said_in_words(said: str, shown: str) -> None:
    section = pocket(tilt=9.0).replace('"1.5 mm"', f'"{said}"')
    order = order_from(changed(PLACED, VOLUME, crown=FLAT, more=section))
    assert f"{shown} along the valve" in next(row.text for row in order.rows if row.entry.key == "intake_pockets")
    assert (order.spec.shape.pockets["intake"].depth < 0) == ("above" in said)


def test_a_bare_minus_of_a_floor_is_asked_for_in_words() -> None:
    job = parse_job(changed(more=pocket().replace('"1.5 mm"', '"-0.88 mm"'))).job
    (fault,) = errors(survey(job).findings)
    assert '"0.88 mm above the flat"' in fault.wrong + fault.right
