"""A sitting of the guide on a file, driven by the lines that are typed at its terminal."""

from __future__ import annotations

import datetime
import tomllib
from pathlib import Path

from ccassist.cli.guide import Typed, keyed, typed
from ccassist.guide.keeping import post
from ccassist.guide.step import begin
from ccassist.guide.view import Action, Shown
from ccassist.job.write import JobFile

NOON = datetime.datetime(2026, 11, 3, 12, 0)
HEADS = """\
format = 1
[job]
by = "Ida"
leave_out = "bore, stack, deck, crown, crown-bench, gasket, land"
[engine]
cylinders = 2
"""


class Sitting:
    """What is typed goes through the keys of the terminal; what is shown has its keys written."""

    def __init__(self, path: Path, text: str | None = HEADS, *, now: datetime.datetime = NOON) -> None:
        if text is not None:
            path.write_text(text, encoding="utf-8")
        self.path, self.now = path, now
        self.file = JobFile.open(path)
        self.open()

    def open(self, step: str = "", cylinder: int | None = None) -> Shown:
        """The first screen."""
        self.state, shown = begin(self.file.text, str(self.path), step=step, cylinder=cylinder)
        return self._seen(shown, Typed(Action.AGAIN))

    def type(self, *lines: str) -> Shown:
        """Type lines; the last screen."""
        for line in lines:
            self._do(typed(line, self.shown.question))
        return self.shown

    def finish(self) -> Shown:
        """The end of the input, as Ctrl-C."""
        return self._do(Typed(Action.FINISH))

    def _do(self, line: Typed) -> Shown:
        self.state, shown = post(self.state, line.action, line.text, self.file, now=self.now)
        return self._seen(shown, line)

    def _seen(self, shown: Shown, line: Typed) -> Shown:
        self.shown = keyed(shown, line)
        return self.shown

    @property
    def rows(self) -> list[dict[str, object]]:
        """All readings on the disk, in order."""
        series = tomllib.loads(self.path.read_text(encoding="utf-8")).get("series", [])
        return [row for block in series for row in block["readings"]]

    @property
    def said(self) -> str:
        """What the last screen says."""
        return "\n".join(map(str, self.shown.lines))

    @property
    def text(self) -> str:
        """The file as it stands."""
        return self.path.read_text(encoding="utf-8")

    @property
    def asked_for(self) -> str:
        """The value of a reading that is asked for now."""
        return next(f.name for f in self.state.fields if f.name not in self.state.typed)
