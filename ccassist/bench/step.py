"""What a bench step is: everything said and asked about it, as data.

The guide, the recorder, the job-file check, blank forms and filled worksheets
read the same declaration.  The arithmetic of a step stands in
``ccassist.bench.reductions`` and is loaded when it is first needed.
"""

from __future__ import annotations

from dataclasses import dataclass

from ccassist.vocabulary import Kind


@dataclass(frozen=True, kw_only=True)
class Field:
    """One reading asked for.

    Attributes
    ----------
    name : key in the job file.
    term : the term it is; gives its unit, sign words and range.
    words : what to read, as the prompt says it.
    many : several may be given as a list (refills, repeats).
    optional : may be left out.
    goes_with : another field whose list this one must match, entry by entry.
    steady : usually the same for every reading: the guide offers that of the reading before.
    example : how it may be written, where the term's own example would mislead.
    """

    name: str
    term: str
    words: str
    many: bool = False
    optional: bool = False
    goes_with: str = ""
    steady: bool = False
    example: str = ""


@dataclass(frozen=True, kw_only=True)
class Choice:
    """One thing to be said in words, such as whether the plate's hole was filled.

    ``options`` are the words to choose from; none where a name is asked for,
    of an instrument that ``reads`` such, if that is said.
    """

    name: str
    options: tuple[str, ...]
    words: str
    optional: bool = False
    reads: Kind | None = None


@dataclass(frozen=True, kw_only=True)
class Method:
    """One way of taking the readings of a step; a row's fields tell which it is.

    Attributes
    ----------
    gives : the term that one row finds, where it is not that of its first field.
    instead_of : the method to the same thing that it may take the place of.
    repeats : readings asked for, where the step's number does not fit.
    """

    key: str
    title: str
    fields: tuple[Field, ...]
    how: tuple[str, ...] = ()
    gives: str = ""
    instead_of: str = ""
    repeats: int = 0

    @property
    def result(self) -> str:
        """The term that one row finds."""
        return self.gives or self.fields[0].term

    @property
    def names(self) -> frozenset[str]:
        """The names of its fields."""
        return frozenset(f.name for f in self.fields)


@dataclass(frozen=True, kw_only=True)
class Step:
    """One bench step.

    Attributes
    ----------
    key : name on the command line and in job files.
    title, why : what it is, and why it is done, in a line each.
    tools, procedure, cautions : what to lay out, what to do, keys of the cautions that apply.
    methods : the ways its readings can be taken.
    settings, choices : asked once a series.
    gives : terms that its reduction finds.
    part : kind of part measured (its state is recorded); "" where an instrument is, and no part of the engine.
    repeats : readings asked for before the mean is trusted.
    fills : whether fluid is delivered (an instrument and a fluid are asked for).
    check : results do not rest on it, or only where a job needs it: offered, not asked for.
    """

    key: str
    title: str
    why: str
    tools: tuple[str, ...]
    procedure: tuple[str, ...]
    cautions: tuple[str, ...]
    methods: tuple[Method, ...]
    gives: tuple[str, ...]
    part: str
    repeats: int
    settings: tuple[Field, ...] = ()
    choices: tuple[Choice, ...] = ()
    fills: bool = False
    check: bool = False

    def method_of(self, names: frozenset[str]) -> Method | None:
        """The method whose fields these are, or None."""
        for method in self.methods:
            needed = frozenset(f.name for f in method.fields if not f.optional)
            if needed <= names <= method.names:
                return method
        return None

    @property
    def fields(self) -> dict[str, Field]:
        """Every field of every method, by name."""
        return {f.name: f for method in self.methods for f in method.fields}
