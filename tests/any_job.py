"""Whole job files for hypothesis: sound ones of every sort, with values at and beyond the ends of what is possible,
with what belongs together torn apart, and with what no such file holds.
"""

from __future__ import annotations

import copy
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from hypothesis import strategies as st

from ccassist.bench.steps import STEPS
from ccassist.job import vocabulary as words
from ccassist.job.sections import STATED
from ccassist.job.vocabulary import CHOICE_TERMS
from ccassist.vocabulary import TERMS
from ccassist.vocabulary.units import SYSTEMS, UNITS, in_unit
from tests.boost_job import JOB as BOOST
from tests.sound_job import SOUND
from tests.strange_jobs import VALUES

EXAMPLES = Path(__file__).parent.parent / "examples"
MIX = """
[choice.gasket.thin]
gasket_thickness = "1.0 mm"
[choice.gasket.thick]
gasket_thickness = "1.6 mm"
[choice.pistons.own]
[choice.pistons.other]
crown_volume = "dish 12 cc"
piston_weight = "402 g"
[choice.skim.some]
face_cut = "0.2 mm"
"""
TURBO = (EXAMPLES / "turbo-four.toml").read_text(encoding="utf-8")
AREA = '[cylinder.1]\nchamber_area = "52.0 +/- 1 cm², measured"\nopening_centroid = "80 mm, measured"\n'
SOURCES = {
    "sound": SOUND,
    "boost": BOOST,
    "mix": SOUND + MIX,
    "everything": TURBO
    + MIX.replace("gasket.thin", "gasket.thinner")
    + "".join(AREA.replace("1]", f"{n}]") for n in range(1, 5)),
    **{path.stem: path.read_text(encoding="utf-8") for path in sorted(EXAMPLES.glob("*.toml"))},
}
BASES = {name: tomllib.loads(text, parse_float=str) for name, text in SOURCES.items()}
# What a reading's fields and a step's settings are -> the term of each.
FIELDS = {
    **{name: field.term for step in STEPS.values() for name, field in step.fields.items()},
    **{field.name: field.term for step in STEPS.values() for field in step.settings},
    "angle": "crank_angle",
    "lift": "valve_lift",
}
ODD = (
    "", " ", "0", "-1", "nan", "inf", "1e999", "1e-999", "1/0", "9" * 15, "86 cc", "86 mm", "5 deg", "\u0663 mm", "x",
    "\x1b[31m", "\x07", "\u202e12 mm", "a\nb", "a\tb", "<b>x</b>", "&amp;", "=1+1", "{0}", "%s", "measured", "counted",
    "\U0001f4a5", "e\u0301" * 40, "w" * 5000, "water", "the maker", "chamber", "1 to 2 mm", "at least 3 mm", "\x00",
)  # fmt: skip


def places(table: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    """Every place of a file, sections too."""
    if path:
        yield path
    pairs = table.items() if isinstance(table, dict) else enumerate(table) if isinstance(table, list) else ()
    for key, value in list(pairs):
        yield from places(value, (*path, key))


def known_to(path: tuple[str | int, ...]) -> tuple[str, ...]:
    """The keys that may be added to a section."""
    name = ".".join(str(part) for part in path)
    if name in STATED:
        return STATED[name].keys
    if path == ():
        return ("job", "engine", "counted", "wanted", *(s.path[0] for s in STATED.values()))
    if path[0] == "choice" and len(path) == 3:
        return CHOICE_TERMS.get(str(path[1]), ())
    near = {"engine": words.GIVEN_TERMS, "wanted": words.WANTED_TERMS, "counted": tuple(words.COUNTED_KEYS)}
    if path[0] in ("part", "cylinder") and len(path) == 2:
        return words.PART_TERMS
    if path[0] == "series":
        return (*words.SERIES_KEYS, *FIELDS)
    return near.get(str(path[0]), ("value", "readings", "instrument")) if len(path) == 1 else ()


@st.composite
def extremes(draw: st.DrawFn, key: str) -> str:
    """A value of a term at an end of what is usual or possible, or just beyond it, now and then with a wild ±."""
    term = TERMS[key]
    low, high = term.possible
    high = high if high < 1e300 else 1e4 * term.plausible[1]
    low = low if low > -1e300 else -high
    ends = [*term.plausible, low, high, low + 1e-9 * (high - low), high * 1.0001, (low + high) / 2, 0.0]
    usual = st.floats(*term.plausible)
    value = draw(st.one_of(usual, usual, st.sampled_from(ends), st.floats(low, high)))
    unit = draw(st.sampled_from([term.shown(system) for system in SYSTEMS]))
    shown = in_unit(value, unit)
    text = f"{abs(shown) if term.sign else shown:.{draw(st.integers(3, 9))}g}"
    if draw(st.integers(0, 2)) == 0:
        text += f" +/- {abs(shown) * draw(st.sampled_from([0.0, 1e-9, 0.01, 0.5, 1.0, 30.0])):.3g}"
    text = f"{text} {unit}".strip()
    if term.sign:
        text = (term.sign.says_plus if shown >= 0 else term.sign.says_minus).format(text)
    return text + draw(st.sampled_from(["", "", ", measured", ", maker's figure", ", assumed"]))


@st.composite
def values_for(draw: st.DrawFn, key: str) -> Any:
    """What may stand at a key: mostly sound in form, else anything."""
    wanted = FIELDS.get(key, key)
    kind = draw(st.integers(0, 9))
    if kind < 7 and wanted in TERMS:
        return draw(extremes(wanted))
    for section in STATED.values():
        if kind < 8 and key in section.words:
            return draw(st.sampled_from(section.words[key]))
    if kind < 8 and wanted in TERMS:
        return f"{draw(st.integers(0, 99))} {draw(st.sampled_from(sorted(UNITS)))}"
    return draw(st.sampled_from(ODD)) if kind < 9 else draw(VALUES)


def parent_of(data: Any, path: tuple[str | int, ...]) -> Any:
    """The table or list in which a place is."""
    for part in path[:-1]:
        data = data[part]
    return data


def change(draw: st.DrawFn, data: dict[str, Any]) -> None:
    """One change of a job: a value, a key more, or something less."""
    path = draw(st.sampled_from(list(places(data))))
    home = parent_of(data, path)
    name = next((part for part in reversed(path) if isinstance(part, str)), "")
    way = draw(st.integers(0, 9))
    if way < 2:
        del home[path[-1]]
    elif isinstance(home[path[-1]], dict) and (way < 9):
        at = draw(st.sampled_from([(), path]))
        keys = known_to(at)
        if keys:
            key = draw(st.sampled_from(keys))
            table = home[path[-1]] if at else data
            table.setdefault(key, draw(values_for(key)) if at else {})
    elif isinstance(home[path[-1]], list) and way < 9:
        repeat = draw(st.integers(0, 3))
        home[path[-1]] = home[path[-1]] * repeat
    else:
        home[path[-1]] = draw(values_for(name))


def tighten(draw: st.DrawFn, data: dict[str, Any]) -> None:
    """One quantity of a job brought to an end of what it can be, or one more said; sound in form."""
    leaves = [
        p for p in places(data) if FIELDS.get(str(p[-1]), p[-1]) in TERMS and isinstance(parent_of(data, p), dict)
    ]
    tables = [p for p in places(data) if isinstance(parent_of(data, p)[p[-1]], dict) and "lifts" not in p]
    if leaves and draw(st.integers(0, 2)):
        path = draw(st.sampled_from(leaves))
        home, key = parent_of(data, path), str(path[-1])
        if draw(st.integers(0, 4)) == 0:
            del home[key]
        elif isinstance(home[key], str):
            home[key] = draw(extremes(FIELDS.get(key, key)))
        return
    path = draw(st.sampled_from(tables))
    keys = [key for key in known_to(path) if key in TERMS]
    if keys and path[0] != "series":
        key = draw(st.sampled_from(keys))
        parent_of(data, path)[path[-1]][key] = draw(extremes(key))


@st.composite
def any_jobs(draw: st.DrawFn, most: int = 8) -> dict[str, Any]:
    """A sound job with some changes."""
    data = copy.deepcopy(BASES[draw(st.sampled_from(sorted(BASES)))])
    for _ in range(draw(st.integers(0, most))):
        if data:
            change(draw, data)
    return data


@st.composite
def tight_jobs(draw: st.DrawFn, most: int = 12) -> dict[str, Any]:
    """A job sound in form, with quantities at the ends of what they can be."""
    data = copy.deepcopy(BASES[draw(st.sampled_from(sorted(BASES)))])
    for _ in range(draw(st.integers(1, most))):
        tighten(draw, data)
    return data
