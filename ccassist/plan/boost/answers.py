"""A boosted target answered for every cylinder, and what each lever does, each with the cautions that go with it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ccassist.analysis.results import Survey
from ccassist.boost.cautions import beside
from ccassist.boost.equivalents import CRITERIA
from ccassist.boost.figures import OCTANE
from ccassist.boost.levers import GENERAL, Effect
from ccassist.plan.boost.solve import Solved, solve_story
from ccassist.plan.boost.stands import held_of_levers, lever_effects
from ccassist.plan.boost.story import BoostStory, boost_story
from ccassist.plan.solved.into_file import IntoFile, Line
from ccassist.plan.solved.wish import Wish, wish_of
from ccassist.values.findings import InputError, errors


@dataclass(frozen=True, kw_only=True)
class Boosted:
    """What was asked of a boosted engine, and the answer of every cylinder."""

    story: BoostStory
    wish: Wish
    cylinders: tuple[Solved, ...]

    @property
    def possible(self) -> bool:
        """Whether any cylinder has an answer."""
        return any(not one.reason for one in self.cylinders)

    @property
    def cautions(self) -> tuple[str, ...]:
        """What must stand beside the figures asked about."""
        groups = ["trapped", "charge", "compression"]
        groups += ["equivalents"] if any(k in CRITERIA or k == "root_equivalent" for k in self.wish.targets) else []
        groups += ["knock"] if OCTANE in self.wish.targets else []
        return _beside(groups)

    def to_dict(self, system: str | None = None) -> dict[str, Any]:
        """Plain data, SI; ``system`` : units of the texts."""
        return {"cylinders": [one.to_dict(system) for one in self.cylinders], "cautions": list(self.cautions)}


@dataclass(frozen=True, kw_only=True)
class Levers:
    """What one step of each lever does to the cylinder whose ratio may be the highest.

    ``held`` : what a step would move of what the baseline takes from the engine; written out it stays as it is here.
    """

    story: BoostStory
    effects: tuple[Effect, ...]
    held: tuple[Line, ...] = ()

    @property
    def compared(self) -> bool:
        """Whether knock is compared with a baseline."""
        return any(OCTANE in effect.changes for effect in self.effects)

    @property
    def cautions(self) -> tuple[str, ...]:
        """What must stand beside the figures."""
        return _beside(["trapped", "charge", "compression", "equivalents", *(("knock",) if self.compared else ())])

    def to_dict(self) -> dict[str, Any]:
        """Plain data, SI."""
        return {
            "cylinder": self.story.worst,
            "levers": [effect.to_dict() for effect in self.effects],
            "baseline_held": IntoFile(lines=self.held).to_dict(self.story.survey.job.system)["lines"],
            "general": list(GENERAL),
            "cautions": list(self.cautions),
        }


def boosted(
    survey: Survey, unknowns: str | Sequence[str], targets: Mapping[str, str | float], *, system: str | None = None
) -> Boosted:
    """What a part, the charge or the burn must be for a target under boost, in every cylinder.

    Parameters are those of :func:`ccassist.plan.solved.found.solved`; planning figures all.

    Raises
    ------
    InputError : cam card or charge contradict themselves, or the question is not sound.
    """
    shown = system or survey.job.system
    return boosted_for(survey, wish_of(unknowns, targets, shown), shown)


def boosted_for(survey: Survey, wish: Wish, system: str | None = None) -> Boosted:
    """What the unknowns must be in every cylinder.

    Raises
    ------
    InputError : cam card or charge contradict themselves, or the question is not sound.
    """
    story, shown = _ready(survey, system), system or survey.job.system
    return Boosted(story=story, wish=wish, cylinders=solve_story(story, wish.unknowns, wish.targets, system=shown))


def levers_of(survey: Survey, system: str | None = None) -> Levers:
    """What each lever does.

    Raises
    ------
    InputError : cam card or charge contradict themselves, or something needed is not given.
    """
    story = _ready(survey, system)
    return Levers(story=story, effects=lever_effects(story), held=held_of_levers(story))


def _ready(survey: Survey, system: str | None) -> BoostStory:
    """The story without its comparison of knock, every fault of cam card and charge raised."""
    story = boost_story(survey, system=system, with_knock=False)
    faults = errors(story.findings)
    if faults:
        raise InputError(faults)
    return story


def _beside(groups: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(text for group in (*groups, "all") for text in beside(group)))
