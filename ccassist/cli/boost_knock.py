"""Knock on the screen: an octane difference from the baseline with what makes its interval, or why there is none."""

from __future__ import annotations

from ccassist.cli.screen import list_findings, say, wrapped
from ccassist.plan.boost import words
from ccassist.plan.boost.story import BoostStory


def print_knock(story: BoostStory) -> None:
    """The comparison with the baseline."""
    knock = story.knock
    say()
    say("Knock, as a comparison with the baseline only")
    if knock is None:
        wrapped(words.NOT_COMPARED, first="  ")
        return
    if knock.difference is None:
        for finding in knock.refused:
            wrapped(f"not compared: {finding.text()}", first="  ", rest="    ")
        return
    drawn = f"drawn: {words.drawn_text()}"
    for text in (
        words.against_text(story),
        words.difference_text(knock),
        words.made_text(knock),
        drawn,
        words.share_text(knock),
    ):
        wrapped(text, first="  ", rest="    ")
    list_findings(knock.findings)
