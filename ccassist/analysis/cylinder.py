"""One cylinder: everything that follows from its inputs, and the model that joins them."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ccassist.analysis.gasket_layers import Layer
from ccassist.bench.cell import Reduced
from ccassist.engine import slider_crank
from ccassist.engine.mathematics import uncertain
from ccassist.engine.model import Choices, Model, build
from ccassist.values.measured import Number, Value, computed, nominal


@dataclass(frozen=True, kw_only=True)
class Cylinder:
    """One cylinder: its terms, and the model that joins them.

    ``gasket`` holds the layers of a gasket that several parts make together.
    ``contradiction`` says why nothing could be worked out from what is given; "" where it could.
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
        return {key: v.number for key, v in self.values.items() if key not in made and v.origin != "not counted"}

    def uses(self, one: Reduced) -> bool:
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
        values.setdefault(key, Value(key=key, number=0.0, origin="not counted", how=reason))
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
