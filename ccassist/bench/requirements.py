"""What a series must say before it can be reduced, asked and never assumed."""

from __future__ import annotations

from ccassist.bench.areas import unfit_openings
from ccassist.bench.calibrated import Calibration, says
from ccassist.bench.cell import Cell, Reading
from ccassist.bench.densities import celsius
from ccassist.bench.fills import deliveries
from ccassist.bench.kit import UNREAD, Kit
from ccassist.bench.lengths import UNSAID_GAUGE
from ccassist.bench.reach import cell_out_of_reach, finer_than_read
from ccassist.bench.stages import unfit_stages
from ccassist.bench.steps.fills import ASSEMBLY, GAUGE, SEAT, THREAD
from ccassist.values.findings import Finding, error, question, warning
from ccassist.values.measured import nominal
from ccassist.values.quantity import in_unit
from ccassist.values.statement import has_doubt
from ccassist.vocabulary import Kind

# Whether a calibration can be made of a series, and whether a later fill lies where the scale was calibrated.

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


# The plug hole of a whole assembly: what of the fill is not clearance volume, and what must be said of it.


def unsaid_of_plug_hole(cell: Cell) -> list[Finding]:
    """What the fill of a whole assembly must say: asked, never assumed."""
    if cell.step.key != ASSEMBLY.key:
        return []
    found = []
    if "level" not in cell.choices:
        right = f'level = "{THREAD}" or "{SEAT}"'
        found.append(error("no-level", "it is not said up to where it was filled", right=right))
    if cell.choices.get("level") == SEAT and "plug_well" not in cell.settings:
        wrong = "filled to the plug's seat, but the volume of the plug's well is not given"
        found.append(error("no-well", wrong, right='plug_well = "1.7 cc"', place=f"{cell.place}.level"))
    if cell.choices.get("level") == THREAD and "plug_well" in cell.settings:
        wrong = "filled to the bottom thread: the plug's well is not taken off"
        found.append(warning("well-unused", wrong, place=f"{cell.place}.plug_well"))
    if "plug_nose" not in cell.settings:
        right = 'plug_nose = "adds 0.3 cc", or "none"'
        found.append(warning("nose-not-said", "nothing is said of the plug's nose: taken as nothing", right=right))
    return found


def lacking(cell: Cell, kit: Kit) -> list[Finding]:
    """Findings for what a cell does not say; an error keeps it out of the results."""
    if not cell.step.part:
        return [*unfit_for_calibration(cell, kit), *(_weighed(cell, kit) if _steps_weighed(cell) else ())]
    found: list[Finding] = [*_gauge(cell, kit), *cell_out_of_reach(cell, kit), *outside_calibration(cell, kit)]
    found += [*finer_than_read(cell, kit), *unfit_openings(cell), *unfit_stages(cell), *unsaid_of_plug_hole(cell)]
    if cell.weighed:
        found.extend(_weighed(cell, kit))
    found.extend(_hole(cell))
    if cell.step.key == "crown":
        found.extend(_crown(cell))
    found.extend(_unsaid(cell))
    rings = sorted({"ring_bore", "ring_height"} & set(cell.settings))
    if len(rings) == 1:
        right = 'ring_bore = "90 mm", ring_height = "10 mm"'
        wrong = "a measuring ring needs both its bore and the plate's height"
        found.append(error("half-ring", wrong, right=right, place=f"{cell.place}.{rings[0]}"))
    if not cell.instrument:
        found.append(
            warning(
                "no-instrument",
                "no instrument is named: the error of the usual one is taken, a guess",
                right='instrument = "…"',
            )
        )
    if not cell.counted:
        found.append(warning("none-counted", "every reading is set aside"))
    return found


def _hole(cell: Cell) -> list[Finding]:
    """A plate's hole that was filled, of a size that is not given, or of which nothing is said."""
    found = []
    if cell.choices.get("hole") == "filled" and not {"hole_diameter", "plate_thickness"} <= set(cell.settings):
        right = 'hole_diameter = "6 mm", plate_thickness = "6 mm"'
        wrong = "the plate's hole was filled, but its size is not given"
        found.append(error("no-hole", wrong, right=right, place=f"{cell.place}.hole"))
    if any(choice.name == "hole" for choice in cell.step.choices) and "hole" not in cell.choices:
        wrong = "it is not said whether the plate's hole was filled: taken as not filled"
        found.append(warning("hole-not-said", wrong, right='hole = "not filled" or "filled"'))
    return found


def _not_read() -> Finding:
    """What is weighed at an unread temperature is known by the fluid's expansion over all that a bench may be."""
    wrong = f"the temperature was not read: taken as 20 °C, give or take {UNREAD:g}"
    return warning("no-temperature", wrong, right='temperature = "20.5 degC"')


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


def _steps_weighed(cell: Cell) -> bool:
    return any(row.method.key == "weighed" for row in cell.readings)


def _weighed(cell: Cell, kit: Kit) -> list[Finding]:
    """What is weighed needs a fluid, at a temperature at which its density is known."""
    if not cell.fluid:
        what = "the steps were weighed" if _steps_weighed(cell) else "the dispenser was weighed"
        return [error("no-fluid", f"{what}, but the fluid is not said", right='fluid = "water"')]
    if cell.fluid not in kit.fluids:
        return []  # an unknown name has its own finding
    low, high = kit.fluids[cell.fluid].limits
    degrees = celsius(nominal(kit.temperature(cell.settings)))
    if "temperature" not in cell.settings:
        return [_not_read()] if cell.step.part else []  # of a calibration it is said with what else that lacks
    if low <= degrees <= high:
        return []
    read = " and ".join(q.raw for q in cell.settings["temperature"])
    wrong = f"the density of {cell.fluid} is known from {low:g} to {high:g} °C only"
    at = f"{cell.place}.temperature"
    return [error("no-density", wrong, read=read, right="weigh at the temperature of the workshop", place=at)]


def _unsaid(cell: Cell) -> list[Finding]:
    """Corrections begun but not finished, and a plug nobody spoke of."""
    found = []
    if "film" in cell.settings and "opening" not in cell.settings:
        wrong = "a grease film is given, but not the open area it covers"
        found.append(error("no-opening", wrong, right='opening = "50 cm2"', place=f"{cell.place}.film"))
    if cell.step.key == "chamber" and "plug" not in cell.choices:
        right = 'plug = "fitted" or "not fitted"'
        found.append(
            warning("plug-not-said", "it is not said whether the running plug is fitted: taken as fitted", right=right)
        )
    if cell.choices.get("plug") == "not fitted" and "plug_hole" not in cell.settings:
        right = 'fit the running plug, or give plug_hole = "1.7 cc"'
        found.append(warning("no-plug", "no plug fitted: its hole is counted in the chamber", right=right))
    for row in cell.readings:
        if len({"settle", "settle_at", "fill_time"} & set(row.fields)) in (1, 2):
            right = "settle, settle_at and fill_time go together"
            wrong = "timed readings need their times and the time of the fill"
            found.append(error("half-a-leak", wrong, read=row.said, right=right, line=row.line, place=row.place))
    return found


def _crown(cell: Cell) -> list[Finding]:
    found = []
    if "drop" not in cell.settings:
        found.append(error("no-drop", "how far the piston was lowered is not given", right='drop = "12.70 mm"'))
    if "seal" not in cell.choices:
        found.append(error("no-seal", "it is not said what sealed the crown edge", right='seal = "grease" or "ring"'))
    return found


def wrong_way(cell: Cell) -> list[Finding]:
    """Rows whose deliveries cannot be: gained mass, nothing delivered, or a scale read both ways in one row."""
    checks = {"weighing": _lighter, "burette": _one_way, "syringes": _delivers}
    found = []
    for row in cell.readings:
        if row.method.key in checks:
            wrong, right = checks[row.method.key](row)
            if wrong:
                found.append(error("no-delivery", wrong, read=row.said, right=right, line=row.line, place=row.place))
    return found


def _lighter(row: Reading) -> tuple[str, str]:
    """A dispenser that gave something is lighter afterwards."""
    lighter = row.one("before") > row.one("after")
    return ("", "") if lighter else ("the dispenser did not get lighter", "before is the heavier reading")


def _one_way(row: Reading) -> tuple[str, str]:
    """Each delivery moves along the scale, and all of them the same way."""
    moves = [e.value - s.value for s, e in zip(row.fields["start"], row.fields["end"], strict=True)]
    if 0 in moves:
        return "start and end are the same: nothing was delivered", "read the end after the fill"
    if min(moves) < 0 < max(moves):
        return (
            "one delivery rises along the scale and another falls",
            "each runs the same way: look for start and end changed over",
        )
    return "", ""


def _delivers(row: Reading) -> tuple[str, str]:
    """Syringes deliver something, and never take back."""
    rest = row.one("rest") if "rest" in row.fields else 0.0
    if row.one("each") <= 0 or rest < 0:
        return "a delivery is more than nothing", 'full = 1, each = "60 ml", rest = "2.5 ml"'
    if row.one("full") == 0 and rest == 0:
        return "nothing was delivered", 'full = 1, each = "60 ml", or full = 0 and a rest'
    return "", ""
