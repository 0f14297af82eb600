"""Jobs for hypothesis: valid in form, with any choice of what is given; and values of every TOML type."""

from __future__ import annotations

import datetime
import json
from typing import Any

from hypothesis import strategies as st

from ccassist.bench.step import Method
from ccassist.bench.steps import STEPS
from ccassist.job import vocabulary as words
from ccassist.vocabulary import TERMS, Kind
from ccassist.vocabulary.units import SYSTEMS, in_unit

ORIGINS = ("", ", measured", ", maker's figure", ", assumed")
LENGTHS = ("", "bore gauge", "vernier caliper")
VOLUMES = ("", "burette 50 ml class B", "syringe 60 ml", "bottle", "my own")
MASSES = ("", "scale 0.1 g", "kitchen scale 1 g")
FLUIDS = ("water", "white spirit", "ethanol 70 %", "my brew")


def toml(value: Any) -> str:
    """A value as TOML."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dict):
        return (
            "{ " + ", ".join(f"{json.dumps(k, ensure_ascii=False)} = {toml(v)}" for k, v in value.items()) + " }"
            if value
            else "{}"
        )
    if isinstance(value, list):
        return "[" + ", ".join(map(toml, value)) + "]"
    if isinstance(value, str):
        return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
    if isinstance(value, (datetime.date, datetime.time)):
        return value.isoformat()
    return str(value)


def file_of(data: dict[str, Any]) -> str:
    """A whole file, one top-level key a line: series as tables in a list, one a line."""
    return "".join(f"{json.dumps(key)} = {_lines(value)}\n" for key, value in data.items())


def _lines(value: Any) -> str:
    """A value as TOML, a list over several lines."""
    return f"[\n{''.join(f'{toml(one)},' + chr(10) for one in value)}]" if isinstance(value, list) else toml(value)


@st.composite
def quantities(draw: st.DrawFn, key: str) -> str:
    """A plausible, now and then merely possible, quantity of a term as text."""
    term = TERMS[key]
    low, high = term.possible if draw(st.integers(0, 19)) == 0 else term.plausible
    unit = term.shown(draw(st.sampled_from(SYSTEMS)))
    shown = in_unit(draw(st.floats(low, high)), unit)
    places = 0 if term.kind is Kind.COUNT else draw(st.integers(1, 4))
    text = f"{abs(shown) if term.sign else shown:.{places}f}"
    if draw(st.booleans()):
        text += f" +/- {draw(st.floats(0, 0.02)) * abs(shown):.4f}"
    text = f"{text} {unit}".strip()
    if term.sign:
        text = (term.sign.says_plus if shown >= 0 else term.sign.says_minus).format(text)
    return text + draw(st.sampled_from(ORIGINS))


@st.composite
def statements(draw: st.DrawFn, keys: tuple[str, ...], most: int = 99) -> dict[str, Any]:
    """Some stated values."""
    found: dict[str, Any] = {}
    for key in draw(st.lists(st.sampled_from(keys), unique=True, max_size=min(most, len(keys)))):
        if key in words.ENGINE_TERMS or draw(st.integers(0, 3)):
            found[key] = draw(quantities(key))
        else:
            found[key] = {"readings": draw(st.lists(quantities(key), min_size=1, max_size=3))}
            if TERMS[key].kind is Kind.LENGTH:
                found[key]["instrument"] = draw(st.sampled_from(LENGTHS))
    return found


@st.composite
def rows(draw: st.DrawFn, method: Method) -> dict[str, Any]:
    """One reading; fills run upwards along a scale of 50 ml and make the dispenser lighter."""
    legs = draw(st.integers(1, 3))
    row: dict[str, Any] = {}
    for field in method.fields:
        if not field.optional or draw(st.integers(0, 5)) == 0:
            texts = [draw(quantities(field.term)) for _ in range(legs if field.many else 1)]
            row[field.name] = texts if field.many else texts[0]
    if method.key == "burette":
        row["start"] = [f"{draw(st.floats(0, 20)):.2f} ml" for _ in range(legs)]
        row["end"] = [f"{draw(st.floats(20.1, 50)):.2f} ml" for _ in range(legs)]
    if method.key == "syringes":
        row |= {"full": draw(st.integers(0, 3)), "each": "50 ml", "rest": f"{draw(st.floats(0.1, 50)):.1f} ml"}
    if method.key == "weighing":
        row |= {"before": f"{draw(st.floats(400, 500)):.1f} g", "after": f"{draw(st.floats(300, 399)):.1f} g"}
    if draw(st.integers(0, 5)) == 0:
        row["set_aside"] = "saw a bubble"
    return row


@st.composite
def series(draw: st.DrawFn, cylinders: int) -> dict[str, Any]:
    """A block of readings of a part."""
    step = STEPS[draw(st.sampled_from([step.key for step in STEPS.values() if step.part]))]
    method = draw(st.sampled_from(step.methods))
    tools = MASSES if method.key == "weighing" else VOLUMES if step.fills else LENGTHS
    block: dict[str, Any] = {
        "step": step.key,
        "cylinder": draw(st.integers(1, cylinders)),
        "state": draw(st.sampled_from(("", "as received", "seats cut"))),
        "instrument": draw(st.sampled_from(tools)),
        "fluid": draw(st.sampled_from(FLUIDS)),
        "readings": draw(st.lists(rows(method), max_size=4)),
    }
    for setting in step.settings:
        if not setting.optional or draw(st.integers(0, 3)) == 0:
            block[setting.name] = draw(quantities(setting.term))
    if draw(st.booleans()):
        block["temperature"] = f"{draw(st.floats(0, 40)):.1f} degC"
    for choice in step.choices:
        if not choice.optional and choice.options:
            block[choice.name] = draw(st.sampled_from(choice.options))
    return block


@st.composite
def jobs(draw: st.DrawFn) -> dict[str, Any]:
    """A whole job, valid in form."""
    cylinders = draw(st.integers(1, 4))
    return {
        "format": 1,
        "job": {"name": "Any engine", "units": draw(st.sampled_from(("metric", "imperial")))},
        "engine": {"cylinders": cylinders, **draw(statements(words.GIVEN_TERMS))},
        "counted": {
            key: draw(st.sampled_from(words.COUNTED_WORDS)) for key in words.COUNTED_KEYS if draw(st.booleans())
        },
        "wanted": {
            key: draw(quantities(key)) for key in draw(st.lists(st.sampled_from(words.WANTED_TERMS), unique=True))
        },
        "part": {
            kind: {"kind": kind, **draw(statements(words.PART_TERMS, 4))}
            for kind in draw(st.sets(st.sampled_from(words.PART_KINDS)))
        },
        "cylinder": {"1": draw(statements(words.PART_TERMS, 3))},
        "instrument": {"my own": {"resolution": "0.1 ml", "permissible_error": "0.2 ml"}},
        "fluid": {"my brew": {"density": "0.80 +/- 0.01 g/cc"}},
        "series": draw(st.lists(series(cylinders), max_size=6)),
    }


SCALARS = st.one_of(
    st.booleans(),
    st.integers(-(2**70), 2**70),
    st.sampled_from(["nan", "inf", "-inf", "1e400", "-0.0", "83.4"]).map(lambda text: _Bare(text)),
    st.dates(datetime.date(1, 1, 1)),
    st.times(),
    st.text(st.characters(exclude_categories=("Cs",)), max_size=30),
    st.sampled_from(
        ["83.40 mm", "dish 8.7 cc", "0.2 mm below deck", "measured", "counted", "chamber", "1", "head", ""]
    ),
)


class _Bare(str):
    """A number as TOML writes it, without quotes."""


VALUES = st.recursive(
    SCALARS,
    lambda inner: st.one_of(
        st.lists(inner, max_size=3),
        st.dictionaries(st.sampled_from([*words.VALUE_KEYS, "start", "end", "x"]), inner, max_size=3),
    ),
    max_leaves=6,
)


KEYS = {
    "job": tuple(words.JOB_KEYS),
    "engine": ("cylinders", *words.GIVEN_TERMS),
    "counted": tuple(words.COUNTED_KEYS),
    "wanted": words.WANTED_TERMS,
}
SERIES_KEYS = tuple(
    dict.fromkeys(
        [*words.SERIES_KEYS, *(f.name for s in STEPS.values() for f in s.settings)]
        + [c.name for s in STEPS.values() for c in s.choices]
    )
)
ROW_KEYS = tuple(dict.fromkeys([*words.ROW_KEYS, *(name for s in STEPS.values() for name in s.fields)]))


def tables(keys: tuple[str, ...]) -> st.SearchStrategy[dict[str, Any]]:
    """A table of known keys, each with a value of any type."""
    return st.dictionaries(st.sampled_from(keys), VALUES, max_size=5)


@st.composite
def odd_files(draw: st.DrawFn) -> dict[str, Any]:
    """A file of known keys only, with values of any TOML type, on a sound frame more often than not."""
    data: dict[str, Any] = {"format": draw(st.one_of(st.just(1), VALUES))}
    for section, keys in KEYS.items():
        data[section] = draw(st.one_of(tables(keys), tables(keys), VALUES))
    if isinstance(data["engine"], dict) and draw(st.booleans()):
        data["engine"]["cylinders"] = 2
    named = st.sampled_from(["head", "1", "my own", "\x1b[31m", "ü"])
    for section, keys in (
        ("part", (*words.PART_KEYS, *words.PART_TERMS)),
        ("cylinder", words.PART_TERMS),
        ("instrument", tuple(words.INSTRUMENT_KEYS)),
        ("fluid", tuple(words.FLUID_KEYS)),
    ):
        data[section] = draw(st.one_of(st.dictionaries(named, tables(keys), max_size=2), VALUES))
    blocks = []
    for block in draw(st.lists(tables(SERIES_KEYS), max_size=3)):
        frame = {"step": draw(st.sampled_from(sorted(STEPS))), "cylinder": 1} if draw(st.booleans()) else {}
        frame["readings"] = draw(st.one_of(st.lists(tables(ROW_KEYS), max_size=2), VALUES))
        blocks.append({**block, **frame})
    data["series"] = draw(st.one_of(st.just(blocks), VALUES))
    return data
