"""How much a target moves with each of the inputs it is made of."""

from __future__ import annotations

from collections.abc import Mapping

from ccassist.engine.mathematics import uncertain
from ccassist.engine.model import Model


def slopes(model: Model, plain: Mapping[str, float], target: str) -> dict[str, float]:
    """The target's change per unit of each input term, all SI, other inputs kept.

    Parameters
    ----------
    model : the relations of the cylinder.
    plain : term key -> SI float.
    target : term key.

    Exact derivatives, carried through the relations themselves by the
    uncertain-number library (the sensitivity coefficients of JCGM 100:2008,
    5.1.3).  An input with several paths, such as the bore, counts them all.
    """
    from uncertainties import Variable

    inputs = {key: Variable(plain[key], 1.0) for key in model.inputs_of(target) if key in plain}
    result = model.evaluate({**plain, **inputs}, uncertain())[target]
    derivatives = result.derivatives
    return {key: float(derivatives.get(variable, 0.0)) for key, variable in inputs.items()}
