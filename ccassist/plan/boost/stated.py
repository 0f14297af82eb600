"""What a job says of its charge and of its baseline, as the boost room takes it, with what is assumed and asked."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import field, replace

from ccassist.analysis.results import Survey
from ccassist.boost.conditions import Conditions, conditions, geometric, remarks, value
from ccassist.boost.gas import DRY
from ccassist.engine.slider_crank import Geometry
from ccassist.job.sections import (
    CLEAN,
    DIRECT,
    FUEL_WORDS,
    GEOMETRIC,
    GEOPOTENTIAL,
    METHANOL,
    ON_SITE,
    SEA_LEVEL,
)
from ccassist.plan.valves.lift import turned
from ccassist.values.findings import Finding, error, errors, note, warning
from ccassist.values.measured import Value
from ccassist.values.number import nominal
from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import Origin

GASES = dict(zip(FUEL_WORDS, ("iso-octane", "toluene", "ethanol", DRY), strict=False))  # of methanol nothing is known
BURN_DURATION = value("burn_duration", math.radians(50), Origin.ASSUMED, "10 to 90 % in half of it")
NEEDED = ("engine_speed", "burn_phasing", "octane_number")  # for a comparison of knock; assumed, and said, if not given
_WORDED = ("spark_advance", "air_fuel_ratio", "pump_octane")  # what others are worked out from
_NO_SURPLUS = {"ethanol": 9.0}  # mass of air that a fuel needs, and of petrol (common practice, no source)
_NO_SURPLUS_PETROL = 14.7
_ABOVE_PUMP = 4.5  # research octane over (R+M)/2: 4 to 5 (common practice, no source)
_MANIFOLD = ("boost_gauge", "manifold_pressure")
_RUN = ("engine_speed", "burn_phasing", "burn_duration", "octane_number", "ethanol_share", "methanol_share")
_MOST_ETHANOL = 0.10
CRANK = ("bore", "stroke", "rod_length", "pin_offset")  # of the baseline too where it says so
GEOMETRY = ("static_ratio", "stroke", "rod_length", "intake_closing")  # what the trapped ratio hangs on besides offset


@record
class Running:
    """One engine's charge and how it is run, as stated, completed by assumptions.

    run : speed, burn phasing and the like, by term; what is not stated is left out, but for the burn duration.
    """

    conditions: Conditions | None  # of the charge; None where what is stated cannot be used
    run: Mapping[str, Value]
    said: Mapping[str, str]  # the words
    stated: Mapping[str, Value] = field(default_factory=dict)  # the terms that the section itself states
    findings: tuple[Finding, ...] = ()  # what is wrong, doubtful or asked

    @property
    def taken(self) -> dict[str, str]:
        """What is taken where no word is said."""
        fuel = FUEL_WORDS[0]
        usual = {"fuel": f"{fuel}, as {GASES[fuel]} vapour", "injection": "port or carburettor"}
        usual["spark"] = "by the same habit as the baseline"
        if "altitude" in self.stated:
            usual["altitude_is"] = GEOMETRIC
        return {key: words for key, words in usual.items() if key not in self.said}

    @property
    def direct_injection(self) -> bool:
        """Whether the fuel goes straight into the cylinder."""
        return self.said.get("injection") == DIRECT


def charge_stated(survey: Survey) -> Running | None:
    """The engine's own charge; None where the job has no [charge]."""
    if "charge" not in survey.stated:
        return None
    stated, said = _settled(survey.stated["charge"]), survey.job.said.get("charge", {})
    found = [*_asked_of_air("charge", stated, said), *_asked_of_fuel("charge", stated, said)]
    charge = _air(stated, said)
    found += _placed(remarks(charge), "charge", stated)
    gas = GASES.get(said.get("fuel", FUEL_WORDS[0]))
    return Running(
        conditions=conditions(gas, charge) if gas and not errors(found) else None,
        run={"burn_duration": BURN_DURATION, **own_run(stated, _baseline_of(survey), said)},
        said=said,
        stated=stated,
        findings=tuple(f.at(file=survey.job.file) for f in found),
    )


def baseline_stated(survey: Survey, own: Running) -> Running | None:
    """The engine it is set against; what [baseline] leaves out is as in this engine, the same uncertain numbers."""
    if "baseline" not in survey.stated:
        return None
    stated, words = _settled(survey.stated["baseline"]), survey.job.said.get("baseline", {})
    stated, found = _at_the_cards_lift(survey, stated)
    said = {**own.said, **words}
    found += [*_asked_of_air("baseline", stated, words), *_asked_of_fuel("baseline", stated, words)]
    found += _placed(remarks(_air(stated, words)), "baseline", stated)
    found += [*_asked_of_baseline(stated, words, own), *_asked_of_spark(stated, own)]
    base, gas = None, GASES.get(said.get("fuel", FUEL_WORDS[0]))
    if own.conditions is not None and gas and not errors(found):
        base = conditions(gas, {**shared_air(own.conditions, stated), **_air(stated, words)})
    return Running(
        conditions=base,
        run={**own.run, **baseline_run(own, stated)},
        said=said,
        stated=stated,
        findings=tuple(f.at(file=survey.job.file) for f in found),
    )


def _at_the_cards_lift(survey: Survey, stated: dict[str, Value]) -> tuple[dict[str, Value], list[Finding]]:
    """What the baseline states, its closing turned to the lift of the engine's own; an error where it cannot be."""
    lift, closing = stated.pop("event_lift", None), stated.get("intake_closing")
    card = survey.stated.get("cam", {}).get("event_lift")
    if lift is not None and closing is None:
        wrong = "a lift of the baseline's events without its intake closing says nothing"
        return stated, [warning("lift-alone", wrong, right="state both, or neither", place="baseline.event_lift")]
    if lift is None or closing is None or (card is not None and math.isclose(lift.nominal, card.nominal, abs_tol=1e-6)):
        return stated, []
    moved = None if card is None else turned(survey, closing, lift, card)
    read = [survey.fmt.show("event_lift", one.nominal) if one else "a lift that is not said" for one in (lift, card)]
    at = {"place": "baseline.event_lift", "line": lift.line}
    if moved is None:
        wrong = f"the baseline's intake closing was read at {read[0]}, the engine's at {read[1]}: they do not compare"
        right = "read both at one lift, or this engine's intake lift every 2 to 5 degrees over its closing"
        return stated, [error("other-lift", wrong, right=f"{right}: [valve.intake.lifts]", **at)]
    wrong = f"the baseline's intake closing is turned from {read[0]} to {read[1]} by the lift read of this intake valve"
    return {**stated, "intake_closing": moved}, [note("lift-turned", f"{wrong}: it holds for the same lobe", **at)]


def _baseline_of(survey: Survey) -> dict[str, Value]:
    """What the baseline states; nothing where there is none."""
    return {key: one for key, one in _settled(survey.stated.get("baseline", {})).items() if key != "event_lift"}


def _as_lambda(ratio: Value, said: Mapping[str, str]) -> Value:
    """An air-fuel ratio over that of no surplus of its fuel."""
    needs = _NO_SURPLUS.get(said.get("fuel", ""), _NO_SURPLUS_PETROL)
    return replace(ratio, key="mixture_strength", number=ratio.number / needs, how=f"air-fuel ratio ÷ {needs:g}")


# What knock hangs on and few people know: taken from what they do know, or assumed of both alike, and said.

_USUAL = {
    "engine_speed": value("engine_speed", 50.0, Origin.ASSUMED, "not stated: a range of speeds is looked at"),
    "octane_number": value("octane_number", 95.0, Origin.ASSUMED, "not stated: one fuel in both, a pump petrol"),
}
_AS_BASELINE = "as the baseline's"
_HELD_BACK, _BEST = math.radians(15), math.radians(8)  # half burned, after top dead centre (common practice, no source)


def own_run(stated: Mapping[str, Value], base: Mapping[str, Value], said: Mapping[str, str]) -> dict[str, Value]:
    """How the engine is run: as stated, else as the baseline states it, else assumed of both."""
    mine, theirs = _with_octane(stated), _with_octane(base)
    found = {key: mine[key] for key in _RUN if key in mine}
    for key, usual in _USUAL.items():
        if key not in found:
            found[key] = replace(theirs[key], how=_AS_BASELINE) if key in theirs else usual
    if "burn_phasing" not in found:
        late = _HELD_BACK if said.get("spark") == "held back from knock" else _BEST
        usual = value("burn_phasing", late, Origin.ASSUMED, f"not stated: {_AS_BASELINE}, usual for such a spark")
        found["burn_phasing"] = _by_spark(theirs.get("burn_phasing", usual), stated, base)
    return found


def baseline_run(own: Running, stated: Mapping[str, Value]) -> dict[str, Value]:
    """How the baseline is run, as far as it differs from the engine: as stated, or by its own spark."""
    mine = _with_octane(stated)
    found = {key: mine[key] for key in _RUN if key in mine}
    if "burn_phasing" not in found:
        found["burn_phasing"] = _by_spark(own.run["burn_phasing"], stated, own.stated)
    return found


def _by_spark(other: Value, stated: Mapping[str, Value], others: Mapping[str, Value]) -> Value:
    """The burn phasing of one engine from another's: as much later as its spark is; the same without both sparks.

    Common practice, no source: a degree of spark moves the burn by about a degree.
    """
    if "spark_advance" not in stated or "spark_advance" not in others:
        return other if other.origin == Origin.ASSUMED else replace(other, how="as the other engine's")
    later = others["spark_advance"].nominal - stated["spark_advance"].nominal
    how = "by the spark advance of both, degree for degree"
    return value("burn_phasing", nominal(other.number) + later, Origin.ASSUMED, how)


def _with_octane(stated: Mapping[str, Value]) -> dict[str, Value]:
    """The research octane from what a pump says, where that is all that is stated."""
    if "pump_octane" not in stated or "octane_number" in stated:
        return dict(stated)
    pump = stated["pump_octane"]
    how = f"pump octane (R+M)/2 and {_ABOVE_PUMP:g}"
    return {**stated, "octane_number": replace(pump, key="octane_number", number=pump.number + _ABOVE_PUMP, how=how)}


def charge_findings(survey: Survey) -> tuple[Finding, ...]:
    """What is wrong, doubtful or asked of [charge] and [baseline]; nothing is worked out for it."""
    own = charge_stated(survey)
    if own is None:
        return ()
    base = baseline_stated(survey, own)
    return own.findings if base is None else (*own.findings, *base.findings)


def vouched(running: Running) -> bool:
    """Whether the user says that this engine runs clean."""
    return running.said.get("runs") == CLEAN


def _settled(stated: Mapping[str, Value]) -> dict[str, Value]:
    """Values of a section; what was decided says so."""
    return {
        k: replace(v, origin=Origin.CHOSEN, how="chosen") if v.origin == Origin.ASKED else v for k, v in stated.items()
    }


def _air(stated: Mapping[str, Value], said: Mapping[str, str]) -> dict[str, Value]:
    """What the charge room takes: altitude is geometric."""
    taken = {key: one for key, one in stated.items() if key not in (*_RUN, *_WORDED, *GEOMETRY, *CRANK)}
    if "air_fuel_ratio" in stated and "mixture_strength" not in stated:
        taken["mixture_strength"] = _as_lambda(stated["air_fuel_ratio"], said)
    if "altitude" in taken and said.get("altitude_is") == GEOPOTENTIAL:
        number = geometric(taken["altitude"].number)
        taken["altitude"] = replace(taken["altitude"], number=number, how="stated as geopotential, turned to geometric")
    return taken


def shared_air(own: Conditions, stated: Mapping[str, Value]) -> dict[str, Value]:
    """This engine's conditions as far as the baseline states nothing else and its own boost does not change them."""
    gone = {*_MANIFOLD, "charge_temperature", "closing_pressure"}
    if "barometer" in stated or "altitude" in stated:
        gone |= {"barometer", "altitude"}
    if "closing_pressure" in stated:
        gone |= {"filling"}
    boosted = any(key in stated and stated[key].nominal != 0 for key in _MANIFOLD)
    if own.compressed != boosted and own.values["exhaust_ratio"].origin == Origin.ASSUMED:
        gone |= {"exhaust_ratio"}  # what is assumed of it goes with a compressor
    if own.values.get("coolant_temperature", BURN_DURATION).origin == Origin.COMPUTED:
        gone |= {"coolant_temperature"}
    return {key: one for key, one in own.values.items() if key not in gone}


def _placed(found: tuple[Finding, ...], section: str, stated: Mapping[str, Value]) -> list[Finding]:
    """Findings of the charge room with their place in the file."""
    return [
        replace(f, place=f"{section}.{f.place}", line=stated[f.place].line if f.place in stated else None)
        for f in found
    ]


def _asked_of_air(section: str, stated: Mapping[str, Value], said: Mapping[str, str]) -> list[Finding]:
    """A barometer must be the engine's own, never one reduced to sea level."""
    read = stated.get("barometer")
    if read is None:
        return []
    at = {"place": f"{section}.barometer", "line": read.line, "read": read.raw[0]}
    right = "read one where the engine runs, or state the altitude instead"
    if said.get("barometer_is") == SEA_LEVEL:
        wrong = "a barometer reduced to sea level is not the pressure that the engine breathes"
        return [error("barometer-reduced", wrong, right=right, **at)]
    if "barometer_is" not in said:
        wrong = "is this barometer read on site? A weather report's or aviation's is reduced to sea level"
        right = f'say barometer_is = "{ON_SITE}", or state the altitude instead'
        return [warning("barometer-unsaid", wrong, right=right, **at)]
    return []


def _asked_of_fuel(section: str, stated: Mapping[str, Value], said: Mapping[str, str]) -> list[Finding]:
    """Where the gas that is taken is not the one that is burnt."""
    found = []
    share = stated.get("ethanol_share")
    fuel = said.get("fuel", FUEL_WORDS[0])
    if fuel == METHANOL:
        wrong = "nothing is known here of a methanol charge or of its knock: no figure but static and trapped ratio"
        found.append(warning("fuel-methanol", wrong, place=f"{section}.fuel"))
    if share is not None and share.nominal > _MOST_ETHANOL and fuel != "ethanol":
        wrong = f"with this much ethanol the charge is not that of {fuel}, as which it is worked out"
        right = 'say fuel = "ethanol" if most of it is'
        found.append(warning("fuel-vapour", wrong, right=right, place=f"{section}.ethanol_share", line=share.line))
    if said.get("injection") == DIRECT and GASES.get(fuel) != DRY:
        wrong = "injected into the cylinder, the fuel is not in the charge while it is compressed"
        right = 'fuel = "dry air" gives the other limit of pressure and temperature'
        found.append(note("fuel-later", wrong, right=right, place=f"{section}.injection"))
    return found


def _asked_of_baseline(stated: Mapping[str, Value], said: Mapping[str, str], own: Running) -> list[Finding]:
    """What a baseline must say, and what can only be compared like with like."""
    found = []
    if "static_ratio" not in stated:
        found.append(_baseline_asked("static_ratio", "its static ratio is not given", 'static_ratio = "8.5 +/- 0.1"'))
    if not any(key in stated for key in _MANIFOLD):
        right = 'boost_gauge = "0.6 bar", or "0 bar" for none'
        found.append(_baseline_asked("boost_gauge", "its boost is not given", right))
    if said.get("runs") != CLEAN:
        right = f'say runs = "{CLEAN}" if you know it; else there is none to compare with'
        found.append(_baseline_asked("runs", "nobody vouches that it runs clean", right))
    if ("charge_temperature" in stated) != ("charge_temperature" in own.stated):
        wrong = (
            "the charge temperature of one engine is stated, that of the other worked out: the difference holds both"
        )
        right = "state both, or neither"
        found.append(warning("charge-temperature-once", wrong, right=right, place="baseline.charge_temperature"))
    return found


def _asked_of_spark(stated: Mapping[str, Value], own: Running) -> list[Finding]:
    """A spark of one engine alone says nothing of the other's."""
    both = ("spark_advance" in stated) + ("spark_advance" in own.stated)
    if both != 1 or ("burn_phasing" in stated and "burn_phasing" in own.stated):
        return []
    section = "baseline" if "spark_advance" in own.stated else "charge"
    wrong = "the spark advance is stated of one engine only: both are taken to burn alike"
    return [note("spark-once", wrong, right=f"state it in [{section}] too", place=f"{section}.spark_advance")]


def _baseline_asked(key: str, wrong: str, right: str) -> Finding:
    return warning("no-baseline", f"the baseline cannot be used: {wrong}", right=right, place=f"baseline.{key}")


def baseline_geometry(own: Geometry, running: Running | None) -> Geometry | None:
    """Of the baseline, on this engine's crank and closing unless it states its own; None where it cannot be used."""
    if running is None or running.conditions is None or not vouched(running) or "static_ratio" not in running.stated:
        return None
    if not {"boost_gauge", "manifold_pressure"} & set(running.stated):
        return None
    terms = (*GEOMETRY, "pin_offset")
    numbers = {key: running.stated[key].number for key in terms if key in running.stated}
    return Geometry(**{**{key: getattr(own, key) for key in terms}, **numbers})


def bore_of(running: Running, own: Value | None) -> Value | None:
    """Of the baseline: its own where it states one."""
    return running.stated.get("bore", own)
