"""One unknown from one target, or two from two, for every cylinder and for all alike."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import field, replace
from typing import Any

from ccassist.analysis.cylinder import GASKET, Cylinder, known_of_all
from ccassist.analysis.results import Survey
from ccassist.analysis.which_counts import OPENING, basis_notes
from ccassist.bench.cell import Reduction
from ccassist.bench.steps import STEPS
from ccassist.engine.cam import CARD, complete, counting
from ccassist.engine.model import RELATIONS, build, lacking_for
from ccassist.job.amend import key_text, string_text
from ccassist.job.sections import STATED
from ccassist.job.vocabulary import ENGINE_TERMS, GIVEN_TERMS, PART_TERMS
from ccassist.solve.question import FILL_READINGS, REDUCTIONS
from ccassist.solve.request import Request
from ccassist.solve.solver import Answer, solve
from ccassist.values.display import Formatter, places
from ccassist.values.findings import Finding, InputError, NotPossible, error
from ccassist.values.number import Number, nominal
from ccassist.values.uncertainty import differ
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record

# An answer as lines of the job file: where each stands, what must go because it would count, what must stay.
#
# An answer is true of the engine as it is reckoned here.  In the file a reading counts before a statement, a target
# that was read stays as read, and a fill over the piston is worked up anew with whatever is changed.  What stands in
# the way is named, what must stay is written out, and where neither can be done it is said why.

CLOSING = "intake_closing"
EXACT = 12  # decimals in the shown unit: more than a float of any term needs
_FILL = tuple(RELATIONS[name].gives for name in REDUCTIONS)
_STAYS = 1e-12  # of a cc or so: what rounding may move


@record
class FileLine:
    """One line of the file.

    section : its section, such as ("cylinder", "1").
    key, number : the term and its SI value; None where what stands there must be taken out.
    words : the text of a line that is none of a term's value; ``why`` : why it is needed, where it is no answer.
    """

    section: tuple[str, ...]
    key: str
    number: float | None = None
    words: str = ""
    why: str = ""

    @property
    def path(self) -> tuple[str, ...]:
        """Section and key."""
        return (*self.section, self.key)

    def value(self, fmt: Formatter, *, exact: bool = False) -> str | None:
        """What is written; None where it is taken out.  ``exact`` : with every digit, else one more than usual."""
        if self.number is None:
            return self.words or None
        decimals = EXACT if exact else places(fmt.unit(self.key), None) + 1
        return fmt.show(self.key, self.number, decimals=decimals)

    def text(self, fmt: Formatter) -> str:
        """As it is typed into the file, and why."""
        section, value = ".".join(key_text(name) for name in self.section), self.value(fmt)
        said = f"take out {self.key}" if value is None else f"{self.key} = {string_text(value)}"
        return f"[{section}] {said}" + (f" ({self.why})" if self.why else "")


@record
class IntoFile:
    """How the answers of one cylinder, or of the whole engine, are put into the job file.

    aside : readings that stand before them, in words and by their places in the file; to be set aside.
    """

    lines: tuple[FileLine, ...] = ()  # to be written or taken out
    aside: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    refused: str = ""  # why it cannot be put into the file; "" where it can

    def texts(self, fmt: Formatter) -> list[str]:
        """One text a step, in the order in which they are done."""
        if self.refused:
            return [f"It cannot be put into the job file: {self.refused}"]
        first = [f"set aside {words}: readings stand before what is stated" for words in self.aside]
        return [*first, *(line.text(fmt) for line in self.lines)]

    def for_all_by(self, number: int) -> IntoFile:
        """The same of one value for all cylinders, saying for which of them it meets the target."""
        why = f"one and the same for all cylinders: the target is met in cylinder {number}"
        return replace(self, lines=(*(replace(one, why=one.why or why) for one in self.lines[:1]), *self.lines[1:]))

    def to_dict(self, fmt: Formatter) -> dict[str, Any]:
        """Plain data; a value of null is to be taken out."""
        return {
            "lines": [{"path": list(one.path), "value": one.value(fmt), "why": one.why} for one in self.lines],
            "set_aside": [place for places in self.aside.values() for place in places],
            "refused": self.refused or None,
        }


def into_file(survey: Survey, number: int, numbers: Mapping[str, float], targets: Mapping[str, float]) -> IntoFile:
    """How answers are put into the job's file, so that it gives the targets back.

    survey : the engine that was solved for.
    number : of the cylinder.
    numbers : unknown -> answer, SI.
    targets : target -> what it comes to, SI.
    """
    cylinder = survey.cylinders[number - 1]
    kept, refused = _kept(cylinder, numbers, targets)
    refused = _cannot(cylinder, numbers) or refused
    if refused:
        return IntoFile(refused=refused)
    lines = [line for key, value in numbers.items() for line in stated_lines(survey, number, key, value)]
    lines += kept
    blocking = [one for line in lines for one in _before(survey, number, line.key)]
    lines += [line for key in numbers for line in _other_opening(survey, number, key)]
    for target in targets:
        if target in cylinder.known and target not in numbers:
            blocking += [one for one in _read(survey, number) if target in one.values]
            lines += _taken_out(survey, number, target)
    if kept or "crown_volume" in numbers:
        lines += _still_counted(survey, cylinder, blocking)
    return IntoFile(lines=tuple(dict.fromkeys(lines)), aside=_aside(blocking))


def _cannot(cylinder: Cylinder, numbers: Mapping[str, float]) -> str:
    """Why nothing in the file can say it."""
    for key in numbers:
        name = term(key).name
        if key in FILL_READINGS:
            return f"the {name} is read at the bench, never stated"
        if key not in (*PART_TERMS, *ENGINE_TERMS, CLOSING):
            return f"the {name} follows from other terms; solve for one of those"
        if key in GASKET and cylinder.gasket:
            layers = ", ".join(layer.part for layer in cylinder.gasket)
            return f"the gasket is made of several layers ({layers}); change one of them and look again"
    return ""


def stated_lines(survey: Survey, number: int, key: str, value: float) -> Iterator[FileLine]:
    """Where an answer stands, and what on the cam card it would contradict."""
    if key != CLOSING:
        yield FileLine(section=("engine",) if key in ENGINE_TERMS else ("cylinder", str(number)), key=key, number=value)
        return
    yield FileLine(section=("cam",), key=key, number=value)
    card = {name: one.number for name, one in survey.stated.get("cam", {}).items() if name in CARD and name != key}
    counted = counting({**card, key: value})
    made, _ = complete(counted)
    for name in card:
        if name not in counted and differ(card[name], made[name], hair=1e-9):
            yield FileLine(section=("cam",), key=name, why="it would contradict the new closing")


def _kept(cylinder: Cylinder, numbers: Mapping[str, float], targets: Mapping[str, float]) -> tuple[list[FileLine], str]:
    """The crown as the fill found it, written out where the file would work the fill up anew; or why it cannot be."""
    if "crown_volume" in numbers or not {*FILL_READINGS} & cylinder.known.keys():
        return [], ""
    known = {**{key: nominal(value) for key, value in cylinder.known.items() if key not in targets}, **numbers}
    try:
        after = build(known, cylinder.choices).evaluate(known)
    except (ValueError, ZeroDivisionError):
        after = {}
    before = {key: targets.get(key, cylinder.values[key].nominal) for key in _FILL if key in cylinder.values}
    if all(abs(after.get(key, 0.0) - found) <= _STAYS * max(abs(found), 1e-6) for key, found in before.items()):
        return [], ""
    if "crown_volume" not in before or any(key in targets for key in _FILL):
        return [], "the fill over the piston would be worked up anew with it; fill it again with the parts as they are"
    why = "as the fill found it: it would be worked up anew"
    section = ("cylinder", str(cylinder.number))
    return [FileLine(section=section, key="crown_volume", number=before["crown_volume"], why=why)], ""


def _still_counted(survey: Survey, cylinder: Cylinder, blocking: Sequence[Reduction]) -> Iterator[FileLine]:
    """What was counted because of the fill that is set aside."""
    for key, words in cylinder.choices.said.items():
        if key not in survey.job.counted and any("crown_fill" in one.values for one in blocking):
            yield FileLine(section=("counted",), key=key, words=words, why="as it is counted now")


def _read(survey: Survey, number: int) -> list[Reduction]:
    """Everything read of a cylinder, older states too: they would come to count."""
    return [one for one in survey.reduced if number in one.cell.cylinders and one.cell.counted]


def _before(survey: Survey, number: int, key: str) -> list[Reduction]:
    """Readings that count before a statement for the one cylinder."""
    fill = ("crown_fill", "crown_and_deck_volume") if key == "crown_volume" else ()
    bore = ("gasket_bore",) if key in OPENING else ()
    return [
        one
        for one in _read(survey, number)
        if any(other in one.values for other in (*fill, *bore)) or (key in one.values and len(one.cell.cylinders) == 1)
    ]


def _other_opening(survey: Survey, number: int, key: str) -> list[FileLine]:
    """A measured bore of the gasket counts before another form of its opening."""
    if key not in OPENING or key == "gasket_bore":
        return []
    return _taken_out(survey, number, "gasket_bore")


def _taken_out(survey: Survey, number: int, key: str) -> list[FileLine]:
    """Every statement of a term that serves a cylinder, to be taken out."""
    job = survey.job
    held = [(("part", part.name), part.given) for part in job.parts.values() if number in part.cylinders]
    places = [(("engine",), job.engine), *held, (("cylinder", str(number)), job.per_cylinder.get(number, {}))]
    why = "else it stays as stated"
    return [FileLine(section=section, key=key, why=why) for section, given in places if key in given]


def _aside(blocking: Iterable[Reduction]) -> dict[str, tuple[str, ...]]:
    """Readings to be set aside, in words and by place."""
    found: dict[str, tuple[str, ...]] = {}
    for one in blocking:
        line = f", line {one.cell.line}" if one.cell.line else ""
        state = f' "{one.cell.state}"' if one.cell.state else ""
        words = f"{one.cell.step.title.lower()} of {one.cell.where}{state}{line}"
        found[words] = tuple(row.place for row in one.cell.counted)
    return found


def joined(several: Iterable[IntoFile]) -> IntoFile:
    """Those of several cylinders as one; those that cannot be are left out, unless none can."""
    each = list(several)
    able = [one for one in each if not one.refused]
    if not able:
        return replace(each[0]) if each else IntoFile()
    aside = {words: places for one in able for words, places in one.aside.items()}
    return IntoFile(lines=tuple(dict.fromkeys(line for one in able for line in one.lines)), aside=aside)


# What is found for each cylinder, and for all alike.


@record
class SolvedFor:
    """The answer for one cylinder (number), or for all alike (None); or why there is none."""

    cylinder: int | None
    answer: Answer | None
    reason: str = ""
    into: IntoFile | None = None  # how the likeliest answer is put into the job file, None of a mean

    @property
    def numbers(self) -> dict[str, tuple[Number, ...]]:
        """The answers by unknown, SI, the likeliest first; nothing where there is none."""
        return {} if self.answer is None else self.answer.numbers


def find(survey: Survey, wish: Request, *, cylinder: int | None = None, fmt: Formatter) -> tuple[SolvedFor, ...]:
    """The answers for each cylinder, each by what it has, and for all alike where there are several.

    Raises InputError: the cylinder is not there, or the question is not sound for any.
    """
    # The lift for which the answer holds, where it hangs on intake closing.
    notes = basis_notes(survey.job, survey.stated.get("cam", {}), (*wish.unknowns, *wish.targets), fmt)
    found: list[SolvedFor] = []
    unsound: list[InputError] = []
    algebra = True  # the same for every cylinder: worked out once, for the last that has an answer, which is printed
    for number, known in reversed(cases(survey, cylinder)):
        choices = survey.cylinders[(number or 1) - 1].choices
        try:
            answer = solve(known, choices, unknowns=wish.unknowns, targets=wish.targets, algebra=algebra, fmt=fmt)
        except NotPossible as fault:
            found.append(SolvedFor(cylinder=number, answer=None, reason=str(fault)))
            continue
        except InputError as fault:
            unsound.append(_with_way_out(fault, survey, number, wish))
            reason = "; ".join(finding.text() for finding in unsound[-1].findings)
            found.append(SolvedFor(cylinder=number, answer=None, reason=reason))
            continue
        answer, algebra = replace(answer, findings=(*answer.findings, *notes)), False
        into = None if number is None else into_file(survey, number, answer.best.plain, wish.targets)
        found.append(SolvedFor(cylinder=number, answer=answer, into=into))
    if len(unsound) == len(found):
        raise unsound[-1]
    return tuple(reversed(found))


def cases(survey: Survey, cylinder: int | None) -> list[tuple[int | None, dict[str, Number]]]:
    """The known numbers of the cylinders asked for, and their means (None) where there are several.

    Raises InputError: there is no such cylinder.
    """
    check_cylinder(survey, cylinder)
    chosen = [c for c in survey.cylinders if cylinder in (None, c.number)]
    count = float(survey.job.cylinders)
    known: list[tuple[int | None, dict[str, Number]]] = [(c.number, {**c.known, "cylinders": count}) for c in chosen]
    if len(chosen) > 1:
        known.append((None, {**known_of_all(chosen, [c.known for c in chosen]), "cylinders": count}))
    return known


def check_cylinder(survey: Survey, cylinder: int | None) -> None:
    """Nothing where there is such a cylinder, or none is named. Raises InputError: there is no such cylinder."""
    if cylinder is not None and not 1 <= cylinder <= len(survey.cylinders):
        right = f"there are cylinders 1 to {len(survey.cylinders)}"
        raise InputError(error("unknown-cylinder", right, read=str(cylinder), place="--cylinder"))


# -- how a cylinder that lacks something comes to an answer ------------------------------


_FILLED = {"crown_volume": "crown"}  # what a fill is worked up to, by step


def _with_way_out(fault: InputError, survey: Survey, number: int | None, wish: Request) -> InputError:
    """The fault of one cylinder; where something is not given it says how it is had."""
    said = [
        _led(finding, survey, number, wish) if finding.code == "not-given" else finding for finding in fault.findings
    ]
    return InputError(said)


def _led(finding: Finding, survey: Survey, number: int | None, wish: Request) -> Finding:
    if number is None:
        return replace(finding, right="complete the cylinders that lack it")
    values = survey.cylinders[number - 1].values
    there = {*values, *wish.unknowns}
    missing = dict.fromkeys(key for target in wish.targets for key in lacking_for(target, there) if key not in there)
    ways = [way for key in missing if key not in wish.targets and (way := _way(key, survey.job.file, number))]
    return replace(finding, right="; ".join(ways)) if ways else finding


def _way(key: str, file: str, number: int) -> str:
    """The step that reads a term of a cylinder, and the section that states it; "" where neither is there."""
    step = _FILLED.get(key) or next((name for name, one in STEPS.items() if key in one.gives), "")
    section = next(
        (one.name for one in STATED.values() if key in one.terms and one.name not in ("charge", "baseline")), ""
    )
    if key in GIVEN_TERMS:
        section = "engine" if key in ENGINE_TERMS else f"cylinder.{number}"
    ways = [f"ccassist guide {file or 'FILE'} --step {step} --cylinder {number}"] if step else []
    ways += [f"state {key} under [{section}]"] if section else []
    return f"{term(key).name}: {' or '.join(ways)}" if ways else ""
