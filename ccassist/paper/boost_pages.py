"""The boost pages: static, trapped and boosted beside one another, each named by its meaning, and the pictures.

They stand in the worksheet where the job states its cam or its charge, and can be printed alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from reportlab.platypus import Flowable, Spacer

from ccassist.analysis.results import Survey
from ccassist.bench.cautions import cautions
from ccassist.boost.levers import GENERAL
from ccassist.job.disk import write_bytes
from ccassist.paper.boost_tables import Row, charge, compression, equivalents, warned
from ccassist.paper.furniture import Floating, heading, labelled, prose, shares, subheading, table, together, told
from ccassist.paper.page import MM, SLANT, STRONG, TEXT, register
from ccassist.paper.pages import render
from ccassist.paper.scenes import Drawing
from ccassist.paper.sheet import GREY, SMALL, Sheet, measure
from ccassist.plan.boost import words
from ccassist.plan.boost.field import BoostField, Mark, boost_field
from ccassist.plan.boost.solve import Boosted, Levers
from ccassist.plan.boost.story import BoostStory, CylinderStory, boost_story
from ccassist.plan.boost.words import SHORT
from ccassist.report.axes import name_of
from ccassist.report.closing_curve import ClosingCurve
from ccassist.report.maps import OCTANE, maps_scene, panels
from ccassist.report.solve import worked_lines
from ccassist.values.display import Formatter
from ccassist.values.findings import capital, listed
from ccassist.values.measured import Value
from ccassist.vocabulary import term

RUNNING = "Boost: planning figures"
RATIOS, ENDS = ("static_ratio", "trapped_ratio"), ("end_pressure", "end_temperature")
_KNOCK_ROOM = 300  # points: the figure and its cautions stay on one page
CURVE_BLOCKS = 4  # of closing and ratio, side by side
_DOT = "The dot is the closing as it is stated; the bar through it is its ±."


def asked(survey: Survey) -> bool:
    """Whether a job states anything that these pages are about."""
    return "cam" in survey.stated or "charge" in survey.stated


def write_boost(story: BoostStory, path: str | Path, *, page: str = "A4", system: str | None = None) -> int:
    """Write the boost pages as a PDF, atomically; returns their number.

    Raises
    ------
    InputError : unknown page size, or the file cannot be written.
    """
    data, pages = boost_bytes(story, page=page, system=system)
    write_bytes(Path(path), data)
    return pages


def boost_bytes(story: BoostStory, *, page: str = "A4", system: str | None = None) -> tuple[bytes, int]:
    """The PDF and its number of pages; the same story gives the same bytes.

    ``system`` : "metric" or "imperial"; the job's own where None.

    Raises
    ------
    InputError : unknown page size.
    """
    register()
    survey = story.survey
    sheet = Sheet(survey=survey, system=system or survey.job.system, page=page, running=RUNNING)
    subject = "Planning figures of a boosted engine, each named by its meaning"
    return render(sheet, boost_pages(sheet, story), what="static, trapped and boosted", subject=subject)


def boost_section(sheet: Sheet) -> list[Flowable]:
    """The boost pages of a worksheet; none where the job states nothing of cam or charge."""
    if not asked(sheet.survey):
        return []
    return boost_pages(sheet, boost_story(sheet.survey, system=sheet.system))


def boost_pages(sheet: Sheet, story: BoostStory) -> list[Flowable]:
    """Everything of a story."""
    pages = [*_ratios(sheet, story), *_closings(sheet, story)]
    if story.conditions is not None:
        pages += [*charge(sheet, story), *compression(sheet, story), *equivalents(sheet, story)]
        pages += [*_knock(sheet, story), *_maps(sheet, story)]
    elif story.running is None:
        pages.append(prose(words.NO_CHARGE))
    return [*pages, *_closing(sheet, story)]


def _ratios(sheet: Sheet, story: BoostStory) -> list[Flowable]:
    """Static, trapped and boosted of every cylinder, and what each means."""
    keys = [*RATIOS, *(ENDS if story.conditions is not None else ())]
    phased = any(one.earliest is not None for one in story.cylinders)
    head = [words.SHORT.get(key, term(key).name) for key in keys]
    if phased:
        head[2:2] = ["trapped, cam fully advanced", "trapped, cam fully retarded"]
    rows = [_cylinder(sheet, one, keys, phased=phased) for one in story.cylinders]
    meant = [f"{words.SHORT.get(key, term(key).name)}: {term(key).meaning}" for key in keys]
    closing = words.closing_text(story, sheet.fmt)
    lacking = dict.fromkeys(key for one in story.cylinders for key in one.lacking)
    return [
        *heading(sheet, "Static, trapped and boosted", room=170),
        prose(words.PLANNING, STRONG),
        table(["cylinder", *head], rows, shares(sheet.width, 0.1, *[0.9 / len(head)] * len(head))),
        *(labelled("•", text, indent=12) for text in meant),
        *([prose(sheet.words(f"{capital(closing)}."), STRONG)] if closing else []),
        *([prose(f"{capital(words.AS_READ)}.")] if story.conditions is not None and phased else []),
        *([prose(f"Not given: {listed([term(key).name for key in lacking])}.")] if lacking else []),
        *_worst(story),
        *warned("trapped"),
    ]


def _cylinder(sheet: Sheet, one: CylinderStory, keys: list[str], *, phased: bool) -> Row:
    """One row."""
    values = {} if one.build is None else one.build.values
    row: Row = [str(one.number)]
    for key in keys:
        row.append(_shown(sheet, one.static_ratio if key == "static_ratio" else values.get(key)))
        if phased and key == "trapped_ratio":
            row += [_shown(sheet, one.earliest), _shown(sheet, one.latest)]
    return row


def _shown(sheet: Sheet, value: Value | None) -> str:
    return "not known" if value is None else sheet.fmt.value(value)


def _worst(story: BoostStory) -> list[Flowable]:
    if story.worst is None or len(story.cylinders) < 2:
        return []
    return [prose(f"Highest ratio at the unfavourable end of its ±: cylinder {story.worst}; the pictures are of it.")]


def _closings(sheet: Sheet, story: BoostStory) -> list[Flowable]:
    """Trapped ratio against intake closing, drawn and as numbers."""
    if not story.curve:
        return []
    drawn = Drawing(ClosingCurve(story=story, fmt=sheet.fmt, width=sheet.width / MM).scene())
    shown = [
        (
            sheet.fmt.amount("intake_closing", at.intake_closing),
            sheet.fmt.value(at.trapped_ratio),
        )
        for at in story.curve
    ]
    deep = -(-len(shown) // CURVE_BLOCKS)
    shown += [("", "")] * (deep * CURVE_BLOCKS - len(shown))
    rows: list[Row] = [[text for pair in shown[n::deep] for text in pair] for n in range(deep)]
    title = f"Trapped ratio of cylinder {story.worst} against intake closing, {story.lift_basis}"
    return [
        Floating("Trapped ratio against intake closing, drawn", *subheading(sheet.words(title)), drawn, _small(_DOT)),
        _small(sheet.words(f"As numbers, {story.lift_basis}; their ± is without that of the closing."), keep=True),
        table(
            [name_of("intake_closing", sheet.fmt), "trapped ratio"] * CURVE_BLOCKS,
            rows,
            shares(sheet.width, *[1.0] * 2 * CURVE_BLOCKS),
            words=(),
        ),
    ]


def _small(text: str, *, keep: bool = False) -> Flowable:
    return prose(text, SLANT, SMALL, shade=GREY, keep=keep)


def _knock(sheet: Sheet, story: BoostStory) -> list[Flowable]:
    """The octane difference from the baseline, or why there is none."""
    knock = story.knock
    title = heading(sheet, "Knock, as a comparison with the baseline only", room=_KNOCK_ROOM)
    if knock is None:
        return [*title, prose(f"{capital(words.NOT_COMPARED)}."), *warned("knock")]
    if knock.difference is None:
        refused = [labelled("•", sheet.words(f"not compared: {f.text()}"), indent=12) for f in knock.refused]
        return [*title, *refused, *warned("knock")]
    rows: list[Row] = [[what, f"± {words.half_width_text(half)} octane"] for what, half in words.made_of(knock).items()]
    rows.append(["all together, 95 in 100", " to ".join(words.octane_text(end) for end in (knock.low, knock.high))])
    return [
        *title,
        prose(sheet.words(f"{capital(words.against_text(story))}.")),
        prose(f"{capital(words.difference_text(knock))}.", STRONG),
        table(
            ["what makes the interval", "each for 95 in 100"], rows, shares(sheet.width * 0.75, 0.6, 0.4), strong=(3,)
        ),
        prose(f"{capital(words.share_text(knock))}. Drawn: {words.drawn_text()}."),
        *(told(sheet, finding) for finding in knock.findings),
        *warned("knock"),
    ]


def _maps(sheet: Sheet, story: BoostStory) -> list[Flowable]:
    """Boost by static ratio."""
    found = boost_field(story)
    if found is None:
        return [prose("No map of boost by static ratio: it needs a boost and a trapped ratio.")]
    legend = _legend(sheet, story, found)
    shown = panels(found, story.survey.wanted.get("static_ratio"), sheet.fmt, sheet.width / MM)
    drawn = Drawing(maps_scene(shown, legend, sheet.width / MM))
    whole = Floating(
        "Boost by static ratio, drawn",
        *heading(sheet, "Boost by static ratio"),
        prose(_map_words(story, sheet.fmt)),
        drawn,
        Spacer(1, 4),
        *([] if len(shown) % 2 else [labelled("•", line, indent=12) for line in legend]),
        *warned("compression"),
        *(warned("knock") if found.map.octane_difference is not None else []),
    )
    return [whole]


def _map_words(story: BoostStory, fmt: Formatter) -> str:
    assert story.conditions is not None
    air = fmt.value(story.conditions.values["barometer"])
    return (
        f"Cylinder {story.worst}: every point is this crank, cam, charge and burn as stated and assumed, with boost "
        f"and static ratio changed and nothing else; boost is gauge, above a barometer of {air}. Planning figures "
        "without their ±, for choosing which way to go."
    )


def _legend(sheet: Sheet, story: BoostStory, found: BoostField) -> list[str]:
    """What the marks and lines are."""
    fmt = sheet.fmt
    lines = [f"Filled dot: this engine, {_at(found.own, fmt)}."]
    if found.baseline is not None:
        lines.append(
            f"Open diamond: the baseline, {_at(found.baseline, fmt)}. Where it is run otherwise than this engine, "
            "the lines at its mark are those of this engine there, not its own."
        )
    band = sheet.survey.wanted.get("static_ratio")
    if band is not None:
        lines.append(f"Hatched strip: static ratio wanted, {sheet.short(band.raw, 60)}.")
    knock = story.knock
    if found.map.octane_difference is not None and knock is not None:
        ends = " to ".join(words.octane_text(end) for end in (knock.low, knock.high))
        lines.append(
            f"{term(OCTANE).name.capitalize()}: + asks more of the fuel than the baseline does, − less; the heavy line "
            f"is as hard as the baseline; dashed, where what the delay formula holds for ends. At this engine's mark "
            f"the interval for 95 in 100 is {ends}, and the other points are no better known."
        )
    else:
        lines.append("No map of knock: it is only shown against a baseline, see above.")
    return [sheet.words(line) for line in lines]


def _at(mark: Mark, fmt: Formatter) -> str:
    return f"{fmt.show('boost_gauge', mark.boost)} gauge, static ratio {fmt.show('static_ratio', mark.ratio)}"


def _closing(sheet: Sheet, story: BoostStory) -> list[Flowable]:
    """What was found, and the cautions on all of it."""
    found = [told(sheet, finding) for finding in story.findings]
    return [*(subheading("To look at") if found else []), *found, *warned("all")]


# What each lever does, and what a part or the charge must be for a boosted target, on pages with their cautions.

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
    keys, fmt = words.lever_keys(made), sheet.fmt
    head = ["one step", *(_column(key, fmt) for key in keys)]
    rows = words.lever_rows(made, fmt)
    wide = [max(measure(word, STRONG, SMALL) for word in name.split()) + PADDING for name in head[1:]]
    story = [
        *heading(sheet, "What each lever does"),
        prose(sheet.words(words.lead_text(made))),
        *together(table(head, rows, [sheet.width - sum(wide), *wide])),
        *(prose(sheet.words(capital(text))) for text in words.lever_notes(made, fmt)),
        *subheading("What each costs"),
        *(labelled("•", sheet.words(capital(words.price_text(one))), indent=12) for one in made.effects),
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
    story = [*heading(sheet, "What was asked"), prose(_asked(made, sheet.fmt), STRONG), *_answers(sheet, made)]
    first = words.told_of(made)
    if first is not None:
        story += heading(sheet, f"Cylinder {first.cylinder}, how it is found")
        story += [
            _line(sheet, line) for line in words.answer_lines(first, worked_lines(first.parts, sheet.fmt), sheet.fmt)
        ]
    return _rendered(sheet, [*story, *_cautions(sheet, made.cautions)], "answer to a boosted target")


def _asked(made: Boosted, fmt: Formatter) -> str:
    unknowns = listed([term(key).name for key in made.wish.unknowns])
    targets = listed([f"{term(key).name} {fmt.show(key, value)}" for key, value in made.wish.targets.items()])
    return f"What must be the {unknowns} for: {targets}?"


def _answers(sheet: Sheet, made: Boosted) -> list[Flowable]:
    """Every cylinder in a row, why there is none, the lift it all holds for, and what to look at."""
    unknowns = made.wish.unknowns
    refused = [prose(sheet.words(text)) for text in words.refused_texts(made)]
    if not made.possible:
        return refused
    rows = [words.answer_row(one, made.wish, sheet.fmt) for one in made.cylinders]
    widths = shares(sheet.width, 0.15, *[0.85 / len(unknowns)] * len(unknowns))
    every = range(1 + len(unknowns))
    found = dict.fromkeys(f for one in made.cylinders if not one.reason for f in one.findings)
    return [
        table(["cylinder", *(term(key).name for key in unknowns)], rows, widths, words=every),
        *refused,
        prose(sheet.words(words.basis_text(made))),
        *(prose(sheet.words(text)) for text in words.into_texts(made, sheet.fmt)),
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


def _column(key: str, fmt: Formatter) -> str:
    unit = words.unit_of(key, fmt)
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
