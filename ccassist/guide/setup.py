"""What is asked once a series: method, instrument, fluid, temperature, choices, settings, state, person."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from ccassist.bench.step import Choice, Field, Method, Step
from ccassist.bench.steps import STEPS
from ccassist.bench.steps.fills import FILL_CHOICES, FILL_SETTINGS
from ccassist.guide.walk import Target, Task, method_named, rows_of, same_thing, ways
from ccassist.job.records import Job, Series
from ccassist.job.write import Entry
from ccassist.values.findings import capital
from ccassist.vocabulary import Kind, term

Said = Mapping[str, tuple[str, ...]]  # name of the question -> what was answered; () for "not said"

# Asked only where another answer calls for it: question -> (other question, its answer; "" for any).
ONLY_IF = {
    "hole_diameter": ("hole", "filled"),
    "plate_thickness": ("hole", "filled"),
    "plug_hole": ("plug", "not fitted"),
    "plug_well": ("level", "plug seat"),
    "ring_height": ("ring_bore", ""),
    "opening": ("film", ""),
}
ONCE = ("film",)  # asked once a job: the same hands grease every plate
# Asked only by someone who wants to say more than most do.
FINER = tuple(c.name for c in FILL_CHOICES if c.optional) + tuple(
    f.name for f in FILL_SETTINGS if f.name not in (*ONLY_IF, *ONCE)
)
ANYTHING_ELSE = "Anything else to say? Its number"
# States a part goes through in the shop, as examples; and how the finer things are offered, in a few words.
STATES = {
    "head": ("as received", "seats cut", "opened"),
    "block": ("as received", "honed", "decked"),
    "": ("as received", "finished"),
}
SHORT = {
    "meniscus": "at which edge the meniscus was read",
    "material": "aluminium or iron",
    "residue": "fluid left from the fill before",
}
# What is read with, by what it reads; and how to see the names that are known.
EXAMPLES = {Kind.VOLUME: "syringe 60 ml", Kind.MASS: "kitchen scale 1 g", Kind.LENGTH: "vernier caliper"}
SEEN = " (? lists them)"
NOT_IN_FILE = ("method", "finer", "picked")
_READ_KINDS = (Kind.VOLUME, Kind.MASS, Kind.LENGTH)


@dataclass(frozen=True, kw_only=True)
class Ask:
    """One question of the set-up.

    ``name`` is the key in the file ("method", "finer" and "picked" stay out of it);
    ``options`` are answers by number; ``wordy`` ones, a state or a name, in words too,
    with ``examples``;
    ``field`` makes it a quantity;
    ``catalogue`` is "instrument" or "fluid" for a name to be looked up, of what reads ``kinds``;
    ``unsaid`` is what no answer means, in words.
    """

    name: str
    words: str
    options: tuple[str, ...] = ()
    field: Field | None = None
    catalogue: str = ""
    kinds: tuple[Kind, ...] = ()
    optional: bool = True
    unsaid: str = "not said"
    wordy: bool = False
    examples: tuple[str, ...] = ()


WHO = Ask(name="by", words="Who reads", wordy=True)


def method_of(target: Target, said: Said) -> Method:
    """The method in use."""
    step = STEPS[target.step]
    title = next(iter(said.get("method", ())), "")
    return next((m for m in ways(target) if m.title == title), method_named(step, target.method))


def next_ask(target: Target, said: Said) -> Ask | None:
    """The first question not answered yet."""
    return next((ask for ask in _asks(target, said) if ask.name not in said), None)


def _asks(target: Target, said: Said) -> Iterator[Ask]:
    step = STEPS[target.step]
    if len(ways(target)) > 1:
        titles = tuple(m.title for m in ways(target))
        yield Ask(name="method", words="How are the readings taken?", options=titles, optional=False)
    yield Ask(
        name="instrument", words=f"Instrument, or part of its name{_such_as(target, said)}", catalogue="instrument"
    )
    if step.fills:
        yield Ask(name="fluid", words=f"Fluid, or part of its name, such as: water{SEEN}", catalogue="fluid")
        warmth = Field(name="temperature", term="temperature", words="temperature of the fluid", optional=True)
        yield Ask(name="temperature", words="Temperature of the fluid", field=warmth)
    if not step.part:
        yield from _of_an_instrument(step, method_of(target, said))
        return
    for choice in step.choices:
        if choice.name not in FINER:
            yield _choice(choice)
    for setting in step.settings:
        if setting.name not in FINER and _picked(setting.name, said) and _called_for(setting.name, said):
            yield _setting(setting)
    more = finer(step)
    yield from (more[name] for name in said.get("picked", ()) if name in more)
    left = tuple(_short(ask) for name, ask in more.items() if name not in said.get("picked", ()))
    if left:
        yield Ask(name="finer", words=ANYTHING_ELSE, options=left, unsaid="no, go on")
    examples = STATES.get(step.part, STATES[""])
    yield Ask(name="state", words=f"State of the {step.part}, in words", wordy=True, examples=examples)
    yield WHO


def _such_as(target: Target, said: Said) -> str:
    """An example of what the method reads with, and how to see what there is."""
    shown = next((EXAMPLES[kind] for kind in kinds_read(method_of(target, said)) if kind in EXAMPLES), "")
    return f", such as: {shown}{SEEN}" if shown else SEEN


def _of_an_instrument(step: Step, method: Method) -> Iterator[Ask]:
    """What is asked of a calibration: a known size has a material, weighed water has none."""
    for choice in step.choices:
        if choice.name != "material" or method.key == "size":
            yield _choice(choice)
    yield WHO


def fixed(target: Target) -> dict[str, tuple[str, ...]]:
    """What a target says of its set-up by itself: the instrument, where one is calibrated."""
    return {} if STEPS[target.step].part else {"instrument": (target.part,)}


def finer(step: Step) -> dict[str, Ask]:
    """What may be said of a fill by someone who knows more than most, by name."""
    choices = {c.name: _choice(c) for c in step.choices if c.name in FINER}
    return {**choices, **{f.name: _setting(f) for f in step.settings if f.name in FINER}}


def finer_named(step: Step, short: str) -> str:
    """The name of the one that an option stands for."""
    return next(name for name, ask in finer(step).items() if _short(ask) == short)


def _short(ask: Ask) -> str:
    """The question in a few words, as one option among others."""
    return SHORT.get(ask.name, ask.words)


def _picked(name: str, said: Said) -> bool:
    """Whether what it depends on, where that is one of the finer things, was picked."""
    other = ONLY_IF.get(name, ("", ""))[0]
    return other not in FINER or other in said.get("picked", ())


def _choice(choice: Choice) -> Ask:
    catalogue = "" if choice.options else "instrument"
    words = capital(choice.words)
    kinds = (choice.reads,) if choice.reads else ()
    return Ask(
        name=choice.name,
        words=f"{words}{SEEN}" if kinds else words,
        options=choice.options,
        catalogue=catalogue,
        kinds=kinds,
        optional=choice.optional,
    )


def _setting(field: Field) -> Ask:
    needed = field.name in ONLY_IF or not field.optional
    return Ask(name=field.name, words=capital(field.words), field=field, optional=not needed)


def _called_for(name: str, said: Said) -> bool:
    if name not in ONLY_IF:
        return True
    other, answer = ONLY_IF[name]
    return bool(said.get(other)) and (not answer or said[other] == (answer,))


def kinds_read(method: Method) -> tuple[Kind, ...]:
    """What sort of instrument the method reads."""
    found = [term(f.term).kind for f in method.fields if not f.optional]
    return tuple(dict.fromkeys(k for k in found if k in _READ_KINDS))


def remembered(job: Job, task: Task) -> dict[str, tuple[str, ...]]:
    """The set-up to go on with: that of the task itself, else of its step's last series.

    What is read anew for each cylinder (such as the drop of the piston) and
    the state are left to be asked; empty where the step was never measured.
    """
    step = STEPS[task.target.step]
    if task.latest is not None:
        return said_in(task.latest, step)
    last = next((s for s in reversed(job.series) if s.step == step.key and rows_of(s, task.target)), None)
    return for_another(said_in(last, step), task) if last is not None else {}


def for_another(said: Said, task: Task) -> dict[str, tuple[str, ...]]:
    """The set-up of one cylinder for the next, without what is read anew for each."""
    anew = {f.name for f in STEPS[task.target.step].settings if f.many}
    kept = {name: texts for name, texts in said.items() if name not in anew}
    return {**kept, "state": (task.state,)} if task.state else kept


def asked_once(job: Job, task: Task) -> dict[str, tuple[str, ...]]:
    """What was answered, or left unsaid, at an earlier step and is not asked again."""
    step = STEPS[task.target.step]
    last = next((s for s in reversed(job.series) if STEPS[s.step].methods == step.methods), None)
    known = {f.name for f in step.settings}
    return {} if last is None else {name: last.settings.get(name, ()) for name in ONCE if name in known}


def hints(job: Job, task: Task) -> dict[str, tuple[str, ...]]:
    """What an empty line takes where nothing is remembered: who read last, the state, what was filled with."""
    step = STEPS[task.target.step]
    by = next((s.by for s in reversed(job.series) if s.by), job.about.get("by", ""))
    found: dict[str, tuple[str, ...]] = {"by": (by,) if by else (), "state": (task.state,) if task.state else ()}
    last = next((s for s in reversed(job.series) if STEPS[s.step].methods == step.methods), None)
    if not step.part:
        found["fluid"] = ("water",)
    if step.fills and last is not None:
        said = said_in(last, STEPS[last.step])
        known = {"method", "instrument", "fluid", "temperature", "by", *(c.name for c in step.choices)}
        found.update({k: v for k, v in said.items() if k in known and v})
    return found


def said_in(series: Series, step: Step) -> dict[str, tuple[str, ...]]:
    """The answers that a series in the file stands for; what it does not say was not said."""
    method = step.method_of(frozenset(series.rows[-1].fields)) if series.rows else None
    plain = {"instrument": series.instrument, "state": series.state, "by": series.by}
    if step.fills:
        plain["fluid"] = series.fluid
    said: dict[str, tuple[str, ...]] = {name: (text,) if text else () for name, text in plain.items()}
    if method is not None and len(same_thing(step, method)) > 1:
        said["method"] = (method.title,)
    said.update({c.name: (series.choices[c.name],) if c.name in series.choices else () for c in step.choices})
    said.update({f.name: series.settings.get(f.name, ()) for f in step.settings})
    if step.fills:
        said["temperature"] = series.settings.get("temperature", ())
        said["finer"], said["picked"] = (), tuple(name for name in FINER if said.get(name))
    return said


def header(job: Job, target: Target, said: Said, date: datetime.date) -> dict[str, Entry]:
    """The keys of the series as they go into the file."""
    step = STEPS[target.step]
    found: dict[str, Entry] = {"step": step.key}
    if target.cylinder is not None:
        found["cylinder"] = target.cylinder
        part = job.part_of(step.part, target.cylinder)
        if part is not None and sum(p.kind == step.part for p in job.parts.values()) > 1:
            found["part"] = part.name
    elif step.part:
        found["part"] = target.part
    found.update({name: texts for name, texts in said.items() if texts and name not in NOT_IN_FILE})
    found["date"] = date
    return found


_IN_WORDS = {
    "method": "{}",
    "instrument": "{}",
    "fluid": "{}",
    "temperature": "{}",
    "hole": "plate hole {}",
    "plug": "plug {}",
    "seal": "sealed by {}",
    "state": "state: {}",
    "by": "read by {}",
}


def in_words(said: Said) -> str:
    """The set-up in a line, who and in what state last."""
    last = ("state", "by")
    order = [name for name in ("method", "instrument", "fluid", "temperature") if name in said]
    order += [name for name in said if name not in (*order, *last, *NOT_IN_FILE)] + [
        name for name in last if name in said
    ]
    parts = [_IN_WORDS.get(n, n.replace("_", " ") + " {}").format(" and ".join(said[n])) for n in order if said[n]]
    return "; ".join(parts)
