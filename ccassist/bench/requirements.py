"""What a series must say before it can be reduced, asked and never assumed, and whether its instrument reads so."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ccassist.bench.calibrated import Calibration, says
from ccassist.bench.cell import Cell, Reading
from ccassist.bench.densities import REFERENCE, celsius
from ccassist.bench.instruments import Instrument
from ccassist.bench.kit import UNREAD, Kit
from ccassist.bench.lengths import UNSAID_GAUGE
from ccassist.bench.rows import arithmetic, deliveries
from ccassist.bench.steps.crown import SEAT, THREAD
from ccassist.bench.steps.fills import GAUGE
from ccassist.values.display import figures, formatter
from ccassist.values.findings import Finding, clean, error, question, warning
from ccassist.values.number import nominal
from ccassist.values.quantity import Quantity
from ccassist.values.statement import has_doubt
from ccassist.vocabulary import Kind, term
from ccassist.vocabulary.record import once_each
from ccassist.vocabulary.units import System

REFUSED = 0.1  # of the calibrated range: a reading farther outside it is refused (common practice, no source)
_AGAINST = {Kind.MASS: "scale", Kind.LENGTH: "micrometer or caliper"}  # what a calibration is made by
FINEST = 1e-6  # m: no length instrument of a shop reads finer (common practice, no source)
FINER = "finer-than-read"
BETWEEN = 10  # parts of the smallest step that an eye may guess between two marks

_READS = {Kind.VOLUME: "volumes", Kind.MASS: "masses", Kind.LENGTH: "lengths"}
_YOURS = "name the one that was used, or describe yours in an [instrument] section"


def out_of_reach(name: str, quantity: Quantity, kit: Kit) -> list[Finding]:
    """A finding where a stated value cannot have been read with the instrument named."""
    tool = kit.instruments.get(name)
    if tool is None:
        return []
    if tool.kind is not term(quantity.key).kind:
        return [_wrong_kind(tool, term(quantity.key).kind, quantity.raw)]
    stated = quantity.spread is not None or quantity.standard is not None
    return [] if stated or tool.holds(quantity.value) else [_too_far(tool, quantity)]


def cell_out_of_reach(cell: Cell, kit: Kit) -> list[Finding]:
    """Findings for the rows that the instrument named cannot have given."""
    tool = kit.instruments.get(cell.instrument)
    if tool is None:
        return []
    wanted = cell.method.reads
    if tool.kind is not wanted:
        return [_wrong_kind(tool, wanted, cell.instrument).at(place=f"{cell.place}.instrument")]
    if tool.holds(_most_read(cell)):
        return []
    found = []
    for row in cell.readings:
        finding = _delivered(tool, row) if wanted is Kind.VOLUME else _read(tool, row, wanted)
        if finding is not None:
            found.append(finding.at(line=row.line, place=row.place))
    return found


@once_each(lambda cell: (cell,))
def _most_read(cell: Cell) -> float:
    """The most that its rows read of their instrument, in one delivery where that pours, SI and without sign."""
    wanted = cell.method.reads
    read = (q for row in cell.readings for field in row.fields.values() for q in field)
    if wanted is Kind.VOLUME:
        amounts = [q.value for q in read if q.key == "burette_reading"]
        amounts += [amount for row in cell.readings for amount in deliveries(row)]
    else:
        amounts = [q.value for q in read if term(q.key).kind is wanted]
    return max(map(abs, amounts), default=0.0)


@once_each(lambda cell: (cell,))
def _finest_written(cell: Cell) -> dict[Kind, float]:
    """The finest step to which a quantity of each kind is written, SI."""
    found: dict[Kind, float] = {}
    for quantities, _, _ in _all_read(cell):
        for quantity in quantities:
            if quantity.value and quantity.step > 0:
                kind = term(quantity.key).kind
                found[kind] = min(quantity.step, found.get(kind, quantity.step))
    return found


def finer_than_read(cell: Cell, kit: Kit) -> list[Finding]:
    """What is written more finely than its instrument reads: mostly a number in another unit than the box says."""
    tool = kit.instruments.get(cell.instrument)
    finest = {kind: FINEST if kind is Kind.LENGTH else 0.0 for kind in Kind}
    if tool and tool.resolution:
        finest[tool.kind] = tool.resolution
    least = {kind: step / BETWEEN * (1 - 1e-9) for kind, step in finest.items()}
    if not any(step < least[kind] for kind, step in _finest_written(cell).items()):
        return []
    found = []
    for quantities, line, place in _all_read(cell):
        for quantity in quantities:
            kind = term(quantity.key).kind
            if quantity.value and 0 < quantity.step < least[kind]:
                by = tool if tool and tool.resolution and tool.kind is kind else None
                found.append(_too_fine(quantity, finest[kind], by).at(line=line, place=place))
    return found


def _all_read(cell: Cell) -> Iterator[tuple[Sequence[Quantity], int | None, str]]:
    for row in cell.readings:
        for name, quantities in row.fields.items():
            yield quantities, row.line, f"{row.place}.{name}"
    for part in cell.parts:
        for name, quantities in part.settings.items():
            yield quantities, part.line, f"{part.place}.{name}"


def _too_fine(quantity: Quantity, finest: float, tool: Instrument | None) -> Finding:
    reads = f"{_named(tool)} reads" if tool else "a shop's instruments read"
    wrong = f"{reads} to {figures(finest, unit=quantity.unit)}, and this is written finer"
    return question(FINER, wrong, read=quantity.raw, right="are you sure, and of the unit?")


def _delivered(tool: Instrument, row: Reading) -> Finding | None:
    """More than it holds in one delivery, or a reading beyond its scale."""
    scale = [q for field in row.fields.values() for q in field if q.key == "burette_reading"]
    unit = scale[0].unit
    most = max(deliveries(row), default=0.0)
    if not tool.holds(most):
        asked, held = (figures(amount, unit=unit) for amount in (most, tool.capacity))
        wrong = f"{_named(tool)} cannot deliver {asked} at once: it holds {held}"
        return error("over-capacity", wrong, read=row.said, right=f"give the refills, {row.method.refills}")
    return next((found for q in scale if (found := off_scale(tool, q)) is not None), None)


def off_scale(tool: Instrument, quantity: Quantity) -> Finding | None:
    """What is wrong with a reading of a scale that ends before it; None where it is on the scale, or none of one."""
    if quantity.key != "burette_reading" or tool.holds(quantity.value):
        return None
    wrong = f"the scale of {_named(tool)} ends at {figures(tool.capacity, unit=quantity.unit)}"
    return error("over-capacity", wrong, read=quantity.raw, right=_YOURS)


def _read(tool: Instrument, row: Reading, wanted: Kind) -> Finding | None:
    """A length or mass beyond its range."""
    read = (q for field in row.fields.values() for q in field if term(q.key).kind is wanted)
    beyond = next((q for q in read if not tool.holds(q.value)), None)
    return None if beyond is None else _too_far(tool, beyond)


def _too_far(tool: Instrument, quantity: Quantity) -> Finding:
    wrong = f"{_named(tool)} goes to {figures(tool.capacity, unit=quantity.unit)}"
    return error("over-capacity", wrong, read=quantity.raw, right=_YOURS)


def _wrong_kind(tool: Instrument, wanted: Kind, read: str) -> Finding:
    wrong = f"{_named(tool)} reads {_READS.get(tool.kind, tool.kind.value)}, not a {wanted.value}"
    return error("wrong-instrument", wrong, read=read, right=_YOURS)


def _named(tool: Instrument) -> str:
    return f'the instrument "{clean(tool.key, 60)}"'


def unfit_for_calibration(cell: Cell, kit: Kit) -> list[Finding]:
    """Findings for what a calibration does not say; an error keeps it from being made."""
    tool = kit.instruments.get(cell.instrument)
    if not cell.instrument:
        return [error("no-instrument", "it is not said what is calibrated", right='instrument = "…"')]
    if tool is not None and tool.kind is not Kind.VOLUME:
        wrong = "only what delivers or holds fluid is calibrated here"
        return [error("wrong-instrument", wrong, read=cell.instrument)]
    found = _against(cell, kit)
    if "temperature" not in cell.settings and cell.method.against is Kind.MASS:
        found.append(_not_read(kit))
    for row in cell.readings:
        found += [f.at(line=row.line, place=row.place) for f in _unfit_row(row, cell, kit)]
    if not cell.counted:
        found.append(warning("none-counted", "every reading is set aside"))
    return found


def _against(cell: Cell, kit: Kit) -> list[Finding]:
    """What the steps were weighed or the rod or bore measured with."""
    scale = cell.choices.get("scale", "")
    kind = cell.method.against
    assert kind is not None
    named = _AGAINST[kind]
    if not scale:
        wrong = f"the {named} is not named: the usual one's error is taken, a guess"
        return [warning("no-scale", wrong, right='scale = "…"')]
    tool = kit.instruments.get(scale)
    if tool is not None and tool.kind is not kind:
        return [error("wrong-instrument", f"it measures no {kind.value}", read=scale, right=f"name the {named}")]
    return []


def _unfit_row(row: Reading, cell: Cell, kit: Kit) -> list[Finding]:
    """A step that delivers nothing, or more than the instrument or the scale holds."""
    tool, scale = kit.instruments.get(cell.instrument), kit.instruments.get(cell.choices.get("scale", ""))
    if says(row) == 0:
        return [error("no-delivery", "the scale did not move", read=row.said)]
    if row.method.against is Kind.MASS and row.one("before") == row.one("after"):
        return [error("no-delivery", "the mass did not change", read=row.said)]
    if tool is not None and not tool.holds(says(row)):
        return [error("over-capacity", f"more than {cell.instrument} holds", read=row.said)]
    loads = [q for name in ("before", "after") for q in row.fields.get(name, ())]
    if scale is not None and any(not scale.holds(q.value) for q in loads):
        return [error("over-capacity", f"more than {scale.name} can weigh", read=row.said)]
    return []


def outside_calibration(cell: Cell, kit: Kit) -> list[Finding]:
    """Findings for counted fills that lie where the scale was not calibrated, or were read the other way."""
    made = kit.calibration_of(cell)
    if made is None and cell.instrument in kit.refused and cell.by_scale:
        wrong = "its calibration is refused: the scale is taken as it stands, and nothing is corrected"
        right = "set the bad step of its calibration aside, with a reason"
        return [warning("not-corrected", wrong, read=cell.instrument, right=right)]
    if made is None:
        return []
    return [
        finding.at(line=row.line, place=row.place)
        for row in cell.counted
        for finding in (*_outside(row, made), *_backward(row, made))
    ]


def _outside(row: Reading, made: Calibration) -> list[Finding]:
    beyond = max(max(made.low - one, one - made.high) for one in deliveries(row))
    span = made.high - made.low
    if beyond <= 1e-9 * span:
        return []
    unit = next(q.unit for field in row.fields.values() for q in field if q.key == "burette_reading")
    wrong = (
        f"outside the calibrated range of {made.instrument}, deliveries of {figures(made.low, made.high, unit=unit)}"
    )
    right = "calibrate it there too, or fill within the range"
    if beyond > REFUSED * span:
        return [error("outside-calibration", f"refused: {wrong}", read=row.said, right=right)]
    return [warning("outside-calibration", f"a little {wrong}: its line is drawn on", read=row.said, right=right)]


def _backward(row: Reading, made: Calibration) -> list[Finding]:
    """A scale calibrated one way and read the other: the plunger's backlash is not in the calibration."""
    if not row.method.along or made.rises is None:
        return []
    legs = zip(row.fields["start"], row.fields["end"], strict=True)
    if all((end.value > start.value) is made.rises for start, end in legs):
        return []
    ways = ("down", "up") if made.rises else ("up", "down")
    wrong = f"read {ways[0]} its scale, but {made.instrument} was calibrated {ways[1]} it"
    return [question("other-way", wrong, read=row.said, right="a plunger has backlash: use the direction calibrated")]


def lacking(cell: Cell, kit: Kit) -> list[Finding]:
    """Findings for what a cell does not say, and for its rows; an error keeps it out of the results."""
    if not cell.step.part:
        weighed = cell.method.against is Kind.MASS
        return [*unfit_for_calibration(cell, kit), *(_weighed(cell, kit) if weighed else ())]
    found = [*_gauge(cell, kit), *cell_out_of_reach(cell, kit), *outside_calibration(cell, kit)]
    found += finer_than_read(cell, kit)
    found += _weighed(cell, kit) if cell.weighed else []
    for part in cell.parts:
        said = (*_unsaid(part), *_half_said(part))  # one that names its place is found there by its line
        found += [f if f.place else f.at(line=part.line, place=part.place) for f in said]
    found += _thin(cell, kit)
    if not cell.instrument:
        wrong = "no instrument is named: the error of the usual one is taken, a guess"
        found.append(warning("no-instrument", wrong, right='instrument = "…"'))
    if not cell.counted:
        found.append(warning("none-counted", "every reading is set aside"))
    return [*found, *_of_rows(cell)]


@once_each(lambda cell: (cell,))
def _of_rows(cell: Cell) -> tuple[Finding, ...]:
    """What the rows say against themselves, by the way in which they were read."""
    return tuple(
        f.at(line=row.line, place=row.place) for row in cell.readings for f in arithmetic(row.method).faults(row)
    )


def _thin(cell: Cell, kit: Kit) -> list[Finding]:
    """A fluid that runs past the rings where oil is meant to stand over them."""
    fluid = kit.fluids.get(cell.fluid) if cell.step.other_fluid else None
    if fluid is None or fluid.thick:
        return []
    wrong = f"{fluid.name} runs past the rings: it washes the bores and thins the oil, and the fill reads high"
    right = f"fill with {cell.step.fluid}; else oil the bores at once, and change oil and filter before the first start"
    return [warning("thin-fluid", wrong, read=cell.fluid, right=right)]


def _unsaid(cell: Cell) -> list[Finding]:
    """What the step asks for and the series leaves out: what is then taken, or that nothing can be."""
    asked = [(one.unsaid, one.name in cell.settings) for one in cell.step.settings]
    asked += [(one.unsaid, one.name in cell.choices) for one in cell.step.choices]
    lacks = [unsaid for unsaid, said in asked if unsaid is not None and not said]
    return [(error if one.refused else warning)(one.code, one.wrong, right=one.right) for one in lacks]


def _not_read(kit: Kit) -> Finding:
    """What is weighed at an unread temperature is known by the fluid's expansion over all that a bench may be."""
    taken = formatter(kit.system).show("temperature", REFERENCE, UNREAD, decimals=0)
    right = f'temperature = "{term("temperature").examples[kit.system == System.IMPERIAL]}"'
    return warning("no-temperature", f"the temperature was not read: taken as {taken}", right=right)


def _gauge(cell: Cell, kit: Kit) -> list[Finding]:
    """A depth read with a tool that is not named, or that reads none."""
    if GAUGE not in cell.step.choices:
        return []
    tool = cell.choices.get(GAUGE.name, "")
    drops = cell.settings.get("drop", ())
    if not tool and drops and all(has_doubt(q) for q in drops):
        return []  # its own ± is stated
    if not tool:
        wrong = f"it is not said what the depth was read with: taken as {UNSAID_GAUGE}"
        return [warning("no-gauge", wrong, right=f'{GAUGE.name} = "dial indicator"')]
    known = kit.instruments.get(tool)
    if known is None or known.kind is Kind.LENGTH:
        return []
    right = f"name the dial indicator, {UNSAID_GAUGE} or depth micrometer"
    return [error("wrong-instrument", "it reads no depth", read=tool, right=right, place=f"{cell.place}.{GAUGE.name}")]


def _weighed(cell: Cell, kit: Kit) -> list[Finding]:
    """What is weighed needs a fluid, at a temperature at which its density is known."""
    if not cell.fluid:
        what = "the bottle was weighed" if cell.step.part else "the steps were weighed"
        return [error("no-fluid", f"{what}, but the fluid is not said", right='fluid = "water"')]
    if cell.fluid not in kit.fluids:
        return []  # an unknown name has its own finding
    low, high = kit.fluids[cell.fluid].limits
    degrees = celsius(nominal(kit.temperature(cell.settings)))
    if "temperature" not in cell.settings:
        return [_not_read(kit)] if cell.step.part else []  # of a calibration it is said with what else that lacks
    if low <= degrees <= high:
        return []
    read = " and ".join(q.raw for q in cell.settings["temperature"])
    wrong = f"the density of {cell.fluid} is known from {low:g} to {high:g} °C only"
    at = f"{cell.place}.temperature"
    return [error("no-density", wrong, read=read, right="weigh at the temperature of the workshop", place=at)]


def _half_said(cell: Cell) -> list[Finding]:
    """Corrections begun but not finished, and what is said but counts for nothing."""
    said, found = set(cell.settings), []
    if cell.choices.get("level") == SEAT and "plug_well" not in said:
        wrong = "filled to the plug's seat, but the volume of the plug's well is not given"
        found.append(error("no-well", wrong, right='plug_well = "1.7 cc"', place=f"{cell.place}.level"))
    if cell.choices.get("level") == THREAD and "plug_well" in said:
        wrong = "filled to the bottom thread: the plug's well is not taken off"
        found.append(warning("well-unused", wrong, place=f"{cell.place}.plug_well"))
    if cell.choices.get("hole") == "filled" and not {"hole_diameter", "plate_thickness"} <= said:
        right = 'hole_diameter = "6 mm", plate_thickness = "6 mm"'
        wrong = "the plate's hole was filled, but its size is not given"
        found.append(error("no-hole", wrong, right=right, place=f"{cell.place}.hole"))
    if "film" in said and "opening" not in said:
        wrong = "a grease film is given, but not the open area it covers"
        found.append(error("no-opening", wrong, right='opening = "50 cm2"', place=f"{cell.place}.film"))
    if cell.choices.get("plug") == "not fitted" and "plug_hole" not in said:
        right = 'fit the running plug, or give plug_hole = "1.7 cc"'
        found.append(warning("no-plug", "no plug fitted: its hole is counted in the chamber", right=right))
    rings = sorted({"ring_bore", "ring_height"} & said)
    if len(rings) == 1:
        right = 'ring_bore = "90 mm", ring_height = "10 mm"'
        wrong = "a measuring ring needs both its bore and the plate's height"
        found.append(error("half-ring", wrong, right=right, place=f"{cell.place}.{rings[0]}"))
    return found
