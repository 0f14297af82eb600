"""Whether an instrument can have read what is said of it: its kind, how much it holds, how far it goes, how finely."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ccassist.bench.cell import Cell, Reading
from ccassist.bench.instruments import Instrument
from ccassist.bench.kit import Kit
from ccassist.bench.rows import deliveries
from ccassist.values.findings import Finding, clean, error, question
from ccassist.values.quantity import Quantity
from ccassist.vocabulary import Kind, term
from ccassist.vocabulary.units import in_unit

FINEST = 1e-6  # m: no length instrument of a shop reads finer (common practice, no source)
FINER = "finer-than-read"
BETWEEN = 10  # parts of the smallest step that an eye may guess between two marks

_READS = {Kind.VOLUME: "volumes", Kind.MASS: "masses", Kind.LENGTH: "lengths"}
_YOURS = "name the one that was used, or describe yours in an [instrument] section"


def out_of_reach(name: str, quantity: Quantity, kit: Kit) -> list[Finding]:
    """A finding where a stated value cannot have been read with the instrument named."""
    tool = kit.instruments.get(name)
    if tool is None:
        return []
    if tool.kind is not term(quantity.key).kind:
        return [_wrong_kind(tool, term(quantity.key).kind, quantity.raw)]
    stated = quantity.spread is not None or quantity.standard is not None
    return [] if stated or tool.holds(quantity.value) else [_too_far(tool, quantity)]


def cell_out_of_reach(cell: Cell, kit: Kit) -> list[Finding]:
    """Findings for the rows that the instrument named cannot have given."""
    tool = kit.instruments.get(cell.instrument)
    if tool is None:
        return []
    wanted = cell.method.reads
    if tool.kind is not wanted:
        return [_wrong_kind(tool, wanted, cell.instrument).at(place=f"{cell.place}.instrument")]
    found = []
    for row in cell.readings:
        finding = _delivered(tool, row) if wanted is Kind.VOLUME else _read(tool, row, wanted)
        if finding is not None:
            found.append(finding.at(line=row.line, place=row.place))
    return found


def finer_than_read(cell: Cell, kit: Kit) -> list[Finding]:
    """What is written more finely than its instrument reads: mostly a number in another unit than the box says."""
    tool = kit.instruments.get(cell.instrument)
    found = []
    for quantities, line, place in _all_read(cell):
        for quantity in quantities:
            steps = tool.resolution if tool and tool.kind is term(quantity.key).kind else 0.0
            finest = steps or (FINEST if term(quantity.key).kind is Kind.LENGTH else 0.0)
            if quantity.value and 0 < quantity.step < finest / BETWEEN * (1 - 1e-9):
                found.append(_too_fine(quantity, finest, tool if steps else None).at(line=line, place=place))
    return found


def _all_read(cell: Cell) -> Iterator[tuple[Sequence[Quantity], int | None, str]]:
    for row in cell.readings:
        for name, quantities in row.fields.items():
            yield quantities, row.line, f"{row.place}.{name}"
    for name, quantities in cell.settings.items():
        yield quantities, cell.line, f"{cell.place}.{name}"


def _too_fine(quantity: Quantity, finest: float, tool: Instrument | None) -> Finding:
    reads = f"{_named(tool)} reads" if tool else "a shop's instruments read"
    wrong = f"{reads} to {_shown(finest, quantity.unit)}, and this is written finer"
    right = "are you sure, and of the unit?"
    return question(FINER, wrong, read=quantity.raw, right=right)


def _delivered(tool: Instrument, row: Reading) -> Finding | None:
    """More than it holds in one delivery, or a reading beyond its scale."""
    scale = [q for field in row.fields.values() for q in field if q.key == "burette_reading"]
    unit = scale[0].unit
    most = max(deliveries(row), default=0.0)
    if not tool.holds(most):
        wrong = f"{_named(tool)} cannot deliver {_shown(most, unit)} at once: it holds {_shown(tool.capacity, unit)}"
        right = f"give the refills, {row.method.refills}"
        return error("over-capacity", wrong, read=row.said, right=right)
    beyond = next((q for q in scale if not tool.holds(q.value)), None)
    if beyond is None:
        return None
    wrong = f"the scale of {_named(tool)} ends at {_shown(tool.capacity, unit)}"
    return error("over-capacity", wrong, read=beyond.raw, right=_YOURS)


def _read(tool: Instrument, row: Reading, wanted: Kind) -> Finding | None:
    """A length or mass beyond its range."""
    read = (q for field in row.fields.values() for q in field if term(q.key).kind is wanted)
    beyond = next((q for q in read if not tool.holds(q.value)), None)
    return None if beyond is None else _too_far(tool, beyond)


def _too_far(tool: Instrument, quantity: Quantity) -> Finding:
    wrong = f"{_named(tool)} goes to {_shown(tool.capacity, quantity.unit)}"
    return error("over-capacity", wrong, read=quantity.raw, right=_YOURS)


def _wrong_kind(tool: Instrument, wanted: Kind, read: str) -> Finding:
    wrong = f"{_named(tool)} reads {_READS.get(tool.kind, tool.kind.value)}, not a {wanted.value}"
    return error("wrong-instrument", wrong, read=read, right=_YOURS)


def _named(tool: Instrument) -> str:
    return f'the instrument "{clean(tool.key, 60)}"'


def _shown(amount: float, unit: str) -> str:
    return f"{in_unit(amount, unit):.5g} {unit}"
