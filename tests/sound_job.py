"""A small sound job, and ways to change it and to run the command on it."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from ccassist.cli import app

SOUND = """format = 1

[job]
name = "Bench job"
units = "metric"

[engine]
cylinders = 2
bore = "83.40 +/- 0.01 mm, measured"
stroke = "91.70 +/- 0.02 mm, measured"
deck_clearance = "0.20 +/- 0.02 mm below deck, measured"
crown_volume = "dish 8.7 +/- 0.3 cc, measured"

[counted]
crevice = "not counted"

[part.gasket]
kind = "gasket"
gasket_bore = "84.9 +/- 0.1 mm, measured"
gasket_thickness = "1.30 +/- 0.05 mm, maker's figure"

[part.head]
kind = "head"
states = ["as received", "seats cut"]

[[series]]
step = "chamber"
cylinder = 1
state = "seats cut"
instrument = "burette 50 ml class B"
fluid = "water"
temperature = "20 degC"
plug = "fitted"
hole = "not filled"
readings = [
    { start = "0.10 ml", end = "46.15 ml" },
    { start = "0.15 ml", end = "46.25 ml" },
    { start = "0.10 ml", end = "46.35 ml" },
]

[[series]]
step = "chamber"
cylinder = 2
state = "seats cut"
instrument = "burette 50 ml class B"
fluid = "water"
temperature = "20 degC"
plug = "fitted"
hole = "not filled"
readings = [
    { start = "0.10 ml", end = "46.55 ml" },
    { start = "0.15 ml", end = "46.75 ml" },
    { start = "0.10 ml", end = "46.65 ml" },
]
"""
# An improvised burette and its calibration, to be added to a job.
TUBE = """[instrument."marked tube"]
like = "bottle"
resolution = "0.5 ml"
capacity = "100 ml"
[[series]]
step = "calibrate"
instrument = "marked tube"
fluid = "water"
scale = "scale 0.01 g"
temperature = "21 degC"
readings = [
    { to = "20 ml", before = "0 g", after = "19.80 g" },
    { to = "40 ml", before = "0 g", after = "39.70 g" },
    { to = "60 ml", before = "0 g", after = "59.46 g" },
]
"""

END = "__end__"  # a change of this is put at the end of the file


def changed(*changes: tuple[str, str] | list[str]) -> str:
    """The sound job with texts replaced, each once."""
    text = SOUND
    for old, new in changes:
        if old == END:
            text = text.rstrip("\n") + f"\n\n{new}\n"
        else:
            assert old in text, old
            text = text.replace(old, new, 1)
    return text


class Shop:
    """Runs the command in-process, in a folder of its own, and keeps what it printed."""

    def __init__(self, folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
        self.folder, self._patch, self._capsys = folder, monkeypatch, capsys
        monkeypatch.chdir(folder)
        monkeypatch.setenv("CCASSIST_TRACEBACK", "1")  # a fault of the program itself fails the test
        self.out = self.err = ""

    def write(self, text: str | bytes, name: str = "job.toml") -> Path:
        """A job file in the folder."""
        path = self.folder / name
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return path

    def run(self, *words: str) -> int:
        """The exit code of ``ccassist WORDS``; its output is then in ``out`` and ``err``."""
        self._patch.setattr(sys, "argv", ["ccassist", *words])
        self._capsys.readouterr()
        try:
            app.main()
            code: object = 0
        except SystemExit as end:
            code = end.code
        self.out, self.err = self._capsys.readouterr()
        assert isinstance(code, int)
        return code

    @property
    def lines(self) -> str:
        """Everything on standard output, unwrapped: one space where there were several or a new line."""
        return " ".join(self.out.split())
