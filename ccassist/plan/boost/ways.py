"""What alone would make an engine as hard on the fuel as its baseline: the crown, the boost, the closing, the charge.

Each at even odds, where the octane difference as worked out is nothing, and
where the engine asks no more in 95 of 100 draws of what nobody knows.  What
can be is limited by what the cautions say of each lever; beyond that the
answer is that it cannot be, and how near it comes.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import replace

from ccassist.analysis.cylinder import Cylinder
from ccassist.boost.burn_case import Case
from ccassist.boost.cautions import OCTANE_RANGE, unsound
from ccassist.boost.figures import OCTANE, Stand, figure, measured_difference
from ccassist.boost.knock_charge import equal_knock
from ccassist.boost.knock_compare import most_above, octane_difference
from ccassist.boost.solve_boost import RATIO
from ccassist.engine.model import build
from ccassist.plan.boost.into_file import baseline_stand, put_in, stand_of
from ccassist.plan.boost.story import BoostStory
from ccassist.plan.solved import CLOSING, IntoFile
from ccassist.solve.solver import solve
from ccassist.values.display import Formatter
from ccassist.values.findings import InputError, NotPossible
from ccassist.values.number import nominal, standard
from ccassist.values.numerics import newton, secant
from ccassist.values.statistics import student
from ccassist.vocabulary import term
from ccassist.vocabulary.record import once, record

# What the cautions forbid of an answer: how far each thing can go, why no further, and what comes nearest.  Common
# practice, no source, unless said.

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
    """What a term must do: the engine it is of, the target and its value, SI, and the baseline that counts."""

    stand: Stand
    cylinder: Cylinder
    target: str
    value: float
    baseline: Stand | None
    fmt: Formatter  # of the words

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


CROWN, BOOST, CHARGE = "crown_volume", "boost_gauge", "charge_temperature"
WAYS = (CROWN, BOOST, CLOSING, CHARGE)
SAFER = {CROWN: "or more dish", BOOST: "or less", CLOSING: "or later", CHARGE: "or colder"}
_ONE_SIDED = student(math.inf, 0.90)  # standard deviations under which 95 of 100 lie
_TURNS = 2  # the margin is worked out again at the answer
_NUDGE, _STEPS, _CLOSE = 0.98, 12, 1e-5  # the step after one so short lands within its square
_MET = 1e-6  # octane


@record
class WayPlace:
    """Where a way brings the engine to: its value, SI, and of a crown the static ratio then."""

    value: float
    static_ratio: float | None = None


@record
class WayToTarget:
    """One thing that alone would do it.

    even, sure : what it must be at even odds, and for 95 of 100 draws; None where that cannot be.
    """

    key: str  # its term
    now: float  # what it is
    even: WayPlace | None = None
    sure: WayPlace | None = None
    refused: str = ""  # why not, and the nearest that can be; "" where both can
    into: IntoFile | None = None  # how the one of even odds is put into the file


@once
def ways(story: BoostStory, fmt: Formatter) -> tuple[WayToTarget, ...]:
    """Every way that the engine has; none where knock is not compared.  ``fmt`` : of the words."""
    worst, knock = story.worst_one, story.knock
    if knock is None or knock.difference is None or worst is None or worst.build is None:
        return ()
    cylinder = next(one for one in story.survey.cylinders if one.number == worst.number)
    stand, base = stand_of(story, worst.build, cylinder), baseline_stand(story, worst.number)[0]
    if base is None:
        return ()
    able = [key for key in WAYS if stand.conditions.compressed or key not in (BOOST, CHARGE)]
    search = _Search(story=story, cylinder=cylinder, stand=stand, base=base, fmt=fmt)
    return tuple(search.way(key) for key in able if key != CROWN or CROWN in cylinder.values)


def sure_ratio(story: BoostStory, cylinder: Cylinder, stand: Stand, base: Stand, fmt: Formatter) -> float | None:
    """The static ratio that is no harder on the fuel than the baseline in 95 of 100 draws; None where none is."""
    place = _Search(story=story, cylinder=cylinder, stand=stand, base=base, fmt=fmt).place(RATIO, sure=True)[0]
    return None if place is None else place.value


@record
class _Search:
    """The engine and its baseline, and how each way is looked for."""

    story: BoostStory
    cylinder: Cylinder
    stand: Stand
    base: Stand
    fmt: Formatter

    def way(self, key: str) -> WayToTarget:
        """One way: both of its values, or how near it comes."""
        now = self.cylinder.values[CROWN].nominal if key == CROWN else self.now(key)
        even, refused = self.place(key, sure=False)
        sure, short = self.place(key, sure=True) if even else (None, "")
        into = None
        if even is not None:
            moved = {key: even.value} if even.static_ratio is None else {RATIO: even.static_ratio}
            into = put_in(self.story, self.cylinder.number, self.stand, self.stand.but(**moved), {key: even.value})
            into = self.of_the_part(key, into)
        return WayToTarget(key=key, now=now, even=even, sure=sure, refused=refused or short, into=into)

    def of_the_part(self, key: str, into: IntoFile) -> IntoFile:
        """Stated where it stands now: a part that is one for several cylinders is changed in all of them."""
        number, survey = self.cylinder.number, self.story.survey
        parts = [one for one in survey.job.parts.values() if number in one.cylinders and key in one.given]
        if not parts or into.aside:
            return into
        alike = [one.values.get(key) is self.cylinder.values[key] for one in survey.cylinders]
        if not all(alike[other - 1] for other in parts[0].cylinders):
            return into
        place = ("part", parts[0].name)
        return replace(into, lines=tuple(replace(one, section=place) if one.key == key else one for one in into.lines))

    def place(self, key: str, *, sure: bool) -> tuple[WayPlace | None, str]:
        """Where it must be, or why it cannot be there."""
        unknown, above = RATIO if key == CROWN else key, 0.0
        try:
            at = self.even(unknown)
            for _ in range(_TURNS if sure else 0):
                above = self.margin(self.stand.but(**{unknown: at}))
                at = self.under(unknown, at, above)
            place = WayPlace(value=self.crown(at), static_ratio=at) if key == CROWN else WayPlace(value=at)
        except NotPossible:
            place = WayPlace(value=math.nan)
        wanted = Wanted(
            stand=self.stand, cylinder=self.cylinder, target=OCTANE, value=-above, baseline=self.base, fmt=self.fmt
        )
        refused = wanted.forbidden(key, place.value)
        if not refused:
            return place, ""
        return None, refused if not sure else refused.replace(":", " for 95 of 100:", 1)

    def even(self, unknown: str) -> float:
        """The value of a term at which the difference as worked out is nothing: the nearest, else any that can be."""
        now = self.now(unknown)
        with suppress(NotPossible, ValueError, ZeroDivisionError):
            near = self.under(unknown, now, 0.0)
            low, high = term(unknown).possible
            if low <= near <= high and abs(octane_difference(self.base.case, self._made(unknown)(near))) < _MET:
                return near
        return equal_knock(self.base.case, self._made(unknown), now, unknown=unknown)[0]

    def now(self, key: str) -> float:
        """What a term is."""
        number = self.stand.now(key)
        assert number is not None  # every way is of something that the engine has
        return nominal(number)

    def under(self, unknown: str, near: float, octane: float) -> float:
        """The value at which it lies so far under nothing, looked for from near there."""
        made = self._made(unknown)

        def lacking(value: float) -> float:
            case = made(float(value))
            if wrong := unsound(case):
                raise NotPossible(wrong)
            return octane_difference(self.base.case, case) + octane

        return float(newton(secant(lacking, near), near * _NUDGE, steps=_STEPS, close=_CLOSE))

    def _made(self, unknown: str) -> Callable[[float], Case]:
        sure = self.stand.plain()
        return lambda value: sure.but(**{unknown: value}).case

    def margin(self, stand: Stand) -> float:
        """What keeps 95 of 100 draws under nothing, in octane; with what was measured, where its ± is known."""
        spread = standard(measured_difference(stand, self.base, but=""))
        measured = _ONE_SIDED * spread if math.isfinite(spread) else 0.0
        return math.hypot(most_above(self.base.case, stand.case), measured)

    def crown(self, ratio: float) -> float:
        """The crown that makes a static ratio."""
        known = {key: nominal(number) for key, number in self.cylinder.known.items()}
        answer = solve(known, self.cylinder.choices, unknowns=(CROWN,), targets={RATIO: ratio}, algebra=False)
        return answer.best.nominal
