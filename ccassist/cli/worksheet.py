"""``ccassist worksheet``: the filled worksheet as a PDF."""

from __future__ import annotations

from pathlib import Path

from ccassist.cli.screen import say
from ccassist.findings import InputError, clean, error
from ccassist.job.file import load_sound
from ccassist.results import sound_survey


def run(file: Path, *, out: Path | None, page: str, system: str | None, unknown: str | None, target: str | None) -> int:
    """Write the worksheet of a job; with an unknown and a target, its algebra stands in it too."""
    path = out or file.with_suffix(".pdf")
    if path.resolve() == file.resolve():
        raise InputError(error("same-file", "the worksheet would replace the job file", read=str(path), place="--out"))
    survey = sound_survey(load_sound(file).job)
    algebra = _algebra(survey, unknown, target, system)
    from ccassist.paper.worksheet import write_worksheet

    pages = write_worksheet(survey, path, page=page, system=system, algebra=algebra)
    say(f"Wrote {clean(str(path), 300)}, {pages} pages {page}.")
    return 0


def _algebra(survey: object, unknown: str | None, target: str | None, system: str | None) -> list[str]:
    from ccassist.cli.solve import answers, told
    from ccassist.results import Survey

    assert isinstance(survey, Survey)
    if unknown is None and target is None:
        return []
    if unknown is None or target is None:
        raise InputError(
            error("half-a-question", "--for and --to go together", right="--for crown_volume --to static_ratio=9")
        )
    found = answers(survey, unknown=unknown, target=target, cylinder=None, system=system)
    return told(found, system or survey.job.system)
