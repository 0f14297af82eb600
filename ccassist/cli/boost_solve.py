"""``ccassist boost --for … --to …``: what a part, the charge or the burn must be for a boosted target."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path

from ccassist.analysis.results import survey_of
from ccassist.cli.screen import list_findings, say, say_json, table, unsure, wrapped
from ccassist.job.outputs import check_output
from ccassist.plan.boost import words
from ccassist.plan.boost.solve import Boosted, boosted_for
from ccassist.report.solve import CONFIRM, results_of, worked_lines
from ccassist.solve.wish import wished
from ccassist.values.display import Formatter, formatter
from ccassist.values.findings import Finding, clean
from ccassist.vocabulary import term


def run(
    file: Path,
    *,
    unknowns: Sequence[str],
    targets: Sequence[str],
    system: str | None,
    as_json: bool,
    out: Path | None = None,
    page: str = "A4",
    force: bool = False,
) -> int:
    """Print the answer of every cylinder, on pages too where asked; 1 where it is not possible in any."""
    if out is not None:
        check_output(out, "--out", file, force=force)
    survey = survey_of(file)
    fmt = formatter(system or survey.job.system)
    found = boosted_for(survey, wished(unknowns, targets, fmt.system), fmt)
    if as_json:
        say_json(found.to_dict())
    else:
        _print(found, fmt)
    if out is not None:
        from ccassist.paper.boost_pages import write_answer

        pages = write_answer(found, out, page=page, system=fmt.system)
        say(f"Wrote {clean(str(out), 300)}, {pages} page{'s' if pages > 1 else ''} {page}.", error=as_json)
    return 0 if found.possible else 1


def _print(made: Boosted, fmt: Formatter) -> None:
    say(clean(made.story.survey.job.name or made.story.survey.job.file, 79))
    told = words.told_of(made)
    if told is None:
        for text in words.refused_texts(made):
            wrapped(text, rest="  ")
        return
    say(f"Cylinder {told.cylinder}.")
    say()
    for line in words.answer_lines(told, worked_lines(told.parts, fmt), fmt):
        wrapped(line, rest=" " * (len(line) - len(line.lstrip()) + 2)) if line else say()
    if len(made.cylinders) > 1:
        say()
        rows = [words.answer_row(one, made.wish, fmt) for one in made.cylinders]
        table(["cyl", *(term(key).name for key in made.wish.unknowns)], rows)
        for text in words.refused_texts(made):
            wrapped(text, rest="  ")
    _print_into(words.into_texts(made, fmt))
    unsure(results_of(made.cylinders), fmt)
    say()
    wrapped(words.basis_text(made))
    _print_findings(f for one in made.cylinders if not one.reason for f in one.findings)
    for caution in made.cautions:
        wrapped(caution, first="  ! ", rest="    ")
    say(CONFIRM)


def _print_into(texts: Sequence[str]) -> None:
    """How an answer is put into the job file, step by step."""
    if texts:
        say()
        say("To put it into the job file, once it is made so:" if "cannot" not in texts[0] else "Not in the job file:")
    for text in texts:
        wrapped(text, first="  ", rest="      ")


def _print_findings(findings: Iterable[Finding]) -> None:
    noticed = dict.fromkeys(findings)
    if noticed:
        say()
        list_findings(noticed)
    say()
