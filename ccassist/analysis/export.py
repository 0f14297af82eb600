"""A survey as plain data for JSON: SI numbers, each with its ±, origin and words."""

from __future__ import annotations

from typing import Any

from ccassist.analysis.assembly import AssemblyCheck, compare_assembly
from ccassist.analysis.cylinder import Cylinder, MeasuredEngine
from ccassist.analysis.guesses import survey_ground
from ccassist.analysis.worth import Worth, worth_text, worths
from ccassist.values.ground import ground_to_dict
from ccassist.values.judge import verdicts
from ccassist.values.measured import Value, budget, computed
from ccassist.values.plain import known, value_to_dict, values_to_dict
from ccassist.values.spread import COMPARED, spread_of


def budget_to_list(value: Value) -> list[dict[str, Any]]:
    """What makes a value's ±, largest first, SI."""
    return [
        {
            "cause": row.cause.name,
            "standard_uncertainty": known(row.standard),
            "share": known(row.share),
            "degrees_of_freedom": known(row.cause.dof),
            "shape": row.cause.shape,
            "source": row.cause.source,
            "remedy": row.cause.remedy,
            "guess": row.cause.guess or None,
        }
        for row in budget(value.number)
    ]


def _cylinder(cylinder: Cylinder, survey: MeasuredEngine, system: str) -> dict[str, Any]:
    ratio = cylinder.values.get("static_ratio") or cylinder.values.get("chamber_volume")
    return {
        "cylinder": cylinder.number,
        "values": values_to_dict(cylinder.values, system),
        "gasket_layers": [{"part": one.part, **values_to_dict(one.values, system)} for one in cylinder.gasket],
        "wanted": verdicts(cylinder.values, survey.wanted),
        "not_given": {key: list(lack) for key, lack in cylinder.model.lacking.items()},
        "budget_of": ratio.key if ratio else None,
        "budget": budget_to_list(ratio) if ratio else [],
        "one_more_reading": [_one_more(w, system) for w in worths(survey, cylinder.number)],
    }


def _one_more(worth: Worth, system: str) -> dict[str, Any]:
    """What one more reading of one series would do to the ± of the result, SI."""
    return {
        "step": worth.one.cell.step.key,
        "where": worth.one.cell.where,
        "of": worth.key,
        "expanded_uncertainty_now": known(worth.now),
        "expanded_uncertainty_then": known(worth.then),
        "readings_needed_first": worth.more,
        "worth_it": worth.worth_it,
        "text": worth_text(worth, system),
    }


def assembly_to_dict(check: AssemblyCheck, system: str) -> dict[str, Any]:
    """One cylinder measured as a whole against the sum of its parts, SI."""
    return {
        "cylinder": check.cylinder,
        "whole": value_to_dict(check.whole, system),
        "sum_of_parts": value_to_dict(check.parts, system),
        "difference": check.gap,
        "expanded_uncertainty": known(check.expanded),
        **ground_to_dict(check.difference),
        "agreement": check.agreement.value,
        "e_n": check.e_n,
        "filled_both": list(check.shared),
        "crevice_in_the_sum": check.crevice_known,
        "likeliest": [{"cause": c.words, "remedy": c.remedy, "would_make": c.size or None} for c in check.culprits],
    }


def survey_to_dict(survey: MeasuredEngine, system: str | None = None) -> dict[str, Any]:
    """The whole survey as plain data, SI; ``system`` : units of the texts, the job's own where None."""
    shown = system or survey.job.system
    spreads = {}
    for key in COMPARED:
        pairs = [(c.number, c.values[key]) for c in survey.cylinders if key in c.values]
        found = spread_of(key, pairs)
        if found is not None:
            value = computed(key, found.difference, "largest less smallest")
            entry = value_to_dict(value, shown)
            del entry["text"]
            if entry["standard_uncertainty"]:  # picked after looking: the studentized range, not Student's t
                entry["expanded_uncertainty"] = found.expanded
                entry["coverage_factor"] = found.expanded / entry["standard_uncertainty"]
            picked = {"smallest_in": found.low, "largest_in": found.high, "picked_from": found.count}
            spreads[key] = {**picked, **entry}
    return {
        "format": 1,
        "job": {"file": survey.job.file, **survey.job.about},
        "cylinders": [_cylinder(c, survey, shown) for c in survey.cylinders],
        "calibrations": [made.to_dict() for made in survey.calibrations.values()],
        "engine": values_to_dict(survey.whole, shown),
        "spread": spreads,
        "whole_against_parts": [assembly_to_dict(check, shown) for check in compare_assembly(survey)],
        "findings": [f.to_dict() for f in survey.findings],
        "ground": survey_ground(survey, shown),
    }
