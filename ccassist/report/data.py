"""Any record as plain data: JSON whose keys are the names of its fields, and CSV; values as they stand in a column."""

from __future__ import annotations

import math
from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import fields, is_dataclass
from typing import Any, TypeVar

from ccassist.analysis.cylinder import MeasuredEngine
from ccassist.analysis.sums import decimal
from ccassist.values.display import Formatter, places, two_text
from ccassist.values.findings import clean, listed, runs
from ccassist.values.measured import Value, value_to_dict
from ccassist.values.uncertainty import expand
from ccassist.vocabulary import Term, term
from ccassist.vocabulary.record import together


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


# Values as they stand in a column: the number with its ± alone, its unit and the words of its sign in the head.

T = TypeVar("T", bound=Hashable)
MOST_WORD = 48  # letters of one word of a name: so many stand in a line of a narrow window
# Terms as they are called in the head of a narrow column.
CALLED = {
    "compression_height": "height",
    "crown_volume": "crown",
    "static_ratio": "ratio",
    "squish": "squish",
    "octane_difference": "octane",
}
NOT_KNOWN = "± ?"  # beside a number whose ± is not known yet


def bare(value: Value, fmt: Formatter) -> str:
    """The number with its ±, without unit and sign words."""
    wanted, stated = term(value.key), expand(value.number)
    spread = None if stated.expanded == 0 or math.isnan(stated.expanded) else stated.expanded
    size = abs(stated.value) if wanted.sign else stated.value
    text = without_unit(fmt.show(value.key, size, spread, words=False), wanted, fmt)
    return f"{text} {NOT_KNOWN}" if math.isnan(stated.expanded) else text


def without_unit(text: str, wanted: Term, fmt: Formatter) -> str:
    """A printed amount without its unit."""
    return text.removesuffix(f" {fmt.unit(wanted)}")


def around(says: str) -> str:
    """The words that stand about the amount: those after it, or the first of those before it.

    >>> around("{} below deck"), around("dish, adds {} of space")
    ('below deck', 'dish')
    """
    before, _, after = says.partition("{}")
    return before.split(",")[0].strip() or after.strip()


def sign_words(value: Value, fmt: Formatter) -> str:
    """The words of its sign, such as "below deck" or "dish"; "" where the quantity has none to mistake."""
    sign = term(value.key).sign
    if sign is None:
        return ""
    if decimal(fmt.amount(value.key, value.nominal, decimals=fmt.decimals(value))) == 0:
        return sign.zero[0]
    return around(sign.says_minus if value.nominal < 0 else sign.says_plus)


def span(values: Sequence[Value], fmt: Formatter) -> str:
    """Smallest to largest, in the shown unit, such as "8.42 to 8.50"."""
    key = values[0].key
    wanted = term(key)
    usual = places(fmt.unit(wanted), None)
    count = min(usual, *(fmt.decimals(v) for v in values))
    low, high = (fmt.show(key, f(v.nominal for v in values), words=False, decimals=count) for f in (min, max))
    return high if low == high else f"{without_unit(low, wanted, fmt)} to {high}"


def column(key: str, called: str, values: Sequence[Value | None], fmt: Formatter) -> tuple[str, list[str]]:
    """Head and cells of a term's column: words of sign that hold for all stand in the head, others in the cells."""
    words = {sign_words(value, fmt) for value in values if value is not None}
    alike = words.pop() if len(words) == 1 else ""
    unit = f", {fmt.unit(key)}" if fmt.unit(key) else ""
    return f"{_named(key, called, alike)}{unit}", [_cell(value, fmt, "" if alike else called) for value in values]


def _named(key: str, called: str, alike: str) -> str:
    """The head of a column with the words of sign that hold for all of it, where they say more than its name."""
    sign = term(key).sign
    if alike and called in alike.split():
        return alike
    left = _without(alike, called)
    if not alike or sign is None or (sign.bare_is_plus and alike == around(sign.says_plus) and left == alike):
        return called
    return f"{called} ({left})"


def _cell(value: Value | None, fmt: Formatter, called: str) -> str:
    """The number and, where the head does not say them for all (``called`` is what it says), the words of its sign."""
    if value is None:
        return "–"
    words = sign_words(value, fmt) if called else ""
    sign = term(value.key).sign
    if sign is None or sign.says_plus.startswith("{}"):
        return f"{bare(value, fmt)} {_without(words, called)}".strip()
    return f"{words} {bare(value, fmt)}".strip()


def _without(words: str, called: str) -> str:
    """Words of a sign without what the head says already: "below" of "below deck", "proud" of "proud of the deck"."""
    left, said = words.split(), called.split()
    while left and said and left[0] == said[0]:
        left, said = left[1:], said[1:]
    while left and said and left[-1] == said[-1]:
        left, said = left[:-1], said[:-1]
    return " ".join(left).removesuffix(" of the")


def terms(keys: Iterable[str]) -> str:
    """Terms by their trade names, as a list in words."""
    return listed([term(key).name for key in keys])


def job_title(survey: MeasuredEngine) -> str:
    """What the job is called, or else its file."""
    return clean(survey.job.name or survey.job.file, 79)


def named(text: str) -> str:
    """A name whole; of a word that no narrow window holds the beginning."""
    return " ".join(clean(word, MOST_WORD) for word in clean(text, 1000).split(" "))


def merged(rows: Iterable[tuple[int, T]]) -> list[tuple[str, T]]:
    """What is said of each sort of cylinder, under all of their numbers.

    >>> merged([(1, ("9.4",)), (2, ("9.5",)), (3, ("9.4",))])
    [('1, 3', ('9.4',)), ('2', ('9.5',))]
    """
    return [(runs(numbers), texts) for texts, numbers in together((texts, number) for number, texts in rows).items()]


def rows_merged(rows: Iterable[tuple[int, Iterable[str]]]) -> tuple[tuple[str, ...], ...]:
    """Rows of a table of cylinders; those of which the same is said share one."""
    return tuple((who, *cells) for who, cells in merged((number, tuple(cells)) for number, cells in rows))
