"""What a bench step is: everything said and asked about it, as data; and what makes readings "made the same way".

The guide, the recorder, the job-file check, blank forms and filled worksheets read the same declaration.  The
arithmetic of a step stands in ``ccassist.bench.reductions`` and is loaded when it is first needed.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import KW_ONLY
from enum import StrEnum
from functools import cached_property
from typing import NamedTuple, Protocol

from ccassist.bench.cautions import OF_FLUIDS
from ccassist.values.display import sized
from ccassist.vocabulary import Kind
from ccassist.vocabulary.record import record

BURNS, SAFE = "burns", "does not burn"  # what a fluid may be, so that a line holds only with such


@record(kw_only=False)
class Said:
    """One line of a procedure, or one thing to lay out; a plain text is said to all, and on the short card too.

    A size is said for either system: "[0.05 mm|0.002 in]".
    """

    text: str  # what is said
    _: KW_ONLY
    by: tuple[str, ...] = ()  # the ways of reading by which alone it is said, by their keys; all where empty
    fluid: str = ""  # the fluids with which alone it is said, :data:`BURNS` or :data:`SAFE`; all where empty
    more: bool = False  # said only where everything is, and left off the short card


def more(text: str, *by: str, fluid: str = "") -> Said:
    """A line that the short card leaves off."""
    return Said(text, by=by, fluid=fluid, more=True)


def by(way: str, *texts: str) -> tuple[Said, ...]:
    """Lines of one way of reading alone."""
    return tuple(Said(text, by=(way,)) for text in texts)


@record(kw_only=False)
class Unsaid:
    """What is to be said of a series that leaves something out.

    code, wrong, right : as of the finding.
    refused : whether the readings mean nothing without it; else something is taken, as ``wrong`` says.
    """

    code: str
    wrong: str
    right: str
    _: KW_ONLY
    refused: bool = False


@record(kw_only=False)
class Field:
    """One reading asked for.

    apart : of a setting, whether readings with another answer are of another thing, and never one mean with these.
    """

    name: str  # key in the job file
    term: str  # the term it is; gives its unit, sign words and range
    words: str  # what to read, as the prompt says it
    _: KW_ONLY
    many: bool = False  # several may be given as a list (refills, repeats)
    optional: bool = False  # may be left out
    goes_with: str = ""  # another field whose list this one must match, entry by entry
    steady: bool = False  # usually the same for every reading: the guide offers that of the reading before
    apart: bool = False
    example: str = ""  # how it may be written, where the term's own example would mislead
    unsaid: Unsaid | None = None  # of a setting, what is said where it is left out


@record(kw_only=False)
class Choice:
    """One thing to be said in words, such as whether the plate's hole was filled.

    ``options`` are the words to choose from; none where a name is asked for,
    of an instrument that ``reads`` such, if that is said.  ``against`` : asked only of a calibration by such.
    ``apart`` : as of a field.  ``once`` : what older files say, and the option that it means.
    """

    name: str
    options: tuple[str, ...]
    words: str
    _: KW_ONLY
    optional: bool = False
    reads: Kind | None = None
    against: Kind | None = None
    by: tuple[str, ...] = ()  # the ways of reading by which alone it is asked, by their keys; all where empty
    apart: bool = False
    once: tuple[tuple[str, str], ...] = ()
    unsaid: Unsaid | None = None  # what is said where it is left out


class Slips(StrEnum):
    """What goes wrong by a way of reading: the family of its likeliest causes."""

    FILL = "fill"
    WEIGHING = "weighing"
    DIAL = "dial"
    LENGTH = "length"


@record(kw_only=False)
class Method:
    """One way of taking the readings of a step; a row's fields tell which it is.

    level, rocks : two fields that must agree; two whose difference is how far a piston rocks.
    """

    key: str
    title: str
    fields: tuple[Field, ...]
    _: KW_ONLY
    gives: str = ""  # the term that one row finds, where it is not that of its first field
    instead_of: str = ""  # the method to the same thing that it may take the place of
    repeats: int = 0  # readings asked for, where the step's number does not fit
    part: str = ""  # the kind of part that it is read on, where that is not the step's own
    needless: str = ""  # a term that makes it needless where that is stated
    reads: Kind = Kind.LENGTH  # what its instrument reads
    along: bool = False  # whether fluid is read on a scale before and after, each delivery moving along it
    against: Kind | None = None  # of a calibration, what its scale is set against: a mass weighed, or a length measured
    refills: str = ""  # how several deliveries are given, where a tool must be filled anew
    level: tuple[str, str] | None = None
    rocks: tuple[str, str] | None = None
    tapers: tuple[str, str] | None = None  # two whose difference is how much wider a bore is at the top than low down
    even: tuple[str, ...] = ()  # those read over one face, which lies square where they agree
    slips: Slips = Slips.LENGTH  # what goes wrong by it

    @property
    def result(self) -> str:
        """The term that one row finds."""
        return self.gives or self.fields[0].term

    @property
    def points(self) -> bool:
        """Whether one reading is a list of points, such as a traced outline."""
        return all(f.many for f in self.fields)

    @cached_property
    def names(self) -> frozenset[str]:
        """The names of its fields."""
        return frozenset(f.name for f in self.fields)

    @cached_property
    def needed(self) -> frozenset[str]:
        """The names of those that may not be left out."""
        return frozenset(f.name for f in self.fields if not f.optional)


@record
class Step:
    """One bench step.

    title, why : what it is, and why it is done, in a line each.
    tools, procedure : what to lay out, and what to do in the trade's order; see :class:`Said`.
    settings, choices : asked once a series.
    by_part : read once for all the cylinders that a part serves, method by method; else cylinder by cylinder.
    fluid : what it is filled with unless said; ``other_fluid`` : the caution where it is anything else.
    corrected : whether each of its fills is corrected by its own set-up, so that they make one mean with others.
    curve : where its rows are the points of one curve and no repeats of one another, the section and the list of the
        job file that they stand for.
    """

    key: str  # name on the command line and in job files
    title: str
    why: str
    tools: tuple[str | Said, ...]
    procedure: tuple[str | Said, ...]
    cautions: tuple[str, ...]  # keys of those that apply whatever the fluid; a fluid's own come with it
    methods: tuple[Method, ...]  # the ways its readings can be taken
    gives: tuple[str, ...]  # terms that its reduction finds
    part: str  # kind of part measured (its state is recorded); "" where an instrument is, and no part of the engine
    repeats: int  # readings asked for before the mean is trusted
    settings: tuple[Field, ...] = ()
    choices: tuple[Choice, ...] = ()
    fills: bool = False  # whether fluid is delivered (an instrument and a fluid are asked for)
    check: bool = False  # results do not rest on it, or only where a job needs it: offered, not asked for
    by_part: bool = False
    instead_of: str = ""  # the step to the same volume in whose place it comes, where that is left out
    leaks: str = ""  # what to do where a fill leaks, if not what is done to a head
    fluid: str = ""
    other_fluid: str = ""
    corrected: bool = False
    layer: str = ""  # what may be measured besides as a part of its own, such as a shim; "" for nothing
    curve: tuple[str, str] | None = None

    def to_do(self, *ways: str, fluid: str = "", brief: bool = False, system: str = "metric") -> tuple[str, ...]:
        """What to do, in order, by some ways of reading (all where none is named).

        ``fluid`` : :data:`BURNS` or :data:`SAFE`; what holds for either where it is not known.
        ``brief`` : as the short card has it.  ``system`` : of the sizes said.
        """
        told = (one for one in _told(self.procedure, ways, fluid) if not (brief and one.more))
        return tuple(sized(one.text, system) for one in told)

    def lay_out(self, *ways: str, system: str = "metric") -> tuple[str, ...]:
        """What to lay out for some ways of reading (all where none is named)."""
        return tuple(sized(one.text, system) for one in _told(self.tools, ways))

    def warned(self, of_fluid: Sequence[str] | None = None) -> tuple[str, ...]:
        """Keys of the cautions, those of the fluid too; of any fluid where that is not known.

        What a fluid does to a plate is said only where one is filled under, which lies on a film.
        """
        fluids = () if not self.fills else OF_FLUIDS if of_fluid is None else tuple(of_fluid)
        plate = any(field.name == "film" for field in self.settings)
        return tuple(dict.fromkeys((*self.cautions, *(key for key in fluids if plate or key != "acrylic"))))

    def choices_by(self, *ways: str) -> tuple[Choice, ...]:
        """What is asked in words by some ways of reading (all where none is named)."""
        return tuple(c for c in self.choices if _holds(c.by, ways))

    def method_of(self, names: frozenset[str]) -> Method | None:
        """The method whose fields these are, or None."""
        for method in self.methods:
            if method.needed <= names <= method.names:
                return method
        return None

    @property
    def fields(self) -> dict[str, Field]:
        """Every field of every method, by name."""
        return {f.name: f for method in self.methods for f in method.fields}

    @property
    def noun(self) -> str:
        """What one row of it is called."""
        return "step" if not self.part else "fill" if self.fills else "reading"

    def finds(self, method: Method) -> str:
        """The term that one row finds: the fluid delivered, or what is read."""
        return "fill_volume" if self.fills else self.gives[0] if len(self.gives) == 1 else method.result


def _told(said: Sequence[str | Said], ways: Sequence[str], fluid: str = "") -> Iterator[Said]:
    lines = (one if isinstance(one, Said) else Said(one) for one in said)
    return (one for one in lines if _holds(one.by, ways) and not (one.fluid and fluid and one.fluid != fluid))


def _holds(by: Sequence[str], ways: Sequence[str]) -> bool:
    """Whether what is said of some ways alone is said of these."""
    return not by or not ways or bool(set(by) & set(ways))


class Way(NamedTuple):
    """How readings are made.  What was read one way scatters alike, on whatever thing it was read."""

    step: str
    method: str
    instrument: str
    fluid: str = ""
    by: str = ""


class SameWay(NamedTuple):
    """Readings made the same way on one thing, set up alike: repeats of one another; see :func:`one_mean`.

    The temperature is read anew with each and is no part of it, and a part may be measured on several days; but an
    instrument calibrated again is calibrated anew.
    """

    way: Way
    settings: tuple[tuple[str, tuple[str, ...]], ...]
    choices: tuple[tuple[str, str], ...]
    part: str
    state: str
    cylinders: tuple[int, ...]
    date: str

    @property
    def route(self) -> tuple[object, ...]:
        """What two ways to one thing differ in: tools, hand and set-up, not the thing."""
        return self.way, self.settings, self.choices

    @property
    def anywhere(self) -> SameWay:
        """The same, on whatever cylinder and day."""
        return self._replace(cylinders=(), date="")


def one_mean(step: Step, way: SameWay) -> SameWay:
    """What must agree for readings to make one mean: less than all of the set-up.

    Each fill is corrected by what was said of its own (hole, film, what was left in the space ...), so that a set-up
    said anew does not make the fills before it stop counting; what sets readings ``apart`` is of another thing, and an
    instrument, a fluid or a hand is another way.
    """
    if not step.corrected:
        return way
    fields = {f.name for f in step.settings if f.apart}
    words = {c.name for c in step.choices if c.apart}
    return way._replace(
        settings=tuple(one for one in way.settings if one[0] in fields),
        choices=tuple(one for one in way.choices if one[0] in words),
    )


class SeriesHead(Protocol):
    """How and on what a series was read, as a job file or the bench has it."""

    @property
    def cylinders(self) -> tuple[int, ...]: ...
    @property
    def part(self) -> str: ...
    @property
    def state(self) -> str: ...
    @property
    def instrument(self) -> str: ...
    @property
    def fluid(self) -> str: ...
    @property
    def by(self) -> str: ...
    @property
    def date(self) -> str: ...
    @property
    def choices(self) -> Mapping[str, str]: ...


def same_way(step: Step, method: Method, series: SeriesHead, settings: Mapping[str, Sequence[str]]) -> SameWay:
    """What must agree for readings to be repeats of one another: the one definition of "made the same way".

    The guide counts by it what has been read, the file check joins by it what is averaged, the reductions pool scatter
    by its :class:`Way`, and the pages put side by side what agrees but for the cylinder.

    ``settings`` : of the series, as texts by name.
    """
    fluid = (series.fluid or step.fluid) if step.fills else ""
    return SameWay(
        way=Way(step.key, method.key, series.instrument, fluid, series.by),
        settings=tuple(
            sorted((name, tuple(said)) for name, said in settings.items() if said and name != "temperature")
        ),
        choices=tuple(sorted(series.choices.items())),
        part=series.part,
        state=series.state,
        cylinders=series.cylinders,
        date="" if step.part else series.date,
    )
