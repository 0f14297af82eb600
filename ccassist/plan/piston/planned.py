"""The engine with the pistons to be ordered in it, for whatever is asked of it before they are made."""

from __future__ import annotations

from ccassist.analysis.results import Survey
from ccassist.job.vocabulary import purposes_of
from ccassist.plan.piston.specification import RATIO, specify
from ccassist.values.findings import Finding, note


def with_ordered_pistons(survey: Survey) -> tuple[Survey, tuple[Finding, ...]]:
    """A job for pistons whose engine has no ratio yet, with those to be ordered in it, and a note that says so.

    Any other job, and one whose order cannot be worked out yet, is given back as it is.
    """
    if "pistons" not in purposes_of(survey.job.about) or any(RATIO in c.values for c in survey.cylinders):
        return survey, ()
    spec = specify(survey)
    if len(spec.ordered()) < 2:
        return survey, ()
    wrong = "the pistons are those to be ordered, as worked out, not measured ones"
    return spec.planned, (note("ordered-pistons", wrong, right="measure those that come, and state them"),)
