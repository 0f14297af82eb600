"""``ccassist ratio``: a ratio from a few dimensions, without a job file."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from functools import partial
from pathlib import Path

from ccassist.cli.screen import Showing, list_findings, wrapped
from ccassist.plan.quick import KEYS, NEEDED, WANTED, Said, checked, start_of
from ccassist.report.data import to_json
from ccassist.report.ratio import FORMAT, QuickRatio, cases_of, ratio_report, ratios
from ccassist.values.display import formatter
from ccassist.values.findings import InputError, clean, error, placed
from ccassist.vocabulary import term
from ccassist.vocabulary.units import System

# What is asked for where nothing is said, in the order of a bench.
ASKED = ("bore", "stroke", "chamber", "gasket", "gasket_bore", "deck", "crown", "rod", "closing")
_WORDS = {"deck": "such as 0.25 below, 0.10 proud, or flush", "crown": "such as dish 6.2, dome 4.1, or flat"}
# The same where a bare number may be inches or thou, so that it is refused.
_THOU = {"gasket": "45 thou", "deck": "10 thou below, 4 thou proud, or flush"}


def run(pairs: Sequence[str], showing: Showing, *, save: Path | None = None, cylinders: int = 1) -> int:
    """Print the ratio of what is said, or what must be for the ratio wanted."""
    units = showing.system or System.METRIC
    showing.check()
    if save is not None:
        _check_save(save, cylinders)
    said = _parted(pairs) if pairs else _asked(units)
    if save is not None and any(len(texts) > 1 for texts in said.values()):
        raise InputError(error("several", "several engines cannot be one job file", right="say each key once"))
    found = ratios(said, units)
    fmt = formatter(units)
    told = partial(to_json, cases_of(found, fmt), fmt, version=FORMAT)
    report = ratio_report(found, fmt)
    showing.tell(lambda: report, told, kept=2 if save else 0)
    showing.print(report, next(one.survey for one in found if isinstance(one, QuickRatio)), fmt)
    if save is not None:
        _save(found[0].said, units, save, cylinders=cylinders, aloud=not showing.as_json)
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


def _check_save(path: Path, cylinders: int) -> None:
    """That a job file can be started, before anything is worked out."""
    from os.path import lexists

    from ccassist.cli.new import whole_number

    with placed("--cylinders"):
        whole_number(str(cylinders))
    if lexists(path):
        wrong = "this file exists already: nothing was written"
        raise InputError(error("exists", wrong, file=str(path), right="name another"))


def _save(said: Said, units: str, path: Path, *, cylinders: int, aloud: bool) -> None:
    """What was said as a job file, to be measured further."""
    from ccassist.job.disk import write_text
    from ccassist.job.template import new_file

    _check_save(path, cylinders)
    write_text(path, new_file(start_of(said, units, cylinders=cylinders)))
    if aloud:
        named = clean(str(path), 300)
        wrapped(f"Started {named}, {cylinders} cylinder{'s' if cylinders > 1 else ''}. Next: ccassist guide {named}")
