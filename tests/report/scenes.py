"""What every scene must keep to: nothing outside its frame, no words over other words."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import combinations

from ccassist.report.scene import Area, Box, Clip, Disc, Item, Lettering, Point, Scene, Stroke, words_of

HAIR = 0.05  # mm: no fault to be seen


def box_of(points: Sequence[Point]) -> Box:
    """The smallest box about points."""
    xs, ys = zip(*points, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def boxes(items: Iterable[Item]) -> Iterator[tuple[Item, Box]]:
    """Each item with the room that it takes; a window hides what lies outside it."""
    for one in items:
        if isinstance(one, Clip | Lettering):
            yield one, one.box
        elif isinstance(one, Disc):
            (x, y), r = one.at, one.radius
            yield one, (x - r, y - r, x + r, y + r)
        elif isinstance(one, Stroke | Area):
            yield one, box_of(one.points)


def faults(scene: Scene) -> list[str]:
    """What lies outside the frame, and which words lie over which."""
    found = [
        f"outside: {one}"
        for one, (left, bottom, right, top) in boxes(scene.items)
        if left < -HAIR or bottom < -HAIR or right > scene.width + HAIR or top > scene.height + HAIR
    ]
    words = [(one.text, one.box) for one in words_of(scene.items) if one.text]
    for (text, one), (other, two) in combinations(words, 2):
        across = min(one[2], two[2]) - max(one[0], two[0])
        up = min(one[3], two[3]) - max(one[1], two[1])
        if across > HAIR and up > 0.35:  # tails of one line may reach into the heads of the next
            found.append(f"{text!r} over {other!r}")
    return found
