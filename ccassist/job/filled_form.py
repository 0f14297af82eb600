"""What stands in the boxes of a filled form, read from its PDF.

Only boxes that a form of this tool has are looked at; a box of ours that was
renamed, doubled or filled with something else is never passed over in silence.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import unquote

from ccassist.bench.forms import FORMS, NOT_READ, PRINTED_JOB, WRITTEN_JOB, Box, Form, box_named, printed_job
from ccassist.job.pdf_boxes import boxes_of
from ccassist.values.findings import Finding, InputError, error
from ccassist.values.units import SYSTEMS

LONGEST = 400  # characters in a box
NO_FORM = "no form of this tool: it has none of its boxes"
_ANEW = "print it anew, or type the readings with the guide"
_ALONE = "take the forms one by one, each as it was filled"


@dataclass(frozen=True, kw_only=True)
class FilledPage:
    """What was written on one page: the parts of a box's name -> its text."""

    number: int
    form: Form
    system: str
    boxes: Mapping[tuple[str, ...], str] = field(default_factory=dict)

    @property
    def job(self) -> str:
        """The job it names, printed or written; "" where it names none."""
        printed = self.boxes.get(PRINTED_JOB, "")
        return unquote(printed) if printed else self.boxes.get(WRITTEN_JOB, "")

    def is_of(self, job: str) -> bool:
        """Whether it may belong to a job of that name.

        It may where it names none, is printed with that name, or bears some words of it written by hand.
        """
        if PRINTED_JOB in self.boxes:
            return self.boxes[PRINTED_JOB] == printed_job(job)
        words, own = (set(re.findall(r"\w+", text.casefold())) for text in (self.job, job))
        return not self.job or bool(words and own and (words <= own or own <= words))

    @property
    def filled(self) -> bool:
        """Whether anything but the job's name stands in it."""
        return any(what not in (PRINTED_JOB, WRITTEN_JOB) for what in self.boxes)

    def starting(self, *first: str) -> dict[tuple[str, ...], str]:
        """The boxes whose name starts so; the rest of their names -> text."""
        return {what[len(first) :]: text for what, text in self.boxes.items() if what[: len(first)] == first}


def filled_pages(path: Path) -> list[FilledPage]:
    """The pages of a filled form that hold anything, in their order.

    Raises
    ------
    InputError : no PDF, damaged, locked, of another origin, a form of another edition of this tool, or boxes that
        say two things.
    """
    pages: dict[tuple[int, str, str], dict[tuple[str, ...], str]] = {}
    faults: dict[tuple[str, str, str], Finding] = {}  # one of a kind a page
    texts: dict[str, str | None] = {}
    for name, text in boxes_of(path):
        box = box_named(name)
        fault = _renamed(name, text) if box is None else _fault_of(box, text, texts.setdefault(name, text))
        if fault is not None:
            place = "" if box is None else f"page {box.page} ({box.form})"
            faults.setdefault((fault.code, place, fault.wrong), fault.at(file=str(path), place=place))
        elif box is not None and text and box.what[0] != NOT_READ and box.edition != NOT_READ:
            pages.setdefault((box.page, box.form, box.system), {})[box.what] = text
    if faults:
        raise InputError(list(faults.values()))
    if not any(box_named(name) for name in texts):
        raise InputError(error("not-a-form", NO_FORM, file=str(path), right="ccassist worksheet --blank prints one"))
    return [
        FilledPage(number=number, form=FORMS[form], system=system, boxes=found)
        for (number, form, system), found in sorted(pages.items())
    ]


def _renamed(name: str, text: str | None) -> Finding | None:
    """A filled box that was ours before a program that joins files renamed it."""
    if text == "" or not any(f"/{form.key}/{form.edition}/" in name for form in FORMS.values()):
        return None
    return error("renamed", "a box that another program renamed, as when files are joined", read=name, right=_ALONE)


def _fault_of(box: Box, text: str | None, first: str | None) -> Finding | None:
    """Why a box cannot be read, where it says it is ours; ``first`` is what the first of its name holds."""
    if box.edition == NOT_READ:
        return None
    form = FORMS.get(box.form)
    if form is None or box.system not in SYSTEMS or form.edition != box.edition:
        wrong = "a form of another edition of this tool"
        return error("other-edition", wrong, read=f"{box.form} {box.edition}", right=_ANEW)
    if not form.has(box.what):
        return error("no-such-box", "this form has no such box", read="/".join(box.what), right=_ANEW)
    where = "/".join(box.what)
    if text is None:
        return error("not-text", f"the box {where} holds something that is no text", right="empty it and write in it")
    if len(text) > LONGEST:
        return error("too-long", f"more than {LONGEST} characters in the box {where}", read=text[:40])
    if text != first:
        return error("twice", f"the box {where} is there twice, also holding something else", read=text, right=_ALONE)
    return None
