"""What a job's results rest on: what may be said of their ±, and how much of the job was only taken."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from ccassist.values.display import Formatter, formatter
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
from ccassist.values.uncertainty import ASSUMED, SILENT, UNREAD, UNSAID

if TYPE_CHECKING:
    from ccassist.analysis.cylinder import MeasuredEngine

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

    To be looked at where what nobody said or read withholds 95 % from a result; what is openly assumed, with its ±,
    was meant.
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
