"""Long screens in pieces that fit the window of a terminal, so that nothing runs off its top unread."""

from __future__ import annotations

import shutil

from ccassist.cli.screen import say

MORE = "-- Enter shows the rest --"
LEAST = 8  # lines of a window below which nothing is gained


class Pages:
    """Collects paragraphs, then shows them piece by piece."""

    def __init__(self) -> None:
        self.waiting: list[list[str]] = []

    def add(self, lines: list[str]) -> None:
        """A paragraph, kept together; an empty line where there is none."""
        self.waiting.append(lines or [""])

    def forget(self) -> None:
        """Nothing of it is to be shown any more."""
        self.waiting = []

    def flush(self) -> str | None:
        """Show everything that waits; what was typed instead of Enter, with the rest left unshown."""
        pieces = self._pieces(max(LEAST, shutil.get_terminal_size((79, 24)).lines - 2))
        self.forget()
        for number, piece in enumerate(pieces):
            if number:
                typed = input(MORE)
                if typed.strip():
                    return typed
            for line in piece:
                say(line)
        return None

    def _pieces(self, room: int) -> list[list[str]]:
        """Lines by the piece; a paragraph is only broken where it is longer than the window."""
        pieces: list[list[str]] = [[]]
        for paragraph in self.waiting:
            if len(pieces[-1]) + len(paragraph) > room:
                pieces.append([])
            if not pieces[-1] and len(pieces) > 1 and paragraph == [""]:
                continue  # no piece begins with an empty line
            pieces[-1] += paragraph[:room]
            for at in range(room, len(paragraph), room):
                pieces.append(paragraph[at : at + room])
        return [piece for piece in pieces if piece]
