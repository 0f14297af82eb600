"""What stands in the boxes of a filled form, read from its PDF.

The file comes from outside: it is only asked for the names and the texts of its
form fields, and everything else in it is left alone.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from ccassist.bench.forms import FORMS, NOT_READ, Box, Form, box_named
from ccassist.findings import CcassistError, Finding, InputError, error
from ccassist.units import SYSTEMS

LARGEST, MOST_BOXES, LONGEST = 32 * 1024 * 1024, 20_000, 400  # bytes, boxes, characters
NO_FORM = "no form of this tool: it has none of its boxes"


@dataclass(frozen=True, kw_only=True)
class FilledPage:
    """What was written on one page: the parts of a box's name -> its text."""

    number: int
    form: Form
    system: str
    boxes: Mapping[tuple[str, ...], str] = field(default_factory=dict)

    def starting(self, *first: str) -> dict[tuple[str, ...], str]:
        """The boxes whose name starts so; the rest of their names -> text."""
        return {what[len(first) :]: text for what, text in self.boxes.items() if what[: len(first)] == first}


def filled_pages(path: Path) -> list[FilledPage]:
    """The pages of a filled form that hold anything, in their order.

    Raises
    ------
    InputError : no PDF, damaged, locked, of another origin, or a form of another edition of this tool.
    """
    texts = _texts(path)
    boxes = [(box, text) for name, text in texts if (box := box_named(name)) is not None]
    if not boxes:
        raise InputError(error("not-a-form", NO_FORM, file=str(path), right="ccassist worksheet --blank prints one"))
    pages: dict[tuple[int, str, str], dict[tuple[str, ...], str]] = {}
    faults: dict[str, Finding] = {}
    for box, text in boxes:
        fault = _fault_of(box, path)
        if fault is not None:
            faults.setdefault(fault.read, fault)
        elif text and box.what[0] != NOT_READ and box.edition != NOT_READ:
            pages.setdefault((box.page, box.form, box.system), {})[box.what] = text
    if faults:
        raise InputError(list(faults.values()))
    return [
        FilledPage(number=number, form=FORMS[form], system=system, boxes=found)
        for (number, form, system), found in sorted(pages.items())
    ]


def _fault_of(box: Box, path: Path) -> Finding | None:
    """Why a box cannot be read, where it says it is ours."""
    if box.edition == NOT_READ:
        return None
    form = FORMS.get(box.form)
    if form is None or box.system not in SYSTEMS or form.edition != box.edition:
        return error(
            "other-edition",
            f"page {box.page} is a form of another edition of this tool",
            read=f"{box.form} {box.edition}",
            file=str(path),
            right="print it anew, or type the readings with the guide",
        )
    return None


def _texts(path: Path) -> list[tuple[str, str]]:
    """Names and texts of all form fields of a PDF."""
    name = str(path)
    try:
        if not path.is_file():
            raise InputError(error("no-file", "no such file" if not path.exists() else "not a file", file=name))
        if path.stat().st_size > LARGEST:
            raise InputError(error("too-large", f"larger than {LARGEST // 2**20} MB: not a bench form", file=name))
        with path.open("rb") as stream:
            if b"%PDF-" not in stream.read(1024):
                raise InputError(error("not-a-pdf", "this is not a PDF", file=name))
        return list(_fields(path))
    except CcassistError:
        raise
    except OSError as fault:
        raise InputError(error("disk", f"cannot be read: {fault.strerror or fault}", file=name)) from None
    except (Exception, RecursionError):  # whatever a damaged file makes of the library that reads it
        raise InputError(
            error("not-a-pdf", "this PDF is damaged or locked: its boxes cannot be read", file=name)
        ) from None


def _fields(path: Path) -> Iterator[tuple[str, str]]:
    """Every field with its text; a ticked box says "x"."""
    import logging

    from pypdf import PdfReader

    logging.getLogger("pypdf").setLevel(logging.CRITICAL)  # its remarks on odd files are not for the bench
    found = PdfReader(path, strict=False).get_fields() or {}
    if len(found) > MOST_BOXES:
        raise InputError(error("too-large", f"more than {MOST_BOXES} boxes: not a bench form", file=str(path)))
    for name, one in found.items():
        value, kind = one.get("/V"), one.get("/FT")
        if kind == "/Btn":
            yield name, "x" if value not in (None, "/Off", "") else ""
            continue
        text = " ".join(str(value).split()) if value is not None else ""
        if len(text) > LONGEST:
            raise InputError(
                error(
                    "too-long", f"more than {LONGEST} characters in one box", read=text[:40], file=str(path), place=name
                )
            )
        yield name, text
