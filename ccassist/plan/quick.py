"""A ratio from a few dimensions, without a job file.

What is said becomes a job of one cylinder, so that everything else, the
usual ±, the checks and the algebra, follows as it does for any job.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import field, replace
from itertools import product
from typing import Any

from ccassist.analysis.cylinder import Cylinder
from ccassist.analysis.plausibility import out_of_range
from ccassist.analysis.results import Survey, sound_survey
from ccassist.analysis.sums import PARTS, addition, guarded, printed
from ccassist.job.file import parse_job
from ccassist.job.template import Start, new_file
from ccassist.plan.solved.found import Found, solved
from ccassist.values.asking import example, with_sign, with_unit
from ccassist.values.display import Formatter, formatter, two_text
from ccassist.values.findings import Finding, InputError, NotPossible, clean, error, errors, placed
from ccassist.values.measured import Ground, ground_of, guessed_names, values_to_dict
from ccassist.values.pint_bridge import Written, as_text, is_pint
from ccassist.values.quantity import Quantity, parse
from ccassist.values.statement import has_doubt, number_of
from ccassist.values.uncertainty import expand
from ccassist.vocabulary import Meant, nearest, term
from ccassist.vocabulary.enumerations import Origin, System
from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import in_unit

RATIO, DYNAMIC, SQUISH = "static_ratio", "trapped_ratio", "squish"
# What is said -> the term, and the word of sign that the key itself says.
KEYS: dict[str, Meant] = {
    "bore": Meant(term=term("bore")),
    "stroke": Meant(term=term("stroke")),
    "chamber": Meant(term=term("chamber_volume")),
    "gasket": Meant(term=term("gasket_thickness")),
    "gasket_bore": Meant(term=term("gasket_bore")),
    "below": Meant(term=term("deck_clearance"), says="below deck"),
    "proud": Meant(term=term("deck_clearance"), says="proud"),
    "deck": Meant(term=term("deck_clearance")),
    "dish": Meant(term=term("crown_volume"), says="dish"),
    "dome": Meant(term=term("crown_volume"), says="dome"),
    "reliefs": Meant(term=term("crown_volume"), says="reliefs"),
    "crown": Meant(term=term("crown_volume")),
    "crevice": Meant(term=term("crevice_volume")),
    "chamfer": Meant(term=term("chamfer_volume")),
    "rod": Meant(term=term("rod_length")),
    "closing": Meant(term=term("intake_closing")),
}
WANTED = "ratio"
ADDED = ("dish", "dome", "reliefs")  # of one crown; what they say adds up
# What the ratio needs -> the keys that say it; one of them may be left out where the ratio is given.
NEEDED: dict[str, tuple[str, ...]] = {
    "bore": ("bore",),
    "stroke": ("stroke",),
    "chamber_volume": ("chamber",),
    "gasket_thickness": ("gasket",),
    "deck_clearance": ("below", "proud", "deck"),
    "crown_volume": ("dish", "dome", "reliefs", "crown"),
}
COUNTED = {"crevice": "crevice_volume", "chamfer": "chamfer_volume"}
MOST_CASES = 24  # a table that is still read at a glance

Said = Mapping[str, str]


@record
class QuickRatio:
    """One engine cylinder as said, and what follows.

    Attributes
    ----------
    said : by key, the texts.
    survey : the cylinder worked out.
    answer : what the one thing left out must be for the ratio given; None where nothing was left out.
    taken : what nobody said and was taken, in words.
    """

    said: Said
    survey: Survey
    answer: Found | None = None
    taken: tuple[str, ...] = field(default=())

    @property
    def noticed(self) -> tuple[Finding, ...]:
        """What is worth saying of it; that nobody said where the dimensions come from is said of the ±."""
        found = [_of_a_key(f, self.said) for f in self.survey.findings if f.code not in _OF_A_FILE]
        unusual = self.answer and out_of_range(RATIO, parse(self.said[WANTED], RATIO).value, self.survey.fmt)
        return (unusual, *found) if unusual else tuple(found)

    @property
    def doubts(self) -> tuple[Finding, ...]:
        """As noticed, with what is doubtful of the answer before it."""
        found = self.answer.answer.findings if self.answer and self.answer.answer else ()
        return (*found, *self.noticed)

    @property
    def cylinder(self) -> Cylinder:
        """The cylinder worked out; without what was left out."""
        return self.survey.cylinders[0]

    def to_dict(self, system: str = System.METRIC) -> dict[str, Any]:
        """Plain data, SI; ``system`` : units of the texts."""
        return {
            "given": dict(self.said),
            "values": values_to_dict(
                {k: replace(v, line=None) for k, v in self.cylinder.values.items()}, formatter(system)
            ),
            "solved": None if self.answer is None else self.answer.to_dict(system),
            "taken": list(self.taken),
            "findings": [f.to_dict() for f in self.noticed],
        }


def ratio(*, units: str = System.METRIC, **said: Written) -> QuickRatio:
    """The static ratio of one cylinder from a few dimensions, or the one dimension that gives a ratio.

    Parameters
    ----------
    units : "metric" or "imperial": the unit of bare numbers; mm and cc, or inches and cc.
    said : the keys of :data:`KEYS`, and ``ratio`` where one of what it needs is left out; texts such as "83.4 mm",
        bare numbers, or quantities of Pint.

    Raises
    ------
    InputError : something is not understood, said twice, or missing; every fault is named.

    >>> made = ratio(bore="83.4 mm", stroke="91.3 mm", chamber="47.6 cc", gasket="1.14 mm", below="0.23", dish="6.4")
    >>> Formatter().value(made.cylinder.values["static_ratio"])
    '9.11 ± 0.24'
    """
    texts = {key: [_written(key, one)] for key, one in said.items()}
    (one,) = ratios(texts, units)
    return one


def _written(key: str, one: Written) -> str:
    """What is said under a key, as a text."""
    if not is_pint(one):
        return str(one)
    with placed(key):
        return as_text(one, KEYS.get(key, Meant(term=term(RATIO))))


def ratios(said: Mapping[str, Sequence[str]], system: str) -> list[QuickRatio]:
    """As :func:`ratio`, for every combination of keys that are said more than once.

    Raises
    ------
    InputError : as there, or there are too many combinations.
    """
    faults = [*_unknown(said), *_twice(said), *_missing(said)]
    if faults:
        raise InputError(faults)
    count = math.prod(len(texts) for texts in said.values())
    if count > MOST_CASES:
        wrong = f"{count} combinations are more than a small table holds"
        raise InputError(error("too-many", wrong, right=f"at most {MOST_CASES}; of many parts: ccassist combine"))
    return [_one(dict(zip(said, case, strict=True)), system) for case in product(*said.values())]


def start_of(said: Said, system: str, *, cylinders: int = 1) -> Start:
    """What a new job file says of what was said.

    Raises
    ------
    InputError : a text is not understood; all such are named.
    """
    engine, faults = _terms(said, system)
    if faults:
        raise InputError(faults)
    counted = {key: "counted" if COUNTED[key] in engine else "not counted" for key in COUNTED}
    cam = {key: engine.pop(key) for key in ("intake_closing",) if key in engine}
    wanted = {RATIO: said[WANTED]} if WANTED in said else {}
    return Start(cylinders=cylinders, system=system, engine=engine, counted=counted, wanted=wanted, stated={"cam": cam})


def _one(said: Said, system: str) -> QuickRatio:
    taken = list(_taken(said))
    loaded = parse_job(new_file(start_of({key: text for key, text in said.items() if key != WANTED}, system)))
    faults = [_of_a_key(f, said) for f in errors(loaded.findings)]
    if faults:
        raise InputError(faults)
    try:
        survey = sound_survey(loaded.job)
    except InputError as fault:
        raise InputError([_of_a_key(f, said) for f in fault.findings]) from None
    unknown = _left_out(said)
    if unknown is None:
        return QuickRatio(said=said, survey=survey, taken=tuple(taken))
    with placed(WANTED):
        parse(said[WANTED], RATIO, system=system)
        (found,) = solved(survey, unknown, {RATIO: said[WANTED]}, system=system)
    if found.answer is None:
        raise NotPossible(f"{WANTED}={clean(said[WANTED], 40)}: {found.reason}")
    return QuickRatio(said=said, survey=survey, answer=found, taken=tuple(taken))


# -- what is said ---------------------------------------------------------------------------------------------


def _unknown(said: Mapping[str, Sequence[str]]) -> Iterator[Finding]:
    for key in said:
        if key not in KEYS and key != WANTED:
            near = nearest(key, (*KEYS, WANTED))
            right = f'did you mean "{near}"?' if near else f"one of {', '.join(KEYS)} and {WANTED}"
            yield error("unknown-key", "no such dimension", read=key, right=right)


def _twice(said: Mapping[str, Sequence[str]]) -> Iterator[Finding]:
    """Two keys that say one thing in two ways."""
    for what, keys in NEEDED.items():
        there = [key for key in keys if key in said]
        if len(there) > 1 and not set(there) <= set(ADDED):
            yield error("said-twice", f"{' and '.join(there)} both say the {term(what).name}", right="give one of them")


def _missing(said: Mapping[str, Sequence[str]]) -> Iterator[Finding]:
    left = [keys for keys in NEEDED.values() if not set(keys) & set(said)]
    names = [" or ".join(keys) for keys in left]
    if WANTED not in said and left:
        right = "; ".join(_such_as(keys) for keys in left)
        if len(left) == 1:
            right += f"; or {WANTED}=9.5, to find it"
        yield error("missing-value", f"not given: {', '.join(names)}", right=right)
    elif WANTED in said and len(left) > 1:
        wrong = f"{', '.join(names)} are left out, and a ratio gives one of them"
        yield error("missing-value", wrong, right="leave out one only")
    elif WANTED in said and not left:
        yield error("nothing-unknown", "a ratio is given and nothing is left out", right=f"leave out one, or {WANTED}")
    if WANTED in said and ("bore",) in left and "gasket_bore" not in said:
        yield error("missing-value", "without a bore the gasket's is needed", right=_such_as(("gasket_bore",)))


def _such_as(keys: Sequence[str]) -> str:
    """How a thing that is missing may be said: by its first key or its last, as its term's example says it."""
    return " or ".join(dict.fromkeys(f"{key}={_example(KEYS[key])}" for key in (keys[0], keys[-1])))


def _example(one: Meant) -> str:
    """A value that needs no quotes; where the value says the sign, the word for none."""
    if one.term.sign and not one.says:
        return one.term.sign.zero[0]
    usual = parse(example(one.term.key), one.term.key)
    return f"{_plain(abs(usual.value), usual.unit)}{usual.unit}"


def _left_out(said: Said) -> str | None:
    if WANTED not in said:
        return None
    return next(what for what, keys in NEEDED.items() if not set(keys) & set(said))


def _terms(said: Said, system: str) -> tuple[dict[str, str], list[Finding]]:
    """By term, the texts as a job file holds them; and what is not understood, by key."""
    found: dict[str, str] = {}
    faults: list[Finding] = []
    crown = [key for key in ADDED if key in said]
    for key, text in said.items():
        if key == WANTED or (key in crown and len(crown) > 1):
            continue
        try:
            with placed(key):
                found[KEYS[key].term.key] = checked(key, text, system)
        except InputError as fault:
            faults += fault.findings
    if len(crown) > 1:
        try:
            found["crown_volume"] = _added(crown, said, system)
        except InputError as fault:
            faults += fault.findings
    if "gasket_bore" not in found and "bore" in found:
        bore = parse(found["bore"], "bore", system=system)
        found["gasket_bore"] = f"{_plain(bore.value, bore.unit)} {bore.unit}, {Origin.ASSUMED}"
    return found, faults


def checked(key: str, text: str, system: str) -> str:
    """One text with the sign that its key says, and the unit that a bare number takes.

    Raises
    ------
    InputError : it is not understood, or says another sign than its key.
    """
    if key == WANTED:
        return parse(text.strip(), RATIO, system=system).raw
    one = KEYS[key]
    try:
        return with_unit(with_sign(text.strip(), one), one.term.key, system=system)
    except InputError as fault:
        raise InputError([_as_typed(f, key, text) for f in fault.findings]) from None


def _as_typed(finding: Finding, key: str, text: str) -> Finding:
    """The fault of what was typed, not of what the key made of it, and with the key that says no sign."""
    wanted = KEYS[key].term.key
    free = next(one for one, meant in KEYS.items() if meant.term.key == wanted and not meant.says)
    return replace(finding, read=finding.read and text, right=finding.right.replace(f'"{wanted}"', f'"{free}"'))


def _added(keys: Sequence[str], said: Said, system: str) -> str:
    """Dish, reliefs and dome of one crown as one net volume in words, with the ± and the origin of all.

    Where some say a ± and some do not, the usual one of these counts, and the sum is called assumed.
    """
    read: list[Quantity] = []
    for key in keys:
        with placed(key):
            read.append(parse(checked(key, said[key], system), "crown_volume", system=system))
    total, sign = sum(one.value for one in read), term("crown_volume").sign
    assert sign is not None
    number, half, origin = _plain(abs(total), "cc"), _joined(read), _weakest(read)
    spread = f" +/- {two_text(in_unit(half, 'cc'))}" if half else ""
    behind = f", {origin}" if origin else ""
    if float(number) == 0 and not spread:
        return f"{sign.zero[0]}{behind}"
    return f"{(sign.minus if total < 0 else sign.plus)[0]} {number}{spread} cc{behind}"


def _joined(read: Sequence[Quantity]) -> float:
    """The half-width of a sum [m³], the root of the sum of the squares; 0 where none of them says one."""
    if not any(map(has_doubt, read)):
        return 0.0
    return math.hypot(*(one.spread or expand(number_of(one, "", at_the_bench=False)).expanded for one in read))


def _weakest(read: Sequence[Quantity]) -> Origin:
    """Where a sum comes from: as its parts where they agree; assumed where one is, or only some say their ±."""
    some = {has_doubt(one) for one in read} == {True, False}
    origins = {one.origin for one in read}
    if some or Origin.ASSUMED in origins:
        return Origin.ASSUMED
    if Origin.UNSAID in origins:
        return Origin.UNSAID
    return Origin.MAKER if Origin.MAKER in origins else Origin.MEASURED


def _plain(value: float, unit: str) -> str:
    return f"{in_unit(value, unit):.6f}".rstrip("0").rstrip(".")


def _taken(said: Said) -> Iterator[str]:
    """What nobody said, and what was taken for it."""
    if "gasket_bore" not in said and "bore" in said:
        yield "gasket bore: taken as the cylinder's bore, but is usually a little larger (gasket_bore=)"
    for key, other in (("rod", "closing"), ("closing", "rod")):
        if key in said and other not in said:
            yield f"dynamic (trapped) ratio: not worked out, {other}= is not given"
    not_counted = [key for key in COUNTED if key not in said]
    if not_counted:
        yield f"not counted: {' and '.join(not_counted)}"


# Said of a job file, and not of a few dimensions: where they come from is said once, below.
_OF_A_FILE = ("no-origin", "guesses")


def _of_a_key(finding: Finding, said: Said) -> Finding:
    """A fault with the key that it is about, instead of its place in a file."""
    name = finding.place.rpartition(".")[2]
    keys = [key for key in said if key in KEYS and KEYS[key].term.key == name]
    read = said[keys[0]] if finding.read and len(keys) == 1 else finding.read
    place = "" if finding.place.startswith("cylinder") else finding.place  # there is but one
    return replace(finding, file="", line=None, place=" and ".join(keys) or place, read=read)


# -- what is printed ------------------------------------------------------------------------------------------


def lines(one: QuickRatio, fmt: Formatter) -> Iterator[str]:
    """What the ratio is made of, what follows with it, and what was taken for it."""
    values = one.cylinder.values
    if one.answer is None:
        yield from _made_of(one.cylinder, fmt)
        if DYNAMIC in values:
            yield (
                f"Dynamic (trapped) ratio {fmt.value(values[DYNAMIC])}: geometry alone, intake closing "
                f"{fmt.value(values['intake_closing'])}"
            )
        if SQUISH in values:
            yield f"Squish: {fmt.value(values[SQUISH])}"
    yield from (f"{text[0].upper()}{text[1:]}." for text in one.taken)
    yield from _ground(one)


def unvouched(one: QuickRatio) -> bool:
    """Whether nobody vouches for its ±."""
    rests = _rests(one)
    return not rests.sure and not math.isnan(rests.share)


def _rests(one: QuickRatio) -> Ground:
    return ground_of(
        one.cylinder.values[RATIO].number if one.answer is None else next(iter(one.answer.numbers.values()))[0]
    )


def _ground(one: QuickRatio) -> Iterator[str]:
    """That nobody vouches for the ±, and what to measure first."""
    if unvouched(one):
        rests = _rests(one)
        names = guessed_names(row.cause for row in rests.guesses)
        first = rests.guesses[0].cause.remedy.partition(" (")[0]
        yield f"The ± is what is usual of {names}: no 95 % can be said of it. First {first}."


def _made_of(cylinder: Cylinder, fmt: Formatter) -> Iterator[str]:
    """The volumes as they add up, and the ratio worked out from them."""
    decimals = guarded([cylinder], fmt)
    found = addition(cylinder, decimals, fmt)
    if found is None:
        return
    swept = fmt.amount("swept_volume", cylinder.values["swept_volume"].nominal, decimals=decimals)
    yield f"  = ({swept} + {printed(found.total)}) ÷ {printed(found.total)} cc, swept and clearance volume"
    for key, name in PARTS.items():
        value = cylinder.values.get(key)
        if key in found.parts and value is not None and value.origin != Origin.NOT_COUNTED:
            amount = printed(found.parts[key]).rjust(8)
            yield f"  {name:<9} {amount} cc{_how(key, cylinder, fmt)}"


def _how(key: str, cylinder: Cylinder, fmt: Formatter) -> str:
    """What a volume comes from, where it is not stated as one."""
    values = cylinder.values
    if key == "gasket_volume":
        thick, bore = fmt.value(values["gasket_thickness"]), fmt.value(values["gasket_bore"])
        return f"   {thick} thick, bore {bore}"
    if key == "deck_volume":
        return f"   {fmt.value(values['deck_clearance'])}"
    if key == "crown_volume":
        return f"   {fmt.value(values['crown_volume'])}"
    return ""


def row(one: QuickRatio, keys: Sequence[str], results: Sequence[str], fmt: Formatter) -> list[str]:
    """One line of the table of several: what varies, and what comes of it; ``results`` : terms."""
    varied = [one.said[key] for key in keys]
    if one.answer is not None:
        ((unknown, numbers),) = one.answer.numbers.items()
        return [*varied, " or ".join(fmt.number(unknown, number) for number in numbers)]
    return [*varied, *(fmt.value(one.cylinder.values[key]) for key in results)]


def of_cases(found: Sequence[QuickRatio], keys: Sequence[str]) -> Iterator[Finding]:
    """What is doubtful of any of several cases; what is not of all of them says of which; ``keys`` : what varies."""
    for one in found:
        case = ", ".join(f"{key}={clean(one.said[key], 40)}" for key in keys)
        for finding in one.doubts:
            own = finding.place not in keys and not all(finding in other.doubts for other in found)
            yield replace(finding, place=case) if own else finding
