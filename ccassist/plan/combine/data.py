"""Combinations as plain data: JSON and comma-separated values."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from ccassist.job.tables import as_cell
from ccassist.job.vocabulary import PART_KINDS
from ccassist.plan.combine.aims import Aim, reason_text
from ccassist.plan.combine.words import FIRST, THEN, break_text, broken, remarks_on, weight_heading
from ccassist.values.display import Formatter, two_text
from ccassist.values.measured import values_to_dict
from ccassist.vocabulary import term

if TYPE_CHECKING:
    from ccassist.plan.combine.search import Combination, Combined
    from ccassist.values.measured import Value


def _shown(row: Combination) -> list[str]:
    return [key for key in (*FIRST, *THEN) if key in row.values]


def to_dict(found: Combined, aims: Sequence[Aim], fmt: Formatter) -> dict[str, Any]:
    """The result as plain data, SI; where none is left, with the nearest misses and what they break."""
    data: dict[str, Any] = {
        "format": 1,
        "combinations": found.count,
        "left": found.left,
        "refused": [
            {"reason": reason, "text": reason_text(reason, aims), "combinations": number}
            for reason, number in found.refused.items()
        ],
        "rows": [{**_row(row, aims, fmt), "remarks": remarks_on(row, aims, fmt)} for row in found.best],
    }
    if not found.best:
        data["nearest_misses"] = [
            {
                **_row(row, aims, fmt),
                "breaks": [
                    {"reason": rule.reason, "by": rule.beyond, "text": break_text(rule, aims, fmt)}
                    for rule in broken(row, aims)
                ],
            }
            for row in found.nearest
        ]
    return data


def _row(row: Combination, aims: Sequence[Aim], fmt: Formatter) -> dict[str, Any]:
    asked = sorted({aim.key for aim in aims} & row.values.keys())
    keys = dict.fromkeys([*_shown(row), *asked])
    return {
        "parts": {part.kind: part.name for part in row.parts},
        "distance": row.distance,
        "values": values_to_dict({key: row.values[key] for key in keys}, fmt),
        "weight_changes": values_to_dict(row.weights, fmt),
        "not_given": {key: list(lack) for key, lack in row.lacking.items()},
    }


def as_csv(found: Combined, fmt: Formatter) -> str:
    """The rows as comma-separated values in the units shown; signed numbers, their meaning in the heading."""
    import csv
    import io

    stream = io.StringIO()
    out = csv.writer(stream, lineterminator="\n")
    kinds = [part.kind for part in found.best[0].parts] if found.best else []
    keys = list(dict.fromkeys(key for row in found.best for key in _shown(row)))
    weights = list(dict.fromkeys(kind for row in found.best for kind in row.weights))
    named = [(_heading(key, fmt), term(key).name) for key in keys]
    named += [(f"{weight_heading(k)}: {_heading('weight_change', fmt)}", weight_heading(k)) for k in weights]
    out.writerow(["rank", *kinds, *(head for title, name in named for head in (title, f"± {name}"))])
    for number, row in enumerate(found.best, 1):
        values = [*((row.values.get(key)) for key in keys), *(row.weights.get(kind) for kind in weights)]
        cells = [cell for value in values for cell in _cells(value, fmt)]
        out.writerow([number, *[as_cell(part.name) for part in row.parts], *cells])
    return stream.getvalue()


def is_combinations(head: Sequence[str]) -> bool:
    """Whether the first line of a table is one that :func:`as_csv` writes."""
    return head[:1] == ["rank"] and all(cell in PART_KINDS for cell in head[1:2])


def _cells(value: Value | None, fmt: Formatter) -> tuple[str, str]:
    """A value and its ± in the unit shown; nothing where it is not given or not known."""
    from ccassist.vocabulary.units import conversion, in_unit

    if value is None:
        return "", ""
    unit = fmt.unit(value.key)
    half = value.expanded / conversion(unit).scale
    return f"{in_unit(value.nominal, unit):.6g}", "" if half != half else two_text(half) if half > 0 else "0"


def _heading(key: str, fmt: Formatter) -> str:
    sign = term(key).sign
    title = fmt.title(term(key))
    return f"{title} (− is {sign.minus[0]})" if sign else title
