"""The cam as installed: when the valves open and close, and at which lift that was read."""

from ccassist.job.sections.section import Section
from ccassist.vocabulary import stated_in

CAM = (
    Section(
        name="cam",
        meaning="the cam as installed: valve events, and the lift at which they were read",
        terms=stated_in("cam"),
        samples=(
            "intake_opening",
            "intake_closing",
            "exhaust_opening",
            "exhaust_closing",
            "event_lift",
            "lift_read_at",
            "tappets",
            "wheel_doubt",
        ),
        chosen=("wheel_doubt", "intake_phase_at_load"),
        words={"lift_read_at": ("the valve", "the tappet"), "tappets": ("solid", "hydraulic")},
        asks={"lift_read_at": "Where that lift was read", "tappets": "What the tappets are"},
    ),
)


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
    "boost_gauge",
    "manifold_pressure",
    "altitude",
    "mixture_strength",
    "engine_speed",
    "burn_phasing",
    "burn_duration",
    "spark_advance",
    "air_fuel_ratio",
    "octane_number",
    "pump_octane",
    "ethanol_share",
    "methanol_share",
)
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
