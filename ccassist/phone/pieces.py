"""Reports for a page: their blocks as plain data, figures as SVG; and the papers to take along, made in memory."""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from xml.sax.saxutils import escape, quoteattr
from zlib import crc32

from ccassist.analysis.results import Survey, surveyed
from ccassist.guide.state import State
from ccassist.guide.words import faults_of
from ccassist.report.blocks import (
    Bars,
    Beside,
    Block,
    DotPlot,
    Facts,
    Figure,
    Grid,
    Heading,
    Notice,
    OnePage,
    Sum,
    Table,
    Text,
    Tiles,
)
from ccassist.report.figures import bars_scene, dots_scene
from ccassist.report.scene import (
    DASHES,
    HATCHED,
    SHADES,
    Area,
    Box,
    Clip,
    Disc,
    Item,
    Lettering,
    Point,
    Scene,
    Stroke,
    hatch_lines,
    rectangle,
)
from ccassist.values.display import Formatter, formatter
from ccassist.values.findings import CcassistError, InputError, error, errors
from ccassist.vocabulary.record import record


@record
class Piece:
    """A part of a report.

    kind : "heading", "text", "table", "grid", "notice" or "picture".
    words : the text, the title of a notice, the caption of a picture; ``mark`` : what stands before a text.
    level : of a heading; ``strong``, ``small`` : of a text.
    head, rows : of a table; ``names`` : its columns of words, by number; the others are figures.
    cells : of a grid, or the texts of a notice.
    svg : of a picture, one element.
    """

    kind: str
    words: str = ""
    mark: str = ""
    level: int = 1
    strong: bool = False
    small: bool = False
    head: tuple[str, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()
    names: tuple[int, ...] = ()
    cells: tuple[str, ...] = ()
    svg: str = ""


@record
class Link:
    """A paper to take along: what it is, and its path on this page's server."""

    words: str
    path: str


def pieces(blocks: Iterable[Block]) -> Iterator[Piece]:
    """What a report says, in its order; what only paper has, such as boxes to sign, is left out."""
    for block in blocks:
        match block:
            case Heading():
                yield Piece(kind="heading", words=block.words, level=block.level)
            case Text():
                words = " ".join(part for part in (block.words, " ".join(block.command)) if part)
                yield Piece(kind="text", words=words, mark=block.mark, strong=block.strong, small=block.small)
            case Table():
                yield Piece(kind="table", head=block.head, rows=block.rows, names=block.names)
            case Sum():
                yield Piece(kind="table", head=block.head, rows=(*block.rows, *block.totals), names=(0,))
            case Grid():
                yield Piece(kind="grid", cells=block.cells)
            case Notice():
                yield Piece(kind="notice", words=block.title, cells=block.texts)
            case Tiles():
                for tile in block.tiles:
                    yield Piece(kind="notice", words=f"{tile.title}: {tile.figure}", cells=tile.words)
            case Facts():
                yield Piece(kind="grid", cells=tuple(f"{name}: {text}" for name, text in block.facts if text))
            case Figure():
                yield Piece(kind="picture", words=block.caption, svg=svg(block.scene, block.caption))
            case DotPlot():
                yield Piece(kind="picture", words=block.title, svg=svg(dots_scene(block, WIDE), block.title))
            case Bars():
                yield Piece(kind="picture", words=block.title, svg=svg(bars_scene(block, WIDE), block.title))
            case Beside():
                for column in block.columns:
                    yield from pieces(column)
            case OnePage():
                yield from pieces((*block.blocks, *block.spare))


def pieces_of_job(state: State) -> tuple[Piece, ...]:
    """The cylinders as dot plots, and what makes the ±."""
    from ccassist.report.budget import budgets
    from ccassist.report.worksheet import plots

    wrong = tuple(Piece(kind="text", mark="WRONG", words=text) for text in faults_of(state))
    with contextlib.suppress(InputError, ValueError, ArithmeticError):
        survey = surveyed(state.job)
        fmt = formatter(state.job.system)
        its = state.target.cylinder if state.target is not None else None
        cylinder = next((c for c in survey.cylinders if c.number == its), None)
        return (*wrong, *pieces((*plots(survey, fmt), *budgets(survey, fmt, cylinder))))
    return (
        *wrong,
        Piece(kind="text", words="It cannot be worked out as it stands; ccassist check says why."),
    )


# -- the answers at the end, by the names of the guide's screens -------------------------------
def _show(survey: Survey, fmt: Formatter) -> Sequence[Block]:
    from ccassist.report.survey import survey_report

    return survey_report(survey, fmt).answer


def _balance(survey: Survey, fmt: Formatter) -> Sequence[Block]:
    from ccassist.plan.balance import balance
    from ccassist.report.balance import balance_report

    return balance_report(balance(survey), survey, fmt).answer


def _boost(survey: Survey, fmt: Formatter) -> Sequence[Block]:
    from ccassist.plan.boost.story import boost_story
    from ccassist.report.boost import boost_report
    from ccassist.report.boost_told import boost_of

    story = boost_story(survey, system=fmt.system)
    if faults := [f for f in errors(story.findings) if not f.place.startswith("cam.")]:
        raise InputError(faults)
    return boost_report(story, boost_of(story, fmt), fmt).answer


def _order(survey: Survey, fmt: Formatter) -> Sequence[Block]:
    from ccassist.report.order import order_of, piston_order_of
    from ccassist.report.order_sheet import order_report

    order = order_of(survey, fmt.system)
    return order_report(order, piston_order_of(order), survey.job.file).answer


_SCREENS: Mapping[str, Callable[[Survey, Formatter], Sequence[Block]]] = {
    "show": _show,
    "balance": _balance,
    "boost": _boost,
    "order": _order,
}


def pieces_of_screens(state: State, names: Sequence[str]) -> tuple[Piece, ...]:
    """The answers that the guide wants shown; what is wrong with one is said in its place."""
    found: list[Piece] = []
    for name in names:
        if name in _SCREENS:
            try:
                found += pieces(_SCREENS[name](sound(state), formatter(state.job.system)))
            except CcassistError as fault:
                found += [Piece(kind="text", words=one.text()) for one in getattr(fault, "findings", ())]
    return tuple(found)


def sound(state: State) -> Survey:
    """The engine as measured, where nothing in the file is wrong. Raises InputError: with everything that is wrong."""
    survey = surveyed(state.job)
    if faults := errors([*state.loaded.findings, *survey.findings]):
        raise InputError(faults)
    return survey


# -- papers: made when they are fetched, and written nowhere --------------------------------------
def _worksheet(state: State) -> bytes:
    from ccassist.paper.documents import worksheet_bytes

    return worksheet_bytes(sound(state))[0]


def _forms(state: State) -> bytes:
    from ccassist.paper.blank import blank_bytes, forms_named, stated_named
    from ccassist.paper.blank_boxes import Print

    job = state.job
    what = Print(system=job.system, cylinders=job.cylinders, job=job.name)
    return blank_bytes(forms_named(()), what, stated=stated_named(()))[0]


def _order_sheet(state: State) -> bytes:
    from ccassist.paper.documents import order_bytes
    from ccassist.report.order import order_of

    return order_bytes(order_of(sound(state)))[0]


def _boost_pages(state: State) -> bytes:
    from ccassist.paper.documents import boost_bytes
    from ccassist.plan.boost.story import boost_story

    return boost_bytes(boost_story(sound(state)))[0]


PAPERS: Mapping[str, tuple[str, Callable[[State], bytes]]] = {
    "worksheet": ("Worksheet", _worksheet),
    "forms": ("Bench forms", _forms),
    "order": ("Piston order sheet", _order_sheet),
    "boost": ("Boost pages", _boost_pages),
}


def paper(name: str, state: State) -> bytes:
    """The PDF of that name. Raises InputError: there is none, or what it shows cannot be worked out."""
    if name not in PAPERS:
        raise InputError(error("no-such-paper", "no such paper", read=name, right=f"one of: {', '.join(PAPERS)}"))
    return PAPERS[name][1](state)


def links_of(state: State) -> tuple[Link, ...]:
    """The papers of a job: worksheet and forms of every one, the others where it is for them."""
    from ccassist.job.vocabulary import rows_of

    asked = {purpose.paper for purpose in rows_of(state.job.about)}
    names = ["worksheet", "forms", *(["order"] if "order sheet" in asked else [])]
    names += ["boost"] if "boost pages" in asked else []
    return tuple(Link(words=PAPERS[name][0], path=f"/paper/{name}.pdf") for name in names)


# -- a scene as SVG (W3C Scalable Vector Graphics 1.1), as text ---------------------------------
FACE = "'Fira Sans', 'Helvetica Neue', Arial, sans-serif"


def svg(scene: Scene, title: str = "") -> str:
    """The drawing as one element; every text is escaped and takes no more room than was planned for it."""
    wide, high = _number(scene.width), _number(scene.height)
    said = f"<title>{escape(_clean(title))}</title>" if title else ""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide}mm" height="{high}mm" viewBox="0 0 {wide} {high}"'
        f' role="img" font-family="{FACE}">{said}{_items(scene.items, scene.height)}</svg>'
    )


def _items(items: Iterable[Item], high: float, window: Box | None = None) -> str:
    """Items one after another, turned over, since a browser counts downward from the height."""
    return "".join(_item(item, high, window) for item in items)


def _item(item: Item, high: float, window: Box | None) -> str:
    if isinstance(item, Stroke):
        dash = " ".join(map(_number, DASHES[item.dash]))
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        drawn = f'fill="none" stroke="{_grey(item.shade)}" stroke-width="{_number(item.width)}" stroke-linejoin="round"'
        return f'<path d="{_path(item.points, high)}" {drawn}{dashed}/>'
    if isinstance(item, Area):
        return _shape(item, high, window)
    if isinstance(item, Disc):
        x, y = _place(item.at, high)
        return f'<circle cx="{x}" cy="{y}" r="{_number(item.radius)}" {_filled(item.fill, item.edge)}/>'
    return _words(item, high) if isinstance(item, Lettering) else _window(item, high)


def _shape(item: Area, high: float, window: Box | None) -> str:
    """A shape with its shade, or the lines of its hatch and its outline."""
    hatched = bool(item.fill) and item.fill not in SHADES
    drawn = f'<path d="{_path(item.points, high)}Z" {_filled("" if hatched else item.fill, item.edge)}/>'
    if not hatched:
        return drawn
    lines = "".join(_path(line, high) for line in hatch_lines(item.points, item.fill, window))
    return f'<path d="{lines}" stroke="{_grey("black")}" stroke-width="{HATCHED}"/>{drawn}' if lines else drawn


def _window(item: Clip, high: float) -> str:
    """What is seen through a window; its name is made of its place, so that one page may hold several drawings."""
    outline = f"{_path(rectangle(item.box), high)}Z"
    name = f"window-{crc32(outline.encode()):08x}"
    inside = _items(item.items, high, item.box)
    return f'<clipPath id="{name}"><path d="{outline}"/></clipPath><g clip-path="url(#{name})">{inside}</g>'


def _words(item: Lettering, high: float) -> str:
    left, bottom, right, top = item.box
    under = ""
    if item.cleared:
        box = rectangle((left - 0.5, bottom, right + 0.5, top))
        under = f'<path d="{_path(box, high)}Z" fill="{_grey("white")}"/>'
    x, y = _place(item.at, high)
    weight = ' font-weight="600"' if item.bold else ""
    return (
        f'{under}<text x="{x}" y="{y}" font-size="{_number(item.size)}"{weight} fill="{_grey(item.shade)}"'
        f' text-anchor={quoteattr(item.anchor)} textLength="{_number(item.wide)}"'
        f' lengthAdjust="spacingAndGlyphs">{escape(_clean(item.text))}</text>'
    )


def _filled(fill: str, edge: float) -> str:
    outline = f' stroke="{_grey("black")}" stroke-width="{_number(edge)}"' if edge else ""
    return f'fill="{_grey(fill) if fill else "none"}"{outline}'


def _number(value: float) -> str:
    """A length to a thousandth of a millimetre."""
    return f"{value:.3f}".rstrip("0").rstrip(".") or "0"


def _grey(shade: str) -> str:
    level = round(255 * SHADES[shade])
    return f"#{level:02x}{level:02x}{level:02x}"


def _clean(text: str) -> str:
    """Without what XML has no place for."""
    return "".join(letter if letter.isprintable() else " " for letter in text)


def _place(point: Point, high: float) -> tuple[str, str]:
    return _number(point[0]), _number(high - point[1])


def _path(points: Iterable[Point], high: float) -> str:
    return "M" + "L".join(" ".join(_place(point, high)) for point in points)


WIDE = 88.0  # mm, of a figure on the page
