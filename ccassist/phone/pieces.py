"""Reports for a page: their blocks as plain data, figures as SVG; and the papers to take along, made in memory."""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

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
from ccassist.report.svg import svg
from ccassist.values.display import Formatter, formatter
from ccassist.values.findings import CcassistError, InputError, error, errors
from ccassist.vocabulary.record import record

WIDE = 88.0  # mm, of a figure on the page


@record
class Piece:
    """A part of a report.

    Attributes
    ----------
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
    """The engine as measured, where nothing in the file is wrong.

    Raises
    ------
    InputError : with everything that is wrong.
    """
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
    """The PDF of that name.

    Raises
    ------
    InputError : there is none, or what it shows cannot be worked out.
    """
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
