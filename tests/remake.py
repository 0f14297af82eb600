"""Makes again what is kept as files and made from declarations: the reference page, the printed forms, the sources.

``python -m tests.remake`` after a term, a unit, a bench step, an instrument or a form has changed.  The picture of the
worksheet's first page needs pymupdf (``pip install .[develop]``) and is left as it is where that is missing.
"""

from __future__ import annotations

import io
import sys
from collections.abc import Callable
from functools import partial
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from ccassist.analysis.results import survey_of
from ccassist.job.reference import reference
from ccassist.paper.blank import blank_bytes, forms_named, stated_named
from ccassist.paper.blank_boxes import Print
from ccassist.paper.documents import worksheet_bytes
from ccassist.paper.sheet import PAGES
from ccassist.vocabulary.units import System
from tests.references.sources import table

ROOT = Path(__file__).parents[1]
PICTURE, SCREEN = "worksheets/worksheet-page.png", "worksheets/ratio-screen.png"
DPI, GREYS = 72, 16
QUICK = "bore=83.4 stroke=91.3 chamber=47.6 gasket=1.14 below=0.23 dish=6.4"  # as in the README
SOURCES_START, SOURCES_END = "<!-- made by tests.remake -->", "<!-- end -->"
CHARACTER, LINE, MARGIN = 11.0, 14.5, 12.0  # points


def _reference() -> bytes:
    return reference().encode()


def _developers() -> bytes:
    """DEVELOPERS.md with the table of outside sources as it is today."""
    before, start, rest = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8").partition(SOURCES_START)
    _, end, after = rest.partition(SOURCES_END)
    return f"{before}{start}\n{table()}\n{end}{after}".encode()


def _forms(page: str, system: System) -> bytes:
    return blank_bytes(forms_named([]), Print(page=page, system=system), stated=stated_named([]))[0]


def _picture() -> bytes:
    """Page 1 of the worksheet of the turbo example, in a few greys."""
    import pymupdf

    data, _ = worksheet_bytes(survey_of(ROOT / "examples" / "turbo-four.toml"))
    return _in_greys(pymupdf.open(stream=data, filetype="pdf")[0], DPI)


def _screen() -> bytes:
    """What the README's quick ratio prints, as a terminal shows it."""
    import pymupdf
    from typer.testing import CliRunner

    from ccassist.cli.app import app

    text = CliRunner().invoke(app, ["ratio", *QUICK.split()]).stdout
    lines = [f"$ ccassist ratio {QUICK}", *text.rstrip().split("\n")]
    document = pymupdf.open()
    wide = max(map(len, lines))
    page = document.new_page(width=MARGIN * 2 + CHARACTER * 0.6 * wide, height=MARGIN * 2 + LINE * len(lines))
    for number, line in enumerate(lines):
        page.insert_text((MARGIN, MARGIN + LINE * (number + 0.8)), line, fontname="cour", fontsize=CHARACTER)
    return _in_greys(page, DPI)


def _in_greys(page: Any, dpi: int) -> bytes:
    import pymupdf
    from PIL import Image

    drawn = page.get_pixmap(dpi=dpi, colorspace=pymupdf.csGRAY)
    grey = Image.frombytes("L", (drawn.width, drawn.height), drawn.samples)
    made = io.BytesIO()
    grey.quantize(GREYS).save(made, "PNG", optimize=True)
    return made.getvalue()


# File -> what makes it.
MADE: dict[str, Callable[[], bytes]] = {
    "examples/job-file.md": _reference,
    "DEVELOPERS.md": _developers,
    **{
        f"worksheets/bench-forms-{page}-{system}.pdf": partial(_forms, page, system)
        for page in PAGES
        for system in System
    },
    PICTURE: _picture,
    SCREEN: _screen,
}


def main() -> int:
    """Write each file that is not as it would be made now; say which."""
    for name, make in MADE.items():
        path = ROOT / name
        if name in (PICTURE, SCREEN) and find_spec("pymupdf") is None:
            print(f"{name}: left as it is, pymupdf is not installed (pip install .[develop])")
            continue
        made = make()
        same = path.exists() and path.read_bytes() == made
        if not same:
            path.write_bytes(made)
        print(f"{name}: {'as it was' if same else 'made again'}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
