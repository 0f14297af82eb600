"""``ccassist tolerance``: the band to expect from what the maker holds, or what to ask of the maker for a band."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from ccassist.analysis.results import survey_of
from ccassist.bench.cautions import cautions
from ccassist.cli.screen import list_findings, say, say_json, table, unsure, wrapped
from ccassist.plan.piston.mistakes import with_ordered_pistons
from ccassist.plan.tolerance.cylinders import Wish, wished
from ccassist.solve.wish import read_pair
from ccassist.values.asking import named
from ccassist.values.display import Formatter, formatter, places
from ccassist.values.findings import InputError, capital, clean, error
from ccassist.values.measured import computed
from ccassist.values.verdict import Band
from ccassist.vocabulary import term
from ccassist.vocabulary.units import conversion

if TYPE_CHECKING:
    from ccassist.plan.tolerance.cylinders import One
    from ccassist.plan.tolerance.expected import Expected, Help, Span

MOST_CAUSES = 5  # lines of the budget printed
NOT_KNOWN = "not known yet"


def run(
    file: Path,
    *,
    of: str | None,
    holds: Sequence[str],
    band: str | None,
    cylinder: int | None,
    system: str | None,
    as_json: bool,
) -> int:
    """Print the band to expect, or the tolerance to ask for; 1 where nothing can be asked for."""
    survey, ordered = with_ordered_pistons(survey_of(file), to_be_made=True)
    fmt = formatter(system or survey.job.system)
    wish = _asked(of, holds, band, fmt)
    from ccassist.plan.tolerance.cylinders import tolerance_of

    found = tolerance_of(survey, wish, cylinder=cylinder, system=fmt.system)
    if as_json:
        say_json(found.to_dict())
    else:
        _print(found.cylinders, wish, fmt)
        list_findings(ordered)
    return 0 if found.possible else 1


def _asked(of: str | None, holds: Sequence[str], band: str | None, fmt: Formatter) -> Wish:
    """What is asked on the command line.

    Raises
    ------
    InputError : it is not one term whose band is asked about, or as :func:`ccassist.plan.tolerance.cylinders.wished`.
    """
    aim = read_pair(band, "--band") if band is not None else None
    target = named(of, "--of").term if of is not None else aim.term if aim is not None else None
    if target is None or (aim is not None and aim.key != target.key):
        right = "--of static_ratio, or --band 'static_ratio=9.5 to 9.7'"
        raise InputError(error("no-target", "say of which one term the band is", right=right))
    return wished(target.key, holds, None if aim is None else aim.value, fmt)


def _print(found: Sequence[One], wish: Wish, fmt: Formatter) -> None:
    expected = {one.cylinder: one.expected for one in found if one.expected}
    if expected:
        _print_expected(expected, wish, fmt)
    if wish.band:
        if expected:
            say()
        _print_asked(found, wish, wish.band, fmt)
    say()
    for caution in cautions(("planning",)):
        wrapped(caution)


def _print_expected(expected: Mapping[int, Expected], wish: Wish, fmt: Formatter) -> None:
    from ccassist.plan.tolerance.cylinders import ways
    from ccassist.plan.tolerance.expected import DRAWS, envelope

    say(f"The {term(wish.target).name} to expect, with these held:")
    for key, limit in wish.holds.items():
        wrapped(f"{term(key).name} within {_limit(key, limit or 0.0, fmt)}", first="  ", rest="    ")
    wrapped("A limit held takes the place of that term's own ±; all else is as measured or stated.")
    say()
    rows = [
        [
            str(number),
            fmt.show(wish.target, e.value),
            *(_span(wish.target, span, e, fmt) for span in ways(e).values()),
        ]
        for number, e in expected.items()
    ]
    if len(expected) > 1:
        all_ways = zip(*(ways(e).values() for e in expected.values()), strict=True)
        widest = max(expected.values(), key=lambda e: e.expanded)
        rows.append(["the set", "", *(_span(wish.target, envelope(way), widest, fmt) for way in all_ways)])
    table(["cyl", "as it stands", "linear, 95 %", "worst case", "drawn, 95 %"], rows)
    say()
    wrapped(
        "Linear: the causes joined as the root of the sum of their squares. Worst case: every limit reached at once, "
        "the same way, and what was measured at its ± for 95 %. "
        f"Drawn: {DRAWS} engines put together by chance; the middle 95 of 100."
        + (" The set: from the lowest end to the highest." if len(expected) > 1 else "")
    )
    say()
    number, most = max(expected.items(), key=lambda item: item[1].expanded)
    _print_helps(number, most, wish.target, fmt)
    unsure(((f"cylinder {n}", computed(wish.target, e.stand.number)) for n, e in expected.items()), fmt)


def _print_helps(number: int, expected: Expected, target: str, fmt: Formatter) -> None:
    size = _size(target, expected.expanded, fmt)
    wrapped(f"What makes the ± {size} of cylinder {number}, and what a cause halved or gone makes it:")
    rows = [
        [
            clean(one.cause.name, 52),  # the table fits a terminal
            NOT_KNOWN if math.isnan(one.share) else f"{one.share:.0%}",
            _size(target, one.halved, fmt),
            _size(target, one.gone, fmt),
        ]
        for one in expected.helps[:MOST_CAUSES]
    ]
    table(["cause", "share", "halved", "gone"], rows)
    best = expected.best_reading
    if best is not None:
        say()
        wrapped(_advice(best, expected, target, fmt))


def _advice(best: Help, expected: Expected, target: str, fmt: Formatter) -> str:
    now, halved, gone = (_size(target, size, fmt) for size in (expected.expanded, best.halved, best.gone))
    remedy = f" {capital(best.cause.remedy)}." if best.cause.remedy else ""
    return (
        f"Of what was measured, the {best.cause.name} would help most to improve: the ± goes from {now} to {halved} "
        f"with it halved, to {gone} with it gone.{remedy}"
    )


def _print_asked(found: Sequence[One], wish: Wish, band: Band, fmt: Formatter) -> None:
    from ccassist.plan.tolerance.cylinders import within

    say(f"For a {term(wish.target).name} of {clean(band.raw, 80)}, ask of the maker at most:")
    for key, limit in wish.stated.items():
        wrapped(f"{term(key).name} held within {_limit(key, limit, fmt)}, as stated", first="  ", rest="    ")
    asked = [(one.cylinder, one.asked) for one in found if one.asked]
    rows = []
    for number, one in asked:
        for key in one.alone:
            rows.append([str(number), term(key).name, *(_limit(key, way[key], fmt) for way in (one.alone, one.shared))])
    possible = [one for _, one in asked if not one.reason]
    if len(possible) > 1 and len(possible) == len(asked):
        for key in possible[0].alone:
            tightest = (min(one.alone[key] for one in possible), min(one.shared[key] for one in possible))
            rows.append(["the set", term(key).name, *(_limit(key, size, fmt) for size in tightest)])
    if rows:
        besides = "the measurement" + (" and what is held as stated" if wish.stated else "")
        table(["cyl", "term", "alone", "shared equally"], rows)
        wrapped(
            f"Alone: that term alone in doubt besides {besides}. Shared equally: every term asked for takes the same "
            "part of what is left. Both keep the band at its worst: every limit reached at once, the same way, and "
            "what was measured at its ± for 95 %."
        )
    for number, one in asked:
        if one.reason:
            wrapped(f"Cylinder {number}, nothing can be asked: {one.reason}.", rest="  ")
    for stood in found:
        if stood.expected and stood.asked and not stood.asked.reason:
            kept = within(stood.expected.worst, band)
            wrapped(
                f"Cylinder {stood.cylinder}: as held now, the band is {'kept' if kept else 'NOT kept'} at its worst."
            )


def _span(key: str, span: Span, expected: Expected, fmt: Formatter) -> str:
    if math.isnan(span.low):
        return NOT_KNOWN
    decimals = places(fmt.unit(key), expected.expanded / conversion(fmt.unit(key)).scale)
    return fmt.span(key, span.low, span.high, decimals=decimals)


def _size(key: str, size: float, fmt: Formatter) -> str:
    """A size without sign words, to two significant digits."""
    unit = fmt.unit(key)
    if math.isnan(size):
        return NOT_KNOWN
    return fmt.show(key, size, words=False, decimals=places(unit, size / conversion(unit).scale))


def _limit(key: str, size: float, fmt: Formatter) -> str:
    """A limit, rounded down so that what is asked for suffices."""
    unit = fmt.unit(key)
    if math.isinf(size):
        return "any"
    scale = conversion(unit).scale
    decimals = places(unit, size / scale)
    down = math.floor(size / scale * 10**decimals + 1e-9) / 10**decimals * scale
    return f"± {fmt.show(key, down, words=False, decimals=decimals)}"
