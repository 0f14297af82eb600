"""The piston to be ordered: compression height and net crown volume, what they give in every cylinder, what is open.

One piston serves all cylinders, whose chambers and bores differ: what is wanted is met in the mean, and each cylinder's
own ratio is said.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from ccassist.analysis.cylinder import Cylinder, cylinder_of
from ccassist.analysis.results import Survey
from ccassist.engine import slider_crank
from ccassist.engine.mathematics import uncertain
from ccassist.engine.model import Choices, build
from ccassist.plan.expected import OF_THE_ORDER, Span, stand, worst_case
from ccassist.plan.piston.crown import Crown, crown_of
from ccassist.plan.tolerance import asked_of_the_maker
from ccassist.values.display import Formatter, places
from ccassist.values.findings import InputError, NotPossible, error
from ccassist.values.measured import Value
from ccassist.values.number import Number, nominal
from ccassist.values.statement import as_made
from ccassist.values.uncertainty import Cause, half_width
from ccassist.values.verdict import Band
from ccassist.vocabulary import term
from ccassist.vocabulary.record import once, record
from ccassist.vocabulary.units import Origin, Shape, System, conversion

# What the piston maker must hold: as the order states it, or as the wanted bands ask for it.
#
# Worked out, a tolerance keeps every wanted band with everything at its limit at once: what the maker holds, and what
# was measured, at their worst the same way.

HEIGHT_TERMS = ("squish", "deck_clearance")  # what a compression height is worked out from
_STATED = {"compression_height": "height_tolerance", "crown_volume": "crown_tolerance"}
_NOTHING = "nothing asks for one; want a range of the {}, or state {} under [order]"
_ASKS = {"compression_height": "gap", "crown_volume": "ratio"}


@record
class Tolerance:
    """Half-width to be held, SI (None where there is none), where it comes from, and why there is none.

    ``stated`` : whether the order states it, and it was not worked out; else ``by`` : the term whose range asks for it.
    """

    size: float | None = None
    how: str = ""
    reason: str = ""
    stated: bool = False
    by: str = ""


def tolerances(survey: Survey, places: Sequence[BareCylinder], values: Mapping[str, float]) -> dict[str, Tolerance]:
    """The tolerance of each number ordered (term -> SI value).

    What the order states stands.  Of what is left open the compression height comes first: it keeps every band that
    hangs on it, and takes no more than its equal part of one that the crown volume moves too.  The crown volume then
    has what is left, with the height as held.
    """
    order, found = survey.stated.get("order", {}), {}
    for key in values:
        stated = order.get(_STATED[key])
        if stated is not None:
            found[key] = Tolerance(size=stated.nominal, how=f"{stated.origin} in the order", stated=True)
    for key in [key for key in _STATED if key in values and key not in found]:
        case = _ToleranceCase(survey=survey, places=places, values=values, held=found)
        found[key] = case.asked(key)
    return found


@record
class _ToleranceCase:
    """The numbers ordered (SI), what is held already, the cylinders and the bands wanted."""

    survey: Survey
    places: Sequence[BareCylinder]
    values: Mapping[str, float]
    held: Mapping[str, Tolerance]

    def asked(self, key: str) -> Tolerance:
        """The closest of what each band asks for in each cylinder."""
        sizes: dict[float, str] = {}
        for place in self.places:
            for band in self._bands(place, key):
                size, reason = self._one(place, band, key)
                if reason:
                    where = f"cylinder {place.number}: " if len(self.places) > 1 else ""
                    return Tolerance(reason=f"{where}{reason}")
                sizes.setdefault(size, band.key)
        if not sizes or math.isinf(min(sizes)):
            return Tolerance(reason=_NOTHING.format(_ASKS[key], _STATED[key]))
        least = min(sizes)
        how = f"asked for by the {term(sizes[least]).name} wanted"
        return Tolerance(size=_as_printed(key, least, self.survey.fmt), how=how, by=sizes[least])

    def _bands(self, place: BareCylinder, key: str) -> Iterator[Band]:
        """The bands wanted that the number moves in this cylinder."""
        for band in self.survey.wanted.values():
            if band.low < band.high and key in place.moves(band.key, self.values):
                yield band

    def _one(self, place: BareCylinder, band: Band, key: str) -> tuple[float, str]:
        """What one band asks for in one cylinder, SI; else why nothing can be asked."""
        known: dict[str, Number] = {**place.known, **self.values}
        for other, tolerance in self.held.items():
            if tolerance.size:
                known[other] = self.values[other] + half_width(tolerance.size, _as_held(other))
        moving = place.moves(band.key, self.values)
        open_ones = [one for one in self.values if one in moving and one not in self.held]
        try:
            stood = stand(known, place.choices, target=band.key, holds=dict.fromkeys(open_ones, 0.0))
        except InputError as fault:
            return math.nan, fault.findings[0].wrong
        asked = asked_of_the_maker(stood, band, fmt=self.survey.fmt)
        return (math.nan, asked.reason) if asked.reason else (asked.shared[key], "")


def _as_held(key: str) -> Cause:
    """The maker's tolerance on a number that is held already, as a cause of doubt."""
    return Cause(
        f"{term(key).name} as held by the maker", key, shape=Shape.RECTANGULAR,
        source=OF_THE_ORDER, remedy="ask for a closer tolerance of it",
    )  # fmt: skip


def _as_printed(key: str, size: float, fmt: Formatter) -> float:
    """A half-width rounded down to what is printed of it, so that the number on the sheet keeps the band."""
    unit = fmt.unit(key)
    scale = conversion(unit).scale
    step = 10.0 ** -max(places(unit, size / scale), min(1, places(unit, None))) * scale
    return (math.floor(size / step + 1e-9) * step) or size


HEIGHT, CROWN, RATIO = "compression_height", "crown_volume", "static_ratio"
# Of the pistons there are now; the piston to be ordered has its own.
_OLD = (HEIGHT, CROWN, "crown_fill", "crown_drop", "crown_and_deck_volume", "deck_clearance", "deck_volume")
_LAND = ("land_diameter", "land_height")
_STEPS = {
    (System.METRIC, HEIGHT): 1e-5,
    (System.IMPERIAL, HEIGHT): 1.27e-5,
    (System.METRIC, CROWN): 1e-7,
    (System.IMPERIAL, CROWN): 1e-7,
}


@record
class Ordered:
    """One number to be ordered."""

    key: str  # the term
    value: float  # as ordered, SI, rounded to a step that can be cut
    found: Number  # as worked out, with its ±; the value itself where it was stated
    origin: Origin  # "worked out", or as stated
    how: str  # in words
    tolerance: Tolerance  # to be held by the maker


@record
class Specification:
    """The piston to be ordered.

    height, crown : what is ordered; None where it cannot be worked out.
    worst : by cylinder, what is wanted, the ratio and the gaps, with everything at its limit the same way.
    """

    survey: Survey  # the engine as measured
    planned: Survey  # the same engine with the ordered piston in every cylinder; its ± holds the maker's tolerance
    height: Ordered | None
    crown: Ordered | None
    shape: Crown  # the crown's shape and sizes
    worst: Mapping[int, Mapping[str, Span]]
    refused: tuple[str, ...] = ()  # why a number cannot be had, in words

    @property
    def order(self) -> Mapping[str, Value]:
        """What the order states."""
        return self.survey.stated.get("order", {})

    @property
    def said(self) -> Mapping[str, str]:
        """What the order says in words."""
        return self.survey.job.said.get("order", {})

    @property
    def held(self) -> bool:
        """Whether both numbers are known and held to a tolerance."""
        return len(self.ordered()) == 2 and all(one.tolerance.size for one in self.ordered().values())

    def ordered(self) -> dict[str, Ordered]:
        """The two numbers by term, where they are known."""
        return {one.key: one for one in (self.height, self.crown) if one is not None}


@record
class BareCylinder:
    """A cylinder without its piston: what is known, where it comes from, and what is counted."""

    number: int
    known: Mapping[str, Number]
    values: Mapping[str, Value]
    choices: Choices

    def moves(self, target: str, ordered: Mapping[str, float]) -> tuple[str, ...]:
        """Which of the numbers ordered (term -> SI value) move a target here; none where it cannot be worked out."""
        plain = {**{key: nominal(value) for key, value in self.known.items()}, **ordered}
        try:
            model = build(plain, self.choices)
        except (ValueError, ZeroDivisionError):
            return ()
        if model.relation_of(target) is None:
            return ()
        inputs = model.inputs_of(target)
        return tuple(key for key in ordered if key in inputs)


@once
def specify(survey: Survey) -> Specification:
    """The piston that a job's order asks for.

    Raises InputError: the crank cannot turn with the pin offset that the order asks for.
    """
    _check_turning(survey)
    places = [_without_piston(c, survey) for c in survey.cylinders]
    refused: list[str] = []
    height, crown = _both(survey, places, refused)
    found = {one.key: one for one in (height, crown) if one is not None}
    held = tolerances(survey, places, {key: one.value for key, one in found.items()})
    height, crown = (None if one is None else replace(one, tolerance=held[one.key]) for one in (height, crown))
    ordered = [one for one in (height, crown) if one is not None]
    made = _as_made(ordered, survey.fmt)
    planned = replace(survey, cylinders=tuple(cylinder_of(p.number, {**p.values, **made}, p.choices) for p in places))
    shape = survey.job.said.get("order.crown", {}).get("shape", "")
    land = next((nominal(p.known["land_diameter"]) for p in places if "land_diameter" in p.known), None)
    bore = min((nominal(p.known["bore"]) for p in places if "bore" in p.known), default=None)
    return Specification(
        survey=survey,
        planned=planned,
        height=height,
        crown=crown,
        shape=crown_of(survey.stated, shape, crown.value if crown else None, land, bore),
        worst=_worst(survey, places, ordered),
        refused=tuple(dict.fromkeys(refused)),
    )


def _check_turning(survey: Survey) -> None:
    """Refuse an offset of the order with which no crank of the job can turn."""
    offset = survey.stated.get("order", {}).get("pin_offset")
    for one in survey.cylinders if offset is not None else ():
        rod, stroke = (one.values.get(key) for key in ("rod_length", "stroke"))
        if rod and stroke and offset and not slider_crank.turns(stroke.nominal, rod.nominal, offset.nominal):
            wrong = "the crank cannot turn: the rod is not longer than half the stroke and this offset together"
            fault = error("contradiction", wrong, read="; ".join(offset.raw), place="order.pin_offset")
            raise InputError(fault.at(file=survey.job.file, line=offset.line))


def _without_piston(cylinder: Cylinder, survey: Survey) -> BareCylinder:
    """What is known of a cylinder but for the piston in it, with the land and the offset that the order asks for."""
    order = survey.stated.get("order", {})
    asked = {key: order[key] for key in (*_LAND, "pin_offset") if key in order}
    inputs = {key: v for key, v in cylinder.values.items() if v.origin not in (Origin.COMPUTED, Origin.NOT_COUNTED)}
    gone = {*_OLD, *(("crevice_volume",) if set(_LAND) & set(asked) else ())}
    values = {**{key: v for key, v in inputs.items() if key not in gone}, **asked}
    known = {key: v.number for key, v in values.items()}
    block = _block_by_the_deck(inputs, known)
    if block is not None:
        known["block_deck_height"] = block
        values["block_deck_height"] = Value(
            "block_deck_height", block, Origin.WORKED_OUT, how="from the deck clearance of the old piston"
        )
    land = "crevice_volume" in known or all(key in known for key in _LAND)
    said = survey.job.counted.get("crevice", "counted" if land else "not counted")
    choices = Choices(crevice=said == "counted", chamfer=cylinder.choices.chamfer, seal="")
    return BareCylinder(number=cylinder.number, known=known, values=values, choices=choices)


def _block_by_the_deck(inputs: Mapping[str, Value], known: Mapping[str, Number]) -> Number | None:
    """The block deck height that the old piston shows, where it was not measured itself."""
    if "block_deck_height" in known or "deck_clearance" not in inputs or HEIGHT not in inputs:
        return None
    there = {**known, HEIGHT: inputs[HEIGHT].number, "block_deck_height": 0.0}
    model = build({key: nominal(value) for key, value in there.items()}, Choices())
    from_nothing = model.evaluate(there, uncertain()).get("deck_clearance")
    return None if from_nothing is None else inputs["deck_clearance"].number - from_nothing


def _both(survey: Survey, places: Sequence[BareCylinder], refused: list[str]) -> tuple[Ordered | None, Ordered | None]:
    """Compression height and crown volume: stated in the order, or worked out from what is wanted, or as they are."""
    height = _stated(survey, HEIGHT)
    crown = _stated(survey, CROWN)
    gap = next((key for key in HEIGHT_TERMS if key in survey.wanted), None)
    if height is None and gap is None:
        height = _present(survey, HEIGHT)
        if height is None:
            refused.append("no compression height: want a squish gap or a deck clearance, or state it in the order")
    if crown is None and RATIO not in survey.wanted:
        crown = _present(survey, CROWN)
        if crown is None:
            refused.append("no crown volume: want a static compression ratio, or state it in the order")
    aims = {key: survey.wanted[key].aim for key in (RATIO, gap) if key in survey.wanted and key is not None}
    try:
        if height is None and gap is not None:
            height, both = _solved_height(survey, places, aims, gap, crown is None and RATIO in aims)
            crown = both if crown is None else crown
        if crown is None and RATIO in aims and height is not None:
            crown = _solved(survey, places, CROWN, RATIO, aims[RATIO], {HEIGHT: height.value})
    except InputError as fault:
        refused += [f"{one.wrong}{f': {one.right}' if one.right else ''}" for one in fault.findings]
    except NotPossible as fault:
        refused.append(str(fault))
    return height, crown


def _solved_height(
    survey: Survey, places: Sequence[BareCylinder], aims: Mapping[str, float], gap: str, together: bool
) -> tuple[Ordered, Ordered | None]:
    """The height from the gap wanted; with the crown from the ratio at the same time where both are sought."""
    if not together:
        return _solved(survey, places, HEIGHT, gap, aims[gap], {}), None
    from ccassist.solve.solver import solve

    found = [
        solve(p.known, p.choices, unknowns=(HEIGHT, CROWN), targets=aims, algebra=False).best.numbers for p in places
    ]
    names = f"{term(gap).name} and {term(RATIO).name}"
    height = _mean(survey, HEIGHT, [one[HEIGHT] for one in found], names)
    # The height is rounded before the crown is sought again, so that both belong together as they are printed.
    crown = _solved(survey, places, CROWN, RATIO, aims[RATIO], {HEIGHT: height.value})
    spread = _mean(survey, CROWN, [one[CROWN] for one in found], names)
    return height, replace(crown, found=spread.found, how=spread.how)


def _solved(
    survey: Survey, places: Sequence[BareCylinder], unknown: str, target: str, aim: float, put_in: Mapping[str, float]
) -> Ordered:
    from ccassist.solve.solver import solve

    found = [
        solve(
            {**p.known, **put_in}, p.choices, unknowns=(unknown,), targets={target: aim}, algebra=False
        ).number
        for p in places
    ]  # fmt: skip
    return _mean(survey, unknown, found, term(target).name)


def _mean(survey: Survey, key: str, found: Sequence[Number], wanted: str) -> Ordered:
    """The mean over the cylinders, since one piston serves them all, and what is ordered of it."""
    number = sum(found) / len(found)
    step = ordering_step(key, survey.fmt)
    many = f", mean over {len(found)} cylinders" if len(found) > 1 else ""
    return Ordered(
        key=key,
        value=round(nominal(number) / step) * step,
        found=number,
        origin=Origin.WORKED_OUT,
        how=f"from the {wanted} wanted{many}",
        tolerance=Tolerance(),
    )


def ordering_step(key: str, fmt: Formatter) -> float:
    """What a number worked out is rounded to for the order, SI."""
    return _STEPS[fmt.system, key]


def _stated(survey: Survey, key: str) -> Ordered | None:
    value = survey.stated.get("order", {}).get(key)
    return None if value is None else _taken(value, value.origin, "stated in the order")


def _present(survey: Survey, key: str) -> Ordered | None:
    """As it stands in the job, where it is the same for every cylinder."""
    values = [c.values.get(key) for c in survey.cylinders]
    first = values[0]
    if first is None or any(v is None or v.nominal != first.nominal for v in values):
        return None
    return _taken(
        first, Origin.MEASURED if first.origin == Origin.COMPUTED else first.origin, "as it stands in the job"
    )


def _taken(value: Value, origin: Origin, how: str) -> Ordered:
    return Ordered(
        key=value.key, value=value.nominal, found=value.nominal, origin=origin, how=how, tolerance=Tolerance()
    )


def _as_made(ordered: Sequence[Ordered], fmt: Formatter) -> dict[str, Value]:
    """The ordered numbers as they will come back: within the maker's tolerance, or a usual one where none is held."""
    made = {}
    for one in ordered:
        number: Number = one.value
        if one.tolerance.size:
            cause = Cause(
                f"{term(one.key).name} as made", one.key, shape=Shape.RECTANGULAR,
                source=OF_THE_ORDER, remedy="ask for a closer tolerance",
            )  # fmt: skip
            number = number + half_width(one.tolerance.size, cause)
        else:
            number = number + as_made(one.key, one.value, fmt)
        made[one.key] = Value(one.key, number, Origin.ORDERED, how=one.how)
    return made


def _worst(survey: Survey, places: Sequence[BareCylinder], ordered: Sequence[Ordered]) -> dict[int, dict[str, Span]]:
    """What each cylinder's wanted terms, ratio and gaps come to with all that is held and was measured at its limit."""
    holds = {one.key: one.tolerance.size or 0.0 for one in ordered}
    values = {one.key: one.value for one in ordered}
    found: dict[int, dict[str, Span]] = {}
    for place in places:
        known = {**place.known, **values}
        spans = found.setdefault(place.number, {})
        for target in dict.fromkeys((RATIO, *HEIGHT_TERMS, *survey.wanted)):
            moving = {key: holds[key] for key in place.moves(target, values)}
            if moving:
                spans[target] = worst_case(stand(known, place.choices, target=target, holds=moving))
    return found
