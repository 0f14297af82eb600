"""The text of a new job file: what is known, and everything else as commented lines to be filled in.

Sections, keys, terms, sign words, steps and examples are those declared elsewhere; nothing is listed twice.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import field

from ccassist.bench.step import Step
from ccassist.bench.steps import STEPS
from ccassist.job import vocabulary as words
from ccassist.job.amend import string_text
from ccassist.job.sections import STATED, Section
from ccassist.job.vocabulary import ALTERNATIVE_KEYS, CHOICE_TERMS, OPEN_TERMS, USUAL, Purpose, leading
from ccassist.values.asking import example
from ccassist.values.findings import capital
from ccassist.values.grammar import ORIGINS
from ccassist.vocabulary import TERMS, term
from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import Origin, System

# Terms usually stated with a part rather than for the engine as a whole.
STATED_WITH: dict[str, tuple[str, ...]] = {
    "block": ("block_deck_height", "chamfer_volume"),
    "crank": ("stroke",),
    "rods": ("rod_length",),
    "pistons": ("compression_height", "crown_volume", "land_diameter", "land_height", "pin_offset"),
    "gasket": ("gasket_bore", "gasket_thickness"),
    "head": ("chamber_area", "opening_centroid", "head_width"),
}
WIDTH = 96
_NO_THOU = ", but for small lengths, which say in or thou"


@record
class Start:
    """What is known when a job is started; texts as they go into the file."""

    cylinders: int
    name: str = ""
    by: str = ""
    system: str = "metric"
    job_for: str = USUAL  # one of PURPOSES, or several with a comma between, "" where it is not said
    engine: Mapping[str, str] = field(default_factory=dict)
    counted: Mapping[str, str] = field(default_factory=dict)
    wanted: Mapping[str, str] = field(default_factory=dict)
    stated: Mapping[str, Mapping[str, str]] = field(default_factory=dict)  # by section, such as the cam

    @property
    def purpose(self) -> Purpose:
        """The purpose whose bench steps and parts it has."""
        return leading(self.job_for or USUAL)


def new_file(start: Start) -> str:
    """The text of the file, ready to be read and to be edited by hand."""
    parts: Iterable[Iterable[str]] = (
        _how_to_write(start.system),
        ["", f"format = {words.FORMAT}"],
        _job(start),
        _engine(start),
        _counted(start),
        _wanted(start),
        _parts(start),
        _cylinder(start),
        _choice(start),
        _alternative(start),
        _stated(start) if start.purpose.whole else (),
        _instrument(),
        _fluid(),
        _series(start),
    )
    return "\n".join(line for part in parts for line in part) + "\n"


def _prose(text: str) -> list[str]:
    return textwrap.wrap(text, WIDTH, initial_indent="# ", subsequent_indent="# ", break_on_hyphens=False)


def _line(key: str, value: str, meaning: str = "", *, given: bool = False) -> str:
    """A key and its value; commented out, with its meaning, where it is an example only."""
    body = f"{key} = {value}"
    return body if given else f"# {body}" + (f"  # {meaning}" if meaning else "")


def _section(name: str, heading: str, *, given: bool = True) -> list[str]:
    lead = "" if given else "# "
    return ["", *_prose(f"{capital(words.SECTIONS[name])}."), f"{lead}{heading}"]


def _how_to_write(system: str) -> Iterator[str]:
    yield from _prose(
        "Job file of ccassist. Edit it by hand or let the tool add to it: comments and order are kept. "
        "Lines that start with # are notes and examples: take the # away to use one."
    )
    yield "#"
    yield from _prose(
        "Values are written as text, with their unit: "
        + ", ".join(string_text(example(key, system)) for key in ("bore", "chamber_volume", "gasket_thickness"))
        + ". A bare number takes the unit of the job's units"
        + (_NO_THOU if system == System.IMPERIAL else "")
        + ". How far a value may be out follows it: "
        f"{string_text(_doubtful('bore', system))}. Where it comes from stands last: "
        + " or ".join(string_text(f"…, {origin}") for origin in ORIGINS)
        + "."
    )
    yield "#"
    yield from _prose("Signs are said in words, never by + or -:")
    for key in words.GIVEN_TERMS:
        sign = term(key).sign
        if sign is not None:
            plus, minus, zero = (" / ".join(said) for said in (sign.plus, sign.minus, sign.zero))
            yield from _prose(
                f"  {term(key).name}: {plus}; {minus}; {zero}; such as {string_text(example(key, system))}"
            )


def _doubtful(key: str, system: str) -> str:
    number, _, unit = example(key, system).partition(" ")
    return f"{number} +/- {'0.01' if system == 'metric' else '0.0005'} {unit}"


def _job(start: Start) -> Iterator[str]:
    yield from _section("job", "[job]")
    left = [step.key for step in STEPS.values() if step.part and step.key not in start.purpose.steps]
    if "stack" in start.purpose.steps and "crown" not in start.purpose.steps:
        left.append("stack pin_height")  # pistons to be ordered get a compression height of their own
    given = {"name": start.name, "by": start.by, "units": start.system, "for": start.job_for}
    given["leave_out"] = ", ".join(left)
    for key, meaning in words.JOB_KEYS.items():
        if given.get(key):
            said = f"  # {meaning}" if key == "leave_out" else ""
            yield f"{_line(key, string_text(given[key]), given=True)}{said}"
        else:
            shown = {"leave_out": "deck, crown 3", "date": "2026-11-03"}.get(key, "…")
            yield _line(key, string_text(shown), meaning)


def _engine(start: Start) -> Iterator[str]:
    yield from _section("engine", "[engine]")
    yield _line("cylinders", str(start.cylinders), given=True)
    for key, text in start.engine.items():
        yield _line(key, string_text(text), given=True)
    left = [key for key in words.GIVEN_TERMS if key not in start.engine]
    yield from _prose("Whatever is not measured on the bench may be stated here, in a part below, or for one cylinder:")
    yield from _examples(left, start.system)


def _examples(keys: Iterable[str], system: str, origin: str = Origin.MEASURED) -> Iterator[str]:
    for key in keys:
        yield _line(key, string_text(f"{example(key, system)}, {origin}"), f"{term(key).name}: {term(key).meaning}")


def _counted(start: Start) -> Iterator[str]:
    yield from _section("counted", "[counted]")
    options = " or ".join(string_text(word) for word in words.COUNTED_WORDS)
    for key, meaning in words.COUNTED_KEYS.items():
        said = start.counted.get(key)
        yield _line(key, string_text(said or words.COUNTED_WORDS[0]), f"{meaning}: {options}", given=bool(said))


def _wanted(start: Start) -> Iterator[str]:
    yield from _section("wanted", "[wanted]")
    for key, text in start.wanted.items():
        yield _line(key, string_text(text), given=True)
    yield from _prose('A value, a value with +/-, a range such as "9.5 to 9.7", "at least …" or "at most …":')
    for key in words.WANTED_TERMS:
        if key not in start.wanted:
            yield _line(key, string_text(example(key, start.system)), TERMS[key].name)


def _parts(start: Start) -> Iterator[str]:
    yield from [
        "",
        *_prose(
            f"{words.SECTIONS['part'].capitalize()}. Name them as you like: "
            '[part."left head"] with kind = "head" and cylinders = [1, 3].'
        ),
    ]
    for kind in start.purpose.parts:
        yield from (f"[part.{kind}]", _line("kind", string_text(kind), given=True))
        if kind == "head":
            yield _line("states", '["as received", "seats cut"]', words.PART_KEYS["states"])
            yield _line("cylinders", "[1]", words.PART_KEYS["cylinders"])
            yield _line("note", '"…"', words.PART_KEYS["note"])
        yield from _examples(
            STATED_WITH[kind], start.system, Origin.MAKER if kind in ("gasket", "pistons") else Origin.MEASURED
        )
        yield ""


def _cylinder(start: Start) -> Iterator[str]:
    yield from _section("cylinder", "[cylinder.1]", given=False)[1:]
    yield from _examples(("bore",), start.system)


def _choice(start: Start) -> Iterator[str]:
    yield from _section("choice", "[choice.gasket.thin]", given=False)
    yield from _examples(("gasket_bore", "gasket_thickness"), start.system, Origin.MAKER)
    yield from _prose("Kinds of parts, and what each may state; a part that states nothing is the engine's own:")
    for kind, keys in CHOICE_TERMS.items():
        text = f"{kind}: {', '.join(keys)}"
        yield from textwrap.wrap(text, WIDTH, initial_indent="#   ", subsequent_indent="#     ")


def _alternative(start: Start) -> Iterator[str]:
    yield from _section("alternative", '[alternative."short crank"]', given=False)
    yield from _examples(("stroke", "rod_length"), start.system, Origin.MAKER)
    yield "# open = [" + ", ".join(f'"{key}"' for key in OPEN_TERMS) + "]"
    yield _line("buy", '"crank, pistons"', ALTERNATIVE_KEYS["buy"])


_REASON = "looked at with clay at mock-up"  # a section that refuses some keys asks a reason for the others


def _stated(start: Start) -> Iterator[str]:
    """The sections that state things for the whole engine, as examples."""
    for section in STATED.values():
        yield ""
        yield from _prose(f"{capital(section.meaning)}.")
        given = start.stated.get(section.name, {})
        yield f"{'' if given else '# '}[{section.name}]"
        yield from (_line(key, string_text(text), given=True) for key, text in given.items())
        shown = [key for key in section.samples or section.keys if key not in given]
        for key in (key for key in shown if key in section.terms):
            origin = "" if key in (*section.chosen, *section.asked) else ", measured"
            yield _line(
                key, string_text(f"{example(key, start.system)}{origin}"), f"{term(key).name}: {term(key).meaning}"
            )
        for key, said in section.words.items():
            if key in shown:
                yield _line(key, string_text(said[0]), " or ".join(string_text(word) for word in said))
        for key, meaning in section.texts.items():
            if key in shown:
                yield _line(key, string_text(_REASON if section.refused else "…"), meaning)
        for key in (key for key in section.lists if key in shown):
            yield from _list(section, key, start.system)
        left = [key for key in section.keys if key not in (*shown, *given)]
        if left and section.terms:
            yield from _prose(f"Further keys: {', '.join(left)}.")


def _list(section: Section, key: str, system: str) -> Iterator[str]:
    """A list of readings of a section, under its own heading."""
    fields = ", ".join(f"{name} = {string_text(example(key, system))}" for name, key in section.lists[key].items())
    yield f"# [{section.name}.{key}]"
    yield "# readings = ["
    yield f"#     {{ {fields} }},"
    yield "# ]"


def _instrument() -> Iterator[str]:
    yield from _section("instrument", '[instrument."shop syringe"]', given=False)
    amounts = {
        "like": "syringe 60 ml",
        "resolution": "0.5 ml",
        "permissible_error": "0.6 ml",
        "share": "1 %",
        "repeatability": "0.2 ml",
        "capacity": "60 ml",
    }
    for key, meaning in words.INSTRUMENT_KEYS.items():
        yield _line(key, string_text(amounts.get(key, "…")), meaning)


def _fluid() -> Iterator[str]:
    yield from _section("fluid", '[fluid."shop mix"]', given=False)
    amounts = {"like": "white spirit", "density": "0.80 +/- 0.01 g/cc", "temperature": "20 degC"}
    for key, meaning in words.FLUID_KEYS.items():
        yield _line(key, string_text(amounts.get(key, "…")), meaning)


def _series(start: Start) -> Iterator[str]:
    yield from [
        "",
        *_prose(
            f"{words.SECTIONS['series'].capitalize()}. The guide and the record command add them below; "
            "by hand they look like this:"
        ),
    ]
    yield from (
        "# [[series]]",
        '# step = "chamber"',
        "# cylinder = 1",
        '# state = "as received"',
        '# instrument = "burette 50 ml class B"',
        '# fluid = "water with detergent"',
    )
    yield from (
        f'# {choice.name} = "{choice.options[0]}"' for choice in STEPS["chamber"].choices if not choice.optional
    )
    yield "# readings = ["
    yield f"#     {_row(STEPS['chamber'], start.system)},"
    yield f'#     {_row(STEPS["chamber"], start.system)[:-2]}, set_aside = "saw a bubble" }},'
    yield "# ]"
    yield from _prose("Steps, and what a reading of each holds:")
    for step in STEPS.values():
        forms = " or ".join("{ " + ", ".join(f.name for f in m.fields if not f.optional) + " }" for m in step.methods)
        yield from textwrap.wrap(f"{step.key}: {forms}", WIDTH, initial_indent="#   ", subsequent_indent="#     ")


def _row(step: Step, system: str) -> str:
    """A reading of the step's first method."""
    fields = [f for f in step.methods[0].fields if not f.optional]
    texts = [example(f.term, system) if i else "0.10 cc" for i, f in enumerate(fields)]
    return "{ " + ", ".join(f"{f.name} = {string_text(text)}" for f, text in zip(fields, texts, strict=True)) + " }"
