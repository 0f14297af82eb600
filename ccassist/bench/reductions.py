"""From the readings of a cell to the terms they measure, line by line."""

from __future__ import annotations

import math
from typing import NamedTuple

from ccassist.bench.cell import Cell, Line, Profile, Reading, Reduction, Run
from ccassist.bench.fills import corrections, hole_volume, instrument_growth, material_growth, mean_fill, row_results
from ccassist.bench.kit import MORE_REPEATS, Kit, bounded
from ccassist.bench.lengths import depth_tool, drop_of, found_besides, mean_area, mean_length, mean_of_several
from ccassist.bench.repeats import Source
from ccassist.bench.steps.crown import CROWN, CROWN_ON_BENCH
from ccassist.bench.steps.fills import CHAMBER, STAGES
from ccassist.engine.relations import bore_area
from ccassist.values.display import cc
from ccassist.values.findings import Finding, note
from ccassist.values.measured import Value
from ccassist.values.number import Number, nominal
from ccassist.values.quantity import Quantity
from ccassist.values.uncertainty import Cause, budget, half_width
from ccassist.vocabulary import Kind, term
from ccassist.vocabulary.units import Origin

# A chamber filled level by level: rows -> volume from the face against depth, with every component of uncertainty.
#
# One row is one run, from the dry chamber to the plate.  What lies between a level and the face is what was delivered
# after that level, and what the level held above its own depth: fluid that wets climbs the wall.  Repeats are those of
# whole runs; they scatter as fills of a chamber do.

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
    made = [Line("plus what climbs the wall at the deepest level", "correction", climbed)]
    if hole is not None:
        made.append(Line("less the fluid in the plate's hole", "hole_volume", -1 * hole))
    rest = volume - sum(line.number for line in made)
    words = f"from the deepest level to the plate, {f'mean of {runs} runs' if runs > 1 else 'one run'}"
    first = Line(words, "fill_volume", rest)
    total = Line("between face and deepest level", "staged_volume", volume, total=True)
    depth = min((run.depths[-1] for run in profile.runs), key=nominal)
    last = Line("depth of that level", "staged_depth", depth)
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
        rounding = kit.rounding(cell.instrument, "staged_volume", cell.where, quantity.step)
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
    return depth + error_of + kit.rounding(gauge, "level_depth", cell.where, step) + half_width(TOUCH, cause)


def _scatter(cell: Cell, kit: Kit) -> Number:
    """Scatter of one run: its own, else that of chambers filled with the same burette, fluid and hand."""
    own, made = kit.scatter_of(cell.way, cell.name), f"{cell.where}: repeat scatter of a run, with {cell.tool}"
    chambers = cell.way._replace(step=CHAMBER.key)
    if own.source is Source.UNKNOWN and kit.scatter_of(chambers).source is not Source.UNKNOWN:
        return kit.repeat_effect(kit.scatter_of(chambers), chambers, 1, "staged_volume", made)
    return kit.repeat_effect(own, cell.way, 1, "staged_volume", made)


def climb(depth: float, edge: float, cell: Cell, kit: Kit) -> Number:
    """Fluid above the level's own depth, at the wall [m³]: edge × (a² ÷ 2) √(2u − u²), u = depth² ÷ a², 1 at most.

    A fluid that wets climbs a wall to the height a = √(2γ ÷ ρg), or to the chamber's edge if that is nearer; the weight
    held up is the pull of the surface along the edge.  Source: meniscus at an upright wall, Landau and Lifshitz, Fluid
    Mechanics, sec. 61 (from memory).
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
    wrong = f"what climbs the wall adds {cc(added)} at the deepest level, known to half of it either way"
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


class _Found(NamedTuple):
    """What a reduction finds: values by term, the sum line by line, and the top of a chamber filled level by level."""

    values: dict[str, Number]
    lines: list[Line]
    profile: Profile | None = None


def reduce_cell(cell: Cell, kit: Kit) -> Reduction:
    """All terms that a cell measures: by the function of its step, or that of what its rows find."""
    if not cell.counted:
        return Reduction(cell=cell, values={})
    reduce = _BY_STEP.get(cell.step.key, _BY_KIND.get(cell.kind, _length))
    numbers, lines, profile = reduce(cell, kit)
    count = len(cell.counted)
    how = f"{cell.step.title.lower()}, {count} reading{'s' if count > 1 else ''}" + (
        f", {cell.state}" if cell.state else ""
    )
    values = {key: Value(key, n, Origin.MEASURED, how=how, line=cell.line) for key, n in numbers.items()}
    return Reduction(
        cell=cell,
        values=values,
        lines=tuple(lines),
        rows=row_results(cell, kit),
        findings=climbed(profile, cell) if profile is not None else (),
        scatter=kit.scatter_of(cell.way, cell.name),
        profile=profile,
    )


def _corrected_fill(cell: Cell, kit: Kit) -> tuple[Number, list[Line]]:
    """Mean fill with everything that is put on or taken off it, line by line."""
    number, lines = mean_fill(cell, kit, "fill_volume")
    made = corrections(cell, kit, number)
    for line in made:
        number = number + line.number
    return number, [*lines, *made]


def _filled(cell: Cell, kit: Kit) -> _Found:
    """The one volume that a step finds: mean fill with its corrections.

    Source: common practice, no source; trade example C3.
    """
    number, lines = _corrected_fill(cell, kit)
    key = cell.step.gives[0]
    lines.append(Line(term(key).name, key, number, total=True))
    return _Found({key: number}, lines)


def _crown_in_bore(cell: Cell, kit: Kit) -> _Found:
    """Fill over the lowered piston, and how far it was lowered; the model does the rest."""
    number, lines = _corrected_fill(cell, kit)
    lines.append(Line("fill over the piston", "crown_fill", number, total=True))
    read = drop_of(cell)
    drop = mean_of_several(read, kit) if read else 0.0
    lines.append(Line("drop of the piston", "crown_drop", drop))
    return _Found({"crown_fill": number, "crown_drop": drop}, lines)


def _crown_on_bench(cell: Cell, kit: Kit) -> _Found:
    """Fill under a plate on the crown, or in a ring round a dome: less ring area × height.

    Source: common practice, no source.
    """
    number, lines = _corrected_fill(cell, kit)
    if "ring_bore" in cell.settings and "ring_height" in cell.settings:
        bore, height = cell.settings["ring_bore"][0], cell.settings["ring_height"][0]
        wide = kit.setting(bore, ("ring", "ring_bore", bore.raw), "measuring ring, bore")
        tall = kit.setting(height, ("ring", "ring_height", height.raw), "measuring ring, height")
        space = bore_area(wide) * tall
        lines.append(Line("less ring bore area × height", "deck_volume", -1 * space))
        number = number - space
    lines.append(Line("net crown volume", "crown_volume", number, total=True))
    return _Found({"crown_volume": number}, lines)


def _levels(cell: Cell, kit: Kit) -> _Found:
    """A chamber filled level by level."""
    profile = profile_of(cell, kit)
    return _Found(*staged_lines(profile, cell, kit), profile)


def _area(cell: Cell, kit: Kit) -> _Found:
    """An opening that is not round; of an oval the short axis too, of a chamber its centroid where it is traced."""
    number, lines = mean_area(cell, kit)
    total = Line(lines[-1].words, cell.key, number, total=True)
    return _Found({cell.key: number, **found_besides(cell, kit)}, [*lines[:-1], total])


def _length(cell: Cell, kit: Kit) -> _Found:
    """A length: mean of its rows, under the term that its method measures."""
    number, lines = mean_length(cell, kit, cell.key)
    total = Line(lines[-1].words, cell.key, number, total=True)
    return _Found({cell.key: number}, [*lines[:-1], total])


_BY_STEP = {CROWN.key: _crown_in_bore, CROWN_ON_BENCH.key: _crown_on_bench, STAGES.key: _levels}
_BY_KIND = {Kind.VOLUME: _filled, Kind.AREA: _area}


def scatter_cause(one: Reduction) -> tuple[Cause, float] | None:
    """The component that more repeats would make smaller, and the standard deviation of the mean by it, SI."""
    for value in one.values.values():
        for share in budget(value.number):
            if share.cause.remedy == MORE_REPEATS and share.cause.pool:
                return share.cause, abs(share.standard)
    return None
