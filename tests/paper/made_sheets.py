"""Worksheets of the example jobs and of invented ones, made once each and read back."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, cached_property
from io import BytesIO
from pathlib import Path
from typing import Any

import pdfplumber

from ccassist.analysis.results import Survey, survey
from ccassist.job.file import load, parse_job
from ccassist.paper.documents import worksheet_bytes
from tests.paper.letters import Page, pages_of

EXAMPLES = Path(__file__).parents[2] / "examples"
NAMES = ("three-pistons", "turbo-four", "v8-heads")


@dataclass(frozen=True, kw_only=True)
class Made:
    """A worksheet with the survey it was made from, read back page by page."""

    survey: Survey
    options: dict[str, Any]

    @cached_property
    def _made(self) -> tuple[bytes, int]:
        """When it is first looked at: many ask for the survey alone."""
        return worksheet_bytes(self.survey, **self.options)

    @property
    def data(self) -> bytes:
        """The PDF."""
        return self._made[0]

    @property
    def count(self) -> int:
        """Of its pages, as it was told."""
        return self._made[1]

    @property
    def pages(self) -> tuple[Page, ...]:
        """Letters and words of each page."""
        return pages_of(self.data)

    @cached_property
    def texts(self) -> tuple[str, ...]:
        """The text of each page, line by line."""
        return tuple(page.text for page in self.pages)

    @cached_property
    def lines(self) -> tuple[list[dict[str, Any]], ...]:
        """The lines drawn on each page."""
        return self._drawn[0]

    @cached_property
    def rects(self) -> tuple[list[dict[str, Any]], ...]:
        """The rectangles drawn on each page."""
        return self._drawn[1]

    @cached_property
    def _drawn(self) -> tuple[tuple[list[dict[str, Any]], ...], tuple[list[dict[str, Any]], ...]]:
        with pdfplumber.open(BytesIO(self.data)) as document:
            return tuple(page.lines for page in document.pages), tuple(page.rects for page in document.pages)

    @property
    def text(self) -> str:
        """All pages one after another."""
        return "\n".join(self.texts)

    @property
    def flowing(self) -> str:
        """All words in one line, however they were broken."""
        return " ".join(self.text.split())

    def part(self, first: str, after: str) -> list[str]:
        """The lines from one heading to the next, without the furniture of the pages."""
        lines = [line for text in self.texts for line in text.split("\n")[1:-1]]
        start = lines.index(first) + 1
        return lines[start : lines.index(after, start)]


def made_from(engine: Survey, **options: Any) -> Made:
    """A worksheet with all that stands behind it, to be read back."""
    return Made(survey=engine, options={"everything": True, **options})


@cache
def example(name: str, page: str = "A4", system: str | None = None) -> Made:
    """A worksheet of an example job; in the job's own units, unless others are asked for."""
    job = load(EXAMPLES / f"{name}.toml").job
    return example(name, page, job.system) if system is None else made_from(survey(job), page=page, system=system)


def surveyed(text: str) -> Survey:
    """From the text of a job to its survey."""
    return survey(parse_job(text, "invented.toml").job)


HEADS = """
format = 1
[job]
name = "Two bare heads"
units = "imperial"
[engine]
cylinders = 2
[wanted]
chamber_volume = "at least 62.3 cc"
[[series]]
step = "chamber"
cylinder = 1
instrument = "burette 100 ml class B"
fluid = "water"
readings = [
    { start = "0.0 ml", end = "62.5 ml" }, { start = "0.0 ml", end = "62.7 ml" },
    { start = "0.0 ml", end = "62.6 ml" },
]
[[series]]
step = "chamber"
cylinder = 2
instrument = "burette 100 ml class B"
fluid = "water"
readings = [
    { start = "0.0 ml", end = "61.1 ml" }, { start = "0.0 ml", end = "61.2 ml" },
    { start = "0.0 ml", end = "61.2 ml" },
]
"""

# A small bore, a proud piston with a high dome, a chamber narrower than the bore, nothing known of the land.
DOME = """
format = 1
[job]
name = "Single, high dome"
[engine]
cylinders = 1
bore = "67.30 +/- 0.01 mm, measured"
stroke = "43.90 +/- 0.01 mm, measured"
chamber_volume = "24.4 +/- 0.3 cc, measured"
chamber_area = "24.0 +/- 0.5 cm², measured"
crown_volume = "dome 9 +/- 0.5 cc, maker's figure"
deck_clearance = "0.65 +/- 0.02 mm proud, measured"
gasket_bore = "68.3 +/- 0.1 mm, measured"
gasket_thickness = "1.00 +/- 0.05 mm, maker's figure"
[counted]
crevice = "not counted"
"""

# A large bore, a thick gasket, a deep dish, a chamfer that is not counted.
LARGE = """
format = 1
[job]
name = "Twin, large"
[engine]
cylinders = 2
bore = "211.30 +/- 0.03 mm, measured"
stroke = "243.40 +/- 0.05 mm, measured"
chamber_volume = "390 +/- 2 cc, measured"
crown_volume = "dish 310 +/- 3 cc, maker's figure"
deck_clearance = "1.50 +/- 0.05 mm below deck, measured"
gasket_bore = "215.3 +/- 0.2 mm, measured"
gasket_thickness = "2.80 +/- 0.05 mm, maker's figure"
land_diameter = "209.7 +/- 0.05 mm, measured"
land_height = "18.0 +/- 0.2 mm, measured"
chamfer_volume = "1.8 +/- 0.2 cc, assumed"
[counted]
crevice = "counted"
chamfer = "not counted"
"""

# Crown and deck measured as one fill with the ring as the seal, the land not known.
RING = """
format = 1
[job]
name = "Ring sealed"
[engine]
cylinders = 1
bore = "85.70 +/- 0.01 mm, measured"
stroke = "91.70 +/- 0.01 mm, measured"
chamber_volume = "46.0 +/- 0.3 cc, measured"
gasket_bore = "86.7 +/- 0.1 mm, measured"
gasket_thickness = "1.00 +/- 0.05 mm, maker's figure"
deck_clearance = "0.20 +/- 0.02 mm below deck, measured"
[counted]
crevice = "counted"
chamfer = "not counted"
[[series]]
step = "crown"
cylinder = 1
instrument = "burette 100 ml class B"
fluid = "water"
seal = "ring"
hole = "not filled"
drop = "12.00 +/- 0.02 mm, measured"
readings = [
    { start = "0.0 ml", end = "82.5 ml" }, { start = "0.0 ml", end = "82.6 ml" }, { start = "0.0 ml", end = "82.5 ml" },
    { start = "0.0 ml", end = "82.4 ml" }, { start = "0.0 ml", end = "82.5 ml" },
]
"""


# One chamber that leaks, read with every optional field.
LEAK = """
format = 1
[job]
name = "Leaky"
[engine]
cylinders = 1
[[series]]
step = "chamber"
cylinder = 1
instrument = "burette 50 ml class B"
fluid = "water"
temperature = ["19 degC", "20 degC"]
plug = "fitted"
hole = "not filled"
date = "2026-10-02"
remark = "seat 2 wet"

[[series.readings]]
start = "0.0 ml"
end = "46.1 ml"
fill_time = "60 s"
settle = ["46.2 ml", "46.3 ml", "46.4 ml"]
settle_at = ["90 s", "120 s", "180 s"]
time = "09:40"

[[series.readings]]
start = "0.0 ml"
end = "46.2 ml"
fill_time = "60 s"
settle = ["46.3 ml", "46.4 ml", "46.5 ml"]
settle_at = ["90 s", "120 s", "180 s"]
"""


def sixteen() -> str:
    """A job of sixteen cylinders and more than five hundred readings, some set aside, some with remarks."""
    head = (
        LARGE.replace("cylinders = 2", "cylinders = 16")
        .replace("Twin, large", "Sixteen")
        .replace("chamber_volume", "# ")
    )
    head = head.replace('deck_clearance = "1.50 +/- 0.05 mm below deck, measured"\n', "")
    parts = [head, '[wanted]\nstatic_ratio = "11 to 12"\nsquish = "3 to 5 mm"\n']
    for n in range(1, 17):
        rows = []
        for i in range(26):
            more = ', set_aside = "bubble under the plate, far corner, near the plug"' if i % 13 == 5 else ""
            more += ', remark = "a quiet shop, slow filling"' if i % 9 == 2 else ""
            ends = ", ".join(['"100.0 ml"'] * 3 + [f'"{90 + (n % 5) / 5 + (i % 7) / 10:.1f} ml"'])
            starts = ", ".join(4 * ['"0.0 ml"'])
            rows.append(f"{{ start = [{starts}], end = [{ends}]{more} }}")
        joined = ",\n".join(rows)
        series = f'[[series]]\nstep = "chamber"\ncylinder = {n}\ninstrument = "burette 100 ml class B"\n'
        parts.append(f'{series}fluid = "water"\nreadings = [\n{joined}\n]\n')
        deck = ", ".join(
            f'{{ front = "{1.35 + i % 3 / 100:.2f} mm below", rear = "{1.36 + n % 4 / 100:.2f} mm below" }}'
            for i in range(6)
        )
        series = f'[[series]]\nstep = "deck"\ncylinder = {n}\ninstrument = "dial indicator"\n'
        parts.append(f"{series}readings = [{deck}]\n")
    return "\n".join(parts)


INVENTED = {"heads": HEADS, "dome": DOME, "large": LARGE, "ring": RING, "leak": LEAK, "sixteen": sixteen()}


@cache
def invented(name: str, page: str = "A4", system: str | None = None) -> Made:
    """A worksheet of an invented job, in the same way."""
    engine = surveyed(INVENTED[name])
    return invented(name, page, engine.job.system) if system is None else made_from(engine, page=page, system=system)
