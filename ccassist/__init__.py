"""Compression and chamber volumes from bench readings.

The engine of a job (:func:`survey_of` a file, :func:`survey` of a text) holds every cylinder's terms, each a
:class:`Value` with its ± and its origin.  Lengths, volumes and pressures are SI floats; :func:`show` says them in the
reader's words.  Every result has ``to_dict``; every error raised on purpose is a :class:`CcassistError` with a code and
its findings.

>>> import ccassist
>>> job = ccassist.parse_job('''
... format = 1
... [engine]
... cylinders = 1
... bore = "83.40 mm, measured"
... stroke = "91.70 mm, measured"
... chamber_volume = "46.3 +/- 0.3 cc, measured"
... gasket_volume = "7.4 +/- 0.3 cc, maker's figure"
... deck_clearance = "0.20 +/- 0.02 mm below deck, measured"
... crown_volume = "dish 8.7 +/- 0.5 cc, maker's figure"
... [counted]
... crevice = "not counted"
... ''').job
>>> engine = ccassist.survey(job)
>>> ccassist.show_value(engine.cylinders[0].values["static_ratio"])
'8.890 ± 0.089'
>>> (one,) = ccassist.solved(engine, "crown_volume", {"static_ratio": 9.5}).cylinders
>>> ccassist.show_number("crown_volume", one.numbers["crown_volume"][0])
'dish, adds 4.14 ± 0.46 cc of space'
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from ccassist.job.file import load, parse_job
    from ccassist.paper.documents import write_boost, write_order, write_worksheet
    from ccassist.plan.balance import balance
    from ccassist.report.boost_told import boost_story
    from ccassist.report.compare import compared
    from ccassist.report.levers import boosted, levers_of
    from ccassist.report.measured import Survey, sound_survey, survey, survey_of
    from ccassist.report.order import order_of
    from ccassist.report.ratio import ratio
    from ccassist.report.solve import solved
    from ccassist.values.display import show, show_number, show_value
    from ccassist.values.findings import CcassistError, Finding, InputError, NotPossible
    from ccassist.values.measured import Value
    from ccassist.values.quantity import parse
    from ccassist.values.uncertainty import budget, expand

# Public name -> where it is defined; loaded on first use, so that importing the package costs nothing.
_HOMES = {
    "CcassistError": "values.findings",
    "Finding": "values.findings",
    "InputError": "values.findings",
    "NotPossible": "values.findings",
    "Survey": "report.measured",
    "Value": "values.measured",
    "balance": "plan.balance",
    "boost_story": "report.boost_told",
    "boosted": "report.levers",
    "budget": "values.uncertainty",
    "compared": "report.compare",
    "expand": "values.uncertainty",
    "levers_of": "report.levers",
    "load": "job.file",
    "order_of": "report.order",
    "parse": "values.quantity",
    "parse_job": "job.file",
    "ratio": "report.ratio",
    "show": "values.display",
    "show_number": "values.display",
    "show_value": "values.display",
    "solved": "report.solve",
    "sound_survey": "report.measured",
    "survey": "report.measured",
    "survey_of": "report.measured",
    "write_boost": "paper.documents",
    "write_order": "paper.documents",
    "write_worksheet": "paper.documents",
}

__all__ = [
    "CcassistError",
    "Finding",
    "InputError",
    "NotPossible",
    "Survey",
    "Value",
    "balance",
    "boost_story",
    "boosted",
    "budget",
    "compared",
    "expand",
    "levers_of",
    "load",
    "order_of",
    "parse",
    "parse_job",
    "ratio",
    "show",
    "show_number",
    "show_value",
    "solved",
    "sound_survey",
    "survey",
    "survey_of",
    "write_boost",
    "write_order",
    "write_worksheet",
]


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        raise AttributeError(f"module 'ccassist' has no attribute {name!r}")
    return getattr(import_module(f"ccassist.{_HOMES[name]}"), name)


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
