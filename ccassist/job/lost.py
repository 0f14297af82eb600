"""What a file held and, an older copy having been saved over it, holds no more; and how it is put back.

A reading is the same one where all its values are; one that was edited by hand still has the place and the time of day
that it was saved with.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from ccassist.job import amend
from ccassist.job.lines import as_written
from ccassist.job.pieces import tables_in
from ccassist.job.vocabulary import ROW_KEYS
from ccassist.job.write import append_reading
from ccassist.vocabulary.record import record

_WHERE = ("step", "cylinder", "part", "position")
_MARKS = (*ROW_KEYS, "fill_time", "settle", "settle_at")  # put to a reading after it was saved


@record(kw_only=False)
class _SavedRow:
    """A reading as the file has it: its place, the keys of its series, itself."""

    place: str
    header: Mapping[str, Any]
    row: Mapping[str, Any]

    @property
    def where(self) -> tuple[str, ...]:
        """What was read: the step, and the cylinder, part or instrument."""
        keys = (*_WHERE, *(() if {"cylinder", "part"} & set(self.header) else ("instrument",)))
        return tuple(str(self.header.get(key, "")) for key in keys)

    @property
    def text(self) -> str:
        """The reading with all that is said of it."""
        return repr(sorted(self.row.items()))

    @property
    def values(self) -> dict[str, Any]:
        """Only what was read, and when."""
        return {key: value for key, value in self.row.items() if key not in _MARKS or key == "time"}

    @property
    def words(self) -> str:
        """Such as "chamber, cylinder 1: start 0.1 cc, end 46.2 cc"."""
        place = [f"{key} {self.header[key]}" for key in _WHERE[1:] if key in self.header]
        read = ", ".join(f"{key} {_plain(value)}" for key, value in self.row.items())
        return f"{', '.join([str(self.header.get('step', '')), *place])}: {read}"


@record(kw_only=False)
class Lost:
    """What is missing: readings, what was said of readings that are still there, and statements."""

    readings: tuple[_SavedRow, ...] = ()
    marks: tuple[tuple[_SavedRow, Mapping[str, Any]], ...] = ()
    stated: tuple[tuple[tuple[str, ...], Any], ...] = ()

    def __bool__(self) -> bool:
        return bool(self.readings or self.marks or self.stated)

    @property
    def words(self) -> list[str]:
        """All of it, a line each."""
        said = [one.words for one in self.readings]
        said += [
            f"{', '.join(f'{key} {_plain(value)}' for key, value in more.items())}; of {one.words}"
            for one, more in self.marks
        ]
        return said + [f"[{'.'.join(path[:-1])}] {path[-1]} = {as_written(value, 1)}" for path, value in self.stated]


def lost(old: str, new: str) -> Lost:
    """What the old text of a file holds and the new one does not; what was changed by hand is not missing."""
    before, now = tables_in(old), tables_in(new)
    had, has = _rows(before), _rows(now)
    for alike in ("text", "values"):
        had, has, pairs = _paired(had, has, alike)
        if alike == "values":
            marks = [(there, _missing(was.row, there.row)) for was, there in pairs]
    had, _, _ = _paired(had, has, "time")
    return Lost(
        readings=tuple(had),
        marks=tuple((there, more) for there, more in marks if more),
        stated=tuple(_unstated(before, now)),
    )


def put_back(text: str, gone: Lost) -> str:
    """The text with what is missing in it put back: statements, what was said of readings, and readings at its end.

    Raises InputError: it is written in a way that cannot be edited here.
    """
    for path, value in gone.stated:
        if isinstance(value, str) and len(path) > 1:
            text = amend.state(text, path[:-1], path[-1], value)
        else:
            text = amend.set_value(text, path, value)
    for one, more in gone.marks:
        rows = _rows(tables_in(text))
        same = [row for row in rows if row.where == one.where and row.values == one.values]
        there = min(same, key=lambda row: (row.text != one.text, row.place != one.place), default=None)  # of twins, it
        text = amend.annotate(text, there.place, more) if there is not None else text
    for one in gone.readings:
        text = append_reading(text, one.header, one.row)
    return text


def _rows(data: Mapping[str, Any]) -> list[_SavedRow]:
    found: list[_SavedRow] = []
    for i, block in enumerate(data.get("series", []), start=1):
        header = {key: value for key, value in block.items() if key != "readings"}
        rows = [row for row in enumerate(block.get("readings", []), start=1) if isinstance(row[1], dict)]
        found += [_SavedRow(f"series {i}, reading {j}", header, row) for j, row in rows]
    return found


def _paired(
    had: Sequence[_SavedRow], has: Sequence[_SavedRow], alike: str
) -> tuple[list[_SavedRow], list[_SavedRow], list[tuple[_SavedRow, _SavedRow]]]:
    """Each reading that was there with one that is there now and is alike; what is left of both; and the pairs."""
    left, pairs, over = list(has), [], []
    for was in had:
        found = next((one for one in left if one.where == was.where and _alike(was, one, alike)), None)
        if found is None:
            over.append(was)
        else:
            left.remove(found)
            pairs.append((was, found))
    return over, left, pairs


def _alike(was: _SavedRow, now: _SavedRow, how: str) -> bool:
    """Whether two rows of one place are the same: to the letter, in their values, or edited by hand since."""
    if how != "time":
        return bool(getattr(was, how) == getattr(now, how))
    shared = [key for key, value in was.row.items() if key != "time" and now.row.get(key) == value]
    return "time" in was.row and was.row["time"] == now.row.get("time") and (len(was.row) <= 2 or bool(shared))


def _missing(was: Mapping[str, Any], now: Mapping[str, Any]) -> dict[str, Any]:
    """What was said of a reading and is not any more; a remark that was gone on with is back at its beginning."""
    begun = {key for key, value in now.items() if str(was.get(key, "")).startswith(f"{value}; ")}
    return {key: value for key, value in was.items() if key not in now or key in begun}


def _unstated(was: Any, now: Any, path: tuple[str, ...] = ()) -> Iterator[tuple[tuple[str, ...], Any]]:
    """Every key of a section that is not there any more, at any depth."""
    for key, value in was.items():
        there = now.get(key) if isinstance(now, dict) else None
        if not path and key == "series":
            continue
        if isinstance(value, dict) and (there is None or isinstance(there, dict)):
            yield from _unstated(value, there or {}, (*path, key))
        elif there is None:
            yield (*path, key), value


def _plain(value: Any) -> str:
    return "; ".join(map(str, value)) if isinstance(value, list) else str(value)
