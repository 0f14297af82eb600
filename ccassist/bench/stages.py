"""A chamber filled level by level: rows -> volume from the face against depth, with every component of uncertainty.

One row is one run, from the dry chamber to the plate.  What lies between a
level and the face is what was delivered after that level, and what the level
held above its own depth: fluid that wets climbs the wall.  Repeats are those
of whole runs; they scatter as fills of a chamber do.
"""

from __future__ import annotations

import math

from ccassist.bench.cell import Cell, Line, Profile, Reading, Run
from ccassist.bench.fills import hole_volume, instrument_growth, material_growth
from ccassist.bench.kit import Kit, bounded
from ccassist.bench.lengths import depth_tool
from ccassist.bench.repeats import Source
from ccassist.bench.steps.fills import CHAMBER
from ccassist.values.findings import Finding, note
from ccassist.values.number import Number, nominal
from ccassist.values.quantity import Quantity
from ccassist.values.uncertainty import half_width

TOUCH = 0.05e-3  # m; where a gauge is said to touch a level, either way (common practice, no source)
CLIMB = 6.5e-6  # m²; 2 × surface tension ÷ (density × g) of spirits, oils and water with detergent (from memory)
CLIMB_HALF_WIDTH = 0.5  # of what climbs: how well the fluid wets, how the wall leans (common practice, no source)


def profile_of(cell: Cell, kit: Kit) -> Profile:
    """The runs of a cell as one profile; the cell has one counted row at least, and its levels rise."""
    runs = [_run(row, cell, kit) for row in cell.counted]
    return Profile(where=cell.where, state=cell.state, runs=tuple(runs))


def staged_lines(profile: Profile, cell: Cell, kit: Kit) -> tuple[dict[str, Number], list[Line]]:
    """What a profile measures [m³, m], and the sum that says so, to the depth that every run reached."""
    deepest = profile.deepest
    volume, hole = profile.volume(deepest), hole_volume(cell, kit)
    climbed = sum(climb(deepest, _edge(row, cell), cell, kit) for row in cell.counted) / len(cell.counted)
    runs = len(cell.counted)
    made = [Line(words="plus what climbs the wall at the deepest level", key="correction", number=climbed)]
    if hole is not None:
        made.append(Line(words="less the fluid in the plate's hole", key="hole_volume", number=-1 * hole))
    rest = volume - sum(line.number for line in made)
    words = f"from the deepest level to the plate, {f'mean of {runs} runs' if runs > 1 else 'one run'}"
    first = Line(words=words, key="fill_volume", number=rest)
    total = Line(words="between face and deepest level", key="staged_volume", number=volume, total=True)
    depth = min((run.depths[-1] for run in profile.runs), key=nominal)
    last = Line(words="depth of that level", key="staged_depth", number=depth)
    return {"staged_volume": volume, "staged_depth": depth}, [first, *made, total, last]


def _run(row: Reading, cell: Cell, kit: Kit) -> Run:
    depths = [q.value for q in row.fields["depth"]]
    after = _delivered_after(row, cell, kit)
    hole, edge = hole_volume(cell, kit) or 0.0, _edge(row, cell)
    warmth = kit.temperature(cell.settings)
    known = "temperature" in cell.settings
    grown = instrument_growth(cell.instrument, kit, warmth) - material_growth(cell, kit, warmth) if known else 0.0
    scatter = _scatter(cell, kit)
    levels: list[Number] = [0.0]
    volumes: list[Number] = [0.0]
    for depth, volume in sorted(zip(depths[:-1], after[:-1], strict=True), key=lambda pair: pair[0]):
        levels.append(_level(depth, row, cell, kit))
        volumes.append(volume * (1 + grown) + scatter - hole + climb(depth, edge, cell, kit))
    return Run(depths=tuple(levels), volumes=tuple(volumes))


def _delivered_after(row: Reading, cell: Cell, kit: Kit) -> list[Number]:
    """What was delivered after each level, to the plate [m³]; each reading of the burette is rounded once."""
    starts, ends = row.fields["start"], row.fields["end"]
    read: dict[float, Number] = {}
    found: list[Number] = [0.0]
    whole: Number = 0.0  # strokes of the burette that are over
    stroke: Number = 0.0  # the one that goes on, back from its end
    for i in range(len(ends) - 1, 0, -1):
        top, bottom = (_read(q, cell, kit, read) for q in (ends[i], starts[i]))
        stroke = stroke + (top - bottom if ends[i].value > starts[i].value else bottom - top)
        goes_on = starts[i].value == ends[i - 1].value
        found.append(whole + _true(stroke, cell, kit, part=goes_on))
        if not goes_on:
            whole, stroke, read = found[-1], 0.0, {}
    return found[::-1]


def _read(quantity: Quantity, cell: Cell, kit: Kit, read: dict[float, Number]) -> Number:
    """One reading of the burette: the same one, as the end of one stage and the start of the next, is one number."""
    if quantity.value not in read:
        rounding = kit.rounding(cell.instrument, "staged_volume", 1, cell.where, quantity.step)
        read[quantity.value] = quantity.value + rounding
    return read[quantity.value]


def _true(says: Number, cell: Cell, kit: Kit, *, part: bool) -> Number:
    """What the scale's amount truly is; of a part of a stroke a calibration's slope alone speaks."""
    made = kit.calibration_of(cell)
    if made is None:
        return says + kit.scale_error(cell.instrument, "fill_volume", [nominal(says)])
    true = made.slope * nominal(says) if part else made.true(nominal(says))
    return true + (says - nominal(says))


def _level(depth: float, row: Reading, cell: Cell, kit: Kit) -> Number:
    """One level's depth: the gauge's error and step, and where it is said to touch."""
    gauge = depth_tool(cell)
    step = min(q.step for q in row.fields["depth"] if q.value != 0)
    cause = bounded(
        f"{cell.where}: where the gauge touches the level",
        "level_depth",
        "repeat the run; a fine point, coming down slowly",
    )
    error_of = kit.scale_error(gauge, "level_depth", [depth])
    return depth + error_of + kit.rounding(gauge, "level_depth", 1, cell.where, step) + half_width(TOUCH, cause)


def _scatter(cell: Cell, kit: Kit) -> Number:
    """Scatter of one run: its own, else that of chambers filled with the same burette, fluid and hand."""
    own, made = kit.scatter_of(cell.way, cell.name), f"{cell.where}: repeat scatter of a run, with {cell.tool}"
    chambers = cell.way._replace(step=CHAMBER.key)
    if own.source is Source.UNKNOWN and kit.scatter_of(chambers).source is not Source.UNKNOWN:
        return kit.repeat_effect(kit.scatter_of(chambers), chambers, 1, "staged_volume", made)
    return kit.repeat_effect(own, cell.way, 1, "staged_volume", made)


def climb(depth: float, edge: float, cell: Cell, kit: Kit) -> Number:
    """Fluid above the level's own depth, at the wall [m³]: edge × (a² ÷ 2) √(2u − u²), u = depth² ÷ a², 1 at most.

    A fluid that wets climbs a wall to the height a = √(2γ ÷ ρg), or to the
    chamber's edge if that is nearer; the weight held up is the pull of the
    surface along the edge.  Source: meniscus at an upright wall, Landau and
    Lifshitz, Fluid Mechanics, sec. 61 (from memory).
    """
    cause = bounded(
        f"how far {cell.fluid or 'the fluid'} climbs the wall",
        "staged_volume",
        "a fluid that wets well; levels deeper than the cut",
        source="meniscus at an upright wall, surface tensions from memory",
    )
    own = kit.shared(("climb", cell.fluid), lambda: half_width(CLIMB_HALF_WIDTH, cause))
    return _climbs(depth, edge) * (1 + own)


def climbed(profile: Profile, cell: Cell) -> tuple[Finding, ...]:
    """That fluid stood at the wall above the levels: how much it adds to the deepest, and what of it is doubt."""
    added = sum(_climbs(profile.deepest, _edge(row, cell)) for row in cell.counted) / len(cell.counted)
    wrong = f"what climbs the wall adds {added * 1e6:.2f} cc at the deepest level, known to half of it either way"
    return (note("wall-climb", wrong, line=cell.line, place=cell.where),)


def _climbs(depth: float, edge: float) -> float:
    u = min(1.0, depth**2 / CLIMB)
    return edge * CLIMB / 2 * math.sqrt(2 * u - u**2)


def _edge(row: Reading, cell: Cell) -> float:
    """Length of the edge [m]: measured, else that of a circle of the area that the last stage shows."""
    if "edge" in cell.settings:
        return cell.settings["edge"][0].value
    last = abs(row.fields["end"][-1].value - row.fields["start"][-1].value)
    return 2 * math.sqrt(math.pi * last / row.fields["depth"][-2].value)
