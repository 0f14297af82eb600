"""What a builder would be told on looking at the numbers: judged at the unsafe end of each ±."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from ccassist.analysis.assembly import assembly_findings
from ccassist.analysis.benefit import guess_findings
from ccassist.analysis.cylinder import GASKET, missing
from ccassist.analysis.plausibility import beside_findings, range_findings
from ccassist.bench.kit import REFUTED
from ccassist.bench.repeats import ENOUGH
from ccassist.engine.mathematics import uncertain
from ccassist.engine.model import build
from ccassist.values.display import percent
from ccassist.values.findings import Finding, clean, error, note, question, warning, whose
from ccassist.values.measured import Value
from ccassist.values.number import nominal
from ccassist.values.uncertainty import budget, differ, expand
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record, together
from ccassist.vocabulary.units import Origin

if TYPE_CHECKING:
    from ccassist.analysis.cylinder import Cylinder, MeasuredEngine


# A crown volume stated in the order against the shape drawn there: the sign that ruins a set of pistons.

_RIGHT = "what the crown does to the space must be the same in both: state the other volume, or draw the other shape"


def crown_findings(survey: MeasuredEngine) -> list[Finding]:
    """An error where a dish volume stands over a drawn dome, or a dome volume over a drawn dish.

    Pockets may outweigh a dome, but nothing makes a dish take space.
    """
    value = survey.stated.get("order", {}).get("crown_volume")
    shape = survey.job.said.get("order.crown", {}).get("shape", "")
    if value is None or not shape:
        return []
    pocketed = any(survey.stated.get(f"order.pocket.{kind}") for kind in ("intake", "exhaust"))
    dished, domed = "dish" in shape, "dome" in shape
    if (dished and value.nominal < 0) or (domed and value.nominal > 0 and not pocketed):
        wrong = f"the sign is the other way round: {survey.fmt.show('crown_volume', value.nominal)}, "
        wrong += f"but under [order.crown] a {shape} is drawn"
        read = value.raw[0] if value.raw else ""
        return [error("crown-sign", wrong, read=read, right=_RIGHT, place="order.crown_volume", line=value.line)]
    return []


# What is worth saying of the gasket: a fire ring over the bore, layers, and what is not used beside them.


def gasket_findings(survey: MeasuredEngine) -> list[Finding]:
    """Findings on the gasket; what is the same for several cylinders is said once."""
    found = ((c, f) for c in survey.cylinders for f in (*_over_the_bore(c, survey), *_twice(c), *_layers(c, survey)))
    return [f.at(place=whose(numbers)) for f, numbers in together((f, c.number) for c, f in found).items()]


def _over_the_bore(cylinder: Cylinder, survey: MeasuredEngine) -> Iterator[Finding]:
    """An opening smaller than the bore, by more than the ± of their difference; or far larger."""
    for (which, _), pair in zip(_gaskets(cylinder), _pairs(cylinder), strict=True):
        if pair is None:
            continue
        opening, bore = pair
        share = term(opening.key).usual_share
        assert share is not None
        low, high = share[1]
        if expand(opening.number - bore.number).high < 0:
            shown = [survey.fmt.show(v.key, v.nominal) for v in pair]
            wrong = (
                f"the gasket opening{which} ({shown[0]}) is less than the bore ({shown[1]}): its ring stands over it"
            )
            right = "look for a slip in either; a fire ring over the bore burns: another gasket"
            made = question if opening.nominal < low * bore.nominal else warning
            yield made("ring-over-bore", wrong, right=right, line=opening.line)
        if opening.nominal > high * bore.nominal:
            shown = [survey.fmt.show(v.key, v.nominal) for v in pair]
            more = percent(opening.nominal / bore.nominal - 1)
            wrong = f"the gasket opening{which} ({shown[0]}) is {more} more than the {term(bore.key).name} ({shown[1]})"
            right = "most are 0.5 to 3 mm wider than the bore: look for a slip in either"
            yield question("opening-wide", wrong, right=right, line=opening.line)


def openings(cylinder: Cylinder) -> list[tuple[Value, Value]]:
    """Of every layer of the gasket its opening's least width and the bore; or both areas."""
    return [pair for pair in _pairs(cylinder) if pair is not None]


def _gaskets(cylinder: Cylinder) -> list[tuple[str, Mapping[str, Value]]]:
    """The layers by name, or the one gasket, and what each states."""
    return [(f' of "{clean(one.part, 40)}"', one.values) for one in cylinder.gasket] or [("", cylinder.values)]


def _pairs(cylinder: Cylinder) -> list[tuple[Value, Value] | None]:
    return [_width(values, cylinder) for _, values in _gaskets(cylinder)]


def _width(values: Mapping[str, Value], cylinder: Cylinder) -> tuple[Value, Value] | None:
    """The opening's least width and the bore; or both areas, where only the area is known."""
    for key, other in (("gasket_short", "bore"), ("gasket_bore", "bore"), ("gasket_area", "bore_area")):
        if key in values and other in cylinder.values:
            return values[key], cylinder.values[other]
    return None


def _twice(cylinder: Cylinder) -> Iterator[Finding]:
    """A bore of the gasket beside an area, or axes, that count instead of it."""
    for values in [one.values for one in cylinder.gasket] or [cylinder.values]:
        area, bore = values.get("gasket_area"), values.get("gasket_bore")
        oval = {"gasket_long", "gasket_short"} <= set(values)
        if area is not None and bore is not None and (area.origin != Origin.COMPUTED or oval):
            wrong = f"the {term('gasket_area').name} is known otherwise: the {term('gasket_bore').name} is not used"
            yield note("opening-twice", wrong, line=bore.line)


def _layers(cylinder: Cylinder, survey: MeasuredEngine) -> Iterator[Finding]:
    """That several parts are taken as layers, which of them is not complete, and what stands beside them."""
    if not cylinder.gasket:
        return
    names = ", ".join(f'"{clean(one.part, 40)}"' for one in cylinder.gasket)
    wrong = f"{len(cylinder.gasket)} gasket parts serve it, {names}: taken as layers, volumes and thicknesses added"
    yield note("gasket-layers", wrong, right="where only one is fitted, say which cylinders each serves")
    for one in cylinder.gasket:
        lack = missing(one)
        if lack:
            what = " and ".join(term(key).name for key in lack)
            yield warning("layer-incomplete", f'the layer "{clean(one.part, 40)}" has no volume: {what} not given')
    for givens in (survey.job.engine, survey.job.per_cylinder.get(cylinder.number, {})):
        for given in (givens[key] for key in GASKET if key in givens):
            wrong = f"the {term(given.key).name} stands beside several gasket layers: it is not used"
            right = "state it in the part of its layer"
            yield warning("beside-layers", wrong, read=given.texts[0], right=right, line=given.line)


# The least squish that is usual for an engine of a size, a speed and a kind of rod: common practice, no source.
#
# Small bores have short, light rods; large ones grow with their bore; aluminium rods stretch and grow more.  What a
# fast engine needs beyond that grows with its mean piston speed.  It is a figure to ask the makers about, never one to
# build to.

# Bore up to [m] -> usual least [m]; above the last a share of the bore.
_BY_BORE = ((0.055, 0.45e-3), (0.075, 0.65e-3), (0.115, 0.9e-3))
_SHARE = 0.008
RODS = {"steel": 1.0, "titanium": 1.0, "aluminium": 1.6}
FAST = 25.0  # m/s mean piston speed; beyond it the least grows in proportion


@record
class LeastSquish:
    """The usual least, m, and for what it is usual, in words."""

    gap: float
    words: str


def least_squish(values: Mapping[str, Value], rods: str = "") -> LeastSquish:
    """The usual least for a cylinder; ``rods`` : what they are made of, steel where not said.

    >>> round(least_squish({}).gap * 1e3, 2), least_squish({}, "aluminium").words
    (0.9, 'aluminium rods')
    """
    material = rods.casefold() if rods.casefold() in RODS else "steel"
    bore, speed = values.get("bore"), values.get("mean_piston_speed")
    gap, words = _BY_BORE[-1][1], f"{material} rods"
    if bore is not None:
        gap = next((least for most, least in _BY_BORE if bore.nominal <= most), _SHARE * bore.nominal)
        size = "small bores and " if bore.nominal <= _BY_BORE[1][0] else ""
        words = f"{'large bores and ' if bore.nominal > _BY_BORE[-1][0] else size}{words}"
    if speed is not None and speed.nominal > FAST:
        gap, words = gap * speed.nominal / FAST, f"{words} at this piston speed"
    return LeastSquish(gap=gap * RODS[material], words=words)


def engine_findings(survey: MeasuredEngine) -> list[Finding]:
    """Warnings and notes on the engine as a whole and on each cylinder."""
    found: list[Finding] = []
    for cylinder in survey.cylinders:
        found += _contradiction(cylinder)
        found += _squish(cylinder, survey)
        found += _stack_against_dial(cylinder, survey)
        found += _proud_without_land(cylinder)
    found += [*range_findings(survey), *beside_findings(survey)]
    found += [*gasket_findings(survey), *assembly_findings(survey), *crown_findings(survey)]
    found += _counting(survey)
    found += _not_known_yet(survey)
    found += guess_findings(survey)
    return [f.at(file=survey.job.file) for f in found]


def _contradiction(cylinder: Cylinder) -> list[Finding]:
    """Values that no engine can have together."""
    if not cylinder.contradiction:
        return []
    rod = cylinder.values.get("rod_length") if "crank" in cylinder.contradiction else None
    right = "look for a wrong unit or sign first"
    at = f"cylinder {cylinder.number}"
    return [error("contradiction", cylinder.contradiction, right=right, place=at, line=rod.line if rod else None)]


def _squish(cylinder: Cylinder, survey: MeasuredEngine) -> list[Finding]:
    gap = cylinder.values.get("squish")
    if gap is None:
        return []
    at = f"cylinder {cylinder.number}"
    shown = survey.fmt.show("squish", gap.nominal, gap.expanded)
    if gap.low <= 0:
        right = "a thicker gasket or a lower piston; check at mock-up"
        return [warning("contact", f"piston and head may touch: {shown}", place=at, right=right)]
    least = least_squish(cylinder.values, survey.job.about.get("rods", ""))
    if gap.low < least.gap:
        usual = survey.fmt.show("squish", least.gap)
        wrong = f"squish may be under {usual} (usual least with {least.words}, common practice): {shown}"
        return [warning("tight-squish", wrong, place=at, right="ask the piston and rod maker")]
    return []


def _stack_against_dial(cylinder: Cylinder, survey: MeasuredEngine) -> list[Finding]:
    """Deck clearance by dial against the stack of lengths, where both are known."""
    read = cylinder.values.get("deck_clearance")
    if read is None or read.origin != Origin.MEASURED or cylinder.contradiction:
        return []
    known = {key: n for key, n in cylinder.known.items() if key != "deck_clearance"}
    model = build({key: nominal(n) for key, n in known.items()}, cylinder.choices)
    if model.relation_of("deck_clearance") is None:
        return []
    stack = model.evaluate(known, uncertain())["deck_clearance"]
    if not differ(stack, read.number):
        return []
    dial, lengths = (survey.fmt.number("deck_clearance", number) for number in (read.number, stack))
    wrong = f"by dial {dial}, by the stack of lengths {lengths}: they differ by more than their ±"
    right = "look for a rod, a piston or a deck that is not what it is taken for; the dial is used"
    return [warning("stack-differs", wrong, place=f"cylinder {cylinder.number}", right=right)]


def _proud_without_land(cylinder: Cylinder) -> list[Finding]:
    """A proud piston whose crevice is not counted: without the land the ring of space beside it is left out."""
    clearance = cylinder.values.get("deck_clearance")
    if cylinder.choices.crevice or clearance is None or clearance.nominal >= 0:
        return []
    used = cylinder.model.relation_of("deck_volume")
    if used is None or used.name != "deck_volume":
        return []
    wrong = "a proud piston, the crevice not counted and the land not given: the ring of space beside it is left out"
    right = "give land_diameter, or count the crevice"
    return [warning("proud-without-land", wrong, place=f"cylinder {cylinder.number}", right=right)]


def _counting(survey: MeasuredEngine) -> list[Finding]:
    """What was counted without being said so."""
    found = []
    if not any("clearance_volume" in c.values for c in survey.cylinders):
        return []
    for key in ("crevice", "chamfer"):
        if key in survey.job.counted:
            continue
        counted = getattr(survey.cylinders[0].choices, key)
        if key == "chamfer" and not counted:
            continue  # no chamfer was named at all
        wrong = f"it is not said whether the {key} is counted: taken as {'counted' if counted else 'not counted'}"
        right = f'in [counted]: {key} = "counted" or "not counted"'
        found.append(warning("counting-not-said", wrong, place="counted", right=right))
    return found


_OR_DECLARE = "made alike, on any of them, or declare a repeatability for the instrument"
_FIND_THE_ERROR = "give its permissible_error in an [instrument] section, check it against a scale, or weigh the fills"


def _not_known_yet(survey: MeasuredEngine) -> list[Finding]:
    """Which readings need more repeats, or a better known instrument, before any ± can be stated."""
    repeats: dict[str, list[str]] = {}
    more: dict[str, int] = {}
    strangers: dict[str, list[str]] = {}
    for title, where, value, needed in _read_values(survey):
        for share in budget(value.number):
            if not math.isnan(share.standard) or share.cause.source == REFUTED:
                continue
            if share.cause.pool:
                repeats.setdefault(title, []).append(where)
                more[title] = max(needed, more.get(title, 1))
            else:
                strangers.setdefault(share.cause.name, []).append(where)
    short = [
        note(
            "needs-repeats",
            f"{title}: the scatter is not known yet, so no ± is stated",
            right=f"{more[title]} more {_OR_DECLARE}",
            place=at,
        )
        for title, at in _places(repeats)
    ]
    unknown = [
        note("error-not-known", f"{name}, so no ± is stated", right=_FIND_THE_ERROR, place=at)
        for name, at in _places(strangers)
    ]
    return [*short, *unknown]


def _read_values(survey: MeasuredEngine) -> Iterator[tuple[str, str, Value, int]]:
    """What each value was read from, where, the value, and repeats still needed: of the steps, then as stated."""
    for one in survey.reduced:
        for value in one.values.values():
            yield one.cell.step.title, one.cell.where, value, one.scatter.more
    for cylinder in survey.cylinders:
        for value in cylinder.values.values():
            if value.raw:
                yield term(value.key).name, f"line {value.line}", value, ENOUGH + 1 - len(value.raw)


def _places(found: Mapping[str, list[str]]) -> list[tuple[str, str]]:
    return [(name, ", ".join(dict.fromkeys(places))) for name, places in found.items()]
