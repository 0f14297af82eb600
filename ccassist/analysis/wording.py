"""Names and numbers joined as in a sentence, and what a survey lacks said in one."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from ccassist.job.vocabulary import purposes_of
from ccassist.values.findings import runs
from ccassist.vocabulary import term

if TYPE_CHECKING:
    from ccassist.analysis.results import Survey


def listed(items: Sequence[str]) -> str:
    """Words joined as in a sentence.

    >>> listed(["bore", "stroke", "rod"])
    'bore, stroke and rod'
    """
    return items[0] if len(items) == 1 else f"{', '.join(items[:-1])} and {items[-1]}" if items else ""


def whose(numbers: Sequence[int]) -> str:
    """Cylinders by their numbers, in the order given.

    >>> whose([3]), whose([1, 2, 3])
    ('cylinder 3', 'cylinders 1, 2, 3')
    """
    return f"cylinder{'s' if len(numbers) > 1 else ''} {', '.join(map(str, numbers))}"


def cylinders_in_words(numbers: Sequence[int]) -> str:
    """Cylinder numbers with runs drawn together.

    >>> cylinders_in_words([1, 2, 3, 5])
    '1 to 3, 5'
    """
    return runs(numbers)


def lacking_texts(survey: Survey) -> list[str]:
    """What could not be had, and what is not given for it: one sentence for all cylinders alike.

    Nothing where bare heads are all that the job is for and nothing lacking is wanted: nobody asks them for a ratio.
    """
    lacking = {key for cylinder in survey.cylinders for key in cylinder.model.lacking}
    if purposes_of(survey.job.about) == ("heads",) and not lacking & set(survey.wanted):
        return []
    groups: dict[tuple[tuple[str, ...], tuple[str, ...]], list[int]] = {}
    for cylinder in survey.cylinders:
        missing = cylinder.model.lacking
        wants = tuple(dict.fromkeys(lack for lacks in missing.values() for lack in lacks))
        if missing:
            groups.setdefault((tuple(missing), wants), []).append(cylinder.number)
    return [
        f"Not worked out{'' if len(who) == len(survey.cylinders) else f' for cylinder {cylinders_in_words(who)}'}: "
        f"{listed([term(key).name for key in names])}. Not given: {listed([term(key).name for key in wants])}."
        for (names, wants), who in groups.items()
    ]
