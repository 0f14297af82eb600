"""What a series must say before it can be reduced, asked and never assumed."""

from __future__ import annotations

from ccassist.bench.calibrated_range import outside_calibration, unfit_for_calibration
from ccassist.bench.cell import Cell, Reading
from ccassist.bench.kit import UNREAD, Kit
from ccassist.bench.lengths import UNSAID_GAUGE
from ccassist.bench.outlines import unfit_openings
from ccassist.bench.plug_hole import unsaid_of_plug_hole
from ccassist.bench.reach import cell_out_of_reach, finer_than_read
from ccassist.bench.stages import unfit_stages
from ccassist.bench.steps.fill import GAUGE
from ccassist.bench.temperatures import celsius
from ccassist.values.findings import Finding, error, warning
from ccassist.values.measured import nominal
from ccassist.values.statement import has_doubt
from ccassist.vocabulary import Kind


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
