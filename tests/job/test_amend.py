"""Edits inside a job file: the change meant and nothing else."""

from __future__ import annotations

import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ccassist.job.amend import add_part, annotate, set_aside, set_value, string_text
from ccassist.job.file import parse_job
from ccassist.job.readings import no_reason
from ccassist.job.write import append_reading
from ccassist.values.findings import InputError

TEXT = """\
format = 1  # the first line

[engine]
cylinders = 2
bore = "83.40 mm"   # finished

[[series]]
step = "chamber"
cylinder = 1
readings = [
    { start = "0 ml", end = "46 ml" },  # calm
    { start = "0 ml", end = "45 ml", remark = "set_aside = 3" },
]

[[series]]
step = "bore"
cylinder = 1
readings = [ "83.40 mm", { bore = "83.42 mm" } ]
"""


class TestSettingAside:
    """A reading that does not count stays, with its reason."""

    def test_only_its_line_is_touched(self) -> None:
        text = set_aside(TEXT, "series 1, reading 1", 'saw a "bubble"')
        line = '    { start = "0 ml", end = "46 ml" },  # calm'
        assert text == TEXT.replace(
            line, '    { start = "0 ml", end = "46 ml", set_aside = "saw a \\"bubble\\"" },  # calm'
        )

    def test_a_word_in_a_remark_is_no_key(self) -> None:
        text = set_aside(TEXT, "series 1, reading 2", "bubble")
        assert parse_job(text).job.series[0].rows[1].set_aside == "bubble"

    def test_a_reason_given_again_replaces_the_first(self) -> None:
        text = set_aside(set_aside(TEXT, "series 1, reading 1", "bubble"), "series 1, reading 1", "leak")
        assert parse_job(text).job.series[0].rows[0].set_aside == "leak"
        assert "# calm" in text

    def test_of_two_blocks_that_say_the_same_only_one_is_touched(self) -> None:
        twice = TEXT + TEXT[TEXT.index("\n[[series]]") :]
        for place in ("series 1, reading 1", "series 3, reading 1", "series 4, reading 2"):
            rows = [row for series in parse_job(set_aside(twice, place, "leak")).job.series for row in series.rows]
            assert [row.place for row in rows if row.set_aside] == [place]

    @pytest.mark.parametrize("reading", [1, 2])
    def test_readings_in_one_line(self, reading: int) -> None:
        text = set_aside(TEXT, f"series 2, reading {reading}", "slipped")
        rows = parse_job(text).job.series[1].rows
        assert [row.set_aside for row in rows] == (["slipped", ""] if reading == 1 else ["", "slipped"])
        assert [row.fields["bore"] for row in rows] == [("83.40 mm",), ("83.42 mm",)]
        assert text.startswith(TEXT[: TEXT.index("readings = [ ")])

    @pytest.mark.parametrize(
        "place", ["series 1, reading 3", "series 3, reading 1", "series 0, reading 1", "engine.bore"]
    )
    def test_no_such_reading(self, place: str) -> None:
        with pytest.raises(InputError, match="no such reading"):
            set_aside(TEXT, place, "bubble")

    def test_a_reason_is_asked_for(self) -> None:
        with pytest.raises(InputError, match="set aside with a reason"):
            set_aside(TEXT, "series 1, reading 1", "  ")

    @given(reason=st.text(st.characters(exclude_categories=["Cs"]), min_size=1).filter(lambda t: no_reason(t) is None))
    def test_any_reason_is_read_back(self, reason: str) -> None:
        text = append_reading(TEXT, {"step": "chamber", "cylinder": 2}, {"start": "1", "end": "2"})
        text = set_aside(text, "series 3, reading 1", reason)
        assert parse_job(text).job.series[2].rows[0].set_aside == reason

    def test_several_keys_at_once(self) -> None:
        more = {"fill_time": "60 s", "settle": ("46.1 ml", "46.2 ml"), "settle_at": ("90 s", "120 s")}
        text = annotate(TEXT, "series 1, reading 1", more)
        assert tomllib.loads(text)["series"][0]["readings"][0] == {
            "start": "0 ml",
            "end": "46 ml",
            **{key: list(v) if isinstance(v, tuple) else v for key, v in more.items()},
        }


class TestValues:
    """Values and parts put into their sections."""

    def test_a_value_is_replaced_in_place(self) -> None:
        assert set_value(TEXT, ("engine", "bore"), "87.00 mm") == TEXT.replace('"83.40 mm"   # f', '"87.00 mm"   # f')

    def test_a_missing_section_is_added(self) -> None:
        text = set_value(TEXT, ("job", "leave_out"), "deck")
        assert parse_job(text).job.about["leave_out"] == "deck"
        assert tomllib.loads(text)["series"] == tomllib.loads(TEXT)["series"]

    def test_a_part_goes_before_the_readings(self) -> None:
        text = add_part(TEXT, "left head", "head")
        assert text == TEXT.replace("[[series]]", '[part."left head"]\nkind = "head"\n\n[[series]]', 1)

    def test_a_part_in_a_file_without_readings(self) -> None:
        text = add_part("format = 1\n[engine]\ncylinders = 1", "gasket", "gasket")
        assert parse_job(text).job.parts["gasket"].cylinders == (1,)

    def test_a_part_that_is_there_already_is_refused(self) -> None:
        with pytest.raises(InputError, match="cannot be edited here; edit it by hand"):
            add_part(add_part(TEXT, "gasket", "gasket"), "gasket", "gasket")


@given(text=st.text(st.characters(exclude_categories=["Cs"])))
def test_any_text_is_a_toml_string(text: str) -> None:
    """Strings as TOML 1.0.0, "String": control characters, quotes and backslashes are escaped."""
    assert tomllib.loads(f"a = {string_text(text)}") == {"a": text}
