"""The walk through the bench steps: typed lines in, saved readings and things to show out.

There is no terminal here.  A line typed is answered by the mode that the
session is in, or is one of the one-key actions; what comes of it is saved
before the next question is put.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from ccassist.bench.cautions import cautions
from ccassist.bench.step import Field, Method, Step
from ccassist.bench.steps import STEPS
from ccassist.bench.steps.fills import CALIBRATE
from ccassist.guide import saving, setup
from ccassist.guide.calibrating import improvised
from ccassist.guide.ending import AllDone, afterwards, answers, worth_showing
from ccassist.guide.modes import Mode, Reading, said_of
from ccassist.guide.progress import how_far, in_short, said_in_short
from ccassist.guide.set_up_mode import Confirm, SetUp
from ccassist.guide.statements import left, next_left
from ccassist.guide.stating import Stating, ask
from ccassist.guide.undoing import Deed, moment, without_half
from ccassist.guide.view import IN_SHORT, Card, Effect, Question, Shown, key_in
from ccassist.guide.walk import Status, Target, Task, following, in_state, plan
from ccassist.job.records import Job
from ccassist.job.write import JobFile
from ccassist.values.findings import InputError
from ccassist.vocabulary import Kind

LONGEST = 500
if TYPE_CHECKING:
    from ccassist.job.lost import Lost

Row = Mapping[str, tuple[str, ...]]


class Session:
    """One sitting at the bench with one job file.

    Attributes
    ----------
    task : what is being measured; said : its set-up; typed : values of the reading under way.
    mode : what is waited for.
    offered : instruments whose calibration was offered.
    skipped, passed : readings and statements left for today.
    units : what bare numbers of a kind are in, where that was changed for this sitting.
    recorded, stated : readings and statements saved in this sitting, the latest last.
    earlier : readings saved before the file was read again, which undo takes back no more.
    deeds : what was done in this sitting and can be taken back, the latest last.
    before : the sitting before the line that is being taken; line : that line.
    missing : what something else that wrote into the file dropped from it.
    changes : how often the file was changed in this sitting.
    origin : the section of the statement last kept, and where that came from.
    """

    def __init__(self, file: JobFile, *, now: Callable[[], datetime.datetime] = datetime.datetime.now) -> None:
        self.file, self.now = file, now
        self.mode: Mode = AllDone()
        self.said: dict[str, tuple[str, ...]] = {}
        self.hinted: Mapping[str, tuple[str, ...]] = {}
        self.typed: dict[str, tuple[str, ...]] = {}
        self.sure, self.noted, self.finished = False, "", False
        self.skipped: set[Target] = set()
        self.visited: list[Target] = []
        self.recorded: list[Target] = []
        self.earlier = 0
        self.passed: set[str] = set()
        self.stated: list[str] = []
        self.origin: tuple[str, str] = ("", "")
        self.offered: set[str] = set()
        self.deeds: list[Deed] = []
        self.line, self.changes = "", 0
        self.missing: list[Lost] = []
        self.units: dict[Kind, str] = {}
        self._told: list[str] = []
        self._tools: list[str] = []
        self._return: Target | None = None
        self._begun: dict[tuple[str, str], dict[str, tuple[str, ...]]] = {}
        self._task: Task | None = None
        self._setups: dict[tuple[str, str], dict[str, tuple[str, ...]]] = {}
        self._lines: list[str] = []
        self._effects: list[Effect] = []
        self._screens: list[str] = []
        self._card: Card | None = None
        self._carded = ""
        self._warned: set[str] = set()
        self.before = moment(self)

    # -- in and out -----------------------------------------------------------------
    def open(self, step: str = "", cylinder: int | None = None) -> Shown:
        """The first screen: at the first thing not done, or where it is told to go.

        Raises
        ------
        InputError : no such step or cylinder.
        """
        from ccassist.guide.actions import find

        if step or cylinder is not None:
            self.go(find(self, step, str(cylinder) if cylinder is not None else ""))
        else:
            first = following(self.plan(), None, self.skipped)
            if first is not None:
                self.go(first.target)
            else:
                self.wind_up(opening=True)
        return self._shown()

    def enter(self, line: str) -> Shown:
        """Take a typed line; everything that it completes is on the disk when this returns."""
        from ccassist.guide.actions import act

        text = line.strip()
        if len(text) > LONGEST:
            self.say(f"Longer than {LONGEST} characters: not taken")
            return self._shown()
        if not self.mode.passing:
            self.before, self.line = moment(self), text
        called = key_in(text, self.mode.question(self))
        if called.odd:
            self.say(called.odd)
        elif called.key:
            act(self, called.key, called.rest)
        else:
            self.mode.answer(self, text)
        return self._shown()

    def finish(self) -> Shown:
        """End the sitting from outside, such as at the end of the input."""
        self.close()
        return self._shown()

    def close(self) -> None:
        """End the sitting."""
        self.drop_typed()
        saving.look_again(self)
        self.finished = True
        counts = ((self.earlier + len(self.recorded), "reading"), (len(set(self.stated)), "statement"))
        done = [f"{count} {what}{'' if count == 1 else 's'}" for count, what in counts if count]
        nothing = "What was done in this sitting is saved." if self.changes else "Nothing recorded in this sitting."
        saved = f"{' and '.join(done)} saved in this sitting." if done else nothing
        try:
            self.say(saved, *self._left_words())
        except InputError as fault:  # broken by hand meanwhile
            self.say(saved, *(f.text() for f in fault.findings))

    def _left_words(self) -> list[str]:
        """What is still to be measured, and to be stated."""
        open_ones, unsaid = [t for t in self.plan() if t.open], left(self.job, set())
        words = [f"Left to do: {in_short(open_ones)}."] if open_ones else []
        words += [f"Left to say: {said_in_short([one.place for one in unsaid])}."] if unsaid else []
        return words or ["Everything asked for is there."]

    def say(self, *lines: str) -> None:
        """Lines for the next screen."""
        self._lines += lines

    def tell(self, lines: list[str]) -> None:
        """What the readings say now, in place of what those before it on the same typed line said."""
        self._lines = [line for line in self._lines if line not in self._told] + lines
        self._told = lines

    def did(self, words: str, effect: Effect | None = None, *, half: bool = False, answer: bool = False) -> None:
        """Note a thing done, so that it can be taken back; as :class:`ccassist.guide.undoing.Deed` says it."""
        self.changes += self.before.text != self.file.text
        if effect is not None:
            self._effects.append(effect)
        self.deeds.append(Deed(words=words, before=self.before, effect=effect, half=half, answer=answer))
        self.before = moment(self)

    def one_reading(self) -> None:
        """The values of the reading under way are one thing from now on, done or not."""
        self.deeds = [deed for deed in self.deeds if not deed.half]
        self.before = without_half(self.before)

    def taken_back(self, effect: Effect) -> None:
        """Note what undo did to a reading, and what the readings say now."""
        what = "taken back" if effect.what == "recorded" else f"not {effect.what}"
        self._effects.append(replace(effect, what=what))
        if self.started and self.task.rows:
            saving.after_change(self)

    def _shown(self) -> Shown:
        question = Question(words="") if self.finished else self.mode.question(self)
        shown = Shown(
            card=self._card,
            lines=tuple(self._lines),
            question=question,
            effects=tuple(self._effects),
            screens=tuple(self._screens),
            finished=self.finished,
        )
        self._lines, self._told, self._effects, self._screens, self._card = [], [], [], [], None
        return shown

    # -- where we are -----------------------------------------------------------------
    @property
    def job(self) -> Job:
        """The records of the file as it stands."""
        return self.file.job()

    @property
    def task(self) -> Task:
        """What is being measured."""
        assert self._task is not None
        return self._task

    @property
    def started(self) -> bool:
        """Whether anything is being measured at all."""
        return self._task is not None

    @property
    def target(self) -> Target:
        """Where it is being measured."""
        return self.task.target

    @property
    def step(self) -> Step:
        """The bench step."""
        return STEPS[self.target.step]

    @property
    def method(self) -> Method:
        """The way in which the readings are taken."""
        return setup.method_of(self.target, self.said)

    def plan(self) -> tuple[Task, ...]:
        """Everything to be measured, with the calibrations begun in this sitting."""
        return plan(self.job, [*self._tools, *self.offered])

    def refresh(self) -> None:
        """Look at the file again after a change, at the readings in the state that the set-up says."""
        if self._task is not None:
            self._task = next((t for t in self.plan() if t.target == self._task.target), self._task)
            state = next(iter(self.said.get("state", ())), "")
            if isinstance(self.mode, Reading) and self.step.part and state != self._task.state:
                self._task = in_state(self.job, self.target, state)

    # -- going on ---------------------------------------------------------------------
    def go(self, target: Target, *, back: bool = False) -> None:
        """Go to a target, with its set-up if that is known."""
        task = next((t for t in self.plan() if t.target == target), None)
        if task is None:
            self.say(f"{target.step} {target.where} is not in the file any more")
            return
        if self._task is not None and not back and self._task.target != target:
            self.visited.append(self._task.target)
        self._task = task
        self.typed, self.sure, self.hinted = {}, False, {}
        self.show_card(full=self._carded != target.step)
        begun = self._begun.pop((target.step, target.method), None)
        if begun is not None:
            self.said, self.mode = begun, SetUp()
            self.set_up()
            return
        known = self._setups.get((target.step, target.method))
        if self.task.latest is not None:
            self.said = setup.remembered(self.job, self.task)
        else:
            self.said = setup.for_another(known, self.task) if known else setup.remembered(self.job, self.task)
        new, self.said = not self.said, {**self.said, **setup.fixed(target)}
        if new:
            self.hinted = setup.hints(self.job, self.task)
            self.said |= setup.asked_once(self.job, self.task)
            self.mode = SetUp()
            return
        self.say(f"Set-up: {setup.in_words(self.said) or 'nothing said'}")
        if known is None:
            self.mode = Confirm()
        else:
            self.set_up()

    def set_up(self) -> None:
        """Ask what is not said yet of the set-up; then the readings."""
        if setup.next_ask(self.target, self.said) is not None:
            if not isinstance(self.mode, SetUp):
                self.mode = SetUp()
            return
        place = (self.target.step, self.target.method)
        if place not in self._setups:
            self.say(*self.method.how)
        self._setups[place] = dict(self.said)
        self.mode = Reading()
        before = self.task.state
        self.refresh()
        if before and self.task.state != before and not self.task.rows:
            self.say(f"Readings start anew for another state; those {before} stay in the file, for before and after.")
        if self.task.counted:
            self.say(self.progress())

    def may_calibrate(self, name: str) -> bool:
        """Whether an instrument just chosen for a fill is to be offered its calibration: once a sitting."""
        if not (self.step.fills and self.step.part) or name in self.offered or not improvised(name, self.job):
            return False
        mine = Target(step=CALIBRATE.key, part=name)
        done = next((t.status for t in plan(self.job, [name]) if t.target == mine), Status.LEFT_OUT)
        return Kind.VOLUME in setup.kinds_read(self.method) and done in (Status.OFFERED, Status.STARTED)

    def calibrate(self, name: str) -> None:
        """Calibrate an instrument, and come back here with the set-up as far as it was said."""
        self._begun[self.target.step, self.target.method] = dict(self.said)
        self._tools.append(name)
        self._return = self.target
        self.go(Target(step=CALIBRATE.key, part=name))

    def progress(self) -> str:
        """How many readings there are of how many asked for."""
        return f"Readings of {self.target.where} that count: {self.task.counted}, asked for: {self.task.asked}."

    def advance(self) -> None:
        """Go on to the next thing not done; after a calibration, where it was offered."""
        back, self._return = self._return, None
        if back is not None and self.target.step == CALIBRATE.key:
            self.go(back)
            return
        task = following(self.plan(), self.target if self.started else None, self.skipped)
        if task is not None and not isinstance(self.mode, Stating):
            self.go(task.target)
            return
        self.wind_up()

    def wind_up(self, *, opening: bool = False) -> None:
        """Ask for what is to be stated; then the answers, unless all was done before: the prompt comes at once."""
        unsaid = next_left(self.job, self.passed, self.mode.one if isinstance(self.mode, Stating) else None)
        if unsaid is not None:
            if not isinstance(self.mode, Stating):
                self.say("What follows is stated, not measured; Enter passes over what is not known.")
            ask(self, unsaid)
            return
        self.mode = AllDone(self.mode if isinstance(self.mode, Stating) else None)
        if self.skipped:
            self.say(
                "Skipped for today: " + in_short([t for t in self.plan() if t.target in self.skipped and t.open]) + "."
            )
        if self.passed:
            self.say(f"Not said yet: {said_in_short([one.place for one in left(self.job, set())])}.")
        if not opening and worth_showing(self):
            self.ask_for(*answers(self.job))
        self.say(*afterwards(self.job))

    def ask_for(self, *screens: str) -> None:
        """Have answers shown or papers printed, by their commands' names."""
        self._screens += screens

    def put_card(self, card: Card) -> None:
        """Put a card on the next screen."""
        self._card = card

    def show_card(self, *, full: bool = True) -> None:
        """Put the step's card on the next screen."""
        step, job = self.step, self.job
        place = f"{self.target.where} of {job.cylinders}" if self.target.cylinder is not None else self.target.where
        if self.target.method:
            place = f"{self.method.title}, {place}"
        self._carded = step.key
        far = how_far(self.plan())
        if full:
            self._card = Card(
                title=step.title,
                place=place,
                progress=far,
                why=step.why,
                tools=step.tools,
                procedure=step.procedure,
                cautions=tuple(cautions(step.cautions)),
            )
        else:
            self._card = Card(title=step.title, place=place, progress=far, keys=IN_SHORT)

    def advise(self, name: str) -> None:
        """What to mind with the instrument or fluid just named."""
        if name in ("instrument", "fluid") and self.said[name]:
            from ccassist.guide.catalogue import advice

            self.warn(advice(self.said[name][0], name, self.job))

    def warn(self, texts: list[str]) -> None:
        """Warnings and advice about the set-up, each once a sitting."""
        self.say(*(text for text in texts if text not in self._warned))
        self._warned.update(texts)

    # -- readings -----------------------------------------------------------------------
    def fields(self) -> tuple[Field, ...]:
        """The fields asked for each reading; timed readings are asked for by their key only."""
        return tuple(f for f in self.method.fields if not (f.optional and self.timed_fields()))

    def timed_fields(self) -> tuple[Field, ...]:
        """The fields of timed readings, where the method has them."""
        more = tuple(f for f in self.method.fields if f.optional)
        return more if any(f.goes_with for f in more) else ()

    def next_field(self) -> Field:
        """The field asked for now."""
        return next(f for f in self.fields() if f.name not in self.typed)

    def put(self, values: Row) -> None:
        """Keep values of a reading; the last one makes it complete."""
        self.mode = Reading()
        self.typed.update(values)
        if all(f.name in self.typed for f in self.fields()):
            self.one_reading()
            saving.complete(self)
        else:
            self.did(said_of(values) or f"{' and '.join(values)} none", half=True)

    def drop_typed(self) -> None:
        """Give up a reading that is not complete, and say so."""
        if said_of(self.typed):
            self.say(f"Not recorded, as it was not complete: {said_of(self.typed)}")
        self.typed, self.sure = {}, False
        self.one_reading()

    def put_timed(self, place: str, row: Row, typed: Row) -> None:
        """Put timed readings to a reading that is saved; what is wrong with them is said."""
        try:
            saving.put_timed(self, place, row, typed)
        except InputError as fault:
            saving.guard(self, fault)
