"""``ccassist ratio``: a ratio from a few dimensions, without a job file."""

from __future__ import annotations

import sys
from collections.abc import Iterator, Sequence
from pathlib import Path

from ccassist.cli.screen import list_findings, say, say_json, table, wrapped
from ccassist.plan.quick import (
    DYNAMIC,
    KEYS,
    NEEDED,
    RATIO,
    SQUISH,
    WANTED,
    QuickRatio,
    checked,
    lines,
    of_cases,
    ratios,
    row,
    start_of,
    unvouched,
)
from ccassist.values.display import Formatter, formatter
from ccassist.values.findings import InputError, clean, error, placed
from ccassist.vocabulary import term
from ccassist.vocabulary.enumerations import System

# What is asked for where nothing is said, in the order of a bench.
ASKED = ("bore", "stroke", "chamber", "gasket", "gasket_bore", "deck", "crown", "rod", "closing")
_WORDS = {"deck": "such as 0.25 below, 0.10 proud, or flush", "crown": "such as dish 6.2, dome 4.1, or flat"}
# The same where a bare number may be inches or thou, so that it is refused.
_THOU = {"gasket": "45 thou", "deck": "10 thou below, 4 thou proud, or flush"}
FORMAT = 1


def run(pairs: Sequence[str], *, system: str | None, as_json: bool, save: Path | None, cylinders: int) -> int:
    """Print the ratio of what is said, or what must be for the ratio wanted."""
    units = system or System.METRIC
    if save is not None:
        _check_save(save, cylinders)
    said = _parted(pairs) if pairs else _asked(units)
    if save is not None and any(len(texts) > 1 for texts in said.values()):
        raise InputError(error("several", "several engines cannot be one job file", right="say each key once"))
    found = ratios(said, units)
    fmt = formatter(units)
    if as_json:
        say_json({"format": FORMAT, "cases": [one.to_dict(fmt.system) for one in found]})
    elif len(found) > 1:
        _several(found, {key: texts for key, texts in said.items() if len(texts) > 1}, fmt)
    else:
        _one(found[0], fmt)
    if save is not None:
        _save(found[0], units, save, cylinders=cylinders, aloud=not as_json)
    return 0


def _parted(pairs: Sequence[str]) -> dict[str, list[str]]:
    """By key, every value said of it, in the order said."""
    said: dict[str, list[str]] = {}
    for pair in pairs:
        key, equals, value = pair.partition("=")
        if not (key.strip() and equals and value.strip()):
            raise InputError(error("not-understood", "not KEY=VALUE", read=pair, right="bore=83.4"))
        said.setdefault(key.strip().lower().replace("-", "_"), []).append(value.strip())
    return said


def _asked(units: str) -> dict[str, list[str]]:
    """The dimensions, asked one by one; Enter skips."""
    if not sys.stdin.isatty():
        right = "ccassist ratio bore=83.4 stroke=91.3 chamber=47.6 gasket=1.14 below=0.23 dish=6.4"
        raise InputError(error("missing-value", "no dimensions are given", right=right))
    wrapped("Enter skips what is not known; one thing that a ratio needs may be found from it instead.")
    said: dict[str, list[str]] = {}
    for key in ASKED:
        text = _put(key, f"{term(KEYS[key].term.key).name}{_how(key, units)}: ", units)
        if text:
            said[key] = [text]
    if sum(not set(keys) & set(said) for keys in NEEDED.values()) == 1:
        text = _put(WANTED, "ratio wanted, to find it: ", units)
        said |= {WANTED: [text]} if text else {}
    return said


def _how(key: str, units: str) -> str:
    unit = formatter(units).unit(KEYS[key].term.key)
    if unit == "thou":
        return f", in or thou, such as {_THOU[key]}"
    return f", {unit}{f', {_WORDS[key]}' if key in _WORDS else ''}"


def _put(key: str, prompt: str, units: str) -> str:
    """One answer that can be understood, or nothing."""
    while True:
        text = input(prompt).strip()
        try:
            if text:
                checked(key, text, units)
            return text
        except InputError as fault:
            list_findings(fault.findings)


def _one(one: QuickRatio, fmt: Formatter) -> None:
    if one.answer is not None and one.answer.answer is not None:
        from ccassist.solve.words import algebra, conclusion

        ((unknown, numbers),) = one.answer.numbers.items()
        answers = " or ".join(fmt.number(unknown, number) for number in numbers)
        wrapped(f"For a ratio of {clean(one.said[WANTED], 40)}: {term(unknown).name} {answers}", rest="  ")
        list_findings(one.doubts)
        say()
        told = conclusion(one.answer.answer, fmt, findings=False)
        for line in (*algebra(one.answer.answer), "", *told):
            wrapped(line, rest="    ") if line else say()
        say()
    else:
        say(f"Static compression ratio {fmt.value(one.cylinder.values[RATIO])}")
        list_findings(one.doubts)
    for line in lines(one, fmt):
        wrapped(line, rest="  ")
    say("A planning figure: confirm it by measurement before metal is cut.")


def _several(found: Sequence[QuickRatio], varied: dict[str, list[str]], fmt: Formatter) -> None:
    """A line a case, in the order said, what is doubtful of any, and once what holds for all."""
    keys = list(varied)
    results = [key for key in (RATIO, DYNAMIC, SQUISH) if _told(key, found)]
    table([*keys, *_heads(found[0], results)], [row(one, keys, results, fmt) for one in found])
    list_findings(dict.fromkeys(of_cases(found, keys)))
    closing = [list(_closing(one, fmt)) for one in found]
    shared = [line for line in closing[0] if all(line in others for others in closing)]
    for line in shared:
        wrapped(line, rest="  ")
    if any(map(unvouched, found)) and not any("95 %" in line for line in shared):
        whose = "no" if all(map(unvouched, found)) else "not every"
        say(f"Of {whose} ± here can it be said that it holds with 95 %.")
    say("Planning figures: confirm by measurement before metal is cut.")


def _told(key: str, found: Sequence[QuickRatio]) -> bool:
    """Whether a result is a column: the squish gap only where it varies, else it is said once."""
    values = [one.cylinder.values.get(key) for one in found]
    return None not in values and (key != SQUISH or len({value.nominal for value in values if value}) > 1)


def _closing(one: QuickRatio, fmt: Formatter) -> Iterator[str]:
    yield from (line for line in lines(one, fmt) if line[:1] != " ")


def _heads(one: QuickRatio, results: Sequence[str]) -> list[str]:
    if one.answer is not None:
        (unknown,) = one.answer.numbers
        return [term(unknown).name]
    return [_HEADS[key] for key in results]


_HEADS = {RATIO: "static ratio", DYNAMIC: "dynamic (trapped) ratio", SQUISH: "squish"}


def _check_save(path: Path, cylinders: int) -> None:
    """That a job file can be started, before anything is worked out."""
    from os.path import lexists

    from ccassist.cli.new import whole_number

    with placed("--cylinders"):
        whole_number(str(cylinders))
    if lexists(path):
        wrong = "this file exists already: nothing was written"
        raise InputError(error("exists", wrong, file=str(path), right="name another"))


def _save(one: QuickRatio, units: str, path: Path, *, cylinders: int, aloud: bool) -> None:
    """What was said as a job file, to be measured further."""
    from ccassist.job.disk import write_text
    from ccassist.job.template import new_file

    _check_save(path, cylinders)
    write_text(path, new_file(start_of(one.said, units, cylinders=cylinders)))
    if aloud:
        named = clean(str(path), 300)
        wrapped(f"Started {named}, {cylinders} cylinder{'s' if cylinders > 1 else ''}. Next: ccassist guide {named}")
