"""The valves: where each stands over the piston, how far it lifts, and the room wanted for it."""

from ccassist.job.sections.section import Section

_TERMS = (
    "valve_diameter",
    "valve_angle",
    "valve_drop",
    "valve_offset",
    "crown_at_valve",
    "pocket_depth",
    "pocket_diameter",
    "wanted_valve_gap",
    "wanted_radial_gap",
    "lobe_height",
    "base_circle",
    "rocker_ratio",
    "lash",
    "valve_lift",
)
_SAMPLES = ("valve_diameter", "valve_angle", "valve_drop", "wanted_valve_gap", "wanted_radial_gap", "lifts")


def _valve(which: str) -> Section:
    return Section(
        name=f"valve.{which}",
        meaning=f"the {which} valve over the piston: where it stands, its lift, its pocket, and the room wanted",
        terms=_TERMS,
        chosen=("wanted_valve_gap", "wanted_radial_gap"),
        words={"follower": ("bucket on the valve", "rocker", "finger")},
        samples=_SAMPLES if which == "intake" else _SAMPLES[:1],
        lists={"lifts": {"angle": "crank_angle", "lift": "valve_lift"}},
    )


VALVE = (_valve("intake"), _valve("exhaust"))
