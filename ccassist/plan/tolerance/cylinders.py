"""What band to expect in every cylinder, and what to ask of the maker for a band that is wanted."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from ccassist.analysis.results import Survey
from ccassist.bench.cautions import cautions
from ccassist.plan.solved.wish import check_cylinder
from ccassist.plan.tolerance.asked import Asked, asked_of_the_maker
from ccassist.plan.tolerance.draws import DRAWS, SEED
from ccassist.plan.tolerance.expected import Expected, expect, stand
from ccassist.plan.tolerance.wish import Wish
from ccassist.plan.tolerance.worst import Span
from ccassist.values.band import Band
from ccassist.values.ground import ground_to_dict
from ccassist.values.plain import known


@dataclass(frozen=True, kw_only=True)
class One:
    """One cylinder: the band to expect where every limit is given, and what to ask for the band wanted."""

    cylinder: int
    expected: Expected | None
    asked: Asked | None


@dataclass(frozen=True, kw_only=True)
class Tolerance:
    """What was asked, and the answer of every cylinder."""

    wish: Wish
    cylinders: tuple[One, ...]

    @property
    def possible(self) -> bool:
        """Whether anything can be asked of the maker, or nothing was to be."""
        return not self.wish.band or any(not (one.asked and one.asked.reason) for one in self.cylinders)

    def to_dict(self) -> dict[str, Any]:
        """Plain data, SI; what is not known, or has no limit, is null."""
        band = self.wish.band
        return {
            "of": self.wish.target,
            "held_within": dict(self.wish.holds),
            "band": None if band is None else [known(band.low), known(band.high)],
            "draws": DRAWS,
            "seed": SEED,
            "cylinders": [
                {
                    "cylinder": one.cylinder,
                    "expected": None if one.expected is None else _expected(one.expected, band),
                    "asked": None if one.asked is None else _asked(one.asked),
                }
                for one in self.cylinders
            ],
            "cautions": cautions(("planning",)),
        }


def tolerance_of(survey: Survey, wish: Wish, *, cylinder: int | None = None, system: str | None = None) -> Tolerance:
    """The band to expect in every cylinder, or in one; and what to ask where a band is wanted.

    Raises
    ------
    InputError : no such cylinder, or the target does not depend on a held term.
    """
    check_cylinder(survey, cylinder)
    given = all(limit is not None for limit in wish.holds.values())
    limits = {key: limit or 0.0 for key, limit in wish.holds.items()}
    found = []
    for one in survey.cylinders:
        if cylinder in (None, one.number):
            inputs = {**one.known, "cylinders": float(survey.job.cylinders)}
            stood = stand(inputs, one.choices, target=wish.target, holds=limits)
            shown = system or survey.job.system
            asked = asked_of_the_maker(stood, wish.band, stated=wish.stated, system=shown) if wish.band else None
            found.append(One(cylinder=one.number, expected=expect(stood) if given else None, asked=asked))
    return Tolerance(wish=wish, cylinders=tuple(found))


def ways(expected: Expected) -> dict[str, Span]:
    """The band by its three ways."""
    return {"linear": expected.linear, "worst_case": expected.worst, "drawn": expected.drawn}


def within(span: Span, band: Band) -> bool:
    """Whether a band to expect lies inside the one wanted."""
    return band.low <= span.low and span.high <= band.high


def _expected(expected: Expected, band: Band | None) -> dict[str, Any]:
    spans, best = ways(expected), expected.best_reading
    return {
        "value": expected.value,
        "expanded_uncertainty": known(expected.expanded),
        **ground_to_dict(expected.stand.number),
        **{name: [known(span.low), known(span.high)] for name, span in spans.items()},
        "within_band": None if band is None else {name: within(span, band) for name, span in spans.items()},
        "causes": [
            {
                "name": one.cause.name,
                "held": one.held,
                "share": known(one.share),
                "expanded_if_halved": known(one.halved),
                "expanded_if_gone": known(one.gone),
            }
            for one in expected.helps
        ],
        "best_reading": None if best is None else best.cause.name,
    }


def _asked(asked: Asked) -> dict[str, Any]:
    return {
        "possible": not asked.reason,
        "reason": asked.reason,
        "room": known(asked.room),
        "taken_by_measurement": known(asked.measured),
        "alone": {key: known(size) for key, size in asked.alone.items()},
        "shared": {key: known(size) for key, size in asked.shared.items()},
    }
