"""The charge, its compression, and what a boosted ratio is worth without boost, as tables."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from reportlab.platypus import Flowable

from ccassist.boost.cautions import beside
from ccassist.boost.equivalents import KNOCK, Convention
from ccassist.paper.furniture import Cell, Entry, Line, heading, labelled, prose, shares, subheading, table, together
from ccassist.paper.page import SLANT, STRONG
from ccassist.paper.sheet import GREY, Sheet
from ccassist.plan.boost import words
from ccassist.plan.boost.build import Build, EquivalentLine, equivalent_lines, natural_line
from ccassist.plan.boost.story import BoostStory
from ccassist.values.findings import capital, clean, runs
from ccassist.values.measured import Value
from ccassist.vocabulary import term

Row = list[Entry]
LONGEST = 160  # characters of a reason in a table


def warned(figures: str) -> list[Flowable]:
    """The cautions that stand beside a group of figures."""
    return [labelled("!", text, indent=12) for text in beside(figures)]


def able(story: BoostStory) -> list[tuple[int, Build]]:
    """The cylinders whose charge is worked out to top dead centre."""
    found = [(one.number, one.build) for one in story.cylinders if one.build is not None]
    return [(number, build) for number, build in found if build.compressed is not None]


# -- the charge ------------------------------------------------------------------------------


def charge(sheet: Sheet, story: BoostStory) -> list[Flowable]:
    """Every figure of the charge with its ± and where it is from: stated, assumed, worked out."""
    running, conditions = story.running, story.conditions
    assert running is not None
    assert conditions is not None
    pressures = tuple(conditions.values[key] for key in ("barometer", "manifold_pressure"))
    groups: list[tuple[str, list[Row]]] = [
        ("Stated", [*_values(sheet, story.chosen), *_said(sheet, running.said, "stated")]),
        (
            "Assumed, because nothing is stated",
            [*_values(sheet, story.assumed), *_said(sheet, running.taken, "assumed")],
        ),
        ("Pressures, absolute", [*_values(sheet, pressures), _reference(sheet)]),
    ]
    rows: list[Row] = []
    titles: list[int] = []
    for title, found in groups:
        if found:
            titles.append(len(rows))
            rows += [[title, "", "", ""], *found]
    return [
        *heading(sheet, "The charge, and what is assumed"),
        table(
            ["figure", "value", "origin", "from what"],
            rows,
            shares(sheet.width, 0.26, 0.22, 0.15, 0.37),
            words=(0, 1, 2, 3),
            breaks=titles[1:],
            strong=titles,
            spans=dict.fromkeys(titles, (0, 3)),
            whole=[(n, n + 1) for n in titles],
        ),
        *warned("charge"),
        *_worked(sheet, story),
    ]


def _worked(sheet: Sheet, story: BoostStory) -> list[Flowable]:
    """What follows of the charge, of the cylinder with the highest ratio and the baseline."""
    worst = None if story.worst_one is None else story.worst_one.build
    if worst is None or worst.compressed is None:
        return []
    base = {} if story.baseline is None else story.baseline.values
    own = {one.key for one in worst.compressed.charge.computed}
    rows: list[Row] = [
        [
            term(key).name,
            Cell(*(Line(text) for text in _grouped(sheet, story, key, alone=key not in own))),
            *([_shown(sheet, base.get(key))] if base else []),
            sheet.short(words.how_text(value), LONGEST),
        ]
        for key, value in worst.values.items()
    ]
    head = ["figure", f"cylinder {story.worst}", *(["baseline"] if base else []), "from what"]
    widths = shares(sheet.width, 0.25, 0.26, *([0.17] if base else []), 0.32)
    return [
        *subheading("Worked out from it", room=110),
        table(head, rows, widths, words=range(len(head))),
    ]


def _grouped(sheet: Sheet, story: BoostStory, key: str, *, alone: bool) -> list[str]:
    """A figure of the cylinder with the highest ratio, then of those where it is another."""
    texts: dict[str, list[int]] = {}
    for number, build in sorted(able(story), key=lambda one: one[0] != story.worst):
        if number == story.worst or not alone:
            texts.setdefault(_shown(sheet, build.values.get(key)), []).append(number)
    first, *others = texts
    return [first, *(f"{text} (cyl. {runs(texts[text])})" for text in others)]


def _shown(sheet: Sheet, value: Value | None) -> str:
    return "–" if value is None else sheet.fmt.value(value)


def _values(sheet: Sheet, values: Sequence[Value]) -> list[Row]:
    return [
        [
            term(one.key).name,
            words.stated_text(one, sheet.fmt),
            sheet.short(clean(one.origin, 40)),
            sheet.short(words.how_text(one), LONGEST),
        ]
        for one in values
    ]


def _said(sheet: Sheet, said: Mapping[str, str], origin: str) -> list[Row]:
    return [[key.replace("_", " "), sheet.short(clean(text, 60)), origin, ""] for key, text in said.items()]


def _reference(sheet: Sheet) -> Row:
    return ["reference of the pressure ratio", words.reference_text(sheet.fmt), "fixed", "never the local barometer"]


# -- compression -----------------------------------------------------------------------------


def compression(sheet: Sheet, story: BoostStory) -> list[Flowable]:
    """The end of compression by heat capacity, beside one constant exponent."""
    conditions, found = story.conditions, able(story)
    if conditions is None or not found:
        return []
    exponent = conditions.values["polytropic_exponent"]
    rows: list[Row] = []
    for number, build in found:
        equal = build.values.get("effective_exponent")
        cells = [
            sheet.fmt.value(values[key])
            for key in ("end_pressure", "end_temperature")
            for values in (build.values, build.polytropic)
        ]
        rows.append([str(number), *cells, "none" if equal is None else sheet.fmt.value(equal)])
    by_n = f"n = {sheet.fmt.value(exponent)}"
    by = f"by {by_n}"
    head = ["cylinder", "end pressure", f"end pressure {by}", "end temperature", f"end temperature {by}"]
    return [
        *heading(sheet, "End of compression", room=140 + 16 * len(found)),
        prose(
            f"Motored, absolute, along the isentrope of {words.gas_text(story)}, heat capacity by temperature. Beside "
            f"it by one constant exponent, {by_n} ({clean(exponent.origin, 40)}), and the exponent "
            "that would end at the same pressure."
        ),
        *together(
            table(
                [*head, term("effective_exponent").name],
                rows,
                shares(sheet.width, 0.1, 0.18, 0.18, 0.18, 0.18, 0.18),
                words=(0,),
            )
        ),
        *warned("compression"),
    ]


# -- equivalents -----------------------------------------------------------------------------


def equivalents(sheet: Sheet, story: BoostStory) -> list[Flowable]:
    """The unboosted ratios: of every cylinder, then of one beside the baseline with what each means."""
    found = [(number, build) for number, build in able(story) if build.equivalents]
    if not found:
        return []
    rows: list[Row] = [
        [str(number), *(_figure(sheet, line) for line in equivalent_lines(build, story.baseline))]
        for number, build in found
    ]
    against = " Below each, how much harder than the baseline it is, in ratio." if story.baseline else ""
    head = ["cylinder", *(one.convention.name for one in found[0][1].equivalents)]
    return [
        *heading(sheet, "What the ratio is worth without boost", room=230),
        prose(
            "The static ratio that an unboosted engine would need, one figure for each thing that is held equal."
            + against
        ),
        prose(words.unboosted_text(sheet.fmt)),
        *warned("equivalents"),
        table(head, rows, shares(sheet.width, 0.12, *[0.22] * (len(head) - 1))),
        *_meanings(sheet, story),
    ]


def _figure(sheet: Sheet, line: EquivalentLine) -> Cell:
    harder = words.harder_by(line.harder)
    return Cell(
        Line(words.figure_text(line, sheet.fmt)),
        *([Line(harder, shade=GREY)] if harder else []),
    )


def _meanings(sheet: Sheet, story: BoostStory) -> list[Flowable]:
    """One row a convention: this engine, the baseline, the difference, what it holds equal, when it misleads."""
    worst, fmt = story.worst_one, sheet.fmt
    if worst is None or worst.build is None:
        return []
    rows = [
        _meaning(
            line.convention,
            words.figure_text(line, fmt) if not line.reason else line.reason,
            words.baseline_figure(story, line.convention, fmt),
            words.harder_text(line.harder),
        )
        for line in equivalent_lines(worst.build, story.baseline)
    ]
    natural = None if story.knock is None else natural_line(story.knock)
    if natural is not None:
        rows.append(_meaning(KNOCK, words.natural_text(natural), "", words.naturally_harder(natural)))
    title = f"Cylinder {worst.number}" + (
        " beside the baseline" if story.baseline else ": no baseline stands beside it"
    )
    said = words.baseline_text(story, fmt)
    return [
        *subheading(title, room=150),
        *([prose(sheet.words(f"{capital(said)}."))] if said else []),
        table(
            ["held equal", "this engine", "baseline", "against the baseline", "means", "misleads"],
            rows,
            shares(sheet.width, 0.175, 0.12, 0.12, 0.16, 0.195, 0.23),
            words=range(6),
        ),
    ]


def _meaning(convention: Convention, figure: str, baseline: str, harder: str) -> Row:
    source = "" if convention.source == "definition" else f" ({convention.source})"
    return [
        Cell(Line(convention.name, STRONG)),
        figure,
        baseline or "–",
        Cell(Line(harder)) if harder else Cell(Line("no baseline", SLANT, shade=GREY)),
        f"{convention.meaning}{source}",
        convention.misleads,
    ]


__all__ = ["able", "charge", "compression", "equivalents", "warned"]
