"""Texts and files made to do harm: what they say is data everywhere, and none takes the program's time or memory.

Of one kind of file each: ``job/test_bad_forms.py`` (what a PDF unpacks to), ``job/test_bad_tables.py``,
``job/test_from_drawing.py`` (drawings that declare, nest or repeat), ``test_bad_input.py`` and ``test_odd_input.py``
(job files too large, too deep, or of anything at all), ``test_bad_options.py``, ``paper/test_paper_text.py`` (markup).
Here is what all of them must hold: names and words that steer a terminal, turn a line round, are markup or a formula,
through every command that repeats them; and a file that is no drawing, form or table, as whatever it may be taken for.
"""

from __future__ import annotations

import csv
import gzip
import io
import json
import zipfile
from collections.abc import Iterator

import pytest
from ezdxf import new as new_dxf

from ccassist.job.file import parse_job
from tests.sound_job import SOUND, Shop

WORDS = {
    "an escape code": "\x1b[2J\x1b]0;x\x07\x9b31m",
    "text turned round": "\u202e\u2066cc 8\u2069\u200f",
    "another line": "one\r\nWrote x.pdf\u2028WRONG",
    "markup": "<b>&amp;</b><img src='file:///etc/passwd'/>[red]x[/red]",
    "a formula": "=HYPERLINK(1)",
    "another formula": "@SUM(A1:A9)",
    "a place": "../../{0.__class__}/%s/$(id)/`id`",
}
GASKET = '[choice.gasket.{0}]\ngasket_bore = "84.9 mm, measured"\ngasket_thickness = "{1} mm, measured"\n'


def hostile(words: str) -> str:
    """A sound job in which every name and every free text is these words."""
    said = json.dumps(words).replace("\x7f", "\\u007f")
    text = SOUND.replace('"Bench job"', said).replace("[part.head]", f"[part.{said}]").replace('"seats cut"', said)
    text = text.replace('instrument = "burette 50 ml class B"', f"instrument = {said}\nby = {said}\nremark = {said}")
    more = f'[instrument.{said}]\nlike = "burette 50 ml class B"\n[fluid.{said}]\ndensity = "0.85 +/- 0.01 g/cc"\n'
    more += GASKET.format(said, "1.10") + GASKET.format('"other"', "1.60")
    more += f'[alternative.{said}]\ncrown_volume = "dish 9 +/- 0.1 cc, measured"\n'
    return text.replace("[[series]]", more + "[[series]]", 1)


COMMANDS = (
    ("show", "--all"),
    ("show", "--json"),
    ("check",),
    ("check", "--json"),
    ("readings", "--all"),
    ("readings", "--json"),
    ("alternatives",),
    ("alternatives", "--json"),
    ("combine", "--to", "static_ratio=9", "--csv", "rows.csv"),
    ("combine", "--to", "static_ratio=9", "--json"),
    ("balance",),
    ("readings", "--csv", "readings.csv"),
)


def texts_of(data: object) -> Iterator[str]:
    """Every text of plain data."""
    if isinstance(data, str):
        yield data
    elif isinstance(data, dict):
        yield from (text for pair in data.items() for one in pair for text in texts_of(one))
    elif isinstance(data, list):
        yield from (text for one in data for text in texts_of(one))


@pytest.mark.parametrize("words", WORDS.values(), ids=WORDS.keys())
def test_names_and_words_of_a_file_are_data_in_every_answer(shop: Shop, words: str) -> None:
    shop.write(hostile(words))
    assert parse_job(hostile(words)).job.name == words
    repeated = 0
    for command, *options in COMMANDS:
        code = shop.run(command, "job.toml", *options)
        assert code in (0, 2), (command, shop.err)
        for line in (shop.out + shop.err).split("\n"):
            assert line.isprintable(), (command, line)
        if "--json" in options and code == 0:
            repeated += any(words in text for text in texts_of(json.loads(shop.out)))
    assert repeated >= 2  # as it stands in the file: plain data hides nothing
    for name in ("rows.csv", "readings.csv"):
        table = (shop.folder / name).read_text(encoding="utf-8")
        for cell in (cell for row in csv.reader(io.StringIO(table)) for cell in row):
            assert cell.isprintable()
            assert not cell.startswith(("=", "@", "\t", "\r")), cell
            assert not cell.startswith(("+", "-")) or float(cell) is not None, cell


def _drawing(layer: str) -> str:
    document, stream = new_dxf(), io.StringIO()
    document.layers.add("plain")
    document.modelspace().add_circle((0, 0), 30, dxfattribs={"layer": "plain"})
    document.write(stream)
    return stream.getvalue().replace("plain", layer)


def _zip() -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("job.toml", b"\n" * 50_000_000)
    return stream.getvalue()


def _nested_blocks() -> str:
    """Each block inserts the one before it ten times: 10 to the power of 20 circles."""
    document, stream = new_dxf(), io.StringIO()
    document.blocks.new("b0").add_circle((0, 0), 1)
    for n in range(20):
        block = document.blocks.new(f"b{n + 1}")
        for _ in range(10):
            block.add_blockref(f"b{n}", (0, 0))
    document.modelspace().add_blockref("b20", (0, 0))
    document.write(stream)
    return stream.getvalue()


WHAT_IT_IS: dict[str, bytes] = {
    "an archive that unpacks to 50 MB": _zip(),
    "a packed text": gzip.compress(b"\n" * 10_000_000),
    "blocks within blocks": _nested_blocks().encode(),
    "a drawing whose layer steers a terminal": _drawing("\x1b[31mred").encode(),
    "a drawing whose layer is turned round": _drawing("\u202eder").encode(),
    "an id that steers a terminal": '<svg><circle id="\u202e&#27;" r="4"/></svg>'.encode(),
    "brackets within brackets": b"[" * 9_000,
    "a line without end": b"9" * 900_000,
    "lines without end": b"\n" * 900_000,
    "a quote that is not closed": b'"' + b"\n,=1+1" * 100_000,
    "nothing": b"",
    "nul": b"\0" * 1000,
}


@pytest.mark.parametrize("kind", ["csv", "pdf", "svg", "dxf"])
@pytest.mark.parametrize("data", WHAT_IT_IS.values(), ids=WHAT_IT_IS.keys())
def test_a_file_taken_for_another_is_refused_in_a_line_and_leaves_the_job(shop: Shop, data: bytes, kind: str) -> None:
    path = shop.write(SOUND)
    shop.write(data, f"source.{kind}")
    drawn = ("--step", "gasket", "--outline", "opening") if kind in ("svg", "dxf") else ()
    step = drawn[1:2] if drawn else ()
    assert shop.run("record", "job.toml", *step, "--from", f"source.{kind}", *drawn[2:]) == 2
    assert shop.out == ""
    assert all(line.isprintable() for line in shop.err.split("\n"))
    assert 1 <= shop.err.count("\n") <= 25
    assert path.read_text(encoding="utf-8") == SOUND


@pytest.mark.parametrize("data", WHAT_IT_IS.values(), ids=WHAT_IT_IS.keys())
def test_a_file_taken_for_a_job_is_refused_in_a_line(shop: Shop, data: bytes) -> None:
    shop.write(data)
    assert shop.run("show", "job.toml") == 2
    assert all(line.isprintable() for line in shop.err.split("\n"))
    assert 1 <= shop.err.count("\n") <= 25
