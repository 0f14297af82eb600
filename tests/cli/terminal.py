"""A small model of a terminal, and the command run in one: what a person sees, line by line."""

from __future__ import annotations

import os
import re
import sys
from pathlib import Path

COMMAND = [sys.executable, "-m", "ccassist"]
# Control sequences of ECMA-48 (CSI: parameters, intermediates, final byte); quoted from memory.
_CSI = re.compile(r"\x1b\[([0-?]*)[ -/]*([@-~])")
_BOLD, _PLAIN = "1", ("", "0")


class Screen:
    """Rows and columns of text with bold; what scrolls off the top is kept.

    Only what the guide may send is known: any other control character or sequence is a fault.
    """

    def __init__(self, rows: int = 24, columns: int = 80) -> None:
        self.rows, self.columns = rows, columns
        self.lines: list[str] = [""]
        self.bold: list[str] = []
        self._bold = ""
        self._style = False

    def feed(self, text: str) -> None:
        """Take what the program wrote."""
        at = 0
        while at < len(text):
            found = _CSI.match(text, at)
            if found:
                self._control(found[1], found[2])
                at = found.end()
            else:
                self._character(text[at])
                at += 1

    def _control(self, parameters: str, final: str) -> None:
        assert final == "m", f"a sequence that moves or wipes: {parameters}{final}"
        assert parameters in (_BOLD, *_PLAIN), f"a look that no line of the guide has: {parameters}"
        if self._bold and parameters in _PLAIN:
            self.bold.append(self._bold)
        self._bold, self._style = "", parameters == _BOLD

    def _character(self, character: str) -> None:
        if character == "\n":
            self.lines.append("")
        elif character != "\r":
            assert character.isprintable(), f"a control character on the screen: {character!r}"
            if len(self.lines[-1]) == self.columns:
                self.lines.append("")
            self.lines[-1] += character
            self._bold += character if self._style else ""

    @property
    def window(self) -> list[str]:
        """What is seen now."""
        return self.lines[-self.rows :]

    @property
    def text(self) -> str:
        """All that was ever shown."""
        return "\n".join(self.lines)


class Bench:
    """``ccassist`` with its words, in a pseudo-terminal with colour."""

    def __init__(self, *words: str | Path, rows: int = 24, columns: int = 80) -> None:
        import pexpect

        environment = {k: v for k, v in os.environ.items() if k not in ("NO_COLOR", "COLUMNS", "LINES")}
        environment |= {"TERM": "xterm-256color", "PYTHONIOENCODING": "utf-8"}
        self._end = pexpect.EOF
        self.screen = Screen(rows, columns)
        self._child = pexpect.spawn(
            COMMAND[0],
            [*COMMAND[1:], *map(str, words)],
            env=environment,
            encoding="utf-8",
            timeout=30,
            echo=True,
            dimensions=(rows, columns),
        )

    def wait(self, prompt: str = "> ", *, turn: bool = True) -> str:
        """Until a prompt stands at the head of a line; what was shown since.  ``turn`` : turn pieces over."""
        seen = ""
        while True:
            ended = self._child.expect_exact(["\r\n" + prompt, "-- Enter shows the rest --", self._end])
            shown = self._child.before + ("" if ended == 2 else self._child.after)
            self.screen.feed(shown)
            seen += shown
            if ended != 1 or not turn:
                return seen.replace("\r\n", "\n")
            self._child.sendline("")

    def send(self, line: str) -> None:
        """Type a line, and wait for nothing."""
        self._child.sendline(line)

    def type(self, *lines: str) -> str:
        """Type lines, each at its prompt; what is shown after the last."""
        seen = ""
        for line in lines:
            self._child.sendline(line)
            seen = self.wait()
        return seen

    def close(self) -> None:
        """End it."""
        self._child.close(force=True)
