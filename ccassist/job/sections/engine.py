"""What a section of stated things is: a heading of the job file, and what may stand under it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field

from ccassist.vocabulary import stated_in
from ccassist.vocabulary.record import record


@record
class Section:
    """One heading of the job file that states values for the whole engine.

    name : heading, such as "cam" or "valve.intake".
    meaning : what stands here, in one line.
    terms : the terms that may be stated.
    chosen : of these, what is decided and not measured: nobody asks for its origin or its ±.
    asked : of these, what is asked of whoever makes the part: nobody asks for its origin.
    decided : of these, what is looked at as decided: exact, unless its origin or its ± is said.
    words : choices in words: key -> the words that may be said.
    texts : keys of free text -> their meaning.
    lists : keys of a list of readings -> what one holds, by field: its term.
    samples : the keys that a new file shows as examples; all of them where empty.
    guide : the keys that the guide asks for; the samples where empty.
    asks : how the guide asks for a thing, where its key or meaning is not question enough.
    left_in : the section that says who decides what is not settled here.
    instead : a key that may be stated instead of another: the other -> it.
    refused : keys that somebody may want to write here and that must not stand here -> what they are.
    only_with : a key that is asked for only where another says one of these words: key -> (the other, the words).
    """

    name: str
    meaning: str
    terms: tuple[str, ...] = ()
    chosen: tuple[str, ...] = ()
    asked: tuple[str, ...] = ()
    decided: tuple[str, ...] = ()
    words: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    texts: Mapping[str, str] = field(default_factory=dict)
    lists: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    samples: tuple[str, ...] = ()
    guide: tuple[str, ...] = ()
    asks: Mapping[str, str] = field(default_factory=dict)
    left_in: str = ""
    instead: Mapping[str, str] = field(default_factory=dict)
    refused: Mapping[str, str] = field(default_factory=dict)
    only_with: Mapping[str, tuple[str, tuple[str, ...]]] = field(default_factory=dict)

    @property
    def path(self) -> tuple[str, ...]:
        """Where it stands in the parsed file."""
        return tuple(self.name.split("."))

    @property
    def unasked(self) -> tuple[str, ...]:
        """The terms whose origin nobody asks for."""
        return (*self.chosen, *self.asked, *self.decided)

    @property
    def keys(self) -> tuple[str, ...]:
        """Everything that may be written under the heading."""
        return (*self.terms, *self.words, *self.texts, *self.lists)


# The cam as installed: when the valves open and close, and at which lift that was read.

CAM = (
    Section(name="cam", meaning="the cam as installed: valve events, and the lift at which they were read",
            terms=stated_in("cam"),
            samples=("intake_opening", "intake_closing", "exhaust_opening", "exhaust_closing", "event_lift",
                     "lift_read_at", "tappets", "wheel_doubt"), chosen=("wheel_doubt", "intake_phase_at_load"),
            words={"lift_read_at": ("the valve", "the tappet"), "tappets": ("solid", "hydraulic")},
            asks={"lift_read_at": "Where that lift was read", "tappets": "What the tappets are"}),
)  # fmt: skip


# The valves: where each stands over the piston, how far it lifts, and the room wanted for it.

_SAMPLES = ("valve_diameter", "valve_angle", "valve_drop", "wanted_valve_gap", "wanted_radial_gap", "lifts")


def _valve(which: str) -> Section:
    return Section(
        name=f"valve.{which}",
        meaning=f"the {which} valve over the piston: where it stands, its lift, its pocket, and the room wanted",
        terms=stated_in("valve"),
        chosen=("wanted_valve_gap", "wanted_radial_gap"),
        words={"follower": ("bucket on the valve", "rocker", "finger")},
        samples=_SAMPLES if which == "intake" else _SAMPLES[:1],
        lists={"lifts": {"angle": "crank_angle", "lift": "valve_lift"}},
    )


VALVE = (_valve("intake"), _valve("exhaust"))


# The charge and how the engine is run, and the engine that it is set against: what is decided and what was read.

_DECIDED = (
    "boost_gauge", "manifold_pressure", "altitude", "mixture_strength", "engine_speed", "burn_phasing",
    "burn_duration", "spark_advance", "air_fuel_ratio", "octane_number", "pump_octane", "ethanol_share",
    "methanol_share",
)  # fmt: skip
# The petrol's vapour stands in for the whole of it; the charge room says which gas it takes.
METHANOL = "methanol"
FUEL_WORDS = ("petrol", "aromatic petrol", "ethanol", "dry air", METHANOL)
CLEAN = "clean, no knock heard or seen"
ON_SITE, SEA_LEVEL = "read on site", "reduced to sea level"
GEOMETRIC, GEOPOTENTIAL = "geometric", "geopotential"
DIRECT = "direct"
_WORDS = {
    "barometer_is": (ON_SITE, SEA_LEVEL),
    "altitude_is": (GEOMETRIC, GEOPOTENTIAL),
    "fuel": FUEL_WORDS,
    "injection": ("port or carburettor", DIRECT),
    "spark": ("best torque", "held back from knock"),
}
_INSTEAD = {"boost_gauge": "manifold_pressure", "altitude": "barometer"}
_ASKS = {
    "engine_speed": "Engine speed at which this is looked at",
    "burn_phasing": "Burn phasing (CA50): crank angle at which half the fuel has burned, if it was measured; else the "
    "spark advance of both engines says by how much they differ",
    "spark_advance": "Spark advance under that load, here and in the baseline",
    "octane_number": "Octane number of the fuel, by the research method (RON)",
    "fuel": "What burns",
    "injection": "Where the fuel goes in: at the port, or direct into the cylinder",
    "spark": "How far the spark is advanced",
}

CHARGE = (
    Section(
        name="charge",
        meaning="the charge and how the engine is run: boost as a gauge shows it, or absolute; leave out what is not "
        "known, and what is assumed instead is listed",
        terms=stated_in("charge"),
        decided=_DECIDED,
        words=_WORDS,
        samples=(
            "boost_gauge",
            "altitude",
            "intake_air_temperature",
            "charge_temperature",
            "mixture_strength",
            "engine_speed",
            "burn_phasing",
            "spark_advance",
            "octane_number",
            "fuel",
            "injection",
            "spark",
        ),
        asks=_ASKS,
        instead=_INSTEAD,
    ),
    Section(
        name="baseline",
        meaning="an engine that you know to run clean, on the same fuel at the same speed: without it nothing is said "
        "of knock; what is left out is as in this engine",
        terms=stated_in("baseline"),
        decided=_DECIDED,
        words={"runs": (CLEAN, "not known"), **_WORDS},
        texts={"called": "what this engine is called"},
        samples=("static_ratio", "boost_gauge", "burn_phasing", "spark_advance", "runs", "called"),
        asks={"runs": "How that engine runs", "called": "What that engine is called", **_ASKS},
        instead=_INSTEAD,
    ),
)
