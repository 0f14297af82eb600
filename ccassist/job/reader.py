"""Taking values out of a parsed file, each fault of form becoming a finding with its line."""

from __future__ import annotations

import datetime
from collections.abc import Collection, Iterable, Mapping
from typing import Any

from ccassist.job import vocabulary as words
from ccassist.job.lines import KeyPath, as_written, line_of, place
from ccassist.job.pieces import Lines
from ccassist.job.records import Given
from ccassist.job.sections import STATED
from ccassist.values.asking import explained, several, with_sign
from ccassist.values.findings import Finding, InputError, error
from ccassist.values.grammar import ORIGINS
from ccassist.vocabulary import TERMS, Meant, meant, otherwise, suggested
from ccassist.vocabulary.units import Origin

# What lies outside the tool, said in words when somebody asks for it.

_ASKED: dict[str, tuple[str, ...]] = {
    "port-timed two-strokes": ("two_stroke", "twostroke", "exhaust_port", "transfer_port", "intake_port",
                               "port_height", "port_timing"),
    "rotary engines": ("rotary", "rotor", "eccentric_shaft"),
    "prechambers": ("prechamber", "pre_chamber", "swirl_chamber"),
}  # fmt: skip


def out_of_scope(key: str) -> str:
    """Why a key that nobody knows is not known; "" where it asks for nothing of the kind.

    >>> out_of_scope("exhaust_port_height")
    'out of scope here: port-timed two-strokes'
    """
    said = key.lower().replace("-", "_").replace(" ", "_")
    for what, marks in _ASKED.items():
        if any(word in said for word in marks):
            return f"out of scope here: {what}"
    return ""


MOST_FAULTS = 500  # found in the form of one file; what follows is left unread
_SCALARS = (str, int, float, datetime.date, datetime.time)


class Reader:
    """Turns tables into records; collects findings with their lines."""

    def __init__(self, file: str, lines: Lines) -> None:
        self.file, self.lines = file, lines
        self.findings: list[Finding] = []
        self.written: dict[KeyPath, str] = {}  # where a term stands by its key -> the word that the file says it by

    # -- small helpers ------------------------------------------------------------
    @property
    def full(self) -> bool:
        """Whether so many faults were found that no more are looked for."""
        return len(self.findings) > MOST_FAULTS

    def add(self, finding: Finding, path: KeyPath) -> None:
        """Enter a finding at its place; of very many, the first."""
        if self.full:
            return
        if len(self.findings) == MOST_FAULTS:
            finding = error("too-many", f"more than {MOST_FAULTS} faults", right="put those before right first")
        self.findings.append(finding.at(file=self.file, **self.here(path)))

    def here(self, path: KeyPath) -> dict[str, Any]:
        """Where a record stands: its place in words, and its line."""
        return {"place": place(path), "line": line_of(self.lines, path)}

    def table(self, value: Any, path: KeyPath) -> dict[str, Any]:
        """A table, or a finding and an empty one."""
        if isinstance(value, dict):
            return value
        wrong = "a section with keys is expected here"
        self.add(error("not-a-table", wrong, read=as_written(value), right=_heading(path)), path)
        return {}

    def text(self, value: Any, path: KeyPath) -> str:
        """One scalar as text, as written; "" and a finding where it is none."""
        if isinstance(value, bool) or not isinstance(value, _SCALARS):
            kind = "yes or no" if isinstance(value, bool) else "a table" if isinstance(value, dict) else "a list"
            wrong = f"one text is expected here, not {kind}"
            self.add(error("not-text", wrong, read=as_written(value), right='write it in quotes: "…"'), path)
            return ""
        return as_written(value)

    def texts(self, value: Any, path: KeyPath) -> tuple[str, ...]:
        """One or several scalars as texts; a finding for each that is empty or none."""
        places = [(v, (*path, i)) for i, v in enumerate(value)] if isinstance(value, list) else [(value, path)]
        if not places:
            self.add(error("missing-value", "an empty list", right="give at least one value, or leave it out"), path)
        found = []
        for one, at in places:
            text = self.text(one, at)
            if text.strip():
                found.append(text)
            elif isinstance(one, str):
                self.add(error("missing-value", "nothing stands in the quotes", right="give it, or leave it out"), at)
        return tuple(found)

    def one_text(self, value: Any, path: KeyPath) -> tuple[str, ...]:
        """A quantity that is given once: one text, or none and a finding."""
        if isinstance(value, list) and len(value) > 1:
            self.add(error("not-one", "one value is expected here, not a list", read=as_written(value)), path)
            return ()
        return self.texts(value, path)

    def word(self, value: Any, options: tuple[str, ...], path: KeyPath) -> str:
        """One of the words that may be said here; "" and a finding where it is none of them."""
        said = self.text(value, path)
        if said in options:
            return said
        if isinstance(value, str) or said:
            listed = [f'"{o}"' for o in options] if any(" or " in o for o in options) else options
            right = suggested(said, options, f"say {' or '.join(listed)}")
            self.add(error("unknown-word", "not understood", read=said, right=right), path)
        return ""

    def unknown(self, table: Mapping[str, Any], known: tuple[str, ...], path: KeyPath) -> None:
        """A finding for every key that is not known, with the nearest one that is."""
        for key in table:
            if key not in known and not self.full:
                self.add(error("unknown-key", "unknown key", read=key, right=_known(key, known)), (*path, key))

    def strings(self, table: Mapping[str, Any], keys: Mapping[str, str], path: KeyPath) -> dict[str, str]:
        """A flat section of texts."""
        self.unknown(table, tuple(keys), path)
        return self.some(table, keys, path)

    def some(self, table: Mapping[str, Any], keys: Iterable[str], path: KeyPath) -> dict[str, Any]:
        """The texts of a table under the keys that it has of these."""
        return {key: self.text(table[key], (*path, key)) for key in keys if key in table}

    def in_full(
        self, value: Any, path: KeyPath, known: Collection[str], terms: Collection[str] | None = None
    ) -> dict[str, Any]:
        """A table with each trade word replaced by the key of the term that it means there.

        ``known`` are the keys that may stand there, ``terms`` those of them that are terms.  A word that may mean
        several, and a second key of one term, are findings.
        """
        full: dict[str, Any] = {}
        for name, said in self.table(value, path).items():
            key, at = name, (*path, name)
            if name not in known:
                found = meant(name, known if terms is None else terms)
                if len(found) > 1:
                    self.add(several(name, found), at)
                    continue
                if found:
                    key, said = found[0].term.key, self.signed(said, found[0], at)
            if key in full:
                first = self.written.get((*path, key), key)
                wrong = f'"{first}" and "{name}" are both the {TERMS[key].name}'
                self.add(error("same-term", wrong, read=as_written(said), right="keep one of them"), at)
                continue
            full[key] = said
            if key != name:
                self.written[(*path, key)] = name
        return full

    def at(self, path: KeyPath, key: str) -> KeyPath:
        """Where the value of a term stands, by the word that the file says it by."""
        return (*path, self.written.get((*path, key), key))

    def signed(self, value: Any, one: Meant, path: KeyPath) -> Any:
        """A stated value whose key says the sign, such as a dish, with the sign in it."""
        if not one.says or isinstance(value, bool):
            return value
        if isinstance(value, list):
            return [self.signed(part, one, (*path, i)) for i, part in enumerate(value)]
        if isinstance(value, dict):
            forms = ("value", "readings")
            return {k: self.signed(part, one, (*path, k)) if k in forms else part for k, part in value.items()}
        if not isinstance(value, _SCALARS) or not as_written(value).strip():
            return value
        try:
            return with_sign(as_written(value), one)
        except InputError as fault:
            for finding in fault.findings:
                self.add(finding, path)
            return value

    # -- values ---------------------------------------------------------------------
    def given(self, key: str, value: Any, path: KeyPath, *, once: bool = False) -> Given | None:
        """A stated value in any of its forms; ``once`` where repeats have no meaning."""
        said: dict[str, str] = {}
        at = path
        if isinstance(value, dict):
            self.unknown(value, tuple(words.VALUE_KEYS), path)
            said = self._said_of(value, path)
            forms = [form for form in ("value", "readings") if form in value]
            if len(forms) != 1:
                wrong = "both value and readings" if forms else f"no value for the {TERMS[key].name}"
                self.add(
                    error("missing-value", wrong, right='give one: { value = "…" } or { readings = ["…", "…"] }'), path
                )
                return None
            value, at = value[forms[0]], (*path, forms[0])
        texts = self.one_text(value, at) if once else self.texts(value, at)
        if not texts:
            return None
        return Given(
            key=key,
            texts=texts,
            **self.here(path),
            origin=Origin(said.get("origin", "")),
            instrument=said.get("instrument", ""),
            note=said.get("note", ""),
        )

    def _said_of(self, table: Mapping[str, Any], path: KeyPath) -> dict[str, str]:
        """Origin, instrument and note of a stated value."""
        said = self.some(table, ("instrument", "note"), path)
        if "origin" in table:
            said["origin"] = self.word(table["origin"], ORIGINS, (*path, "origin"))
        return said

    def givens(self, table: Mapping[str, Any], allowed: tuple[str, ...], path: KeyPath) -> dict[str, Given]:
        """All stated terms of a section."""
        found = {
            key: self.given(key, table[key], self.at(path, key), once=key in words.ENGINE_TERMS)
            for key in allowed
            if key in table
        }
        return {key: value for key, value in found.items() if value is not None}

    def count(self, value: Any, path: KeyPath, low: int, high: int, what: str) -> int | None:
        """A whole number within bounds."""
        if isinstance(value, int) and not isinstance(value, bool) and low <= value <= high:
            return value
        span = f"from {low} to {high}" if high > low else f"and only {low} is there"
        quoted = isinstance(value, str) and value.isascii() and value.isdigit()
        right = f"write it without quotes: {value}" if quoted else ""
        wrong = f"the {what} is a whole number {span}"
        self.add(error("not-whole", wrong, read=as_written(value), right=right), path)
        return None


def _known(key: str, known: tuple[str, ...]) -> str:
    """What to write instead of an unknown key."""
    outside = out_of_scope(key)
    if outside:
        return outside
    number = next((one for one in (f"{key}s", key.removesuffix("s")) if one in known), "")  # one piston for pistons
    if number:
        return f'did you mean "{number}"?'
    other = otherwise(key)
    if other is not None:
        return f'write "{other[0].key}": {other[1]}'
    likely = suggested(key, known)
    homes = [f"[{name}]" for name, section in STATED.items() if key in section.keys]
    if homes and key not in words.GIVEN_TERMS:
        return f'{likely} "{key}" belongs in'.lstrip() + f" {' or '.join(homes)}"
    if likely:
        return likely
    if key in words.GIVEN_TERMS:
        return _home(key)
    named = [f"{explained(one.term)} has no place here: {_home(one.term.key)}" for one in meant(key)]
    if named:
        return "; ".join(named)
    if key in words.SECTIONS:
        return f"it is a section of its own: [{key}]"
    return "known here: " + ", ".join(known[:12]) + (", …" if len(known) > 12 else "")


def _home(key: str) -> str:
    """In which sections a term may be stated."""
    if key in words.ENGINE_TERMS:
        return "it belongs in [engine]"
    if key in words.GIVEN_TERMS:
        return "it belongs in [engine], [part] or [cylinder]"
    homes = [f"[{name}]" for name, section in STATED.items() if key in section.terms]
    homes += ["[wanted]"] if key in words.WANTED_TERMS else []
    return f'write "{key}" in {" or ".join(homes)}' if homes else "it is worked out, and never stated"


def _heading(path: KeyPath) -> str:
    """How a section, or a block of a list, is headed."""
    if path[0] == "series":
        return "every block of readings starts with [[series]]"
    return f"head it [{place(path)}] and give one key a line"
