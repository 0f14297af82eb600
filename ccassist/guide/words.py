"""Names and words typed: instruments and fluids by part of their name, states and people by what they would hide."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from ccassist.bench import fluids, instruments
from ccassist.bench.cautions import cautions
from ccassist.bench.steps import STEPS
from ccassist.guide.asks import NOT_IN_FILE, Ask, Said, kinds_read
from ccassist.guide.state import State
from ccassist.guide.waiting import Starting
from ccassist.guide.walk import in_state, readings_near
from ccassist.job.records import Job, Row, Series
from ccassist.values.findings import Finding, InputError, capital, errors, warning, whose
from ccassist.vocabulary import Kind, names, nearest

MOST, FEW = 12, 6  # names offered by number: of what was typed, and from the start


def instrument_names(job: Job, kinds: Iterable[Kind]) -> list[str]:
    """The instruments that read one of the kinds."""
    wanted = set(kinds)
    listed = [tool.key for tool in instruments.INSTRUMENTS.values() if not wanted or tool.kind in wanted]
    return [*job.instruments, *listed]


def fluid_names(job: Job) -> list[str]:
    """The fluids known."""
    return [*job.fluids, *fluids.FLUIDS]


def names_known(state: State, one: Ask) -> list[str]:
    """The names that would do; against what an instrument is calibrated, it is no other of its kind."""
    if one.catalogue == "fluid":
        return fluid_names(state.job)
    kinds = one.kinds or kinds_read(state.method)
    if not one.kinds and one.key != "instrument":
        kinds = tuple(kind for kind in kinds if kind is not Kind.VOLUME)
    return instrument_names(state.job, kinds)


def common_names(state: State, one: Ask) -> tuple[str, ...]:
    """The names offered by number from the start: what this job used last, what is its own, then what is common.

    Of the common ones what the step lays out, or is made for, comes first.
    """
    if not one.catalogue:
        return ()
    job, step = state.job, state.step
    if one.catalogue == "fluid":
        first = [*(series.fluid for series in reversed(job.series)), *job.fluids, step.fluid, *fluids.COMMON]
    else:
        laid_out = " ".join(step.lay_out(state.method.key))
        common = [name for names in instruments.COMMON.values() for name in names]
        common.sort(key=lambda name: re.split(r" [0-9]", name)[0] not in laid_out)
        first = [*(series.instrument for series in reversed(job.series)), *job.instruments, *common]
    known = names_known(state, one)
    return tuple(dict.fromkeys(name for name in first if name in known))[:FEW]


def exact(typed: str, catalogue: str, job: Job) -> str | None:
    """The name as the file writes it, where what was typed is a whole name or synonym.

    The beginning of a longer name, such as "water with", is no whole name.
    """
    own = job.instruments if catalogue == "instrument" else job.fluids
    known = (*own, *(instruments.INSTRUMENTS if catalogue == "instrument" else fluids.FLUIDS))
    if typed in known:
        return typed
    if any(name.casefold().startswith(typed.casefold() + " ") for name in known):
        return None
    if catalogue == "fluid":
        fluid = fluids.find(typed)
        return fluid.key if fluid else None
    found = (instruments.find(f"{typed}{unit}") for unit in ("", " g", " ml"))
    return next((tool.key for tool in found if tool), None)


def holding(typed: str, known: Sequence[str]) -> list[str]:
    """The names that begin with what was typed, else those that hold every word of it, in full or as a beginning.

    >>> holding("bur 50", ["burette 50 ml class A", "burette 25 ml class A"])
    ['burette 50 ml class A']
    """
    begun = [name for name in known if name.casefold().startswith(typed.casefold())]
    wanted = names.words(typed) or (typed.casefold(),)
    holds = [name for name in known if all(any(w.startswith(part) for w in names.words(name)) for part in wanted)]
    return begun or holds


def chosen(options: Sequence[str], text: str) -> str | None:
    """One of the options by its number, its words, a beginning of them, or of a word, that fits no other."""
    if text.isascii() and text.isdecimal():
        number = int(text[:4])
        return options[number - 1] if 1 <= number <= len(options) else None
    said = text.casefold()
    same = [option for option in options if option.casefold() == said]
    begun = same or [option for option in options if option.casefold().startswith(said)]
    held = begun or [option for option in options if any(w.startswith(said) for w in option.casefold().split())]
    return held[0] if len(held) == 1 and said else None


def overview(known: Sequence[str]) -> str:
    """Every name where they are few; else what they begin with, up to their sizes.

    >>> overview([f"syringe {size} ml" for size in range(30)] + ["beaker"])
    'syringe …, beaker'
    """
    if len(known) <= 2 * MOST:
        return ", ".join(known)
    begin = [re.split(r"(?=\b[0-9])", name, maxsplit=1) for name in known]
    return ", ".join(dict.fromkeys(f"{first}…" if rest else first for first, *rest in begin))


def nearest_name(typed: str, known: Sequence[str]) -> str | None:
    """The name, or the first word of one, most like a mistyped one.

    >>> nearest_name("birete", ["burette 50 ml class A", "beaker"])
    'burette'
    """
    return names.closest_name(typed, dict.fromkeys([*known, *(name.split(" ")[0] for name in known)]))


def advice(name: str, catalogue: str, job: Job) -> list[str]:
    """What to mind with an instrument or a fluid: its flash point and cautions in words, and how it is used.

    One of the job's own is minded as what it is like; a fluid that is like nothing, as the safe side has it.
    """
    if catalogue == "instrument":
        tool = instruments.find(name) or instruments.find(job.instruments.get(name, {}).get("like", ""))
        return [tool.advice] if tool and tool.advice else []
    fluid = fluids.find(name) or _own(name, job)
    if fluid is None:
        return []
    lines = [f"{capital(name)} {_burns(fluid.flash)}.", fluid.advice]
    return [line for line in (*lines, *(f"CAUTION: {text}" for text in cautions(fluid.cautions))) if line]


def fluid_cautions(name: str, job: Job) -> tuple[str, ...]:
    """The keys of the cautions that go with a fluid."""
    fluid = fluids.find(name) or _own(name, job)
    return fluid.cautions if fluid is not None else ()


def _burns(flash: str) -> str:
    """The flash-point class after the fluid's name: "does not burn", "is highly flammable (...)"."""
    return flash if flash.startswith("does ") else f"has a {flash}" if flash.startswith("flash") else f"is {flash}"


def _own(name: str, job: Job) -> fluids.Fluid | None:
    """The job's own fluid, for its cautions alone: its density does not matter here."""
    if name not in job.fluids:
        return None
    like = job.fluids[name].get("like", "")
    return fluids.own_fluid(name, 1000.0, 0.0, like=like if fluids.find(like) else "")


# -- where words are asked for: a number is no word, and a new word says what it will hide ------
# Letters that a tired hand types for figures: what is a number but for them is no word either.
_FOR_FIGURES = str.maketrans("OoIl", "0011")
_BETWEEN = re.compile(r"[,;]\s+|;")


def no_words(job: Job, text: str) -> str:
    """Why a text is no words: it is a number, or a reading typed at the wrong question; "" where it may be words."""
    parts = [part for part in _BETWEEN.split(text) if part]
    if not any(c.isalpha() for c in text):
        return f'Not taken: "{text}" is no word. Words are asked for here'
    if len(text) == 1:
        return f'Not taken: "{text}" is one letter. Words are asked for here'
    if text.casefold() in ("yes", "no"):
        return f'Not taken: "{text}" answers no question here. Words are asked for'
    if all(part[:1].isdigit() and not any(c.isalpha() for c in part.translate(_FOR_FIGURES)) for part in parts):
        return f'Not taken: "{text}" looks like a number. Words are asked for here'
    if all(_is_reading(job, part) for part in parts):
        return f'Not taken: "{text}" looks like a reading. Words are asked for here'
    return ""


def _is_reading(job: Job, text: str) -> bool:
    """Whether a text can be read as a value of some reading; a reading begins with a figure."""
    from ccassist.values.quantity import parse

    if not re.match(r"[-+]?[.,]?\d", text):
        return False
    for key in dict.fromkeys(["temperature", *(f.term for step in STEPS.values() for f in step.fields.values())]):
        try:
            parse(text, key, system=job.system)
        except InputError:
            continue
        return True
    return False


def known_states(state: State, examples: Iterable[str]) -> tuple[str, ...]:
    """The states that a part is listed in or was read in, the oldest first; then those usual in the trade."""
    near, part = readings_near(state.job, state.place)
    found = [*(part.states if part else ()), *(s.state for s in near if s.state), *examples]
    return tuple(dict.fromkeys(found))


def known_names(state: State) -> tuple[str, ...]:
    """Who is named in the job, the first one first."""
    names = [state.job.about.get("by", ""), *(s.by for s in state.job.series)]
    return tuple(dict.fromkeys(name for name in names if name))


def doubt_of_state(sitting: State, state: str, known: Iterable[str]) -> Finding | None:
    """What to ask before a state is taken that nothing is in yet, or that no one has heard of; None where nothing."""
    near, part = readings_near(sitting.job, sitting.place)
    others = {s.state for s in near if s.counted and s.state != state}
    if any(s.state == state and s.counted for s in near) or (not others and (not state or state in known)):
        return None
    meant = nearest(state, tuple(name for name in known if name != state)) if state else None
    right = f'did you mean "{meant}"?' if meant else ""
    if not others:
        return warning("new-state", "a state that is not among those listed; it hides nothing", read=state, right=right)
    serves = set(part.cylinders if part else range(1, sitting.job.cylinders + 1))
    counted = [s for s in near if s.counted]
    told = "; ".join(
        _said(old, [s for s in counted if s.state == old]) for old in dict.fromkeys(s.state for s in counted)
    )
    whole = any(serves <= {n for s in near if s.state == o and s.counted for n in s.cylinders} for o in others)
    when = "once every cylinder is read in it" if whole and len(serves) > 1 else "from its first reading on"
    what = f'"{state}" is a new state' if state else "no state is said, though there are readings in one"
    wrong = f"{what}: {when} it hides {told}, which stay in the file but not in the results"
    return warning("new-state", wrong, right=right)


def _said(state: str, near: list[Series]) -> str:
    """The readings in a state, such as: the 6 readings "as received" of cylinders 1, 2."""
    rows = sum(len(s.counted) for s in near)
    cylinders = sorted({n for s in near if s.counted for n in s.cylinders})
    named = f'"{state}"' if state else "without a state"
    return f"the {rows} reading{'s' if rows > 1 else ''} {named} of {whose(cylinders)}"


def doubt_of_name(state: State, name: str) -> Finding | None:
    """What to ask before somebody else reads what was begun: readings of two people are not averaged."""
    of = next(iter(state.said.get("state", ())), "")
    task = in_state(state.job, state.place, of) if state.step.part else state.planned
    was = task.latest.by if task.latest is not None else ""
    if not was or was == name or task.counted == 0:
        return None
    hides = _count(task.rows)
    who = f"by {name}" if name else "by nobody named"
    wrong = f"readings {who} are not averaged with those by {was}: they hide the {hides} of {state.place.where}"
    return warning("another-reader", wrong)


def _count(rows: Iterable[Row]) -> str:
    number = sum(row.counts for row in rows)
    return f"{number} reading{'s' if number > 1 else ''}"


# -- a set-up in a line -------------------------------------------------------------------
_IN_WORDS = {
    "method": "{}",
    "instrument": "{}",
    "fluid": "{}",
    "temperature": "{}",
    "hole": "plate hole {}",
    "plug": "plug {}",
    "seal": "sealed by {}",
    "state": "state: {}",
    "by": "read by {}",
}


def in_words(said: Said) -> str:
    """The set-up in a line, who and in what state last."""
    last = ("state", "by")
    order = [name for name in ("method", "instrument", "fluid", "temperature") if name in said]
    order += [name for name in said if name not in (*order, *last, *NOT_IN_FILE)] + [
        name for name in last if name in said
    ]
    parts = [_IN_WORDS.get(n, n.replace("_", " ") + " {}").format(" and ".join(said[n])) for n in order if said[n]]
    return "; ".join(parts)


def faults_of(state: State) -> list[str]:
    """How many faults of its form a file has, where it has any; none of a job that is only begun."""
    wrong = 0 if isinstance(state.at, Starting) else len(errors(state.loaded.findings))
    used = f"This file has {wrong} fault{'s' if wrong > 1 else ''}; what is wrong is not used."
    return [f"{used} To see all: ccassist check {state.file}"] if wrong else []
