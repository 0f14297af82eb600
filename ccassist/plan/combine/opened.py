"""What the piston of each combination would have to be, where it is not chosen yet; and combinations kept as builds."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from ccassist.analysis.results import Survey
from ccassist.job import amend
from ccassist.job.records import Given
from ccassist.job.write import JobFile
from ccassist.plan.alternatives import Build, Evaluated, evaluated
from ccassist.plan.combine.search import Combination, Combined
from ccassist.values.findings import InputError, error
from ccassist.values.measured import Value


def with_pistons(survey: Survey, found: Combined) -> tuple[Combined, dict[int, Evaluated]]:
    """The rows with compression height and crown worked out from what is wanted, and how each was, by its number."""
    worked = {
        number: evaluated(survey, Build(name=str(number), values=_stated(row), open=row.open))
        for number, row in enumerate(found.best, 1)
        if row.open
    }
    best = [
        replace(row, values={**row.values, **worked[number].values}) if number in worked else row
        for number, row in enumerate(found.best, 1)
    ]
    return replace(found, best=tuple(best)), worked


def _stated(row: Combination) -> dict[str, Value]:
    """What the parts of a row state."""
    return {key: value for part in row.parts for key, value in part.values.items()}


def keep(survey: Survey, found: Combined, numbers: Sequence[int], path: Path) -> list[str]:
    """Write rows into the job file as alternatives; returns their names.

    Raises
    ------
    InputError : no such row, a build of that name is there already, or the file cannot be written.
    """
    for number in numbers:
        if not 1 <= number <= len(found.best):
            right = f"from 1 to {len(found.best)}"
            raise InputError(error("no-row", "no such row", read=str(number), right=right, place="--keep"))
    names = []
    with JobFile.open(path) as file:
        text = file.text
        for row in (found.best[number - 1] for number in numbers):
            name = (
                ", ".join(f"{part.name} {part.kind}" for part in row.parts if part.states) or "the engine's own parts"
            )
            if name in survey.job.alternatives:
                right = "take it out first, or keep another row"
                raise InputError(error("twice", "this build stands in the file already", read=name, right=right))
            text = _with_build(text, name, row, survey)
            names.append(name)
        file.save(text, file.text)
    return names


def _with_build(text: str, name: str, row: Combination, survey: Survey) -> str:
    """The file's text with a row as a build: what its parts state, as it was written, and what it leaves open."""
    section = ("alternative", name)
    for part in row.parts:
        stated: Mapping[str, Given] = survey.job.offered[part.kind][part.name]
        for key, given in stated.items():
            text = amend.state(text, section, key, given.texts[-1])
            if len(given.texts) > 1:
                text = amend.set_value(text, (*section, key), list(given.texts))
    if row.open:
        text = amend.set_value(amend.state(text, section, "open", row.open[0]), (*section, "open"), list(row.open))
    return text
