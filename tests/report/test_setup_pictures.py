"""Pictures of set-ups: every step has one, each part stays in the frame, and words keep off each other."""

from __future__ import annotations

import math
from itertools import combinations

from ccassist.analysis.results import survey
from ccassist.bench.steps import STEPS
from ccassist.job.file import parse_job
from ccassist.report.blocks import Beside, Figure
from ccassist.report.scene import HATCHES, SHADES, Area, Clip, Disc, Item, Lettering, Scene, Stroke, rectangle, words_of
from ccassist.report.setup_pictures import HIGH, PICTURES, WIDE, picture
from ccassist.report.worksheet_support import set_ups
from tests.each import each
from tests.report.scenes import box_of
from tests.sound_job import SOUND


@each(("step", "method"), [(s.key, m.key) for s in STEPS.values() for m in s.methods])
def test_every_way_of_every_step_has_a_picture(step: str, method: str) -> None:
    scene = picture(step, method)
    assert scene is not None
    assert (scene.width, scene.height) == (WIDE, HIGH)
    if STEPS[step].fills and STEPS[step].part:
        assert picture("read", method) is not None


@each(("step", "method"), PICTURES)
def test_words_stay_in_the_frame_and_apart(step: str, method: str) -> None:
    scene = picture(step, method)
    assert scene is not None
    words = list(words_of(scene.items))
    assert words
    for one in words:
        left, bottom, right, top = one.box
        assert left >= 0 and bottom >= -0.5 and right <= WIDE and top <= HIGH, one.text  # noqa: PT018
    for one, other in combinations(words, 2):
        over = [min(one.box[n + 2], other.box[n + 2]) - max(one.box[n], other.box[n]) for n in (0, 1)]
        assert over[0] <= 0 or over[1] <= 0.3, (one.text, other.text)


@each(("step", "method"), PICTURES)
def test_nothing_that_matters_is_told_by_a_shade_alone(step: str, method: str) -> None:
    """Pale is the fluid, and dashes stand in it; every other fill is black, white, dark or a hatch."""
    scene = picture(step, method)
    assert scene is not None
    for one in scene.items:
        assert not isinstance(one, Clip)
        assert _corners(one)[0] >= -1 and _corners(one)[2] <= WIDE + 1  # noqa: PT018
        if isinstance(one, Area):
            assert one.fill in ("", "pale", "black", "dark", "white", *HATCHES)
        if isinstance(one, Stroke):
            assert SHADES[one.shade] in (0.0, 1.0)


def _corners(one: Item) -> tuple[float, float, float, float]:
    if isinstance(one, Lettering):
        return one.box
    if isinstance(one, Disc):
        (x, y), r = one.at, one.radius
        return x - r, y - r, x + r, y + r
    assert isinstance(one, Area | Stroke)
    return box_of(one.points)


def test_the_worksheet_shows_how_what_was_read_was_set_up() -> None:
    blocks = list(set_ups(survey(parse_job(SOUND).job)))
    figures = [one for block in blocks if isinstance(block, Beside) for column in block.columns for one in column]
    figures += [block for block in blocks if isinstance(block, Figure)]
    scenes = [one.scene for one in figures if isinstance(one, Figure)]
    steps = {(one.cell.step.key, one.cell.method.key) for one in survey(parse_job(SOUND).job).reduced}
    assert scenes
    assert len(set(scenes)) == len(scenes)
    assert {picture(*one) for one in steps} <= set(scenes)


def test_a_hatch_outlasts_a_copy_in_black_and_white() -> None:
    """As large as on a form, of 200 dots an inch, each black or white: it keeps what its lines cover by geometry."""
    from io import BytesIO

    import pypdfium2
    from reportlab.pdfgen.canvas import Canvas

    from ccassist.paper.blank_boxes import PICTURE
    from ccassist.paper.pages import Drawing

    for name, (step, ways) in HATCHES.items():
        stream = BytesIO()
        canvas = Canvas(stream, pagesize=(PICTURE, PICTURE * HIGH / WIDE))
        drawing = Drawing(Scene(WIDE, HIGH, (Area(rectangle((4, 4, 84, 50)), name, 0.0),)), PICTURE)
        drawing.drawOn(canvas, 0, 0)
        canvas.save()
        page = pypdfium2.PdfDocument(stream.getvalue())[0].render(scale=200 / 72, grayscale=True)
        dots = bytes(page.buffer)
        share = sum(dot < 128 for dot in dots) / len(dots) / (80 * 46 / (WIDE * HIGH))
        covers = len(ways) * 0.18 * math.sqrt(2) / step  # lines at 45 degrees, up by a step
        assert 0.6 * covers < share < 1.7 * covers, name
