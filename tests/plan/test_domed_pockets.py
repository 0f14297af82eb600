"""Valve pockets through a dome: what they take of it is counted, so that the dome drawn holds the volume ordered."""

from __future__ import annotations

from math import cos, pi, radians, sqrt

import pytest

from ccassist.engine import crown_shapes
from ccassist.plan.piston.crown import crown_of
from ccassist.values.measured import Value
from tests.order_job import DOME, changed, order_from, pocket

BALL = '[order.crown]\nshape = "ball dome"\ndome_diameter = "60.0 mm"\n'
HIGH = ('static_ratio = "9.6 to 10.3"', 'ring_radial_depth = "2.6 +/- 0.1 mm, maker\'s figure"')
PLACED = 'valve_pockets = "over the valves"'
LENGTHS = {"dome_diameter": 60e-3, "dome_top": 42e-3}


def parts(
    shape: str, height: float, *, land: float | None = 90e-3, bore: float | None = None, **sizes: float
) -> dict[str, float]:
    """What dome and one pocket do to the space [m³]; sizes of the pocket in mm and deg."""
    made = {"pocket_diameter": 16.0, "pocket_depth": 1.5, "pocket_tilt": 0.0, "pocket_offset": 0.0, **sizes}
    si = {key: radians(one) if key == "pocket_tilt" else one * 1e-3 for key, one in made.items()}
    crown = {**LENGTHS, "dome_height": height}
    stated = {"order.crown": crown, "order.pocket.intake": si}
    values = {
        name: {key: Value(key=key, number=one, origin="asked", how="") for key, one in section.items()}
        for name, section in stated.items()
    }
    return dict(crown_of(values, shape, None, land, bore).hollow)


class TestVolume:
    """Closed forms of the same solids (segments of cylinder and sphere as Machinery's Handbook gives them)."""

    @pytest.mark.parametrize("tilt", [0.0, 5.0, 14.0])
    def test_within_the_flat_top_it_is_a_pocket_as_deep_as_the_dome_is_high_and_more(self, tilt: float) -> None:
        found = parts("dome with sloped sides", 6e-3, pocket_tilt=tilt, pocket_offset=4.0)["intake pockets"]
        deep = 1.5e-3 + 6e-3 / cos(radians(tilt))
        alone = crown_shapes.pocket(radius=8e-3, tilt=radians(tilt), depth=deep)
        assert found == pytest.approx(alone, rel=1e-3)

    def test_in_the_middle_of_a_ball_it_is_a_cylinder_and_a_cap(self) -> None:
        ball = (30**2 + 6**2) / 12
        cap = ball - sqrt(ball**2 - 8**2)
        by_hand = pi * 8**2 * (1.5 + 6 - cap) + pi * cap * (3 * 8**2 + cap**2) / 6
        assert parts("ball dome", 6e-3)["intake pockets"] * 1e9 == pytest.approx(by_hand, rel=1e-3)

    def test_beside_the_dome_it_takes_nothing_of_it(self) -> None:
        found = parts("dome with sloped sides", 6e-3, pocket_offset=36.0, pocket_diameter=10.0)["intake pockets"]
        assert found * 1e9 == pytest.approx(pi / 4 * 10**2 * 1.5, rel=3e-3)

    def test_nothing_beyond_the_land_counts_nor_beyond_the_bore_where_no_land_is_stated(self) -> None:
        over = {"pocket_offset": 40.0, "pocket_diameter": 20.0, "pocket_tilt": 8.0}
        by_land, by_bore, neither = (
            parts("ball dome", 6e-3, land=land, bore=bore, **over)["intake pockets"]
            for land, bore in ((90e-3, 91e-3), (None, 90e-3), (None, None))
        )
        assert by_land == by_bore < 0.9 * neither


@pytest.mark.parametrize("crown", [DOME, BALL])
def test_the_height_worked_out_makes_the_volume_ordered_with_the_pockets_in_it(crown: str) -> None:
    made = pocket(count=2, diameter=26.0, depth=1.2, tilt=12.0, offset=19.0)
    order = order_from(changed(*HIGH, PLACED, "-crown_thickness", crown=crown, more=made))
    shape = order.spec.shape
    assert order.spec.crown is not None
    assert shape.solved == "dome_height"
    assert shape.net == pytest.approx(order.spec.crown.value, abs=1e-11)
    assert shape.hollow["intake pockets"] > 2 * pi / 4 * 26e-3**2 * 1.2e-3 * 1.5
    assert order.open == () or {one.check.key for one in order.judged.faults} <= {"chamber_contact", "groove_metal"}
