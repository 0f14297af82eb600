"""Lists of points: what was right is kept, they are seen as a picture, a pair changed over is questioned."""

import math
from collections.abc import Iterator
from pathlib import Path

import pytest

from ccassist.guide.typed import picture
from tests.guide.sitting import HEADS, Sitting

ROUND = [(40 + 38 * math.cos(k * math.pi / 12), 30 + 28 * math.sin(k * math.pi / 12)) for k in range(24)]
ACROSS, UP = ([f"{point[i]:.1f}" for point in ROUND] for i in (0, 1))
READ = {"x": [f"{x} mm" for x in ACROSS], "y": [f"{y} mm" for y in UP]}


@pytest.fixture
def sitting(tmp_path: Path) -> Iterator[Sitting]:
    """At the outline of the first chamber."""
    path = tmp_path / "job.toml"
    path.write_text(HEADS, encoding="utf-8")
    found = Sitting(path, None)
    found.open("opening", 1)
    found.type("1", "")
    yield found
    found.file.close()


def without(values: list[str], number: int) -> str:
    return "; ".join(values[: number - 1] + values[number:])


def recorded(sitting: Sitting) -> dict[str, object]:
    (row,) = sitting.rows
    return {name: row[name] for name in ("x", "y")}


@pytest.mark.parametrize("number", [2, 13, 23])
@pytest.mark.parametrize("lacks", ["x", "y"])
def test_of_a_missing_value_only_that_is_asked(sitting: Sitting, number: int, lacks: str) -> None:
    """Wherever it is; those read of the list are numbered, so that it is found."""
    lists = {"x": ACROSS, "y": UP}
    sitting.type(*(without(values, number) if name == lacks else ";".join(values) for name, values in lists.items()))
    assert sitting.shown.question.words.startswith(f"Which point lacks its {lacks}?")
    assert f"{number - 1}: {lists[lacks][number - 2]} mm" in sitting.said
    assert sitting.rows == []
    sitting.type(f"{number} {lists[lacks][number - 1]}")
    assert recorded(sitting) == READ
    assert "The points as read" in sitting.said


def test_all_of_the_short_list_may_be_typed_anew_or_taken_back(sitting: Sitting) -> None:
    sitting.type(";".join(ACROSS), without(UP, 24), "u")
    assert sitting.shown.question.begun == "x 78.0 mm … 76.7 mm (24 values)"
    sitting.type(without(UP, 24), ";".join(UP))
    assert recorded(sitting) == READ


@pytest.mark.parametrize("wrong", ["abc", "-", "", "7z"])
def test_a_value_that_cannot_be_read_is_asked_by_itself(sitting: Sitting, wrong: str) -> None:
    across = [*ACROSS[:4], wrong, *ACROSS[5:]]
    sitting.type(";".join(across))
    assert sitting.shown.question.words == "x of point 5"
    sitting.type("five", ACROSS[4], ";".join(UP))
    assert recorded(sitting) == READ


@pytest.mark.parametrize(
    "pasted",
    [
        ["\n".join(f"{x}\t{y}" for x, y in zip(ACROSS, UP, strict=True))],
        ["\n".join(ACROSS), "\n".join(UP)],
        ["\t".join(ACROSS) + "\n" + "\t".join(UP)],
        [" ".join(ACROSS), ", ".join(UP)],
        [f"{';'.join(ACROSS)}, {';'.join(UP)}"],
    ],
)
def test_points_pasted_in_any_way_are_the_same_reading(sitting: Sitting, pasted: list[str]) -> None:
    sitting.type(*pasted)
    assert recorded(sitting) == READ


def test_a_pair_changed_over_is_questioned_and_changed_back(sitting: Sitting) -> None:
    across, up = list(ACROSS), list(UP)
    across[12], up[12] = up[12], across[12]
    sitting.type(";".join(across), ";".join(up))
    assert "point 13 stands far out" in sitting.said
    assert sitting.shown.question.words == "Are you sure? yes keeps it; no asks which one is wrong"
    sitting.type("no")
    assert sitting.shown.question.empty == "point 13 changed over"
    sitting.type("")
    assert recorded(sitting) == READ


@pytest.mark.parametrize("answers", [["no", "13 2.0 30.0"], ["13 2.0 30.0"], ["no", "99 1 1", "13 2.0 30.0"]])
def test_a_point_that_is_wrong_is_put_right_by_itself(sitting: Sitting, answers: list[str]) -> None:
    across, up = list(ACROSS), list(UP)
    across[12], up[12] = up[12], across[12]
    sitting.type(";".join(across), ";".join(up), *answers)
    assert recorded(sitting) == READ


def test_an_unusual_value_among_them_is_put_right_by_itself(sitting: Sitting) -> None:
    sitting.type(";".join([*ACROSS[:6], "780.0", *ACROSS[7:]]), "n", f"7 {ACROSS[6]}", ";".join(UP))
    assert recorded(sitting) == READ


def test_the_levels_of_a_fill_keep_what_was_right_too(tmp_path: Path) -> None:
    path = tmp_path / "levels.toml"
    path.write_text(HEADS, encoding="utf-8")
    sitting = Sitting(path, None)
    sitting.open("stages", 1)
    sitting.type("burette 50 ml class B", "")
    sitting.type("6; 4; 2; 0", "0; 6; 13; 21", "6; 13; 31")
    assert sitting.shown.question.words.startswith("Which stage lacks its end?")
    sitting.type("3 21")
    (row,) = sitting.rows
    assert row["end"] == ["6 cc", "13 cc", "21 cc", "31 cc"]
    sitting.file.close()


def test_a_picture_has_the_proportions_of_the_points() -> None:
    """A character is about twice as high as wide: 20 by 20 is twice as many characters wide as high."""
    lines = picture([(0, 0), (20, 0), (20, 20), (0, 20)])[1:]
    assert (len(lines), {len(line) for line in lines}) == (11, {21})
    assert (lines[0][0], lines[0][-1], lines[-1][0], lines[-1][-1]) == ("o", "o", "1", "o")
    assert picture([(0, 0), (5, 0)]) == []
