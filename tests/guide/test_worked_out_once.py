"""A reading typed on a job of eight cylinders is parsed, reduced and worked out once, and shown without more."""

from __future__ import annotations

import datetime
import sys
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from types import FrameType
from typing import Any

from ccassist.analysis import results
from ccassist.analysis.cylinder import cylinder_of
from ccassist.bench.reductions import reduce_cell
from ccassist.cli import engine
from ccassist.cli.screen import Showing
from ccassist.guide.keeping import post
from ccassist.guide.step import begin
from ccassist.guide.view import Action
from ccassist.job.file import JobReader
from ccassist.job.write import JobFile
from tests.eight_job import eight

NOW = datetime.datetime(2026, 11, 2, 10, 0)


def calls(work: Callable[[], object], *functions: Any) -> Counter[str]:
    """How often each of some functions runs while something is done."""
    names = {getattr(f, "__wrapped__", f).__code__: getattr(f, "__wrapped__", f).__qualname__ for f in functions}
    found: Counter[str] = Counter()

    def note(frame: FrameType, event: str, _: object) -> None:
        if event == "call" and frame.f_code in names:
            found[names[frame.f_code]] += 1

    before = sys.getprofile()
    sys.setprofile(note)
    try:
        work()
    finally:
        sys.setprofile(before)
    return found


def test_a_reading_is_worked_out_once_and_shown_without_more(tmp_path: Path) -> None:
    path = tmp_path / "eight.toml"
    path.write_text(eight(3), encoding="utf-8")
    watched = (JobReader.job, results.survey, reduce_cell, cylinder_of)
    with JobFile.open(path) as file:
        state, _ = begin(file.text, str(path), step="chamber", cylinder=3)

        def type_in(*texts: str) -> None:
            nonlocal state
            for text in texts:
                state, _ = post(state, Action.SAY, text, file, now=NOW)

        type_in("0.10 ml", "53.0 ml")  # a first reading, so that all before it is known
        found = calls(lambda: type_in("0.25 ml", "53.1 ml"), *watched)
        assert file.text.count('start = "0.25 ml"') == 1
        assert found == {"JobReader.job": 1, "survey": 1, "reduce_cell": 8, "cylinder_of": 8}
        again = calls(lambda: engine.show(path, Showing()), *watched)
        assert again == {}
