"""The opening of a gasket or a chamber from a drawing: its area, and its centroid, as statements of the job.

One closed outline, less the holes in it.  The drawing says its unit or is told it; its greatest width, measured on the
part, checks that, or gives the scale where the unit is not known.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import reduce
from pathlib import Path as FilePath

from ccassist.bench.drawn import MeasuredOutline, Path, closed, crosses, holds, measured
from ccassist.bench.lengths import FROM_EDGE
from ccassist.bench.step import Step
from ccassist.bench.steps import STEPS
from ccassist.job.amend import state
from ccassist.job.entry import split_pairs
from ccassist.job.records import Job
from ccassist.values.display import figures, fixed, formatter, two_figures
from ccassist.values.findings import Finding, InputError, error, question
from ccassist.values.quantity import Quantity, parse
from ccassist.vocabulary import Kind, term
from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import UNITS, Origin, conversion, in_unit

AREA = {"gasket": "gasket_area", "opening": "chamber_area"}  # step -> what its outline encloses
WIDEST, CENTROID = "gasket_long", "opening_centroid"
NEAR = 0.02  # of a unit's factor: so near a width is out by a mistaken unit
MOST_PATHS, MOST_PIECES, MOST_LOOPS = 1000, 5000, 12  # entities, lines and curves, closed outlines
TELLING = 1e-6  # of an area: what its edge may be out by is not said below it


@record
class Wanted:
    """What is taken from a drawing."""

    step: str  # gasket or opening
    part: str = ""  # whose it is; may be left out where the job has one of the kind, or none
    name: str = ""  # the layer of a DXF drawing, the id in an SVG one; "" for all that is drawn
    unit: str = ""  # of the drawing's numbers, "" where it says it itself
    widest: str = ""  # greatest width of the opening as measured, "" where it was not
    from_edge: str = ""  # of the opening: from the edge of the head that is not cut to the drawing's zero of x


def wanted_of(step: str, settings: Sequence[str], **more: str | None) -> Wanted:
    """What is taken from a drawing, as typed; ``settings`` : "from_edge=40 mm", the only one that bears on it.

    Raises InputError: another setting.
    """
    known = {field.name: field for field in STEPS["opening"].settings if field.name == FROM_EDGE}
    said = split_pairs(settings, known, "setting of a drawing")
    return Wanted(step=step, from_edge=said.get(FROM_EDGE, ""), **{key: text for key, text in more.items() if text})


@record(kw_only=False)
class _Scaled:
    """What an outline holds, SI, and how far its width along and across may be out; None where that is not known."""

    found: MeasuredOutline
    along: float | None
    across: float | None
    unusual: tuple[Finding, ...] = ()

    @property
    def area_spread(self) -> float | None:
        """How far the area may be out [m²]; an oval of that area and width stretched along and across.

        None where only the drawing speaks: the width that its term declares for a maker's figure stands then.
        """
        if self.along is None or self.across is None:
            return None
        area, wide = self.found.area, self.found.widest
        return math.hypot(area / wide * self.along, math.pi / 4 * wide * self.across, self.found.area_off)


@record
class FromDrawing:
    """What a drawing states: where, term and text; what is to be asked about it; what else to say of it."""

    section: tuple[str, ...]
    said: tuple[tuple[str, str], ...]
    unusual: tuple[Finding, ...]
    told: tuple[str, ...]

    def text(self, before: str) -> str:
        """The text of the job file with it."""
        return reduce(lambda text, one: state(text, self.section, *one), self.said, before)


def read_drawing(path: FilePath, job: Job, wanted: Wanted) -> FromDrawing:
    """What a drawing states of an opening that the job does not say yet.

    Raises InputError: it cannot be read, or not exactly; which outline, unit or part is meant is not clear; or the job
    says otherwise.
    """
    step = STEPS.get(wanted.step)
    if step is None or step.key not in AREA:
        right = f"ccassist record FILE {' or '.join(AREA)} --from {path.name}"
        wrong = "a drawing holds a gasket's or a chamber's opening"
        raise InputError(error("missing-value", wrong, read=wanted.step or None, right=right))
    try:
        if wanted.from_edge and step.key != "opening":
            wrong = "from_edge is of the step opening alone"
            raise InputError(error("half-a-question", wrong, read=wanted.from_edge, right="leave it out"))
        section = _section(step, wanted.part, job)
        paths, unit, scale = _paths(path, wanted.name)
        outer, holes = _outline(paths)
        scaled = _scaled(measured(outer, holes), unit, scale, wanted, job)
        said = _stated(scaled, step, wanted, job)
        new = tuple((key, text) for key, text in said if not _known(job, section, key, text))
    except InputError as fault:
        raise InputError([f if f.file else f.at(file=str(path)) for f in fault.findings]) from None
    asked = [*scaled.unusual, *([_islands(holes)] if holes else [])]
    unusual = tuple(f.at(file=str(path)) for f in asked)
    return FromDrawing(section=section, said=new, unusual=unusual, told=_told(scaled, job))


def _islands(holes: Sequence[Path]) -> Finding:
    wrong = f"{len(holes)} closed within the outline: taken off its area, as an island would be"
    return question("holes", wrong, right="where they are the opening, name its layer or id with --outline")


def _told(scaled: _Scaled, job: Job) -> tuple[str, ...]:
    """Where the centroid lies and how wide the outline is, and what its ± rests on."""
    fmt, (x, y) = formatter(job.system), scaled.found.centroid
    wide = fmt.show(WIDEST, scaled.found.widest)
    place = f"centroid at x = {fmt.show('outline_x', x)}, y = {fmt.show('outline_y', y)} of the drawing"
    if scaled.along is None or scaled.across is None:
        rests = "not checked on the part: measure its greatest width and add --widest, for a ± of its own"
    else:
        known = [fmt.show(WIDEST, one) for one in (scaled.along, scaled.across)]
        rests = f"its ± is that of the width measured, ± {known[0]}, and across it ± {known[1]} as of a drawing"
    off = scaled.found.area_off
    curves = f"; chords and ends, ± {off * 1e6:.2g} mm²" if off > TELLING * scaled.found.area else ""
    return f"{wide} at its widest, {place}", f"{rests}{curves}"


def _paths(path: FilePath, name: str) -> tuple[list[Path], str, float]:
    """The paths, the unit that the drawing says, and how many of it one of its lengths is."""
    if path.suffix.lower() == ".svg":
        from ccassist.job.from_svg import read_svg

        return read_svg(path, name)
    from ccassist.job.from_dxf import read_dxf

    return (*read_dxf(path, name), 1.0)


def _outline(paths: Sequence[Path]) -> tuple[Path, list[Path]]:
    """The one outline and the holes in it."""
    if not paths:
        raise InputError(error("not-an-outline", "nothing is drawn", right="lines, arcs or curves in the model space"))
    if len(paths) > MOST_PATHS or sum(len(path.pieces) for path in paths) > MOST_PIECES:
        right = "put the opening alone on a layer and name that: --outline LAYER"
        wrong = f"more than {MOST_PATHS} entities, or {MOST_PIECES} lines and curves in all"
        raise InputError(error("too-large", wrong, right=right))
    loops, loose = closed(paths)
    if loose:
        x, y = loose[0]
        wrong = f"not closed: an end at x = {x:.6g}, y = {y:.6g} (of the drawing) meets no other, or more than one"
        raise InputError(
            error("open-outline", wrong, right="join the ends, or name the opening's layer or id: --outline")
        )
    outer = max(loops, key=lambda loop: measured(loop).area)
    holes = [loop for loop in loops if loop is not outer]
    if (
        len(loops) > MOST_LOOPS
        or any(not holds(outer, hole) for hole in holes)
        or any(holds(one, other) for one in holes for other in holes if one is not other)
    ):
        right = "name the layer (DXF) or id (SVG) of the one that is meant: --outline NAME"
        raise InputError(error("several-outlines", f"{len(loops)} closed outlines", right=right))
    if any(crosses(loop) for loop in loops) or measured(outer, holes).area <= 0:
        wrong = "the outline crosses itself, or holds nothing"
        raise InputError(error("crossed-outline", wrong, right="draw it once round the opening"))
    return outer, holes


def _scaled(found: MeasuredOutline, unit: str, scale: float, wanted: Wanted, job: Job) -> _Scaled:
    """What was found, in SI, by the unit of the drawing and the width measured."""
    wide = parse(wanted.widest, WIDEST, system=job.bare) if wanted.widest else None
    told = _unit(wanted.unit) or unit
    if not told and wide is None:
        wrong = f"the drawing does not say its unit; its outline is {found.widest * scale:.6g} at its widest"
        right = "--widest '83.6 +/- 0.1 mm', the opening's greatest width as measured, or --unit mm"
        raise InputError(error("missing-value", wrong, right=right))
    asked = []
    if wanted.unit and unit and conversion(wanted.unit).scale != conversion(unit).scale:
        wrong = f"the drawing says its unit itself: {unit}"
        asked.append(question("contradiction", wrong, read=f"--unit {wanted.unit}", right="leave --unit out"))
    if wide is None:
        return _Scaled(_times(found, scale * conversion(told).scale), None, None, tuple(asked))
    factor = scale * conversion(told).scale if told else wide.value / found.widest
    spread = _spread(wide)
    across = max(spread, term(WIDEST).silent_width(Origin.MAKER, wide.value))
    drawn = found.widest * factor
    if abs(drawn - wide.value) > math.hypot(spread, across):
        asked.append(_disagreement(drawn, wide, told))
        factor = wide.value / found.widest
    return _Scaled(_times(found, factor), spread, across, tuple(asked))


def _unit(said: str) -> str:
    """A unit of length, or "" where none is said."""
    if said and (said not in UNITS or UNITS[said][0] is not Kind.LENGTH):
        raise InputError(error("unknown-unit", "not a unit of length", read=said, place="--unit", right="mm, cm or in"))
    return said


def _disagreement(drawn: float, wide: Quantity, told: str) -> Finding:
    ratio = wide.value / drawn
    near = [
        u for u in ("mm", "cm", "m", "in", "ft") if abs(ratio * conversion(told).scale / conversion(u).scale - 1) < NEAR
    ]
    wrong = f"the outline is drawn {figures(drawn, unit=wide.unit, count=6)} at its widest"
    right = f"as if drawn in {near[0]}: --unit {near[0]}" if near else "the measured width would set the scale"
    return question("scale", wrong, read=wide.raw, right=right)


def _spread(quantity: Quantity) -> float:
    """How far a measured length may be out: as said, or as its term declares where nothing is."""
    if quantity.standard:
        return 2 * quantity.standard
    return quantity.spread or term(quantity.key).silent_width(quantity.origin or Origin.MEASURED, quantity.value)


def _times(found: MeasuredOutline, factor: float) -> MeasuredOutline:
    x, y = found.centroid
    return MeasuredOutline(
        area=found.area * factor**2,
        centroid=(x * factor, y * factor),
        widest=found.widest * factor,
        area_off=found.area_off * factor**2,
        centroid_off=found.centroid_off * factor,
    )


def _stated(scaled: _Scaled, step: Step, wanted: Wanted, job: Job) -> list[tuple[str, str]]:
    """The terms and the texts that go into the file; the centroid where its zero is said."""
    said = [(AREA[step.key], _text(AREA[step.key], scaled.found.area, scaled.area_spread, job.system))]
    if wanted.from_edge:
        edge = parse(wanted.from_edge, _zero(step), system=job.bare)
        across = scaled.found.centroid[0]
        spread = None
        if scaled.along is not None and scaled.across is not None:
            drawn = abs(across) / scaled.found.widest * scaled.along
            spread = math.hypot(_spread(edge), drawn, scaled.across / 2, scaled.found.centroid_off)
        said.append((CENTROID, _text(CENTROID, edge.value + across, spread, job.system)))
    return said


def _zero(step: Step) -> str:
    """The term of the setting that says where the zero of x lies."""
    return next(field.term for field in step.settings if field.name == FROM_EDGE)


def _text(key: str, value: float, spread: float | None, system: str) -> str:
    """A value as the file says it; looked at as one typed would be."""
    unit = term(key).shown(system)
    amount = in_unit(value, unit)
    if spread is None:
        text = f"{fixed(amount, 3)} {unit}, {Origin.MAKER}"
    else:
        wide = in_unit(spread, unit)
        places = max(0, two_figures(wide))
        text = f"{fixed(amount, places)} +/- {fixed(wide, places)} {unit}, {Origin.MAKER}"
    parse(text, key, system=system)
    return text


def _section(step: Step, part: str, job: Job) -> tuple[str, ...]:
    """Where the opening is stated: its part, the only one of its kind, or the engine where none is named."""
    names = [p.name for p in job.parts.values() if p.kind == step.part]
    if part and part not in names:
        right = f"one of {', '.join(names)}" if names else f'[part.{part}] with kind = "{step.part}" in the file'
        raise InputError(
            error("unknown-name", f"no such {step.part}", read=part, place="--part", right=right, file=job.file)
        )
    if not part and len(names) > 1:
        wrong = f"it is not said which {step.part} the opening is of: {', '.join(names)}"
        raise InputError(error("missing-value", wrong, right=f"--part '{names[0]}'", file=job.file))
    name = part or (names[0] if names else "")
    return ("part", name) if name else ("engine",)


def _known(job: Job, section: tuple[str, ...], key: str, text: str) -> bool:
    """Whether the job says it already; raises InputError where it says otherwise."""
    there = (job.parts[section[1]].given if section[0] == "part" else job.engine).get(key)
    if there is None or there.texts == (text,):
        return there is not None
    wrong = f'the file says "{there.texts[0]}"'
    right = "take that out of the file where it is wrong"
    raise InputError(
        error("contradiction", wrong, read=text, right=right, place=there.place, file=job.file, line=there.line)
    )
