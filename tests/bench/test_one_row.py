"""One row adds a bench step, a way of reading, an instrument or a fluid: invented ones, tried from the job file on.

Consistency, no physics: the sums are a mean or a difference done by hand.
"""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

from ccassist.analysis.results import survey
from ccassist.bench import rows
from ccassist.bench.fluids import Fluid, constant, density_of
from ccassist.bench.instruments.rows import _TABLE, length_tools
from ccassist.bench.step import Field, Method, Step
from ccassist.bench.steps import STEPS
from ccassist.bench.steps.fills import FILLS
from ccassist.job.file import parse_job

HEAD = 'format = 1\n[engine]\ncylinders = 1\n[part.head]\nkind = "head"\n'


def step(methods: tuple[Method, ...], gives: str, *, fills: bool) -> Step:
    """A step with nothing of its own but its methods and what it finds."""
    return Step(
        key="tried",
        title="Tried",
        why="To see that a declaration is all it takes.",
        tools=(),
        procedure=(),
        cautions=(),
        methods=methods,
        gives=(gives,),
        part="head",
        repeats=2,
        fills=fills,
    )


def found(monkeypatch: pytest.MonkeyPatch, one: Step, key: str, more: str, readings: str) -> float:
    """What two readings of a step find, SI."""
    monkeypatch.setitem(STEPS, one.key, one)
    text = f'{HEAD}[[series]]\nstep = "tried"\ncylinder = 1\n{more}readings = [\n{readings}]\n'
    result = survey(parse_job(text).job)
    assert not [f for f in result.findings if f.level.name == "ERROR"]
    (reduced,) = (r for r in result.reduced if r.cell.step is one)
    return reduced.values[key].nominal


def test_a_step_that_fills(monkeypatch: pytest.MonkeyPatch) -> None:
    said = 'instrument = "burette 50 ml"\nfluid = "water"\n'
    read = '{ start = "1.0 ml", end = "3.0 ml" },\n{ start = "3.0 ml", end = "5.2 ml" },\n'
    one = step(FILLS, "extra_volume", fills=True)
    assert found(monkeypatch, one, "extra_volume", said, read) == pytest.approx(2.1e-6)


def test_a_way_of_reading_a_length(monkeypatch: pytest.MonkeyPatch) -> None:
    """Its row's length is the mean of its readings, whatever their number."""
    three = tuple(Field(name, "bore", f"bore, {name}") for name in ("top", "middle", "foot"))
    one = step((Method("three heights", "at three heights", three),), "bore", fills=False)
    read = '{ top = "80.00 mm", middle = "80.03 mm", foot = "80.06 mm" },\n'
    assert found(monkeypatch, one, "bore", 'instrument = "bore gauge"\n', read) == pytest.approx(80.03e-3)


def test_a_way_of_reading_with_arithmetic_of_its_own(monkeypatch: pytest.MonkeyPatch) -> None:
    """One line of the table of arithmetic: here a bore by its girth, girth ÷ π."""
    girth = Method("girth", "girth by tape", (Field("girth", "bore", "girth"),))
    line = rows.Arithmetic(finds=lambda row, per_mass: row.one("girth") / 3.141592653589793)
    monkeypatch.setitem(rows.ARITHMETIC, "girth", line)
    one = step((girth,), "bore", fills=False)
    read = '{ girth = "251.33 mm" },\n'
    assert found(monkeypatch, one, "bore", 'instrument = "steel rule"\n', read) == pytest.approx(80.0e-3, abs=1e-6)


def test_an_instrument(monkeypatch: pytest.MonkeyPatch) -> None:
    row = ("plug gauge", 0.001, ((100, 0.002),), 0.001, "invented", "memory", ("go gauge",), "Clean it.")
    monkeypatch.setattr("ccassist.bench.instruments.rows._TABLE", (*_TABLE, row))
    tool = next(t for t in length_tools() if t.key == "plug gauge")
    assert (tool.resolution, tool.limits[0].fixed, tool.capacity) == pytest.approx((1e-6, 2e-6, 0.1))


def test_a_fluid() -> None:
    fluid = Fluid(key="x", name="x", density=constant(900.0, 1e-3), uncertainty=1.0, source="invented", known="memory")
    assert density_of(fluid, 303.15) == pytest.approx((900 / 1.01, 1.0))


PACKAGE = Path(rows.__file__).parents[1]
KEYS = {one.key for one in STEPS.values()} | {method.key for one in STEPS.values() for method in one.methods}


def compared(node: ast.AST) -> bool:
    """Whether it sets the key of a step or a method against a word, or against another key."""
    if not isinstance(node, ast.Compare):
        return False
    sides = [node.left, *node.comparators]
    keyed = [s for s in sides if isinstance(s, ast.Attribute) and s.attr == "key"]
    names = {s.value.attr if isinstance(s.value, ast.Attribute) else getattr(s.value, "id", "") for s in keyed}
    words = {leaf.value for s in sides for leaf in ast.walk(s) if isinstance(leaf, ast.Constant)}
    return bool(names & {"step", "method"}) or (bool(keyed) and bool(words & KEYS))


def test_no_key_decides_physics() -> None:
    """What is done with readings is asked of their step and method, and never by which they are."""
    assert compared(ast.parse('row.method.key == "weighing"').body[0].value)  # type: ignore[attr-defined]
    assert compared(ast.parse('m.key in ("weighing", "cut-out")').body[0].value)  # type: ignore[attr-defined]
    assert not compared(ast.parse('q.key == "elapsed"').body[0].value)  # type: ignore[attr-defined]
    found = [
        f"{path.relative_to(PACKAGE)}:{node.lineno}"
        for room in ("bench", "analysis", "solve", "boost", "plan", "engine")
        for path in sorted((PACKAGE / room).rglob("*.py"))
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if compared(node) and isinstance(node, ast.Compare)
    ]
    assert not found
