"""Every question whose answer is kept: those of a set-up, once a series, and what is stated for the whole engine.

What a set-up asks follows from its bench step and what was answered so far;
which statements a job asks for follows from what it is for, the sections that
hold them are declared in :mod:`ccassist.job.sections`.
"""

from __future__ import annotations

import datetime
from collections.abc import Collection, Iterator, Mapping
from dataclasses import replace

from ccassist.bench.step import Choice, Field, Method, Slips, Step
from ccassist.bench.steps import STEPS
from ccassist.bench.steps.fills import FILL_CHOICES, FILL_SETTINGS
from ccassist.guide.walk import Target, Task, left_out, method_named, rows_of, same_thing, ways
from ccassist.job.records import Job, Series
from ccassist.job.sections import STATED
from ccassist.job.vocabulary import PLAIN, Purpose
from ccassist.job.vocabulary import rows_of as purposes
from ccassist.job.write import Entry
from ccassist.values.findings import capital
from ccassist.vocabulary import Kind, term
from ccassist.vocabulary.record import record

Said = Mapping[str, tuple[str, ...]]  # key of the question -> what was answered; () for "not said"


@record
class Ask:
    """One question.

    term : makes it a quantity; ``many`` : several readings of it may be given.
    band : a range is an answer, too; ``decided`` : nobody asks where the quantity comes from.
    options : answers by number; ``wordy`` ones, a state or a name, in words too, with ``examples``.
    optional, unsaid : whether it may be left unsaid, and what that means in words.
    """

    section: str = ""  # of the job file, where it is a statement; "" where it belongs to a set-up
    key: str  # where the answer stands ("method", "finer" and "picked" of a set-up stay out of the file)
    words: str  # the question
    term: str = ""
    many: bool = False
    band: bool = False
    decided: bool = False
    options: tuple[str, ...] = ()
    wordy: bool = False
    examples: tuple[str, ...] = ()
    catalogue: str = ""  # "instrument" or "fluid" for a name to be looked up, of what reads ``kinds``
    kinds: tuple[Kind, ...] = ()
    optional: bool = True
    unsaid: str = "not said"
    later: bool = True  # of a set-up, it can wait until the first reading stands: the volume shows without it

    @property
    def place(self) -> str:
        """Its name, such as "cam intake_closing"."""
        return f"{self.section} {self.key}"


# -- set-up -----------------------------------------------------------------------------
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
# Without these a reading would mean nothing, or something else: asked before the first one, all others after it.
FIRST = ("method", "instrument", "gauge", "ring_bore", "ring_height")
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
# What a tool reads; and how to see the names that are known.
BY_TOOL = (Kind.VOLUME, Kind.MASS, Kind.LENGTH)
SEEN = " (? lists them)"
WATER = "water"  # as it is usual, and taken where nothing is said of what was weighed
WHO = Ask(key="by", words="Who reads", wordy=True)  # asked where a sheet is signed, or when it is to be changed


def method_of(target: Target, said: Said) -> Method:
    """The method in use."""
    title = next(iter(said.get("method", ())), "")
    return next((m for m in ways(target) if m.title == title), method_named(STEPS[target.step], target.method))


def kinds_read(method: Method) -> tuple[Kind, ...]:
    """What sort of instrument the method reads."""
    found = [term(f.term).kind for f in method.fields if not f.optional]
    return tuple(dict.fromkeys(kind for kind in found if kind in BY_TOOL))


def taken_fluid(target: Target, said: Said) -> str:
    """The fluid that is taken until it is said, where a fill is weighed and has no volume without one; else ""."""
    step, method = STEPS[target.step], method_of(target, said)
    weighed = step.fills and (method.slips is Slips.WEIGHING or method.against is Kind.MASS)
    return (step.fluid or WATER) if weighed and not said.get("fluid") else ""


def next_ask(target: Target, said: Said, *, rest: bool = False, one: str = "") -> Ask | None:
    """The first question of a set-up that is not answered yet; ``rest`` : also those that can wait, or ``one`` such."""
    asked = (ask for ask in set_up_asks(target, said) if rest or not ask.later or ask.key == one)
    return next((ask for ask in asked if ask.key not in said), None)


def set_up_asks(target: Target, said: Said) -> Iterator[Ask]:
    """Every question of a set-up, those needed for a first reading before the others."""
    asked = [replace(one, later=False) if one.later and one.key in FIRST else one for one in _asked(target, said)]
    yield from sorted(asked, key=lambda ask: ask.later)


def _asked(target: Target, said: Said) -> Iterator[Ask]:
    step, method = STEPS[target.step], method_of(target, said)
    if len(ways(target)) > 1:
        titles = tuple(m.title for m in ways(target))
        yield Ask(key="method", words="How is it read?", options=titles, optional=False)
    yield Ask(key="instrument", words=f"Which tool{SEEN}", catalogue="instrument")
    yield from (_choice(choice) for choice in step.choices if choice.name == "gauge")
    if step.fills:
        yield Ask(key="fluid", words=f"Which fluid{SEEN}", catalogue="fluid")
        yield Ask(key="temperature", words="Temperature of the fluid", term="temperature")
    if not step.part:  # a calibration: a known size has a material, weighed water has none
        yield from (_choice(c) for c in step.choices_by(method.key) if c.against in (None, method.against))
        yield WHO
        return
    yield from (_choice(c) for c in step.choices_by(method.key) if c.name not in FINER and c.name != "gauge")
    for setting in step.settings:
        if setting.name not in FINER and _called_for(setting.name, said):
            yield _setting(setting)
    more, picked = finer(step), said.get("picked", ())
    yield from (more[name] for name in picked if name in more)
    left = tuple(_short(ask) for name, ask in more.items() if name not in picked)
    if left:
        yield Ask(key="finer", words=ANYTHING_ELSE, options=left, unsaid="no, go on")
    examples = STATES.get(step.part, STATES[""])
    yield Ask(key="state", words=f"State of the {step.part}, in words", wordy=True, examples=examples)
    yield WHO


def finer(step: Step) -> dict[str, Ask]:
    """What may be said of a fill by someone who knows more than most, by name."""
    choices = {c.name: _choice(c) for c in step.choices if c.name in FINER}
    return {**choices, **{f.name: _setting(f) for f in step.settings if f.name in FINER}}


def finer_named(step: Step, short: str) -> str:
    """The name of the one that an option stands for."""
    return next(name for name, ask in finer(step).items() if _short(ask) == short)


def _short(ask: Ask) -> str:
    """The question in a few words, as one option among others."""
    return SHORT.get(ask.key, ask.words)


def _called_for(name: str, said: Said) -> bool:
    """Whether another answer calls for it; one of the finer things only where it was picked."""
    if name not in ONLY_IF:
        return True
    other, answer = ONLY_IF[name]
    picked = other not in FINER or other in said.get("picked", ())
    return picked and bool(said.get(other)) and (not answer or said[other] == (answer,))


def _choice(choice: Choice) -> Ask:
    words, kinds = capital(choice.words), (choice.reads,) if choice.reads else ()
    return Ask(
        key=choice.name,
        words=f"{words}{SEEN}" if kinds else words,
        options=choice.options,
        catalogue="" if choice.options else "instrument",
        kinds=kinds,
        optional=choice.optional,
        later=choice.optional or (choice.unsaid is not None and not choice.unsaid.refused),
    )


def _setting(field: Field) -> Ask:
    needed = field.name in ONLY_IF or not field.optional or (field.unsaid is not None and field.unsaid.refused)
    return Ask(
        key=field.name,
        words=capital(field.words),
        term=field.term,
        many=field.many,
        optional=not needed,
        later=not needed,
    )


# -- statements -------------------------------------------------------------------------
WANTED = "wanted"
ORDER = "order"
# What one section says another need not ask for, where a job has both.
_SAID_IN: Mapping[str, str] = {"order fuel": "charge", "order boost": "charge"}
_SPEEDS = ("engine_speed", "rev_limit")  # said for the whole engine, neither is asked for again
LEFT_TO = "the maker"
LEFT = "left to "


def statements(job: Job) -> tuple[Ask, ...]:
    """Everything that a job asks to be stated, each once, in the order asked."""
    found: dict[str, Ask] = {}
    for purpose in purposes(job.about):
        sections = (one for name in purpose.sections for one in _of_section(name))
        asked = [*(_wanted(key, purpose) for key in purpose.wanted), *sections]
        for one in asked:
            if _depends(job, one):
                found.setdefault(one.place, one)
    return tuple(found.values())


def _wanted(key: str, purpose: Purpose) -> Ask:
    words = f"{capital(term(key).name)}: one value, {purpose.band}, at least … or at most …"
    return Ask(section=WANTED, key=key, words=words, term=key, band=True, decided=True)


def _of_section(name: str) -> Iterator[Ask]:
    section = STATED[name]
    for key in section.guide or section.samples or section.keys:
        if key in section.terms:
            meant = term(key)
            decided = key in section.unasked or key in PLAIN
            words = section.asks.get(key, f"{capital(meant.name)}: {meant.meaning}")
            yield Ask(section=name, key=key, words=words, term=key, decided=decided)
        elif key in section.words:
            words = section.asks.get(key, capital(key.replace("_", " ")))
            yield Ask(section=name, key=key, words=words, options=section.words[key])
        elif key in section.texts:
            yield Ask(section=name, key=key, words=section.asks.get(key, capital(section.texts[key])))


def _depends(job: Job, one: Ask) -> bool:
    """Whether what it depends on, such as the shape for the diameter of a dish, is said so; nothing twice."""
    if any(_SAID_IN.get(one.place) in purpose.sections for purpose in purposes(job.about)):
        return False
    if one.section == WANTED or one.key not in STATED[one.section].only_with:
        return True
    other, words = STATED[one.section].only_with[one.key]
    return job.said.get(one.section, {}).get(other) in words


def is_left_out(job: Job, one: Ask) -> bool:
    """Whether the file says not to ask for it, or for nothing of its section."""
    return bool({one.place, one.section} & set(left_out(job)))


def is_stated(job: Job, one: Ask) -> bool:
    """Whether the file says it already."""
    if one.key in _SPEEDS and one.section != "baseline" and "engine_speed" in job.engine:
        return True
    return bool(as_stated(job, one)) or (one.section == ORDER and _is_read(job, one.key))


def _is_read(job: Job, key: str) -> bool:
    """Whether it was read on the bench, from where the order takes it."""
    read = {(s.step, name) for s in job.series for row in s.counted for name in row.fields}
    return any(name in STEPS[step].fields and STEPS[step].fields[name].term == key for step, name in read)


# What only a sheet needs, and is asked when one is printed.
SHEET = (
    Ask(section="job", key="name", words="Name of the engine or job"),
    Ask(section="job", key="by", words="Who measured"),
    Ask(section="job", key="remark", words="Remark for the sheet"),
)


def for_sheet(job: Job, passed: Collection[str]) -> list[Ask]:
    """What a sheet would still say, but for what was passed over."""
    first = [_wanted(row.first, row) for row in purposes(job.about) if row.first not in job.wanted][:1]
    asked = (SHEET[0], *first, *SHEET[1:])
    return [one for one in asked if not is_stated(job, one) and one.place not in passed]


def as_stated(job: Job, one: Ask) -> str:
    """What the file says of it, as written, or who is to decide it; "" where it says nothing."""
    if one.section == "job":
        return job.about.get(one.key, "")
    there = job.wanted if one.section == WANTED else job.stated.get(one.section, {})
    given = next((there[key] for key in (one.key, instead_of(one)) if key in there), None)
    said = job.said.get(one.section, {}).get(one.key, "")
    left_to = job.said.get(left_in(one), {}).get(one.key, "")
    return "; ".join(given.texts) if given is not None else said or (f"{LEFT}{left_to}" if left_to else "")


def instead_of(one: Ask) -> str:
    """The key that may be stated in its stead, "" where there is none."""
    section = STATED.get(one.section)
    return section.instead.get(one.key, "") if section is not None else ""


def left_in(one: Ask) -> str:
    """The section that says who decides it, where it may be left to somebody; else ""."""
    section = STATED.get(one.section)
    found = STATED.get(section.left_in) if section is not None else None
    return found.name if found is not None and one.key in found.texts else ""


def left(job: Job, passed: Collection[str] = ()) -> list[Ask]:
    """What is still to be stated, but for what was passed over today."""
    return [one for one in statements(job) if not (is_stated(job, one) or is_left_out(job, one) or one.place in passed)]


def next_left(job: Job, passed: Collection[str], after: Ask | None) -> Ask | None:
    """The next one still to be stated after another, round to the first; None where nothing is left."""
    unsaid = left(job, passed)
    order = [one.place for one in statements(job)]
    at = order.index(after.place) if after is not None and after.place in order else -1
    return next((one for one in unsaid if order.index(one.place) > at), unsaid[0] if unsaid else None)


def find_statement(job: Job, words: str) -> Ask | None:
    """The statement meant by its section, its key (or a beginning of it) or both; the first not stated of several."""
    section, _, key = words.partition(" ")
    asked = statements(job)
    near = [one for one in asked if one.section == section and one.key.startswith(key.strip())]
    near = near or [one for one in asked if one.key == words]
    return next((one for one in near if not is_stated(job, one)), near[0] if near else None)


# -- what a set-up says before anything is asked, and how it stands in the file and in words ------
NOT_IN_FILE = ("method", "finer", "picked")
# In what the file holds of a set-up: the cylinder or part that it was begun for, and the values of a reading begun.
WHERE, TYPED = "of", "typed"


def fixed(target: Target) -> dict[str, tuple[str, ...]]:
    """What a target says of its set-up by itself: the instrument, where one is calibrated."""
    return {} if STEPS[target.step].part else {"instrument": (target.part,)}


def begun(job: Job, task: Task) -> dict[str, tuple[str, ...]] | None:
    """What the file holds of a set-up that was not said to the end; of another cylinder's, what is not its alone."""
    there = job.set_ups.get(task.target.series)
    if there is None:
        return None
    said = {name: texts for name, texts in there.items() if name not in (WHERE, TYPED)}
    if fixed(task.target) and said.get("instrument") != (task.target.part,):
        return None
    return said if there.get(WHERE) == (task.target.where,) else for_another(said, task)


def remembered(job: Job, task: Task) -> dict[str, tuple[str, ...]]:
    """The set-up to go on with: that of the task itself, else of its step's last series.

    What is read anew for each cylinder (such as the drop of the piston) is
    left to be asked; empty where the step was never measured.
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


def known_before(job: Job, task: Task) -> dict[str, tuple[str, ...]]:
    """What is not asked of a new set-up: what was answered at an earlier step, who reads, and the finer things."""
    step = STEPS[task.target.step]
    by = next((s.by for s in reversed(job.series) if s.by), job.about.get("by", ""))
    found: dict[str, tuple[str, ...]] = {**fixed(task.target), "by": (by,) if by else (), "finer": ()}
    alike = next((s for s in reversed(job.series) if STEPS[s.step].methods == step.methods and s.rows), None)
    if alike is not None:
        known = {f.name for f in step.settings}
        found |= {name: alike.settings.get(name, ()) for name in ONCE if name in known}
    same_part = next((s for s in reversed(job.series) if STEPS[s.step].part == step.part and s.rows), None)
    if step.part and (task.state or same_part is not None):
        state = task.state or (same_part.state if same_part is not None else "")
        found["state"] = (state,) if state else ()
    return found


def hints(job: Job, task: Task) -> dict[str, tuple[str, ...]]:
    """What an empty line takes where nothing is remembered: what was filled with before, in the same way."""
    step = STEPS[task.target.step]
    last = next((s for s in reversed(job.series) if STEPS[s.step].methods == step.methods), None)
    if not step.fills and last is not None and last.instrument:
        return {"instrument": (last.instrument,)}
    usual = step.fluid or ("" if step.part else WATER)
    found: dict[str, tuple[str, ...]] = {"fluid": (usual,)} if usual else {}
    if step.fills and last is not None:
        said = said_in(last, STEPS[last.step])
        known = {"method", "instrument", "temperature", *(c.name for c in step.choices)}
        known |= set() if step.fluid else {"fluid"}
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
