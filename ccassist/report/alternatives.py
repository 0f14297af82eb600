"""Builds side by side, told: the record of what is said of each, and the report made from it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from ccassist.analysis.motion import MOTION
from ccassist.analysis.results import Survey
from ccassist.bench.cautions import cautions
from ccassist.boost.figures import OCTANE
from ccassist.plan.alternatives import AS_IT_IS, SHOWN, Evaluated, differences
from ccassist.plan.boost.against import ANY_SPEED
from ccassist.report.blocks import LOOK, Block, Heading, Report, Table, Text, items
from ccassist.report.combine import NOT_LOOKED_AT
from ccassist.report.data import CALLED, column, job_title, named
from ccassist.report.findings import ground_lines
from ccassist.values.display import Formatter
from ccassist.values.findings import clean, listed
from ccassist.values.measured import Value
from ccassist.values.verdict import Verdict, band_text
from ccassist.vocabulary import TERMS, term
from ccassist.vocabulary.record import record

FIRST = tuple(CALLED)  # what comes first of a build
_SHORT = {"deck_clearance": "deck", "peak_piston_acceleration": "peak acceleration"}  # of the rows that follow
CAUTIONS = ("contact", "crown", "planning")
ABREAST = 3  # builds side by side where every figure is shown
MOST_FAULTS = 2  # of one build, in the answer


@record
class BuildTold:
    """One build: its values by term, what was worked out, how it stands, what it asks for, what is not known of it."""

    name: str
    fits: bool
    values: Mapping[str, Value]
    worked_out: Sequence[str]
    cannot_be: Sequence[str]
    wanted: Mapping[str, Verdict]
    differs: Sequence[str]
    buy: str
    not_measured: Sequence[str]
    not_looked_at: Sequence[str]
    no_octane: str


@record
class Alternatives:
    """All that is told of them; ``against`` : the build that the others are compared with."""

    against: str
    builds: Sequence[BuildTold]


def alternatives_of(found: Sequence[Evaluated], fmt: Formatter) -> Alternatives:
    """What is told of the builds, each against the engine as it is, else the first."""
    first = next((one for one in found if one.build.name == AS_IT_IS), found[0])
    return Alternatives(against=named(first.build.name), builds=[_alternative(one, first, fmt) for one in found])


def _alternative(one: Evaluated, first: Evaluated, fmt: Formatter) -> BuildTold:
    gaps = [key for key in one.values if key not in TERMS]
    return BuildTold(
        name=named(one.build.name),
        fits=one.fits,
        values={key: one.values[key] for key in (*SHOWN, *gaps) if key in one.values},
        worked_out=one.worked_out,
        cannot_be=[*one.refused, *one.faults],
        wanted=one.verdicts,
        differs=[] if one is first else differences(one, first, fmt),
        buy=clean(one.build.buy, 200),
        not_measured=[term(key).name for key in one.guessed],
        not_looked_at=one.unseen,
        no_octane=one.no_octane,
    )


# The report.


def alternatives_report(told: Alternatives, survey: Survey, fmt: Formatter) -> Report:
    """The answer first: what each build takes and whether it can be; then every figure side by side."""
    able = [one for one in told.builds if one.fits]
    return Report(
        title="Builds side by side",
        subject=f"{len(told.builds)} builds of {job_title(survey)}",
        answer=(
            Text(_count(told, able), strong=True),
            _first(told, fmt),
            *(text for one in told.builds for text in _verdict(one, survey, fmt)),
            *_no_octane(told),
            *ground_lines([(one.name, one.values["static_ratio"]) for one in able if "static_ratio" in one.values]),
            *map(Text, cautions(CAUTIONS[:1])),
            Text(_next(able)),
        ),
        support=(
            *_all_figures(told, fmt),
            *_differences(told),
            *_to_do(told),
            Heading("Not looked at here"),
            *items(dict.fromkeys([*(text for one in told.builds for text in one.not_looked_at), *NOT_LOOKED_AT])),
            Heading("Cautions"),
            *items(cautions(CAUTIONS[1:])),
            Text(_how(survey), small=True),
        ),
    )


def _count(told: Alternatives, able: Sequence[BuildTold]) -> str:
    whole = len(told.builds)
    if len(able) == whole:
        return f"{whole} builds: nothing was found that cannot be, as far as it was looked at."
    return f"{whole} builds, {whole - len(able)} of which cannot be as stated."


def _first(told: Alternatives, fmt: Formatter) -> Table:
    """The piston that each takes, and what it gives."""
    keys = _shown_first(told)
    columns = [column(key, CALLED[key], [one.values.get(key) for one in told.builds], fmt) for key in keys]
    return Table(
        head=("build", *(head for head, _ in columns)),
        rows=tuple(zip((one.name for one in told.builds), *(cells for _, cells in columns), strict=True)),
        names=(0,),
    )


def _shown_first(told: Alternatives) -> list[str]:
    """What comes first; beside an octane difference there is no room for the squish, which stands with the others."""
    keys = [key for key in FIRST if any(key in one.values for one in told.builds)]
    return [key for key in keys if key != "squish" or OCTANE not in keys]


def _verdict(one: BuildTold, survey: Survey, fmt: Formatter) -> Iterator[Text]:
    """What cannot be, else how what is wanted stands where it is not inside."""
    for text in one.cannot_be[:MOST_FAULTS]:
        yield Text(f"{one.name}: {text}.", "WRONG")
    if len(one.cannot_be) > MOST_FAULTS:
        yield Text(f"{one.name}: {len(one.cannot_be) - MOST_FAULTS} more.", "WRONG")
    off = [
        f"{term(key).name} {verdict.value} (wanted {band_text(survey.wanted[key], fmt)})"
        for key, verdict in one.wanted.items()
        if verdict is not Verdict.INSIDE
    ]
    if off and one.fits:
        yield Text(f"{one.name}: {'; '.join(off)}.", LOOK)


def _no_octane(told: Alternatives) -> Iterator[Text]:
    """Why builds are not compared with the baseline, each reason once; and where they are, at which speed."""
    if any(OCTANE in one.values and one.values[OCTANE].how == ANY_SPEED for one in told.builds):
        yield Text(f"Octane {ANY_SPEED}.")
    for why in dict.fromkeys(one.no_octane for one in told.builds if one.no_octane):
        names = [one.name for one in told.builds if one.no_octane == why]
        whose = "" if len(names) == len(told.builds) else f" of {listed(names)}"
        yield Text(f"No octane difference{whose}: {why.removeprefix('no octane difference ')}.", LOOK)


def _next(able: Sequence[BuildTold]) -> str:
    guessed = [one for one in able if one.not_measured]
    if not able:
        return "Next: change what cannot be, or state another piston."
    if guessed:
        return f"Next: measure the {listed(guessed[0].not_measured)} of {guessed[0].name} before anything is bought."
    return "Next: answer what was not looked at here before anything is bought."


def _all_figures(told: Alternatives, fmt: Formatter) -> Iterator[Block]:
    """Every further figure, a row each, a few builds beside one another."""
    yield Heading("Every figure")
    first = _shown_first(told)
    keys = [key for key in dict.fromkeys(key for one in told.builds for key in one.values) if key not in first]
    rows = []
    for key in keys:
        values = [one.values.get(key) for one in told.builds]
        of = next(one.key for one in values if one is not None)  # gaps of several valves are of one term
        head, cells = column(of, _name(key), values, fmt)
        rows.append((head, *cells))
    for start in range(1, len(told.builds) + 1, ABREAST):
        some = slice(start, start + ABREAST)
        heads = ("", *(one.name for one in told.builds[start - 1 : start - 1 + ABREAST]))
        yield Table(head=heads, rows=tuple((row[0], *row[some]) for row in rows), names=(0,))
    worked = dict.fromkeys(key for one in told.builds for key in one.worked_out)
    if worked:
        names = listed([f"{term(key).name} ({_builds(told, key)})" for key in worked])
        yield Text(f"Worked out from what is wanted: {names}.")
    if any(MOTION[0] in one.values for one in told.builds):
        yield Text(
            "Piston speeds and accelerations are no permission: the makers of piston, rod, bolts and rings say the "
            "limit.",
            small=True,
        )


def _name(key: str) -> str:
    return _SHORT.get(key) or (term(key).name if key in TERMS else f"least gap, {key}")


def _builds(told: Alternatives, key: str) -> str:
    return listed([one.name for one in told.builds if key in one.worked_out])


def _differences(told: Alternatives) -> Iterator[Block]:
    """What matters of each against the first, in words."""
    if len(told.builds) < 2:
        return
    yield Heading(f"Against {told.against}")
    for one in (build for build in told.builds if build.name != told.against):
        yield Text(f"{one.name}: {'; '.join(one.differs) or 'nothing that matters'}.")


def _to_do(told: Alternatives) -> Iterator[Block]:
    """What must be bought or cut, and what is not measured."""
    made = [one for one in told.builds if one.buy or one.not_measured]
    if not made:
        return
    yield Heading("To buy or cut, and to measure")
    for one in made:
        parts = [f"to buy or cut: {one.buy}"] if one.buy else []
        parts += [f"not measured: {listed(one.not_measured)}"] if one.not_measured else []
        yield Text(f"{one.name}: {'; '.join(parts)}.")


def _how(survey: Survey) -> str:
    several = "the mean of its cylinders" if len(survey.cylinders) > 1 else "as measured"
    return (
        f"What a build does not state is as in the engine, {several}. Reciprocating weight counts the piston as fitted "
        "and a third of the rod (common practice, no source)."
    )
