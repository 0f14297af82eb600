"""What stands in the boxes of a filled form, read from its PDF.

Only boxes that a form of this tool has are looked at; a box of ours that was renamed, doubled or filled with something
else is never passed over in silence.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterator, Mapping
from dataclasses import field
from functools import cached_property
from io import BytesIO
from pathlib import Path
from typing import Any
from urllib.parse import unquote

from ccassist.bench.forms import FORMS, NOT_READ, PRINTED_JOB, WRITTEN_JOB, Box, Form, box_named, printed_job
from ccassist.job.sections import STATED
from ccassist.values.findings import CcassistError, Finding, InputError, error
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import SYSTEMS

# Forms for what is stated and not measured step by step: the cam card, and a piston that is to be copied.
#
# Which boxes they have follows from the sections of the job file; what stands in the boxes of a filled one is put under
# the same headings.

LEFT_OUT = ("pieces", "spares", "height_tolerance", "crown_tolerance", "rev_limit", "free_thickness")
HEAD = ("job", "by", "date")


@record
class StatedForm:
    """One of them.

    key, title, why : its name, title, and what it is for.
    """

    key: str
    title: str
    why: str
    sections: Mapping[str, str]  # the sections of the job file whose terms and words it asks -> what each is called
    cautions: tuple[str, ...] = ()  # keys of the cautions

    def terms(self, section: str) -> list[str]:
        """The terms of one of its sections that it asks."""
        return [key for key in STATED[section].terms if key not in LEFT_OUT]

    @cached_property
    def edition(self) -> str:
        """Changes whenever a box does, so that a form printed before it is known as such."""
        said = [f"{name}:{key}" for name in self.sections for key in (*self.terms(name), *_worded(name))]
        return hashlib.sha256("\n".join([self.key, *said]).encode()).hexdigest()[:4]

    def has(self, what: tuple[str, ...]) -> bool:
        """Whether it has such a box: of the head, a value, a word of its sign, or an answer in words."""
        match what:
            case ("h", name):
                return name in (*HEAD, "printed")
            case ("v", section, key):
                return section in self.sections and key in self.terms(section)
            case ("s", section, key, way):
                return self.has(("v", section, key)) and bool(term(key).sign) and way in ("plus", "minus")
            case ("w", section, key, word):
                return section in self.sections and word in STATED[section].words.get(key, ())
        return False


def _worded(section: str) -> Iterator[str]:
    return (f"{key}={'|'.join(words)}" for key, words in STATED[section].words.items())


CAM_CARD = StatedForm(
    key="cam-card",
    title="Cam card and valves",
    why="Copy the card that came with the cam, or what you read with degree wheel and dial. Always say at which lift "
    "the events were read: at the seat and at [1 mm|0.050 in] they lie 15 to 25 degrees apart.",
    sections={"cam": "Cam", "valve.intake": "Intake valve", "valve.exhaust": "Exhaust valve"},
    cautions=("valve-mock-up", "tappets"),
)
PISTON = StatedForm(
    key="piston-to-copy",
    title="A piston to be copied",
    why="Measure the piston that the new ones are made after, and say what must stay. A dish adds space, a dome takes "
        "it: tick the word, never write a bare sign.",
    sections={"order": "Piston, pin and rings", "order.crown": "Crown", "order.pocket.intake": "Intake pockets",
              "order.pocket.exhaust": "Exhaust pockets"},
    cautions=("crown", "contact"),
)  # fmt: skip
STATED_FORMS = {form.key: form for form in (CAM_CARD, PISTON)}


# The form fields of a PDF: only their names and texts are asked for, within limits of size.
#
# The file comes from outside.  A small one can be packed so that it unpacks to gigabytes, so everything that is read of
# it is bounded before it is read.

LARGEST = 16 * 1024 * 1024  # bytes; every form for 48 cylinders is 6 MB
UNPACKED = 4 * 1024 * 1024  # bytes of packed objects; those of that file are 3 MB
MOST_MARKS = 1_500_000  # starts of names, texts, lists and tables; each becomes an object of some hundred bytes
MOST_BOXES = 20_000
LONGEST_NAME = 400  # characters
_OPENING = (b"(", b"<", b"[", b"/")
_UNPACKS = f"unpacks to more than {UNPACKED // 2**20} MB, or to too many parts"
_PACKED = ("zlib", "lzw", "run_length", "brotli")


def boxes_of(path: Path) -> list[tuple[str, str | None]]:
    """Full name and text of every form field, in the order of the file.

    A ticked box says "x"; None where the field holds something that is no text.

    Raises InputError: no PDF, damaged, locked, or larger than any bench form.
    """
    from pypdf import apply_configuration
    from pypdf.errors import LimitReachedError

    limits: dict[str, Any] = {f"{way}_maximum_output_length": UNPACKED for way in _PACKED}
    limits |= {"array_based_stream_maximum_output_length": UNPACKED, "maximum_declared_stream_length": LARGEST}
    data = _bytes(path)
    with apply_configuration(**limits):
        try:
            return list(_texts(data, path))
        except CcassistError:
            raise
        except LimitReachedError:
            raise _too_large(path, _UNPACKS) from None
        except (Exception, RecursionError):  # whatever a damaged file makes of the library that reads it
            raise InputError(
                error("not-a-pdf", "this PDF is damaged or locked: its boxes cannot be read", file=str(path))
            ) from None


def _bytes(path: Path) -> bytes:
    """The file, where it may be a bench form by its size and start."""
    name = str(path)
    try:
        if not path.is_file():
            raise InputError(error("no-file", "no such file" if not path.exists() else "not a file", file=name))
        with path.open("rb") as stream:
            data = stream.read(LARGEST + 1)
    except (OSError, ValueError) as fault:
        reason = getattr(fault, "strerror", None) or str(fault)
        raise InputError(error("disk", f"cannot be read: {reason}", file=name)) from None
    if b"%PDF-" not in data[:1024]:
        raise InputError(error("not-a-pdf", "this is not a PDF", file=name))
    if len(data) > LARGEST or _marks(data) > MOST_MARKS:
        raise _too_large(path, f"larger than {LARGEST // 2**20} MB, or of too many parts")
    return data


def _marks(data: bytes) -> int:
    return sum(data.count(mark) for mark in _OPENING)


def _too_large(path: Path, wrong: str) -> InputError:
    return InputError(error("too-large", f"{wrong}: not a bench form", file=str(path)))


def _texts(data: bytes, path: Path) -> Iterator[tuple[str, str | None]]:
    import logging

    from pypdf import PdfReader

    logging.getLogger("pypdf").setLevel(logging.CRITICAL)  # its remarks on odd files are not for the bench
    reader = PdfReader(BytesIO(data), root_object_recovery_limit=1000, xref_stream_maximum_entries=10 * MOST_BOXES)
    size, marks = 0, _marks(data)
    for number in {stream for stream, _ in reader.xref_objStm.values()}:
        packed: Any = reader.get_object(number)
        unpacked = packed.get_data()
        size, marks = size + len(unpacked), marks + _marks(unpacked)
        if size > UNPACKED or marks > MOST_MARKS:
            raise _too_large(path, _UNPACKS)
    for name, box in _fields(reader.root_object, path):
        yield name, _text(box)


def _fields(root: Any, path: Path) -> Iterator[tuple[str, Any]]:
    """Every field that has a name, each once, however the tree of fields is knotted."""
    waiting = [("", one) for one in reversed(_listed(_resolved(root.get("/AcroForm")), "/Fields"))]
    seen: set[int] = set()
    count = len(waiting)
    while waiting:
        if count > MOST_BOXES:
            raise _too_large(path, f"more than {MOST_BOXES} boxes")
        above, one = waiting.pop()
        number = getattr(one, "idnum", None)
        field = _resolved(one)
        title = _resolved(field.get("/T")) if isinstance(field, dict) else None
        if number in seen or not isinstance(title, str) or len(above) + len(title) > LONGEST_NAME:
            continue
        if number is not None:
            seen.add(number)
        kids = _listed(field, "/Kids")
        count += len(kids)
        waiting += [(f"{above}{title}.", kid) for kid in reversed(kids)]
        yield f"{above}{title}", field


def _resolved(value: Any) -> Any:
    """What a reference in a PDF stands for."""
    return value.get_object() if value is not None else None


def _listed(table: Any, key: str) -> list[Any]:
    found = _resolved(table.get(key)) if isinstance(table, dict) else None
    return list(found) if isinstance(found, list) else []


def _text(field: Any) -> str | None:
    from pypdf.generic import NullObject

    value = _resolved(field.get("/V"))
    if value is None or isinstance(value, NullObject):
        return ""
    if not isinstance(value, (str, int, float)):
        return None
    if _resolved(field.get("/FT")) == "/Btn":
        return "" if value in ("/Off", "") else "x"
    return " ".join(str(value).split())


LONGEST = 400  # characters in a box
NO_FORM = "no form of this tool: it has none of its boxes"
_ANEW = "print it anew, or type the readings with the guide"
_ALONE = "take the forms one by one, each as it was filled"


@record
class Page:
    """What was written on one page: the parts of a box's name -> its text."""

    number: int
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


@record
class FilledPage(Page):
    """One of a bench step."""

    form: Form


@record
class StatedPage(Page):
    """One of what is stated, such as a cam card."""

    form: StatedForm


def filled_pages(path: Path) -> list[FilledPage | StatedPage]:
    """The pages of a filled form that hold anything, in their order.

    Raises InputError: no PDF, damaged, locked, of another origin, a form of another edition of this tool, or boxes that
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
    return [_page(number, form, system, found) for (number, form, system), found in sorted(pages.items())]


def _page(number: int, form: str, system: str, boxes: Mapping[tuple[str, ...], str]) -> FilledPage | StatedPage:
    if form in STATED_FORMS:
        return StatedPage(number=number, form=STATED_FORMS[form], system=system, boxes=boxes)
    return FilledPage(number=number, form=FORMS[form], system=system, boxes=boxes)


def _renamed(name: str, text: str | None) -> Finding | None:
    """A filled box that was ours before a program that joins files renamed it."""
    if text == "" or not any(f"/{key}/{edition}/" in name for key, edition in _editions()):
        return None
    return error("renamed", "a box that another program renamed, as when files are joined", read=name, right=_ALONE)


def _editions() -> list[tuple[str, str]]:
    stated = [(form.key, form.edition) for form in STATED_FORMS.values()]
    return [*((form.key, form.edition) for form in FORMS.values()), *stated]


def _fault_of(box: Box, text: str | None, first: str | None) -> Finding | None:
    """Why a box cannot be read, where it says it is ours; ``first`` is what the first of its name holds."""
    if box.edition == NOT_READ:
        return None
    form = FORMS.get(box.form) or STATED_FORMS.get(box.form)
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
