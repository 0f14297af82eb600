"""What the worksheet's page rests on: findings, drawings, sums, every value, readings, algebra, budget, cautions."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ccassist.analysis.assembly import WHOLE_HOLDS, compare_assembly, whole_head, whole_lead, whole_rows
from ccassist.analysis.benefit import results_of
from ccassist.analysis.cylinder import Cylinder
from ccassist.analysis.motion import motion_text
from ccassist.analysis.results import Survey
from ccassist.bench.cautions import cautions
from ccassist.report.blocks import Beside, Block, Figure, Heading, Table, Text, items, part
from ccassist.report.budget import budgets
from ccassist.report.data import column, terms
from ccassist.report.findings import finding_texts, without_place
from ccassist.report.measured import given
from ccassist.report.readings import readings_in_full
from ccassist.report.scene import Scene
from ccassist.report.section import Views, detail_scene, lacking, section_scene
from ccassist.report.setup_pictures import picture
from ccassist.report.workings import AreasOfSums, counting, hand_sums
from ccassist.report.workings import algebra as relations
from ccassist.report.worksheet import FACTS, LONGEST, LONGEST_REMARK, columns_shown, section_of_one
from ccassist.values.display import Formatter
from ccassist.values.findings import capital, clean, listed
from ccassist.values.measured import Value, computed, confidence_texts
from ccassist.values.number import nominal
from ccassist.values.verdict import COMPARED, Spread, spread_of
from ccassist.vocabulary import term
from ccassist.vocabulary.units import Origin

MEANING = (
    "± is the expanded uncertainty at 95 %: the standard uncertainty times Student's t for its degrees of freedom "
    "(JCGM 100:2008), or times less where hard limits make most of it (JCGM 101:2008). “Inside” and “outside” hold "
    "for the whole of value ± uncertainty; in between one “cannot tell at this ±”."
)
APART = (
    "In a difference the causes that both cylinders share cancel; its ± is that of the studentized range, since the "
    "two were picked after looking."
)
ALWAYS = ("contact", "crown", "metal", "planning", "knock")
MOST_ORIGIN = 90  # characters
DRAWN = 177.0  # mm: width of the drawings


def support(survey: Survey, fmt: Formatter, algebra: Sequence[str] = ()) -> Iterator[Block]:
    """What the first page rests on, but for the cautions; ``algebra`` : lines of what was solved for."""
    yield from part("To look at", finding_texts(survey.findings))
    moves = motion_text(survey.cylinders[0].values, fmt)
    yield from part("How fast the piston runs", [Text(moves)] if moves else [], 2)
    yield from behind(survey, fmt, algebra)
    yield from set_ups(survey)


def behind(survey: Survey, fmt: Formatter, algebra: Sequence[str] = ()) -> Iterator[Block]:
    """The same but for the findings."""
    yield from _whole(survey, fmt)
    yield from _between(survey, fmt)
    yield from _in_full(survey)
    yield Heading("What the ± means", 2)
    yield from (Text(without_place(text)) for text in confidence_texts(results_of(survey), fmt))
    yield Text(MEANING, small=True)
    yield from (Text(text) for text in counting(survey.cylinders))
    yield from _drawings(survey, fmt)
    yield from part("Sums, to be added again by hand", hand_sums(survey.cylinders, AreasOfSums(fmt.system)))
    yield from every_value(survey, fmt)
    yield from readings_in_full(survey, fmt)
    yield from algebra_blocks(survey.cylinders, algebra)
    yield Heading("Uncertainty budget")
    yield from budgets(survey, fmt, section_of_one(survey))


def _drawings(survey: Survey, fmt: Formatter) -> Iterator[Block]:
    """The section of one cylinder and its detail, or why there is none."""
    one = section_of_one(survey)
    yield Heading("Section at top dead centre")
    if one is None:
        missing = dict.fromkeys(key for c in survey.cylinders for key in lacking(c))
        yield Text(f"No section is drawn: not given: {terms(missing)}.")
        return
    many = sum(not lacking(c) for c in survey.cylinders) > 1
    why = f"Cylinder {one.number}" + (", the one with the smallest clearance volume." if many else ".")
    words = f"{why} Drawn from the numbers; what is known only as a volume is drawn as an equal volume."
    views = Views(cylinder=one, fmt=fmt, width=DRAWN)
    yield Figure(section_scene(views), words, instead=("Drawn to scale on the worksheet, with --all.",))
    yield Figure(detail_scene(views))


def set_ups(survey: Survey) -> Iterator[Block]:
    """The pictures of how what was read was set up, two beside one another."""
    found: dict[Scene, str] = {}
    for cell in (one.cell for one in survey.reduced if one.cell.readings):
        asked = [(cell.step.key, cell.step.title), *([("read", cell.method.title)] if cell.step.fills else [])]
        for key, words in asked:
            scene = picture(key, cell.method.key)
            if scene is not None:
                found.setdefault(scene, capital(words))
    figures = [Figure(scene, words) for scene, words in found.items()]
    pairs = zip(figures[::2], [*figures[1::2], None], strict=False)
    beside = (
        left if right is None else Beside(columns=((left,), (right,)), shares=(0.5, 0.5)) for left, right in pairs
    )
    yield from part("How it was measured", beside)


def _in_full(survey: Survey) -> Iterator[Block]:
    """What was too long for the head of the page."""
    about = {"name": survey.job.name, **survey.job.about}
    room = {key: LONGEST if key in FACTS else LONGEST_REMARK for key in ("name", *FACTS, "remark")}
    cut = [(key, about[key]) for key, most in room.items() if len(about.get(key, "")) > most]
    yield from part(
        "The job in full", (Text(f"{FACTS.get(key, key)}: {clean(text, len(text))}") for key, text in cut), 2
    )


def _whole(survey: Survey, fmt: Formatter) -> Iterator[Block]:
    """The whole assembly against the sum of its parts, where any cylinder was filled through its plug hole."""
    checks = compare_assembly(survey)
    if checks:
        yield Heading("The whole against its parts", 2)
        yield Text(whole_lead(fmt))
        rows = tuple(tuple(row) for row in whole_rows(checks, fmt))
        yield Table(head=("cyl", *whole_head(checks)), rows=rows, names=(0,))
        if any(check.crevice_known for check in checks):
            yield Text(WHOLE_HOLDS, small=True)


def _between(survey: Survey, fmt: Formatter) -> Iterator[Block]:
    """Smallest, largest, difference and mean between cylinders."""
    every = [spread for key in COMPARED if (spread := spread_of(key, given(survey, key)))]
    rows = tuple(_spread(survey, spread, fmt) for spread in every if spread.low != spread.high)
    if rows:
        yield Heading("Between cylinders", 2)
        yield Table(head=("", "smallest", "largest", "difference", "mean"), rows=rows, names=(0,))
        yield Text(APART, small=True)


def _spread(survey: Survey, spread: Spread, fmt: Formatter) -> tuple[str, ...]:
    values = dict(given(survey, spread.key))
    ends = [f"{fmt.show(spread.key, values[n].nominal)} (cyl. {n})" for n in (spread.low, spread.high)]
    apart = fmt.show(spread.key, nominal(spread.difference), spread.expanded or None, words=False)
    return (term(spread.key).name, *ends, apart, fmt.value(computed(spread.key, spread.average)))


# -- every value ----------------------------------------------------------------------------


def every_value(survey: Survey, fmt: Formatter) -> Iterator[Block]:
    """What does not stand on the first page already: alike in all cylinders once, the rest cylinder by cylinder."""
    cylinders, seen, fmt = survey.cylinders, columns_shown(survey), AreasOfSums(fmt.system)
    keys = dict.fromkeys(key for c in cylinders for key in c.values if key not in c.model.fixed and key not in seen)
    alike = [key for key in keys if len({v and (fmt.value(v), *_origin(v)) for v in survey.column(key)}) == 1]
    yield Heading("Every other value with its ±")
    yield Text("What the results were worked out from and what else follows, each with its expanded ±.", small=True)
    if alike:
        rows = tuple(_listed(cylinders[0].values[key], fmt) for key in alike)
        yield Table(head=("every cylinder", "value", "origin"), rows=rows, names=(0, 1, 2))
    layers = {
        (clean(layer.part, LONGEST), *_listed(value, fmt)): None
        for c in cylinders
        for layer in c.gasket
        for value in layer.values.values()
    }
    if layers:
        yield Heading("Layers of the gasket", 2)
        yield Table(head=("layer", "what", "value", "origin"), rows=tuple(layers), names=(0, 1, 2, 3))
    apart = tuple(_by_cylinder(survey, key, fmt) for key in keys if key not in alike)
    if apart:
        yield Table(head=("by cylinder", *(f"cyl. {c.number}" for c in cylinders)), rows=apart, names=(0,))
    nothing = {key: why for c in cylinders for key, why in c.model.fixed.items() if key in c.values}
    if nothing:
        yield Text(f"Taken as nothing: {listed([f'{term(key).name} ({why})' for key, why in nothing.items()])}.")


def _origin(value: Value) -> tuple[str, ...]:
    """Where it is from and how it was come by; a computed value's equation stands under the algebra."""
    how = value.how if value.origin != Origin.COMPUTED else ""
    return (str(value.origin),) if how in ("", value.origin, f"stated, {value.origin}") else (str(value.origin), how)


def _listed(value: Value, fmt: Formatter) -> tuple[str, str, str]:
    return term(value.key).name, fmt.value(value), clean("; ".join(_origin(value)), MOST_ORIGIN)


def _by_cylinder(survey: Survey, key: str, fmt: Formatter) -> tuple[str, ...]:
    """Name with its unit and, where it is the same in all of them, its origin; then the values."""
    values = survey.column(key)
    head, cells = column(key, term(key).name, values, fmt)
    origins = {str(value.origin) for value in values if value is not None}
    said = f"; {origins.pop()}" if len(origins) == 1 and Origin.COMPUTED not in origins else ""
    return (f"{head}{said}", *cells)


# -- algebra and cautions -------------------------------------------------------------------


def algebra_blocks(cylinders: Sequence[Cylinder], told: Sequence[str]) -> Iterator[Block]:
    """What was solved, where that is handed over; then the relations behind the result, with their sources."""
    lines = (Text(line, strong=line.endswith(":")) for line in told if line.strip())
    yield from part("Algebra", [*lines, *(relations(cylinders) if cylinders else ())])


def caution_blocks(survey: Survey) -> Iterator[Block]:
    """The cautions of the steps used, then those that hold for every engine."""
    steps = dict.fromkeys(one.cell.step for one in survey.reduced) if survey.reduced else {}
    yield Heading("Cautions")
    yield from items(cautions(tuple(dict.fromkeys([*(key for step in steps for key in step.warned()), *ALWAYS]))))
