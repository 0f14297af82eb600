"""``ccassist new``: starts a job file, asking for what is not given."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from ccassist.cli.screen import complain, say, wrapped
from ccassist.job.disk import write_text
from ccassist.job.file import parse_job
from ccassist.job.template import Start, new_file
from ccassist.job.vocabulary import (
    COUNTED_KEYS,
    COUNTED_WORDS,
    PURPOSES,
    USUAL,
    WANTED_TERMS,
    leading,
    purposes_named,
    purposes_of,
)
from ccassist.solve.request import read_pair
from ccassist.values.asking import example, with_unit
from ccassist.values.findings import CcassistError, InputError, clean, error, errors, placed
from ccassist.values.verdict import parse_band
from ccassist.vocabulary import TERMS, term
from ccassist.vocabulary.units import SYSTEMS

Given = TypeVar("Given")
MIXED = "pistons, turbo"
LENGTHS = {"bore": "--bore", "stroke": "--stroke", "rod_length": "--rod"}  # and the options that say them


def run(
    file: Path,
    *,
    name: str | None,
    cylinders: int | None,
    bore: str | None,
    stroke: str | None,
    rod: str | None,
    units: str | None,
    wanted: list[str],
    job_for: str | None,
    ask: bool,
) -> int:
    """Write a new job file; 2 where it exists already or something given cannot be used."""
    try:
        if os.path.lexists(file):
            raise InputError(
                error(
                    "exists",
                    "this file exists already: nothing was written",
                    file=str(file),
                    right="name another, or go on with: ccassist guide FILE",
                )
            )
        answers = Answers(units=units, ask=ask)
        start = answers.start(name, cylinders, dict(zip(LENGTHS, (bore, stroke, rod), strict=True)), wanted, job_for)
        text = new_file(start)
        faults = errors(parse_job(text, str(file)).findings)
        if faults:
            raise InputError(faults)
        write_text(file, text)
    except CcassistError as fault:
        return complain(fault)
    except (EOFError, KeyboardInterrupt):
        say()
        say("Nothing was written.", error=True)
        return 2
    named = clean(str(file), 300)
    say(f"Started {named}. Next: ccassist guide {named}")
    for purpose in purposes_of({"for": start.job_for}):
        wrapped(f"{PURPOSES[purpose].ends} {named}")
    return 0


class Answers:
    """What was given as options, and questions for the rest where there is someone to ask."""

    def __init__(self, *, units: str | None, ask: bool) -> None:
        self.ask, self.system = ask, units or ""

    def start(
        self,
        name: str | None,
        cylinders: int | None,
        lengths: dict[str, str | None],
        wanted: list[str],
        job_for: str | None,
    ) -> Start:
        """Everything that a new file says, in the order in which it is asked."""
        if self.ask:
            say("Press Enter wherever it is not known yet; everything can be changed in the file later.")
        title = name if name is not None else self._put("Name", "What this engine or job is called.", _as_is) or ""
        purpose = self._purpose(job_for)
        if not self.system:
            said = self._put("Units", "metric or imperial: the unit of bare numbers (Enter: metric).", _word(SYSTEMS))
            self.system = said or SYSTEMS[0]
        count = self._cylinders(cylinders)
        engine = {key: text for key in LENGTHS if (text := self._length(key, lengths[key], purpose))}
        goals = self._wanted(wanted, purpose)
        counted = self._counted() if leading(purpose).whole else {}
        return Start(
            cylinders=count,
            name=title,
            system=self.system,
            job_for=purpose,
            engine=engine,
            counted=counted,
            wanted=goals,
        )

    def _put(self, words: str, why: str, check: Callable[[str], Given]) -> Given | None:
        """Ask until the answer can be used; None for an empty one, or where no one is asked."""
        while self.ask:
            wrapped(why)
            text = input(f"{words}: ").strip().encode("utf-8", "replace").decode("utf-8")
            if not text:
                return None
            try:
                return check(text)
            except InputError as fault:
                complain(fault)
        return None

    def _purpose(self, given: str | None) -> str:
        if given is not None:
            with placed("--for"):
                return _purposes(given)
        if self.ask:
            for key, one in PURPOSES.items():
                say(f"  {key:<9}{one.meaning}")
        why = f"What the job is for: one of these words, or several, such as: {MIXED} (Enter: {USUAL})."
        return self._put("For", why, _purposes) or USUAL

    def _cylinders(self, given: int | None) -> int:
        if given is not None:
            with placed("--cylinders"):
                return whole_number(str(given))
        if not self.ask:
            raise InputError(
                error("missing-value", "the number of cylinders (or chambers) is not given", right="--cylinders 4")
            )
        while True:
            count = self._put(
                "Cylinders", "How many cylinders, or chambers on the bench. This one is needed.", whole_number
            )
            if count is not None:
                return count

    def _length(self, key: str, given: str | None, purpose: str) -> str | None:
        if given is not None:
            with placed(LENGTHS[key]):
                return with_unit(given.strip(), key, system=self.system)
        if not leading(purpose).whole:
            return None
        why = (
            f"The {term(key).name}: {term(key).meaning}, such as {example(key, self.system)}; "
            'add ", measured" or ", maker\'s figure" if you like. Enter if it is to be measured.'
        )
        return self._put(term(key).name.capitalize(), why, lambda text: with_unit(text, key, system=self.system))

    def _wanted(self, given: list[str], purpose: str) -> dict[str, str]:
        with placed("--wanted"):
            found = dict(self._goal(pair) for pair in given)
        aim = leading(purpose)
        key = aim.first
        if not given:
            text = self._put(
                f"Wanted {term(key).name}",
                f"The {term(key).name} that is wanted, such as {aim.such_as}.",
                lambda text: self._goal(f"{key}={text}")[1],
            )
            found.update({key: text} if text else {})
        return found

    def _goal(self, pair: str) -> tuple[str, str]:
        one = read_pair(pair, "", among=WANTED_TERMS, none="not among what can be wanted")
        parse_band(one.value, one.key, system=self.system or SYSTEMS[0])
        return one.key, one.value

    def _counted(self) -> dict[str, str]:
        said = {}
        for key, meaning in COUNTED_KEYS.items():
            why = f"Is {meaning} part of the clearance volume? Say {' or '.join(COUNTED_WORDS)}."
            word = self._put(meaning.capitalize(), why, _word(COUNTED_WORDS))
            said.update({key: word} if word else {})
        return said


def _as_is(text: str) -> str:
    return text


def _purposes(text: str) -> str:
    """A check for what a job is for: one word or several, in the order in which they are declared."""
    for said in purposes_of({"for": text}) or (text,):
        if purposes_named(said) is None:
            right = f"say {', '.join(PURPOSES)}, or several, such as: {MIXED}"
            raise InputError(error("unknown-word", "not understood", read=said, right=right))
    return purposes_named(text) or USUAL


def _word(options: tuple[str, ...]) -> Callable[[str], str]:
    """A check for one of a few words."""

    def check(text: str) -> str:
        if text not in options:
            raise InputError(error("unknown-word", "not understood", read=text, right="say " + ", ".join(options)))
        return text

    return check


def whole_number(text: str) -> int:
    """A number of cylinders. Raises InputError: it is none that an engine has."""
    low, high = (int(end) for end in TERMS["cylinders"].possible)
    if not (text.isascii() and text.isdecimal() and low <= int(text[:6]) <= high and len(text) < 6):
        raise InputError(
            error("not-whole", f"a whole number from {low} to {high} is expected", read=text, right="such as 4")
        )
    return int(text)
