"""PDF files made by hand, sound and unsound, for the reading of filled forms."""

from __future__ import annotations

import zlib
from collections.abc import Sequence

from ccassist.bench.forms import FORMS, Box

KEY = "chamber-burette"


def box(*what: str, key: str = KEY, edition: str = "") -> str:
    """The name of a box of a form."""
    return Box(page=1, form=key, edition=edition or FORMS[key].edition, system="metric", what=what).name


def field(name: str, value: str = "(x)", kind: str = "/Tx") -> str:
    """A form field; name and value as a PDF writes them, a text in brackets."""
    title = name if name.startswith(("<", "[", "(")) else f"({name})"
    return f"<< /FT {kind} /T {title} /V {value} >>"


def plain(objects: Sequence[str | bytes], trailer: str = "") -> bytes:
    """A file of these objects, the first being its root."""
    data, starts = b"%PDF-1.7\n", []
    for number, one in enumerate(objects, 1):
        starts.append(len(data))
        data += b"%d 0 obj\n" % number + (one.encode("latin-1") if isinstance(one, str) else one) + b"\nendobj\n"
    table = b"".join(b"%010d 00000 n \n" % start for start in starts)
    count = len(objects) + 1
    end = f"trailer\n<< /Size {count} /Root 1 0 R {trailer} >>\nstartxref\n{len(data)}\n%%EOF\n"
    return data + b"xref\n0 %d\n0000000000 65535 f \n" % count + table + end.encode()


def form(*fields: str, more: Sequence[str | bytes] = ()) -> bytes:
    """A file with these form fields, as objects 3, 4 ..., and more objects after them."""
    listed = " ".join(f"{number} 0 R" for number in range(3, 3 + len(fields)))
    root = f"<< /Type /Catalog /Pages 2 0 R /AcroForm << /Fields [{listed}] >> >>"
    return plain([root, "<< /Type /Pages /Kids [] /Count 0 >>", *fields, *more])


def reading(*more: str) -> bytes:
    """A form with one whole reading, and more fields."""
    return form(field(box("r", "1", "1", "start"), "(0.1)"), field(box("r", "1", "1", "end"), "(46.1)"), *more)


def packed(*objects: bytes, pad: bytes = b"") -> bytes:
    """A file of which all objects are packed in one stream, with padding behind them."""
    head, body = b"", b""
    for number, one in enumerate(objects, 1):
        head += b"%d %d " % (number, len(body))
        body += one + b" "
    squeezed = zlib.compress(head + body + pad, 9)
    at = len(objects) + 1
    start = b"<< /Type /ObjStm /N %d /First %d /Filter /FlateDecode /Length %d >>\nstream\n"
    data = b"%PDF-1.7\n"
    first = len(data)
    data += b"%d 0 obj\n" % at + start % (len(objects), len(head), len(squeezed)) + squeezed
    data += b"\nendstream\nendobj\n"
    last = len(data)
    rows = b"\0" + b"\0" * 4 + b"\xff\xff"
    rows += b"".join(b"\2" + at.to_bytes(4, "big") + index.to_bytes(2, "big") for index in range(len(objects)))
    rows += b"".join(b"\1" + place.to_bytes(4, "big") + b"\0\0" for place in (first, last))
    table = b"%d 0 obj\n<< /Type /XRef /Size %d /W [1 4 2] /Root 1 0 R /Length %d >>\nstream\n"
    data += table % (at + 1, at + 2, len(rows)) + rows + b"\nendstream\nendobj\n"
    return data + b"startxref\n%d\n%%%%EOF\n" % last


def packed_form(value: bytes, pad: bytes = b"") -> bytes:
    """A packed form of one field with this value."""
    root = b"<< /Type /Catalog /Pages 2 0 R /AcroForm << /Fields [3 0 R] >> >>"
    one = b"<< /FT /Tx /T (" + box("h", "fluid").encode() + b") /V " + value + b" >>"
    return packed(root, b"<< /Type /Pages /Kids [] /Count 0 >>", one, pad=pad)
