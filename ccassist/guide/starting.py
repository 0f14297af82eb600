"""A new job: which of those beside it, what it is for, how many cylinders; each answer stands in the file at once."""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from dataclasses import replace

from ccassist.guide import waiting
from ccassist.guide.asks import Ask
from ccassist.guide.moving import go
from ccassist.guide.state import State, did, say
from ccassist.guide.walk import following
from ccassist.guide.words import chosen
from ccassist.job.vocabulary import FORMAT, PURPOSES, USUAL, purposes_named
from ccassist.vocabulary import term

NEW = "start a new job"


def first_question(beside: Sequence[str] = ()) -> Ask:
    """What is asked first: which of the jobs that lie beside it; where there is none, what it is for."""
    if beside:
        options = (NEW, *(f"open {name}" for name in beside))
        return Ask(key="beside", words="There are jobs in this folder", options=options, optional=False)
    called = tuple(one.called for one in PURPOSES.values())
    return Ask(section="job", key="for", words="What is it for?", options=called, optional=False)


CYLINDERS = Ask(section="engine", key="cylinders", words="How many cylinders", term="cylinders", optional=False)


def unstarted(text: str) -> bool:
    """Whether a file says only what the job is for, as one that was just begun."""
    data = tomllib.loads(text)
    return set(data) <= {"format", "job"} and "for" in data.get("job", {})


def earlier_start(state: State) -> State | None:
    """The question of a new job asked before, where nothing else stands in its file yet; else None."""
    from ccassist.job.amend import set_up
    from ccassist.job.template import Start, new_file

    at, job = state.at, state.job
    if isinstance(at, waiting.Starting):
        return replace(state, at=replace(at, ask=first_question())) if at.ask is CYLINDERS else None
    bare = set_up(state.text, state.place.series, None) if job.set_ups else state.text
    start = Start(cylinders=job.cylinders, job_for=job.about.get("for", USUAL), system=job.system)
    if bare.rstrip() != new_file(start).rstrip():
        return None
    return replace(state, target=None, said={}, at=waiting.Starting(ask=CYLINDERS, system=job.system))


def answer_start(state: State, text: str) -> State:
    """Take an answer about a new job: it stands in the file at once; after the last one the bench begins."""
    from ccassist.job.template import Start, new_file

    assert isinstance(state.at, waiting.Starting)
    one = state.at.ask
    if one.key == "beside":
        said = chosen(one.options, text) if text else NEW
        if said is None and purposes_named(text):  # what the new one is for was said at once
            return answer_start(replace(state, at=replace(state.at, ask=first_question())), text)
        if said is None:
            return say(state, f"Say a number from 1 to {len(one.options)}")
        if said == NEW:
            return replace(state, at=replace(state.at, ask=first_question()))
        return replace(state, finished=True, opens=said.removeprefix("open "))
    if one.key == "for":
        by_number = chosen(one.options, text) if text else None
        meant = purposes_named(by_number or text) if text else USUAL
        if meant is None:
            return say(state, f"Say one of the numbers, or {', '.join(PURPOSES)}, or several: pistons, turbo")
        text = f'format = {FORMAT}\n[job]\nunits = "{state.at.system}"\nfor = "{meant}"\n'
        return did(replace(state, text=text, at=replace(state.at, ask=CYLINDERS)), f"for {meant}", state, answer=True)
    low, high = (int(end) for end in term("cylinders").possible)
    if not (text.isascii() and text.isdecimal() and low <= int(text[:6]) <= high):
        return say(state, f"A whole number from {low} to {high}, such as 4")
    about = state.job.about
    start = Start(cylinders=int(text), job_for=about.get("for", USUAL), system=state.job.system)
    begun = replace(state, text=new_file(start))
    first = following(begun.plan, None, begun.skipped)
    assert first is not None  # a new job has everything before it
    return did(go(begun, first.target), f"{int(text)} cylinders", state, answer=True)
