"""Does one more repeat pay?  One rule for the bench, the screen and paper.

Repeats are needed until the scatter of readings made alike is known; then as many are asked for as the step asks of
each thing, since a slip shows against repeats only; after that one more is worth it where the ± of the ratio would
shrink by more than a tenth.  One more reading divides the scatter of that mean by √(n+1) instead of √n, and gives the
pooled scatter one more degree of freedom; every other component of the budget stays as it is.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from ccassist.bench.reductions import scatter_cause
from ccassist.bench.repeats import ENOUGH, Source, repeats_of_each
from ccassist.values.display import METRIC, Formatter, fixed, formatter, places
from ccassist.values.findings import Finding, note, warning
from ccassist.values.measured import (
    MOST,
    Result,
    Value,
    confidence_texts,
    ground_of,
    ground_text,
    ground_to_dict,
    guess_to_dict,
    guessed_names,
    withheld,
)
from ccassist.values.number import Number
from ccassist.values.uncertainty import ASSUMED, SILENT, UNREAD, UNSAID, Cause, budget, expand, remade
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import conversion

if TYPE_CHECKING:
    from ccassist.analysis.cylinder import MeasuredEngine
    from ccassist.bench.cell import Reduction


SHRINK = 0.10  # of the ±; less is not worth a repeat (common practice, no source)
JUDGED = ("static_ratio", "clearance_volume", "chamber_volume")  # the first that a cylinder has is judged


@record
class RepeatBenefit:
    """What one more reading would do.

    now, then : its expanded uncertainty at 95 % now and with one more, SI; NaN where not known.
    """

    cylinder: int  # the cylinder whose result is judged
    one: Reduction  # the series that would get one more reading
    key: str  # the term whose ± is judged: the ratio, or the volume where there is none
    now: float
    then: float
    more: int = 0  # readings still needed before any ± can be stated; 0 where the scatter is known
    asked: int = 0  # readings that are asked for and that are not made yet
    alone: bool = False  # whether nothing else of the engine is measured so, which could tell the scatter

    @property
    def worth_it(self) -> bool:
        """Whether it pays: the ± would first become known, repeats are asked for, or it would shrink by a tenth."""
        return self.more > 0 or self.asked > 0 or self.gain > SHRINK

    @property
    def gain(self) -> float:
        """Share by which the ± would shrink; 0 where it is not known."""
        return 1 - self.then / self.now if self.now > 0 else 0.0


def worth_of_a_repeat(survey: MeasuredEngine, cylinder: int) -> RepeatBenefit | None:
    """What one more reading of what helps most would do to a cylinder's result; None where none would enter it."""
    return next(iter(worths(survey, cylinder)), None)


def worths(survey: MeasuredEngine, cylinder: int) -> list[RepeatBenefit]:
    """One entry for each series that enters the cylinder's result, the most helpful first."""
    measured = survey.cylinders[cylinder - 1]
    value = next((measured.values[key] for key in JUDGED if key in measured.values), None)
    if value is None:
        return []
    used = [one for one in survey.reduced if measured.uses(one)]
    found = [_worth(one, value, survey, cylinder) for one in used]
    return sorted((w for w in found if w is not None), key=lambda w: (-w.more, not w.asked, -w.gain))


def repeats_asked(one: Reduction, survey: MeasuredEngine) -> int:
    """How many readings are asked for of a series: as many as its step asks, and more fills where only they tell a ±.

    What is still to be read of the other cylinders adds to what is known of the scatter, too: a lone one needs five
    readings where two need three each (:data:`~ccassist.bench.repeats.ENOUGH` degrees of freedom). The scatter of a
    length is known from its tool, once that is said.
    """
    least, count = one.cell.method.repeats or one.cell.step.repeats, len(one.cell.counted)
    scatter = one.scatter
    by_readings = scatter.more or (scatter.source is Source.POOLED and scatter.declared is None)
    if not (one.cell.step.fills and by_readings and count):
        return least
    short = scatter.more or ENOUGH - int(scatter.dof)
    own = (one.cell.step, one.cell.state, one.cell.way)
    alike = [r for r in survey.reduced if r is not one and (r.cell.step, r.cell.state, r.cell.way) == own]
    unread = 0 if one.cell.step.by_part else max(0, len(survey.cylinders) - len(alike) - 1)
    owed = unread * (least - 1) + sum(max(0, least - max(1, len(r.cell.counted))) for r in alike)
    return repeats_of_each(least, owed, count, short)


def is_alone(one: Reduction, survey: MeasuredEngine) -> bool:
    """Whether nothing else of the engine can be measured alike, and tell its scatter."""
    return len(survey.cylinders) <= len(one.cell.cylinders)


def _worth(one: Reduction, value: Value, survey: MeasuredEngine, cylinder: int) -> RepeatBenefit | None:
    """What one more reading of a series would do to a value; None where its scatter does not enter it."""
    found = scatter_cause(one)
    if found is None or all(share.cause is not found[0] for share in budget(value.number)):
        return None
    cause, standard = found
    asked, alone = max(0, repeats_asked(one, survey) - len(one.cell.counted)), is_alone(one, survey)
    freedom = sum(len(r.cell.counted) - 1 for r in survey.reduced if r.cell.way == one.cell.way and r.cell.counted)
    if math.isnan(standard):
        more = max(1, one.scatter.more)
        unknown = RepeatBenefit(cylinder=cylinder, one=one, key=value.key, now=math.nan, then=math.nan)
        return replace(unknown, more=more, asked=asked, alone=alone)
    then = _with_one_more(value.number, cause, len(one.cell.counted), pooled=cause.dof in (freedom, freedom + ENOUGH))
    now = expand(value.number).expanded
    return RepeatBenefit(cylinder=cylinder, one=one, key=value.key, now=now, then=expand(then).expanded, asked=asked)


def _with_one_more(number: Number, cause: Cause, count: int, *, pooled: bool) -> Number:
    """The number as doubtful as it would be with one more reading under that cause."""
    causes: dict[Cause, Cause] = {}

    def change(old: Cause, standard: float) -> tuple[Cause, float]:
        gains = pooled and old.pool == cause.pool
        new = causes.setdefault(old, replace(old, dof=old.dof + 1) if gains else old)
        return new, _shrunk(standard, cause.rounding, count) if old is cause else 1.0

    return remade(number, change)


def _shrunk(scatter: float, rounding: float, count: int) -> float:
    """By what factor one more reading shrinks the scatter of a mean, which cannot fall under its rounding."""
    return max(math.sqrt(count / (count + 1)), rounding / scatter) if scatter > 0 else 1.0


def worth_text(worth: RepeatBenefit, fmt: Formatter = METRIC, *, figures: bool = True) -> str:
    """Such as "One more fill of cylinder 3 would take the ± of its ratio from 0.074 to 0.071: not worth it".

    ``figures`` : whether it is said how much a ± would gain that hardly would.
    """
    cell, name = worth.one.cell, _named(worth)
    noun = cell.step.noun if cell.step.fills else f"{cell.step.noun} of the {term(cell.key).name}"
    whose = "its" if cell.where == f"cylinder {worth.cylinder}" else f"cylinder {worth.cylinder}'s"
    of = f"of {cell.where}" if len(cell.cylinders) == 1 else f"({cell.where})"
    if cell.step.fills:
        of += f", {cell.step.title[:1].lower()}{cell.step.title[1:]},"
    if worth.more:
        needed = (
            f"{_count(worth.more, noun)} needed {of.rstrip(',')}{'' if worth.alone else ', or of others made alike'}"
        )
        return f"{needed}, before {whose} {name} has a ±"
    if worth.asked:
        return f"{_count(worth.asked, noun)} asked for {of.rstrip(',')}: a slip shows against repeats only"
    if math.isnan(worth.now):
        return f"One more {noun} {of} does not tell the ± of {whose} {name}: another cause of it is not known"
    if not figures:
        return f"One more {noun} {of} would take less than a tenth off the ± of {whose} {name}: not worth it"
    return f"One more {noun} {of} would {_moved(worth, f'{whose} {name}', fmt)}"


def _named(worth: RepeatBenefit) -> str:
    return "ratio" if worth.key == "static_ratio" else term(worth.key).name


def _count(number: int, noun: str) -> str:
    """Such as "2 more fills are" or "One more reading of the bore is"."""
    first, *rest = noun.split()
    return f"{number} more {' '.join([f'{first}s', *rest])} are" if number > 1 else f"One more {noun} is"


def worth_in_short(worth: RepeatBenefit, fmt: Formatter = METRIC) -> str:
    """The same in a line for the bench, where what is needed or asked for has just been said: "" then.

    Such as "One more fill would take the ± of the ratio from 0.074 to 0.071: not worth it".
    """
    if worth.more or worth.asked or math.isnan(worth.now):
        return ""
    return f"One more {worth.one.cell.step.noun} would {_moved(worth, f'the {_named(worth)}', fmt)}"


def _moved(worth: RepeatBenefit, of: str, fmt: Formatter) -> str:
    """What the ± does, and the verdict."""
    unit = fmt.unit(worth.key)
    now, then = (w / conversion(unit).scale for w in (worth.now, worth.then))
    count = places(unit, then)
    before, after = (fixed(size, count) for size in (now, then))
    moved = f"leave the ± of {of} at" if before == after else f"take the ± of {of} from {before} to"
    return f"{moved} {after}{' ' if unit else ''}{unit}: {'worth it' if worth.worth_it else 'not worth it'}"


# What a job's results rest on: what may be said of their ±, and how much of the job was only taken.

# What a job comes to, the most important first; where there are none of the first, the volumes they are made of.
MAIN = ("static_ratio", "trapped_ratio", "clearance_volume", "squish", "deck_clearance")
PARTS = ("chamber_volume", "crown_volume", "gasket_volume")
WHOLE = ("displacement",)
GUESSED = "guesses"  # the finding that counts them
# How each sort of guess is counted aloud, one and several.
_COUNTED = {
    SILENT: ("value without a ± is taken at the usual one", "values without a ± are taken at the usual one"),
    ASSUMED: ("is assumed", "are assumed"),
    UNSAID: ("has no origin said", "have no origin said"),
    UNREAD: ("was not read", "were not read"),
}


def results_of(survey: MeasuredEngine, keys: Sequence[str] = ()) -> list[Result]:
    """The results of a survey that carry a ±, or those named, each with the cylinder it is of, in words."""
    return [
        *((f"cylinder {c.number}", c.values[key]) for key in keys or _main(survey) for c in survey.cylinders
          if key in c.values),
        *(("", survey.whole[key]) for key in WHOLE if key in survey.whole and not keys),
    ]  # fmt: skip


def _main(survey: MeasuredEngine) -> list[str]:
    """The terms that a job comes to."""
    found = [key for key in MAIN if any(value is not None for value in survey.column(key))]
    return [*dict.fromkeys([*found, *(() if "clearance_volume" in found else PARTS), *survey.wanted])]


def said_of_survey(survey: MeasuredEngine, fmt: Formatter) -> list[str]:
    """What may be said of the ± of a survey's results, in sentences for screen and paper."""
    return confidence_texts(results_of(survey), fmt)


def survey_ground(survey: MeasuredEngine, fmt: Formatter) -> dict[str, Any]:
    """The same as plain data: whether 95 % may be said of all, the sentences, what is withheld, every guess."""
    unsure = withheld(results_of(survey))
    first = unsure[0][1].number if unsure else None
    return {
        "confidence": None if unsure else 0.95,
        "said": said_of_survey(survey, fmt),
        "withheld": [{"key": v.key, "worst_in": whose, **ground_to_dict(v.number)} for whose, v in unsure],
        "guesses_of_the_first": [] if first is None else [guess_to_dict(row) for row in ground_of(first).guesses],
    }


def guess_findings(survey: MeasuredEngine) -> list[Finding]:
    """One line that counts aloud what was only taken, and names what to measure first.

    To be looked at where what nobody said or read withholds 95 % from a result; what is openly assumed, with its ±, was
    meant.
    """
    if not survey.guesses:
        return []
    sorts = Counter(cause.guess for cause in survey.guesses)
    counted = ", ".join(f"{n} {_COUNTED[why][n > 1]}" for why, n in sorts.items())
    wrong = f"{counted}: {guessed_names(survey.guesses)}"
    unsure = withheld(results_of(survey))
    if not unsure:
        return [note(GUESSED, f"{wrong}; together they make little of any ±", file=survey.job.file)]
    whose, value = unsure[0]
    right = ground_text(value.key, value.number, formatter(survey.job.system), whose)
    say = warning if any(_unmeant(one) > MOST for _, one in unsure) else note
    return [say(GUESSED, wrong, right=right, file=survey.job.file)]


def _unmeant(value: Value) -> float:
    """Share of a result's variance that is taken without anybody having said so."""
    return sum(row.share for row in ground_of(value.number).guesses if row.cause.guess in (SILENT, UNREAD))
