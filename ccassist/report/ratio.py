"""A ratio from a few dimensions: the answer in one piece, the plain data, and the report made from it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

from ccassist.analysis.cylinder import Cylinder
from ccassist.analysis.plausibility import out_of_range
from ccassist.analysis.results import Survey, sound_survey
from ccassist.analysis.sums import PARTS, addition, guarded, printed
from ccassist.plan.quick import (
    DYNAMIC,
    KEYS,
    OF_A_FILE,
    RATIO,
    SQUISH,
    WANTED,
    Said,
    combinations_of,
    job_of,
    left_out,
    of_a_key,
    taken,
)
from ccassist.plan.solved import SolvedFor, find
from ccassist.report.blocks import WRITTEN, Block, Heading, Report, Table, Text
from ccassist.report.data import to_json
from ccassist.report.solve import answer_of, conclusion, how_found, noted, working_blocks
from ccassist.solve.request import wish_of
from ccassist.values.display import Formatter, formatter, percent
from ccassist.values.findings import Finding, InputError, NotPossible, capital, clean, placed
from ccassist.values.measured import Ground, ground_of, guessed_names
from ccassist.values.pint_bridge import Written, as_text, is_pint
from ccassist.values.quantity import parse
from ccassist.values.uncertainty import budget
from ccassist.vocabulary import Meant, term
from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import Origin, System

FORMAT = 2  # of the plain data
CONFIRM = "A planning figure: confirm it by measurement before metal is cut."
RESULTS = {RATIO: "static ratio", DYNAMIC: "dynamic (trapped) ratio", SQUISH: "squish"}


@record
class QuickRatio:
    """One engine cylinder as said, and what follows.

    answer : what the one thing left out must be for the ratio given; None where nothing was left out.
    """

    said: Said  # by key, the texts
    survey: Survey  # the cylinder worked out
    answer: SolvedFor | None = None
    taken: tuple[str, ...] = ()  # what nobody said and was taken, in words

    @property
    def noticed(self) -> tuple[Finding, ...]:
        """What is worth saying of it; that nobody said where the dimensions come from is said of the ±."""
        found = [of_a_key(f, self.said) for f in self.survey.findings if f.code not in OF_A_FILE]
        unusual = self.answer and out_of_range(RATIO, parse(self.said[WANTED], RATIO).value, self.survey.fmt)
        return (unusual, *found) if unusual else tuple(found)

    @property
    def doubts(self) -> tuple[Finding, ...]:
        """As noticed, with what is doubtful of the answer before it."""
        found = self.answer.answer.findings if self.answer and self.answer.answer else ()
        return (*found, *self.noticed)

    @property
    def cylinder(self) -> Cylinder:
        """The cylinder worked out; without what was left out."""
        return self.survey.cylinders[0]

    @property
    def rests(self) -> Ground:
        """What the ± of the ratio, or of the answer, rests on."""
        (number, *_) = (
            next(iter(self.answer.numbers.values())) if self.answer else (self.cylinder.values[RATIO].number,)
        )
        return ground_of(number)

    def to_dict(self, system: str = System.METRIC) -> dict[str, Any]:
        """Plain data, SI; ``system`` : units of the texts."""
        fmt = formatter(system)
        return to_json(case_of(self, fmt), fmt, version=FORMAT)


@record(kw_only=False)
class Unreached:
    """One of several cases of which nothing can be said, and why."""

    said: Said
    reason: str


def ratio(*, units: str = System.METRIC, **said: Written) -> QuickRatio:
    """The static ratio of one cylinder from a few dimensions, or the one dimension that gives a ratio.

    units : "metric" or "imperial": the unit of bare numbers; mm and cc, or inches and cc.
    said : the keys of :data:`~ccassist.plan.quick.KEYS`, and ``ratio`` where one of what it needs is left out; texts
        such as "83.4 mm", bare numbers, or quantities of Pint.

    Raises InputError: something is not understood, said twice, or missing; every fault is named; NotPossible: nothing
    that is left out gives that ratio; says what can be reached.

    >>> made = ratio(bore="83.4 mm", stroke="91.3 mm", chamber="47.6 cc", gasket="1.14 mm", below="0.23", dish="6.4")
    >>> Formatter().value(made.cylinder.values["static_ratio"])
    '9.11 ± 0.24'
    """
    (one,) = combinations_of({key: [_written(key, text)] for key, text in said.items()})
    return _worked(one, units)


def ratios(said: Mapping[str, Sequence[str]], system: str) -> list[QuickRatio | Unreached]:
    """As :func:`ratio`, for every combination of keys that are said more than once.

    Of several cases one that cannot be does not stop the others.

    Raises InputError, NotPossible: as there, or there are too many combinations, or no case can be.
    """
    cases, found = combinations_of(said), list[QuickRatio | Unreached]()
    for case in cases:
        job_of(case, system)  # a text that is not understood stops all
    for case in cases:
        try:
            found.append(_worked(case, system))
        except (InputError, NotPossible) as fault:
            if len(cases) == 1:
                raise
            reason = "; ".join(f.text() for f in fault.findings) if isinstance(fault, InputError) else str(fault)
            found.append(Unreached(case, reason))
    if all(isinstance(one, Unreached) for one in found):
        raise NotPossible("; ".join(dict.fromkeys(one.reason for one in found if isinstance(one, Unreached))))
    return found


def _written(key: str, one: Written) -> str:
    """What is said under a key, as a text."""
    if not is_pint(one):
        return str(one)
    with placed(key):
        return as_text(one, KEYS.get(key, Meant(term=term(RATIO))))


def _worked(said: Said, system: str) -> QuickRatio:
    try:
        survey = sound_survey(job_of(said, system))
    except InputError as fault:
        raise InputError([of_a_key(f, said) for f in fault.findings]) from None
    made = QuickRatio(said=said, survey=survey, taken=tuple(taken(said)))
    unknown = left_out(said)
    if unknown is None:
        return made
    with placed(WANTED):
        parse(said[WANTED], RATIO, system=system)
        wish = wish_of(unknown, {RATIO: said[WANTED]}, system)
        (found,) = find(survey, wish, fmt=formatter(system))
    if found.answer is None:
        raise NotPossible(found.reason)
    return replace(made, answer=found)


# What is told.


def cases_of(found: Sequence[QuickRatio | Unreached], fmt: Formatter) -> dict[str, Any]:
    """What is told of every case."""
    return {"cases": [case_of(one, fmt) for one in found]}


def case_of(one: QuickRatio | Unreached, fmt: Formatter) -> dict[str, Any]:
    """What was given, every value that follows, what was found for the ratio wanted, why there is nothing."""
    if isinstance(one, Unreached):
        return {"given": one.said, "values": {}, "solved": None, "taken": (), "findings": (), "reason": one.reason}
    return {
        "given": one.said,
        "values": {key: replace(value, line=None) for key, value in one.cylinder.values.items()},
        "solved": None if one.answer is None else answer_of(one.answer, fmt),
        "taken": one.taken,
        "findings": [f.to_dict() for f in one.noticed],
        "reason": "",
    }


# The report.


def ratio_report(found: Sequence[QuickRatio | Unreached], fmt: Formatter) -> Report:
    """The ratio and what it is made of, or what was left out and its formula; of several cases a table."""
    worked = [one for one in found if isinstance(one, QuickRatio)]
    answer, support = _one(worked[0], fmt) if len(found) == 1 else _several(found, worked, fmt)
    return Report(title="Ratio", subject="From a few dimensions", answer=tuple(answer), support=tuple(support))


def _one(one: QuickRatio, fmt: Formatter) -> tuple[list[Block], list[Block]]:
    support: list[Block] = []
    if one.answer is not None and one.answer.answer is not None:
        answer = one.answer.answer
        ((unknown, numbers),) = one.answer.numbers.items()
        texts = " or ".join(fmt.number(unknown, number) for number in numbers)
        lead = Text(f"For a ratio of {clean(one.said[WANTED], 40)}: {term(unknown).name} {texts}", strong=True)
        made: list[Block] = [*how_found(answer, fmt), *conclusion(answer, fmt)]
        support += working_blocks(answer, fmt)
    else:
        lead = Text(f"Static compression ratio {fmt.value(one.cylinder.values[RATIO])}", strong=True)
        made = [*_follows(one, fmt), *_made_of(one.cylinder, fmt)]
    support += _causes(one)
    said = (*noted(one.doubts), *made, *_taken(one), *_ground(one))
    return [lead, *said, Text(CONFIRM)], support


def _made_of(cylinder: Cylinder, fmt: Formatter) -> Iterator[Block]:
    """The ratio worked out, and the volumes as they add up."""
    decimals = guarded([cylinder], fmt)
    found = addition(cylinder, decimals, fmt)
    if found is None:
        return
    swept = fmt.amount("swept_volume", cylinder.values["swept_volume"].nominal, decimals=decimals)
    yield Text(f"= ({swept} + {printed(found.total)}) ÷ {printed(found.total)} cc, swept and clearance volume", WRITTEN)
    rows = []
    for key, name in PARTS.items():
        value = cylinder.values.get(key)
        if key in found.parts and value is not None and value.origin != Origin.NOT_COUNTED:
            rows.append((name, f"{printed(found.parts[key])} cc", _how(key, cylinder, fmt)))
    yield Table(head=("", "volume", "from"), rows=tuple(rows), names=(0, 2), long=True)


def _how(key: str, cylinder: Cylinder, fmt: Formatter) -> str:
    """What a volume comes from, where it is not stated as one."""
    values = cylinder.values
    if key == "gasket_volume":
        return f"{fmt.value(values['gasket_thickness'])} thick, bore {fmt.value(values['gasket_bore'])}"
    if key == "deck_volume":
        return fmt.value(values["deck_clearance"])
    return fmt.value(values[key]) if key == "crown_volume" else ""


def _follows(one: QuickRatio, fmt: Formatter) -> Iterator[Block]:
    """What else the same dimensions say."""
    values = one.cylinder.values
    if DYNAMIC in values:
        closing = fmt.value(values["intake_closing"])
        yield Text(f"Dynamic (trapped) ratio {fmt.value(values[DYNAMIC])}: geometry alone, intake closing {closing}.")
    if SQUISH in values:
        yield Text(f"Squish: {fmt.value(values[SQUISH])}.")


def _taken(one: QuickRatio) -> Iterator[Text]:
    """What nobody said, and what was taken for it."""
    if one.taken:
        yield Text(" ".join(f"{capital(text)}." for text in one.taken))


def _unvouched(one: QuickRatio) -> bool:
    """Whether nobody vouches for its ±."""
    return not one.rests.sure and not math.isnan(one.rests.share)


def _ground(one: QuickRatio) -> Iterator[Text]:
    """That nobody vouches for the ±, and what to measure first."""
    if _unvouched(one):
        names = guessed_names(row.cause for row in one.rests.guesses)
        first = one.rests.guesses[0].cause.remedy.partition(" (")[0]
        yield Text(f"No 95 % can be said of the ±: it is only what is usual ({names}). First {first}.")


def _causes(one: QuickRatio) -> Iterator[Block]:
    """What makes the ±, the largest first."""
    made = budget(one.rests.number)
    if made and not math.isnan(made[0].share):
        yield Heading("What makes the uncertainty")
        rows = ((guessed_names([row.cause]), percent(row.share)) for row in made)
        yield Table(head=("cause", "share"), rows=tuple(rows), names=(0,))


# Several.


def _several(
    found: Sequence[QuickRatio | Unreached], worked: Sequence[QuickRatio], fmt: Formatter
) -> tuple[list[Block], list[Block]]:
    """A line a case, in the order said, why some have no answer, what is doubtful of any, what holds for all."""
    keys = [key for key in found[0].said if len({one.said[key] for one in found}) > 1] or [*found[0].said][:1]
    results = [key for key in RESULTS if _is_column(key, worked)]
    unknown = next(iter(worked[0].answer.numbers)) if worked[0].answer else ""
    heads = (term(unknown).name,) if unknown else tuple(RESULTS[key] for key in results)
    table = Table(head=(*keys, *heads), rows=tuple(_row(one, keys, unknown, results, fmt) for one in found), long=True)
    none = [Text(f"{_case(one, keys)}: {one.reason}.") for one in found if isinstance(one, Unreached)]
    looked = noted(_of_cases(worked, keys))
    closing = [[*_follows(one, fmt), *_taken(one), *_ground(one)] for one in worked]
    shared: list[Block] = [block for block in closing[0] if all(block in others for others in closing)]
    if any(map(_unvouched, worked)) and not any("95 %" in block.words for block in shared if isinstance(block, Text)):
        whose = "no" if all(map(_unvouched, worked)) else "not every"
        shared.append(Text(f"Of {whose} ± here can it be said that it holds with 95 %."))
    none = [*none[:1], *(replace(text, spare=True) for text in none[1:])]
    return [table, *none, *looked, *shared, Text(CONFIRM)], []


def _is_column(key: str, found: Sequence[QuickRatio]) -> bool:
    """Whether a result is a column: the squish gap only where it varies, else it is said once."""
    values = [one.cylinder.values.get(key) for one in found]
    return None not in values and (key != SQUISH or len({value.nominal for value in values if value}) > 1)


def _row(
    one: QuickRatio | Unreached, keys: Sequence[str], unknown: str, results: Sequence[str], fmt: Formatter
) -> tuple[str, ...]:
    """What varies, and what comes of it."""
    varied = [one.said[key] for key in keys]
    if isinstance(one, Unreached):
        return (*varied, "not possible", *[""] * (len(results) - 1 if not unknown else 0))
    if one.answer is not None:
        return (*varied, " or ".join(fmt.number(unknown, number) for number in one.answer.numbers[unknown]))
    return (*varied, *(fmt.value(one.cylinder.values[key]) for key in results))


def _case(one: QuickRatio | Unreached, keys: Sequence[str]) -> str:
    return ", ".join(f"{key}={clean(one.said[key], 40)}" for key in keys)


def _of_cases(found: Sequence[QuickRatio], keys: Sequence[str]) -> Iterator[Finding]:
    """What is doubtful of any of several cases; what is not of all of them says of which; ``keys`` : what varies."""
    for one in found:
        for finding in one.doubts:
            own = finding.place not in keys and not all(finding in other.doubts for other in found)
            yield replace(finding, place=_case(one, keys)) if own else finding
