"""What the cautions forbid of an answer: how far each thing can go, why no further, and what comes nearest.

Common practice, no source, unless said.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from ccassist.analysis.cylinder import Cylinder
from ccassist.boost.cautions import OCTANE_RANGE
from ccassist.boost.figures import OCTANE, Stand, figure
from ccassist.boost.solve_boost import RATIO
from ccassist.engine.model import build
from ccassist.plan.solved import CLOSING
from ccassist.values.display import Formatter
from ccassist.values.findings import InputError, NotPossible
from ccassist.values.number import nominal
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record

PARTS = (
    "crown_volume",
    "gasket_thickness",
    "chamber_volume",
    "compression_height",
    "deck_clearance",
    "block_deck_height",
    "extra_volume",
)
NAMES = {
    "crown_volume": "the crown",
    "gasket_thickness": "a gasket",
    "boost_gauge": "boost",
    "manifold_pressure": "boost",
    CLOSING: "the closing",
    "charge_temperature": "a cooler",
    "cooler_effectiveness": "a cooler",
    "octane_number": "a fuel",
    "burn_phasing": "the spark",
}
_WIDEST_SQUISH = 2e-3  # m; a wider gap does no work
_BEST_COOLER = 0.95


@record
class Limits:
    """How far something can go, SI: ``low`` and ``high``, and why no further."""

    low: float = -math.inf
    high: float = math.inf
    why_low: str = ""
    why_high: str = ""

    def why(self, number: float) -> str:
        """Why a number cannot be; "" where it can."""
        return self.why_low if number < self.low else self.why_high if number > self.high else ""

    def ends(self, key: str) -> tuple[float, float]:
        """Between which places the nearest is looked for: the limits, or what is usual."""
        low, high = term(key).plausible
        return self.low if math.isfinite(self.low) else low, self.high if math.isfinite(self.high) else high


def limits(key: str, stand: Stand, cylinder: Cylinder, fmt: Formatter) -> Limits:
    """How far a term can go in an engine."""
    if key == "gasket_thickness":
        return _gasket(cylinder, fmt)
    if key == "charge_temperature":
        return _charge(stand, fmt)
    if key == "octane_number":
        known = f"what is known of fuels holds from {OCTANE_RANGE[0]:.0f} to {OCTANE_RANGE[1]:.0f} octane"
        return Limits(low=OCTANE_RANGE[0], high=OCTANE_RANGE[1], why_low=known, why_high=known)
    if key == "boost_gauge":
        return Limits(low=0.0, why_low="there is no less than no boost")
    if key == "cooler_effectiveness":
        return Limits(high=_BEST_COOLER, why_high=f"no cooler does more than {_BEST_COOLER:g}")
    return Limits()


def _gasket(cylinder: Cylinder, fmt: Formatter) -> Limits:
    """No thicker than the squish bears: a ratio is never reached by a gasket."""
    squish, thick = cylinder.values.get("squish"), cylinder.values.get("gasket_thickness")
    if squish is None or thick is None:
        return Limits()
    widest = fmt.show("squish", _WIDEST_SQUISH, words=False)
    why = f"over a squish gap of {widest} the squish is lost, and the engine knocks sooner at the same ratio"
    return Limits(high=max(thick.nominal, thick.nominal + _WIDEST_SQUISH - squish.nominal), why_high=why)


def _charge(stand: Stand, fmt: Formatter) -> Limits:
    """Between the cooler's coolant and no cooler at all."""
    coolant = stand.conditions.values.get("coolant_temperature")
    hot = stand.compressed.charge.compressor_temperature
    if coolant is None:
        return Limits()
    cold = f"no cooler comes so near to its coolant of {fmt.show('coolant_temperature', coolant.nominal)}"
    if hot is None:
        return Limits(low=coolant.nominal, why_low=cold)
    low = coolant.nominal + (1 - _BEST_COOLER) * (nominal(hot) - coolant.nominal)
    return Limits(low=low, high=nominal(hot), why_low=cold, why_high="it is no hotter than that without a cooler")


@record
class Wanted:
    """What a term must do: the engine it is of, the target and its value, SI, and the baseline that counts.

    ``fmt`` : of the words.
    """

    stand: Stand
    cylinder: Cylinder
    target: str
    value: float
    baseline: Stand | None
    fmt: Formatter

    def forbidden(self, key: str, number: float) -> str:
        """That an answer cannot be, why, and the nearest that can; "" where it can be.

        ``number`` : SI, NaN where nothing at all does it.
        """
        far = limits(key, self.stand, self.cylinder, self.fmt)
        if not (why := far.why(number)) and not math.isnan(number):
            return ""
        asked = f"it would have to be {_shown(key, number, self.fmt)}; {why}"
        asked = "nothing brings it there" if math.isnan(number) else asked
        return f"Not with {NAMES.get(key, f'the {term(key).name}')}: {asked}{self.nearest(key, far)}"

    def nearest(self, key: str, far: Limits) -> str:
        """The end of what can be that comes nearest to the target, and what the target is there."""
        found: dict[float, float] = {}
        for end in far.ends(key):
            try:
                found[end] = self.got(key, end)
            except (NotPossible, InputError, ValueError, ZeroDivisionError):
                continue
        able = {end: got for end, got in found.items() if math.isfinite(got)}
        if not able:
            return ""
        end = min(able, key=lambda one: abs(able[one] - self.value))
        got = _shown(self.target, able[end], self.fmt)
        return f". Nearest: {_shown(key, end, self.fmt)}, with the {term(self.target).name} {got}"

    def got(self, key: str, number: float) -> float:
        """The target with the term at a number, SI."""
        if key == "octane_number" and self.baseline is not None:
            same = nominal(figure(self.target, self.stand.plain(), self.baseline))
            return same - (number - self.baseline.case.operating.octane)
        known = {name: nominal(one) for name, one in self.cylinder.known.items()}
        made = {RATIO: _ratio(self.cylinder, {**known, key: number})} if key in PARTS else {key: number}
        return nominal(figure(self.target, self.stand.but(**made).plain(), self.baseline))


def _shown(key: str, number: float, fmt: Formatter) -> str:
    """As printed; octane to a tenth."""
    return fmt.show(key, number, decimals=1 if key in (OCTANE, "octane_number") else None)


def _ratio(cylinder: Cylinder, known: Mapping[str, float]) -> float:
    return build(known, cylinder.choices).evaluate(known)[RATIO]
