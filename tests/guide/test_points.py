"""Lists of points: what was right is kept, they are seen as a picture, a pair changed over is questioned."""

import math
from pathlib import Path

from ccassist.guide.picture import picture
from tests.guide.sitting import HEADS, Sitting

ROUND = [(40 + 38 * math.cos(k * math.pi / 12), 30 + 28 * math.sin(k * math.pi / 12)) for k in range(24)]


def lists(points: list[tuple[float, float]]) -> tuple[str, str]:
    """The points as they are typed: all across, then all up."""
    across, up = (";".join(f"{point[i]:.1f}" for point in points) for i in (0, 1))
    return across, up


def traced(path: Path) -> Sitting:
    """At the outline of the first chamber."""
    path.write_text(HEADS, encoding="utf-8")
    found = Sitting(path, None)
    found.open("opening", 1)
    found.type("1", "")
    return found


def test_a_list_too_short_is_asked_again_and_the_other_kept(tmp_path: Path) -> None:
    sitting, (across, up) = traced(tmp_path / "job.toml"), lists(ROUND)
    sitting.type(across, up.rpartition(";")[0])
    assert "x has 24 values and y 23" in sitting.said
    assert sitting.shown.question.begun == "x 78.0 mm … 76.7 mm (24 values)"
    sitting.type(up)
    assert len(sitting.rows) == 1
    assert len(sitting.rows[0]["x"]) == 24  # type: ignore[arg-type]
    assert "The points as read" in sitting.said
    assert sitting.type("u").question.begun == ""
    sitting.file.close()


def test_a_pair_changed_over_is_questioned_beside_its_picture(tmp_path: Path) -> None:
    sitting = traced(tmp_path / "job.toml")
    (x, y), changed = ROUND[12], list(ROUND)
    changed[12] = (y, x)
    sitting.type(*lists(changed))
    assert "The points as read" in sitting.said
    assert "point 13 stands far out" in sitting.said
    assert sitting.shown.question.words.startswith("Are you sure?")
    assert sitting.rows == []
    sitting.file.close()


def test_a_picture_has_the_proportions_of_the_points() -> None:
    """A character is about twice as high as wide: 20 by 20 is twice as many characters wide as high."""
    lines = picture([(0, 0), (20, 0), (20, 20), (0, 20)])[1:]
    assert (len(lines), {len(line) for line in lines}) == (11, {21})
    assert (lines[0][0], lines[0][-1], lines[-1][0], lines[-1][-1]) == ("o", "o", "1", "o")
    assert picture([(0, 0), (5, 0)]) == []
