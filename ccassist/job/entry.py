"""A reading just typed: split, given its units, and looked at as the file check would, before it is kept."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace

from ccassist.bench.requirements import FINER, lacking
from ccassist.bench.step import Field, Step
from ccassist.bench.steps import STEPS
from ccassist.job.cells import TEMPERATURE, cells_of
from ccassist.job.equipment import kit_of
from ccassist.job.pieces import Lines
from ccassist.job.readings import SeriesReader, unknown_step
from ccassist.job.records import Job
from ccassist.values.asking import with_unit
from ccassist.values.findings import Finding, InputError, Level, error, errors
from ccassist.vocabulary import suggested
from ccassist.vocabulary.record import record

SURE = "said to be sure"
ASKED = ("unusual", FINER)  # codes of what is asked of one reading by itself
_ORIGIN_FOLLOWS = re.compile(r"\s*(?:measured|assumed|maker)", re.IGNORECASE)


def step_named(name: str) -> Step:
    """The bench step of that name. Raises InputError: there is none; names the nearest."""
    if name not in STEPS:
        raise InputError(unknown_step(name))
    return STEPS[name]


def split_pairs(pairs: Sequence[str], known: Mapping[str, Field], what: str) -> dict[str, str]:
    """``NAME=VALUE`` texts by name.

    Raises InputError: with every pair that is not one, names nothing known, or comes twice.
    """
    found: dict[str, str] = {}
    faults: list[Finding] = []
    for pair in pairs:
        name, sign, value = (part.strip() for part in pair.partition("="))
        if not sign or not value:
            right = f"such as {next(iter(known))}=…"
            faults.append(error("not-a-pair", f"a {what} is written NAME=VALUE", read=pair, right=right))
        elif name not in known:
            right = suggested(name, known, "known here: " + ", ".join(known))
            faults.append(error("unknown-name", f"no such {what}", read=name, right=right))
        elif name in found:
            faults.append(error("twice", f"this {what} is given twice", read=name))
        else:
            found[name] = value
    if faults:
        raise InputError(faults)
    return found


def split_lists(typed: Mapping[str, str], fields: Mapping[str, Field]) -> dict[str, tuple[str, ...]]:
    """Several readings in one text, where a field takes them: ``0; 2``, ``0, 2`` or ``0 ml,2 ml``.

    A comma with a digit on both sides is a decimal comma, here as everywhere.
    """
    semicolons = any(";" in text for name, text in typed.items() if fields[name].many)
    parted = re.compile(";" if semicolons else r"(?<!\d),|,(?!\d)")
    return {name: _parts(text, parted) if fields[name].many else (text,) for name, text in typed.items()}


def _parts(text: str, parted: re.Pattern[str]) -> tuple[str, ...]:
    """The text at each mark; an origin after a comma stays with its value."""
    parts: list[str] = []
    for part in parted.split(text):
        if parts and _ORIGIN_FOLLOWS.match(part):
            parts[-1] += "," + part
        elif part.strip():
            parts.append(part.strip())
    return tuple(parts)


def with_units(
    typed: Mapping[str, Sequence[str]], fields: Mapping[str, Field], system: str, sight: Mapping[str, str] | None = None
) -> dict[str, tuple[str, ...]]:
    """The same texts with the units that bare numbers take; ``sight`` : those that stand where they were typed.

    Raises InputError: with everything that is not a quantity of its term.
    """
    done: dict[str, tuple[str, ...]] = {}
    faults: list[Finding] = []
    for name, texts in typed.items():
        field, unit = fields[name], (sight or {}).get(name, "")
        if len(texts) > 1 and not field.many:
            faults.append(error("not-one", f"one value for the {field.words}", read="; ".join(texts)))
        try:
            done[name] = tuple(with_unit(text, field.term, system=system, sight=unit) for text in texts)
        except InputError as fault:
            faults += [f.at(place=name) for f in fault.findings]
    if faults:
        raise InputError(faults)
    return done


def settings_of(step: Step) -> dict[str, Field]:
    """What a series of the step may say in quantities."""
    return {f.name: f for f in (*step.settings, TEMPERATURE)}


@record
class Tried:
    """What the file check would say of a reading, were it added."""

    findings: tuple[Finding, ...]

    @property
    def unusual(self) -> tuple[Finding, ...]:
        """The "are you sure?" ones."""
        return tuple(f for f in self.findings if f.code in ASKED)

    @property
    def others(self) -> tuple[Finding, ...]:
        """What else is worth saying."""
        return tuple(f for f in self.findings if f.code not in ASKED and f.level is not Level.ERROR)


def try_reading(job: Job, header: Mapping[str, object], row: Mapping[str, object]) -> Tried:
    """Look at a reading as the file check would, without adding it.

    Raises InputError: with everything that makes it unusable.
    """
    reader = SeriesReader(job.file, Lines())
    table = {**_plain(header), "readings": [_plain(row)]}
    series = reader.one_series(table, ("series", len(job.series)), job.cylinders, job.parts)
    findings = list(reader.findings)
    if series is not None and not errors(findings):
        alone = replace(job, series=(series,), engine={}, per_cylinder={}, parts={})
        kit, wrong = kit_of(alone)
        cells, slips = cells_of(alone)
        findings += [*wrong, *slips]
        for cell in cells:
            findings += lacking(cell, kit)
    bare = [replace(f, file="", line=None, place="") for f in findings if f.code != "none-counted"]
    if errors(bare):
        raise InputError(errors(bare))
    return Tried(findings=tuple(dict.fromkeys(bare)))


def unless_sure(asked: Finding) -> Finding:
    """A question where nobody can answer: an error with its way out."""
    right = "if it is so, add --sure"
    return replace(asked, level=Level.ERROR, line=None, right=f"{asked.right}; {right}" if asked.asks else right)


def _plain(table: Mapping[str, object]) -> dict[str, object]:
    """As the file reader would give it: a list of one is that one, what is empty is not there."""
    listed = {key: list(v) if isinstance(v, tuple) else v for key, v in table.items()}
    single = {key: v[0] if isinstance(v, list) and len(v) == 1 else v for key, v in listed.items()}
    return {key: value for key, value in single.items() if value not in ("", [], None)}
