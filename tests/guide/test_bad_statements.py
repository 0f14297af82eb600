"""Anything typed while things are stated: kept as it was meant or refused in words, and the file stays sound."""

from __future__ import annotations

import tempfile
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from ccassist.analysis.results import survey
from ccassist.job.file import load
from ccassist.values.findings import errors
from tests.guide.sitting import Sitting

JOB = 'format = 1\n[job]\nunits = "metric"\nfor = "{}"\n[engine]\ncylinders = 2\n'
WORDS = st.one_of(
    st.text(st.characters(codec="utf-8", exclude_characters="\n\r"), max_size=20),
    st.sampled_from(["\x1b[2J", "\x9b31m", "x" * 5000, "9" * 400, "1e400", "nan", "-0", "0", "1", "2", "99", "2.5"]),
    st.sampled_from(['"', '"""', "\\", "'''", "a = 1", "# no", "[cam]", "{", "1 bar", "60 deg after BDC, measured"]),
    st.sampled_from(["b", "?", "y", "", "-", "j cam", "j order", "j charge", "j wanted", "j cam intake_closing"]),
)


@settings(max_examples=40, deadline=None)
@given(purpose=st.sampled_from(["turbo", "pistons", "heads"]), lines=st.lists(WORDS, min_size=3, max_size=20))
def test_any_lines_while_stating_leave_a_sound_file(purpose: str, lines: list[str]) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "job.toml"
        sitting = Sitting(path, JOB.format(purpose))
        for line in ["j wanted", *lines]:
            if sitting.type(line).finished:
                break
        sitting.file.close()
        found = load(path)
        assert not errors(found.findings)
        assert not errors(survey(found.job).findings)
