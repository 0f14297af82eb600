"""Figures that may move to the head of the next page, so that what follows them fills the page they do not fit on."""

from __future__ import annotations

from typing import Any

from reportlab.platypus import ActionFlowable, BaseDocTemplate, CondPageBreak, Flowable, NullDraw

from ccassist.paper.furniture import prose
from ccassist.paper.sheet import GREY, SLANT, SMALL

LEAST = 110.0  # points: less than this left on a page is not worth filling, and the figure keeps its place
_ENDLESS = 1e6


class Floating(NullDraw):  # type: ignore[misc]
    """A figure with all that must stand beside it.

    ``name`` says what moved, where it does: "Detail A" stands at the head of the next page.
    """

    def __init__(self, name: str, *parts: Flowable) -> None:
        super().__init__()
        self.name, self.parts = name, [one for one in parts if not isinstance(one, CondPageBreak)]

    def takes(self, width: float) -> float:
        """What it takes on a page, points."""
        spaces = sum(one.getSpaceBefore() + one.getSpaceAfter() for one in self.parts)
        return float(spaces + sum(one.wrap(width, _ENDLESS)[1] for one in self.parts))

    def moved(self) -> Flowable:
        """What stands in its place."""
        return prose(f"{self.name}: at the head of the next page.", SLANT, SMALL, shade=GREY)


class Settle(NullDraw):  # type: ignore[misc]
    """No figure moves past this."""


class Document(BaseDocTemplate):  # type: ignore[misc]
    """Pages that know of figures that wait for the next one."""

    def __init__(self, *arguments: Any, **more: Any) -> None:
        super().__init__(*arguments, **more)
        self._waiting: list[Floating] = []

    def filterFlowables(self, flowables: list[Flowable]) -> None:  # noqa: N802  (the page maker's name)
        """Place, hold back or take up a figure before the page maker looks at what comes next."""
        first = flowables[0]
        if isinstance(first, ActionFlowable):  # such as the begin of a page
            return
        if self._waiting and (self.frame._atTop or isinstance(first, Settle)):
            flowables[0:0] = [part for one in self._waiting for part in self._whole(one)]
            self._waiting = []
        elif isinstance(first, Floating):
            flowables[0:1] = self._placed(first)

    def _placed(self, figure: Floating) -> list[Flowable]:
        """What takes the place of a figure: itself here or on the next page, or words that it moved."""
        left = self.frame._y - self.frame._y1p
        if self.frame._atTop or left < LEAST or left >= figure.takes(self.frame._width):
            return self._whole(figure)
        self._waiting.append(figure)
        return [figure.moved()]

    def _whole(self, figure: Floating) -> list[Flowable]:
        """A figure on one page."""
        room = [] if self.frame._atTop else [CondPageBreak(figure.takes(self.frame._width))]
        return [*room, *figure.parts]
