"""The page of sums: every cylinder's volumes added by hand, and the ratio."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ccassist.bench.air_density_cipm_simplified import air_density
from ccassist.bench.cautions import cautions
from ccassist.bench.forms import NOT_READ
from ccassist.bench.temperatures import ICE_POINT
from ccassist.bench.water_density_tanaka_2001 import water_density
from ccassist.bench.weighing import z_factor
from ccassist.engine.relations import RELATIONS
from ccassist.paper.forms.boxes import LABEL, Pen, text_box
from ccassist.paper.sheet import BOTTOM, GREY, SLANT, SMALL, STRONG, TEXT, broken
from ccassist.paper.workings import formula
from ccassist.values.units import shown_unit
from ccassist.vocabulary import term

if TYPE_CHECKING:
    from ccassist.paper.forms.blank import Print

TITLE = "The sum of every cylinder"
COLUMNS = (
    "chamber_volume",
    "gasket_volume",
    "deck_volume",
    "crown_volume",
    "crevice_volume",
    "chamfer_volume",
    "clearance_volume",
    "swept_volume",
    "static_ratio",
)
TEMPERATURES = (15, 18, 20, 22, 25, 30)  # °C
FORMULAS = ("swept_volume", "gasket_volume", "deck_volume", "clearance_volume", "static_ratio")

ROW, HEAD, LABELS = 26.0, 34.0, 44.0


def draw_total(pen: Pen, what: Print, page: int) -> None:
    """The whole page."""
    pen.y -= 15
    pen.write(pen.left, pen.y, TITLE, font=STRONG, size=14)
    pen.y -= 3
    pen.text(
        "Work out each volume on its own page, write it here with its sign, add along the line. A dish adds (+), "
        "a dome takes (−); a piston below the deck adds (+), one proud of it takes (−). Crevice and chamfer are "
        "counted or left out as agreed: never both in a fill and in the sum.",
        font=SLANT,
        shade=GREY,
    )
    pen.y -= 6
    for key in FORMULAS:
        pen.item(term(key).symbol, f"{term(key).name}: {formula(RELATIONS[key])}", indent=30)
    pen.y -= 6
    _rows(pen, what, page)
    pen.y -= 12
    _weighing(pen)
    pen.y -= 6
    for line in cautions(("planning", "contact")):
        pen.item("!", line)


def _rows(pen: Pen, what: Print, page: int) -> None:
    wide = (pen.width - LABELS) / len(COLUMNS)
    pen.y -= HEAD
    pen.write(pen.left, pen.y + 3, "cylinder", font=STRONG, size=LABEL)
    for place, key in enumerate(COLUMNS):
        words = term(key).name
        lines = broken(words, TEXT, 6.9, wide - 3)
        for up, line in enumerate(reversed(lines)):
            pen.write(pen.left + LABELS + place * wide + 1, pen.y + 3 + 7.4 * up, line, size=6.9, shade=GREY)
    room = (pen.y - BOTTOM - 130) / what.cylinders
    high = min(ROW, max(room, 15.0))
    for number in range(1, what.cylinders + 1):
        pen.y -= high
        pen.write(pen.left + 4, pen.y + high / 2 - 5, str(number), font=STRONG, size=12)
        for place, key in enumerate(COLUMNS):
            box = (pen.left + LABELS + place * wide, pen.y, wide - 3, high - 3)
            name = f"{page}/sum/{NOT_READ}/{what.system}/{number}/{key}"
            unit = shown_unit(term(key), what.system)
            hint = f"cylinder {number}: {term(key).name}, by hand"
            text_box(pen.canvas, name, hint, box, unit=unit, bold=key in ("clearance_volume", "static_ratio"))


def _weighing(pen: Pen) -> None:
    """How many cc a gram of water is, on an ordinary day."""
    cells = []
    for celsius in TEMPERATURES:
        warmth = celsius + ICE_POINT
        each = z_factor(water_density(warmth), air_density(temperature=warmth)) * 1e3
        cells.append(f"{celsius} °C {each:.4f}")
    pen.text("cc per gram of water, weighed in ordinary air at sea level:", font=STRONG, size=SMALL)
    pen.text("      ".join(cells), size=SMALL)
    pen.text(
        "Water density by Tanaka et al. (2001), air buoyancy by ISO 8655-6; other fluids by their own density.",
        size=LABEL,
        shade=GREY,
    )
