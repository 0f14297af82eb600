"""Whether a calibration can be made of a series, and whether a later fill lies where the scale was calibrated."""

from __future__ import annotations

from ccassist.bench.cell import Cell, Reading
from ccassist.bench.fills import deliveries
from ccassist.bench.kit import UNREAD, Kit
from ccassist.bench.straight_line import Calibration, says
from ccassist.values.findings import Finding, error, question, warning
from ccassist.values.quantity import in_unit
from ccassist.vocabulary import Kind

REFUSED = 0.1  # of the calibrated range: a reading farther outside it is refused (common practice, no source)
_WEIGHS_OR_MEASURES = {"weighed": (Kind.MASS, "scale"), "size": (Kind.LENGTH, "micrometer or caliper")}


def unfit_for_calibration(cell: Cell, kit: Kit) -> list[Finding]:
    """Findings for what a calibration does not say; an error keeps it from being made."""
    tool = kit.instruments.get(cell.instrument)
    if not cell.instrument:
        return [error("no-instrument", "it is not said what is calibrated", right='instrument = "…"')]
    if tool is not None and tool.kind is not Kind.VOLUME:
        wrong = "only what delivers or holds fluid is calibrated here"
        return [error("wrong-instrument", wrong, read=cell.instrument)]
    found = _against(cell, kit)
    if "temperature" not in cell.settings and cell.readings and cell.readings[0].method.key == "weighed":
        wrong = f"the temperature was not read: taken as 20 °C, give or take {UNREAD:g}"
        found.append(warning("no-temperature", wrong, right='temperature = "20.5 degC"'))
    for row in cell.readings:
        found += [f.at(line=row.line, place=row.place) for f in _unfit_row(row, cell, kit)]
    if not cell.counted:
        found.append(warning("none-counted", "every reading is set aside"))
    return found


def _against(cell: Cell, kit: Kit) -> list[Finding]:
    """What the steps were weighed or the rod or bore measured with."""
    scale = cell.choices.get("scale", "")
    if not cell.readings:
        return []
    kind, named = _WEIGHS_OR_MEASURES[cell.readings[0].method.key]
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
    if row.method.key == "weighed" and row.one("before") == row.one("after"):
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
    if made is None and cell.instrument in kit.refused and cell.step.fills and not cell.weighed:
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
    low, high = (f"{in_unit(end, unit):.5g}" for end in (made.low, made.high))
    wrong = f"outside the calibrated range of {made.instrument}, deliveries of {low} to {high} {unit}"
    right = "calibrate it there too, or fill within the range"
    if beyond > REFUSED * span:
        return [error("outside-calibration", f"refused: {wrong}", read=row.said, right=right)]
    return [warning("outside-calibration", f"a little {wrong}: its line is drawn on", read=row.said, right=right)]


def _backward(row: Reading, made: Calibration) -> list[Finding]:
    """A scale calibrated one way and read the other: the plunger's backlash is not in the calibration."""
    if row.method.key != "burette" or made.rises is None:
        return []
    legs = zip(row.fields["start"], row.fields["end"], strict=True)
    if all((end.value > start.value) is made.rises for start, end in legs):
        return []
    ways = ("down", "up") if made.rises else ("up", "down")
    wrong = f"read {ways[0]} its scale, but {made.instrument} was calibrated {ways[1]} it"
    return [question("other-way", wrong, read=row.said, right="a plunger has backlash: use the direction calibrated")]
