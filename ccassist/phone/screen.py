"""What one screen of the bench page shows, as plain data: templates read it and nothing else.

How a page talks back, script or none: every form is posted to ``/do`` with ``csrf``, ``stamp`` and ``place`` of the
view it stands in, ``page`` (the view's own), and one ``do``:

=========  ==============================================================================================
``save``   the values of a reading, all of them, or the answer to a question: fields ``v.NAME`` (as typed), ``s.NAME``
           (``plus`` or ``minus``), ``u.NAME`` (a unit), of each ``PageField``; with ``age``, whole seconds since it
           was typed, where it comes late
``empty``  what an empty answer does: ``Screen.empty`` says it
``say``    the answer ``text`` as it is: of an ``OneTap``
``keep``   the value that was not taken, by ``text``, saved after all; ``drop`` drops it
an action  as of the guide, such as ``undo`` or ``set aside``: the ``do`` and ``text`` of a ``Button``
``anew``   go on after the sitting was finished
=========  ==============================================================================================

It is answered by 303 to the page to be shown; a script follows that and swaps what it shows.  A script polls ``/now``:
JSON with ``stamp`` and ``writes``; another stamp, or another writer, means that the page is to be got again.  What
was not taken it keeps too (``data-holds``), and posts it again to a server that was started anew (``data-run``).
"""

from __future__ import annotations

import datetime
import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import field, fields
from pathlib import Path

from ccassist.job.disk import read_text, write_text
from ccassist.phone.pieces import Link, Piece
from ccassist.values.findings import InputError
from ccassist.vocabulary.record import record

ANSWER = "answer"  # the field of a question that is not a reading


@record
class Toggle:
    """One of the signs or units of a value: what is posted, what stands on it, whether it is on."""

    value: str
    label: str
    on: bool = False


@record
class PageField:
    """One field to type into.

    signs, units : toggles, none where there is nothing to choose.
    usual, example : the plausible range and how to write it.
    """

    name: str  # of the form fields ``v.name``, ``s.name``, ``u.name``
    words: str  # what to read
    value: str = ""  # what stands in it: what was typed and not kept yet; else empty
    unit: str = ""  # what a bare number is in, where nothing is toggled
    signs: tuple[Toggle, ...] = ()
    units: tuple[Toggle, ...] = ()
    usual: str = ""
    example: str = ""
    before: str = ""  # what it takes where nothing is typed; "" where that is not allowed
    many: bool = False  # several values with ; between them
    figures: bool = True  # it is a number, so that the keypad serves; else words


@record
class OneTap:
    """An answer that is one tap: ``do`` is ``say``."""

    text: str
    label: str


@record
class Button:
    """An action: ``do`` and ``text`` as posted, and what stands on it."""

    do: str
    label: str
    text: str = ""


@record
class Vessel:
    """One chamber as a small vessel.

    ``figure`` : its value, "" where not measured; ``apart`` : such as "0.12 cc over", of the mean of those measured;
    ``level`` : 0 to 1 of the largest; ``state`` : as the guide says it; ``here`` : it is measured now.
    """

    number: int
    figure: str = ""
    apart: str = ""
    level: float = 0.0
    state: str = ""
    here: bool = False


@record
class LargeFigure:
    """One large figure: of what it is, its number and its unit."""

    label: str
    number: str
    unit: str


@record
class NotTaken:
    """What was typed and not taken, as something else stands there now.

    ``mark`` : what its buttons post as text.  ``typed`` in words, ``where`` it was typed for, ``why`` it was not taken;
    ``fits`` : whether it can be saved (else it can only be dropped).
    """

    mark: str
    typed: str
    where: str
    why: str
    fits: bool = True


@record
class Screen:
    """One screen.

    mode : "how", "read", "question", "more" or "over" (the sitting is finished).
    page : where it stands: "", "how", "read" or "more"; goes back with every form.
    stamp, place : of what is asked; go back with every form.  ``csrf`` : of this device.
    writes : whether this device may write; ``holder`` : who does instead, in a sentence.
    title, where, progress : the step, what is measured, how far the job is.
    words : what is asked, in a sentence.

    told, turn, turns : of *how*: at most three lines, of which screen of how many.
    picture : of *how*: the set-up as one SVG element, "" where there is none; ``caution`` : the one that cannot wait.
    vessels : the cylinders of this step, none where it is not one a cylinder.
    last : the last value read here; ``mean`` : mean and ±, in words.
    saved : the last reading as it stands on the disk, with its minute, "" where there is none yet.
    count, asked : readings that count, of how many.
    entries : the fields; ``empty`` : what an empty answer does, "" if nothing.
    options : answers of one tap; ``others`` : those that are given less often.
    next : whether the empty answer goes on to the next thing ("Next"); else there is Skip among ``actions``.
    actions : what may be done; ``more`` : what may be done besides, for *more*; ``places`` : where one may go.
    notices : what is said of the last post; ``grave`` : it was not taken, or is doubted.
    kept : what was typed and not taken.
    pieces, links : of *more* and at the end: what there is to look at and to take along.
    """

    mode: str
    page: str = ""
    stamp: str = ""
    place: str = ""
    csrf: str = ""
    writes: bool = True
    holder: str = ""
    title: str = ""
    where: str = ""
    progress: str = ""
    words: str = ""
    told: tuple[str, ...] = ()
    turn: int = 1
    turns: int = 1
    picture: str = ""
    caution: str = ""
    vessels: tuple[Vessel, ...] = ()
    last: LargeFigure | None = None
    mean: str = ""
    saved: str = ""
    count: int = 0
    asked: int = 0
    entries: tuple[PageField, ...] = ()
    options: tuple[OneTap, ...] = ()
    others: tuple[OneTap, ...] = ()
    empty: str = ""
    next: bool = False
    actions: tuple[Button, ...] = ()
    more: tuple[Button, ...] = ()
    places: tuple[Button, ...] = ()
    notices: tuple[str, ...] = ()
    grave: bool = False
    kept: NotTaken | None = None
    pieces: tuple[Piece, ...] = ()
    links: tuple[Link, ...] = ()


# What was typed and not taken, in a file beside the job: after a restart it is shown to the device that typed it.


@record
class Posted:
    """What one form says: ``do`` and ``text``; ``values`` of its fields, as typed; where and when it was typed."""

    do: str
    text: str = ""
    values: Mapping[str, str] = field(default_factory=dict)
    signs: Mapping[str, str] = field(default_factory=dict)
    units: Mapping[str, str] = field(default_factory=dict)
    stamp: str = ""
    place: str = ""
    age: int = 0

    @property
    def same(self) -> str:
        """What tells it from every other, whenever it comes."""
        named = (sorted(one.items()) for one in (self.values, self.signs, self.units))
        return repr((self.do, self.text, self.stamp, self.place, *named))


@record
class HeldPost:
    """A post that was not taken, when it was typed, and why it was not."""

    typed: Posted
    when: datetime.datetime
    why: str

    @property
    def mark(self) -> str:
        """What its buttons post, to mean this one."""
        return hashlib.sha256(self.typed.same.encode()).hexdigest()[:16]


def owner(token: str) -> str:
    """A device by its cookie, so that the file does not hold what lets one in."""
    return hashlib.sha256(token.encode()).hexdigest()[:24]


class HeldFile:
    """The posts by who typed them, as the file says; there is none while nothing is held."""

    def __init__(self, job: Path) -> None:
        self.path = job.with_name(f".{job.name}.typed")

    def load(self) -> dict[str, list[HeldPost]]:
        """All of them; nothing where the file is not one of these."""
        try:
            said = json.loads(read_text(self.path)) if self.path.exists() else {}
            return {who: [_read(one) for one in posts] for who, posts in said.items()}
        except (InputError, ValueError, TypeError, KeyError, AttributeError):
            return {}

    def save(self, held: Mapping[str, Sequence[HeldPost]]) -> None:
        """Keep these and no others. Raises InputError: the disk does not take them."""
        said = {who: [_written(one) for one in posts] for who, posts in held.items() if posts}
        if said:
            write_text(self.path, json.dumps(said, ensure_ascii=False, indent=1))
        elif self.path.exists():
            self.path.unlink()


def _written(one: HeldPost) -> dict[str, object]:
    typed = {f.name: getattr(one.typed, f.name) for f in fields(Posted)}
    return {"when": one.when.isoformat(), "why": one.why, "typed": typed}


def _read(said: Mapping[str, object]) -> HeldPost:
    """One of them. Raises TypeError, ValueError or KeyError: it is not one."""
    typed, texts = said["typed"], (said["why"], said["when"])
    if not isinstance(typed, dict) or not all(isinstance(one, str) for one in texts):
        raise TypeError
    named = [typed.get(name, {}) for name in ("values", "signs", "units")]
    if not all(isinstance(text, str) for one in named for pair in one.items() for text in pair):
        raise TypeError
    if not all(isinstance(typed.get(name, ""), str) for name in ("do", "text", "stamp", "place")):
        raise TypeError
    if not isinstance(typed.get("age", 0), int):
        raise TypeError
    when = datetime.datetime.fromisoformat(str(said["when"]))
    return HeldPost(typed=Posted(**typed), when=when.replace(tzinfo=None), why=str(said["why"]))
