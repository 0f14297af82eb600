"""From the readings of a cell to the terms they measure, line by line."""

from __future__ import annotations

from collections.abc import Callable

from ccassist.bench.areas import area_key, centroid_of, finds_area, mean_area, short_axis
from ccassist.bench.cell import Cell, Line, Reduced
from ccassist.bench.fills import corrections, mean_fill
from ccassist.bench.kit import MORE_REPEATS, Kit
from ccassist.bench.lengths import drop_of, mean_length, mean_of_several, row_results
from ccassist.bench.stages import profile_of, staged_lines
from ccassist.bench.steps.fills import STAGES
from ccassist.engine.relations import bore_area
from ccassist.values.measured import Cause, Number, Value, budget


def reduce_cell(cell: Cell, kit: Kit) -> Reduced:
    """All terms that a cell measures."""
    if not cell.counted:
        return Reduced(cell=cell, values={})
    special: dict[str, Callable[[Cell, Kit], tuple[dict[str, Number], list[Line]]]] = {
        "chamber": _chamber,
        "crown": _crown_in_bore,
        "crown-bench": _crown_on_bench,
        "assembly": _whole,
    }
    profile = profile_of(cell, kit) if cell.step.key == STAGES.key else None
    if profile is not None:
        numbers, lines = staged_lines(profile, cell, kit)
    else:
        numbers, lines = special.get(cell.step.key, _area if finds_area(cell) else _length)(cell, kit)
    count = len(cell.counted)
    how = f"{cell.step.title.lower()}, {count} reading{'s' if count > 1 else ''}" + (
        f", {cell.state}" if cell.state else ""
    )
    values = {key: Value(key=key, number=n, origin="measured", how=how, line=cell.line) for key, n in numbers.items()}
    return Reduced(
        cell=cell,
        values=values,
        lines=tuple(lines),
        rows=row_results(cell, kit),
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


def _chamber(cell: Cell, kit: Kit) -> tuple[dict[str, Number], list[Line]]:
    """Chamber: mean fill less the hole.  Source: common practice, no source; trade example C3."""
    number, lines = _corrected_fill(cell, kit)
    lines.append(Line(words="chamber volume", key="chamber_volume", number=number, total=True))
    return {"chamber_volume": number}, lines


def _crown_in_bore(cell: Cell, kit: Kit) -> tuple[dict[str, Number], list[Line]]:
    """Fill over the lowered piston, and how far it was lowered; the model does the rest."""
    number, lines = _corrected_fill(cell, kit)
    lines.append(Line(words="fill over the piston", key="crown_fill", number=number, total=True))
    read = drop_of(cell)
    drop = mean_of_several(read, kit) if read else 0.0
    lines.append(Line(words="drop of the piston", key="crown_drop", number=drop))
    return {"crown_fill": number, "crown_drop": drop}, lines


def _crown_on_bench(cell: Cell, kit: Kit) -> tuple[dict[str, Number], list[Line]]:
    """Fill under a plate on the crown, or in a ring round a dome: less ring area × height.

    Source: common practice, no source.
    """
    number, lines = _corrected_fill(cell, kit)
    if "ring_bore" in cell.settings and "ring_height" in cell.settings:
        bore, height = cell.settings["ring_bore"][0], cell.settings["ring_height"][0]
        wide = kit.setting(bore, ("ring", "ring_bore", bore.raw), "measuring ring, bore")
        tall = kit.setting(height, ("ring", "ring_height", height.raw), "measuring ring, height")
        space = bore_area(wide) * tall
        lines.append(Line(words="less ring bore area × height", key="deck_volume", number=-1 * space))
        number = number - space
    lines.append(Line(words="net crown volume", key="crown_volume", number=number, total=True))
    return {"crown_volume": number}, lines


def _whole(cell: Cell, kit: Kit) -> tuple[dict[str, Number], list[Line]]:
    """The whole assembly through the plug hole: mean fill, well and nose of the plug.  Source: common practice."""
    number, lines = _corrected_fill(cell, kit)
    lines.append(Line(words="clearance volume as a whole", key="assembly_volume", number=number, total=True))
    return {"assembly_volume": number}, lines


def _area(cell: Cell, kit: Kit) -> tuple[dict[str, Number], list[Line]]:
    """An opening that is not round; of an oval the short axis too, of a chamber its centroid where it is traced."""
    number, lines = mean_area(cell, kit)
    key, found = area_key(cell), {area_key(cell): number}
    centroid = centroid_of(cell, kit)
    if centroid is not None:
        found["opening_centroid"] = centroid
    if cell.readings[0].method.key == "ellipse":
        found["gasket_short"] = short_axis(cell, kit)
    return found, [*lines[:-1], Line(words=lines[-1].words, key=key, number=number, total=True)]


def _length(cell: Cell, kit: Kit) -> tuple[dict[str, Number], list[Line]]:
    """A length: mean of its rows, under the term that its method measures."""
    key = cell.step.gives[0] if len(cell.step.gives) == 1 else cell.readings[0].method.result
    number, lines = mean_length(cell, kit, key)
    return {key: number}, [*lines[:-1], Line(words=lines[-1].words, key=key, number=number, total=True)]


# Which cause of doubt more repeats of a series would make smaller.


def scatter_cause(one: Reduced) -> tuple[Cause, float] | None:
    """The cause of doubt that more repeats would make smaller, and the standard deviation of the mean by it, SI."""
    for value in one.values.values():
        for share in budget(value.number):
            if share.cause.remedy == MORE_REPEATS and share.cause.pool:
                return share.cause, abs(share.standard)
    return None
