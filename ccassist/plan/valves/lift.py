"""The lift of a valve in a job: how far it opens, and its curve against crank angle with its doubt.

The curve is laid through lifts that were read.  Where there are none, one may
be assumed from the largest lift and the events, for planning only.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from typing import Protocol

from ccassist.analysis.results import Survey
from ccassist.engine.cam import FULLNESS, assumed_half, assumed_lift, lobe_lift, through, valve_lift
from ccassist.engine.mathematics import uncertain
from ccassist.plan.valves.cam_card import CamCard
from ccassist.values import numerics
from ccassist.values.findings import Finding, error, warning
from ccassist.values.measured import Value, computed
from ccassist.values.number import Number, nominal
from ccassist.values.numerics import root
from ccassist.values.uncertainty import Cause, differ, half_width
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import Shape

FEWEST = 4  # readings that make a curve; common practice asks for one every 2 to 5 degrees
WIDEST = math.radians(5.0)


@record
class Lifts:
    """How far a lobe and its valve lift, how that was found, and what is lacking for it."""

    lobe: Value | None = None
    valve: Value | None = None
    lacking: tuple[str, ...] = ()
    findings: tuple[Finding, ...] = ()


class LiftByAngle(Protocol):
    """Lift [m] against crank angle after top dead centre [rad], with phasing where it was read."""

    @property
    def low(self) -> float:
        """The first angle for which it holds [rad]."""

    @property
    def high(self) -> float:
        """The last angle for which it holds [rad]."""

    @property
    def measured(self) -> bool:
        """Whether it was read; else it is assumed, and never makes a final clearance."""

    def at(self, angle: float) -> float:
        """Lift [m] at an angle [rad], a plain number."""

    def number(self, angle: float) -> Number:
        """Lift [m] at an angle [rad] with its doubt."""


def lifts_of(survey: Survey, valve: str) -> Lifts:
    """Lift of a valve and its lobe: as stated, or from lobe, base circle, rocker ratio and lash."""
    stated = survey.stated.get(f"valve.{valve}", {})
    if not stated:
        return Lifts()
    lobe = None
    if "lobe_height" in stated and "base_circle" in stated:
        number = lobe_lift(stated["lobe_height"].number, stated["base_circle"].number)
        lobe = computed("lobe_lift", number, "over the nose less base circle")
    lash = _lash(survey, stated)
    ratio = _ratio(survey, valve)
    needs = {"lobe_height": lobe, "base_circle": lobe, "rocker_ratio": ratio, "lash": lash}
    lacking = tuple(key for key, value in needs.items() if value is None and key not in stated)
    made = None
    if lobe is not None and ratio is not None and lash is not None:
        number = valve_lift(lobe.number, ratio, lash)
        made = computed("valve_lift", number, "lobe lift × rocker ratio − lash")
    said = stated.get("valve_lift")
    findings = _disagree(said, made, valve, survey) if said and made else ()
    return Lifts(lobe=lobe, valve=said or made, lacking=() if said else lacking, findings=findings)


def _ratio(survey: Survey, valve: str) -> Number | None:
    """The rocker ratio stated; exactly 1 for a bucket on the valve; None where neither is said."""
    stated = survey.stated.get(f"valve.{valve}", {}).get("rocker_ratio")
    if stated is not None:
        return stated.number
    return 1.0 if survey.job.said.get(f"valve.{valve}", {}).get("follower") == "bucket on the valve" else None


def _lash(survey: Survey, stated: Mapping[str, Value]) -> Number | None:
    """The lash stated; nothing with hydraulic tappets; None where neither is said."""
    if "lash" in stated:
        return stated["lash"].number
    return 0.0 if survey.job.said.get("cam", {}).get("tappets") == "hydraulic" else None


def _disagree(said: Value, made: Value, valve: str, survey: Survey) -> tuple[Finding, ...]:
    if not differ(said.number, made.number, hair=1e-9):
        return ()
    shown = [survey.fmt.number("valve_lift", v.number) for v in (said, made)]
    wrong = f"the {valve} valve lift is stated as {shown[0]}, but lobe, rocker and lash make it {shown[1]}"
    right = "a catalogue's lift is often at the lobe, or without lash; measure the rocker ratio"
    place = f"valve.{valve}.valve_lift"
    return (error("contradiction", wrong, right=right, file=survey.job.file, place=place, line=said.line),)


@record
class MeasuredCurve:
    """Through readings.  Its doubt is that of the readings beside, of the wheel's zero, and of the curve between."""

    readings: numerics.Curve[float]
    errors: tuple[Number, ...]
    zero: Number = 0.0
    measured: bool = True

    @property
    def low(self) -> float:
        """The first angle read [rad]."""
        return self.readings.x[0]

    @property
    def high(self) -> float:
        """The last angle read [rad]."""
        return self.readings.x[-1]

    def at(self, angle: float) -> float:
        """Lift [m] at an angle [rad], a plain number."""
        return self.readings.value(angle)

    def number(self, angle: float) -> Number:
        """Lift [m] at an angle [rad] with its doubt."""
        index = self.readings.interval(angle)
        before, after = self.readings.x[index : index + 2]
        part = (angle - before) / (after - before)
        beside = (1 - part) * self.errors[index] + part * self.errors[index + 1]
        return self.at(angle) + beside - self.readings.slope(angle) * self.zero + self._between(index)

    def _between(self, index: int) -> Number:
        """Doubt of the curve between two readings: a quarter of its bow at their middle."""
        first, last = self.readings.x[index : index + 2]
        straight = sum(self.readings.y[index : index + 2]) / 2
        bow = abs(self.at((first + last) / 2) - straight)
        cause = Cause(
            "valve lift between two readings",
            "valve_lift",
            shape=Shape.RECTANGULAR,
            source="a quarter of the curve's bow, common practice, no source",
            remedy="read the lift at closer angles",
        )
        return half_width(bow / 4, cause) if bow > 0 else 0.0


@record
class AssumedCurve:
    """An assumed smooth lift through the events, for planning only."""

    centre: Number
    half: Number
    most: Number
    measured: bool = False

    @property
    def low(self) -> float:
        """Where it leaves the seat [rad]."""
        return nominal(self.centre) - nominal(self.half)

    @property
    def high(self) -> float:
        """Where it comes back to it [rad]."""
        return nominal(self.centre) + nominal(self.half)

    def at(self, angle: float) -> float:
        """Lift [m] at an angle [rad], a plain number."""
        inside = max(0.0, 1 - ((angle - nominal(self.centre)) / nominal(self.half)) ** 2)
        return nominal(self.most) * float(inside**FULLNESS)

    def number(self, angle: float) -> Number:
        """Lift [m] at an angle [rad] with its doubt."""
        if self.at(angle) <= 0:
            return 0.0
        return assumed_lift(angle, self.centre, self.half, self.most)


def curve_of(
    survey: Survey, card: CamCard, valve: str, lifts: Lifts, zero: Number
) -> tuple[LiftByAngle | None, tuple[Finding, ...], tuple[str, ...]]:
    """The lift curve of a valve, what was found wrong with it, and what is lacking where there is none.

    ``zero`` is the doubt of the degree wheel's zero [rad], one number for both valves.
    """
    rows = survey.listed.get(f"valve.{valve}", {}).get("lifts", ())
    if rows:
        curve, findings = _through(rows, zero)
        findings += _against_card(survey, card, valve, curve) if curve else []
        place = f"valve.{valve}.lifts"
        line = rows[0]["lift"].line
        return curve, tuple(f.at(file=survey.job.file, place=place, line=line) for f in findings), ()
    return _assumed(survey, card, valve, lifts)


def read_curve(survey: Survey, valve: str, zero: Number) -> MeasuredCurve | None:
    """The curve through the lifts read of a valve; None where there are none, or they make none."""
    rows = survey.listed.get(f"valve.{valve}", {}).get("lifts", ())
    return _through(rows, zero)[0] if rows else None


def _through(rows: Sequence[Mapping[str, Value]], zero: Number) -> tuple[MeasuredCurve | None, list[Finding]]:
    ordered = sorted(rows, key=lambda row: row["angle"].nominal)
    angles = [row["angle"].nominal for row in ordered]
    steps = [after - before for before, after in pairwise(angles)]
    if len(angles) < FEWEST:
        right = "read the lift every 2 to 5 degrees about top dead centre"
        return None, [error("too-few-readings", f"fewer than {FEWEST} lifts make no curve", right=right)]
    if min(steps) < 1e-9:
        return None, [error("contradiction", "two lifts at one crank angle", right="give each angle once")]
    lifts = [row["lift"].nominal for row in ordered]
    readings = through(angles, lifts)
    slipped = [
        row["lift"].number - row["lift"].nominal
        - readings.slope(row["angle"].nominal) * (row["angle"].number - row["angle"].nominal)
        for row in ordered
    ]  # fmt: skip
    found = []
    if max(steps) > WIDEST * 1.001:
        wrong = f"lifts as far apart as {math.degrees(max(steps)):.3g} degrees: the curve between is a guess"
        found.append(warning("wide-steps", wrong, right="read every 2 to 5 degrees"))
    return MeasuredCurve(readings=readings, errors=tuple(slipped), zero=zero), found


def _against_card(survey: Survey, card: CamCard, valve: str, curve: MeasuredCurve) -> list[Finding]:
    """A warning where the readings have another lift at the event by top dead centre than the card was read at."""
    event = card.values.get("intake_opening" if valve == "intake" else "exhaust_closing")
    at = None if card.event_lift is None else event_lift_at_valve(survey, card.event_lift, valve)
    if event is None or at is None or "lift_read_at" not in survey.job.said.get("cam", {}):
        return []
    angle = -event.number if valve == "intake" else event.number
    place = nominal(angle)
    if not curve.low <= place <= curve.high:
        return []
    read = curve.number(place) + curve.readings.slope(place) * (angle - place)
    if not differ(read, at, hair=1e-9):
        return []
    shown = [survey.fmt.number("valve_lift", number) for number in (read, at)]
    name = term(event.key).name
    wrong = f"at the {name} of the card the lift readings have {shown[0]}, but the card was read at {shown[1]}"
    right = "phasing, lash or the wheel's zero was not the same for both"
    return [warning("lift-against-card", wrong, right=right)]


def _assumed(
    survey: Survey, card: CamCard, valve: str, lifts: Lifts
) -> tuple[LiftByAngle | None, tuple[Finding, ...], tuple[str, ...]]:
    """A curve from the largest lift and the events, or what is lacking for one."""
    keys = (f"{valve}_duration", f"{valve}_centreline")
    lacking = [key for key in keys if key not in card.values]
    if lifts.valve is None:
        lacking += ["valve_lift", *lifts.lacking]
    if card.event_lift is None:
        lacking.append("event_lift")
    if lacking or lifts.valve is None or card.event_lift is None:
        return None, (), tuple(lacking)
    if card.event_lift.nominal and "lift_read_at" not in survey.job.said.get("cam", {}):
        wrong = "it is not said whether the events were read at the valve or the tappet: no lift curve is assumed"
        right = 'lift_read_at = "the valve" or "the tappet"'
        return None, (warning("no-lift-basis", wrong, right=right, file=survey.job.file, place="cam"),), ()
    at = event_lift_at_valve(survey, card.event_lift, valve)
    if at is None:
        return None, (), ("rocker_ratio", "lash")
    most = lifts.valve.number
    if not 0 <= nominal(at) < nominal(most):
        wrong = f"the events were read at more than the {valve} valve's whole {term('valve_lift').name}"
        place = f"valve.{valve}"
        return None, (error("contradiction", wrong, file=survey.job.file, place=place, line=lifts.valve.line),), ()
    m = uncertain()
    duration, centre = (card.values[key].number for key in keys)
    half = duration / 2 if nominal(at) == 0 else assumed_half(duration / 2, at, most, m=m)
    middle = centre if valve == "intake" else -centre
    return AssumedCurve(centre=middle, half=half, most=most), (), ()


def event_lift_at_valve(survey: Survey, lift: Value, valve: str) -> Number | None:
    """The lift at which events were read, at the valve; None where rocker ratio or lash would be needed."""
    if survey.job.said.get("cam", {}).get("lift_read_at") != "the tappet" or lift.nominal == 0:
        return lift.number
    ratio, lash = _ratio(survey, valve), _lash(survey, survey.stated.get(f"valve.{valve}", {}))
    return None if ratio is None or lash is None else valve_lift(lift.number, ratio, lash)


# The events of a cam at another lift than its card has: where the valve, as its lift was read, passes that lift.

PRINTED = (0.001, 0.00127)  # m: 1 mm and 0.050 in, the lifts at which most cards are printed (common practice)
# Valve, whether it opens there, and the event's own counting: factor and bottom or top dead centre it counts from.
_EVENTS = {
    "intake_opening": ("intake", True, -1, 0.0),
    "intake_closing": ("intake", False, 1, math.pi),
    "exhaust_opening": ("exhaust", True, -1, -math.pi),
    "exhaust_closing": ("exhaust", False, 1, 0.0),
}


def event_at(survey: Survey, key: str, lift: Number, zero: Number = 0.0) -> Value | None:
    """An event at a lift of the valve [m]; None where the lift was not read there.

    ``zero`` : doubt of the degree wheel's zero [rad].
    """
    valve, opens, way, centre = _EVENTS[key]
    curve = read_curve(survey, valve, zero)
    angle = None if curve is None else _passes(curve, lift, opens)
    return None if angle is None else computed(key, way * (angle - centre), "from the lift as read")


def turned(survey: Survey, event: Value, lift: Value, other: Value) -> Value | None:
    """An event read at one lift as it is at another, by the lift as read of this engine's valve; None without it."""
    valve = _EVENTS[event.key][0]
    ends = [event_lift_at_valve(survey, one, valve) for one in (other, lift)]
    there, here = (None if end is None else event_at(survey, event.key, end) for end in ends)
    if there is None or here is None:
        return None
    return computed(event.key, event.number + there.number - here.number, "turned to the lift of the card")


def others(survey: Survey, card: Value | None, zero: Number) -> Iterator[tuple[Value, float]]:
    """Each event at the lifts that cards are printed at, other than that of this card, with the lift [m]."""
    for lift in PRINTED:
        if card is None or not math.isclose(lift, card.nominal, abs_tol=1e-6):
            for key in _EVENTS:
                found = event_at(survey, key, lift, zero)
                if found is not None:
                    yield found, lift


def _passes(curve: MeasuredCurve, lift: Number, opens: bool) -> Number | None:
    """The crank angle [rad] at which it passes a lift on that flank; None where it was not read there."""
    wanted = nominal(lift)
    x, y = curve.readings.x, curve.readings.y
    for (low, below), (high, above) in pairwise(zip(x, y, strict=True)):
        if (below <= wanted < above) if opens else (below > wanted >= above):
            at = root(lambda angle: curve.at(angle) - wanted, low, high)
            slope = curve.readings.slope(at)
            return at + (lift - curve.number(at)) / slope if slope else None
    return None
