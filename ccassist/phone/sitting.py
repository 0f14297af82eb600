"""The one open job behind the page: a post is taken, was saved already, or is kept beside what stands."""

from __future__ import annotations

import datetime
import hashlib
import os
import re
import secrets
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import replace
from typing import Any

from ccassist.guide import waiting
from ccassist.guide.keeping import READ_AGAIN, noticed, post
from ccassist.guide.readings import enough
from ccassist.guide.step import SHOWING, begin
from ccassist.guide.view import Action, Effect
from ccassist.job.write import JobFile
from ccassist.phone.screen import ANSWER, HeldFile, HeldPost, NotTaken, Posted, owner
from ccassist.phone.view import asked_term, place_of
from ccassist.values.findings import InputError, clean
from ccassist.vocabulary import term

OLDEST = 12 * 3600  # s; a value typed longer ago than a working day has the minute at which it arrives
REMEMBERED, MOST_HELD = 200, 20  # posts that were taken; of one device, those that were not
NOT_TYPED = "Nothing is typed: nothing was saved."
ALREADY, DONE = "Saved already.", "Done already."
ELSEWHERE = "Something else was saved or asked meanwhile."
NOT_UNDERSTOOD = "Not understood: nothing was done."
NOT_FITTING = "It does not fit what is asked there now."
ACTIONS = {action.value: action for action in Action if action not in (Action.SAY, Action.AGAIN)}
_BARE = re.compile(r"[0-9.,/\s]*[0-9.,]")  # a number without unit and sign: the toggles say them


class Sitting:
    """A job file held open, its sitting, and what each device is told of its last post."""

    def __init__(
        self,
        file: JobFile,
        *,
        system: str = "metric",
        clock: Callable[[], datetime.datetime] = datetime.datetime.now,
        tell: Callable[[str], None] = lambda _: None,
    ) -> None:
        self.file, self.system, self.clock, self.tell = file, system, clock, tell
        self.run = secrets.token_urlsafe(6)  # of this server, since it forgets what it holds when it ends
        self.held: dict[str, list[HeldPost]] = {}  # of each device, the oldest first
        self.beside = HeldFile(file.path)
        self.earlier = self.beside.load()  # of devices that were let in before a restart, by their owner
        for one in (one for posts in self.earlier.values() for one in posts):
            self._tell_held(one)
        self.told: dict[str, str] = {}
        self.refused: dict[str, Posted] = {}
        self._taken: OrderedDict[str, bool] = OrderedDict()  # posts, and whether each changed the file
        self._seen: dict[str, int] = {}
        self._same = self._stamp = ""
        self._doubted: datetime.datetime | None = None  # when what is doubted now was typed
        self.open()

    def open(self) -> None:
        """A sitting at the first thing that is not done."""
        self.state, self.shown = begin(self.file.text, str(self.file.path), system=self.system)
        self._stamped()

    @property
    def stamp(self) -> str:
        """Of the file's text, what is measured and what is asked, and of how often all that stood so before."""
        return self._stamp

    def _stamped(self) -> None:
        """Make the stamp of what stands now; where it stood so before, such as after undo, it is another one."""
        asked = self.shown.question
        # when the file was written last tells a text that came back by undo from that before, after a restart too
        said = (self.state.text, self._written(), place_of(self.state), asked.words, asked.begun, self.state.finished)
        same = hashlib.sha256(repr(said).encode()).hexdigest()
        if same == self._same:
            return
        self._same = same
        self._seen[same] = again = self._seen.get(same, -1) + 1
        self._stamp = hashlib.sha256(f"{same} {again}".encode()).hexdigest()[:24]

    def _written(self) -> int:
        try:
            return os.stat(self.file.path).st_mtime_ns
        except OSError:
            return 0

    # -- a post ------------------------------------------------------------------------------------
    def do(self, device: str, typed: Posted) -> None:
        """What a device posts: done, and on the disk when this returns; or said why not."""
        self.told.pop(device, None)
        self.refused.pop(device, None)
        if typed.do == "drop":
            self._drop(device, typed)
            return
        now, saved = self._when(typed), self._taken.get(typed.same)
        if saved is not None:
            if saved:
                self.told[device] = ALREADY if typed.do in ("save", "say", "empty", "keep") else DONE
        elif typed.do == "keep":
            self._keep(device, typed)
        elif why := self._gone_by(typed):
            if typed.do == "save" and _something(typed):
                self._hold(device, HeldPost(typed=typed, when=now, why=why))
            else:
                self.told[device] = f"{why} Nothing was done."
        else:
            self._take(device, typed, now)

    def hold(self, device: str, typed: Posted, why: str) -> None:
        """Take nothing of a device that may not write; what it typed is kept for the time when it may."""
        self.told[device] = why
        if typed.do == "save" and _something(typed):
            self._hold(device, HeldPost(typed=typed, when=self._when(typed), why=why))
        elif typed.do == "drop":
            self._drop(device, typed)

    def _hold(self, device: str, held: HeldPost) -> None:
        all_held = self.held.setdefault(device, [])
        if any(one.typed.same == held.typed.same for one in all_held):
            return
        del all_held[MOST_HELD - 1 :]
        all_held.append(held)
        self._keep_held()
        self._tell_held(held)

    def _tell_held(self, held: HeldPost) -> None:
        at = f" at {held.typed.place}" if held.typed.place else ""
        self.tell(clean(f"{held.when:%H:%M}  typed{at} and not taken: {_in_brief(held.typed)}", 300))

    def _keep_held(self) -> None:
        """What is held now, beside the job too; that the disk does not take it is told at the terminal."""
        try:
            self.beside.save({**self.earlier, **{owner(device): posts for device, posts in self.held.items()}})
        except (InputError, OSError) as fault:
            self.tell(f"Kept in this command only: {fault}")

    def came_in(self, device: str, cookie: str) -> None:
        """A device was let in; with the cookie of an earlier time it has what it typed then."""
        found = self.earlier.pop(owner(cookie), None) if cookie else None
        if found:
            self.held[device] = [*self._all(device), *found]
            self._keep_held()

    def _when(self, typed: Posted) -> datetime.datetime:
        """The minute at which it was typed, as far back as that can be believed."""
        now = self.clock()
        return now - datetime.timedelta(seconds=typed.age) if 0 < typed.age <= OLDEST else now

    def _gone_by(self, typed: Posted) -> str:
        """Why a post is not taken: it was made of another text, place or question than stand now; "" where it is."""
        if self.file.changed:
            try:
                self.state, self.shown = noticed(self.state, self.file)
            except InputError as fault:
                return " ".join(one.text() for one in fault.findings)
            self._stamped()
            return READ_AGAIN
        return "" if typed.stamp == self._stamp else ELSEWHERE

    def _take(self, device: str, typed: Posted, now: datetime.datetime) -> None:
        """Do it; what is asked again for want of a value, or is not understood, changes nothing."""
        if typed.do == "anew" and self.state.finished:
            self.open()
            return
        meant = self._meant(typed)
        if isinstance(meant, str):
            self.told[device] = meant
            return
        if typed.do == "say" and isinstance(self.state.at, waiting.Sure):
            now = self._doubted or now
        (action, text), was = meant, self.state.text
        self.state, self.shown = post(self.state, action, text, self.file, now=now)
        self._doubted = now if isinstance(self.state.at, waiting.Sure) else None
        self._stamped()
        if action not in SHOWING and self._stamp != typed.stamp:  # else it may be tried again, such as on a full disk
            self._remember(typed, saved=self.state.text != was)
        if typed.do == "save" and self._stamp == typed.stamp:
            self.refused[device] = typed
        for effect in self.shown.effects:
            self.tell(_in_words(effect, now))

    def _remember(self, typed: Posted, *, saved: bool) -> None:
        self._taken[typed.same] = saved
        while len(self._taken) > REMEMBERED:
            self._taken.popitem(last=False)

    def _meant(self, typed: Posted) -> tuple[Action, str] | str:
        """The guide's action and text; or what to say where nothing is to be done."""
        at = self.state.at
        if typed.do == "save":
            if set(typed.values) - set(self._terms()):
                return NOT_UNDERSTOOD
            return (Action.SAY, self._spoken(typed)) if self._typed_anew(typed) else NOT_TYPED
        if typed.do == "empty":  # of one value of a reading it would make half of one
            half = isinstance(at, waiting.ReadingAsked) and not enough(self.state)
            return NOT_TYPED if half else (Action.SAY, "")
        if typed.do == "say" and typed.text and not isinstance(at, waiting.ReadingAsked | waiting.Timed):
            return Action.SAY, typed.text
        if typed.do in ACTIONS:
            return ACTIONS[typed.do], typed.text
        return NOT_UNDERSTOOD

    def _typed_anew(self, typed: Posted) -> bool:
        """Whether a value was typed, of a reading one that does not hardly ever change."""
        if not isinstance(self.state.at, waiting.ReadingAsked):
            return _something(typed)
        steady = {f.name for f in self.state.fields if f.steady and len(self.state.fields) > 1}
        return any(text.strip() for name, text in typed.values.items() if name not in steady)

    def _spoken(self, typed: Posted) -> str:
        """The values as one line of the guide, with units and signs in words."""
        terms = self._terms()
        said = {name: _value(typed, name, terms[name]) for name in typed.values}
        if ANSWER in terms:
            return said[ANSWER]
        return "\t".join(f"{name}={text}" for name, text in said.items() if text)

    def _terms(self) -> dict[str, str]:
        """The fields that may be typed into now, and their terms."""
        state = self.state
        if isinstance(state.at, waiting.ReadingAsked):
            return {f.name: f.term for f in state.fields}
        if isinstance(state.at, waiting.Timed):
            return {f.name: f.term for f in state.timed_fields}
        return {ANSWER: asked_term(state)}

    @property
    def waits(self) -> bool:
        """Whether something is to be answered before anything else can be saved."""
        return isinstance(self.state.at, waiting.PutBack | waiting.Sure | waiting.Unsaved)

    # -- what was not taken ---------------------------------------------------------------------------
    def kept(self, device: str) -> NotTaken | None:
        """What a device typed that was not taken, the oldest of it, if anything."""
        if not self.held.get(device):
            return None
        held = self.held[device][0]
        return NotTaken(
            mark=held.mark, typed=clean(_in_brief(held.typed), 300), where=clean(held.typed.place, 60), why=held.why
        )

    def holds(self, device: str) -> list[dict[str, Any]]:
        """What is held as it would be posted again, so that its browser keeps it over a restart of the server."""
        now = self.clock()
        return [{"age": int((now - one.when).total_seconds()), "pairs": _pairs(one.typed)} for one in self._all(device)]

    def _all(self, device: str) -> list[HeldPost]:
        return self.held.get(device, [])

    def _drop(self, device: str, typed: Posted) -> None:
        """Drop the one that was shown; a second tap drops no other."""
        self.held[device] = [one for one in self._all(device) if one.mark != typed.text]
        self._keep_held()

    def _keep(self, device: str, typed: Posted) -> None:
        """Save it after all, where it was typed for."""
        held = next((one for one in self._all(device) if one.mark == typed.text), None)
        if held is None:
            self.told[device] = NOT_UNDERSTOOD
            return
        if why := self._gone_by(typed):
            self.told[device] = why
            return
        if held.typed.place != place_of(self.state) and held.typed.place:
            self.state, self.shown = post(self.state, Action.JUMP, held.typed.place, self.file, now=held.when)
            self._stamped()
        if set(held.typed.values) - set(self._terms()) or held.typed.place != place_of(self.state):
            self.told[device] = NOT_FITTING
            return
        self._drop(device, typed)
        was = self.state.text
        self._take(device, replace(held.typed, stamp=self._stamp), held.when)
        for one in (typed, held.typed):  # its browser may send either once more
            self._remember(one, saved=self.state.text != was)


def _pairs(typed: Posted) -> list[tuple[str, str]]:
    """The fields of the form that says it."""
    named = (("v", typed.values), ("s", typed.signs), ("u", typed.units))
    fields = [(f"{letter}.{name}", text) for letter, texts in named for name, text in texts.items()]
    return [("do", typed.do), ("stamp", typed.stamp), ("place", typed.place), ("page", "read"), *fields]


def _something(typed: Posted) -> bool:
    return any(text.strip() for text in typed.values.values())


def _value(typed: Posted, name: str, key: str) -> str:
    """One value in words: a bare number takes unit and sign of its toggles, each of several its own."""
    unit, sign = typed.units.get(name, ""), term(key).sign if key else None
    says = "{}"
    if sign is not None and typed.signs.get(name) in ("plus", "minus"):
        says = sign.says_plus if typed.signs[name] == "plus" else sign.says_minus
    parts = [" ".join(part.split()) for part in typed.values[name].split(";")]
    return "; ".join(says.format(f"{p} {unit}".strip()) if _BARE.fullmatch(p) else p for p in parts)


def _in_brief(typed: Posted) -> str:
    """What was typed, in words."""

    def one(name: str) -> str:
        more = " ".join(filter(None, (typed.units.get(name, ""), typed.signs.get(name, ""))))
        return f"{'' if name == ANSWER else f'{name} '}{typed.values[name].strip()} {more}".strip()

    return ", ".join(one(name) for name, text in typed.values.items() if text.strip())


def _in_words(effect: Effect, now: datetime.datetime) -> str:
    row = ", ".join(f"{name} {'; '.join(texts)}" for name, texts in effect.row.items() if texts)
    return clean(f"{now:%H:%M}  {effect.step} {effect.where}, {effect.what}{f': {row}' if row else ''}", 300)
