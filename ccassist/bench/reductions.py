"""From the readings of a cell to the terms they measure, line by line."""

from __future__ import annotations

from typing import NamedTuple

from ccassist.bench.cell import Cell, Line, Profile, Reduced
from ccassist.bench.fills import corrections, mean_fill, row_results
from ccassist.bench.kit import MORE_REPEATS, Kit
from ccassist.bench.lengths import drop_of, found_besides, mean_area, mean_length, mean_of_several
from ccassist.bench.stages import climbed, profile_of, staged_lines
from ccassist.bench.steps.crown import CROWN, CROWN_ON_BENCH
from ccassist.bench.steps.fills import STAGES
from ccassist.engine.relations import bore_area
from ccassist.values.measured import Value
from ccassist.values.number import Number
from ccassist.values.uncertainty import Cause, budget
from ccassist.vocabulary import Kind, term
from ccassist.vocabulary.enumerations import Origin


class _Found(NamedTuple):
    """What a reduction finds: values by term, the sum line by line, and the top of a chamber filled level by level."""

    values: dict[str, Number]
    lines: list[Line]
    profile: Profile | None = None


def reduce_cell(cell: Cell, kit: Kit) -> Reduced:
    """All terms that a cell measures: by the function of its step, or that of what its rows find."""
    if not cell.counted:
        return Reduced(cell=cell, values={})
    reduce = _BY_STEP.get(cell.step.key, _BY_KIND.get(cell.kind, _length))
    numbers, lines, profile = reduce(cell, kit)
    count = len(cell.counted)
    how = f"{cell.step.title.lower()}, {count} reading{'s' if count > 1 else ''}" + (
        f", {cell.state}" if cell.state else ""
    )
    values = {
        key: Value(key=key, number=n, origin=Origin.MEASURED, how=how, line=cell.line) for key, n in numbers.items()
    }
    return Reduced(
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
    lines.append(Line(words=term(key).name, key=key, number=number, total=True))
    return _Found({key: number}, lines)


def _crown_in_bore(cell: Cell, kit: Kit) -> _Found:
    """Fill over the lowered piston, and how far it was lowered; the model does the rest."""
    number, lines = _corrected_fill(cell, kit)
    lines.append(Line(words="fill over the piston", key="crown_fill", number=number, total=True))
    read = drop_of(cell)
    drop = mean_of_several(read, kit) if read else 0.0
    lines.append(Line(words="drop of the piston", key="crown_drop", number=drop))
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
        lines.append(Line(words="less ring bore area × height", key="deck_volume", number=-1 * space))
        number = number - space
    lines.append(Line(words="net crown volume", key="crown_volume", number=number, total=True))
    return _Found({"crown_volume": number}, lines)


def _levels(cell: Cell, kit: Kit) -> _Found:
    """A chamber filled level by level."""
    profile = profile_of(cell, kit)
    return _Found(*staged_lines(profile, cell, kit), profile)


def _area(cell: Cell, kit: Kit) -> _Found:
    """An opening that is not round; of an oval the short axis too, of a chamber its centroid where it is traced."""
    number, lines = mean_area(cell, kit)
    total = Line(words=lines[-1].words, key=cell.key, number=number, total=True)
    return _Found({cell.key: number, **found_besides(cell, kit)}, [*lines[:-1], total])


def _length(cell: Cell, kit: Kit) -> _Found:
    """A length: mean of its rows, under the term that its method measures."""
    number, lines = mean_length(cell, kit, cell.key)
    total = Line(words=lines[-1].words, key=cell.key, number=number, total=True)
    return _Found({cell.key: number}, [*lines[:-1], total])


_BY_STEP = {CROWN.key: _crown_in_bore, CROWN_ON_BENCH.key: _crown_on_bench, STAGES.key: _levels}
_BY_KIND = {Kind.VOLUME: _filled, Kind.AREA: _area}


def scatter_cause(one: Reduced) -> tuple[Cause, float] | None:
    """The component that more repeats would make smaller, and the standard deviation of the mean by it, SI."""
    for value in one.values.values():
        for share in budget(value.number):
            if share.cause.remedy == MORE_REPEATS and share.cause.pool:
                return share.cause, abs(share.standard)
    return None
