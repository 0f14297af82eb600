"""From a quantity as stated to a number with its ±: one way in for every part of the job, options too.

A ± comes from knowledge and never from how many digits were typed.  What says no ± takes the half-width that its term
declares for where it comes from (:class:`ccassist.vocabulary.Term`), as a cause of its own that is marked a guess. Only
a value measured with a tool that nobody names is rounded to its last digit besides: those digits were read.
"""

from __future__ import annotations

import math

from ccassist.values.display import Formatter, two_text
from ccassist.values.number import Number
from ccassist.values.quantity import Quantity
from ccassist.values.uncertainty import ASSUMED, SILENT, UNSAID, Cause, doubt, half_width
from ccassist.vocabulary import Term, Width, term
from ccassist.vocabulary.units import Origin, Shape, conversion

USUAL = "common practice, no source"


def has_doubt(quantity: Quantity) -> bool:
    """Whether a ± is said with it; a ± of nothing is none."""
    return bool(quantity.spread or quantity.standard)


def number_of(quantity: Quantity, words: str, remedy: str = "", *, at_the_bench: bool = False) -> Number:
    """The number of a stated quantity, SI, with the ± that is said with it, or the usual one where none is.

    ``words`` : the thing, as the budget names it.  ``remedy`` : what would make its ± smaller, where not to measure it.
    ``at_the_bench`` : set down with readings, or asked of a maker, so that nobody need say where it comes from.
    """
    if not has_doubt(quantity):
        return quantity.value + silent_doubt(quantity, words, remedy)
    cause = Cause(
        f"{words}: stated ±",
        quantity.key,
        shape=_shape(quantity),
        source=quantity.origin or UNSAID,
        remedy=remedy or (f"measure the {words}" if quantity.origin != Origin.MEASURED else "measure it better"),
        guess=_guess(quantity.origin, at_the_bench),
        subject=words,
    )
    if quantity.standard:
        return quantity.value + doubt(quantity.standard, cause)
    return quantity.value + half_width(quantity.spread or 0.0, cause)


def silent_doubt(quantity: Quantity, words: str, remedy: str = "") -> Number:
    """The doubt of a value of which no ± is said, SI: as its term declares for its origin, and its rounding."""
    wanted = term(quantity.key)
    limit = wanted.silent_width(quantity.origin, quantity.value)
    if limit == 0:
        return 0.0
    said = "nothing said of the tool" if quantity.origin == Origin.MEASURED else "nothing said"
    tool = f"say what the {words} was measured with" if quantity.origin == Origin.MEASURED else f"measure the {words}"
    cause = Cause(
        f"{words}: {said}, taken as ± {width_text(limit, quantity.unit)}",
        quantity.key,
        shape=_shape(quantity),
        source=f"{quantity.origin or UNSAID}; {USUAL}",
        remedy=remedy or tool,
        guess=SILENT,
        subject=words,
    )
    return half_width(limit, cause) + _last_digit(quantity, words)


def taken_words(quantity: Quantity) -> str:
    """What is taken for the ± of a quantity of which none is said, for whoever states it; "" where one is."""
    wanted = term(quantity.key)
    limit = 0.0 if has_doubt(quantity) else wanted.silent_width(quantity.origin, quantity.value)
    if limit == 0:
        return ""
    return f"No ± is said: taken as ± {width_text(limit, quantity.unit)}, which counts as a guess"


def _last_digit(quantity: Quantity, words: str) -> Number:
    """What rounding to the last digit makes, of a value that was measured."""
    if quantity.origin != Origin.MEASURED or quantity.step == 0:
        return 0.0
    cause = Cause(
        f"{words}: rounded to the last digit",
        quantity.key,
        shape=Shape.RECTANGULAR,
        source="resolution, JCGM 100:2008 F.2.2.1",
        remedy="read finer steps",
    )
    return doubt(quantity.step / math.sqrt(12), cause)


def as_made(key: str, value: float, fmt: Formatter) -> Number:
    """What a part to be made may be out by where nobody says how well it is held: as a maker's figure, SI."""
    wanted = term(key)
    limit = wanted.silent_width("", value)
    cause = Cause(
        f"{wanted.name} as made: no tolerance, taken as ± {width_text(limit, fmt.unit(wanted))}",
        key,
        shape=Shape.RECTANGULAR,
        source=f"the usual tolerance; {USUAL}",
        remedy=f"ask for a tolerance of the {wanted.name}",
        guess=SILENT,
        subject=f"{wanted.name} as made",
    )
    return half_width(limit, cause)


def usual_tool(key: str, amount: float, fmt: Formatter) -> tuple[float, Cause]:
    """Half-width (SI) of the usual tool for a reading of so much, where no instrument is named; and its cause."""
    wanted = term(key)
    limit = wanted.silent_width(Origin.MEASURED, amount)
    words = f"{wanted.name}, no instrument named"
    cause = Cause(
        f"{words}: taken as ± {width_text(limit, fmt.unit(wanted))}",
        key,
        source=f"the usual tool; {USUAL}",
        remedy=f"name the instrument of the {wanted.name}",
        guess=SILENT,
        subject=words,
    )
    return limit, cause


def width_text(limit: float, unit: str) -> str:
    """A half-width (SI) to two figures, in the unit that was written or is shown."""
    return f"{two_text(limit / conversion(unit).scale)} {unit}".strip()


def silent_words(key: str) -> str:
    """The usual ± of a term in words, as measured, a maker's figure, assumed; "" where it has none.

    >>> silent_words("gasket_thickness")
    '0.02 mm; 0.05 mm; 0.2 mm'
    >>> silent_words("chamber_volume")
    '1 %, at least 0.5 cc; 2.5 %, at least 1 cc; 10 %, at least 1 cc'
    """
    wanted = term(key)
    known = wanted.silent
    return "; ".join(filter(None, (_width_words(w, wanted) for w in (known.measured, known.maker, known.assumed))))


def _width_words(width: Width, wanted: Term) -> str:
    share = f"{two_text(100 * width.share)} %" if width.share else ""
    least = width_text(width.least, wanted.shown()) if width.least else ""
    return f"{share}, at least {least}" if share and least else share or least


def _guess(origin: Origin, at_the_bench: bool) -> str:
    """Why the stated ± of a value of that origin is without ground; "" where it has ground."""
    if origin == Origin.ASSUMED:
        return ASSUMED
    return "" if origin or at_the_bench else UNSAID


def _shape(quantity: Quantity) -> Shape:
    """What was measured is known as a normal is; of a maker's figure or a guess nothing within is preferred."""
    return Shape.NORMAL if quantity.origin == Origin.MEASURED else Shape.RECTANGULAR
