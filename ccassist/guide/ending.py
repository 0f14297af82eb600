"""The end of the walk: the answers, what to do next, and the offer to print."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from ccassist.guide.modes import chosen
from ccassist.guide.view import Question
from ccassist.job.records import Job
from ccassist.job.vocabulary import purposes_of

if TYPE_CHECKING:
    from ccassist.guide.session import Session
    from ccassist.guide.stating import Stating

TABLE = "show"
# What a job is for -> the screens that answer it, by the command's name.
ANSWERS: Mapping[str, tuple[str, ...]] = {
    "heads": (TABLE, "balance"),
    "pistons": (TABLE, "order"),
    "turbo": (TABLE, "boost"),
}
ANSWER = "show the answers"
# What may be printed, in words -> the command that prints it.
PAPERS: Mapping[str, str] = {
    "print the worksheet": "worksheet",
    "print the piston order sheet": "order sheet",
    "print the boost pages": "boost pages",
}
# Papers that only one sort of job has; every job has the others.
ONLY_FOR: Mapping[str, str] = {"order sheet": "pistons", "boost pages": "turbo"}


def answers(job: Job) -> tuple[str, ...]:
    """The screens at the end, each once; only the table where the job does not say what it is for."""
    found = dict.fromkeys(name for purpose in purposes_of(job.about) for name in ANSWERS.get(purpose, ()))
    return tuple(found) or (TABLE,)


def worth_showing(session: Session) -> bool:
    """Whether there is anything to answer from: readings in the file, or something stated in this sitting."""
    return bool(session.stated) or any(series.rows for series in session.job.series)


def afterwards(job: Job) -> list[str]:
    """What to do next where the work on the parts is still to come: the same again in another state."""
    if "heads" not in purposes_of(job.about) or not any(series.rows for series in job.series):
        return []
    return ["After the work on the head, measure again: j chamber 1, then c state, and say what was done (seats cut)."]


def offers(job: Job) -> tuple[str, ...]:
    """What may be shown and printed at the end, in words."""
    purposes = purposes_of(job.about)
    return (ANSWER, *(words for words, name in PAPERS.items() if ONLY_FOR.get(name, "") in ("", *purposes)))


class AllDone:
    """Nothing is left to be asked: print, or finish.  ``last`` is the statement asked last, to go back to."""

    passing = False

    def __init__(self, last: Stating | None = None) -> None:
        self.last = last

    def question(self, session: Session) -> Question:
        """Where to, if anywhere."""
        open_ones = session.skipped or session.passed
        words = "Nothing more for today" if open_ones else "Everything asked for is there"
        return Question(words=words, options=offers(session.job), empty="finish; j goes to a step all the same")

    def answer(self, session: Session, text: str) -> None:
        """A number prints, Enter finishes."""
        said = chosen(offers(session.job), text) if text else ""
        if said:
            session.ask_for(*(answers(session.job) if said == ANSWER else (PAPERS[said],)))
        elif text:
            session.say("A number shows or prints, j deck 3 goes to a place, f finishes")
        else:
            session.close()
