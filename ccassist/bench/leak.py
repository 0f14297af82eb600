"""A leak found by timed readings: what ran away is taken off, or the fill is refused.

Time counts from the moment when fluid first stands over the leak.  Readings
taken after the fill give the rate; during the fill the leak ran for somewhere
between none and all of the time, so half of rate × fill time is taken off and
the other half is doubt, either way.  Source: common practice, no source;
trade example C5 for the straight line.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from ccassist.bench.cell import Cell, Reading
from ccassist.bench.straight_line import fit
from ccassist.values.findings import Finding, note, warning

MOST = 0.5e-6  # m³ lost during a fill; beyond it the answer is "seal it and refill" (common practice, no source)
THROUGH_THE_PLUG_HOLE = "thicker fluid, or grease the ring ends, and fill again"
SLIGHT = 0.05e-6  # m³; less than this is not worth a word


@dataclass(frozen=True, kw_only=True)
class Leak:
    """A leak of one fill.

    ``rate`` [m³/s], never under nothing; ``fill_time`` [s].  ``above`` [m³] is
    how far the reading at the end of the fill lies above the line through the
    timed readings there, in the sense in which the burette counts.
    """

    rate: float
    fill_time: float
    above: float = 0.0

    @property
    def lost(self) -> float:
        """The most that can have run away during the fill, m³."""
        return self.rate * self.fill_time


def leak_of(row: Reading) -> Leak | None:
    """The leak that a row's timed readings show; None where none were taken.

    Readings are of the burette; they rise, or fall on a scale that counts down,
    as the space asks for more.
    """
    if "settle" not in row.fields:
        return None
    fill_time = row.one("fill_time")
    end = row.fields["end"][-1].value
    times = [fill_time, *(q.value for q in row.fields["settle_at"])]
    readings = [end, *(q.value for q in row.fields["settle"])]
    if len(set(times)) < 2:
        return None
    way = 1.0 if end >= row.fields["start"][-1].value else -1.0
    line = fit(times, [way * r for r in readings])
    if line.slope <= 0:
        return Leak(rate=0.0, fill_time=fill_time)
    return Leak(rate=line.slope, fill_time=fill_time, above=way * end - line.at(fill_time))


def taken_off(row: Reading) -> float:
    """What is taken off a row's delivered volume for its leak [m³]; negative where the end was read below the line."""
    leak = leak_of(row)
    return 0.0 if leak is None else leak.above + leak.lost / 2


def refuse_leaks(cell: Cell) -> tuple[Cell, list[Finding]]:
    """The cell with every fill that leaked too much set aside, and what to say of leaks."""
    findings: list[Finding] = []
    rows: list[Reading] = []
    whole = THROUGH_THE_PLUG_HOLE if cell.step.key == "assembly" else ""
    for row in cell.readings:
        leak = leak_of(row)
        if leak is not None and leak.lost > MOST and not row.set_aside:
            amount = f"{leak.lost * 1e6:.1f} cc"
            wrong = f"it may have lost {amount} during the fill: not counted"
            right = whole or "seal it (seats, plug, plate edge) and refill"
            findings.append(warning("leaks", wrong, right=right, line=row.line))
            row = replace(row, set_aside=f"leak: up to {amount} lost during the fill")
        elif leak is not None and leak.lost > SLIGHT:
            wrong = f"a slow leak: {leak.lost / 2 * 1e6:.2f} cc taken off, and as much in doubt either way"
            right = whole or "grease the seats and refit the plate"
            findings.append(note("slow-leak", wrong, right=right, line=row.line))
        rows.append(row)
    return replace(cell, readings=tuple(rows)), findings
