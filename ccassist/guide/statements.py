"""What is stated and not measured: targets, cam, charge, the piston order; and what of it is still to be said.

Which statements a job asks for follows from what it is for; the sections
that hold them are declared in :mod:`ccassist.job.sections`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from ccassist.guide.walk import left_out
from ccassist.job.records import Job
from ccassist.job.sections import STATED
from ccassist.job.vocabulary import PLAIN, purposes_of
from ccassist.values.findings import capital
from ccassist.vocabulary import term

WANTED = "wanted"
# What a job is for -> what is asked once the bench is done: things wanted, then whole sections.
ASKED: Mapping[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "heads": (("chamber_volume",), ()),
    "pistons": (("static_ratio", "squish"), ("order", "order.crown")),
    "turbo": (("static_ratio", "squish"), ("cam", "charge", "baseline")),
}
# What one section says another need not ask for, where a job has both.
_SAID_IN: Mapping[str, str] = {"order fuel": "charge", "order boost": "charge"}
_SPEEDS = ("engine_speed", "rev_limit")  # said for the whole engine, neither is asked for again
LEFT_TO = "the maker"
LEFT = "left to "


@dataclass(frozen=True, kw_only=True)
class Statement:
    """One thing to be stated.

    ``section`` and ``key`` say where it stands; ``options`` are the words for it,
    where it is a quantity ``decided`` says that nobody asks where it comes from.
    """

    section: str
    key: str
    words: str
    quantity: bool = False
    decided: bool = False
    options: tuple[str, ...] = ()

    @property
    def place(self) -> str:
        """Its name, such as "cam intake_closing"."""
        return f"{self.section} {self.key}"


def statements(job: Job) -> tuple[Statement, ...]:
    """Everything that a job asks to be stated, each once, in the order asked."""
    found: dict[tuple[str, str], Statement] = {}
    for purpose in purposes_of(job.about):
        wanted, sections = ASKED.get(purpose, ((), ()))
        asked = [*(_wanted(key, purpose) for key in wanted), *(one for name in sections for one in _of_section(name))]
        for one in asked:
            if _called_for(job, one):
                found.setdefault((one.section, one.key), one)
    return tuple(found.values())


def _wanted(key: str, purpose: str) -> Statement:
    band = "a range (it gives the maker's tolerance)" if purpose == "pistons" else "a range"
    words = f"{capital(term(key).name)}: one value, {band}, at least … or at most …"
    return Statement(section=WANTED, key=key, words=words, quantity=True, decided=True)


def _of_section(name: str) -> Iterator[Statement]:
    section = STATED[name]
    for key in section.guide or section.samples or section.keys:
        if key in section.terms:
            meant = term(key)
            decided = key in section.unasked or key in PLAIN
            words = section.asks.get(key, f"{capital(meant.name)}: {meant.meaning}")
            yield Statement(section=name, key=key, words=words, quantity=True, decided=decided)
        elif key in section.words:
            words = section.asks.get(key, capital(key.replace("_", " ")))
            yield Statement(section=name, key=key, words=words, options=section.words[key])
        elif key in section.texts:
            yield Statement(section=name, key=key, words=section.asks.get(key, capital(section.texts[key])))


def _called_for(job: Job, one: Statement) -> bool:
    """Whether what it depends on, such as the shape for the diameter of a dish, is said so; nothing twice."""
    if any(_SAID_IN.get(one.place) in ASKED[purpose][1] for purpose in purposes_of(job.about) if purpose in ASKED):
        return False
    if one.section == WANTED or one.key not in STATED[one.section].only_with:
        return True
    other, words = STATED[one.section].only_with[one.key]
    return job.said.get(one.section, {}).get(other) in words


def is_left_out(job: Job, one: Statement) -> bool:
    """Whether the file says not to ask for it, or for nothing of its section."""
    return bool({one.place, one.section} & set(left_out(job)))


def is_stated(job: Job, one: Statement) -> bool:
    """Whether the file says it already."""
    if one.key in _SPEEDS and one.section != "baseline" and "engine_speed" in job.engine:
        return True
    return bool(as_stated(job, one))


def as_stated(job: Job, one: Statement) -> str:
    """What the file says of it, as written, or who is to decide it; "" where it says nothing."""
    there = job.wanted if one.section == WANTED else job.stated.get(one.section, {})
    given = next((there[key] for key in (one.key, instead_of(one)) if key in there), None)
    said = job.said.get(one.section, {}).get(one.key, "")
    left_to = job.said.get(left_in(one), {}).get(one.key, "")
    return "; ".join(given.texts) if given is not None else said or (f"{LEFT}{left_to}" if left_to else "")


def instead_of(one: Statement) -> str:
    """The key that may be stated in its stead, "" where there is none."""
    section = STATED.get(one.section)
    return section.instead.get(one.key, "") if section is not None else ""


def left_in(one: Statement) -> str:
    """The section that says who decides it, where it may be left to somebody; else ""."""
    section = STATED.get(one.section)
    found = STATED.get(section.left_in) if section is not None else None
    return found.name if found is not None and one.key in found.texts else ""


def left(job: Job, passed: set[str]) -> list[Statement]:
    """What is still to be stated, but for what was passed over today."""
    return [one for one in statements(job) if not (is_stated(job, one) or is_left_out(job, one) or one.place in passed)]


def next_left(job: Job, passed: set[str], after: Statement | None) -> Statement | None:
    """The next one still to be stated after another, round to the first; None where nothing is left."""
    unsaid = left(job, passed)
    order = [one.place for one in statements(job)]
    at = order.index(after.place) if after is not None and after.place in order else -1
    return next((one for one in unsaid if order.index(one.place) > at), unsaid[0] if unsaid else None)


def find_statement(job: Job, words: str) -> Statement | None:
    """The statement meant by its section, its key (or a beginning of it) or both; the first not stated of several."""
    section, _, key = words.partition(" ")
    asked = statements(job)
    near = [one for one in asked if one.section == section and one.key.startswith(key.strip())]
    near = near or [one for one in asked if one.key == words]
    return next((one for one in near if not is_stated(job, one)), near[0] if near else None)
