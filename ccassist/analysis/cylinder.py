"""One cylinder: everything that follows from its inputs, and the model that joins them."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import field
from typing import cast

from ccassist.analysis.which_counts import OPENING, Displaced, chosen
from ccassist.bench.calibrated import Calibration
from ccassist.bench.cell import Reduction
from ccassist.engine import slider_crank
from ccassist.engine.mathematics import uncertain
from ccassist.engine.model import Choices, Model, build
from ccassist.job.records import Job
from ccassist.job.vocabulary import purposes_of
from ccassist.values.display import Formatter, formatter
from ccassist.values.findings import Finding, listed, runs
from ccassist.values.measured import Value, computed
from ccassist.values.number import Number, nominal
from ccassist.values.uncertainty import Cause
from ccassist.values.verdict import Band
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record, together
from ccassist.vocabulary.units import Origin

# A gasket of several layers: every gasket part that serves a cylinder is one, with its own opening and thickness.
#
# Each layer is worked out by itself; their volumes and their thicknesses add. The cylinder then has one gasket: the
# thicknesses together, and the opening averaged over them, so that opening × thickness is the sum of the volumes.
# Source: common practice, no source.

GASKET = (*OPENING, "gasket_thickness", "gasket_volume")
WEAKEST = (Origin.NOT_SAID, Origin.ASSUMED, Origin.MAKER, Origin.MEASURED)


@record
class Layer:
    """One layer of a cylinder's gasket: its part, and its terms, the volume worked out where it can be."""

    part: str
    values: Mapping[str, Value]

    def number(self, key: str) -> Number:
        """A term as a number; it must be there."""
        return self.values[key].number


def layers_of(
    number: int, job: Job, stated: Mapping[str, Mapping[str, Value]], current: Sequence[Reduction]
) -> tuple[tuple[Layer, ...], list[Displaced]]:
    """The layers of a cylinder's gasket and the values that do not count; no layers where one part serves it."""
    parts = [p.name for p in job.parts.values() if p.kind == "gasket" and number in p.cylinders]
    if len(parts) < 2:
        return (), []
    found, displaced = [], []
    for part in parts:
        read = [r for r in current if r.cell.part == part and number in r.cell.cylinders]
        shared = [r.values for r in read if len(r.cell.cylinders) > 1]
        alone = [r.values for r in read if len(r.cell.cylinders) == 1]
        inputs, unused = chosen(number, [stated[part], *shared, *alone])
        displaced += unused
        found.append(_layer(part, {key: inputs[key] for key in GASKET if key in inputs}))
    return tuple(found), displaced


def _layer(part: str, inputs: Mapping[str, Value]) -> Layer:
    known = {key: value.number for key, value in inputs.items()}
    model = build({key: nominal(n) for key, n in known.items()}, Choices())
    numbers = model.evaluate(known, uncertain())
    worked = {
        step.gives: computed(step.gives, numbers[step.gives], step.title)
        for step in model.chain
        if step.gives in GASKET
    }
    return Layer(part=part, values={**inputs, **worked})


def as_one(layers: Sequence[Layer]) -> dict[str, Value]:
    """The terms of the one gasket that several layers make; those that every layer allows.

    Thickness [m] and area [m²]; the volume [m³] instead of the area where a thickness is not known, or is nothing.
    """
    thickness, volume = _sum(layers, "gasket_thickness"), _sum(layers, "gasket_volume")
    if volume is None:
        return {} if thickness is None else {thickness.key: thickness}
    if thickness is None or thickness.nominal <= 0:
        return {volume.key: volume}
    how = f"opening averaged over {len(layers)} layers"
    area = Value("gasket_area", volume.number / thickness.number, volume.origin, how=how, line=volume.line)
    return {area.key: area, thickness.key: thickness}


def _sum(layers: Sequence[Layer], key: str) -> Value | None:
    if any(key not in layer.values for layer in layers):
        return None
    number = sum((layer.number(key) for layer in layers), start=cast(Number, 0.0))
    origins = {v.origin for layer in layers for v in layer.values.values() if v.origin in WEAKEST}
    origin = next(word for word in WEAKEST if word in origins)
    return Value(key, number, origin, how=f"sum of {len(layers)} layers")


def missing(layer: Layer) -> list[str]:
    """The terms still needed before a layer's volume can be worked out."""
    if "gasket_volume" in layer.values:
        return []
    opening = [] if "gasket_area" in layer.values else ["gasket_bore"]
    return [*opening, *(["gasket_thickness"] if "gasket_thickness" not in layer.values else [])]


@record
class Cylinder:
    """One cylinder: its terms, and the model that joins them.

    ``gasket`` holds the layers of a gasket that several parts make together. ``contradiction`` says why nothing could
    be worked out from what is given; "" where it could.
    """

    number: int
    values: Mapping[str, Value]
    model: Model
    choices: Choices
    gasket: tuple[Layer, ...] = ()
    contradiction: str = ""

    @property
    def known(self) -> dict[str, Number]:
        """Its inputs as numbers: what was measured or stated, not what was computed from it."""
        made = {step.gives for step in self.model.chain}
        return {key: v.number for key, v in self.values.items() if key not in made and v.origin != Origin.NOT_COUNTED}

    def uses(self, one: Reduction) -> bool:
        """Whether readings enter its results, by themselves or as a layer of its gasket."""
        holders = (self.values, *(layer.values for layer in self.gasket))
        return any(values.get(key) is value for key, value in one.values.items() for values in holders)


def known_of_all(cylinders: Sequence[Cylinder], known: Sequence[Mapping[str, Number]]) -> dict[str, Number]:
    """The mean cylinder, by what is known of each; SI.

    A term that is known of some only (one crown filled, another stated) is taken of the others as it is worked out
    there; one that some have not at all is left out.
    """
    found: dict[str, Number] = {}
    for key in dict.fromkeys(key for one in known for key in one):
        numbers = [
            one[key] if key in one else there.values[key].number
            for there, one in zip(cylinders, known, strict=True)
            if key in one or key in there.values
        ]
        if len(numbers) == len(cylinders):
            found[key] = sum(numbers) / len(numbers)
    return found


def cylinder_of(number: int, inputs: Mapping[str, Value], choices: Choices, gasket: tuple[Layer, ...] = ()) -> Cylinder:
    """A cylinder with everything that follows from its inputs."""
    known = {key: value.number for key, value in inputs.items()}
    model, numbers, contradiction = _worked_out(known, choices)
    values = dict(inputs)
    for key, reason in model.fixed.items():
        values.setdefault(key, Value(key, 0.0, Origin.NOT_COUNTED, how=reason))
    for step in model.chain:
        values[step.gives] = computed(step.gives, numbers[step.gives], step.title)
    return Cylinder(
        number=number, values=values, model=model, choices=choices, gasket=gasket, contradiction=contradiction
    )


def _worked_out(known: Mapping[str, Number], choices: Choices) -> tuple[Model, dict[str, Number], str]:
    """The model and every number that follows; or nothing, and the reason why no engine can be so."""
    numbers = {key: nominal(number) for key, number in known.items()}
    reason = "the crank cannot turn: the rod is not longer than half the stroke and the offset together"
    crank = numbers.get("stroke", 0.0), numbers.get("rod_length", math.inf), numbers.get("pin_offset", 0.0)
    if slider_crank.turns(*crank):
        try:
            model = build(numbers, choices)
            return model, model.evaluate(known, uncertain()), ""
        except ZeroDivisionError:
            reason = "the clearance volumes add up to nothing: there is no ratio"
    model = build({}, choices)
    return model, model.evaluate({}), reason


@record
class MeasuredEngine:
    """The engine as measured.

    calibrations : the scales calibrated in the job, by the instrument's name.
    offered : parts that might be fitted: kind, name, what it states.
    alternatives : whole builds by name: what each states.
    stated : sections such as the cam, by name: what each states.
    listed : by the section's name, its lists of readings, such as lifts: one mapping of field to value a reading.
    """

    job: Job  # the job it was computed from
    cylinders: tuple[Cylinder, ...]  # one entry a cylinder
    whole: Mapping[str, Value] = field(default_factory=dict)  # terms of the whole engine, such as the displacement
    reduced: tuple[Reduction, ...] = ()  # every cell's reduction, older states too
    calibrations: Mapping[str, Calibration] = field(default_factory=dict)
    wanted: Mapping[str, Band] = field(default_factory=dict)  # targets and limits by term
    offered: Mapping[str, Mapping[str, Mapping[str, Value]]] = field(default_factory=dict)
    alternatives: Mapping[str, Mapping[str, Value]] = field(default_factory=dict)
    stated: Mapping[str, Mapping[str, Value]] = field(default_factory=dict)
    listed: Mapping[str, Mapping[str, tuple[Mapping[str, Value], ...]]] = field(default_factory=dict)
    guesses: tuple[Cause, ...] = ()  # every cause of doubt in the job that is without ground
    findings: tuple[Finding, ...] = ()  # everything noticed on the way

    @property
    def fmt(self) -> Formatter:
        """What makes every printed number, in the job's own units."""
        return formatter(self.job.system)

    def column(self, key: str) -> list[Value | None]:
        """A term's value in every cylinder, None where it is not given."""
        return [c.values.get(key) for c in self.cylinders]


def lacking_texts(survey: MeasuredEngine) -> list[str]:
    """What could not be had, and what is not given for it: one sentence for all cylinders alike.

    Nothing where bare heads are all that the job is for and nothing lacking is wanted: nobody asks them for a ratio.
    """
    lacking = {key for cylinder in survey.cylinders for key in cylinder.model.lacking}
    if purposes_of(survey.job.about) == ("heads",) and not lacking & set(survey.wanted):
        return []
    return [
        f"Not worked out{'' if len(who) == len(survey.cylinders) else f' for cylinder {runs(who)}'}: "
        f"{listed([term(key).name for key in names])}. Not given: {listed([term(key).name for key in wants])}."
        for (names, wants), who in lacking_together(survey).items()
    ]


def lacking_together(
    survey: MeasuredEngine, asked: Iterable[str] | None = None
) -> dict[tuple[tuple[str, ...], tuple[str, ...]], list[int]]:
    """What cannot be worked out, of all or of what is asked, and what is not given for it -> the cylinders."""
    found = []
    for cylinder in survey.cylinders:
        lacking = cylinder.model.lacking
        missing = tuple(key for key in (lacking if asked is None else asked) if key in lacking)
        if missing:
            wants = tuple(dict.fromkeys(lack for key in missing for lack in lacking[key]))
            found.append(((missing, wants), cylinder.number))
    return together(found)
