"""Compression and chamber volumes from bench readings.

>>> import ccassist
>>> job = ccassist.parse_job('''
... format = 1
... [engine]
... cylinders = 1
... bore = "86.50 mm, measured"
... stroke = "86.00 mm, measured"
... chamber_volume = "46.3 +/- 0.3 cc, measured"
... gasket_volume = "7.9 +/- 0.3 cc, maker's figure"
... deck_clearance = "0.20 +/- 0.02 mm below deck, measured"
... crown_volume = "dish 8.7 +/- 0.5 cc, maker's figure"
... [counted]
... crevice = "not counted"
... ''').job
>>> engine = ccassist.survey(job)
>>> ratio = engine.cylinders[0].values["static_ratio"]
>>> ccassist.show_value(ratio)
'8.887 ± 0.087'
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from ccassist.display import show, show_value
    from ccassist.export import survey_to_dict
    from ccassist.findings import CcassistError, Finding, InputError, NotPossible
    from ccassist.job.file import load, parse_job
    from ccassist.measured import budget, expand
    from ccassist.quantity import parse
    from ccassist.results import Survey, survey

# Public name -> where it is defined; loaded on first use, so that importing the package costs nothing.
_HOMES = {
    "CcassistError": "findings",
    "Finding": "findings",
    "InputError": "findings",
    "NotPossible": "findings",
    "Survey": "results",
    "budget": "measured",
    "expand": "measured",
    "load": "job.file",
    "parse": "quantity",
    "parse_job": "job.file",
    "show": "display",
    "show_value": "display",
    "survey": "results",
    "survey_to_dict": "export",
}

__all__ = [
    "CcassistError",
    "Finding",
    "InputError",
    "NotPossible",
    "Survey",
    "budget",
    "expand",
    "load",
    "parse",
    "parse_job",
    "show",
    "show_value",
    "survey",
    "survey_to_dict",
]


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        raise AttributeError(f"module 'ccassist' has no attribute {name!r}")
    return getattr(import_module(f"ccassist.{_HOMES[name]}"), name)
