"""A question of :mod:`ccassist.analysis.compare` put in one piece, and its answer as plain data."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, TypeVar

from ccassist.analysis import compare
from ccassist.analysis.compare import Contrast
from ccassist.analysis.results import Survey
from ccassist.values.findings import InputError, error
from ccassist.values.ground import ground_to_dict
from ccassist.values.measured import budget, degrees, nominal, standard
from ccassist.values.plain import known
from ccassist.values.units import SI
from ccassist.vocabulary import term

_EXAMPLES = {"--cylinders": "1,4", "--parts": '"left head,right head"', "--states": '"as received,seats cut"'}
T = TypeVar("T")


@dataclass(frozen=True, kw_only=True)
class Comparison:
    """Differences of one term.

    ``contrasts`` : at least one; ``system`` : units of the words.
    """

    key: str
    contrasts: tuple[Contrast, ...]
    system: str = "metric"

    def to_dict(self, system: str | None = None) -> dict[str, Any]:
        """Plain data, SI; a ± that is not known yet is null.  ``system`` : units of the texts."""
        count, rows = self.contrasts[0].count, self.contrasts[0].rows
        return {
            "format": 1,
            "term": self.key,
            "name": term(self.key).name,
            "unit": SI.get(term(self.key).kind, ""),
            "picked_from": count if count > 2 else None,
            "looked_at_together": rows if rows > 1 else None,
            "judged_by": "studentized range" if count > 2 else "Student's t" + (", Bonferroni" if rows > 1 else ""),
            "comparisons": [_contrast(one, system or self.system) for one in self.contrasts],
        }


def _contrast(one: Contrast, system: str) -> dict[str, Any]:
    spread = one.expanded
    unknown_yet = math.isnan(spread)
    return {
        "first": one.first,
        "second": one.second,
        "difference": nominal(one.difference),
        "standard_uncertainty": None if unknown_yet else standard(one.difference),
        "expanded_uncertainty": known(spread),
        "degrees_of_freedom": None if unknown_yet else known(degrees(budget(one.difference))),
        "verdict": one.verdict.value,
        "text": compare.verdict_text(one, system),
        **ground_to_dict(one.difference),
    }


def compared(
    survey: Survey,
    key: str | None = None,
    *,
    cylinders: Sequence[int] = (),
    parts: Sequence[str] = (),
    states: Sequence[str] = (),
    part: str | None = None,
    largest: bool = False,
    every: bool = False,
) -> Comparison:
    """The differences asked for; the largest against the smallest where nothing is named.

    Parameters
    ----------
    survey : the engine as measured.
    key : term compared; the clearance volume, or the chamber where there is none.
    cylinders, parts : two named beforehand.
    states : before and after work, of all cylinders, or of ``cylinders``, or of those that ``part`` serves.
    largest : largest against smallest, named outright.
    every : every cylinder against every other.
    part : the part whose cylinders ``states`` are compared for.

    Raises
    ------
    InputError : two kinds at once, a name that is not known, or nothing to compare.
    """
    if sum(map(bool, (parts, states, largest, every, cylinders and not states))) > 1:
        right = "one of --cylinders, --parts, --states, --largest and --all"
        raise InputError(error("two-questions", "two comparisons at once", right=right))
    if part and not states:
        raise InputError(error("no-states", "--part goes with --states", right='--states "as received,seats cut"'))
    of = key or compare.default_key(survey)
    if states:
        older, newer = _two(states, "--states")
        found = compare.states(survey, of, older, newer, _served(survey, cylinders, part))
    elif parts:
        found = [compare.parts(survey, of, *_two(parts, "--parts"))]
    elif cylinders:
        found = [compare.cylinders(survey, of, *_two(cylinders, "--cylinders"))]
    else:
        found = compare.all_pairs(survey, of) if every else [compare.largest(survey, of)]
    return Comparison(key=of, contrasts=tuple(found), system=survey.job.system)


def _served(survey: Survey, cylinders: Sequence[int], part: str | None) -> Sequence[int]:
    """The cylinders before and after work: those named, or those of the part, or none named."""
    if cylinders and part:
        raise InputError(error("two-questions", "--part or --cylinders, not both"))
    return compare.served(survey, part, "--part") if part else cylinders


def _two(named: Sequence[T], place: str) -> tuple[T, T]:
    if len(named) != 2 or not all(named):
        read = ",".join(map(str, named))
        right = _EXAMPLES[place]
        raise InputError(error("not-two", "two names with a comma between", read=read, place=place, right=right))
    return named[0], named[1]
