"""An invented engine on which the examples in the docstrings of this room are worked out; nothing else uses it."""

from __future__ import annotations

from math import radians

from ccassist.boost.conditions import conditions, value
from ccassist.boost.figures import Stand
from ccassist.boost.knock_charge import Habit
from ccassist.boost.levers import Engine
from ccassist.engine.model import Choices
from ccassist.engine.slider_crank import Geometry
from ccassist.vocabulary.units import Origin

GEOMETRY = Geometry(static_ratio=9.0, stroke=0.085, rod_length=0.145, intake_closing=radians(55))
_SAID = {"boost_gauge": 60e3, "filling": 1.0, "exhaust_ratio": 1.05}
AIR = conditions("iso-octane", {k: value(k, number, Origin.STATED, "") for k, number in _SAID.items()}).plain()
HABIT = Habit(bore=0.080, speed=2500 / 60, burn_centre=radians(8), burn_duration=radians(50), octane=95.0)
STAND = Stand(geometry=GEOMETRY, conditions=AIR, habit=HABIT)
CASE = STAND.case

_KNOWN = {
    "bore": HABIT.bore,
    "stroke": 0.085,
    "rod_length": 0.145,
    "chamber_volume": 36e-6,
    "gasket_bore": 0.081,
    "gasket_thickness": 1.2e-3,
    "deck_clearance": 0.2e-3,
}
ENGINE = Engine(known=_KNOWN, choices=Choices(crevice=False, chamfer=False), stand=STAND).but(crown_volume=10.218e-6)
