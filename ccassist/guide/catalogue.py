"""Instruments and fluids by part of their name: the job's own first, then the catalogue."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from ccassist.bench import fluids, instruments, names
from ccassist.bench.cautions import cautions
from ccassist.job.records import Job
from ccassist.values.findings import capital
from ccassist.vocabulary import Kind

MOST = 12  # names offered by number


def instrument_names(job: Job, kinds: Iterable[Kind]) -> list[str]:
    """The instruments that read one of the kinds."""
    wanted = set(kinds)
    listed = [tool.key for tool in instruments.INSTRUMENTS.values() if not wanted or tool.kind in wanted]
    return [*job.instruments, *listed]


def fluid_names(job: Job) -> list[str]:
    """The fluids known."""
    return [*job.fluids, *fluids.FLUIDS]


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
    found = instruments.find(typed) if catalogue == "instrument" else fluids.find(typed)
    return found.key if found else None


def holding(typed: str, known: Sequence[str]) -> list[str]:
    """The names that begin with what was typed, else those that hold every word of it, in full or as a beginning.

    >>> holding("bur 50", ["burette 50 ml class A", "burette 25 ml class A"])
    ['burette 50 ml class A']
    """
    begun = [name for name in known if name.casefold().startswith(typed.casefold())]
    wanted = names.words(typed) or (typed.casefold(),)
    holds = [name for name in known if all(any(w.startswith(part) for w in names.words(name)) for part in wanted)]
    return begun or holds


def overview(known: Sequence[str]) -> str:
    """Every name where they are few; else what they begin with, up to their sizes.

    >>> overview([f"syringe {size} ml" for size in range(30)] + ["beaker"])
    'syringe …, beaker'
    """
    if len(known) <= 2 * MOST:
        return ", ".join(known)
    begin = [re.split(r"(?=\b[0-9])", name, maxsplit=1) for name in known]
    return ", ".join(dict.fromkeys(f"{first}…" if rest else first for first, *rest in begin))


def nearest(typed: str, known: Sequence[str]) -> str | None:
    """The name, or the first word of one, most like a mistyped one.

    >>> nearest("birete", ["burette 50 ml class A", "beaker"])
    'burette'
    """
    return names.closest(typed, dict.fromkeys([*known, *(name.split(" ")[0] for name in known)]))


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


def _burns(flash: str) -> str:
    """The flash-point class after the fluid's name: "does not burn", "is highly flammable (...)"."""
    return flash if flash.startswith("does ") else f"has a {flash}" if flash.startswith("flash") else f"is {flash}"


def _own(name: str, job: Job) -> fluids.Fluid | None:
    """The job's own fluid, for its cautions alone: its density does not matter here."""
    if name not in job.fluids:
        return None
    like = job.fluids[name].get("like", "")
    return fluids.own_fluid(name, 1000.0, 0.0, like=like if fluids.find(like) else "")
