"""What is said of a ratio in a few words, KEY=VALUE: read, checked, and made a job of one cylinder.

Everything else, the usual ±, the checks and the algebra, follows as it does for any job; what is told of it stands in
report/ratio.py.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import product

from ccassist.job.file import parse_job
from ccassist.job.records import Job
from ccassist.job.template import Start, new_file
from ccassist.values.asking import example, with_sign, with_unit
from ccassist.values.display import two_text
from ccassist.values.findings import Finding, InputError, error, errors, placed
from ccassist.values.quantity import Quantity, parse
from ccassist.values.statement import has_doubt, number_of
from ccassist.values.uncertainty import expand
from ccassist.vocabulary import Meant, meant, nearest, term
from ccassist.vocabulary.units import Origin, in_unit

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


def combinations_of(said: Mapping[str, Sequence[str]]) -> list[Said]:
    """One engine for every combination of keys that are said more than once.

    Raises InputError: a key is unknown, said in two ways, or missing; or there are too many combinations.
    """
    faults = [*_unknown(said), *_twice(said), *_missing(said)]
    if faults:
        raise InputError(faults)
    count = math.prod(len(texts) for texts in said.values())
    if count > MOST_CASES:
        wrong = f"{count} combinations are more than a small table holds"
        raise InputError(error("too-many", wrong, right=f"at most {MOST_CASES}; of many parts: ccassist combine"))
    return [dict(zip(said, case, strict=True)) for case in product(*said.values())]


def start_of(said: Said, system: str, *, cylinders: int = 1) -> Start:
    """What a new job file says of what was said. Raises InputError: a text is not understood; all such are named."""
    engine, faults = _terms(said, system)
    if faults:
        raise InputError(faults)
    counted = {key: "counted" if COUNTED[key] in engine else "not counted" for key in COUNTED}
    cam = {key: engine.pop(key) for key in ("intake_closing",) if key in engine}
    wanted = {RATIO: said[WANTED]} if WANTED in said else {}
    start = Start(cylinders=cylinders, system=system, job_for="turbo" if cam else "", engine=engine, counted=counted)
    return replace(start, wanted=wanted, stated={"cam": cam})


def job_of(said: Said, system: str) -> Job:
    """The job of one cylinder, without the ratio wanted.

    Raises InputError: what is said is not understood, or cannot be.
    """
    loaded = parse_job(new_file(start_of({key: text for key, text in said.items() if key != WANTED}, system)))
    faults = [of_a_key(f, said) for f in errors(loaded.findings)]
    if faults:
        raise InputError(faults)
    return loaded.job


# -- what is said ---------------------------------------------------------------------------------------------


def _unknown(said: Mapping[str, Sequence[str]]) -> Iterator[Finding]:
    for key in said:
        if key not in KEYS and key != WANTED:
            near = _key_of(key) or nearest(key, (*KEYS, WANTED))
            right = f'did you mean "{near}"?' if near else f"one of {', '.join(KEYS)} and {WANTED}"
            yield error("unknown-key", "no such dimension", read=key, right=right)


def _key_of(name: str) -> str:
    """The key of this command for what else the trade calls a thing, such as head cc; "" where it is none here."""
    for one in meant(name.replace("_", " ")):
        if one.term.key == RATIO:
            return WANTED
        for key, mine in KEYS.items():
            if mine.term == one.term and mine.says == one.says:
                return key
    return ""


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


def left_out(said: Said) -> str | None:
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

    Raises InputError: it is not understood, or says another sign than its key.
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


def taken(said: Said) -> Iterator[str]:
    """What nobody said, and what was taken for it."""
    if "gasket_bore" not in said and "bore" in said:
        yield "gasket bore: taken as the cylinder's, usually it is a little larger"
    for key, other in (("rod", "closing"), ("closing", "rod")):
        if key in said and other not in said:
            yield f"dynamic (trapped) ratio: not worked out, {other}= is not given"
    not_counted = [key for key in COUNTED if key not in said]
    if not_counted:
        yield f"not counted: {' and '.join(not_counted)}"


# Said of a job file, and not of a few dimensions: where they come from is said once, below.
OF_A_FILE = ("no-origin", "guesses")


def of_a_key(finding: Finding, said: Said) -> Finding:
    """A fault with the key that it is about, instead of its place in a file."""
    name = finding.place.rpartition(".")[2]
    keys = [key for key in said if key in KEYS and KEYS[key].term.key == name]
    read = said[keys[0]] if finding.read and len(keys) == 1 else finding.read
    place = "" if finding.place.startswith("cylinder") else finding.place  # there is but one
    return replace(finding, file="", line=None, place=" and ".join(keys) or place, read=read)
