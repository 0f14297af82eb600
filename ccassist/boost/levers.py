"""What each lever does to every figure of today's engine, per step, and what it costs, in words.

Each change is the difference between the whole chain worked out before and
after the step, on plain numbers: no slope is fitted.  All are planning
figures; the trade-offs are common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import field, replace
from math import isfinite

from ccassist.boost.cautions import refusals
from ccassist.boost.conditions import standard_pressure
from ccassist.boost.figures import OCTANE, Stand, figure
from ccassist.engine.mathematics import plain
from ccassist.engine.model import Choices, build
from ccassist.engine.skim import skimmed
from ccassist.values.display import sized
from ccassist.values.findings import NotPossible
from ccassist.values.number import nominal
from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import UNITS, System, conversion

_RUN = (
    "intake_closing",
    "manifold_pressure",
    "charge_temperature",
    "cooler_effectiveness",
    "burn_phasing",
    "barometer",
)
SHOWN = ("static_ratio", "trapped_ratio", "squish", "end_pressure", "end_temperature", "pressure_equivalent", OCTANE)
GENERAL = (
    "Set squish first, by compression height or gasket, and bring the ratio with the crown: the same ratio reached by "
    "a thick gasket or a spacer loses the squish and knocks sooner.",
    "A limit that is set on the line is broken by a hot day or a poor tank: leave room.",
    "Less boost and later burn can be undone with a screw; metal cannot.",
)


@record
class Engine:
    """Today's engine: the inputs of one cylinder (term key -> SI float), what is counted, and how it stands."""

    known: Mapping[str, float]
    choices: Choices
    stand: Stand

    def but(self, **numbers: float) -> Engine:
        """The same with other numbers by term key, SI: inputs of the cylinder, which the ratio follows, or of its run.

        >>> from ccassist.boost.example_engine import ENGINE
        >>> round(ENGINE.stand.geometry.static_ratio, 2), round(ENGINE.but(bore=0.0805).stand.geometry.static_ratio, 2)
        (9.0, 9.1)
        """
        run = {key: number for key, number in numbers.items() if key in _RUN}
        inputs = {key: number for key, number in numbers.items() if key not in _RUN}
        if inputs:
            run["static_ratio"] = build({**self.known, **inputs}, self.choices).evaluate({**self.known, **inputs})[
                "static_ratio"
            ]
        return replace(self, known={**self.known, **inputs}, stand=self.stand.but(**run))

    def figures(self, baseline: Stand | None) -> dict[str, float]:
        """Every figure of SHOWN that can be had; squish from the inputs.

        SI.  Source: that of each figure.

        >>> from ccassist.boost.example_engine import ENGINE
        >>> round(ENGINE.figures(None)["squish"] * 1e3, 2)
        1.4
        """
        found: dict[str, float] = {}
        values = build(self.known, self.choices).evaluate(self.known)
        for key in SHOWN:
            number = values.get(key) if key in ("static_ratio", "squish") else _had(key, self.stand, baseline)
            if number is not None:
                found[key] = number
        return found


def _had(key: str, stand: Stand, baseline: Stand | None) -> float | None:
    if key == OCTANE and (baseline is None or refusals(baseline.case, stand.case)):
        return None
    try:
        number = float(plain(figure(key, stand.plain(), baseline)))
    except NotPossible:
        return None
    return number if isfinite(number) else None


Step = Callable[[Engine, float], Engine | str]  # the engine after a step so large, SI, or why it cannot be made
_STEP = re.compile(r"(?<![\w.])(\d+(?:\.\d+)?) (\S+)")


@record
class Lever:
    """One thing that can be changed."""

    key: str  # of the lever
    called: str  # its name with the step, in one size for each system of units: "[0.1 mm|5 thou] thicker gasket"
    step: Step = field(repr=False)  # makes a step of a size, SI
    trade_offs: tuple[str, ...]  # what comes with it, in words

    def name(self, system: str) -> str:
        """The name, with the step in units of a system."""
        return sized(self.called, system)

    def size(self, system: str) -> float:
        """The step, SI.  Source: its name, which says it.

        >>> round(LEVERS[1].size("metric"), 9), round(LEVERS[1].size("imperial"), 9)
        (0.0001, 0.000127)
        """
        found = _STEP.search(self.name(system))
        assert found is not None, self.called
        return float(found[1]) * conversion(found[2] if found[2] in UNITS else "").scale

    def made(self, engine: Engine, system: str) -> Engine | str:
        """The engine after the step, or why it cannot be made."""
        return self.step(engine, self.size(system))


@record
class LeverEffect:
    """What one step of a lever does.

    lever, name : which, and what it is called with its step.
    changes : figure -> change, SI; empty where the step cannot be made.
    reason : why it cannot be made; "" where it can.
    """

    lever: Lever
    name: str
    changes: Mapping[str, float] = field(default_factory=dict)
    reason: str = ""


def effects(engine: Engine, baseline: Stand | None = None, system: str = System.METRIC) -> tuple[LeverEffect, ...]:
    """What one step of every lever, as large as a system of units has it, does to today's engine.

    The octane difference only against a baseline.

    SI.  Source: the same figures before and after.

    >>> from ccassist.boost.example_engine import ENGINE
    >>> {one.lever.key: round(one.changes["end_temperature"], 1) for one in effects(ENGINE)[:5] if one.changes}
    {'crown_volume': -2.4, 'gasket_thickness': -1.3, 'intake_closing': -1.2, 'manifold_pressure': 3.1}
    """
    before = engine.figures(baseline)
    return tuple(_effect(lever, engine, before, baseline, system) for lever in LEVERS)


def _effect(
    lever: Lever, engine: Engine, before: Mapping[str, float], baseline: Stand | None, system: str
) -> LeverEffect:
    name, made = lever.name(system), lever.made(engine, system)
    if isinstance(made, str):
        return LeverEffect(lever=lever, name=name, reason=made)
    after = made.figures(baseline)
    changes = {key: after[key] - before[key] for key in before if key in after}
    if lever.key == "octane_number" and OCTANE in changes:
        changes[OCTANE] = -lever.size(system)  # what is asked of the fuel stays; the fuel gives more of it
    return LeverEffect(lever=lever, name=name, changes=changes)


def _dish(engine: Engine, step: float) -> Engine | str:
    return engine.but(extra_volume=engine.known.get("extra_volume", 0.0) + step)


def _gasket(engine: Engine, step: float) -> Engine | str:
    if "gasket_thickness" not in engine.known or "gasket_volume" in engine.known:
        return "not given: compressed gasket thickness and opening"
    return engine.but(gasket_thickness=engine.known["gasket_thickness"] + step)


def _skim(engine: Engine, step: float) -> Engine | str:
    if not {"chamber_area", "chamber_volume"} <= engine.known.keys():
        return "not given: area of the chamber's opening"
    cut = {key: n for key, n in engine.known.items() if key != "squish_step" or n > 0}  # a pad in the face goes with it
    return engine.but(**skimmed({**cut, "face_cut": step}, least=max))


def _closing(engine: Engine, step: float) -> Engine | str:
    return engine.but(intake_closing=plain(engine.stand.geometry.intake_closing) + step)


def _boost(engine: Engine, step: float) -> Engine | str:
    if not engine.stand.conditions.compressed:
        return "no boost is stated"
    return engine.but(manifold_pressure=plain(engine.stand.conditions["manifold_pressure"]) + step)


def _cooler_charge(engine: Engine, step: float) -> Engine | str:
    return engine.but(charge_temperature=nominal(engine.stand.compressed.charge.charge_temperature) - step)


def _cooler(engine: Engine, step: float) -> Engine | str:
    conditions = engine.stand.conditions
    if not conditions.compressed or "charge_temperature" in conditions.values:
        return "no cooler is worked out: nothing is compressed, or the charge temperature is stated as such"
    return engine.but(cooler_effectiveness=min(1.0, plain(conditions["cooler_effectiveness"]) + step))


def _octane(engine: Engine, _step: float) -> Engine | str:
    return engine  # what it asks stays as it is; what the fuel gives does not


def _phasing(engine: Engine, step: float) -> Engine | str:
    return engine.but(burn_phasing=plain(engine.stand.case.operating.burn_centre) + step)


def _altitude(engine: Engine, step: float) -> Engine | str:
    conditions = engine.stand.conditions
    here = plain(conditions["altitude"]) if "altitude" in conditions.values else _standard_altitude(engine)
    falls = standard_pressure(here + step) / standard_pressure(here)
    return engine.but(barometer=plain(conditions["barometer"]) * falls)


def _standard_altitude(engine: Engine) -> float:
    """Where the standard atmosphere has this barometer; m, to the nearest ten."""
    barometer = plain(engine.stand.conditions["barometer"])
    return float(min(range(-500, 6001, 10), key=lambda z: abs(standard_pressure(float(z)) - barometer)))


LEVERS: tuple[Lever, ...] = (
    Lever(
        key="crown_volume",
        called="1 cc more dish (or chamber)",
        step=_dish,
        trade_offs=(
            "keeps the squish; off boost the engine is softer",
            "the crown's thickness limits it: ask the piston's maker",
        ),
    ),
    Lever(
        key="gasket_thickness",
        called="[0.1 mm|5 thou] thicker gasket",
        step=_gasket,
        trade_offs=(
            "opens the squish by as much: set the squish with it, never reach a ratio by it",
            "valve room grows, and so does the distance that a belt or chain must span",
        ),
    ),
    Lever(
        key="face_cut",
        called="[0.1 mm|5 thou] off the head face",
        step=_skim,
        trade_offs=("cannot be put back; takes valve room and retards an overhead cam a little",),
    ),
    Lever(
        key="intake_closing",
        called="intake closing 1 deg later",
        step=_closing,
        trade_offs=(
            "less is trapped: less torque low down and off boost; more filling high up",
            "moved by the cam's position it takes valve room at the exhaust or the intake; check both",
        ),
    ),
    Lever(
        key="manifold_pressure",
        called="[0.1 bar|1 psi] more boost",
        step=_boost,
        trade_offs=(
            "torque goes with it, either way; less of it is the one lever that costs no metal",
            "more heat and more peak pressure: studs, gasket, rods and pistons have limits of their own",
        ),
    ),
    Lever(
        key="charge_temperature",
        called="charge [10 K|20 F°] cooler",
        step=_cooler_charge,
        trade_offs=(
            "gains charge as well; a larger cooler brings pressure loss and weight",
            "a hot day or a soaked cooler takes it away again",
        ),
    ),
    Lever(
        key="cooler_effectiveness",
        called="cooler effectiveness 0.05 more",
        step=_cooler,
        trade_offs=("can never bring the charge below its coolant",),
    ),
    Lever(
        key="octane_number",
        called="1 octane more in the fuel",
        step=_octane,
        trade_offs=(
            "paid for at every tank, and lost with one poor one",
            "under boost a rating by the research method alone is worth less than it says",
        ),
    ),
    Lever(
        key="burn_phasing",
        called="burn 1 deg later",
        step=_phasing,
        trade_offs=(
            "costs torque and fuel, and heats exhaust valves, manifold and turbine",
            "set by the tuner with knock detection, never from this figure",
        ),
    ),
    Lever(
        key="altitude",
        called="[500 m|1000 ft] higher",
        step=_altitude,
        trade_offs=(
            "not a lever but a place: at the same gauge boost there is less in the cylinder, at the same absolute "
            "pressure the compressor works harder and the charge is hotter",
            "the air's temperature is left as it is stated",
        ),
    ),
)
