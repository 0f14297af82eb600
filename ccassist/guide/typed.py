"""A typed or pasted line as the values in it: what stands between them, and sign words in short or left off."""

from __future__ import annotations

import re
from collections.abc import Sequence

from ccassist.vocabulary import term
from ccassist.vocabulary.units import UNITS

# Between values: a tab, or a comma with a space behind it.  The comma of "46,2" has none, and what follows that of
# "1.30 mm, measured" is no number.
BETWEEN = r"\t+|,\s+(?=[-+.\d])|,\s+(?=\w+ [.\d])"
_NUMBER, _WHOLE, _FRACTION = re.compile(r"\d"), re.compile(r"\d+"), re.compile(r"\d+/\d+.*")
_LETTER = r"(?P<body>.*\d(?:\s*[^\W\d_]{2,4}(?=\s))?)\s*(?P<letter>[A-Za-z])"
_BARE = r"[.,\d\s/]*\d\s*(?P<unit>[^\W\d_]+\d?)?"
_NAMED = r"\s*(?P<name>[a-z][a-z_]*)\s*=(?P<value>.*)"


def values_of(text: str, *, lists: bool = False) -> list[str]:
    """The values of one line; ``lists`` : a semicolon parts the deliveries of one value, as after a refill.

    >>> values_of("0.1 46,2"), values_of("0.1, 46.2"), values_of("1 5/16 in"), values_of("0.20 mm below 0.24 mm below")
    (['0.1', '46,2'], ['0.1', '46.2'], ['1 5/16 in'], ['0.20 mm below', '0.24 mm below'])
    >>> values_of("1;60;2.5"), values_of("0; 0, 50; 12.4", lists=True), values_of("46.2 +/- 0.1 cc, measured")
    (['1', '60', '2.5'], ['0; 0', '50; 12.4'], ['46.2 +/- 0.1 cc, measured'])
    """
    parts = [part for part in re.split(BETWEEN, text) if part.strip()]
    if ";" in text:
        return [part.strip() for one in parts for part in ([one] if lists else one.split(";")) if part.strip()]
    return [value for part in parts for value in _spaced(part)]


def _spaced(text: str) -> list[str]:
    """The values that only a space parts: each begins with a figure, but for the fraction of a mixed number."""
    values: list[str] = []
    for word in text.split():
        open_ = not values or not _NUMBER.search(values[-1]) or values[-1].endswith(("±", "+/-", "+-"))
        mixed = bool(values) and _WHOLE.fullmatch(values[-1]) and _FRACTION.fullmatch(word)
        begins = bool(re.match(r"[.\d]", word)) or word == "-"
        if values and (open_ or mixed or not begins):
            values[-1] += f" {word}"
        else:
            values.append(word)
    return values


def named(text: str) -> dict[str, str] | None:
    """The values of one reading by their names; None where they are not named.

    >>> named("start=0.1, end=46,2"), named("each = 60 cc\\trest=2"), named("0.1, 46.2")
    ({'start': '0.1', 'end': '46,2'}, {'each': '60 cc', 'rest': '2'}, None)
    """
    found = [re.fullmatch(_NAMED, part) for part in re.split(r"\t+|,\s+(?=[a-z_]+\s*=)", text)]
    return {one["name"]: one["value"].strip() for one in found if one} if all(found) else None


def readings_of(text: str, *, lists: bool = False) -> list[list[str]]:
    """A pasted text as groups of values: a row of several is a reading of its own, a column is one run of values.

    >>> readings_of("0.1\\t46.2\\n0.2\\t46.4"), readings_of("46.2\\n46.3")
    ([['0.1', '46.2'], ['0.2', '46.4']], [['46.2', '46.3']])
    """
    rows = [values for line in text.splitlines() if (values := values_of(line, lists=lists))]
    if all(len(row) == 1 for row in rows):
        return [[value for row in rows for value in row]] if rows else []
    return rows


MISSING = ("", "-", "?")  # in a list: there was one, and it is not known yet


def as_lists(groups: Sequence[Sequence[str]], count: int) -> list[list[str]]:
    """So many lists that belong together, of a text's groups: a list a row or between semicolons, or a point a row.

    >>> as_lists([["1; 2;", "4; ; 5"]], 2), as_lists([["1", "4"], ["2"], ["3", "6"]], 2), as_lists([["1", "2", "3"]], 2)
    ([['1', '2'], ['4', '', '5']], [['1', '2', '3'], ['4', '-', '6']], [['1', '2', '3']])
    """
    texts = [text for row in groups for text in row]
    if any(";" in text for text in texts):
        return [[part.strip() for part in re.sub(r"[;\s]+$", "", text).split(";")] for text in texts]
    if len(groups) > 1 and count == max(map(len, groups)):
        padded = ([*row, *["-"] * (count - len(row))] for row in groups)
        return [list(column) for column in zip(*padded, strict=True)]
    return [list(row) for row in groups]


def signed(text: str, key: str, before: str = "") -> str:
    """The text with its sign in words: one said by its first letter, or left off and as ``before`` has it.

    >>> signed("0.20 b", "deck_clearance"), signed("0.2p", "deck_clearance"), signed("0.2 x", "deck_clearance")
    ('0.20 below deck', '0.2 proud of the deck', '0.2 x')
    >>> signed("0.22", "deck_clearance", "0.20 mm below"), signed("0.22", "burette_reading", "0.1 cc")
    ('0.22 below', '0.22')
    """
    sign = term(key).sign
    if sign is None or sign.bare_is_plus:
        return text
    text = text.strip()
    found, bare = re.fullmatch(_LETTER, text), re.fullmatch(_BARE, text)
    if found and found["letter"] not in UNITS:
        meant = [says for words, says in _both(key) if any(word[0] == found["letter"].lower() for word in words)]
        return meant[0].format(found["body"]) if len(meant) == 1 else text
    if not bare or (bare["unit"] and bare["unit"] not in UNITS):
        return text
    said = next((w for words, _ in _both(key) for w in sorted(words, key=len, reverse=True) if w in before), "")
    return f"{text} {said}" if said else text


def _both(key: str) -> Sequence[tuple[tuple[str, ...], str]]:
    """Words of plus and of minus, and how each is shown."""
    sign = term(key).sign
    return () if sign is None else ((sign.plus, sign.says_plus), (sign.minus, sign.says_minus))


# -- points, so that one out of its place is seen before it is kept -----------------------------
WIDE, HIGH = 40, 11  # characters; one is about twice as high as wide
TALLER = 2.0


def picture(points: Sequence[tuple[float, float]]) -> list[str]:
    """Points in their own proportions, the first marked 1; x to the right and y upwards, in one unit.

    >>> print("\\n".join(picture([(0, 0), (20, 0), (20, 10), (0, 10)])))
    The points as read, the first marked 1:
    o·······································o
    ·········································
    ·········································
    ·········································
    ·········································
    ·········································
    ·········································
    ·········································
    ·········································
    ·········································
    1·······································o
    """
    left, low = (min(point[i] for point in points) for i in (0, 1))
    wide, high = (max(point[i] for point in points) - start for i, start in ((0, left), (1, low)))
    if wide <= 0 or high <= 0:
        return []
    size = max(wide / WIDE, high / (HIGH - 1) / TALLER)  # of a character's width
    columns, rows = round(wide / size), round(high / size / TALLER)
    marks = {(round((x - left) / size), round((y - low) / size / TALLER)): "o" for x, y in points}
    x, y = points[0]
    marks[round((x - left) / size), round((y - low) / size / TALLER)] = "1"
    lines = ["".join(marks.get((c, r), "·") for c in range(columns + 1)) for r in range(rows, -1, -1)]
    return ["The points as read, the first marked 1:", *lines]
