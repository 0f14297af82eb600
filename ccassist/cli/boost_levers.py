"""``ccassist boost --levers``: what one step of each lever does to every figure, and what it costs."""

from __future__ import annotations

from pathlib import Path

from ccassist.analysis.results import survey_of
from ccassist.boost.levers import GENERAL
from ccassist.cli.screen import say, say_json, table, wrapped
from ccassist.job.outputs import check_output
from ccassist.plan.boost import lever_words as words
from ccassist.plan.boost.answers import Levers, levers_of
from ccassist.values.findings import clean


def run(
    file: Path, *, system: str | None, as_json: bool, out: Path | None = None, page: str = "A4", force: bool = False
) -> int:
    """Print what each lever does to the cylinder whose ratio may be the highest, on pages too where asked."""
    if out is not None:
        check_output(out, "--out", file, force=force)
    survey = survey_of(file)
    shown = system or survey.job.system
    made = levers_of(survey, shown)
    if as_json:
        say_json(made.to_dict())
    else:
        _print(made, shown)
    if out is not None:
        from ccassist.paper.boost_pages import write_levers

        pages = write_levers(made, out, page=page, system=shown)
        say(f"Wrote {clean(str(out), 300)}, {pages} page{'s' if pages > 1 else ''} {page}.", error=as_json)
    return 0


def _print(made: Levers, system: str) -> None:
    say(clean(made.story.survey.job.name or made.story.survey.job.file, 79))
    wrapped(words.lead_text(made))
    keys = words.shown_keys(made)
    say()
    table(["", *(words.SHORT[key] for key in keys)], words.rows(made, system))
    for text in (words.units_text(keys, system), *words.notes(made, system)):
        wrapped(text, rest="  ")
    say()
    for effect in made.effects:
        wrapped(words.price_text(effect), rest="  ")
    say()
    for text in GENERAL:
        wrapped(text, first="- ", rest="  ")
    say()
    for caution in made.cautions:
        wrapped(caution, first="  ! ", rest="    ")
