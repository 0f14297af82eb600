"""The form fields of a PDF: only their names and texts are asked for, within limits of size.

The file comes from outside.  A small one can be packed so that it unpacks to
gigabytes, so everything that is read of it is bounded before it is read.
"""

from __future__ import annotations

from collections.abc import Iterator
from io import BytesIO
from pathlib import Path
from typing import Any

from ccassist.values.findings import CcassistError, InputError, error

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

    Raises
    ------
    InputError : no PDF, damaged, locked, or larger than any bench form.
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
    for name, field in _fields(reader.root_object, path):
        yield name, _text(field)


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
