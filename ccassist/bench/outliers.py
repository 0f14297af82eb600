"""Does one reading, or one series, stand apart from the rest?  Tests that suggest and never reject.

Below six readings of one thing no test on their own scatter has power: of
three readings, two that happen to agree make the third look wild.  There a
range test against the scatter of *other* series made the same way is all
there is.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from ccassist.bench.repeats import mean, pooled
from ccassist.values.coverage import student, variance_chance
from ccassist.values.measured import Number, budget, degrees, standard

RARE = 0.005  # chance at which anything is said of clean readings, for each test of one series
GRUBBS_FROM = 6  # readings; with fewer the test is next to powerless


def by_chance(number: Number) -> float:
    """How far a difference may be from nothing by chance alone, in its own unit; NaN where its ± is not known.

    Student's t at :data:`RARE`, with the effective degrees of freedom (JCGM 100:2008, G.4).
    """
    u = standard(number)
    return u if math.isnan(u) else student(degrees(budget(number)), 1 - RARE) * u


def grubbs(values: Sequence[float], rounding: float = 0.0) -> tuple[int, float]:
    """The reading farthest from the mean: its place, and its distance in standard deviations.

    ``rounding`` [that of the values] is the standard deviation that reading to
    steps gives by itself: few readings that fell on one step by chance are not
    the finer for it.

    Source: Grubbs, Technometrics 11 (1969) 1; NIST/SEMATECH e-Handbook 1.3.5.17.1.
    """
    centre = mean(values)
    spread = math.hypot(pooled([values])[0], rounding)
    far = max(range(len(values)), key=lambda i: abs(values[i] - centre))
    return far, abs(values[far] - centre) / spread if spread > 0 else 0.0


def grubbs_limit(count: int, chance: float = RARE) -> float:
    """The distance that the farthest of so many alike readings stays under, either way, but for that chance.

    (n−1)/√n · √(t² ÷ (n−2+t²)), t two-sided at chance/n with n−2 degrees of
    freedom; never above (n−1)/√n.  Source: as :func:`grubbs`; ISO 5725-2:1994, Table 5.

    >>> round(grubbs_limit(8, 0.05), 3)
    2.127
    """
    t = student(count - 2, 1 - chance / count)
    return (count - 1) / math.sqrt(count) * math.sqrt(t * t / (count - 2 + t * t))


def most_scattered(groups: Sequence[Sequence[float]], least: float = 0.0) -> tuple[int, float]:
    """The series that scatters most, and the chance that one of so many alike series would by chance.

    Cochran's test, its largest variance set against that of all the others
    together, so that the series need not be equally long.

    Parameters
    ----------
    groups : readings of each thing, SI.
    least : standard deviation below which a scatter is not taken to be, for readings all rounded alike.

    Source: Cochran, Annals of Eugenics 11 (1941) 47; ISO 5725-2:1994, 7.3.3;
    unequal lengths: 't Lam, Chemom. Intell. Lab. Syst. 101 (2010) 43 (from memory).
    """
    sound = [i for i, group in enumerate(groups) if len(group) > 1]
    best, rarest = -1, 1.0
    for i in sound:
        own, upper = pooled([groups[i]])
        rest, lower = pooled([groups[j] for j in sound if j != i])
        if lower == 0:
            return -1, 1.0
        ratio = (max(own, least) / max(rest, least)) ** 2 if max(rest, least) > 0 else (math.inf if own > 0 else 1.0)
        chance = len(sound) * variance_chance(ratio, upper, lower) if math.isfinite(ratio) else 0.0
        if chance < rarest:
            best, rarest = i, chance
    return best, min(1.0, rarest)
