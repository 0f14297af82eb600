"""The engine of a job that is sound."""

from __future__ import annotations

from ccassist.analysis.results import Survey, survey
from ccassist.job.file import parse_job
from ccassist.values.findings import errors


def surveyed(*texts: str) -> Survey:
    """The survey of the job of these texts, in which nothing is wrong."""
    loaded = parse_job("".join(texts), "job.toml")
    found = survey(loaded.job)
    wrong = [fault.text() for fault in errors((*loaded.findings, *found.findings))]
    assert not wrong, wrong[:5]
    return found
