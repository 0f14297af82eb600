"""What a job may be for, a row each: what is measured and stated for it, and which answers and paper it ends in."""

from __future__ import annotations

from collections.abc import Mapping

from ccassist.bench.steps import STEPS
from ccassist.vocabulary.record import record

TABLE = "show"  # the screen that answers every job
_ALL_PARTS = ("block", "crank", "rods", "pistons", "gasket", "head")


@record
class Purpose:
    """One thing that a job may be for.

    meaning : what it is, as the prompt says it; ``called`` : in two words, as an answer to what the job is for.
    steps : the bench steps of it; the guide leaves out all others.
    parts : the kinds of parts that a new file prepares.
    whole : whether the whole engine is stated, and not bare heads only.
    first, such_as : the term whose target is asked for at the start, and how one is said.
    wanted : the terms whose targets are asked for once the bench is done.
    band : what a range of them means, in words.
    sections : the sections that are asked for then.
    answers : the screens at its end, by the command's name.
    paper : the paper that only it has, besides the worksheet; "" for none.
    ends : what it ends in, said at the start.
    """

    called: str
    meaning: str
    steps: tuple[str, ...]
    parts: tuple[str, ...]
    whole: bool = True
    first: str = "static_ratio"
    such_as: str = "9.5 or 9.4 to 9.6"
    wanted: tuple[str, ...] = ("static_ratio", "squish")
    band: str = "a range"
    sections: tuple[str, ...] = ()
    answers: tuple[str, ...]
    paper: str = ""
    ends: str


# In the order in which they are asked for.
PURPOSES: dict[str, Purpose] = {
    "ratio": Purpose(
        called="compression ratio",
        meaning="the compression ratio of the whole engine",
        steps=tuple(STEPS),
        parts=_ALL_PARTS,
        wanted=(),
        answers=(TABLE,),
        ends="It ends in every cylinder's ratio and its ±: ccassist show",
    ),
    "heads": Purpose(
        called="heads to be cc'd",
        meaning="bare heads on the bench, the chambers only",
        steps=("chamber", "opening", "stages"),
        parts=("head",),
        whole=False,
        first="chamber_volume",
        such_as="at least 62.0 cc",
        wanted=("chamber_volume",),
        answers=(TABLE, "balance"),
        ends="It ends in every chamber, and what would make them alike: ccassist balance",
    ),
    "pistons": Purpose(
        called="pistons to order",
        meaning="custom pistons to be ordered, everything else measured",
        steps=("bore", "stack", "chamber", "opening", "stages", "gasket", "intake-lifts", "exhaust-lifts"),
        parts=_ALL_PARTS,
        band="a range (it gives the maker's tolerance)",
        sections=("order", "order.crown"),
        answers=(TABLE, "order"),
        paper="order sheet",
        ends="After the bench it asks for what is wanted and for the order: ccassist order",
    ),
    "turbo": Purpose(
        called="turbo target",
        meaning="the whole engine, for a turbo or another boosted target",
        steps=tuple(STEPS),
        parts=_ALL_PARTS,
        sections=("cam", "charge", "baseline"),
        answers=(TABLE, "boost"),
        paper="boost pages",
        ends="After the bench it asks for cam, charge and baseline: ccassist boost",
    ),
}
USUAL = "ratio"  # where nothing is said
# Of several, whose steps count: pistons to be ordered cannot be measured, and the heads are in the other two.
_STEPS_OF = ("pistons", "turbo", "ratio", "heads")


def purposes_of(about: Mapping[str, str]) -> tuple[str, ...]:
    """What a job is for, in the order said; nothing where it does not say.

    >>> purposes_of({"for": "pistons, turbo"})
    ('pistons', 'turbo')
    """
    return tuple(dict.fromkeys(" ".join(said.split()) for said in about.get("for", "").split(",") if said.strip()))


def rows_of(about: Mapping[str, str]) -> tuple[Purpose, ...]:
    """The rows of what a job is for, in the order said."""
    return tuple(PURPOSES[one] for one in purposes_of(about) if one in PURPOSES)


def leading(asked: str) -> Purpose:
    """Of one purpose or several with commas, the one whose steps and parts a new job has."""
    said = purposes_of({"for": asked})
    return next(PURPOSES[one] for one in _STEPS_OF if one in said)


def purposes_named(text: str) -> str | None:
    """What is meant by one word or several, singular or by their first letters; None where one is not understood.

    >>> purposes_named("Head"), purposes_named("p, turbo"), purposes_named("compression ratio"), purposes_named("x")
    ('heads', 'pistons, turbo', 'ratio', None)
    """
    said = [_named(one) for one in purposes_of({"for": text.casefold()})]
    return ", ".join(key for key in PURPOSES if key in said) if said and None not in said else None


def _named(word: str) -> str | None:
    same = (key for key, one in PURPOSES.items() if word in (key, one.called.casefold()))
    begun = (key for key, one in PURPOSES.items() if key.startswith(word) or one.called.casefold().startswith(word))
    return next(same, None) or next(begun, None)
