"""Values as they stand in a table: the number with its ±, and apart from it the words of its sign."""

from __future__ import annotations

import math

from ccassist.analysis.results import Survey
from ccassist.analysis.sums import decimal
from ccassist.analysis.worth import JUDGED
from ccassist.paper.furniture import Line
from ccassist.paper.sheet import GREY, SLANT, STRONG
from ccassist.values.band import Band
from ccassist.values.display import NEEDS_REPEATS, amount, decimals_of, places, show
from ccassist.values.judge import decide
from ccassist.values.measured import Value, expand, nominal
from ccassist.values.spread import Spread
from ccassist.values.units import shown_unit
from ccassist.vocabulary import Term, term

NOT_GIVEN = "not given"


def bare(value: Value, system: str) -> str:
    """The number with its ±, without unit and sign words, for a column that names the unit."""
    wanted = term(value.key)
    stated = expand(value.number)
    spread = None if stated.expanded == 0 or math.isnan(stated.expanded) else stated.expanded
    size = abs(stated.value) if wanted.sign else stated.value
    return without_unit(show(value.key, size, spread, system=system, words=False), wanted, system)


def without_unit(text: str, wanted: Term, system: str) -> str:
    """A printed amount without its unit."""
    return text.removesuffix(f" {shown_unit(wanted, system)}")


def sign_words(value: Value, system: str) -> str:
    """The words of its sign, "" where the quantity has none to mistake."""
    sign = term(value.key).sign
    if sign is None:
        return ""
    text = amount(value.key, value.nominal, system=system, decimals=decimals_of(value, system))
    if decimal(text) == 0:
        return sign.zero[0]
    return around(sign.says_minus if value.nominal < 0 else sign.says_plus)


def around(says: str) -> str:
    """The words that stand about the amount: those after it, or the first of those before it.

    >>> around("{} below deck"), around("dish, adds {} of space")
    ('below deck', 'dish')
    """
    before, _, after = says.partition("{}")
    return before.split(",")[0].strip() or after.strip()


def doubt_words(value: Value) -> str:
    """What is said where no ± can be stated yet, else ""."""
    return NEEDS_REPEATS if math.isnan(expand(value.number).expanded) else ""


def verdict(value: Value, band: Band) -> str:
    """Inside, outside, or cannot tell at this ±."""
    return decide(value.nominal, value.expanded, band).value


def pieces(value: Value | None, system: str, band: Band | None = None) -> tuple[str, list[Line]]:
    """The number with its ±, and the words beside it: its sign, a ± not known yet, the verdict."""
    if value is None:
        return "", [Line(NOT_GIVEN, SLANT, shade=GREY)]
    words = [Line(text, shade=GREY) for text in (sign_words(value, system), doubt_words(value)) if text]
    if band is not None:
        said = verdict(value, band)
        words.append(Line(said, STRONG if said == "outside" else SLANT))
    return bare(value, system), words


def span(values: list[Value], system: str) -> str:
    """Smallest to largest, in the shown unit, such as "8.42 to 8.50"."""
    key = values[0].key
    wanted = term(key)
    usual = places(shown_unit(wanted, system), None)
    count = min(usual, *(decimals_of(v, system) for v in values))
    low, high = (
        show(key, f(v.nominal for v in values), system=system, words=False, decimals=count) for f in (min, max)
    )
    return high if low == high else f"{without_unit(low, wanted, system)} to {high}"


def apart_text(spread: Spread, system: str) -> str:
    """Largest less smallest with its ±, which is that of two picked after looking."""
    return show(spread.key, nominal(spread.difference), spread.expanded, system=system, words=False)


def given(survey: Survey, key: str) -> list[tuple[int, Value]]:
    """A term's values with their cylinder numbers, for the cylinders that have it."""
    return [(c.number, c.values[key]) for c in survey.cylinders if key in c.values]


def headline_key(survey: Survey) -> str | None:
    """What the job comes to: the ratio, else the clearance volume, else the chamber volume."""
    return next((key for key in JUDGED if given(survey, key)), None)
