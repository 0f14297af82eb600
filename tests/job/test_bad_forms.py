"""Hostile, damaged and odd forms: each refused in one printable line, in bounded memory, or read without guessing.

The wording is the tool's own promise, so no outside source is named.
"""

from __future__ import annotations

import contextlib
import subprocess
import sys
import zlib
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from ccassist.job.file import parse_job
from ccassist.job.filled_form import LARGEST, MOST_MARKS
from ccassist.job.from_form import read_form
from ccassist.job.recording import Taken
from ccassist.values.findings import InputError
from tests.job.odd_pdfs import KEY, box, field, form, packed, packed_form, plain, reading

JOB = 'format = 1\n[engine]\ncylinders = 4\n[part.head]\nkind = "head"\nstates = ["cut"]\n'
PAGE = f"page 1 ({KEY})"
NO_FORM = "no form of this tool: it has none of its boxes; ccassist worksheet --blank prints one"
DAMAGED = "this PDF is damaged or locked: its boxes cannot be read"
NO_BOX = "this form has no such box; print it anew, or type the readings with the guide"
NO_TEXT = "holds something that is no text; empty it and write in it"
ALONE = "take the forms one by one, each as it was filled"
PACKED = "unpacks to more than 4 MB, or to too many parts: not a bench form"


def taken(folder: Path, data: bytes) -> Taken:
    """The readings of a PDF."""
    path = folder / "form.pdf"
    path.write_bytes(data)
    return read_form(path, parse_job(JOB).job)


def no_box(*what: str) -> tuple[bytes, str]:
    """A filled box that the form does not have, and what is said of it."""
    read = "/".join(what)
    return reading(field(box(*what))), f'{PAGE}: read "{read}": {NO_BOX}'


FLUID = box("h", "fluid")
CASES: dict[str, tuple[bytes, str]] = {
    "a list as text": (form(field(FLUID, "[(a) (b)]")), f"{PAGE}: the box h/fluid {NO_TEXT}"),
    "a table as text": (form(field(FLUID, "<< /A 1 >>")), f"{PAGE}: the box h/fluid {NO_TEXT}"),
    "itself as text": (form(field(FLUID, "3 0 R")), f"{PAGE}: the box h/fluid {NO_TEXT}"),
    "a list of itself": (form(field(FLUID, "[3 0 R]")), f"{PAGE}: the box h/fluid {NO_TEXT}"),
    "yes as text": (form(field(FLUID, "true")), f"{PAGE}: the box h/fluid {NO_TEXT}"),
    "half a character": (form(field(FLUID, "<FEFFD800>")), f"{PAGE}: the box h/fluid {NO_TEXT}"),
    "a list as tick": (
        form(field(box("c", "plug", "fitted"), "[1]", "/Btn")),
        f"{PAGE}: the box c/plug/fitted {NO_TEXT}",
    ),
    "a number as name": (form("<< /FT /Tx /T 12 /V (x) >>"), NO_FORM),
    "a list as name": (form("<< /FT /Tx /T [(1)] /V (x) >>"), NO_FORM),
    "itself as name": (form("<< /FT /Tx /T 3 0 R /V (x) >>"), NO_FORM),
    "half a character as name": (form("<< /FT /Tx /T <FEFFD800D800> /V (x) >>"), NO_FORM),
    "no name": (form("<< /FT /Tx /V (x) >>"), NO_FORM),
    "a name of 100,000": (form(field("1/" + "x" * 100_000 + "/ab12/metric/h/x")), NO_FORM),
    "a text of 100,000": (
        form(field(FLUID, f"({'x' * 100_000})")),
        f'{PAGE}: read "{"x" * 40}": more than 400 characters in the box h/fluid',
    ),
    "a choice unknown": no_box("c", "wheels", "round"),
    "a word unknown": no_box("c", "plug", "perhaps"),
    "a choice without its word": no_box("c", "plug"),
    "a choice without a name": no_box("c"),
    "a head box unknown": no_box("h", "colour"),
    "a head box without a name": no_box("h"),
    "a setting unknown": no_box("t", "mood"),
    "a reading unknown": no_box("r", "1", "1", "colour"),
    "a reading too short": no_box("r", "1"),
    "a reading too long": no_box("r", "1", "1", "start", "x"),
    "a row of nothing": no_box("r", "0", "1", "start"),
    "a row of 99999": no_box("r", "99999", "1", "start"),
    "a row by a name": no_box("r", "one", "1", "start"),
    "a sign unknown": no_box("s", "1", "1", "start", "perhaps"),
    "a sign too short": no_box("s", "1"),
    "a point on a form of rows": no_box("p", "1", "x"),
    "a leak without a name": no_box("l"),
    "a part of a form unknown": no_box("zz", "1"),
    "an ending by a joining program": no_box("r", "1", "1", "start_2"),
    "an escape in a name": (
        form(field("<FEFF" + "".join(f"{ord(c):04X}" for c in box("h", "\x1b[31m")) + ">")),
        f'{PAGE}: read "h/<U+001B>[31m": {NO_BOX}',
    ),
    "an escape in a form's name": (
        form(field("<FEFF" + "".join(f"{ord(c):04X}" for c in "1/\x1b[2J/ab12/metric/h/by") + ">")),
        'page 1 (<U+001B>[2J): read "<U+001B>[2J ab12": a form of another edition of this tool; '
        "print it anew, or type the readings with the guide",
    ),
    "an escape in a reading": (
        form(field(box("r", "1", "1", "start"), "(0)"), field(box("r", "1", "1", "end"), "<FEFF0032001B>")),
        f'{PAGE}, cylinder 1, reading 1, end: read "2<U+001B>": "<U+001B>" is not understood after the burette '
        'reading; write e.g. "62.5 cc"',
    ),
    "a beginning by a joining program": (
        reading(field("doc2." + box("r", "2", "1", "start"))),
        f'read "doc2.{box("r", "2", "1", "start")}": a box that another program renamed, as when files are '
        f"joined; {ALONE}",
    ),
    "two files joined": (
        reading(field(box("r", "1", "1", "end"), "(46.9)")),
        f'{PAGE}: read "46.9": the box r/1/1/end is there twice, also holding something else; {ALONE}',
    ),
    "fields in a ring": (form(f"<< /T ({FLUID}) /Kids [3 0 R] >>"), ""),
    "fields in a ring of two": (
        form("<< /T (a) /Kids [4 0 R] >>", "<< /T (b) /Kids [3 0 R] /Parent 3 0 R >>"),
        NO_FORM,
    ),
    "a parent of its own": (form("<< /T (a) /FT /Tx /Parent 3 0 R >>"), NO_FORM),
    "a ladder of 5,000 fields": (
        form(*(f"<< /T (a) /Parent {2 + i} 0 R /Kids [{4 + i} 0 R] >>" for i in range(5000))),
        NO_FORM,
    ),
    "a net of fields": (form(*(f"<< /T (a) /Kids [{f'{4 + i} 0 R ' * 5}] >>" for i in range(40))), NO_FORM),
    "a list of fields of itself": (
        plain(["<< /Type /Catalog /Pages 2 0 R /AcroForm 3 0 R >>", "<< /Kids [2 0 R] >>", "<< /Fields 3 0 R >>"]),
        NO_FORM,
    ),
    "99,999 fields": (
        plain([f"<< /Type /Catalog /AcroForm << /Fields [{'2 0 R ' * 99_999}] >> >>", field(FLUID)]),
        "more than 20000 boxes: not a bench form",
    ),
    "locked": (plain(["<< /Type /Catalog >>"], trailer="/Encrypt << /Filter /Standard >>"), DAMAGED),
    "cut short": (reading()[:300], DAMAGED),
    "a table that begins before itself": (reading().replace(b"/Root", b"/Prev 0 /Root"), ""),
    "no such character of ours": (b"%PDF-1.7\n" + b"9" * 99_999, DAMAGED),
    "larger than any": (b"%PDF-" + b" " * LARGEST, "larger than 16 MB, or of too many parts: not a bench form"),
    "too many parts": (
        b"%PDF-" + b"()" * (MOST_MARKS + 1),
        "larger than 16 MB, or of too many parts: not a bench form",
    ),
}


@pytest.mark.parametrize(("data", "line"), [pytest.param(*case, id=name) for name, case in CASES.items()])
def test_each_gets_its_line(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, data: bytes, line: str) -> None:
    """An empty line stands for a form that is odd and yet read; nothing of it is guessed."""
    monkeypatch.chdir(tmp_path)
    if not line:
        assert len(taken(Path(), data).new) == int(b"/1/start" in data)
        return
    with pytest.raises(InputError, match=r"\S") as fault:
        taken(Path(), data)
    assert [f.text() for f in fault.value.findings] == [f"form.pdf{', ' if line.startswith('page') else ': '}{line}"]


def test_boxes_that_no_form_has_are_said_once_a_page(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="no such box") as fault:
        taken(tmp_path, reading(*(field(box("zz", str(n))) for n in range(500))))
    assert len(fault.value.findings) == 1


# -- small files that unpack to gigabytes ---------------------------------------------------------------

MANY = 30_000_000
BOMBS = {
    "spaces": (lambda: packed_form(b"(x)", b" " * MANY), PACKED),
    "a text": (lambda: packed_form(b"(" + b"x" * MANY + b")"), PACKED),
    "a text in hexadecimals": (lambda: packed_form(b"<" + b"0" * MANY + b">"), PACKED),
    "lists in lists": (lambda: packed_form(b"[" + (b"[" + b"[]" * 90_000 + b"]") * 100 + b"]"), PACKED),
    "many texts": (lambda: packed_form(b"[" + (b"[" + b"()" * 9000 + b"]") * 80 + b"]"), "no text"),
    "more texts": (lambda: packed_form(b"[" + (b"[" + b"()" * 9000 + b"]") * 170 + b"]"), PACKED),
    "a stream in a stream": (
        lambda: packed(b"<< /Type /Catalog /AcroForm 9 0 R >>", pad=zlib.compress(b"\0" * MANY, 9)),
        "no form of this tool",
    ),
}  # fmt: skip
READ = """
import resource, sys
from pathlib import Path
from ccassist.values.findings import InputError
from ccassist.job.filled_form import filled_pages
resource.setrlimit(resource.RLIMIT_AS, (1500 * 2**20,) * 2)
for path in sys.argv[1:]:
    try:
        print(len(filled_pages(Path(path))))
    except InputError as fault:
        print(*(f.text() for f in fault.findings))
"""


@pytest.mark.skipif(sys.platform == "win32", reason="limits of memory of POSIX")
def test_a_small_file_does_not_eat_gigabytes(tmp_path: Path) -> None:
    for number, (made, _) in enumerate(BOMBS.values()):
        data = made()
        assert len(data) < 2**20
        (tmp_path / f"{number}.pdf").write_bytes(data)
    names = [f"{number}.pdf" for number in range(len(BOMBS))]
    ran = subprocess.run(
        [sys.executable, "-c", READ, *names], cwd=tmp_path, capture_output=True, text=True, timeout=300, check=False
    )
    assert (ran.returncode, ran.stderr) == (0, "")
    lines = ran.stdout.splitlines()
    assert [said in line for (_, said), line in zip(BOMBS.values(), lines, strict=True)] == [True] * len(BOMBS)


# -- anything at all ------------------------------------------------------------------------------------

FEW = settings(deadline=None, max_examples=40, suppress_health_check=[HealthCheck.too_slow])
WHOLE = reading(field(FLUID, "(water)"), field(box("h", "instrument"), "(burette 50 ml class B)"))
SQUEEZED = packed_form(b"(water)")
PIECES = (
    b"<<",
    b">>",
    b"[",
    b"]",
    b"(",
    b")",
    b"/V",
    b"/T",
    b"/Kids",
    b"/Parent",
    b" 3 0 R",
    b"null",
    b"-1",
    b"\0",
    b"1e9",
)


def read_or_refused(folder: Path, data: bytes) -> None:
    """A form, or one printable line a finding; never another exception."""
    lines = ["read"]
    try:
        taken(folder, data)
    except InputError as fault:
        lines = [f.text() for f in fault.findings]
    assert lines
    assert all(line.isprintable() and len(line) < 1500 for line in lines)


@given(st.binary(max_size=300))
@settings(FEW)
def test_any_bytes_as_a_form(tmp_path_factory: pytest.TempPathFactory, data: bytes) -> None:
    read_or_refused(tmp_path_factory.getbasetemp(), b"%PDF-1.7\n" + data)


@given(
    st.sampled_from([WHOLE, SQUEEZED]),
    st.lists(st.tuples(st.floats(0, 1), st.integers(0, 12), st.one_of(st.sampled_from(PIECES), st.binary(max_size=4)))),
)
@settings(FEW)
def test_a_sound_form_with_holes_torn_in_it(
    tmp_path_factory: pytest.TempPathFactory, data: bytes, holes: list[tuple[float, int, bytes]]
) -> None:
    for share, length, patch in holes:
        at = int(share * len(data))
        data = data[:at] + patch + data[at + length :]
    read_or_refused(tmp_path_factory.getbasetemp(), data)


TEXTS = st.one_of(
    st.text(st.characters(codec="utf-8"), max_size=12),
    st.sampled_from(["0.1", "46,15", "12 mm", "1; 2", "burette 50 ml class B", "cut", "head", "9" * 50, "\x1b[2J"]),
)
NAMES = st.lists(
    st.sampled_from(
        ["h", "t", "c", "r", "s", "n", "l", "p", "x", "1", "2", "start", "end", "by", "plug", "fitted", "plus"]
    ),
    min_size=1,
    max_size=5,
)


@given(st.lists(st.tuples(NAMES, TEXTS), max_size=6))
@settings(FEW)
def test_any_boxes_with_any_texts(tmp_path_factory: pytest.TempPathFactory, boxes: list[tuple[list[str], str]]) -> None:
    fields = [field(box(*what), f"<{text.encode('utf-16').hex()}>") for what, text in boxes]
    with contextlib.suppress(UnicodeEncodeError):
        read_or_refused(tmp_path_factory.getbasetemp(), form(*fields))
