"""The reference of the job file as a page of text, made from the declarations; ``examples/job-file.md`` holds it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from ccassist.bench.fluids import FLUIDS
from ccassist.bench.instruments import INSTRUMENTS
from ccassist.bench.step import Step
from ccassist.bench.steps import STEPS
from ccassist.job import vocabulary as words
from ccassist.job.sections import STATED, Section
from ccassist.job.vocabulary import ALTERNATIVE_KEYS, ALTERNATIVE_TERMS, CHOICE_KEYS, CHOICE_TERMS
from ccassist.values.asking import example, usual
from ccassist.values.findings import capital
from ccassist.values.grammar import ORIGINS
from ccassist.values.statement import silent_words
from ccassist.vocabulary import term
from ccassist.vocabulary.units import UNITS


def reference() -> str:
    """The whole page, in Markdown."""
    return "\n".join(line.rstrip() for line in _page()) + "\n"


def _page() -> Iterator[str]:
    bore, inches = term("bore").example().removesuffix(" mm"), term("bore").example("imperial")
    yield from (
        "# The job file",
        "",
        "Made from the tool's own declarations. A job file is TOML; `ccassist new` writes one with every key as a",
        "comment, and `ccassist check` says what is wrong, with the line.",
        "",
        f'Quantities are texts as a person writes them, with a unit: `"{bore} mm"`, `"{inches}"`, `"33 thou"`,',
        f'`"{bore} +/- 0.01 mm"`, `"{bore}(1) mm"`. A bare number takes the unit of `[job] units`. Where it comes from',
        f"stands last: {', '.join(f'`, {origin}`' for origin in ORIGINS)}. Signs are said in words, never by + or −.",
        "",
        *_writing(),
        "",
        f"Units that are read: {', '.join(f'`{unit}`' for unit in UNITS)}.",
    )
    for name, meaning in words.SECTIONS.items():
        yield from ("", f"## `{name}`" if name == "format" else f"## `[{name}]`", "", f"{capital(meaning)}.")
        yield from _inside(name)


def _writing() -> Iterator[str]:
    """What a quantity and a key may look like, and the one thing that older files may not."""
    yield from (
        "In order: words, the number, its unit, words, ± with a unit of its own or the same, words, where it comes",
        "from. A ± that reaches to nothing, or holds all that is usual, says nothing and is refused; what may be",
        'nearly nothing keeps its ±: `"flush ± 0.05 mm"`. A fraction is of an inch: `"1 5/16 in"`.',
        "",
        f"In imperial jobs a bare number is refused where thou and inches are both said ({_said_in_thou()}):",
        'write `"0.025 in"` or `"25 thou"`. It is the one exception to the promise of `format = 1`: an older file that',
        "leaves the unit out there is told both lines.",
        "",
        "Keys may be words of the trade: `chamber`, `head_cc`, `ratio`, `cr`, `boost`, `lambda`. `dish` and `dome` say",
        "the sign with the key. A word that may mean several things in its place, such as `deck_height`, is refused",
        "and each of them is explained; two keys of one term are refused; the tool itself writes the full key.",
    )


def _said_in_thou() -> str:
    """The terms of a job file in whose places a bare imperial number is refused."""
    stated = dict.fromkeys((*words.GIVEN_TERMS, *words.WANTED_TERMS, *(k for s in STATED.values() for k in s.terms)))
    return ", ".join(f"`{key}`" for key in stated if term(key).shown("imperial") == "thou")


def _inside(name: str) -> Iterator[str]:
    """What may stand in a section."""
    plain = {"job": words.JOB_KEYS, "instrument": words.INSTRUMENT_KEYS, "fluid": words.FLUID_KEYS}
    if name == "format":
        yield from ("", f"`format = {words.FORMAT}`")
    elif name in plain:
        yield from _keys(plain[name])
        if name == "instrument":
            yield from ("", f"In the catalogue: {', '.join(f'`{one}`' for one in INSTRUMENTS)}.")
        if name == "fluid":
            yield from ("", f"In the catalogue: {', '.join(f'`{one}`' for one in FLUIDS)}.")
    elif name == "engine":
        yield from ("", "`cylinders`: number of cylinders, or of chambers on the bench.", *_terms(words.GIVEN_TERMS))
        yield from _silent(words.GIVEN_TERMS)
    elif name == "counted":
        yield from _keys({key: f"{meaning}: {_or(words.COUNTED_WORDS)}" for key, meaning in words.COUNTED_KEYS.items()})
    elif name == "wanted":
        yield from ("", 'A value, a value with ±, a range such as `"9.5 to 9.7"`, `"at least …"` or `"at most …"`.')
        yield from _terms(words.WANTED_TERMS)
    elif name == "part":
        yield from (
            "",
            'Headed `[part."left head"]`. Besides these keys, any term of `[engine]` that is not of the whole.',
        )
        yield from _keys(words.PART_KEYS)
    elif name == "cylinder":
        yield from ("", "Headed `[cylinder.3]`; any term of `[engine]` that is not of the whole engine.")
    elif name == "choice":
        yield from ("", "Headed `[choice.gasket.thin]`. Kinds, and the terms that each may state:")
        yield from _keys({kind: ", ".join(f"`{key}`" for key in keys) for kind, keys in CHOICE_TERMS.items()})
        yield from ("", "Each may also say:")
        yield from _keys(CHOICE_KEYS)
    elif name == "alternative":
        yield from ("", 'Headed `[alternative."short crank"]`; what it does not state is as in the engine.')
        yield from _keys(ALTERNATIVE_KEYS)
        yield from _terms(ALTERNATIVE_TERMS)
    elif name == "series":
        yield from _series()
    else:
        for section in STATED.values():
            if section.path[0] == name:
                yield from _stated(section)


def _stated(section: Section) -> Iterator[str]:
    """A section of stated things."""
    yield from ("", f"### `[{section.name}]`", "", f"{capital(section.meaning)}.")
    if section.terms:
        yield from _terms(section.terms)
    said = {key: _or(options) for key, options in section.words.items()}
    said |= dict(section.texts)
    said |= {
        key: "a list of `{ " + ", ".join(f'{name} = "{example(of)}"' for name, of in fields.items()) + " }`"
        for key, fields in section.lists.items()
    }
    if said:
        yield from _keys(said)
    if section.refused:
        yield from ("", "Never accepted:", *_keys(section.refused))


def _series() -> Iterator[str]:
    """Blocks of readings, and every bench step."""
    yield from ("", "Headed `[[series]]`, with double brackets.", *_keys(words.SERIES_KEYS))
    yield from ("", "Besides its own fields a reading may hold:", *_keys(words.ROW_KEYS))
    for step in STEPS.values():
        yield from _step(step)


def _step(step: Step) -> Iterator[str]:
    yield from ("", f'### `step = "{step.key}"`', "", f"{step.title}. {step.why}", "")
    for method in step.methods:
        fields = ", ".join(f'{f.name} = "{example(f.term)}"' for f in method.fields if not f.optional)
        extra = [f"`{f.name}` ({f.words})" for f in method.fields if f.optional]
        more = f"; may also hold {', '.join(extra)}" if extra else ""
        yield f"- {method.title}: `{{ {fields} }}`{more}"
    settings = {f.name: f'{f.words}, such as `"{example(f.term)}"`' for f in step.settings}
    choices = {c.name: f"{c.words} {_or(c.options)}" if c.options else c.words for c in step.choices}
    if settings or choices:
        yield from _keys({**choices, **settings})


def _terms(keys: Iterable[str]) -> Iterator[str]:
    """A table of terms."""
    yield from ("", "| key | what it is | usual | such as |", "|---|---|---|---|")
    for key in keys:
        meant = term(key)
        caution = f" ({meant.caution})" if meant.caution else ""
        yield f'| `{key}` | {meant.name}: {meant.meaning}{caution} | {usual(key)} | `"{example(key)}"` |'


def _silent(keys: Iterable[str]) -> Iterator[str]:
    """The ± that a term takes where none is said."""
    yield from (
        "",
        "Where no ± is said, how many digits are typed says nothing: the usual one is taken and counted as a guess.",
        "95 % is not said of a result of which guesses make more than a twentieth of the variance. Common practice, no",
        "source.",
        "As measured; as a maker's figure, or where nobody says; as assumed:",
        "",
    )
    yield from (f"- `{key}`: {silent_words(key)}" for key in keys if key not in words.CHOSEN)


def _keys(keys: Mapping[str, str]) -> Iterator[str]:
    """A list of keys and their meanings."""
    yield ""
    yield from (f"- `{key}`: {meaning}" for key, meaning in keys.items())


def _or(options: Iterable[str]) -> str:
    return " or ".join(f'`"{word}"`' for word in options)
