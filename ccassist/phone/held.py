"""What was typed and not taken, in a file beside the job: after a restart it is shown to the device that typed it."""

from __future__ import annotations

import datetime
import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import field, fields
from pathlib import Path

from ccassist.job.disk import read_text, write_text
from ccassist.values.findings import InputError
from ccassist.vocabulary.record import record


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
        """Keep these and no others.

        Raises InputError: the disk does not take them.
        """
        said = {who: [_written(one) for one in posts] for who, posts in held.items() if posts}
        if said:
            write_text(self.path, json.dumps(said, ensure_ascii=False, indent=1))
        elif self.path.exists():
            self.path.unlink()


def _written(one: HeldPost) -> dict[str, object]:
    typed = {f.name: getattr(one.typed, f.name) for f in fields(Posted)}
    return {"when": one.when.isoformat(), "why": one.why, "typed": typed}


def _read(said: Mapping[str, object]) -> HeldPost:
    """One of them.

    Raises TypeError, ValueError or KeyError: it is not one.
    """
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
