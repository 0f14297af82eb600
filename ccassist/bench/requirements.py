"""What a series must say before it can be reduced, asked and never assumed."""

from __future__ import annotations

from ccassist.bench.cell import Cell
from ccassist.bench.kit import Kit
from ccassist.findings import Finding, error, warning


def lacking(cell: Cell, kit: Kit) -> list[Finding]:
    """Findings for what a cell does not say; an error keeps it out of the results."""
    found: list[Finding] = []
    if any(row.method.key == "weighing" for row in cell.readings) and cell.fluid not in kit.fluids:
        found.append(
            error(
                "no-fluid",
                "the dispenser was weighed, but the fluid is not said",
                read=cell.fluid,
                right='fluid = "water"',
            )
        )
    if cell.choices.get("hole") == "filled" and not {"hole_diameter", "plate_thickness"} <= set(cell.settings):
        found.append(
            error(
                "no-hole",
                "the plate's hole was filled, but its size is not given",
                right='hole_diameter = "6 mm", plate_thickness = "6 mm"',
            )
        )
    if cell.step.fills and "hole" not in cell.choices:
        found.append(
            warning(
                "hole-not-said",
                "it is not said whether the plate's hole was filled: taken as not filled",
                right='hole = "not filled" or "filled"',
            )
        )
    if cell.step.key == "crown":
        found.extend(_crown(cell))
    found.extend(_unsaid(cell))
    rings = {"ring_bore", "ring_height"} & set(cell.settings)
    if len(rings) == 1:
        found.append(error("half-ring", "a measuring ring needs its bore and the plate's height", read=rings.pop()))
    if not cell.instrument:
        found.append(
            warning("no-instrument", "no instrument is named: the ± leaves its own error out", right='instrument = "…"')
        )
    if not cell.counted:
        found.append(warning("none-counted", "every reading is set aside"))
    return found


def _unsaid(cell: Cell) -> list[Finding]:
    """Corrections begun but not finished, and a plug nobody spoke of."""
    found = []
    if "film" in cell.settings and "opening" not in cell.settings:
        found.append(
            error("no-opening", "a grease film is given, but not the open area it covers", right='opening = "50 cm2"')
        )
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
            found.append(
                error(
                    "half-a-leak",
                    "timed readings need their times and the time of the fill",
                    line=row.line,
                    right=right,
                )
            )
    return found


def _crown(cell: Cell) -> list[Finding]:
    found = []
    if "drop" not in cell.settings:
        found.append(error("no-drop", "how far the piston was lowered is not given", right='drop = "12.70 mm"'))
    if "seal" not in cell.choices:
        found.append(error("no-seal", "it is not said what sealed the crown edge", right='seal = "grease" or "ring"'))
    return found


def wrong_way(cell: Cell) -> list[Finding]:
    """Rows whose deliveries cannot be: gained mass, or a scale read both ways in one row."""
    found = []
    for row in cell.readings:
        if row.method.key == "weighing" and row.one("before") <= row.one("after"):
            found.append(
                error(
                    "no-delivery",
                    "the dispenser did not get lighter",
                    line=row.line,
                    right="before is the heavier reading",
                )
            )
        if row.method.key == "burette":
            signs = {end.value > start.value for start, end in zip(row.fields["start"], row.fields["end"], strict=True)}
            same = any(
                end.value == start.value for start, end in zip(row.fields["start"], row.fields["end"], strict=True)
            )
            if len(signs) > 1 or same:
                found.append(
                    error(
                        "no-delivery",
                        "start and end of a delivery contradict each other",
                        line=row.line,
                        right="each delivery runs one way along the scale",
                    )
                )
    return found
