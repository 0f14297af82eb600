"""Every engine that is shown is invented and declared in one place: prompts, help, docstrings, README, examples.

Whoever shows another one declares it here or in a row of the vocabulary, and so sees that it must be nobody's.
"""

from __future__ import annotations

import ast
import doctest
import inspect
import math
import re
import tomllib
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path
from typing import Any

import pytest

from ccassist.values.quantity import parse
from ccassist.vocabulary import TERMS
from tests.each import each

# The engines of the prompts: the examples in the rows of the vocabulary.
METRIC, IMPERIAL = ({k: one.example(s) for k, one in TERMS.items() if one.examples} for s in ("metric", "imperial"))
ROOT = Path(__file__).parents[2]
CC, MM = 1e-6, 1e-3
SYSTEMS = {"metric": METRIC, "imperial": IMPERIAL}
SHOWN = (
    "bore", "stroke", "rod_length", "block_deck_height", "compression_height", "gasket_bore", "gasket_long",
    "gasket_short", "land_diameter",
)  # fmt: skip
# What the engine of each example measures: those of the prompts, and one of its own.
ENGINES = {
    "turbo-four.toml": METRIC,
    "v8-heads.toml": IMPERIAL,
    "three-pistons.toml": {
        "bore": "80.30 mm",
        "stroke": "85.50 mm",
        "rod_length": "137.80 mm",
        "block_deck_height": "211.91 mm",
        "compression_height": "30.40 mm",
        "gasket_bore": "81.44 mm",
        "land_diameter": "79.65 mm",
    },
}
# Two engines of one family that are mixed.
DONORS = (
    {
        "bore": "81.37 mm",
        "stroke": "92.70 mm",
        "rod_length": "146.30 mm",
        "block_deck_height": "223.45 mm",
        "compression_height": "30.60 mm",
        "gasket_bore": "82.9 mm",
        "land_diameter": "82.60 mm",
    },
    {
        "bore": "83.26 mm",
        "stroke": "81.90 mm",
        "rod_length": "151.80 mm",
        "compression_height": "30.45 mm",
        "gasket_bore": "84.8 mm",
    },
)
FAMILIES = {**{name: (engine,) for name, engine in ENGINES.items()}, "two-donors.toml": DONORS}
# Measures of nobody's in docstrings: the bore of a fill with a drawn-up sum of its own, and a crank train in round
# numbers that can be followed in the head.
CONSTRUCTED = {
    "bore": (0.09715, 0.08),
    "gasket_bore": (0.08,),
    "stroke": (0.09,),
    "rod_length": (0.15,),
    "block_deck_height": (0.225,),
    "compression_height": (0.0298,),
}
# The engine of the quick ratio: as declared here, and nowhere measured.
QUICK = {**METRIC, "bore": "83.4 mm", "stroke": "91.3 mm", "rod_length": "151.3 mm", "gasket_bore": "84.2 mm"}


def value(engine: dict[str, str], key: str) -> float:
    return parse(engine[key], key).value


# -- the declared engines ------------------------------------------------------------------------------------


@pytest.mark.parametrize("engine", SYSTEMS.values(), ids=SYSTEMS)
def test_the_engine_of_the_prompts_fits_together(engine: dict[str, str]) -> None:
    """The stack adds up, the gasket clears the bore, areas and volumes are those of the circles (by hand)."""
    bore, stroke = value(engine, "bore"), value(engine, "stroke")
    stack = stroke / 2 + value(engine, "rod_length") + value(engine, "compression_height")
    assert value(engine, "block_deck_height") - stack == pytest.approx(value(engine, "deck_clearance"), abs=1e-9)
    assert value(engine, "land_diameter") < bore < value(engine, "gasket_short") < value(engine, "gasket_bore")
    assert value(engine, "gasket_bore") < value(engine, "gasket_long")
    opening = math.pi / 4 * value(engine, "gasket_bore") ** 2
    assert value(engine, "gasket_area") == pytest.approx(opening, rel=0.003)
    gasket = opening * value(engine, "gasket_thickness")
    assert value(engine, "gasket_volume") == pytest.approx(gasket, rel=0.006)
    land = math.pi / 4 * (bore**2 - value(engine, "land_diameter") ** 2) * value(engine, "land_height")
    assert value(engine, "crevice_volume") == pytest.approx(land, abs=0.06 * CC)
    deck = math.pi / 4 * bore**2 * value(engine, "deck_clearance")
    total = sum(value(engine, key) for key in ("chamber_volume", "crown_volume", "crevice_volume")) + gasket + deck
    assert value(engine, "clearance_volume") == pytest.approx(total, abs=0.6 * CC)


def test_every_measure_that_is_watched_has_an_example() -> None:
    assert set(SHOWN) <= set(METRIC)


# -- what stands in texts ------------------------------------------------------------------------------------

PAIR = re.compile(
    rf"\b({'|'.join(SHOWN)})\b[^\w|:]{{0,4}}(?:[= ]|: ?(?=[\"']))[^\w|:]{{0,3}}(\d+(?:\.\d+)?)"
    r"(?: ?(?:±|\+/-) ?[\d.]+)? ?(mm|in)\b"
)


def strings(path: Path) -> Iterator[str]:
    """Every text of a module, its docstrings too; f-texts as far as they are fixed."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield node.value


WRITTEN = [str(p.relative_to(ROOT)) for p in sorted((ROOT / "ccassist").rglob("*.py"))]
WRITTEN += ["README.md", "DEVELOPERS.md", "examples/job-file.md"]


def foreign(text: str) -> list[str]:
    """What a text says of a bore, a stroke, a height that none of the declared engines has."""
    known = {key: [value(engine, key) for engine in (*SYSTEMS.values(), QUICK)] for key in SHOWN}
    found = []
    for key, number, unit in PAIR.findall(text):
        said = float(number) * (MM if unit == "mm" else 25.4e-3)
        if not any(math.isclose(said, one, rel_tol=1e-9) for one in known[key]):
            found.append(f"{key} {number} {unit}")
    return found


def test_another_engine_in_a_text_is_seen() -> None:
    """The net itself: it holds what is written as key, as option and as keyword, and lets the declared ones through."""
    assert foreign('bore = "71.30 mm, measured"') == ["bore 71.30 mm"]
    assert foreign("new x.toml --bore '71.3 mm' --stroke \"60 mm\"") == ["bore 71.3 mm", "stroke 60 mm"]
    assert foreign("stroke=2.50 in") == ["stroke 2.50 in"]
    assert foreign('{"stroke": "60.0 +/- 0.1 mm"}') == ["stroke 60.0 mm"]
    assert foreign(f"--bore '{METRIC['bore']}', bore = \"{IMPERIAL['bore']}\"") == []


@each("name", WRITTEN)
def test_texts_show_no_other_engine(name: str) -> None:
    path = ROOT / name
    text = "\n".join(strings(path)) if path.suffix == ".py" else path.read_text(encoding="utf-8")
    assert foreign(text) == []


MODULES = sorted(p for room in ("engine", "boost") for p in (ROOT / "ccassist" / room).glob("*.py"))


def shown_calls(module: Any) -> Iterator[tuple[str, float]]:
    """What docstring examples of a module put in for a bore, a stroke, a height: (term, SI)."""
    for test in doctest.DocTestFinder(exclude_empty=True).find(module, module.__name__):
        for example in test.examples:
            for node in ast.walk(ast.parse(example.source)):
                called = (
                    isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and vars(module).get(node.func.id)
                )
                if not called:
                    continue
                function = getattr(called, "function", called)
                names = list(inspect.signature(function).parameters)
                given = dict(zip(names, node.args, strict=False)) | {k.arg: k.value for k in node.keywords if k.arg}
                for key, put in given.items():
                    if key in SHOWN and isinstance(put, ast.Constant):
                        yield key, float(put.value)


def test_docstring_examples_show_no_other_engine() -> None:
    seen = 0
    for path in MODULES:
        module = import_module(f"ccassist.{path.parent.name}.{path.stem}".removesuffix(".__init__"))
        for key, said in shown_calls(module):
            seen += 1
            allowed = [value(METRIC, key), value(IMPERIAL, key), *CONSTRUCTED.get(key, ())]
            if key == "rod_length" and said < value(METRIC, "stroke"):
                continue  # too short to turn: no engine at all
            assert any(math.isclose(said, one, rel_tol=1e-9) for one in allowed), f"{path.name}: {key}={said}"
    assert seen > 10  # the net catches something


# -- the example files ---------------------------------------------------------------------------------------


def stated(table: Any, key: str = "") -> Iterator[tuple[str, str]]:
    """Every text under a key of the engine's measures, in sections, lists and readings."""
    if isinstance(table, dict):
        for name, below in table.items():
            inner = {"opening": "gasket_bore", "rod": "rod_length", "block": "block_deck_height"}.get(name, name)
            yield from stated(below, key if name in ("value", "readings") and key else inner)
    elif isinstance(table, list):
        for below in table:
            yield from stated(below, key)
    elif key in SHOWN:
        yield key, str(table)


def test_every_example_is_declared() -> None:
    assert {path.name for path in (ROOT / "examples").glob("*.toml")} == set(FAMILIES)


@pytest.mark.parametrize("name", FAMILIES)
def test_an_example_is_the_engine_declared_for_it(name: str) -> None:
    """Within what readings scatter: 0.05 mm; parts on offer are others by their meaning."""
    whole = tomllib.loads((ROOT / "examples" / name).read_text(encoding="utf-8"))
    found = list(stated({section: said for section, said in whole.items() if section != "choice"}))
    assert {"bore", "stroke", "rod_length", "gasket_bore", "land_diameter"} <= {key for key, _ in found}
    for key, text in found:
        known = [value(engine, key) for engine in FAMILIES[name] if key in engine]
        assert any(math.isclose(parse(text, key).value, one, abs_tol=0.05 * MM) for one in known), (key, text)
