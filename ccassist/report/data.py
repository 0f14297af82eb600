"""Any record as plain data: JSON whose keys are the names of its fields, and comma-separated values."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import fields, is_dataclass
from typing import Any

from ccassist.values.display import Formatter, two_text
from ccassist.values.measured import Value, value_to_dict
from ccassist.vocabulary import term


def to_json(record: Any, fmt: Formatter, *, version: int = 1) -> dict[str, Any]:
    """A record as JSON can say it, SI; "format" is the version of its keys."""
    return {"format": version, **plain(record, fmt)}


def plain(thing: Any, fmt: Formatter) -> Any:
    """Records, mappings and lists all the way down; a number that is not known or has no end is null."""
    if isinstance(thing, Value):
        return value_to_dict(thing, fmt)
    if isinstance(thing, Mapping):
        return {str(key): plain(value, fmt) for key, value in thing.items()}
    if isinstance(thing, float):
        return thing if math.isfinite(thing) else None
    if isinstance(thing, list | tuple):
        return [plain(one, fmt) for one in thing]
    if is_dataclass(thing):
        return {field.name: plain(getattr(thing, field.name), fmt) for field in fields(thing)}
    return thing


def to_csv(head: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    """A table as comma-separated values."""
    import csv
    import io

    stream = io.StringIO()
    csv.writer(stream, lineterminator="\n").writerows([head, *rows])
    return stream.getvalue()


def value_cells(value: Value | None, fmt: Formatter) -> tuple[str, str]:
    """A value and its ± in the unit shown; nothing where it is not given or not known."""
    from ccassist.vocabulary.units import conversion, in_unit

    if value is None:
        return "", ""
    unit = fmt.unit(value.key)
    half = value.expanded / conversion(unit).scale
    return f"{in_unit(value.nominal, unit):.6g}", "" if math.isnan(half) else two_text(half) if half > 0 else "0"


def value_heads(key: str, fmt: Formatter, whose: str = "") -> tuple[str, str]:
    """What stands over :func:`value_cells`: unit and meaning of the sign, and the ±; ``whose`` goes before it."""
    wanted = term(key)
    title = fmt.title(wanted) + (f" (− is {wanted.sign.minus[0]})" if wanted.sign else "")
    return (f"{whose}: {title}", f"± {whose}") if whose else (title, f"± {wanted.name}")
