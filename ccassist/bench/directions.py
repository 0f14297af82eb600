"""Fills read along a scale the other way than it runs, or than the fills before: start and end changed over."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate

from ccassist.bench.cell import Cell, Reading
from ccassist.bench.kit import Kit
from ccassist.values.findings import Finding, question

_WAYS = {True: "up", False: "down"}


def other_way(cells: Sequence[Cell], kit: Kit) -> list[Finding]:
    """One question for each thing filled the other way, by instrument.

    Which way a burette's scale runs is known (nought at the top, ISO 385,
    from memory), and a calibrated one is spoken of by its calibration; of any
    other scale, the way of most fills before counts.
    """
    found: list[Finding] = []
    for name in dict.fromkeys(cell.instrument for cell in cells):
        if name in kit.calibrations:
            continue
        tool = kit.instruments.get(name)
        scale = tool.rises if tool is not None else None
        rows = [(cell, row) for cell in cells if cell.instrument == name for row in _read_along(cell)]
        rows.sort(key=lambda pair: pair[1].line or 0)
        before = [0, *accumulate(1 if _rises(row) else -1 for _, row in rows)]
        odd = [
            (cell, row)
            for (cell, row), balance in zip(rows, before, strict=False)
            if _rises(row) is not (scale if scale is not None else balance > 0 or (balance == 0 and _rises(row)))
        ]
        found += [_finding(one, [r for c, r in odd if c is one], scale) for one in _each(odd)]
    return found


def _each(odd: Sequence[tuple[Cell, Reading]]) -> list[Cell]:
    return [cell for i, (cell, _) in enumerate(odd) if all(cell is not other for other, _ in odd[:i])]


def _read_along(cell: Cell) -> list[Reading]:
    """The fills that were read on a scale before and after; a calibration has its own rules."""
    return [row for row in cell.counted if row.method.key == "burette"] if cell.step.part else []


def _rises(row: Reading) -> bool:
    return row.fields["end"][0].value > row.fields["start"][0].value


def _finding(cell: Cell, rows: Sequence[Reading], scale: bool | None) -> Finding:
    way = _WAYS[_rises(rows[0])]
    than = "its scale: a burette's nought is at the top" if scale is not None else "the fills before"
    wrong = f"a fill read {way} the scale of {cell.tool}, the other way than {than}"
    right = "look for start and end changed over, or a figure of another fill"
    return question("other-way", wrong, read=rows[0].said, right=right, line=rows[0].line, place=cell.where)
