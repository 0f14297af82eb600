"""An opening from a drawing: areas and centroids against exact figures, units and scale, and what is refused.

Exact figures are those of plane geometry (circle, segment, ellipse, Green's theorem), as in Machinery's Handbook 31st
ed. (2020), areas and centres of gravity of plane figures (from memory).
"""

from __future__ import annotations

import io
import math
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import ezdxf
import pytest
from ezdxf.math import closed_uniform_bspline
from typer.testing import CliRunner

from ccassist.bench.drawn import measured
from ccassist.cli.app import app
from ccassist.job.file import load
from ccassist.job.from_drawing import Wanted, _outline, _paths, read_drawing
from ccassist.values.findings import InputError
from ccassist.values.quantity import parse

JOB = """\
format = 1
[engine]
cylinders = 1
bore = "80.0 mm, measured"
[part.ring]
kind = "gasket"
[part.head]
kind = "head"
"""
Draw = Callable[[Any], object]


def dxf(folder: Path, draw: Draw, units: int = 4) -> Path:
    """A drawing in the model space, in millimetres where nothing else is said."""
    drawing = ezdxf.new("R2010", setup=False)  # type: ignore[attr-defined]
    drawing.units = units
    draw(drawing.modelspace())
    stream = io.StringIO()
    drawing.write(stream)
    path = folder / "opening.dxf"
    path.write_text(stream.getvalue(), encoding="utf-8")
    return path


def svg(folder: Path, inside: str, head: str = 'width="200mm" height="100mm" viewBox="0 0 200 100"') -> Path:
    """A drawing of 200 × 100, in millimetres where nothing else is said."""
    path = folder / "opening.svg"
    path.write_text(f'<svg xmlns="http://www.w3.org/2000/svg" {head}>{inside}</svg>', encoding="utf-8")
    return path


@pytest.fixture
def job(tmp_path: Path) -> Path:
    """A job with one gasket and one head."""
    path = tmp_path / "job.toml"
    path.write_text(JOB, encoding="utf-8")
    return path


def record(job: Path, step: str, source: Path, *more: str) -> tuple[int, str]:
    """The command's exit code and what it says, in one line."""
    done = CliRunner().invoke(app, ["record", str(job), step, "--from", str(source), *more], env={"COLUMNS": "80"})
    if isinstance(done.exception, InputError):  # which the program says, in one line
        return 2, str(done.exception)
    assert done.exception is None or isinstance(done.exception, SystemExit)
    return done.exit_code, " ".join(done.output.split())


def arcs(space: Any) -> None:
    """A slot of 30 × 40 with half circles at both ends, of single entities in no order."""
    space.add_line((20, 40), (50, 40))
    space.add_arc((20, 20), 20, 90, 270)
    space.add_line((50, 0), (20, 0))
    space.add_arc((50, 20), 20, 270, 90)


def bspline(space: Any) -> None:
    """A uniform closed quadratic spline through the middles of a square's sides: its area is 5/6 of the square's."""
    corners = [(0, 0), (60, 0), (60, 60), (0, 60)]
    space.add_spline().apply_construction_tool(closed_uniform_bspline(corners, order=3))


SLOT = (30 * 40 + math.pi * 400, 35.0, 20.0)
DRAWN: dict[str, tuple[Draw, tuple[float, float, float]]] = {
    "circle": (lambda m: m.add_circle((100, 30), 41.8), (math.pi * 41.8**2, 100, 30)),
    "rectangle": (
        lambda m: m.add_lwpolyline([(10, 5), (90, 5), (90, 65), (10, 65)], close=True),
        (80 * 60, 50, 35),
    ),
    "drawn clockwise": (
        lambda m: m.add_lwpolyline([(10, 65), (90, 65), (90, 5), (10, 5)], close=True),
        (80 * 60, 50, 35),
    ),
    "slot of bulges": (
        lambda m: m.add_lwpolyline([(20, 0), (50, 0, 1.0), (50, 40), (20, 40, 1.0)], "xyb", close=True),
        SLOT,
    ),
    "slot of arcs": (arcs, SLOT),
    "old polyline": (
        lambda m: m.add_polyline2d([(20, 0, 0), (50, 0, 1.0), (50, 40, 0), (20, 40, 1.0)], "xyb", close=True),
        SLOT,
    ),
    # A half disc: 4 r / 3 π from its flat side.
    "half disc": (
        lambda m: m.add_lwpolyline([(0, 0, 0), (60, 0, 1.0)], "xyb", close=True),
        (math.pi * 450, 30, 4 * 30 / 3 / math.pi),
    ),
    "hollow side": (
        lambda m: m.add_lwpolyline([(0, 0, -1.0), (60, 0, 0), (60, 60, 0), (0, 60, 0)], "xyb", close=True),
        (
            3600 - math.pi * 450,
            30,
            (3600 * 30 - math.pi * 450 * 4 * 30 / 3 / math.pi) / (3600 - math.pi * 450),
        ),
    ),
    "ellipse": (lambda m: m.add_ellipse((50, 40), (24, 32), 0.5), (math.pi * 40 * 20, 50, 40)),
}


@pytest.mark.parametrize("name", DRAWN)
def test_lines_and_arcs_of_a_dxf_are_exact(name: str, tmp_path: Path) -> None:
    draw, (area, x, y) = DRAWN[name]
    found = measured(*_outline(_paths(dxf(tmp_path, draw), "")[0]))
    assert found.area == pytest.approx(area, rel=1e-9)
    assert found.centroid == pytest.approx((x, y), rel=1e-9)
    assert found.area_off <= 1e-4 * area * 1e-6


def test_a_spline_says_how_far_its_chords_may_be_out(tmp_path: Path) -> None:
    found = measured(*_outline(_paths(dxf(tmp_path, bspline), "")[0]))
    assert 0 < found.area_off < 1e-3 * found.area
    assert found.area == pytest.approx(3600 * 5 / 6, abs=found.area_off)
    assert found.centroid == pytest.approx((30, 30), abs=found.centroid_off)


def test_a_circle_of_weighted_splines_is_one(tmp_path: Path) -> None:
    """Rational quadratics make a circle exactly (Piegl and Tiller, The NURBS Book, 7.5, from memory)."""
    corners = [(1, 0), (1, 1), (0, 1), (-1, 1), (-1, 0), (-1, -1), (0, -1), (1, -1), (1, 0)]
    weights = [1, math.sqrt(0.5)] * 4 + [1]
    knots = [0, 0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 4]
    points = [(50 + 40 * x, 40 * y, 0) for x, y in corners]
    source = dxf(tmp_path, lambda m: m.add_rational_spline(points, weights, degree=2, knots=knots))
    found = measured(*_outline(_paths(source, "")[0]))
    assert found.area == pytest.approx(math.pi * 1600, abs=found.area_off)
    assert found.centroid == pytest.approx((50, 0), abs=1e-3)


def test_without_the_library_it_is_said_how_to_get_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    source = dxf(tmp_path, lambda space: space.add_circle((0, 0), 40))
    monkeypatch.setitem(sys.modules, "ezdxf.filemanagement", None)
    with pytest.raises(InputError, match=r"ezdxf, which is not installed.*ccassist\[drawings\]"):
        _paths(source, "")


def test_what_is_hidden_in_a_dxf_is_no_edge(tmp_path: Path) -> None:
    """A thing that is not shown, a layer that is off, one that is frozen, paper space: each holds a circle too much."""

    def draw(space: Any) -> None:
        space.add_circle((0, 0), 40, dxfattribs={"layer": "Dichtung ü 漢"})
        space.add_circle((0, 0), 9, dxfattribs={"invisible": 1})
        space.doc.layers.add("off").off()
        space.doc.layers.add("frozen").freeze()
        for layer in ("off", "frozen"):
            space.add_circle((0, 0), 9, dxfattribs={"layer": layer})
        space.doc.paperspace().add_circle((0, 0), 9)

    source = dxf(tmp_path, draw)
    assert measured(*_outline(_paths(source, "")[0])).area == pytest.approx(math.pi * 1600)
    assert measured(*_outline(_paths(source, "Dichtung ü 漢")[0])).area == pytest.approx(math.pi * 1600)


def test_polylines_of_old_drawings_are_read_too(tmp_path: Path) -> None:
    """R12: corners as things of their own, no unit said; a slot by its bulges (half circles: 1)."""
    drawing = ezdxf.new("R12", setup=False)  # type: ignore[attr-defined]
    corners = [(20, 0, 0), (50, 0, 1), (50, 40, 0), (20, 40, 1)]
    drawing.modelspace().add_polyline2d(corners, format="xyb", close=True)
    source = tmp_path / "old.dxf"
    drawing.saveas(source)
    paths, unit, _ = _paths(source, "")
    assert unit == ""
    assert measured(*_outline(paths)).area == pytest.approx(SLOT[0])


@pytest.mark.parametrize(
    ("inside", "area", "x", "y"),
    [
        ('<circle cx="100" cy="50" r="40"/>', math.pi * 1600, 100, 50),
        ('<rect x="10" y="20" width="80" height="60"/>', 4800, 50, 50),
        ('<rect x="10" y="20" width="80" height="60" rx="10"/>', 4800 - (4 - math.pi) * 100, 50, 50),
        ('<ellipse cx="0" cy="0" rx="40" ry="20" transform="translate(90 50) rotate(30)"/>', math.pi * 800, 90, 50),
        ('<g transform="scale(2 1)"><circle cx="40" cy="50" r="20"/></g>', math.pi * 800, 80, 50),
        ('<g transform="skewX(20)"><circle cx="40" cy="0" r="20"/></g>', math.pi * 400, 40, 0),
        ('<path d="M20 0 H50 A20 20 0 0 1 50 40 H20 A20 20 0 0 1 20 0 Z"/>', SLOT[0], 35, 20),
        ('<polygon points="0,0 60,0 0,90"/>', 2700, 20, 30),
        # Under a parabola two thirds of its box, at two fifths of its height: Archimedes.
        ('<path d="M0 0 Q30 80 60 0 Z"/>', 60 * 40 * 2 / 3, 30, 16),
        # A cubic of the same curve: control points two thirds of the way.
        ('<path d="M0 0 C20 53.333333333333336 40 53.333333333333336 60 0 Z"/>', 60 * 40 * 2 / 3, 30, 16),
    ],
)
def test_every_curve_of_an_svg_is_exact(inside: str, area: float, x: float, y: float, tmp_path: Path) -> None:
    paths, unit, scale = _paths(svg(tmp_path, inside), "")
    found = measured(*_outline(paths))
    assert (unit, found.area_off) == ("mm", pytest.approx(0, abs=1e-9))
    assert found.area * scale**2 == pytest.approx(area, rel=1e-9)
    assert [c * scale for c in found.centroid] == pytest.approx([x, y], rel=1e-9, abs=1e-9)


def test_it_is_stated_as_a_makers_figure_and_twice_is_once(job: Path, tmp_path: Path) -> None:
    source = dxf(tmp_path, DRAWN["circle"][0])
    code, said = record(job, "gasket", source)
    assert (code, "add --widest" in said) == (0, True)
    (given,) = load(job).job.parts["ring"].given.values()
    assert given.texts == ("54.891 cm², maker's figure",)  # π × 41.8²
    before = job.read_text(encoding="utf-8")
    assert "there already" in record(job, "gasket", source)[1]
    assert job.read_text(encoding="utf-8") == before
    code, said = record(job, "gasket", dxf(tmp_path, lambda m: m.add_circle((0, 0), 42)))
    assert code == 2
    assert "the file says" in said


def test_the_width_measured_makes_the_spread(job: Path, tmp_path: Path) -> None:
    """± 0.1 mm along, ± 0.5 mm across (a maker's figure of a length) of an oval: π/4 d √(0.1² + 0.5²)."""
    assert record(job, "gasket", dxf(tmp_path, DRAWN["circle"][0]), "--widest", "83.7 +/- 0.1 mm")[0] == 0
    read = parse(load(job).job.parts["ring"].given["gasket_area"].texts[0], "gasket_area")
    assert read.value == pytest.approx(math.pi * 0.0418**2, rel=1e-4)
    assert read.spread == pytest.approx(math.pi / 4 * 0.0836 * math.hypot(0.1e-3, 0.5e-3), rel=0.05)


@pytest.mark.parametrize(("units", "scale"), [(1, 25.4), (5, 10.0), (6, 1000.0)])
def test_the_unit_of_a_dxf_counts(units: int, scale: float, job: Path, tmp_path: Path) -> None:
    source = dxf(tmp_path, lambda m: m.add_circle((0, 0), 40 / scale), units)
    assert record(job, "gasket", source)[0] == 0
    assert "50.265 cm²" in job.read_text(encoding="utf-8")


def test_without_a_unit_it_is_asked_or_measured(job: Path, tmp_path: Path) -> None:
    for source in (
        dxf(tmp_path, lambda m: m.add_circle((0, 0), 3), 0),
        svg(tmp_path, '<circle cx="50" cy="50" r="3"/>', 'width="100%" viewBox="0 0 9 9"'),
    ):
        code, said = record(job, "gasket", source)
        assert (code, "does not say its unit; its outline is 6 at its widest" in said) == (2, True)
        job.write_text(JOB, encoding="utf-8")
        assert record(job, "gasket", source, "--unit", "cm", "--sure")[0] == 0
        assert "28.274 cm²" in job.read_text(encoding="utf-8")
        job.write_text(JOB, encoding="utf-8")
        assert record(job, "gasket", source, "--widest", "84 +/- 0.1 mm")[0] == 0
        read = parse(load(job).job.parts["ring"].given["gasket_area"].texts[0], "gasket_area")
        assert read.value == pytest.approx(math.pi * 0.042**2, rel=1e-4)
        job.write_text(JOB, encoding="utf-8")


def test_a_width_that_disagrees_is_questioned_and_names_the_unit(job: Path, tmp_path: Path) -> None:
    source = dxf(tmp_path, lambda m: m.add_circle((0, 0), 42), 1)
    code, said = record(job, "gasket", source, "--widest", "84 +/- 0.1 mm")
    assert code == 2
    assert "as if drawn in mm: --unit mm" in said
    assert "gasket_area" not in job.read_text(encoding="utf-8")


def test_a_chamber_gets_its_centroid_from_the_edge(job: Path, tmp_path: Path) -> None:
    source = dxf(tmp_path, lambda m: m.add_circle((25, 0), 40))
    said = ("--setting", "from_edge=60 +/- 0.5 mm", "--widest", "80.0 +/- 0.1 mm")
    assert record(job, "opening", source, *said)[0] == 0
    given = load(job).job.parts["head"].given
    centroid = parse(given["opening_centroid"].texts[0], "opening_centroid")
    assert centroid.value == pytest.approx(0.085, abs=1e-6)
    # the edge's own, 25/80 of the width's 0.1 mm, half of the 0.5 mm of a drawing
    assert centroid.spread == pytest.approx(1e-3 * math.hypot(0.5, 0.03125, 0.25), rel=0.05)
    assert set(given) == {"chamber_area", "opening_centroid"}


def test_one_of_several_is_named(job: Path, tmp_path: Path) -> None:
    def two(space: Any) -> None:
        space.add_circle((0, 0), 40, dxfattribs={"layer": "one"})
        space.add_circle((100, 0), 42, dxfattribs={"layer": "two"})
        space.add_text("ring", dxfattribs={"layer": "words"})

    source = dxf(tmp_path, two)
    assert "1 TEXT" in record(job, "gasket", source)[1]
    assert "such layer" in record(job, "gasket", source, "--outline", "three")[1]
    assert record(job, "gasket", source, "--outline", "one")[0] == 0
    assert "50.265 cm²" in job.read_text(encoding="utf-8")


def test_one_id_of_an_svg_keeps_the_transforms_above_it(tmp_path: Path) -> None:
    inside = '<text>x</text><g transform="scale(2)"><g id="a"><circle cx="9" cy="9" r="5"/></g><circle r="3"/></g>'
    paths, _, scale = _paths(svg(tmp_path, inside), "a")
    assert measured(*_outline(paths)).area * scale**2 == pytest.approx(math.pi * 100)


def test_islands_are_asked_about(job: Path, tmp_path: Path) -> None:
    def island(space: Any) -> None:
        space.add_circle((0, 0), 40)
        space.add_circle((5, 0), 10)

    source = dxf(tmp_path, island)
    code, said = record(job, "gasket", source)
    assert (code, "1 closed within the outline" in said, "--sure" in said) == (2, True, True)
    assert record(job, "gasket", source, "--sure")[0] == 0
    assert "47.124 cm²" in job.read_text(encoding="utf-8")  # π (40² − 10²)


@pytest.mark.parametrize(
    ("draw", "code"),
    [
        (lambda m: m.add_lwpolyline([(0, 0), (80, 0), (80, 60)]), "open-outline"),
        (lambda m: (m.add_line((0, 0), (80, 0)), m.add_line((80, 0.5), (0, 60))), "open-outline"),
        (lambda m: (m.add_circle((0, 0), 40), m.add_circle((60, 0), 40)), "several-outlines"),
        (lambda m: (m.add_circle((0, 0), 40), m.add_circle((0, 0), 40)), "several-outlines"),
        (lambda m: m.add_lwpolyline([(0, 0), (80, 0), (0, 60), (80, 60)], close=True), "crossed-outline"),
        (lambda m: m.add_circle((0, 0), 40, dxfattribs={"extrusion": (0, 0, -1)}), "not-flat"),
        (lambda m: m.add_line((0, 0, 0), (80, 0, 5)), "not-flat"),
        (lambda m: m.add_spline(fit_points=[(0, 0, 0), (80, 0, 0), (0, 60, 0)]), "not-an-outline"),
        (lambda m: m.add_hatch(), "not-an-outline"),
        (lambda m: m.add_polyline3d([(0, 0, 0), (80, 0, 0), (0, 60, 0)], close=True), "not-an-outline"),
        (lambda m: None, "not-an-outline"),
    ],
)
def test_what_is_not_exact_in_a_dxf_is_refused(draw: Draw, code: str, job: Path, tmp_path: Path) -> None:
    with pytest.raises(InputError) as caught:
        read_drawing(dxf(tmp_path, draw), load(job).job, Wanted(step="gasket"))
    assert [f.code for f in caught.value.findings] == [code]


BOMB = (
    '<!DOCTYPE svg [<!ENTITY a "0 0 L9 9 L0 9 ">'
    + "".join(f'<!ENTITY {b} "{f"&{a};" * 10}">' for a, b in zip("abcdefgh", "bcdefghi", strict=True))
    + ']><svg><path d="M&i;Z"/></svg>'
)


@pytest.mark.parametrize(
    ("text", "code"),
    [
        (BOMB, "declares"),
        ('<svg><g id="a"><circle r="4"/></g><use href="#a"/></svg>', "not-an-outline"),
        ("<svg><image href='http://there/x.png'/></svg>", "not-an-outline"),
        ("<svg><text>gasket</text></svg>", "not-an-outline"),
        ('<svg><circle r="40" clip-path="url(#a)"/></svg>', "not-an-outline"),
        ('<svg><circle r="40" style="display:none"/></svg>', "not-an-outline"),
        ('<svg><style>circle { transform: scale(2) }</style><circle r="40"/></svg>', "not-an-outline"),
        ('<svg><path d="M0 0 L60 0 L60 60"/></svg>', "open-outline"),
        ('<svg><path d="M0 0 L60 0 url(x) Z"/></svg>', "not-an-outline"),
        ('<svg><path d="M0 0 A5 5 0 0 1 0 0 Z"/></svg>', "crossed-outline"),
        ('<svg><path d="M0 0 H1e308 V1e308 Z"/></svg>', "not-a-number"),
        ('<svg><rect width="10%" height="5"/></svg>', "not-an-outline"),
        ('<svg width="20mm" height="10mm" viewBox="0 0 10 10"><circle r="4"/></svg>', "not-an-outline"),
        (f'<svg><path d="M0 0 {"L9 1 1 9 " * 3000}Z"/></svg>', "too-large"),
        ('<svg><circle r="4"/><circle r="4" cx="90"/></svg>', "several-outlines"),
        ("<svg>" + "<g>" * 60 + "</g>" * 60 + "</svg>", "too-large"),
        ("<svg><circle r='40'>", "not-a-drawing"),
        ("<html/>", "not-a-drawing"),
        ("", "not-a-drawing"),
    ],
)
def test_what_is_not_exact_in_an_svg_is_refused(text: str, code: str, job: Path, tmp_path: Path) -> None:
    path = tmp_path / "odd.svg"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(InputError) as caught:
        read_drawing(path, load(job).job, Wanted(step="gasket", unit="mm"))
    assert [f.code for f in caught.value.findings] == [code]


@pytest.mark.parametrize("text", ["", "\0", "0\nSECTION\n2\nENTITIES\n0\nCIRCLE\n10\nx\n0\nENDSEC\n0\nEOF\n", "<svg/>"])
def test_no_odd_dxf_makes_a_traceback(text: str, job: Path, tmp_path: Path) -> None:
    path = tmp_path / "odd.dxf"
    path.write_text(text, encoding="utf-8")
    code, said = record(job, "gasket", path)
    assert (code, "Traceback" in said) == (2, False)
    assert job.read_text(encoding="utf-8") == JOB


@pytest.mark.parametrize(
    ("more", "said"),
    [
        (("chamber",), "gasket's or a chamber's opening"),
        (("gasket", "--setting", "from_edge=40 mm"), "opening alone"),
        (("gasket", "--instrument", "rule"), "--instrument"),
        (("gasket", "--unit", "kg"), "not a unit of length"),
        (("gasket", "--part", "lid"), "no such gasket"),
    ],
)
def test_what_does_not_belong_to_a_drawing(more: tuple[str, ...], said: str, job: Path, tmp_path: Path) -> None:
    step, *rest = more
    code, words = record(job, step, dxf(tmp_path, DRAWN["circle"][0]), *rest)
    assert (code, said in words) == (2, True), words


def test_only_a_drawing_has_a_layer(job: Path) -> None:
    done = CliRunner().invoke(app, ["record", str(job), "chamber", "end=40", "--cylinder", "1", "--outline", "x"])
    assert isinstance(done.exception, InputError)
    assert "--outline" in str(done.exception)
