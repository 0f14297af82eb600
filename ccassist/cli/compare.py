"""``ccassist compare``: are these two the same?"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from ccassist import compare
from ccassist.cli.screen import say, say_json, table, wrapped
from ccassist.compare import Contrast, Verdict
from ccassist.findings import InputError, clean, error
from ccassist.job.file import load_sound
from ccassist.measured import budget, degrees, nominal, standard
from ccassist.results import Survey, sound_survey
from ccassist.terms import Term, find, nearest, term
from ccassist.units import SI

WIDE_TABLE = 3  # comparisons; from so many on they stand in a table


@dataclass(frozen=True, kw_only=True)
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
    survey = sound_survey(load_sound(file).job)
    shown = system or survey.job.system
    key = _term(asked.of).key if asked.of else compare.default_key(survey)
    found = contrasts(survey, key, asked)
    if as_json:
        say_json(_to_dict(key, found, shown))
    else:
        _print(survey, key, found, shown)
    return 0


def contrasts(survey: Survey, key: str, asked: Asked) -> list[Contrast]:
    """The comparisons asked for; the largest against the smallest where none is named.

    Raises
    ------
    InputError : two kinds at once, a name that is not known, or nothing to compare.
    """
    kinds = [asked.parts, asked.states, asked.largest, asked.everything, asked.cylinders and not asked.states]
    if sum(bool(kind) for kind in kinds) > 1:
        right = "one of --cylinders, --parts, --states, --largest and --all"
        raise InputError(error("two-questions", "two comparisons at once", right=right))
    if asked.part and not asked.states:
        raise InputError(error("no-states", "--part goes with --states", right='--states "as received,seats cut"'))
    if asked.states:
        older, newer = _two(asked.states, "--states")
        return compare.states(survey, key, older, newer, _chosen(survey, asked))
    if asked.parts:
        return [compare.parts(survey, key, *_two(asked.parts, "--parts"))]
    if asked.cylinders:
        first, second = (_whole(text) for text in _two(asked.cylinders, "--cylinders"))
        return [compare.cylinders(survey, key, first, second)]
    return compare.all_pairs(survey, key) if asked.everything else [compare.largest(survey, key)]


def _chosen(survey: Survey, asked: Asked) -> list[int]:
    """The cylinders before and after work: those named, or those of the part, or none named."""
    if asked.cylinders and asked.part:
        raise InputError(error("two-questions", "--part or --cylinders, not both"))
    if asked.part:
        return compare.served(survey, asked.part, "--part")
    return [_whole(text) for text in (asked.cylinders or "").split(",") if text.strip()]


def _two(text: str, place: str) -> tuple[str, str]:
    found = [part.strip() for part in text.split(",")]
    if len(found) != 2 or not all(found):
        right = {"--cylinders": "1,4", "--parts": '"left head,right head"'}.get(place, '"as received,seats cut"')
        raise InputError(error("not-two", "two names with a comma between", read=text, place=place, right=right))
    return found[0], found[1]


def _whole(text: str) -> int:
    try:
        return int(text)
    except ValueError:
        raise InputError(error("not-whole", "a cylinder is a whole number", read=text, place="--cylinders")) from None


def _term(text: str) -> Term:
    found = find(text.strip())
    if found is None:
        near = nearest(text)
        right = f'did you mean "{near}"?' if near else ""
        raise InputError(error("unknown-term", "no such term", read=text, place="--of", right=right))
    return found


def _print(survey: Survey, key: str, found: Sequence[Contrast], system: str) -> None:
    say(clean(survey.job.name or survey.job.file, 79))
    say()
    name = term(key).name
    say(f"{name[:1].upper()}{name[1:]}")
    if len(found) < WIDE_TABLE:
        for one in found:
            pair = clean(f"{one.first} less {one.second}", 200)
            wrapped(f"{pair}: {clean(compare.verdict_text(one, system), 300)}.", first="  ", rest="    ")
    else:
        table(["this", "less this", "is", "at 95 %"], [_row(one, system) for one in found])
    say()
    count = found[0].count
    how = (
        f"Picked after looking at {count}: judged by the studentized range, so that among all of them a "
        "false difference is shown once in twenty times at most."
        if count > 2
        else "Named beforehand: judged by Student's t."
    )
    wrapped(f"What the two share (burette, plate, fluid) cancels in a difference. {how}")


def _row(one: Contrast, system: str) -> list[str]:
    """One line of a table of comparisons."""
    short = {Verdict.NOT_SHOWN: "not shown", Verdict.ONE_VALUE: "one value"}
    said = short.get(one.verdict, one.verdict.value)
    return [clean(one.first), clean(one.second), compare.amount_text(one, system, signed=True), said]


def _to_dict(key: str, found: Sequence[Contrast], system: str) -> dict[str, object]:
    return {
        "format": 1,
        "term": key,
        "name": term(key).name,
        "unit": SI.get(term(key).kind, ""),
        "picked_from": found[0].count if found[0].count > 2 else None,
        "judged_by": "studentized range" if found[0].count > 2 else "Student's t",
        "comparisons": [_contrast(one, system) for one in found],
    }


def _contrast(one: Contrast, system: str) -> dict[str, object]:
    """One comparison, SI; a ± that is not known yet is null."""
    u, spread, dof = standard(one.difference), one.expanded, degrees(budget(one.difference))
    known = not math.isnan(spread)
    return {
        "first": one.first,
        "second": one.second,
        "difference": nominal(one.difference),
        "standard_uncertainty": u if known else None,
        "expanded_uncertainty": spread if known else None,
        "degrees_of_freedom": dof if known and math.isfinite(dof) else None,
        "verdict": one.verdict.value,
        "text": compare.verdict_text(one, system),
    }
