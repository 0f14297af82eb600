"""A paragraph in the lines of a terminal."""

from __future__ import annotations

from textwrap import wrap

from ccassist.values.display import KEPT, unbroken

WIDTH, HEIGHT = 80, 24  # of a window
LEAST_WIDTH = 40


class Bold(str):
    """A line that a terminal shows bold: it is cleaned like any other, and only then made so."""

    __slots__ = ()


def filled(text: str, *, first: str = "", rest: str = "", width: int = WIDTH - 1) -> list[str]:
    """The lines of a paragraph, filled to the width; no figure is parted from its ± or unit, no word is broken."""
    lines = wrap(
        unbroken(text),
        width,
        initial_indent=first,
        subsequent_indent=rest,
        break_on_hyphens=False,
        break_long_words=False,  # a command can be copied
    )
    return [line.replace(KEPT, " ") for line in lines] or [first]
