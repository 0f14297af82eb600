"""Every example command that the project prints, wherever it stands, and an engine to run those on that name one."""

from __future__ import annotations

import re
import shlex
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path

from typer.main import get_command

from ccassist.cli.app import app
from tests.boost_job import BASELINE, CAM, CHARGE

ROOT = Path(__file__).parents[1]
COMMANDS = get_command(app).commands  # type: ignore[attr-defined]
_HEAD = re.compile(rf"ccassist ({'|'.join(COMMANDS)})\b")
# What a reader has to bring: a filled form or a table.
_BROUGHT = ("--from",)

_TOP = """format = 1

[job]
name = "Two heads, four holes"
units = "metric"

[engine]
cylinders = 4
bore = "87.30 +/- 0.01 mm, measured"
stroke = "94.60 +/- 0.02 mm, measured"
rod_length = "151.20 +/- 0.02 mm, measured"
block_deck_height = "232.10 +/- 0.02 mm, measured"
compression_height = "33.45 +/- 0.02 mm, measured"
crown_volume = "dish 6.40 +/- 0.3 cc, measured"
chamber_area = "47.0 +/- 1 cm2, measured"
opening_centroid = "70 +/- 1 mm, measured"
engine_speed = "5400 rpm"

[counted]
crevice = "not counted"
chamfer = "not counted"

[wanted]
static_ratio = "9.2 to 9.6"
squish = "0.9 to 1.2 mm"

[part."left head"]
kind = "head"
cylinders = [1, 3]
states = ["as received", "seats cut"]

[part."right head"]
kind = "head"
cylinders = [2, 4]
states = ["as received", "seats cut"]

[part.gasket]
kind = "gasket"
gasket_bore = "88.6 +/- 0.1 mm, measured"
gasket_thickness = "1.10 +/- 0.03 mm, maker's figure"

[instrument."shop syringe"]
like = "syringe 60 ml"

[choice.gasket.thin]
gasket_thickness = "0.85 mm, maker's figure"

[choice.gasket.thick]
gasket_thickness = "1.10 mm, maker's figure"

[choice.pistons.flat]
crown_volume = "flat"

[choice.pistons.dished]
crown_volume = "dish 6.4 cc, maker's figure"

[alternative."short crank"]
stroke = "83.2 mm, maker's figure"
open = ["compression_height", "crown_volume"]
"""
_CALIBRATED = """
[[series]]
step = "calibrate"
instrument = "shop syringe"
scale = "scale 0.1 g"
fluid = "water"
temperature = "20 degC"
readings = [
"""
_CHAMBER = """
[[series]]
step = "chamber"
cylinder = {cylinder}
state = "{state}"
instrument = "shop syringe"
fluid = "water"
temperature = "20 degC"
plug = "fitted"
hole = "not filled"
readings = [
"""
_ROW = '    {{ full = 1, each = "60 ml", rest = "{rest:.1f} ml" }},\n'


def engine() -> str:
    """A job in which there is something for every command to work on."""
    amounts = (5, 10, 20, 30, 40, 50, 60, 5, 30, 60)
    steps = "".join(
        f'    {{ from = "{n} ml", to = "0 ml", before = "0.0 g", after = "{n * 0.995:.1f} g" }},\n' for n in amounts
    )
    text = _TOP + CAM + CHARGE + BASELINE + _CALIBRATED + steps + "]\n"
    for number in range(1, 5):
        for state, more in (("as received", 0.0), ("seats cut", 0.6)):
            rests = (2.0 + 0.3 * number + more + scatter for scatter in (0.0, 0.1, -0.1))
            text += _CHAMBER.format(cylinder=number, state=state) + "".join(_ROW.format(rest=r) for r in rests) + "]\n"
    return text


def commands() -> tuple[str, ...]:
    """Every example command, each once, where it can be run as it stands."""
    found = dict.fromkeys(" ".join(one.split()).rstrip(".,") for one in (*_helps(), *_files(), *_readme()))
    return tuple(one for one in found if not any(word in shlex.split(one) for word in _BROUGHT))


def _each(text: str) -> Iterator[str]:
    """The commands in a text that holds nothing else behind them on their line."""
    for line in text.splitlines():
        starts = [*(match.start() for match in _HEAD.finditer(line)), len(line)]
        for start, end in pairwise(starts):
            yield re.split(r"&&|;| #", line[start:end])[0]


def _helps() -> Iterator[str]:
    for command in COMMANDS.values():
        yield from _each(command.epilog or "")


def _files() -> Iterator[str]:
    for path in sorted((ROOT / "examples").glob("*.toml")):
        yield from _each(
            "\n".join(line for line in path.read_text(encoding="utf-8").splitlines() if line.startswith("#"))
        )


def _readme() -> Iterator[str]:
    """Blocks of commands; and what stands between back ticks, wrapped or not, by name or as "show FILE"."""
    parts = re.split(r"^```(\w*)\n(.*?)^```", (ROOT / "README.md").read_text(encoding="utf-8"), flags=re.M | re.S)
    for plain, language, block in zip(parts[::3], [*parts[1::3], ""], [*parts[2::3], ""], strict=True):
        yield from _each(block) if language == "sh" else ()
        for quoted in re.findall(r"`([^`]+)`", plain):
            said = " ".join(quoted.split())
            if re.match(rf"({'|'.join(COMMANDS)}) (FILE\b|--)", said):
                said = f"ccassist {said}"
            if _HEAD.match(said) and len(said.split()) > 2:
                yield said
