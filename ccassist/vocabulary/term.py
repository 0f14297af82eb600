"""What a term is: one quantity of the trade, with its kind, its sign in words and its ranges.

Ranges are in SI units (m, m³, m², rad, Pa, K, kg, s, m/s, 1/s, kg/m³); the words never carry a unit.  What is
plausible is common practice, no source; what is possible is far outside it.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum


class Kind(Enum):
    """What sort of quantity a term is; decides which units may be written."""

    LENGTH = "length"
    AREA = "area"
    VOLUME = "volume"
    ANGLE = "angle"
    MASS = "mass"
    TIME = "time"
    TEMPERATURE = "temperature"
    PRESSURE = "pressure"
    SPEED = "speed"
    TURNS = "rotational speed"
    DENSITY = "density"
    RATIO = "ratio"
    COUNT = "count"


@dataclass(frozen=True, kw_only=True)
class Sign:
    """The words that stand for the sign of a quantity, so it is never bare.

    ``plus``, ``minus`` and ``zero`` are the words accepted from the user;
    ``says_plus``, ``says_minus`` and ``says_zero`` are how the value is shown,
    with ``{}`` for the unsigned amount and its unit.  ``bare_is_plus`` is for
    quantities whose unsigned number nobody reads as negative.
    """

    plus: tuple[str, ...]
    minus: tuple[str, ...]
    zero: tuple[str, ...]
    says_plus: str
    says_minus: str
    says_zero: str
    bare_is_plus: bool = False


@dataclass(frozen=True)
class Width:
    """A half-width: at least so much (SI), or a share of the value where that is more."""

    least: float
    share: float = 0.0

    def at(self, value: float) -> float:
        """The half-width of a value, SI."""
        return max(self.least, self.share * abs(value))


@dataclass(frozen=True, kw_only=True)
class Silent:
    """How well a value is known of which no ± is said, by where it comes from: the usual tool, a maker, a guess.

    What was measured is so known with 95 % (a normal); a maker's figure and a guess lie anywhere within.  Common
    practice, no source.
    """

    measured: Width
    maker: Width
    assumed: Width


@dataclass(frozen=True, kw_only=True)
class Term:
    """One quantity of the trade.

    Attributes
    ----------
    key : name used in job files, JSON and as parameter name of relations.
    name : the trade's word for it.
    symbol : short form for the algebra.
    kind : which units may be written.
    meaning : what exactly is meant, in one sentence.
    synonyms : other words of the trade for it, as :mod:`ccassist.vocabulary.words` has them; some mean other terms too.
    sign : sign in words, or None where the quantity has no sign to mistake.
    possible : SI range outside which a value is refused.
    plausible : SI range outside which the user is asked "are you sure?".
    small : shown in the finer unit of its kind (thou rather than inch).
    units : shown units (metric, imperial) where they differ from the kind's.
    caution : the mistake commonly made with it.
    basis : of a pressure, what it counts from: "gauge" or "absolute", which may be said behind the unit.
    typical : SI value for an example; a middle of the plausible range where None.
    silent : how well it is known where no ± is said; as its kind says where None (:mod:`ccassist.vocabulary.silent`).
    """

    key: str
    name: str
    symbol: str
    kind: Kind
    meaning: str
    possible: tuple[float, float]
    plausible: tuple[float, float]
    synonyms: tuple[str, ...] = ()
    sign: Sign | None = None
    small: bool = False
    units: tuple[str, str] | None = None
    caution: str = ""
    basis: str = ""
    silent: Silent | None = None
    typical: float | None = None

    @property
    def difference(self) -> bool:
        """Whether it is a difference of temperatures, which a unit with a zero of its own cannot say."""
        return self.kind is Kind.TEMPERATURE and self.units == ("K", "K")
