"""The cam card of a job: every figure that follows from what is stated, the lift it holds for, and the phasing.

What is stated several ways is compared; nothing is averaged and nothing is
turned from one lift into another.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field

from ccassist.analysis.results import Survey
from ccassist.analysis.which_counts import events_of, lift_basis
from ccassist.engine.cam import CARD, advanced, complete
from ccassist.values.display import formatter
from ccassist.values.findings import Finding, error, warning
from ccassist.values.measured import Value, computed
from ccassist.values.number import Number, nominal
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record

VALVES = ("intake", "exhaust")


@record
class Reach:
    """An event over the whole range of phasing: ``earliest`` fully advanced, ``latest`` fully retarded.

    Both are in the event's own counting, so the earliest intake closing is the smaller number and the earliest
    intake opening the larger one.
    """

    earliest: Value
    latest: Value


@record
class CamCard:
    """The cam card.

    values : every figure stated or worked out, by term; how each was found stands in it.
    advance, retard : by valve, how far phasing can move it [rad] from where it was read; 0 where it cannot.
    """

    values: Mapping[str, Value] = field(default_factory=dict)
    event_lift: Value | None = None  # the lift at which the events were read, None where it is not said
    lift_basis: str = ""  # the same in words, to be printed beside every figure
    advance: Mapping[str, Number] = field(default_factory=dict)
    retard: Mapping[str, Number] = field(default_factory=dict)
    findings: tuple[Finding, ...] = ()  # contradictions, and what is asked
    lacking: tuple[str, ...] = ()  # figures of the card that could not be worked out

    @property
    def given(self) -> bool:
        """Whether anything is known of the cam at all."""
        return bool(self.values)

    @property
    def intake_closing(self) -> Value | None:
        """Intake closing as read, with its ±."""
        return self.values.get("intake_closing")

    def phased(self, valve: str) -> bool:
        """Whether the phasing of a valve's cam can be moved."""
        return nominal(self.advance.get(valve, 0.0)) > 0 or nominal(self.retard.get(valve, 0.0)) > 0

    def reach(self, key: str) -> Reach | None:
        """An event or centreline over the whole range of phasing, None where it is not known."""
        value, valve = self.values.get(key), key.split("_")[0]
        if value is None:
            return None
        early, late = self.advance.get(valve, 0.0), -self.retard.get(valve, 0.0)
        return Reach(
            earliest=_moved(value, early, "fully advanced") if nominal(early) else value,
            latest=_moved(value, late, "fully retarded") if nominal(late) else value,
        )

    def overlap_reach(self) -> tuple[Value, Value] | None:
        """Least and most overlap over the whole range of both phasings."""
        opening, closing = self.reach("intake_opening"), self.reach("exhaust_closing")
        if opening is None or closing is None:
            return None
        least = opening.latest.number + closing.earliest.number
        most = opening.earliest.number + closing.latest.number
        return (
            computed("valve_overlap", least, "cams farthest apart"),
            computed("valve_overlap", most, "cams closest together"),
        )


def cam_card(survey: Survey, system: str | None = None) -> CamCard:
    """The cam card of a survey; empty where its job states nothing of the cam.

    ``system`` : units of the words in it; the job's own where not said.
    """
    stated = survey.stated.get("cam", {})
    findings: list[Finding] = []
    events = events_of(stated)
    findings += [_contradiction(stated[key], events.found[key], events.numbers, survey) for key in events.denied]
    counts = {key: one for key, one in stated.items() if key not in events.denied}
    values = {
        key: counts[key] if key in counts else computed(key, events.found[key], f"worked out: {events.how[key]}")
        for key in CARD
        if key in events.found
    }
    lift = stated.get("event_lift")
    if values and lift is None:
        findings.append(_lift_asked())
    return CamCard(
        values=values,
        event_lift=lift,
        lift_basis=lift_basis(survey.job, lift, formatter(system or survey.job.system)),
        advance={valve: _phase(stated, valve, "advance") for valve in VALVES},
        retard={valve: _phase(stated, valve, "retard") for valve in VALVES},
        findings=tuple(f.at(file=survey.job.file) for f in findings),
        lacking=tuple(key for key in CARD if key not in values) if values else (),
    )


def _phase(stated: Mapping[str, Value], valve: str, way: str) -> Number:
    value = stated.get(f"{valve}_phase_{way}")
    return 0.0 if value is None else value.number


def _moved(value: Value, by: Number, how: str) -> Value:
    return computed(value.key, advanced(value.key, value.number, by), how)


def _contradiction(stated: Value, made: Number, taken: Mapping[str, Number], survey: Survey) -> Finding:
    fmt = survey.fmt
    others = ", ".join(term(key).name for key in taken if _bears_on(stated.key, key, taken))
    return error(
        "contradiction",
        f"the {term(stated.key).name} is stated as {fmt.number(stated.key, stated.number)}, but "
        f"{others} make it {fmt.number(stated.key, made)}",
        read=stated.raw[0] if stated.raw else "",
        right="one of them was read at another lift, in another position, or wrongly",
        place=f"cam.{stated.key}",
        line=stated.line,
    )


def _bears_on(key: str, other: str, taken: Mapping[str, Number]) -> bool:
    """Whether a figure is needed to work out another."""
    return key not in complete({name: number for name, number in taken.items() if name != other})[0]


def _lift_asked() -> Finding:
    return warning(
        "no-event-lift",
        "the lift at which the valve events were read is not said: the same cam at the seat and at 0.050 in differs "
        "by a whole ratio",
        right='say event_lift = "1.00 mm", or "0 mm" for seat to seat, and lift_read_at',
        place="cam",
    )
