"""Whole builds side by side: one evaluator from a build to the engine it makes, what fits and what does not.

A build is what it states; all else is as in the engine, as the mean of its cylinders.  Compression height and net crown
volume may be left open: they are then those of a piston to be ordered, from the gap and the ratio wanted.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import field, replace
from pathlib import Path
from typing import TYPE_CHECKING

from ccassist.analysis.cylinder import Cylinder, cylinder_of, known_of_all
from ccassist.analysis.motion import motion_of
from ccassist.analysis.results import Survey
from ccassist.boost.figures import OCTANE
from ccassist.engine.skim import skimmed
from ccassist.job import amend
from ccassist.job.records import Given
from ccassist.job.vocabulary import CHOICE_TERMS, OPEN_TERMS, RUN_TERMS, WEIGHTS
from ccassist.job.write import JobFile
from ccassist.plan.boost.against import BOOST, NO_CHARGE, against
from ccassist.plan.combine.candidates import REASONS, base_of, inputs_of, not_under, refusals
from ccassist.plan.piston import fits_crown, fits_head, fits_valves
from ccassist.plan.piston.fits_case import Fault, FitCase, Unseen
from ccassist.plan.piston.specification import CROWN, HEIGHT, HEIGHT_TERMS, RATIO, Specification, ordering_step, specify
from ccassist.plan.valves.room import valve_room
from ccassist.values.display import Formatter
from ccassist.values.findings import Finding, InputError, NotPossible, error
from ccassist.values.measured import Value, computed
from ccassist.values.number import Number, nominal
from ccassist.values.statement import as_made
from ccassist.values.verdict import Verdict, decide
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import Origin

if TYPE_CHECKING:  # the search loads NumPy, which builds side by side do not need
    from ccassist.plan.combine.search import Combination, Combined

AS_IT_IS = "as it is"
MOST = 6  # builds beside the engine as it is
# What of a piston is looked at: whether it can be made and fitted, not whether its order is settled.
FITS = (
    fits_head.gap, fits_head.gasket, fits_head.chamber, fits_valves.valves, fits_crown.edge, fits_crown.over_the_pin,
    fits_crown.at_the_groove, fits_crown.pin, fits_crown.ring_pack, fits_crown.pin_length, fits_crown.land,
)  # fmt: skip
_ROD_SHARE = 1 / 3  # of a rod that goes up and down; common practice, no source
_GUESSED = (Origin.ASSUMED, Origin.NOT_SAID)


@record
class NamedBuild:
    """A named build: what it states by term, what it leaves open, and what must be bought or cut for it."""

    name: str
    values: Mapping[str, Value] = field(default_factory=dict)
    open: tuple[str, ...] = ()
    buy: str = ""

    @property
    def states(self) -> set[str]:
        """The terms that it changes."""
        return {*self.values, *self.open} - {*WEIGHTS.values(), *RUN_TERMS}


@record
class Evaluated:
    """A build worked out.

    worked_out : terms found from what is wanted; ``refused`` : why those left open cannot be.
    faults : what cannot be, in words; ``unseen`` : what could not be looked at.
    """

    build: NamedBuild  # what was asked
    values: Mapping[str, Value]  # every term of the mean cylinder with it, and of the whole
    worked_out: tuple[str, ...] = ()
    refused: tuple[str, ...] = ()
    faults: tuple[str, ...] = ()
    unseen: tuple[str, ...] = ()
    verdicts: Mapping[str, Verdict] = field(default_factory=dict)  # how each term wanted stands
    guessed: tuple[str, ...] = ()  # terms that the build states without having been measured or made
    no_octane: str = ""  # why it has no octane difference from the baseline, where the job has one

    @property
    def fits(self) -> bool:
        """Whether it was worked out and nothing was found that cannot be."""
        return not self.refused and not self.faults


def builds_of(survey: Survey, names: Sequence[str] = ()) -> list[NamedBuild]:
    """The engine as it is, where its ratio is known, and the builds of the job, or those named.

    Raises InputError: there is none, there are too many at once, or a name is not known.
    """
    job = survey.job
    if not job.alternatives:
        right = '[alternative."short crank"] with what it changes, such as its stroke, one block a build'
        raise InputError(error("no-alternative", "no builds to set side by side", file=job.file, right=right))
    for name in names:
        if name not in job.alternatives:
            right = f"one of {', '.join(job.alternatives)}"
            raise InputError(error("unknown-build", "no such build", read=name, right=right, place="--build"))
    chosen = list(dict.fromkeys(names or job.alternatives))
    if len(chosen) > MOST:
        right = f"name up to {MOST} of them: --build {chosen[0]!r}"
        raise InputError(error("too-many", f"{len(chosen)} builds, and {MOST} stand side by side", right=right))
    own = [NamedBuild(name=AS_IT_IS)] if all(RATIO in one.values for one in survey.cylinders) else []
    made = {name: job.alternatives[name] for name in chosen}
    return own + [
        NamedBuild(name=name, values=survey.alternatives[name], open=one.open, buy=one.buy)
        for name, one in made.items()
    ]


def evaluated(survey: Survey, build: NamedBuild) -> Evaluated:
    """The engine that a build makes: what is open solved, what fits, what it weighs, how fast its pistons go."""
    engine, unknown_height = _fitted(survey, build)
    inputs = inputs_of(engine.cylinders[0])
    settled = all(key in inputs or key in build.open for key in OPEN_TERMS)
    spec: Specification | None = None
    refused: tuple[str, ...] = ()
    if settled and not unknown_height:
        spec = specify(engine)
        refused = spec.refused
        if build.open:
            engine = replace(engine, cylinders=spec.planned.cylinders)
    elif CROWN in build.open:
        engine, refused = _crown_alone(engine)
    cylinder = engine.cylinders[0]
    hidden = (HEIGHT, "block_deck_height") if unknown_height else ()
    values = {key: value for key, value in cylinder.values.items() if key not in hidden}
    values |= motion_of(values, build.values.get("engine_speed")) | _weights(survey, values) | _piston(values, spec)
    values |= dict(_valve_gaps(engine, spec))
    looked_at = FITS if spec and build.states else ()  # what runs already fits
    told = [one for judge in looked_at for one in judge(FitCase(spec=spec, system=survey.job.system))] if spec else []
    seen = {key: value.nominal for key, value in cylinder.values.items()}
    broken = [REASONS[rule.reason] for rule in refusals(seen, ()) if rule.broken] + (
        [cylinder.contradiction] if cylinder.contradiction else []
    )
    return Evaluated(
        build=build,
        values=values,
        worked_out=() if refused else build.open,
        refused=tuple(refused),
        faults=tuple(dict.fromkeys((*broken, *(one.wrong for one in told if isinstance(one, Fault))))),
        unseen=tuple(dict.fromkeys(f"{one.what}: {one.lacks}" for one in told if isinstance(one, Unseen))),
        verdicts={key: decide(values[key], band) for key, band in survey.wanted.items() if key in values},
        guessed=tuple(key for key, value in build.values.items() if value.origin in _GUESSED),
    )


def with_octane(survey: Survey, found: Sequence[Evaluated]) -> list[Evaluated]:
    """The builds with their octane difference from the baseline, or why each has none."""
    knock = against(survey)
    if isinstance(knock, Finding):
        boosted = knock.code != NO_CHARGE or any(BOOST in one.build.values for one in found)
        why = "; ".join(text for text in (knock.wrong, knock.right) if text)
        return [replace(one, no_octane=why if boosted else "") for one in found]
    octanes = knock.compared([one.values for one in found])
    return [
        replace(one, no_octane=octane)
        if isinstance(octane, str)
        else replace(one, values={**one.values, OCTANE: octane})
        for one, octane in zip(found, octanes, strict=True)
    ]


def in_order(found: Sequence[Evaluated], key: str) -> list[Evaluated]:
    """The least of a term first, and last what has none of it. Raises InputError: none has it."""
    if all(key not in one.values for one in found):
        why = next((one.no_octane for one in found if key == OCTANE and one.no_octane), "")
        wrong = f"no build has a figure of the {term(key).name}{f': {why}' if why else ''}"
        raise InputError(error("missing-value", wrong, place="--by"))
    return sorted(found, key=lambda one: one.values[key].nominal if key in one.values else math.inf)


def _fitted(survey: Survey, build: NamedBuild) -> tuple[Survey, bool]:
    """The engine with the parts of a build in one mean cylinder; and whether its piston's height is not known.

    A measured deck clearance that other parts move is turned into the block height that it speaks of; where no
    compression height is known either, only the change of it counts: height and block then stand for nothing.
    """
    first = survey.cylinders[0]
    known = {**known_of_all(survey.cylinders, [inputs_of(one) for one in survey.cylinders])}
    base = base_of({**known, "cylinders": float(survey.job.cylinders)}, build.states, first.choices)
    numbers = {**base, **{key: value.number for key, value in build.values.items()}}
    numbers = {**numbers, **skimmed(numbers, least=not_under)}
    numbers = {key: number for key, number in numbers.items() if key not in _unweighed(build)}
    unknown_height = HEIGHT not in build.states and HEIGHT not in known and HEIGHT in base
    inputs = {key: _value(key, number, first, build) for key, number in numbers.items()}
    ordered = survey.stated.get("order", {}) if build.states else {}  # the order is for none of the pistons there are
    stated = {key: value for key, value in ordered.items() if key not in OPEN_TERMS}
    stated |= {key: value for key, value in build.values.items() if key in CHOICE_TERMS["pistons"]}
    if not unknown_height:
        stated |= {key: inputs[key] for key in OPEN_TERMS if key in inputs and key not in build.open}
    engine = replace(
        survey, cylinders=(cylinder_of(first.number, inputs, first.choices),), stated={**survey.stated, "order": stated}
    )
    return engine, unknown_height


def _unweighed(build: NamedBuild) -> set[str]:
    """Weights of parts that the build changes without saying what they weigh: the old ones are not theirs."""
    changed = {kind for kind in WEIGHTS if build.states.intersection(CHOICE_TERMS[kind])}
    return {WEIGHTS[kind] for kind in changed} - build.values.keys()


def _value(key: str, number: Number, first: Cylinder, build: NamedBuild) -> Value:
    """A number of the build as a value: as stated by it, as the engine's, or as it was turned into."""
    if key in build.values and build.values[key].number is number:
        return build.values[key]
    own = first.values.get(key)
    if own is not None and own.number is number:
        return own
    if own is not None and own.origin not in (Origin.COMPUTED, Origin.NOT_COUNTED):
        return replace(own, number=number)
    return Value(key, number, Origin.WORKED_OUT, how="from the parts there are now")


def _crown_alone(engine: Survey) -> tuple[Survey, tuple[str, ...]]:
    """The crown from the ratio wanted, where the piston's height itself is not known but only its change."""
    from ccassist.solve.solver import solve

    one, band = engine.cylinders[0], engine.wanted.get(RATIO)
    if band is None:
        return engine, ("no crown volume: want a static compression ratio, or state it",)
    known = {key: number for key, number in inputs_of(one).items() if key != CROWN}
    try:
        found = solve(known, one.choices, unknowns=(CROWN,), targets={RATIO: band.aim}, algebra=False).number
    except InputError as fault:
        return engine, tuple(finding.wrong for finding in fault.findings)
    except NotPossible as fault:
        return engine, (str(fault),)
    step = ordering_step(CROWN, engine.fmt)
    size = round(nominal(found) / step) * step
    inputs = {key: value for key, value in one.values.items() if value.origin != Origin.COMPUTED}
    inputs[CROWN] = Value(
        CROWN, size + as_made(CROWN, size, engine.fmt), Origin.ORDERED, how="from the static compression ratio wanted"
    )
    return replace(engine, cylinders=(cylinder_of(one.number, inputs, one.choices),)), ()


def _weights(survey: Survey, values: Mapping[str, Value]) -> dict[str, Value]:
    """What goes up and down with one crank pin, and how much heavier the whole is than the engine as it is."""
    found = {}
    weight = {key: values[key].number for key in WEIGHTS.values() if key in values}
    if "piston_weight" in weight and "rod_weight" in weight:
        moving = weight["piston_weight"] + _ROD_SHARE * weight["rod_weight"]
        found["reciprocating_weight"] = computed("reciprocating_weight", moving, "a third of the rod: common practice")
    own = {key: one.number for key in WEIGHTS.values() if (one := survey.cylinders[0].values.get(key)) is not None}
    if own and own.keys() == weight.keys():
        count = {key: 1 if key == "crank_weight" else survey.job.cylinders for key in own}
        change: Number = sum((count[key] * (weight[key] - own[key]) for key in own), start=0.0)
        found["weight_change"] = computed("weight_change", change, "of all parts whose weight is given for both")
    return found


def _piston(values: Mapping[str, Value], spec: Specification | None) -> dict[str, Value]:
    """What is left in the piston: between pin and rings, and over the pin."""
    size = {**spec.order, **values} if spec is not None else {}
    if not {HEIGHT, "pin_diameter"} <= size.keys() or spec is None:
        return {}
    above = size[HEIGHT].number - size["pin_diameter"].number / 2
    found = {"crown_over_pin": computed("crown_over_pin", above - max(spec.shape.deepest, 0.0))}
    if "ring_pack_depth" in size:
        found["pin_to_groove"] = computed("pin_to_groove", above - size["ring_pack_depth"].number)
    return found


def _valve_gaps(engine: Survey, spec: Specification | None) -> Iterator[tuple[str, Value]]:
    """The least gap of each valve to the piston, where cam and valves say it."""
    rooms = fits_valves.ordered_rooms(engine) if spec else valve_room(engine)
    for name, room in rooms.items():
        if room.worst is not None:
            yield f"{name} valve", room.worst.gap


SHOWN = (
    HEIGHT, CROWN, RATIO, OCTANE, BOOST, *HEIGHT_TERMS, "displacement", "rod_ratio", "mean_piston_speed",
    "peak_piston_speed", "peak_piston_acceleration", "pin_to_groove", "crown_over_pin", "piston_weight",
    "reciprocating_weight", "weight_change",
)  # fmt: skip
# From how much on a difference matters: of its unit in SI, or as a share; common practice, no source.
_MATTERS = {
    RATIO: (0.05, 0.0), "squish": (5e-5, 0.0), "displacement": (0.0, 0.01), "mean_piston_speed": (0.0, 0.02),
    "peak_piston_acceleration": (0.0, 0.05), OCTANE: (0.5, 0.0), "reciprocating_weight": (0.0, 0.02),
}  # fmt: skip


def differences(one: Evaluated, other: Evaluated, fmt: Formatter) -> list[str]:
    """What of a build differs from another so much that it matters, in words."""
    found = []
    for key, (least, share) in _MATTERS.items():
        if key in one.values and key in other.values:
            mine, theirs = one.values[key].nominal, other.values[key].nominal
            if abs(mine - theirs) > max(least, share * abs(theirs)):
                by = fmt.show(key, abs(mine - theirs), words=False)
                found.append(f"{term(key).name} {by} {'more' if mine > theirs else 'less'}")
    return found


# What the piston of each combination would have to be, where it is not chosen yet; and combinations kept as builds.


def with_pistons(survey: Survey, found: Combined) -> tuple[Combined, dict[int, Evaluated]]:
    """The rows with compression height and crown worked out from what is wanted, and how each was, by its number."""
    worked = {
        number: evaluated(survey, NamedBuild(name=str(number), values=_stated(row), open=row.open))
        for number, row in enumerate(found.best, 1)
        if row.open
    }
    best = [
        replace(row, values={**row.values, **worked[number].values}) if number in worked else row
        for number, row in enumerate(found.best, 1)
    ]
    return replace(found, best=tuple(best)), worked


def _stated(row: Combination) -> dict[str, Value]:
    """What the parts of a row state."""
    return {key: value for part in row.parts for key, value in part.values.items()}


def keep(survey: Survey, found: Combined, numbers: Sequence[int], path: Path) -> list[str]:
    """Write rows into the job file as alternatives; returns their names.

    Raises InputError: no such row, a build of that name is there already, or the file cannot be written.
    """
    for number in numbers:
        if not 1 <= number <= len(found.best):
            right = f"from 1 to {len(found.best)}"
            raise InputError(error("no-row", "no such row", read=str(number), right=right, place="--keep"))
    names = []
    with JobFile.open(path) as file:
        text = file.text
        for row in (found.best[number - 1] for number in numbers):
            name = (
                ", ".join(f"{part.name} {part.kind}" for part in row.parts if part.states) or "the engine's own parts"
            )
            if name in survey.job.alternatives:
                right = "take it out first, or keep another row"
                raise InputError(error("twice", "this build stands in the file already", read=name, right=right))
            text = _with_build(text, name, row, survey)
            names.append(name)
        file.save(text, file.text)
    return names


def _with_build(text: str, name: str, row: Combination, survey: Survey) -> str:
    """The file's text with a row as a build: what its parts state, as it was written, and what it leaves open."""
    section = ("alternative", name)
    for part in row.parts:
        stated: Mapping[str, Given] = survey.job.offered[part.kind][part.name]
        for key, given in stated.items():
            text = amend.state(text, section, key, given.texts[-1])
            if len(given.texts) > 1:
                text = amend.set_value(text, (*section, key), list(given.texts))
    if row.open:
        text = amend.set_value(amend.state(text, section, "open", row.open[0]), (*section, "open"), list(row.open))
    return text
