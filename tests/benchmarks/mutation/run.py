"""Draws mutants, makes each in a copy of the tree, and runs the tests of its room."""

from __future__ import annotations

import os
import re
import resource
import shutil
import subprocess
import sys
from collections.abc import Iterable, Iterator
from dataclasses import replace
from pathlib import Path
from random import Random

from .places import Place, places

ROOMS = ("engine", "bench", "solve", "boost")
TOP = Path(__file__).parents[3]
EQUIVALENT = Path(__file__).parent / "equivalent.txt"
SECONDS = 60  # of the processor, a mutant
CONSTANTS = 3  # of constants, most of them figures of a table, one place in so many is drawn from
DIED, LIVED, SLOW = "died", "LIVED", "out of time"
FAILED = (1, 2, 4)  # what pytest ends with: a test failed, a module of tests or the place itself did not load
NOTHING = 5  # it found no test


def all_places(top: Path, seed: int) -> list[Place]:
    """Every place of the four rooms but those that change nothing, shuffled by the seed."""
    known, random = equivalents(), Random(seed)
    found, seen = [], set[str]()
    for file in (path for room in ROOMS for path in sorted((top / "ccassist" / room).rglob("*.py"))):
        name = str(file.relative_to(top))
        for place in places(name, file.read_text(encoding="utf-8")):
            drawn = random.random() < 1 / CONSTANTS or not place.old.replace(".", "").replace("e-", "").isdigit()
            seen.add(str(place))
            if drawn and str(place) not in known:
                found.append(place)
    if stale := known.keys() - seen:
        raise SystemExit("no place any more, or changed: " + "\n".join(sorted(stale)))
    random.shuffle(found)
    return found


def equivalents() -> dict[str, str]:
    """The mutants that change nothing, with the reason: ``file | line | old -> new | reason``."""
    rows = (line for line in EQUIVALENT.read_text(encoding="utf-8").splitlines() if line.startswith("ccassist/"))
    return {place: reason for place, _, reason in (row.rpartition(" | ") for row in rows)}


def tests_of(place: Place, top: Path) -> tuple[list[str], list[str]]:
    """The tests of its room: those named after its module or naming it; the others and the references of the room."""
    dotted = place.file.removesuffix(".py").replace("/", ".").removesuffix(".__init__")
    room, called = dotted.split(".")[1], dotted.rpartition(".")[2]
    files = [*(top / "tests" / room).rglob("test_*.py"), *(top / "tests" / "references").glob("test_*.py")]
    texts = {file: text_of(file, top) for file in sorted(files)}
    near = [file for file, text in texts.items() if called in file.stem or names(text, dotted)]
    rest = [
        file for file, text in texts.items() if file not in near and (room in file.parts or f"ccassist.{room}" in text)
    ]
    return [place.file, *(str(file.relative_to(top)) for file in near)], [str(file.relative_to(top)) for file in rest]


def text_of(file: Path, top: Path) -> str:
    """The text of a test, and of the modules of tests whose makers of jobs it imports."""
    text = file.read_text(encoding="utf-8")
    helpers = (top / f"{name.replace('.', '/')}.py" for name in re.findall(r"^from (tests\.\S+) import", text, re.M))
    return "\n".join([text, *(helper.read_text(encoding="utf-8") for helper in helpers if helper.is_file())])


def names(text: str, dotted: str) -> bool:
    """Whether a test imports a module, by its own name or from its folder."""
    folder, _, name = dotted.rpartition(".")
    imported = (line for line in text.splitlines() if line.startswith(f"from {folder} import "))
    return dotted in text or any(name in line.replace(",", " ").split() for line in imported)


def judged(place: Place, copy: Path, number: int) -> str:
    """Whether the tests kill a mutant: one test that fails, or a module that no longer loads."""
    file = copy / place.file
    source = file.read_text(encoding="utf-8")
    file.write_text(source[: place.start] + place.new + source[place.end :], encoding="utf-8")
    os.utime(file, (number, number))  # what was compiled of another mutant is of another time
    try:
        return said(copy, tests_of(place, copy))
    finally:
        file.write_text(source, encoding="utf-8")


def said(copy: Path, groups: Iterable[list[str]]) -> str:
    """What the tests say, a group after the other until one of them fails."""
    for tests in filter(None, groups):
        code = pytest(copy, tests)
        if code not in (0, NOTHING):
            return DIED if code in FAILED else SLOW if code < 0 else f"not run: {code}"
    return LIVED


def pytest(copy: Path, tests: list[str]) -> int:
    """Run tests of the copy until one fails; the code it ends with, negative where its time ran out."""
    command = [sys.executable, "-m", "pytest", "-x", "-q", "-p", "no:cacheprovider", "--hypothesis-seed=0"]
    told = {**os.environ, "PYTHONPATH": str(copy)}
    done = subprocess.run([*command, *tests], cwd=copy, env=told, capture_output=True, check=False, preexec_fn=_limited)
    return done.returncode


def _limited() -> None:
    resource.setrlimit(resource.RLIMIT_CPU, (SECONDS, SECONDS + 5))


def run(count: int, seed: int, first: int = 0) -> Iterator[tuple[Place, str]]:
    """Each mutant and what became of it."""
    drawn = all_places(TOP, seed)[:count][first:]
    copy = Path(os.environ.get("TMPDIR", "/tmp")) / f"mutants.{os.getpid()}"
    shutil.copytree(TOP, copy, ignore=shutil.ignore_patterns(".*", "__pycache__", "*.pdf"), dirs_exist_ok=True)
    try:
        for room in ROOMS:
            if said(copy, tests_of(replace(drawn[0], file=f"ccassist/{room}/__init__.py"), copy)) == DIED:
                raise SystemExit(f"the tests of {room} fail before anything is changed")
        for number, place in enumerate(drawn, first + 1):
            yield place, judged(place, copy, number)
    finally:
        shutil.rmtree(copy)
