"""The page that explains the job file says what the declarations say today."""

from __future__ import annotations

import re

from ccassist.bench.steps import STEPS
from ccassist.job import vocabulary as words
from ccassist.job.reference import reference
from ccassist.job.sections import STATED
from ccassist.vocabulary.units import UNITS


def test_every_section_key_step_and_unit_stands_on_it() -> None:
    page = reference()
    keys = [*words.GIVEN_TERMS, *words.WANTED_TERMS, *words.JOB_KEYS, *words.PART_KEYS, *words.SERIES_KEYS]
    keys += [key for section in STATED.values() for key in section.keys]
    assert all(f"`{key}`" in page for key in (*keys, *UNITS))
    assert all(re.search(rf"^## `\[?{name}\]?`$", page, re.MULTILINE) for name in words.SECTIONS)
    assert all(f"### `[{name}]`" in page for name in STATED)
    assert all(f'### `step = "{key}"`' in page for key in STEPS)
    assert all(f"`{f.name}`" in page or f"{f.name} = " in page for step in STEPS.values() for f in step.fields.values())
