"""Answers put into a job file with the tool's own writing, and the engine worked out again from it."""

from __future__ import annotations

from ccassist.job import amend
from ccassist.plan.solved import IntoFile
from ccassist.values.display import METRIC, Formatter


def put_in(text: str, into: IntoFile, fmt: Formatter = METRIC, *, exact: bool = True) -> str:
    """The job's text with the answers in it, as the lines say."""
    assert not into.refused, into.refused
    for places in into.aside.values():
        for place in places:
            text = amend.set_aside(text, place, "the part is changed")
    for line in into.lines:
        value = line.value(fmt, exact=exact)
        text = amend.take_out(text, line.path) if value is None else amend.state(text, line.section, line.key, value)
    return text
