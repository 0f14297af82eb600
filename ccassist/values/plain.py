"""Numbers as plain data for JSON: SI, each with its ±, its origin and its words."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from ccassist.values.display import show_number, show_value
from ccassist.values.ground import ground_to_dict
from ccassist.values.measured import Number, Value, expand
from ccassist.values.units import SI
from ccassist.vocabulary import term


def known(number: float) -> float | None:
    """JSON has no word for a number that is not known or has no end."""
    return number if math.isfinite(number) else None


def number_to_dict(key: str, number: Number, system: str) -> dict[str, Any]:
    """A number of a term, SI, with its ± and its words."""
    stated = expand(number)
    text = show_number(key, number, system=system)
    return {
        "value": stated.value,
        "expanded_uncertainty": known(stated.expanded),
        "text": text,
        **ground_to_dict(number),
    }


def values_to_dict(values: Mapping[str, Value], system: str) -> dict[str, Any]:
    """Several values by their keys, as :func:`value_to_dict`."""
    return {key: value_to_dict(value, system) for key, value in values.items()}


def perhaps_to_dict(value: Value | None, system: str) -> dict[str, Any] | None:
    """As :func:`value_to_dict`; null where there is none."""
    return None if value is None else value_to_dict(value, system)


def value_to_dict(value: Value, system: str) -> dict[str, Any]:
    """One value: SI number, standard and expanded uncertainty, degrees of freedom, origin, words.

    A ± that is not known yet is null.
    """
    stated = expand(value.number)
    unknown_yet = math.isnan(stated.standard)
    return {
        "name": term(value.key).name,
        "value": stated.value,
        "unit": SI.get(term(value.key).kind, ""),
        "standard_uncertainty": None if unknown_yet else stated.standard,
        "expanded_uncertainty": None if unknown_yet else stated.expanded,
        "coverage_factor": None if unknown_yet else stated.factor,
        "degrees_of_freedom": known(stated.dof),
        "origin": value.origin,
        "how": value.how,
        "line": value.line,
        "text": show_value(value, system=system),
        **ground_to_dict(value.number),
    }
