"""An answer to a boosted target as lines of the job file, and what the baseline takes from the engine held as it was.

What ``[baseline]`` does not state is taken from the engine itself, so that it
would follow whatever is changed there.  Solver, levers and maps hold it; in
the file it is held by writing out under ``[baseline]`` what the change moves.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import isclose

from ccassist.boost.conditions import COMPUTED
from ccassist.boost.numbers import plain
from ccassist.boost.stand import RUN, Stand
from ccassist.job.sections.engine import GEOMETRIC, ON_SITE
from ccassist.plan.boost.stated import GEOMETRY, Running, shared_air
from ccassist.plan.boost.story import BoostStory
from ccassist.plan.solved.into_file import CLOSING, IntoFile, Line, into_file, stated_lines
from ccassist.values.display import show
from ccassist.values.measured import Value, nominal
from ccassist.vocabulary import term

RATIO = "static_ratio"
HELD = "until now taken from this engine: the baseline stays as it is"
_INSTEAD = {
    "boost_gauge": ("manifold_pressure",),
    "manifold_pressure": ("boost_gauge",),
    "altitude": ("barometer", "barometer_is"),
}
ENGINE_WIDE = (CLOSING, "charge_temperature", "cooler_effectiveness", *_INSTEAD, "burn_phasing")
_FELT = 1e-12  # of a value: a smaller change is rounding


def taken_from_engine(story: BoostStory) -> tuple[Value, ...]:
    """What the baseline takes from the engine because it does not state it; nothing without a baseline."""
    own, base = story.running, story.baseline_running
    if own is None or base is None or story.conditions is None or story.baseline is None:
        return ()
    found = {key: one for key, one in own.run.items() if key not in base.stated}
    found |= {key: one for key, one in shared_air(story.conditions, base.stated).items() if one.origin != COMPUTED}
    closing = story.card.intake_closing
    if closing is not None and CLOSING not in base.stated:
        found = {CLOSING: closing, **found}
    return tuple(one for one in found.values() if one.origin != "assumed")


def put_in(story: BoostStory, number: int, before: Stand, after: Stand, answer: Mapping[str, float]) -> IntoFile:
    """How an answer is put into the file so that it gives its target back.

    Parameters
    ----------
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


def _own_lines(story: BoostStory, key: str, number: float) -> tuple[Line, ...]:
    """The answer in [charge] or [cam], and what is stated now in its place."""
    if key == CLOSING:
        return tuple(stated_lines(story.survey, 0, key, number))
    charge = story.survey.job.stated.get("charge", {}).keys() | story.survey.job.said.get("charge", {}).keys()
    gone = [
        Line(section=("charge",), key=other, why="the answer stands in its place")
        for other in _INSTEAD.get(key, ())
        if other in charge
    ]
    return (Line(section=("charge",), key=key, number=number), *_counted_from("charge", key, charge), *gone)


def _counted_from(section: str, key: str, said: object) -> tuple[Line, ...]:
    """An altitude is worked out as a geometric one."""
    if key == "altitude" and "altitude_is" in said:  # type: ignore[operator]
        return (Line(section=(section,), key="altitude_is", words=GEOMETRIC),)
    return ()


def held_lines(story: BoostStory, before: Stand, after: Stand) -> tuple[Line, ...]:
    """What the change moves of what the baseline takes from the engine, written out as it was."""
    base = story.baseline_running
    if base is None or story.running is None or story.conditions is None:
        return ()
    keys = dict.fromkeys(key for key in (*GEOMETRY, *RUN) if key not in base.stated and key != RATIO)
    keys |= dict.fromkeys(shared_air(before.conditions, base.stated))
    moved = [key for key in keys if _moved(before, after, key)]
    if "altitude" in moved or ("barometer" in moved and before.conditions.values["barometer"].origin == COMPUTED):
        moved = [key for key in moved if key not in ("altitude", "barometer")] + ["altitude"]
    said = story.survey.job.said.get("baseline", {})
    found: list[Line] = []
    for key in moved:
        found += [_held(story.running, story.card.intake_closing, before, key), *_counted_from("baseline", key, said)]
        if key == "barometer" and "barometer_is" not in said:
            found.append(Line(section=("baseline",), key="barometer_is", words=ON_SITE, why=HELD))
    return tuple(found)


def _moved(before: Stand, after: Stand, key: str) -> bool:
    old, new = before.now(key), after.now(key)
    if old is None or new is None:
        return old is not new
    return not isclose(float(plain(old)), float(plain(new)), rel_tol=_FELT, abs_tol=_FELT)


def _held(own: Running, closing: Value | None, before: Stand, key: str) -> Line:
    """As the file states it now, word for word, where it does; else the number."""
    now = before.now(key)
    number = 0.0 if now is None else float(plain(now))  # no altitude is sea level
    stated = closing if key == CLOSING else own.stated.get(key)
    if stated is not None and len(stated.raw) == 1 and stated.nominal == number:  # a geopotential altitude is another
        return Line(section=("baseline",), key=key, words=stated.raw[0], why=HELD)
    return Line(section=("baseline",), key=key, number=number, why=HELD)


def taken_text(story: BoostStory, system: str) -> str:
    """What the baseline takes from the engine, in words."""
    said = [f"{term(one.key).name} {show(one.key, one.nominal, system=system)}" for one in taken_from_engine(story)]
    taken = ", ".join([*said, "crank, bore and all that is assumed"])
    return f"not stated under [baseline], so taken from this engine and changed with it: {taken}"
