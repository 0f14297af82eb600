"""What a section of stated things is: a heading of the job file, and what may stand under it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field

from ccassist.vocabulary.record import record


@record
class Section:
    """One heading of the job file that states values for the whole engine.

    name : heading, such as "cam" or "valve.intake".
    meaning : what stands here, in one line.
    terms : the terms that may be stated.
    chosen : of these, what is decided and not measured: nobody asks for its origin or its ±.
    asked : of these, what is asked of whoever makes the part: nobody asks for its origin.
    decided : of these, what is looked at as decided: exact, unless its origin or its ± is said.
    words : choices in words: key -> the words that may be said.
    texts : keys of free text -> their meaning.
    lists : keys of a list of readings -> what one holds, by field: its term.
    samples : the keys that a new file shows as examples; all of them where empty.
    guide : the keys that the guide asks for; the samples where empty.
    asks : how the guide asks for a thing, where its key or meaning is not question enough.
    left_in : the section that says who decides what is not settled here.
    instead : a key that may be stated instead of another: the other -> it.
    refused : keys that somebody may want to write here and that must not stand here -> what they are.
    only_with : a key that is asked for only where another says one of these words: key -> (the other, the words).
    """

    name: str
    meaning: str
    terms: tuple[str, ...] = ()
    chosen: tuple[str, ...] = ()
    asked: tuple[str, ...] = ()
    decided: tuple[str, ...] = ()
    words: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    texts: Mapping[str, str] = field(default_factory=dict)
    lists: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    samples: tuple[str, ...] = ()
    guide: tuple[str, ...] = ()
    asks: Mapping[str, str] = field(default_factory=dict)
    left_in: str = ""
    instead: Mapping[str, str] = field(default_factory=dict)
    refused: Mapping[str, str] = field(default_factory=dict)
    only_with: Mapping[str, tuple[str, tuple[str, ...]]] = field(default_factory=dict)

    @property
    def path(self) -> tuple[str, ...]:
        """Where it stands in the parsed file."""
        return tuple(self.name.split("."))

    @property
    def unasked(self) -> tuple[str, ...]:
        """The terms whose origin nobody asks for."""
        return (*self.chosen, *self.asked, *self.decided)

    @property
    def keys(self) -> tuple[str, ...]:
        """Everything that may be written under the heading."""
        return (*self.terms, *self.words, *self.texts, *self.lists)
