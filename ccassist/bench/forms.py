"""Which boxes a paper form of a bench step has, worked out from the step's own declaration.

Pages are drawn from this, and filled forms are read back by it: the name of a box says the page, the form, the units
printed in it and what it is for.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from functools import cached_property
from urllib.parse import quote

from ccassist.bench.repeats import repeats_of_each
from ccassist.bench.step import Choice, Field, Method, Step
from ccassist.bench.steps import STEPS
from ccassist.vocabulary.record import record, together

MOST_COLUMNS = 10  # boxes side by side that a pencil and greasy fingers can still fill
LINES, POINTS, LEAKS = 12, 40, 4
HEAD = ("job", "by", "date", "part", "state", "instrument", "fluid", "temperature", "remark")
WRITTEN_JOB, PRINTED_JOB = ("h", "job"), ("h", "printed")  # what names the job: by hand, or as it was printed for one
LONGEST_PRINTED = 300  # characters in a box as it is printed
NOT_READ = "x"  # boxes for sums by hand: they help on paper, and are worked out anew from the readings
# What a step's readings are worked up to by hand, by its ways of reading where it matters: keys of relations.
BY_HAND: dict[tuple[str, str], tuple[str, ...]] = {
    ("bore", ""): ("bore_area",),
    ("stack", "block"): ("deck_clearance_centred",),
    ("stack", "corners"): ("deck_clearance_centred",),
    ("deck", ""): ("deck_volume", "squish"),
    ("crown", ""): ("space_over_piston",),
    ("gasket", "opening"): ("gasket_area_round",),
    ("gasket", "ellipse"): ("gasket_area_ellipse",),
    ("gasket", ""): ("gasket_volume",),
    ("land", ""): ("crevice_volume",),
}
# What is no relation: how one row is worked up, by its way of reading.
IN_WORDS: dict[str, tuple[str, ...]] = {
    "outline": (
        "Area: for every point x × (next y − y before), added all the way round; half of it, without its sign.",
    ),
    "cut-out": ("Area = area of the square × mass of the cut-outs ÷ mass of the square ÷ number of cut-outs.",),
    "syringes": ("Delivered = full syringes × a full one + the rest.",),
    "weighing": ("cc = grams × cc per gram of the fluid on the day: see the table on the page of sums.",),
    "weighed": ("True cc = grams × cc per gram of water: see the table on the page of sums.",),
    "size": ("True cc of a rod or bore = π/4 × diameter² × length.",),
}
# The boxes of a row's own sum, where several readings make one figure: the words, and the term whose unit each has.
ROW_SUMS: dict[str, tuple[tuple[str, str], ...]] = {
    "burette": (("= delivered", ""),),
    "syringes": (("= delivered", "fill_volume"),),
    "weighing": (("= grams", ""),),
    "weighed": (("= grams", "weighed_mass"), ("= true cc", "fill_volume")),
    "size": (("= true cc", "fill_volume"),),
    "ellipse": (("= area", "gasket_area"),),
    "cut-out": (("= area", "gasket_area"),),
    "pin axis": (("= mean", ""),),
    "both sides": (("= mean", ""),),
    "corners": (("= mean", ""),),
    "top and low": (("= mean", ""),),
}


@record
class Form:
    """One blank form: a step, and the ways of reading it that stand on the page together."""

    step: Step
    methods: tuple[Method, ...]
    alone: bool = True

    @property
    def key(self) -> str:
        """Its name, such as "chamber-weighing"."""
        said = [self.step.key, *([] if self.alone else [self.methods[0].key])]
        return "-".join(dict.fromkeys(said)).replace(" ", "-")

    @property
    def title(self) -> str:
        """The step, and the way of reading it where there are several."""
        return self.step.title if self.alone else f"{self.step.title}: {self.methods[0].title}"

    @property
    def points(self) -> bool:
        """Whether one reading is a list of points, such as a traced outline."""
        return self.methods[0].points

    @property
    def whole(self) -> bool:
        """Whether the readings are those of one part or instrument, and of no cylinder."""
        return self.step.part in ("", "gasket") or self.step.curve is not None

    @property
    def by_line(self) -> bool:
        """Whether a line holds one reading, with a box for its cylinder, since a row of repeats has no room."""
        wide = sum(self.repeats(m) * (len(columns(m)) + len(row_sums(m))) + 1 for m in self.methods)
        return not self.points and (self.whole or wide > MOST_COLUMNS)

    def repeats(self, method: Method) -> int:
        """Readings side by side."""
        if self.step.curve is not None:
            return 1
        return min(3, max(2, method.repeats or self.step.repeats)) if len(self.methods) == 1 else self.step.repeats

    def asked(self, cylinders: int) -> int:
        """Readings asked of each row's cylinder, by the rule of the guide."""
        beside = max(self.repeats(method) for method in self.methods)
        if self.by_line or not (self.step.fills and self.step.part) or self.step.by_part:
            return beside
        return max(beside, repeats_of_each(self.step.repeats, (cylinders - 1) * (self.step.repeats - 1)))

    @property
    def by_hand(self) -> tuple[str, ...]:
        """What its readings are worked up to by hand: keys of relations."""
        ways = (*self._ways, "")
        return tuple(key for way in ways for key in BY_HAND.get((self.step.key, way), ()))

    @property
    def lines(self) -> int:
        """Lines of a form whose lines hold one reading each."""
        return max(LINES, 2 * self.step.repeats if self.step.curve is not None else 0)

    @property
    def settings(self) -> tuple[Field, ...]:
        """Set-up in quantities."""
        return self.step.settings

    @property
    def choices(self) -> tuple[Choice, ...]:
        """Set-up in words, as far as it is asked of its ways of reading."""
        return self.step.choices_by(*self._ways)

    @property
    def _ways(self) -> tuple[str, ...]:
        return tuple(method.key for method in self.methods)

    def to_do(self, system: str, *, brief: bool = False) -> tuple[str, ...]:
        """What to do by its ways of reading, in order; ``brief`` : as the short card has it."""
        return self.step.to_do(*self._ways, system=system, brief=brief)

    def lay_out(self, system: str) -> tuple[str, ...]:
        """What to lay out for them."""
        return self.step.lay_out(*self._ways, system=system)

    @property
    def leak(self) -> tuple[Field, ...]:
        """What is read again after the fill, where the way of reading has it."""
        names = ("fill_time", "settle", "settle_at")
        return tuple(f for m in self.methods for f in m.fields if f.name in names)

    @cached_property
    def edition(self) -> str:
        """Changes whenever a box does, so that a form printed before it is known as such."""
        said = [self.key, str(self.by_line), str(self.points)]
        said += [f"{f.name}:{f.term}" for m in self.methods for f in m.fields]
        said += [f"{f.name}:{f.term}" for f in self.settings]
        said += [f"{c.name}:{'|'.join(c.options)}" for c in self.choices]
        return hashlib.sha256("\n".join(said).encode()).hexdigest()[:4]

    def box_name(self, page: int, system: str, *what: str) -> str:
        """The name of one of its boxes on a page (from 1) printed in these units; ``what`` as in :class:`Box`."""
        return Box(page=page, form=self.key, edition=self.edition, system=system, what=what).name

    def method_of(self, field: str) -> Method:
        """The way of reading that a field belongs to."""
        return next(m for m in self.methods if field in m.names)

    def has(self, what: tuple[str, ...]) -> bool:
        """Whether it may have such a box, with however many rows it was printed."""
        fields = {f.name: f for method in self.methods for f in method.fields}
        match what:
            case ("h", name):
                return name in (*HEAD, PRINTED_JOB[1])
            case ("t", name):
                return name in {f.name for f in self.settings}
            case ("c", name, *words):
                return any(c.name == name and words in ([[o] for o in c.options] or [[]]) for c in self.choices)
            case ("n", row):
                return _counts(row)
            case ("r", row, repeat, name) if not self.points:
                return _counts(row, repeat) and name in fields
            case ("s", row, repeat, name, sign) if not self.points:
                return _counts(row, repeat) and name in fields and sign in ("plus", "minus")
            case ("p", number, name) if self.points:
                return _counts(number) and name in fields
            case ("l", name):
                return bool(self.leak) and name in ("row", "repeat", "fill_time")
            case ("l", "settle" | "settle_at", number):
                return bool(self.leak) and _counts(number)
        return what[0] == NOT_READ


def printed_job(name: str) -> str:
    """A job's name as a box can hold it: the typeface of form fields has few letters.

    >>> printed_job("Nº 3, rebuilt")
    'N%C2%BA%203%2C%20rebuilt'
    """
    return quote(name, safe="")[:LONGEST_PRINTED]


def _counts(*texts: str) -> bool:
    """Whether each is a small whole number from 1, as rows and repeats are written."""
    return all(text.isascii() and text.isdigit() and text[0] != "0" and len(text) < 4 for text in texts)


def columns(method: Method) -> tuple[Field, ...]:
    """The fields that have a box in every row; what is read again later has a place of its own."""
    return tuple(f for f in method.fields if not (f.optional and f.many) and f.name != "fill_time")


def row_sums(method: Method) -> tuple[tuple[str, str], ...]:
    """The boxes by hand at the end of a row: the words, and the term whose unit each has."""
    return tuple((words, key or method.fields[0].term) for words, key in ROW_SUMS.get(method.key, ()))


def forms_of(step: Step) -> tuple[Form, ...]:
    """The forms of a step: the first ways of reading all it gives on one page, every other way on its own."""
    families = together((_family(step, method), method) for method in step.methods)
    first = tuple(family[0] for family in families.values())
    others = [method for family in families.values() for method in family[1:]]
    if not others:
        return (Form(step=step, methods=first),)
    main = Form(step=step, methods=first, alone=len(first) > 1)
    return (main, *(Form(step=step, methods=(method,), alone=False) for method in others))


def _family(step: Step, method: Method) -> str:
    """What a way of reading finds; the ways of filling, and of reading a dial, find the same."""
    return "fill" if step.fills else method.instead_of or next(m.key for m in step.methods if m.result == method.result)


FORMS: dict[str, Form] = {form.key: form for step in STEPS.values() for form in forms_of(step)}


@record
class Box:
    """One box of a form, as its name says it.

    form, edition, system : which form, and in which units its bare numbers are.
    """

    page: int  # of the file, from 1; forms of several pages may share a file
    form: str
    edition: str
    system: str
    what: tuple[str, ...]  # the parts of the box's own name, such as ("r", "3", "2", "start")

    @property
    def name(self) -> str:
        """The name of the form field."""
        return "/".join((str(self.page), self.form, self.edition, self.system, *self.what))


def box_named(name: str) -> Box | None:
    """The box of that name, or None where it is none of ours.

    >>> box_named("1/deck-pin-axis/ab12/metric/r/3/2/front").what
    ('r', '3', '2', 'front')
    """
    parts = name.split("/")
    if len(parts) < 5 or not (parts[0].isascii() and parts[0].isdigit() and len(parts[0]) < 5):
        return None
    return Box(page=int(parts[0]), form=parts[1], edition=parts[2], system=parts[3], what=tuple(parts[4:]))


def rows_of(form: Form, cylinders: int) -> Iterator[tuple[str, int]]:
    """The rows of a form, and how many repeats stand in those before: its cylinders, or its lines.

    Where a cylinder is asked more fills than a row holds, as a lone one is, it has rows of them.
    """
    beside = max(form.repeats(method) for method in form.methods)
    for n in range(1, (form.lines if form.by_line else cylinders) + 1):
        yield from ((str(n), before) for before in range(0, form.asked(cylinders), beside))
