"""The octane difference of very many combinations: worked out at ratios a step apart, between them by cubics.

It hangs on bore, stroke, rod and pin offset, of which there are few, and on the static ratio, of which there are as
many as combinations.  It ranks and limits; what is shown of the rows kept is worked out for each of them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

import numpy as np
import numpy.typing as npt

from ccassist.boost.charge import charge
from ccassist.boost.knock import knock_integral, knock_integrals, octane_over
from ccassist.boost.knock_charge import case_of
from ccassist.engine.slider_crank import Geometry
from ccassist.plan.boost.against import Against
from ccassist.plan.boost.build import habit_of
from ccassist.values.findings import InputError, error
from ccassist.values.measured import computed

Array = npt.NDArray[Any]
Sort = tuple[float, ...]  # of crank: bore, stroke, rod length and pin offset, m
CRANK = ("bore", "stroke", "rod_length", "pin_offset")
STEP = 0.1  # of the logarithm of the static ratio: a cubic between is within 0.01 octane
_NODES = np.arange(np.log(2.5), np.log(50.0), STEP)
MOST = 5000  # sorts; about a minute


class OctaneTable:
    """The octane difference by sort of crank and by static ratio, worked out as it is asked for."""

    def __init__(self, knock: Against) -> None:
        self.knock = knock
        self.rows: list[dict[Sort, Array]] = [{} for _ in knock.bases]  # octane by node, no number where not yet

    def over(self, values: Mapping[str, Any]) -> Array:
        """The octane difference for SI numbers or arrays that broadcast, where the cam is hardest on the fuel."""
        crank = np.broadcast_arrays(*(np.asarray(values.get(key, 0.0)) for key in CRANK))
        sorts, which = np.unique(np.stack([one.ravel() for one in crank], axis=-1), axis=0, return_inverse=True)
        which = which.reshape(crank[0].shape)
        place = (np.log(values["static_ratio"]) - _NODES[0]) / STEP
        place = np.clip(np.nan_to_num(place, nan=1.0), 1.0, len(_NODES) - 3.0)
        low = place.astype(np.intp)
        span = slice(int(low.min()) - 1, int(low.max()) + 3)
        found = []
        for number in range(len(self.knock.bases)):
            table = self._rows(number, [tuple(map(float, one)) for one in sorts], span)
            around = [table[which, low + step] for step in (-1, 0, 1, 2)]
            found.append(_cubic(around, place - low))
        hardest: Array = np.maximum.reduce(found)
        return hardest

    def _rows(self, number: int, sorts: Sequence[Sort], span: slice) -> Array:
        """Octane by sort and node at one position of the cam, worked out for these nodes at least."""
        rows = self.rows[number]
        for sort in sorts:
            rows.setdefault(sort, np.full(len(_NODES), np.nan))
        if len(rows) > MOST:
            wrong = f"more than {MOST} sorts of bore, crank, rod and pin: knock is not worked out for so many"
            raise InputError(error("too-many", wrong, right="list fewer of them"))
        missing = [(sort, node) for sort in sorts for node in np.flatnonzero(np.isnan(rows[sort][span])) + span.start]
        if missing:
            ratios = np.exp(_NODES[[node for _, node in missing]])
            octanes = self._worked_out(number, [sort for sort, _ in missing], ratios)
            for (sort, node), octane in zip(missing, octanes, strict=True):
                rows[sort][node] = octane
        return np.stack([rows[sort] for sort in sorts])

    def _worked_out(self, number: int, sorts: Sequence[Sort], ratios: Array) -> Array:
        closing, base = self.knock.bases[number]
        own = self.knock.run()
        assert own is not None
        assert own.conditions is not None
        bore, stroke, rod, offset = np.array(sorts).T
        made = Geometry(
            static_ratio=ratios, stroke=stroke, rod_length=rod, pin_offset=offset, intake_closing=closing.nominal
        )
        habit = replace(habit_of(own, computed("bore", 1.0)), bore=bore)
        case = case_of(made, charge(own.conditions.plain(), ratios), habit)
        return np.asarray(octane_over(base.case.operating.octane, knock_integrals(case) / knock_integral(base.case)))


def _cubic(around: Sequence[Array], t: Array) -> Array:
    """Through four points a step apart, ``t`` steps beyond the second.  Source: Lagrange."""
    before, here, after, beyond = around
    found: Array = (
        (t + 1) * (t - 1) * (t - 2) / 2 * here
        - (t + 1) * t * (t - 2) / 2 * after
        + (t + 1) * t * (t - 1) / 6 * beyond
        - t * (t - 1) * (t - 2) / 6 * before
    )
    return found
