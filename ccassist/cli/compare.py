"""``ccassist compare``: are these two the same?"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from ccassist.analysis import compare
from ccassist.analysis.compare import Comparison, Contrast, compared
from ccassist.analysis.results import Survey, survey_of
from ccassist.cli.screen import say, say_json, table, unsure, wrapped
from ccassist.cli.shell import whole
from ccassist.values.asking import named
from ccassist.values.display import Formatter, formatter
from ccassist.values.findings import capital, clean
from ccassist.values.measured import computed
from ccassist.values.verdict import Verdict
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record

WIDE_TABLE = 3  # comparisons; from so many on they stand in a table


@record
class Asked:
    """What was asked on the command line, as text."""

    of: str | None = None
    cylinders: str | None = None
    parts: str | None = None
    states: str | None = None
    part: str | None = None
    largest: bool = False
    everything: bool = False


def run(file: Path, asked: Asked, *, system: str | None, as_json: bool) -> int:
    """Print the differences asked for; 0 whatever they show."""
    survey = survey_of(file)
    fmt = formatter(system or survey.job.system)
    found = _compared(survey, asked)
    if as_json:
        say_json(found.to_dict(fmt.system))
    else:
        _print(survey, found.key, found.contrasts, fmt)
    return 0


def _compared(survey: Survey, asked: Asked) -> Comparison:
    """What the texts ask for."""
    return compared(
        survey,
        named(asked.of, "--of").term.key if asked.of is not None else None,
        cylinders=[whole(text, "--cylinders") for text in _listed(asked.cylinders)],
        parts=_listed(asked.parts),
        states=_listed(asked.states),
        part=asked.part,
        largest=asked.largest,
        every=asked.everything,
    )


def _listed(text: str | None) -> list[str]:
    return [] if text is None else [part.strip() for part in text.split(",")]


def _print(survey: Survey, key: str, found: Sequence[Contrast], fmt: Formatter) -> None:
    say(clean(survey.job.name or survey.job.file, 79))
    say()
    name = term(key).name
    say(capital(name))
    if len(found) < WIDE_TABLE:
        for one in found:
            pair = clean(f"{one.first} less {one.second}", 200)
            wrapped(f"{pair}: {clean(compare.verdict_text(one, fmt), 300)}.", first="  ", rest="    ")
    else:
        table(["this", "less this", "is", "at 95 %"], [_row(one, fmt) for one in found])
    say()
    wrapped(f"What the two share (burette, plate, fluid) cancels in a difference. {_judged_text(found[0])}")
    unsure(((f"{one.first} less {one.second}", computed(key, one.difference)) for one in found), fmt)


def _judged_text(one: Contrast) -> str:
    """By what it is judged, and why."""
    once = "so that among all of them a false difference is shown once in twenty times at most."
    if one.count > 2:
        return f"Picked after looking at {one.count}: judged by the studentized range, {once}"
    if one.rows > 1:
        return f"{one.rows} rows looked at together: judged by Student's t widened for so many (Bonferroni), {once}"
    return "Named beforehand: judged by Student's t."


def _row(one: Contrast, fmt: Formatter) -> list[str]:
    """One line of a table of comparisons."""
    short = {Verdict.NOT_SHOWN: "not shown", Verdict.ONE_VALUE: "one value"}
    said = short.get(one.verdict, one.verdict.value)
    return [clean(one.first), clean(one.second), compare.amount_text(one, fmt, signed=True), said]
