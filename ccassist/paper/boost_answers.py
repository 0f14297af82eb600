"""What each lever does, and what a part or the charge must be for a boosted target, on pages with their cautions."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from reportlab.platypus import Flowable, Spacer

from ccassist.analysis.results import Survey
from ccassist.analysis.wording import listed
from ccassist.bench.cautions import cautions
from ccassist.boost.levers import GENERAL
from ccassist.job.disk import write_bytes
from ccassist.paper.boost_pages import RUNNING
from ccassist.paper.fonts import STRONG, register
from ccassist.paper.furniture import heading, labelled, prose, shares, subheading, table, together
from ccassist.paper.notices import told
from ccassist.paper.pages import render
from ccassist.paper.sheet import SMALL, TEXT, Sheet, measure
from ccassist.plan.boost import answer_words, lever_words
from ccassist.plan.boost.answers import Boosted, Levers
from ccassist.plan.boost.words import SHORT
from ccassist.values.display import show
from ccassist.values.findings import capital
from ccassist.vocabulary import term

CONFIRM = ("planning", "metal")  # besides what the figures themselves bring
PADDING = 10.0  # points, about the longest word of a column


def write_levers(made: Levers, path: str | Path, *, page: str = "A4", system: str | None = None) -> int:
    """Write what each lever does as a PDF, atomically; returns its number of pages.

    Raises
    ------
    InputError : unknown page size, or the file cannot be written.
    """
    data, pages = lever_bytes(made, page=page, system=system)
    write_bytes(Path(path), data)
    return pages


def write_answer(made: Boosted, path: str | Path, *, page: str = "A4", system: str | None = None) -> int:
    """The same for the answer to a boosted target."""
    data, pages = answer_bytes(made, page=page, system=system)
    write_bytes(Path(path), data)
    return pages


def lever_bytes(made: Levers, *, page: str = "A4", system: str | None = None) -> tuple[bytes, int]:
    """The PDF of what each lever does, and its number of pages.

    Raises
    ------
    InputError : unknown page size.
    """
    sheet = _sheet(made.story.survey, page, system)
    keys, system = lever_words.shown_keys(made), sheet.system
    head = ["one step", *(_column(key, system) for key in keys)]
    rows = lever_words.rows(made, system)
    wide = [max(measure(word, STRONG, SMALL) for word in name.split()) + PADDING for name in head[1:]]
    story = [
        *heading(sheet, "What each lever does"),
        prose(sheet.words(lever_words.lead_text(made))),
        *together(table(head, rows, [sheet.width - sum(wide), *wide])),
        *(prose(sheet.words(capital(text))) for text in lever_words.notes(made, system)),
        *subheading("What each costs"),
        *(labelled("•", sheet.words(capital(lever_words.price_text(one))), indent=12) for one in made.effects),
        *subheading("Of all of them"),
        *(labelled("•", text, indent=12) for text in GENERAL),
    ]
    return _rendered(sheet, [*story, *_cautions(sheet, made.cautions)], "what each lever does")


def answer_bytes(made: Boosted, *, page: str = "A4", system: str | None = None) -> tuple[bytes, int]:
    """The PDF of the answer to a boosted target, and its number of pages.

    Raises
    ------
    InputError : unknown page size.
    """
    sheet = _sheet(made.story.survey, page, system)
    story = [*heading(sheet, "What was asked"), prose(_asked(made, sheet.system), STRONG), *_answers(sheet, made)]
    first = answer_words.told_of(made)
    if first is not None:
        story += heading(sheet, f"Cylinder {first.cylinder}, how it is found")
        story += [_line(sheet, line) for line in answer_words.answer_lines(first, sheet.system)]
    return _rendered(sheet, [*story, *_cautions(sheet, made.cautions)], "answer to a boosted target")


def _asked(made: Boosted, system: str) -> str:
    unknowns = listed([term(key).name for key in made.wish.unknowns])
    targets = listed(
        [f"{term(key).name} {show(key, value, system=system)}" for key, value in made.wish.targets.items()]
    )
    return f"What must be the {unknowns} for: {targets}?"


def _answers(sheet: Sheet, made: Boosted) -> list[Flowable]:
    """Every cylinder in a row, why there is none, the lift it all holds for, and what to look at."""
    unknowns = made.wish.unknowns
    refused = [prose(sheet.words(text)) for text in answer_words.refused_texts(made)]
    if not made.possible:
        return refused
    rows = [answer_words.row(one, made.wish, sheet.system) for one in made.cylinders]
    widths = shares(sheet.width, 0.15, *[0.85 / len(unknowns)] * len(unknowns))
    every = range(1 + len(unknowns))
    found = dict.fromkeys(f for one in made.cylinders if not one.reason for f in one.findings)
    return [
        table(["cylinder", *(term(key).name for key in unknowns)], rows, widths, words=every),
        *refused,
        prose(sheet.words(answer_words.basis_text(made))),
        *(prose(sheet.words(text)) for text in answer_words.into_texts(made, sheet.system)),
        *(told(sheet, finding) for finding in found),
    ]


def _line(sheet: Sheet, line: str) -> Flowable:
    """One line of an answer; a line that announces others stays with them."""
    text = line.strip()
    if not text:
        return Spacer(1, 5)
    strong = text.endswith(":") or text.startswith("Answer")
    indent = 12.0 if line.startswith(" ") else 0.0
    return prose(sheet.words(text), STRONG if strong else TEXT, after=1.5, keep=text.endswith(":"), indent=indent)


def _column(key: str, system: str) -> str:
    unit = lever_words.unit_of(key, system)
    name = SHORT.get(key, term(key).name)
    return f"{name}, {unit}" if unit else name


def _cautions(sheet: Sheet, beside: Sequence[str]) -> list[Flowable]:
    """Those of the figures, then those of any part that is to be made."""
    return [
        *heading(sheet, "Cautions"),
        *(labelled("!", text, indent=12) for text in dict.fromkeys([*beside, *cautions(CONFIRM)])),
    ]


def _sheet(survey: Survey, page: str, system: str | None) -> Sheet:
    register()
    return Sheet(survey=survey, system=system or survey.job.system, page=page, running=RUNNING)


def _rendered(sheet: Sheet, story: list[Flowable], what: str) -> tuple[bytes, int]:
    return render(sheet, story, what=what, subject="Planning figures of a boosted engine")
