"""The text of a new job file: sound as it is, and sound when its examples are taken up."""

from __future__ import annotations

import re

import pytest

from ccassist.analysis.results import survey
from ccassist.bench.steps import STEPS
from ccassist.guide.walk import plan
from ccassist.job import vocabulary as words
from ccassist.job.file import parse_job
from ccassist.job.template import STATED_WITH, Start, new_file
from ccassist.job.vocabulary import PURPOSES
from ccassist.values.findings import errors

EXAMPLE = re.compile(r"^# (\[.*\]|[a-z_]+ = .*|    \{.*|\])$")


MIXED = {"heads, turbo": "turbo", "pistons, turbo": "pistons", "heads, pistons, turbo": "pistons"}


@pytest.mark.parametrize("job_for", [*PURPOSES, *MIXED])
@pytest.mark.parametrize("system", ["metric", "imperial"])
class TestEveryKind:
    """Each kind of job, in both systems of units."""

    def test_it_is_sound_as_it_stands(self, job_for: str, system: str) -> None:
        loaded = parse_job(new_file(Start(cylinders=4, job_for=job_for, system=system)))
        assert loaded.findings == ()
        assert survey(loaded.job).findings == ()

    def test_it_is_sound_with_every_example_taken_up(self, job_for: str, system: str) -> None:
        text = new_file(Start(cylinders=4, job_for=job_for, system=system))
        taken = "\n".join(EXAMPLE.sub(r"\1", line) for line in text.split("\n"))
        loaded = parse_job(taken)
        assert not errors(loaded.findings)
        assert set(loaded.job.engine) >= {"bore", "air_pressure"}
        assert loaded.job.series[0].rows[1].set_aside == "saw a bubble"
        assert not errors(survey(loaded.job).findings)

    def test_the_guide_asks_for_what_the_job_measures(self, job_for: str, system: str) -> None:
        job = parse_job(new_file(Start(cylinders=2, job_for=job_for, system=system))).job
        asked = {task.target.step for task in plan(job) if task.open}
        other_ways = {"crown-bench"}
        assert (
            asked
            == {key for key in PURPOSES[MIXED.get(job_for, job_for)].steps if STEPS[key].part and not STEPS[key].check}
            - other_ways
        )


def test_every_section_and_key_is_explained() -> None:
    text = new_file(Start(cylinders=1))
    for section in set(words.SECTIONS) - {"format", "set_up"}:
        assert re.search(rf"^(# )?\[\[?{section}", text, re.MULTILINE)
    for keys in (words.JOB_KEYS, words.COUNTED_KEYS, words.INSTRUMENT_KEYS, words.FLUID_KEYS):
        assert all(re.search(rf"^(# )?{key} = ", text, re.MULTILINE) for key in keys)
    assert all(re.search(rf"^(# )?{key} = ", text, re.MULTILINE) for key in (*words.GIVEN_TERMS, *words.WANTED_TERMS))
    assert all(f"#   {key}: " in text for key in STEPS)


def test_parts_and_their_terms_are_those_of_the_vocabulary() -> None:
    assert set(STATED_WITH) <= set(words.PART_KINDS)
    assert {key for keys in STATED_WITH.values() for key in keys} <= set(words.GIVEN_TERMS)


def test_what_is_known_stands_there_as_said() -> None:
    start = Start(
        cylinders=2,
        name='A "quoted" name\n[engine]',
        by="Ida",
        engine={"bore": "83.4 mm, measured"},
        counted={"crevice": "not counted"},
        wanted={"static_ratio": "9.5 to 9.7"},
    )
    job = parse_job(new_file(start)).job
    assert (job.name, job.about["by"]) == (start.name, "Ida")
    assert job.engine["bore"].texts == ("83.4 mm, measured",)
    assert job.counted == {"crevice": "not counted"}
    assert job.wanted["static_ratio"].texts == ("9.5 to 9.7",)
