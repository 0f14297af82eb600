"""The whole assembly against the sum of its parts, as ``show`` prints it."""

from __future__ import annotations

from ccassist.analysis import assembly_words as words
from ccassist.analysis.assembly import compare_assembly
from ccassist.analysis.results import Survey
from ccassist.cli.screen import say, table, unsure, wrapped
from ccassist.values.measured import computed


def whole_against_parts(survey: Survey, system: str) -> None:
    """One row a cylinder that was filled through its plug hole; nothing where none was."""
    checks = compare_assembly(survey)
    if not checks:
        return
    say()
    wrapped(words.lead(system))
    table(["cyl", *words.head(checks)], words.rows(checks, system))
    if any(check.crevice_known for check in checks):
        wrapped(words.HOLDS, rest="  ")
    apart = [(f"cylinder {one.cylinder}, whole less parts", computed(words.KEY, one.difference)) for one in checks]
    unsure(apart, system)
