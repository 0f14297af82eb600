"""The engines of a boosted job as they stand: a cylinder, the baseline beside it, and what each lever does to one."""

from __future__ import annotations

from ccassist.analysis.cylinder import Cylinder
from ccassist.boost.knock_charge import Habit
from ccassist.boost.levers import LEVERS, Effect, Engine, effects
from ccassist.boost.stand import Stand
from ccassist.plan.boost.build import Build
from ccassist.plan.boost.into_file import held_lines
from ccassist.plan.boost.knock import habit_of, unready
from ccassist.plan.boost.stated import Running
from ccassist.plan.boost.story import BoostStory, baseline_beside
from ccassist.plan.solved.into_file import Line
from ccassist.values.findings import Finding, InputError, error
from ccassist.values.measured import nominal
from ccassist.vocabulary import term


def stand_of(story: BoostStory, build: Build, cylinder: Cylinder) -> Stand:
    """One cylinder of the engine as it stands; raises InputError without conditions."""
    if story.conditions is None or story.running is None:
        raise InputError(not_ready(story))
    return Stand(geometry=build.geometry, conditions=story.conditions, habit=_habit(story.running, cylinder))


def baseline_stand(story: BoostStory, number: int | None = None) -> tuple[Stand | None, tuple[Finding, ...]]:
    """The baseline as it stands beside a cylinder; or None and why nothing is compared with it.

    ``number`` : of the cylinder whose bore and crank it shares; that of the highest ratio where none is named.
    """
    number = story.worst if number is None else number
    running, own = story.baseline_running, story.running
    cylinder = next((c for c in story.survey.cylinders if c.number == number), None)
    build = next((one.build for one in story.cylinders if one.number == number), None)
    if own is None or cylinder is None or build is None:
        return None, ()
    base = None if running is None else baseline_beside(build.geometry, running)
    why = unready(own, cylinder.values.get("bore"), None if base is None else base.geometry, running)
    if why or base is None or running is None or running.conditions is None:
        return None, why
    return Stand(geometry=base.geometry, conditions=running.conditions, habit=_habit(running, cylinder)), ()


def _habit(running: Running, cylinder: Cylinder) -> Habit | None:
    bore = cylinder.values.get("bore")
    return None if bore is None else habit_of(running, bore)


def lever_effects(story: BoostStory) -> tuple[Effect, ...]:
    """What each lever does to the cylinder whose ratio may be the highest.

    Raises
    ------
    InputError : the ratio, the closing or the charge is not known.
    """
    return effects(_today(story), baseline_stand(story)[0])


def held_of_levers(story: BoostStory) -> tuple[Line, ...]:
    """What any step would move of what the baseline takes from the engine, as it is now.

    Raises
    ------
    InputError : as :func:`lever_effects`.
    """
    today = _today(story)
    made = (lever.step(today) for lever in LEVERS)
    moved = [line for one in made if isinstance(one, Engine) for line in held_lines(story, today.stand, one.stand)]
    return tuple(dict.fromkeys(moved)) if baseline_stand(story)[0] is not None else ()


def _today(story: BoostStory) -> Engine:
    """The cylinder whose ratio may be the highest, as it stands."""
    one = story.worst_one
    if one is None or one.build is None or story.conditions is None:
        raise InputError(not_ready(story))
    cylinder = next(c for c in story.survey.cylinders if c.number == one.number)
    known = {key: nominal(number) for key, number in cylinder.known.items()}
    stand = stand_of(story, one.build, cylinder).plain()
    return Engine(known=known, choices=cylinder.choices, stand=stand)


def not_ready(story: BoostStory) -> Finding:
    lacking = dict.fromkeys(key for one in story.cylinders for key in one.lacking)
    if lacking:
        wrong = f"boosted figures need what is not given: {', '.join(term(key).name for key in lacking)}"
        return error("missing-value", wrong, right="give it, measured or assumed", file=story.survey.job.file)
    wrong = "boosted figures need the charge"
    return error("no-charge", wrong, right='add [charge] with boost_gauge = "0.8 bar"', file=story.survey.job.file)
