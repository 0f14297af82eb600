"""What a boosted engine comes to at other boosts and static ratios, all else as it is run: the map behind the picture.

Planning figures.  Each point is worked out in plain numbers; the ± stands with
the figures of the engine itself.
"""

from __future__ import annotations

from typing import Any

from ccassist.boost.cautions import OCTANE_RANGE
from ccassist.boost.conditions import Conditions, gauge
from ccassist.boost.equivalents import compressed
from ccassist.boost.knock_charge import BoostMap, boost_map, map_builder
from ccassist.engine.mathematics import plain
from ccassist.engine.slider_crank import Geometry
from ccassist.plan.boost.build import Build, as_run
from ccassist.plan.boost.story import BoostStory
from ccassist.vocabulary.record import record

SIDE = 51  # points along each side
_ROOM = 1.4  # of the highest boost, how far the map goes
_RATIOS = 1.5  # beyond the ratios marked
_LOWEST = 4.0


@record
class Mark:
    """Where an engine lies on the map: ``boost`` gauge, Pa, and ``ratio`` static."""

    boost: float
    ratio: float


@record
class BoostField:
    """The map about one engine.

    map : gauge boost [Pa] by static ratio.
    own, baseline : where the two engines lie; the baseline None where there is none.
    most, least : octane differences at which the delay formula ends, NaN without any.
    """

    map: BoostMap
    own: Mark
    baseline: Mark | None
    least: float
    most: float


def boost_field(story: BoostStory) -> BoostField | None:
    """The map about the cylinder with the highest ratio; None without a boost that is stated or known."""
    worst, conditions = story.worst_one, story.conditions
    if worst is None or worst.build is None or conditions is None:
        return None
    own = _mark(worst.build, conditions)
    if own.boost <= 0:
        return None
    baseline = None
    if story.baseline is not None and story.baseline_running is not None and story.baseline_running.conditions:
        baseline = _mark(story.baseline, story.baseline_running.conditions)
    marks = [mark for mark in (own, baseline) if mark is not None]
    boosts = _spaced(0.0, _ROOM * max(mark.boost for mark in marks), SIDE)
    ratios = [mark.ratio for mark in marks]
    axis = _spaced(max(_LOWEST, min(ratios) - _RATIOS), max(ratios) + _RATIOS, SIDE)
    octane = story.knock.baseline.operating.octane if story.knock and story.knock.baseline else float("nan")
    return BoostField(
        map=_with_knock(story, boosts, axis) or _ends(worst.build.geometry, conditions, boosts, axis),
        own=own,
        baseline=baseline,
        least=OCTANE_RANGE[0] - octane,
        most=OCTANE_RANGE[1] - octane,
    )


def _mark(build: Build, conditions: Conditions) -> Mark:
    boost = gauge(conditions["manifold_pressure"], conditions["barometer"])
    return Mark(boost=float(plain(boost)), ratio=float(plain(build.geometry.static_ratio)))


def _spaced(low: float, high: float, side: int) -> tuple[float, ...]:
    return tuple(low + (high - low) * n / (side - 1) for n in range(side))


def _with_knock(story: BoostStory, boosts: tuple[float, ...], ratios: tuple[float, ...]) -> BoostMap | None:
    """All three; None where knock is not compared."""
    worst, running, knock = story.worst_one, story.running, story.knock
    if knock is None or knock.difference is None or worst is None or worst.build is None or running is None:
        return None
    bore = next(one.values.get("bore") for one in story.survey.cylinders if one.number == worst.number)
    stand = as_run(worst.build.geometry, running, bore)
    if stand is None or stand.habit is None:
        return None
    return boost_map(knock.baseline, map_builder(stand.geometry, stand.conditions, stand.habit), boosts, ratios)[0]


def _ends(geometry: Geometry, air: Conditions, boosts: tuple[float, ...], ratios: tuple[float, ...]) -> BoostMap:
    """End pressure and temperature only."""
    import numpy as np

    boost, ratio = (axis.ravel() for axis in np.meshgrid(boosts, ratios, indexing="ij"))
    state = compressed(geometry.plain().with_static_ratio(ratio), air.plain().but(boost_gauge=boost)).end
    shape = len(boosts), len(ratios)

    def grid(numbers: Any) -> Any:
        return np.broadcast_to(numbers, boost.shape).reshape(shape)

    return BoostMap(
        boosts=boosts,
        ratios=ratios,
        end_pressure=grid(state.pressure),
        end_temperature=grid(state.temperature),
        octane_difference=None,
    )
