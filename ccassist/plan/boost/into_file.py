"""An answer to a boosted target as lines of the job file, and what the baseline takes from the engine held as it was.

What ``[baseline]`` does not state is taken from the engine itself, so that it
would follow whatever is changed there.  Solver, levers and maps hold it; in
the file it is held by writing out under ``[baseline]`` what the change moves.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import isclose

from ccassist.analysis.cylinder import Cylinder
from ccassist.boost.figures import RUN, Stand
from ccassist.boost.levers import LEVERS, Engine, LeverEffect, effects
from ccassist.boost.solve_boost import RATIO
from ccassist.engine.mathematics import plain
from ccassist.job.sections import GEOMETRIC, ON_SITE
from ccassist.plan.boost.build import Build, as_run, habit_of, unready
from ccassist.plan.boost.stated import GEOMETRY, Running, bore_of, shared_air
from ccassist.plan.boost.story import BoostStory, baseline_beside, taken_from_engine
from ccassist.plan.solved import CLOSING, FileLine, IntoFile, into_file, stated_lines
from ccassist.values.findings import Finding, InputError, error
from ccassist.values.measured import Value
from ccassist.values.number import nominal
from ccassist.vocabulary import term
from ccassist.vocabulary.units import Origin

HELD = "until now taken from this engine: the baseline stays as it is"
_INSTEAD = {
    "boost_gauge": ("manifold_pressure",),
    "manifold_pressure": ("boost_gauge",),
    "altitude": ("barometer", "barometer_is"),
}
ENGINE_WIDE = (CLOSING, "charge_temperature", "cooler_effectiveness", *_INSTEAD, "burn_phasing")
_FELT = 1e-12  # of a value: a smaller change is rounding


def put_in(story: BoostStory, number: int, before: Stand, after: Stand, answer: Mapping[str, float]) -> IntoFile:
    """How an answer is put into the file so that it gives its target back.

    story : what was asked of.
    number : the cylinder.
    before, after : its engine as it stands, and with the answer.
    answer : unknown -> its value, SI; parts, or one of the charge or of the burn.
    """
    refused = _cannot(story, answer)
    if refused:
        return IntoFile(refused=refused)
    (unknown, *_) = answer
    if unknown in ENGINE_WIDE:
        return IntoFile(lines=(*_own_lines(story, unknown, answer[unknown]), *held_lines(story, before, after)))
    made = into_file(story.survey, number, answer, {RATIO: nominal(after.geometry.static_ratio)})
    return IntoFile(lines=(*made.lines, *held_lines(story, before, after)), aside=made.aside, refused=made.refused)


def _cannot(story: BoostStory, answer: Mapping[str, float]) -> str:
    if RATIO in answer and story.worst is None:
        return "chamber and crown follow later, and the static ratio from them"
    if RATIO in answer:
        return "the static ratio follows from the parts: ask for one of them, such as --for crown_volume"
    if "octane_number" in answer:
        return (
            "engine and baseline are compared on one fuel, the baseline's; this is what the engine asks of the fuel, "
            "and changes nothing of the comparison"
        )
    if any(f.code == "ordered-pistons" for f in story.findings) and not set(answer) <= set(ENGINE_WIDE):
        return "the pistons are those to be ordered, which the file does not state yet: state them first"
    return ""


def _own_lines(story: BoostStory, key: str, number: float) -> tuple[FileLine, ...]:
    """The answer in [charge] or [cam], and what is stated now in its place."""
    if key == CLOSING:
        return tuple(stated_lines(story.survey, 0, key, number + story.shift))  # as read
    charge = story.survey.job.stated.get("charge", {}).keys() | story.survey.job.said.get("charge", {}).keys()
    gone = [
        FileLine(section=("charge",), key=other, why="the answer stands in its place")
        for other in _INSTEAD.get(key, ())
        if other in charge
    ]
    return (FileLine(section=("charge",), key=key, number=number), *_counted_from("charge", key, charge), *gone)


def _counted_from(section: str, key: str, said: object) -> tuple[FileLine, ...]:
    """An altitude is worked out as a geometric one."""
    if key == "altitude" and "altitude_is" in said:  # type: ignore[operator]
        return (FileLine(section=(section,), key="altitude_is", words=GEOMETRIC),)
    return ()


def held_lines(story: BoostStory, before: Stand, after: Stand) -> tuple[FileLine, ...]:
    """What the change moves of what the baseline takes from the engine, written out as it was."""
    base = story.baseline_running
    if base is None or story.running is None or story.conditions is None:
        return ()
    keys = dict.fromkeys(key for key in (*GEOMETRY, *RUN) if key not in base.stated and key != RATIO)
    keys |= dict.fromkeys(shared_air(before.conditions, base.stated))
    moved = [key for key in keys if _moved(before, after, key)]
    if "altitude" in moved or (
        "barometer" in moved and before.conditions.values["barometer"].origin == Origin.COMPUTED
    ):
        moved = [key for key in moved if key not in ("altitude", "barometer")] + ["altitude"]
    said = story.survey.job.said.get("baseline", {})
    found: list[FileLine] = []
    for key in moved:
        found += [_held(story.running, base, story.closing, before, key), *_counted_from("baseline", key, said)]
        if key == "barometer" and "barometer_is" not in said:
            found.append(FileLine(section=("baseline",), key="barometer_is", words=ON_SITE, why=HELD))
    return tuple(found)


def frozen_lines(story: BoostStory) -> tuple[FileLine, ...]:
    """All that the baseline takes from the engine, written out as it is; nothing where it takes nothing."""
    taken = taken_from_engine(story)
    if story.running is None or not taken:
        return ()
    held = {one.key for one in taken}
    words = [
        FileLine(section=("baseline",), key=key, words=text)
        for key, text in story.running.said.items()
        if key not in story.survey.job.said.get("baseline", {}) and (key not in _PLACED or _PLACED[key] in held)
    ]
    lines = [
        FileLine(section=("baseline",), key=one.key, words=one.raw[0])
        if len(one.raw) == 1
        else FileLine(section=("baseline",), key=one.key, number=one.nominal)
        for one in taken
    ]
    return (*lines, *words)


_PLACED = {"barometer_is": "barometer", "altitude_is": "altitude"}  # words that go with a figure


def _moved(before: Stand, after: Stand, key: str) -> bool:
    old, new = before.now(key), after.now(key)
    if old is None or new is None:
        return old is not new
    return not isclose(float(plain(old)), float(plain(new)), rel_tol=_FELT, abs_tol=_FELT)


def _held(own: Running, base: Running, closing: Value | None, before: Stand, key: str) -> FileLine:
    """As the file states it now, word for word, where it does; else the number."""
    now = before.now(key)
    number = 0.0 if now is None else float(plain(now))  # no altitude is sea level
    if key == "burn_phasing" and key in base.run:  # which may go by the spark of both
        number = base.run[key].nominal
    stated = closing if key == CLOSING else own.stated.get(key)
    if stated is not None and len(stated.raw) == 1 and stated.nominal == number:  # a geopotential altitude is another
        return FileLine(section=("baseline",), key=key, words=stated.raw[0], why=HELD)
    return FileLine(section=("baseline",), key=key, number=number, why=HELD)


# The engines of a boosted job as they stand: a cylinder, the baseline beside it, and what each lever does to one.


def stand_of(story: BoostStory, build: Build, cylinder: Cylinder) -> Stand:
    """One cylinder of the engine as it stands; raises InputError without conditions."""
    if story.conditions is None or story.running is None:
        raise InputError(not_ready(story))
    bore = cylinder.values.get("bore")
    habit = None if bore is None else habit_of(story.running, bore)  # none is needed before knock is asked about
    return Stand(geometry=build.geometry, conditions=story.conditions, habit=habit)


def baseline_stand(
    story: BoostStory, number: int | None = None, build: Build | None = None
) -> tuple[Stand | None, tuple[Finding, ...]]:
    """The baseline as it stands beside a cylinder; or None and why nothing is compared with it.

    ``number`` : of the cylinder whose bore and crank it shares; that of the highest ratio where none is named.
    ``build`` : that cylinder's engine where the story has none of it yet.
    """
    number = story.worst if number is None else number
    running, own = story.baseline_running, story.running
    cylinder = next((c for c in story.survey.cylinders if c.number == number), None)
    build = build or next((one.build for one in story.cylinders if one.number == number), None)
    if own is None or cylinder is None or build is None:
        return None, ()
    base = None if running is None else baseline_beside(build.geometry, running)
    why = unready(own, cylinder.values.get("bore"), None if base is None else base.geometry, running)
    if why or base is None or running is None:
        return None, why
    return as_run(base.geometry, running, bore_of(running, cylinder.values.get("bore"))), ()


def lever_effects(story: BoostStory, system: str) -> tuple[LeverEffect, ...]:
    """What a step of each lever, in a system of units, does to the cylinder whose ratio may be the highest.

    Raises InputError: the ratio, the closing or the charge is not known.
    """
    return effects(_today(story), baseline_stand(story)[0], system)


def held_of_levers(story: BoostStory, system: str) -> tuple[FileLine, ...]:
    """What any step would move of what the baseline takes from the engine, as it is now.

    Raises InputError: as :func:`lever_effects`.
    """
    today = _today(story)
    made = (lever.made(today, system) for lever in LEVERS)
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
