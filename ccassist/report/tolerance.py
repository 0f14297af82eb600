"""What band to expect, and what to ask of the maker: the plain data, and the report made from it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

from ccassist.analysis.results import Survey
from ccassist.bench.cautions import cautions
from ccassist.plan.expected import DRAWS, SEED, Expected, Help, Span, envelope
from ccassist.plan.piston.checks import with_ordered_pistons
from ccassist.plan.piston.specification import specify
from ccassist.plan.tolerance import Bands, MakerLimits, ToleranceAsked, tolerance_of, within
from ccassist.report.blocks import Block, Heading, Report, Table, Text, items, part
from ccassist.report.data import job_title, merged, rows_merged, terms
from ccassist.report.findings import finding_texts, ground_lines
from ccassist.values.display import Formatter, percent, places
from ccassist.values.findings import Finding, InputError, capital, clean, error, listed, whose
from ccassist.values.measured import computed, ground_to_dict, unsure_texts
from ccassist.values.verdict import Band, band_text
from ccassist.vocabulary import term
from ccassist.vocabulary.record import together
from ccassist.vocabulary.units import conversion

MOST_CAUSES = 5  # of the budget
NOT_KNOWN = "not known yet"
HOW = (
    "Linear: the causes joined as the root of the sum of their squares. Worst case: every limit reached at once, the "
    "same way, and what was measured at its ± for 95 %. "
    f"Drawn: {DRAWS} engines put together by chance; the middle 95 of 100."
)
HOW_ASKED = (
    "Alone: that term alone in doubt besides the measurement{}. Shared equally: every term asked for takes the same "
    "part of what is left. Both keep the band at its worst: every limit reached at once, the same way, and what was "
    "measured at its ± for 95 %."
)


def tolerances_of(
    survey: Survey, asked: ToleranceAsked, *, cylinder: int | None, fmt: Formatter
) -> tuple[Bands, tuple[Finding, ...]]:
    """The answer of every cylinder, with the pistons to be ordered in it where the job orders any, and what to note.

    Where nothing is held, the order's own tolerances are; where no band is asked about, the job's own is looked at.

    Raises InputError: nothing is held and nothing is ordered; no such cylinder; a question that is not sound.
    """
    made, noted = with_ordered_pistons(survey, to_be_made=True)
    holds = dict(asked.holds)
    if not holds and noted:
        holds = {key: one.tolerance.size for key, one in specify(survey).ordered().items() if one.tolerance.size}
    if not holds:
        right = "--holds 'crown_volume=0.5 cc'; the tolerances of a piston to be ordered stand under [order]"
        raise InputError(error("how-many-held", "it is not said what is held, and how close", right=right))
    wanted = survey.wanted.get(asked.target)
    if asked.band is None and wanted is not None and wanted.low < wanted.high:
        asked = replace(asked, band=wanted, by_job=True)
    asked = replace(asked, holds=holds)
    return tolerance_of(made, asked, cylinder=cylinder, system=fmt.system), noted


# What is told.


def told_of(found: Bands, noted: Sequence[Finding]) -> dict[str, Any]:
    """The answer, SI; of ``held_within`` what is asked for is None."""
    asked, band = found.wish, found.wish.band
    return {
        "of": asked.target,
        "held_within": asked.holds,
        "band": None if band is None else Span(low=band.low, high=band.high),
        "band_of_the_job": asked.by_job,
        "draws": DRAWS,
        "seed": SEED,
        "cylinders": [
            {"cylinder": one.cylinder, "expected": _expected(one.expected, band), "asked": one.asked}
            for one in found.cylinders
        ],
        "findings": [f.to_dict() for f in noted],
        "cautions": cautions(("planning",)),
    }


def _expected(made: Expected | None, band: Band | None) -> dict[str, Any] | None:
    """The band to expect in one cylinder by three ways, whether it lies in the one wanted, and its causes."""
    if made is None:
        return None
    best = made.best_reading
    spans = {"linear": made.linear, "worst_case": made.worst, "drawn": made.drawn}
    return {
        "value": made.value,
        "expanded_uncertainty": made.expanded,
        **ground_to_dict(made.stand.number),
        "linear": made.linear,
        "worst_case": made.worst,
        "drawn": made.drawn,
        "within_band": None if band is None else {name: within(span, band) for name, span in spans.items()},
        "causes": [
            {
                "name": one.cause.name,
                "held": one.held,
                "share": one.share,
                "expanded_if_halved": one.halved,
                "expanded_if_gone": one.gone,
            }
            for one in made.helps
        ],
        "best_reading": None if best is None else best.cause.name,
    }


# The report.


def tolerance_report(found: Bands, noted: Sequence[Finding], survey: Survey, fmt: Formatter) -> Report:
    """The answer first: the band to expect against the one wanted, what takes most of it, what to ask of the maker."""
    asked = found.wish
    expected = {one.cylinder: one.expected for one in found.cylinders if one.expected}
    widest = max(expected.items(), key=lambda item: item[1].expanded, default=None)
    limits = {one.cylinder: one.asked for one in found.cylinders if one.asked}
    results = [(f"cylinder {n}", computed(asked.target, e.stand.number)) for n, e in expected.items()]
    answer: list[Block] = [Text(_title(asked, fmt, expected=bool(expected)), strong=True)]
    if expected:
        answer += [Text(_held(asked, fmt)), _bands(expected, asked, fmt), *_verdict(found)]
    if widest is not None:
        answer += _takes_most(*widest, asked.target, fmt)
    answer += _to_ask(limits, asked, fmt, brief=bool(expected))
    unsure = unsure_texts(results, fmt)
    answer += ground_lines(results) if unsure else []
    support: list[Block] = []
    if widest is not None:
        support += [Heading("Three ways"), _three_ways(expected, asked.target, fmt), Text(HOW, small=True)]
        support += _causes(*widest, asked.target, fmt)
    support += _limits_asked(limits, asked, fmt)
    support += part("Why nothing can be asked", items(_why_not(limits)))
    support += part("What 95 % waits for", map(Text, unsure))
    return Report(
        title="Tolerance",
        subject=job_title(survey),
        answer=(*answer, *finding_texts(noted), *map(Text, cautions(("planning",)))),
        support=tuple(support),
    )


def _title(asked: ToleranceAsked, fmt: Formatter, *, expected: bool) -> str:
    name, band = term(asked.target).name, asked.band
    wish = band_text(band, fmt) if band else ""
    wanted = f"{' of the job' if asked.by_job else ''}: {wish}"
    if expected:
        return capital(f"{name} to expect{f'; wanted{wanted}' if band else ''}")
    return f"What to ask of the maker for a {name} of {wish}"


def _held(asked: ToleranceAsked, fmt: Formatter) -> str:
    held = [f"the {term(key).name} within {_limit(key, limit or 0.0, fmt)}" for key, limit in asked.holds.items()]
    return f"With {listed(held)}, in place of its own ±; all else is as measured or stated."


def _bands(expected: Mapping[int, Expected], asked: ToleranceAsked, fmt: Formatter) -> Table:
    """A row a cylinder, those alike in one."""
    key, band = asked.target, asked.band

    def cells(one: Expected) -> tuple[str, ...]:
        spans = (_span(key, span, one, fmt) for span in (one.drawn, one.worst))
        return fmt.show(key, one.value), *spans, *([_kept(one, band)] if band else [])

    head = ("cyl", "as it stands", "95 of 100", "worst case", *(["band"] if band else []))
    rows = rows_merged((number, cells(one)) for number, one in expected.items())
    return Table(head=head, rows=rows, names=(4,), long=True)


def _kept(one: Expected, band: Band) -> str:
    if math.isnan(one.worst.low):
        return NOT_KNOWN
    if within(one.worst, band):
        return "kept"
    return "not kept at its worst" if within(one.drawn, band) else "NOT kept"


def _verdict(found: Bands) -> Iterator[Text]:
    """In which cylinders the band is kept."""
    band = found.wish.band
    if band is None:
        return
    by = together((_kept(one.expected, band), one.cylinder) for one in found.cylinders if one.expected)
    if list(by) == ["kept"]:
        yield Text("As held, the band is kept with every limit reached at once.")
    for word, numbers in by.items():
        if word != "kept":
            said = "is not known yet" if word == NOT_KNOWN else word if word[:3] == "NOT" else f"is {word}"
            yield Text(f"As held, the band {'is ' if word[:3] == 'NOT' else ''}{said}: {whose(numbers)}.")


def _takes_most(number: int, made: Expected, target: str, fmt: Formatter) -> Iterator[Text]:
    """Which tolerance takes most of the ±, and which measurement would help most."""
    if not made.helps or math.isnan(made.helps[0].share):
        return
    first, best = made.helps[0], made.best_reading
    now = _size(target, made.expanded, fmt)
    yield Text(
        f"Most of the ± {now} of cylinder {number}: {clean(first.cause.name, 100)}, {percent(first.share)}; halved, "
        f"the ± is {_size(target, first.halved, fmt)}."
    )
    if best is not None and best is not first:
        yield Text(_advice(best, target, fmt))


def _advice(best: Help, target: str, fmt: Formatter) -> str:
    halved, gone = (_size(target, size, fmt) for size in (best.halved, best.gone))
    remedy = f" {capital(clean(best.cause.remedy, 200))}." if best.cause.remedy else ""
    return f"Of what was measured, most by {clean(best.cause.name, 100)}: halved, ± {halved}; gone, ± {gone}.{remedy}"


def _to_ask(limits: Mapping[int, MakerLimits], asked: ToleranceAsked, fmt: Formatter, *, brief: bool) -> Iterator[Text]:
    """The limits for the whole set, and why nothing can be asked where nothing can; ``brief`` : in short."""
    possible = [one for one in limits.values() if not one.reason]
    if possible and len(possible) == len(limits):
        shared = {key: min(one.shared[key] for one in possible) for key in possible[0].shared}
        alone = {key: min(one.alone[key] for one in possible) for key in possible[0].alone}
        together, each = (
            [f"{term(key).name} {_limit(key, size, fmt)}" for key, size in way.items()] for way in (shared, alone)
        )
        first = listed(together) + (f" together; one of them alone: {', or '.join(each)}" if len(each) > 1 else "")
        also = f", with the {terms(asked.stated)} as stated" if asked.stated else ""
        yield Text(f"To keep the band at its worst, ask of the maker at most: {first}{also}.")
    reasons = [(number, one.reason) for number, one in limits.items() if one.reason]
    if brief and reasons:
        numbers = [number for number, _ in reasons]
        yield Text(f"Nothing can be asked of the maker, {whose(numbers)}: {reasons[0][1].partition(':')[0]}.")
        return
    for number, reason in reasons[:1]:
        yield Text(f"Cylinder {number}, nothing can be asked: {reason}.")
    if len(reasons) > 1:
        yield Text(f"Nor in {whose([number for number, _ in reasons[1:]])}.")


def _why_not(limits: Mapping[int, MakerLimits]) -> Iterator[str]:
    """Why nothing can be asked, of every cylinder."""
    lacking = [(number, one.reason) for number, one in limits.items() if one.reason]
    yield from (f"cylinder {who}: {reason}." for who, reason in merged(lacking))


def _three_ways(expected: Mapping[int, Expected], key: str, fmt: Formatter) -> Table:
    rows = [
        (str(number), fmt.show(key, one.value), *(_span(key, s, one, fmt) for s in (one.linear, one.worst, one.drawn)))
        for number, one in expected.items()
    ]
    if len(rows) > 1:
        size = max(expected.values(), key=lambda one: one.expanded)
        ways = zip(*((one.linear, one.worst, one.drawn) for one in expected.values()), strict=True)
        rows.append(("the set", "", *(_span(key, envelope(way), size, fmt) for way in ways)))
    return Table(head=("cyl", "as it stands", "linear, 95 %", "worst case", "drawn, 95 %"), rows=tuple(rows))


def _causes(number: int, made: Expected, target: str, fmt: Formatter) -> Iterator[Block]:
    """The budget, and what a cause halved or gone makes of the ±."""
    yield Heading(f"What makes the uncertainty of cylinder {number}, ± {_size(target, made.expanded, fmt)}")
    yield Table(
        head=("share", "cause", "halved", "gone"),
        rows=tuple(
            (
                NOT_KNOWN if math.isnan(one.share) else percent(one.share),
                clean(one.cause.name, 80),
                _size(target, one.halved, fmt),
                _size(target, one.gone, fmt),
            )
            for one in made.helps[:MOST_CAUSES]
        ),
        names=(1,),
    )


def _limits_asked(limits: Mapping[int, MakerLimits], asked: ToleranceAsked, fmt: Formatter) -> Iterator[Block]:
    """Of each cylinder the limits to ask for."""
    rows = [
        (str(number), term(key).name, *(_limit(key, way[key], fmt) for way in (one.alone, one.shared)))
        for number, one in limits.items()
        for key in one.alone
    ]
    if rows:
        yield Heading("To ask of the maker, at most")
        yield from (
            Text(f"{capital(term(key).name)} held within {_limit(key, size, fmt)}, as stated")
            for key, size in asked.stated.items()
        )
        yield Table(head=("cyl", "term", "alone", "shared equally"), rows=tuple(rows), names=(1,))
        yield Text(HOW_ASKED.format(" and what is held as stated" if asked.stated else ""), small=True)


# Numbers.


def _span(key: str, span: Span, made: Expected, fmt: Formatter) -> str:
    if math.isnan(span.low):
        return NOT_KNOWN
    return fmt.span(key, span.low, span.high, decimals=places(fmt.unit(key), _in_unit(key, made.expanded, fmt)))


def _size(key: str, size: float, fmt: Formatter) -> str:
    """A size without sign words, to two significant digits."""
    if math.isnan(size):
        return NOT_KNOWN
    return fmt.show(key, size, words=False, decimals=places(fmt.unit(key), _in_unit(key, size, fmt)))


def _limit(key: str, size: float, fmt: Formatter) -> str:
    """A limit, rounded down so that what is asked for suffices."""
    if math.isinf(size):
        return "any"
    shown = _in_unit(key, size, fmt)
    decimals = places(fmt.unit(key), shown)
    down = math.floor(shown * 10**decimals + 1e-9) / 10**decimals * conversion(fmt.unit(key)).scale
    return f"± {fmt.show(key, down, words=False, decimals=decimals)}"


def _in_unit(key: str, size: float, fmt: Formatter) -> float:
    return size / conversion(fmt.unit(key)).scale
